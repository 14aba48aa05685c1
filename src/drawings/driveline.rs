//! A driveline from the side: shafts at their slopes, joints between them.
//!
//! In: the worked book and two to four names of slopes, in order from the tail to the pinion. Out:
//! lines at their true slopes, or all of them drawn steeper by one factor that the drawing states;
//! the angle at each joint; each slope with its limits.

use super::ink::{self, Ink, Side};
use super::place::{Wish, apart};
use super::reading::{Reading, figure, is_angle};
use super::{Drawing, WIDTH, empty, gauge};
use crate::book::Judge;
use crate::calc::{NameId, Results};
use crate::quantity::{Dimension, Value};

type Point = (f64, f64);

/// The box of the side view.
const TOP: f64 = 48.0;
const TALLEST: f64 = 120.0;
/// Slopes are drawn steeper until the steepest would pass this, in rad.
const STEEP: f64 = 0.35;
/// How far a shaft's line is drawn on past its joint.
const PAST: f64 = 34.0;

/// The side view at the end of a day, or what is wrong with the names; `judge` is the spread that
/// the book judges with.
pub fn driveline(
    worked: &Results,
    names: &[NameId],
    day: u32,
    judge: Judge,
) -> Result<Drawing, String> {
    if !(2..=4).contains(&names.len()) {
        return Err(format!(
            "a driveline has two to four slopes, not {}",
            names.len()
        ));
    }
    let mut shafts = Vec::with_capacity(names.len());
    for name in names {
        let Some(reading) = Reading::on_day(worked, *name, day, judge) else {
            return Ok(empty(worked, *name, day));
        };
        if !is_angle(reading.value) {
            return Err(format!(
                "{} is {}, not an angle",
                reading.title,
                reading.value.dimension.words()
            ));
        }
        shafts.push(reading);
    }
    Ok(Driveline::new(&shafts).draw())
}

struct Driveline<'a> {
    shafts: &'a [Reading<'a>],
    joints: Vec<String>,
    steeper: f64,
    points: Vec<Point>,
    height: f64,
}

impl<'a> Driveline<'a> {
    fn new(shafts: &'a [Reading<'a>]) -> Self {
        let joints = shafts
            .windows(2)
            .map(|two| joint_text(&two[0], &two[1]))
            .collect();
        let steepest = shafts
            .iter()
            .map(|shaft| shaft.value.nominal.abs())
            .fold(0.0, f64::max);
        let steeper = if steepest > 0.0 {
            [10.0, 5.0, 2.0]
                .into_iter()
                .find(|times| steepest * times <= STEEP)
                .unwrap_or(1.0)
        } else {
            1.0
        };
        let (points, height) = fitted(&course(shafts, steeper));
        Self {
            shafts,
            joints,
            steeper,
            points,
            height,
        }
    }

    fn draw(&self) -> Drawing {
        let mut ink = Ink::new(WIDTH);
        ink.faint(0.0, 14.0, Side::Start, &self.scale_text(), WIDTH);
        self.names(&mut ink);
        self.lines(&mut ink);
        self.joint_texts(&mut ink);
        let height = self.rows(&mut ink);
        ink.finish(height, self.words())
    }

    fn scale_text(&self) -> String {
        let how = if self.steeper > 1.0 {
            format!("slopes drawn ×{}", self.steeper)
        } else {
            "to scale".to_owned()
        };
        format!("side view, + falls rightward, {how}")
    }

    fn names(&self, ink: &mut Ink) {
        let room = WIDTH / self.shafts.len() as f64 - 8.0;
        let middles: Vec<Point> = self
            .points
            .windows(2)
            .map(|two| middle(two[0], two[1]))
            .collect();
        let texts: Vec<String> = self
            .shafts
            .iter()
            .map(|shaft| ink::fit(shaft.title, room))
            .collect();
        for (x, (text, at)) in places(&texts, &middles)
            .into_iter()
            .zip(texts.iter().zip(&middles))
        {
            ink.text(x, TOP - 12.0, Side::Middle, text, room);
            ink.hair((x, TOP - 7.0), (at.0, at.1 - 5.0));
        }
    }

    fn lines(&self, ink: &mut Ink) {
        for three in self.points.windows(3) {
            let way = beyond(three[0], three[1]);
            ink.dashed(three[1], way);
        }
        for (index, two) in self.points.windows(2).enumerate() {
            let is_end = index == 0 || index + 1 == self.shafts.len();
            ink.line(two[0], two[1], if is_end { 5.0 } else { 2.5 });
        }
        for joint in self.inner() {
            ink.dot(joint.0, joint.1, 5.0);
            ink.ring(joint.0, joint.1, 8.5);
        }
    }

    fn inner(&self) -> &[Point] {
        self.points.get(1..=self.joints.len()).unwrap_or_default()
    }

    fn joint_texts(&self, ink: &mut Ink) {
        let room = WIDTH / self.joints.len() as f64 - 8.0;
        let y = TOP + self.height + 26.0;
        let texts: Vec<String> = self
            .joints
            .iter()
            .map(|text| ink::fit(text, room))
            .collect();
        for (x, (text, at)) in places(&texts, self.inner())
            .into_iter()
            .zip(texts.iter().zip(self.inner()))
        {
            ink.hair((at.0, at.1 + 9.0), (x, y - 12.0));
            ink.bold(x, y, Side::Middle, text, room);
        }
    }

    /// A row for each slope, with its limits.
    fn rows(&self, ink: &mut Ink) -> f64 {
        let mut y = TOP + self.height + 38.0;
        for shaft in self.shafts {
            ink.hair((0.0, y), (WIDTH, y));
            y += 17.0;
            let figure = shaft.text();
            ink.text(
                0.0,
                y,
                Side::Start,
                shaft.title,
                WIDTH - ink::width(&figure) - 10.0,
            );
            ink.text(WIDTH, y, Side::End, &figure, WIDTH);
            for limits in shaft.checks() {
                gauge::caption(ink, y + 19.0, &limits);
                y += 38.0;
            }
            y += 8.0;
        }
        y
    }

    fn words(&self) -> String {
        let slope = |shaft: &Reading| {
            let checks = shaft
                .checks()
                .into_iter()
                .map(|c| format!(" ({}, {})", c.words(), c.verdict.words()));
            checks.fold(
                format!("{} {}", shaft.title, shaft.text()),
                |words, check| words + &check,
            )
        };
        let slopes: Vec<String> = self.shafts.iter().map(slope).collect();
        let pairs = self.shafts.windows(2).zip(&self.joints);
        let joints: Vec<String> = pairs
            .map(|(two, text)| format!("{text} between {} and {}", two[0].title, two[1].title))
            .collect();
        format!(
            "driveline, {}: {}; joint angles {}",
            self.scale_text(),
            slopes.join(", "),
            joints.join(", ")
        )
    }
}

