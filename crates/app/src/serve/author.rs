//! Who a request is from.
//!
//! On this machine alone there is no login: it is the name that was given in the page, kept in a
//! cookie, else the one that the program was started with. Where people log in, the layer that
//! checks them puts a [`Who`] into the request, and that person counts and no other.

use std::{convert::Infallible, sync::Arc};

use axum::{
    extract::FromRequestParts,
    http::{HeaderMap, HeaderValue, header::COOKIE, request::Parts},
};

use super::{
    access::{Who, roles::Deed},
    shop::Shop,
};
pub(crate) use crate::pages::frame::Author;
use crate::problem::Failure;

/// The cookie that keeps a name.
const COOKIE_NAME: &str = "stillprop-name";
/// The longest name. \[bytes\]
const LONGEST: usize = 80;

impl Author {
    /// The name; a record without one is refused.
    pub(crate) fn required(&self) -> Result<String, Failure> {
        self.name.clone().ok_or_else(|| {
            Failure::asked(
                "it is not said who records this",
                "write your name at the foot of any page, then do it again",
            )
        })
    }
}

impl FromRequestParts<Arc<Shop>> for Author {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut Parts, shop: &Arc<Shop>) -> Result<Self, Infallible> {
        let here = parts.uri.path_and_query().map_or("/", |path| path.as_str()).to_owned();
        let who: Option<&Who> = parts.extensions.get();
        let records_yard = who.is_some_and(|who| who.may(Deed::Yard));
        if let Some(person) = who.and_then(|who| who.person.clone()) {
            return Ok(Self { name: Some(person), known: true, records_yard, here });
        }
        let name = from_cookie(&parts.headers).or_else(|| shop.by.clone());
        Ok(Self { name, known: false, records_yard, here })
    }
}

/// A name as it may be recorded.
pub(crate) fn name(typed: &str) -> Option<String> {
    let plain = |c: char| if c.is_control() { ' ' } else { c };
    let name: String = typed.trim().chars().map(plain).collect();
    (!name.is_empty() && name.len() <= LONGEST).then_some(name)
}

fn from_cookie(headers: &HeaderMap) -> Option<String> {
    let all = headers.get_all(COOKIE).iter().filter_map(|value| value.to_str().ok());
    let mut pairs =
        all.flat_map(|line| line.split(';')).filter_map(|pair| pair.trim().split_once('='));
    let (_, value) = pairs.find(|(name, _)| *name == COOKIE_NAME)?;
    name(&decoded(value)?)
}

/// The cookie with a name, for this browser and a year.
pub(crate) fn cookie(name: &str) -> Option<HeaderValue> {
    let hex: String = name.bytes().map(|byte| format!("{byte:02x}")).collect();
    let text = format!("{COOKIE_NAME}={hex}; Path=/; Max-Age=31536000; HttpOnly; SameSite=Strict");
    HeaderValue::from_str(&text).ok()
}

fn decoded(hex: &str) -> Option<String> {
    let pairs = hex.as_bytes().chunks(2).map(|pair| std::str::from_utf8(pair).ok());
    let bytes: Option<Vec<u8>> =
        pairs.map(|pair| pair.and_then(|pair| u8::from_str_radix(pair, 16).ok())).collect();
    String::from_utf8(bytes?).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_comes_back_from_its_cookie_and_nothing_else_does() {
        let read = |text: &str| {
            let mut headers = HeaderMap::new();
            headers.insert(COOKIE, HeaderValue::from_str(text).unwrap());
            from_cookie(&headers)
        };
        for given in ["Odrin Kestow", "Wenna Ö", "a;b=c,\"d\""] {
            let set = cookie(given).unwrap();
            let pair = set.to_str().unwrap().split(';').next().unwrap();
            assert_eq!(read(&format!("x=1; {pair}; y=2")).as_deref(), Some(given));
        }
        for bad in ["stillprop-name=zz", "stillprop-name=", "stillprop-name=ff", "stillprop-name=4"]
        {
            let read = read(bad);
            assert!(read.is_none() || bad.ends_with("=4"), "{bad}: {read:?}");
        }
        assert_eq!(name(" \t"), None);
        assert_eq!(name("a\nb"), Some("a b".into()));
        assert_eq!(name(&"x".repeat(LONGEST + 1)), None);
    }
}
