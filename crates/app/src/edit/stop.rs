//! What a page lets people change in a turnaround, as fields with names, and the text of the
//! document after such a change.
//!
//! A field that says what the document says already changes nothing, so an untouched form gives
//! back the same bytes.

use std::ops::Range;

use stillprop_turnaround::stage::offset_of;

use super::{
    Parsed,
    Step::{self, At, Key},
    add, count, quoted, set, take_away, unset, value,
};

/// A field and what was typed into it.
pub(crate) type Typed = (String, String);

/// What may be chosen in a field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Sort {
    /// Free text: a quantity with its unit, a bearing, a name.
    Text,
    /// A local time; the offset of the document is kept.
    Time,
    /// One of the seats.
    Seat,
    /// One of the seats and lockers.
    Place,
    /// One of the directions of the strip.
    Direction,
    /// Of these.
    OneOf(&'static [&'static str]),
}

/// A field of the form.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Field {
    /// Its name: `people.0.mass`.
    pub(crate) name: String,
    /// What it says to a person.
    pub(crate) label: &'static str,
    /// What may be chosen.
    pub(crate) sort: Sort,
    /// What the document says now; empty when nothing.
    pub(crate) value: String,
    /// Where it says so.
    pub(crate) at: Option<Range<usize>>,
}

/// Fields that belong together.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Group {
    /// What they are about.
    pub(crate) title: String,
    /// The fields.
    pub(crate) fields: Vec<Field>,
    /// Name of the box that takes all of it away: `people.0.away`.
    pub(crate) away: Option<String>,
}

/// Key, label and sort of a field within its table.
type Row = (&'static str, &'static str, Sort);

const KNOWN: &[&str] = &["weighed", "stated", "standard"];
const ITEM_KNOWN: &[&str] = &["weighed", "stated"];

/// What is said of somebody, or of a bag, that was asked about and holds nothing dangerous.
const ASKED: &[&str] = &["asked: none"];

const HEAD: &[Row] =
    &[("departs", "chocks off, local time", Sort::Time), ("take_off", "take-off", Sort::Direction)];
const WEATHER: &[Row] = &[
    ("temperature", "temperature", Sort::Text),
    ("qnh", "QNH", Sort::Text),
    ("wind.from", "wind from", Sort::Text),
    ("wind.speed", "wind speed", Sort::Text),
    ("wind.gust", "gust", Sort::Text),
];
const PERSON: &[Row] = &[
    ("name", "name", Sort::Text),
    ("seat", "seat", Sort::Seat),
    ("mass", "mass", Sort::Text),
    ("known", "how known", Sort::OneOf(KNOWN)),
    ("carries", "dangerous goods", Sort::OneOf(ASKED)),
];
const ITEM: &[Row] = &[
    ("what", "what", Sort::Text),
    ("in", "where", Sort::Place),
    ("mass", "mass", Sort::Text),
    ("known", "how known", Sort::OneOf(ITEM_KNOWN)),
    ("contains", "dangerous goods", Sort::OneOf(ASKED)),
];
const TANK: &[Row] = &[("on_board", "aboard now", Sort::Text), ("uplift", "to take", Sort::Text)];
const DRAW: &[Row] = &[("drum", "drum", Sort::Text), ("draw", "to draw", Sort::Text)];
const GROUND: &[Row] =
    &[("at", "stands at: east, north", Sort::Text), ("heading", "nose points to", Sort::Text)];

