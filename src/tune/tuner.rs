//! The tuner: looks for designs a little at a time.

use super::answer::{Answer, checked};
use super::climb::{Climb, Landscape};
use super::figure::Need;
use super::goal::{Goals, Score};
use super::ground::Ground;
use super::lists::Waiting;
use super::refusal::{Refusal, Refusing};
use super::sample::Spread;
use super::trade_off::{TradePoint, Trading};
use super::{Figure, TuneError, Wishes};
use crate::design::Design;
use crate::units::LengthUnit;
use serde::{Deserialize, Serialize};

/// Choices from lists that are all looked at; of more, this many.
const MOST_CHOICES: usize = 20_000;
/// Places of the sample whose shapes alone are looked at.
const SPREAD: usize = 384;
/// Of these, whole ones: so many, and so many for each dimension.
const WHOLE: (usize, usize) = (6, 2);
/// Answers told.
const ANSWERS: usize = 4;
/// Where the first climb finds just what is wished, fewer do.
const WHOLE_THEN: usize = 3;
/// Climbs: where the wishes are met, and at most for each dimension.
const CLIMBS: usize = 2;
const CLIMBS_EACH: usize = 3;
/// Places looked at by one climb.
const LOOKS: usize = 160;
/// Likewise where shapes alone are looked at.
const SHAPES: usize = 400;
/// A climb is content with a miss of this share of the tolerance, and goes on for a gain of that.
const CARE: (f64, f64) = (0.02, 2e-3);
/// A miss of this share of the tolerance is none.
const EXACT: f64 = 0.2;
/// A miss of this share of the tolerance is told as a first answer.
const USEFUL: f64 = 0.8;
/// Answers nearer than this share of every range are one.
const APART: f64 = 0.03;
/// A climb starts no nearer than this to where one started or ended.
const NEW: f64 = 0.12;

/// What has been done.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Progress {
    /// What is being done.
    pub doing: String,
    /// Designs looked at.
    pub looked_at: usize,
    /// Nothing is left to do.
    pub done: bool,
}

/// What was found.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Tuned {
    /// Version of this document.
    pub linkfold_tuned: u32,
    /// How far it is.
    pub progress: Progress,
    /// The best first.
    pub answers: Vec<Answer>,
    /// Where not all wishes can be had: which stand in the way, and what can.
    pub refusal: Option<Refusal>,
    /// The trade-off, from one end to the other; empty where not asked.
    pub trade_off: Vec<TradePoint>,
}

/// Looks for designs that do what is wished.
#[derive(Debug)]
pub struct Tuner {
    search: Search,
    spread: Spread,
    waiting: Waiting,
    stage: Stage,
    climb: Option<Fit>,
    climbs: usize,
    whole: Vec<usize>,
    tried: Vec<Vec<f64>>,
    finals: Vec<(usize, Score)>,
    answers: Vec<(usize, Answer)>,
    refusal: Option<Refusal>,
    trade_off: Vec<TradePoint>,
    also: Vec<Figure>,
    wishes: Wishes,
}

/// The ground, and what is asked there.
#[derive(Debug)]
pub(super) struct Search {
    pub ground: Ground,
    pub goals: Goals,
}

#[derive(Debug)]
enum Stage {
    Spreading(usize),
    First,
    Sorting,
    Climbing,
    Checking,
    Refusing(Box<Refusing>),
    Trading(Box<Trading>),
    Done,
}

/// The ground as a climb sees it.
pub(super) struct Slope<'a> {
    pub ground: &'a mut Ground,
    pub goals: &'a Goals,
    /// The figure aimed at, which way, and the unit it is counted in.
    pub aim: Option<(Figure, f64, f64)>,
    /// How far it looks.
    pub need: Need,
}

impl Landscape for Slope<'_> {
    fn heights(&mut self, at: &[f64], floor: f64) -> Option<Vec<f64>> {
        self.look(at, floor, None)
    }

    fn heights_near(&mut self, at: &[f64], here: &[f64]) -> Option<Vec<f64>> {
        self.look(at, f64::NEG_INFINITY, Some(here))
    }
}

