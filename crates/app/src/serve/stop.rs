//! One turnaround: as saved, as changed on the page, saved as a new version.

use std::{collections::BTreeMap, ops::Range, sync::Arc};

use axum::{
    extract::{Path, State},
    response::Response,
};

use super::{
    author::Author,
    first,
    form::{Asked, Pairs, Sent, without_token},
    reply::{Reply, answer},
    sheet,
    shop::{Shop, Worked},
};
use crate::{
    edit::stop::{Group, applied, groups},
    pages::{
        bits::encoded,
        frame::Place,
        stop::{self as page, Choices, StopPage, View},
        working,
    },
    problem::{Failure, Told},
    report,
};

/// `GET /stop/NAME`, with what was changed, or `?why=LIMIT`.
pub(super) async fn page(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |shop| {
        if let Some(rest) = without_token(&pairs) {
            return Ok(Reply::Go(format!("/stop/{}{rest}", encoded(&name))));
        }
        if let Some(limit) = pairs.given("why") {
            return explained(shop, &name, &pairs, limit);
        }
        shown(shop, &name, &pairs, true, |page| whole(page, &name))
    })
    .await
}

/// `GET /part/stop/NAME`: the figures alone, for a script.
pub(super) async fn part(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |shop| {
        shown(shop, &name, &pairs, false, |page| Reply::Part(page.figures()))
    })
    .await
}

/// `POST /save/stop/NAME`: a new version, unless something is wrong with it.
pub(super) async fn save(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
    Sent(pairs): Sent,
) -> Response {
    answer(shop, author, move |shop| {
        let draft = match Draft::of(shop, &name, &pairs)? {
            Ok(draft) => draft,
            Err(broken) => return Ok(broken),
        };
        match &draft.changed {
            None => Ok(Reply::Go(format!("/stop/{}", encoded(&name)))),
            Some(Ok(_)) => {
                let next = shop.folder.next_version(&name, &draft.text)?;
                Ok(Reply::Go(format!("/stop/{}", encoded(&next))))
            }
            Some(Err(_)) => draft.shown(shop, &name, &pairs, true, |page| whole(page, &name)),
        }
    })
    .await
}

/// The whole page; as wrong when something of it is.
fn whole(page: &StopPage<'_>, name: &str) -> Reply {
    let title = page.view.map_or(name.to_owned(), |view| view.assessment.title.clone());
    let reply = Reply::page(Place::Stops, title, page.markup()).script("stop");
    if page.errors.is_empty() { reply } else { reply.wrong() }
}

/// A turnaround as saved, and as what was typed changes it.
struct Draft {
    saved: Arc<Worked>,
    /// The text after the change.
    text: String,
    /// Worked out once; `None` when nothing differs.
    changed: Option<Result<Worked, Failure>>,
}

impl Draft {
    /// `Err` with its page for a document that is there and wrong.
    fn of(shop: &Shop, name: &str, pairs: &Pairs) -> Result<Result<Self, Reply>, Failure> {
        let saved = match shop.worked(name) {
            Ok(saved) => saved,
            Err(failure) => {
                shop.folder.read(name)?;
                let body = page::broken(name, &first::told(shop, &failure));
                return Ok(Err(Reply::page(Place::Stops, name, body).wrong()));
            }
        };
        let text = applied(&saved.source.text, &pairs.0);
        let changed = if text == saved.source.text {
            None
        } else {
            Some(shop.work(shop.folder.draft(name, text.clone())?))
        };
        Ok(Ok(Self { saved, text, changed }))
    }

