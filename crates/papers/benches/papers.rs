//! How long a paper takes: one like the record of a turnaround, with two pictures.

#![allow(clippy::expect_used, reason = "a benchmark without its input is over")]

use divan::Bencher;
use stillprop_papers::{Block, Column, Paper, Picture, Row, Table, print};

const PICTURES: [&str; 2] = [
    include_str!("../../draw/tests/golden/loading-full-laptop.svg"),
    include_str!("../../draw/tests/golden/apron-crowded-laptop.svg"),
];

fn main() {
    divan::main();
}

fn paper() -> Paper {
    let columns = ["When", "Who", "What", "Hash"].map(Column::words).to_vec();
    let row = |n: usize| {
        Row::from_iter([
            format!("2026-12-03 13:{:02}:00", n % 60),
            "Marro Teel".to_owned(),
            format!("task done: cap off {n}, by the pilot, reading {n} L as typed"),
            format!("{:064x}", n * 0x9e37_79b9),
        ])
    };
    let mut blocks = vec![Block::Table(Table { columns, rows: (0..130).map(row).collect() })];
    blocks.extend(PICTURES.map(|svg| Block::Picture(Picture { svg: svg.into() })));
    Paper { blocks, scale: 1.0, ..Paper::default() }
}

/// 130 records with their hashes, and two pictures.
#[divan::bench(sample_count = 30)]
fn record_of_a_turnaround(bencher: Bencher<'_, '_>) {
    let paper = paper();
    bencher.bench_local(|| print(&paper).expect("a paper").len());
}
