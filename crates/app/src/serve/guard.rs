//! What every request passes, and what every answer carries.
//!
//! A page of another site must not be able to record anything here, nor to read anything: the
//! name that a request came to must be ours, and what changes something must come from a page
//! of ours. Browsers say both, and no page can make them say otherwise.

use std::{sync::Arc, time::Duration};

use axum::{
    extract::{Request, State},
    http::{
        HeaderMap, HeaderName, HeaderValue, Method, StatusCode,
        header::{
            CACHE_CONTROL, CONTENT_SECURITY_POLICY, HOST, ORIGIN, REFERRER_POLICY,
            X_CONTENT_TYPE_OPTIONS, X_FRAME_OPTIONS,
        },
    },
    middleware::Next,
    response::Response,
};

use super::{reply, shop::Shop};
use crate::problem::Failure;

/// How long a request may take from its head to its answer, its body included.
const TIME: Duration = Duration::from_secs(15);

/// Nothing but our own files; no script and no style within a page.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; \
    connect-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; \
    frame-ancestors 'none'";

const HEADERS: [(HeaderName, &str); 7] = [
    (CONTENT_SECURITY_POLICY, POLICY),
    (X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (X_FRAME_OPTIONS, "DENY"),
    (REFERRER_POLICY, "same-origin"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    (
        HeaderName::from_static("permissions-policy"),
        "camera=(), microphone=(), geolocation=(), screen-wake-lock=(self)",
    ),
];

/// The one layer around all addresses.
pub(super) async fn guard(State(shop): State<Arc<Shop>>, request: Request, next: Next) -> Response {
    let mut response = match refused(&shop, request.method(), request.headers()) {
        Some((status, failure)) => reply::fault(&shop, status, &failure),
        None => match tokio::time::timeout(TIME, next.run(request)).await {
            Ok(response) => response,
            Err(_) => {
                let help = "send it again; a form is small and takes a moment";
                let failure = Failure::asked("the request took too long", help);
                reply::fault(&shop, StatusCode::REQUEST_TIMEOUT, &failure)
            }
        },
    };
    let headers = response.headers_mut();
    for (name, value) in HEADERS {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers.entry(CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    response
}

/// Why a request is not answered.
fn refused(shop: &Shop, method: &Method, headers: &HeaderMap) -> Option<(StatusCode, Failure)> {
    let said = |name: &HeaderName| headers.get(name).map(|value| value.to_str().unwrap_or("?"));
    let hosts: Vec<_> = headers.get_all(HOST).iter().collect();
    let host =
        said(&HOST).filter(|host| hosts.len() == 1 && shop.hosts.iter().any(|own| own == host));
    let Some(host) = host else {
        let failure = Failure::asked(
            "this machine does not go by that name",
            "open the address that was printed when the program started",
        );
        return Some((StatusCode::MISDIRECTED_REQUEST, failure));
    };
    if matches!(*method, Method::GET | Method::HEAD) {
        return None;
    }
    let site = said(&HeaderName::from_static("sec-fetch-site"));
    let elsewhere = site.is_some_and(|site| !matches!(site, "same-origin" | "none"));
    let foreign = said(&ORIGIN).is_some_and(|origin| {
        let name = origin.strip_prefix("http://").or_else(|| origin.strip_prefix("https://"));
        name != Some(host)
    });
    (elsewhere || foreign).then(|| {
        let failure = Failure::asked(
            "this was sent by a page of another site",
            "open the page here and do it there",
        );
        (StatusCode::FORBIDDEN, failure)
    })
}

#[cfg(test)]
mod tests {
    use std::path::PathBuf;

    use super::*;
    use crate::serve::folder::Folder;

    #[test]
    fn only_pages_of_ours_may_change_anything() {
        let mut shop = Shop::of(Folder::of(PathBuf::new()), PathBuf::new(), None, false);
        shop.hosts = vec!["127.0.0.1:4740".into(), "localhost:4740".into()];
        let ask = |method: Method, rows: &[(&'static str, &'static str)]| {
            let mut headers = HeaderMap::new();
            for (name, value) in rows {
                headers.append(*name, HeaderValue::from_static(value));
            }
            refused(&shop, &method, &headers).map(|(status, _)| status.as_u16())
        };
        let host = ("host", "127.0.0.1:4740");
        assert_eq!(ask(Method::GET, &[host]), None);
        assert_eq!(ask(Method::GET, &[host, ("sec-fetch-site", "cross-site")]), None);
        for other in ["evil.example", "127.0.0.1", "127.0.0.1:80", "localhost:4740.evil.example"] {
            let rows = [("host", other)];
            assert_eq!(ask(Method::GET, &rows), Some(421), "{other}");
        }
        assert_eq!(ask(Method::GET, &[]), Some(421));
        assert_eq!(ask(Method::GET, &[host, ("host", "localhost:4740")]), Some(421));
        assert_eq!(ask(Method::POST, &[host]), None);
        assert_eq!(ask(Method::POST, &[host, ("origin", "http://127.0.0.1:4740")]), None);
        for origin in [
            "http://evil.example",
            "null",
            "http://127.0.0.1:80",
            "http://localhost:4740",
            "127.0.0.1:4740",
            "file://127.0.0.1:4740",
            "http://127.0.0.1:4740.evil.example",
            "",
        ] {
            assert_eq!(ask(Method::POST, &[host, ("origin", origin)]), Some(403), "{origin}");
        }
        for (site, status) in [
            ("same-origin", None),
            ("none", None),
            ("same-site", Some(403)),
            ("cross-site", Some(403)),
            ("", Some(403)),
        ] {
            assert_eq!(ask(Method::POST, &[host, ("sec-fetch-site", site)]), status, "{site}");
        }
    }
}
