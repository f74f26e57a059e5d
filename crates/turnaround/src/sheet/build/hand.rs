//! The start by hand. The first answer is: do not. What follows is for when it must be.
//!
//! The gates and their order are a design rule of this program. What they rest on: an engine
//! is started with a qualified person at the controls, brake set, chocks before the wheels or
//! the tail tied, and afterwards the throttle is closed and the chocks are taken from behind
//! the propeller (FAA, Airplane Flying Handbook; read: second hand). A pilot who is alone may
//! turn the propeller only where no help is to be had, the aeroplane cannot move forward and
//! nobody is aboard (Australia, CAR 231(1), repealed 2021; read: second hand); whether the
//! rules of today allow it is for the pack to say.

use super::{
    Draft, people,
    start::{room, shut},
    told,
};
use crate::sheet::{
    flag::Flag,
    reading::Reads,
    task::{Fails, Phase, Role, Task},
};

fn task(id: &str, title: impl Into<String>) -> Task {
    Task::new(id, Phase::Start, title)
}

/// The way out where it would not hold.
const TIED: &str = "tie and chock it so that it holds, write tie and chocks under [start] of the \
    document, and go on with that: the figure is of the document, and no yes of a person changes it";

/// The sheet ends without a start.
pub(super) fn not_here(draft: &mut Draft<'_>) {
    let facts = draft.facts;
    let why = if facts.hand_permitted == Some(false) {
        "the flight manual forbids a start by hand".to_owned()
    } else if let Some(why) = &facts.gives_way {
        format!("it would not stay where it is at full throttle, by the documents: {why}")
    } else {
        let alone = told(
            &facts.alone_permitted,
            |_| "a pilot who is alone may not start by hand".to_owned(),
            "read the rule on starting alone",
        );
        format!("one person is not enough: {alone}")
    };
    draft.add(
        task("no-start-here", "No start by hand here; say what is done instead")
            .why(why)
            .note("external power; a charged battery; an engineer; a second trained person; wait")
            .notes(facts.gives_way.iter().map(|_| TIED.to_owned()).collect())
            .holds(Reads::Words)
            .on(&[Flag::Walked]),
    );
}

pub(super) fn add(draft: &mut Draft<'_>) {
    let alone = draft.facts.second.is_none();
    if draft.facts.aboard && !super::terms(draft.facts).fuelled {
        draft.add(
            Task::new("people-off", Phase::People, "Everybody out, and to the gate with somebody")
                .why("nobody rides through a start by hand")
                .clears(&[Flag::Aboard]),
        );
    }
    let told = people::tell(draft);
    people::brief(draft);
    let gates = gates(draft, told, alone);
    hold(draft, gates, alone);
    calls(draft, alone);
    away(draft, alone);
}

/// A gate that must be answered before the next.
fn gate(draft: &mut Draft<'_>, after: Option<usize>, task: Task) -> usize {
    let task = match after {
        // What a start by starter asks for at its end is asked for first here: nobody goes
        // through the gates with a sample or a cover still to come.
        None => {
            let task = task.on(&[Flag::Walked, Flag::Sampled, Flag::CoversOff]);
            let near = super::terms(draft.facts).near_run;
            let task = if near { task.on(&[Flag::RunClear]) } else { task };
            // Once the switches are at contact nobody goes back to a cap.
            shut(draft, task.off(&[Flag::GearOut]))
        }
        Some(after) => task.after(after),
    };
    draft.add(task)
}

