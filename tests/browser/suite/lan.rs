//! Coming in from the network: a code, a passphrase, a refusal; what a viewer may not do; leaving.

use crate::{
    phone::{Scripts, Size},
    walk,
    world::{BY, PHRASE, Serving, play_in},
};

const SHEET: &str = "/sheet/turnarounds/over-mass";
const STOP: &str = "/stop/turnarounds/ready";
const SAVE: &str = "/save/stop/turnarounds/ready";

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
            phone.press_for_page("form:has(#phrase) button").await;
            let said = phone.text("[role='alert']").await;
            assert!(said.contains(alert) || said.contains("Too many tries."), "{name}: {said}");
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
        for (page, path, refusal) in [
            (SHEET, SHEET, "A viewer may not record on the run sheet."),
            (STOP, SAVE, "A viewer may not change a turnaround."),
        ] {
            viewer.open(page).await;
            viewer.until(".may", "As viewer you may read.").await;
            assert_eq!(viewer.count("main form[method='post'], [formmethod]").await, 0, "{page}");
            viewer.send_anyway(path, "begin").await;
            viewer.until("main", refusal).await;
        }
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
