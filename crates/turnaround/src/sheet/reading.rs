//! What is read at a task, as typed: read with its unit, and judged where there is something
//! to judge it by.

use std::fmt;

use stillprop_calc::{
    density::density_at_15,
    grade::{AVGAS, JET_A1},
    quantity::{FromAmount, Length, MassDensity, ThermodynamicTemperature, Time, Volume},
    trace::Silent,
    unit::{self, KG_M3, Kind, MIN},
};
use stillprop_rules::situation::Grade;

use super::facts::litres;
use crate::{
    drums::colour::{Colour, colour},
    stage::grade_of,
};

/// What a task asks to be read.
#[derive(Clone, Debug, PartialEq)]
pub enum Reads {
    /// Nothing: it is done or it is not.
    Nothing,
    /// Yes or no; only yes passes.
    Yes,
    /// Litres delivered since the pump went on.
    Litres {
        /// How many are asked for; `None` when nobody said.
        about: Option<Volume>,
    },
    /// The counter after the pump was stopped on the way; it may be unknown.
    Counter,
    /// A density with the temperature it was read at, in the band of the grade.
    Density {
        /// Grade as written.
        grade: String,
    },
    /// Water paste: dry or wet; only dry passes.
    Paste,
    /// How a sample looks: a condition and a colour, of this grade.
    Look {
        /// Grade as written.
        grade: String,
    },
    /// A grade that is read, shown or said back; only this one passes.
    Grade {
        /// Grade as written.
        grade: String,
    },
    /// A dip: a depth or a volume.
    Dip,
    /// The number of a ticket.
    Ticket,
    /// A time of day.
    Clock,
    /// A time that was waited, at least so long where that is known.
    Waited {
        /// The least.
        least: Option<Time>,
    },
    /// Words.
    Words,
    /// An electrical resistance, in ohms.
    Resistance,
    /// The name of each of these people, with the time at which it was done; passes when nobody is
    /// left. There is no word for all of them: somebody who comes later would be among them.
    Named {
        /// What is done with each.
        deed: Deed,
        /// Who.
        people: Vec<String>,
    },
}

/// What is done with each person of a reading that names them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Deed {
    /// Briefed before boarding.
    Briefed,
    /// Asked what dangerous goods they carry.
    Asked,
    /// Told of the flight: somebody who stays on the ground.
    Told,
}

impl Deed {
    /// In a word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Briefed => "briefed",
            Self::Asked => "asked",
            Self::Told => "told",
        }
    }
}

/// Somebody, and the time of day at which it was done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Named {
    /// Name.
    pub name: String,
    /// Hours and minutes.
    pub at: (u8, u8),
}

impl fmt::Display for Named {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {:02}:{:02}", self.name, self.at.0, self.at.1)
    }
}

/// Whether two names are the same, however they are written in capitals.
pub(super) fn same_name(a: &str, b: &str) -> bool {
    a.trim().to_lowercase() == b.trim().to_lowercase()
}

/// Who of these people was not named.
#[must_use]
pub fn unnamed<'a>(people: &'a [String], named: &[Named]) -> Vec<&'a str> {
    let is = |person: &&String| !named.iter().any(|named| same_name(&named.name, person));
    people.iter().filter(is).map(String::as_str).collect()
}

/// A reading, typed.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// Nothing was asked.
    Nothing,
    /// Yes or no.
    Yes(bool),
    /// Litres.
    Litres(Volume),
    /// Density at a temperature.
    Density(MassDensity, ThermodynamicTemperature),
    /// Paste dry.
    Dry(bool),
    /// How a sample looked: clear and bright, and the words.
    Look {
        /// Clear and bright.
        bright: bool,
        /// The colour.
        colour: String,
    },
    /// A grade.
    Grade(String),
    /// A depth.
    Depth(Length),
    /// A volume by dip.
    Dipped(Volume),
    /// Words, or a number of a ticket.
    Words(String),
    /// Hours and minutes.
    Clock(u8, u8),
    /// Time waited.
    Waited(Time),
    /// Ohms.
    Ohms(f64),
    /// Names, each with a time.
    Named(Vec<Named>),
}

/// What a reading says of its task.
#[derive(Clone, Debug, PartialEq)]
pub enum Judged {
    /// The task may be passed.
    Passes,
    /// It may not, and why.
    Fails(String),
}

/// A text that is not the reading that was asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unread {
    /// What is wrong.
    pub message: String,
    /// What to write.
    pub help: String,
}

impl fmt::Display for Unread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.message, self.help)
    }
}

impl std::error::Error for Unread {}

