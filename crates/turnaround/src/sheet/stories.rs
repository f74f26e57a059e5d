//! Days that go wrong, told line by line: what a sheet says then, and what it does not let pass.
//! All invented.

use jiff::{SignedDuration, Timestamp};
use stillprop_calc::{
    quantity::{Area, FromAmount, Length, Ratio, VolumeRate},
    unit,
};
use stillprop_rules::situation::Engine;

use super::{
    Broken, Entry, Event, Facts, Flag, Flags, Fuelling, Progress, Reads, Sheet, Someone, Sort,
    Start, Stop, fixture, fixture::litres,
};

/// A day as it is told.
struct Day {
    sheet: Sheet,
    entries: Vec<Entry>,
}

impl Day {
    fn of(facts: &Facts) -> Self {
        Self { sheet: fixture::sheet(facts), entries: Vec::new() }
    }

    fn now(&self) -> Progress {
        Progress::fold(&self.sheet, &self.entries)
    }

    /// States something, an hour after the last.
    fn says(&mut self, event: Event) -> &mut Self {
        let begin: Timestamp = "2026-06-21T04:00:00Z".parse().unwrap();
        let number = self.entries.len();
        let at = begin + SignedDuration::from_hours(i64::try_from(number).unwrap());
        self.entries.push(Entry { id: format!("e{number}"), at, by: "Heron".into(), event });
        self
    }

    fn does(&mut self, task: &str, reading: &str) -> &mut Self {
        self.says(Event::Done { task: task.into(), reading: reading.into() })
    }

    fn passes(&self, task: usize) -> String {
        let task = &self.sheet.tasks[task];
        match &task.reads {
            Reads::Nothing | Reads::Dip => String::new(),
            Reads::Yes => "yes".into(),
            Reads::Litres { .. } => "54 L".into(),
            Reads::Counter => "8 L".into(),
            Reads::Density { .. } => "0.712 kg/L at 20 degC".into(),
            Reads::Paste => "dry".into(),
            Reads::Look { .. } => "clear, blue".into(),
            Reads::Grade { grade } => grade.clone(),
            Reads::Ticket | Reads::Words => "4711".into(),
            Reads::Clock => "14:05".into(),
            Reads::Waited { .. } => "60 min".into(),
            Reads::Resistance => "4 ohm".into(),
            Reads::Named { people, .. } => format!("{} 14:05", people.join(", ")),
        }
    }

    /// What comes next, in the order of the sheet.
    fn next(&self) -> Option<usize> {
        self.now().next(&self.sheet).into_iter().flat_map(|next| next.tasks).min()
    }

    /// Does what comes next until a task would be next.
    #[track_caller]
    fn until(&mut self, task: &str) -> &mut Self {
        while let Some(next) = self.next() {
            let id = self.sheet.tasks[next].id.clone();
            if id == task {
                return self;
            }
            let reading = self.passes(next);
            self.does(&id, &reading);
        }
        panic!("{task} never comes next")
    }

    fn next_id(&self) -> &str {
        self.next().map_or("nothing", |next| &self.sheet.tasks[next].id)
    }

    /// What a break asks for now.
    fn asked(&self) -> &str {
        self.sheet.next_put(&self.now().state).map_or("nothing", |put| self.sheet.puts[put].id)
    }

    #[track_caller]
    fn refused(&self, words: &str) {
        let findings = self.now().findings;
        let said = findings.last().map_or("", |finding| finding.words.as_str());
        assert!(said.contains(words), "{words}: {said}");
    }

    fn steps(&mut self, stop: Stop) -> &mut Self {
        self.says(Event::Called { stop });
        for step in 0..self.sheet.plan(stop).unwrap().steps.len() {
            let step = u8::try_from(step).unwrap();
            self.says(Event::Stepped { stop, step, note: String::new() });
        }
        self
    }
}

fn by_hand() -> Facts {
    fixture::two(fixture::facts(Fuelling::None, Start::Hand, 0, 0))
}

fn self_serve() -> Facts {
    fixture::facts(Fuelling::SelfServe, Start::Electric, 1, 0)
}

