//! The stable short names of everything the program can say about a book.
//!
//! Scripts may rely on them; the specification shows each one at least once.

macro_rules! slugs {
    ($($(#[doc = $doc:literal])+ $name:ident = $text:literal,)*) => {
        /// The kind of a finding.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Slug { $($(#[doc = $doc])+ $name,)* }

        impl Slug {
            /// Every kind.
            pub const ALL: &'static [Slug] = &[$(Slug::$name,)*];

            /// The word scripts may rely on.
            pub fn word(self) -> &'static str {
                match self { $(Slug::$name => $text,)* }
            }

            /// One sentence that says what it is about.
            pub fn about(self) -> &'static str {
                match self { $(Slug::$name => concat!($($doc),+).trim_ascii(),)* }
            }
        }
    };
}

slugs! {
    /// A file is not UTF-8 text.
    NotUtf8 = "not-utf8",
    /// A file is larger than the program reads.
    TooLarge = "too-large",
    /// A file or a folder that is there and cannot be read.
    Unreadable = "unreadable",
    /// A merge of two versions of a file that is not settled.
    UnsettledMerge = "unsettled-merge",
    /// Brackets, quotes or lists are nested deeper than anybody writes.
    TooDeep = "too-deep",
    /// A file or link leads out of the book's folder.
    OutsideBook = "outside-book",
    /// A photo that a log shows is not there.
    NoPhoto = "no-photo",
    /// A photo that cannot be shown: damaged, cut short, of a kind that is not read.
    BadPhoto = "bad-photo",
    /// A link leads to nothing in the book, or is of a kind that is not followed.
    BadLink = "bad-link",
    /// Raw HTML of a kind that no page shows.
    RawHtml = "raw-html",
    /// YAML that cannot be read.
    BadYaml = "bad-yaml",
    /// A key that is not known.
    UnknownKey = "unknown-key",
    /// The same key twice.
    DuplicateKey = "duplicate-key",
    /// A needed key or file is not there.
    Missing = "missing",
    /// A value of the wrong kind, or out of its range.
    BadValue = "bad-value",
    /// A date that cannot be read.
    BadDate = "bad-date",
    /// The log's number and its file name, or two logs, do not agree.
    DayNumber = "day-number",
    /// A block that is not closed.
    OpenBlock = "open-block",
    /// A block whose name is nearly one of ours.
    UnknownBlock = "unknown-block",
    /// An id that is not a letter, then letters, digits and `_`.
    BadId = "bad-id",
    /// A word that stands for something else here.
    Reserved = "reserved",
    /// An id used for two kinds of thing.
    SharedId = "shared-id",
    /// A line that looks like a job or a block and is not read where it is.
    NotRead = "not-read",
    /// Tick boxes without an id: they are not jobs.
    PlainBox = "plain-box",
    /// Jobs that are ticked without the hours they took.
    TickWithoutHours = "tick-without-hours",
    /// A log's date that its day does not give.
    WrongDate = "wrong-date",
    /// Days between two logs that have none.
    MissingLog = "missing-log",
    /// A piece of a job's tail that cannot be read.
    BadTail = "bad-tail",
    /// A job that nobody planned, without a title.
    UnknownJob = "unknown-job",
    /// A job added under an id that is a letter from another's, with nearly the same title.
    MisspeltId = "misspelt-id",
    /// A job that is planned twice.
    PlannedTwice = "planned-twice",
    /// A tick in the plan, where nothing can be done yet.
    TickInPlan = "tick-in-plan",
    /// A done job ticked again with hours.
    DoneAlready = "done-already",
    /// A job done before one it follows, or without a part it needs.
    OutOfOrder = "out-of-order",
    /// More hours planned for one person on one day than are good for anybody.
    LongDay = "long-day",
    /// Open jobs without planned hours.
    NoHours = "no-hours",
    /// The vehicle was moved while something was on hold.
    MovedOnHold = "moved-on-hold",
    /// `made good` without the names it needs, or of nothing.
    MadeGood = "made-good",
    /// A caution of no known kind.
    UnknownCaution = "unknown-caution",
    /// Somebody who is not in the crew.
    UnknownPerson = "unknown-person",
    /// A part that is not in parts.yaml.
    UnknownPart = "unknown-part",
    /// A part event that cannot be read.
    BadEvent = "bad-event",
    /// A part event that cannot follow on where the part is.
    WrongEvent = "wrong-event",
    /// A figure a part does not have.
    UnknownFigure = "unknown-figure",
    /// A figure of a part that sums rely on and that does not stand as it is.
    DoubtfulFigure = "doubtful-figure",
    /// A sums line that begins like no statement.
    BadStatement = "bad-statement",
    /// A number that cannot be read.
    BadNumber = "bad-number",
    /// A comma where a decimal point belongs.
    DecimalComma = "decimal-comma",
    /// A unit that is not known.
    UnknownUnit = "unknown-unit",
    /// A quantity of the wrong dimension.
    UnitMismatch = "unit-mismatch",
    /// An expression that cannot be read.
    BadExpression = "bad-expression",
    /// A function that is not known.
    UnknownFunction = "unknown-function",
    /// A function with arguments it does not take.
    BadArguments = "bad-arguments",
    /// An argument outside what the formula holds for.
    OutsideDomain = "outside-domain",
    /// An argument near the edge of what the formula holds for.
    NearDomainEdge = "near-domain-edge",
    /// A sum that comes to no number.
    NoNumber = "no-number",
    /// A name that nothing defines.
    UnknownName = "unknown-name",
    /// A reading without a tolerance that a check rests on.
    BareReading = "bare-reading",
    /// A name defined twice in one block.
    TwiceInBlock = "twice-in-block",
    /// A value or a job that depends on itself.
    Loop = "loop",
    /// A value asked for before its day is over.
    DayNotOver = "day-not-over",
    /// A condition that the spread could turn.
    ConditionInDoubt = "condition-in-doubt",
    /// A hold limit that is eased or withdrawn without the names that takes, or a limit that is not
    /// the one that counts.
    EasedLimit = "eased-limit",
    /// A limit that replaces one of an earlier day.
    ReplacedLimit = "replaced-limit",
    /// A value or a check that a later line would have changed, if it could be read.
    UnreadLine = "unread-line",
    /// Limits that leave no room.
    EmptyLimits = "empty-limits",
    /// A drawing that cannot be drawn.
    BadDrawing = "bad-drawing",
    /// A window or stack that is asked for and cannot be worked out.
    NoWindow = "no-window",
}
