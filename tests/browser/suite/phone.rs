//! One browser: opens, reads, types, waits. Each has its own memory, as two phones have.

use std::{path::Path, sync::Arc, time::Duration};

use serde_json::{Value, json};
use thirtyfour::{
    BrowserCapabilitiesHelper as _, By, Capabilities, ChromiumLikeCapabilities as _,
    DesiredCapabilities, Key, WebDriver, WebElement,
};
use tokio::time::{Instant, sleep};

use crate::world::{World, given};

/// How long anything may take to come about before a test fails.
const PATIENCE: Duration = Duration::from_secs(20);

/// The part of a page that one sees at a time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Size {
    /// A phone upright: 390 by 844.
    Phone,
    /// A small laptop: 1280 by 800.
    Laptop,
}

/// Whether pages may run their scripts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Scripts {
    On,
    Off,
}

/// A browser.
pub(crate) struct Phone {
    world: Arc<World>,
    pub(crate) driver: WebDriver,
    pub(crate) size: Size,
}

impl Size {
    /// Width and height. \[CSS pixels\]
    pub(crate) const fn pixels(self) -> (u32, u32) {
        match self {
            Self::Phone => (390, 844),
            Self::Laptop => (1280, 800),
        }
    }
}

/// Starts a browser with nothing in it and nothing that it does of its own accord. `unsigned` has it
/// take a certificate that nobody has signed.
pub(crate) async fn browser(
    driver: &str,
    profile: &Path,
    size: Size,
    scripts: Scripts,
    unsigned: bool,
) -> WebDriver {
    let (width, height) = size.pixels();
    let mut wanted = DesiredCapabilities::chrome();
    wanted.set_binary(&given("STILLPROP_CHROMIUM").to_string_lossy()).unwrap();
    for flag in [
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--disable-dev-shm-usage",
        "--hide-scrollbars",
        // A page that glides to its place is nowhere for a while.
        "--force-prefers-reduced-motion",
    ] {
        wanted.add_arg(flag).unwrap();
    }
    wanted.add_arg(&format!("--user-data-dir={}", profile.display())).unwrap();
    if unsigned {
        wanted.add_arg("--ignore-certificate-errors").unwrap();
    }
    if scripts == Scripts::Off {
        wanted.add_arg("--blink-settings=scriptEnabled=false").unwrap();
    }
    // A window cannot be as narrow as a phone; the emulation can. Without scripts the driver waits
    // for ever for a touch, so that the finger is a pointer there.
    let touch = size == Size::Phone && scripts == Scripts::On;
    let metrics = json!({
        "width": width, "height": height, "pixelRatio": 1,
        "mobile": touch, "touch": touch,
    });
    wanted.set_browser_option("mobileEmulation", json!({ "deviceMetrics": metrics })).unwrap();
    let mut wanted: Capabilities = wanted.into();
    let logs = json!({ "browser": "ALL", "performance": "ALL" });
    wanted.set("goog:loggingPrefs", logs).unwrap();
    let driver = WebDriver::builder(driver, wanted).request_timeout(Duration::from_secs(40));
    let driver = driver.await.unwrap();
    // What the browser showed before the first page is no business of the pages.
    driver.goto("about:blank").await.unwrap();
    for log in ["browser", "performance"] {
        driver.get_log(log).await.unwrap();
    }
    driver
}

impl Phone {
    pub(crate) fn new(world: Arc<World>, driver: WebDriver, size: Size) -> Self {
        Self { world, driver, size }
    }

    /// Opens an address of the program: `/stop/turnarounds/ready`.
    pub(crate) async fn open(&self, path: &str) {
        self.driver.goto(format!("{}{path}", self.world.url())).await.unwrap();
    }

    /// The address of the page, without the server's.
    pub(crate) async fn path(&self) -> String {
        let url = self.driver.current_url().await.unwrap().to_string();
        url.strip_prefix(&self.world.url()).unwrap_or(&url).to_owned()
    }

    /// Kills the server, and starts it again so many minutes after the true time.
    pub(crate) async fn later(&self, minutes: u32) {
        // What the page still asks of the old server must not be taken for a fault of the new one.
        self.driver.goto("about:blank").await.unwrap();
        self.world.kill_and_restart(minutes);
    }

    /// What the story happens in.
    pub(crate) fn world(&self) -> &World {
        &self.world
    }

    /// The visible text of what `css` finds first; empty where there is nothing.
    pub(crate) async fn text(&self, css: &str) -> String {
        match self.driver.find(By::Css(css)).await {
            Ok(found) => found.text().await.unwrap_or_default(),
            Err(_) => String::new(),
        }
    }

    /// How many elements `css` finds.
    pub(crate) async fn count(&self, css: &str) -> usize {
        self.driver.find_all(By::Css(css)).await.unwrap().len()
    }

    /// The element that `css` finds.
    pub(crate) async fn find(&self, css: &str) -> WebElement {
        match self.driver.find(By::Css(css)).await {
            Ok(found) => found,
            Err(_) => panic!("no {css} on {}:\n{}", self.path().await, self.text("body").await),
        }
    }