fn words(sheet: &Sheet, id: &str) -> String {
    let task = &sheet.tasks[sheet.find(id).unwrap_or_else(|| panic!("no task {id}"))];
    format!("{}\n{}\n{}\n{}", task.title, task.why, task.notes.join("\n"), task.reads.help())
}

#[test]
fn a_swing_that_does_not_fire_leaves_the_switches_as_they_are_until_off_is_said_and_answered() {
    let mut day = Day::of(&by_hand());
    day.until("swing").does("swing", "no");
    let state = day.now().state;
    assert!(state.is(Flag::Contact) && !state.is(Flag::SwitchesOff), "nobody said off");
    assert!(!state.flags.meets(Flags::of(&[Flag::Throttle, Flag::ArcClear, Flag::OffSaid])));
    for early in ["hands-on", "call-contact", "contact", "swing", "call-throttle", "arc"] {
        let mut day = Day { sheet: day.sheet.clone(), entries: day.entries.clone() };
        day.does(early, "yes");
        assert_eq!(day.now().state, state, "{early}");
        day.refused("not yet");
    }
    // Off first, then throttle, all clear and the approach, each anew.
    for id in ["off-said", "call-throttle", "arc", "hands-on", "pull-through", "call-contact"] {
        assert_eq!(day.next_id(), id);
        day.does(id, "");
    }
    assert_eq!(day.next_id(), "contact");
    assert_eq!(day.now().findings.len(), 1, "{:?}", day.now().findings);
}

#[test]
fn a_break_in_a_start_by_hand_goes_back_to_switches_off_before_the_approach() {
    for how in [Event::Paused, Event::BrokenOff] {
        for (at, asks) in [
            ("swing", &["put-down-propeller", "put-down-engine", "put-down-controls"][..]),
            ("call-contact", &["put-down-propeller", "put-down-controls"]),
            ("hands-on", &["put-down-controls"]),
            (
                "tail-off",
                &["put-down-engine", "put-down-riders", "put-down-controls", "put-down-chocks"],
            ),
        ] {
            let mut day = Day::of(&by_hand());
            day.until(at).says(how.clone());
            // Nothing is cleared by the break itself.
            let recap = day.now().recap(&day.sheet);
            assert!(recap.iter().any(|open| open.flag == Some(Flag::AtControls)), "{at}");
            if at == "swing" {
                let named = |flag| recap.iter().any(|open| open.flag == Some(flag));
                assert!(named(Flag::Contact) && named(Flag::AtPropeller));
            }
            for ask in asks {
                assert_eq!(day.asked(), *ask, "{at}");
                day.does(ask, "yes");
            }
            day.says(Event::Resumed);
            assert!(!day.now().state.is(Flag::Paused), "{at}");
            assert_eq!(day.next_id(), "seat", "{at}");
            day.until("swing");
            let done = day.entries.iter().rev().take(7).rev();
            let done: Vec<String> = done.map(|entry| format!("{:?}", entry.event)).collect();
            for (event, id) in done.iter().zip([
                "off-said",
                "call-throttle",
                "arc",
                "hands-on",
                "pull-through",
                "call-contact",
                "contact",
            ]) {
                assert!(event.contains(id), "{at}: {done:?}");
            }
        }
    }
}

#[test]
fn what_a_stop_leaves_away_is_asked_for_before_the_work_goes_on() {
    let mut day = Day::of(&by_hand());
    day.until("tail-off").steps(Stop::Injury);
    assert!(day.now().state.is(Flag::Paused));
    assert!(!day.now().state.is(Flag::Chocks), "nobody put the chocks back by shutting it down");
    assert_eq!(day.asked(), "put-down-chocks");
    day.does("put-down-chocks", "yes").says(Event::Resumed).until("swing");
}

