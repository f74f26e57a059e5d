//! The yard rack picture: every container where it lies, how full, how old, and its state.
//!
//! Containers stand in their rack rows as a person sees them from the front. What is not known
//! is drawn dashed and called unknown; nothing is made up to fill a gap.

use crate::{
    ADVICE, Width,
    shape::{self, RIM},
    state::{BADGE, State, badge, badge_width, strike},
    svg::{GREY, INK, PALE, PAPER, Paint, Sheet, Svg, Type},
    words::{count, known, litres_left, shorten, width, wrap},
};

/// The yard at one place on one day.
#[derive(Clone, Debug, PartialEq)]
pub struct RackPicture {
    /// The place.
    pub place: String,
    /// The day it was judged, in words.
    pub day: String,
    /// Rack rows, and rows for what stands on its own, in walking order.
    pub rows: Vec<Row>,
}

/// What lies or stands together.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Name of the row.
    pub name: String,
    /// From left to right.
    pub containers: Vec<Container>,
}

/// One container, with its words ready.
#[derive(Clone, Debug, PartialEq)]
pub struct Container {
    /// What people call it.
    pub label: String,
    /// Kind and how it lies.
    pub form: Form,
    /// What the yard says of it.
    pub state: State,
    /// Why, in a few words; may be empty.
    pub reason: String,
    /// Grade as written on it.
    pub grade: String,
    /// The supplier's lot.
    pub batch: String,
    /// Contents. \[L\]
    pub litres: Option<f64>,
    /// Contents as a share of what it holds, 0 to 1.
    pub fill: Option<f64>,
    /// Age against its limit.
    pub age: Option<Age>,
}

/// Age of fuel against the limit of the pack.
#[derive(Clone, Debug, PartialEq)]
pub struct Age {
    /// Age as a share of the limit: 1 is the last day.
    pub share: f64,
    /// The same in words: `7 of 12 months`.
    pub words: String,
}

/// Kind of container and how it lies.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Form {
    /// A drum on its side, its end towards the reader.
    OnSide {
        /// Where the large and the small bung point, as hours 1 to 12 of a clock.
        bungs: Option<[u8; 2]>,
        /// Chocked against rolling.
        chocked: Option<bool>,
        /// Off the ground, on timber.
        off_ground: Option<bool>,
    },
    /// A drum upright, from above.
    Upright,
    /// A drum upright and leaning, from above.
    Tilted,
    /// A fixed tank, from the side.
    Tank,
    /// A tank on wheels, from the side.
    Bowser,
}

/// Hours that a clock has; bungs anywhere else are as good as unknown.
pub(crate) fn on_clock(bungs: Option<[u8; 2]>) -> Option<[u8; 2]> {
    bungs.filter(|hours| hours.iter().all(|hour| (1..=12).contains(hour)))
}

/// Least width of one container. \[px\]
const CELL: f64 = 118.0;
const EDGE: f64 = 10.0;
/// From the top of a container's cell to the middle of its shape.
const MIDDLE: f64 = 20.0 + RIM;
/// From there to the badge.
const TO_BADGE: f64 = RIM + 13.0;
const NAME: Type = Type::bold(13.0);
const COUNT: Type = Type::bold(14.0);
const SMALL: Type = Type::plain(10.5);
const HEADING: Type = Type::bold(18.0);
const SECOND: Type = Type::plain(12.0).colour(GREY);
const ROW_NAME: Type = Type::bold(12.0).colour(PAPER);
const ROW_COUNT: Type = Type::plain(11.0).colour(PAPER);
const LINE: f64 = 13.0;

/// Draws the yard.
#[must_use]
pub fn rack(picture: &RackPicture, width: Width) -> String {
    let across = width.pixels();
    let columns = ((across - 2.0 * EDGE) / CELL).floor().max(1.0) as usize;
    let page = Page { across, columns, cell: (across - 2.0 * EDGE) / columns as f64 };
    let title = format!("Fuel yard at {} on {}", picture.place, picture.day);
    let head = head_height(picture, page);
    let height = head + rows_height(picture, page) + key_height(page) + 18.0;

    let sheet = Sheet { width: across, height, unit: "" };
    let mut svg = Svg::new(sheet, &title, &in_words(picture));
    write_head(&mut svg, picture, page);
    let mut y = head;
    for row in &picture.rows {
        y = write_row(&mut svg, row, page, y);
    }
    write_key(&mut svg, page, y + 8.0);
    svg.words((EDGE, height - 9.0), SMALL.colour(GREY), &foot(page));
    svg.finish()
}

