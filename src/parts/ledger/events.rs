//! What can happen to a part from where it is.
//!
//! In: a state and an event. Out: the next state, or nothing where the event cannot follow.

use crate::book::EventKind;

/// Where a part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum PartState {
    /// Nothing has happened yet.
    #[default]
    Needed,
    /// On order.
    Ordered,
    /// In the shop.
    In,
    /// On the vehicle.
    Fitted,
    /// Off the vehicle again, in the shop.
    Off,
    /// Back where it came from.
    SentBack,
    /// Of no more use.
    Scrapped,
}

impl PartState {
    /// Every state, in the order a part usually sees them.
    pub const ALL: [Self; 7] = [
        Self::Needed,
        Self::Ordered,
        Self::In,
        Self::Fitted,
        Self::Off,
        Self::SentBack,
        Self::Scrapped,
    ];

    /// The words scripts may rely on.
    pub fn words(self) -> &'static str {
        match self {
            Self::Needed => "needed",
            Self::Ordered => "ordered",
            Self::In => "in",
            Self::Fitted => "fitted",
            Self::Off => "off",
            Self::SentBack => "sent back",
            Self::Scrapped => "scrapped",
        }
    }

    /// Is it in the shop or on the vehicle?
    pub fn is_here(self) -> bool {
        matches!(self, Self::In | Self::Fitted | Self::Off)
    }

    /// Where it is after `event`; `None` where that cannot happen from here.
    #[must_use]
    pub fn after(self, event: EventKind) -> Option<Self> {
        use EventKind as E;
        match (event, self) {
            (
                E::Ordered,
                Self::Needed | Self::Ordered | Self::SentBack | Self::Scrapped | Self::Off,
            ) => Some(Self::Ordered),
            (E::Cancelled, Self::Ordered) => Some(Self::Needed),
            (E::In, Self::Needed | Self::Ordered | Self::SentBack) => Some(Self::In),
            (E::Fitted, Self::In | Self::Off) => Some(Self::Fitted),
            (E::TakenOff, Self::Fitted) => Some(Self::Off),
            (E::SentBack, Self::In | Self::Fitted | Self::Off | Self::Ordered) => {
                Some(Self::SentBack)
            }
            (E::Scrapped, Self::In | Self::Fitted | Self::Off | Self::Ordered) => {
                Some(Self::Scrapped)
            }
            (E::Altered, Self::In | Self::Off | Self::Fitted) => Some(self),
            _ => None,
        }
    }

    /// What can happen from here.
    pub fn can_be(self) -> impl Iterator<Item = EventKind> {
        EventKind::ALL
            .into_iter()
            .filter(move |event| self.after(*event).is_some())
    }

    /// The one event that would have to come before `event`, where one is enough.
    pub fn missing_before(self, event: EventKind) -> Option<EventKind> {
        self.can_be().find(|first| {
            self.after(*first)
                .is_some_and(|next| next.after(event).is_some())
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The table of the format, a line each: event, the states it can follow, where it leads.
    const TABLE: &str = "
        ordered:   needed, ordered, sent back, scrapped, off -> ordered
        cancelled: ordered -> needed
        in:        needed, ordered, sent back -> in
        fitted:    in, off -> fitted
        taken off: fitted -> off
        sent back: in, fitted, off, ordered -> sent back
        scrapped:  in, fitted, off, ordered -> scrapped
        altered:   in, off, fitted -> same";

    #[test]
    fn the_events_are_those_of_the_format_and_no_others() {
        let lines = TABLE
            .trim()
            .lines()
            .map(|line| line.trim().split_once(':').unwrap());
        for ((event, rest), kind) in lines.zip([
            EventKind::Ordered,
            EventKind::Cancelled,
            EventKind::In,
            EventKind::Fitted,
            EventKind::TakenOff,
            EventKind::SentBack,
            EventKind::Scrapped,
            EventKind::Altered,
        ]) {
            assert_eq!(event, kind.words());
            let (from, to) = rest.split_once("->").unwrap();
            for state in PartState::ALL {
                let legal = from.split(',').any(|word| word.trim() == state.words());
                let leads = if to.trim() == "same" {
                    state.words()
                } else {
                    to.trim()
                };
                let expected = legal.then_some(leads);
                assert_eq!(
                    state.after(kind).map(PartState::words),
                    expected,
                    "{event} from {state:?}"
                );
            }
        }
    }

    #[test]
    fn a_part_that_was_never_in_is_in_before_it_is_fitted() {
        assert_eq!(
            PartState::Ordered.missing_before(EventKind::Fitted),
            Some(EventKind::In)
        );
        assert_eq!(
            PartState::Fitted.missing_before(EventKind::Fitted),
            Some(EventKind::TakenOff)
        );
        assert_eq!(
            PartState::Needed.missing_before(EventKind::Altered),
            Some(EventKind::In)
        );
        assert_eq!(PartState::Scrapped.missing_before(EventKind::Fitted), None);
    }
}
