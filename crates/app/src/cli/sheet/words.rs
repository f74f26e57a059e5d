//! What is typed at a sheet: plain words, else a reading.

use stillprop_turnaround::sheet::Stop;

/// What was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Said {
    /// Nothing but Enter.
    Enter,
    /// It is done, with what there is to say.
    Done(Option<String>),
    /// A reading, or words that mean nothing else.
    Reading(String),
    /// The last entry was wrong; why, where it was said.
    Undo(Option<String>),
    /// The reading of an earlier task, by its number, was misread; the right one.
    Reread(usize, String),
    /// Everything stops.
    Stop(Stop),
    /// Everything stops, for a reason that is not understood.
    StopWhat,
    /// Work is put down.
    Pause,
    /// Another task that can be done now.
    Next,
    /// Every task, with what is done.
    List,
    /// What was done and what lies open.
    Recap,
    /// What can be typed.
    Help,
    /// An end for now.
    Quit,
}

/// What can be typed.
pub(super) const HELP: &[(&str, &str)] = &[
    ("Enter, done", "it is done; at a hold point type the reading instead"),
    ("done WORDS", "it is done, and the words are kept with it"),
    ("undo WHY", "the last entry was wrong; it stays on record as corrected"),
    ("reread N TEXT", "litres or a dip of task N were misread: the right reading"),
    ("stop WHAT", "at once: spill, fire, bond, wrong fuel, injury"),
    ("pause", "break off: what lies open is put down one by one, each said"),
    ("next", "another task that can be done now"),
    ("list", "every task, with what is done"),
    ("recap", "what was done and what lies open"),
    ("read TEXT", "a reading that is itself one of these words"),
    ("quit", "end for now, as with pause; what lies open is asked for next time"),
];

/// The words after `stop` that are understood.
pub(super) const STOPS: &str = "stop spill, stop fire, stop bond, stop wrong fuel, stop injury";

/// Understands a line.
pub(super) fn understand(line: &str) -> Said {
    let line = line.trim();
    let (first, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
    let rest = rest.trim();
    let alone = rest.is_empty();
    match first.to_lowercase().as_str() {
        "" => Said::Enter,
        "done" => Said::Done((!alone).then(|| rest.to_owned())),
        "undo" => Said::Undo((!alone).then(|| rest.to_owned())),
        "reread" => reread(rest).unwrap_or_else(|| Said::Reading(line.to_owned())),
        "stop" => stop(rest).map_or(Said::StopWhat, Said::Stop),
        "pause" if alone => Said::Pause,
        "next" if alone => Said::Next,
        "list" if alone => Said::List,
        "recap" if alone => Said::Recap,
        "help" | "?" if alone => Said::Help,
        "quit" | "exit" if alone => Said::Quit,
        "read" if !alone => Said::Reading(rest.to_owned()),
        _ => Said::Reading(line.to_owned()),
    }
}

fn reread(rest: &str) -> Option<Said> {
    let (number, reading) = rest.split_once(char::is_whitespace)?;
    let place = number.parse::<usize>().ok()?.checked_sub(1)?;
    Some(Said::Reread(place, reading.trim().to_owned()))
}

fn stop(words: &str) -> Option<Stop> {
    match words.to_lowercase().split_whitespace().collect::<Vec<_>>()[..] {
        ["spill"] => Some(Stop::Spill),
        ["fire"] => Some(Stop::Fire),
        ["bond"] | ["lost", "bond"] | ["lost-bond"] => Some(Stop::LostBond),
        ["wrong", "fuel"] | ["fuel"] | ["wrong-fuel"] => Some(Stop::WrongFuel),
        ["injury"] => Some(Stop::Injury),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_words_are_understood_and_everything_else_is_a_reading() {
        let reading = |text: &str| Said::Reading(text.into());
        for (line, said) in [
            ("", Said::Enter),
            (" \t", Said::Enter),
            ("Done", Said::Done(None)),
            ("done 54 L", Said::Done(Some("54 L".into()))),
            ("reread 21 23 L", Said::Reread(20, "23 L".into())),
            ("reread 0 23 L", reading("reread 0 23 L")),
            ("reread", reading("reread")),
            ("undo", Said::Undo(None)),
            ("undo  misread the counter", Said::Undo(Some("misread the counter".into()))),
            ("STOP spill", Said::Stop(Stop::Spill)),
            ("stop  Wrong  fuel", Said::Stop(Stop::WrongFuel)),
            ("stop bond", Said::Stop(Stop::LostBond)),
            ("stop lost bond", Said::Stop(Stop::LostBond)),
            ("stop fire", Said::Stop(Stop::Fire)),
            ("stop injury", Said::Stop(Stop::Injury)),
            ("stop", Said::StopWhat),
            ("stop it", Said::StopWhat),
            ("pause", Said::Pause),
            ("next", Said::Next),
            ("list", Said::List),
            ("recap", Said::Recap),
            ("?", Said::Help),
            ("quit", Said::Quit),
            ("54 L", reading("54 L")),
            ("  clear, blue ", reading("clear, blue")),
            ("list price", reading("list price")),
            ("read list", reading("list")),
            ("read", reading("read")),
        ] {
            assert_eq!(understand(line), said, "{line:?}");
        }
    }
}
