//! What can be recorded of a container, as forms; what was typed becomes what the command line
//! would have stated.

use maud::{Markup, html};
use uuid::Uuid;

use super::{bits::Input, typed::Pairs};
use crate::yard::{
    record::{
        DrawOptions, Kind, PasteLook, ReceiveOptions, SampleLook, SampleOptions, StandOptions,
        Verb, VolumeOptions,
    },
    typed,
};

/// What is recorded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Form {
    /// A container came in.
    Receive,
    /// It was stood up.
    Stand,
    /// A sample was drawn.
    Sample,
    /// Fuel was drawn.
    Draw,
    /// Its contents were counted.
    Count,
}

/// A field: name, label, hint, and what it offers when it is a choice.
type Row = (&'static str, &'static str, &'static str, &'static [(&'static str, &'static str)]);

const YES: &[(&str, &str)] = &[("", "no"), ("on", "yes")];
const RECEIVE: &[Row] = &[
    ("label", "What people call it", "NT-24", &[]),
    ("place", "The yard it is in", "", &[]),
    ("grade", "Grade as written on it", "avgas 100LL", &[]),
    ("batch", "The supplier's lot", "", &[]),
    ("supplier", "The supplier", "", &[]),
    ("filled", "Day it was filled", "2026-03-14", &[]),
    ("contents", "Contents", "200 L", &[]),
    ("capacity", "Holds when full", "216.5 L", &[]),
    ("seals", "Numbers of its seals, commas between", "may be left empty", &[]),
    ("anyway", "Another of that label is there, record it anyway", "", YES),
];
const STAND: &[Row] = &[(
    "tilted",
    "How it stands",
    "",
    &[("", "upright"), ("on", "tilted, low point away from the bung")],
)];
const SAMPLE: &[Row] = &[
    (
        "appearance",
        "How it looks",
        "",
        &[
            ("", "choose"),
            ("clear", "clear and bright"),
            ("haze", "haze"),
            ("sediment", "sediment"),
            ("water", "water"),
        ],
    ),
    ("colour", "Colour in a word", "blue", &[]),
    (
        "paste",
        "Water paste",
        "",
        &[("", "choose"), ("dry", "dry"), ("wet", "wet"), ("not-used", "not used")],
    ),
    ("density", "Density as read", "0.712 kg/L, may be left empty", &[]),
    ("temperature", "Its temperature", "24 degC", &[]),
    ("not_low_point", "Not drawn from the low point", "", YES),
];
const DRAW: &[Row] = &[
    ("volume", "How much", "105 L", &[]),
    (
        "aircraft",
        "Registration of the aircraft it went into",
        "empty when another container, or waste",
        &[],
    ),
    ("tank", "Tank of that aircraft", "", &[]),
    ("container", "Or another container", "its label", &[]),
    ("waste", "Or samples, flushing, waste", "", YES),
    ("flight", "Flight it is for", "may be left empty", &[]),
    ("anyway", "The book says it cannot be, record it anyway", "", YES),
];
const COUNT: &[Row] = &[("volume", "How much is in it", "95 L", &[])];

