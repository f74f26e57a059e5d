//! Every address that the program answers, read from its table of routes, so that a page that nobody
//! visits is noticed.

use std::collections::BTreeSet;

const TABLE: &str = include_str!("../../../crates/app/src/serve/routes.rs");
const GUARD: &str = include_str!("../../../crates/app/src/serve/access/mod.rs");
const ENTER: &str = include_str!("../../../crates/app/src/serve/access/enter.rs");

/// What can be asked for and is no page: parts for scripts, files.
const NO_PAGES: [&str; 8] = [
    "/part/stop/{*name}",
    "/part/sheet/{*name}",
    "/version/sheet/{*name}",
    "/export/{*name}",
    "/print/{kind}/{*name}",
    "/calendar",
    "/calendar/{*name}",
    "/web/{file}",
];

/// The addresses of pages, as the router has them.
pub(crate) fn pages() -> BTreeSet<String> {
    let all = routes();
    for known in NO_PAGES {
        assert!(all.contains(known), "{known} is no route any more: take it from the list");
    }
    all.into_iter().filter(|route| !NO_PAGES.contains(&route.as_str())).collect()
}

/// Every address that can be asked for.
fn routes() -> BTreeSet<String> {
    let table = TABLE.split("#[cfg(test)]").next().unwrap();
    let rows = table.split(".route(").skip(1);
    let mut all: BTreeSet<String> = rows.filter_map(row).collect();
    // The way in and the way out stand with the guard, by the names of their constants.
    assert_eq!(GUARD.matches(".route(").count(), 2, "the guard has another route: add it here");
    assert!(GUARD.contains(".route(enter::IN, routing::get("));
    let (_, rest) = ENTER.split_once("const IN: &str = \"").unwrap();
    all.insert(rest.split('"').next().unwrap().to_owned());
    assert!(all.len() > 10, "{all:?}");
    all
}

/// `"/yard", get(...)`: the address, when it can be asked for.
fn row(row: &str) -> Option<String> {
    let (address, methods) = row
        .trim_start()
        .strip_prefix('"')
        .and_then(|rest| rest.split_once('"'))
        .unwrap_or_else(|| panic!("a route that cannot be read: {row:.80}"));
    let methods = methods.trim_start_matches([',', ' ', '\n']);
    assert!(methods.starts_with("get(") || methods.starts_with("post("), "{row:.80}");
    methods.starts_with("get(").then(|| address.to_owned())
}

/// The page that an address leads to; `None` when there is no such page.
pub(crate) fn page_of(path: &str) -> Option<String> {
    let place = path.split(['?', '#']).next().unwrap_or_default();
    pages().into_iter().find(|route| fits(route, place))
}

fn fits(route: &str, place: &str) -> bool {
    let (mut route, mut place) = (route.split('/'), place.split('/'));
    loop {
        match (route.next(), place.next()) {
            (None, None) => return true,
            (Some(part), Some(_)) if part.starts_with("{*") => return true,
            (Some(part), Some(found)) if part.starts_with('{') && !found.is_empty() => {}
            (Some(part), Some(found)) if part == found => {}
            _ => return false,
        }
    }
}

#[test]
fn an_address_leads_to_its_page_and_to_no_other() {
    for (path, page) in [
        ("/", Some("/")),
        ("/stop/turnarounds/ready?why=a", Some("/stop/{*name}")),
        ("/yard", Some("/yard")),
        ("/yard/record/stand?drum=1", Some("/yard/record/{verb}")),
        ("/enter?to=/", Some("/enter")),
        ("/nothing-here", None),
        ("/part/stop/turnarounds/ready", None),
        ("/drum/", None),
    ] {
        assert_eq!(page_of(path).as_deref(), page, "{path}");
    }
}
