//! From the shape of a pack to its meaning: every check, each problem with a way out.

use std::{
    collections::{BTreeMap, BTreeSet},
    ops::Range,
};

use stillprop_calc::{
    bounds::Bounds,
    quantity::{Amount, FromAmount, Mass, Ratio},
    strip::GradedFactor,
    unit::{self, KG, Unit},
};

use crate::{
    briefing::Asked,
    builtin,
    document::{At, Problem, did_you_mean},
    key::{Aspect, Key},
    pack::{Citation, Duty, Exception, Figure, Pack, Read, Says, Source},
    shape::{
        AskedShape, DutyShape, ExceptionShape, FigureShape, PackShape, Point, SourceShape,
        WhenShape, Written,
    },
    when::When,
};

/// No aeroplane this program is for is heavier.
const MTOW: Bounds = Bounds::new("the mass", 0.0, 100_000.0, KG);

/// Turns a shape into a pack, or into every problem it has.
pub(crate) fn pack(shape: PackShape) -> Result<Pack, Vec<Problem>> {
    let mut problems = Vec::new();
    head(&shape, &mut problems);
    let figures = shape.figure.iter().map(|figure| figure.source.value.as_str());
    let exceptions = shape.exception.iter().map(|exception| exception.source.value.as_str());
    let duties = shape.duty.iter().map(|duty| duty.source.value.as_str());
    let asked_for = shape.briefing.iter().map(|asked| asked.source.value.as_str());
    let cited: BTreeSet<&str> = figures.chain(exceptions).chain(duties).chain(asked_for).collect();
    unused_sources(&shape.sources, &cited, &mut problems);
    let sources = sources(shape.sources);
    goods(shape.goods.as_ref(), &mut problems);
    let exceptions: Vec<Exception> = shape
        .exception
        .into_iter()
        .filter_map(|shape| exception(shape, &sources, &mut problems))
        .collect();
    let duties: Vec<Duty> =
        shape.duty.into_iter().filter_map(|shape| duty(shape, &sources, &mut problems)).collect();
    let figures: Vec<Figure> = shape
        .figure
        .into_iter()
        .filter_map(|shape| figure(shape, &sources, &mut problems))
        .collect();
    ambiguities(&figures, &mut problems);
    let briefing: Vec<Asked> = shape
        .briefing
        .into_iter()
        .filter_map(|shape| asked(shape, &sources, &mut problems))
        .collect();
    if problems.is_empty() {
        Ok(Pack {
            id: shape.id.value,
            title: shape.title,
            jurisdiction: shape.jurisdiction,
            edition: shape.edition,
            checked: shape.checked,
            over: shape.over.map(|over| over.value),
            sources,
            figures,
            goods: shape.goods.map(|goods| goods.value),
            exceptions,
            duties,
            briefing,
        })
    } else {
        problems.sort_by_key(|problem| problem.at.start);
        Err(problems)
    }
}

/// Format and names.
fn head(shape: &PackShape, problems: &mut Vec<Problem>) {
    if shape.format.value != 1 {
        let message = format!("format {} is not known", shape.format.value);
        problems.push(
            Problem::new(shape.format.at.clone(), message).help("this program reads format = 1"),
        );
    }
    for name in [Some(&shape.id), shape.over.as_ref()].into_iter().flatten() {
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        if name.value.is_empty() || !name.value.chars().all(plain) {
            problems.push(
                Problem::new(name.at.clone(), format!("\"{}\" is not a pack's name", name.value))
                    .help("use lower-case letters, digits and hyphens, for example \"river-air\""),
            );
        }
    }
    if let Some(over) = shape.over.as_ref().filter(|over| over.value == shape.id.value) {
        problems.push(
            Problem::new(over.at.clone(), "a pack cannot be laid over itself")
                .help("name the state's pack in `over`, for example \"au\""),
        );
    }
}

/// A source that nobody cites is a figure that was lost.
pub(crate) fn unused_sources(
    sources: &BTreeMap<String, At<SourceShape>>,
    cited: &BTreeSet<&str>,
    problems: &mut Vec<Problem>,
) {
    for (id, source) in sources {
        if !cited.contains(id.as_str()) {
            problems.push(
                Problem::new(source.at.clone(), format!("no figure cites the source `{id}`"))
                    .help("remove it, or give the figure that should cite it"),
            );
        }
    }
}

