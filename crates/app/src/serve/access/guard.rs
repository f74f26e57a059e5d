//! What every request goes through before a page sees it, and every answer before it leaves.

use std::{error::Error, sync::Arc, time::Duration};

use axum::{
    body::{Body, to_bytes},
    extract::{Request, State},
    http::{HeaderMap, HeaderValue, Method, StatusCode, header},
    middleware::Next,
    response::Response,
};
use http_body_util::LengthLimitError;
use tokio::time::timeout;

use super::{
    Access, Who, allowed, enter,
    form::{self, Kind},
    origin::{self, Reach, Said},
    page::Refused,
    roles::{Deed, Role},
    secret::Token,
};
use crate::world;

/// Name of the cookie. The prefix has browsers keep it to this address, encrypted, whole site: RFC
/// 6265bis, section 4.1.3.2, memory.
const COOKIE: &str = "__Host-stillprop";

/// Bytes of what a stranger may send: a name and a passphrase.
const STRANGER_MOST: usize = 4 * 1024;

/// Bytes of a form, or of JSON: a document of the largest size, as a form encodes it.
const FORM_MOST: usize = 3 * 1024 * 1024;

/// All of a body has to be here within this time.
const BODY: Duration = Duration::from_secs(15);

/// An answer has to be ready within this time.
const ANSWER: Duration = Duration::from_secs(15);

/// What a stranger sends fits in one packet or a few.
const STRANGER: Duration = Duration::from_secs(5);

/// What a browser may do with our pages: nothing but what they need.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; \
    connect-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; \
    frame-ancestors 'none'";

/// Headers of every answer. No `Strict-Transport-Security`: with a certificate that nobody signed it
/// would leave no way in at all.
const HEADERS: &[(&str, &str)] = &[
    ("content-security-policy", POLICY),
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "DENY"),
    ("referrer-policy", "same-origin"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("permissions-policy", "camera=(), microphone=(), geolocation=(), screen-wake-lock=(self)"),
];

/// Lets a request through, or answers in place of the page.
pub(super) async fn guard(
    State(access): State<Arc<Access>>,
    request: Request,
    next: Next,
) -> Response {
    // No browser sends a form in chunks. Where its end was read another way, what follows would be
    // taken for the next request: there is none on this connection. RFC 9112, section 6.1, memory.
    let chunked = request.headers().contains_key(header::TRANSFER_ENCODING);
    let mut answer = match judge(&access, request).await {
        Ok(request) => {
            let who = request.extensions().get::<Who>().cloned();
            let late = |_| Refused::Late.answer();
            let answer = timeout(ANSWER, next.run(request)).await.unwrap_or_else(late);
            match who {
                Some(who) => filled(answer, &who).await,
                None => answer,
            }
        }
        Err(refused) => refused.answer(),
    };
    let headers = answer.headers_mut();
    if chunked {
        headers.insert(header::CONNECTION, HeaderValue::from_static("close"));
    }
    for (name, value) in HEADERS {
        headers.entry(*name).or_insert(HeaderValue::from_static(value));
    }
    // What is shown after coming in is not to be found in a browser after going out.
    headers.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    answer
}

async fn judge(access: &Access, request: Request) -> Result<Request, Refused> {
    let api = request.uri().path().starts_with("/api/");
    judged(access, request).await.map_err(|refused| refused.asked_by(api))
}

async fn judged(access: &Access, request: Request) -> Result<Request, Refused> {
    let method = request.method();
    let reads = method == Method::GET || method == Method::HEAD;
    if !reads && method != Method::POST {
        return Err(Refused::Method);
    }
    meant_for_us(access, &request, reads)?;
    let path = request.uri().path();
    if !is_plain(path) {
        return Err(Refused::Path);
    }
    // Coming in is open to everybody. What a strange page would send there is refused above.
    let coming_in = path == enter::IN;
    let open = coming_in || path.starts_with(enter::ASSETS);
    let token = if access.reach == Reach::Lan { cookie(request.headers()) } else { None };
    let who = who(access, token.as_ref())?;
    let Some(who) = who else {
        // A script that asks for a part of a page could not show where to come in.
        let mode = text(request.headers(), "sec-fetch-mode")?;
        let shown = mode.is_none_or(|mode| mode == "navigate");
        return match (open, reads) {
            (true, true) => Ok(request),
            (true, false) => limited(request, STRANGER_MOST, STRANGER).await,
            (false, true) => Err(Refused::Stranger { wanted: path.to_owned(), shown }),
            (false, false) => Err(Refused::Stranger { wanted: "/".to_owned(), shown: false }),
        };
    };
    let deed = Deed::of(reads, path);
    let own = coming_in || path == enter::OUT;
    if !own && !who.may(deed) {
        return Err(Refused::Role { role: who.role, deed });
    }
    let mut request = match (reads, coming_in) {
        (true, _) => request,
        (false, true) => limited(request, STRANGER_MOST, STRANGER).await?,
        (false, false) => whole(access, token, request).await?,
    };
    request.extensions_mut().insert(who);
    Ok(request)
}

