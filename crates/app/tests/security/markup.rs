//! Hostile text in every text of every document, every record and every field of a form: it comes
//! out as text, and as nothing else.
//!
//! Each text of each document is replaced, one at a time, and every page that shows the document
//! is read as a browser reads it (see `judge`). Then all that can be replaced at the same time
//! without breaking the documents is, with texts that a generator makes of the pieces that break
//! out of text, attributes, pictures, styles and scripts.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
};

use proptest::{
    prelude::*,
    strategy::ValueTree as _,
    test_runner::{Config, RngAlgorithm, TestRng, TestRunner},
};

use crate::{
    client::encoded,
    fields::Fields,
    judge::{judged, plain},
    program::{Folder, Server},
};

/// No word of ours holds it.
pub(crate) const MARK: &str = "zq";

/// Breaks out of text, of an attribute with or without quotes, of a title, a text area, a picture,
/// a comment and a style, where nothing is escaped; escapes what is escaped already; turns the
/// direction of the words beside it.
pub(crate) const EVIL: &str = "zq\"'><script>boo()</script><svg onload=boo()><img src=x onerror=boo()>` \
    onfocus=boo() </textarea></title></style></desc></svg><!-- --> ]]> <![CDATA[x]]> \
    &lt;b&gt;&amp;&#60;&quot; javascript:boo() url(//a.example) ;}*{x:y} {{7*7}} \
    <form method=\"post\" action=\"//a.example\"> \u{202e}\u{2066}end";

/// What a generator makes hostile texts of.
const PIECES: [&str; 40] = [
    "<",
    ">",
    "\"",
    "'",
    "`",
    "&",
    "=",
    "/",
    "\\",
    " ",
    "]]>",
    "<!--",
    "-->",
    "--!>",
    "</",
    "<script>boo()</script>",
    "<SCRIPT/src=//a.example>",
    "<svg/onload=boo()>",
    "</svg>",
    "</title>",
    "</textarea>",
    "</style>",
    "</desc><script>",
    "<![CDATA[",
    "<?xml ?>",
    "<img src=x onerror=boo()>",
    "\" onmouseover=\"boo()\" x=\"",
    "' onfocus='boo()' autofocus='",
    "javascript:boo()",
    "data:text/html,<b>",
    "//a.example/",
    "url(#a);fill:url(//a.example)",
    "}*{background:red}",
    "&lt;script&gt;",
    "&#x3c;b&#62;",
    "&quot;&apos;&nbsp",
    "\u{202e}",
    "\u{2066}\u{200f}",
    "\0",
    "\u{1}\u{7f}\u{9b}\r\n\t\u{feff}\u{ffff}",
];

/// Texts of these pieces, and of any signs; now and then very long.
pub(crate) fn hostile() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        8 => prop::sample::select(PIECES.to_vec()).prop_map(str::to_owned),
        1 => any::<String>(),
        1 => prop::sample::select(vec!["<", "\"", "w", "W ", "\u{202e}"]).prop_map(|it| it.repeat(900)),
    ];
    prop::collection::vec(piece, 1..7).prop_map(|pieces| pieces.concat())
}

/// What is searched for at a stop.
const SEARCHES: [&str; 5] = ["ways-out", "window", "fit", "odds", "park"];

/// The documents, each with a stop that shows it.
const DOCUMENTS: [(&str, &str); 14] = [
    ("turnarounds/ready", "turnarounds/ready"),
    ("turnarounds/hand-start", "turnarounds/hand-start"),
    ("turnarounds/spill", "turnarounds/spill"),
    ("turnarounds/crowded-apron", "turnarounds/crowded-apron"),
    ("turnarounds/last-light", "turnarounds/last-light"),
    ("turnarounds/mid-burn", "turnarounds/mid-burn"),
    ("turnarounds/missing", "turnarounds/missing"),
    ("turnarounds/over-mass", "turnarounds/over-mass"),
    ("aircraft/comfrey-six", "turnarounds/ready"),
    ("aircraft/fennel-four", "turnarounds/crowded-apron"),
    ("aircraft/tansy-two", "turnarounds/hand-start"),
    ("strips/nessow-top", "turnarounds/ready"),
    ("strips/oumbrel", "turnarounds/spill"),
    ("strips/taskel-bend", "turnarounds/hand-start"),
];