/// Every field of a document, in the order of the form; the entries named `new` add to a list.
pub(crate) fn groups(text: &str) -> Vec<Group> {
    let Some(text) = &Parsed::of(text) else { return Vec::new() };
    let one = |title: &str, prefix: &str, rows: &[Row]| Group {
        title: title.to_owned(),
        fields: rows.iter().filter_map(|row| field(text, prefix, row)).collect(),
        away: None,
    };
    let many = |list: &str, name: &str, rows: &[Row], title: &dyn Fn(usize) -> String| {
        let path: Vec<Step<'_>> = list.split('.').map(Key).collect();
        let one = |place: usize| Group {
            title: title(place),
            fields: rows
                .iter()
                .filter_map(|row| field(text, &format!("{list}.{place}."), row))
                .collect(),
            away: (!name.is_empty()).then(|| format!("{list}.{place}.away")),
        };
        (0..text.count(&path)).map(one).collect::<Vec<_>>()
    };
    let said = |list: &str, place: usize, key: &str| {
        let name = format!("{list}.{place}.{key}");
        text.value(&path(&name)).map_or_else(|| "?".to_owned(), |found| found.text)
    };
    let mut groups =
        vec![one("when and which way", "", HEAD), one("weather here", "weather.", WEATHER)];
    groups.extend(many("people", "name", PERSON, &|place| said("people", place, "name")));
    groups.push(one("one more person", "people.new.", PERSON));
    groups.extend(many("items", "what", ITEM, &|place| said("items", place, "what")));
    groups.push(one("one more item", "items.new.", ITEM));
    groups.extend(many("fuel.tanks", "", TANK, &|place| {
        format!("tank {}", said("fuel.tanks", place, "tank"))
    }));
    groups.extend(many("fuel.drums", "", DRAW, &|place| {
        format!("drum into {}", said("fuel.drums", place, "tank"))
    }));
    if text.value(&[Key("ground")]).is_some() {
        groups.push(one("parking place", "ground.", GROUND));
    }
    groups
}

/// A field of the form; none for goods that are declared: those are changed in the document.
fn field(text: &Parsed<'_>, prefix: &str, (key, label, sort): &Row) -> Option<Field> {
    let name = format!("{prefix}{key}");
    let found = if prefix.contains(".new.") { None } else { text.value(&path(&name)) };
    if *sort == Sort::OneOf(ASKED) && found.as_ref().is_some_and(|found| found.text != "[]") {
        return None;
    }
    let at = found.as_ref().map(|found| found.at.clone());
    let said = found.map_or_else(String::new, |found| match sort {
        Sort::Time => local(&found.text).unwrap_or(found.text),
        Sort::OneOf(words) if *words == ASKED => ASKED.concat(),
        // A pair is shown without its brackets.
        _ if name == "ground.at" => found.text.trim_matches(['[', ']', ' ']).to_owned(),
        _ => found.text,
    });
    Some(Field { name, label, sort: sort.clone(), value: said, at })
}

/// `people.0.mass` as the way to its value.
pub(crate) fn path(name: &str) -> Vec<Step<'_>> {
    let step = |part| str::parse(part).map_or(Key(part), At);
    name.split('.').map(step).collect()
}

/// `2026-12-03T13:40` of `2026-12-03T13:40:00+05:30`, as a field for local times takes it.
fn local(moment: &str) -> Option<String> {
    let (day, rest) = moment.split_once(['T', 't', ' '])?;
    let time = rest.get(..5)?;
    Some(format!("{day}T{time}"))
}

/// A local time typed into a field, with the offset that the document has.
fn moment(typed: &str, before: &str) -> Option<String> {
    let (day, time) = typed.split_once(['T', ' '])?;
    let digits = |text: &str, shape: &str| {
        text.len() == shape.len()
            && text.bytes().zip(shape.bytes()).all(|(c, s)| match s {
                b'0' => c.is_ascii_digit(),
                s => c == s,
            })
    };
    let time = match time.len() {
        5 => format!("{time}:00"),
        _ => time.to_owned(),
    };
    let offset =
        before.get(before.len().saturating_sub(6)..).filter(|end| offset_of(end).is_some());
    let offset = offset.or_else(|| before.ends_with(['Z', 'z']).then_some("Z"))?;
    let whole = digits(day, "0000-00-00") && digits(&time, "00:00:00");
    whole.then(|| format!("{day}T{time}{offset}"))
}