/// What the layout depends on.
#[derive(Clone, Copy, Debug)]
struct Page {
    across: f64,
    columns: usize,
    cell: f64,
}

impl Page {
    fn inner(self) -> f64 {
        self.across - 2.0 * EDGE
    }
}

fn foot(page: Page) -> String {
    shorten(ADVICE, page.inner(), SMALL)
}

fn containers(picture: &RackPicture) -> impl Iterator<Item = &Container> {
    picture.rows.iter().flat_map(|row| &row.containers)
}

fn how_many(picture: &RackPicture, state: State) -> usize {
    containers(picture).filter(|container| container.state == state).count()
}

/// Badges with counts flow like words; this says where each stands.
fn tally(picture: &RackPicture, page: Page) -> Vec<(State, usize, (f64, f64))> {
    let (mut x, mut y) = (EDGE, 50.0);
    let mut placed = Vec::new();
    for state in State::ALL {
        let number = how_many(picture, state);
        let needed = width(&number.to_string(), COUNT) + 5.0 + badge_width(state);
        if number == 0 {
            continue;
        }
        if x > EDGE && x + needed > page.across - EDGE {
            (x, y) = (EDGE, y + BADGE + 6.0);
        }
        placed.push((state, number, (x, y)));
        x += needed + 14.0;
    }
    placed
}

fn head_height(picture: &RackPicture, page: Page) -> f64 {
    tally(picture, page).last().map_or(46.0, |(_, _, (_, y))| y + BADGE) + 12.0
}

fn write_head(svg: &mut Svg, picture: &RackPicture, page: Page) {
    let place = shorten(&picture.place, page.inner(), HEADING);
    svg.words((EDGE, 22.0), HEADING, &place);
    let total = count(containers(picture).count(), "container", "containers");
    let day = format!("fuel yard on {}, {total}", picture.day);
    svg.words((EDGE, 39.0), SECOND, &shorten(&day, page.inner(), SECOND));
    for (state, number, (x, y)) in tally(picture, page) {
        let number = number.to_string();
        svg.words((x, y + 13.5), COUNT, &number);
        badge(svg, state, (x + width(&number, COUNT) + 5.0, y));
    }
}

const ROW_HEAD: f64 = 24.0;

fn rows_height(picture: &RackPicture, page: Page) -> f64 {
    let rows = picture.rows.iter();
    rows.map(|row| {
        let lines = row.containers.chunks(page.columns);
        ROW_HEAD + lines.map(|line| line_height(line, page)).sum::<f64>()
    })
    .sum()
}

/// Cells side by side are as high as the one with the most to say.
fn line_height(line: &[Container], page: Page) -> f64 {
    let most = line.iter().map(|one| remarks(one, page).len()).max().unwrap_or(0);
    MIDDLE + TO_BADGE + BADGE + 42.0 + LINE * (most + 1) as f64 + 10.0
}

fn write_row(svg: &mut Svg, row: &Row, page: Page, top: f64) -> f64 {
    svg.rect((EDGE, top), (page.inner(), 18.0), 0.0, Paint::fill(INK));
    let number = count(row.containers.len(), "container", "containers");
    let room = page.inner() - width(&number, ROW_COUNT) - 20.0;
    let name = shorten(&row.name, room, ROW_NAME);
    svg.words((EDGE + 6.0, top + 13.2), ROW_NAME, &name);
    let right = ROW_COUNT.end();
    svg.words((page.across - EDGE - 6.0, top + 13.0), right, &number);
    let mut y = top + ROW_HEAD;
    for line in row.containers.chunks(page.columns) {
        for (place, container) in line.iter().enumerate() {
            write_cell(svg, container, page, (EDGE + page.cell * place as f64, y));
        }
        y += line_height(line, page);
    }
    y
}

