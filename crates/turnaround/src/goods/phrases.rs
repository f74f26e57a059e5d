//! The phrases of `packs/goods/phrases.toml`, against every table and both together.

use serde::Deserialize;
use stillprop_rules::{builtin, document};

use super::{Goods, Strictness};

#[derive(Deserialize)]
struct Phrases {
    everyday: Vec<(String, String)>,
    adversarial: Vec<(String, String)>,
}

const RULES: [&str; 4] = ["au", "us", "strictest(au,us)", "demo-operator+au"];

fn phrases() -> Phrases {
    document::read(include_str!("../../../../packs/goods/phrases.toml")).unwrap()
}

fn goods(rules: &str) -> Goods {
    Goods::of(&builtin::rules(rules).unwrap()).unwrap()
}

/// The short name of what was understood, or `unknown`.
fn heard(ears: &super::Ears, said: &str) -> String {
    ears.hear(said).item.unwrap_or_else(|_| "unknown".into())
}

/// Every phrase that is neither right nor unknown.
fn wrong(of: &[(String, String)], rules: &str) -> Vec<String> {
    let goods = goods(rules);
    let ears = goods.ears();
    let wrong = of.iter().filter_map(|(said, right)| {
        let got = heard(&ears, said);
        (got != *right && got != "unknown").then(|| format!("{rules}: {said}: {got}, not {right}"))
    });
    wrong.collect()
}

#[test]
fn everyday_words_mean_the_right_item_or_are_not_known() {
    let phrases = phrases();
    assert!(phrases.everyday.len() >= 320, "{}", phrases.everyday.len());
    for rules in RULES {
        let wrong = wrong(&phrases.everyday, rules);
        assert!(wrong.is_empty(), "{wrong:#?}");
    }
}

#[test]
fn words_made_to_mislead_are_never_taken_for_something_milder() {
    let phrases = phrases();
    assert!(phrases.adversarial.len() >= 160, "{}", phrases.adversarial.len());
    for rules in RULES {
        let wrong = wrong(&phrases.adversarial, rules);
        assert!(wrong.is_empty(), "{wrong:#?}");
    }
}

#[test]
fn nine_in_ten_everyday_words_are_known() {
    let phrases = phrases();
    for rules in RULES {
        let goods = goods(rules);
        let ears = goods.ears();
        let known: Vec<_> =
            phrases.everyday.iter().filter(|(_, right)| right != "unknown").collect();
        let missed: Vec<_> =
            known.iter().filter(|(said, right)| heard(&ears, said) != *right).collect();
        assert!(missed.len() * 10 <= known.len(), "{rules}: {missed:#?}");
    }
}

/// Sizes said one after another are not the size of one thing.
#[test]
fn several_sizes_are_several_things() {
    let goods = goods("strictest(au,us)");
    let ears = goods.ears();
    for (said, count) in [
        ("perfume 400 ml", Some(1)),
        ("perfume 400 ml and 450 ml and 480 ml", None),
        ("two perfumes, 400 ml and 450 ml, and 480 ml", Some(3)),
        ("three perfumes 400 ml", Some(3)),
        ("dry ice 5 lb 9 oz", Some(1)),
    ] {
        assert_eq!(ears.hear(said).count, count, "{said}");
    }
}

/// No change of order, case, spaces or owner, and no word put before or after, makes an answer
/// milder.
#[test]
fn nothing_said_around_a_forbidden_thing_makes_it_milder() {
    let around = [
        "not X",
        "X not",
        "empty X",
        "my X",
        "X and perfume",
        "perfume and X",
        "hairspray X",
        "X hairspray",
        "safety matches with X",
        "phone X",
        "X for my camera",
        "beer X",
        "X  !!",
        "is it X?",
        "a small X of my own",
    ];
    let phrases = phrases();
    let goods = goods("strictest(au,us)");
    let ears = goods.ears();
    let mut tried = 0;
    for (said, right) in phrases.everyday.iter().chain(&phrases.adversarial) {
        if right == "unknown" || goods.strictness(right) != Strictness::Forbidden {
            continue;
        }
        for frame in around {
            let text = frame.replace('X', said).to_uppercase();
            let got = heard(&ears, &text);
            let strict = got == "unknown" || goods.strictness(&got) == Strictness::Forbidden;
            assert!(strict, "{text}: {got}");
            tried += 1;
        }
    }
    assert!(tried > 1000, "{tried}");
}

/// Every word of the vocabulary alone means its item, or is not known.
#[test]
fn every_word_of_an_item_means_it_or_is_not_known() {
    for rules in RULES {
        let goods = goods(rules);
        let ears = goods.ears();
        let mut not_known = Vec::new();
        for item in &goods.vocabulary.item {
            for word in &item.words {
                let got = heard(&ears, word);
                assert!(
                    got == item.id || got == "unknown",
                    "{rules}: {word}: {got}, not {}",
                    item.id
                );
                if got == "unknown" {
                    not_known.push(word.as_str());
                }
            }
        }
        assert!(not_known.len() < 30, "{rules}: {not_known:?}");
    }
}

/// One slip of the finger in a word of a forbidden item never gives a milder one.
#[test]
fn a_slip_in_a_forbidden_word_is_never_taken_for_something_milder() {
    let goods = goods("strictest(au,us)");
    let ears = goods.ears();
    let mut tried = 0;
    for item in &goods.vocabulary.item {
        if goods.strictness(&item.id) != Strictness::Forbidden {
            continue;
        }
        for (turn, word) in item.words.iter().enumerate().filter(|(turn, _)| turn % 3 == 0) {
            for slip in slips(word, turn) {
                let got = heard(&ears, &slip);
                let strict = got == "unknown" || goods.strictness(&got) == Strictness::Forbidden;
                assert!(strict, "{word} as {slip}: {got}");
                tried += 1;
            }
        }
    }
    assert!(tried > 1000, "{tried}");
}

/// A letter left out, doubled, changed, and two swapped, each at two places.
fn slips(word: &str, turn: usize) -> Vec<String> {
    let letters: Vec<char> = word.chars().collect();
    let mut slips = Vec::new();
    for at in [turn % letters.len(), (turn * 7 + 3) % letters.len()] {
        let mut changed = letters.clone();
        changed[at] = 'e';
        let mut swapped = letters.clone();
        swapped.swap(at, (at + 1) % letters.len());
        let mut doubled = letters.clone();
        doubled.insert(at, letters[at]);
        let mut short = letters.clone();
        short.remove(at);
        slips.extend([changed, swapped, doubled, short].map(|letters| letters.iter().collect()));
    }
    slips
}