impl Slope<'_> {
    fn look(&mut self, at: &[f64], floor: f64, here: Option<&[f64]>) -> Option<Vec<f64>> {
        let index = self.ground.candidate(at);
        let worked = self.ground.candidates[index].worked.clone()?;
        let aim = self.aim.map(|(figure, way, _)| (figure, way));
        let mut heights =
            self.goals.heights(&worked, &self.ground.stuff, aim, (self.need, floor), here);
        if let (Some((_, _, unit)), Some(last)) = (self.aim, heights.last_mut()) {
            *last /= unit;
        }
        Some(heights)
    }
}

impl Search {
    /// The score of a candidate, all of it known.
    pub fn score(&self, index: usize) -> Score {
        let candidate = &self.ground.candidates[index];
        candidate.worked.as_ref().map_or(Score::NONE, |worked| {
            self.goals.score(worked, &self.ground.stuff, Need::SwingX, candidate.change)
        })
    }

    /// The least miss from `at` on.
    pub fn fit(&mut self, at: &[f64]) -> Option<Fit> {
        let mut depths = self.goals.depths();
        depths.reverse();
        let need = depths.pop()?;
        let live = self.ground.ranging();
        let mut slope = Slope { ground: &mut self.ground, goals: &self.goals, aim: None, need };
        let climb = Climb::new(&mut slope, at, &live, false, CARE)?;
        Some(Fit { climb, need, depths })
    }

    /// From a candidate that meets all goals on: a figure as far one way as they allow.
    pub fn push(&mut self, index: usize, figure: Figure, way: f64) -> Option<(Climb, f64)> {
        let candidate = &self.ground.candidates[index];
        let at = candidate.at.clone();
        let value = candidate.worked.as_ref()?.figure(figure, &self.ground.stuff)?;
        let unit = figure.usual_tolerance(value);
        let live = self.ground.ranging();
        let mut slope = self.slope(Some((figure, way, unit)), Need::SwingX);
        Some((Climb::new(&mut slope, &at, &live, true, CARE)?, unit))
    }

    /// All of [`Search::push`] at once: where it ends, after at most `looks` places.
    pub fn pushed(&mut self, index: usize, figure: Figure, way: f64, looks: usize) -> usize {
        let Some((mut climb, unit)) = self.push(index, figure, way) else { return index };
        while !climb.is_done() && climb.looks() < looks {
            let aim = Some((figure, way, unit));
            climb.step(&mut self.slope(aim, Need::SwingX));
        }
        self.ground.candidate(climb.at())
    }

    /// All of [`Search::fit`] at once.
    pub fn fitted(&mut self, at: &[f64], looks: usize) -> usize {
        let Some(mut fit) = self.fit(at) else { return self.ground.candidate(at) };
        while fit.step(self, looks) {}
        self.ground.candidate(fit.climb.at())
    }

    fn slope(&mut self, aim: Option<(Figure, f64, f64)>, need: Need) -> Slope<'_> {
        Slope { ground: &mut self.ground, goals: &self.goals, aim, need }
    }
}

/// A fit under way: one climb after the other, each looking further.
#[derive(Debug)]
pub(super) struct Fit {
    climb: Climb,
    need: Need,
    /// Still to come, the last first.
    depths: Vec<Need>,
}

impl Fit {
    /// Whether it stands where all wishes are met.
    fn is_useful(&self) -> bool {
        self.need == Need::SwingX && self.climb.level() >= -USEFUL
    }