fn write_cell(svg: &mut Svg, container: &Container, page: Page, (x, top): (f64, f64)) {
    let middle = x + page.cell / 2.0;
    let room = page.cell - 8.0;
    let label = shorten(&container.label, room, NAME);
    svg.words((middle, top + 12.0), NAME.middle(), &label);

    let at = (middle, top + MIDDLE);
    if let Form::OnSide { off_ground, .. } = container.form {
        // A hair wider than the cell, so that no gap shows between two timbers.
        shape::ground(svg, off_ground, (x, at.1), page.cell + 0.3);
    }
    shape::draw(svg, container, at);
    let strike_at = match container.form {
        Form::Upright | Form::Tilted => (at.0 - 8.0, at.1),
        Form::Tank | Form::Bowser => (at.0, at.1 - 3.0),
        Form::OnSide { .. } => at,
    };
    strike(svg, container.state, strike_at);

    let mut y = at.1 + TO_BADGE;
    badge(svg, container.state, (middle - badge_width(container.state) / 2.0, y));
    y += BADGE + 14.0;
    let litres = litres_left(container.litres).unwrap_or_else(|| "? L".into());
    svg.words((middle, y), NAME.middle(), &litres);
    let grade = shorten(&container.grade, room, SMALL);
    svg.words((middle, y + LINE), SMALL.middle(), &grade);
    age_bar(svg, container, (middle - 48.0, y + LINE + 8.0), 96.0);
    let age = known_age(container).map_or("age unknown", |age| age.words.as_str());
    y += LINE + 28.0;
    svg.words((middle, y), SMALL.middle(), &shorten(age, room, SMALL));
    svg.lines((middle, y + LINE), LINE, SMALL.middle(), &remarks(container, page));
}

fn known_age(container: &Container) -> Option<&Age> {
    container.age.as_ref().filter(|age| known(Some(age.share)).is_some())
}

/// Age along a bar whose tick is the limit: past the tick is over age, at a glance.
fn age_bar(svg: &mut Svg, container: &Container, (x, y): (f64, f64), length: f64) {
    /// The limit stands at four fifths, so that there is room to be over it.
    const LIMIT: f64 = 0.8;
    let Some(age) = known_age(container) else {
        let empty = Paint::line(GREY, 1.0).dashed("4 3");
        svg.rect((x, y), (length, 7.0), 0.0, empty);
        return;
    };
    let reached = (age.share * LIMIT).min(1.0) * length;
    let limit = x + LIMIT * length;
    svg.rect((x, y), (length, 7.0), 0.0, Paint::fill(PALE));
    svg.rect((x, y), (reached.min(LIMIT * length), 7.0), 0.0, Paint::fill(GREY));
    if age.share > 1.0 {
        let over = (reached - LIMIT * length, 11.0);
        svg.rect((limit, y - 2.0), over, 0.0, Paint::fill(INK));
    }
    svg.line((limit, y - 3.5), (limit, y + 10.5), Paint::line(INK, 2.0));
}

/// What stands below a container: why, and what is wrong with how it lies.
fn remarks(container: &Container, page: Page) -> Vec<String> {
    let mut lines = wrap(&container.reason, page.cell - 8.0, SMALL, 3);
    if let Some(lying) = lies_badly(&container.form) {
        lines.extend(wrap(&lying, page.cell - 8.0, SMALL, 3));
    }
    lines
}

/// Common practice, no source: on its side, bungs at three and nine, chocked, off the ground.
fn lies_badly(form: &Form) -> Option<String> {
    let Form::OnSide { bungs, chocked, off_ground } = form else { return None };
    let bungs = on_clock(*bungs);
    let mut said = Vec::new();
    match bungs {
        None | Some([3, 9] | [9, 3]) => {}
        Some([large, small]) => said.push(format!("bungs at {large} and {small}")),
    }
    if *chocked == Some(false) {
        said.push("not chocked".into());
    }
    if *off_ground == Some(false) {
        said.push("on the ground".into());
    }
    let missing = [
        ("bungs", bungs.is_none()),
        ("chocks", chocked.is_none()),
        ("timber", off_ground.is_none()),
    ];
    let missing: Vec<_> =
        missing.into_iter().filter_map(|(name, missing)| missing.then_some(name)).collect();
    if !missing.is_empty() {
        said.push(format!("{} unknown", missing.join(" and ")));
    }
    (!said.is_empty()).then(|| said.join(", "))
}

