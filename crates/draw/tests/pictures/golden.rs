//! The reference drawings. `UPDATE=1 cargo test -p stillprop-draw` writes them anew; then a
//! person looks at each.

use std::{env, fs, path::Path};

use stillprop_draw::{
    Width,
    apron::apron,
    balance::balance,
    day::day,
    ladder::ladder,
    loading::loading,
    odds::odds,
    profile::profile,
    rack::rack,
    tag::{TagSize, drum_tag, label_sheets},
    trace::trace,
};

use crate::{aprons, profiles, samples, stops};

/// Name, picture, and the most bytes it may take.
pub(crate) fn pictures() -> Vec<(&'static str, String, usize)> {
    let sheets = label_sheets(&samples::labels(7)).unwrap();
    let tag = |tag, size| drum_tag(&tag, size).unwrap();
    vec![
        ("rack-phone", rack(&samples::yard(), Width::PHONE), 40_000),
        ("rack-laptop", rack(&samples::yard(), Width::LAPTOP), 40_000),
        ("rack-forty-drums", rack(&samples::large_yard(), Width::LAPTOP), 90_000),
        ("trace-phone", trace(&samples::small_trace(), Width::PHONE), 20_000),
        ("trace-laptop", trace(&samples::small_trace(), Width::LAPTOP), 20_000),
        ("trace-45-flights", trace(&samples::large_trace(), Width::PHONE), 90_000),
        ("apron-calm-phone", apron(&aprons::calm(), Width::PHONE), 40_000),
        ("apron-calm-laptop", apron(&aprons::calm(), Width::LAPTOP), 40_000),
        ("apron-crowded-phone", apron(&aprons::crowded(), Width::PHONE), 75_000),
        ("apron-crowded-laptop", apron(&aprons::crowded(), Width::LAPTOP), 60_000),
        ("apron-spill-phone", apron(&aprons::spilt(), Width::PHONE), 40_000),
        ("apron-spill-laptop", apron(&aprons::spilt(), Width::LAPTOP), 40_000),
        ("apron-no-path-phone", apron(&aprons::blocked(), Width::PHONE), 40_000),
        ("apron-no-path-laptop", apron(&aprons::blocked(), Width::LAPTOP), 40_000),
        ("profile-long-phone", profile(&profiles::long(), Width::PHONE), 20_000),
        ("profile-long-laptop", profile(&profiles::long(), Width::LAPTOP), 20_000),
        ("profile-short-phone", profile(&profiles::short(), Width::PHONE), 24_000),
        ("profile-short-laptop", profile(&profiles::short(), Width::LAPTOP), 24_000),
        ("profile-unknown-phone", profile(&profiles::unknown(), Width::PHONE), 20_000),
        ("profile-unknown-laptop", profile(&profiles::unknown(), Width::LAPTOP), 20_000),
        ("loading-full-phone", loading(&stops::loaded(), Width::PHONE), 12000),
        ("loading-full-laptop", loading(&stops::loaded(), Width::LAPTOP), 12000),
        ("loading-half-known-phone", loading(&stops::half_known(), Width::PHONE), 12000),
        ("loading-half-known-laptop", loading(&stops::half_known(), Width::LAPTOP), 12000),
        ("balance-mid-burn-phone", balance(&stops::mid_burn(), Width::PHONE), 14000),
        ("balance-mid-burn-laptop", balance(&stops::mid_burn(), Width::LAPTOP), 14000),
        ("balance-unknown-phone", balance(&stops::no_balance(), Width::PHONE), 14000),
        ("balance-unknown-laptop", balance(&stops::no_balance(), Width::LAPTOP), 14000),
        ("ladder-enough-phone", ladder(&stops::enough(), Width::PHONE), 12000),
        ("ladder-enough-laptop", ladder(&stops::enough(), Width::LAPTOP), 12000),
        ("ladder-short-phone", ladder(&stops::short(), Width::PHONE), 12000),
        ("ladder-short-laptop", ladder(&stops::short(), Width::LAPTOP), 12000),
        ("ladder-unknown-phone", ladder(&stops::no_trip(), Width::PHONE), 12000),
        ("ladder-unknown-laptop", ladder(&stops::no_trip(), Width::LAPTOP), 12000),
        ("odds-phone", odds(&stops::thirteen(), Width::PHONE), 12000),
        ("odds-laptop", odds(&stops::thirteen(), Width::LAPTOP), 12000),
        ("day-late-phone", day(&stops::late_day(), Width::PHONE), 14000),
        ("day-late-laptop", day(&stops::late_day(), Width::LAPTOP), 14000),
        ("day-unknown-phone", day(&stops::no_light(), Width::PHONE), 14000),
        ("day-unknown-laptop", day(&stops::no_light(), Width::LAPTOP), 14000),
        ("tag-a6", tag(samples::tag(), TagSize::A6), 20_000),
        ("tag-a7", tag(samples::tag(), TagSize::A7), 20_000),
        ("tag-a7-unknown", tag(samples::bare_tag(), TagSize::A7), 20_000),
        ("labels-a4", sheets.concat(), 90_000),
    ]
}