    /// One step; whether there are more, within `looks` places as far as they cost.
    fn step(&mut self, search: &mut Search, looks: usize) -> bool {
        let most = if self.need == Need::Shape { SHAPES } else { looks };
        if !self.climb.is_done() && self.climb.looks() < most {
            self.climb.step(&mut search.slope(None, self.need));
            return true;
        }
        let Some(need) = self.depths.pop() else { return false };
        self.need = need;
        let live = search.ground.ranging();
        let at = self.climb.at().to_vec();
        match Climb::new(&mut search.slope(None, need), &at, &live, false, CARE) {
            Some(climb) => self.climb = climb,
            None => return false,
        }
        true
    }
}

impl Tuner {
    /// A tuner that has not looked yet.
    ///
    /// # Errors
    /// [`TuneError`] where the wishes make no sense, or not for this design.
    pub fn new(design: &Design, wishes: &Wishes) -> Result<Tuner, TuneError> {
        wishes.check(design)?;
        let ground = Ground::new(design, wishes)?;
        let goals = Goals::of(wishes, design.margin_mm, ground.stuff.weave);
        let listed = ground.choices().is_some();
        let sides = wishes.trade_off.iter().flat_map(|t| [t.across.figure, t.up.figure]);
        Ok(Tuner {
            spread: Spread::new(ground.rooms.len(), wishes.seed),
            waiting: Waiting::new(goals.clone(), !listed),
            stage: Stage::Spreading(0),
            climb: None,
            climbs: 0,
            whole: Vec::new(),
            tried: Vec::new(),
            finals: Vec::new(),
            answers: Vec::new(),
            refusal: None,
            trade_off: Vec::new(),
            also: sides.collect(),
            wishes: wishes.clone(),
            search: Search { ground, goals },
        })
    }

    /// The same, its sentences with lengths in `unit`.
    pub fn speaking(mut self, unit: LengthUnit) -> Tuner {
        self.search.goals.unit = unit;
        self
    }

    /// Goes on until some `looks` designs more were looked at, or nothing is left to do.
    pub fn step(&mut self, looks: usize) -> Progress {
        let until = self.search.ground.candidates.len() + looks;
        let mut acts = 0;
        loop {
            self.act();
            acts += 1;
            let progress = self.progress();
            if progress.done || progress.looked_at >= until || acts >= looks {
                return progress;
            }
        }
    }

    /// Looks to the end.
    pub fn settle(mut self) -> Tuned {
        while !self.step(usize::MAX / 2).done {}
        self.found()
    }

    /// How far it is.
    pub fn progress(&self) -> Progress {
        let doing = match self.stage {
            Stage::Spreading(_) => "looking round",
            Stage::First => "the first answer",
            Stage::Sorting => "sorting out what cannot be the best",
            Stage::Climbing => "looking for better ones",
            Stage::Checking => "proving the answers",
            Stage::Refusing(_) => "looking for what stands in the way",
            Stage::Trading(_) => "following the trade-off",
            Stage::Done => "done",
        };
        Progress {
            doing: doing.into(),
            looked_at: self.search.ground.candidates.len(),
            done: matches!(self.stage, Stage::Done),
        }
    }

    /// What was found so far.
    pub fn found(&self) -> Tuned {
        Tuned {
            linkfold_tuned: 1,
            progress: self.progress(),
            answers: self.answers.iter().map(|(_, answer)| answer.clone()).collect(),
            refusal: self.refusal.clone(),
            trade_off: self.trade_off.clone(),
        }
    }

    fn listed(&self) -> Option<usize> {
        self.search.ground.choices().filter(|choices| *choices <= MOST_CHOICES)
    }

    fn act(&mut self) {
        match &mut self.stage {
            Stage::Spreading(from) => {
                let from = *from;
                self.spread_on(from);
            }
            Stage::First | Stage::Climbing => self.climb_on(),
            Stage::Sorting => self.sort_on(),
            Stage::Checking => self.check_on(),
            Stage::Refusing(refusing) => {
                if let Some(refusal) = refusing.act(&mut self.search) {
                    self.refusal = Some(refusal);
                    self.trade();
                }
            }
            Stage::Trading(trading) => {
                let listed = self.search.ground.choices().is_some();
                match trading.act(&mut self.search, &self.also, listed) {
                    Some(points) => {
                        self.trade_off = points;
                        self.stage = Stage::Done;
                    }
                    None => self.trade_off = trading.so_far(),
                }
            }
            Stage::Done => {}
        }
    }

