//! The rules find what breaks them: each is broken on a page that holds, and has to say so.

use crate::{
    phone::{Scripts, Size},
    rules,
    world::play,
};

/// What is done to the page, and what has to be found.
const BROKEN: [(&str, &str); 8] = [
    ("document.querySelector('#main').style.width = '600px'", "the page is 6"),
    ("document.querySelector('#task p').style.color = '#777'", "contrast 4."),
    ("document.querySelector('#task').style.opacity = '0.6'", "contrast "),
    (
        "document.querySelector('nav').remove(); document.querySelector('#by').labels[0].remove()",
        "label (",
    ),
    (
        "document.querySelector('#task button').style.minHeight = document.querySelector('#task button').style.height = '30px'",
        "is 30 high",
    ),
    ("console.error('a fault of a script')", "a fault of a script"),
    ("setTimeout(() => { throw new Error('thrown away') })", "thrown away"),
    (
        "const image = document.createElement('img'); image.alt = ''; image.src = 'http://192.0.2.1/'; document.body.append(image)",
        "Content Security Policy",
    ),
];

#[test]
fn every_rule_finds_what_breaks_it() {
    play(|world| async move {
        let phone = world.phone(Size::Phone, Scripts::On).await;
        for (harm, words) in BROKEN {
            phone.open("/sheet/turnarounds/ready").await;
            let before = rules::page(&phone, 200).await;
            assert!(before.is_empty(), "{before:#?}");
            phone.ask(harm).await;
            tokio::time::sleep(std::time::Duration::from_millis(200)).await;
            let found = rules::page(&phone, 200).await;
            assert!(found.iter().any(|one| one.contains(words)), "{harm}: {found:#?}");
        }
        phone.open("/nothing-here").await;
        let found = rules::page(&phone, 200).await;
        assert!(found.iter().any(|one| one == "the answer is 404, not 200"), "{found:#?}");
    });
}
