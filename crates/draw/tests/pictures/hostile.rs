//! Text from documents, as bad as it can be: it stays text.

use std::sync::LazyLock;

use proptest::prelude::*;
use stillprop_draw::{
    Width,
    rack::rack,
    tag::{TagSize, drum_tag, label_sheets},
    trace::trace,
};

use crate::samples;

/// Names of elements and their attributes, without values.
fn skeleton(picture: &str) -> Vec<String> {
    let tree = roxmltree::Document::parse(picture).unwrap();
    let elements = tree.descendants().filter(roxmltree::Node::is_element);
    let mut names: Vec<_> = elements
        .map(|node| {
            let keys: Vec<_> = node.attributes().map(|attribute| attribute.name()).collect();
            format!("{} {}", node.tag_name().name(), keys.join(" "))
        })
        .collect();
    names.sort();
    names.dedup();
    names
}

/// Every free text of every sample becomes `words`.
fn drawn(words: &str) -> Vec<String> {
    let text = || words.to_owned();
    let mut yard = samples::yard();
    (yard.place, yard.day) = (text(), text());
    for row in &mut yard.rows {
        row.name = text();
        for container in &mut row.containers {
            container.label = text();
            container.reason = text();
            container.grade = text();
            container.batch = text();
            if let Some(age) = &mut container.age {
                age.words = text();
            }
        }
    }
    let mut trace_of = samples::small_trace();
    (trace_of.subject, trace_of.day) = (text(), text());
    for stop in &mut trace_of.stops {
        (stop.name, stop.note) = (text(), text());
    }
    let mut tag = samples::tag();
    tag.label = text();
    for field in [
        &mut tag.grade,
        &mut tag.batch,
        &mut tag.supplier,
        &mut tag.filled,
        &mut tag.use_by,
        &mut tag.contents,
        &mut tag.seals,
    ] {
        *field = Some(text());
    }
    let mut labels = samples::labels(2);
    for label in &mut labels {
        label.label = text();
        (label.grade, label.place, label.use_by) = (Some(text()), Some(text()), Some(text()));
    }
    vec![
        rack(&yard, Width::PHONE),
        trace(&trace_of, Width::PHONE),
        drum_tag(&tag, TagSize::A6).unwrap(),
        label_sheets(&labels).unwrap().concat(),
    ]
}

#[test]
fn markup_in_a_document_is_shown_as_the_text_it_is() {
    for words in [
        "<script>alert(1)</script>",
        "</desc><script/>",
        "\"/><rect onload=\"x\"",
        "' onclick='x",
        "]]><!--",
        "&lt;b&gt; &#60; &bogus;",
    ] {
        for (picture, plain) in drawn(words).iter().zip(&*HARMLESS) {
            assert_eq!(&skeleton(picture), plain, "{words}");
            let tree = roxmltree::Document::parse(picture).unwrap();
            let desc = tree.descendants().find(|node| node.has_tag_name("desc")).unwrap();
            assert!(desc.text().unwrap().contains(words), "{words} is not told in words");
        }
    }
}

/// What the samples look like when nobody means harm.
static HARMLESS: LazyLock<Vec<Vec<String>>> =
    LazyLock::new(|| drawn("plain").iter().map(|picture| skeleton(picture)).collect());

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]
    #[test]
    fn no_text_at_all_can_add_an_element_or_attribute(words in any::<String>()) {
        for (picture, plain) in drawn(&words).iter().zip(&*HARMLESS) {
            for name in skeleton(picture) {
                prop_assert!(plain.contains(&name), "{} by {:?}", name, words);
            }
        }
    }
}
