//! What can be recorded of a container, as forms; what was typed becomes what the command line
//! would have stated.

use clap::ValueEnum;
use jiff::civil::Date;
use maud::{Markup, html};
use uuid::Uuid;

use super::{bits::Input, typed::Pairs};
use crate::yard::{
    record::{
        CorrectOptions, DrawOptions, DrumOption, InspectOptions, MoveOptions, OpenOptions,
        ReasonOptions, RecallOptions, ReceiveOptions, RetestOptions, SampleOptions, StandOptions,
        Verb, VolumeOptions,
    },
    typed,
};

/// What is recorded: the verbs of the command line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Form {
    /// A container came in.
    Receive,
    /// It was moved or put down.
    Move,
    /// It was looked over.
    Inspect,
    /// It was stood up.
    Stand,
    /// A sample was drawn.
    Sample,
    /// It was opened.
    Open,
    /// Fuel was drawn.
    Draw,
    /// What is left was written on it.
    Mark,
    /// Its contents were counted.
    Count,
    /// Nothing usable is left.
    Empty,
    /// It must not be used.
    Condemn,
    /// A batch was called back.
    Recall,
    /// A batch was tested again.
    Retest,
    /// An earlier record was wrong.
    Correct,
}

/// A field of a form.
struct Row {
    name: &'static str,
    label: &'static str,
    hint: &'static str,
    asks: Asks,
}

/// How a field is filled in.
enum Asks {
    /// A few words.
    Words,
    /// A number and one of these units.
    Amount(&'static [&'static str]),
    /// The same where the number may be below zero: a phone's number keys have no sign.
    Signed(&'static [&'static str]),
    /// A day.
    Day,
    /// One of these, each with its words.
    One(&'static [(&'static str, &'static str)]),
    /// A text of several lines.
    Text,
}

const fn row(name: &'static str, label: &'static str, hint: &'static str, asks: Asks) -> Row {
    Row { name, label, hint, asks }
}

const VOLUMES: &[&str] = &["L", "USgal", "impgal"];
const DENSITIES: &[&str] = &["kg/L", "kg/m3", "lb/USgal"];
const TEMPERATURES: &[&str] = &["degC", "degF"];

const YES: Asks = Asks::One(&[("", "no"), ("on", "yes")]);
const SEALS: Asks = Asks::One(&[
    ("", "choose"),
    ("intact", "all there and whole"),
    ("broken", "broken or missing"),
]);
const LOOKS: Asks = Asks::One(&[
    ("", "choose"),
    ("none", "none"),
    ("slight", "some, on the surface"),
    ("severe", "severe: the lining may be loose"),
]);

