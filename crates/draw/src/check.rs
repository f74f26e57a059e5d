//! Reads a picture back and sees whether a person could: nothing over a word, nothing off the
//! sheet. It knows the text of the picture alone, not how it was laid out.

use crate::{plane::Rect, svg::Type, words::width};

/// Stops the test when words overlap words or marks, or anything leaves the sheet.
pub(crate) fn readable(picture: &str) {
    let tree = roxmltree::Document::parse(picture).unwrap();
    let root = tree.root_element();
    let side = |key| root.attribute(key).unwrap().parse::<f64>().unwrap();
    let sheet = Rect { left: 0.0, top: 0.0, right: side("width"), bottom: side("height") };
    let (mut words, mut marks) = (Vec::new(), Vec::new());
    for node in root.children().filter(roxmltree::Node::is_element) {
        let of = |key: &str| node.attribute(key).map_or(0.0, |text| text.parse::<f64>().unwrap());
        match node.tag_name().name() {
            "text" => words.push((text_box(&node), node.text().unwrap_or_default().to_owned())),
            "rect" => {
                let rect = Rect {
                    left: of("x"),
                    top: of("y"),
                    right: of("x") + of("width"),
                    bottom: of("y") + of("height"),
                };
                assert!(sheet.grown(0.02).covers(rect), "{node:?} leaves the sheet");
                // Marks with a number: so high and outlined.
                if (of("height") - 17.0).abs() < 0.02 && node.has_attribute("stroke") {
                    marks.push(rect);
                }
            }
            "circle" => {
                let rect = Rect::around((of("cx"), of("cy")), (2.0 * of("r"), 2.0 * of("r")));
                assert!(sheet.covers(rect), "{node:?} leaves the sheet");
            }
            "path" => {
                for point in points(node.attribute("d").unwrap()) {
                    assert!(sheet.grown(0.02).holds(point), "{point:?} leaves: {node:?}");
                }
            }
            _ => {}
        }
    }
    for (place, (one, text)) in words.iter().enumerate() {
        assert!(sheet.covers(*one), "{text:?} leaves the sheet");
        for (other, over) in &words[place + 1..] {
            assert!(!one.overlaps(*other), "{text:?} lies over {over:?}");
        }
        for mark in &marks {
            let own = mark.covers(*one);
            assert!(own || !mark.overlaps(*one), "{text:?} lies over a mark at {mark:?}");
        }
    }
    for (place, one) in marks.iter().enumerate() {
        assert!(marks[place + 1..].iter().all(|other| !one.overlaps(*other)), "marks overlap");
    }
}

/// The letters of a line of text: from the top of a capital to its foot.
fn text_box(node: &roxmltree::Node<'_, '_>) -> Rect {
    let of = |key| node.attribute(key).unwrap().parse::<f64>().unwrap();
    let size = of("font-size");
    let bold = node.attribute("font-weight").is_some();
    let kind = if bold { Type::bold(size) } else { Type::plain(size) };
    let across = width(node.text().unwrap_or_default(), kind);
    let left = match node.attribute("text-anchor") {
        Some("middle") => of("x") - across / 2.0,
        Some("end") => of("x") - across,
        _ => of("x"),
    };
    // A little narrower than estimated: two numbers may carry their rounding.
    Rect {
        left: left + 0.02,
        top: of("y") - size * 0.72,
        right: left + across - 0.02,
        bottom: of("y"),
    }
}

/// The ends of the steps of a path.
fn points(d: &str) -> Vec<(f64, f64)> {
    let mut points = Vec::new();
    let (mut x, mut y) = (0.0, 0.0);
    let mut rest = d;
    while let Some(letter) = rest.chars().next() {
        let body = &rest[1..];
        let end = body.find(|sign: char| sign.is_ascii_alphabetic()).unwrap_or(body.len());
        let spaced = body[..end].replace('-', " -");
        let numbers: Vec<f64> =
            spaced.split_whitespace().map(|number| number.parse().unwrap()).collect();
        match (letter, &numbers[..]) {
            ('H', [to]) => x = *to,
            ('V', [to]) => y = *to,
            ('Z', []) => {}
            ('M' | 'L' | 'A' | 'C', [.., to_x, to_y]) => (x, y) = (*to_x, *to_y),
            step => panic!("{step:?} in {d}"),
        }
        points.push((x, y));
        rest = &body[end..];
    }
    points
}

#[test]
fn what_cannot_be_read_is_found() {
    let sheet = crate::svg::Sheet { width: 100.0, height: 50.0, unit: "" };
    let kind = Type::plain(10.0);
    let drawn = |draw: &dyn Fn(&mut crate::svg::Svg)| {
        let mut svg = crate::svg::Svg::new(sheet, "", "");
        draw(&mut svg);
        let text = svg.finish();
        std::panic::catch_unwind(|| readable(&text)).is_ok()
    };
    assert!(drawn(&|svg| {
        svg.words((5.0, 20.0), kind, "one");
        svg.words((5.0, 32.0), kind, "two");
    }));
    assert!(!drawn(&|svg| {
        svg.words((5.0, 20.0), kind, "one");
        svg.words((15.0, 22.0), kind, "two");
    }));
    assert!(!drawn(&|svg| svg.words((90.0, 20.0), kind, "one")));
    let line = crate::svg::Paint::line("#111", 1.0);
    assert!(drawn(&|svg| svg.line((0.0, 0.0), (100.0, 50.0), line)));
    assert!(!drawn(&|svg| svg.line((0.0, 0.0), (101.0, 50.0), line)));
    assert!(!drawn(&|svg| svg.circle((5.0, 5.0), 6.0, line)));
    assert!(!drawn(&|svg| {
        svg.words((20.0, 20.0), kind, "one");
        svg.rect((30.0, 10.0), (17.0, 17.0), 8.5, line);
    }));
}
