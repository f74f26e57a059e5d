//! Whether a request was meant for this server, and came from its own pages.
//!
//! Two attacks of a strange page in the same browser are met here. It may point a name of its own
//! at this machine (rebinding): then the name in `Host` is not ours. And it may send a form here
//! without that: then the browser says in `Origin` and `Sec-Fetch-Site` where the form comes from. What
//! carries neither comes from no browser of these years; the token of the form is asked for as
//! well (see `form`).
//!
//! Our own pages must not say `Referrer-Policy: no-referrer`: a browser then sends `Origin: null`
//! with their forms. `same-origin` keeps it.
//!
//! Sources: Fetch Standard, "append a request Origin header", memory; W3C Fetch Metadata Request
//! Headers, section 2.3, memory.

use std::net::IpAddr;

/// Who can reach the server.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Reach {
    /// This machine alone, in the clear.
    Loopback,
    /// Other machines, encrypted. Any address may be in `Host`: rebinding needs a name.
    Lan,
}

impl Reach {
    /// `http` or `https`.
    pub(crate) const fn scheme(&self) -> &'static str {
        match self {
            Self::Loopback => "http",
            Self::Lan => "https",
        }
    }

    const fn usual_port(&self) -> u16 {
        match self {
            Self::Loopback => 80,
            Self::Lan => 443,
        }
    }

    /// True when `host` names this server at this port.
    pub(crate) fn is_ours(&self, host: &str, port: u16) -> bool {
        let Some((name, said)) = split(host) else { return false };
        if said.unwrap_or(self.usual_port()) != port {
            return false;
        }
        if name.eq_ignore_ascii_case("localhost") {
            return true;
        }
        let inside = name.strip_prefix('[').and_then(|rest| rest.strip_suffix(']'));
        let address: Option<IpAddr> = match inside {
            Some(six) => six.parse().ok().map(IpAddr::V6),
            None => name.parse().ok().map(IpAddr::V4),
        };
        address.is_some_and(|address| *self == Self::Lan || address.is_loopback())
    }
}

/// Name and port of a `Host`.
fn split(host: &str) -> Option<(&str, Option<u16>)> {
    let end = if host.starts_with('[') {
        host.find(']')? + 1
    } else {
        host.find(':').unwrap_or(host.len())
    };
    let (name, rest) = host.split_at(end);
    if rest.is_empty() {
        return Some((name, None));
    }
    let digits = rest.strip_prefix(':')?;
    if digits.is_empty() || !digits.bytes().all(|digit| digit.is_ascii_digit()) {
        return None;
    }
    Some((name, Some(digits.parse().ok()?)))
}

/// What a browser says of where a request comes from.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Said<'a> {
    /// `Host`, which is ours.
    pub(crate) host: &'a str,
    /// `Origin`.
    pub(crate) origin: Option<&'a str>,
    /// `Sec-Fetch-Site`.
    pub(crate) site: Option<&'a str>,
    /// `Sec-Fetch-Mode`.
    pub(crate) mode: Option<&'a str>,
}

/// True when a request may come from where it comes from. `reads` is true for methods that change
/// nothing: a link from elsewhere may lead here, but no page elsewhere may pull in a part of ours.
pub(crate) fn may(reach: &Reach, reads: bool, said: Said<'_>) -> bool {
    let own = |origin: &str| {
        let rest = origin.strip_prefix(reach.scheme()).and_then(|rest| rest.strip_prefix("://"));
        rest.is_some_and(|host| host.eq_ignore_ascii_case(said.host))
    };
    let site = said.site.unwrap_or("same-origin");
    if reads {
        return matches!(site, "same-origin" | "none") || said.mode == Some("navigate");
    }
    site == "same-origin" && said.origin.is_none_or(own)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn on_loopback_only_its_own_names_and_port_are_ours() {
        for (host, ours) in [
            ("localhost:7390", true),
            ("LOCALHOST:7390", true),
            ("127.0.0.1:7390", true),
            ("[::1]:7390", true),
            ("127.0.0.1", false),
            ("127.0.0.1:80", false),
            ("127.0.0.1:07390", true),
            ("127.0.0.1:+7390", false),
            ("127.0.0.1:7390:7390", false),
            ("[::1]7390", false),
            ("192.0.2.7:7390", false),
            ("strange.example:7390", false),
            ("localhost.strange.example:7390", false),
            ("127.0.0.1.strange.example:7390", false),
            ("localhost.:7390", false),
            ("", false),
            (":7390", false),
            ("[::1:7390", false),
            ("a@127.0.0.1:7390", false),
        ] {
            assert_eq!(Reach::Loopback.is_ours(host, 7390), ours, "{host}");
        }
        assert!(Reach::Loopback.is_ours("localhost", 80));
    }

    #[test]
    fn on_the_network_every_address_is_ours_and_no_name() {
        for (host, ours) in [
            ("192.0.2.7:7390", true),
            ("[2001:db8::1]:7390", true),
            ("localhost:7390", true),
            ("strange.example:7390", false),
            ("192.0.2.7.strange.example:7390", false),
            ("192.0.2.7", false),
            ("0x7f.1:7390", false),
        ] {
            assert_eq!(Reach::Lan.is_ours(host, 7390), ours, "{host}");
        }
        assert!(Reach::Lan.is_ours("192.0.2.7", 443));
    }

    fn post(origin: Option<&str>, site: Option<&str>) -> bool {
        let said = Said { host: "127.0.0.1:7390", origin, site, mode: None };
        may(&Reach::Loopback, false, said)
    }

    #[test]
    fn a_form_of_another_page_is_refused() {
        let own = "http://127.0.0.1:7390";
        assert!(post(Some(own), Some("same-origin")));
        assert!(post(Some(own), None));
        assert!(post(None, None));
        for origin in [
            "null",
            "",
            "http://strange.example",
            "https://127.0.0.1:7390",
            "http://127.0.0.1:7391",
            "http://localhost:7390",
            "http://127.0.0.1:7390.strange.example",
        ] {
            assert!(!post(Some(origin), None), "{origin}");
        }
        for site in ["cross-site", "same-site", "none", ""] {
            assert!(!post(Some(own), Some(site)), "{site}");
            assert!(!post(None, Some(site)), "{site}");
        }
    }

    #[test]
    fn a_link_may_lead_here_and_a_picture_may_not_be_pulled_in() {
        let get = |site, mode| {
            may(&Reach::Lan, true, Said { host: "192.0.2.7:7390", origin: None, site, mode })
        };
        assert!(get(None, None));
        assert!(get(Some("none"), Some("navigate")));
        assert!(get(Some("cross-site"), Some("navigate")));
        assert!(get(Some("same-origin"), Some("no-cors")));
        assert!(!get(Some("cross-site"), Some("no-cors")));
        assert!(!get(Some("same-site"), Some("cors")));
        assert!(!get(Some("cross-site"), None));
    }

    proptest! {
        #[test]
        fn no_text_is_a_host_by_accident(host in ".{0,40}") {
            let ours = Reach::Loopback.is_ours(&host, 7390);
            let lower = host.to_lowercase();
            prop_assert!(!ours || ["localhost:", "127.", "[::1]:", "[0"].iter().any(|own| lower.starts_with(own)));
        }

        #[test]
        fn only_the_own_origin_may_send_a_form(origin in ".{0,40}") {
            prop_assert!(!post(Some(&origin), None) || origin.eq_ignore_ascii_case("http://127.0.0.1:7390"));
        }
    }
}
