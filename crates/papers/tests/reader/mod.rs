//! Reads the words of a paper back. Objects and operations come from `lopdf`, made by others; its
//! own reader of words does not take the character maps that `krilla` writes, so the maps are read
//! here (ISO 32000-1, 9.10.3: `bfchar` and `bfrange`).

use std::collections::BTreeMap;

use lopdf::{Document, Object, content::Content};

/// Codes of one font and what they say.
type Map = BTreeMap<u32, String>;

/// The words of each page, blanks made single.
pub(crate) fn pages(bytes: &[u8]) -> Vec<String> {
    let page = |words: String| words.split_whitespace().collect::<Vec<_>>().join(" ");
    as_drawn(bytes).into_iter().map(page).collect()
}

/// The words of each page in the order of their glyphs from the left, each stretch of one direction
/// in a line of its own.
pub(crate) fn as_drawn(bytes: &[u8]) -> Vec<String> {
    let document = Document::load_mem(bytes).unwrap();
    let of = |page| {
        let fonts = document.get_page_fonts(page).unwrap();
        let maps: BTreeMap<Vec<u8>, Map> =
            fonts.into_iter().map(|(name, font)| (name, map(&document, font))).collect();
        let content = Content::decode(&document.get_page_content(page).unwrap()).unwrap();
        words(&content, &maps)
    };
    document.get_pages().into_values().map(of).collect()
}

fn words(content: &Content, maps: &BTreeMap<Vec<u8>, Map>) -> String {
    let (mut words, mut font) = (String::new(), None);
    // How deep within marked content, and at which depth a text of its own replaces the glyphs
    // (ISO 32000-1, 14.9.4).
    let (mut depth, mut replaced) = (0, None);
    for operation in &content.operations {
        match operation.operator.as_str() {
            "BMC" | "BDC" => {
                depth += 1;
                let properties = operation.operands.get(1).and_then(|it| it.as_dict().ok());
                let own = properties.and_then(|it| it.get(b"ActualText").ok());
                if let Some(own) = own {
                    words.push_str(&lopdf::decode_text_string(own).unwrap());
                    replaced = replaced.or(Some(depth));
                }
            }
            "EMC" => {
                replaced = replaced.filter(|from| *from != depth);
                depth -= 1;
            }
            "Tj" | "TJ" if replaced.is_some() => {}
            "Tf" => font = operation.operands[0].as_name().ok().and_then(|name| maps.get(name)),
            "Tj" => operation.operands.iter().for_each(|one| shown(one, font, &mut words)),
            "TJ" => {
                let parts = operation.operands[0].as_array().unwrap();
                parts.iter().for_each(|one| shown(one, font, &mut words));
            }
            // What was drawn by itself is a word by itself.
            "ET" => words.push('\n'),
            _ => {}
        }
    }
    words
}

fn shown(operand: &Object, font: Option<&Map>, words: &mut String) {
    let (Object::String(bytes, _), Some(font)) = (operand, font) else { return };
    for code in bytes.chunks(2) {
        let code = code.iter().fold(0, |code, byte| code << 8 | u32::from(*byte));
        words.push_str(font.get(&code).map_or("\u{25A1}", String::as_str));
    }
}

fn map(document: &Document, font: &lopdf::Dictionary) -> Map {
    let stream = font.get_deref(b"ToUnicode", document).unwrap().as_stream().unwrap();
    let text = stream.decompressed_content().unwrap_or_else(|_| stream.content.clone());
    let text = String::from_utf8_lossy(&text).into_owned();
    let mut map = Map::new();
    let mut part = "";
    for line in text.lines() {
        match line.split_whitespace().last() {
            Some(word) if word.starts_with("begin") || word.starts_with("end") => part = word,
            _ => {}
        }
        let part = part.trim_start_matches("begin");
        let codes: Vec<&str> =
            line.split('<').skip(1).filter_map(|rest| Some(rest.split_once('>')?.0)).collect();
        match (part, &codes[..]) {
            ("bfchar", [code, says]) => {
                map.insert(number(code), text_of(says));
            }
            ("bfrange", [from, to, says]) => {
                let (from, to, first) = (number(from), number(to), number(says));
                for step in 0..=(to - from) {
                    let sign = char::from_u32(first + step).map(String::from);
                    map.insert(from + step, sign.unwrap_or_default());
                }
            }
            _ => {}
        }
    }
    map
}

fn number(digits: &str) -> u32 {
    u32::from_str_radix(digits.trim(), 16).unwrap()
}

fn text_of(digits: &str) -> String {
    let units: Vec<u16> = digits
        .trim()
        .as_bytes()
        .chunks(4)
        .map(|four| u16::from_str_radix(std::str::from_utf8(four).unwrap(), 16).unwrap())
        .collect();
    String::from_utf16_lossy(&units)
}
