//! Dots are counted.

use super::*;
use crate::{Verdict, check::readable};

fn picture(breaks: Option<u8>) -> OddsPicture {
    OddsPicture {
        place: "ZZ-KEA".into(),
        day: "a day".into(),
        breaks,
        words: "about 13 in 100".into(),
        limits: vec![Limit {
            name: "all together".into(),
            stands: "about 13 in 100".into(),
            verdict: Verdict::Breaks,
        }],
        notes: vec!["Read the wind first.".into()],
    }
}

#[test]
fn there_are_a_hundred_signs_and_as_many_squares_as_break() {
    for (breaks, squares) in [(0, 0), (13, 13), (100, 100), (250, 100)] {
        for width in [Width::PHONE, Width::LAPTOP] {
            let drawn = odds(&picture(Some(breaks)), width);
            let side = format!("width=\"{}\"", 2.0 * HALF);
            let found = drawn.matches(side.as_str()).count();
            assert_eq!(found, squares, "{breaks}");
            assert_eq!(drawn.matches("r=\"7.5\"").count(), 100 - squares, "{breaks}");
        }
    }
    assert!(odds(&picture(None), Width::PHONE).contains("is unknown"));
}

#[test]
fn every_word_stands_on_the_sheet() {
    for breaks in [None, Some(0), Some(100)] {
        for width in [Width::PHONE, Width::LAPTOP] {
            readable(&odds(&picture(breaks), width));
        }
    }
}