const RECEIVE: &[Row] = &[
    row(
        "kind",
        "Kind",
        "",
        Asks::One(&[("drum", "drum"), ("tank", "fixed tank"), ("bowser", "tank on wheels")]),
    ),
    row("label", "What people call it", "NT-24", Asks::Words),
    row("place", "The yard it is in", "", Asks::Words),
    row("grade", "Grade as written on it", "avgas 100LL", Asks::Words),
    row("batch", "The supplier's lot", "", Asks::Words),
    row("supplier", "The supplier", "", Asks::Words),
    row("filled", "Day it was filled", "", Asks::Day),
    row("contents", "Contents", "", Asks::Amount(VOLUMES)),
    row("capacity", "Holds when full", "a drum: 216.5 L", Asks::Amount(VOLUMES)),
    row(
        "temperature",
        "Temperature of the contents",
        "may be left empty",
        Asks::Signed(TEMPERATURES),
    ),
    row("seals", "Numbers of its seals, commas between", "may be left empty", Asks::Words),
    row("maker_number", "Number of the maker", "may be left empty", Asks::Words),
    row("anyway", "Another of that label is there, record it anyway", "", YES),
];
const MOVE: &[Row] = &[
    row("place", "The yard", "", Asks::Words),
    row("rack", "Rack and row", "may be left empty", Asks::Words),
    row(
        "posture",
        "How it lies now",
        "",
        Asks::One(&[
            ("", "choose"),
            ("on-side", "on its side"),
            ("upright", "upright"),
            ("tilted", "tilted, low point away from the bung"),
        ]),
    ),
    row(
        "bungs",
        "Where the two bungs point, as hours of a clock",
        "3,9; may be left empty",
        Asks::Words,
    ),
    row("chocked", "Chocked against rolling", "", YES),
    row("off_ground", "Off the ground, on timber", "", YES),
    row("shaded", "In the shade", "", YES),
];
const INSPECT: &[Row] = &[
    row("dents", "Dents", "", LOOKS),
    row("rust", "Rust", "", LOOKS),
    row("seals", "Seals", "", SEALS),
    row(
        "lining",
        "Lining",
        "",
        Asks::One(&[("", "not looked at"), ("true", "sound"), ("false", "not sound")]),
    ),
    row("label_lost", "The label cannot be read", "", YES),
    row("note", "Anything else", "may be left empty", Asks::Words),
];
const STAND: &[Row] = &[row(
    "tilted",
    "How it stands",
    "",
    Asks::One(&[("", "upright"), ("on", "tilted, low point away from the bung")]),
)];
const SAMPLE: &[Row] = &[
    row(
        "appearance",
        "How it looks",
        "",
        Asks::One(&[
            ("", "choose"),
            ("clear", "clear and bright"),
            ("haze", "haze"),
            ("sediment", "sediment"),
            ("water", "water"),
        ]),
    ),
    row("colour", "Colour in a word", "blue", Asks::Words),
    row(
        "paste",
        "Water paste",
        "",
        Asks::One(&[("", "choose"), ("dry", "dry"), ("wet", "wet"), ("not-used", "not used")]),
    ),
    row("density", "Density as read", "may be left empty", Asks::Amount(DENSITIES)),
    row("temperature", "Its temperature", "with a density", Asks::Signed(TEMPERATURES)),
    row("not_low_point", "Not drawn from the low point", "", YES),
];
const OPEN: &[Row] = &[row("seals", "The seals just before", "", SEALS)];
const DRAW: &[Row] = &[
    row("volume", "How much", "", Asks::Amount(VOLUMES)),
    row(
        "aircraft",
        "Registration of the aircraft it went into",
        "empty when another container, or waste",
        Asks::Words,
    ),
    row("tank", "Tank of that aircraft", "", Asks::Words),
    row("container", "Or another container", "its label", Asks::Words),
    row("waste", "Or samples, flushing, waste", "", YES),
    row("flight", "Flight it is for", "may be left empty", Asks::Words),
    row("anyway", "The book says it cannot be, record it anyway", "", YES),
];
const VOLUME: &[Row] = &[row("volume", "How much is in it", "", Asks::Amount(VOLUMES))];
const CONDEMN: &[Row] = &[row("reason", "Why", "", Asks::Words)];
const BATCH_ANYWAY: Row =
    row("anyway", "No container here was filled from it, record it anyway", "", YES);
const RECALL: &[Row] = &[
    row("batch", "The batch", "as it stands on the drums", Asks::Words),
    row("reason", "Why, and who called it back", "", Asks::Words),
    BATCH_ANYWAY,
];
const RETEST: &[Row] = &[
    row("batch", "The batch", "as it stands on the drums", Asks::Words),
    row("on", "Day of the test", "", Asks::Day),
    row(
        "passed",
        "What the test says",
        "",
        Asks::One(&[
            ("", "choose"),
            ("true", "it may still be used"),
            ("false", "it may not be used"),
        ]),
    ),
    BATCH_ANYWAY,
];
const CORRECT: &[Row] = &[
    row("reason", "What was wrong with it", "", Asks::Words),
    row(
        "how",
        "What is right",
        "",
        Asks::One(&[("void", "it did not happen at all"), ("instead", "it was as written below")]),
    ),
    row(
        "instead",
        "What should have been recorded",
        "only where it was otherwise: change what is wrong in it",
        Asks::Text,
    ),
];

