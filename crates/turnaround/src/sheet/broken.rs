//! For each invariant a sheet that was broken on purpose: the checker must name that invariant
//! and show a shortest bad order. All invented.

use super::{
    Broken, Facts, Flag, Fuelling, INVARIANTS, Move, Need, Reads, Sheet, Start, Stop, Task, check,
    fixture,
};

/// Cases of what the checker proves beside the invariants.
const OWN: usize = 2;

/// A sheet that is broken on purpose.
struct Case {
    /// What the checker must name.
    id: &'static str,
    /// What was broken.
    broken: &'static str,
    /// The sheet.
    sheet: Sheet,
}

fn tanker() -> Sheet {
    fixture::sheet(&fixture::facts(Fuelling::Tanker, Start::Electric, 1, 0))
}

fn self_serve() -> Sheet {
    fixture::sheet(&fixture::facts(Fuelling::SelfServe, Start::Electric, 1, 0))
}

fn drum() -> Sheet {
    fixture::sheet(&fixture::facts(Fuelling::Drum, Start::Electric, 1, 1))
}

fn drum_two() -> Sheet {
    fixture::sheet(&fixture::two(fixture::facts(Fuelling::Drum, Start::Electric, 1, 1)))
}

fn still(start: Start) -> Facts {
    fixture::two(fixture::facts(Fuelling::None, start, 0, 0))
}

fn electric() -> Sheet {
    fixture::sheet(&still(Start::Electric))
}

/// With somebody to be told, and rules that want everybody asked about dangerous goods.
fn asking() -> Sheet {
    fixture::sheet(&fixture::asking(still(Start::Electric)))
}

fn hand() -> Sheet {
    fixture::sheet(&still(Start::Hand))
}

fn hand_nobody_rides() -> Sheet {
    let mut facts = still(Start::Hand);
    (facts.aboard, facts.expected) = (false, false);
    fixture::sheet(&facts)
}

/// With one guard of one task removed.
fn unguarded(sheet: Sheet, id: &str, flag: Flag) -> Sheet {
    sheet.edited(|tasks, _| {
        let task = task(tasks, id);
        let before = task.needs.len();
        task.needs.retain(|need| *need != Need::On(flag) && *need != Need::Off(flag));
        assert_eq!(task.needs.len() + 1, before, "{id} has one guard on {flag:?}");
    })
}

/// With a task no longer waiting for another.
fn unordered(sheet: Sheet, id: &str, waits_for: &str) -> Sheet {
    let place = sheet.find(waits_for).unwrap();
    sheet.edited(|tasks, _| {
        let task = task(tasks, id);
        let before = task.needs.len();
        task.needs.retain(|need| *need != Need::Done(place));
        assert_eq!(task.needs.len() + 1, before, "{id} waits for {waits_for}");
    })
}

/// With a task that waits for an earlier one than it should.
fn reordered(sheet: Sheet, id: &str, from: &str, to: &str) -> Sheet {
    let to = sheet.find(to).unwrap();
    unordered(sheet, id, from).edited(|tasks, _| task(tasks, id).needs.push(Need::Done(to)))
}

/// With a limit that breaks by the documents.
fn near(id: &str, fuelling: Fuelling) -> Sheet {
    let tanks = usize::from(fuelling != Fuelling::None);
    let mut facts = fixture::facts(fuelling, Start::Electric, tanks, 0);
    facts.broken = vec![Broken { id: id.into(), words: "1 m too near".into() }];
    fixture::sheet(&facts)
}

/// With a task that waits for another.
fn waiting(sheet: Sheet, id: &str, waits_for: &str) -> Sheet {
    let place = sheet.find(waits_for).unwrap();
    sheet.edited(|tasks, _| task(tasks, id).needs.push(Need::Done(place)))
}

fn nobody_rides() -> Sheet {
    let mut facts = fixture::facts(Fuelling::SelfServe, Start::Electric, 1, 0);
    (facts.aboard, facts.expected) = (false, false);
    fixture::sheet(&facts)
}

