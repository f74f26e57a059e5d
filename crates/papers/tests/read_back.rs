//! Papers read back by a reader made by others: pages, words, letters, bytes.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "clippy spares test functions but not their helpers"
)]

mod reader;

use std::collections::BTreeMap;

use lopdf::{Document, Object, content::Content};
use reader::{as_drawn, pages};
use stillprop_papers::{
    Block, Card, Column, Footer, Head, Paper, Picture, Pieces, Row, Size, Table, Tick, print,
};

/// A picture with words in it, as `draw` writes them.
const PICTURE: &str = include_str!("../../draw/tests/golden/balance-mid-burn-laptop.svg");
const TAG: &str = include_str!("../../draw/tests/golden/tag-a7.svg");

fn table(rows: usize) -> Block {
    let columns = vec![
        Column::words("Drum"),
        Column::words("What was seen in the jar"),
        Column::number("Litres left"),
    ];
    let row = |n: usize| {
        Row::from_iter([
            format!("NT-{n}"),
            "clear and bright, blue, paste dry".into(),
            format!("{n} L"),
        ])
    };
    Block::Table(Table { columns, rows: (1..=rows).map(row).collect() })
}

fn paper(size: Size, blocks: Vec<Block>) -> Paper {
    Paper {
        head: Head {
            title: "Fuel record".into(),
            subject: "Clinic round".into(),
            lines: vec!["QK-CSX at Nessow Top".into()],
            stamp: "NOT READY".into(),
        },
        footer: Footer { caution: "Advice only.".into(), page: "page {n} of {m}".into() },
        size,
        language: "en".into(),
        scale: 1.0,
        blocks,
        ..Paper::default()
    }
}

/// Every kind of block.
fn every() -> Vec<Block> {
    let tick = |hold: Option<&str>| Tick {
        mark: "1".into(),
        title: "Chock both main wheels".into(),
        who: "pilot".into(),
        notes: vec!["brakes leak off".into()],
        reading: Some("write yes or no".into()),
        hold: hold.map(str::to_owned),
    };
    vec![
        Block::Heading("Parts".into()),
        Block::Text("A paragraph.".into()),
        Block::Small("Small print.".into()),
        Block::Warning("A warning.".into()),
        Block::List(vec!["one".into(), "two".into()]),
        Block::Facts(vec![("Grade".into(), "avgas 100LL".into())]),
        table(3),
        Block::Ticks(vec![tick(None), tick(Some("HOLD"))]),
        Block::Cards(vec![Card {
            picture: Some(PICTURE.into()),
            title: "The propeller".into(),
            words: vec!["Never touch it.".into()],
            missing: true,
        }]),
        Block::Picture(Picture { svg: PICTURE.into() }),
        Block::NewPage,
        Block::Pieces(Pieces { size: (74.0, 105.0), pieces: vec![TAG.into(); 5] }),
        Block::Blanks(vec!["Name and signature".into()]),
    ]
}

#[test]
fn the_same_paper_gives_the_same_bytes_on_both_sizes() {
    for size in Size::ALL {
        let paper = paper(size, every());
        let bytes = print(&paper).unwrap();
        assert_eq!(bytes, print(&paper).unwrap());
        let document = Document::load_mem(&bytes).unwrap();
        let (width, height) = match size {
            Size::A4 => (595.276, 841.89),
            Size::Letter => (612.0, 792.0),
        };
        for id in document.get_pages().into_values() {
            let page = document.get_dictionary(id).unwrap();
            let sides = page.get(b"MediaBox").unwrap().as_array().unwrap();
            let side = |at: usize| sides[at].as_float().unwrap();
            assert!((side(2) - width).abs() < 0.01 && (side(3) - height).abs() < 0.01, "{size:?}");
        }
    }
}