/// What each state means, in the words of the key.
const fn meaning(state: State) -> &'static str {
    match state {
        State::Fit => "every limit holds",
        State::NotFit => "a limit breaks",
        State::Unknown => "something is missing",
        State::Recalled => "its batch was called back",
        State::Condemned => "a person said: do not use",
        State::Empty => "nothing usable is left",
    }
}

const KEY_STEP: f64 = 23.0;
const KEY_CELL: f64 = 270.0;
const READING: &str = "Drums on their side show their end: the bungs are dots, the larger one with \
    a hollow; the fuel stands as high as it does inside. Dashed is not known. The bar below is the \
    age; its tick is the limit.";

fn key_columns(page: Page) -> usize {
    ((page.inner() / KEY_CELL).floor() as usize).max(1)
}

fn key_height(page: Page) -> f64 {
    let rows = State::ALL.len().div_ceil(key_columns(page));
    let lines = wrap(READING, page.inner(), SMALL, 8).len();
    19.0 + KEY_STEP * rows as f64 + LINE * lines as f64 + 12.0
}

fn write_key(svg: &mut Svg, page: Page, top: f64) {
    svg.line((EDGE, top), (page.across - EDGE, top), Paint::line(INK, 1.0));
    let columns = key_columns(page);
    for (place, state) in State::ALL.into_iter().enumerate() {
        let x = EDGE + page.inner() / columns as f64 * (place % columns) as f64;
        let y = top + 9.0 + KEY_STEP * (place / columns) as f64;
        badge(svg, state, (x, y));
        let after = badge_width(State::Condemned) + 8.0;
        svg.words((x + after, y + 12.5), Type::plain(11.0), meaning(state));
    }
    let rows = State::ALL.len().div_ceil(columns) as f64;
    let at = (EDGE, top + 9.0 + KEY_STEP * rows + 10.0);
    svg.lines(at, LINE, SMALL.colour(GREY), &wrap(READING, page.inner(), SMALL, 8));
}

/// All that the picture shows, for those who do not see it.
fn in_words(picture: &RackPicture) -> String {
    let total = count(containers(picture).count(), "container", "containers");
    let states = State::ALL.into_iter().filter_map(|state| {
        let number = how_many(picture, state);
        (number > 0).then(|| format!("{number} {}", state.word()))
    });
    let states: Vec<_> = states.collect();
    let mut says = format!("{total}: {}.", states.join(", "));
    if states.is_empty() {
        says = "No containers.".into();
    }
    for row in &picture.rows {
        let number = count(row.containers.len(), "container", "containers");
        says += &format!(" {}, {number}.", row.name);
        for container in &row.containers {
            says.push(' ');
            says += &container_in_words(container);
        }
    }
    format!("{says} {ADVICE}")
}

fn container_in_words(container: &Container) -> String {
    let Container { label, state, reason, grade, batch, .. } = container;
    let why = if reason.is_empty() { String::new() } else { format!(" ({reason})") };
    let litres = litres_left(container.litres).unwrap_or_else(|| "litres unknown".into());
    let fill = known(container.fill).map_or_else(
        || "level unknown".to_owned(),
        |share| format!("{:.0} % full", (share.min(1.0) * 100.0).floor()),
    );
    let age = known_age(container).map_or("unknown", |age| age.words.as_str());
    let form = form_in_words(&container.form);
    format!(
        "{label}: {}{why}; {form}; {grade}, batch {batch}, {litres}, {fill}, age {age}.",
        state.word()
    )
}

