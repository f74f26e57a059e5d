//! How long all distances of one position on an apron take, to stand beside
//! `tests/live/apron_speed.py`. Prints the median of many rounds, and the sum of the distances,
//! which both must agree on.

#[path = "../benches/apron/mod.rs"]
mod apron;

use std::{hint::black_box, time::Instant};

use apron::{Apron, all_pairs};

const ROUNDS: usize = 500;
/// Positions in one round, so that the clock itself does not count.
const EACH: u32 = 50;

#[expect(clippy::disallowed_methods, reason = "this is what a benchmark does")]
fn main() {
    let apron = Apron::read();
    let (aeroplane, fuelling) = apron.placed();
    let one = || {
        let mut sum = 0.0;
        all_pairs(black_box(&aeroplane), black_box(&fuelling), &apron.areas, |found| {
            sum += found.distance.value;
        });
        sum
    };
    let mut rounds: Vec<f64> = (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            for _ in 0..EACH {
                black_box(one());
            }
            start.elapsed().as_secs_f64() * 1e6 / f64::from(EACH)
        })
        .collect();
    rounds.sort_by(f64::total_cmp);
    println!("distances  {:.4} us", rounds[ROUNDS / 2]);
    println!("sum  {:.9}", one());
}
