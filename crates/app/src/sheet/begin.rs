//! A sheet made for a prepared turnaround, found again in its records, or begun.

use stillprop_ledger::{
    event::v2::{self, Outcome},
    record::Hash,
    runs::{Run, Standing},
};
use stillprop_turnaround::{
    document::read_turnaround,
    sheet::{Facts, Fuelling, Sheet, Start, Worker},
    stage::{Choice, Stage},
};
use uuid::Uuid;

use super::{Journal, Stated};
use crate::{
    load,
    problem::Failure,
    report::sheet::Head,
    world::{self, Source},
};

/// A sheet with what it is for, and what stands for the documents it was made from.
pub(crate) struct Made {
    /// What it is for.
    pub(crate) head: Head,
    /// Its tasks.
    pub(crate) sheet: Sheet,
    /// Stands for every text that it was made from.
    pub(crate) documents: String,
}

/// The last run of the same stop.
pub(crate) struct Last {
    /// What its records tell.
    pub(crate) run: Run,
    /// The documents have changed since it was begun.
    pub(crate) changed: bool,
}

impl Last {
    /// True while it was not put away.
    pub(crate) fn open(&self) -> bool {
        !matches!(self.run.standing, Standing::Closed(_))
    }
}

impl Made {
    /// Makes the sheet. `people` says how many work, where that is not as in the document.
    pub(crate) fn of(
        source: &Source,
        stage: &Stage,
        choice: &Choice,
        people: Option<u8>,
    ) -> Result<Self, Failure> {
        let facts = facts(stage, choice, people);
        let sheet = Sheet::build(&facts).map_err(|why| Failure::asked(why.message, why.help))?;
        let head = head(stage, &facts, &sheet);
        let documents = hash(source, stage, &sheet)?.to_string();
        Ok(Self { head, sheet, documents })
    }

    /// The last run of the same stop: by its title, aircraft and place.
    pub(crate) fn last(&self, journal: &Journal) -> Result<Option<Last>, Failure> {
        Ok(self.last_of(journal.runs_of(&self.head.aircraft)?))
    }

    /// The same among the runs of its aircraft, the one opened last at the end.
    pub(crate) fn last_of(&self, runs: Vec<Run>) -> Option<Last> {
        let same = |run: &Run| {
            run.opened()
                .is_some_and(|it| it.turnaround == self.head.title && it.place == self.head.place)
        };
        let run = runs.into_iter().rfind(same)?;
        let changed = run.opened().is_none_or(|it| it.documents != self.documents);
        Some(Last { run, changed })
    }

    /// Begins it; the record takes the id that is given.
    pub(crate) fn begin(
        &self,
        journal: &mut Journal,
        stated: &Stated,
        record: Option<Uuid>,
    ) -> Result<Uuid, Failure> {
        let id = world::new_id();
        let opened = v2::SheetOpened {
            sheet: id,
            turnaround: self.head.title.clone(),
            aircraft: self.head.aircraft.clone(),
            place: self.head.place.clone(),
            documents: self.documents.clone(),
            method: self.head.method.clone(),
            people: u8::try_from(self.sheet.roles.len()).unwrap_or(u8::MAX),
        };
        journal.note(stated, record, vec![v2::Event::SheetOpened(opened)])?;
        Ok(id)
    }

    /// Puts a run away that somebody begins again.
    pub(crate) fn abandon(
        &self,
        journal: &mut Journal,
        stated: &Stated,
        sheet: Uuid,
    ) -> Result<(), Failure> {
        let note = Some("begun anew".to_owned());
        let closed = v2::SheetClosed { sheet, outcome: Outcome::Abandoned, note };
        journal.note(stated, None, vec![v2::Event::SheetClosed(closed)]).map(drop)
    }
}

fn facts(stage: &Stage, choice: &Choice, people: Option<u8>) -> Facts {
    let mut facts = Facts::of(stage, choice);
    match people {
        Some(1) => facts.alone(),
        Some(_) if facts.second.is_none() => {
            let (name, may) = ("second person".to_owned(), "nothing is known".to_owned());
            facts.second = Some(Worker { name, may });
        }
        _ => {}
    }
    facts
}

fn head(stage: &Stage, facts: &Facts, sheet: &Sheet) -> Head {
    let turnaround = &stage.documents.turnaround;
    let fuelling = match facts.fuelling {
        Fuelling::Tanker => "fuel from a tanker",
        Fuelling::SelfServe => "fuel from a pump the pilot works",
        Fuelling::Drum => "fuel from drums",
        Fuelling::None => "no fuel",
        Fuelling::Unknown => "fuel, nobody said from what",
    };
    let start = if sheet.terms.hand { ", start by hand" } else { "" };
    Head {
        title: turnaround.title.clone(),
        aircraft: facts.registration.clone(),
        place: stage.documents.strip.name.clone(),
        hand: facts.start == Start::Hand,
        method: format!("{fuelling}{start}"),
        rules: stage.rules_name.clone(),
        invented: turnaround.invented,
        offset: stage.here.offset,
    }
}

/// Stands for every text that the sheet was made from.
fn hash(source: &Source, stage: &Stage, sheet: &Sheet) -> Result<Hash, Failure> {
    let turnaround = load::in_source(source, read_turnaround(&source.text))?;
    let mut texts = vec![source.text.clone()];
    let legs = turnaround.legs.iter().filter_map(|leg| leg.strip.as_ref());
    for at in [&turnaround.aircraft, &turnaround.strip].into_iter().chain(legs) {
        texts.push(world::read_beside(source, &at.value)?.text);
    }
    texts.push(stage.rules_name.clone());
    texts.extend(sheet.roles.iter().map(|(role, name)| format!("{}: {name}", role.word())));
    let parts: Vec<&[u8]> = texts.iter().map(String::as_bytes).collect();
    Ok(Hash::of(&parts))
}