/// Host, origin and what the browser says of both.
fn meant_for_us(access: &Access, request: &Request, reads: bool) -> Result<(), Refused> {
    let headers = request.headers();
    let mut hosts = headers.get_all(header::HOST).iter();
    let (Some(host), None) = (hosts.next(), hosts.next()) else { return Err(Refused::Host) };
    let host = host.to_str().map_err(|_| Refused::Host)?;
    // A request may also name a host before its path.
    let named = request.uri().authority().is_none_or(|authority| authority.as_str() == host);
    if !named || !access.reach.is_ours(host, access.port) {
        return Err(Refused::Host);
    }
    let said = Said {
        host,
        origin: text(headers, "origin")?,
        site: text(headers, "sec-fetch-site")?,
        mode: text(headers, "sec-fetch-mode")?,
    };
    if origin::may(&access.reach, reads, said) { Ok(()) } else { Err(Refused::Elsewhere) }
}

/// A header that may be there once. What is no text, or there twice, is of no browser.
fn text<'a>(headers: &'a HeaderMap, name: &str) -> Result<Option<&'a str>, Refused> {
    let mut values = headers.get_all(name).iter();
    match (values.next(), values.next()) {
        (None, _) => Ok(None),
        (Some(value), None) => value.to_str().map(Some).map_err(|_| Refused::Elsewhere),
        _ => Err(Refused::Elsewhere),
    }
}

/// No way up, no second way of writing a slash, nothing that cannot be seen. No page reads a file by
/// its path; this holds should one ever do.
fn is_plain(path: &str) -> bool {
    let Some(path) = form::decoded(&path.replace('+', "%2b")) else { return false };
    let strange = |letter: char| letter.is_control() || letter == '\\';
    !path.contains(strange) && !path.split('/').any(|part| part == ".." || part == ".")
}

/// The token in the cookie. Two cookies of that name are of nobody.
fn cookie(headers: &HeaderMap) -> Option<Token> {
    let lines = headers.get_all(header::COOKIE).iter().filter_map(|line| line.to_str().ok());
    let pairs =
        lines.flat_map(|line| line.split(';')).filter_map(|pair| pair.trim().split_once('='));
    let mut found = pairs.filter(|(name, _)| *name == COOKIE).map(|(_, value)| value);
    match (found.next(), found.next()) {
        (Some(value), None) => Token::read(value),
        _ => None,
    }
}

/// The cookie that brings a token, or takes it away.
pub(super) fn set_cookie(token: Option<&Token>) -> String {
    let rest = "Path=/; Secure; HttpOnly; SameSite=Strict";
    match token {
        Some(token) => {
            let seconds = super::session::LONGEST.as_secs();
            format!("{COOKIE}={}; {rest}; Max-Age={seconds}", token.text())
        }
        None => format!("{COOKIE}=; {rest}; Max-Age=0"),
    }
}

/// The token of a request's session.
pub(super) fn session(headers: &HeaderMap) -> Option<Token> {
    cookie(headers)
}

fn who(access: &Access, token: Option<&Token>) -> Result<Option<Who>, Refused> {
    let Some(store) = access.store() else {
        return Ok(Some(Who { person: None, role: Role::Pilot, form: access.own.form() }));
    };
    let Some(token) = token else { return Ok(None) };
    let person = store.session(token.hash(), world::now()).map_err(|_| Refused::Broken)?;
    Ok(person.map(|person| Who {
        person: Some(person.name),
        role: person.role,
        form: token.form(),
    }))
}

/// A request that records, with all of its body here, from a form of ours.
async fn whole(
    access: &Access,
    token: Option<Token>,
    request: Request,
) -> Result<Request, Refused> {
    let kind = Kind::of(text(request.headers(), "content-type")?).ok_or(Refused::Kind)?;
    let sent = text(request.headers(), form::HEADER)?.map(str::to_owned);
    let request = limited(request, FORM_MOST, BODY).await?;
    if kind == Kind::Json {
        return Ok(request);
    }
    let (head, body) = request.into_parts();
    // It is here already, so this waits for nothing.
    let body = to_bytes(body, FORM_MOST).await.map_err(|_| Refused::Large)?;
    let sent = sent.as_deref().or_else(|| form::token(&kind, &body)).unwrap_or_default();
    if !token.as_ref().unwrap_or(&access.own).is_form(sent) {
        return Err(Refused::Form);
    }
    Ok(Request::from_parts(head, Body::from(body)))
}

