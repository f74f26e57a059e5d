//! Every page and every state of the run sheet, one after the other, each looked at.

use std::{
    collections::{BTreeMap, BTreeSet, VecDeque},
    fs,
    path::PathBuf,
    sync::Arc,
};

use base64::{Engine as _, prelude::BASE64_STANDARD};
use serde_json::{Value, json};
use tokio::sync::Mutex;

use crate::{
    phone::{Phone, Scripts, Size},
    routes, rules, walk,
    world::{PHRASE, Serving, play_in},
};

/// Pages of one kind that are opened. The eight stops differ; a fourth drum hardly does.
const STOPS: usize = 8;
const OF_A_KIND: usize = 3;
/// A form is the same for every drum.
const FORMS: usize = 1;

/// What is done with each page.
#[derive(Clone, Debug)]
pub(crate) enum Look {
    /// Every rule is held against it.
    Judge,
    /// Its picture is kept in this folder.
    Keep(PathBuf),
}

/// A walk through everything.
pub(crate) struct Tour {
    look: Look,
    /// What was looked at, by a name of its own.
    pub(crate) seen: Vec<String>,
    /// The pages that these were, as the router has them.
    pub(crate) pages: BTreeSet<String>,
    /// How many requests the browsers made.
    pub(crate) requests: usize,
    /// What is wrong, with its page.
    pub(crate) wrong: Vec<String>,
}

/// Goes everywhere at one size: the demonstration, an empty folder, the door.
pub(crate) fn everywhere(size: Size, look: Look) -> Tour {
    let (seen, pages, wrong) = (Vec::new(), BTreeSet::new(), Vec::new());
    let tour = Arc::new(Mutex::new(Tour { look, seen, pages, requests: 0, wrong }));
    for serving in [Serving::Demo, Serving::Own, Serving::Lan] {
        let tour = Arc::clone(&tour);
        play_in(serving, move |world| async move {
            let phone = world.phone(size, Scripts::On).await;
            let mut tour = tour.lock().await;
            match serving {
                Serving::Demo => tour.demonstration(&phone).await,
                Serving::Own => tour.empty(&phone).await,
                Serving::Lan => tour.door(&phone).await,
            }
            tour.asked(&phone).await;
        });
    }
    Arc::into_inner(tour).expect("every story is over").into_inner()
}

impl Tour {
    /// Looks at the page that is open; it is no answer to anything wrong.
    async fn look(&mut self, phone: &Phone, name: &str) {
        self.look_at(phone, name, 200).await;
    }

    async fn look_at(&mut self, phone: &Phone, name: &str, status: u16) {
        self.seen.push(name.to_owned());
        self.pages.extend(routes::page_of(&phone.path().await));
        match &self.look {
            Look::Judge => {
                let found = rules::page(phone, status).await;
                self.wrong.extend(found.into_iter().map(|what| format!("{name}: {what}")));
            }
            Look::Keep(folder) => {
                let plain = |c: char| if c.is_ascii_alphanumeric() { c } else { '-' };
                let file: String = name.trim_matches('/').chars().map(plain).take(80).collect();
                let file = if file.is_empty() { "stops".to_owned() } else { file };
                fs::write(folder.join(format!("{file}.png")), whole(phone).await).unwrap();
            }
        }
    }

    /// Nothing was asked of anybody else.
    async fn asked(&mut self, phone: &Phone) {
        let asked = rules::requests(phone).await;
        self.requests += asked.len();
        // Nobody is asked for an empty page, nor for what stands in the address itself: the browser
        // has the signs of its own fields there.
        let nobody = |url: &str| url == "about:blank" || url.starts_with("data:");
        let ours = |url: &str| nobody(url) || phone.world().is_ours(url);
        let foreign = asked.iter().filter(|url| !ours(url));
        self.wrong.extend(foreign.map(|url| format!("asked of others: {url}")));
    }

    async fn demonstration(&mut self, phone: &Phone) {
        self.links(phone).await;
        self.wrong_fields(phone).await;
        self.searches(phone).await;
        self.people_and_events(phone).await;
        self.sheet(phone).await;
        self.interrupted(phone).await;
        self.two_roles(phone).await;
    }

    /// Follows every link from the first page on.
    async fn links(&mut self, phone: &Phone) {
        let mut waiting = VecDeque::from(["/".to_owned()]);
        let mut known = BTreeSet::from(["/".to_owned()]);
        let mut kinds: BTreeMap<String, usize> = BTreeMap::new();
        while let Some(path) = waiting.pop_front() {
            // What is no page (data, a picture, a file to keep) has no rules of a page.
            let Some((kind, most)) = kind(&path) else { continue };
            let count = kinds.entry(kind).or_default();
            *count += 1;
            if *count > most {
                continue;
            }
            phone.open(&path).await;
            self.look(phone, &path).await;
            let script = "return [...document.querySelectorAll('a[href]')]
                .filter((a) => a.origin === location.origin && !a.hasAttribute('download'))
                .map((a) => a.pathname + a.search)";
            for link in phone.ask(script).await.as_array().unwrap() {
                let link = link.as_str().unwrap().to_owned();
                if known.insert(link.clone()) {
                    waiting.push_back(link);
                }
            }
        }
    }