#[test]
fn a_fire_ends_the_sheet_with_whatever_lay_open() {
    let mut day = Day::of(&self_serve());
    day.until("pump-off-left").says(Event::Called { stop: Stop::LostBond });
    day.steps(Stop::Fire);
    let progress = day.now();
    assert_eq!(progress.step(), None, "nobody goes back to a lost bond");
    assert!(progress.state.is(Flag::ForGood) && progress.state.is(Flag::Burnt));
    let recap: Vec<String> =
        progress.recap(&day.sheet).into_iter().map(|open| open.words).collect();
    for words in ["there was a fire", "a bond is lost", "a fuel cap is open"] {
        assert!(recap.iter().any(|open| open.contains(words)), "{words}: {recap:?}");
    }
    let plan = day.sheet.plan(Stop::Fire).unwrap();
    assert!(plan.afterwards.contains("this sheet is at its end"));
    day.says(Event::Closed);
    assert!(day.now().closed);
    // While it burns no lesser stop is called.
    let mut day = Day::of(&self_serve());
    day.says(Event::Called { stop: Stop::Fire }).says(Event::Called { stop: Stop::Spill });
    day.refused("there is a fire");
}

#[test]
fn a_grade_that_the_manual_forbids_has_no_sheet() {
    let mut facts = self_serve();
    facts.allowed = Some(vec!["avgas 100LL".into(), "avgas UL91".into()]);
    assert!(Sheet::build(&facts).is_ok());
    facts.grade = "jet A-1".into();
    for fuelling in [Fuelling::SelfServe, Fuelling::Tanker] {
        facts.fuelling = fuelling;
        let unbuilt = Sheet::build(&facts).unwrap_err();
        assert!(unbuilt.message.contains("jet A-1 is not a grade the manual allows"));
        assert!(unbuilt.help.contains("avgas 100LL, avgas UL91"), "{unbuilt}");
    }
    // Nobody has looked: the sheet is made, and nobody is aboard.
    facts.allowed = None;
    facts.grade = "avgas 100LL".into();
    assert!(fixture::sheet(&facts).terms.empty);
}

#[test]
fn nobody_is_aboard_where_the_engine_burns_gasoline_whatever_is_ordered() {
    let mut facts = self_serve();
    facts.grade = "jet A-1".into();
    assert!(!fixture::sheet(&facts).terms.empty);
    facts.allowed = Some(vec!["jet A-1".into(), "avgas 100LL".into()]);
    assert!(fixture::sheet(&facts).terms.empty);
    facts.allowed = Some(vec!["jet A-1".into()]);
    assert!(!fixture::sheet(&facts).terms.empty, "a piston that burns jet fuel alone");
}

#[test]
fn what_breaks_by_the_documents_heads_the_sheet_and_holds_it() {
    let broken = |id: &str| Broken { id: id.into(), words: "0.3 m too near".into() };
    let mut facts = self_serve();
    facts.broken = vec![broken("site.run.twin"), broken("site.fuel.camera"), broken("start.clear")];
    let mut day = Day::of(&facts);
    assert_eq!(day.sheet.broken, facts.broken);
    for (id, before) in [("fuel-room", "cap-off-left"), ("pull-clear", "brake")] {
        let task = &day.sheet.tasks[day.sheet.find(id).unwrap()];
        assert!(task.hold && task.notes.iter().any(|note| note.contains("0.3 m too near")));
        day.until(id).does(id, "no");
        assert!(day.now().findings.last().unwrap().words.contains("the answer is no"));
        day.does(before, "");
        day.refused("not ");
        day.does(id, "yes");
    }
    day.until("start");
    assert!(fixture::sheet(&self_serve()).find("pull-clear").is_none());
    // Without fuel nothing is too near for fuelling.
    let mut dry = by_hand();
    dry.broken = vec![broken("site.fuel.camera")];
    let sheet = fixture::sheet(&dry);
    assert!(sheet.find("fuel-room").is_none());
    super::check(&sheet).unwrap();
}

#[test]
fn fuel_on_the_ground_by_the_documents_is_dealt_with_first() {
    let mut facts = self_serve();
    facts.spilt = vec!["overflow at the pump: 6.0 L, 3.4 m across".into()];
    let mut day = Day::of(&facts);
    assert_eq!(day.now().step(), Some((Stop::Spill, 0)));
    day.does("chocks", "");
    day.refused("stopped: fuel is spilled");
    let plan = day.sheet.plan(Stop::Spill).unwrap().clone();
    assert!(plan.steps[0].notes.iter().any(|note| note.contains("6.0 L, 3.4 m across")));
    for step in 0..plan.steps.len() {
        let step = u8::try_from(step).unwrap();
        day.says(Event::Stepped { stop: Stop::Spill, step, note: String::new() });
    }
    assert_eq!(day.next_id(), "chocks");
    day.until("start");
}