/// The text of a document after what was typed. Fields that are not of the form are passed by.
pub(crate) fn applied(text: &str, typed: &[Typed]) -> String {
    let said = |name: &str| typed.iter().rfind(|(field, _)| field == name).map(|(_, it)| it.trim());
    let mut out = text.to_owned();
    if typed.is_empty() {
        return out;
    }
    let groups = groups(text);
    for field in groups.iter().flat_map(|group| &group.fields) {
        let Some(new) = said(&field.name).filter(|new| *new != field.value) else { continue };
        if field.name.contains(".new.") {
            continue;
        }
        out = changed(&out, field, new);
    }
    // A wind without a speed is no wind.
    let speed = "weather.wind.speed";
    if said(speed) == Some("") && value(&out, &path("weather.wind")).is_some() {
        out = unset(&out, &path("weather.wind"));
    }
    for list in ["people", "items"] {
        for place in (0..count(text, &[Key(list)])).rev() {
            if said(&format!("{list}.{place}.away")).is_some() {
                if list == "people" {
                    out = left_by(&out, place);
                }
                out = take_away(&out, list, place);
            }
        }
        let (rows, first) = if list == "people" { (PERSON, "name") } else { (ITEM, "what") };
        let new = |key: &str| said(&format!("{list}.new.{key}")).unwrap_or_default();
        if !new(first).is_empty() {
            let lines = rows.iter().filter(|row| !new(row.0).is_empty());
            let lines: Vec<_> = lines.map(|row| (row.0, literal(&row.2, new(row.0)))).collect();
            out = add(&out, list, &lines);
        }
    }
    out
}

