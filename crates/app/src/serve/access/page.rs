//! The pages for coming in, and for what is refused: what is wrong, and the way out.

use axum::{
    Json,
    http::StatusCode,
    response::{Html, IntoResponse as _, Response},
};
use jiff::SignedDuration;
use maud::{Markup, html};
use serde_json::json;

use super::{
    enter, guard,
    roles::{Deed, Role},
};
use crate::{
    pages::frame::{self, Frame, Place},
    report::text::CAUTION,
};

/// Why a request is refused.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Refused {
    /// No method that any page uses.
    Method,
    /// It is meant for somebody else.
    Host,
    /// It comes from another page.
    Elsewhere,
    /// Its path is no plain path.
    Path,
    /// Nobody has come in with this browser.
    Stranger {
        /// Where to go afterwards.
        wanted: String,
        /// The page for coming in can be shown in its place, and it be asked again afterwards.
        shown: bool,
    },
    /// This person may not do that.
    Role {
        /// What the person may do.
        role: Role,
        /// What was wanted.
        deed: Deed,
    },
    /// Its body is of a kind that no page sends.
    Kind,
    /// Its body is too long.
    Large,
    /// Its body ended before its end, or is not written as it should.
    Cut,
    /// Its body took too long.
    Slow,
    /// Its answer took too long.
    Late,
    /// The token of the form is missing or is not of this session.
    Form,
    /// What is kept about access cannot be read.
    Broken,
    /// The same, for a program.
    Api(Box<Self>),
}

impl Refused {
    /// Keeps in mind that a program asked.
    pub(super) fn asked_by(self, api: bool) -> Self {
        if api { Self::Api(Box::new(self)) } else { self }
    }

    const fn status(&self) -> StatusCode {
        match self {
            Self::Method => StatusCode::METHOD_NOT_ALLOWED,
            Self::Host => StatusCode::MISDIRECTED_REQUEST,
            Self::Path | Self::Cut => StatusCode::BAD_REQUEST,
            Self::Stranger { .. } => StatusCode::UNAUTHORIZED,
            Self::Elsewhere | Self::Role { .. } | Self::Form => StatusCode::FORBIDDEN,
            Self::Kind => StatusCode::UNSUPPORTED_MEDIA_TYPE,
            Self::Large => StatusCode::PAYLOAD_TOO_LARGE,
            Self::Slow => StatusCode::REQUEST_TIMEOUT,
            Self::Broken | Self::Late => StatusCode::SERVICE_UNAVAILABLE,
            Self::Api(inner) => inner.status(),
        }
    }

    /// What is wrong, and the way out.
    fn words(&self) -> (String, String) {
        let (what, way_out) = match self {
            Self::Method => ("nothing here is asked in that way", "use the pages"),
            Self::Host => {
                ("this request names another place", "use the address that the laptop shows")
            }
            Self::Elsewhere => {
                ("this was sent by a page of another site", "open the page here and do it there")
            }
            Self::Path => ("there is no such page", "go to the first page"),
            Self::Stranger { .. } => ("nobody has come in with this browser", "come in first"),
            Self::Role { role, deed } => {
                let what = format!("a {role} may not {}", deed.words());
                return (what, "ask somebody who may, or come in as somebody else".to_owned());
            }
            Self::Kind => ("a form of that kind is not sent by any page", "use the pages"),
            Self::Large => ("this is more than is taken at once", "send a smaller file"),
            Self::Cut => ("not all of it arrived", "send it again"),
            Self::Slow => ("it took too long to arrive", "go nearer, and send it again"),
            Self::Late => ("it took too long", "look whether it was recorded, then do it again"),
            Self::Form => {
                ("this form is old: nothing was recorded", "open the page again and repeat it")
            }
            Self::Broken => {
                ("who may come in cannot be read", "look at the laptop; records are not touched")
            }
            Self::Api(inner) => return inner.words(),
        };
        (what.to_owned(), way_out.to_owned())
    }