#[test]
fn a_start_distance_is_what_the_pack_asks_of_a_running_engine() {
    let mut facts = self_serve();
    facts.running_distance = fixture::cited(Length::of(2.0, unit::M));
    facts.running_public = fixture::cited(Length::of(15.0, unit::M));
    facts.running_aircraft = fixture::cited(Length::of(7.6, unit::M));
    for facts in [facts.clone(), fixture::two(Facts { start: Start::Hand, ..facts })] {
        let arc = words(&fixture::sheet(&facts), "arc");
        for line in ["on foot nearer to the propeller than: 2 m", "public nearer than: 15 m"] {
            assert!(arc.contains(line), "{arc}");
        }
        assert!(arc.contains("no other aircraft nearer than: 8 m"), "{arc}");
    }
}

#[test]
fn where_it_would_not_hold_by_the_documents_no_yes_starts_it() {
    let mut facts = by_hand();
    facts.gives_way = Some("900 N holds, 3571 N needed: tie the tail".into());
    let sheet = fixture::sheet(&facts);
    assert!(sheet.find("swing").is_none() && sheet.find("hand-held").is_none());
    let instead = words(&sheet, "no-start-here");
    for line in ["900 N holds, 3571 N needed", "tie and chock it", "[start] of the document"] {
        assert!(instead.contains(line), "{instead}");
    }
    // What ties it stays on where nothing is started.
    assert!(words(&sheet, "covers-off").contains("what ties the tail stays on"));
}

/// Half full, with 3 % of room for two ways to know it.
fn measured() -> Facts {
    let mut facts = self_serve();
    facts.reconcile = fixture::cited(Ratio::of(3.0, unit::PERCENT));
    let tank = &mut facts.tanks[0];
    (tank.usable, tank.aboard) = (Some(litres(106.0)), Some(litres(34.0)));
    facts
}

#[test]
fn litres_and_dips_that_do_not_agree_are_in_doubt_and_hold_the_sheet_before_the_start() {
    for (counter, dip, doubt) in [
        ("54 L", "87 L", None),
        ("54 L", "", None),
        ("54 L", "112 mm", None),
        ("90 L", "", Some("90 L went in by the counter, 54 L are planned")),
        ("90 L", "", Some("more than the 106 L it holds")),
        ("54 L", "3 L", Some("3 L by the dip, but 34 L aboard and 54 L by the counter")),
        ("20 L", "54 L", Some("20 L went in by the counter, 54 L are planned")),
    ] {
        let mut day = Day::of(&measured());
        day.until("pump-off-left").does("pump-off-left", counter);
        day.until("dip-left").does("dip-left", dip).until("ticket").does("ticket", "4711");
        let (progress, ticket) = (day.now(), day.sheet.find("ticket").unwrap());
        let recap = progress.recap(&day.sheet);
        let doubts: Vec<&str> = (recap.iter().filter(|open| open.flag.is_none()))
            .map(|open| open.words.as_str())
            .collect();
        assert_eq!(progress.state.done.has(ticket), doubt.is_none(), "{counter} {dip}");
        match doubt {
            None => assert_eq!(doubts, Vec::<&str>::new(), "{counter} {dip}"),
            Some(words) => {
                assert!(doubts.iter().any(|open| open.contains(words)), "{doubts:?}");
                // The pump is off all the same: what is stated is stated.
                assert!(!progress.state.is(Flag::PumpRuns));
                let held = progress.findings.last().unwrap();
                assert!(held.sort == Sort::Held && held.words.contains(words), "{held:?}");
                day.does("settle-tanks", "60 min");
                day.refused("first: Read the ticket");
            }
        }
    }
    // Where no pack says how far they may differ, only what the tank holds is judged.
    let mut facts = measured();
    facts.reconcile = Err("no pack gives it".into());
    let mut day = Day::of(&facts);
    day.until("pump-off-left").does("pump-off-left", "60 L").until("ticket").until("settle-tanks");
    assert!(words(&day.sheet, "dip-left").contains("unknown: hold the two against each other"));
}

