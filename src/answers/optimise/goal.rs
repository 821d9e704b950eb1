//! What is wished for, as misses: numbers of which the greatest is to be small.
//!
//! A value wanted is missed by its distance over the tolerance: 1 is just near enough. A limit
//! comes before it: kept, its miss is at most 1; beyond, it grows [`HARD`] times as fast, so that
//! a value wanted yields to a limit and not the other way round.

use super::continued::ContinuedFrom;
use super::evaluation::{EvalContext, Evaluation};
use super::figure::Need;
use super::{Better, Figure, Wishes};
use crate::documents::units::LengthUnit;
use crate::math::sort::sort_by;
use crate::motion::chain::Weave;
use crate::motion::insertion::searched_for;

/// How much harder a limit presses than a value wanted.
const HARD: f64 = 1e3;
/// What is held for a trade-off may miss by so much, a thousandth of its tolerance.
const TRACE: f64 = 1.0;
/// Tolerance of the clearance that the design asks for itself, mm.
const JOINS: f64 = 1e-5;
/// Between misses under this there is nothing to choose.
const ALIKE: f64 = 0.05;
/// An overlap of this many wires is as bad as a tolerance, where the chain does not lie.
const OVERLAP: f64 = 0.01;

/// What is asked of a figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Sense {
    Near,
    AtLeast,
    AtMost,
}

/// One thing asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Goal {
    pub figure: Figure,
    pub sense: Sense,
    pub value: f64,
    pub within: f64,
    pub origin: Origin,
}

/// Where a goal comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Origin {
    /// The wish of this index.
    Wish(usize),
    /// The clearance that the design asks for itself.
    Joining,
    /// A figure held while another is weighed against it.
    TradeOff,
}

impl Origin {
    /// The index of the wish it is from.
    pub fn wish(self) -> Option<usize> {
        match self {
            Origin::Wish(index) => Some(index),
            Origin::Joining | Origin::TradeOff => None,
        }
    }
}

/// All that is asked, cheapest first.
#[derive(Clone, Debug)]
pub(super) struct Goals {
    pub all: Vec<Goal>,
    /// The figure that is to be as low (−1) or as high (1) as it goes.
    pub aim: Option<(Figure, f64)>,
    pub margin: f64,
    /// What sentences speak.
    pub unit: LengthUnit,
}

/// How good a candidate is, as far as it was looked at: no worse than this once all is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Score {
    /// The miss of not lying at all; −∞ where the chain lies or that is not known.
    pub lying: f64,
    /// The greatest miss; ∞ where a figure does not exist.
    pub worst: f64,
    /// The figure aimed at, less being better.
    pub aim: f64,
    /// Change from the present design.
    pub change: f64,
}

impl Score {
    pub const NONE: Score =
        Score { lying: f64::INFINITY, worst: f64::INFINITY, aim: f64::INFINITY, change: 0.0 };

    /// Whether all wishes are met.
    pub fn meets(&self) -> bool {
        self.worst <= 1.0 + 1e-9
    }

    /// Order: the better first; what does not lie is behind all that does.
    pub fn order(&self, other: &Score) -> std::cmp::Ordering {
        self.lying
            .total_cmp(&other.lying)
            .then(self.worst.total_cmp(&other.worst))
            .then(self.aim.total_cmp(&other.aim))
            .then(self.change.total_cmp(&other.change))
    }
}

impl Goal {
    /// The miss at a value of the figure.
    pub fn miss(&self, value: f64) -> f64 {
        match self.sense {
            Sense::Near => (value - self.value).abs() / self.within,
            Sense::AtLeast => 1.0 + HARD * (self.value - value) / self.within,
            Sense::AtMost => 1.0 + HARD * (value - self.value) / self.within,
        }
    }
}