fn unread(message: impl Into<String>, help: impl Into<String>) -> Unread {
    Unread { message: message.into(), help: help.into() }
}

impl Reads {
    /// What it is, in a word, for a program.
    #[must_use]
    pub const fn name(&self) -> &'static str {
        match self {
            Self::Nothing => "nothing",
            Self::Yes => "yes",
            Self::Litres { .. } => "litres",
            Self::Counter => "counter",
            Self::Density { .. } => "density",
            Self::Paste => "paste",
            Self::Look { .. } => "look",
            Self::Grade { .. } => "grade",
            Self::Dip => "dip",
            Self::Ticket => "ticket",
            Self::Clock => "clock",
            Self::Waited { .. } => "waited",
            Self::Words => "words",
            Self::Resistance => "resistance",
            Self::Named { .. } => "named",
        }
    }

    /// What to write.
    #[must_use]
    pub fn help(&self) -> String {
        match self {
            Self::Nothing => "nothing to write".into(),
            Self::Yes => "write yes or no".into(),
            Self::Litres { about } => {
                let example = about.map_or_else(|| "54 L".to_owned(), litres);
                format!("write the litres with their unit, as they are: \"{example}\"")
            }
            Self::Counter => "write the litres since it went on: \"8 L\", or unknown".into(),
            Self::Density { .. } => {
                "write density and temperature: \"0.712 kg/L at 24 degC\"".into()
            }
            Self::Paste => "write dry or wet".into(),
            Self::Look { grade } => {
                let own = match colour("clear", grade) {
                    Colour::Fits(own) | Colour::Differs(own) => own,
                    // A grade without a colour of its own: whatever is seen.
                    Colour::Word | Colour::NoDye => "yellow",
                };
                format!(
                    "write clear, haze, sediment or water, and the colour you see: \"clear, {own}\""
                )
            }
            Self::Grade { grade } => format!("write the grade as you see or hear it: \"{grade}\""),
            Self::Dip => "write the dip as a depth or a volume: \"112 mm\", \"70 L\"".into(),
            Self::Ticket => "write the number of the ticket".into(),
            Self::Clock => "write the time of day: \"14:05\"".into(),
            Self::Waited { least } => {
                let least = least.map_or(15.0, |least| (least.count(MIN) - 1e-9).ceil());
                format!("write how long: \"{least:.0} min\"")
            }
            Self::Words => "write it in a few words".into(),
            Self::Resistance => "write the resistance in ohms: \"4 ohm\"".into(),
            Self::Named { deed, people } => {
                let each: Vec<String> =
                    people.iter().map(|person| format!("{person} 14:05")).collect();
                let word = deed.word();
                format!("write each name with the time they were {word}: \"{}\"", each.join(", "))
            }
        }
    }

    /// Whether a reading may fail; then the task is a hold point by its nature.
    #[must_use]
    pub const fn can_fail(&self) -> bool {
        matches!(
            self,
            Self::Yes
                | Self::Density { .. }
                | Self::Paste
                | Self::Look { .. }
                | Self::Grade { .. }
                | Self::Waited { least: Some(_) }
                | Self::Named { .. }
        )
    }

    /// Reads a text.
    ///
    /// # Errors
    ///
    /// [`Unread`] when it is not what is asked for.
    pub fn read(&self, text: &str) -> Result<Value, Unread> {
        let text = text.trim();
        if text.is_empty() && *self != Self::Nothing {
            return Err(unread("nothing was read", self.help()));
        }
        let other = || unread(format!("\"{text}\" is no answer here"), self.help());
        match self {
            Self::Nothing if text.is_empty() => Ok(Value::Nothing),
            Self::Nothing => Ok(Value::Words(text.to_owned())),
            Self::Yes => one_of(text, "yes", "no").map(Value::Yes).ok_or_else(other),
            Self::Paste => one_of(text, "dry", "wet").map(Value::Dry).ok_or_else(other),
            Self::Litres { .. } => Ok(Value::Litres(amount(text, Kind::Volume)?)),
            Self::Counter if text.eq_ignore_ascii_case("unknown") => {
                Ok(Value::Words(text.to_owned()))
            }
            Self::Counter => Ok(Value::Litres(amount(text, Kind::Volume)?)),
            Self::Density { .. } => density(text, self),
            Self::Look { .. } => look(text).ok_or_else(other),
            Self::Grade { .. } => Ok(Value::Grade(text.to_owned())),
            Self::Dip => amount(text, Kind::Length)
                .map(Value::Depth)
                .or_else(|_| amount(text, Kind::Volume).map(Value::Dipped))
                .map_err(|_| other()),
            Self::Clock => clock(text).ok_or_else(other),
            Self::Waited { .. } => Ok(Value::Waited(amount(text, Kind::Time)?)),
            Self::Ticket | Self::Words => Ok(Value::Words(text.to_owned())),
            Self::Resistance => ohms(text).map(Value::Ohms).ok_or_else(other),
            Self::Named { people, .. } => named(text, people).map(Value::Named).ok_or_else(other),
        }
    }

    /// Judges a reading that [`Self::read`] gave.
    #[must_use]
    pub fn judge(&self, value: &Value) -> Judged {
        let fails = |why: &str| Judged::Fails(why.to_owned());
        match (self, value) {
            (Self::Yes, Value::Yes(false)) => fails("the answer is no"),
            (Self::Paste, Value::Dry(false)) => fails("the paste is wet: there is water in it"),
            (Self::Grade { grade }, Value::Grade(read)) if !same_grade(grade, read) => {
                Judged::Fails(format!("{read} is not {grade}"))
            }
            (Self::Look { grade }, Value::Look { bright, colour: seen }) => {
                looks(grade, *bright, seen)
            }
            (Self::Density { grade }, Value::Density(density, t)) => dense(grade, *density, *t),
            (Self::Waited { least: Some(least) }, Value::Waited(waited)) if waited < least => {
                Judged::Fails(format!(
                    "{:.0} min is not yet {:.0} min",
                    waited.count(MIN).floor(),
                    least.count(MIN).ceil()
                ))
            }
            (Self::Named { deed, people }, Value::Named(named)) => each(*deed, people, named),
            _ => Judged::Passes,
        }
    }
}

