//! What was typed into a form or an address: pairs of names and texts.

use std::sync::Arc;

use axum::{
    Form,
    extract::{FromRequest, FromRequestParts, Query, Request, rejection::FormRejection},
    http::{StatusCode, request::Parts},
    response::{IntoResponse as _, Response},
};

use super::{access::form::FIELD as TOKEN, reply, shop::Shop};
pub(crate) use crate::pages::typed::Pairs;
use crate::{pages::bits::encoded, problem::Failure};

/// Pairs of an address.
pub(crate) struct Asked(pub(crate) Pairs);

impl<S: Send + Sync> FromRequestParts<S> for Asked {
    type Rejection = std::convert::Infallible;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, Self::Rejection> {
        let pairs = Query::<Vec<(String, String)>>::from_request_parts(parts, state).await;
        Ok(Self(Pairs(pairs.map(|Query(pairs)| pairs).unwrap_or_default())))
    }
}

/// Pairs of a form that was sent.
pub(crate) struct Sent(pub(crate) Pairs);

impl FromRequest<Arc<Shop>> for Sent {
    type Rejection = Response;

    async fn from_request(request: Request, shop: &Arc<Shop>) -> Result<Self, Response> {
        match Form::<Vec<(String, String)>>::from_request(request, shop).await {
            Ok(Form(pairs)) => Ok(Self(Pairs(pairs))),
            Err(rejection) => Err(refused(shop, rejection)),
        }
    }
}

fn refused(shop: &Shop, rejection: FormRejection) -> Response {
    let status = rejection.into_response().status();
    let words = match status {
        StatusCode::PAYLOAD_TOO_LARGE => "more was sent than any form here holds",
        StatusCode::UNSUPPORTED_MEDIA_TYPE => "this is not what a form sends",
        _ => "what was sent cannot be read",
    };
    reply::fault(shop, status, &Failure::asked(words, "use the form of the page"))
}

/// What was asked without the token of our forms, as the end of an address; `None` when there was
/// none. A form that records leaves it in the address when it is only looked at, and there it
/// would be kept.
pub(crate) fn without_token(pairs: &Pairs) -> Option<String> {
    let (token, rest): (Vec<_>, Vec<_>) = pairs.0.iter().partition(|(name, _)| name == TOKEN);
    let pair = |(name, text): &&(String, String)| format!("{}={}", encoded(name), encoded(text));
    let rest: Vec<String> = rest.iter().map(pair).collect();
    (!token.is_empty()).then(|| format!("?{}", rest.join("&")))
}
