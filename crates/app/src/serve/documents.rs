//! Documents as text: read, changed with what is wrong beside its line, brought in, taken out.

use std::sync::Arc;

use axum::{
    Extension,
    extract::{Multipart, Path, State},
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
        documents::{self as page, Bring, DocumentPage},
        frame::Place,
    },
    problem::{Failure, Told},
    world,
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

/// What somebody brings in.
struct Brought {
    /// The name it is to have here; empty where the file's own is meant.
    name: String,
    /// What is done where there is one of that name.
    there: String,
    text: String,
}

/// `POST /documents`: brings a document in as text.
pub(super) async fn import(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Extension(who): Extension<Who>,
    Sent(pairs): Sent,
) -> Response {
    answer(shop, author, move |shop| {
        let text = pairs.0.iter().find(|(field, _)| field == "text");
        let text = text.map_or_else(String::new, |(_, text)| text.clone());
        let (name, there) = (pairs.text("name").to_owned(), pairs.text("there").to_owned());
        bring(shop, &who, Brought { name, there, text })
    })
    .await
}

/// `POST /documents/file`: brings a document in as a file.
pub(super) async fn upload(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Extension(who): Extension<Who>,
    parts: Multipart,
) -> Response {
    let read = files(parts).await;
    answer(shop, author, move |shop| {
        let unread = || Failure::asked("what was sent cannot be read", "use the form of the page");
        let fields = read.ok_or_else(unread)?;
        let text = |name: &str| {
            let field = fields.iter().find(|field| field.name == name);
            field.map_or_else(String::new, |field| {
                String::from_utf8_lossy(&field.bytes).trim().to_owned()
            })
        };
        let file = fields.iter().find(|field| field.name == "file").ok_or_else(unread)?;
        let mut name = text("name");
        if name.is_empty() {
            name.clone_from(&file.file);
        }
        if file.bytes.is_empty() {
            return Err(Failure::asked("no file was chosen, or it is empty", "choose a file"));
        }
        let read = world::text(file.bytes.clone());
        let read = read.map_err(|(message, help)| Failure::file(&file.file, message, help))?;
        bring(shop, &who, Brought { name, there: text("there"), text: read })
    })
    .await
}

/// A field of a form with files.
struct Field {
    name: String,
    /// The name of the file, without what stands before it.
    file: String,
    bytes: Vec<u8>,
}

/// The fields of a form with files; `None` when they cannot be read. The guard has bounded them.
async fn files(mut parts: Multipart) -> Option<Vec<Field>> {
    let mut fields = Vec::new();
    while let Some(part) = parts.next_field().await.ok()? {
        let name = part.name().unwrap_or_default().to_owned();
        let file = part.file_name().unwrap_or_default();
        let file = file.rsplit(['/', '\\']).next().unwrap_or_default().to_owned();
        let bytes = part.bytes().await.ok()?.to_vec();
        fields.push(Field { name, file, bytes });
    }
    Some(fields)
}

/// Brings a document in under its name, unless something is wrong with it or it is there.
fn bring(shop: &Shop, who: &Who, brought: Brought) -> Result<Reply, Failure> {
    let name = brought.name.trim_end_matches(".toml").to_owned();
    let text = ended(brought.text.replace("\r\n", "\n"));
    let source = shop.folder.draft(&name, text.clone())?;
    let again = |told: &[Told], there: bool| {
        let brought = Bring { name: &name, text: &text, told, there };
        let page = page::bring_again(&brought);
        Ok(Reply::page(Place::Documents, "Not brought in", page).wrong())
    };
    if let Err(failure) = in_source(&source, read_any(&source.text)) {
        return again(&first::told(shop, &failure), false);
    }
    let already = shop.folder.read(&name).map(|source| source.text).unwrap_or_default();
    if let Some(refused) = planned(who, &[&already, &text]) {
        return Ok(refused);
    }
    let go = |name: &str| Ok(Reply::Go(format!("/document/{}", encoded(name))));
    if shop.folder.create(&name, &text)? {
        return go(&name);
    }
    match brought.there.as_str() {
        "beside" => go(&shop.folder.next_version(&name, &text)?),
        "over" => {
            let there = shop.folder.read(&name)?;
            shop.folder.replace(&name, &there.text, &text)?;
            go(&name)
        }
        _ => again(&[], true),
    }
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
