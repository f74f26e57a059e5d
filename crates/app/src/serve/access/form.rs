//! The token that each of our forms carries, found in what was sent.
//!
//! A strange page can send a form here but cannot read one of ours, so it does not know the token. A
//! script of ours may send the token in a header instead. JSON needs none: a strange page cannot
//! send that type without asking first, and nobody answers such a question.

/// Name of the field.
pub(crate) const FIELD: &str = "form-token";

/// Name of the header that may carry it instead.
pub(crate) const HEADER: &str = "x-form-token";

/// How the body of a request is written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// Fields of a form.
    Fields,
    /// Fields of a form with files; the line between the parts.
    Parts(String),
    /// JSON.
    Json,
    /// There is none.
    Empty,
}

impl Kind {
    /// From `Content-Type`. `None` for a type that no page of ours sends.
    pub(crate) fn of(content_type: Option<&str>) -> Option<Self> {
        let Some(text) = content_type else { return Some(Self::Empty) };
        let mut parts = text.split(';').map(str::trim);
        let kind = parts.next()?.to_ascii_lowercase();
        match kind.as_str() {
            "application/x-www-form-urlencoded" => Some(Self::Fields),
            "application/json" => Some(Self::Json),
            "multipart/form-data" => {
                let value = parts.find_map(|part| {
                    let (name, value) = part.split_once('=')?;
                    name.eq_ignore_ascii_case("boundary").then_some(value)
                })?;
                let value =
                    value.strip_prefix('"').and_then(|it| it.strip_suffix('"')).unwrap_or(value);
                let plain =
                    |byte: u8| byte.is_ascii_alphanumeric() || b"'()+_,-./:=?".contains(&byte);
                let good = (1..=70).contains(&value.len()) && value.bytes().all(plain);
                good.then(|| Self::Parts(value.to_owned()))
            }
            _ => None,
        }
    }
}

/// The token in a body. In a form with files it has to be the first part, so that nothing
/// else of it need be understood.
pub(crate) fn token<'a>(kind: &Kind, body: &'a [u8]) -> Option<&'a str> {
    match kind {
        Kind::Fields => {
            let text = std::str::from_utf8(body).ok()?;
            let mut pairs = text.split('&').filter_map(|pair| pair.split_once('='));
            pairs.find(|(name, _)| *name == FIELD).map(|(_, value)| value)
        }
        Kind::Parts(line) => {
            let rest = body.strip_prefix(format!("--{line}\r\n").as_bytes())?;
            let head = format!("Content-Disposition: form-data; name=\"{FIELD}\"\r\n\r\n");
            let start = rest.get(..head.len())?;
            let value = &rest[head.len()..];
            let end = value.windows(2).position(|pair| pair == b"\r\n")?;
            let good = start.eq_ignore_ascii_case(head.as_bytes());
            good.then(|| std::str::from_utf8(&value[..end]).ok()).flatten()
        }
        Kind::Json | Kind::Empty => None,
    }
}

/// Writes the token into every form of a page that records, right after its opening, so that no
/// form can forget it and in one with files it comes first. A form that asks, with a button of its
/// own that records, has it in that button: what is asked never shows it in an address.
///
/// The page is ours, and what others wrote in it is escaped: there it cannot open a form.
pub(crate) fn fill(page: &str, token: &str) -> String {
    let own = format!("name=\"{FIELD}\" value=\"{token}\"");
    let mut filled = String::with_capacity(page.len() + 4 * own.len());
    for piece in page.split_inclusive('>') {
        let tag = piece.rfind('<').map_or("", |at| &piece[at..]);
        let records = tag.contains("method=\"post\"");
        match piece.strip_suffix('>') {
            Some(open) if records && tag.starts_with("<button ") => {
                filled.extend([open, " ", &own, ">"]);
            }
            _ if records && tag.starts_with("<form ") => {
                filled.extend([piece, "<input type=\"hidden\" ", &own, ">"]);
            }
            _ => filled.push_str(piece),
        }
    }
    filled
}

/// One field of a short form, decoded. `None` when it is not there, or is no text.
pub(crate) fn field(body: &[u8], wanted: &str) -> Option<String> {
    let text = std::str::from_utf8(body).ok()?;
    let mut pairs = text.split('&').filter_map(|pair| pair.split_once('='));
    let (_, value) = pairs.find(|(name, _)| *name == wanted)?;
    decoded(value)
}

