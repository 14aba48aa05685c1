//! Every field of every view model, and what becomes of it for somebody outside.
//!
//! A field that does not stand here is not let through. `tests/handover/` reads the source of
//! `record/` and fails where a field of a page is missing here, stands here and is no more, or
//! holds a view model that is not said to be one.
//!
//! | class | what becomes of it |
//! | --- | --- |
//! | `Own` | the program's own words, counts, figures: as they are. What hangs on a cost was taken out of the book before |
//! | `Words` | text with names in it: the crew's names, serials and suppliers go where they may not be seen |
//! | `Remark` | what the crew wrote: the same, and sums of money go where costs may not be seen |
//! | `Html` | the crew's words as HTML: the same in its texts, addresses and anchors |
//! | `Svg` | a drawing and its words: names go in both |
//! | `People` | who: full, as initials or as `somebody` |
//! | `Address` | an address, an anchor, a path, an id: names, serials and suppliers go, the same way everywhere |
//! | `Money` | `withheld` where costs may not be seen |
//! | `Supplier` | empty where suppliers may not be seen |
//! | `Never` | empty for everybody outside: source text, shop blocks |
//! | `In` | a view model of that type, or a list of them |
//! | `Crew` | a list of rows by person: none where names may not be seen |
//! | `Suppliers` | a list of rows by supplier: none where suppliers may not be seen |

/// What becomes of a field.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Class {
    /// As it is.
    Own,
    /// Text with names in it.
    Words,
    /// What the crew wrote.
    Remark,
    /// The crew's words as HTML.
    Html,
    /// A drawing.
    Svg,
    /// Who.
    People,
    /// An address, an anchor, a path, an id.
    Address,
    /// A sum of money.
    Money,
    /// Who a part is from.
    Supplier,
    /// For nobody outside.
    Never,
    /// A view model of that type.
    In(&'static str),
    /// A list of rows by person.
    Crew(&'static str),
    /// A list of rows by supplier.
    Suppliers(&'static str),
}

use Class::{
    Address, Crew, Html, In, Money, Never, Own, People, Remark, Supplier, Suppliers, Svg, Words,
};

type Fields = &'static [(&'static str, Class)];

/// The types that pages begin with.
pub const ROOTS: [&str; 10] = [
    "SearchData",
    "Frame",
    "Cover",
    "JobsPage",
    "LedgerPage",
    "AsBuilt",
    "HoldPage",
    "Methods",
    "DayPage",
    "Inspection",
];