impl Goals {
    pub fn of(wishes: &Wishes, margin: f64, weave: Weave) -> Goals {
        let mut goals = Goals { all: Vec::new(), aim: None, margin, unit: LengthUnit::Mm };
        for (index, wish) in wishes.wishes.iter().enumerate() {
            let mut add = |sense, value: Option<f64>| {
                let Some(value) = value else { return };
                let usual = wish.figure.usual_tolerance(value);
                let within = wish.within.unwrap_or(usual);
                let figure = wish.figure;
                goals.all.push(Goal { figure, sense, value, within, origin: Origin::Wish(index) });
            };
            add(Sense::Near, wish.near);
            add(Sense::AtLeast, wish.at_least);
            add(Sense::AtMost, wish.at_most);
            if let Some(better) = wish.better {
                goals.aim = Some((wish.figure, sign(better)));
            }
        }
        if weave == Weave::SINGLE {
            let figure = Figure::JoiningClearanceMm;
            // Of all limits the last to give way: what does not join is no chain.
            let within = JOINS;
            goals.all.push(Goal {
                figure,
                sense: Sense::AtLeast,
                value: margin,
                within,
                origin: Origin::Joining,
            });
        }
        sort_by(&mut goals.all, |a, b| a.figure.need().cmp(&b.figure.need()));
        goals
    }

    /// The value a goal asks of this candidate: the clearance asked for goes with the wire.
    fn value(&self, goal: &Goal, worked: &Evaluation) -> f64 {
        match goal.origin {
            Origin::Joining => searched_for(self.margin, worked.wire()),
            Origin::Wish(_) | Origin::TradeOff => goal.value,
        }
    }

    /// The miss of a goal; ∞ where the figure does not exist, −∞ where it is not known and not to
    /// be computed.
    pub fn miss(
        &self,
        goal: &Goal,
        worked: &Evaluation,
        context: &EvalContext,
        compute: bool,
    ) -> f64 {
        let need = goal.figure.need();
        let asked = Goal { value: self.value(goal, worked), ..*goal };
        if compute || worked.knows(need) {
            return worked
                .figure(goal.figure, context)
                .map_or(f64::INFINITY, |value| asked.miss(value));
        }
        f64::NEG_INFINITY
    }

    /// The miss of not lying at all; −∞ where the chain lies or that is not known.
    fn lying_miss(&self, worked: &Evaluation, context: &EvalContext, compute: bool) -> f64 {
        if !(compute || worked.knows(Need::Rest)) {
            return f64::NEG_INFINITY;
        }
        worked.overlap(context).map_or(f64::NEG_INFINITY, |overlap| {
            HARD * (1.0 + overlap.max(0.0) / (OVERLAP * worked.wire()))
        })
    }

    /// How good a candidate is at best, everything up to `need` known.
    pub fn score(
        &self,
        worked: &Evaluation,
        context: &EvalContext,
        need: Need,
        change: f64,
    ) -> Score {
        let lying = self.lying_miss(worked, context, need >= Need::Rest);
        // A chain that does not lie has no more figures.
        let mut worst = if lying > 0.0 { f64::INFINITY } else { f64::NEG_INFINITY };
        for goal in &self.all {
            if worst == f64::INFINITY {
                break;
            }
            let miss = self.miss(goal, worked, context, goal.figure.need() <= need);
            let trace = if goal.origin == Origin::TradeOff { TRACE } else { 0.0 };
            worst = worst.max(miss - trace);
        }
        let aim = match self.aim {
            None => f64::NEG_INFINITY,
            Some((figure, path)) if figure.need() <= need || worked.knows(figure.need()) => {
                worked.figure(figure, context).map_or(f64::INFINITY, |value| -path * value)
            }
            Some(_) => f64::NEG_INFINITY,
        };
        // With something to aim at, met is met.
        let floor = if self.aim.is_some() { 1.0 } else { ALIKE };
        Score { lying, worst: worst.max(floor), aim, change }
    }

    /// How many values are wished for.
    pub fn near(&self) -> usize {
        self.all.iter().filter(|goal| goal.sense == Sense::Near).count()
    }

    /// Which of [`Goals::objectives`] are limits, without the figure aimed at.
    pub fn limits(&self, need: Need) -> Vec<bool> {
        let goals = self.all.iter().filter(|goal| goal.figure.need() <= need);
        let each = goals.flat_map(|goal| match goal.sense {
            Sense::Near => vec![false; 2],
            Sense::AtLeast | Sense::AtMost => vec![true],
        });
        std::iter::once(false).chain(each).collect()
    }