pub(crate) fn sources(shapes: BTreeMap<String, At<SourceShape>>) -> BTreeMap<String, Source> {
    let source = |shape: SourceShape| Source {
        document: shape.document,
        edition: shape.edition,
        link: shape.link,
    };
    shapes.into_iter().map(|(id, shape)| (id, source(shape.value))).collect()
}

/// One figure; `None` when it cannot be used. Every part is checked, so that one run shows all.
fn figure(
    shape: FigureShape,
    sources: &BTreeMap<String, Source>,
    problems: &mut Vec<Problem>,
) -> Option<Figure> {
    let at = shape.key.at.clone();
    let source = source(&shape.source, sources, problems);
    let cited = Cited { at: &at, clause: &shape.clause, read: shape.read };
    remarks(&cited, shape.note.as_deref(), problems);
    let Some(key) = Key::named(&shape.key.value) else {
        let known: Vec<_> = Key::ALL.iter().map(|key| key.id()).collect();
        problems.push(
            Problem::new(at, format!("unknown figure `{}`", shape.key.value))
                .help(did_you_mean(&shape.key.value, &known)),
        );
        return None;
    };
    let says = says(key, &shape, problems);
    let when = when(key.id(), key.aspects(), &at, shape.when, problems)?;
    let citation = Citation { source: source?, clause: shape.clause.value };
    Some(Figure {
        key,
        when,
        says: says?,
        citation,
        status: shape.status,
        read: shape.read,
        note: shape.note,
        at,
    })
}

/// An item of the briefing; it may depend on the flight and on nothing else.
fn asked(
    shape: AskedShape,
    sources: &BTreeMap<String, Source>,
    problems: &mut Vec<Problem>,
) -> Option<Asked> {
    let at = shape.item.at.clone();
    let source = source(&shape.source, sources, problems);
    let cited = Cited { at: &at, clause: &shape.clause, read: shape.read };
    remarks(&cited, shape.note.as_deref(), problems);
    let when = when(shape.item.value.word(), &[], &at, shape.when, problems)?;
    Some(Asked {
        item: shape.item.value,
        when,
        citation: Citation { source: source?, clause: shape.clause.value },
        status: shape.status,
        read: shape.read,
        note: shape.note,
    })
}

pub(crate) fn source(
    id: &At<String>,
    sources: &BTreeMap<String, Source>,
    problems: &mut Vec<Problem>,
) -> Option<Source> {
    let found = sources.get(&id.value).cloned();
    if found.is_none() {
        let known: Vec<_> = sources.keys().map(String::as_str).collect();
        problems.push(
            Problem::new(id.at.clone(), format!("unknown source `{}`", id.value)).help(format!(
                "{}; or add [sources.{}]",
                did_you_mean(&id.value, &known),
                id.value
            )),
        );
    }
    found
}

/// What every figure, row and exception says of itself.
pub(crate) struct Cited<'a> {
    /// Where it stands.
    pub(crate) at: &'a Range<usize>,
    /// Its clause.
    pub(crate) clause: &'a At<String>,
    /// How it was read.
    pub(crate) read: Read,
}

/// The table of goods that a pack names must be there.
fn goods(named: Option<&At<String>>, problems: &mut Vec<Problem>) {
    let Some(named) = named else { return };
    let known: Vec<_> = builtin::goods_texts().iter().map(|(id, _)| *id).collect();
    if !known.contains(&named.value.as_str()) {
        problems.push(
            Problem::new(named.at.clone(), format!("there is no table of goods `{}`", named.value))
                .help(did_you_mean(&named.value, &known)),
        );
    }
}

fn exception(
    shape: ExceptionShape,
    sources: &BTreeMap<String, Source>,
    problems: &mut Vec<Problem>,
) -> Option<Exception> {
    let source = source(&shape.source, sources, problems);
    let cited = Cited { at: &shape.about.at, clause: &shape.clause, read: shape.read };
    remarks(&cited, shape.note.as_deref(), problems);
    Some(Exception {
        about: shape.about.value,
        operation: shape.operation,
        citation: Citation { source: source?, clause: shape.clause.value },
        status: shape.status,
        read: shape.read,
        note: shape.note,
    })
}

