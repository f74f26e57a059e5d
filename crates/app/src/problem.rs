//! Failures, said once at the edge: with place and way out for a person, as data for a
//! program.

use std::io::{self, Write};

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use serde_json::{Value, json};
use stillprop_rules::document::Problem;

use crate::{report::text::CAUTION, world::Source};

/// Why nothing could be answered.
#[derive(Clone, Debug, Default)]
pub(crate) struct Failure {
    problems: Vec<Located>,
    missing: bool,
    busy: bool,
}

/// A problem as a page shows it.
#[derive(Clone, Debug)]
pub(crate) struct Told {
    /// The document it is in.
    pub(crate) file: Option<String>,
    /// Its line, from 1.
    pub(crate) line: Option<usize>,
    /// What stands in that line.
    pub(crate) written: Option<String>,
    /// The bytes it is about; empty when it is about the whole.
    pub(crate) at: std::ops::Range<usize>,
    /// What is wrong.
    pub(crate) message: String,
    /// A way out.
    pub(crate) help: Option<String>,
}

/// A problem with the document it is in, when it is in one.
#[derive(Clone, Debug)]
struct Located {
    file: Option<String>,
    text: Option<String>,
    problem: Problem,
}

impl Failure {
    /// A problem with a file as a whole.
    pub(crate) fn file(name: &str, message: impl Into<String>, help: impl Into<String>) -> Self {
        let problem = Problem::new(0..0, message).help(help);
        Self {
            problems: vec![Located { file: Some(name.to_owned()), text: None, problem }],
            ..Self::default()
        }
    }

    /// A problem with what was asked, not with a file.
    pub(crate) fn asked(message: impl Into<String>, help: impl Into<String>) -> Self {
        let problem = Problem::new(0..0, message).help(help);
        Self { problems: vec![Located { file: None, text: None, problem }], ..Self::default() }
    }

    /// What was asked for is not there.
    pub(crate) fn missing(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { missing: true, ..Self::asked(message, help) }
    }

    /// True when what was asked for is not there, and nothing else is wrong.
    pub(crate) fn is_missing(&self) -> bool {
        self.missing
    }

    /// Too much is asked at once.
    pub(crate) fn busy(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { busy: true, ..Self::asked(message, help) }
    }

    /// True when too much is asked at once, and the same may be asked again.
    pub(crate) fn is_busy(&self) -> bool {
        self.busy
    }

    /// Problems found in a document.
    pub(crate) fn of(source: &Source, problems: Vec<Problem>) -> Self {
        let located = |problem| Located {
            file: Some(source.name.clone()),
            text: Some(source.text.clone()),
            problem,
        };
        Self { problems: problems.into_iter().map(located).collect(), ..Self::default() }
    }

    /// Adds the problems of another failure.
    pub(crate) fn join(&mut self, other: Self) {
        self.missing &= other.missing;
        self.problems.extend(other.problems);
    }

    /// Ok when there is nothing wrong.
    pub(crate) fn or_ok(self) -> Result<(), Self> {
        if self.problems.is_empty() { Ok(()) } else { Err(self) }
    }

    /// Prints to standard error, or as JSON to standard output.
    pub(crate) fn print(&self, as_json: bool) -> io::Result<()> {
        if as_json {
            return writeln!(
                io::stdout(),
                "{:#}",
                json!({ "errors": self.json(), "caution": CAUTION })
            );
        }
        let mut out = anstream::stderr();
        for located in &self.problems {
            writeln!(out, "{}", located.render())?;
        }
        Ok(())
    }

    /// The problems, for a page.
    pub(crate) fn told(&self) -> Vec<Told> {
        let one = |located: &Located| {
            let place = located.text.as_ref().filter(|_| !located.problem.at.is_empty());
            let place = place.map(|text| (located.problem.line_column(text), text));
            Told {
                file: located.file.clone(),
                line: place.as_ref().map(|((line, _), _)| *line),
                written: place
                    .and_then(|((line, _), text)| text.lines().nth(line - 1))
                    .map(str::to_owned),
                at: located.problem.at.clone(),
                message: located.problem.message.clone(),
                help: located.problem.help.clone(),
            }
        };
        self.problems.iter().map(one).collect()
    }

    /// The problems as data.
    pub(crate) fn json(&self) -> Vec<Value> {
        let one = |located: &Located| {
            let place = located.text.as_ref().map(|text| located.problem.line_column(text));
            json!({
                "file": located.file,
                "line": place.map(|place| place.0),
                "column": place.map(|place| place.1),
                "message": located.problem.message,
                "help": located.problem.help,
            })
        };
        self.problems.iter().map(one).collect()
    }
}

impl Located {
    fn render(&self) -> String {
        let Problem { at, message, help } = &self.problem;
        let file = self.file.as_deref().unwrap_or("");
        let placed = self.text.as_ref().filter(|text| at.end <= text.len() && !at.is_empty());
        let title = match (placed, file) {
            (None, file) if !file.is_empty() => format!("{file}: {message}"),
            _ => message.clone(),
        };
        let title = Level::ERROR.primary_title(title.as_str());
        let group = match placed {
            Some(text) => title.element(
                Snippet::source(text.as_str())
                    .path(file)
                    .annotation(AnnotationKind::Primary.span(first_line(text, at.clone()))),
            ),
            None => Group::with_title(title),
        };
        let way_out = help.as_deref().map(|help| Level::HELP.secondary_title(help));
        let groups: Vec<Group<'_>> =
            std::iter::once(group).chain(way_out.map(Group::with_title)).collect();
        Renderer::styled().render(&groups)
    }
}

/// A place that spans lines is shown by its first.
fn first_line(text: &str, at: std::ops::Range<usize>) -> std::ops::Range<usize> {
    let line = text.get(at.clone()).and_then(|part| part.find('\n'));
    let mut end = line.map_or(at.end, |line| at.start + line).max(at.start + 1).min(text.len());
    while !text.is_char_boundary(end) {
        end += 1;
    }
    at.start..end
}