/// Whether nobody is left out.
pub(super) fn each(deed: Deed, people: &[String], named: &[Named]) -> Judged {
    let left = unnamed(people, named);
    if left.is_empty() {
        return Judged::Passes;
    }
    let strange = named.iter().filter(|one| !people.iter().any(|it| same_name(it, &one.name)));
    let strange: Vec<&str> = strange.map(|one| one.name.as_str()).collect();
    let mut why = format!("not {}: {}", deed.word(), left.join(", "));
    if !strange.is_empty() {
        why += &format!("; nobody here is called {}", strange.join(", "));
    }
    Judged::Fails(why)
}

/// `Ann 14:05, Ben 14:07`; several with one time: `Ann, Ben 14:07`. A name of the list is taken
/// whole, whatever stands in it.
fn named(text: &str, people: &[String]) -> Option<Vec<Named>> {
    let between = |c: char| c.is_whitespace() || c == ',' || c == ';';
    let mut rest = text.trim_start_matches(between);
    let (mut all, mut waiting) = (Vec::new(), Vec::new());
    while !rest.is_empty() {
        let known = people.iter().filter_map(|person| {
            let end = person.len();
            let (head, tail) = (rest.get(..end)?, rest.get(end..)?);
            (same_name(head, person) && tail.chars().next().is_none_or(between)).then_some(end)
        });
        let end = known.max().unwrap_or_else(|| rest.find([',', ';']).unwrap_or(rest.len()));
        let (said, tail) = rest.split_at(end);
        // Somebody who is not on the list: the time stands at the end of the words.
        let (name, at) = match said.rsplit_once(char::is_whitespace) {
            Some((name, time)) if clock(time).is_some() => (name, clock(time)),
            _ => (said, None),
        };
        waiting.push(name.trim().to_owned());
        rest = tail.trim_start_matches(between);
        let word = rest.find(between).map_or(rest, |end| rest.get(..end).unwrap_or(rest));
        let at = match (at, clock(word)) {
            (None, Some(Value::Clock(hours, minutes))) => {
                rest = rest.get(word.len()..).unwrap_or("").trim_start_matches(between);
                Some((hours, minutes))
            }
            (Some(Value::Clock(hours, minutes)), _) => Some((hours, minutes)),
            _ => None,
        };
        if let Some(at) = at {
            all.extend(waiting.drain(..).map(|name| Named { name, at }));
        }
    }
    let whole = waiting.is_empty() && !all.is_empty() && all.iter().all(|one| !one.name.is_empty());
    whole.then_some(all)
}

fn one_of(text: &str, yes: &str, no: &str) -> Option<bool> {
    if text.eq_ignore_ascii_case(yes) {
        Some(true)
    } else {
        text.eq_ignore_ascii_case(no).then_some(false)
    }
}

