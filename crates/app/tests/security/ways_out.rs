//! No name and no path leads out of the folder of documents.

use std::fs;

use crate::{
    client::{Answer, encoded},
    kept::{kept, unchanged},
    program::{Folder, PILOT, Server},
};

#[test]
fn no_path_leads_to_a_file() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let inside = server.come_in(PILOT);
    for path in [
        "/../../../../etc/passwd",
        "/web/../../etc/passwd",
        "/web/..%2f..%2fetc/passwd",
        "/web/%2e%2e/%2e%2e/etc/passwd",
        "/web/..%5c..%5cetc%5cpasswd",
        "/%00",
        "/web/%2e%2e%00.css",
        "/yard.ledger.access",
        "/web/yard.ledger.access",
        "/export/..%2fyard.ledger.access",
        "//etc/passwd",
    ] {
        for headers in [&[inside.header()][..], &[]] {
            let answer = server.get(path, headers);
            let strange = ["..", "%2e%2e", "%2f", "%5c", "%00"].iter().any(|it| path.contains(it));
            let wanted = if strange { &[400][..] } else { &[303, 404] };
            assert!(wanted.contains(&answer.status), "{path}: {}", answer.head);
            assert!(!answer.body.contains("root:") && !answer.body.contains("SQLite"), "{path}");
        }
    }
}

/// What lies outside says this; no answer may.
const SECRET: &str = "outside-of-all-folders";

/// A folder inside of another, with something worth reading outside; and links that lead there.
fn beside(folder: &Folder) {
    let outside = folder.path("outside");
    fs::create_dir_all(&outside).unwrap();
    let strip = fs::read_to_string(folder.path("inside/strips/nessow-top.toml")).unwrap();
    fs::write(outside.join("secret.toml"), strip.replace("Nessow Top", SECRET)).unwrap();
    fs::write(outside.join("plain.toml"), format!("x = \"{SECRET}\"\n")).unwrap();
    #[cfg(unix)]
    {
        use std::os::unix::fs::symlink;
        symlink(outside.join("plain.toml"), folder.path("inside/link.toml")).unwrap();
        symlink(outside.join("secret.toml"), folder.path("inside/strips/link.toml")).unwrap();
        symlink(&outside, folder.path("inside/linked")).unwrap();
        // Where the text of before is to be kept, and where a new one is written first.
        symlink(outside.join("plain.toml"), folder.path("inside/strips/oumbrel.toml.before"))
            .unwrap();
        symlink(outside.join("plain.toml"), folder.path("inside/strips/oumbrel.toml.new")).unwrap();
    }
}

/// Ways of writing a name that leads out.
const NAMES: [&str; 26] = [
    "..",
    "../outside/secret",
    "strips/../../outside/secret",
    "%2e%2e/outside/secret",
    "..%2foutside%2fsecret",
    "%2e%2e%2foutside%2fsecret",
    "..%5coutside%5csecret",
    "%252e%252e%252foutside%252fsecret",
    "%25252e%25252e/outside/secret",
    "..;/outside/secret",
    ".../outside/secret",
    "..%00/outside/secret",
    "strips/nessow-top%00",
    "%c0%ae%c0%ae/outside/secret",
    "%e0%80%ae%e0%80%ae/outside/secret",
    "/etc/passwd",
    "//etc/passwd",
    "%2fetc%2fpasswd",
    "file:///etc/passwd",
    "C:%5cWindows%5cwin.ini",
    "~/secret",
    "link",
    "strips/link",
    "linked/secret",
    "linked/plain",
    "..\u{2215}outside\u{2215}secret",
];