#[test]
fn headings_stand_again_on_every_page_with_its_number_and_the_caution() {
    for size in Size::ALL {
        let pages = pages(&print(&paper(size, vec![table(160)])).unwrap());
        let all = pages.len();
        assert!(all >= 4, "{all} pages");
        for (place, words) in pages.iter().enumerate() {
            for part in [
                "Fuel record",
                "Clinic round",
                "What was seen in the jar",
                "Litres left",
                "Advice only.",
            ] {
                assert!(words.contains(part), "{part} is not on page {}: {words}", place + 1);
            }
            assert!(words.contains(&format!("page {} of {all}", place + 1)), "{words}");
        }
        let whole = pages.join(" ");
        for n in 1..=160 {
            assert_eq!(whole.matches(&format!("NT-{n} ")).count(), 1, "row {n} stands there once");
        }
    }
}

#[test]
fn a_cell_higher_than_a_page_is_cut_between_its_lines_and_none_is_lost() {
    let words: Vec<String> = (0..3000).map(|n| format!("w{n}")).collect();
    let columns = vec![Column::words("Name"), Column::words("Story")];
    let rows = vec![Row::from_iter(["x".to_owned(), words.join(" ")])];
    let pages =
        pages(&print(&paper(Size::A4, vec![Block::Table(Table { columns, rows })])).unwrap());
    assert!(pages.len() > 1);
    let whole = pages.join(" ");
    for word in &words {
        assert!(whole.split(' ').any(|it| it == word), "{word}");
    }
    assert!(pages.iter().all(|page| page.contains("Story")));
}

#[test]
fn every_letter_is_there_embedded_and_as_few_as_are_used() {
    let bytes = print(&paper(Size::A4, every())).unwrap();
    let document = Document::load_mem(&bytes).unwrap();
    let (mut shown, mut fonts) = (0_usize, 0_usize);
    for id in document.get_pages().into_values() {
        for (name, font) in document.get_page_fonts(id).unwrap() {
            fonts += 1;
            let base = font.get(b"BaseFont").unwrap().as_name().unwrap();
            assert_eq!(base.get(6), Some(&b'+'), "{name:?} is not a subset");
        }
        shown += shown_on(&document, id);
    }
    assert!(shown > 500 && fonts >= 2, "{shown} letters in {fonts} fonts");
    // Both letter files together are 1.3 million bytes.
    assert!(bytes.len() < 200_000, "{} bytes", bytes.len());
}

/// Counts the glyphs that a page and the forms in it show; none may be the empty box, number 0.
fn shown_on(document: &Document, page: lopdf::ObjectId) -> usize {
    let content = document.get_page_content(page).unwrap();
    let mut shown = glyphs(&content);
    for (_, object) in forms(document) {
        if let Ok(content) = object.decompressed_content() {
            shown += glyphs(&content);
        }
    }
    shown
}

fn forms(document: &Document) -> BTreeMap<lopdf::ObjectId, &lopdf::Stream> {
    let streams =
        document.objects.iter().filter_map(|(id, object)| Some((*id, object.as_stream().ok()?)));
    streams
        .filter(|(_, stream)| {
            stream.dict.get(b"Subtype").and_then(Object::as_name).is_ok_and(|name| name == b"Form")
        })
        .collect()
}

fn glyphs(content: &[u8]) -> usize {
    let mut shown = 0;
    let mut take = |bytes: &[u8]| {
        for pair in bytes.chunks(2) {
            assert_ne!(pair, [0, 0], "an empty box stands for a sign");
            shown += 1;
        }
    };
    for operation in Content::decode(content).unwrap().operations {
        for operand in &operation.operands {
            match (operation.operator.as_str(), operand) {
                ("Tj", Object::String(bytes, _)) => take(bytes),
                ("TJ", Object::Array(parts)) => {
                    for part in parts {
                        if let Object::String(bytes, _) = part {
                            take(bytes);
                        }
                    }
                }
                _ => {}
            }
        }
    }
    shown
}

#[test]
fn what_the_letters_lack_is_said_at_the_end() {
    let text = Block::Text("The strip of 山 and 川".into());
    let words = pages(&print(&paper(Size::A4, vec![text])).unwrap()).join(" ");
    assert!(words.contains("2 signs on this paper are not in its letters"), "{words}");
}