/// The request with its body read, when it is not too long and not too slow.
async fn limited(request: Request, most: usize, time: Duration) -> Result<Request, Refused> {
    let said = text(request.headers(), "content-length")?.and_then(|text| text.parse().ok());
    if said.is_some_and(|length: u64| length > most as u64) {
        return Err(Refused::Large);
    }
    let (head, body) = request.into_parts();
    match timeout(time, to_bytes(body, most)).await {
        Err(_) => Err(Refused::Slow),
        Ok(Err(error)) if error.source().is_some_and(<dyn Error>::is::<LengthLimitError>) => {
            Err(Refused::Large)
        }
        Ok(Err(_)) => Err(Refused::Cut),
        Ok(Ok(body)) => Ok(Request::from_parts(head, Body::from(body))),
    }
}

/// The answer with the token in each of its forms, when it is a page.
async fn filled(answer: Response, who: &Who) -> Response {
    let kind = answer.headers().get(header::CONTENT_TYPE).and_then(|kind| kind.to_str().ok());
    if !kind.is_some_and(|kind| kind.starts_with("text/html")) {
        return answer;
    }
    let (mut head, body) = answer.into_parts();
    // A page of ours is in memory as a whole already.
    let Ok(page) = to_bytes(body, usize::MAX).await else { return Refused::Broken.answer() };
    head.headers.remove(header::CONTENT_LENGTH);
    let page = allowed::only(&String::from_utf8_lossy(&page), who.role);
    let page = form::fill(&page, &who.form);
    Response::from_parts(head, Body::from(page))
}

/// A redirection that a browser follows with GET.
pub(super) fn see(path: &str) -> Response {
    let mut answer = Response::new(Body::empty());
    *answer.status_mut() = StatusCode::SEE_OTHER;
    let value = HeaderValue::from_str(path).unwrap_or(HeaderValue::from_static("/"));
    answer.headers_mut().insert(header::LOCATION, value);
    answer
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn of(cookies: &[&str]) -> Option<String> {
        let mut headers = HeaderMap::new();
        for line in cookies {
            headers.append(header::COOKIE, HeaderValue::from_str(line).unwrap());
        }
        cookie(&headers).map(|token| token.text())
    }

    #[test]
    fn the_cookie_is_found_among_others_and_only_once() {
        let token = Token::new([5; 32]);
        let own = format!("{COOKIE}={}", token.text());
        let set = set_cookie(Some(&token));
        let sent = set.split(';').next().unwrap();
        assert_eq!(of(&[sent]), Some(token.text()));
        assert_eq!(of(&[&format!("a=b; {own}; c")]), Some(token.text()));
        assert_eq!(of(&["a=b", &own]), Some(token.text()));
        assert_eq!(of(&[&own, &own]), None);
        assert_eq!(of(&[&format!("{own}; {COOKIE}=x")]), None);
        assert_eq!(of(&[&format!("x{own}")]), None);
        assert_eq!(of(&[&format!("{COOKIE}=")]), None);
        assert_eq!(of(&[]), None);
    }

    #[test]
    fn the_cookie_is_for_this_place_encrypted_and_for_no_script() {
        for set in [set_cookie(Some(&Token::new([5; 32]))), set_cookie(None)] {
            for part in ["__Host-", "; Path=/", "; Secure", "; HttpOnly", "; SameSite=Strict"] {
                assert!(set.contains(part), "{set}");
            }
            assert!(!set.contains("Domain"));
        }
    }

    #[test]
    fn no_path_leads_up_however_it_is_written() {
        for path in ["/", "/yard/D-17", "/a..b/...", "/a%20b", "/caf%C3%A9", "/a+b"] {
            assert!(is_plain(path), "{path}");
        }
        for path in [
            "/..",
            "/../etc/passwd",
            "/a/../b",
            "/%2e%2e/a",
            "/.%2E/a",
            "/a%2f..%2fb",
            "/./a",
            "/a%00b",
            "/a%0d%0ab",
            "/a%5cb",
            "/a\\b",
            "/a%zz",
            "/a%ff",
        ] {
            assert!(!is_plain(path), "{path}");
        }
    }

    proptest! {
        #[test]
        fn no_text_leads_elsewhere_or_adds_a_header(path in ".{0,60}") {
            let answer = see(&path);
            let value = answer.headers()[header::LOCATION].as_bytes();
            prop_assert!(!value.contains(&b'\r') && !value.contains(&b'\n'));
            prop_assert_eq!(answer.headers().len(), 1);
        }
    }
}