    /// The answer in place of the page.
    pub(super) fn answer(self) -> Response {
        let (what, way_out) = self.words();
        let mut answer = match &self {
            Self::Api(_) => {
                let errors = json!([{ "message": what, "help": way_out }]);
                Json(json!({ "errors": errors, "caution": CAUTION })).into_response()
            }
            Self::Stranger { wanted, shown: true } => {
                return guard::see(&format!("{}?to={}", enter::IN, wanted.replace('+', "%2b")));
            }
            _ => page(
                "Not done",
                &html! {
                    h1 { "Not done" }
                    p { (sentence(&what)) }
                    p { (sentence(&way_out)) }
                    p { a href="/" { "First page" } " · " a href=(enter::IN) { "Come in" } }
                },
            )
            .into_response(),
        };
        *answer.status_mut() = self.status();
        // The rest of a body that is not read would be taken for the next request.
        let close = axum::http::HeaderValue::from_static("close");
        answer.headers_mut().insert(axum::http::header::CONNECTION, close);
        answer
    }
}

/// With a capital letter and a full stop.
fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| format!("{}{}.", first.to_uppercase(), letters.as_str()))
}

/// Why somebody did not come in.
#[derive(Clone, Copy, Debug)]
pub(super) enum Trouble {
    /// Something of what was typed.
    Wrong,
    /// Too many tries.
    Wait(SignedDuration),
}

/// Whole seconds of a wait, rounded up.
pub(super) fn seconds(left: SignedDuration) -> u64 {
    let part = u64::from(left.subsec_nanos() > 0);
    u64::try_from(left.as_secs()).unwrap_or(0) + part
}

/// The form for coming in.
pub(super) fn enter(wanted: &str, trouble: Option<Trouble>) -> Html<String> {
    let most = enter::FIELD_MOST;
    page(
        "Come in",
        &html! {
            h1 { "Come in" }
            @match trouble {
                Some(Trouble::Wrong) => p role="alert" {
                    "That did not let you in. Check the name and the passphrase, or ask for a new code at the laptop."
                },
                Some(Trouble::Wait(left)) => p role="alert" {
                    "Too many tries. Wait " (seconds(left)) " s, then try again."
                },
                None => {}
            }
            form method="post" action=(enter::IN) {
                h2 { "With a code from the laptop" }
                input type="hidden" name="to" value=(wanted);
                label for="code" { "Code" }
                input id="code" name="code" required autocomplete="one-time-code" autocapitalize="characters"
                    spellcheck="false" maxlength="20";
                button { "Come in" }
            }
            form method="post" action=(enter::IN) {
                h2 { "With a passphrase" }
                input type="hidden" name="to" value=(wanted);
                label for="name" { "Name" }
                input id="name" name="name" required autocomplete="username" maxlength=(most);
                label for="phrase" { "Passphrase" }
                input id="phrase" name="phrase" type="password" required autocomplete="current-password"
                    maxlength=(most);
                button { "Come in" }
            }
        },
    )
}

fn page(title: &str, body: &Markup) -> Html<String> {
    let frame = Frame { title, place: Place::None, script: None, demo: false, author: None };
    Html(frame::page(&frame, body).into_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_typed_cannot_become_a_part_of_the_page() {
        let text = enter("\"><script>alert(1)</script>", Some(Trouble::Wrong)).0;
        assert!(!text.contains("<script"), "{text}");
        assert!(text.contains("&quot;&gt;&lt;script"));
    }

    #[test]
    fn a_wait_is_rounded_up_to_whole_seconds() {
        assert_eq!(seconds(SignedDuration::from_millis(1)), 1);
        assert_eq!(seconds(SignedDuration::from_secs(2)), 2);
        assert_eq!(seconds(SignedDuration::from_millis(2001)), 3);
        assert_eq!(seconds(SignedDuration::from_secs(-3)), 0);
    }

    #[test]
    fn a_refusal_says_what_is_wrong_and_the_way_out() {
        let refused = Refused::Role { role: Role::Viewer, deed: Deed::Yard };
        let (what, way_out) = refused.words();
        assert_eq!(sentence(&what), "A viewer may not record in the yard.");
        assert!(!way_out.is_empty());
        assert_eq!(refused.asked_by(true).status(), StatusCode::FORBIDDEN);
    }
}
