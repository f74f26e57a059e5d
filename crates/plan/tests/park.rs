//! The best place on an apron against looking everywhere.

#[path = "../../turnaround/tests/demo/mod.rs"]
mod demo;

use stillprop_plan::park::{Mover, Search};

#[test]
fn shows() {
    for name in ["crowded-apron", "ready", "over-mass", "spill", "last-light"] {
        let (stage, choice) = demo::stage(name);
        let mut mover = Mover::new(&stage, &choice).unwrap();
        let present = mover.present().unwrap();
        println!("{name} present {:?} walk {}", mover.worth(present), mover.walkable());
        let mut search = Search::new(&stage, &choice).unwrap();
        for _ in 0..20 {
            let done = search.step(20_000);
            println!("{done} {:?}", search.place());
            if done {
                break;
            }
        }
    }
}
