//! What a book holds. Every thing carries the place it was read from.

use std::collections::BTreeMap;
use std::sync::Arc;

use jiff::civil::Date;
use rust_decimal::Decimal;

use super::Parts;
use crate::markdown::{PlainBox, Prose};
use crate::quantity::{Literal, Sides, Value};
use crate::source::{FileId, Span, Spanned};

/// A whole book.
#[derive(Clone, Debug)]
pub struct Book {
    /// The build sheet.
    pub sheet: Arc<BuildSheet>,
    /// The jobs of `plan.md`, in order.
    pub plan: Arc<Vec<Planned>>,
    /// The tick boxes of `plan.md` without a tail.
    pub plan_boxes: Arc<Vec<PlainBox>>,
    /// The text of `plan.md` outside the job list is not shown; its file, if there is one.
    pub plan_file: Option<FileId>,
    /// The parts of `parts.yaml`, by id.
    pub parts: Arc<Parts>,
    /// The day logs, ordered by day.
    pub days: Vec<Arc<DayLog>>,
}

impl BuildSheet {
    /// Can a forecast be made? It needs the last day allowed, and the hours of the crew.
    pub fn has_a_calendar(&self) -> bool {
        self.days.is_some() && self.crew_known
    }

    /// The crew to compare names with: nobody is unknown while the crew is not known.
    pub fn known_crew(&self) -> &[CrewMember] {
        if self.crew_known { &self.crew } else { &[] }
    }
}

impl Book {
    /// A book of these logs, without plan and parts.
    pub fn of(sheet: BuildSheet, days: Vec<DayLog>) -> Self {
        Self {
            sheet: Arc::new(sheet),
            plan: Arc::default(),
            plan_boxes: Arc::default(),
            plan_file: None,
            parts: Arc::default(),
            days: days.into_iter().map(Arc::new).collect(),
        }
    }

    /// The id of every job at least once: a job begins in the plan, or in a log with its title.
    pub fn job_ids(&self) -> impl Iterator<Item = &Spanned<String>> {
        let planned = self.plan.iter().map(|planned| &planned.mention.id);
        planned.chain(
            self.logged()
                .filter(|(_, mention)| mention.title.is_some())
                .map(|(_, mention)| &mention.id),
        )
    }

    /// Every mention of a job in the logs, with the day of the log.
    fn logged(&self) -> impl Iterator<Item = (u32, &Mention)> {
        self.days.iter().flat_map(|log| {
            log.entries.iter().filter_map(|entry| match entry {
                Entry::Mention(mention) => Some((log.day, mention)),
                _ => None,
            })
        })
    }
}

/// The vehicle, the days allowed, the crew, the targets.
#[derive(Clone, Debug)]
pub struct BuildSheet {
    /// `build-sheet.yaml`.
    pub file: FileId,
    /// What is built.
    pub title: String,
    /// Day 1; `None` where that is not known.
    pub start: Option<Date>,
    /// Build days allowed; the last one is the deadline. `None` where that is not known.
    pub days: Option<u32>,
    /// The dates of the first days, where days do not follow each other.
    pub dates: Vec<Date>,
    /// Who builds it, in the order written, as far as it could be read.
    pub crew: Vec<CrewMember>,
    /// Could all of the crew be read? If not, nothing that needs its hours is known.
    pub crew_known: bool,
    /// What results are shown in first.
    pub units: UnitSystem,
    /// ISO 4217 code.
    pub money: String,
    /// The spread checks are judged with.
    pub judge: Judge,
    /// Check lines, as in a sums block.
    pub targets: Vec<Line>,
    /// Who outside the crew may see what, by name; the ready-made ones are among them.
    pub audiences: BTreeMap<String, Sight>,
}

impl BuildSheet {
    /// The date of a day: as `dates` has it, after those counted on from the last one, else counted
    /// from the start. `None` if neither is known.
    pub fn date_on(&self, day: u32) -> Option<Date> {
        let index = usize::try_from(day.saturating_sub(1)).unwrap_or(usize::MAX);
        if let Some(date) = self.dates.get(index) {
            return Some(*date);
        }
        let (from, past) = match self.dates.last() {
            Some(last) => (*last, index + 1 - self.dates.len()),
            None => (self.start?, index),
        };
        let past = jiff::Span::new().try_days(i64::try_from(past).unwrap_or(i64::MAX));
        Some(past.and_then(|past| from.checked_add(past)).unwrap_or(from))
    }
}

/// What somebody outside the crew may see of a book. What concerns safety, everybody sees; what is
/// kept in the shop, nobody.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Sight {
    /// Costs, and everything worked out from them.
    pub costs: bool,
    /// Serial numbers.
    pub serials: bool,
    /// Who parts are from, and the suppliers' numbers.
    pub suppliers: bool,
    /// What the crew are called.
    pub names: NamesSeen,
}