    /// How far a fit looks at first, and then: the cheaper figures lead to where the others are near.
    pub fn depths(&self, dimensions: usize) -> Vec<Need> {
        let near = |need: Need| {
            let near = self.all.iter().filter(|goal| goal.sense == Sense::Near);
            near.filter(|goal| goal.figure.need() <= need).count()
        };
        let mut depths = Vec::new();
        if near(Need::Shape) > 0 {
            depths.push(Need::Shape);
        }
        // Milliseconds a place: only where they settle the dimensions.
        if near(Need::Rest) >= dimensions && near(Need::Rest) > near(Need::Shape) {
            depths.push(Need::Rest);
        }
        depths.push(Need::SwingX);
        depths
    }

    /// What a candidate has to be asked, cheapest first.
    pub fn needs(&self) -> Vec<Need> {
        let aimed = self.aim.map(|(figure, _)| figure.need());
        let mut needs: Vec<Need> =
            self.all.iter().map(|goal| goal.figure.need()).chain(aimed).collect();
        needs.extend([Need::Shape, Need::Rest]);
        sort_by(&mut needs, Ord::cmp);
        needs.dedup();
        needs
    }

    /// What a local search raises: for every goal the miss below nothing, a value wanted from both
    /// sides; with `aim`, what is left of each, and last the figure aimed at; −∞ where a figure does
    /// not exist. Cheapest first; after the first that is below `floor` no more are computed. Goals
    /// that need more than `need` are left out. `here` are the values close by, from which limits
    /// kept by far are taken, and by how many times what is far. With an `anchor` figures are continued from it.
    pub fn objectives(
        &self,
        worked: &Evaluation,
        context: &EvalContext,
        aim: Option<(Figure, f64)>,
        (need, floor): (Need, f64),
        here: Option<(&[Option<f64>], f64)>,
        anchor: Option<&ContinuedFrom>,
    ) -> Vec<Option<f64>> {
        let mut found = Vec::with_capacity(2 * self.all.len() + 2);
        let mut stop = false;
        let value_of = |figure: Figure| match anchor {
            Some(anchor) => worked.near(figure, context, anchor),
            None => worked.figure(figure, context),
        };
        let lies = anchor.is_some_and(|anchor| worked.lies_near(context, anchor));
        let lying = self.lying_miss(worked, context, need >= Need::Rest && !lies);
        found.push(Some(if lying > 0.0 { -lying } else { LIES }));
        stop |= lying > 0.0;
        for goal in self.all.iter().filter(|goal| goal.figure.need() <= need) {
            let near = goal.sense == Sense::Near;
            if stop {
                found.extend(std::iter::repeat_n(None, if near { 2 } else { 1 }));
                continue;
            }
            let asked = self.value(goal, worked);
            // A limit kept by far is not looked at for its slope.
            let calm = 1.0 + HARD * CALM * asked.abs() / goal.within;
            if let Some((here, far)) = here
                && !near
                && let Some(kept @ Some(value)) = here.get(found.len()).copied()
                && value > far * calm
            {
                found.push(kept);
                continue;
            }
            let Some(value) = value_of(goal.figure) else {
                let none = Some(f64::NEG_INFINITY);
                found.extend(std::iter::repeat_n(none, if near { 2 } else { 1 }));
                stop = true;
                continue;
            };
            let mut add = |objective: f64| {
                found.push(Some(objective));
                stop |= objective < floor;
            };
            if near {
                let off = (value - goal.value) / goal.within;
                let of = |off: f64| if aim.is_some() { SLACK * (1.0 + off) } else { off };
                add(of(-off));
                add(of(off));
            } else {
                let miss = Goal { value: asked, ..*goal }.miss(value);
                add(if aim.is_some() { 1.0 - miss } else { -miss });
            }
        }
        if let Some((figure, path)) = aim {
            let value = if stop { None } else { value_of(figure) };
            found.push(value.map(|value| path * value));
        }
        found
    }
}

/// A limit is kept by far where there is this share of it, and more, to spare.
const CALM: f64 = 0.5;
/// The objective of a chain that lies: above all others, yet one a slope can be taken of.
const LIES: f64 = 1e3;
/// What is left of a tolerance weighs so much beside a gain in the figure aimed at.
const SLACK: f64 = 20.0;

/// −1 for low, 1 for high.
pub(super) fn sign(better: Better) -> f64 {
    match better {
        Better::Low => -1.0,
        Better::High => 1.0,
    }
}
