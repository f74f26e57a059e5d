//! What can be said of a container as it stands. What makes no sense for it is not offered: a
//! form that is there looks as if it might be used.
//!
//! People state facts, and whatever happened can still be recorded on the command line.

use stillprop_ledger::{event::v1::ContainerKind, yard::Container};

use super::record::Form;

/// Why something is not offered, and the way out.
pub(crate) type Against = (String, String);

impl Form {
    /// What can be said of a container now, in the order in which it is offered.
    pub(crate) fn offered(of: &Container) -> Vec<Self> {
        Self::of_container().filter(|form| form.against(of).is_none()).collect()
    }

    /// Why it is not offered for a container; `None` when it is.
    pub(crate) fn against(self, of: &Container) -> Option<Against> {
        let not = |why: &str, help: &str| Some((why.to_owned(), help.to_owned()));
        let kind = of.received.as_ref().map(|said| said.what.kind);
        if kind.is_some_and(|kind| kind != ContainerKind::Drum) {
            let drums = [Self::Stand, Self::Open, Self::Mark];
            if drums.contains(&self) {
                return not("this is no drum", "drums are stood up, opened and marked");
            }
        }
        if self == Self::Move && kind == Some(ContainerKind::Tank) {
            return not("a fixed tank is not moved", "record that another container came in");
        }
        if of.condemned.is_some() && [Self::Open, Self::Stand, Self::Mark].contains(&self) {
            let help = "it must not be used; was that wrong, take that record back in its history";
            return not("it was condemned", help);
        }
        if of.condemned.is_some() && self == Self::Condemn {
            return not("it was condemned already", "its history says when and why");
        }
        let empty = [Self::Open, Self::Stand, Self::Sample, Self::Draw, Self::Mark, Self::Empty];
        if of.emptied.is_some() && empty.contains(&self) {
            let help = "is there still fuel in it, count its contents or take that record back";
            return not("nothing usable is left in it", help);
        }
        match (self, of.opened) {
            (Self::Open, Some(_)) => {
                not("it was opened already", "its history says when; a seal is broken once")
            }
            (Self::Mark, None) => {
                not("it was never opened", "what is left is written on it after it was drawn from")
            }
            _ => None,
        }
    }
}