fn duty(
    shape: DutyShape,
    sources: &BTreeMap<String, Source>,
    problems: &mut Vec<Problem>,
) -> Option<Duty> {
    let source = source(&shape.source, sources, problems);
    let cited = Cited { at: &shape.events.at, clause: &shape.clause, read: shape.read };
    remarks(&cited, shape.note.as_deref(), problems);
    let key = |named: &At<String>| {
        let key = Key::named(&named.value).filter(|key| key.id().starts_with("report."));
        if key.is_none() {
            let all = Key::ALL.iter().map(|key| key.id());
            let known: Vec<_> = all.filter(|id| id.starts_with("report.")).collect();
            problems.push(
                Problem::new(named.at.clone(), format!("`{}` is no time of a report", named.value))
                    .help(did_you_mean(&named.value, &known)),
            );
        }
        key
    };
    let deadline = shape.deadline.as_ref().map(key);
    Some(Duty {
        events: shape.events.value,
        when: shape.when,
        tell: shape.tell,
        how: shape.how,
        deadline: deadline.flatten(),
        citation: Citation { source: source?, clause: shape.clause.value },
        status: shape.status,
        read: shape.read,
        note: shape.note,
    })
}

/// A figure without a clause cannot be looked up, and one from memory must say so in words.
pub(crate) fn remarks(cited: &Cited<'_>, note: Option<&str>, problems: &mut Vec<Problem>) {
    if cited.clause.value.trim().is_empty() {
        problems.push(
            Problem::new(cited.clause.at.clone(), "the figure names no clause")
                .help("name the clause, paragraph or table a reader would look up"),
        );
    }
    let silent = note.is_none_or(|note| note.trim().is_empty());
    if cited.read == Read::Memory && silent {
        problems.push(
            Problem::new(cited.at.clone(), "a figure from memory needs a note")
                .help("say in `note` how sure it is and what should be read"),
        );
    }
}

/// The value: exactly one of `value`, `curve`, `allowed`, of the sort the key takes.
fn says(key: Key, shape: &FigureShape, problems: &mut Vec<Problem>) -> Option<Says> {
    let at = &shape.key.at;
    match (&shape.value, &shape.curve, &shape.allowed, key.bounds()) {
        (Some(value), None, None, Some(bounds)) => {
            let (amount, unit) = amount(value, &bounds, problems)?;
            Some(Says::Constant(amount, unit))
        }
        (None, Some(points), None, Some(bounds)) if key.takes_curve() => {
            curve(points, &bounds, problems)
        }
        (None, None, Some(allowed), None) => Some(Says::Allowed(allowed.value)),
        (None, None, None, _) => {
            problems.push(Problem::new(at.clone(), format!("`{key}` has no value")).help(
                match key.kind() {
                    Some(kind) => format!("add value = \"{}\"", kind.example()),
                    None => "add allowed = true or allowed = false".to_owned(),
                },
            ));
            None
        }
        (None, Some(points), None, Some(_)) => {
            problems.push(
                Problem::new(points.at.clone(), format!("`{key}` does not follow the mass"))
                    .help("give one `value`; use `when` with mtow_over and mtow_up_to for steps"),
            );
            None
        }
        (value, curve, allowed, bounds) => {
            let spans = [
                value.as_ref().map(|value| &value.at),
                curve.as_ref().map(|curve| &curve.at),
                allowed.as_ref().map(|allowed| &allowed.at),
            ];
            let place = spans.into_iter().flatten().next_back().unwrap_or(at);
            let only = if bounds.is_some() { "value" } else { "allowed" };
            problems.push(
                Problem::new(place.clone(), format!("`{key}` takes `{only}` and nothing else"))
                    .help(format!("keep `{only}` and remove the rest")),
            );
            None
        }
    }
}

/// A quantity of the kind of `bounds`, inside them.
fn amount(
    written: &At<Written>,
    bounds: &Bounds,
    problems: &mut Vec<Problem>,
) -> Option<(Amount, Unit)> {
    let kind = bounds.unit.kind;
    let read = match &written.value {
        // A bare number is found to have no unit.
        Written::Text(text) | Written::Bare(text) => unit::read(text, kind),
    };
    let (problem, help) = match read {
        Ok((amount, unit)) => match bounds.check_amount(amount) {
            Ok(_) => return Some((amount, unit)),
            Err(error) => (error.to_string(), "correct the value, or its unit".to_owned()),
        },
        Err(error) => (error.to_string(), error.hint()),
    };
    problems.push(Problem::new(written.at.clone(), problem).help(help));
    None
}