/// The angle between two shafts, readings that both share counted once.
fn joint_text(first: &Reading, second: &Reading) -> String {
    let apart = second.value.nominal - first.value.nominal;
    let sign = if apart < 0.0 { -1.0 } else { 1.0 };
    let angle = Value::result(
        apart.abs(),
        Dimension::ANGLE,
        [(sign, second.value), (-sign, first.value)],
    );
    let figure = figure(&angle, first.unit, first.day, first.judge);
    figure.with_unit(first.unit)
}

/// The shafts one after the other; the ends are stubs.
fn course(shafts: &[Reading], steeper: f64) -> Vec<Point> {
    let mut points = vec![(0.0, 0.0)];
    let mut at = (0.0, 0.0);
    for (index, shaft) in shafts.iter().enumerate() {
        let long = if index == 0 || index + 1 == shafts.len() {
            0.62
        } else {
            1.0
        };
        let slope = shaft.value.nominal * steeper;
        at = (at.0 + long * slope.cos(), at.1 + long * slope.sin());
        points.push(at);
    }
    points
}

/// The course as large as its box allows, in the middle of the paper, and how high it came out.
fn fitted(course: &[Point]) -> (Vec<Point>, f64) {
    let extent = |pick: fn(&Point) -> f64| {
        super::scale::range(course.iter().map(pick)).unwrap_or((0.0, 0.0))
    };
    let ((left, right), (top, bottom)) = (extent(|point| point.0), extent(|point| point.1));
    let wide = (WIDTH - 40.0) / (right - left).max(1e-6);
    let times = wide.min(TALLEST / (bottom - top).max(1e-6));
    let height = ((bottom - top) * times).max(30.0);
    let x = (WIDTH - (right - left) * times) / 2.0;
    let y = TOP + (height - (bottom - top) * times) / 2.0 + 6.0;
    let place = |point: &Point| (x + (point.0 - left) * times, y + (point.1 - top) * times);
    (course.iter().map(place).collect(), height + 12.0)
}

/// Where texts stand so that they keep apart, each as near its point as can be.
fn places(texts: &[String], points: &[Point]) -> Vec<f64> {
    let wish = |(text, point): (&String, &Point)| Wish {
        middle: point.0,
        size: ink::width(text) + 8.0,
    };
    let wishes: Vec<Wish> = texts.iter().zip(points).map(wish).collect();
    apart(&wishes, 0.0, WIDTH)
}

fn middle(a: Point, b: Point) -> Point {
    (f64::midpoint(a.0, b.0), f64::midpoint(a.1, b.1))
}

/// A point past `b` on the line from `a`.
fn beyond(a: Point, b: Point) -> Point {
    let length = (b.0 - a.0).hypot(b.1 - a.1).max(1e-6);
    (
        b.0 + (b.0 - a.0) * PAST / length,
        b.1 + (b.1 - a.1) * PAST / length,
    )
}