/// What is wrong with the fields; the empty name is for what is wrong as a whole.
pub(crate) type Errors = Vec<(&'static str, String)>;

/// The forms with their words: the verbs of the command line, and what each says.
const FORMS: &[(Form, &str, &str, &[Row])] = &[
    (Form::Receive, "receive", "A container came in", RECEIVE),
    (Form::Stand, "stand", "It was stood up", STAND),
    (Form::Sample, "sample", "A sample was drawn", SAMPLE),
    (Form::Open, "open", "It was opened", OPEN),
    (Form::Draw, "draw", "Fuel was drawn", DRAW),
    (Form::Mark, "mark", "What is left was written on it", VOLUME),
    (Form::Count, "count", "Its contents were counted", VOLUME),
    (Form::Move, "move", "It was moved or put down", MOVE),
    (Form::Inspect, "inspect", "It was looked over", INSPECT),
    (Form::Empty, "empty", "Nothing usable is left", &[]),
    (Form::Condemn, "condemn", "It must not be used", CONDEMN),
    (Form::Recall, "recall", "A batch was called back", RECALL),
    (Form::Retest, "retest", "A batch was tested again", RETEST),
    (Form::Correct, "correct", "A record was wrong", CORRECT),
];

impl Form {
    /// The form of a word.
    pub(crate) fn named(word: &str) -> Option<Self> {
        FORMS.iter().find(|form| form.1 == word).map(|form| form.0)
    }

    /// What can be said of a container that is there, in the order in which it is offered.
    pub(crate) fn of_container() -> impl Iterator<Item = Self> {
        let not = [Self::Receive, Self::Recall, Self::Retest, Self::Correct];
        FORMS.iter().map(|form| form.0).filter(move |form| !not.contains(form))
    }

    /// Its word in an address: the verb of the command line.
    pub(crate) fn word(self) -> &'static str {
        FORMS.iter().find(|form| form.0 == self).map_or("", |form| form.1)
    }

    /// What it says.
    pub(crate) fn title(self) -> &'static str {
        FORMS.iter().find(|form| form.0 == self).map_or("", |form| form.2)
    }

    fn rows(self) -> &'static [Row] {
        FORMS.iter().find(|form| form.0 == self).map_or(&[], |form| form.3)
    }

    /// What was typed, as the command line would have stated it; or what is wrong where.
    pub(crate) fn stated(self, pairs: &Pairs) -> Result<Verb, Errors> {
        let mut read = Read { pairs, errors: Vec::new() };
        let verb = match self {
            Self::Receive => read.receive().map(Verb::Receive),
            Self::Move => read.moved().map(Verb::Move),
            Self::Inspect => read.inspect().map(Verb::Inspect),
            Self::Stand => read
                .drum()
                .map(|drum| Verb::Stand(StandOptions { drum, tilted: read.on("tilted") })),
            Self::Sample => read.sample().map(Verb::Sample),
            Self::Open => {
                let (drum, seals) = (read.drum(), read.one("seals", "say how the seals were"));
                drum.zip(seals).map(|(drum, seals)| Verb::Open(OpenOptions { drum, seals }))
            }
            Self::Draw => read.draw().map(Verb::Draw),
            Self::Mark => read.volume().map(Verb::Mark),
            Self::Count => read.volume().map(Verb::Count),
            Self::Empty => read.drum().map(|drum| Verb::Empty(DrumOption { drum })),
            Self::Condemn => {
                let (drum, reason) = (read.drum(), read.needed("reason", typed::name));
                drum.zip(reason).map(|(drum, reason)| Verb::Condemn(ReasonOptions { drum, reason }))
            }
            Self::Recall => read.recall().map(Verb::Recall),
            Self::Retest => read.retest().map(Verb::Retest),
            Self::Correct => read.correct().map(Verb::Correct),
        };
        match verb {
            Some(verb) if read.errors.is_empty() => Ok(verb),
            _ => Err(read.errors),
        }
    }
}

/// Reads fields, and keeps what is wrong with them.
struct Read<'a> {
    pairs: &'a Pairs,
    errors: Errors,
}