impl Sight {
    /// Somebody the vehicle is built for.
    pub const CUSTOMER: Self = Self {
        costs: true,
        serials: true,
        suppliers: true,
        names: NamesSeen::Full,
    };
    /// Anybody.
    pub const AUDIENCE: Self = Self {
        costs: false,
        serials: false,
        suppliers: false,
        names: NamesSeen::Initials,
    };

    /// The sights that every book has.
    pub const READY_MADE: [(&str, Self); 2] =
        [("audience", Self::AUDIENCE), ("customer", Self::CUSTOMER)];
}

/// How the crew's names are shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum NamesSeen {
    /// As the sheet has them.
    Full,
    /// The first letter of each word.
    Initials,
    /// Not at all.
    #[default]
    None,
}

/// Somebody of the crew.
#[derive(Clone, Debug, PartialEq)]
pub struct CrewMember {
    /// The name as the logs write it.
    pub name: String,
    /// Hours a day that can be planned on.
    pub hours: f64,
}

/// Metric or US customary.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum UnitSystem {
    /// mm, kg, kW.
    #[default]
    Metric,
    /// in, lb, hp.
    Us,
}

/// Which spread a check is judged with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Judge {
    /// Every reading at its worst end at once.
    #[default]
    WorstCase,
    /// Root-sum-square.
    Rss,
}

impl Judge {
    /// The spread of a value, counted this way.
    pub fn spread(self, value: &Value) -> Sides {
        match self {
            Self::WorstCase => value.worst_case(),
            Self::Rss => value.rss(),
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::WorstCase => "worst case",
            Self::Rss => "root-sum-square",
        }
    }
}

/// One line of a block, without its line end, as written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// The text, without indentation and trailing space.
    pub text: String,
    /// Its place; `span.range()` covers exactly `text` in the file.
    pub span: Span,
}

/// A job in the plan.
#[derive(Clone, Debug)]
pub struct Planned {
    /// The day whose heading it stands under.
    pub day: u32,
    /// The job as written there.
    pub mention: Mention,
}

/// A moment in a book: order in the log is order in time.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct When {
    /// The build day; 0 is before the first.
    pub day: u32,
    /// Index into the entries of that day's log.
    pub entry: usize,
}

/// One day's log.
#[derive(Clone, Debug)]
pub struct DayLog {
    /// The file.
    pub file: FileId,
    /// File name without `.md`: the page keeps it.
    pub stem: String,
    /// Build day, from 1.
    pub day: u32,
    /// Calendar day; `None` where the log does not say it and day 1 is not known.
    pub date: Option<Date>,
    /// Why it is not the date that the build sheet gives, in the crew's words.
    pub date_why: Option<String>,
    /// Who was there; names of the build sheet.
    pub crew: Vec<String>,
    /// The first heading, as plain text.
    pub title: Option<String>,
    /// What states something, in the order it stands in the log.
    pub entries: Vec<Entry>,
    /// Its tick boxes without a tail, which are no jobs.
    pub plain_boxes: Vec<PlainBox>,
    /// The text to show, with holes where entries and references stand.
    pub prose: Prose,
}

/// A thing in a log that states something.
#[derive(Clone, Debug)]
#[allow(
    clippy::large_enum_variant,
    reason = "most entries are mentions; a box each would cost more than it saves"
)]
pub enum Entry {
    /// A job in a task list.
    Mention(Mention),
    /// A `sums` block.
    Sums(Block),
    /// A `parts` block.
    Parts(PartsBlock),
    /// A `drawing` block.
    Drawing(Block),
}

/// A fenced block of ours.
#[derive(Clone, Debug)]
pub struct Block {
    /// Opening fence to closing fence.
    pub span: Span,
    /// Its lines, blank ones left out.
    pub lines: Vec<Line>,
}

/// A `parts` block, its lines read as far as they can be.
#[derive(Clone, Debug)]
pub struct PartsBlock {
    /// Opening fence to closing fence.
    pub span: Span,
    /// What was read, in order. Lines that could not be read are in the diagnostics and here as
    /// text.
    pub lines: Vec<PartsLine>,
}

/// One line of a `parts` block.
#[derive(Clone, Debug)]
pub struct PartsLine {
    /// The line as written.
    pub line: Line,
    /// The event, where the line could be read.
    pub event: Option<PartEvent>,
}

/// A job as one list item writes it: a first mention or a later one.
#[derive(Clone, Debug)]
pub struct Mention {
    /// The whole first line of the item, from `[` to `}`.
    pub span: Span,
    /// The job's id.
    pub id: Spanned<String>,
    /// Title as Markdown source, as written; `None` where only the tail stands.
    pub title: Option<String>,
    /// Is the box ticked?
    pub ticked: bool,
    /// `by Ines + Bashir`
    pub by: Vec<Spanned<String>>,
    /// `takes 3 h`, in hours.
    pub takes: Option<f64>,
    /// `took 4.5 h`, in hours.
    pub took: Option<f64>,
    /// `follows a + b`
    pub follows: Vec<Spanned<String>>,
    /// `needs p + q`
    pub needs: Vec<Spanned<String>>,
    /// `held up: why`
    pub held_up: Option<String>,
    /// `again: why`
    pub again: Option<String>,
    /// `dropped: why`
    pub dropped: Option<String>,
    /// `temp: what carries it`
    pub temp: Option<String>,
    /// `made good by NAME + NAME`
    pub made_good: Option<Spanned<Vec<Spanned<String>>>>,
    /// `caution KIND`; may stand more than once.
    pub cautions: Vec<Spanned<Caution>>,
}

