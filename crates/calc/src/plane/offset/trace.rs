//! From loose pieces to closed contours.

use super::{Contour, Piece, slack};
use crate::plane::{Xy, place::norm2};

/// The outline and the holes: each piece is followed by the one that begins where it ends.
pub(super) fn contours(pieces: Vec<Piece>) -> (Contour, Vec<Contour>) {
    let near = slack(pieces.iter().map(|piece| piece.ends().0));
    let mut left: Vec<Option<Piece>> = pieces.into_iter().map(Some).collect();
    let mut all = Vec::new();
    while let Some(first) = left.iter_mut().find_map(Option::take) {
        let (begin, mut end) = first.ends();
        let mut contour = vec![first];
        // Its own beginning is a candidate too: a contour is closed when nothing is nearer.
        while let Some(next) = following(&left, end, norm2(begin - end), near) {
            let Some(piece) = left[next].take() else { break };
            end = piece.ends().1;
            contour.push(piece);
        }
        all.push(Contour { pieces: contour });
    }
    // The outline goes around all the others.
    let areas = |contour: &Contour| contour.signed_area();
    let outer = (0..all.len()).max_by(|a, b| areas(&all[*a]).total_cmp(&areas(&all[*b])));
    let outline =
        outer.map_or_else(|| Contour { pieces: Vec::new() }, |outer| all.swap_remove(outer));
    // A sliver of rounding between two walls is no hole.
    all.retain(|hole| hole.signed_area() < -near * near);
    (outline, all)
}

/// The piece that begins nearest to `end`, if it is nearer than the place where the contour
/// would close.
fn following(left: &[Option<Piece>], end: Xy, closing2: f64, near: f64) -> Option<usize> {
    let gap2 = |piece: &Piece| norm2(piece.ends().0 - end);
    let open = left.iter().enumerate().filter_map(|(n, piece)| Some((n, gap2(piece.as_ref()?))));
    let (next, gap2) = open.min_by(|a, b| a.1.total_cmp(&b.1))?;
    (gap2 < closing2 && gap2 <= near * near).then_some(next)
}
