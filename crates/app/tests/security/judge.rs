//! What a page is once a browser has read it: every element and attribute must be one of ours, and
//! what others wrote must be nothing but text.
//!
//! The reader is html5ever, which follows the parsing rules of the HTML Standard of the WHATWG
//! (section 13.2, memory) as browsers do, mending included: what only looks closed is opened here as
//! it would be there. Pictures are also read as strict XML, since they may be saved as files.

use std::{collections::HashSet, sync::LazyLock};

use html5ever::{ParseOpts, parse_document, tendril::TendrilSink as _};
use markup5ever_rcdom::{Handle, NodeData, RcDom};

/// The words of a list.
struct Words(LazyLock<HashSet<&'static str>>);

impl Words {
    fn has(&self, word: &str) -> bool {
        self.0.contains(word)
    }
}

macro_rules! words {
    ($list:literal) => {
        Words(LazyLock::new(|| $list.split_whitespace().collect()))
    };
}

/// Every element of our pages.
static ELEMENTS: Words = words!(
    "html head meta title link script body a header nav ul ol li dl dt dd main \
    aside section article footer form label input button select optgroup option textarea fieldset legend \
    details summary figure figcaption table caption thead tbody tr th td h1 h2 h3 h4 p pre code strong em small span \
    div br b time svg g path rect circle desc text"
);

/// Every attribute of our pages; `aria-` and `data-` come beside them.
static ATTRIBUTES: Words = words!(
    "charset name content lang href rel type src defer class id tabindex \
    method action value required maxlength autocomplete for inputmode spellcheck rows checked \
    selected hidden disabled scope open autofocus download enctype accept role title multiple size min max step pattern placeholder \
    width height viewBox preserveAspectRatio fill stroke stroke-width stroke-dasharray d x y cx cy \
    r rx font-size font-family font-weight text-anchor fill-rule colspan readonly formmethod formaction"
);

/// Attributes that only a program of ours writes, so that no sign of another person may be in them.
static OWN: Words =
    words!("class id name type rel method fill stroke d role inputmode viewBox lang content");

/// Attributes that lead somewhere.
static LEADING: Words = words!("href src action formaction");

/// What was found on a page.
#[derive(Debug, Default)]
pub(crate) struct Seen {
    /// Each text, and each value of an attribute, outside of text areas.
    pub(crate) texts: Vec<String>,
    /// What stands in text areas.
    pub(crate) areas: Vec<String>,
    /// What is not ours.
    pub(crate) faults: Vec<String>,
    scripts: usize,
}

/// Reads a page as a browser does.
pub(crate) fn read(page: &str) -> Seen {
    let parsed = parse_document(RcDom::default(), ParseOpts::default()).one(page);
    let mut seen = Seen::default();
    walk(&parsed.document, false, &mut seen);
    if seen.scripts > 1 {
        seen.faults.push(format!("{} scripts", seen.scripts));
    }
    for picture in page.split("<svg xmlns").skip(1) {
        let end = picture.find("</svg>").map_or(picture.len(), |end| end + "</svg>".len());
        if let Err(error) = roxmltree::Document::parse(&format!("<svg xmlns{}", &picture[..end])) {
            seen.faults.push(format!("a picture is no XML: {error}"));
        }
    }
    seen
}

/// Reads a page; fails where anything on it is not ours.
#[track_caller]
pub(crate) fn judged(what: &str, page: &str) -> Seen {
    let seen = read(page);
    let few: Vec<String> =
        seen.faults.iter().take(5).map(|fault| fault.chars().take(300).collect()).collect();
    assert!(few.is_empty(), "{what}: {few:#?}");
    seen
}

fn walk(node: &Handle, area: bool, seen: &mut Seen) {
    let mut inside = area;
    match &node.data {
        NodeData::Element { name, attrs, .. } => {
            let name = &*name.local;
            inside |= name == "textarea";
            if !ELEMENTS.has(name) {
                seen.faults.push(format!("<{name}>"));
            }
            if name == "script" {
                seen.scripts += 1;
                if !node.children.borrow().is_empty() {
                    seen.faults.push("a script within the page".into());
                }
            }
            for attribute in attrs.borrow().iter() {
                let (key, value) = (&*attribute.name.local, &*attribute.value);
                if let Some(fault) = attribute_fault(name, key, value) {
                    seen.faults.push(format!("<{name} {key}=\"{value}\">: {fault}"));
                }
                seen.texts.push(value.to_owned());
            }
        }
        NodeData::Text { contents } => {
            let text = contents.borrow().to_string();
            let odd = |sign: char| turns(sign) || sign.is_control() && !sign.is_whitespace();
            if !area && text.contains(odd) {
                seen.faults.push(format!("a sign that turns or hides text: {text:?}"));
            }
            let into = if area { &mut seen.areas } else { &mut seen.texts };
            into.push(text);
        }
        NodeData::Comment { contents } => seen.faults.push(format!("a comment: {contents}")),
        NodeData::ProcessingInstruction { .. } => seen.faults.push("an instruction".into()),
        NodeData::Document | NodeData::Doctype { .. } => {}
    }
    for child in node.children.borrow().iter() {
        walk(child, inside, seen);
    }
}

/// What is wrong with an attribute.
fn attribute_fault(element: &str, key: &str, value: &str) -> Option<&'static str> {
    if key == "xmlns" && element == "svg" {
        return (value != "http://www.w3.org/2000/svg").then_some("no picture of ours");
    }
    let known = ATTRIBUTES.has(key) || key.starts_with("aria-") || key.starts_with("data-");
    if !known || key.starts_with("on") || key == "style" {
        return Some("no attribute of ours");
    }
    if LEADING.has(key) {
        let plain = value.bytes().all(|byte| byte.is_ascii_graphic() && byte != b'\\');
        let here = value.starts_with('/') && !value.starts_with("//") || value.starts_with('#');
        if !plain || !here {
            return Some("leads elsewhere");
        }
        if element == "script" && !value.starts_with("/web/") {
            return Some("no script of ours");
        }
    }
    let strange = |sign: char| "<>\"'`\\{}".contains(sign) || !sign.is_ascii() || sign.is_control();
    if OWN.has(key) && value.contains(strange) {
        return Some("what others wrote, where only we write");
    }
    None
}