/// What is wrong with the fields; the empty name is for what is wrong as a whole.
pub(crate) type Errors = Vec<(&'static str, String)>;

impl Form {
    /// What can be recorded of a drum that is there.
    pub(crate) const OF_DRUM: [Self; 4] = [Self::Stand, Self::Sample, Self::Draw, Self::Count];

    /// The form of a word.
    pub(crate) fn named(word: &str) -> Option<Self> {
        [Self::Receive, Self::Stand, Self::Sample, Self::Draw, Self::Count]
            .into_iter()
            .find(|form| form.word() == word)
    }

    /// Its word in an address: the verb of the command line.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Receive => "receive",
            Self::Stand => "stand",
            Self::Sample => "sample",
            Self::Draw => "draw",
            Self::Count => "count",
        }
    }

    /// What it says.
    pub(crate) const fn title(self) -> &'static str {
        match self {
            Self::Receive => "A container came in",
            Self::Stand => "It was stood up",
            Self::Sample => "A sample was drawn",
            Self::Draw => "Fuel was drawn",
            Self::Count => "Its contents were counted",
        }
    }

    const fn rows(self) -> &'static [Row] {
        match self {
            Self::Receive => RECEIVE,
            Self::Stand => STAND,
            Self::Sample => SAMPLE,
            Self::Draw => DRAW,
            Self::Count => COUNT,
        }
    }

    /// What was typed, as the command line would have stated it; or what is wrong where.
    pub(crate) fn stated(self, pairs: &Pairs) -> Result<Verb, Errors> {
        let mut read = Read { pairs, errors: Vec::new() };
        let verb = match self {
            Self::Receive => read.receive().map(Verb::Receive),
            Self::Stand => read
                .drum()
                .map(|drum| Verb::Stand(StandOptions { drum, tilted: read.on("tilted") })),
            Self::Sample => read.sample().map(Verb::Sample),
            Self::Draw => read.draw().map(Verb::Draw),
            Self::Count => {
                let (drum, volume) = (read.drum(), read.needed("volume", typed::volume));
                drum.zip(volume).map(|(drum, volume)| Verb::Count(VolumeOptions { drum, volume }))
            }
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

    fn drum(&mut self) -> Option<String> {
        self.needed("drum", typed::name)
    }

    fn receive(&mut self) -> Option<ReceiveOptions> {
        let day = |text: &str| text.parse().map_err(|_| "write the day as 2026-03-14".to_owned());
        let (label, place) = (self.needed("label", typed::name), self.needed("place", typed::name));
        let (grade, batch) = (self.needed("grade", typed::name), self.needed("batch", typed::name));
        let supplier = self.needed("supplier", typed::name);
        let (filled, contents) =
            (self.needed("filled", day), self.needed("contents", typed::volume));
        let capacity = self.needed("capacity", typed::volume);
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
            temperature: None,
            seals,
            maker_number: None,
            kind: Kind::Drum,
            anyway: self.on("anyway"),
        })
    }

    fn sample(&mut self) -> Option<SampleOptions> {
        let appearance = |text: &str| match text {
            "clear" => Ok(SampleLook::Clear),
            "haze" => Ok(SampleLook::Haze),
            "sediment" => Ok(SampleLook::Sediment),
            "water" => Ok(SampleLook::Water),
            _ => Err("say how it looks".to_owned()),
        };
        let paste = |text: &str| match text {
            "dry" => Ok(PasteLook::Dry),
            "wet" => Ok(PasteLook::Wet),
            "not-used" => Ok(PasteLook::NotUsed),
            _ => Err("say what the paste says, or that it was not used".to_owned()),
        };
        let drum = self.drum();
        let (appearance, paste) =
            (self.needed("appearance", appearance), self.needed("paste", paste));
        let colour = self.needed("colour", typed::name);
        let density = self.maybe("density", typed::density);
        let temperature = self.maybe("temperature", typed::temperature);
        if density.is_some() && temperature.is_none() {
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
        let (drum, volume) = (self.drum(), self.needed("volume", typed::volume));
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

/// A form, with what was typed and what is wrong with it.
pub(crate) struct RecordPage<'a> {
    pub(crate) form: Form,
    pub(crate) pairs: &'a Pairs,
    pub(crate) errors: Errors,
    /// The container, in words.
    pub(crate) label: Option<String>,
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
            @for (_, words) in self.errors.iter().filter(|(name, _)| matches!(*name, "" | "drum")) {
                p.error role="alert" { (words) }
            }
            form method="post" action={ "/yard/record/" (self.form.word()) } {
                input type="hidden" name="drum" value=(drum);
                input type="hidden" name="token" value=(self.token);
                div.fields { @for row in self.form.rows() { (self.field(row)) } }
                p.buttons { button.main { "Record it" } }
            }
        }
    }

    fn field(&self, (name, label, hint, of): &Row) -> Markup {
        let error = self.errors.iter().find(|(field, _)| field == name);
        let given = self.pairs.text(name);
        // A drum holds what a drum holds until somebody says otherwise.
        let value = if given.is_empty() && *name == "capacity" { "216.5 L" } else { given };
        let mode = None;
        let error = error.map(|(_, words)| words.as_str());
        let input = Input { name, label, value, mode, required: false, hint, error };
        if of.is_empty() {
            return input.text();
        }
        let of: Vec<_> =
            of.iter().map(|(value, words)| ((*value).to_owned(), (*words).to_owned())).collect();
        input.choice(&of)
    }
}
