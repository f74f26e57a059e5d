//! A page as somebody may use it: forms, buttons and ways to forms that their role may not use
//! are taken out, and a line says what the role may do.
//!
//! One place does this for every page, so that no page can forget it. It is a courtesy: what is
//! sent all the same is refused by the guard.
//!
//! The page is ours, and what others wrote in it is escaped: there it cannot open a form.

use super::{
    enter,
    roles::{Deed, Role, TABLE},
};

/// What is taken out where its address is a deed that is not allowed: how it begins, the
/// attribute with the address, and how it ends.
const PARTS: [(&str, &str, &str); 3] = [
    ("<form ", " action=\"", "</form>"),
    ("<button ", " formaction=\"", "</button>"),
    ("<a ", " href=\"", "</a>"),
];

/// Ways to a page that holds a form and nothing else.
const FORMS: &str = "/yard/record/";

/// The page without what this role may not use.
pub(super) fn only(page: &str, role: Role) -> String {
    if Deed::ALL.iter().all(|deed| role.may(*deed)) {
        return page.to_owned();
    }
    let (mut kept, mut less) = (page.to_owned(), false);
    for part in PARTS {
        let (without, taken) = without(&kept, role, part);
        kept = without;
        less |= taken;
    }
    let Some(at) = kept.find("<main ").and_then(|at| Some(at + kept[at..].find('>')? + 1)) else {
        return kept;
    };
    if less {
        kept.insert_str(at, &format!("<p class=\"may\">{}</p>", words(role)));
    }
    kept
}

/// What a role may do, in a line.
fn words(role: Role) -> String {
    let may: Vec<&str> =
        TABLE.iter().filter(|(_, _, roles)| roles.contains(&role)).map(|row| row.1).collect();
    format!("As {role} you may {}. What you may not do is not shown here.", may.join(", "))
}

fn without(page: &str, role: Role, (begin, address, end): (&str, &str, &str)) -> (String, bool) {
    let (mut kept, mut taken) = (String::with_capacity(page.len()), false);
    let mut rest = page;
    while let Some(at) = rest.find(begin) {
        let (before, from) = rest.split_at(at);
        kept.push_str(before);
        let head = &from[..from.find('>').map_or(from.len(), |end| end + 1)];
        let whole = from.find(end).map_or(from.len(), |at| at + end.len());
        if asks(head, begin, address).is_some_and(|deed| !role.may(deed)) {
            taken = true;
            rest = &from[whole..];
        } else {
            kept.push_str(head);
            rest = &from[head.len()..];
        }
    }
    kept.push_str(rest);
    (kept, taken)
}

/// The deed that an element asks for; `None` when it is for everybody.
fn asks(head: &str, begin: &str, address: &str) -> Option<Deed> {
    let path = head.split(address).nth(1)?.split(['"', '?']).next()?;
    let records = match begin {
        "<form " => head.contains("method=\"post\"") && path != enter::IN && path != enter::OUT,
        "<a " => path.starts_with(FORMS),
        _ => true,
    };
    records.then(|| Deed::of(false, path))
}

#[cfg(test)]
mod tests {
    use super::*;

    const PAGE: &str = "<main id=\"main\"><form method=\"get\" action=\"/stop/x\"><button>See</button>\
        <button formmethod=\"post\" formaction=\"/save/stop/x\">Save</button></form>\
        <form method=\"post\" action=\"/sheet/x\"><b>Done</b></form>\
        <form method=\"post\" action=\"/document/x\">Keep</form>\
        <a class=\"button\" href=\"/yard/record/open?drum=1\">Open</a><a href=\"/yard\">Yard</a>\
        <form class=\"name\" method=\"post\" action=\"/leave\">Leave</form></main>";

    #[test]
    fn each_role_sees_what_it_may_use_and_what_it_may_do() {
        for (role, seen, unseen) in [
            (Role::Pilot, &["Save", "Done", "Keep", "Open", "Leave"][..], &["As pilot"][..]),
            (
                Role::Refueller,
                &["Done", "Open", "Leave", "See", "record on the run sheet"],
                &["Save", "Keep"],
            ),
            (
                Role::Keeper,
                &["Keep", "Open", "As keeper you may read, record in the yard"],
                &["Save", "Done"],
            ),
            (
                Role::Viewer,
                &["See", "Yard", "Leave", "As viewer you may read. "],
                &["Save", "Done", "Keep", "Open"],
            ),
        ] {
            let page = only(PAGE, role);
            for words in seen {
                assert!(page.contains(words), "{role}: {words}: {page}");
            }
            for words in unseen {
                assert!(!page.contains(words), "{role}: {words}: {page}");
            }
        }
        assert_eq!(only(PAGE, Role::Pilot), PAGE);
        let read = "<main id=\"main\"><p>x</p></main>";
        assert_eq!(only(read, Role::Viewer), read, "nothing to say where nothing was taken out");
    }

    proptest::proptest! {
        #[test]
        fn no_page_makes_it_panic(page in "(<form |<a |<button | action=\"| href=\"|/yard/record/|method=\"post\"|>|</form>|é|x){0,30}") {
            let _ = only(&page, Role::Viewer);
        }
    }
}
