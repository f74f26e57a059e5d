//! The keyboard alone: no pointer touches anything here. The main job, from the first page to the
//! end of the sheet.

use serde_json::Value;
use thirtyfour::Key;

use crate::{
    phone::{Phone, Scripts, Size},
    walk,
    world::play,
};

/// What has the focus: its id or words; what it is for; whether the focus shows, and whether the
/// thing can be seen.
const FOCUS: &str = "
    const it = document.activeElement;
    if (!it || it === document.body) return null;
    const box = it.getBoundingClientRect();
    const over = document.elementFromPoint(
        Math.min(innerWidth - 1, Math.max(0, box.left + box.width / 2)),
        Math.min(innerHeight - 1, Math.max(0, box.top + Math.min(box.height, innerHeight) / 2)));
    const look = getComputedStyle(it);
    const form = it.form;
    return {
        name: it.id || it.textContent.trim(),
        tag: it.tagName,
        sort: it.type || '',
        value: it.value ?? '',
        label: it.labels && it.labels.length ? it.labels[0].textContent.trim() : (it.getAttribute('aria-label') || ''),
        does: form && form.elements.do ? form.elements.do.value : '',
        outlined: look.outlineStyle !== 'none' && parseFloat(look.outlineWidth) >= 2,
        seen: !!over && (it === over || it.contains(over) || over.contains(it)),
    };";

/// One step with the tab key; the focus shows where it is.
async fn tab(phone: &Phone) -> Option<Value> {
    phone.key(Key::Tab).await;
    let focus = phone.ask(FOCUS).await;
    if focus.is_null() {
        return None;
    }
    let own = focus["name"].as_str().unwrap();
    assert_eq!(focus["outlined"], true, "the focus does not show on \"{own}\"");
    assert_eq!(focus["seen"], true, "\"{own}\" has the focus and is hidden");
    Some(focus)
}

/// Goes on with the tab key until `name` has the focus.
async fn tab_to(phone: &Phone, name: &str) {
    let mut passed = Vec::new();
    for _ in 0..400 {
        let Some(focus) = tab(phone).await else { continue };
        let own = focus["name"].as_str().unwrap().to_owned();
        if own == name {
            return;
        }
        passed.push(own);
    }
    panic!("the tab key never reached \"{name}\": {passed:?}");
}

/// Types over what stands in the field that has the focus.
async fn write(phone: &Phone, text: &str) {
    let keys = phone.driver.action_chain().key_down(Key::Control).send_keys("a");
    keys.key_up(Key::Control).send_keys(text).perform().await.unwrap();
}

/// Past the menu, to the page itself.
async fn skip(phone: &Phone) {
    phone.key(Key::Tab).await;
    assert_eq!(phone.ask(FOCUS).await["name"], "To the page itself");
    phone.key(Key::Enter).await;
    assert_eq!(phone.ask("return document.activeElement.id").await, "main");
}

/// Does the task that is asked for.
async fn answer(phone: &Phone) -> String {
    let (title, before) = (walk::task(phone).await, phone.question().await);
    skip(phone).await;
    for _ in 0..40 {
        let Some(focus) = tab(phone).await else { continue };
        if focus["does"] != "done" {
            continue;
        }
        let (label, value) = (focus["label"].as_str().unwrap(), focus["value"].as_str().unwrap());
        if focus["tag"] == "BUTTON" {
            if value.is_empty() || ["yes", "dry"].contains(&value) {
                phone.key(Key::Enter).await;
                phone.until_asked_other(&before).await;
                return title;
            }
        } else if focus["sort"] == "checkbox" {
            // Everybody whom a reading names.
            phone.key(Key::Space).await;
        } else if label == "unit" && value.is_empty() {
            phone.driver.action_chain().send_keys("L").perform().await.unwrap();
        } else if !label.starts_with("unit") && value.is_empty() {
            let text = walk::text(label, &title);
            phone.driver.action_chain().send_keys(text).perform().await.unwrap();
        }
    }
    panic!("the tab key never reached the button of \"{title}\"");
}

#[test]
fn the_main_job_is_done_with_the_keyboard_alone() {
    play(|world| async move {
        let phone = world.phone(Size::Laptop, Scripts::On).await;
        phone.open("/").await;
        skip(&phone).await;
        tab_to(&phone, "Clinic round: Nessow Top to Oumbrel and on to Taskel Bend").await;
        phone.key(Key::Enter).await;
        phone.until("#figures [role='status']", "READY on what is assessed").await;

        // Broken by one more passenger.
        for (field, text) in [
            ("people.new.name", "Ulo Kesk"),
            ("people.new.seat", "3R"),
            ("people.new.mass", "90 kg"),
            ("people.new.known", "weighed"),
            ("people.new.carries", "asked: none"),
        ] {
            tab_to(&phone, field).await;
            let chosen = phone.ask("return document.activeElement.tagName").await == "SELECT";
            if chosen {
                phone.driver.action_chain().send_keys(text).perform().await.unwrap();
            } else {
                write(&phone, text).await;
            }
        }
        phone.until("#figures [role='status']", "NOT READY").await;
        // What was put in place by the script took nobody's focus away.
        assert_eq!(phone.ask("return document.activeElement.id").await, "people.new.carries");
        tab_to(&phone, "Work it out").await;
        phone.key(Key::Enter).await;
        phone.until("#figures .changed", "not saved").await;

        // Why: the first limit.
        skip(&phone).await;
        tab_to(&phone, "strip.take-off-distance").await;
        phone.key(Key::Enter).await;
        phone.until("h1", "Working of ").await;
        phone.until(".verdict", "breaks").await;
        tab_to(&phone, "Back to the stop").await;
        phone.key(Key::Enter).await;
        phone.until("#figures .changed", "not saved").await;

        // Mended: the passenger weighs less.
        tab_to(&phone, "people.new.mass").await;
        write(&phone, "30 kg").await;
        phone.until("#figures .large", "READY on what is assessed").await;
        tab_to(&phone, "Save as a new version").await;
        let changed = phone.path().await;
        phone.key(Key::Enter).await;
        let saved = phone.until_left(&changed).await;

        // The work, to its end.
        let sheet = saved.replacen("/stop/", "/sheet/", 1);
        phone.open(&sheet).await;
        tab_to(&phone, "Begin the sheet").await;
        phone.key(Key::Enter).await;
        phone.until("#task .count", "1 of ").await;
        let mut done = Vec::<String>::new();
        let mut later = 0;
        while walk::asked(&phone).await {
            if walk::waits(&phone).await {
                later += 60;
                phone.later(later).await;
                phone.open(&sheet).await;
                phone.until("#task", "Recap: ").await;
                for words in ["I have looked: go on", "The work goes on"] {
                    if phone.text("#task").await.contains(words) {
                        let before = phone.question().await;
                        tab_to(&phone, words).await;
                        phone.key(Key::Enter).await;
                        phone.until_asked_other(&before).await;
                    }
                }
                phone.until("#task", " of ").await;
            }
            done.push(answer(&phone).await);
            assert!(done.len() < 200, "the sheet has no end: {done:?}");
        }
        phone.until("#task", "Every task is done.").await;
        // A stop action is within reach, too.
        tab_to(&phone, "fire").await;
        phone.key(Key::Enter).await;
        phone.until("#task", "STOP: ").await;
    });
}
