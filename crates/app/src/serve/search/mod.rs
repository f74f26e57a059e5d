//! What to change at a stop: each search as a page, for programs, and written into a new version of
//! the document.
//!
//! | module | is |
//! |---|---|
//! | `found` | what was found, kept while the documents are the same |
//! | `turns` | how many searches run at once |
//! | `write` | what was found, as a new version |

pub(crate) mod found;
pub(crate) mod turns;
mod write;

use std::sync::Arc;

use axum::{
    extract::{Path, State},
    response::Response,
};
use serde_json::Value;
use sha2::{Digest as _, Sha256};
use stillprop_draw::{self as draw, Width};
use stillprop_plan::ways_out::{Edit, WaysOut};
use stillprop_turnaround::{
    assess::{Assessment, assess},
    stage::{Documents, prepare},
};

pub(super) use self::write::{
    fit as save_fit, place as save_place, time as save_time, way as save_way,
};
use super::{
    author::Author,
    first,
    form::{Asked, Pairs},
    reply::{Reply, answer},
    shop::{Shop, Worked},
    stop,
};
use crate::{
    edit::stop::applied,
    pages::{
        frame::Place,
        search::{self as pages, About, Ask, fit::field},
    },
    pictures,
    problem::Failure,
    report::{answer::value, search as report},
    search::{
        fit::{Fuel, Wishes},
        ways_out::rules,
    },
};

/// What is asked about: as saved, or as fields of the page of the stop change it.
struct Subject {
    of: Arc<Worked>,
    /// What was changed.
    carried: Vec<(String, String)>,
    /// Says which text it is.
    seen: String,
}

impl Subject {
    fn of(shop: &Shop, name: &str, pairs: &Pairs) -> Result<Self, Failure> {
        let saved = shop.worked(name)?;
        let carried = stop::carried(&saved, pairs);
        let text = applied(&saved.source.text, &carried);
        let of = if text == saved.source.text {
            saved
        } else {
            Arc::new(shop.work(shop.folder.draft(name, text)?)?)
        };
        let seen = mark(&of.source.text);
        Ok(Self { of, carried, seen })
    }

    fn about<'a>(&'a self, name: &'a str) -> About<'a> {
        About {
            name,
            assessment: &self.of.assessment,
            units: &self.of.units,
            carried: &self.carried,
            seen: &self.seen,
        }
    }
}

/// A short mark of a text: another text has another.
fn mark(text: &str) -> String {
    let hash = Sha256::digest(text.as_bytes());
    hash.iter().take(8).map(|byte| format!("{byte:02x}")).collect()
}

/// One mark for each way, by what it says.
fn marks(found: &WaysOut) -> Vec<String> {
    found.ways.iter().map(|way| mark(&way.words)).collect()
}

/// A page of `ask`.
fn page(ask: Ask, about: &About<'_>, body: maud::Markup) -> Reply {
    Reply::page(Place::Stops, format!("{}: {}", ask.word(), about.assessment.title), body)
}

/// `GET /ways-out/NAME`
pub(super) async fn ways_out(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |shop| {
        let subject = Subject::of(shop, &name, &pairs)?;
        let (about, found) = (subject.about(&name), subject.of.ways_out(&shop.turns)?);
        Ok(page(Ask::WaysOut, &about, pages::ways_out::page(&about, found, &marks(found))))
    })
    .await
}

/// `GET /window/NAME`
pub(super) async fn window(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |shop| {
        let subject = Subject::of(shop, &name, &pairs)?;
        let (about, of) = (subject.about(&name), &*subject.of);
        let found = of.window(&shop.turns)?;
        let open: Vec<_> = found.open.iter().map(|open| (open.from, open.until)).collect();
        let day = pictures::day::picture(&of.stage, &of.choice, &of.assessment, Some(&open));
        let drawn = draw::day::day(&day, Width::PHONE);
        Ok(page(Ask::Window, &about, pages::window::page(&about, found, &of.choice, &drawn)))
    })
    .await
}

