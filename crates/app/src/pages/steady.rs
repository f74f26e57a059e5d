//! Signs in what others wrote that turn the direction of the words around them, or that cannot be
//! seen.
//!
//! A name with such a sign could make `over by 3 lb` beside it read otherwise. Everywhere but where
//! a person edits, in text areas and values of fields, each becomes one sign that is seen, as in the
//! pictures.
//!
//! Source: Unicode Standard Annex 9, section 2, memory.

/// True for a sign that turns the words around it, or that no page shows.
fn odd(sign: char) -> bool {
    let turns = matches!(sign, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    turns || sign.is_control() && !matches!(sign, '\n' | '\r' | '\t')
}

/// The page with every such sign outside of tags and text areas as U+FFFD.
///
/// `<` and `>` stand in a page for tags alone: what others wrote is escaped.
pub(crate) fn steady(page: String) -> String {
    if !page.contains(odd) {
        return page;
    }
    let mut steady = String::with_capacity(page.len());
    let mut edited = false;
    for part in page.split_inclusive('>') {
        let (text, tag) = part.split_at(part.find('<').unwrap_or(part.len()));
        if edited {
            steady.push_str(text);
        } else {
            steady.extend(text.chars().map(|sign| if odd(sign) { '\u{fffd}' } else { sign }));
        }
        steady.push_str(tag);
        edited = tag.starts_with("<textarea");
    }
    steady
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_turns_text_is_seen_and_what_is_edited_stays() {
        let page = "<p title=\"a\u{202e}\">a\u{202e}b\u{0}\u{2067}\n<b>\u{9b}</b></p>\
            <textarea name=\"t\">a\u{202e}</textarea>\u{202d}";
        let wanted = "<p title=\"a\u{202e}\">a\u{fffd}b\u{fffd}\u{fffd}\n<b>\u{fffd}</b></p>\
            <textarea name=\"t\">a\u{202e}</textarea>\u{fffd}";
        assert_eq!(steady(page.to_owned()), wanted);
        for same in ["", "a", "<p>ü\u{200f}</p>", "\u{fffd}"] {
            assert_eq!(steady(same.to_owned()), same);
        }
    }
}