/// The demonstration with what its documents said at first.
struct Shelf {
    folder: Folder,
    server: Server,
    documents: BTreeMap<String, Fields>,
}

impl Shelf {
    fn new(names: impl Iterator<Item = String>) -> Self {
        let folder = Folder::new();
        let server = Server::demo(&folder);
        let mut shelf = Self { folder, server, documents: BTreeMap::new() };
        for name in names {
            let text = fs::read_to_string(shelf.path(&name)).unwrap();
            shelf.documents.insert(name, Fields::of(&text));
        }
        shelf
    }

    fn path(&self, name: &str) -> std::path::PathBuf {
        self.folder.path(&format!("{name}.toml"))
    }

    /// Puts these texts into the documents, and leaves all others as they were.
    fn put(&self, texts: &BTreeMap<(String, usize), String>) {
        let mut own: BTreeMap<&str, BTreeMap<usize, String>> = BTreeMap::new();
        for ((name, place), text) in texts {
            own.entry(name).or_default().insert(*place, text.clone());
        }
        for (name, fields) in &self.documents {
            let text = fields.with(own.get(name.as_str()).unwrap_or(&BTreeMap::new()));
            if fs::read_to_string(self.path(name)).unwrap() != text {
                fs::write(self.path(name), text).unwrap();
            }
        }
    }

    /// Looks at a page; gives its texts outside of text areas, and whether it was found.
    fn look(&self, what: &str, path: &str) -> (Vec<String>, bool) {
        let answer = self.server.get(path, &[]);
        assert!([200, 404, 422].contains(&answer.status), "{what} {path}: {}", answer.head);
        let seen = judged(&format!("{what} {path}"), &answer.body);
        (seen.texts, answer.status == 200)
    }
}

/// What came of trying.
#[derive(Debug, Default)]
struct Tally {
    /// Texts that were replaced.
    tried: usize,
    /// Of those, how many came out on a page, outside of the text of the document.
    shown: usize,
    /// Of those, how many came out whole.
    whole: usize,
    /// Places that can be replaced without breaking the documents.
    free: BTreeSet<(String, usize)>,
}

impl Tally {
    fn add(&mut self, texts: &[String]) {
        let evil = plain(EVIL);
        let mut shown = texts.iter().filter(|text| text.contains(MARK)).peekable();
        self.tried += 1;
        self.shown += usize::from(shown.peek().is_some());
        self.whole += usize::from(shown.any(|text| plain(text).contains(&evil)));
    }
}

impl Tally {
    #[track_caller]
    fn is_at_least(&self, what: &str, groups: usize, least: [usize; 4]) {
        let found = [self.tried, self.shown, self.whole, self.free.len() + groups];
        println!("{what}: tried, shown, whole, replaced at once: {found:?}");
        assert!(found.iter().zip(least).all(|(found, least)| *found >= least), "{found:?}");
    }
}

/// Replaces each text of a document.
fn one_at_a_time(shelf: &Shelf, name: &str, stop: Option<&str>, tally: &mut Tally) {
    let fields = &shelf.documents[name];
    for (place, field) in fields.all.iter().enumerate() {
        let key = (name.to_owned(), place);
        shelf.put(&[(key.clone(), EVIL.to_owned())].into());
        let what = format!("{name}{}", field.at);
        let mut texts = Vec::new();
        let mut good = true;
        let document = format!("/document/{name}");
        let stops = stop.map(|stop| [format!("/stop/{stop}"), format!("/sheet/{stop}")]);
        for path in stops.into_iter().flatten().chain([document]) {
            let (more, found) = shelf.look(&what, &path);
            good &= found && !more.iter().any(|text| text == "What is wrong");
            texts.extend(more);
        }
        tally.add(&texts);
        if good {
            tally.free.insert(key);
        }
    }
    shelf.put(&BTreeMap::new());
}

