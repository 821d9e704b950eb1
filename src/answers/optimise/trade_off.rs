//! The trade-off of two figures: what of the one is paid for the other.
//!
//! Method: each end is the best of one figure that the wishes allow, and of these the best of the
//! other; between, the second is held at even steps as a limit and the first is pushed as far as
//! it goes. A value wished for one of the two would leave nothing to weigh, and is released; limits
//! and all other wishes hold. From lists alone, all that meet the wishes are compared. What is beaten in both by
//! another is dropped, before and after the report has measured it.

use super::answer::{DesignAnswer, checked};
use super::goal::{Goal, Goals, Origin, Sense, sign};
use super::lists::Waiting;
use super::search::WishSearch;
use super::{Figure, TradeOff};
use crate::math::sort::{sort_by, sort_by_number, sort_places};
use serde::{Deserialize, Serialize};

/// One point of the trade-off.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TradePoint {
    /// The figure across, as reported.
    pub across: f64,
    /// The figure up, as reported.
    pub up: f64,
    /// The design that has them.
    pub answer: DesignAnswer,
}

/// Points between the ends.
const BETWEEN: usize = 7;
/// Places looked at for one point.
const EVALUATIONS: usize = 30;
/// Of the designs that meet the wishes, so many are asked for both figures to start from.
const ASKED: usize = 12;
/// Whole designs compared where all is listed.
const COMPARED: usize = 400;
/// Two points nearer than this share of the whole are one.
const ALIKE: f64 = 0.01;

/// Following the trade-off.
#[derive(Debug)]
pub(super) struct Trading {
    wanted: TradeOff,
    turn: usize,
    /// To be checked now.
    new: Vec<usize>,
    /// To be checked, once all points are found.
    found: Option<Vec<usize>>,
    asked: Vec<usize>,
    checked: Vec<TradePoint>,
    waiting: Option<Waiting>,
}

impl Trading {
    pub fn new(wanted: TradeOff, search: &WishSearch) -> Trading {
        let waiting = search.search_space.choices().is_some().then(|| {
            let mut waiting = Waiting::new(plain(&search.goals, &wanted), false);
            (0..search.search_space.candidates.len())
                .for_each(|i| waiting.add(&search.search_space, i));
            waiting
        });
        Trading {
            wanted,
            turn: 0,
            new: Vec::new(),
            found: None,
            asked: Vec::new(),
            checked: Vec::new(),
            waiting,
        }
    }

    /// The points so far.
    pub fn so_far(&self) -> Vec<TradePoint> {
        let [across, up] = self.paths();
        let values = |point: &TradePoint| [across * point.across, up * point.up];
        let mut points = unbeaten(self.checked.clone(), values);
        sort_by_number(&mut points, |point| point.across);
        points
    }

    /// One point more; all of them once there are no more.
    pub fn act(
        &mut self,
        search: &mut WishSearch,
        also: &[Figure],
        listed: bool,
    ) -> Option<Vec<TradePoint>> {
        let whole = search.goals.clone();
        search.goals = plain(&whole, &self.wanted);
        let mut done = false;
        if let Some(index) = self.new.pop().or_else(|| self.found.as_mut()?.pop()) {
            let index = search.offered(index);
            if !self.asked.contains(&index) {
                self.asked.push(index);
                let answer = checked(&search.search_space, &search.goals, also, index);
                self.checked.extend(answer.and_then(|answer| self.point(answer)));
            }
        } else if self.found.is_some() {
            done = true;
        } else if listed {
            self.compare(search);
        } else {
            self.next_point(search);
        }
        search.goals = whole;
        done.then(|| self.so_far())
    }

    fn paths(&self) -> [f64; 2] {
        [sign(self.wanted.across.better), sign(self.wanted.up.better)]
    }

    fn point(&self, answer: DesignAnswer) -> Option<TradePoint> {
        let value = |figure| answer.figures.iter().find(|(of, _)| *of == figure).map(|(_, v)| *v);
        let (across, up) = (value(self.wanted.across.figure)?, value(self.wanted.up.figure)?);
        answer.meets_all.then_some(TradePoint { across, up, answer })
    }