impl Read<'_> {
    fn on(&self, name: &str) -> bool {
        self.pairs.given(name).is_some()
    }

    fn needed<T>(
        &mut self,
        name: &'static str,
        read: impl FnOnce(&str) -> Result<T, String>,
    ) -> Option<T> {
        match read(self.pairs.text(name)) {
            Ok(value) => Some(value),
            Err(why) => {
                self.errors.push((name, why));
                None
            }
        }
    }

    /// `None` when nothing was typed, and when what was typed is wrong.
    fn maybe<T>(
        &mut self,
        name: &'static str,
        read: impl FnOnce(&str) -> Result<T, String>,
    ) -> Option<T> {
        self.pairs.given(name)?;
        self.needed(name, read)
    }

    /// A number with the unit that was chosen beside it.
    fn amount<T>(
        &mut self,
        name: &'static str,
        read: impl FnOnce(&str) -> Result<T, String>,
    ) -> Option<T> {
        let text = self.pairs.amount(name, &unit_of(name));
        self.needed(name, |_| read(&text))
    }

    /// One of the words that the command line knows too.
    fn one<T: ValueEnum>(&mut self, name: &'static str, why: &str) -> Option<T> {
        self.needed(name, |text| T::from_str(text, false).map_err(|_| why.to_owned()))
    }

    fn yes_or_no(&mut self, name: &'static str, why: &str) -> Option<bool> {
        self.needed(name, |text| text.parse().map_err(|_| why.to_owned()))
    }

    fn day(&mut self, name: &'static str) -> Option<Date> {
        self.needed(name, |text| text.parse().map_err(|_| "write the day as 2026-03-14".to_owned()))
    }

    fn words(&self, name: &str) -> Option<String> {
        self.pairs.given(name).map(str::to_owned)
    }

    fn drum(&mut self) -> Option<String> {
        self.needed("drum", typed::name)
    }

    fn volume(&mut self) -> Option<VolumeOptions> {
        let (drum, volume) = (self.drum(), self.amount("volume", typed::volume));
        drum.zip(volume).map(|(drum, volume)| VolumeOptions { drum, volume })
    }

    fn receive(&mut self) -> Option<ReceiveOptions> {
        // What nobody says is a drum: nearly everything that comes in is.
        let kind = match self.pairs.given("kind") {
            None => Some(crate::yard::record::Kind::Drum),
            Some(_) => self.one("kind", "say what it is"),
        };
        let (label, place) = (self.needed("label", typed::name), self.needed("place", typed::name));
        let (grade, batch) = (self.needed("grade", typed::name), self.needed("batch", typed::name));
        let supplier = self.needed("supplier", typed::name);
        let (filled, contents) = (self.day("filled"), self.amount("contents", typed::volume));
        let capacity = self.amount("capacity", typed::volume);
        let temperature = self.maybe_amount("temperature", typed::temperature);
        let seals = self.pairs.text("seals").split(',').map(str::trim);
        let seals = seals.filter(|seal| !seal.is_empty()).map(str::to_owned).collect();
        Some(ReceiveOptions {
            label: label?,
            place: place?,
            grade: grade?,
            batch: batch?,
            supplier: supplier?,
            filled: filled?,
            contents: contents?,
            capacity: capacity?,
            temperature,
            seals,
            maker_number: self.words("maker_number"),
            kind: kind?,
            anyway: self.on("anyway"),
        })
    }

    fn moved(&mut self) -> Option<MoveOptions> {
        let (drum, place) = (self.drum(), self.maybe("place", typed::name));
        let rack = self.maybe("rack", typed::name);
        let posture = self.one("posture", "say how it lies now");
        let bungs = self.maybe("bungs", typed::bungs);
        Some(MoveOptions {
            drum: drum?,
            place,
            rack,
            posture: posture?,
            bungs,
            chocked: self.on("chocked"),
            off_ground: self.on("off_ground"),
            shaded: self.on("shaded"),
        })
    }

    fn inspect(&mut self) -> Option<InspectOptions> {
        let drum = self.drum();
        let (dents, rust) = (
            self.one("dents", "say whether it has dents"),
            self.one("rust", "say whether it rusts"),
        );
        let seals = self.one("seals", "say how the seals are");
        let lining_sound = match self.pairs.given("lining") {
            None => None,
            Some(_) => self.yes_or_no("lining", "say whether the lining is sound"),
        };
        Some(InspectOptions {
            drum: drum?,
            dents: dents?,
            rust: rust?,
            seals: seals?,
            lining_sound,
            label_lost: self.on("label_lost"),
            note: self.words("note"),
        })
    }

    fn recall(&mut self) -> Option<RecallOptions> {
        let (batch, reason) =
            (self.needed("batch", typed::name), self.needed("reason", typed::name));
        Some(RecallOptions { batch: batch?, reason: reason?, anyway: self.on("anyway") })
    }

    fn retest(&mut self) -> Option<RetestOptions> {
        let (batch, on) = (self.needed("batch", typed::name), self.day("on"));
        let passed = self.yes_or_no("passed", "say what the test says");
        Some(RetestOptions { batch: batch?, on: on?, passed: passed?, anyway: self.on("anyway") })
    }

    fn correct(&mut self) -> Option<CorrectOptions> {
        let id = |text: &str| text.parse().map_err(|_| "choose the record on its page".to_owned());
        let (record, reason) = (self.needed("record", id), self.needed("reason", typed::name));
        let otherwise = self.pairs.text("how") == "instead";
        let event = match otherwise {
            false => None,
            true => Some(self.needed("instead", |text| {
                match text {
                    "" => Err("it is empty".to_owned()),
                    text => serde_json::from_str(text)
                        .map_err(|error| format!("this is no record: {error}")),
                }
            })?),
        };
        Some(CorrectOptions {
            record: record?,
            reason: reason?,
            void: !otherwise,
            instead: None,
            event,
        })
    }

    /// `None` when nothing was typed, and when what was typed is wrong.
    fn maybe_amount<T>(
        &mut self,
        name: &'static str,
        read: impl FnOnce(&str) -> Result<T, String>,
    ) -> Option<T> {
        self.pairs.given(name)?;
        self.amount(name, read)
    }

    fn sample(&mut self) -> Option<SampleOptions> {
        let drum = self.drum();
        let appearance = self.one("appearance", "say how it looks");
        let paste = self.one("paste", "say what the paste says, or that it was not used");
        let colour = self.needed("colour", typed::name);
        let density = self.maybe_amount("density", typed::density);
        let temperature = self.maybe_amount("temperature", typed::temperature);
        if density.is_some() && self.pairs.given("temperature").is_none() {
            self.errors
                .push(("temperature", "a density says little without its temperature".into()));
        }
        Some(SampleOptions {
            drum: drum?,
            appearance: appearance?,
            colour: colour?,
            paste: paste?,
            density,
            temperature,
            not_low_point: self.on("not_low_point"),
        })
    }

    fn draw(&mut self) -> Option<DrawOptions> {
        let (drum, volume) = (self.drum(), self.amount("volume", typed::volume));
        let aircraft = self.maybe("aircraft", typed::name);
        let tank = self.maybe("tank", typed::name);
        let container = self.maybe("container", typed::name);
        let waste = self.on("waste");
        let ways = [aircraft.is_some(), container.is_some(), waste];
        if ways.iter().filter(|way| **way).count() != 1 {
            self.errors.push((
                "aircraft",
                "say one of them: an aircraft, another container, or waste".into(),
            ));
        }
        if aircraft.is_some() != tank.is_some() {
            self.errors.push(("tank", "an aircraft and its tank are said together".into()));
        }
        let flight = self.maybe("flight", typed::name);
        let anyway = self.on("anyway");
        Some(DrawOptions {
            drum: drum?,
            volume: volume?,
            aircraft,
            tank,
            container,
            waste,
            flight,
            anyway,
        })
    }
}

