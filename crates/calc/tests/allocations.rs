//! Measuring takes no memory: a search may do it a million times.

mod apron;

use apron::{Chance, metres, point};
use stillprop_calc::{
    plane::{Disc, Pose, nearest, nearest_within},
    quantity::{Angle, FromAmount},
};

#[test]
fn nearest_overlap_and_placing_take_no_memory() {
    let mut chance = Chance::new(21);
    let mut placed = chance.star((0.0, 0.0), 5.0, 24, 0.8);
    for _ in 0..200 {
        let (a, b) = (chance.star((0.0, 0.0), 5.0, 24, 0.8), chance.star((9.0, 0.0), 5.0, 9, 0.8));
        let at = point(chance.between(-9.0, 9.0), 3.0);
        let disc = Disc::new(at, metres(2.0)).unwrap();
        let pose = Pose::new(at, Angle::from_si(chance.between(-3.0, 3.0))).unwrap();
        let taken = allocation_counter::measure(|| {
            std::hint::black_box(nearest(&a, &b));
            std::hint::black_box(nearest(at, &b));
            std::hint::black_box(nearest(disc, &a));
            std::hint::black_box(nearest_within(&a, &b, metres(3.0)));
            std::hint::black_box(a.overlap_area(&b));
            a.place_into(pose, &mut placed);
            std::hint::black_box((a.contains(at), a.area(), a.centroid(), a.convex()));
        });
        assert_eq!(taken.count_total, 0);
    }
    let info = allocation_counter::measure(|| drop(std::hint::black_box(vec![0_u8; 100])));
    assert_eq!(info.count_total, 1, "the counter sees nothing");
}