#[test]
fn what_went_in_before_a_break_counts_and_what_was_not_read_is_unknown() {
    let begun = |counter: &str| {
        let mut day = Day::of(&measured());
        day.until("pump-off-left").says(Event::Paused).does("put-down-pump", counter);
        day.does("put-down-nozzle", "yes").does("put-down-cap", "yes").says(Event::Resumed);
        day.until("pump-on-left");
        day
    };
    let mut read = begun("20 L");
    let on = read.sheet.find("pump-on-left").unwrap();
    assert!(read.now().remarks(&read.sheet, on)[0].contains("34 L is left to go in"));
    read.until("pump-off-left").does("pump-off-left", "34 L").until("settle-tanks");
    assert_eq!(read.now().findings, []);
    // Not read: nothing is made up, and a dip settles it.
    for (dip, ends) in [("", false), ("60 L", false), ("88 L", true)] {
        let mut unread = begun("unknown");
        assert!(unread.now().remarks(&unread.sheet, on)[0].contains("unknown"));
        unread.until("pump-off-left").does("pump-off-left", "40 L").until("dip-left");
        unread.does("dip-left", dip).until("ticket").does("ticket", "4711");
        let ticket = unread.sheet.find("ticket").unwrap();
        assert_eq!(unread.now().state.done.has(ticket), ends, "{dip}");
    }
    // A stop reads no counter either.
    let mut stopped = Day::of(&measured());
    stopped.until("pump-off-left").steps(Stop::Spill);
    assert!(stopped.now().remarks(&stopped.sheet, on)[0].contains("unknown"));
}

#[test]
fn a_pump_goes_into_a_drum_and_out_of_it_with_its_leads_on() {
    let sheet =
        fixture::sheet(&fixture::two(fixture::facts(Fuelling::Drum, Start::Electric, 1, 1)));
    let order = [
        "sample-lead-drum-1",
        "sample-drum-1",
        "earth-on-drum-1",
        "pump-lead-on-drum-1",
        "pump-in-drum-1",
        "aircraft-lead-on-drum-1",
        "nozzle-lead-on-left",
        "cap-off-left",
        "aircraft-lead-off-drum-1",
        "pump-out-drum-1",
        "pump-lead-off-drum-1",
        "earth-off-drum-1",
    ];
    let places: Vec<usize> = order.iter().map(|id| sheet.find(id).unwrap()).collect();
    assert!(places.is_sorted(), "{places:?}");
    let mut day = Day { sheet, entries: Vec::new() };
    for (task, first) in [
        ("sample-drum-1", "sample-lead-drum-1"),
        ("pump-in-drum-1", "pump-lead-on-drum-1"),
        ("pump-lead-off-drum-1", "pump-out-drum-1"),
    ] {
        day.until(first).does(task, "clear, blue");
        assert_eq!(day.now().findings.last().unwrap().sort, Sort::Refused, "{task}");
    }
}

#[test]
fn one_person_alone_pumps_from_a_drum_only_with_the_switch_in_reach_of_the_nozzle() {
    let alone = fixture::facts(Fuelling::Drum, Start::Electric, 1, 1);
    let mut day = Day::of(&alone);
    let said = words(&day.sheet, "emergency-stop");
    assert!(said.contains("in reach of the one at the nozzle"), "{said}");
    assert!(said.contains("a pump worked by hand needs two"), "{said}");
    day.until("emergency-stop").does("emergency-stop", "no");
    assert!(!day.now().state.is(Flag::Shutoff), "without it nothing is pumped");
    let two = words(&fixture::sheet(&fixture::two(alone)), "emergency-stop");
    assert!(!two.contains("needs two"), "{two}");
}