fn curve(points: &At<Vec<Point>>, bounds: &Bounds, problems: &mut Vec<Problem>) -> Option<Says> {
    let mut read: Vec<(Mass, Ratio)> = Vec::new();
    let mut unit = bounds.unit;
    for Point(mtow, value) in &points.value {
        let (mtow_read, value_read) =
            (amount(mtow, &MTOW, problems), amount(value, bounds, problems));
        let ((mass, _), (factor, written_in)) = (mtow_read?, value_read?);
        let mass = Mass::from_si(mass.si);
        if read.last().is_some_and(|(before, _)| *before >= mass) {
            problems.push(
                Problem::new(mtow.at.clone(), "the masses of the curve do not rise")
                    .help("write the points from the lightest to the heaviest, each mass once"),
            );
            return None;
        }
        unit = written_in;
        read.push((mass, Ratio::from_si(factor.si)));
    }
    if read.len() < 2 {
        problems.push(
            Problem::new(points.at.clone(), "a curve needs two points or more")
                .help("add a point, or give one `value`"),
        );
        return None;
    }
    // Ranges and order were checked above, so the factor is always made.
    GradedFactor::new(read).ok().map(|curve| Says::Curve(curve, unit))
}

/// A condition that can hold and that the key knows.
fn when(
    key: &str,
    aspects: &[Aspect],
    at: &Range<usize>,
    shape: WhenShape,
    problems: &mut Vec<Problem>,
) -> Option<When> {
    let before = problems.len();
    for mass in [&shape.mtow_over, &shape.mtow_up_to].into_iter().flatten() {
        mass.check(&MTOW, problems);
    }
    if let (Some(over), Some(up_to)) = (&shape.mtow_over, &shape.mtow_up_to)
        && over.value >= up_to.value
    {
        problems.push(
            Problem::new(up_to.at.clone(), "no mass is over the one and up to the other")
                .help("mtow_up_to must be the greater of the two"),
        );
    }
    if let (Some(from), Some(to)) = (shape.seats_from, shape.seats_to)
        && from > to
    {
        problems.push(
            Problem::new(at.clone(), format!("no aeroplane has from {from} up to {to} seats"))
                .help("seats_to must be the same as seats_from, or greater"),
        );
    }
    let when = When {
        operation: shape.operation,
        flight_rules: shape.flight_rules,
        engine: shape.engine,
        mtow_over: shape.mtow_over,
        mtow_up_to: shape.mtow_up_to,
        seats_from: shape.seats_from,
        seats_to: shape.seats_to,
        surface: shape.surface,
        wet: shape.wet,
        grade: shape.grade,
        category: shape.category,
    };
    for aspect in when.aspects() {
        if !aspects.contains(&aspect) {
            let message = format!("`{key}` does not depend on `{}`", aspect.word());
            problems.push(
                Problem::new(at.clone(), message)
                    .help(format!("remove `{}` from `when`", aspect.word())),
            );
        }
    }
    (problems.len() == before).then_some(when)
}

/// Two figures of one key that can both apply must be ordered, or agree.
fn ambiguities(figures: &[Figure], problems: &mut Vec<Problem>) {
    for (later, b) in figures.iter().enumerate() {
        for a in figures.iter().take(later).filter(|a| a.key == b.key) {
            let (forth, back) = (a.when.within(&b.when), b.when.within(&a.when));
            let (key, one, two) = (b.key, &a.when, &b.when);
            if forth && back {
                problems.push(
                    Problem::new(b.at.clone(), format!("`{key}` is given twice for: {two}"))
                        .help("remove one of the two, or tell them apart in `when`"),
                );
            } else if !forth && !back && one.overlaps(two) && !a.says.agrees(&b.says) {
                let message =
                    format!("`{key}` is ambiguous: both \"{one}\" and \"{two}\" may apply");
                problems.push(
                    Problem::new(b.at.clone(), message)
                        .help("name in `when` what tells the two apart"),
                );
            }
        }
    }
}