/// The name of the unit of an amount.
fn unit_of(name: &str) -> String {
    format!("{name}-unit")
}

/// A form, with what was typed and what is wrong with it.
pub(crate) struct RecordPage<'a> {
    pub(crate) form: Form,
    pub(crate) pairs: &'a Pairs,
    pub(crate) errors: Errors,
    /// What it is about, in words: a container, or a record that was wrong.
    pub(crate) label: Option<String>,
    /// Why it is not offered now, and the way out.
    pub(crate) against: Option<(String, String)>,
    /// The id that the record takes.
    pub(crate) token: Uuid,
}

impl RecordPage<'_> {
    /// The page.
    pub(crate) fn markup(&self) -> Markup {
        let drum = self.pairs.text("drum");
        html! {
            p { a href="/yard" { "Yard" } @if !drum.is_empty() { ", " a href={ "/drum/" (super::bits::encoded(drum)) } { "the container" } } }
            h1 { (self.form.title()) @if let Some(label) = &self.label { ": " (label) } }
            @if let Some((why, help)) = &self.against {
                p.error role="alert" { "Not now: " (why) }
                p { (help) }
            } @else { (self.fields(drum)) }
        }
    }

    fn fields(&self, drum: &str) -> Markup {
        let rows = self.form.rows();
        let named = |name: &str| rows.iter().any(|row| row.name == name);
        html! {
            @for (_, words) in self.errors.iter().filter(|(name, _)| !named(name)) {
                p.error role="alert" { (words) }
            }
            @if self.errors.iter().any(|(name, _)| named(name)) {
                p.error role="alert" { "Nothing was recorded: look at what is marked below." }
            }
            form method="post" action={ "/yard/record/" (self.form.word()) } {
                input type="hidden" name="drum" value=(drum);
                input type="hidden" name="token" value=(self.token);
                @if self.form == Form::Correct {
                    input type="hidden" name="record" value=(self.pairs.text("record"));
                    input type="hidden" name="batch" value=(self.pairs.text("batch"));
                }
                div.fields { @for row in rows { (self.field(row)) } }
                p.buttons { button.main { "Record it" } }
            }
        }
    }

    fn field(&self, row: &Row) -> Markup {
        let Row { name, label, hint, asks } = row;
        let error = self.errors.iter().find(|(field, _)| field == name);
        let error = error.map(|(_, words)| words.as_str());
        let value = self.pairs.text(name);
        let mode = match asks {
            Asks::Amount(_) => Some("decimal"),
            _ => None,
        };
        let input = Input { name, label, value, mode, required: false, hint, error };
        match asks {
            Asks::Words => input.text(),
            Asks::Day => input.day(),
            Asks::Text => input.lines(),
            Asks::Amount(units) | Asks::Signed(units) => {
                let unit = unit_of(name);
                input.amount(units, &unit, self.pairs.text(&unit))
            }
            Asks::One(of) => {
                let own =
                    |(value, words): &(&str, &str)| ((*value).to_owned(), (*words).to_owned());
                input.choice(&of.iter().map(own).collect::<Vec<_>>())
            }
        }
    }
}
