//! The sheets of values, checks, the hold list and its history.
//!
//! In: a [`Build`]. Out: a row for each value as it is now, each check with its latest verdict,
//! each line of the list, each event of its history.

use super::{Cell, CellKind, LINE, PATH, Sheet, column, maybe, place, sheet};
use crate::build::Build;
use crate::calc::{Basis, Check, Judgement, Known, LimitLine, Verdict, Version};
use crate::export::document::own_names;
use crate::hold::{HoldEvent, HoldLine};
use crate::pages::limits::document;
use crate::quantity::{Unit, Value, printed};

const BASES: &str =
    "what the value rests on: measured, corrected, calculated, given, maker's figure or chosen";

pub(super) fn values(build: &Build) -> Sheet {
    let columns = [
        column("name", CellKind::Text, "its name"),
        column(
            "state",
            CellKind::Text,
            "measured, worked, given, chosen or no reading",
        ),
        maybe("basis", CellKind::Text, BASES),
        maybe("value", CellKind::Number, "in `unit`"),
        maybe(
            "unit",
            CellKind::Text,
            "the unit it is shown in; none for a plain number",
        ),
        maybe(
            "worst_case_above",
            CellKind::Number,
            "how far it may lie above, every reading at its worst, in `unit`",
        ),
        maybe(
            "worst_case_below",
            CellKind::Number,
            "how far it may lie below, every reading at its worst, in `unit`",
        ),
        maybe(
            "rss_above",
            CellKind::Number,
            "how far it may lie above, root-sum-square, in `unit`",
        ),
        maybe(
            "rss_below",
            CellKind::Number,
            "how far it may lie below, root-sum-square, in `unit`",
        ),
        maybe(
            "day",
            CellKind::Whole,
            "the day it last changed; 0 before the first",
        ),
        maybe(
            "written",
            CellKind::Text,
            "the reading or formula as written",
        ),
        maybe("by", CellKind::Text, "who read it"),
        maybe("remark", CellKind::Text, "of its line"),
        maybe("path", CellKind::Text, PATH.about),
        maybe("line", CellKind::Whole, LINE.about),
    ];
    let names = own_names(&build.worked);
    let rows = names.filter_map(|(name, id)| value_row(build, name, build.worked.latest(id)));
    sheet("values", "A value as it is now", columns, rows)
}

/// A value's row; `None` where it is in error.
fn value_row(build: &Build, name: &str, moment: Option<&Version>) -> Option<[Cell; 15]> {
    let (state, value) = match moment.map(|moment| &moment.known) {
        Some(Known::Broken) => return None,
        Some(Known::Value(value)) => (
            moment.map_or("given", |moment| moment.defined.state.word()),
            Some(value),
        ),
        Some(Known::NoReading(_)) | None => ("no reading", None),
    };
    let unit = moment.map_or_else(Unit::none, |moment| moment.unit.clone());
    let defined = moment.map(|moment| &moment.defined);
    let figure = |of: fn(&Unit, &Value) -> f64| value.map(|value| of(&unit, value)).into();
    let [path, line] = defined.map_or([Cell::Nothing, Cell::Nothing], |defined| {
        place(build, defined.at)
    });
    Some([
        name.into(),
        state.into(),
        value
            .and(moment)
            .map(|moment| moment.defined.basis().word())
            .into(),
        figure(|unit, value| unit.reading(value.nominal)),
        unit_name(&unit),
        figure(|unit, value| unit.step(value.worst_case().up)),
        figure(|unit, value| unit.step(value.worst_case().down)),
        figure(|unit, value| unit.step(value.rss().up)),
        figure(|unit, value| unit.step(value.rss().down)),
        value.and(moment).map(|moment| moment.day).into(),
        defined.map(|defined| defined.written.clone()).into(),
        defined.and_then(|defined| defined.by.clone()).into(),
        defined.and_then(|defined| defined.remark.clone()).into(),
        path,
        line,
    ])
}

fn unit_name(unit: &Unit) -> Cell {
    Some(unit.name.as_str())
        .filter(|name| !name.is_empty())
        .into()
}

pub(super) fn checks(build: &Build) -> Sheet {
    let columns = [
        column("name", CellKind::Text, "the name it is on"),
        column("rule", CellKind::Text, "as written"),
        column(
            "verdict",
            CellKind::Text,
            "in limits, too close, out of limits or no reading",
        ),
        maybe(
            "value",
            CellKind::Number,
            "the value that was judged, in `unit`",
        ),
        maybe("lower", CellKind::Number, "the lower limit, in `unit`"),
        maybe("upper", CellKind::Number, "the upper limit, in `unit`"),
        maybe(
            "margin",
            CellKind::Number,
            "to the nearest limit, less the spread; negative outside; in `unit`",
        ),
        maybe(
            "unit",
            CellKind::Text,
            "of the figures; none for plain numbers",
        ),
        maybe("basis", CellKind::Text, BASES),
        maybe(
            "limit_basis",
            CellKind::Text,
            "the weakest that the limit rests on; none for a limit written as a figure",
        ),
        column(
            "hold",
            CellKind::Flag,
            "does it keep the vehicle from being moved?",
        ),
        column(
            "target",
            CellKind::Flag,
            "does it stand on the build sheet?",
        ),
        maybe(
            "day",
            CellKind::Whole,
            "the day of the verdict; 0 before the first",
        ),
        PATH,
        LINE,
    ];
    sheet(
        "checks",
        "A check with its latest verdict",
        columns,
        build
            .worked
            .checks
            .iter()
            .filter(|check| !check.withdrawn)
            .map(|check| check_row(build, check)),
    )
}