#[test]
fn a_start_by_hand_says_what_is_there_and_nothing_else() {
    let mut facts = by_hand();
    (facts.brake, facts.starter, facts.second_rides) = (Some(false), Some(false), true);
    let sheet = fixture::sheet(&facts);
    let at = |id: &str| sheet.find(id).unwrap_or_else(|| panic!("no task {id}"));
    // Chocked, and switches off, before anybody goes round it or under it.
    assert!(at("chocks") < at("switches") && at("switches") < at("drain"));
    assert!(at("switches") < at("walk-edges"));
    assert!(words(&sheet, "covers-off").contains("what ties the tail stays on"));
    assert!(sheet.find("brake").is_none());
    for task in &sheet.tasks {
        assert!(!task.notes.iter().any(|note| note.contains("Brakes on")), "{:?}", task.notes);
    }
    assert!(words(&sheet, "call-throttle").contains("Chocks in, tail tied"));
    assert!(!words(&sheet, "board-running").contains("starter is the better way"));
    // Whoever swung boards last.
    assert!(at("board-second") > at("tail-off"));
    assert!(words(&sheet, "board-second").contains("Wren comes round the wing tip"));
    assert!(words(&sheet, "pull-through").contains("the manual has it"));
    // Alone, nobody is called in who is not there.
    let alone =
        fixture::sheet(&fixture::alone_allowed(fixture::facts(Fuelling::None, Start::Hand, 0, 0)));
    for task in &alone.tasks {
        let said = task.notes.join("\n");
        for other in ["come in", "coming in", "controls:", "hand on it"] {
            assert!(!said.contains(other), "{}: {said}", task.id);
        }
    }
}

#[test]
fn the_slow_start_and_the_calls_of_a_spill_have_their_numbers() {
    let mut facts = self_serve();
    facts.first_rate = fixture::cited(VolumeRate::of(29.45, unit::L_MIN));
    facts.call_area = fixture::cited(Area::of(4.65, unit::M2));
    facts.call_width = fixture::cited(Length::of(3.05, unit::M));
    facts.report_spill = fixture::cited("by telephone within 12 h; in writing within 30 d".into());
    let sheet = fixture::sheet(&facts);
    assert!(words(&sheet, "pump-on-left").contains("not faster than: 29 L/min (pack test"));
    let spill = &sheet.plan(Stop::Spill).unwrap().steps;
    let said = |step: usize| format!("{}\n{}", spill[step].title, spill[step].notes.join("\n"));
    assert!(said(1).starts_with("Call the fire service"), "{}", said(1));
    for line in ["larger than: 4.6 m2", "wider in any direction than: 3 m"] {
        assert!(said(1).contains(line), "{}", said(1));
    }
    let report = said(spill.len() - 1);
    assert!(report.contains("by telephone at once") && report.contains("within 12 h"), "{report}");
    // What no pack gives is no number.
    let bare = fixture::sheet(&self_serve());
    assert!(words(&bare, "pump-on-left").contains("not faster than: unknown"));
}

#[test]
fn a_turbine_is_spoken_of_as_one() {
    let mut facts = self_serve();
    (facts.engine, facts.grade) = (Engine::Turbine, "jet A-1".into());
    let sheet = fixture::sheet(&facts);
    let mut all = String::new();
    for task in &sheet.tasks {
        all += &words(&sheet, &task.id);
    }
    for piston in ["magneto", "takes gasoline", "clear, blue", "when jet fuel is mixed in"] {
        assert!(!all.contains(piston), "{piston}");
    }
    assert!(all.contains("igniter") && all.contains("\"clear, straw\""));
}

#[test]
fn a_title_has_the_litres_and_what_the_document_asks_for() {
    let mut facts = self_serve();
    (facts.tanks[0].litres, facts.tanks[0].asked) = (litres(22.72), Some("6 USgal".into()));
    let sheet = fixture::sheet(&facts);
    let on = words(&sheet, "pump-on-left");
    assert!(on.contains("for 23 L (6 USgal in the document)"), "{on}");
    facts.fuelling = Fuelling::Tanker;
    let order = words(&fixture::sheet(&facts), "order");
    assert!(order.contains("left 23 L (6 USgal in the document)"), "{order}");
}

fn riders(names: &[&str]) -> Vec<Someone> {
    names.iter().map(|name| Someone { name: (*name).into(), notes: Vec::new() }).collect()
}