    /// Goods with every answer, somebody left out, events with and without a time.
    async fn people_and_events(&mut self, phone: &Phone) {
        let ready = "turnarounds/ready";
        for (name, path) in [
            (
                "/goods/answers",
                "/goods?what=hairspray+300+mL;petrol;power+bank+120+Wh;guitar;beer".to_owned(),
            ),
            (
                "/goods/in-the-hold",
                "/goods?what=power+bank+74+Wh&in=hold&approved=on&pack=us".to_owned(),
            ),
            ("/stop/somebody-left-out", format!("/stop/{ready}?people.1.away=on")),
            ("/report/spill", format!("/report/{ready}?event=spill")),
            (
                "/report/injury",
                format!("/report/{ready}?event=injury&at=2026-12-03+13:20&seen=a+hand+was+caught"),
            ),
        ] {
            phone.open(&path).await;
            self.look(phone, name).await;
        }
        for (name, path) in [
            ("/goods/wrong-count", "/goods?what=phone&count=many".to_owned()),
            ("/report/wrong-time", format!("/report/{ready}?event=spill&at=noon")),
        ] {
            phone.open(&path).await;
            self.look_at(phone, name, 422).await;
        }
    }

    /// What cannot be used is said beside its field.
    async fn wrong_fields(&mut self, phone: &Phone) {
        phone.open("/stop/turnarounds/ready?people.2.mass=heavy").await;
        phone.until("section.wrong", "cannot be used").await;
        self.look_at(phone, "/stop/wrong-field", 422).await;
        phone.open("/stop/turnarounds/ready?people.2.mass=210+kg").await;
        phone.until("#figures .moved", "less room").await;
        self.look(phone, "/stop/changed").await;
        phone.open("/yard/record/receive").await;
        for (field, text) in [("label", "NT-90"), ("batch", "B 1"), ("contents", "much")] {
            phone.fill(&format!("main [name='{field}']"), text).await;
        }
        phone.press("main form button:not([name])").await;
        phone.until("main", "it is empty").await;
        self.look_at(phone, "/yard/wrong-field", 422).await;
        phone.open("/document/strips/oumbrel").await;
        phone.fill("#text", "format = 1\nkind = \"strip\"\nname = 3\n").await;
        phone.press("main form button[value='check']").await;
        phone.until("main", "Way out").await;
        self.look_at(phone, "/document/wrong-text", 422).await;
        phone.open("/nothing-here").await;
        self.look_at(phone, "/no-such-page", 404).await;
    }

    /// Answers that no link leads to, or that few demonstrations have.
    async fn searches(&mut self, phone: &Phone) {
        for (path, name) in [
            ("/ways-out/turnarounds/spill", "/ways-out/spill"),
            ("/ways-out/turnarounds/over-mass?people.3.mass=225+lb", "/ways-out/changed"),
            ("/window/turnarounds/last-light", "/window/closed"),
            ("/odds/turnarounds/ready", "/odds/ready"),
            ("/fit/turnarounds/mid-burn?ballast=10+kg&seats-stay=on", "/fit/asked"),
            ("/fit/turnarounds/over-mass?fuel=stay&seats-stay=on", "/fit/conflict"),
            ("/fit/turnarounds/missing", "/fit/missing"),
            ("/park/turnarounds/crowded-apron", "/park/found"),
            ("/park/turnarounds/spill", "/park/none"),
        ] {
            phone.open(path).await;
            self.look(phone, name).await;
        }
        phone.open("/fit/turnarounds/mid-burn?ballast=much").await;
        phone.until("section.wrong", "This cannot be asked").await;
        self.look_at(phone, "/fit/wrong-field", 422).await;
        phone.open("/odds/turnarounds/ready").await;
        phone.press("section[aria-labelledby='known'] summary").await;
        self.look(phone, "/odds/inputs").await;
    }

    /// One sheet, with a picture of each sort of reading and of its end.
    async fn sheet(&mut self, phone: &Phone) {
        const SHEET: &str = "/sheet/turnarounds/ready";
        phone.open(SHEET).await;
        walk::begin(phone).await;
        let (mut sorts, mut later) = (BTreeSet::new(), 0);
        while walk::asked(phone).await {
            let script = "return [...document.querySelectorAll('#task label, #task legend')].map((it) => it.textContent).join()";
            let sort = phone.ask(script).await.as_str().unwrap().to_owned();
            if sorts.insert(sort) {
                self.look(phone, &format!("/sheet/task-{:02}", sorts.len())).await;
            }
            if walk::waits(phone).await {
                later += 90;
                self.asked(phone).await;
                phone.later(later).await;
                phone.open(SHEET).await;
                walk::take_up(phone).await;
            }
            walk::answer(phone).await;
        }
        self.look(phone, "/sheet/end").await;
        phone.press("details.all > summary").await;
        self.look(phone, "/sheet/all-tasks").await;
        phone.press_words("Put the sheet away").await;
        phone.until("#task", "finished").await;
        self.look(phone, "/sheet/put-away").await;
        phone.open("/stop/turnarounds/ready").await;
        phone.press("section[aria-labelledby='record'] details summary").await;
        self.look(phone, "/stop/record").await;
    }

