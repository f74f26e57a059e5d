//! Documents without a fault, and the way from texts to verdicts, for tests that break or
//! rewrite them.

use std::{collections::BTreeMap, path::Path};

use stillprop_calc::{
    quantity::{FromAmount, MassDensity, ThermodynamicTemperature, Volume},
    trace::Working,
    unit,
};
use stillprop_rules::{builtin, document::Problem, pack::Pack, rules::Rules};
use stillprop_turnaround::{
    document::{check_against, read_aircraft, read_strip, read_turnaround},
    drums::{Appearance, Container, Kind, Paste, Posture, Reading, Sample, Seals},
    limits::{Found, Id, Margins, Sink, Words},
    stage::{Choice, Documents, Stage, prepare},
    units::Units,
};

/// The texts of one turnaround.
#[derive(Clone, Debug)]
pub(crate) struct Texts {
    pub(crate) aircraft: String,
    pub(crate) strip: String,
    /// The strip document of each leg; `None` for a leg that names none.
    pub(crate) legs: Vec<Option<String>>,
    pub(crate) turnaround: String,
}

/// The small documents of `bad/base`.
pub(crate) fn base() -> Texts {
    beside(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad/base/turnaround.toml"))
}

/// A turnaround and the documents it names.
pub(crate) fn beside(path: &Path) -> Texts {
    let text = |path: &Path| {
        std::fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
    };
    let folder = path.parent().expect("a file has a folder");
    let turnaround = text(path);
    let document = read_turnaround(&turnaround).unwrap_or_else(|problems| {
        panic!("{}: {problems:#?}", path.display());
    });
    let legs = document.legs.iter();
    Texts {
        aircraft: text(&folder.join(&document.aircraft.value)),
        strip: text(&folder.join(&document.strip.value)),
        legs: legs.map(|leg| Some(text(&folder.join(&leg.strip.as_ref()?.value)))).collect(),
        turnaround,
    }
}

/// Reads texts as the program does: each alone, then the turnaround against the others.
pub(crate) fn read(texts: &Texts) -> Result<Documents, Vec<Problem>> {
    let legs = texts.legs.iter().map(|leg| leg.as_deref().map(read_strip).transpose());
    whole(Documents {
        aircraft: read_aircraft(&texts.aircraft)?,
        strip: read_strip(&texts.strip)?,
        legs: legs.collect::<Result<_, _>>()?,
        turnaround: read_turnaround(&texts.turnaround)?,
        yard: Some(yard()),
    })
}

/// The two drums that the documents of `bad/base` draw from, without a fault.
fn yard() -> Vec<Container> {
    ["B-1", "B-2"].map(|label| drum(label, "Base yard")).into()
}

/// A whole drum that stood and was sampled on the day of `bad/base`.
pub(crate) fn drum(label: &str, place: &str) -> Container {
    let at = |clock: &str| format!("2026-06-21T{clock}+10:00").parse().ok();
    let temperature = ThermodynamicTemperature::of(27.0, unit::DEGC);
    let sample = |at| Sample {
        at,
        low_point: true,
        appearance: Appearance::ClearAndBright,
        colour: "blue".into(),
        paste: Paste::Dry,
        density: Some(Reading::of(MassDensity::of(0.701, unit::KG_L), Some(temperature))),
    };
    Container {
        id: format!("tag of {label}"),
        label: label.into(),
        kind: Kind::Drum,
        place: place.into(),
        rack: None,
        grade: "avgas 100LL".into(),
        batch: "B-77".into(),
        supplier: "Invented supplier".into(),
        filled: "2026-01-05".parse().ok(),
        retested: None,
        left: Volume::of(200.0, unit::L),
        capacity: Volume::of(218.3, unit::L),
        depth: None,
        opened: None,
        seals: Some(Seals::Intact),
        inspected: at("08:00"),
        posture: Some(Posture::Upright),
        stands_since: at("08:10"),
        sample: at("12:30").map(sample),
        recalled: None,
        condemned: None,
        severe_damage: None,
        counted_difference: None,
    }
}

/// Documents whose names fit together.
pub(crate) fn whole(documents: Documents) -> Result<Documents, Vec<Problem>> {
    let Documents { turnaround, aircraft, strip, legs, .. } = &documents;
    let problems = check_against(turnaround, aircraft, strip, legs);
    if problems.is_empty() { Ok(documents) } else { Err(problems) }
}

/// Names the pack `au` as it stood when its rules on starting by hand were in force.
pub(crate) const AU_AS_IT_WAS: &str = "au-as-it-was";

/// Prepares documents with the rules they name.
pub(crate) fn stage(documents: Documents) -> Result<(Stage, Choice), Problem> {
    let rules = match documents.turnaround.pack.value.as_str() {
        AU_AS_IT_WAS => as_it_was("au"),
        name => builtin::rules(name)?,
    };
    Ok(prepare(documents, &rules))
}

/// A built-in pack with every rule that was replaced still in force.
fn as_it_was(name: &str) -> Rules {
    let (_, text) = builtin::builtin().iter().find(|(id, _)| *id == name).unwrap();
    let text = text.replace("status = \"superseded\"", "status = \"law\"");
    Rules::single(Pack::read(&text).unwrap())
}

/// Every limit, as it is told to a person.
#[derive(Default)]
pub(crate) struct Told {
    /// Name and finding, in the order they are asked.
    pub(crate) limits: Vec<(String, Found)>,
    working: Working,
    /// Readers of the words, each in their own units.
    readers: Vec<Units>,
}

impl Sink for Told {
    type Trace = Working;

    fn trace(&mut self) -> &mut Working {
        &mut self.working
    }

    fn limit(&mut self, id: Id<'_>, found: Found, words: impl FnOnce(&Units) -> Words) {
        // Words are made once; each limit is read by the next reader.
        let reader = self.readers[self.limits.len() % self.readers.len()];
        let said = words(&reader);
        assert!(!said.stands.is_empty(), "{id} says nothing");
        self.limits.push((id.to_string(), found));
    }
}

/// Judges a choice twice, for a search and for a person, and demands that both agree.
pub(crate) fn judge(stage: &Stage, choice: &Choice) -> BTreeMap<String, Found> {
    let mut margins = Margins::default();
    stage.margins(choice, &mut margins);
    let readers = vec![Units::METRIC, Units::US, stage.document_units];
    let mut told = Told { readers, ..Told::default() };
    stage.evaluate(choice, &mut told);
    assert_eq!(margins.limits.len(), told.limits.len(), "a limit was lost");
    for (margin, (id, found)) in margins.limits.iter().zip(&told.limits) {
        assert_eq!(margin.verdict, found.verdict(), "{id}");
        if let Found::Measured(measure) = found {
            assert_eq!(margin.margin.to_bits(), measure.margin().to_bits(), "{id}");
            assert!(measure.margin().is_finite(), "{id}: {measure:?}");
        }
    }
    let count = told.limits.len();
    let by_name: BTreeMap<String, Found> = told.limits.into_iter().collect();
    assert_eq!(by_name.len(), count, "two limits of one name");
    by_name
}
