//! The optimiser: looks for designs a little at a time.

use super::answer::DesignAnswer;
use super::figure::Need;
use super::goal::{Goals, Score};
use super::lists::Waiting;
use super::ranking::{Next, Ranking};
use super::refusal::{Refusal, Refusing};
use super::sample::SampleSpread;
use super::search::{FigurePush, LocalSearch, WishSearch};
use super::search_space::{SearchSpace, distance};
use super::trade_off::{TradePoint, Trading};
use super::{OptimiseError, Wishes};
use crate::documents::design::Design;
use crate::documents::units::LengthUnit;
use crate::math::sort::sort_by;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// Choices from lists that are all looked at; of more, this many.
const MOST_CHOICES: usize = 20_000;
/// Places of the sample whose shapes alone are looked at; before the first local search, so many.
const SPREAD: usize = 384;
const SPREAD_FIRST: usize = 128;
/// Of these, whole ones: so many, and so many for each dimension.
const WHOLE: (usize, usize) = (6, 2);
/// Of the sample, so many for each dimension are looked at further than their shapes.
const WAITING: usize = 16;
/// Where the first local search finds just what is wished, fewer do.
const WHOLE_THEN: usize = 3;
const WAITING_THEN: usize = 12;
/// Local searches: where the wishes are met, and at most for each dimension.
const LOCAL_SEARCHES: usize = 2;
const LOCAL_SEARCHES_EACH: usize = 3;
/// Places evaluated by one local search.
const EVALUATIONS: usize = 160;
/// Candidates that may be offered, known whole, of which the best are told.
const OFFERED: usize = 8;
/// A local search starts no nearer than this to where one started or ended.
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
pub struct OptimiseResult {
    /// Version of this document.
    pub linkfold_optimised: u32,
    /// How far it is.
    pub progress: Progress,
    /// The best first.
    pub answers: Vec<DesignAnswer>,
    /// Where not all wishes can be had: which stand in the way, and what can.
    pub refusal: Option<Refusal>,
    /// The trade-off, from one end to the other; empty where not asked.
    pub trade_off: Vec<TradePoint>,
}

/// Looks for designs that do what is wished.
#[derive(Debug)]
pub struct Optimiser {
    search: WishSearch,
    spread: SampleSpread,
    waiting: Waiting,
    stage: Stage,
    local_search: Option<LocalSearch>,
    local_searches: usize,
    /// How far the sample is taken, and its candidates.
    spread_to: usize,
    sample: Vec<usize>,
    /// The whole sample is sorted, not only what seems best.
    wider: bool,
    whole: Vec<usize>,
    tried: Vec<Vec<f64>>,
    standing: Ranking,
    refusal: Option<Refusal>,
    trade_off: Vec<TradePoint>,
    wishes: Wishes,
    /// The best of all that was searched, where not all of it may be offered.
    between: Option<(usize, Score)>,
}

#[derive(Debug)]
enum Stage {
    Spreading,
    First,
    Sorting,
    Improving,
    Stepping,
    Checking,
    Refusing(Box<Refusing>),
    Trading(Box<Trading>),
    Done,
}

impl Optimiser {
    /// An optimiser that has not looked yet.
    ///
    /// # Errors
    /// [`OptimiseError`] where the wishes make no sense, or not for this design.
    pub fn new(design: &Design, wishes: &Wishes) -> Result<Optimiser, OptimiseError> {
        wishes.check(design)?;
        let search_space = SearchSpace::new(design, wishes)?;
        let goals = Goals::of(wishes, design.margin_mm, search_space.context.weave);
        let listed = search_space.choices().is_some();
        let sides = wishes.trade_off.iter().flat_map(|t| [t.across.figure, t.up.figure]);
        Ok(Optimiser {
            spread: SampleSpread::new(search_space.variables.len(), wishes.seed),
            waiting: Waiting::new(goals.clone(), !listed),
            stage: Stage::Spreading,
            local_search: None,
            local_searches: 0,
            spread_to: 0,
            sample: Vec::new(),
            wider: false,
            whole: Vec::new(),
            tried: Vec::new(),
            standing: Ranking::new(sides.collect()),
            refusal: None,
            trade_off: Vec::new(),
            wishes: wishes.clone(),
            between: None,
            search: WishSearch { search_space, goals },
        })
    }

