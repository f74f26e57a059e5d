//! The fit: how it is loaded now and how it would be best, with a form for what is asked.

use maud::{Markup, html};
use stillprop_plan::fit::Answer;
use stillprop_turnaround::{assess::Assessment, stage::Stage};

use super::{About, Ask, Tone, left, picture, unanswered};
use crate::{
    pages::bits::{Input, encoded},
    problem::Told,
    report::search::fit::{ANY_ONE, LEFT, headline, moved, stands},
    search::fit::{Fitted, Fuel, PIECES, Wishes},
};

/// Fields of the form, by the names of the options of the verb.
pub(crate) mod field {
    pub(crate) const FUEL: &str = "fuel";
    pub(crate) const STEP: &str = "step";
    pub(crate) const SEATS_STAY: &str = "seats-stay";
    pub(crate) const KEEP: &str = "keep";
    pub(crate) const TOGETHER: &str = "together";
    pub(crate) const NOT_AT_EXIT: &str = "not-at-exit";
    pub(crate) const REACH: &str = "reach";
    pub(crate) const OUT_OF_REACH: &str = "out-of-reach";
    pub(crate) const BALLAST: &str = "ballast";
    pub(crate) const PIECES: &str = "pieces";
}

/// What was found, judged and drawn.
pub(crate) struct Shown<'a> {
    pub(crate) fitted: &'a Fitted,
    pub(crate) before: &'a Assessment,
    pub(crate) after: Option<&'a Assessment>,
    /// The loading now and then.
    pub(crate) pictures: [Option<String>; 2],
}

/// The page. `shown` is `Err` with words and a way out where nothing could be asked.
pub(crate) fn page(
    about: &About<'_>,
    stage: &Stage,
    wishes: &Wishes,
    shown: Result<&Shown<'_>, &[Told]>,
) -> Markup {
    let form = form(about, stage, wishes, shown.is_err());
    match shown {
        Err(told) => {
            let body = html! { (unanswered(told)) (form) };
            about.page(Ask::Fit, ("NOT KNOWN", "something is missing"), Tone::Unanswered, &body)
        }
        Ok(shown) => {
            let (word, detail) = headline(shown.fitted);
            let body = html! {
                (answer(about, shown, wishes))
                (form)
            };
            about.page(Ask::Fit, (word, &detail), Tone::of(shown.after.is_some()), &body)
        }
    }
}

fn answer(about: &About<'_>, shown: &Shown<'_>, wishes: &Wishes) -> Markup {
    let Shown { fitted, before, after, pictures } = shown;
    let Some((choice, after)) = fitted.after.as_ref().zip(*after) else {
        return conflict(fitted);
    };
    let rows = fitted.rows(choice, about.units);
    let (moves, stay): (Vec<_>, Vec<_>) = rows.iter().partition(|row| row.from != row.to);
    // Ballast that was offered and is not taken is nothing that stays aboard.
    let stay: Vec<&str> =
        stay.iter().filter(|row| row.to != LEFT).map(|row| row.what.as_str()).collect();
    html! {
        section aria-labelledby="moves" {
            h2 id="moves" { "What to move" }
            @if moves.is_empty() {
                p { "Nothing: as it is planned it is best." }
            } @else {
                ul.short {
                    @for row in &moves { li { strong { (row.what) } ": " (row.from) " \u{2192} " strong { (row.to) } } }
                }
                @if !stay.is_empty() { p { "All else stays: " (stay.join("; ")) "." } }
                (about.write(Ask::Fit, "Write it into a new version", &fields(wishes)))
            }
        }
        div.pictures {
            @for (name, svg) in ["Now", "Then"].iter().zip(pictures) {
                @if let Some(svg) = svg { section { h3 { (name) } (picture("loading", svg)) } }
            }
        }
        section aria-labelledby="margins" {
            h2 id="margins" { "Limits that the arrangement moves" }
            (margins(fitted, before, after))
        }
        (left(about, after))
    }
}

/// Margins now and then: the tightest and those that differ; the others by themselves.
fn margins(fitted: &Fitted, before: &Assessment, after: &Assessment) -> Markup {
    let rows: Vec<_> = moved(fitted, before, after)
        .into_iter()
        .map(|(limit, now)| {
            (&limit.id, now.map_or_else(|| "unknown".to_owned(), stands), stands(limit))
        })
        .collect();
    let (first, rest): (Vec<_>, Vec<_>) =
        rows.iter().enumerate().partition(|(at, (_, now, then))| *at < TIGHTEST || now != then);
    let table = |label: &str, rows: &[(usize, &(&String, String, String))]| {
        html! {
            div.wide tabindex="0" role="region" aria-label=(label) {
                table {
                    thead { tr { th scope="col" { "limit" } th scope="col" { "now" } th scope="col" { "then" } } }
                    tbody {
                        @for (_, (id, now, then)) in rows {
                            tr { th scope="row" { (id) } td { (now) } td { @if now == then { (then) } @else { strong { (then) } } } }
                        }
                    }
                }
            }
        }
    };
    html! {
        (table("Margins table", &first))
        @if !rest.is_empty() {
            details {
                summary { "The other " (rest.len()) ", which stay as they are" }
                (table("Other margins table", &rest))
            }
        }
    }
}

/// Limits that are shown in any case.
const TIGHTEST: usize = 6;

fn conflict(fitted: &Fitted) -> Markup {
    let names = fitted.conflict();
    html! {
        @if !names.is_empty() {
            section aria-labelledby="conflict" {
                h2 id="conflict" { "These cannot all be kept" }
                ul { @for name in &names { li { (name) } } }
                p { (ANY_ONE) }
            }
        } @else if matches!(fitted.answer, Answer::NothingFits(_)) {
            p { "There are too few places, whatever the limits." }
        } @else {
            p { "The search was cut short so that this page comes soon: stillprop fit looks further." }
        }
    }
}

