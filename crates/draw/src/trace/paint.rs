//! A laid-out trace as SVG.

use super::{
    Graph, Mark, StopKind, TracePicture,
    layout::{HEAD, Inflow, Measures, PAD, Part, StopBox},
};
use crate::{
    ADVICE, Width,
    svg::{GREY, INK, PALE, PAPER, Paint, Path, Sheet, Svg, Type},
    words::{known, shorten, wrap},
};

/// Fuel that was called back.
const CALLED: &str = "#6a1267";
const TOP: f64 = 48.0;
const KEY: &str = "A double line carries fuel of a recalled batch; \"touched\" took some of it. A \
    wider line is more litres, a dashed one an unknown amount.";

pub(super) fn picture(
    picture: &TracePicture,
    graph: &Graph,
    parts: &[Part],
    width: Width,
    says: &str,
) -> String {
    let measures = Measures::of(width);
    let inner = width.pixels() - 2.0 * measures.edge;
    let mut foot = wrap(KEY, inner, measures.small(), 6);
    foot.extend(graph.left_out_in_words().map(|words| shorten(&words, inner, measures.small())));
    foot.push(shorten(ADVICE, inner, measures.small()));
    let below = measures.step * foot.len() as f64 + 18.0;
    let height = TOP + parts.iter().map(|part| part.height).sum::<f64>() + below;

    let title = format!("Trace of {} on {}", picture.subject, picture.day);
    let sheet = Sheet { width: width.pixels(), height, unit: "" };
    let mut svg = Svg::new(sheet, &title, says);
    let (heading, second) = (Type::bold(17.0), Type::plain(12.0).colour(GREY));
    let subject = shorten(&format!("Trace of {}", picture.subject), inner, heading);
    svg.words((measures.edge, 22.0), heading, &subject);
    let day = shorten(&format!("on {}", picture.day), inner, second);
    svg.words((measures.edge, 39.0), second, &day);

    let most = graph.flows.iter().filter_map(|flow| known(flow.litres)).fold(0.0, f64::max);
    let mut top = TOP;
    for (number, part) in parts.iter().enumerate() {
        let name = format!("Part {} of {}", number + 1, parts.len());
        let name = if parts.len() > 1 { name.as_str() } else { "" };
        write_part(&mut svg, measures, part, (top, inner), name, most);
        top += part.height;
    }
    svg.line((measures.edge, top), (measures.edge + inner, top), Paint::line(INK, 1.0));
    let kind = measures.small().colour(GREY);
    svg.lines((measures.edge, top + 15.0), measures.step, kind, &foot);
    svg.finish()
}

fn write_part(
    svg: &mut Svg,
    measures: Measures,
    part: &Part,
    (top, inner): (f64, f64),
    name: &str,
    most: f64,
) {
    svg.rect((measures.edge, top + 14.0), (inner, HEAD - 20.0), 0.0, Paint::fill(INK));
    svg.words((measures.edge, top + 10.0), measures.strong(), name);
    for kind in StopKind::ALL {
        let mut word = kind.word().to_owned();
        word[..1].make_ascii_uppercase();
        let at = (measures.left(kind) + PAD, top + 28.0);
        svg.words(at, measures.strong().colour(PAPER), &word);
    }
    // Lines first: boxes lie over what passes behind them.
    for one in &part.boxes {
        for inflow in &one.inflows {
            write_flow(svg, one, inflow, top, (measures, most));
        }
    }
    for one in &part.boxes {
        write_box(svg, measures, one, top);
    }
}

/// Half the height of a line of text, so that a flow ends beside its litres.
fn port(measures: Measures, one: &StopBox, inflow: &Inflow, top: f64) -> f64 {
    top + one.y + inflow.port + measures.step / 2.0
}

fn write_flow(
    svg: &mut Svg,
    one: &StopBox,
    inflow: &Inflow,
    top: f64,
    (measures, most): (Measures, f64),
) {
    let Some((x, y)) = inflow.start else { return };
    let start = (x, top + y);
    let end = (one.x - 3.0, port(measures, one, inflow, top));
    let path = Path::from(start.0, start.1).swing(start, end);
    let share = known(inflow.flow.litres).filter(|_| most > 0.0).map(|litres| litres / most);
    let weight = 1.2 + 2.3 * share.unwrap_or(0.0);
    let shape = |paint: Paint| if share.is_some() { paint } else { paint.dashed("5 3") };
    if inflow.recalled {
        svg.path(&path, shape(Paint::line(CALLED, weight + 3.2)));
        svg.path(&path, Paint::line(PAPER, weight));
    } else {
        svg.path(&path, shape(Paint::line(GREY, weight)));
    }
}

fn write_box(svg: &mut Svg, measures: Measures, one: &StopBox, top: f64) {
    let (x, mut y) = (one.x, top + one.y);
    let (width, step) = (measures.column(), measures.step);
    let frame = match one.mark {
        Mark::Recalled => Paint::line(CALLED, 2.6),
        Mark::Touched => Paint::line(CALLED, 1.4).dashed("4 2"),
        Mark::None => Paint::line(INK, 1.0),
    };
    svg.rect((x, y), (width, one.height), 3.0, frame.filled(PAPER));
    if let Some(word) = one.mark.word() {
        let strip = (width - 4.0, step - 1.0);
        let full = one.mark == Mark::Recalled;
        let (paint, ink) =
            if full { (Paint::fill(CALLED), PAPER) } else { (Paint::fill(PALE), CALLED) };
        svg.rect((x + 2.0, y + 2.0), strip, 0.0, paint);
        let kind = measures.strong().colour(ink).middle();
        svg.words((x + width / 2.0, y + 2.0 + step * 0.72), kind, word);
        y += step;
    }
    y += PAD + measures.name().size * 0.8;
    let left = x + PAD;
    y = svg.lines((left, y), step, measures.name(), &one.name);
    svg.lines((left, y), step, measures.small().colour(GREY), &one.note);
    for inflow in &one.inflows {
        let middle = port(measures, one, inflow, top);
        let tip = Path::from(x - 4.0, middle - 4.5).line(x + 4.0, middle);
        let colour = if inflow.recalled { CALLED } else { INK };
        if inflow.start.is_none() {
            // Poured over from another container: a hook, because no line leads here.
            let hook = Path::from(x - 10.0, middle - 12.0).down(middle).across(x - 4.0);
            svg.path(&hook, Paint::line(colour, 1.6));
        }
        svg.path(&tip.line(x - 4.0, middle + 4.5).close(), Paint::fill(colour));
        let kind = if inflow.recalled { measures.strong() } else { measures.small() };
        svg.lines((left, middle + measures.small().size * 0.36), step, kind, &inflow.words);
    }
}