    fn spread_on(&mut self, from: usize) {
        const AT_ONCE: usize = 64;
        let choices = self.listed();
        let ground = &mut self.search.ground;
        let spread = if ground.is_slow() { SPREAD / 8 } else { SPREAD };
        let (count, listed) = choices.map_or((spread, false), |choices| (choices, true));
        let to = (from + AT_ONCE).min(count);
        for i in from..to {
            let at = match (listed, i) {
                (true, _) => ground.choice(i),
                (false, 0) => ground.present.clone(),
                _ => self.spread.place(),
            };
            let before = ground.candidates.len();
            let index = ground.candidate(&at);
            if index == before {
                self.waiting.add(ground, index);
            }
        }
        self.stage = match (to == count, listed) {
            (false, _) => Stage::Spreading(to),
            (true, true) => Stage::Sorting,
            (true, false) => Stage::First,
        };
    }

    /// Best first; from lists until enough are known to be the best, else until enough to climb from.
    fn sort_on(&mut self) {
        let enough = match self.listed() {
            Some(_) => ANSWERS,
            None if self.exact() => WHOLE_THEN,
            None => WHOLE.0 + WHOLE.1 * self.search.ground.rooms.len(),
        };
        match self.waiting.next(&self.search.ground) {
            Ok(None) => {}
            Ok(Some((index, _))) => {
                self.whole.push(index);
                let score = self.search.score(index);
                self.finals.push((index, score));
            }
            Err(()) => self.after_sorting(),
        }
        if matches!(self.stage, Stage::Sorting) && self.whole.len() >= enough {
            self.after_sorting();
        }
    }

    fn after_sorting(&mut self) {
        self.stage = if self.listed().is_some() { Stage::Checking } else { Stage::Climbing };
    }

    /// The first climb, or one from the best place not climbed from yet.
    fn climb_on(&mut self) {
        let first = matches!(self.stage, Stage::First);
        let Some(climb) = &mut self.climb else {
            let start = if first { self.first_start() } else { self.next_start() };
            let Some(at) = start else {
                self.stage = if first { Stage::Sorting } else { Stage::Checking };
                return;
            };
            self.climb = self.search.fit(&at);
            self.tried.push(at);
            self.climbs += 1;
            return;
        };
        if first && self.answers.is_empty() && climb.is_useful() {
            let index = self.search.ground.candidate(climb.climb.at());
            let Search { ground, goals } = &self.search;
            self.answers
                .extend(checked(ground, goals, &self.also, index).map(|answer| (index, answer)));
        }
        if climb.step(&mut self.search, LOOKS) {
            return;
        }
        let at = climb.climb.at().to_vec();
        self.climb = None;
        let mut index = self.search.ground.candidate(&at);
        if self.search.score(index).meets()
            && let Some((figure, way)) = self.search.goals.aim
        {
            index = self.search.pushed(index, figure, way, LOOKS);
        }
        let score = self.search.score(index);
        self.tried.push(self.search.ground.candidates[index].at.clone());
        self.finals.push((index, score));
        if first {
            if self.answers.is_empty()
                && let Some(answer) =
                    checked(&self.search.ground, &self.search.goals, &self.also, index)
            {
                self.answers.push((index, answer));
            }
            self.stage = Stage::Sorting;
        }
    }

    /// The present design where it is worth it, else the most promising place by its shapes.
    fn first_start(&mut self) -> Option<Vec<f64>> {
        if self.climbs > 0 {
            return None;
        }
        let ground = &self.search.ground;
        let by_shape = |candidate: &super::ground::Candidate| {
            let worked = candidate.worked.as_ref()?;
            Some(self.search.goals.score(worked, &ground.stuff, Need::Shape, 0.0).worst)
        };
        let scored: Vec<(usize, f64)> = (0..ground.candidates.len())
            .filter_map(|i| Some((i, by_shape(&ground.candidates[i])?)))
            .collect();
        let best = scored.iter().min_by(|a, b| a.1.total_cmp(&b.1))?;
        Some(ground.candidates[best.0].at.clone())
    }

