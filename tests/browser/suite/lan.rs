//! Coming in from the network: a code, a passphrase, a refusal; what a viewer may not do; leaving.

use crate::{
    phone::{Scripts, Size},
    walk,
    world::{BY, PHRASE, Serving, play_in},
};

const SHEET: &str = "/sheet/turnarounds/over-mass";

#[test]
fn nobody_comes_in_without_a_code_or_a_passphrase_and_each_does_what_they_may() {
    play_in(Serving::Lan, |world| async move {
        world.add("Ansa Verrel", "viewer");
        let phone = world.phone(Size::Phone, Scripts::On).await;
        assert!(world.url().starts_with("https://"), "{}", world.url());

        // A stranger sees the door, whatever was asked for, and nothing behind it.
        for path in ["/", "/stop/turnarounds/ready", "/yard", "/documents"] {
            phone.open(path).await;
            assert!(phone.path().await.starts_with("/enter?to=/"), "{}", phone.path().await);
            assert!(!phone.text("body").await.contains("Oumbrel"));
        }

        // A wrong code, a wrong passphrase, a person who is not there: the same words.
        let alert = "That did not let you in.";
        phone.open("/enter").await;
        phone.fill("#code", "AAAA-AAAA").await;
        phone.press("form:has(#code) button").await;
        phone.until("[role='alert']", alert).await;
        for (name, phrase) in [("Ansa Verrel", "not the passphrase of her"), ("Nobody", PHRASE)] {
            phone.fill("#name", name).await;
            phone.fill("#phrase", phrase).await;
            phone.press("form:has(#phrase) button").await;
            phone.until("[role='alert']", "").await;
            assert!(phone.text("h1").await == "Come in");
        }
        phone.open("/yard").await;
        phone.until("h1", "Come in").await;

        // With a code, to where one wanted to go; it is good once.
        let viewer = world.phone(Size::Phone, Scripts::On).await;
        let code = world.code("Ansa Verrel");
        viewer.open("/yard").await;
        viewer.fill("#code", &code).await;
        viewer.press("form:has(#code) button").await;
        viewer.until("h1", "Yard").await;
        assert_eq!(viewer.path().await, "/yard");
        viewer.until("footer", "Records carry the name Ansa Verrel").await;
        let other = world.phone(Size::Laptop, Scripts::On).await;
        other.open("/enter").await;
        other.fill("#code", &code).await;
        other.press("form:has(#code) button").await;
        other.until("[role='alert']", alert).await;

        // A viewer reads all and records nothing.
        viewer.open(SHEET).await;
        viewer.press_words("Begin the sheet").await;
        viewer.until("main", "A viewer may not record on the run sheet.").await;
        viewer.open("/stop/turnarounds/ready").await;
        viewer.press_words("Save as a new version").await;
        viewer.until("main", "A viewer may not change a turnaround.").await;
        let begun = |records: &str| records.contains("sheet-opened");
        assert!(!begun(&world.records()), "a viewer began a sheet");

        // A pilot does, and the records carry that name, and no other can be typed.
        walk::come_in(&other, BY, PHRASE).await;
        assert_eq!(other.count("#by").await, 0);
        other.open(SHEET).await;
        walk::begin(&other).await;
        let title = walk::answer(&other).await;
        viewer.open(SHEET).await;
        viewer.until("#others ul", &title).await;
        viewer.until("#others ul", BY).await;
        let records = world.records();
        assert!(begun(&records), "{records}");

        // Who leaves is out, and the way back shows nothing.
        other.press_words("Leave").await;
        other.until("h1", "Come in").await;
        other.driver.back().await.unwrap();
        other.until("h1", "Come in").await;
        other.open(SHEET).await;
        other.until("h1", "Come in").await;
        // The others stay.
        viewer.open("/").await;
        viewer.until("footer", "Ansa Verrel").await;
    });
}
