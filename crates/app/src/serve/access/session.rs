//! Sessions: how long one stands.
//!
//! A session ends when nobody has used it for half a day, and a week after it began whatever
//! happened: a phone that is lost is a stranger's for hours, not for ever. The lengths: common
//! practice, no source. That there are both kinds of end: NIST SP 800-63B-4 (draft text of its
//! public repository), section 5.2, memory.

use jiff::{SignedDuration, Timestamp};

/// Unused for so long, a session ends.
const UNUSED: SignedDuration = SignedDuration::from_hours(12);

/// So long after its beginning it ends in any case.
pub(crate) const LONGEST: SignedDuration = SignedDuration::from_hours(7 * 24);

/// Use is written down no more often than this: a page is not to cost a write to the disk.
const NOTED: SignedDuration = SignedDuration::from_mins(5);

/// Begin and last use of a session.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Span {
    /// When the person came in.
    pub(crate) begun: Timestamp,
    /// When it was used last, as far as it was noted.
    pub(crate) used: Timestamp,
}

impl Span {
    /// A session that begins now.
    pub(crate) const fn begin(now: Timestamp) -> Self {
        Self { begun: now, used: now }
    }

    /// True while the session stands.
    pub(crate) fn stands(self, now: Timestamp) -> bool {
        now.duration_since(self.begun) < LONGEST && now.duration_since(self.used) < UNUSED
    }

    /// The span with this use, when the use has to be noted.
    pub(crate) fn noted(self, now: Timestamp) -> Option<Self> {
        let worth = now.duration_since(self.used) >= NOTED;
        worth.then_some(Self { used: now, ..self })
    }

    /// Everything that began before this has ended, and may be thrown away.
    pub(crate) fn ended_before(now: Timestamp) -> Timestamp {
        now.saturating_sub(LONGEST).unwrap_or(Timestamp::MIN)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn at(seconds: i64) -> Timestamp {
        Timestamp::from_second(1_700_000_000 + seconds).unwrap()
    }

    const HOUR: i64 = 3600;

    #[test]
    fn unused_it_ends_after_half_a_day() {
        let span = Span::begin(at(0));
        assert!(span.stands(at(12 * HOUR - 1)));
        assert!(!span.stands(at(12 * HOUR)));
    }

    #[test]
    fn used_it_ends_after_a_week() {
        let span = Span { begun: at(0), used: at(167 * HOUR) };
        assert!(span.stands(at(168 * HOUR - 1)));
        assert!(!span.stands(at(168 * HOUR)));
    }

    #[test]
    fn use_is_noted_after_five_minutes() {
        let span = Span::begin(at(0));
        assert_eq!(span.noted(at(299)), None);
        assert_eq!(span.noted(at(300)), Some(Span { begun: at(0), used: at(300) }));
    }

    proptest! {
        // However it is used, it is over after a week, and what is thrown away has ended.
        #[test]
        fn no_use_keeps_a_session_longer_than_a_week(
            steps in prop::collection::vec(0_i64..13 * HOUR, 1..60),
        ) {
            let (mut span, mut now) = (Span::begin(at(0)), 0);
            for step in steps {
                now += step;
                let stands = span.stands(at(now));
                prop_assert!(!stands || now < 168 * HOUR);
                prop_assert!(!stands || span.begun >= Span::ended_before(at(now)));
                if !stands {
                    break;
                }
                span = span.noted(at(now)).unwrap_or(span);
            }
        }
    }
}