/// `%41` and `+` of a form or path as the letters they mean.
pub(crate) fn decoded(text: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.bytes();
    while let Some(byte) = rest.next() {
        bytes.push(match byte {
            b'+' => b' ',
            b'%' => {
                let mut digit = || char::from(rest.next()?).to_digit(16);
                let value = digit()? * 16 + digit()?;
                u8::try_from(value).ok()?
            }
            byte => byte,
        });
    }
    String::from_utf8(bytes).ok()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn parts(text: &str) -> Option<&str> {
        token(&Kind::Parts("xYz".into()), text.as_bytes())
    }

    #[test]
    fn the_token_is_found_among_the_fields() {
        let find = |body: &'static str| token(&Kind::Fields, body.as_bytes());
        assert_eq!(find("a=1&token=x&form-token=abc&form-token=def"), Some("abc"));
        assert_eq!(find("a=form-token&xform-token=abc"), None);
        assert_eq!(find(""), None);
        assert_eq!(token(&Kind::Fields, b"form-token=a\xff"), None);
    }

    #[test]
    fn in_a_form_with_files_it_is_the_first_part() {
        let head = "--xYz\r\nContent-Disposition: form-data; name=\"form-token\"\r\n\r\n";
        assert_eq!(parts(&format!("{head}abc\r\n--xYz--\r\n")), Some("abc"));
        assert_eq!(parts(&format!("{head}abc")), None);
        assert_eq!(parts(&format!("--xYz\r\nA: b\r\n\r\nx\r\n{head}abc\r\n")), None);
        assert_eq!(parts(&head.replace("xYz", "xYzz")), None);
        assert_eq!(parts("--xYz\r\n"), None);
    }

    #[test]
    fn types_that_our_pages_send_are_known_and_others_are_not() {
        assert_eq!(Kind::of(None), Some(Kind::Empty));
        let fields = "application/x-www-form-urlencoded; charset=UTF-8";
        assert_eq!(Kind::of(Some(fields)), Some(Kind::Fields));
        assert_eq!(Kind::of(Some("Application/JSON")), Some(Kind::Json));
        let many = "multipart/form-data; charset=utf-8; boundary=\"xYz\"";
        assert_eq!(Kind::of(Some(many)), Some(Kind::Parts("xYz".into())));
        for bad in [
            "text/plain",
            "",
            "multipart/form-data",
            "multipart/form-data; boundary=",
            "multipart/form-data; boundary=a b",
            "application/jsonp",
        ] {
            assert_eq!(Kind::of(Some(bad)), None, "{bad}");
        }
    }

    #[test]
    fn every_form_that_records_gets_the_token_and_no_other() {
        let page = "<form method=\"get\"></form><p>&lt;form method=&quot;post&quot;&gt;</p>\
            <form action=\"/a\" method=\"post\"><b></b></form><form method=\"post\">";
        let field = "<input type=\"hidden\" name=\"form-token\" value=\"ab\">";
        let wanted = page
            .replace("<b>", &format!("{field}<b>"))
            .replace("<form method=\"post\">", &format!("<form method=\"post\">{field}"));
        assert_eq!(fill(page, "ab"), wanted);
        assert_eq!(fill("<form method=\"post\"", "ab"), format!("<form method=\"post\"{field}"));
        assert_eq!(fill("", "ab"), "");
    }

    #[test]
    fn a_button_that_records_in_a_form_that_asks_carries_the_token_itself() {
        let page = "<form method=\"get\"><button>Ask</button>\
            <button formmethod=\"post\" formaction=\"/save\">Save</button></form>";
        let wanted = page.replace(
            "formaction=\"/save\"",
            "formaction=\"/save\" name=\"form-token\" value=\"ab\"",
        );
        assert_eq!(fill(page, "ab"), wanted);
    }

    #[test]
    fn a_field_is_decoded() {
        let body = b"name=Ansa+Verrel&code=K7QF%2D2MXD&bad=%zz&cut=%4&half=%ff";
        assert_eq!(field(body, "name").as_deref(), Some("Ansa Verrel"));
        assert_eq!(field(body, "code").as_deref(), Some("K7QF-2MXD"));
        for name in ["bad", "cut", "half", "none"] {
            assert_eq!(field(body, name), None, "{name}");
        }
    }

    proptest! {
        #[test]
        fn no_bytes_make_reading_a_form_panic(body: Vec<u8>, kind in ".{0,60}") {
            let _ = (Kind::of(Some(&kind)), field(&body, "name"));
            let _ = fill(&String::from_utf8_lossy(&body), "ab");
            for kind in [Kind::Fields, Kind::Parts("x".into()), Kind::Json, Kind::Empty] {
                let _ = token(&kind, &body);
            }
        }
    }
}