/// Whether it is done at all; gives the place of the last gate.
fn gates(draft: &mut Draft<'_>, told: Option<usize>, alone: bool) -> usize {
    let facts = draft.facts;
    let first = task("hand-not", "Do not start by hand. If you must: say why nothing else will do")
        .why("an aeroplane that is not held runs away, and a propeller that fires strikes whoever is in reach")
        .note("first: external power; a charged battery; an engineer; wait")
        .holds(Reads::Words);
    let first = match told {
        Some(told) => first.after(told),
        None => first,
    };
    let first = gate(draft, None, first);
    let mut manual = task("hand-manual", "The flight manual permits it")
        .why("not every engine and mounting can be swung")
        .holds(Reads::Yes);
    if facts.hand_permitted.is_none() {
        manual = manual.note("unknown: read the flight manual; silence is not a yes");
    }
    let manual = gate(draft, Some(first), manual);
    let who = match &facts.second {
        Some(second) => format!(
            "at the controls {} ({}), at the propeller {} ({})",
            facts.pilot.name, facts.pilot.may, second.name, second.may
        ),
        None => format!("{} ({}), alone", facts.pilot.name, facts.pilot.may),
    };
    let trained = "Trained on this engine at the propeller, qualified at the controls";
    let trained = task("hand-trained", trained)
        .why("an untrained person neither swings nor holds brakes (FAA Safety Team; read: second hand)")
        .note(who)
        .notes(facts.may_swing.clone())
        .holds(Reads::Yes);
    let trained = gate(draft, Some(manual), trained);
    let last = if alone { lone(draft, trained) } else { trained };
    let ground = "Ground firm, dry and level underfoot; no loose clothes, rings or straps";
    let ground = task("hand-ground", ground).why("whoever slips falls forward").holds(Reads::Yes);
    let ground = gate(draft, Some(last), ground);
    let dead = facts.dead_cut.clone();
    let dead = dead.unwrap_or_else(|| "unknown: ask who shut it down last".into());
    let cut = "Say when the magnetos were last proven dead; count them as live all the same";
    let cut = task("hand-dead-cut", cut)
        .why("a lead breaks between one cut and the next: the check proves nothing about today")
        .note(format!("last dead cut: {dead}"))
        .holds(Reads::Words);
    gate(draft, Some(ground), cut)
}

/// The gate of a pilot who is alone.
fn lone(draft: &mut Draft<'_>, after: usize) -> usize {
    let rule = told(
        &draft.facts.alone_permitted,
        |_| "the rule allows it".into(),
        "read the rule on starting alone",
    );
    let lone =
        task("hand-alone", "Alone: no help to be had, held in front and at the tail, nobody rides")
            .why("once it fires nobody is at the controls until you are there")
            .note("lines lead from chocks and tail to the seat")
            .note(rule)
            .holds(Reads::Yes);
    gate(draft, Some(after), lone)
}

/// Tail, brake, and the question whether that would do. Chocks are in since the beginning.
fn hold(draft: &mut Draft<'_>, gates: usize, alone: bool) {
    let facts = draft.facts;
    let full = facts.holds_full.clone().unwrap_or_else(|| {
        "unknown: work out the thrust at full throttle against brakes, chocks and tail tie".into()
    });
    let tail =
        if facts.tail_wheel == Some(false) { "Tail or nose tied down" } else { "Tail tied down" };
    let mut held = draft.add(
        task("tail", tail).why("chocks alone can be jumped").after(gates).sets(&[Flag::TailTied]),
    );
    if facts.brake != Some(false) {
        held = draft.add(
            task("brake", "Brake set and held, where one is fitted")
                .why("the third of three: none of them is enough")
                .after(held)
                .sets(&[Flag::Brake]),
        );
    }
    draft.add(
        task("hand-held", "Would it stay where it is at full throttle?")
            .why("with the throttle left open it fires at full power")
            .note(full)
            .note("that is of tie and chocks as the document has them: look at what is there")
            .holds(Reads::Yes)
            .after(held)
            .sets(&[Flag::Held]),
    );
    let seat = match (alone, facts.brake) {
        (true, _) => "Alone: from the cockpit side, fuel on, throttle closed, stick back and tied",
        (false, Some(false)) => {
            "At the controls: belt on, stick back; there is no brake to hold it"
        }
        (false, _) => "At the controls: belt on, feet on the brakes, stick back",
    };
    let mut seat = task("seat", seat)
        .why("an engine that runs has somebody at its controls")
        .on(&[Flag::Held]);
    if !alone {
        seat = seat.sets(&[Flag::AtControls]);
    }
    draft.add(seat);
}

