//! What holds for every page: its answer, width, access, contrast, what it asks for, its console.

use std::fs;

use serde_json::{Value, json};

use crate::{phone::Phone, world::given};

/// What stands out to the right of the window, or is cut at its own edge, and cannot be scrolled to.
const WIDE: &str = "
    const wide = [];
    const width = arguments[0];
    const root = document.documentElement;
    if (root.scrollWidth > width) wide.push('the page is ' + root.scrollWidth + ' wide');
    const scrolls = (it) => ['auto', 'scroll'].includes(getComputedStyle(it).overflowX);
    const name = (it) => it.tagName.toLowerCase() + (it.id ? '#' + it.id : '')
        + (it.className && it.className.baseVal === undefined ? '.' + it.className : '')
        + ' \"' + it.textContent.trim().slice(0, 30) + '\"';
    for (const it of document.body.querySelectorAll('*')) {
        const box = it.getBoundingClientRect();
        if (!box.width || !box.height || it.closest('.skip')) continue;
        let inside = false;
        for (let up = it.parentElement; up; up = up.parentElement) inside = inside || scrolls(up);
        if (box.right > width + 1 && !inside) wide.push(name(it) + ' ends at ' + Math.round(box.right));
        const look = getComputedStyle(it);
        const cut = !it.closest('svg') && look.overflowX !== 'visible' && !scrolls(it)
            && !it.matches('input, select') && it.scrollWidth > it.clientWidth + 1;
        if (cut) wide.push(name(it) + ' is cut');
    }
    return wide;";

/// Runs the accessibility engine; targets must be large.
const JUDGE: &str = "
    const done = arguments[arguments.length - 1];
    const rules = { 'target-size': { enabled: true } };
    axe.run(document, { rules, resultTypes: ['violations'] }).then((found) => done({
        passes: found.passes.length,
        violations: found.violations.map((one) => one.id + ' (' + one.impact + '): ' + one.help
            + one.nodes.slice(0, 4).map((node) => '\\n    ' + node.target + ': ' + node.failureSummary.replace(/\\s+/g, ' ')).join('')),
    }), (fault) => done({ fault: String(fault) }));";

/// Contrast of every word that shows with what lies behind it, from the colours that the browser
/// computed: (L1 + 0.05) / (L2 + 0.05) of relative luminances, WCAG 2.2, definitions `contrast
/// ratio` and `relative luminance` (from memory). What lies over a picture is not measured.
const CONTRAST: &str = "
    const least = arguments[0];
    const parse = (text) => {
        const found = text.match(/^rgba?\\(([^)]*)\\)$/);
        if (!found) throw new Error('a colour that is not read: ' + text);
        const [r, g, b, a] = found[1].split(/[ ,\\/]+/).map(Number);
        return { r, g, b, a: a === undefined ? 1 : a };
    };
    const over = (top, below) => {
        const mix = (of) => top[of] * top.a + below[of] * (1 - top.a);
        return { r: mix('r'), g: mix('g'), b: mix('b'), a: 1 };
    };
    const luminance = ({ r, g, b }) => {
        const linear = [r, g, b].map((of) => of / 255).map((of) => of <= 0.04045 ? of / 12.92 : ((of + 0.055) / 1.055) ** 2.4);
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2];
    };
    const behind = (it) => {
        const layers = [];
        for (let up = it; up; up = up.parentElement) {
            const colour = parse(getComputedStyle(up).backgroundColor);
            if (colour.a > 0) layers.push(colour);
            if (colour.a === 1) break;
        }
        return layers.reverse().reduce((below, top) => over(top, below), { r: 255, g: 255, b: 255, a: 1 });
    };
    const faint = [];
    let measured = 0, worst = 21;
    const measure = (it, words) => {
        const look = getComputedStyle(it);
        const box = it.getBoundingClientRect();
        if (!box.width || !box.height || look.visibility !== 'visible' || it.closest('svg, .skip')) return;
        let seen = 1;
        for (let up = it; up; up = up.parentElement) seen *= Number(getComputedStyle(up).opacity);
        const below = behind(it);
        const ink = parse(look.color);
        const [a, b] = [luminance(over({ ...ink, a: ink.a * seen }, below)), luminance(below)];
        const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
        measured += 1;
        worst = Math.min(worst, ratio);
        if (ratio < least) faint.push('contrast ' + ratio.toFixed(2) + ' of \"' + words.slice(0, 40) + '\"');
    };
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
        const words = walker.currentNode.textContent.trim();
        if (words) measure(walker.currentNode.parentElement, words);
    }
    for (const field of document.querySelectorAll('input:not([type=hidden]), select, textarea')) measure(field, field.id || field.name);
    return { faint, measured, worst };";