fn task<'a>(tasks: &'a mut [Task], id: &str) -> &'a mut Task {
    tasks.iter_mut().find(|task| task.id == id).unwrap()
}

/// With the steps of a stop action in another order.
fn swapped(sheet: Sheet, stop: Stop, a: usize, b: usize) -> Sheet {
    sheet.edited(|_, plans| {
        let plan = plans.iter_mut().find(|plan| plan.stop == stop).unwrap();
        plan.steps.swap(a, b);
    })
}

fn cases() -> Vec<Case> {
    let case = |id, broken, sheet| Case { id, broken, sheet };
    let two_tanks = fixture::facts(Fuelling::SelfServe, Start::Electric, 2, 0);
    vec![
        case(
            "spill-documents",
            "the documents' own spill does not begin as one",
            self_serve().termed(|terms| terms.spilt = true),
        ),
        case(
            "cap-single",
            "the second cap does not wait for the first tank",
            unordered(fixture::sheet(&two_tanks), "cap-off-right", "nozzle-lead-off-left"),
        ),
        case(
            "extinguishers",
            "the hose comes out without them",
            unguarded(self_serve(), "hose-out", Flag::Extinguishers),
        ),
        case(
            "fuel-room",
            "the cap does not ask for the room around it",
            unguarded(
                near("site.fuel.camera", Fuelling::SelfServe),
                "cap-off-left",
                Flag::RoomClear,
            ),
        ),
        case(
            "dead-while-fuelling",
            "the cap does not ask for the master",
            unguarded(self_serve(), "cap-off-left", Flag::MasterOff),
        ),
        case(
            "nobody-aboard",
            "the cap does not ask who is aboard",
            unguarded(self_serve(), "cap-off-left", Flag::Aboard),
        ),
        case(
            "pump-bonded",
            "the pump goes in before its lead is on",
            reordered(drum(), "pump-in-drum-1", "pump-lead-on-drum-1", "earth-on-drum-1"),
        ),
        case(
            "sample-bonded",
            "the sample does not ask for the lead of its can",
            unguarded(self_serve(), "sample-source", Flag::SampleEarth),
        ),
        case(
            "leads-in-order",
            "the lead to the aeroplane does not wait for the pump's",
            unordered(drum(), "aircraft-lead-on-drum-1", "pump-in-drum-1"),
        ),
        case(
            "cap-bonded",
            "the cap does not ask for the lead",
            unguarded(self_serve(), "cap-off-left", Flag::BondNozzle),
        ),
        case(
            "cap-before-lead",
            "the lead does not wait for the cap",
            reordered(self_serve(), "nozzle-lead-off-left", "cap-on-left", "nozzle-out-left"),
        ),
        case(
            "caps-seen",
            "the lead comes off with no hand on the cap",
            unguarded(tanker(), "aircraft-lead-off", Flag::CapsSeen),
        ),
        case(
            "drum-settled",
            "the sample does not wait",
            unguarded(drum(), "sample-lead-drum-1", Flag::DrumsSettled),
        ),
        case(
            "pump-sample",
            "the pump does not ask for the sample",
            unguarded(self_serve(), "pump-on-left", Flag::Passed0),
        ),
        case(
            "pump-filter",
            "the pump does not ask for the filter",
            unguarded(self_serve(), "pump-on-left", Flag::Filter),
        ),
        case(
            "grade-allowed",
            "a sheet for a grade that the manual forbids",
            self_serve().termed(|terms| terms.allowed = false),
        ),
        case(
            "pump-grade",
            "the pump does not ask for the grade",
            unguarded(self_serve(), "pump-on-left", Flag::Grade),
        ),
        case(
            "pump-stop-known",
            "the pump does not ask for its stop",
            unguarded(self_serve(), "pump-on-left", Flag::Shutoff),
        ),
        case(
            "nozzle-held",
            "the nozzle goes in and is left",
            self_serve().edited(|tasks, _| {
                let nozzle = task(tasks, "nozzle-in-left");
                nozzle.effect.sets = nozzle.effect.sets.without(Flag::AtNozzle);
            }),
        ),
        case(
            "pump-nozzle",
            "the nozzle comes out with the pump running",
            unordered(self_serve(), "nozzle-out-left", "pump-off-left"),
        ),
        case(
            "pump-attended",
            "the pump does not ask who is at it",
            unguarded(drum_two(), "pump-on-left", Flag::AtPump),
        ),
        case(
            "settle-after-fuel",
            "settling does not wait for the last cap",
            unordered(self_serve(), "settle-tanks", "ticket"),
        ),
        case(
            "drain-after-settling",
            "the drains do not wait",
            unguarded(self_serve(), "drain", Flag::Settled),
        ),
        case(
            "boarding-gear",
            "boarding does not ask for the gear",
            unguarded(self_serve(), "board", Flag::GearOut),
        ),
        case(
            "boarding-briefed",
            "boarding does not ask for the briefing",
            unguarded(electric(), "board", Flag::Briefed),
        ),
        case(
            "boarding-asked",
            "the briefing does not wait for the question about dangerous goods",
            unordered(asking(), "brief", "ask-goods"),
        ),
        case(
            "named-each",
            "the reading of the briefing leaves somebody out",
            electric().edited(|tasks, _| {
                let brief = task(tasks, "brief");
                let Reads::Named { people, .. } = &mut brief.reads else { panic!("no names") };
                people.clear();
            }),
        ),
        case(
            "start-told",
            "nobody waits until they were told",
            unordered(asking(), "seat", "tell"),
        ),
        case(
            "boarding-running",
            "boarding does not ask for idle",
            unguarded(hand(), "board-running", Flag::Idle),
        ),
        case(
            "start-spill",
            "the start is not barred by a spill, and the arc counts as clear through it",
            electric().lasting(Flag::ArcClear).unbarred("start", Flag::Spill),
        ),
        case(
            "start-bad-fuel",
            "the start is not barred by bad fuel, and the arc counts as clear through it",
            electric().lasting(Flag::ArcClear).unbarred("start", Flag::BadFuel),
        ),
        case(
            "start-room",
            "the brake does not ask whether it was pulled clear",
            unguarded(near("site.run.twin", Fuelling::None), "brake", Flag::RunClear),
        ),
        case(
            "start-amounts",
            "settling waits for the caps and not for the amounts",
            reordered(self_serve(), "settle-tanks", "ticket", "caps-seen"),
        ),
        case(
            "start-gear",
            "the start does not ask for the gear",
            unguarded(nobody_rides(), "start", Flag::GearOut),
        ),
        case(
            "start-bonds",
            "the hose goes away with the lead on",
            unordered(self_serve(), "hose-away", "aircraft-lead-off"),
        ),
        case(
            "start-cap",
            "the start does not wait for the caps",
            unordered(electric(), "start", "tanks-shut"),
        ),
        case(
            "start-sample",
            "the start does not ask for the sample",
            unguarded(electric(), "start", Flag::Sampled),
        ),
        case(
            "start-covers",
            "the start does not ask for the covers",
            unguarded(electric(), "start", Flag::CoversOff),
        ),
        case(
            "start-arc",
            "the start does not ask for the arc",
            unguarded(electric(), "start", Flag::ArcClear),
        ),
        case(
            "start-controls",
            "the start does not ask who is at the controls",
            unguarded(electric(), "start", Flag::AtControls),
        ),
        case(
            "hand-holds",
            "a sheet for a start that would not hold",
            hand().termed(|terms| terms.gives_way = true),
        ),
        case(
            "hand-said",
            "throttle and arc ask for the seat, and not whether switches off was said",
            reordered(
                waiting(unguarded(hand(), "call-throttle", Flag::OffSaid), "call-throttle", "seat"),
                "arc",
                "off-said",
                "seat",
            ),
        ),
        case(
            "hand-chocks",
            "neither the switches nor the propeller ask for the chocks",
            unguarded(unguarded(hand(), "switches", Flag::Chocks), "hands-on", Flag::Chocks),
        ),
        case(
            "hand-tail",
            "neither the brake nor the swing ask for the tail",
            reordered(unguarded(hand(), "swing", Flag::TailTied), "brake", "tail", "hand-dead-cut"),
        ),
        case(
            "hand-throttle",
            "the propeller does not ask for the throttle",
            unguarded(hand(), "hands-on", Flag::Throttle),
        ),
        case(
            "hand-riders",
            "the swing does not ask who is aboard",
            unguarded(hand(), "swing", Flag::Aboard),
        ),
        case(
            "hand-switches",
            "switches off is said and not done, and the propeller does not ask",
            unguarded(hand(), "hands-on", Flag::SwitchesOff).edited(|tasks, _| {
                let off = task(tasks, "off-said");
                off.effect.sets = off.effect.sets.without(Flag::SwitchesOff);
            }),
        ),
        case(
            "hand-contact",
            "contact does not wait for the call",
            unguarded(hand(), "contact", Flag::ContactCalled),
        ),
        case(
            "chocks-running",
            "the chocks do not ask who is at the propeller",
            unguarded(hand_nobody_rides(), "chocks-away", Flag::AtPropeller),
        ),
        case(
            "bond-lost",
            "the cap goes on while a bond is lost",
            self_serve().unbarred("cap-on-left", Flag::BondLost),
        ),
        case(
            "stop-pump",
            "a lost bond is waited for with the pump running",
            swapped(self_serve(), Stop::LostBond, 0, 1),
        ),
        case(
            "spill-order",
            "a spill is contained before it is controlled",
            swapped(self_serve(), Stop::Spill, 0, 2),
        ),
        case(
            "break-keeps",
            "a break counts as a cap that was shut",
            self_serve().forgetful(Flag::CapOpen),
        ),
        case(
            "break-asks",
            "a break does not ask for the cap",
            self_serve().unasked("put-down-cap"),
        ),
        case(
            "stopped-for-good",
            "chocks are set on a sheet that is stopped for good",
            self_serve().unbarred("chocks", Flag::ForGood),
        ),
        case(
            "stop-first",
            "chocks are set while a stop is in force",
            self_serve().unbarred("chocks", Flag::Injured),
        ),
        case(
            "dead-end",
            "boarding does not keep the start waiting",
            unordered(electric(), "seat", "board"),
        ),
        case(
            "unsafe-stop",
            "an injury is not followed by making safe",
            self_serve().edited(|_, plans| {
                let plan = plans.iter_mut().find(|plan| plan.stop == Stop::Injury).unwrap();
                plan.steps[0].does = Move::PumpOff;
            }),
        ),
    ]
}