    /// A sheet that is broken off with the pump running, taken up, and stopped.
    async fn interrupted(&mut self, phone: &Phone) {
        const SHEET: &str = "/sheet/turnarounds/over-mass";
        phone.open(SHEET).await;
        walk::begin(phone).await;
        while !phone.question().await.starts_with("pump-off") {
            walk::answer(phone).await;
        }
        phone.open(&format!("{SHEET}?recap=1")).await;
        self.look(phone, "/sheet/recap").await;
        phone.open(SHEET).await;
        phone.fill("#r", "much").await;
        phone.press(&format!("{} button", walk::TASK)).await;
        phone.until("#reading-error", "NOT TAKEN").await;
        self.look_at(phone, "/sheet/not-taken", 422).await;
        phone.open(SHEET).await;
        phone.press("details.also summary").await;
        self.look(phone, "/sheet/also").await;
        phone.press_words("Break off: that puts nothing down").await;
        phone.until("#task", "PUT IT DOWN").await;
        self.look(phone, "/sheet/put-it-down").await;
        while phone.text("#task").await.contains("PUT IT DOWN") {
            walk::put_down(phone).await;
        }
        self.look(phone, "/sheet/broken-off").await;
        phone.press_words("The work goes on").await;
        phone.press("button.stop[value='fire']").await;
        phone.until("#task", "STOP: fire").await;
        self.look(phone, "/sheet/stop").await;
        phone.open("/").await;
        self.look(phone, "/later").await;
    }

    /// A sheet of two roles: the one who works, and the one who has to wait.
    async fn two_roles(&mut self, phone: &Phone) {
        phone.open("/sheet/turnarounds/mid-burn?as=pilot").await;
        walk::begin(phone).await;
        self.look(phone, "/sheet/role").await;
        phone.open("/sheet/turnarounds/mid-burn?as=refueller").await;
        self.look(phone, "/sheet/other-role").await;
    }

    /// The first run, on an empty folder.
    async fn empty(&mut self, phone: &Phone) {
        for path in ["/", "/yard", "/documents", "/begin"] {
            phone.open(path).await;
            self.look(phone, &format!("/empty{path}")).await;
        }
        phone.press_words("Copy it into this folder").await;
        phone.until("h1", "turnarounds/").await;
        self.look(phone, "/empty/first-document").await;
    }

    /// Coming in from the network, refused and let in.
    async fn door(&mut self, phone: &Phone) {
        phone.world().add("Ansa Verrel", "viewer");
        phone.open("/").await;
        phone.until("h1", "Come in").await;
        self.look(phone, "/enter").await;
        phone.fill("#code", "AAAA-AAAA").await;
        phone.press("form:has(#code) button").await;
        phone.until("[role='alert']", "did not let you in").await;
        self.look_at(phone, "/enter/wrong-code", 403).await;
        walk::come_in(phone, "Ansa Verrel", PHRASE).await;
        self.look(phone, "/enter/inside").await;
        phone.open("/sheet/turnarounds/ready").await;
        phone.until(".may", "As viewer you may read.").await;
        self.look(phone, "/enter/may-read").await;
        phone.send_anyway("/sheet/turnarounds/ready", "begin").await;
        phone.until("main", "A viewer may not").await;
        self.look_at(phone, "/enter/may-not", 403).await;
    }
}

/// What sort of page an address leads to, and how many of that sort are enough; `None` for no page.
fn kind(path: &str) -> Option<(String, usize)> {
    let page = routes::page_of(path)?;
    let (place, asked) = path.split_once('?').unwrap_or((path, ""));
    let names: BTreeSet<_> = asked.split('&').filter_map(|pair| pair.split('=').next()).collect();
    // Each verb of the yard has a form of its own.
    if page.contains("{verb}") {
        return Some((place.to_owned(), FORMS));
    }
    let stop = asked.is_empty() && page.starts_with("/stop/");
    Some((format!("{page}?{names:?}"), if stop { STOPS } else { OF_A_KIND }))
}

/// A picture of the whole page, as long as it is. What stays at the foot of the window stands in its
/// place there, or it would lie over the middle.
async fn whole(phone: &Phone) -> Vec<u8> {
    let script =
        "for (const it of document.querySelectorAll('.buttons')) it.style.position = 'static';
        return [document.documentElement.clientWidth, document.documentElement.scrollHeight]";
    let size = phone.ask(script).await;
    let clip = json!({ "x": 0, "y": 0, "width": size[0], "height": size[1], "scale": 1 });
    let asked = json!({ "format": "png", "captureBeyondViewport": true, "clip": clip });
    let told: Value = phone.driver.cdp().send_raw("Page.captureScreenshot", asked).await.unwrap();
    BASE64_STANDARD.decode(told["data"].as_str().unwrap()).unwrap()
}
