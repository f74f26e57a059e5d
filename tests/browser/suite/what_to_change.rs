//! What to change: an over-mass stop is opened, its ways out are looked at, one is written, and the page
//! says how the stop stands then. The same without scripts.

use crate::{
    phone::{Phone, Scripts, Size},
    world::play,
};

const STOP: &str = "/stop/turnarounds/over-mass";

/// From a stop that is too heavy to one that is ready.
async fn mended(phone: &Phone) {
    phone.open(STOP).await;
    phone.until("#figures [role='status']", "NOT READY").await;
    let before = phone.path().await;
    phone.press_words("What to change?").await;
    phone.until("h1", "Ways out").await;
    assert_ne!(phone.path().await, before);

    // Each way says what to do, what it asks, and what is tightest then.
    assert_eq!(phone.count(".ways > li").await, 2);
    let cards = phone.text(".ways").await;
    for words in [
        "1. Take 6.0 USgal less fuel",
        "2. Leave 32 lb of the bags behind",
        "Asks: ",
        "Then tightest",
    ] {
        assert!(cards.contains(words), "no \"{words}\" in {cards}");
    }

    // The other questions are one press away, and know which stop it is.
    phone.press_words("Window").await;
    phone.until("main [role='status']", "NO WINDOW").await;
    phone.press_words("Ways out").await;
    phone.until("h1", "Ways out").await;

    let page = phone.path().await;
    phone.press(".ways > li:first-child button").await;
    let saved = phone.until_left(&page).await;
    assert!(saved.starts_with("/stop/turnarounds/over-mass-"), "{saved}");
    phone.until("#figures [role='status']", "READY on what is assessed").await;
    let tightest = phone.text("#figures ul.limits > li").await;
    assert!(tightest.contains("load.take-off-mass") && tightest.contains("holds"), "{tightest}");

    // What was saved first stands as it was.
    phone.open(STOP).await;
    phone.until("#figures [role='status']", "NOT READY").await;
}

#[test]
fn a_stop_that_is_too_heavy_is_mended_by_one_of_its_ways_out() {
    play(|world| async move {
        mended(&world.phone(Size::Phone, Scripts::On).await).await;
    });
}

#[test]
fn the_same_without_scripts() {
    play(|world| async move {
        mended(&world.phone(Size::Phone, Scripts::Off).await).await;
    });
}

#[test]
fn a_loading_is_asked_for_otherwise_by_a_form() {
    play(|world| async move {
        let phone = world.phone(Size::Phone, Scripts::Off).await;
        phone.open("/fit/turnarounds/mid-burn").await;
        phone.until("main [role='status']", "FITS").await;
        assert_eq!(phone.count("figure.loading svg").await, 2);
        phone.press("section[aria-labelledby='otherwise'] > details > summary").await;
        phone.choose("#fuel", "as planned").await;
        phone.fill("#ballast", "much").await;
        phone.press_words("Work it out").await;
        phone.until("section.wrong", "This cannot be asked").await;
        phone.fill("#ballast", "10 kg").await;
        phone.press_words("Work it out").await;
        phone.until("main [role='status']", "FITS").await;
        assert_eq!(phone.count("#fuel option[value='stay']:checked").await, 1);
        assert!(phone.path().await.contains("ballast=10"), "a plain address asks the same again");
    });
}