    fn next_start(&mut self) -> Option<Vec<f64>> {
        let dimensions = self.search.ground.rooms.len();
        let met = self.finals.iter().any(|(_, score)| score.meets());
        let most = if self.exact() {
            CLIMBS
        } else if met {
            CLIMBS + 2
        } else {
            CLIMBS_EACH * dimensions.max(2)
        };
        if self.climbs >= most {
            return None;
        }
        let mut scored: Vec<(usize, Score)> =
            self.whole.iter().map(|&index| (index, self.search.score(index))).collect();
        scored.sort_by(|a, b| a.1.order(&b.1));
        let candidates = &self.search.ground.candidates;
        // The next sizes on the bench to the best; else somewhere new.
        let fresh = |at: &[f64]| self.tried.iter().all(|other| distance(other, at) > NEW);
        let beside = self.best().map(|best| self.search.ground.beside(&candidates[best].at));
        let beside = beside.into_iter().flatten().find(|at| !self.tried.contains(at));
        beside.or_else(|| {
            let places = scored.iter().map(|(index, _)| &candidates[*index].at);
            places.into_iter().find(|at| fresh(at)).cloned()
        })
    }

    /// Whether just what is wished was found.
    fn exact(&self) -> bool {
        let aims = self.search.goals.aim.is_some();
        !aims && self.finals.iter().any(|(_, score)| score.worst <= EXACT)
    }

    fn best(&self) -> Option<usize> {
        self.finals.iter().min_by(|a, b| a.1.order(&b.1)).map(|(index, _)| *index)
    }

    /// One more answer checked, the best first.
    fn check_on(&mut self) {
        self.finals.sort_by(|a, b| a.1.order(&b.1).then(a.0.cmp(&b.0)));
        let listed = self.listed().is_some();
        let ground = &self.search.ground;
        let mut chosen: Vec<usize> = Vec::new();
        for (index, _) in &self.finals {
            let at = &ground.candidates[*index].at;
            let apart = |other: &usize| {
                *other != *index && (listed || distance(at, &ground.candidates[*other].at) > APART)
            };
            if chosen.len() < ANSWERS && chosen.iter().all(apart) {
                chosen.push(*index);
            }
        }
        let next = chosen.iter().find(|i| !self.answers.iter().any(|(known, _)| known == *i));
        if let Some(&index) = next {
            match checked(ground, &self.search.goals, &self.also, index) {
                Some(answer) => self.answers.push((index, answer)),
                None => self.finals.retain(|(known, _)| *known != index),
            }
            return;
        }
        self.answers.retain(|(index, _)| chosen.contains(index));
        let place = |index: usize| chosen.iter().position(|known| *known == index);
        // What was to join by search and does not by proof comes last.
        let let_down =
            |index: usize, answer: &Answer| self.search.score(index).meets() && !answer.joins;
        let key = |index: usize, answer: &Answer| (let_down(index, answer), place(index));
        self.answers.sort_by_key(|(index, answer)| key(*index, answer));
        let best = self.finals.first().copied();
        match best {
            Some((index, score)) if !score.meets() => {
                self.stage = Stage::Refusing(Box::new(Refusing::new(&self.search, index)));
            }
            _ => self.trade(),
        }
    }

    fn trade(&mut self) {
        self.stage = match self.wishes.trade_off {
            Some(wanted) => Stage::Trading(Box::new(Trading::new(wanted, &self.search))),
            None => Stage::Done,
        };
    }
}

/// Greatest difference of two places in any direction.
pub(super) fn distance(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| (x - y).abs()).fold(0.0, f64::max)
}
