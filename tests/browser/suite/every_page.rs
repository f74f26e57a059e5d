//! Every page at both sizes: judged, or kept as a picture for a person to look at.

use std::fs;

use crate::{
    phone::Size,
    routes,
    tour::{Look, everywhere},
    world::given,
};

/// Pages and states of the run sheet that there are at least; fewer means that a way was lost.
const LEAST: usize = 60;

fn judged(size: Size) {
    let tour = everywhere(size, Look::Judge);
    println!("{} looked at, {} requests", tour.seen.len(), tour.requests);
    assert!(tour.wrong.is_empty(), "{} findings:\n{}", tour.wrong.len(), tour.wrong.join("\n"));
    assert!(tour.seen.len() >= LEAST, "{:?}", tour.seen);
    assert!(tour.requests > tour.seen.len(), "{} requests were noted", tour.requests);
    let missed: Vec<_> =
        routes::pages().into_iter().filter(|it| !tour.pages.contains(it)).collect();
    assert!(missed.is_empty(), "pages that nobody visited: {missed:?}");
}

#[test]
fn every_page_holds_at_390_by_844() {
    judged(Size::Phone);
}

#[test]
fn every_page_holds_at_1280_by_800() {
    judged(Size::Laptop);
}

/// For `cargo xtask screenshots`, which says where to.
#[test]
#[ignore = "makes pictures: cargo xtask screenshots"]
fn screenshots() {
    for (size, name) in [(Size::Phone, "phone"), (Size::Laptop, "laptop")] {
        let folder = given("STILLPROP_SCREENSHOTS").join(name);
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).unwrap();
        let tour = everywhere(size, Look::Keep(folder));
        assert!(tour.seen.len() >= LEAST, "{:?}", tour.seen);
    }
}