    /// Both figures of a candidate, more being better.
    fn values(&self, search: &WishSearch, index: usize) -> Option<[f64; 2]> {
        let worked = search.search_space.candidates[index].worked.as_ref()?;
        let [across, up] = self.paths();
        Some([
            across * worked.figure(self.wanted.across.figure, &search.search_space.context)?,
            up * worked.figure(self.wanted.up.figure, &search.search_space.context)?,
        ])
    }

    /// All candidates of which everything is known and that meet the goals, and their values.
    fn pool(&self, search: &WishSearch) -> Vec<(usize, [f64; 2])> {
        let mut needs = search.goals.needs();
        needs.extend([self.wanted.across.figure.need(), self.wanted.up.figure.need()]);
        let known = |index: usize| {
            let worked = search.search_space.candidates[index].worked.as_ref()?;
            let known = needs.iter().all(|need| worked.knows(*need));
            (known && search.score(index).meets()).then_some(())?;
            Some((index, self.values(search, index)?))
        };
        (0..search.search_space.candidates.len()).filter_map(known).collect()
    }

    /// Of lists: one more candidate that meets the goals.
    fn compare(&mut self, search: &mut WishSearch) {
        let Some(waiting) = &mut self.waiting else { return };
        match waiting.next(&search.search_space) {
            Ok(None) => return,
            Ok(Some((index, score))) if score.meets() && self.turn < COMPARED => {
                let _ = self.values(search, index);
                self.turn += 1;
                return;
            }
            _ => {}
        }
        self.found =
            Some(unbeaten(self.pool(search), |(_, values)| *values).iter().map(|p| p.0).collect());
    }

    /// Over ranges: one more point of the curve.
    fn next_point(&mut self, search: &mut WishSearch) {
        let figures = [self.wanted.across.figure, self.wanted.up.figure];
        let paths = self.paths();
        if self.turn == 0 {
            self.ask_some(search);
        }
        let pool = self.pool(search);
        let turn = self.turn;
        self.turn += 1;
        let best = |by: usize, pool: &[(usize, [f64; 2])]| {
            pool.iter().max_by(|a, b| a.1[by].total_cmp(&b.1[by])).map(|(index, _)| *index)
        };
        if pool.is_empty() {
            self.found = Some(Vec::new());
            return;
        }
        if turn < 4 {
            // Each end twice: from the best there is, and from the other end, or a kink may hide it.
            let by = turn % 2;
            let Some(start) = best(if turn < 2 { by } else { 1 - by }, &pool) else { return };
            let end = search.pushed(start, figures[by], paths[by], 2 * EVALUATIONS);
            self.hold_and_push(search, end, by);
            return;
        }
        if turn < 4 + BETWEEN {
            // Evenly between the ends, up.
            let (high, low) = (best(1, &pool), best(0, &pool));
            let of = |index: Option<usize>| index.and_then(|i| self.values(search, i));
            let (Some(high), Some(low)) = (of(high), of(low)) else { return };
            let share = (turn - 3) as f64 / (BETWEEN + 1) as f64;
            let level = low[1] + share * (high[1] - low[1]);
            let held: Vec<_> = pool.iter().filter(|(_, v)| v[1] >= level).copied().collect();
            let Some(start) = best(0, &held) else { return };
            search.goals.all.push(hold(figures[1], paths[1], level));
            let found = search.pushed(start, figures[0], paths[0], EVALUATIONS);
            self.new.push(found);
            return;
        }
        let points = thinned(unbeaten(pool, |(_, values)| *values));
        self.found = Some(if search.search_space.is_stepped() {
            self.offered(search, &points)
        } else {
            points
        });
    }

