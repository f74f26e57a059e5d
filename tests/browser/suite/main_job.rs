//! The main job from one end to the other: open the demonstration, break it, see why, mend it, do
//! the work on the run sheet, be interrupted, and find the record.

use crate::{
    phone::{Scripts, Size},
    walk,
    world::{BY, play},
};

/// What one more grown-up breaks.
const LIMIT: &str = "strip.take-off-distance";

#[test]
fn a_pilot_breaks_a_stop_mends_it_does_the_work_and_finds_the_record() {
    play(|world| async move {
        let phone = world.phone(Size::Phone, Scripts::On).await;
        phone.open("/").await;
        phone.press_words("Clinic round: Nessow Top to Oumbrel and on to Taskel Bend").await;
        phone.until("#figures [role='status']", "READY on what is assessed").await;

        // One more passenger: what breaks shows at once, and nothing was sent.
        let stop = phone.path().await;
        phone.fill("[id='people.new.name']", "Ulo Kesk").await;
        phone.choose("[id='people.new.seat']", "3R").await;
        phone.fill("[id='people.new.mass']", "90 kg").await;
        phone.choose("[id='people.new.known']", "weighed").await;
        phone.choose("[id='people.new.carries']", "asked: none").await;
        phone.until("#figures [role='status']", "NOT READY").await;
        phone.until("#figures .changed", "As saved it is READY").await;
        phone.until("#figures .moved", "less room").await;
        assert_eq!(phone.path().await, stop);

        // Which limit, and why: its working as changed, with steps and a source.
        let tightest = phone.text("#figures ul.limits > li").await;
        assert!(tightest.contains("breaks") && tightest.contains(LIMIT), "{tightest}");
        phone.press(&format!("#figures ul.limits a[href*='why={LIMIT}']")).await;
        phone.until("h1", "Working of ").await;
        phone.until(".verdict", "breaks").await;
        assert!(phone.count("ol.steps > li").await > 0, "{}", phone.text("main").await);
        let working = phone.text("main").await;
        assert!(working.contains("TODA"), "{working}");
        assert!(phone.count("ol.steps .source").await > 0, "no source:\n{working}");
        phone.press_words("Back to the stop").await;
        phone.until("#figures [role='status']", "NOT READY").await;

        // Mended, and saved beside what was there.
        phone.fill("[id='people.new.mass']", "30 kg").await;
        phone.until("#figures .large", "READY on what is assessed").await;
        let changed = phone.path().await;
        phone.press_words("Save as a new version").await;
        let saved = phone.until_left(&changed).await;
        assert_ne!(saved, stop);
        let name = phone.find("[id='people.5.name']").await.value().await.unwrap();
        assert_eq!(name.as_deref(), Some("Ulo Kesk"));
        phone.open(&stop).await;
        assert_eq!(
            phone.count("[id='people.5.name']").await,
            0,
            "what was saved first has changed"
        );

        // The work, with readings. The drum has stood since the morning by the records of the yard; the
        // tanks are waited for: there the program is killed, and an hour passes.
        let sheet = saved.replacen("/stop/", "/sheet/", 1);
        phone.open(&sheet).await;
        walk::begin(&phone).await;
        let (mut done, mut later) = (Vec::<String>::new(), 0);
        while walk::asked(&phone).await {
            if walk::waits(&phone).await {
                later += 60;
                phone.later(later).await;
                phone.open(&sheet).await;
                phone.until(".recap h2", &format!("Recap: {} of ", done.len())).await;
                phone.until(".recap", &format!("Last: {}", done.last().unwrap())).await;
                walk::take_up(&phone).await;
            }
            done.push(walk::answer(&phone).await);
            assert!(done.len() < 200, "the sheet has no end: {done:?}");
        }
        assert_eq!(later, 60, "the tanks are waited for, and the drum is not");
        phone.until("#task", "Every task is done.").await;
        phone.press_words("Put the sheet away").await;
        phone.until("#task", "The last sheet was finished.").await;

        // The record: every task once, by name.
        phone.open(&saved).await;
        phone.press("section[aria-labelledby='record'] details summary").await;
        let record = phone.text("section[aria-labelledby='record']").await;
        assert!(record.contains("finished") && record.contains(&format!("by {BY}")), "{record}");
        assert!(record.contains("0.712 kg/L at 24 degC"), "{record}");
        let lines = phone.count("section[aria-labelledby='record'] details li").await;
        assert!(lines >= done.len() + 2, "{lines} lines for {} tasks", done.len());

        // What was drawn goes into the yard, and the trace of its batch knows the aeroplane.
        phone.open("/yard").await;
        phone.press("details:has(a[href^='/drum/']) > summary").await;
        phone.press_words("NT-09").await;
        phone.until("h1", "NT-09").await;
        phone.press("main a[href^='/yard/record/draw']").await;
        for (field, text) in [
            ("volume", "105 L"),
            ("aircraft", "QK-CSX"),
            ("tank", "left wing"),
            ("flight", "Oumbrel 3 December"),
        ] {
            phone.fill(&format!("main [name='{field}']"), text).await;
        }
        let form = phone.path().await;
        phone.press("main form button:not([name])").await;
        phone.until_left(&form).await;
        phone.until("h1", "NT-09").await;
        phone.press("dl a[href^='/yard/batch']").await;
        phone.until("h1", "Batch ").await;
        assert_eq!(phone.count("figure svg").await, 1);
        let trace = phone.text("main").await;
        for part in ["QK-CSX", "105 L", "Oumbrel 3 December", BY] {
            assert!(trace.contains(part), "no \"{part}\" in the trace:\n{trace}");
        }
    });
}
