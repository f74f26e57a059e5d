//! Answers: pages, redirects, texts, and failures as pages.

use std::sync::Arc;

use axum::{
    http::{
        HeaderValue, StatusCode,
        header::{CONTENT_TYPE, LOCATION},
    },
    response::{IntoResponse as _, Response},
};
use maud::Markup;
use serde_json::Value;

use super::{author::Author, shop::Shop};
use crate::{
    pages::{
        fault::Fault,
        frame::{self, Frame},
        steady::steady,
    },
    problem::Failure,
};

/// What a request may come to.
pub(crate) enum Reply {
    /// A page.
    Page {
        /// What it is called.
        title: String,
        /// Where in the program it lies.
        place: frame::Place,
        /// What it says.
        body: Markup,
        /// Its script, beside that of every page.
        script: Option<&'static str>,
        /// As found, unless something is wrong.
        status: StatusCode,
    },
    /// A part of a page, for a script.
    Part(Markup),
    /// Another address, to be looked at next.
    Go(String),
    /// Text.
    Text(String),
    /// A file to keep: its name and its text.
    File(String, String),
    /// A paper: its name and its bytes.
    Pdf(String, Vec<u8>),
    /// A calendar to keep: its name and its text.
    Calendar(String, String),
    /// Data.
    Json(Value, StatusCode),
    /// Why not, with the status that says so.
    No(StatusCode, Failure),
}

impl Reply {
    /// A page that was found.
    pub(crate) fn page(place: frame::Place, title: impl Into<String>, body: Markup) -> Self {
        let (title, status) = (title.into(), StatusCode::OK);
        Self::Page { title, place, body, script: None, status }
    }

    /// The same page with a script of its own.
    pub(crate) fn script(self, name: &'static str) -> Self {
        match self {
            Self::Page { title, place, body, status, .. } => {
                Self::Page { title, place, body, script: Some(name), status }
            }
            other => other,
        }
    }

    /// The same page for what could not be done as it was sent.
    pub(crate) fn wrong(self) -> Self {
        match self {
            Self::Page { title, place, body, script, .. } => {
                Self::Page { title, place, body, script, status: StatusCode::UNPROCESSABLE_ENTITY }
            }
            other => other,
        }
    }
}

/// Works an answer out beside the connections, and gives it.
pub(crate) async fn answer<F>(shop: Arc<Shop>, author: Author, work: F) -> Response
where
    F: FnOnce(&Shop) -> Result<Reply, Failure> + Send + 'static,
{
    let worker = Arc::clone(&shop);
    let done = tokio::task::spawn_blocking(move || work(&worker)).await;
    match done {
        Ok(Ok(reply)) => given(&shop, &author, reply),
        Ok(Err(failure)) => fault(&shop, status(&failure), &failure),
        Err(_) => {
            let help = "nothing that was recorded is lost; open the page again";
            let failure = Failure::asked("the program failed at this", help);
            fault(&shop, StatusCode::INTERNAL_SERVER_ERROR, &failure)
        }
    }
}

/// The status of a failure.
pub(crate) fn status(failure: &Failure) -> StatusCode {
    if failure.is_busy() {
        StatusCode::SERVICE_UNAVAILABLE
    } else if failure.is_missing() {
        StatusCode::NOT_FOUND
    } else {
        StatusCode::UNPROCESSABLE_ENTITY
    }
}

fn given(shop: &Shop, author: &Author, reply: Reply) -> Response {
    match reply {
        Reply::Page { title, place, body, script, status } => {
            let (demo, author) = (shop.demo, Some(author));
            let frame = Frame { title: &title, place, script, demo, author };
            html(status, frame::page(&frame, &body))
        }
        Reply::Part(body) => html(StatusCode::OK, body),
        Reply::Go(to) => go(&to),
        Reply::Text(text) => typed("text/plain; charset=utf-8", text),
        Reply::File(name, text) => {
            let mut response = typed("application/toml; charset=utf-8", text);
            named(&mut response, "attachment", &name, "toml");
            response
        }
        Reply::Pdf(name, bytes) => {
            let mut response = bytes.into_response();
            let pdf = HeaderValue::from_static("application/pdf");
            response.headers_mut().insert(CONTENT_TYPE, pdf);
            // To be looked at first; a browser keeps it under this name.
            named(&mut response, "inline", &name, "pdf");
            response
        }
        Reply::Calendar(name, text) => {
            let mut response = typed("text/calendar; charset=utf-8", text);
            named(&mut response, "attachment", &name, "ics");
            response
        }
        Reply::No(status, failure) => fault(shop, status, &failure),
        Reply::Json(value, status) => {
            let mut response = typed("application/json", format!("{value:#}\n"));
            *response.status_mut() = status;
            response
        }
    }
}

/// Gives an answer the name under which it is kept.
fn named(response: &mut Response, how: &str, name: &str, ending: &str) {
    let plain = |c: char| if c.is_ascii_alphanumeric() || c == '-' { c } else { '_' };
    let name: String = name.chars().map(plain).collect();
    if let Ok(value) = HeaderValue::from_str(&format!("{how}; filename=\"{name}.{ending}\"")) {
        response.headers_mut().insert("content-disposition", value);
    }
}

/// What is wrong, as a page.
pub(crate) fn fault(shop: &Shop, status: StatusCode, failure: &Failure) -> Response {
    let mut told = failure.told();
    for each in &mut told {
        each.file = each.file.as_deref().map(|file| shop.folder.shown(file));
    }
    let fault = Fault { status: status.as_u16(), told };
    let title = fault.title();
    let (place, script, demo) = (frame::Place::None, None, shop.demo);
    let frame = Frame { title, place, script, demo, author: None };
    html(status, frame::page(&frame, &fault.markup()))
}

fn html(status: StatusCode, body: Markup) -> Response {
    let mut response = typed("text/html; charset=utf-8", steady(body.into_string()));
    *response.status_mut() = status;
    response
}

fn typed(kind: &'static str, body: String) -> Response {
    let mut response = body.into_response();
    response.headers_mut().insert(CONTENT_TYPE, HeaderValue::from_static(kind));
    response
}

/// Sends a browser on, with a new question.
pub(crate) fn go(to: &str) -> Response {
    let mut response = StatusCode::SEE_OTHER.into_response();
    let place = HeaderValue::from_str(to).unwrap_or(HeaderValue::from_static("/"));
    response.headers_mut().insert(LOCATION, place);
    response
}
