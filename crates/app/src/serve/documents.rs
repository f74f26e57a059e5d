//! Documents as text: read, changed with what is wrong beside its line, brought in, taken out.

use std::sync::Arc;

use axum::{
    Extension,
    extract::{Path, State},
    http::StatusCode,
    response::Response,
};
use stillprop_turnaround::document::{Document, read_any};

use super::{
    access::{Who, roles::Deed},
    author::Author,
    first,
    form::Sent,
    reply::{Reply, answer},
    shop::Shop,
};
use crate::{
    load::in_source,
    pages::{
        bits::encoded,
        documents::{self as page, DocumentPage},
        frame::Place,
    },
    problem::{Failure, Told},
};

/// `GET /documents`
pub(super) async fn page(State(shop): State<Arc<Shop>>, author: Author) -> Response {
    answer(shop, author, |shop| {
        let all = shop.folder.list();
        let rows = all.into_iter().map(|entry| (entry.kind, entry.name)).collect();
        let root = shop.folder.root().display().to_string();
        Ok(Reply::page(Place::Documents, "Documents", page::list(rows, &root)))
    })
    .await
}

/// `GET /document/NAME`
pub(super) async fn one(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
) -> Response {
    answer(shop, author, move |shop| {
        let source = shop.folder.read(&name)?;
        let told = checked(shop, &name, &source.text);
        let page = DocumentPage {
            name: &name,
            text: &source.text,
            before: &source.text,
            told: &told,
            saved: true,
        };
        Ok(Reply::page(Place::Documents, name.clone(), page.markup()))
    })
    .await
}

/// `POST /document/NAME`: checks a text, and saves it unless something is wrong.
pub(super) async fn save(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Extension(who): Extension<Who>,
    Path(name): Path<String>,
    Sent(pairs): Sent,
) -> Response {
    answer(shop, author, move |shop| {
        // Browsers send lines with two marks at their end; files have one.
        let field = |name: &str| {
            let found = pairs.0.iter().find(|(field, _)| field == name);
            found.map_or_else(String::new, |(_, text)| text.replace("\r\n", "\n"))
        };
        let (text, before) = (ended(field("text")), field("before"));
        let told = checked(shop, &name, &text);
        if !told.is_empty() || pairs.text("do") == "check" {
            let page = DocumentPage {
                name: &name,
                text: &text,
                before: &before,
                told: &told,
                saved: false,
            };
            let reply = Reply::page(Place::Documents, name.clone(), page.markup());
            return Ok(if told.is_empty() { reply } else { reply.wrong() });
        }
        let there = shop.folder.read(&name).map(|source| source.text).unwrap_or_default();
        if let Some(refused) = planned(&who, &[&there, &text]) {
            return Ok(refused);
        }
        let saved = if pairs.text("do") == "new" {
            shop.folder.next_version(&name, &text)?
        } else {
            shop.folder.replace(&name, &before, &text)?;
            name.clone()
        };
        Ok(Reply::Go(format!("/document/{}", encoded(&saved))))
    })
    .await
}

/// A text area takes the first line break away, and people forget the last.
fn ended(text: String) -> String {
    if text.is_empty() || text.ends_with('\n') { text } else { format!("{text}\n") }
}

/// What is wrong with a text: by itself, and for a turnaround with all that it names.
fn checked(shop: &Shop, name: &str, text: &str) -> Vec<Told> {
    let check = || -> Result<(), Failure> {
        let source = shop.folder.draft(name, text.to_owned())?;
        let document = in_source(&source, read_any(&source.text))?;
        if matches!(document, Document::Turnaround(_)) {
            shop.work(source)?;
        }
        Ok(())
    };
    check().err().map(|failure| first::told(shop, &failure)).unwrap_or_default()
}

/// The refusal where one of these texts is a turnaround and this person may not change one: as
/// text it is still a turnaround.
fn planned(who: &Who, texts: &[&str]) -> Option<Reply> {
    let is_turnaround = |text: &&str| matches!(read_any(text), Ok(Document::Turnaround(_)));
    if who.may(Deed::Turnaround) || !texts.iter().any(is_turnaround) {
        return None;
    }
    let what = format!("a {} may not {}", who.role, Deed::Turnaround.words());
    let failure = Failure::asked(what, "ask somebody who may, or come in as somebody else");
    Some(Reply::No(StatusCode::FORBIDDEN, failure))
}

/// `POST /documents`: brings a document in under a name of its own.
pub(super) async fn import(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Extension(who): Extension<Who>,
    Sent(pairs): Sent,
) -> Response {
    answer(shop, author, move |shop| {
        let name = pairs.text("name").trim_end_matches(".toml").to_owned();
        let text = pairs.0.iter().find(|(field, _)| field == "text");
        let text = ended(text.map_or_else(String::new, |(_, text)| text.replace("\r\n", "\n")));
        let source = shop.folder.draft(&name, text.clone())?;
        in_source(&source, read_any(&source.text))?;
        if let Some(refused) = planned(&who, &[&text]) {
            return Ok(refused);
        }
        if !shop.folder.create(&name, &text)? {
            let help = "choose another name, or open that one and change it";
            return Err(Failure::asked(format!("there is a document `{name}` already"), help));
        }
        Ok(Reply::Go(format!("/document/{}", encoded(&name))))
    })
    .await
}

/// `GET /export/NAME`: the document as a file.
pub(super) async fn export(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
) -> Response {
    answer(shop, author, move |shop| {
        let source = shop.folder.read(&name)?;
        let file = name.rsplit('/').next().unwrap_or(&name).to_owned();
        Ok(Reply::File(file, source.text))
    })
    .await
}
