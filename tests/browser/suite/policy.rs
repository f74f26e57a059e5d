//! The content-security policy holds in the browser, not only in the answer's head.

use crate::{
    phone::{Scripts, Size},
    world::play,
};

/// Tries what the policy forbids, and gives what the browser refused.
const TRY: &str = "
    const done = arguments[arguments.length - 1];
    const refused = [];
    document.addEventListener('securitypolicyviolation', (event) => refused.push(event.effectiveDirective));
    const inline = document.createElement('script');
    inline.textContent = 'window.reached = \"script\"';
    document.body.append(inline);
    const styled = document.createElement('p');
    styled.setAttribute('style', 'color: red');
    document.body.append(styled);
    const sheet = document.createElement('style');
    sheet.textContent = 'body { color: red }';
    document.body.append(sheet);
    const elsewhere = 'http://127.0.0.1:9/';
    const script = document.createElement('script');
    script.src = elsewhere;
    document.body.append(script);
    const image = document.createElement('img');
    image.src = elsewhere;
    document.body.append(image);
    const frame = document.createElement('iframe');
    frame.src = location.href;
    document.body.append(frame);
    const form = document.createElement('form');
    form.action = elsewhere;
    document.body.append(form);
    form.submit();
    fetch(elsewhere).catch(() => {});
    setTimeout(() => done({
        refused, reached: window.reached ?? null, color: getComputedStyle(styled).color, at: location.href,
    }), 1000);";

#[test]
fn the_policy_refuses_whatever_is_not_ours() {
    play(|world| async move {
        let phone = world.phone(Size::Laptop, Scripts::On).await;
        for path in ["/", "/stop/turnarounds/ready", "/sheet/turnarounds/ready", "/nothing-here"] {
            phone.open(path).await;
            let tried = phone.driver.execute_async(TRY, Vec::new()).await.unwrap().json().clone();
            assert!(tried["reached"].is_null(), "{path}: {tried}");
            assert_ne!(tried["color"], "rgb(255, 0, 0)", "{path}: {tried}");
            assert!(phone.world().is_ours(tried["at"].as_str().unwrap()), "{path}: {tried}");
            for directive in [
                "script-src-elem",
                "style-src-attr",
                "style-src-elem",
                "img-src",
                "connect-src",
                "form-action",
            ] {
                let refused = tried["refused"].as_array().unwrap();
                assert!(
                    refused.iter().any(|one| one == directive),
                    "{path}: {directive} in {tried}"
                );
            }
        }
    });
}
