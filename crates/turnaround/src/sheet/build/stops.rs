//! The words of the stop actions.

use super::{metres_down, metres_up, square_metres_down, told};
use crate::sheet::{
    facts::Facts,
    stop::{Move, Plan, Step, Stop},
};

fn step(does: Move, title: &str) -> Step {
    Step { does, title: title.into(), notes: Vec::new() }
}

impl Step {
    fn note(mut self, note: impl Into<String>) -> Self {
        self.notes.push(note.into());
        self
    }
}

/// Nobody waits for the form.
const AT_ONCE: &str = "by telephone at once, to the field and to whoever must know; common \
    practice, no source";

fn report(figure: &crate::stage::Figure<String>) -> String {
    told(figure, Clone::clone, "read the rule, and ask the field, before you leave")
}

pub(super) fn plans(facts: &Facts) -> Vec<Plan> {
    vec![fire(facts), injury(facts), spill(facts), lost_bond(facts), wrong_fuel(facts)]
}

fn fire(facts: &Facts) -> Plan {
    let steps = vec![
        step(Move::Flee, "Emergency stop, engine off; everybody out and away upwind")
            .note("nobody goes back for nozzle, cap, lead, chock or bag"),
        step(
            Move::Say,
            "Call for help, and say what burns; whoever is hurt is helped away from it",
        ),
        step(
            Move::Say,
            "Only if it is small, you were shown how, and the way out is behind you: extinguisher",
        ),
        step(Move::Say, "Count heads; keep everybody away; report")
            .note(AT_ONCE)
            .note(format!("report: {}", report(&facts.report_fire))),
    ];
    Plan {
        stop: Stop::Fire,
        steps,
        afterwards: "this sheet is at its end, with whatever lay open on it: the aeroplane stays \
            where it is, as it is, until the fire service and an engineer have seen it"
            .into(),
    }
}

fn injury(facts: &Facts) -> Plan {
    let steps = vec![
        step(
            Move::MakeSafe,
            "Pump off, nozzle out, cap on; engine and switches off; nobody else near",
        )
        .note("while a bond is lost, leave nozzle and cap alone"),
        step(Move::Say, "Help whoever is hurt; call for help, and say where you are")
            .note("fuel on skin or in eyes: much water, clothes off away from sparks"),
        step(Move::Say, "Report; the pilot says whether work goes on today")
            .note(AT_ONCE)
            .note(format!("report: {}", report(&facts.report_injury))),
    ];
    Plan {
        stop: Stop::Injury,
        steps,
        afterwards: "what was put down is taken up from the recap".into(),
    }
}

fn spill(facts: &Facts) -> Plan {
    let distance = told(&facts.spill_distance, metres_up, "read the rule on spills");
    let area = told(&facts.call_area, square_metres_down, "any that you cannot take up at once");
    let width = told(&facts.call_width, metres_down, "any that runs on");
    let mut control = step(
        Move::Control,
        "Control: pump off, nozzle up, cap on; everybody off and away upwind, no switch touched",
    )
    .note("an engine that runs is shut down; otherwise no switch is touched, off or on");
    for spilt in &facts.spilt {
        control = control.note(format!("by the documents: {spilt}"));
    }
    let steps = vec![
        control,
        step(Move::Say, "Call the fire service: large, running on, near a drain or an engine, or in doubt")
            .note(format!("larger than: {area}"))
            .note(format!("wider in any direction than: {width}"))
            .note("small and still: say why it is not called, and go on"),
        step(Move::Contain, "Contain: a ring of sorbent or earth before any drain, ditch or grass")
            .note("not known here: how the ground falls, where the drains lead, what the grass holds; go and look")
            .note(format!("nothing is started nearer than: {distance}")),
        step(Move::CleanUp, "Clean up: take it up, bag it, wait until nobody smells it")
            .note("look under the aeroplane too: fuel runs along the skin and drips elsewhere"),
        step(Move::Say, "Report, and write down litres, time and place")
            .note(AT_ONCE)
            .note(format!("report: {}", report(&facts.report_spill))),
    ];
    Plan {
        stop: Stop::Spill,
        steps,
        afterwards:
            "lead on before the cap comes off again; what was put down is taken up from the recap"
                .into(),
    }
}

fn lost_bond(facts: &Facts) -> Plan {
    let wait = told(&facts.charge_wait, super::minutes, "read the rule on bonding");
    let steps = vec![
        step(Move::PumpOff, "Pump off at once; hands off nozzle, cap and clip"),
        step(Move::Wait, "Wait until the charge has run off").note(format!("how long: {wait}")),
        step(
            Move::Rebond,
            "Lead on again at bare metal, away from the filler first; tug at each clip",
        ),
    ];
    Plan { stop: Stop::LostBond, steps, afterwards: "pump on again, slowly".into() }
}

fn wrong_fuel(facts: &Facts) -> Plan {
    let steps = vec![
        step(Move::MakeSafe, "Pump off, nozzle out, cap on; engine and switches off; nobody starts anything")
                .note("while a bond is lost, leave nozzle and cap alone"),
        step(Move::SetAside, "None of it went in: set it aside, mark it, take another. Some went in: mark the aeroplane, it does not fly")
            .note("draining it yourself does not clean pumps, lines and filters: an engineer does that")
            .note(format!("report: {}", report(&facts.report_fuel))),
    ];
    Plan {
        stop: Stop::WrongFuel,
        steps,
        afterwards: "another drum or another grade begins with being looked at".into(),
    }
}
