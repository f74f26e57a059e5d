//! Which limits cannot all be kept: a set from which none can be left out.

/// A minimal conflict among `count` limits that cannot all be kept.
///
/// `possible` answers whether all limits marked `true` can be kept together. Each limit in turn is
/// left out for good if the rest still cannot be kept (a deletion filter): `count` questions, and
/// what remains becomes possible whichever one of it is left out. It need not be the smallest of
/// all such sets. Limits late in the order are more likely to stay.
///
/// Formula: deletion filter for an irreducible infeasible subsystem (Chinneck and Dravnieks,
/// ORSA Journal on Computing 3, 1991), from memory.
///
/// `None` when a question could not be answered.
pub fn minimal(
    count: usize,
    mut possible: impl FnMut(&[bool]) -> Option<bool>,
) -> Option<Vec<usize>> {
    let mut asked = vec![true; count];
    for limit in 0..count {
        asked[limit] = false;
        asked[limit] = possible(&asked)?;
    }
    Some((0..count).filter(|limit| asked[*limit]).collect())
}

#[cfg(test)]
mod tests {
    use super::minimal;

    /// 1 and 3 cannot be kept together, nor 0, 2 and 4.
    fn possible(kept: &[bool]) -> Option<bool> {
        Some(!(kept[1] && kept[3] || kept[0] && kept[2] && kept[4]))
    }

    #[test]
    fn one_of_two_conflicts_is_found_and_nothing_beside_it() {
        assert_eq!(minimal(5, possible), Some(vec![1, 3]));
        let without_third = |kept: &[bool]| {
            let mut kept = kept.to_vec();
            kept[3] = false;
            possible(&kept)
        };
        assert_eq!(minimal(5, without_third), Some(vec![0, 2, 4]));
    }

    #[test]
    fn an_unanswered_question_gives_no_set() {
        assert_eq!(minimal(3, |_| None), None);
    }
}