/// Challenge and response: each line is said, and said back, before the next. A swing that does
/// not fire, a break and a stop all lead back to the first of them.
fn calls(draft: &mut Draft<'_>, alone: bool) {
    let second = draft.second();
    let seat = draft.tasks.len() - 1;
    let off = draft.add(
        task("off-said", "Nobody at the propeller; switches off, key out: said, and answered")
            .why("after a swing that did not fire the switches are at contact, and the next touch fires it")
            .note(said(alone, "Switches off?", "Switches off, key out", "Switches off, key out"))
            .note("the one at the controls does it, looks at it, and only then answers")
            .after(seat)
            .sets(&[Flag::OffSaid, Flag::SwitchesOff])
            .clears(&[Flag::Contact, Flag::ContactCalled, Flag::AtPropeller])
            .again(&[Flag::EngineRuns]),
    );
    let held = match (draft.facts.brake, alone) {
        (Some(false), _) => "Chocks in, tail tied",
        (_, true) => "Brake set, chocks in, tail tied",
        (_, false) => "Brakes on, chocks in, tail tied",
    };
    draft.add(
        task("call-throttle", "Throttle: closed, then just open, and said back")
            .why("an inch of throttle is the difference between idling and running away")
            .note(said(alone, "What holds it?", held, held))
            .note(said(
                alone,
                "Throttle set?",
                "Throttle just open, hand on it",
                "Throttle just open, I have looked at it",
            ))
            .on(&[Flag::OffSaid])
            .sets(&[Flag::Throttle])
            .again(&[Flag::EngineRuns]),
    );
    draft.add(
        task("arc", "Nobody in the arc, ahead of it or aboard; call out and wait")
            .who(second)
            .why("a child or a dog stands where you cannot see it")
            .notes(room(draft.facts))
            .note(said(
                alone,
                "All clear here. With you?",
                "All clear, nobody aboard",
                "Clear? All clear, nobody aboard",
            ))
            .after(off)
            .sets(&[Flag::ArcClear])
            .again(&[Flag::EngineRuns]),
    );
    live(draft, alone, second);
}

/// What is said, by whom; a pilot who is alone says a line of their own aloud.
fn said(alone: bool, call: &str, answer: &str, own: &str) -> String {
    if alone {
        format!("say it aloud, and do it: \"{own}\"")
    } else {
        format!("propeller: \"{call}\"  controls: \"{answer}\"")
    }
}

/// From the first hand on the propeller to the swing.
fn live(draft: &mut Draft<'_>, alone: bool, second: Role) {
    let hands = draft.add(
        task("hands-on", "To the propeller, from the front side, feet apart, weight back")
            .who(second)
            .why("it is live from now on, whatever the switches say")
            .note(said(
                alone,
                "Switches off, coming in",
                "Switches off, come in",
                "Switches off, throttle set: I go in",
            ))
            .on(&[Flag::Chocks, Flag::Throttle, Flag::SwitchesOff])
            .off(&[Flag::Contact])
            .sets(&[Flag::AtPropeller])
            .again(&[Flag::EngineRuns, Flag::OffSaid]),
    );
    let pull = draft.add(
        task("pull-through", "Prime it and pull it through, as the manual says: switches off")
            .who(second)
            .why("it fires with switches off when a lead is broken: each blade is pulled as if it would")
            .note(said(
                alone,
                "Switches off, throttle closed, pulling through",
                "Switches off, throttle closed",
                "Switches off, throttle closed: I pull it through",
            ))
            .note("unknown here: how much it is primed and how often it is pulled through; the manual has it")
            .note("afterwards the throttle is just open again, and said")
            .reads(Reads::Words)
            .after(hands)
            .again(&[Flag::EngineRuns, Flag::OffSaid, Flag::AtPropeller]),
    );
    draft.add(
        task(
            "call-contact",
            if alone {
                "Hands off and step back; then to the switches"
            } else {
                "Hands off, step back, call for contact"
            },
        )
        .who(second)
        .why("only the one at the propeller knows where their hands are")
        .note(said(alone, "Hands clear. Contact?", "(waits)", "Hands clear; contact is next"))
        .after(pull)
        .sets(&[Flag::ContactCalled])
        .again(&[Flag::EngineRuns, Flag::OffSaid]),
    );
    let mut contact = task("contact", "Switches to contact, and say so")
        .why("never before it was called for")
        .note(said(alone, "(waits)", "Contact", "Contact"))
        .on(&[Flag::ContactCalled])
        .sets(&[Flag::Contact])
        .clears(&[Flag::SwitchesOff])
        .again(&[Flag::EngineRuns, Flag::OffSaid]);
    if alone {
        contact = contact.note(
            "you go back to a live propeller, from behind the wing: there is no other way alone",
        );
    }
    draft.add(contact);
    let mut on = vec![Flag::Contact, Flag::TailTied, Flag::ArcClear];
    if !alone {
        on.push(Flag::AtControls);
    }
    draft.add(
        task("swing", "Swing it once, and let the swing carry you away backwards")
            .who(second)
            .why("it kicks back, or it runs: either way you are not there")
            .note("it runs: yes. It does not: no; then nobody goes near before switches off was said again")
            .holds(Reads::Yes)
            .fails(Fails::NoStart)
            .on(&on)
            .off(&[Flag::Aboard])
            .sets(&[Flag::EngineRuns])
            .clears(&[Flag::MasterOff, Flag::ContactCalled, Flag::OffSaid]),
    );
}