fn amount<Q: FromAmount>(text: &str, kind: Kind) -> Result<Q, Unread> {
    let (amount, _) =
        unit::read(text, kind).map_err(|error| unread(error.to_string(), error.hint()))?;
    if amount.si < 0.0 {
        return Err(unread(format!("\"{text}\" is less than nothing"), "read it again"));
    }
    Ok(Q::from_si(amount.si))
}

fn density(text: &str, reads: &Reads) -> Result<Value, Unread> {
    let Some((density, temperature)) = text.split_once(" at ") else {
        return Err(unread("the temperature of the sample is missing", reads.help()));
    };
    let (temperature, _) = unit::read(temperature, Kind::Temperature)
        .map_err(|error| unread(error.to_string(), error.hint()))?;
    let density = amount(density, Kind::Density)?;
    Ok(Value::Density(density, ThermodynamicTemperature::from_si(temperature.si)))
}

/// `clear, blue`: a condition first, then the colour in words.
fn look(text: &str) -> Option<Value> {
    let (condition, colour) = text.split_once(',').unwrap_or((text, ""));
    let bright = match condition.trim().to_ascii_lowercase().as_str() {
        "clear" | "clear and bright" | "bright" => true,
        "haze" | "hazy" | "cloudy" | "sediment" | "dirt" | "water" => false,
        _ => return None,
    };
    Some(Value::Look { bright, colour: colour.trim().to_owned() })
}

fn clock(text: &str) -> Option<Value> {
    let (hours, minutes) = text.split_once(':')?;
    let number = |text: &str, most: u8| -> Option<u8> {
        let two = text.len() == 2 && text.bytes().all(|b| b.is_ascii_digit());
        two.then(|| text.parse().ok())?.filter(|&number| number <= most)
    };
    Some(Value::Clock(number(hours, 23)?, number(minutes, 59)?))
}

fn ohms(text: &str) -> Option<f64> {
    let number = text.strip_suffix("ohms").or_else(|| text.strip_suffix("ohm"))?;
    number.trim().parse().ok().filter(|ohms: &f64| ohms.is_finite() && *ohms >= 0.0)
}

/// Same words, however they are spaced or written in capitals.
fn same_grade(a: &str, b: &str) -> bool {
    let plain = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    plain(a) == plain(b)
}

fn looks(grade: &str, bright: bool, seen: &str) -> Judged {
    if !bright {
        return Judged::Fails("the sample is not clear and bright".into());
    }
    match colour(seen, grade) {
        Colour::Differs(own) => {
            Judged::Fails(format!("{seen} is not {own}, the colour of {grade}"))
        }
        Colour::Word => Judged::Fails(format!("say the colour of the sample: {grade} has one")),
        Colour::Fits(_) | Colour::NoDye => Judged::Passes,
    }
}