/// Every Arabic sentence of the briefing, cut where something else stands in it.
fn arabic() -> Vec<String> {
    let sentences = include_str!("../../app/lang/ar.ftl").lines();
    let says = sentences.filter_map(|line| Some(line.split_once(" = ")?.1));
    let foreign = |sign: char| sign.is_ascii_alphanumeric() || "{}$\"".contains(sign);
    let pieces = says.flat_map(|says| says.split(foreign).map(str::to_owned).collect::<Vec<_>>());
    let edge = |sign: char| sign.is_whitespace() || ":.،".contains(sign);
    let pieces: Vec<String> = pieces.map(|piece| piece.trim_matches(edge).to_owned()).collect();
    let pieces: Vec<String> = pieces.into_iter().filter(|piece| piece.len() > 3).collect();
    assert!(pieces.len() > 90, "{}", pieces.len());
    assert!(pieces.iter().any(|piece| piece.contains("لا")), "lam-alef is among them");
    pieces
}

fn in_arabic() -> Vec<u8> {
    let blocks = arabic().into_iter().flat_map(|piece| {
        let card = Card { title: piece.clone(), words: vec![piece.clone()], ..Card::default() };
        [Block::Text(piece), Block::Cards(vec![card])]
    });
    print(&Paper { right_to_left: true, ..paper(Size::A4, blocks.collect()) }).unwrap()
}

#[test]
fn every_arabic_sentence_is_spelt_by_its_glyphs_from_the_right() {
    let drawn = as_drawn(&in_arabic()).concat();
    // A reader turns each stretch of Arabic round, sign by sign.
    let turned = |stretch: &str| stretch.trim().chars().rev().collect::<String>();
    let read: Vec<String> = drawn.lines().map(turned).collect();
    let read = read.join(" ").split_whitespace().collect::<Vec<_>>().join(" ");
    for piece in arabic() {
        // As text, as the title of a card and as its words; some are a part of others.
        assert!(read.matches(&piece).count() >= 3, "{piece}");
    }
}

#[test]
fn every_arabic_sentence_is_found_by_poppler_where_it_is_there() {
    let file = std::env::temp_dir().join(format!("stillprop-arabic-{}.pdf", std::process::id()));
    std::fs::write(&file, in_arabic()).unwrap();
    let read = std::process::Command::new("pdftotext").arg(&file).arg("-").output();
    std::fs::remove_file(&file).unwrap();
    let Ok(read) = read else {
        println!("NOT TRIED: pdftotext of poppler-utils is not on this machine");
        return;
    };
    let steers = |sign: &char| !matches!(sign, '\u{200E}' | '\u{200F}' | '\u{202A}'..='\u{202E}');
    let read: String = String::from_utf8(read.stdout).unwrap().chars().filter(steers).collect();
    let read = read.split_whitespace().collect::<Vec<_>>().join(" ");
    // Poppler takes points and colons for a part of a number and turns them with their space.
    for piece in arabic().iter().flat_map(|piece| piece.split([':', '.', '،'])) {
        assert!(read.matches(piece.trim()).count() >= 3, "{piece}");
    }
}

#[test]
fn large_print_is_larger_and_loses_nothing() {
    let one = |scale| {
        let mut paper = paper(Size::Letter, every());
        paper.scale = scale;
        pages(&print(&paper).unwrap())
    };
    let (small, large) = (one(1.0), one(2.5));
    assert!(large.len() > small.len());
    for words in
        ["Never touch it.", "Chock both main wheels", "HOLD: write yes or no", "A warning."]
    {
        assert!(large.join(" ").contains(words), "{words}");
    }
}

#[test]
fn a_picture_that_is_none_is_refused() {
    let picture = Block::Picture(Picture { svg: "<svg".into() });
    assert!(print(&paper(Size::A4, vec![picture])).is_err());
}