/// Names that documents use of each other's: each is replaced wherever it stands.
fn names(shelf: &Shelf, stop: &str, tally: &mut Tally) -> Vec<Vec<(String, usize)>> {
    let mut same: BTreeMap<&str, Vec<(String, usize)>> = BTreeMap::new();
    for (name, fields) in &shelf.documents {
        for (place, field) in fields.all.iter().enumerate() {
            let key = (name.clone(), place);
            if !tally.free.contains(&key) {
                same.entry(&field.text).or_default().push(key);
            }
        }
    }
    let mut groups = Vec::new();
    for group in same.into_values().filter(|group| group.len() > 1) {
        shelf.put(&group.iter().map(|key| (key.clone(), EVIL.to_owned())).collect());
        let (texts, found) = shelf.look("names", &format!("/stop/{stop}"));
        if found {
            tally.add(&texts);
            groups.push(group);
        }
    }
    shelf.put(&BTreeMap::new());
    groups
}

/// Everything that can be, is replaced, by texts of the generator; every page is looked at.
fn all_at_once(
    shelf: &Shelf,
    stop: &str,
    (tally, groups): (&Tally, &[Vec<(String, usize)>]),
    cases: u32,
    least: usize,
) {
    // The same texts each time: what fails here fails again.
    let mut runner = TestRunner::new_with_rng(
        Config::default(),
        TestRng::deterministic_rng(RngAlgorithm::ChaCha),
    );
    for case in 0..cases {
        let mut text = |number: usize| {
            let made = hostile().new_tree(&mut runner).unwrap().current();
            // Names must differ; and what is not a word at all is not a name.
            format!("{MARK}{number}q{made}.")
        };
        let alone = tally.free.iter().map(|key| vec![key.clone()]);
        let all: Vec<_> = alone.chain(groups.iter().cloned()).collect();
        let mut texts = BTreeMap::new();
        for (number, group) in all.iter().enumerate() {
            let text = text(number);
            texts.extend(group.iter().map(|key| (key.clone(), text.clone())));
        }
        shelf.put(&texts);
        let what = format!("{stop}, case {case}");
        let page = format!("/stop/{stop}");
        let answer = shelf.server.get(&page, &[]).is(200);
        let mut paths: Vec<String> = links(&answer.body).into_iter().collect();
        // Every working in the first case, some of them in each of the others.
        let some = |path: &str| path.len() % 3 == case as usize % 3;
        paths.retain(|path| case == 0 || !path.contains("?why=") || some(path));
        paths.extend([
            page,
            "/".into(),
            format!("/sheet/{stop}"),
            format!("/sheet/{stop}?recap=1"),
        ]);
        // Every search, once: they take their time.
        if case == 0 {
            paths.extend(SEARCHES.iter().map(|ask| format!("/{ask}/{stop}")));
            paths.push(format!("/fit/{stop}?keep={}", encoded(EVIL)));
        }
        let mut marks = BTreeSet::new();
        let other =
            |path: &&String| ["/web/", "/api/", "/export/"].iter().any(|it| path.starts_with(it));
        for path in paths.iter().filter(|path| !other(path)) {
            let (texts, _) = shelf.look(&what, path);
            let numbers = texts.iter().flat_map(|text| text.split(MARK).skip(1));
            marks.extend(numbers.filter_map(|rest| rest.split('q').next()?.parse::<usize>().ok()));
        }
        println!("{what}: {} of {} shown", marks.len(), all.len());
        assert!(case > 0 || marks.len() >= least, "{what}: {} of {} shown", marks.len(), all.len());
        for path in ["/api/stops".to_owned(), format!("/api/stop/{stop}")] {
            let answer = shelf.server.get(&path, &[]).is(200);
            assert_eq!(answer.header("content-type"), "application/json");
            serde_json::from_str::<serde_json::Value>(&answer.body).unwrap();
        }
    }
    shelf.put(&BTreeMap::new());
}

/// Addresses that a page leads to.
pub(crate) fn links(body: &str) -> BTreeSet<String> {
    let after = body.split("href=\"").skip(1).filter_map(|rest| rest.split('"').next());
    after.filter(|to| to.starts_with('/')).map(|to| to.replace("&amp;", "&")).collect()
}