/// From running to free: idle, clear of the arc, chocks from behind, tail.
fn away(draft: &mut Draft<'_>, alone: bool) {
    let second = draft.second();
    draft.add(
        task("away-from-propeller", "Back and out sideways, behind the wing tip, never through")
            .who(second)
            .why("a propeller that turns is not seen")
            .on(&[Flag::EngineRuns])
            .clears(&[Flag::AtPropeller])
            .again(&[Flag::EngineRuns]),
    );
    let away = draft.tasks.len() - 1;
    if alone {
        draft.add(
            task("seat-after", "Round the wing tip to the seat, belt on, stick back")
                .why("nobody is at the controls until you are")
                .after(away)
                .sets(&[Flag::AtControls]),
        );
    }
    draft.add(
        task("idle", "Throttle to idle; instruments by the manual")
            .why("nobody goes near the wheels at more than idle")
            .on(&[Flag::AtControls, Flag::EngineRuns])
            .sets(&[Flag::Idle]),
    );
    if draft.facts.expected && !alone {
        draft.add(
            Task::new("board-running", Phase::Start, "Lead each passenger from behind the wing to the door, one by one")
                .who(second)
            .why(if draft.facts.starter == Some(false) {
                "a propeller that turns is not seen; shut down, board and begin anew is the better way"
            } else {
                "a propeller that turns is not seen; shut down and start by starter is the better way"
            })
                .note("the one who leads walks on the side of the propeller, and nobody goes forward of the strut")
                .note("not led, not briefed, or a door ahead of the wing: nobody boards")
                .on(&[Flag::Briefed, Flag::Idle, Flag::Chocks])
                .off(&[Flag::AtPropeller, Flag::GearOut])
                .sets(&[Flag::Aboard])
                .boards(),
        );
    }
    let last = draft.tasks.len() - 1;
    let title = if alone {
        "Chocks away by their line, from the seat"
    } else {
        "Chocks out from behind the propeller, never from the front"
    };
    let chocks = draft.add(
        task("chocks-away", title)
            .who(second)
            .why("whoever reaches for a chock from the side reaches into the arc")
            .on(&[Flag::Idle, Flag::AtControls])
            .off(&[Flag::AtPropeller])
            .after(last)
            .clears(&[Flag::Chocks]),
    );
    draft.add(
        task(
            "tail-off",
            if alone {
                "Tail released by its line, from the seat"
            } else {
                "Tail released, last of all; thumb up from behind"
            },
        )
        .who(second)
        .why("the tail tie is what holds while somebody is under the wing")
        .after(chocks)
        .clears(&[Flag::TailTied]),
    );
    if let Some(second) = draft.facts.second.clone().filter(|_| draft.facts.second_rides) {
        let last = draft.tasks.len() - 1;
        let mut board = task(
            "board-second",
            format!("{} comes round the wing tip, from behind, and boards", second.name),
        )
        .who(Role::Second)
        .why("nothing holds it now but the one at the controls, and the propeller is not seen")
        .note("idle, and hand signals agreed before: it creeps, or no signal: nobody comes near")
        .after(last);
        if people::second_is_rider(draft.facts) {
            board = board.on(&[Flag::Briefed]).boards();
        }
        if draft.facts.brake == Some(false) {
            board = board
                .note("no brake is fitted: on a slope or in wind shut it down, and board then");
        }
        draft.add(board);
    }
}