/// Every case with its shortest bad order, as a person last read it.
const ORDERS: &str = include_str!("broken_orders.txt");

#[test]
fn each_broken_sheet_is_caught_with_its_shortest_bad_order() {
    let mut said = String::new();
    for Case { id, broken, sheet } in cases() {
        let Err(trouble) = check(&sheet) else { panic!("{id} is not caught: {broken}") };
        assert_eq!(trouble.id, id, "{broken}: {:#?}", trouble.order);
        said += &format!("{id}: {broken}\n");
        for title in &trouble.order {
            said += &format!("    {title}\n");
        }
    }
    assert!(said == ORDERS, "the orders have changed, see docs/runsheet.md:\n{said}");
}

#[test]
fn every_invariant_has_a_broken_sheet() {
    let broken: Vec<&str> = cases().iter().map(|case| case.id).collect();
    for invariant in INVARIANTS {
        assert!(broken.contains(&invariant.id), "{} is never seen broken", invariant.id);
    }
    // Beside them what the checker proves of itself: see docs/runsheet.md.
    assert_eq!(broken.len(), INVARIANTS.len() + OWN);
    let own = |id: &&&str| INVARIANTS.iter().all(|invariant| invariant.id != **id);
    assert_eq!(broken.iter().filter(own).count(), OWN);
}