#[test]
fn every_picture_looks_as_a_person_last_saw_it() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden");
    let update = env::var_os("UPDATE").is_some();
    for (name, picture, _) in pictures() {
        let path = folder.join(format!("{name}.svg"));
        if update {
            fs::write(&path, &picture).unwrap();
        }
        let golden = fs::read_to_string(&path).unwrap_or_default();
        assert!(golden == picture, "{name} changed: UPDATE=1, then look at tests/golden");
    }
    let kept = fs::read_dir(&folder).unwrap().count();
    assert_eq!(kept, pictures().len(), "a drawing that nothing draws lies in tests/golden");
}

#[test]
fn the_same_data_gives_the_same_bytes() {
    assert_eq!(pictures(), pictures());
}

#[test]
fn every_picture_is_small_enough_for_a_slow_phone() {
    for (name, picture, most) in pictures() {
        println!("{name}: {} bytes", picture.len());
        assert!(picture.len() <= most, "{name}: {} bytes, at most {most}", picture.len());
    }
}

#[test]
fn every_picture_says_in_words_what_it_shows() {
    for (name, picture, _) in pictures() {
        let tree = roxmltree::Document::parse(&picture).unwrap();
        let says = |tag| tree.root_element().children().find(|node| node.has_tag_name(tag));
        let (title, desc) = (says("title").unwrap(), says("desc").unwrap());
        assert!(title.text().is_some_and(|text| text.len() > 10), "{name}");
        assert!(desc.text().is_some_and(|text| text.len() > 60), "{name}");
    }
    let yard = samples::yard();
    let picture = rack(&yard, Width::PHONE);
    let desc = picture.split("</desc>").next().unwrap();
    for container in yard.rows.iter().flat_map(|row| &row.containers) {
        let said = format!("{}: {}", container.label, container.state.word());
        assert!(desc.contains(&said), "{said}");
    }
}

#[test]
fn an_apron_and_a_profile_say_every_verdict_they_draw() {
    let apron_of = aprons::crowded();
    let profile_of = profiles::short();
    for width in [Width::PHONE, Width::LAPTOP] {
        let picture = apron(&apron_of, width);
        let desc = picture.split("</desc>").next().unwrap();
        for clearance in &apron_of.clearances {
            let said = format!("{}, {}", clearance.what, clearance.rule);
            assert!(desc.contains(&said), "{said}");
        }
        for thing in &apron_of.things {
            assert!(desc.to_lowercase().contains(thing.kind.word()), "{thing:?}");
            assert!(desc.contains(&thing.name), "{thing:?}");
        }
        let picture = profile(&profile_of, width);
        let desc = picture.split("</desc>").next().unwrap();
        for margin in profile_of
            .needs
            .iter()
            .map(|need| &need.margin)
            .chain(profile_of.obstacles.iter().map(|obstacle| &obstacle.margin))
        {
            assert!(desc.contains(margin), "{margin}");
        }
    }
}

