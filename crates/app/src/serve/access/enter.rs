//! Coming in with a passphrase or a code, and going out.

use std::{net::IpAddr, sync::Arc};

use axum::{
    Extension,
    body::Bytes,
    extract::{RawQuery, State},
    http::{HeaderMap, HeaderValue, header},
    response::{IntoResponse as _, Response},
};
use jiff::SignedDuration;

use super::{
    Access, Who, code, form, guard,
    limiter::{Named, Net},
    listen::Peer,
    page::{self, Refused},
    phrase::{self, Kept},
    secret::Token,
};
use crate::world;

/// Where to come in.
pub(super) const IN: &str = "/enter";

/// Where to go out.
pub(super) const OUT: &str = "/leave";

/// What a stranger's browser needs to show the page for coming in: style and scripts, no data.
pub(super) const ASSETS: &str = "/web/";

/// The form for coming in.
pub(super) async fn form(RawQuery(query): RawQuery, who: Option<Extension<Who>>) -> Response {
    if who.is_some_and(|who| who.person.is_none()) {
        return guard::see("/");
    }
    let wanted = form::field(query.unwrap_or_default().as_bytes(), "to").unwrap_or_default();
    page::enter(local(&wanted), None).into_response()
}

/// Where to go after coming in: a path here, written plainly, or the first page.
fn local(wanted: &str) -> &str {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"/-_.~%".contains(&byte);
    let good = wanted.starts_with('/') && !wanted.starts_with("//") && wanted.bytes().all(plain);
    if good && wanted.len() <= 200 { wanted } else { "/" }
}

/// Takes a name with a passphrase, or a code.
pub(super) async fn come_in(
    State(access): State<Arc<Access>>,
    Extension(Peer(peer)): Extension<Peer>,
    headers: HeaderMap,
    body: Bytes,
) -> Response {
    if access.store.is_none() {
        return guard::see("/");
    }
    let field = |name| form::field(&body, name).unwrap_or_default();
    let wanted = field("to");
    let wanted = local(&wanted);
    let claim = Claim { name: field("name"), phrase: field("phrase"), code: field("code") };
    match admit(&access, peer.ip(), claim).await {
        Ok(name) => welcome(&access, &headers, &name, wanted).unwrap_or_else(Refused::answer),
        Err(No::Broken) => Refused::Broken.answer(),
        Err(No::Wait(left)) => {
            let mut answer = page::enter(wanted, Some(page::Trouble::Wait(left))).into_response();
            *answer.status_mut() = axum::http::StatusCode::TOO_MANY_REQUESTS;
            let seconds = HeaderValue::from(page::seconds(left));
            answer.headers_mut().insert(header::RETRY_AFTER, seconds);
            answer
        }
        Err(No::Wrong) => {
            let mut answer = page::enter(wanted, Some(page::Trouble::Wrong)).into_response();
            *answer.status_mut() = axum::http::StatusCode::FORBIDDEN;
            answer
        }
    }
}

/// What somebody claims.
struct Claim {
    name: String,
    phrase: String,
    code: String,
}

/// Why somebody is not let in.
enum No {
    /// Too many tries.
    Wait(SignedDuration),
    /// Person, passphrase or code: which of them is not said.
    Wrong,
    /// The store is out of order.
    Broken,
}

impl From<super::store::StoreError> for No {
    fn from(_: super::store::StoreError) -> Self {
        Self::Broken
    }
}

/// The name under which the claimant is known.
async fn admit(access: &Access, from: IpAddr, claim: Claim) -> Result<String, No> {
    let by_code = !claim.code.trim().is_empty();
    let from = Net::of(from);
    let named = (!by_code).then(|| Named::of(&claim.name));
    access.limiter().begin(from, named, world::now()).map_err(No::Wait)?;
    let name = if by_code {
        let kept = code::kept(&claim.code).ok_or(No::Wrong)?;
        let store = access.store().ok_or(No::Broken)?;
        store.take_code(kept, world::now())?.ok_or(No::Wrong)?
    } else {
        let found = access.store().ok_or(No::Broken)?.try_phrase(&claim.name)?;
        // Somebody unknown is compared with a passphrase of nobody: it takes as long.
        let (known, kept) = (found.is_some(), found.unwrap_or(Kept::nobody()));
        let _turn = access.hashing.acquire().await.map_err(|_| No::Broken)?;
        let phrase = claim.phrase;
        let compare = move || kept.is(&phrase);
        let right = tokio::task::spawn_blocking(compare).await.map_err(|_| No::Broken)?;
        if !(known && right) {
            return Err(No::Wrong);
        }
        claim.name
    };
    access.limiter().forgive(from, named);
    Ok(name)
}

/// Begins a session. One that the browser still had is ended: nobody is two people.
fn welcome(
    access: &Access,
    headers: &HeaderMap,
    name: &str,
    wanted: &str,
) -> Result<Response, Refused> {
    let token = Token::new(world::random().map_err(|_| Refused::Broken)?);
    let mut store = access.store().ok_or(Refused::Broken)?;
    if let Some(old) = guard::session(headers) {
        store.end(old.hash()).map_err(|_| Refused::Broken)?;
    }
    let came = store.came_in(name, token.hash(), world::now()).map_err(|_| Refused::Broken)?;
    if came.is_none() {
        return Err(Refused::Stranger { wanted: "/".into(), shown: true });
    }
    Ok(with_cookie(guard::see(wanted), Some(&token)))
}

/// Ends the session, here and in the browser.
pub(super) async fn go_out(State(access): State<Arc<Access>>, headers: HeaderMap) -> Response {
    let Some(token) = guard::session(&headers) else { return guard::see("/") };
    if let Some(store) = access.store()
        && store.end(token.hash()).is_err()
    {
        return Refused::Broken.answer();
    }
    with_cookie(guard::see(IN), None)
}

fn with_cookie(mut answer: Response, token: Option<&Token>) -> Response {
    if let Ok(value) = HeaderValue::from_str(&guard::set_cookie(token)) {
        answer.headers_mut().insert(header::SET_COOKIE, value);
    }
    answer
}

/// The longest text of a field of the form for coming in.
pub(super) const FIELD_MOST: usize = phrase::LONGEST;

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn after_coming_in_one_goes_to_a_path_here_or_to_the_first_page() {
        for good in ["/", "/yard/D-17", "/stops/2026-06-21"] {
            assert_eq!(local(good), good);
        }
        for bad in [
            "",
            "yard",
            "//strange.example",
            "/\\strange.example",
            "https://strange.example",
            "/a\r\nSet-Cookie: b=c",
            "/a?b",
            "/a b",
            "/é",
        ] {
            assert_eq!(local(bad), "/", "{bad:?}");
        }
        assert_eq!(local(&format!("/{}", "a".repeat(200))), "/");
    }

    proptest! {
        #[test]
        fn no_text_leads_out_of_here(text in ".{0,40}") {
            let path = local(&text);
            prop_assert!(path.starts_with('/') && !path.starts_with("//") && !path.contains('\\'));
            prop_assert!(path.is_ascii() && !path.bytes().any(|byte| byte.is_ascii_control()));
        }
    }
}