/// `GET /odds/NAME`
pub(super) async fn odds(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |shop| {
        let subject = Subject::of(shop, &name, &pairs)?;
        let (about, of) = (subject.about(&name), &*subject.of);
        let found = of.odds(&shop.turns)?;
        let dots = pictures::odds::picture(found, &of.stage, &of.assessment);
        let dots = draw::odds::odds(&dots, Width::PHONE);
        Ok(page(Ask::Odds, &about, pages::odds::page(&about, found, &dots)))
    })
    .await
}

/// `GET /fit/NAME`
pub(super) async fn fit(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |shop| {
        let subject = Subject::of(shop, &name, &pairs)?;
        let (about, of) = (subject.about(&name), &*subject.of);
        let wishes = wishes(&pairs);
        let asked = wishes.is_ok();
        let found = wishes.clone().and_then(|wishes| of.fitted(&shop.turns, &wishes));
        let wishes = wishes.unwrap_or_default();
        let fitted = match &found {
            Ok(fitted) => fitted,
            Err(failure) if failure.is_busy() => return Err(failure.clone()),
            Err(failure) => {
                let told = first::told(shop, failure);
                let body = pages::fit::page(&about, &of.stage, &wishes, Err(&told));
                let reply = page(Ask::Fit, &about, body);
                // What is missing in the documents is no mistake of who asks.
                return Ok(if wishes == Wishes::default() && asked {
                    reply
                } else {
                    reply.wrong()
                });
            }
        };
        let (stage, units) = (&fitted.stage, &of.units);
        let after = fitted.after.as_ref().map(|after| assess(stage, after, units));
        let drawn = |choice, assessment: &Assessment| {
            let loading = pictures::loading::picture(stage, choice, assessment, units);
            draw::loading::loading(&loading, Width::PHONE)
        };
        let then = fitted.after.as_ref().zip(after.as_ref());
        let shown = pages::fit::Shown {
            fitted,
            before: &of.assessment,
            after: after.as_ref(),
            pictures: [
                then.map(|_| drawn(&of.choice, &of.assessment)),
                then.map(|(choice, assessment)| drawn(choice, assessment)),
            ],
        };
        Ok(page(Ask::Fit, &about, pages::fit::page(&about, &of.stage, &wishes, Ok(&shown))))
    })
    .await
}

/// `GET /park/NAME`
pub(super) async fn park(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |shop| {
        let subject = Subject::of(shop, &name, &pairs)?;
        let (about, of) = (subject.about(&name), &*subject.of);
        let parking = match of.parking(&shop.turns) {
            Ok(parking) => parking,
            Err(failure) if failure.is_busy() => return Err(failure),
            Err(failure) => {
                let body = pages::park::unasked(&about, &first::told(shop, &failure));
                return Ok(page(Ask::Park, &about, body));
            }
        };
        let there = match &parking.place {
            Some(place) => Some(there(of, &moved(of, &[Edit::Park(place.pose)])?)?),
            None => None,
        };
        let found = from(of, parking);
        let body = pages::park::page(&about, &found, parking, there.as_ref());
        Ok(page(Ask::Park, &about, body))
    })
    .await
}

fn from<'a>(of: &'a Worked, parking: &'a crate::search::park::Parking) -> report::park::Found<'a> {
    let place = parking.place.as_ref();
    report::park::Found { stage: &of.stage, choice: &of.choice, place, units: &of.units }
}

/// The documents after these changes.
fn moved(of: &Worked, edits: &[Edit]) -> Result<Documents, Failure> {
    let rules = rules(&of.source, &of.stage, None)?;
    Ok(stillprop_plan::ways_out::changed(&of.stage.documents, edits, &rules))
}

/// The apron with the aeroplane, and what was put out for it, elsewhere.
fn there(of: &Worked, documents: &Documents) -> Result<pages::park::There, Failure> {
    let rules = rules(&of.source, &of.stage, None)?;
    let (stage, choice) = prepare(documents.clone(), &rules);
    let assessment = assess(&stage, &choice, &of.units);
    let drawn = pictures::Drawn {
        stage: &stage,
        choice: &choice,
        assessment: &assessment,
        units: &of.units,
    };
    let plan = pictures::Kind::Apron.draw(&drawn, Width::PHONE);
    Ok(pages::park::There { assessment, plan })
}