fn check_row(build: &Build, check: &Check) -> [Cell; 15] {
    let judged = check.latest();
    let unit = judged.map_or_else(Unit::none, |judged| judged.unit.clone());
    let [path, line] = place(build, check.rule.at);
    let reading = |si: Option<f64>| si.map(|si| unit.reading(si)).into();
    [
        build.worked.text(check.name).into(),
        check.limit().into(),
        judged
            .map_or(Verdict::NoReading, |judged| judged.verdict)
            .words()
            .into(),
        reading(judged.and_then(|judged| Some(judged.value.as_ref()?.nominal))),
        reading(judged.and_then(|judged| judged.lower)),
        reading(judged.and_then(|judged| judged.upper)),
        judged.and_then(Judgement::margin_figure).into(),
        unit_name(&unit),
        build
            .worked
            .basis(check.name, build.day())
            .map(Basis::word)
            .into(),
        build
            .worked
            .limit_basis(&check.rule, build.day())
            .map(Basis::word)
            .into(),
        check.hold.into(),
        check.target.into(),
        judged.map(|judged| judged.day).into(),
        path,
        line,
    ]
}

pub(super) fn limits(build: &Build) -> Sheet {
    let columns = [
        column("name", CellKind::Text, "the name that the check is on"),
        column(
            "day",
            CellKind::Whole,
            "the day of the line; 0 for a target",
        ),
        column("rule", CellKind::Text, "the limit as written"),
        column(
            "change",
            CellKind::Text,
            "set, not signed, eased or withdrawn",
        ),
        maybe(
            "before",
            CellKind::Text,
            "the limit that counted until then",
        ),
        column("hold", CellKind::Flag, "was it a hold check until then?"),
        column("by", CellKind::Names, "who eased or withdrew it"),
        maybe("why", CellKind::Text, "their reason"),
        PATH,
        LINE,
    ];
    let row = |check: &Check, line: &LimitLine| {
        let said = document(build, line);
        let before = Some(line.before.to_string()).filter(|before| !before.is_empty());
        let [path, number] = place(build, line.rule.at);
        [
            build.worked.text(check.name).into(),
            line.day.into(),
            said.rule.into(),
            said.change.into(),
            before.into(),
            line.hold.into(),
            said.by.into(),
            said.why.into(),
            path,
            number,
        ]
    };
    let lines = build
        .worked
        .checks
        .iter()
        .flat_map(|check| check.limits.iter().map(move |line| (check, line)));
    let rows = lines.map(|(check, line)| row(check, line));
    sheet("limits", "A line about the limit of a check", columns, rows)
}

pub(super) fn hold(build: &Build) -> Sheet {
    let columns = [
        column("kind", CellKind::Text, "temp, check or job"),
        column("id", CellKind::Text, "the job or the value"),
        column("why", CellKind::Text, "what stands against it"),
        column("clears", CellKind::Text, "what takes it off the list"),
        column("cautions", CellKind::Names, "its hazards"),
        PATH,
        LINE,
    ];
    let row = |line: &HoldLine| {
        let [path, number] = place(build, line.at);
        let cautions: Vec<String> = line
            .cautions
            .iter()
            .map(|caution| caution.word().to_owned())
            .collect();
        let why = printed::plain_marks(&line.why);
        [
            line.kind.word().into(),
            line.id.clone().into(),
            why.into(),
            line.clears.into(),
            cautions.into(),
            path,
            number,
        ]
    };
    sheet(
        "hold",
        "What must be right before the vehicle is moved or run",
        columns,
        build.hold.lines.iter().map(row),
    )
}

pub(super) fn hold_history(build: &Build) -> Sheet {
    let columns = [
        column("kind", CellKind::Text, "moved, eased or withdrawn"),
        column(
            "id",
            CellKind::Text,
            "the job that moved the vehicle, or the value whose limit was eased or withdrawn",
        ),
        column("day", CellKind::Whole, "the day"),
        column("words", CellKind::Text, "what happened"),
        column(
            "by",
            CellKind::Names,
            "who had the job, or who stands for the easing or withdrawal",
        ),
        maybe("why", CellKind::Text, "the crew's reason"),
        column("open", CellKind::Whole, "how many lines were on hold then"),
        column(
            "lines",
            CellKind::Names,
            "the first of those lines, by the id of the job or the value",
        ),
        PATH,
        LINE,
    ];
    let row = |event: &HoldEvent| {
        let [path, line] = place(build, event.at);
        let lines: Vec<String> = event.lines.iter().map(|line| line.id.clone()).collect();
        [
            event.kind.word().into(),
            event.id.as_str().into(),
            event.day.into(),
            event.words().into(),
            event.by.clone().into(),
            event.why.clone().into(),
            event.open().into(),
            lines.into(),
            path,
            line,
        ]
    };
    let about = "Something that happened against the hold list, and stays in the record";
    sheet(
        "hold-history",
        about,
        columns,
        build.hold_history.iter().map(row),
    )
}