/// One stop with all its documents.
#[track_caller]
fn stop(stop: &str, others: &[&str], least: [usize; 4]) {
    let own = DOCUMENTS.iter().filter(|(name, shown)| *shown == stop || others.contains(name));
    let shelf = Shelf::new(own.map(|(name, _)| (*name).to_owned()));
    let mut tally = Tally::default();
    for (name, _) in DOCUMENTS.iter().filter(|(_, shown)| *shown == stop) {
        one_at_a_time(&shelf, name, Some(stop), &mut tally);
    }
    let groups = names(&shelf, stop, &mut tally);
    tally.is_at_least(stop, groups.len(), least);
    let half = (tally.free.len() + groups.len()) / 2;
    // Units and kinds of things are no text of a page by themselves; names are.
    all_at_once(&shelf, stop, (&tally, &groups), 3, half);
}

#[test]
fn hostile_text_in_every_text_of_a_stop_from_drums_is_text() {
    stop("turnarounds/ready", &["strips/oumbrel", "strips/taskel-bend"], [400, 380, 370, 60]);
}

#[test]
fn hostile_text_in_every_text_of_a_start_by_hand_is_text() {
    stop("turnarounds/hand-start", &["strips/oumbrel"], [250, 240, 230, 35]);
}

#[test]
fn hostile_text_in_every_text_of_a_crowded_apron_is_text() {
    stop(
        "turnarounds/crowded-apron",
        &["strips/taskel-bend", "strips/oumbrel"],
        [270, 250, 245, 35],
    );
}

#[test]
fn hostile_text_in_every_text_of_a_stop_beside_a_spill_is_text() {
    stop("turnarounds/spill", &["aircraft/comfrey-six", "strips/taskel-bend"], [110, 108, 105, 24]);
}

#[test]
fn hostile_text_in_every_text_of_the_other_stops_is_text() {
    let names =
        ["last-light", "mid-burn", "missing", "over-mass"].map(|it| format!("turnarounds/{it}"));
    let shelf = Shelf::new(names.iter().cloned());
    let mut tally = Tally::default();
    for name in &names {
        one_at_a_time(&shelf, name, Some(name), &mut tally);
    }
    tally.is_at_least("the other stops", 0, [250, 250, 240, 30]);
}

/// Packs of one's own: the built-in ones as files of the folder, and a stop that goes by them.
#[track_caller]
fn packs(ids: &[&str], rules: &str, least: [usize; 4], marks: usize) {
    let shelf = Shelf::new(std::iter::empty());
    let mut own = shelf.documents.clone();
    for id in ids {
        let built_in = format!("{}/../../packs/{id}/pack.toml", env!("CARGO_MANIFEST_DIR"));
        let text = fs::read_to_string(built_in).unwrap();
        let name = format!("packs/{id}");
        fs::create_dir_all(shelf.folder.path("packs")).unwrap();
        fs::write(shelf.path(&name), &text).unwrap();
        own.insert(name, Fields::of(&text));
    }
    let stop = shelf.path("turnarounds/ready");
    let text = fs::read_to_string(&stop).unwrap();
    fs::write(&stop, text.replace("\"demo-operator+au\"", &format!("\"{rules}\""))).unwrap();
    let shelf = Shelf { documents: own, ..shelf };
    let mut tally = Tally::default();
    for id in ids {
        one_at_a_time(&shelf, &format!("packs/{id}"), None, &mut tally);
    }
    tally.is_at_least(rules, 0, least);
    all_at_once(&shelf, "turnarounds/ready", (&tally, &[]), 2, marks);
}

#[test]
fn hostile_text_in_every_text_of_the_packs_of_the_demonstration_is_text() {
    packs(
        &["demo-operator", "au"],
        "packs/demo-operator.toml+packs/au.toml",
        [1090, 770, 770, 315],
        20,
    );
}

#[test]
fn hostile_text_in_every_text_of_the_other_packs_is_text() {
    packs(&["nz", "uk", "us"], "packs/nz.toml", [1330, 925, 925, 400], 20);
}
