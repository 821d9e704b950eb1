//! The trade-off of two figures: what of the one is paid for the other.
//!
//! Method: each end is the best of one figure that the wishes allow, and of these the best of the
//! other, looked for from both sides; between, the second is held at even steps as a limit and the first is
//! pushed as far as it goes: upwards, each step from the one before, which follows the curve where it is a narrow
//! ridge, and downwards from the best there is. Searches that need not wait for one another share processors, each on
//! a copy of what is known, so that what is found hangs on no timing. A value wished for one of the two would
//! leave nothing to weigh, and is released; limits and all other wishes hold. From lists alone, all that meet the wishes
//! are compared. What is beaten in both by another is dropped, before and after the report has measured it; where the
//! report lets a point down, as by a join not quite proven, the next best stands in.

use super::answer::{DesignAnswer, checked};
use super::goal::{Goal, Goals, Origin, Sense, sign};
use super::lists::Waiting;
use super::search::{FigurePush, WishSearch};
use super::{Figure, TradeOff};
use crate::math::map_indices;
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
/// Places looked at for an end from either side, for the other figure held there, and for each point between from
/// either side.
const END: usize = 60;
const HOLDING: usize = 30;
const EACH: usize = 15;
/// How often others are chosen where some were let down.
const MOST_AGAIN: usize = 3;
/// Of the designs that meet the wishes, so many are asked for both figures to start from.
const ASKED: usize = 12;
/// Points asked of the report at once.
const AT_ONCE: usize = 4;
/// Whole designs compared where all is listed.
const COMPARED: usize = 400;
/// The least share of the whole that the picture shows.
const SEEN: f64 = 1.0 / 1000.0;
/// Two points nearer than this share of the whole are one.
const ALIKE: f64 = 0.01;
/// Others that no point beats are told where they are further than this from all points.
const FILLED: f64 = 0.06;

/// Following the trade-off.
#[derive(Debug)]
pub(super) struct Trading {
    wanted: TradeOff,
    turn: usize,
    /// To be checked, once all points are found.
    found: Option<Vec<usize>>,
    /// Some were let down since they were chosen, and how often others were.
    is_short: bool,
    again: usize,
    /// The way upwards along the curve stands here; between which levels it leads.
    line: usize,
    levels: [f64; 2],
    /// What the searches found.
    ended: Vec<usize>,
    /// What the report did not find to meet the wishes after all.
    let_down: Vec<usize>,
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
            found: None,
            is_short: false,
            again: 0,
            line: 0,
            levels: [0.0; 2],
            ended: Vec::new(),
            let_down: Vec::new(),
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

    /// Some points more; all of them once there are no more.
    pub fn act(
        &mut self,
        search: &mut WishSearch,
        also: &[Figure],
        listed: bool,
    ) -> Option<Vec<TradePoint>> {
        let whole = search.goals.clone();
        search.goals = plain(&whole, &self.wanted);
        let mut done = false;
        if let Some(found) = &mut self.found
            && !found.is_empty()
        {
            let some = found.split_off(found.len().saturating_sub(AT_ONCE));
            let before = self.let_down.len();
            self.check(search, also, some);
            self.is_short |= self.let_down.len() > before;
        } else if self.found.is_some() {
            // Others stand in for those that were let down.
            let again = std::mem::take(&mut self.is_short) && !listed && self.again < MOST_AGAIN;
            self.again += 1;
            let more = if again { self.chosen(search) } else { Vec::new() };
            let more: Vec<usize> =
                more.into_iter().filter(|index| !self.asked.contains(index)).collect();
            done = more.is_empty();
            self.found = Some(more);
        } else if listed {
            self.compare(search);
        } else {
            self.next_points(search);
        }
        search.goals = whole;
        done.then(|| self.so_far())
    }