    fn shown(
        &self,
        shop: &Shop,
        name: &str,
        pairs: &Pairs,
        whole: bool,
        reply: impl FnOnce(&StopPage<'_>) -> Reply,
    ) -> Result<Reply, Failure> {
        let saved = &*self.saved;
        let (worked, errors) = match &self.changed {
            None => (None, Vec::new()),
            Some(Ok(worked)) => (Some(worked), Vec::new()),
            Some(Err(failure)) => {
                let told = first::told(shop, failure);
                (None, placed(&saved.source.text, &self.text, &pairs.0, told))
            }
        };
        // As one types there is no time for a search.
        let seek = whole && worked.is_none() && !saved.assessment.ready();
        let ways = seek.then(|| self.saved.ways_out_soon(&shop.turns)).flatten();
        let left_out = pairs.0.iter().filter(|(name, _)| name.ends_with(".away"));
        let page = StopPage {
            name,
            view: Some(view(worked.unwrap_or(saved))),
            saved: worked.is_some().then_some(&saved.assessment),
            changes: changes(saved, pairs),
            errors,
            groups: typed(saved, pairs),
            left_out: left_out.map(|(name, _)| name.clone()).collect(),
            choices: choices(saved),
            runs: if whole { sheet::runs(shop, saved)? } else { Vec::new() },
            ways,
        };
        Ok(reply(&page))
    }
}

fn shown(
    shop: &Shop,
    name: &str,
    pairs: &Pairs,
    whole: bool,
    reply: impl FnOnce(&StopPage<'_>) -> Reply,
) -> Result<Reply, Failure> {
    match Draft::of(shop, name, pairs)? {
        Ok(draft) => draft.shown(shop, name, pairs, whole, reply),
        Err(broken) => Ok(broken),
    }
}

fn view(of: &Worked) -> View<'_> {
    View {
        stage: &of.stage,
        choice: &of.choice,
        assessment: &of.assessment,
        units: &of.units,
        pictures: of.pictures(),
    }
}

fn choices(of: &Worked) -> Choices {
    let (seats, rest): (Vec<_>, Vec<_>) =
        of.stage.places.iter().partition(|place| place.seat.is_some());
    let labels = |places: &[&stillprop_turnaround::stage::Place]| -> Vec<String> {
        places.iter().map(|place| place.label.clone()).collect()
    };
    let (seats, lockers) = (labels(&seats), labels(&rest));
    Choices {
        places: lockers.into_iter().chain(seats.iter().cloned()).collect(),
        seats,
        directions: of.stage.here.ways.iter().map(|way| way.name.clone()).collect(),
    }
}

/// The fields with what was typed into them.
fn typed(saved: &Worked, pairs: &Pairs) -> Vec<Group> {
    let said: BTreeMap<&str, &str> =
        pairs.0.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    let mut groups = saved.fields().to_vec();
    for field in groups.iter_mut().flat_map(|group| &mut group.fields) {
        if let Some(text) = said.get(field.name.as_str()) {
            field.value = (*text).to_owned();
        }
    }
    groups
}

/// What was typed and differs, as the end of an address.
fn changes(saved: &Worked, pairs: &Pairs) -> String {
    let pair = |(name, said): &(String, String)| format!("&{}={}", encoded(name), encoded(said));
    carried(saved, pairs).iter().map(pair).collect()
}

/// What was typed into fields of the form and differs from what they say.
pub(super) fn carried(saved: &Worked, pairs: &Pairs) -> Vec<(String, String)> {
    let own: BTreeMap<String, String> = saved
        .fields()
        .iter()
        .flat_map(|group| {
            let away = group.away.clone().map(|name| (name, String::new()));
            let fields = group.fields.iter();
            fields.map(|field| (field.name.clone(), field.value.clone())).chain(away)
        })
        .collect();
    let differs = pairs
        .0
        .iter()
        .filter(|(name, said)| own.get(name).is_some_and(|value| value.as_str() != said.trim()));
    differs.cloned().collect()
}

/// Each problem with the field it is about, as the form has it: the places are those of the
/// changed text, in which entries may be gone or new.
fn placed(
    saved: &str,
    changed: &str,
    typed: &[(String, String)],
    told: Vec<Told>,
) -> Vec<(Option<String>, Told)> {
    let fields: Vec<(String, Range<usize>)> = groups(changed)
        .into_iter()
        .flat_map(|group| group.fields)
        .filter_map(|field| Some((field.name, field.at?)))
        .collect();
    let gone = |list: &str, place: usize| {
        typed.iter().any(|(name, _)| *name == format!("{list}.{place}.away"))
    };
    let original = |name: &str| {
        let mut parts = name.splitn(3, '.');
        let (Some(list @ ("people" | "items")), Some(place), Some(key)) = (
            parts.next(),
            parts.next().and_then(|place| place.parse::<usize>().ok()),
            parts.next(),
        ) else {
            return name.to_owned();
        };
        let all = crate::edit::count(saved, &[crate::edit::Step::Key(list)]);
        let mut left = (0..all).filter(|place| !gone(list, *place));
        match left.nth(place) {
            Some(place) => format!("{list}.{place}.{key}"),
            None => format!("{list}.new.{key}"),
        }
    };
    let field = |at: &Range<usize>| {
        let hit = |own: &Range<usize>| at.start < own.end && own.start < at.end;
        let mut all = fields.iter().filter(|(_, own)| hit(own));
        // What is about more than one field is about none.
        match (all.next(), all.next()) {
            (Some((name, _)), None) => Some(original(name)),
            _ => None,
        }
    };
    told.into_iter().map(|told| (field(&told.at), told)).collect()
}

fn explained(shop: &Shop, name: &str, pairs: &Pairs, limit: &str) -> Result<Reply, Failure> {
    let saved = shop.worked(name)?;
    let text = applied(&saved.source.text, &pairs.0);
    let changed = if text == saved.source.text {
        None
    } else {
        Some(shop.work(shop.folder.draft(name, text)?)?)
    };
    let of: &Worked = changed.as_ref().unwrap_or(&saved);
    let explained = report::working::find(&of.stage, &of.choice, &of.units, limit)?;
    let changes = changes(&saved, pairs);
    let back = match changes.strip_prefix('&') {
        Some(rest) => format!("/stop/{}?{rest}", encoded(name)),
        None => format!("/stop/{}", encoded(name)),
    };
    let body = working::markup(&explained, &of.units, &back);
    Ok(Reply::page(Place::Stops, format!("Working of {limit}"), body))
}