/// A part of `parts.yaml`.
#[derive(Clone, Debug)]
pub struct Part {
    /// Its key in the file.
    pub id: Spanned<String>,
    /// What it is.
    pub what: String,
    /// The supplier.
    pub from: Option<String>,
    /// The supplier's number.
    pub number: Option<String>,
    /// The serial number.
    pub serial: Option<String>,
    /// Mass, with its spread where one is given.
    pub mass: Option<Spanned<Literal>>,
    /// Listed price, in the book's currency.
    pub cost: Option<Spanned<Decimal>>,
    /// How it came to the crew.
    pub supplied: Supplied,
    /// Build days from ordering to the door.
    pub lead: Option<u32>,
    /// Must be here by this day.
    pub need: Option<u32>,
    /// The maker's claims, by key.
    pub ratings: BTreeMap<String, Spanned<Literal>>,
}

/// How a part came to the crew.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Supplied {
    /// Paid for.
    #[default]
    Bought,
    /// A gift.
    Given,
    /// To be handed back.
    Lent,
    /// Was there before.
    Owned,
}

impl Supplied {
    /// The word in the file.
    pub fn word(self) -> &'static str {
        match self {
            Self::Bought => "bought",
            Self::Given => "given",
            Self::Lent => "lent",
            Self::Owned => "owned",
        }
    }
}

/// One thing that happened to a part.
#[derive(Clone, Debug)]
pub struct PartEvent {
    /// The part.
    pub id: Spanned<String>,
    /// What happened.
    pub what: Spanned<EventKind>,
    /// `due day N`
    pub due: Option<u32>,
    /// `cost 86.00`
    pub cost: Option<Spanned<Decimal>>,
    /// Anything else the line says, remarks after `#` included.
    pub remark: Option<String>,
}

/// What can happen to a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum EventKind {
    /// An order went out (again: a new due day).
    Ordered,
    /// The order was withdrawn.
    Cancelled,
    /// It is in the shop.
    In,
    /// It is on the vehicle.
    Fitted,
    /// It came off the vehicle.
    TakenOff,
    /// It went back to where it came from.
    SentBack,
    /// It is of no more use.
    Scrapped,
    /// Cut, drilled or machined: its ratings no longer stand.
    Altered,
}

impl EventKind {
    /// Every kind, in the order a part usually sees them.
    pub const ALL: [Self; 8] = [
        Self::Ordered,
        Self::Cancelled,
        Self::In,
        Self::Fitted,
        Self::TakenOff,
        Self::SentBack,
        Self::Scrapped,
        Self::Altered,
    ];

    /// The words in the file.
    pub fn words(self) -> &'static str {
        match self {
            Self::Ordered => "ordered",
            Self::Cancelled => "cancelled",
            Self::In => "in",
            Self::Fitted => "fitted",
            Self::TakenOff => "taken off",
            Self::SentBack => "sent back",
            Self::Scrapped => "scrapped",
            Self::Altered => "altered",
        }
    }
}

macro_rules! cautions {
    ($($(#[$doc:meta])* $name:ident = $word:literal,)*) => {
        /// A kind of hazard.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Caution { $($(#[$doc])* $name,)* }

        impl Caution {
            /// Every kind.
            pub const ALL: &'static [Self] = &[$(Self::$name,)*];

            /// The word in the file.
            pub fn word(self) -> &'static str {
                match self { $(Self::$name => $word,)* }
            }
        }
    };
}

cautions! {
    /// Fuel and its vapour.
    Fuel = "fuel",
    /// A load off the ground.
    Lifting = "lifting",
    /// Somebody below the vehicle.
    UnderVehicle = "under_vehicle",
    /// Welding, brazing, grinding.
    HotWork = "hot_work",
    /// Fumes and dust.
    FumesDust = "fumes_dust",
    /// Hot surfaces.
    HotSurface = "hot_surface",
    /// High voltage.
    HighVoltage = "high_voltage",
    /// Batteries.
    Battery = "battery",
    /// Turning parts.
    Rotating = "rotating",
    /// Machine tools.
    Machining = "machining",
    /// Brakes.
    Brakes = "brakes",
    /// Steering.
    Steering = "steering",
    /// Seats, belts, cages.
    Restraint = "restraint",
    /// What carries the vehicle.
    Structure = "structure",
    /// Springs under load.
    StoredSpring = "stored_spring",
    /// Pressure.
    Pressure = "pressure",
    /// Tyres and wheels.
    Tyres = "tyres",
    /// The first time it moves by itself.
    FirstMove = "first_move",
}