fn form_in_words(form: &Form) -> String {
    let Form::OnSide { bungs, chocked, off_ground } = form else {
        let words = match form {
            Form::Upright => "drum upright",
            Form::Tilted => "drum tilted",
            Form::Tank => "tank",
            _ => "bowser",
        };
        return words.into();
    };
    let bungs = on_clock(*bungs).map_or_else(
        || "bungs unknown".to_owned(),
        |[large, small]| format!("bungs at {large} and {small} o'clock"),
    );
    let chocked = match chocked {
        Some(true) => "chocked",
        Some(false) => "not chocked",
        None => "chocks unknown",
    };
    let ground = match off_ground {
        Some(true) => "off the ground",
        Some(false) => "on the ground",
        None => "timber unknown",
    };
    format!("drum on its side, {bungs}, {chocked}, {ground}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drum() -> Container {
        Container {
            label: "A-1".into(),
            form: Form::OnSide { bungs: Some([3, 9]), chocked: Some(true), off_ground: Some(true) },
            state: State::Fit,
            reason: String::new(),
            grade: "100LL".into(),
            batch: "B-1".into(),
            litres: Some(198.9),
            fill: Some(0.95),
            age: Some(Age { share: 0.25, words: "3 of 12 months".into() }),
        }
    }

    fn drawn(container: Container) -> String {
        let rows = vec![Row { name: "Rack A".into(), containers: vec![container] }];
        let picture = RackPicture { place: "P".into(), day: "D".into(), rows };
        rack(&picture, Width::PHONE)
    }

    #[test]
    fn what_is_no_number_is_unknown_and_never_drawn_as_full_or_empty() {
        for wrong in [f64::NAN, f64::INFINITY, -0.1] {
            let age = Some(Age { share: wrong, words: "3 of 12 months".into() });
            let text = drawn(Container { litres: Some(wrong), fill: Some(wrong), age, ..drum() });
            assert!(text.contains("litres unknown, level unknown, age unknown"), "{text}");
            assert!(text.contains(">? L<") && text.contains(">age unknown<"));
            assert!(!text.contains("NaN") && !text.contains("inf"));
        }
    }

    #[test]
    fn litres_round_down_and_an_overfull_drum_is_drawn_full() {
        let text = drawn(Container { fill: Some(1.2), ..drum() });
        assert!(text.contains("198 L, 100 % full"), "{text}");
    }

    #[test]
    fn both_sides_of_the_age_limit_differ_in_shape() {
        let over = |share| {
            let age = Some(Age { share, words: "words".into() });
            drawn(Container { age, ..drum() }).matches("height=\"11\"").count()
        };
        assert_eq!((over(1.0), over(1.000_1)), (0, 1));
    }

    #[test]
    fn how_a_drum_should_lie_is_silent_and_anything_else_is_said() {
        let lying = |bungs, chocked, off_ground| {
            lies_badly(&Form::OnSide { bungs, chocked, off_ground }).unwrap_or_default()
        };
        assert_eq!(lying(Some([3, 9]), Some(true), Some(true)), "");
        assert_eq!(lying(Some([9, 3]), Some(true), Some(true)), "");
        assert_eq!(lying(Some([12, 6]), Some(true), Some(true)), "bungs at 12 and 6");
        assert_eq!(lying(None, None, Some(false)), "on the ground, bungs and chocks unknown");
        for hours in [[0, 9], [3, 13]] {
            assert_eq!(lying(Some(hours), Some(true), Some(true)), "bungs unknown");
        }
    }

    #[test]
    fn bungs_point_where_the_clock_says() {
        // Three o'clock is to the right of the middle, twelve above it.
        let text = drawn(Container {
            form: Form::OnSide { bungs: Some([3, 12]), chocked: None, off_ground: None },
            ..drum()
        });
        let tree = roxmltree::Document::parse(&text).unwrap();
        let centre = |r: &str| {
            let node = tree.descendants().find(|node| node.attribute("r") == Some(r)).unwrap();
            ["cx", "cy"].map(|key| node.attribute(key).unwrap().parse::<f64>().unwrap())
        };
        let ([x, y], large, small) = (centre("33"), centre("5.5"), centre("3.4"));
        assert!(large[0] > x + 10.0 && (large[1] - y).abs() < 0.01);
        assert!(small[1] < y - 10.0 && (small[0] - x).abs() < 0.01);
    }

    #[test]
    fn an_empty_yard_says_so() {
        let picture = RackPicture { place: "P".into(), day: "D".into(), rows: Vec::new() };
        assert!(rack(&picture, Width::PHONE).contains("<desc>No containers."));
    }
}
