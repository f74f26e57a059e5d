//! Every address, and what answers it.

use std::sync::Arc;

use axum::{
    Router,
    extract::{DefaultBodyLimit, Path, State},
    http::{
        HeaderValue, StatusCode,
        header::{CACHE_CONTROL, CONTENT_TYPE},
    },
    response::{IntoResponse as _, Response},
    routing::{get, post},
};

use super::{
    aboard, aftermath, api, author, dates, documents, drum, first, form::Sent, packs, papers,
    reply, search, sheet, shop::Shop, stop, yard,
};
use crate::{pages::assets, problem::Failure};

/// The largest body: a document and what its encoding adds. \[bytes\]
const LARGEST: usize = 3 << 20;

/// Every address. `access` puts its guard around them all.
pub(super) fn router(shop: Arc<Shop>) -> Router {
    Router::new()
        .route("/", get(first::page))
        .route("/begin", get(first::begin).post(first::copy))
        .route("/stop/{*name}", get(stop::page))
        .route("/part/stop/{*name}", get(stop::part))
        .route("/save/stop/{*name}", post(stop::save))
        .route("/ways-out/{*name}", get(search::ways_out))
        .route("/window/{*name}", get(search::window))
        .route("/odds/{*name}", get(search::odds))
        .route("/fit/{*name}", get(search::fit))
        .route("/park/{*name}", get(search::park))
        .route("/save/ways-out/{*name}", post(search::save_way))
        .route("/save/window/{*name}", post(search::save_time))
        .route("/save/fit/{*name}", post(search::save_fit))
        .route("/save/park/{*name}", post(search::save_place))
        .route("/sheet/{*name}", get(sheet::page).post(sheet::done))
        .route("/part/sheet/{*name}", get(sheet::part))
        .route("/version/sheet/{*name}", get(sheet::version))
        .route("/yard", get(yard::page))
        .route("/yard/record/{verb}", get(yard::form).post(yard::record))
        .route("/yard/batch", get(yard::batch))
        .route("/drum/{id}", get(drum::page))
        .route("/documents", get(documents::page).post(documents::import))
        .route("/documents/file", post(documents::upload))
        .route("/document/{*name}", get(documents::one).post(documents::save))
        .route("/export/{*name}", get(documents::export))
        .route("/packs", get(packs::page))
        .route("/papers", get(papers::page))
        .route("/print/{kind}/{*name}", get(papers::pdf))
        .route("/goods", get(aboard::goods))
        .route("/goods/{*name}", get(aboard::declared))
        .route("/manifest/{*name}", get(aboard::aboard))
        .route("/due", get(dates::all))
        .route("/due/{*name}", get(dates::one))
        .route("/calendar", get(dates::calendar_of_all))
        .route("/calendar/{*name}", get(dates::calendar))
        .route("/report/{*name}", get(aftermath::page))
        .route("/name", post(named))
        .route("/web/{file}", get(asset))
        .merge(api::router())
        .fallback(nothing)
        .method_not_allowed_fallback(not_so)
        .layer(DefaultBodyLimit::max(LARGEST))
        .with_state(shop)
}

async fn nothing(State(shop): State<Arc<Shop>>) -> Response {
    let failure = Failure::asked("there is no such page", "the first page leads to every other");
    reply::fault(&shop, StatusCode::NOT_FOUND, &failure)
}

async fn not_so(State(shop): State<Arc<Shop>>) -> Response {
    let failure = Failure::asked("this cannot be done here", "use the forms of the pages");
    reply::fault(&shop, StatusCode::METHOD_NOT_ALLOWED, &failure)
}

/// Style and scripts, by the names that the pages give them: a changed file has another name.
async fn asset(State(shop): State<Arc<Shop>>, Path(file): Path<String>) -> Response {
    let Some(asset) = assets::find(&file) else { return nothing(State(shop)).await };
    let mut response = asset.text.into_response();
    let headers = response.headers_mut();
    headers.insert(CONTENT_TYPE, HeaderValue::from_static(asset.kind));
    headers.insert(CACHE_CONTROL, HeaderValue::from_static("public, max-age=31536000, immutable"));
    response
}

/// Somebody says who they are; kept by their browser.
async fn named(State(shop): State<Arc<Shop>>, Sent(pairs): Sent) -> Response {
    let cookie = author::name(pairs.text("by")).and_then(|name| author::cookie(&name));
    let Some(cookie) = cookie else {
        let failure = Failure::asked("that is no name", "write the name that records are to carry");
        return reply::fault(&shop, StatusCode::UNPROCESSABLE_ENTITY, &failure);
    };
    let mut response = reply::go(here(pairs.text("back")));
    response.headers_mut().insert("set-cookie", cookie);
    response
}

/// An address of our own and no other.
fn here(back: &str) -> &str {
    let plain = back.bytes().all(|byte| byte.is_ascii_graphic() && byte != b'\\');
    if plain && back.starts_with('/') && !back.starts_with("//") { back } else { "/" }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nobody_is_sent_to_another_site() {
        for bad in
            ["", "//evil.example", "https://evil.example", "/\\evil", "/a\nb", "javascript:x"]
        {
            assert_eq!(here(bad), "/", "{bad}");
        }
        assert_eq!(here("/sheet/ready?as=pilot"), "/sheet/ready?as=pilot");
    }
}