/// What is asked of a fit.
fn wishes(pairs: &Pairs) -> Result<Wishes, Failure> {
    let given = |name: &str| pairs.given(name).map(str::to_owned);
    let all = |name: &str| -> Vec<String> {
        let own = pairs.0.iter().filter(|(field, said)| field == name && !said.trim().is_empty());
        own.map(|(_, said)| said.trim().to_owned()).take(MANY).collect()
    };
    let fuel = match pairs.given(field::FUEL) {
        None => None,
        Some(word) => {
            let known = Fuel::ALL.iter().find(|(_, known)| *known == word).map(|(fuel, _)| *fuel);
            Some(known.ok_or_else(|| {
                Failure::asked(
                    format!("`{word}` is nothing to do with fuel"),
                    "stay, spread, change",
                )
            })?)
        }
    };
    let pieces = match pairs.given(field::PIECES) {
        None => None,
        Some(text) => {
            let number = text.parse().ok().filter(|number| (1..=9).contains(number));
            Some(number.ok_or_else(|| {
                Failure::asked(format!("`{text}` is no number of pieces"), "1 to 9")
            })?)
        }
    };
    let ballast = given(field::BALLAST);
    Ok(Wishes {
        fuel,
        step: given(field::STEP),
        seats_stay: pairs.given(field::SEATS_STAY).is_some(),
        keep: all(field::KEEP),
        together: all(field::TOGETHER),
        not_at_exit: all(field::NOT_AT_EXIT),
        reach: all(field::REACH),
        out_of_reach: all(field::OUT_OF_REACH),
        // Without ballast it does not matter how many pieces there are.
        pieces: pieces.filter(|_| ballast.is_some()),
        ballast,
    })
}

/// Names that are taken of one field.
const MANY: usize = 64;

/// The answers for programs.
pub(super) mod api {
    use super::*;

    pub(crate) fn ways_out(shop: &Shop, name: &str, pairs: &Pairs) -> Result<Value, Failure> {
        let Subject { of, .. } = Subject::of(shop, name, pairs)?;
        let found = of.ways_out(&shop.turns)?;
        Ok(value(&report::ways_out::answer(found, &of.assessment, &of.units)))
    }

    pub(crate) fn window(shop: &Shop, name: &str, pairs: &Pairs) -> Result<Value, Failure> {
        let Subject { of, .. } = Subject::of(shop, name, pairs)?;
        let found = of.window(&shop.turns)?;
        Ok(value(&report::window::answer(found, &of.choice, &of.assessment, &of.units)))
    }

    pub(crate) fn odds(shop: &Shop, name: &str, pairs: &Pairs) -> Result<Value, Failure> {
        let Subject { of, .. } = Subject::of(shop, name, pairs)?;
        let drawn = of.odds(&shop.turns)?;
        Ok(value(&report::odds::answer(drawn, &of.assessment)))
    }

    pub(crate) fn fit(shop: &Shop, name: &str, pairs: &Pairs) -> Result<Value, Failure> {
        let Subject { of, .. } = Subject::of(shop, name, pairs)?;
        let fitted = of.fitted(&shop.turns, &wishes(pairs)?)?;
        let after = fitted.after.as_ref().map(|after| assess(&fitted.stage, after, &of.units));
        Ok(value(&report::fit::answer(&fitted, &of.assessment, after.as_ref(), &of.units)))
    }

    pub(crate) fn park(shop: &Shop, name: &str, pairs: &Pairs) -> Result<Value, Failure> {
        let Subject { of, .. } = Subject::of(shop, name, pairs)?;
        let parking = of.parking(&shop.turns)?;
        Ok(value(&report::park::answer(&from(&of, parking), &of.assessment)))
    }
}