#[test]
fn no_name_in_any_address_form_or_document_leads_out_of_the_folder() {
    let folder = Folder::new();
    let inside = folder.path("inside");
    let place = inside.to_string_lossy().into_owned();
    let demo = ["demo", "--serve", "--folder", &place, "--by", PILOT];
    Server::start(&folder, &demo).kill();
    beside(&folder);
    let server = Server::start(&folder, &demo);
    let before = kept(&folder);
    let mut tried = 0;
    let mut refused = |what: &str, answer: Answer, statuses: &[u16]| {
        assert!(statuses.contains(&answer.status), "{what}: {}\n{}", answer.head, answer.body);
        for part in [SECRET, "root:x", "[fonts]"] {
            assert!(!answer.body.contains(part), "{what}");
        }
        tried += 1;
    };
    for name in NAMES {
        let plain: String = name
            .chars()
            .map(|c| if c.is_ascii() { c.to_string() } else { encoded(&c.to_string()) })
            .collect();
        for route in [
            "/stop/",
            "/part/stop/",
            "/sheet/",
            "/part/sheet/",
            "/document/",
            "/export/",
            "/drum/",
            "/web/",
            "/yard/record/",
            "/api/stop/",
            "/api/why/",
            "/api/ground/",
            "/api/sheet/",
            "/api/drum/",
            "/api/pack/",
            "/",
        ] {
            let path = format!("{route}{plain}");
            refused(&path, server.get(&path, &[]), &[400, 404, 422]);
        }
        for path in [
            format!("/yard/batch?name={plain}"),
            format!("/stop/turnarounds/ready?why={plain}"),
            format!("/api/batch?name={plain}"),
            format!("/print/load/{plain}.pdf"),
            format!("/print/tags/{plain}.pdf"),
            format!("/print/register/{plain}.pdf"),
            format!("/papers?stop={plain}"),
            format!("/api/why/turnarounds/ready?limit={plain}"),
        ] {
            refused(&path, server.get(&path, &[]), &[400, 404, 422]);
        }
        // Packs are files where their name says so.
        for end in ["", ".toml"] {
            let path = format!("/yard?pack={plain}{end}");
            refused(&path, server.get(&path, &[]), &[400, 404, 422]);
        }
        for route in ["/save/stop/", "/sheet/", "/document/"] {
            let path = format!("{route}{plain}");
            let fields = [("do", "save"), ("text", "x"), ("before", "")];
            refused(&path, server.fill(&path, &fields, &[]), &[400, 404, 422]);
        }
        let strip = fs::read_to_string(inside.join("strips/taskel-bend.toml")).unwrap();
        for name in [name, &format!("linked/{name}"), &format!("linked/new/{name}")] {
            let fields = [("name", name), ("text", strip.as_str())];
            let answer = server.fill("/documents", &fields, &[]);
            refused(&format!("bring in {name}"), answer, &[404, 422]);
        }
        refused(name, server.fill("/begin", &[("aircraft", name)], &[]), &[404, 422]);
    }
    // A document names others; none of them outside.
    let stop = fs::read_to_string(inside.join("turnarounds/ready.toml")).unwrap();
    let absolute = folder.path("outside/secret.toml").to_string_lossy().into_owned();
    for name in [
        "../../outside/secret.toml",
        absolute.as_str(),
        "../link.toml",
        "../strips/link.toml",
        "../linked/secret.toml",
        "/etc/passwd",
    ] {
        for named in
            ["../strips/nessow-top.toml", "../aircraft/comfrey-six.toml", "demo-operator+au"]
        {
            let text = stop.replacen(named, name, 1);
            let fields = [("do", "check"), ("text", text.as_str()), ("before", "")];
            let answer = server.fill("/document/turnarounds/ready", &fields, &[]);
            // The text area shows what was typed, name and all; what lies behind it is not shown.
            refused(name, answer, &[422]);
        }
    }
    assert!(tried > 700, "{tried}");
    unchanged(&folder, &before, "a way out");
    // Saving writes through no link that lies where it writes.
    let strip = fs::read_to_string(inside.join("strips/oumbrel.toml")).unwrap();
    let text = format!("{strip}# changed\n");
    let fields = [("do", "save"), ("text", text.as_str()), ("before", strip.as_str())];
    server.fill("/document/strips/oumbrel", &fields, &[]).is(303);
    assert_eq!(fs::read_to_string(inside.join("strips/oumbrel.toml.before-2")).unwrap(), strip);
    let plain = fs::read_to_string(folder.path("outside/plain.toml")).unwrap();
    assert!(plain.contains(SECRET), "{plain}");
}