/// What somebody who is left out has in the bags stays there and is nobody's: it counts into
/// everybody's sums.
pub(crate) fn left_by(text: &str, person: usize) -> String {
    let said = |text: &str, path: &[Step<'_>]| Some(value(text, path)?.text);
    let Some(name) = said(text, &[Key("people"), At(person), Key("name")]) else {
        return text.to_owned();
    };
    let mut out = text.to_owned();
    for item in 0..count(text, &[Key("items")]) {
        let contains = [Key("items"), At(item), Key("contains")];
        for thing in 0..count(text, &contains) {
            let of = [&contains[..], &[At(thing), Key("of")]].concat();
            if said(&out, &of).as_ref() == Some(&name) {
                out = unset(&out, &of);
            }
        }
    }
    // Whoever they were to help has to be given somebody else: the briefing asks for it.
    for other in 0..count(text, &[Key("people")]) {
        let helper = [Key("people"), At(other), Key("helped_by")];
        if said(&out, &helper).as_ref() == Some(&name) {
            out = unset(&out, &helper);
        }
    }
    out
}

fn changed(text: &str, field: &Field, new: &str) -> String {
    let path = path(&field.name);
    // What names a thing is never left out, so that the error stands beside it.
    let named = ["name", "what", "in", "known", "departs", "take_off", "drum", "draw"];
    let last = field.name.rsplit('.').next().unwrap_or_default();
    if new.is_empty() && !named.contains(&last) {
        return unset(text, &path);
    }
    let literal = match field.sort {
        Sort::Time => {
            let before = value(text, &path).map_or_else(String::new, |found| found.text);
            moment(new, &before).unwrap_or_else(|| quoted(new))
        }
        _ if field.name == "ground.at" => pair(new).unwrap_or_else(|| quoted(new)),
        _ => literal(&field.sort, new),
    };
    set(text, &path, &literal).unwrap_or_else(|| text.to_owned())
}

/// What was typed or chosen, as TOML has it.
fn literal(sort: &Sort, new: &str) -> String {
    if *sort == Sort::OneOf(ASKED) && ASKED.contains(&new) { "[]".to_owned() } else { quoted(new) }
}

/// Two numbers as TOML has them.
fn pair(typed: &str) -> Option<String> {
    let (east, north) = typed.split_once(',')?;
    let number = |text: &str| text.trim().parse::<f64>().ok().filter(|number| number.is_finite());
    Some(format!("[{}, {}]", number(east)?, number(north)?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::world::DEMO;

    fn typed(rows: &[(&str, &str)]) -> Vec<Typed> {
        rows.iter().map(|(name, said)| ((*name).to_owned(), (*said).to_owned())).collect()
    }

    fn demo() -> &'static str {
        DEMO.iter().find(|(name, _)| name.ends_with("/ready.toml")).unwrap().1
    }

    #[test]
    fn an_untouched_form_changes_no_byte_of_any_demonstration() {
        for (name, text) in DEMO.iter().filter(|(name, _)| name.contains("/turnarounds/")) {
            let all: Vec<Typed> = groups(text)
                .into_iter()
                .flat_map(|group| group.fields)
                .map(|field| (field.name, field.value))
                .collect();
            assert!(all.len() > 10, "{name}");
            assert_eq!(applied(text, &all), *text, "{name}");
        }
    }

    #[test]
    fn each_field_changes_its_own_value() {
        let text = demo();
        for (field, new, line) in [
            ("people.1.mass", "63.5 kg", "mass = \"63.5 kg\""),
            ("people.1.seat", "3R", "seat = \"3R\""),
            ("items.0.mass", "70 kg", "mass = \"70 kg\""),
            ("fuel.tanks.0.uplift", "60 L", "uplift = \"60 L\""),
            ("departs", "2026-12-03T14:05", "departs = 2026-12-03T14:05:00+05:30"),
            ("weather.temperature", "31 degC", "temperature = \"31 degC\""),
            ("weather.wind.speed", "9 kt", "wind = { speed = \"9 kt\" }"),
            ("ground.at", "16.5, 3", "at = [16.5, 3]"),
            ("ground.heading", "240 degT", "heading = \"240 degT\""),
        ] {
            let changed = applied(text, &typed(&[(field, new)]));
            assert!(changed.contains(line), "{field}: {changed}");
            let differ = changed.lines().filter(|line| !text.lines().any(|old| old == *line));
            assert_eq!(differ.count(), 1, "{field}");
        }
    }

    #[test]
    fn people_and_items_come_and_go() {
        let new = [
            ("people.new.name", "Ulo \"Tal\" Kesk"),
            ("people.new.seat", "3R"),
            ("people.new.mass", "84 kg"),
            ("people.new.known", "weighed"),
            ("people.new.carries", "asked: none"),
        ];
        let more = applied(demo(), &typed(&new));
        assert_eq!(count(&more, &[Key("people")]), 6);
        assert_eq!(value(&more, &path("people.5.name")).unwrap().text, "Ulo \"Tal\" Kesk");
        assert_eq!(value(&more, &path("people.5.carries")).unwrap().text, "[]");
        let fewer = applied(&more, &typed(&[("people.5.away", "on")]));
        assert_eq!(fewer, demo());
        let fewer = applied(demo(), &typed(&[("items.0.away", "on"), ("items.2.away", "on")]));
        assert_eq!(count(&fewer, &[Key("items")]), 1);
        assert_eq!(value(&fewer, &path("items.0.what")).unwrap().text, "bags");
    }

    #[test]
    fn what_somebody_leaves_in_a_bag_stays_and_is_nobodys() {
        let fewer = applied(demo(), &typed(&[("people.1.away", "on")]));
        assert!(demo().contains("each = \"250 mL\", of = \"Ane Borrelk\" }"));
        assert!(fewer.contains("{ what = \"hairspray\", each = \"250 mL\" }"), "{fewer}");
        assert!(fewer.contains("of = \"Isko Dannuv\"") && !fewer.contains("Ane Borrelk"));
    }

    #[test]
    fn what_is_no_time_stays_where_the_reader_can_say_so() {
        for wrong in ["soon", "2026-12-03", "2026-12-03T1:40", "\"\n[people]"] {
            let changed = applied(demo(), &typed(&[("departs", wrong)]));
            let stands = value(&changed, &path("departs")).unwrap().text;
            assert_eq!(stands, wrong.trim(), "{wrong}");
        }
        // A day that no calendar has is for the reader too.
        let changed = applied(demo(), &typed(&[("departs", "2026-13-45T10:00")]));
        assert!(changed.contains("2026-13-45T10:00:00+05:30"));
    }

    #[test]
    fn fields_that_are_not_of_the_form_change_nothing() {
        let odd =
            typed(&[("aircraft", "../x.toml"), ("people.99.mass", "1 kg"), ("", "x"), ("by", "A")]);
        assert_eq!(applied(demo(), &odd), demo());
    }
}
