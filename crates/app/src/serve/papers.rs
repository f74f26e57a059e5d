//! Papers from the pages: which there are, and each as a PDF.

use std::{collections::BTreeSet, sync::Arc};

use axum::{
    extract::{Path, State},
    response::Response,
};
use clap::ValueEnum;
use jiff::tz::Offset;

use super::{
    author::Author,
    form::{Asked, Pairs},
    reply::{Reply, answer},
    shop::Shop,
    yard,
};
use crate::{
    pages::{
        frame::Place,
        papers::{Month, PapersPage},
    },
    papers::{
        self, Kind, Language, Sheets, Stop,
        make::{self, Records},
    },
    problem::Failure,
    yard::{Ledger, convert},
};

/// Months of the register that the page offers.
const MONTHS: usize = 12;

/// `GET /papers?stop=NAME&paper=letter&scale=1.5`
pub(super) async fn page(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |shop| {
        let look = Look::of(&pairs)?;
        let stops = shop.folder.list().into_iter().filter(|entry| entry.kind == "turnaround");
        let stops: Vec<String> = stops.map(|entry| entry.name).collect();
        let stop = match pairs.given("stop") {
            None => None,
            Some(name) => Some((name.to_owned(), shop.worked(name)?.assessment.title.clone())),
        };
        let (places, months) = shop.yard(|ledger| Ok(of_yard(ledger)))?.unwrap_or_default();
        let (letter, large) = (look.sheets == Sheets::Letter, look.scale > 1.0);
        let page = PapersPage { stops, stop, places, months, letter, large };
        Ok(Reply::page(Place::None, "Papers", page.markup()))
    })
    .await
}

/// The places with containers, and the latest months in which fuel came or went.
fn of_yard(ledger: &Ledger) -> (Vec<String>, Vec<Month>) {
    let (mut places, mut months) = (BTreeSet::new(), BTreeSet::new());
    for container in ledger.yard.containers() {
        places.extend(container.place.clone());
        let fills = container.fills.iter().map(|it| it.stamp.at_ms);
        let inflows = container.inflows.iter().map(|it| it.stamp.at_ms);
        let draws = container.draws.iter().map(|it| it.stamp.at_ms);
        let counts = container.differences.iter().map(|it| it.stamp.at_ms);
        let all = fills.chain(inflows).chain(draws).chain(counts).filter_map(convert::instant);
        months.extend(all.map(|at| Offset::UTC.to_datetime(at).strftime("%Y-%m").to_string()));
    }
    (places.into_iter().collect(), months.into_iter().rev().take(MONTHS).collect())
}

/// How a paper is to look.
struct Look {
    sheets: Sheets,
    scale: f32,
    language: Language,
}

impl Look {
    fn of(pairs: &Pairs) -> Result<Self, Failure> {
        fn word<T: ValueEnum + Default>(pairs: &Pairs, name: &str) -> Result<T, Failure> {
            let Some(text) = pairs.given(name) else { return Ok(T::default()) };
            T::from_str(text, false).map_err(|_| {
                let known = T::value_variants().iter().filter_map(ValueEnum::to_possible_value);
                let known: Vec<String> = known.map(|it| it.get_name().to_owned()).collect();
                let known = format!("it can be: {}", known.join(", "));
                Failure::asked(format!("`{text}` is no {name} here"), known)
            })
        }
        let scale = pairs.given("scale").map_or(Ok(1.0), papers::scale);
        let scale = scale.map_err(|help| Failure::asked("letters of no such size", help))?;
        Ok(Self { sheets: word(pairs, "paper")?, scale, language: word(pairs, "language")? })
    }
}

/// `GET /print/KIND/NAME.pdf?paper=letter&scale=1.5&language=fr`: of a stop by the name of its
/// document, of the yard by a place, a drum or a month.
pub(super) async fn pdf(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path((kind, name)): Path<(String, String)>,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |shop| {
        let none = || Failure::missing("there is no such paper", "/papers has all there are");
        let kind = Kind::from_str(&kind, false).map_err(|_| none())?;
        let name = name.strip_suffix(".pdf").ok_or_else(none)?;
        let look = Look::of(&pairs)?;
        let mut paper = if kind.of_stop() {
            let worked = shop.worked(name)?;
            let stop = Stop {
                stage: &worked.stage,
                choice: &worked.choice,
                assessment: &worked.assessment,
                units: &worked.units,
            };
            let make = |records: &Records<'_>| {
                make::of_stop(kind, &stop, &worked.source, look.language, None, records)
            };
            // The others would only hold up whoever records.
            let looks = matches!(kind, Kind::Record | Kind::Spill);
            let made = match looks {
                true => shop.yard(|ledger| make(&Records::Ledger(ledger)))?,
                false => None,
            };
            made.map_or_else(|| make(&Records::None), Ok)?
        } else {
            let judge = yard::judge(shop, pairs.given("pack"))?.ok_or_else(|| {
                let help = "write a stop that says its pack, or add ?pack=au to the address";
                Failure::asked("it is not said which rules give the use-by day", help)
            });
            let clock = (pairs.given("place"), Offset::UTC);
            let made = shop.yard(|ledger| make::of_yard(kind, name, ledger, || judge, clock))?;
            made.ok_or_else(|| {
                Failure::missing("nothing is recorded of any drum yet", "record that one came in")
            })?
        };
        paper.size = look.sheets.into();
        paper.scale *= look.scale;
        Ok(Reply::Pdf(format!("{}-{name}", kind.words()), papers::bytes(&paper)?))
    })
    .await
}
