//! Where links lie along the straight, pulled chain.
//!
//! A link hangs in the one `D` links before it, the furthest back that its waist runs through
//! (`D` is 1 in a single weave, 2 in a double). Between these two the rise is that of the pair
//! pulled until metal meets metal. The `D` strands of the chain, every `D`th link, are taken to
//! share a change of size evenly: a link advances by a `D`th of that rise. Of equal links this is
//! the chain's own pitch.

use super::{Counts, PlanError};
use crate::geometry::curve::Pose;
use crate::math::units::Mm;
use crate::motion::chain::{Body, ChainError, Row, Weave, rest, seated};
use std::collections::BTreeMap;

/// Links of one size hung in links of one, all along the chain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SizePair {
    /// Size of the link hung in.
    pub before: usize,
    /// Size of the link that hangs.
    pub after: usize,
    /// How often.
    pub count: usize,
    /// What such a link adds to the length, mm.
    pub advance: f64,
}

/// A chain laid out.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// How many links of each size.
    pub counts: Counts,
    /// Which size each link is.
    pub order: Vec<usize>,
    /// Where each link's fold lies, the first at 0, mm.
    pub places: Vec<f64>,
    /// Which links hang in which: the links but the first.
    pub pairs: Vec<SizePair>,
    /// Metal beyond the first and last fold, mm: the first link's below, the last link's above.
    pub beyond: f64,
    /// What the clasp adds, mm.
    pub clasp: f64,
    /// Length over all, the clasp included, mm.
    pub length: f64,
}

/// Links of one size, one after the other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SizeRun {
    /// Which size.
    pub size: usize,
    /// How many.
    pub links: usize,
    /// The first of them, counted from 0 along the chain.
    pub first: usize,
    /// Where they begin, mm.
    pub from: f64,
    /// Where what follows them begins, or the metal ends, mm.
    pub to: f64,
}

impl Layout {
    pub(super) fn of(
        counts: &Counts,
        one_ended: bool,
        pitches: &mut Pitches,
        clasp: f64,
    ) -> Result<Layout, PlanError> {
        let order = counts.order(one_ended);
        let deepest = pitches.weave.deepest();
        let mut places = vec![0.0];
        let mut counted: BTreeMap<(usize, usize), (usize, f64)> = BTreeMap::new();
        for after in 1..order.len() {
            let before = after.saturating_sub(deepest);
            let pair = (order[before], order[after]);
            let advance = pitches.advance(pair.0, pair.1)?;
            places.push(places[after - 1] + advance);
            counted.entry(pair).or_insert((0, advance)).0 += 1;
        }
        let pairs = counted.into_iter().map(|((before, after), (count, advance))| SizePair {
            before,
            after,
            count,
            advance,
        });
        let (first, last) = (order[0], order[order.len() - 1]);
        let (below, above) = (&pitches.bodies[first], &pitches.bodies[last]);
        let beyond = (0.5 * below.wire - below.low.z) + (above.high.z + 0.5 * above.wire);
        let length = places[places.len() - 1] + beyond + clasp;
        let pairs = pairs.collect();
        Ok(Layout { counts: counts.clone(), order, places, pairs, beyond, clasp, length })
    }

    /// Size of the first link.
    pub fn first(&self) -> usize {
        self.order[0]
    }

    /// Size of the last link.
    pub fn last(&self) -> usize {
        self.order[self.order.len() - 1]
    }

    /// The chain in stretches of one size, from its first end.
    pub fn size_runs(&self) -> Vec<SizeRun> {
        let (mut runs, mut first) = (Vec::new(), 0);
        for run in self.order.chunk_by(|a, b| a == b) {
            let after = first + run.len();
            let to = self.places.get(after).copied().unwrap_or(self.length - self.clasp);
            runs.push(SizeRun {
                size: run[0],
                links: run.len(),
                first,
                from: self.places[first],
                to,
            });
            first = after;
        }
        runs
    }

    /// Every pair of sizes of which one link is worked through the other as neighbours: the size
    /// that receives, the size worked through it, how often.
    pub fn joins(&self) -> Vec<(usize, usize, usize)> {
        let mut counted: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        for pair in self.order.windows(2) {
            *counted.entry((pair[0], pair[1])).or_default() += 1;
        }
        counted.into_iter().map(|((before, after), count)| (before, after, count)).collect()
    }
}

/// Rises between links of all sizes, worked out once each.
pub(super) struct Pitches<'a> {
    bodies: &'a [Body],
    weave: Weave,
    rises: BTreeMap<(usize, usize), f64>,
}

/// Overlap, in wires, that is still a touch: what the search for a rise may miss.
const TOUCH: f64 = 1e-3;

