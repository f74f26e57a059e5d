//! A reader made by others reads the codes back out of the drawn outlines.

use stillprop_draw::{
    code::read_code,
    tag::{TagSize, drum_tag, label_sheets},
};

use crate::samples;

/// A closed outline: its corners in turn.
type Loop = Vec<(f64, f64)>;

/// The corners of every outline drawn by the even-odd rule, one list for each code.
fn outlines(picture: &str) -> Vec<Vec<Loop>> {
    let tree = roxmltree::Document::parse(picture).unwrap();
    let codes = tree.descendants().filter(|node| node.attribute("fill-rule") == Some("evenodd"));
    codes.map(|node| loops(node.attribute("d").unwrap())).collect()
}

fn loops(path: &str) -> Vec<Loop> {
    let mut loops: Vec<Loop> = Vec::new();
    for step in path.split_inclusive(|sign: char| sign.is_ascii_alphabetic()) {
        // Each piece ends with the letter of the next step, so the numbers stand before it.
        let numbers = step.trim_end_matches(|sign: char| sign.is_ascii_alphabetic());
        if !numbers.is_empty() {
            let numbers: Vec<f64> = numbers.split(' ').map(|text| text.parse().unwrap()).collect();
            loops.last_mut().unwrap().push((numbers[0], *numbers.last().unwrap()));
        }
        if step.ends_with('M') {
            loops.push(Vec::new());
        }
    }
    // `H` and `V` give one number; which one it is follows from the letters.
    let letters: Vec<char> = path.chars().filter(|sign| "MHV".contains(*sign)).collect();
    let mut letters = letters.into_iter();
    for corners in &mut loops {
        let mut here = (0.0, 0.0);
        for corner in corners {
            match letters.next() {
                Some('H') => here.0 = corner.0,
                Some('V') => here.1 = corner.0,
                _ => here = *corner,
            }
            *corner = here;
        }
    }
    loops
}

/// The upright edges of all loops: how far across, from and to how far down.
fn uprights(loops: &[Loop]) -> Vec<(f64, f64, f64)> {
    let edges = loops.iter().flat_map(|corners| corners.iter().zip(corners.iter().cycle().skip(1)));
    edges
        .filter(|(from, to)| (from.0 - to.0).abs() < 1e-9)
        .map(|(from, to)| (from.0, from.1, to.1))
        .collect()
}

/// Even-odd rule: an odd number of upright edges to the left.
fn dark(uprights: &[(f64, f64, f64)], (x, y): (f64, f64)) -> bool {
    let crossed = uprights.iter().filter(|(at, from, to)| *at < x && (*from > y) != (*to > y));
    crossed.count() % 2 == 1
}

/// What a camera would see, at 4 pixels a module with a light border, read by `rqrr`.
fn read(loops: &[Loop]) -> String {
    let all = || loops.iter().flatten();
    let low = |pick: fn(&(f64, f64)) -> f64| all().map(pick).fold(f64::INFINITY, f64::min);
    let high = |pick: fn(&(f64, f64)) -> f64| all().map(pick).fold(0.0, f64::max);
    let uprights = uprights(loops);
    let (left, top) = (low(|at| at.0), low(|at| at.1));
    let size = high(|at| at.0) - left;
    let (border, side) = (16, 37 * 4);
    let mut image = rqrr::PreparedImage::prepare_from_greyscale(
        side + 2 * border,
        side + 2 * border,
        |column, row| {
            let inside = |at: usize| (border..border + side).contains(&at);
            if !inside(column) || !inside(row) {
                return 255;
            }
            let at = |place: usize| (place - border) as f64 + 0.5;
            let scale = size / side as f64;
            let point = (left + at(column) * scale, top + at(row) * scale);
            if dark(&uprights, point) { 0 } else { 255 }
        },
    );
    let grids = image.detect_grids();
    assert_eq!(grids.len(), 1);
    grids[0].decode().unwrap().1
}

#[test]
fn another_reader_finds_the_drum_in_the_code_of_its_tag() {
    for size in [TagSize::A6, TagSize::A7] {
        let codes = outlines(&drum_tag(&samples::tag(), size).unwrap());
        assert_eq!(codes.len(), 1);
        assert_eq!(read_code(&read(&codes[0])), Ok(samples::DRUM));
    }
}

#[test]
fn every_label_of_a_sheet_leads_to_its_own_drum() {
    let labels = samples::labels(7);
    let codes = outlines(&label_sheets(&labels).unwrap().concat());
    let found: Vec<_> = codes.iter().map(|code| read_code(&read(code))).collect();
    assert_eq!(found, labels.iter().map(|label| Ok(label.id)).collect::<Vec<_>>());
}

/// A tag hangs outside for a year: a stain over a fourteenth of the code must not matter.
#[test]
fn a_stained_code_is_still_read() {
    let codes = outlines(&drum_tag(&samples::tag(), TagSize::A6).unwrap());
    let mut loops = codes[0].clone();
    let (left, top) = loops[0][0];
    let step = 38.0 / 37.0;
    // Within the lower right, away from the three corner marks; inverts what it covers.
    let (x, y) = (left + 17.0 * step, top + 17.0 * step);
    let side = 10.0 * step;
    loops.push(vec![(x, y), (x + side, y), (x + side, y + side), (x, y + side)]);
    assert_eq!(read_code(&read(&loops)), Ok(samples::DRUM));
}