/// Smallest of what a thumb presses on the run sheet. \[CSS pixels\]
const SMALL: &str = "
    const small = [];
    for (const it of document.querySelectorAll('#sheet button, #sheet summary, #sheet a.button, #sheet input:not([type=hidden]), #sheet select')) {
        const box = it.getBoundingClientRect();
        if (box.height && box.height < 44) small.push((it.id || it.textContent) + ' is ' + Math.round(box.height) + ' high');
    }
    return small;";

/// Least contrast on the run sheet, which is read in the sun: 7:1, WCAG 2.2, 1.4.6 (from memory).
/// Elsewhere the engine holds the pages to 4.5:1.
pub(crate) const SUNLIGHT: f64 = 7.0;

/// Everything wrong with the page that is open, which was to answer with this status.
pub(crate) async fn page(phone: &Phone, status: u16) -> Vec<String> {
    let mut wrong = answered(phone, status).await;
    wrong.extend(wide(phone).await);
    wrong.extend(access(phone).await);
    if phone.count("#sheet").await > 0 {
        wrong.extend(texts(&phone.ask(SMALL).await));
        wrong.extend(faint(phone, SUNLIGHT).await.0);
    }
    wrong.extend(console(phone, status).await);
    wrong
}

fn texts(value: &Value) -> Vec<String> {
    let rows = value.as_array().unwrap_or_else(|| panic!("{value}"));
    rows.iter().map(|row| row.as_str().unwrap().to_owned()).collect()
}

async fn answered(phone: &Phone, status: u16) -> Vec<String> {
    let script = "return performance.getEntriesByType('navigation')[0].responseStatus";
    let found = phone.ask(script).await;
    if found == status { Vec::new() } else { vec![format!("the answer is {found}, not {status}")] }
}

async fn wide(phone: &Phone) -> Vec<String> {
    let (width, _) = phone.size.pixels();
    let found = phone.driver.execute(WIDE, vec![json!(width)]).await.unwrap();
    texts(found.json())
}

async fn access(phone: &Phone) -> Vec<String> {
    let engine = fs::read_to_string(given("STILLPROP_AXE")).unwrap();
    phone.driver.execute(engine, Vec::new()).await.unwrap();
    let found = phone.driver.execute_async(JUDGE, Vec::new()).await.unwrap();
    let found = found.json();
    assert!(found["fault"].is_null(), "the engine failed: {found}");
    // An engine that found nothing to look at has not judged anything.
    assert!(found["passes"].as_u64().unwrap() >= 10, "{found}");
    texts(&found["violations"])
}

/// Words with less contrast than `least`, and the worst contrast of all.
pub(crate) async fn faint(phone: &Phone, least: f64) -> (Vec<String>, f64) {
    let found = phone.driver.execute(CONTRAST, vec![json!(least)]).await.unwrap();
    let found = found.json();
    assert!(found["measured"].as_u64().unwrap() >= 10, "hardly a word was measured: {found}");
    (texts(&found["faint"]), found["worst"].as_f64().unwrap())
}

/// Warnings and errors of the console since the last time; among them what the policy refused.
pub(crate) async fn console(phone: &Phone, status: u16) -> Vec<String> {
    let entries = phone.driver.browser_log().await.unwrap();
    let bad =
        entries.into_iter().filter(|entry| matches!(entry.level.as_str(), "SEVERE" | "WARNING"));
    // The page that says what is wrong answers so, and a console notes that.
    let meant = format!("status of {status}");
    let bad = bad.filter(|entry| status < 400 || !entry.message.contains(&meant));
    bad.map(|entry| format!("console: {} {}", entry.level, entry.message)).collect()
}

/// Every address that the browser asked for since the last time, whatever asked.
pub(crate) async fn requests(phone: &Phone) -> Vec<String> {
    let entries = phone.driver.get_log("performance").await.unwrap();
    let mut asked = Vec::new();
    for entry in entries {
        let told: Value = serde_json::from_str(&entry.message).unwrap();
        let message = &told["message"];
        if message["method"] == "Network.requestWillBeSent" {
            asked.push(message["params"]["request"]["url"].as_str().unwrap().to_owned());
        }
    }
    asked
}