    /// The same, its sentences with lengths in `unit`.
    pub fn in_unit(mut self, unit: LengthUnit) -> Optimiser {
        self.search.goals.unit = unit;
        self
    }

    /// Goes on until some `evaluations` designs more were looked at, or nothing is left to do.
    pub fn step(&mut self, evaluations: usize) -> Progress {
        let until = self.search.search_space.candidates.len() + evaluations;
        let mut acts = 0;
        loop {
            self.act();
            acts += 1;
            let progress = self.progress();
            if progress.done || progress.looked_at >= until || acts >= evaluations {
                return progress;
            }
        }
    }

    /// Looks to the end.
    pub fn settle(mut self) -> OptimiseResult {
        while !self.step(usize::MAX / 2).done {}
        self.found()
    }

    /// How far it is.
    pub fn progress(&self) -> Progress {
        let doing = match self.stage {
            Stage::Spreading => "looking round",
            Stage::First => "the first answer",
            Stage::Sorting => "sorting out what cannot be the best",
            Stage::Improving => "looking for better ones",
            Stage::Stepping => "taking them to what can be had",
            Stage::Checking => "proving the answers",
            Stage::Refusing(_) => "looking for what prevents it",
            Stage::Trading(_) => "following the trade-off",
            Stage::Done => "done",
        };
        Progress {
            doing: doing.into(),
            looked_at: self.search.search_space.candidates.len(),
            done: matches!(self.stage, Stage::Done),
        }
    }

    /// What was found so far.
    pub fn found(&self) -> OptimiseResult {
        OptimiseResult {
            linkfold_optimised: 1,
            progress: self.progress(),
            answers: self.standing.answers(),
            refusal: self.refusal.clone(),
            trade_off: self.trade_off.clone(),
        }
    }

    fn listed(&self) -> Option<usize> {
        self.search.search_space.choices().filter(|choices| *choices <= MOST_CHOICES)
    }