#[test]
fn nobody_boards_until_each_passenger_was_briefed_by_name() {
    let mut facts = fixture::facts(Fuelling::None, Start::Electric, 0, 0);
    facts.riders = riders(&["Ane", "Isko", "Wenna"]);
    let mut day = Day::of(&facts);
    day.until("brief").does("brief", "Ane 09:40, Isko 09:40");
    let now = day.now();
    let brief = day.sheet.find("brief").unwrap();
    assert_eq!(now.findings.last().unwrap().sort, Sort::Held);
    assert!(now.findings.last().unwrap().words.ends_with("not briefed: Wenna"));
    assert_eq!(
        now.remarks(&day.sheet, brief),
        ["said already: Ane 09:40, Isko 09:40; left: Wenna"]
    );
    assert!(now.refused(&day.sheet, day.sheet.find("board").unwrap()).is_some());

    day.does("brief", "Wenna 09:52");
    let now = day.now();
    let kept = now.kept.iter().find(|kept| kept.task == brief).unwrap();
    let super::Value::Named(named) = &kept.value else { panic!("{:?}", kept.value) };
    let said: Vec<String> = named.iter().map(ToString::to_string).collect();
    assert_eq!(said, ["Ane 09:40", "Isko 09:40", "Wenna 09:52"]);
    assert!(now.refused(&day.sheet, day.sheet.find("board").unwrap()).is_none());
}

#[test]
fn somebody_who_comes_late_is_briefed_too_and_the_others_not_again() {
    let mut facts = fixture::facts(Fuelling::None, Start::Electric, 0, 0);
    (facts.riders, facts.aboard) = (riders(&["Ane"]), false);
    let mut day = Day::of(&facts);
    day.until("brief").does("brief", "Ane 09:40").until("board").does("board", "");
    assert!(day.now().state.is(Flag::Aboard));
    // Toll comes running; the documents change, and the sheet goes on with them.
    facts.riders = riders(&["Ane", "Toll"]);
    day.sheet = fixture::sheet(&facts);
    let now = day.now();
    assert!(!now.state.is(Flag::Briefed) && !now.state.is(Flag::Aboard));
    assert!(now.recap(&day.sheet).iter().any(|open| open.words.contains("out of its turn")));
    let (brief, start) = (day.sheet.find("brief").unwrap(), day.sheet.find("start").unwrap());
    assert!(now.refused(&day.sheet, start).is_some());
    assert_eq!(now.remarks(&day.sheet, brief), ["said already: Ane 09:40; left: Toll"]);
    day.does("brief", "Toll 09:55");
    assert!(day.now().state.is(Flag::Briefed));
    day.until("board").does("board", "");
    assert!(day.now().state.is(Flag::Aboard));
}

#[test]
fn a_correction_takes_back_who_was_named() {
    let mut facts = fixture::facts(Fuelling::None, Start::Electric, 0, 0);
    facts.riders = riders(&["Ane"]);
    let mut day = Day::of(&facts);
    day.until("brief").does("brief", "Ane 09:40");
    let entry = day.entries.last().unwrap().id.clone();
    assert!(day.now().state.is(Flag::Briefed));
    day.says(Event::Corrected { entry });
    assert!(!day.now().state.is(Flag::Briefed));
}

#[test]
fn a_passenger_who_swings_is_briefed_before_they_board_last() {
    let mut facts = fixture::two(fixture::facts(Fuelling::None, Start::Hand, 0, 0));
    (facts.aboard, facts.expected, facts.second_rides) = (false, false, true);
    facts.riders = riders(&["Wren"]);
    let sheet = fixture::sheet(&facts);
    let board = &sheet.tasks[sheet.find("board-second").unwrap()];
    assert!(board.boards && board.needs.contains(&super::Need::On(Flag::Briefed)));
    assert!(super::check(&sheet).is_ok());
    // Crew is not briefed as a passenger.
    facts.riders.clear();
    let sheet = fixture::sheet(&facts);
    assert!(sheet.find("brief").is_none());
    assert!(super::check(&sheet).is_ok());
}