    /// Asks the report about some points.
    fn check(&mut self, search: &mut WishSearch, also: &[Figure], points: Vec<usize>) {
        let mut some: Vec<usize> = points.into_iter().map(|index| search.offered(index)).collect();
        some.retain(|index| !self.asked.contains(index));
        sort_places(&mut some, &mut |a, b| a.cmp(&b));
        some.dedup();
        self.asked.extend(&some);
        let answers = map_indices(some.len(), |i| {
            checked(&search.search_space, &search.goals, also, some[i])
        });
        for (index, answer) in some.into_iter().zip(answers) {
            match answer.and_then(|answer| self.point(answer)) {
                Some(point) => self.checked.push(point),
                None => self.let_down.push(index),
            }
        }
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

    /// Over ranges: some points more of the curve.
    fn next_points(&mut self, search: &mut WishSearch) {
        if self.turn == 0 {
            self.ask_some(search);
        }
        let pool = self.pool(search);
        let ends = [best(0, &pool), best(1, &pool)].map(|end| self.values(search, end?));
        let (Some(low), Some(high), [Some(across), Some(up)]) =
            (best(0, &pool), best(1, &pool), ends)
        else {
            self.found = Some(Vec::new());
            return;
        };
        let worth = [0, 1].map(|by| SEEN * (across[by] - up[by]).abs());
        let turn = self.turn;
        self.turn += 1;
        if turn == 2 {
            (self.line, self.levels) = (low, [across[1], up[1]]);
        }
        let this = &*self;
        let found = match turn {
            // Each end twice: from the best there is, and from the other end, or a kink may hide it.
            0 => search.apart(2, |search, by| this.end(search, [low, high][by], by, worth, None)),
            1 => search.apart(2, |search, by| {
                this.end(search, [high, low][by], by, worth, Some([low, high][by]))
            }),
            // Along the curve from either end, upwards and downwards.
            _ if turn < 2 + BETWEEN => search.apart(2, |search, way| {
                let at = if way == 0 { turn - 1 } else { BETWEEN + 2 - turn };
                let share = at as f64 / (BETWEEN + 1) as f64;
                let level = this.levels[0] + share * (this.levels[1] - this.levels[0]);
                let mut above = pool.clone();
                above.retain(|(_, values)| values[1] >= level);
                let from = if way == 0 { this.line } else { best(0, &above)? };
                this.between(search, from, level, worth)
            }),
            _ => {
                self.found = Some(self.chosen(search));
                return;
            }
        };
        for (way, found) in found.into_iter().enumerate() {
            let Some(index) = found else { continue };
            // What another found first may not have been asked for all of it.
            let _ = (search.score(index), self.values(search, index));
            if turn >= 2 && way == 0 {
                self.line = index;
            }
            self.ended.push(index);
        }
    }

    /// The points to be checked: what no other beats that was not let down.
    fn chosen(&self, search: &mut WishSearch) -> Vec<usize> {
        let mut pool = self.pool(search);
        pool.retain(|(index, _)| !self.let_down.contains(index));
        let points = thinned(unbeaten(pool, |(_, values)| *values), &self.ended);
        if search.search_space.is_stepped() { self.offered(search, &points) } else { points }
    }

    /// An end: the figure `by` as far as it goes, then, holding it, the other. None where that is no further
    /// than the end `known`.
    fn end(
        &self,
        search: &mut WishSearch,
        start: usize,
        by: usize,
        worth: [f64; 2],
        known: Option<usize>,
    ) -> Option<usize> {
        let figures = [self.wanted.across.figure, self.wanted.up.figure];
        let end = search.pushed(start, self.push(by, END, worth, true));
        let value = self.values(search, end)?[by];
        if let Some(known) = known
            && !(value > self.values(search, known)?[by] + worth[by])
        {
            return None;
        }
        let trace = 0.02 * figures[by].usual_tolerance(value);
        search.goals.all.push(hold(figures[by], self.paths()[by], value - trace));
        Some(search.pushed(end, self.push(1 - by, HOLDING, worth, false)))
    }

    fn push(&self, by: usize, evaluations: usize, worth: [f64; 2], tries: bool) -> FigurePush {
        let figure = [self.wanted.across.figure, self.wanted.up.figure][by];
        FigurePush { figure, path: self.paths()[by], evaluations, worth: worth[by], tries }
    }

    /// From a point of the curve: the figure across as far as it goes, holding the other at `level`. From below that
    /// the search first rises to it, along the curve.
    fn between(
        &self,
        search: &mut WishSearch,
        from: usize,
        level: f64,
        worth: [f64; 2],
    ) -> Option<usize> {
        search.goals.all.push(hold(self.wanted.up.figure, self.paths()[1], level));
        let found = search.pushed(from, self.push(0, EACH, worth, false));
        search.score(found).meets().then_some(found)
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
        round.retain(|index| !self.let_down.contains(index));
        let meets = |index: usize| {
            search.score(index).meets().then_some((index, self.values(search, index)?))
        };
        let all: Vec<(usize, [f64; 2])> = round.into_iter().filter_map(meets).collect();
        thinned(unbeaten(all, |(_, values)| *values), &[])
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
}

/// The candidate with the most of the one value.
fn best(by: usize, pool: &[(usize, [f64; 2])]) -> Option<usize> {
    pool.iter().max_by(|a, b| a.1[by].total_cmp(&b.1[by])).map(|(index, _)| *index)
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

/// Few enough to be checked: those of `found`, and between them those far from all others; points that lie
/// all but on one another are one.
fn thinned(points: Vec<(usize, [f64; 2])>, found: &[usize]) -> Vec<usize> {
    let (Some(first), Some(last)) = (points.first().copied(), points.last().copied()) else {
        return Vec::new();
    };
    let width = |by: usize| (first.1[by] - last.1[by]).abs().max(f64::MIN_POSITIVE);
    let apart = |a: [f64; 2], b: [f64; 2]| {
        (0..2).map(|by| (a[by] - b[by]).abs() / width(by)).fold(0.0, f64::max)
    };
    let mut kept = vec![first];
    let mut keep = |point: (usize, [f64; 2]), step: f64| {
        if kept.iter().all(|other| apart(other.1, point.1) > step) {
            kept.push(point);
        }
    };
    keep(last, ALIKE);
    points.iter().filter(|(index, _)| found.contains(index)).for_each(|p| keep(*p, ALIKE));
    points.iter().for_each(|point| keep(*point, FILLED));
    kept.into_iter().map(|(index, _)| index).collect()
}