/// The fields of each type. Of a type that is one of several kinds, each kind: `BodyPart/html`.
pub const FIELDS: &[(&str, Fields)] = &[
    (
        "Frame",
        &[
            ("title", Remark),
            ("day", Own),
            ("days", Own),
            ("jobs_done", Own),
            ("jobs_all", Own),
            ("jobs_dropped", Own),
            ("deadline", Own),
            ("standing", Own),
            ("not_current", Never),
        ],
    ),
    ("Link", &[("href", Address), ("text", Remark)]),
    ("PlaceLink", &[("href", Address), ("text", Address)]),
    (
        "VerdictView",
        &[("words", Own), ("kind", Own), ("margin", Words)],
    ),
    (
        "Message",
        &[
            ("severity", Own),
            ("message", Remark),
            ("expected", Never),
            ("instead", Never),
            ("needed", Never),
            ("place", Address),
            ("href", Address),
        ],
    ),
    (
        "Strip",
        &[
            ("days", In("StripDay")),
            ("before", In("StripWeek")),
            ("after", In("StripWeek")),
        ],
    ),
    (
        "StripDay",
        &[
            ("day", Own),
            ("href", Address),
            ("words", Own),
            ("boxes", Own),
            ("here", Own),
            ("due", Own),
        ],
    ),
    (
        "StripWeek",
        &[
            ("week", Own),
            ("href", Address),
            ("words", Own),
            ("days", In("StripDay")),
        ],
    ),
    (
        "Cover",
        &[
            ("strip", In("Strip")),
            ("errors", Own),
            ("weeks", In("StripWeek")),
            ("date", Own),
            ("overall", Own),
            ("tag", In("HoldTag")),
            ("hold_history", In("HoldEventView")),
            ("targets_stand", Own),
            ("targets", In("CheckRow")),
            ("open_checks", In("CheckRow")),
            ("checks", Own),
            ("ahead", In("AheadView")),
            ("orders", In("OrderRow")),
            ("no_orders", Own),
            ("story", In("StoryDay")),
            ("hours", Svg),
            ("spent", Money),
            ("fitted", Words),
            ("messages", In("Message")),
        ],
    ),
    (
        "CheckRow",
        &[
            ("link", In("Link")),
            ("stands_at", Own),
            ("limit", Words),
            ("verdict", In("VerdictView")),
            ("basis", Own),
            ("drawing", Svg),
            ("hold", Own),
        ],
    ),
    (
        "StoryDay",
        &[
            ("day", Own),
            ("href", Address),
            ("date", Own),
            ("title", Remark),
            ("jobs", Own),
            ("hours", Own),
            ("turned", In("TurnedCheck")),
        ],
    ),
    (
        "TurnedCheck",
        &[("link", In("Link")), ("verdict", In("VerdictView"))],
    ),
    (
        "AheadView",
        &[
            ("words", Own),
            ("in_danger", Own),
            ("drawing", Svg),
            ("dangers", In("DangerView")),
            ("helps", In("HelpView")),
            ("pace", Own),
        ],
    ),
    ("DangerView", &[("link", In("Link")), ("words", Words)]),
    ("HelpView", &[("link", In("Link")), ("words", Own)]),
    (
        "OrderRow",
        &[
            ("part", In("Link")),
            ("from", Supplier),
            ("words", Own),
            ("late", Own),
            ("job", In("Link")),
        ],
    ),
    (
        "HoldPage",
        &[
            ("strip", In("Strip")),
            ("errors", Own),
            ("tag", In("HoldTag")),
            ("history", In("HoldEventView")),
            ("cautions", In("CautionView")),
        ],
    ),
    (
        "HoldEventView",
        &[
            ("kind", Own),
            ("link", In("Link")),
            ("words", Words),
            ("lines", In("HeldView")),
            ("more", Own),
            ("from", In("PlaceLink")),
        ],
    ),
    (
        "HeldView",
        &[("link", In("Link")), ("why", Words), ("stood", Own)],
    ),
    (
        "HoldTag",
        &[("words", Own), ("lines", In("HoldView")), ("more", Own)],
    ),
    (
        "HoldView",
        &[
            ("kind", Own),
            ("link", In("Link")),
            ("why", Words),
            ("clears", Own),
            ("from", In("PlaceLink")),
            ("cautions", Own),
        ],
    ),
    (
        "CautionView",
        &[
            ("title", Own),
            ("hazard", Own),
            ("precautions", Own),
            ("first_word", Own),
        ],
    ),
    (
        "Methods",
        &[
            ("strip", In("Strip")),
            ("judge", Own),
            ("formulas", In("FormulaView")),
            ("cautions", In("CautionView")),
        ],
    ),
    (
        "FormulaView",
        &[
            ("name", Own),
            ("signature", Own),
            ("says", Own),
            ("equation", Own),
            ("source", Own),
            ("caution", Own),
            ("arguments", In("ArgumentView")),
            ("call", Own),
            ("comes_to", Own),
            ("held_against", Own),
        ],
    ),
    ("ArgumentView", &[("name", Own), ("says", Own)]),
    (
        "DayPage",
        &[
            ("href", Address),
            ("day", Own),
            ("date", Own),
            ("date_why", Remark),
            ("title", Remark),
            ("heading", Html),
            ("overall", Own),
            ("lede", Own),
            ("crew", People),
            ("strip", In("Strip")),
            ("tag", In("HoldTag")),
            ("hold_history", In("HoldEventView")),
            ("body", In("BodyPart")),
            ("moved", In("MovedToday")),
            ("list", In("ListRow")),
            ("list_more", Own),
            ("balance", Own),
            ("hours", Own),
            ("overloaded", Words),
            ("ahead", In("AheadView")),
            ("orders", In("OrderRow")),
            ("no_orders", Own),
            ("messages", In("Message")),
            ("file", Address),
            ("before", In("Link")),
            ("after", In("Link")),
        ],
    ),
    (
        "ListRow",
        &[
            ("href", Address),
            ("title", Html),
            ("came", Own),
            ("by", People),
            ("planned", Own),
            ("spent", Own),
            ("state", Own),
            ("kind", Own),
            ("why", Remark),
        ],
    ),
    ("BodyPart/html", &[("kind", Own), ("html", Html)]),
    ("BodyPart/job", &[("kind", Own), ("job", In("JobMention"))]),
    ("BodyPart/sums", &[("kind", Own), ("rows", In("SumsRow"))]),
    ("BodyPart/parts", &[("kind", Own), ("rows", In("PartsRow"))]),
    (
        "BodyPart/drawings",
        &[
            ("kind", Own),
            ("drawings", Svg),
            ("messages", In("Message")),
        ],
    ),
    (
        "BodyPart/reference",
        &[
            ("kind", Own),
            ("to", Own),
            ("link", In("Link")),
            ("shows", Words),
        ],
    ),
    ("BodyPart/code", &[("kind", Own), ("text", Remark)]),
    (
        "BodyPart/photo",
        &[
            ("kind", Own),
            ("href", Address),
            ("small", Address),
            ("small_width", Own),
            ("width", Own),
            ("height", Own),
            ("alt", Remark),
            ("caption", Remark),
        ],
    ),
    (
        "BodyPart/lacking",
        &[
            ("kind", Own),
            ("why", Own),
            ("alt", Remark),
            ("caption", Remark),
        ],
    ),
    ("BodyPart/shop", &[("kind", Own), ("parts", Never)]),
    (
        "BodyPart/unread",
        &[("kind", Own), ("text", Never), ("messages", In("Message"))],
    ),
    (
        "JobMention",
        &[
            ("id", Address),
            ("ticked", Own),
            ("title", Html),
            ("href", Address),
            ("by", People),
            ("hours", Own),
            ("notes", Remark),
            ("cautions", Own),
            ("messages", In("Message")),
        ],
    ),
    (
        "PartsRow",
        &[
            ("id", Address),
            ("part", In("Link")),
            ("event", Own),
            ("details", Remark),
            ("written", Never),
            ("messages", In("Message")),
        ],
    ),
    (
        "SumsRow",
        &[
            ("id", Address),
            ("shares", Address),
            ("name", In("Link")),
            ("from", Words),
            ("formula", Own),
            ("comes_to", Own),
            ("limit", Words),
            ("hold", Own),
            ("verdict", In("VerdictView")),
            ("remark", Remark),
            ("unread", Never),
            ("choice", In("ChoiceView")),
            ("messages", In("Message")),
        ],
    ),
    (
        "ChoiceView",
        &[
            ("window", Words),
            ("nothing", Own),
            ("taken", Words),
            ("handy", In("HandyView")),
            ("caution", Own),
        ],
    ),
    ("HandyView", &[("size", Own), ("gives", Words)]),
    (
        "MovedToday",
        &[("rows", In("Moved")), ("more", Own), ("turned", Own)],
    ),
    (
        "Moved",
        &[
            ("link", In("Link")),
            ("from", Own),
            ("to", Own),
            ("verdicts", In("Turned")),
        ],
    ),
    (
        "Turned",
        &[
            ("rule", Words),
            ("verdict", In("VerdictView")),
            ("turned", Own),
        ],
    ),
    (
        "AsBuilt",
        &[
            ("strip", In("Strip")),
            ("values", In("ValueRow")),
            ("counts", Own),
        ],
    ),
    (
        "ValueRow",
        &[
            ("name", Address),
            ("comes_to", Own),
            ("sorts_as", Own),
            ("from", Words),
            ("formula", Own),
            ("predicted", In("Predicted")),
            ("line", In("Link")),
            ("checks", In("CheckView")),
            ("history", In("HistoryRow")),
            ("history_more", Own),
            ("sources", In("Source")),
            ("band", Svg),
        ],
    ),
    (
        "CheckView",
        &[
            ("rule", Words),
            ("hold", Own),
            ("target", Own),
            ("verdict", In("VerdictView")),
            ("limits", In("LimitView")),
            ("basis", Own),
        ],
    ),
    ("LimitView", &[("line", In("Link")), ("words", Remark)]),
    (
        "HistoryRow",
        &[("line", In("Link")), ("was", Own), ("from", Words)],
    ),
    (
        "Source",
        &[
            ("label", Words),
            ("kind", Own),
            ("moves", Own),
            ("shows", Own),
            ("worst_case_share", Own),
            ("rss_share", Own),
            ("worst_case_percent", Own),
            ("rss_percent", Own),
            ("by", People),
            ("day", Own),
            ("place", Address),
        ],
    ),
    (
        "Predicted",
        &[("shows", Own), ("difference", Own), ("within", Own)],
    ),
    (
        "JobsPage",
        &[
            ("strip", In("Strip")),
            ("jobs", In("JobRow")),
            ("chain", Svg),
            ("chain_is_open", Own),
            ("days", In("BalanceRow")),
            ("hours", Own),
            ("left", In("LeftRow")),
            ("slips", In("SlipRow")),
            ("people", Crew("PersonRow")),
        ],
    ),
    (
        "LeftRow",
        &[
            ("job", In("Link")),
            ("days", Own),
            ("by", People),
            ("slack", Own),
            ("on_chain", Own),
        ],
    ),
    (
        "SlipRow",
        &[
            ("job", In("Link")),
            ("planned", Own),
            ("done", Own),
            ("late", Own),
            ("why", In("Said")),
        ],
    ),
    (
        "PersonRow",
        &[("name", People), ("planned", Own), ("spent", Own)],
    ),
    (
        "JobRow",
        &[
            ("id", Address),
            ("title", Html),
            ("planned", Own),
            ("planned_day", Own),
            ("by", People),
            ("takes", Own),
            ("takes_hours", Own),
            ("took", Own),
            ("took_hours", Own),
            ("twice", Own),
            ("state", Own),
            ("kind", Own),
            ("when", Own),
            ("waits", In("Link")),
            ("cautions", Own),
            ("history", In("Said")),
        ],
    ),
    ("Said", &[("link", In("Link")), ("words", Remark)]),
    (
        "BalanceRow",
        &[("link", In("Link")), ("counts", Own), ("hours", Own)],
    ),
    (
        "LedgerPage",
        &[
            ("strip", In("Strip")),
            ("parts", In("PartRow")),
            ("suppliers", Suppliers("TotalRow")),
            ("supplied", In("TotalRow")),
            ("spent", Money),
            ("fitted", Words),
            ("mass", Svg),
            ("days", In("MassDay")),
            ("unchecked", In("Link")),
        ],
    ),
    (
        "MassDay",
        &[("day", In("Link")), ("fitted", Own), ("change", Own)],
    ),
    (
        "PartRow",
        &[
            ("id", Address),
            ("what", Remark),
            ("from", Supplier),
            ("numbers", Words),
            ("state", Own),
            ("when", Own),
            ("late", Own),
            ("mass", Own),
            ("kilograms", Own),
            ("cost", Money),
            ("supplied", Own),
            ("ratings", In("RatingView")),
            ("altered", Remark),
            ("history", In("Said")),
        ],
    ),
    ("RatingView", &[("words", Words), ("asked", In("Asked"))]),
    ("Asked", &[("rule", Words), ("verdict", In("VerdictView"))]),
    (
        "TotalRow",
        &[
            ("name", Words),
            ("parts", Own),
            ("value", Money),
            ("spent", Money),
        ],
    ),
    (
        "SearchData",
        &[
            ("values", In("FoundValue")),
            ("jobs", In("FoundThing")),
            ("parts", In("FoundThing")),
            ("days", In("FoundDay")),
        ],
    ),
    (
        "FoundValue",
        &[("id", Address), ("says", Words), ("href", Address)],
    ),
    (
        "FoundThing",
        &[("id", Address), ("name", Remark), ("says", Remark)],
    ),
    (
        "FoundDay",
        &[
            ("day", Own),
            ("href", Address),
            ("title", Remark),
            ("lines", In("FoundLine")),
        ],
    ),
    ("FoundLine", &[("at", Address), ("says", Remark)]),
    (
        "Inspection",
        &[
            ("rows", In("InspectionRow")),
            ("not_measured", In("InspectionRow")),
        ],
    ),
    (
        "InspectionRow",
        &[
            ("number", Own),
            ("what", In("Link")),
            ("limit", Words),
            ("found", Own),
            ("basis", Own),
            ("by", People),
            ("day", Own),
            ("verdict", In("VerdictView")),
            ("hold", Own),
            ("target", Own),
        ],
    ),
];

/// The class of a field of a type; none where it does not stand above.
pub(super) fn class(kind: &str, field: &str) -> Option<Class> {
    let fields = FIELDS
        .iter()
        .find(|(of, _)| *of == kind)
        .map_or(&[][..], |(_, fields)| fields);
    fields
        .iter()
        .find(|(name, _)| *name == field)
        .map(|(_, class)| *class)
}
