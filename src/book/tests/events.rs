//! Parts events.

use super::*;

#[test]
fn an_event_is_read_with_its_figures_and_remarks() {
    let desk = event("tray_mounts:  ordered, due day 4, cost 86.00, by boat, slowly  # again");
    assert_eq!(desk.said(), []);
    let event = desk.event().unwrap();
    assert_eq!(
        (event.id.value.as_str(), event.what.value, event.due),
        ("tray_mounts", EventKind::Ordered, Some(4))
    );
    assert_eq!(event.cost.as_ref().unwrap().value.to_string(), "86.00");
    assert_eq!(event.remark.as_deref(), Some("by boat, slowly, again"));
    assert_eq!(
        desk.files.sources.slice(event.cost.as_ref().unwrap().span),
        "86.00"
    );
}

#[test]
fn a_line_of_remarks_is_no_event_and_no_fault() {
    let desk = event("# later: motor");
    assert_eq!(desk.said(), []);
    assert!(desk.event().is_none());
}

#[test]
fn an_event_that_cannot_be_read_is_said_at_its_place() {
    assert_eq!(
        event("motor: fited").only(),
        (
            "bad-event",
            5,
            8,
            "`fited` is not a parts event",
            Some("fitted")
        )
    );
    assert_eq!(
        event("motor fitted").only(),
        (
            "bad-event",
            5,
            1,
            "this line does not name a part and an event",
            None
        )
    );
    assert_eq!(
        event("motr: in").only(),
        (
            "unknown-part",
            5,
            1,
            "no part is called `motr`",
            Some("motor")
        )
    );
    assert_eq!(
        event("motor: ordered, due 4").only(),
        ("bad-event", 5, 17, "this is not a due day", None)
    );
    assert_eq!(
        event("motor: in, due day 4").only(),
        (
            "bad-event",
            5,
            12,
            "only an `ordered` part can have a due day",
            None
        )
    );
    assert_eq!(
        event("motor: in, cost 86,00").only(),
        (
            "decimal-comma",
            5,
            17,
            "use a decimal point, not a comma, in a cost",
            Some("86.00")
        )
    );
    assert_eq!(
        event("motor: in, cost lots").only(),
        ("bad-event", 5, 12, "this is not a cost", None)
    );
    assert_eq!(
        event("motor: altered").only(),
        ("bad-event", 5, 8, "`altered` needs a reason after it", None)
    );
}