impl<'a> Pitches<'a> {
    pub fn new(bodies: &'a [Body], weave: Weave) -> Pitches<'a> {
        Pitches { bodies, weave, rises: BTreeMap::new() }
    }

    /// What a link of size `after` adds to the length, hung in one of size `before`, mm.
    pub fn advance(&mut self, before: usize, after: usize) -> Result<f64, PlanError> {
        Ok(self.rise(before, after)? / self.weave.deepest() as f64)
    }

    fn rise(&mut self, before: usize, after: usize) -> Result<f64, PlanError> {
        if let Some(known) = self.rises.get(&(before, after)) {
            return Ok(*known);
        }
        let (own, other) = (&self.bodies[before], &self.bodies[after]);
        let fault = |source| PlanError::DoesNotLie { before: before + 1, after: after + 1, source };
        let found = if before == after {
            let lying = seated(own, self.weave).map_err(fault)?;
            lying.pulled * self.weave.deepest() as f64
        } else {
            rest(&Row::pair(own, other), 1).map_err(fault)?.pulled
        };
        if !(found > 0.0) {
            let overlap = Mm::new(0.0);
            return Err(fault(ChainError::NoRest { overlap, offset: 1 }));
        }
        self.rises.insert((before, after), found);
        Ok(found)
    }

    /// Whether the links of `order` can all lie clear of one another where sizes change: whether
    /// rises exist that lie between what every two links in reach of one another allow. Such
    /// bounds on differences agree unless going round some links they run below nothing (the
    /// shortest-path test for difference constraints, Bellman & Ford).
    pub fn check(&mut self, order: &[usize], places: &[f64]) -> Result<(), PlanError> {
        let around = 4 * self.weave.deepest() + 4;
        let mut known = KnownPitch::new();
        for change in (1..order.len()).filter(|&link| order[link] != order[link - 1]) {
            let (from, to) = (change.saturating_sub(around), (change + around).min(order.len()));
            if !self.agree(&order[from..to], &places[from..to], &mut known) {
                return Err(PlanError::Crowded {
                    before: order[change - 1] + 1,
                    after: order[change] + 1,
                });
            }
        }
        Ok(())
    }

    /// Whether the bounds on these links' heights agree.
    fn agree(&self, order: &[usize], places: &[f64], known: &mut KnownPitch) -> bool {
        let bounds = self.bounds(order, places, known);
        // Each link as high as the others let it be, the first at nothing.
        let mut heights = vec![f64::INFINITY; order.len()];
        heights[0] = 0.0;
        let slack = 1e-9 * self.bodies[order[0]].wire;
        for _ in 0..=order.len() {
            let mut moved = false;
            for bound in &bounds {
                let (first, second) = (bound.first, bound.first + bound.offset);
                if heights[first] + bound.most < heights[second] - slack {
                    heights[second] = heights[first] + bound.most;
                    moved = true;
                }
            }
            for bound in bounds.iter().rev() {
                let (first, second) = (bound.first, bound.first + bound.offset);
                if heights[second] - bound.least < heights[first] - slack {
                    heights[first] = heights[second] - bound.least;
                    moved = true;
                }
            }
            if !moved || heights[0] < -slack {
                return !moved;
            }
        }
        // Still sinking after as many rounds as links: some go round below nothing.
        false
    }

    fn bounds(&self, order: &[usize], places: &[f64], known: &mut KnownPitch) -> Vec<Bound> {
        let deepest = self.weave.deepest();
        let mut bounds = Vec::new();
        for first in 0..order.len() {
            for second in first + 1..order.len() {
                let (offset, rise) = (second - first, places[second] - places[first]);
                let (own, other) = (&self.bodies[order[first]], &self.bodies[order[second]]);
                if offset > deepest && rise > own.size().z {
                    break;
                }
                let key = (order[first], order[second], offset, (rise * 1e6) as i64);
                let turn = offset as f64 * self.weave.turn();
                let row = Row { turn, ..Row::pair(own, other) };
                let (least, most) = *known
                    .entry(key)
                    .or_insert_with(|| clear_about(&row, rise, rise / offset as f64));
                let most = if offset > deepest { f64::INFINITY } else { most };
                bounds.push(Bound { first, offset, least, most });
            }
        }
        bounds
    }
}

/// Bounds worked out: by both sizes, how many links apart, and the rise about which, nm.
type KnownPitch = BTreeMap<(usize, usize, usize, i64), (f64, f64)>;

/// How much higher than one link another may lie, mm.
struct Bound {
    first: usize,
    offset: usize,
    least: f64,
    most: f64,
}

/// Steps in which a rise is moved until metal meets metal, as shares of an advance.
const STEP: f64 = 1.0 / 24.0;
/// Halvings of the last step.
const HALVINGS: usize = 16;

/// The rises about `nominal` at which the two links of `row` are clear of one another.
fn clear_about(row: &Row, nominal: f64, advance: f64) -> (f64, f64) {
    let touch = TOUCH * row.receiving.wire.max(row.incoming.wire);
    let clearance = |rise: f64| row.nearest(&Pose::translation(0.0, 0.0, rise)).clearance + touch;
    let tries = (0..=24)
        .flat_map(|i| [1.0, -1.0].map(|path| nominal + path * f64::from(i) * STEP * advance));
    let start = tries.into_iter().find(|&rise| rise > 0.0 && clearance(rise) >= 0.0);
    // Nowhere clear: no rise serves.
    let Some(start) = start else { return (f64::INFINITY, f64::NEG_INFINITY) };
    let end = |path: f64| {
        let (mut clear, mut met) = (start, None);
        for _ in 0..48 {
            let next = clear + path * STEP * advance;
            if clearance(next) < 0.0 {
                met = Some(next);
                break;
            }
            clear = next;
        }
        let Some(mut met) = met else { return path * f64::INFINITY };
        for _ in 0..HALVINGS {
            let middle = 0.5 * (clear + met);
            if clearance(middle) < 0.0 { met = middle } else { clear = middle }
        }
        clear
    };
    (end(-1.0), end(1.0))
}
