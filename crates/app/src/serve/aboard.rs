//! Dangerous goods and the manifest: what people want to carry, what a stop declares, who and
//! what is aboard.

use std::sync::Arc;

use axum::{
    extract::{Path, State},
    response::Response,
};
use serde_json::Value;
use stillprop_rules::{goods::Place, rules::Rules};
use stillprop_turnaround::manifest::Manifest;

use super::{
    api::worked,
    author::Author,
    form::{Asked, Pairs},
    reply::{Reply, answer},
    shop::{Shop, Worked},
};
use crate::{
    load,
    pages::{
        frame,
        goods::{self as page, GoodsPage},
        manifest,
    },
    problem::Failure,
    report::{
        manifest::{self as listing, Listed},
        packs::built_in,
        screen::{self, Asked as Questions, Beside, RULES, Screened},
    },
};

/// Things in one question.
const MOST: usize = 40;

/// `GET /goods?what=hairspray&in=cabin`
pub(super) async fn goods(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |shop| {
        let named = pairs.given("pack").unwrap_or(RULES);
        let rules = rules(shop, named)?;
        let found = pairs
            .given("what")
            .map(|what| said(&pairs).and_then(|beside| of_words(&rules, what, beside)));
        let (screened, wrong) = match found {
            Some(Ok(screened)) => (Some(screened), None),
            Some(Err(wrong)) => (None, Some(wrong)),
            None => (None, None),
        };
        let tables = screen::goods(&rules)?;
        let vocabulary = stillprop_rules::builtin::vocabulary()?;
        let asked = Questions { items: &vocabulary.item, goods: &tables, rules: rules.name() };
        let shown = GoodsPage {
            what: pairs.text("what"),
            place: pairs.text("in"),
            count: pairs.text("count"),
            approved: pairs.given("approved").is_some(),
            pack: named,
            packs: packs()?,
            wrong,
            screened: screened.as_ref(),
            asked: &asked,
        };
        let reply = Reply::page(frame::Place::Goods, "Dangerous goods", shown.markup());
        Ok(if shown.wrong.is_some() { reply.wrong() } else { reply })
    })
    .await
}

/// `GET /goods/NAME`: what a stop declares.
pub(super) async fn declared(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |shop| {
        let of = worked(shop, &name, &pairs)?;
        let screened = Screened::of_stop(&of.stage, &of.choice);
        let title = format!("Dangerous goods: {}", of.assessment.title);
        Ok(Reply::page(frame::Place::Goods, title, page::declared(&name, &screened)))
    })
    .await
}

/// `GET /manifest/NAME`
pub(super) async fn aboard(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |shop| {
        let of = worked(shop, &name, &pairs)?;
        let title = format!("Manifest: {}", of.assessment.title);
        let body = listed(&of, |listed| manifest::markup(&name, listed));
        Ok(Reply::page(frame::Place::Stops, title, body))
    })
    .await
}

fn listed<T>(of: &Worked, show: impl FnOnce(&Listed<'_>) -> T) -> T {
    show(&Listed {
        manifest: &Manifest::of(&of.stage, &of.choice),
        assessment: &of.assessment,
        before: None,
        units: &of.units,
    })
}

/// Something wrong with a field.
type Wrong = (&'static str, String);

fn of_words(rules: &Rules, what: &str, beside: Beside) -> Result<Screened, Wrong> {
    if what.split(';').count() > MOST {
        return Err(("what", format!("at most {MOST} things at once")));
    }
    let screened = Screened::of_words(rules, what, beside);
    screened.map_err(|failure| {
        let told = failure.told();
        ("what", told.first().map_or_else(String::new, |told| told.message.clone()))
    })
}

/// What was said beside the words.
fn said(pairs: &Pairs) -> Result<Beside, Wrong> {
    let place = match pairs.given("in") {
        None => None,
        Some(word) => {
            let found = Place::ALL.iter().find(|place| place.word() == word).copied();
            Some(found.ok_or_else(|| {
                let words: Vec<&str> = Place::ALL.iter().map(|place| place.word()).collect();
                ("in", format!("there is no such place; there are {}", words.join(", ")))
            })?)
        }
    };
    let count = match pairs.given("count") {
        None => None,
        Some(text) => match text.parse() {
            Ok(count @ 1..=9999) => Some(count),
            _ => return Err(("count", "a whole number from 1 to 9999".to_owned())),
        },
    };
    Ok(Beside { each: None, count, place, approved: pairs.given("approved").is_some() })
}

fn rules(shop: &Shop, named: &str) -> Result<Rules, Failure> {
    load::rules_for(named, Some(&shop.folder.draft("pack", String::new())?))
}

/// Rules to choose from.
fn packs() -> Result<Vec<(String, String)>, Failure> {
    let mut all = vec![(RULES.to_owned(), "the strictest of all states".to_owned())];
    all.extend(built_in()?.into_iter().map(|pack| {
        let id = match &pack.over {
            Some(over) => format!("{}+{over}", pack.id),
            None => pack.id.clone(),
        };
        (id, pack.title)
    }));
    Ok(all)
}

/// The same for programs.
pub(super) mod api {
    use super::{
        Failure, Pairs, Questions, RULES, Screened, Shop, Value, listed, listing, of_words, rules,
        said, screen, worked,
    };

    pub(in crate::serve) fn words(shop: &Shop, _: &str, pairs: &Pairs) -> Result<Value, Failure> {
        let rules = rules(shop, pairs.given("pack").unwrap_or(RULES))?;
        let Some(what) = pairs.given("what") else {
            return Err(Failure::asked("it is not said what", "add ?what=hairspray"));
        };
        let found = said(pairs).and_then(|beside| of_words(&rules, what, beside));
        let screened =
            found.map_err(|(field, words)| Failure::asked(words, format!("look at `{field}`")))?;
        Ok(screen::json(&screened))
    }

    pub(in crate::serve) fn of_stop(
        shop: &Shop,
        name: &str,
        pairs: &Pairs,
    ) -> Result<Value, Failure> {
        let of = worked(shop, name, pairs)?;
        Ok(screen::json(&Screened::of_stop(&of.stage, &of.choice)))
    }

    pub(in crate::serve) fn ask(shop: &Shop, _: &str, pairs: &Pairs) -> Result<Value, Failure> {
        let rules = rules(shop, pairs.given("pack").unwrap_or(RULES))?;
        let goods = screen::goods(&rules)?;
        let vocabulary = stillprop_rules::builtin::vocabulary()?;
        let asked = Questions { items: &vocabulary.item, goods: &goods, rules: rules.name() };
        Ok(screen::ask_json(&asked))
    }

    pub(in crate::serve) fn manifest(
        shop: &Shop,
        name: &str,
        pairs: &Pairs,
    ) -> Result<Value, Failure> {
        let of = worked(shop, name, pairs)?;
        Ok(listed(&of, listing::json))
    }
}
