//! How long it takes to measure an apron, and to find a way over it.

#![allow(clippy::expect_used, reason = "a benchmark without its input is over")]

mod apron;

use apron::{Apron, all_pairs};
use divan::{Bencher, black_box};
use stillprop_calc::{
    plane::{Shape, nearest},
    quantity::{FromAmount, Length},
    trace::Silent,
    walk::{Forbidden, Walk, walk},
};

fn main() {
    divan::main();
}

/// Nearest points of the aeroplane and one area, by its place in the file.
#[divan::bench(args = [0, 7, 11])]
fn two_shapes(bencher: Bencher<'_, '_>, area: usize) {
    let apron = Apron::read();
    let (aeroplane, _) = apron.placed();
    bencher.bench_local(|| nearest(black_box(&aeroplane), black_box(&apron.areas[area])));
}

/// A fuelling point and a shape of 24 corners.
#[divan::bench]
fn point_and_shape(bencher: Bencher<'_, '_>) {
    let apron = Apron::read();
    let (_, fuelling) = apron.placed();
    bencher.bench_local(|| nearest(black_box(fuelling[0]), black_box(&apron.areas[7])));
}

/// The aeroplane put in its place, and every distance from it and from its fuelling points.
#[divan::bench]
fn one_position(bencher: Bencher<'_, '_>) {
    let apron = Apron::read();
    let (mut aeroplane, mut fuelling) = apron.placed();
    bencher.bench_local(|| {
        let pose = black_box(apron.pose());
        apron.aeroplane.place_into(pose, &mut aeroplane);
        for (placed, point) in fuelling.iter_mut().zip(&apron.fuelling) {
            *placed = point.placed(pose);
        }
        let mut least = Length::from_si(f64::INFINITY);
        all_pairs(&aeroplane, &fuelling, &apron.areas, |found| {
            if found.distance < least {
                least = found.distance;
            }
        });
        least
    });
}

/// The area that the aeroplane shares with each area.
#[divan::bench]
fn overlaps(bencher: Bencher<'_, '_>) {
    let apron = Apron::read();
    let (aeroplane, _) = apron.placed();
    let grown: Vec<Shape> = apron.areas.iter().map(|area| grown(area, 12.0)).collect();
    bencher.bench_local(|| {
        grown.iter().map(|area| black_box(&aeroplane).overlap_area(area).value).sum::<f64>()
    });
}

/// The round offset of the aeroplane, with its area.
#[divan::bench]
fn offset(bencher: Bencher<'_, '_>) {
    let aeroplane = Apron::read().aeroplane;
    bencher.bench_local(|| black_box(&aeroplane).offset(Length::from_si(3.0)));
}

/// From the waiting area to the door, everything grown by a metre.
#[divan::bench]
fn walking(bencher: Bencher<'_, '_>) {
    let apron = Apron::read();
    let (_, fuelling) = apron.placed();
    let shapes: Vec<Shape> = apron.areas.iter().map(|area| grown(area, 1.0)).collect();
    let forbidden: Vec<_> =
        shapes.iter().enumerate().map(|(index, shape)| Forbidden { index, shape }).collect();
    let gate = grown(&apron.areas[4], 1.5).corners().next().expect("a corner");
    let way = || walk(black_box(gate), fuelling[0], &forbidden, &mut Silent);
    assert!(matches!(way(), Ok(Walk::Path { .. })), "the benchmark looks for a way that there is");
    bencher.bench_local(way);
}

fn grown(shape: &Shape, metres: f64) -> Shape {
    shape.grown(Length::from_si(metres)).expect("few corners")
}