    /// What may be offered round these points.
    fn offered(&self, search: &mut WishSearch, points: &[usize]) -> Vec<usize> {
        let mut round = Vec::new();
        for &index in points {
            let at = search.search_space.candidates[index].at.clone();
            round.extend(search.search_space.offered_round(&at));
        }
        sort_places(&mut round, &mut |a, b| a.cmp(&b));
        round.dedup();
        let meets = |index: usize| {
            search.score(index).meets().then_some((index, self.values(search, index)?))
        };
        let all: Vec<(usize, [f64; 2])> = round.into_iter().filter_map(meets).collect();
        thinned(unbeaten(all, |(_, values)| *values))
    }

    /// What meets the goals may not have been asked for both figures yet: some of it is.
    fn ask_some(&self, search: &WishSearch) {
        let needs = search.goals.needs();
        let meets = |index: &usize| {
            let worked = search.search_space.candidates[*index].worked.as_ref();
            worked.is_some_and(|worked| needs.iter().all(|need| worked.knows(*need)))
                && search.score(*index).meets()
        };
        let all: Vec<usize> = (0..search.search_space.candidates.len()).filter(meets).collect();
        for index in all.iter().step_by(1 + all.len() / ASKED) {
            let _ = self.values(search, *index);
        }
    }

    /// From one end, holding its own figure: the other as far as it goes.
    fn hold_and_push(&mut self, search: &mut WishSearch, end: usize, by: usize) {
        let figures = [self.wanted.across.figure, self.wanted.up.figure];
        let paths = self.paths();
        let Some(values) = self.values(search, end) else { return };
        let trace = 0.02 * figures[by].usual_tolerance(values[by]);
        search.goals.all.push(hold(figures[by], paths[by], values[by] - trace));
        let found = search.pushed(end, figures[1 - by], paths[1 - by], EVALUATIONS);
        self.new.push(found);
    }
}

/// The goals without a figure aimed at, and without values wished for the two.
fn plain(goals: &Goals, wanted: &TradeOff) -> Goals {
    let weighed = [wanted.across.figure, wanted.up.figure];
    let held = |goal: &&Goal| goal.sense != Sense::Near || !weighed.contains(&goal.figure);
    Goals { aim: None, all: goals.all.iter().filter(held).copied().collect(), ..goals.clone() }
}

/// `path` times the figure at no less than `level`.
fn hold(figure: Figure, path: f64, level: f64) -> Goal {
    let sense = if path > 0.0 { Sense::AtLeast } else { Sense::AtMost };
    let value = path * level;
    Goal { figure, sense, value, within: figure.usual_tolerance(value), origin: Origin::TradeOff }
}

/// Those that no other beats in both values, or in one with the other alike; the greater first.
fn unbeaten<T>(mut points: Vec<T>, values: impl Fn(&T) -> [f64; 2]) -> Vec<T> {
    sort_by(&mut points, |a, b| {
        let (a, b) = (values(a), values(b));
        b[0].total_cmp(&a[0]).then(b[1].total_cmp(&a[1]))
    });
    let mut highest = f64::NEG_INFINITY;
    points.retain(|point| {
        let up = values(point)[1];
        let kept = up > highest;
        highest = highest.max(up);
        kept
    });
    points
}

/// Few enough to be checked: points that lie all but on one another are one.
fn thinned(points: Vec<(usize, [f64; 2])>) -> Vec<usize> {
    let (Some(first), Some(last)) = (points.first().copied(), points.last().copied()) else {
        return Vec::new();
    };
    let width = |by: usize| (first.1[by] - last.1[by]).abs().max(f64::MIN_POSITIVE);
    let apart = |a: [f64; 2], b: [f64; 2]| {
        (0..2).map(|by| (a[by] - b[by]).abs() / width(by)).fold(0.0, f64::max)
    };
    let step = 1.0 / (BETWEEN + 3) as f64;
    let mut kept = vec![first];
    for point in &points {
        let near = kept.last().is_some_and(|before| apart(before.1, point.1) < step);
        if !near && apart(point.1, last.1) > step {
            kept.push(*point);
        }
    }
    if apart(first.1, last.1) > ALIKE {
        kept.push(last);
    }
    kept.into_iter().map(|(index, _)| index).collect()
}