/// What was asked, as fields.
pub(crate) fn fields(wishes: &Wishes) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = Vec::new();
    let mut put = |name: &str, said: &str| all.push((name.to_owned(), said.to_owned()));
    if let Some((_, word)) = Fuel::ALL.iter().find(|(fuel, _)| Some(*fuel) == wishes.fuel) {
        put(field::FUEL, word);
    }
    if wishes.seats_stay {
        put(field::SEATS_STAY, "on");
    }
    for (name, said) in [(field::STEP, &wishes.step), (field::BALLAST, &wishes.ballast)] {
        if let Some(said) = said {
            put(name, said);
        }
    }
    if let Some(pieces) = wishes.pieces {
        put(field::PIECES, &pieces.to_string());
    }
    for (name, many) in [
        (field::KEEP, &wishes.keep),
        (field::TOGETHER, &wishes.together),
        (field::NOT_AT_EXIT, &wishes.not_at_exit),
        (field::REACH, &wishes.reach),
        (field::OUT_OF_REACH, &wishes.out_of_reach),
    ] {
        for said in many {
            put(name, said);
        }
    }
    all
}

/// The form that asks it otherwise; open when something was asked.
fn form(about: &About<'_>, stage: &Stage, wishes: &Wishes, wrong: bool) -> Markup {
    let people: Vec<&str> = stage.people.iter().map(|person| person.name.as_str()).collect();
    let items: Vec<&str> = stage.items.iter().map(|item| item.what.as_str()).collect();
    let aboard: Vec<&str> = people.iter().chain(&items).copied().collect();
    let exits = stage.documents.aircraft.seats.iter().any(|seat| seat.exit);
    let asked = *wishes != Wishes::default() || wrong;
    html! {
        section aria-labelledby="otherwise" {
            h2 id="otherwise" { "Ask it otherwise" }
            details open[asked] {
                summary { "What may move, and what must not" }
                form method="get" action={ "/fit/" (encoded(about.name)) } {
                    (about.carried())
                    fieldset {
                        legend { "Fuel and ballast" }
                        div.fields { (fuel(stage, wishes)) (ballast(wishes)) }
                    }
                    fieldset {
                        legend { "Who sits where" }
                        (box_of(field::SEATS_STAY, "on", "everyone keeps their seat", wishes.seats_stay))
                        (pairs(&people, wishes))
                        @if exits { (boxes(field::NOT_AT_EXIT, "not next to an exit", &people, &wishes.not_at_exit)) }
                    }
                    fieldset {
                        legend { "What stays" }
                        (boxes(field::KEEP, "stays in place", &aboard, &wishes.keep))
                        @if !items.is_empty() {
                            (boxes(field::REACH, "must be reached in flight", &items, &wishes.reach))
                            (boxes(field::OUT_OF_REACH, "must not be reached in flight", &items, &wishes.out_of_reach))
                        }
                    }
                    p.buttons { button { "Work it out" } }
                }
            }
        }
    }
}

fn fuel(stage: &Stage, wishes: &Wishes) -> Markup {
    let words = [
        (Fuel::Stay, "as planned"),
        (Fuel::Spread, "planned total, any tanks"),
        (Fuel::Change, "as the limits ask"),
    ];
    let of: Vec<(String, String)> = Fuel::ALL
        .iter()
        .zip(words)
        .map(|((_, word), (_, says))| ((*word).to_owned(), says.to_owned()))
        .collect();
    let chosen = wishes.fuel.unwrap_or_else(|| Fuel::usual(stage));
    let value = Fuel::ALL.iter().find(|(fuel, _)| *fuel == chosen).map_or("stay", |(_, word)| word);
    html! {
        (text(field::FUEL, "fuel", value, "").choice(&of))
        (text(field::STEP, "in whole steps of", wishes.step.as_deref().unwrap_or(""), "").text())
    }
}

fn ballast(wishes: &Wishes) -> Markup {
    let pieces = wishes.pieces.map_or_else(|| PIECES.to_string(), |pieces| pieces.to_string());
    html! {
        (text(field::BALLAST, "a piece of ballast", wishes.ballast.as_deref().unwrap_or(""), "for example 10 kg").text())
        (text(field::PIECES, "pieces there are, 1 to 9", &pieces, "").text())
    }
}

const fn text<'a>(name: &'a str, label: &'a str, value: &'a str, hint: &'a str) -> Input<'a> {
    Input { name, label, value, mode: None, required: false, hint, error: None }
}

fn box_of(name: &str, value: &str, words: &str, ticked: bool) -> Markup {
    html! { label.tick { input type="checkbox" name=(name) value=(value) checked[ticked]; " " (words) } }
}

/// Boxes to tick, one for each name.
fn boxes(name: &str, title: &str, all: &[&str], ticked: &[String]) -> Markup {
    html! {
        details open[!ticked.is_empty()] {
            summary { (title) }
            div.ticks { @for one in all { (box_of(name, one, one, ticked.iter().any(|it| it == one))) } }
        }
    }
}

/// Two people in one row: one choice of a pair.
fn pairs(people: &[&str], wishes: &Wishes) -> Markup {
    let mut of = vec![(String::new(), "-".to_owned())];
    for (at, one) in people.iter().enumerate() {
        for other in &people[at + 1..] {
            of.push((format!("{one}, {other}"), format!("{one} and {other}")));
        }
    }
    let value = wishes.together.first().map_or("", String::as_str);
    html! { @if of.len() > 1 { (text(field::TOGETHER, "in one row", value, "").choice(&of)) } }
}