/// Signs that turn the direction of the text around them: Unicode Standard Annex 9, section 2,
/// memory.
pub(crate) fn turns(sign: char) -> bool {
    matches!(sign, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// A text as it may be shown: signs that a page does not show as they are become one sign, and
/// spaces one space.
pub(crate) fn plain(text: &str) -> String {
    let shown = |sign: char| match sign {
        sign if sign.is_whitespace() => ' ',
        sign if sign.is_control() || turns(sign) || sign == '\u{fffe}' || sign == '\u{ffff}' => {
            '\u{fffd}'
        }
        sign => sign,
    };
    text.chars().map(shown).collect::<String>().split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_judge_sees_what_a_browser_would_run() {
    let page = |inside: &str| {
        format!("<!DOCTYPE html><html><head><title>t</title></head><body>{inside}</body></html>")
    };
    for (inside, fault) in [
        ("<script>boo()</script>", "a script within the page"),
        ("<script src=\"//a.example/x.js\"></script>", "leads elsewhere"),
        ("<img src=x onerror=boo()>", "<img>"),
        ("<p onclick=\"boo()\">a</p>", "no attribute of ours"),
        ("<a href=\"javascript:boo()\">a</a>", "leads elsewhere"),
        ("<a href=\"/\\a.example\">a</a>", "leads elsewhere"),
        ("<form action=\"https://a.example/\"></form>", "leads elsewhere"),
        ("<p style=\"color:red\">a</p>", "no attribute of ours"),
        ("<!-- a -->", "a comment"),
        ("<p class=\"a'b\">a</p>", "only we write"),
        ("<svg xmlns=\"http://www.w3.org/2000/svg\"><g></svg>", "no XML"),
        ("<p>a<b/onfocus=boo()>", "no attribute of ours"),
        ("<textarea></textarea><script>boo()</script>", "a script within the page"),
    ] {
        let seen = read(&page(inside));
        assert!(seen.faults.iter().any(|found| found.contains(fault)), "{inside}: {seen:?}");
    }
    let fine = "<p title=\"&lt;b&gt;\">&lt;script&gt;</p><textarea><script></textarea>";
    let seen = judged("fine", &page(fine));
    assert!(seen.texts.contains(&"<script>".to_owned()) && seen.areas == ["<script>"], "{seen:?}");
}
