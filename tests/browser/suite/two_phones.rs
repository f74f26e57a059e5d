//! Two phones on one sheet: each sees what the other confirms.

use std::time::Duration;

use thirtyfour::Key;
use tokio::time::Instant;

use crate::{
    phone::{Phone, Scripts, Size},
    walk,
    world::play,
};

/// A confirmation is seen within this time. A second is the aim; the rest is for a machine that
/// runs two browsers and a server on two cores.
const SEEN: Duration = Duration::from_millis(2500);
const SHEET: &str = "/sheet/turnarounds/mid-burn";

/// Waits until a phone shows a task as confirmed by somebody; no page is loaded for it.
async fn sees(phone: &Phone, title: &str, by: &str, since: Instant) -> Duration {
    phone.until("#others ul", title).await;
    phone.until("#others ul", by).await;
    since.elapsed()
}

#[test]
fn two_phones_on_one_sheet_see_each_other_within_a_second_or_so() {
    play(|world| async move {
        let pilot = world.phone(Size::Phone, Scripts::On).await;
        let refueller = world.phone(Size::Phone, Scripts::On).await;
        refueller.open("/").await;
        refueller.fill("#by", "Sanna Vork").await;
        refueller.find("#by").await.send_keys(Key::Enter + "").await.unwrap();
        pilot.open(&format!("{SHEET}?as=pilot")).await;
        walk::begin(&pilot).await;
        refueller.open(&format!("{SHEET}?as=refueller")).await;

        let (mut seen, mut turns) = (Vec::new(), 0);
        while seen.len() < 12 {
            turns += 1;
            assert!(turns < 60, "nobody has anything to do:\n{}", pilot.text("#sheet").await);
            for (own, other, name) in
                [(&pilot, &refueller, "Marro Teel"), (&refueller, &pilot, "Sanna Vork")]
            {
                if walk::asked(own).await {
                    let title = walk::answer(own).await;
                    seen.push((name, sees(other, &title, name, Instant::now()).await));
                }
            }
        }
        for name in ["Marro Teel", "Sanna Vork"] {
            assert!(seen.iter().any(|(by, _)| *by == name), "{name} had nothing to do");
        }
        println!(
            "seen after {:?}",
            seen.iter().map(|(_, took)| took.as_millis()).collect::<Vec<_>>()
        );
        let late: Vec<_> = seen.iter().filter(|(_, took)| *took > SEEN).collect();
        assert!(late.is_empty(), "seen too late: {late:?}");
        // The one at the pump may only do what is theirs.
        assert!(pilot.text("#others").await.contains("This phone is for:"));
    });
}

#[test]
fn a_stop_called_on_one_phone_stands_on_the_other_and_typing_is_not_lost() {
    play(|world| async move {
        let (one, other) = (
            world.phone(Size::Phone, Scripts::On).await,
            world.phone(Size::Phone, Scripts::On).await,
        );
        one.open("/sheet/turnarounds/ready").await;
        walk::begin(&one).await;
        // Up to a task that asks for words.
        while one.count("#task #r").await == 0 {
            walk::answer(&one).await;
        }
        // The other is writing while the first does nothing that changes the question.
        other.open("/sheet/turnarounds/ready").await;
        other.fill("#r", "at the valve").await;
        one.press("button.stop[value='fire']").await;
        other.until("#task", "STOP: ").await;
    });
}