    /// Presses what `css` finds.
    pub(crate) async fn press(&self, css: &str) {
        self.pressed(By::Css(css), css).await;
    }

    /// Presses the link or button with these words.
    pub(crate) async fn press_words(&self, words: &str) {
        let any = "*[self::a or self::button or self::summary]";
        let path = format!("//{any}[normalize-space()=\"{words}\"]");
        self.pressed(By::XPath(path.as_str()), words).await;
    }

    /// Presses what leads to another page, and waits until that is there.
    pub(crate) async fn press_for_page(&self, css: &str) {
        self.ask("document.documentElement.dataset.old = 'yes'").await;
        self.press(css).await;
        let started = Instant::now();
        // Between two pages nothing can be asked, which is not yet the new page.
        let there =
            "return document.readyState === 'complete' && !document.documentElement.dataset.old";
        loop {
            let answer = self.driver.execute(there, Vec::new()).await;
            if answer.is_ok_and(|answer| *answer.json() == true) {
                return;
            }
            assert!(started.elapsed() < PATIENCE, "{css} led nowhere on {}", self.path().await);
            sleep(Duration::from_millis(30)).await;
        }
    }

    /// Sends what no form of the page sends, with the token that its forms carry.
    pub(crate) async fn send_anyway(&self, path: &str, does: &str) {
        const SEND: &str = "
            const form = document.createElement('form');
            form.method = 'post';
            form.action = arguments[0];
            const token = document.querySelector('[name=form-token]').value;
            for (const [name, value] of [['form-token', token], ['do', arguments[1]]]) {
                const field = document.createElement('input');
                field.name = name;
                field.value = value;
                form.append(field);
            }
            document.body.append(form);
            form.submit();";
        self.driver.execute(SEND, vec![json!(path), json!(does)]).await.unwrap();
    }

    /// Presses; while the page is on its way, or being put in place by a script, once more.
    async fn pressed(&self, by: By, what: &str) {
        let started = Instant::now();
        loop {
            let done = match self.driver.find(by.clone()).await {
                Ok(found) => found.click().await,
                Err(missing) => Err(missing),
            };
            let Err(why) = done else { return };
            assert!(
                started.elapsed() < PATIENCE,
                "\"{what}\" on {} cannot be pressed: {why:.200}\n{}",
                self.path().await,
                self.text("body").await
            );
            sleep(Duration::from_millis(50)).await;
        }
    }

    /// Writes into a field, over what stood there.
    pub(crate) async fn fill(&self, css: &str, text: &str) {
        let field = self.find(css).await;
        field.send_keys(Key::Control + "a").await.unwrap();
        field.send_keys(text).await.unwrap();
    }

    /// Chooses the line with these words in a list.
    pub(crate) async fn choose(&self, css: &str, words: &str) {
        self.find(css).await.send_keys(words).await.unwrap();
    }

    /// Waits until the text of `css` contains `words`.
    pub(crate) async fn until(&self, css: &str, words: &str) {
        let started = Instant::now();
        while !self.text(css).await.contains(words) {
            assert!(
                started.elapsed() < PATIENCE,
                "\"{words}\" never came up in {css} on {}:\n{}",
                self.path().await,
                self.text("body").await
            );
            sleep(Duration::from_millis(30)).await;
        }
    }

    /// Waits until the question of the run sheet is another than `before`.
    pub(crate) async fn until_asked_other(&self, before: &str) {
        let started = Instant::now();
        while self.asks().await.is_none_or(|now| now == before) {
            assert!(
                started.elapsed() < PATIENCE,
                "{before} was not taken:\n{}",
                self.text("#sheet").await
            );
            sleep(Duration::from_millis(30)).await;
        }
    }

    /// What the run sheet asks, once it asks something.
    pub(crate) async fn question(&self) -> String {
        let started = Instant::now();
        loop {
            match self.asks().await {
                Some(question) => return question,
                None => assert!(started.elapsed() < PATIENCE, "{}", self.text("body").await),
            }
            sleep(Duration::from_millis(30)).await;
        }
    }

    /// What the run sheet asks now; `None` while the page is on its way.
    async fn asks(&self) -> Option<String> {
        self.driver.find(By::Css("#task")).await.ok()?.attr("data-task").await.ok()?
    }

    /// Waits until the address is another than `path`, and gives it.
    pub(crate) async fn until_left(&self, path: &str) -> String {
        let started = Instant::now();
        loop {
            let now = self.path().await;
            if now != path {
                return now;
            }
            assert!(started.elapsed() < PATIENCE, "still at {path}:\n{}", self.text("main").await);
            sleep(Duration::from_millis(30)).await;
        }
    }

    /// What a script of the test answers; pages may have theirs off all the same.
    pub(crate) async fn ask(&self, script: &str) -> Value {
        let answer = self.driver.execute(script, Vec::new()).await;
        answer.unwrap_or_else(|error| panic!("{script}: {error}")).json().clone()
    }

    /// Presses one key, wherever the focus is.
    pub(crate) async fn key(&self, key: Key) {
        self.driver.action_chain().send_keys(key).perform().await.unwrap();
    }
}
