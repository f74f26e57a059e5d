//! The drums that a turnaround document names, found in the yard once.

use jiff::Timestamp;
use stillprop_calc::quantity::{FromAmount, Volume};
use stillprop_rules::document::did_you_mean;

use super::{Container, figures::DrumFigures};
use crate::{
    document::{
        aircraft::Aircraft,
        turnaround::{Method, Turnaround},
    },
    stage::Unknown,
};

/// A drum that the document names, with all that is drawn from it.
#[derive(Clone, Debug)]
pub struct Drum {
    /// Its name, as the document first writes it.
    pub label: String,
    /// The container, or why it is not known.
    pub container: Result<Container, Unknown>,
    /// The names that the document calls it by: its label, its id, or both.
    pub names: Vec<String>,
    /// What is drawn from it into all tanks.
    pub draw: Volume,
}

impl Drum {
    /// Whether the document calls it so.
    #[must_use]
    pub fn is_called(&self, name: &str) -> bool {
        self.names.iter().any(|own| own == name)
    }
}

/// What a tank gets.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Uplift {
    /// As the document plans it, by whatever method.
    pub planned: Volume,
    /// What its drums give.
    pub drums: Volume,
}

impl Uplift {
    /// What the drums give, where there is anything to give.
    pub(crate) fn drawn(self) -> Option<Volume> {
        (self.planned.value > 0.0 || self.drums.value > 0.0).then_some(self.drums)
    }
}

/// Fuelling from drums, as the document plans it.
#[derive(Clone, Debug)]
pub struct Named {
    /// True when fuel is taken from drums here.
    pub asked: bool,
    /// When fuelling begins.
    pub begins: Option<Timestamp>,
    /// What the pack says.
    pub figures: DrumFigures,
    /// Each drum, once.
    pub drums: Vec<Drum>,
    /// For each tank of the aircraft.
    pub uplift: Vec<Uplift>,
}

/// Finds what the document names. `yard` holds every container that is known.
pub(crate) fn named(
    turnaround: &Turnaround,
    aircraft: &Aircraft,
    yard: Option<&[Container]>,
    figures: DrumFigures,
) -> Named {
    let fuel = &turnaround.fuel;
    let place = fuel.yard.as_ref().map_or("", |place| &place.value);
    let mut drums: Vec<Drum> = Vec::new();
    for draw in &fuel.drums {
        let container = find(&draw.drum.value, place, yard);
        let same = |drum: &&mut Drum| match (&drum.container, &container) {
            (Ok(a), Ok(b)) => a.id == b.id,
            _ => drum.label == draw.drum.value,
        };
        match drums.iter_mut().find(same) {
            Some(drum) => {
                drum.draw += draw.draw.value;
                drum.names.push(draw.drum.value.clone());
            }
            None => drums.push(Drum {
                label: draw.drum.value.clone(),
                names: vec![draw.drum.value.clone()],
                container,
                draw: draw.draw.value,
            }),
        }
    }
    let uplift = aircraft.tanks.iter().map(|tank| Uplift {
        planned: (fuel.tanks.iter())
            .filter(|fuel| fuel.tank.value == tank.label.value)
            .filter_map(|fuel| fuel.uplift.as_ref().map(|given| given.value))
            .sum(),
        drums: (fuel.drums.iter())
            .filter(|draw| draw.tank.value == tank.label.value)
            .map(|draw| draw.draw.value)
            .sum(),
    });
    let uplift: Vec<Uplift> = uplift.collect();
    Named {
        asked: fuel.method == Some(Method::Drum) && uplift.iter().any(|u| u.drawn().is_some()),
        begins: fuel.begins.as_ref().map(|begins| begins.value.instant),
        figures,
        drums,
        uplift,
    }
}

/// Most labels that an answer lists when none is near to what was written.
const LISTED: usize = 12;

/// The one container of that label or id at a place, called as it was written.
fn find(name: &str, place: &str, yard: Option<&[Container]>) -> Result<Container, Unknown> {
    let yard = yard.ok_or("the yard is not known: open the ledger that keeps it")?;
    let called = |container: &&Container| container.label == name || container.id == name;
    let mut here = yard.iter().filter(called).filter(|container| container.place == place);
    match (here.next(), here.count()) {
        (Some(one), 0) => Ok(Container { label: name.to_owned(), ..one.clone() }),
        (Some(_), more) => Err(format!(
            "{} containers at {place} are called `{name}`: name it by the id on its tag",
            more + 1
        )),
        (None, _) => Err(not_there(name, place, yard)),
    }
}

fn not_there(name: &str, place: &str, yard: &[Container]) -> Unknown {
    if let Some(elsewhere) = yard.iter().find(|c| c.label == name || c.id == name) {
        return format!("`{name}` is at {}, not at {place}", elsewhere.place);
    }
    let labels: Vec<&str> =
        yard.iter().filter(|c| c.place == place).map(|c| c.label.as_str()).collect();
    let help = did_you_mean(name, &labels);
    match labels.len() {
        0 => format!("no container is known at {place}"),
        count if count > LISTED && help.starts_with("known") => {
            format!("there is no container `{name}` at {place}")
        }
        _ => format!("there is no container `{name}` at {place}; {help}"),
    }
}

impl Named {
    /// What is to be taken here in all, as the document plans it.
    #[must_use]
    pub fn planned(&self) -> Volume {
        self.uplift.iter().fold(Volume::from_si(0.0), |sum, uplift| sum + uplift.planned)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drums::fixture::drum;

    #[test]
    fn a_drum_is_found_by_label_or_id_at_its_own_place_only() {
        let yard = [drum("N-001"), Container { place: "Oumbrel".into(), ..drum("N-002") }];
        let found = find("N-001", "Nessow Top", Some(&yard)).unwrap();
        assert_eq!(find(&found.id, "Nessow Top", Some(&yard)).unwrap().id, found.id);
        for (name, words) in [
            ("N-002", "`N-002` is at Oumbrel, not at Nessow Top"),
            ("N-01", "did you mean `N-001`?"),
            ("zebra", "known here: N-001"),
        ] {
            let why = find(name, "Nessow Top", Some(&yard)).unwrap_err();
            assert!(why.contains(words), "{why}");
        }
        assert!(find("N-001", "Nessow Top", None).unwrap_err().contains("open the ledger"));
        assert!(find("x", "Taskel Bend", Some(&yard)).unwrap_err().contains("no container"));
    }

    #[test]
    fn two_of_one_label_are_told_apart_by_id_only() {
        let yard = [drum("N-001"), Container { id: "other".into(), ..drum("N-001") }];
        let why = find("N-001", "Nessow Top", Some(&yard)).unwrap_err();
        assert!(why.starts_with("2 containers"), "{why}");
        assert_eq!(find("other", "Nessow Top", Some(&yard)).unwrap().label, "other");
    }

    #[test]
    fn a_large_yard_is_not_listed_in_a_message() {
        let yard: Vec<_> = (0..40).map(|n| drum(&format!("N-{n:03}"))).collect();
        let why = find("zebra", "Nessow Top", Some(&yard)).unwrap_err();
        assert_eq!(why, "there is no container `zebra` at Nessow Top");
    }
}