fn dense(grade: &str, density: MassDensity, temperature: ThermodynamicTemperature) -> Judged {
    let band = match grade_of(grade) {
        Some(Grade::Avgas) => &AVGAS,
        Some(Grade::Jet) => &JET_A1,
        Some(Grade::Mogas) | None => {
            // No band to hold it against: the reading is kept, and proves nothing.
            return Judged::Passes;
        }
    };
    match density_at_15(density, temperature, &mut Silent) {
        Err(error) => Judged::Fails(error.to_string()),
        Ok(at_15) if band.check(at_15.density).is_err() => Judged::Fails(format!(
            "{:.0} kg/m3 at 15 degC; {grade} is {:.0} to {:.0}",
            at_15.density.count(KG_M3),
            band.min,
            band.max
        )),
        Ok(_) => Judged::Passes,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grade() -> String {
        "avgas 100LL".into()
    }

    fn judged(reads: &Reads, text: &str) -> Judged {
        reads.judge(&reads.read(text).unwrap())
    }

    #[test]
    fn each_reading_is_read_with_its_unit_and_no_other() {
        let density = Reads::Density { grade: grade() };
        for (reads, good, bad) in [
            (Reads::Yes, "Yes", "perhaps"),
            (Reads::Litres { about: None }, "54 L", "54"),
            (Reads::Litres { about: None }, "14 USgal", "54 kg"),
            (Reads::Litres { about: None }, "0 L", "-1 L"),
            (Reads::Counter, "8 L", "8"),
            (Reads::Counter, "Unknown", "perhaps"),
            (density.clone(), "0.712 kg/L at 24 degC", "0.712 kg/L"),
            (density, "712 kg/m3 at 75 degF", "0.712 kg/L at 24"),
            (Reads::Paste, "DRY", "moist"),
            (Reads::Look { grade: grade() }, "clear and bright, light blue", "fine"),
            (Reads::Dip, "112 mm", "112"),
            (Reads::Dip, "70 L", "70 kg"),
            (Reads::Ticket, "A-4711", " "),
            (Reads::Clock, "23:59", "24:00"),
            (Reads::Clock, "00:00", "9:5"),
            (Reads::Waited { least: None }, "15 min", "15"),
            (Reads::Words, "none to be had", ""),
            (Reads::Resistance, "4 ohm", "4"),
            (Reads::Resistance, "0 ohms", "NaN ohm"),
        ] {
            assert!(reads.read(good).is_ok(), "{reads:?} {good}");
            let error = reads.read(bad).unwrap_err();
            assert!(!error.message.is_empty() && !error.help.is_empty(), "{reads:?} {bad}");
        }
    }

    #[test]
    fn a_reading_that_names_people_passes_when_nobody_is_left_and_takes_no_word_for_all() {
        let people = vec!["Ane Borrelk".to_owned(), "Dannuv, Isko".to_owned()];
        let reads = Reads::Named { deed: Deed::Briefed, people };
        for good in [
            "Ane Borrelk 14:05, Dannuv, Isko 14:07",
            "ane borrelk, dannuv, isko 14:07",
            "Dannuv, Isko 14:07; Ane Borrelk 14:05; Somebody Else 14:09",
        ] {
            assert_eq!(judged(&reads, good), Judged::Passes, "{good}");
        }
        for (bad, why) in [
            ("Ane Borrelk 14:05", "not briefed: Dannuv, Isko"),
            (
                "Ane Borrelk 14:05, Isko 14:06",
                "not briefed: Dannuv, Isko; nobody here is called Isko",
            ),
            ("all 14:05", "not briefed: Ane Borrelk, Dannuv, Isko; nobody here is called all"),
        ] {
            assert_eq!(judged(&reads, bad), Judged::Fails(why.into()), "{bad}");
        }
        for unread in ["", "14:05", "Ane Borrelk", "Ane Borrelk 14:05, Dannuv, Isko", "all 25:00"] {
            assert!(reads.read(unread).is_err(), "{unread}");
        }
        let Ok(Value::Named(named)) = reads.read("Ane Borrelk 14:05") else { panic!("not read") };
        assert_eq!(named[0].to_string(), "Ane Borrelk 14:05");
    }

    #[test]
    fn the_paste_the_look_and_the_grade_pass_or_fail() {
        assert_eq!(judged(&Reads::Paste, "dry"), Judged::Passes);
        assert!(matches!(judged(&Reads::Paste, "wet"), Judged::Fails(_)));
        let look = Reads::Look { grade: grade() };
        assert_eq!(judged(&look, "clear, blue"), Judged::Passes);
        for bad in ["haze, blue", "water, blue", "clear, straw", "clear", "clear, fine"] {
            assert!(matches!(judged(&look, bad), Judged::Fails(_)), "{bad}");
        }
        let same = Reads::Grade { grade: grade() };
        assert_eq!(judged(&same, "AVGAS  100ll"), Judged::Passes);
        for bad in ["avgas 100", "jet A-1", "100LL"] {
            assert!(matches!(judged(&same, bad), Judged::Fails(_)), "{bad}");
        }
    }

    #[test]
    fn a_density_passes_inside_the_band_at_15_degc_and_not_beside_it() {
        let avgas = Reads::Density { grade: grade() };
        for (text, passes) in [
            ("695 kg/m3 at 15 degC", true),
            ("694.9 kg/m3 at 15 degC", false),
            ("725 kg/m3 at 15 degC", true),
            ("725.1 kg/m3 at 15 degC", false),
            // Warm fuel is lighter: outside as read, inside at 15 degC.
            ("690 kg/m3 at 35 degC", true),
            ("800 kg/m3 at 15 degC", false),
        ] {
            assert_eq!(judged(&avgas, text) == Judged::Passes, passes, "{text}");
        }
        let jet = Reads::Density { grade: "jet A-1".into() };
        assert_eq!(judged(&jet, "800 kg/m3 at 15 degC"), Judged::Passes);
        assert!(matches!(judged(&jet, "715 kg/m3 at 15 degC"), Judged::Fails(_)));
    }

    #[test]
    fn a_wait_passes_from_its_least_on_and_any_wait_where_none_is_known() {
        let waited = Reads::Waited { least: Some(Time::of(15.0, MIN)) };
        assert_eq!(judged(&waited, "15 min"), Judged::Passes);
        assert_eq!(judged(&waited, "14.5 min"), Judged::Fails("14 min is not yet 15 min".into()));
        assert_eq!(judged(&Reads::Waited { least: None }, "1 min"), Judged::Passes);
    }
}