#[test]
fn what_a_stop_shows_is_said_with_every_verdict() {
    fn desc(picture: &str) -> String {
        let tree = roxmltree::Document::parse(picture).unwrap();
        let node = tree.descendants().find(|node| node.has_tag_name("desc")).unwrap();
        node.text().unwrap().to_owned()
    }
    for width in [Width::PHONE, Width::LAPTOP] {
        let said = desc(&loading(&stops::loaded(), width));
        for place in &stops::loaded().places {
            let words = format!("{} {}: {}", place.name, place.verdict.word(), place.stands);
            assert!(said.contains(&words) && said.contains(&place.inside), "{words}");
        }
        let said = desc(&balance(&stops::mid_burn(), width));
        for stage in &stops::mid_burn().stages {
            assert!(said.contains(&stage.words), "{}", stage.words);
        }
        let picture = stops::mid_burn();
        let edges = picture.edges.iter().map(|edge| &edge.limit);
        for limit in edges.chain(picture.ceilings.iter().map(|ceiling| &ceiling.limit)) {
            let words = format!(" {}: {}", limit.verdict.word(), limit.stands);
            assert!(said.contains(&words), "{words}");
        }
        let said = desc(&ladder(&stops::short(), width));
        for rung in &stops::short().rungs {
            assert!(said.contains(&format!(": {}", rung.amount.words)), "{}", rung.name);
        }
        assert!(said.contains("Enough aboard breaks: 22 L short"));
        let said = desc(&day(&stops::late_day(), width));
        for ribbon in &stops::late_day().ribbons {
            let moments = ribbon.moments.iter().map(|moment| &moment.words);
            let buffers = ribbon.buffers.iter().map(|buffer| &buffer.words);
            for words in moments.chain(buffers).chain([&ribbon.place, &ribbon.words]) {
                assert!(said.contains(words), "{words}");
            }
        }
        assert!(said.contains("06:18 to 09:30, 12:00 to 15:52"));
    }
}

/// Nothing that a picture could reach out with, and nothing that clashes on a shared page.
#[test]
fn pictures_have_no_script_link_style_or_id() {
    const ELEMENTS: [&str; 7] = ["svg", "title", "desc", "rect", "circle", "path", "text"];
    const FORBIDDEN: [&str; 5] = ["href", "style", "class", "id", "src"];
    for (name, picture, _) in pictures() {
        let tree = roxmltree::Document::parse(&picture).unwrap();
        for node in tree.descendants().filter(roxmltree::Node::is_element) {
            assert!(ELEMENTS.contains(&node.tag_name().name()), "{name}: {:?}", node.tag_name());
            for attribute in node.attributes() {
                assert!(!FORBIDDEN.contains(&attribute.name()), "{name}: {}", attribute.name());
                assert!(!attribute.name().starts_with("on"), "{name}: {}", attribute.name());
                assert!(!attribute.value().contains("NaN"), "{name}: {}", attribute.value());
            }
        }
    }
}

/// Words and shapes end inside the sheet; nothing is cut off by its edge.
#[test]
fn everything_stands_inside_its_sheet() {
    for (name, picture, _) in pictures() {
        let tree = roxmltree::Document::parse(&picture).unwrap();
        let view = tree.root_element().attribute("viewBox").unwrap();
        let view: Vec<f64> = view.split(' ').map(|number| number.parse().unwrap()).collect();
        let [_, _, width, height] = view[..] else { panic!("{name}: {view:?}") };
        for node in tree.descendants() {
            let of = |key: &str| node.attribute(key).and_then(|text| text.parse::<f64>().ok());
            let far = |at: &str, size: &str| of(at).unwrap_or(0.0) + of(size).unwrap_or(0.0);
            assert!(far("x", "width") <= width + 0.01, "{name}: {node:?}");
            assert!(far("y", "height") <= height + 0.01, "{name}: {node:?}");
            assert!(far("cx", "r") <= width && far("cy", "r") <= height, "{name}: {node:?}");
        }
    }
}
