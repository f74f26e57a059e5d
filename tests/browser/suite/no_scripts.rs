//! Without scripts: reading, working out and recording, by pages and forms alone.

use crate::{
    phone::{Scripts, Size},
    walk,
    world::play,
};

/// Tasks done, up to where the drums have to stand.
const DONE: usize = 9;

#[test]
fn everything_can_be_read_worked_out_and_recorded_without_scripts() {
    play(|world| async move {
        let phone = world.phone(Size::Phone, Scripts::Off).await;
        phone.open("/").await;
        phone.press_words("Clinic round: Nessow Top to Oumbrel and on to Taskel Bend").await;
        phone.until("#figures [role='status']", "READY on what is assessed").await;

        // Typing alone must change nothing here, or scripts are not off at all.
        phone.fill("[id='people.2.mass']", "210 kg").await;
        tokio::time::sleep(std::time::Duration::from_millis(1500)).await;
        assert!(!phone.text("#figures [role='status']").await.contains("NOT READY"));
        phone.press_words("Work it out").await;
        phone.until("#figures [role='status']", "NOT READY").await;
        phone.until("#figures .changed", "As saved it is READY").await;

        // What cannot be used is said beside its field.
        phone.fill("[id='people.2.mass']", "heavy").await;
        phone.press_words("Work it out").await;
        phone.until("section.wrong", "What was typed cannot be used").await;
        assert_eq!(phone.count("[id='people.2.mass'][aria-invalid='true']").await, 1);

        phone.fill("[id='people.2.mass']", "76 kg").await;
        phone.press_words("Save as a new version").await;
        phone.until("#figures [role='status']", "READY on what is assessed").await;
        let saved = phone.path().await;
        assert!(!saved.contains('?') && saved != "/stop/turnarounds/ready", "{saved}");

        phone.press("section[aria-labelledby='record'] a.button").await;
        walk::begin(&phone).await;
        let mut done = Vec::new();
        for _ in 0..DONE {
            done.push(walk::answer(&phone).await);
        }
        // Taking back, putting down, taking up.
        phone.press("details.also summary").await;
        phone.fill("#why", "pressed by mistake").await;
        phone.press_words("Take the last entry back").await;
        phone.until(".said", "").await;
        assert_eq!(walk::answer(&phone).await, *done.last().unwrap());
        phone.press("details.also summary").await;
        phone.press_words("Break off: that puts nothing down").await;
        phone.until(".recap h2", &format!("Recap: {DONE} of ")).await;
        while phone.text("#task").await.contains("PUT IT DOWN") {
            walk::put_down(&phone).await;
        }
        phone.press_words("The work goes on").await;
        assert!(!walk::task(&phone).await.is_empty());

        phone.open(&saved).await;
        phone.press("section[aria-labelledby='record'] details summary").await;
        let record = phone.text("section[aria-labelledby='record']").await;
        for part in ["work goes on", "broken off", "taken up again", "avgas 100LL"] {
            assert!(record.contains(part), "no \"{part}\" in {record}");
        }
    });
}
