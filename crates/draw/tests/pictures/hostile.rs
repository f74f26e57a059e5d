//! Text from documents, as bad as it can be: it stays text.

use std::sync::LazyLock;

use proptest::prelude::*;
use stillprop_draw::{
    Limit, Width,
    apron::{ApronPicture, Walk, apron},
    balance::balance,
    day::day,
    ladder::ladder,
    loading::loading,
    profile::{ProfilePicture, profile},
    rack::rack,
    tag::{TagSize, drum_tag, label_sheets},
    trace::trace,
};

use crate::{aprons, profiles, samples, stops};

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
    let mut ground: Vec<_> = [aprons::crowded(), aprons::spilt(), aprons::blocked()].into();
    ground.iter_mut().for_each(|picture| fill_apron(picture, words));
    let mut strips: Vec<_> = [profiles::short(), profiles::unknown()].into();
    strips.iter_mut().for_each(|picture| fill_profile(picture, words));
    let mut pictures = vec![
        rack(&yard, Width::PHONE),
        trace(&trace_of, Width::PHONE),
        drum_tag(&tag, TagSize::A6).unwrap(),
        label_sheets(&labels).unwrap().concat(),
    ];
    pictures.extend(ground.iter().map(|picture| apron(picture, Width::PHONE)));
    pictures.extend(strips.iter().map(|picture| profile(picture, Width::PHONE)));
    pictures.extend([Width::PHONE, Width::LAPTOP].into_iter().flat_map(|width| stop(words, width)));
    pictures
}

fn fill_apron(picture: &mut ApronPicture, words: &str) {
    let text = || words.to_owned();
    (picture.place, picture.day) = (text(), text());
    picture.things.iter_mut().for_each(|thing| thing.name = text());
    if let Some(aeroplane) = &mut picture.aeroplane {
        aeroplane.name = text();
        aeroplane.doors.iter_mut().for_each(|door| door.name = text());
    }
    picture.zones.iter_mut().for_each(|zone| zone.words = text());
    for spill in &mut picture.spills {
        (spill.words, spill.ring_words) = (text(), text());
    }
    picture.hose.iter_mut().for_each(|hose| hose.words = text());
    match &mut picture.walk {
        Some(Walk::Path { words, .. } | Walk::Blocked { words, .. } | Walk::Unknown { words }) => {
            *words = text()
        }
        None => {}
    }
    for clearance in &mut picture.clearances {
        (clearance.what, clearance.rule) = (text(), text());
    }
    picture.wind.iter_mut().for_each(|wind| wind.words = text());
    picture.notes = vec![text()];
}

fn fill_profile(picture: &mut ProfilePicture, words: &str) {
    let text = || words.to_owned();
    (picture.place, picture.day) = (text(), text());
    for need in &mut picture.needs {
        (need.name, need.factors, need.margin) = (text(), text(), text());
    }
    if let Some(climb) = &mut picture.climb {
        (climb.screen_words, climb.words) = (text(), text());
    }
    for obstacle in &mut picture.obstacles {
        (obstacle.name, obstacle.margin) = (text(), text());
    }
    picture.wind.iter_mut().for_each(|wind| wind.words = text());
    picture.notes = vec![text()];
}

/// The four pictures of a stop.
fn stop(words: &str, width: Width) -> [String; 4] {
    let text = || words.to_owned();
    let fill = |limit: &mut Limit| (limit.name, limit.stands) = (text(), text());
    let mut load = stops::loaded();
    (load.place, load.day) = (text(), text());
    (load.arm_unit, load.mass_unit, load.balance.words) = (text(), text(), text());
    for place in &mut load.places {
        (place.name, place.figure) = (text(), text());
        (place.stands, place.inside) = (text(), text());
    }
    load.notes = vec![text()];
    let mut arms = stops::mid_burn();
    (arms.place, arms.day) = (text(), text());
    (arms.arm_unit, arms.mass_unit) = (text(), text());
    arms.stages.iter_mut().for_each(|stage| (stage.name, stage.words) = (text(), text()));
    arms.edges.iter_mut().for_each(|edge| fill(&mut edge.limit));
    for ceiling in &mut arms.ceilings {
        ceiling.name = text();
        fill(&mut ceiling.limit);
    }
    arms.notes = vec![text()];
    let mut fuel = stops::short();
    (fuel.place, fuel.day) = (text(), text());
    let whole = [&mut fuel.unusable, &mut fuel.required, &mut fuel.aboard, &mut fuel.capacity];
    whole.into_iter().for_each(|amount| amount.words = text());
    fuel.rungs.iter_mut().for_each(|rung| (rung.name, rung.amount.words) = (text(), text()));
    fill(&mut fuel.enough);
    fuel.limits.iter_mut().for_each(fill);
    fuel.notes = vec![text()];
    let mut light = stops::late_day();
    (light.place, light.day, light.clock) = (text(), text(), text());
    for ribbon in &mut light.ribbons {
        (ribbon.place, ribbon.words) = (text(), text());
        ribbon.buffers.iter_mut().for_each(|buffer| buffer.words = text());
        ribbon.moments.iter_mut().for_each(|moment| moment.words = text());
    }
    light.windows.iter_mut().flatten().for_each(|window| window.words = text());
    light.limits.iter_mut().for_each(fill);
    light.notes = vec![text()];
    [loading(&load, width), balance(&arms, width), ladder(&fuel, width), day(&light, width)]
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
