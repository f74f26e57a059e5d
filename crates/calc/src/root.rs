//! Where a rising function reaches a value, by halving: for sums whose inverse has no closed form.

/// Halvings after which neighbouring floating-point numbers are left between any two bounds.
const MOST_HALVINGS: usize = 200;

/// The least `x` from `low` to `high` at which `rising` reaches `wanted`, as near as `f64` can tell.
///
/// `low` when it is reached there already, `high` when it is never reached.
pub(crate) fn reaches(
    mut low: f64,
    mut high: f64,
    wanted: f64,
    rising: impl Fn(f64) -> f64,
) -> f64 {
    if rising(low) >= wanted {
        return low;
    }
    for _ in 0..MOST_HALVINGS {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            break;
        }
        if rising(middle) >= wanted {
            high = middle;
        } else {
            low = middle;
        }
    }
    high
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_square_root_is_found_to_the_last_digit() {
        assert!((reaches(0.0, 2.0, 2.0, |x| x * x) - std::f64::consts::SQRT_2).abs() < 1e-15);
    }

    #[test]
    fn what_lies_outside_gives_the_nearer_end() {
        assert!(reaches(1.0, 2.0, 0.5, |x| x).total_cmp(&1.0).is_eq());
        assert!(reaches(1.0, 2.0, 9.0, |x| x).total_cmp(&2.0).is_eq());
        assert!(reaches(1.0, 2.0, f64::NAN, |x| x).total_cmp(&2.0).is_eq());
    }

    #[test]
    fn a_jump_is_met_where_it_is() {
        let found = reaches(0.0, 1.0, 0.5, |x| if x < 0.3 { 0.0 } else { 1.0 });
        assert!((found - 0.3).abs() < 1e-15);
    }
}