    fn act(&mut self) {
        match &mut self.stage {
            Stage::Spreading => self.spread_on(),
            Stage::First | Stage::Improving => self.improve(),
            Stage::Sorting => self.sort_on(),
            Stage::Stepping => self.step_on(),
            Stage::Checking => self.check_on(),
            Stage::Refusing(refusing) => {
                if let Some(refusal) = refusing.act(&mut self.search) {
                    self.refusal = Some(refusal);
                    self.trade();
                }
            }
            Stage::Trading(trading) => {
                let listed = self.search.search_space.choices().is_some();
                match trading.act(&mut self.search, self.standing.also(), listed) {
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

    fn spread_on(&mut self) {
        const AT_ONCE: usize = 64;
        let choices = self.listed();
        let search_space = &mut self.search.search_space;
        let spread = if search_space.is_slow() { SPREAD / 8 } else { SPREAD };
        let (count, listed) = choices.map_or((spread, false), |choices| (choices, true));
        let from = self.spread_to;
        self.spread_to = (from + AT_ONCE).min(count);
        for i in from..self.spread_to {
            let at = match (listed, i) {
                (true, _) => search_space.choice(i),
                (false, 0) => search_space.present.clone(),
                _ => self.spread.place(),
            };
            let before = search_space.candidates.len();
            let index = search_space.candidate(&at);
            if index == before {
                self.sample.push(index);
                if listed {
                    self.waiting.add(search_space, index);
                }
            }
        }
        let first = !listed
            && self.local_searches == 0
            && from < count
            && self.spread_to >= SPREAD_FIRST.min(count);
        if first {
            self.stage = Stage::First;
        } else if self.spread_to == count {
            self.stage = Stage::Sorting;
        }
    }

    /// Best first; from lists until enough are known to be the best, else until there is enough to search from.
    fn sort_on(&mut self) {
        let enough = match self.listed() {
            Some(_) => self.standing.wanted(),
            None if self.exact() => WHOLE_THEN,
            None => {
                let once = WHOLE.0 + WHOLE.1 * self.search.search_space.variables.len();
                if self.wider { 3 * once } else { once }
            }
        };
        if self.listed().is_none() && self.whole.is_empty() && self.waiting.is_empty() {
            self.choose_waiting();
        }
        match self.waiting.next(&self.search.search_space) {
            Ok(None) => {}
            // Looked at before.
            Ok(Some((index, _))) if self.whole.contains(&index) => {}
            Ok(Some((index, _))) => {
                self.whole.push(index);
                let score = self.search.score(index);
                self.standing.add(index, score);
            }
            Err(()) => self.after_sorting(),
        }
        if matches!(self.stage, Stage::Sorting) && self.whole.len() >= enough {
            self.after_sorting();
        }
    }

    /// The most promising of the sample by their shapes alone.
    fn choose_waiting(&mut self) {
        let scored = self.by_shape();
        let WishSearch { search_space, goals } = &self.search;
        let count = if self.exact() {
            WAITING_THEN
        } else if goals.near() >= search_space.variables.len() {
            // One design alone may be meant: all of the sample.
            scored.len()
        } else {
            WAITING * search_space.variables.len()
        };
        for index in scored.into_iter().take(count) {
            self.waiting.add(search_space, index);
        }
    }

    /// The sample by its shapes alone, the best first; without what cannot be formed.
    fn by_shape(&self) -> Vec<usize> {
        let WishSearch { search_space, goals } = &self.search;
        let mut scored: Vec<(Score, usize)> = (self.sample.iter())
            .filter_map(|&index| {
                let worked = search_space.candidates[index].worked.as_ref()?;
                Some((goals.score(worked, &search_space.context, Need::Shape, 0.0), index))
            })
            .collect();
        sort_by(&mut scored, |a, b| a.0.order(&b.0).then(a.1.cmp(&b.1)));
        scored.into_iter().map(|(_, index)| index).collect()
    }

    fn after_sorting(&mut self) {
        self.stage = if self.listed().is_some() { Stage::Checking } else { Stage::Improving };
    }

    /// The first local search, or one from the best place not searched from yet.
    fn improve(&mut self) {
        let first = matches!(self.stage, Stage::First);
        let Some(local_search) = &mut self.local_search else {
            let start = if first { self.first_start() } else { self.next_start() };
            let Some(at) = start else {
                if first {
                    self.stage = Stage::Spreading;
                } else if matches!(self.stage, Stage::Improving) {
                    self.after_improving();
                }
                return;
            };
            self.local_search = self.search.fit(&at);
            self.tried.push(at);
            self.local_searches += 1;
            return;
        };
        if first && !self.standing.has_answers() && local_search.is_useful() {
            let index = self.search.search_space.candidate(local_search.at());
            let index = self.search.offered(index);
            self.standing.ask(&self.search, index);
        }
        if local_search.step(&mut self.search, EVALUATIONS) {
            return;
        }
        let at = local_search.at().to_vec();
        self.local_search = None;
        let mut index = self.search.search_space.candidate(&at);
        if self.search.score(index).meets()
            && let Some((figure, path)) = self.search.goals.aim
        {
            let push =
                FigurePush { figure, path, evaluations: EVALUATIONS, worth: 0.0, tries: true };
            index = self.search.pushed(index, push);
        }
        let score = self.search.score(index);
        self.tried.push(self.search.search_space.candidates[index].at.clone());
        self.standing.add(index, score);
        if first {
            if !self.standing.has_answers() {
                let index = self.search.offered(index);
                self.standing.ask(&self.search, index);
            }
            self.stage = Stage::Spreading;
        }
    }

    /// Where only some of what was searched may be offered: what lies round the best.
    fn after_improving(&mut self) {
        self.stage = Stage::Checking;
        if self.search.search_space.is_stepped() {
            self.stage = Stage::Stepping;
            self.between = self.standing.best();
            self.waiting = Waiting::new(self.search.goals.clone(), false);
            let mut known = BTreeSet::new();
            for index in self.standing.take_best(&self.search) {
                let at = self.search.search_space.candidates[index].at.clone();
                for index in self.search.search_space.offered_round(&at) {
                    if known.insert(index) {
                        self.waiting.add(&self.search.search_space, index);
                    }
                }
            }
        }
    }

    /// Best first, until enough are known.
    fn step_on(&mut self) {
        match self.waiting.next(&self.search.search_space) {
            Ok(None) => {}
            Ok(Some((index, score))) => self.standing.add(index, score),
            Err(()) => self.stage = Stage::Checking,
        }
        if self.standing.count() >= OFFERED {
            self.stage = Stage::Checking;
        }
    }

    /// The present design where it is worth it, else the most promising place by its shapes.
    fn first_start(&mut self) -> Option<Vec<f64>> {
        if self.local_searches > 0 {
            return None;
        }
        let best = *self.by_shape().first()?;
        Some(self.search.search_space.candidates[best].at.clone())
    }

    fn next_start(&mut self) -> Option<Vec<f64>> {
        let dimensions = self.search.search_space.variables.len();
        let met = self.standing.meets();
        let most = if self.exact() {
            LOCAL_SEARCHES
        } else if met {
            LOCAL_SEARCHES + 2
        } else {
            LOCAL_SEARCHES_EACH * dimensions.max(2)
        };
        if self.local_searches >= most {
            return None;
        }
        if !met && self.local_searches >= dimensions.max(LOCAL_SEARCHES) && self.widen() {
            return None;
        }
        let mut scored: Vec<(usize, Score)> =
            self.whole.iter().map(|&index| (index, self.search.score(index))).collect();
        sort_by(&mut scored, |a, b| a.1.order(&b.1));
        let candidates = &self.search.search_space.candidates;
        // The next sizes on the bench to the best; else somewhere new.
        let fresh = |at: &[f64]| self.tried.iter().all(|other| distance(other, at) > NEW);
        let best = self.standing.best();
        let beside = best.map(|(best, _)| self.search.search_space.beside(&candidates[best].at));
        let beside = beside.into_iter().flatten().find(|at| !self.tried.contains(at));
        let start = beside.or_else(|| {
            let mut places = scored.iter().map(|(index, _)| &candidates[*index].at);
            places.find(|at| fresh(at)).cloned()
        });
        if start.is_none() && !met {
            self.widen();
        }
        start
    }

    /// Not where it seemed: the whole sample is to be sorted, once; whether it is.
    fn widen(&mut self) -> bool {
        if self.wider {
            return false;
        }
        self.wider = true;
        let search_space = &self.search.search_space;
        self.sample.iter().for_each(|&index| self.waiting.add(search_space, index));
        self.stage = Stage::Sorting;
        true
    }

    /// Whether just what is wished was found.
    fn exact(&self) -> bool {
        self.standing.is_exact(&self.search.goals)
    }

    /// One more answer checked, the best first.
    fn check_on(&mut self) {
        let listed = self.listed().is_some();
        match (self.standing.check(&self.search, listed), self.standing.best()) {
            (Next::Ask, _) => {}
            (Next::Look, _) => self.stage = Stage::Sorting,
            (Next::Done, Some((_, score)))
                if !score.meets() && self.between.is_some_and(|(_, score)| score.meets()) =>
            {
                self.refusal = Some(Refusal::between());
                self.trade();
            }
            (Next::Done, Some((index, score))) if !score.meets() => {
                let index = self.between.map_or(index, |(between, _)| between);
                self.stage = Stage::Refusing(Box::new(Refusing::new(&self.search, index)));
            }
            (Next::Done, _) => self.trade(),
        }
    }

    fn trade(&mut self) {
        self.stage = match self.wishes.trade_off {
            Some(wanted) => Stage::Trading(Box::new(Trading::new(wanted, &self.search))),
            None => Stage::Done,
        };
    }
}
