//! The straight chain at rest: how far a link rises when pulled, how far it sinks when pushed.
//!
//! Model: links rise straight along z, symmetric about the chain's axis. No shift aside makes
//! more clearance, nor a longer pull, and up to ratios of 12 no turn does (the test below). Above,
//! a link bent by 40° about y hangs up to 0.04 wires further, but then the chain is not
//! straight; pushed without being held straight, a link tilts and sinks up to a tenth of a
//! wire further. Neither is counted.
//! Connected: from the seated place with most clearance the link is moved in strides in which it meets no metal
//! where it meets none at the end; else that place is solved for: so it never goes through metal.

use super::ChainError;
use super::maximin::{StopRule, maximise};
use super::row::{Row, RowContact};
use crate::geometry::curve::Pose;
use crate::geometry::distance::Hint;
use crate::math::units::Mm;
use crate::math::{Bracket, falling_root, root_in};

/// Where links lie in a straight chain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rest {
    /// Rise at which the clearance all round is greatest, mm.
    pub clearest_rise: f64,
    /// Clearance there, mm.
    pub clearance: f64,
    /// Greatest rise, mm: the pitch of the pulled chain.
    pub pulled: f64,
    /// What stops it.
    pub pulled_at: RowContact,
    /// Least rise, mm: the pitch of the chain pushed together.
    pub pushed: f64,
    /// What stops it.
    pub pushed_at: RowContact,
}

impl Rest {
    /// Greatest less least pitch, mm.
    pub fn play(&self) -> f64 {
        self.pulled - self.pushed
    }
}

/// Rises tried for a start; seats are at least a tenth of the height apart.
const TRIES: usize = 32;
/// They are looked at in these strides.
const STRIDES: [usize; 3] = [4, 2, 1];
/// Clearance, in wires, below which it is looked for exactly.
const NEARLY: f64 = 1e-3;
/// A link is not stopped by metal that overlaps by less than this, in wires, nor goes through more than twice
/// as much: a nanometre of a wire of 1 mm. So links that slide along one another do.
const STOPPED: f64 = 5e-7;
/// How closely that place is found, in wires of clearance.
const EXACT: f64 = 1e-9;
/// First stride upwards or downwards to where clearance falls again, in wires; each next is twice as
/// long, but no longer than this.
const STRIDE: f64 = 0.02;
const GREATEST: f64 = 0.1;
/// Rises looked at from there on; a dozen are usual.
const NARROWINGS: usize = 60;

/// Where the links of `row` lie at rest; `through` is how many links before its own the
/// furthest one lies whose lobes a waist runs through.
///
/// # Errors
/// [`ChainError::NoRest`] where wires overlap at every rise, [`ChainError::PullsOut`] where
/// nothing stops a pulled link.
pub fn rest(row: &Row, through: usize) -> Result<Rest, ChainError> {
    let (start, touch) = clearest_rise(row, &seat_alone(row, through));
    if !(touch.clearance >= 0.0) {
        return Err(ChainError::NoRest {
            overlap: Mm::new(-touch.clearance.max(-1e6)),
            offset: touch.offset,
        });
    }
    let (pulled, pulled_at) = furthest(row, start, 1.0);
    if !(pulled <= row.height()) {
        return Err(ChainError::PullsOut { clearance: Mm::new(touch.clearance) });
    }
    let (pushed, pushed_at) = furthest(row, start, -1.0);
    Ok(Rest {
        clearest_rise: start,
        clearance: touch.clearance,
        pulled,
        pulled_at,
        pushed,
        pushed_at,
    })
}

/// Where two links lie with the most clearance, the others left out.
#[derive(Clone, Copy, Debug)]
pub(super) struct SeatedPair {
    /// The rise with the most clearance, mm.
    pub rise: f64,
    /// The tightest place there.
    pub touch: RowContact,
    /// The greatest rise at which a link is still within the other, mm.
    most: f64,
}

/// The seat of the link `through` links before the last one of `row` in it, the others left out.
pub(super) fn seat_alone(row: &Row, through: usize) -> SeatedPair {
    let deepest = row.pairs.iter().position(|&(_, k)| k == through).unwrap_or(0);
    let own = Row { pairs: vec![row.pairs[deepest]], ..*row };
    let mut clearances = RisingClearances::new(&own, own.height() / through as f64);
    // Above the place where wires would cross at the tips, clearance grows again: a link pulled out.
    clearances.end_at_least();
    let most = clearances.rise(clearances.last);
    let (rise, touch) = clearances.seat();
    SeatedPair { rise, touch, most }
}

/// The seated rise with the most clearance, and the tightest place there, where two links of `row`
/// by themselves have `own`.
pub(super) fn clearest_rise(row: &Row, own: &SeatedPair) -> (f64, RowContact) {
    // Others may be nowhere nearer there.
    let nearest = row.nearest(&rising(own.rise));
    let is_free = nearest.clearance >= own.touch.clearance - 1e-9 * row.scale();
    if is_free {
        return (own.rise, nearest);
    }
    RisingClearances::new(row, own.most).seat()
}

/// Clearances at evenly spaced rises, found as they are asked for.
///
/// Between two rises clearance changes by no more than links move: what that excludes is not looked at.
struct RisingClearances<'a> {
    row: &'a Row<'a>,
    /// From one rise to the next, mm; and by how much clearance changes at most.
    stride: f64,
    change: f64,
    tolerance: f64,
    /// The last rise of interest.
    last: usize,
    known: [Option<f64>; TRIES + 1],
    hints: Vec<Option<Hint>>,
}

impl RisingClearances<'_> {
    /// From nothing to `most` mm.
    fn new<'a>(row: &'a Row<'a>, most: f64) -> RisingClearances<'a> {
        let stride = most / TRIES as f64;
        RisingClearances {
            row,
            stride,
            change: row.travel(stride, 0.0, 0.0),
            tolerance: 1e-3 * row.scale(),
            last: TRIES,
            known: [None; TRIES + 1],
            hints: Vec::new(),
        }
    }

    fn rise(&self, i: usize) -> f64 {
        self.stride * i as f64
    }

    /// At most the clearance there, and at least that less twice the tolerance.
    fn at(&mut self, i: usize) -> f64 {
        match self.known[i] {
            Some(known) => known,
            None => {
                let step = rising(self.rise(i));
                let found = self.row.at_least(&step, self.tolerance, &mut self.hints);
                self.known[i] = Some(found);
                found
            }
        }
    }

    /// Between which that clearance is, by those that are known.
    fn between(&self, i: usize) -> (f64, f64) {
        let mut between = (f64::NEG_INFINITY, f64::INFINITY);
        for (j, known) in self.known.iter().enumerate() {
            let Some(known) = known else { continue };
            let change = self.change * i.abs_diff(j) as f64 + 2.0 * self.tolerance;
            between = (between.0.max(known - change), between.1.min(known + change));
        }
        between
    }

    /// Finds the clearances from `first` to `end` that may be beyond all others, most (`way` 1) or least
    /// (−1), and the last or first of these.
    fn furthest(&mut self, first: usize, end: usize, way: f64) -> Option<usize> {
        let mut best = f64::NEG_INFINITY;
        for stride in STRIDES {
            for i in (first..=end).step_by(stride) {
                let (low, high) = self.between(i);
                let promise = if way > 0.0 { high } else { -low };
                if !(promise < best) {
                    best = best.max(way * self.at(i));
                }
            }
        }
        let mut known = (first..=end).filter(|&i| self.known[i].is_some_and(|c| way * c >= best));
        if way > 0.0 { known.next_back() } else { known.next() }
    }

    /// Ends the rises where clearance is least in their upper half.
    fn end_at_least(&mut self) {
        self.last = self.furthest(TRIES / 2, TRIES, -1.0).unwrap_or(TRIES);
    }

    /// The greatest of those that are no less than both beside them.
    fn peak(&mut self) -> Option<usize> {
        let inner = self.last.checked_sub(1)?;
        let most = self.furthest(1, inner, 1.0)?;
        let is_peak = |here: &mut Self, i: usize| {
            let clearance = here.at(i);
            clearance >= here.at(i - 1) && clearance >= here.at(i + 1)
        };
        if is_peak(self, most) {
            return Some(most);
        }
        let peaks: Vec<usize> = (1..=inner).filter(|i| is_peak(self, *i)).collect();
        peaks.into_iter().max_by(|&i, &j| self.at(i).total_cmp(&self.at(j)))
    }

    /// The rise with the most clearance, and the tightest place there.
    fn seat(&mut self) -> (f64, RowContact) {
        let seat = self.peak();
        let start = seat.unwrap_or(self.last / 2);
        let stop = StopRule::at_optimum(1e-7 * self.row.scale());
        let (low, high) = (self.rise(start - 1), self.rise(start + 1));
        let found = clearest_from(self.row, self.rise(start), (low, high), stop);
        if seat.is_some() && low < found.0 && found.0 < high || found.1.clearance >= 0.0 {
            return found;
        }
        // No seat there: there may be a way out.
        let along = [false, false, true, false, false, false];
        let found = maximise(self.row, &rising(self.rise(start)), along, stop);
        (found.step.translation.vector.z, found.touch)
    }
}

/// The rise with most clearance near `start`, `between` these, and the tightest place there.
///
/// Between a rise at which clearance grows upwards and one at which it falls, the next is where their
/// slopes meet: no more clearance is promised than there.
pub(super) fn clearest_from(
    row: &Row,
    start: f64,
    between: (f64, f64),
    stop: StopRule,
) -> (f64, RowContact) {
    let mut hints = Vec::new();
    let mut at = |rise: f64| {
        let (touch, slope) = row.nearest_and_slope(&rising(rise), &mut hints);
        (rise, touch, slope)
    };
    let mut best = at(start);
    let mut ends = [None, None];
    let mut stride = STRIDE * row.scale();
    let mut here = best;
    for _ in 0..NARROWINGS {
        if best.1.clearance >= stop.clearance {
            break;
        }
        ends[usize::from(here.2 < 0.0)] = Some(here);
        let next = match ends {
            [Some((low, touch, up)), Some((high, above, down))] => {
                let gap = high - low;
                let more = (above.clearance - touch.clearance - down * gap) / (up - down);
                let promise = touch.clearance + up * more - best.1.clearance;
                if gap.abs() <= stop.gain || promise.abs() <= stop.gain {
                    break;
                }
                // Where clearance is hollow between them the slopes say nothing.
                let is_between = promise > 0.0 && more > 0.0 && more < gap;
                if is_between { low + more } else { low + 0.5 * gap }
            }
            _ => {
                let next = (here.0 + stride.copysign(here.2)).clamp(between.0, between.1);
                if next == here.0 {
                    break;
                }
                stride = (2.0 * stride).min(GREATEST * row.scale());
                next
            }
        };
        here = at(next);
        if here.1.clearance > best.1.clearance {
            best = here;
        }
    }
    (best.0, best.1)
}

/// The furthest rise reached from `start` upwards (`way` 1) or downwards (−1), and what stops it.
fn furthest(row: &Row, start: f64, way: f64) -> (f64, RowContact) {
    let nearly = NEARLY * row.scale();
    let mut hints = Vec::new();
    let mut clearance = |rise: f64| {
        let bound = row.at_least(&rising(rise), 0.1 * nearly, &mut hints);
        if bound > nearly { bound } else { row.nearest(&rising(rise)).clearance }
    };
    let (mut at, mut here) = (start, clearance(start));
    while at.abs() <= row.height() {
        let reach = way * safe_stride(row, here);
        let there = clearance(at + reach);
        if !(there > -STOPPED * row.scale()) {
            return crossing(row, at, reach);
        }
        (at, here) = (at + reach, there);
    }
    (at, row.nearest(&rising(at)))
}

/// Where metal touches between `from`, where a link is not stopped, and `reach` further, where it is.
fn crossing(row: &Row, from: f64, reach: f64) -> (f64, RowContact) {
    let mut hints = Vec::new();
    let found = falling_root(from, reach, EXACT * row.scale(), |at| {
        let (touch, slope) = row.nearest_and_slope(&rising(at), &mut hints);
        Some((touch.clearance, slope, touch))
    });
    found.unwrap_or_else(|| {
        let at = |share: f64| from + share * reach;
        let whole = Bracket { low: 0.0, high: 1.0 };
        let clearance = |share: f64| row.nearest(&rising(at(share))).clearance;
        // None where metal touches at the start already.
        let at = at(root_in(whole, clearance).unwrap_or(0.0));
        (at, row.nearest(&rising(at)))
    })
}

/// How far links that have this clearance may rise or sink, mm, so that they have no less than twice
/// [`STOPPED`] on the way wherever they have it at the end.
///
/// Two places `k` links apart are `|a + k z t|` apart after a rise by `t`: the least square of these less
/// `k² t²` is the least of linear functions, so between two rises no lower than in proportion. Above centrelines
/// `m` apart by `c` at the start, they are so all the way up to `k t = √(c (c + 2 m))`.
fn safe_stride(row: &Row, clearance: f64) -> f64 {
    let given = 2.0 * STOPPED * row.scale();
    let (left, least) = (clearance + given, row.metal() - given);
    let links = row.travel(1.0, 0.0, 0.0).max(1.0);
    (left * (left + 2.0 * least)).sqrt() / links
}

/// Whether the links of `row` stay clear all the way from one rise to another.
pub(super) fn clear_along(row: &Row, from: f64, to: f64) -> bool {
    let mut hints = Vec::new();
    let (mut at, way) = (from, (to - from).signum());
    loop {
        let clearance = row.at_least(&rising(at), 0.1 * NEARLY * row.scale(), &mut hints);
        if !(clearance > NEARLY * row.scale()) {
            return false;
        }
        if !((to - at) * way > 0.0) {
            return true;
        }
        at += way * safe_stride(row, clearance).min((to - at).abs());
    }
}

pub(super) fn rising(rise: f64) -> Pose {
    Pose::translation(0.0, 0.0, rise)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::link::{Forming, ToolDimensions};
    use crate::motion::chain::{Body, Weave};

    /// Seat and crossing are those of all rises looked at, of pairs that lie and that do not.
    #[test]
    fn rises_left_out_are_not_the_seat() {
        let mut rng = crate::math::Rng::new(22);
        let (mut rows, mut lying, mut looked_at) = (0, 0, 0);
        for _ in 0..60 {
            let mut any = |low: f64, high: f64| low + (high - low) * rng.next_f64();
            let mandrel = any(7.0, 20.0);
            let (bore, fold_jaw) = (any(1.5, 0.3 * mandrel), any(1.5, 0.3 * mandrel));
            let usual = ToolDimensions::usual(1.0, mandrel);
            let Ok(link) = Forming::new(ToolDimensions { bore, fold_jaw, ..usual }) else {
                continue;
            };
            let body = Body::of(&link.fold);
            for row in
                [Row::pair(&body, &body), Row { pairs: vec![(0, 2)], ..Row::pair(&body, &body) }]
            {
                let most = row.height() / row.pairs[0].1 as f64;
                let mut some = RisingClearances::new(&row, most);
                some.end_at_least();
                let peak = some.peak();
                rows += 1;
                looked_at += some.known.iter().flatten().count();
                let mut all = RisingClearances::new(&row, most);
                let clearances: Vec<f64> = (0..=TRIES).map(|i| all.at(i)).collect();
                let least =
                    (TRIES / 2..=TRIES).min_by(|&i, &j| clearances[i].total_cmp(&clearances[j]));
                assert_eq!(Some(some.last), least, "{mandrel} {bore} {fold_jaw}");
                let peaks = (1..some.last).filter(|&i| {
                    clearances[i] >= clearances[i - 1] && clearances[i] >= clearances[i + 1]
                });
                let most = peaks.max_by(|&i, &j| clearances[i].total_cmp(&clearances[j]));
                assert_eq!(peak, most, "{mandrel} {bore} {fold_jaw}");
                lying += usize::from(most.is_some_and(|i| clearances[i] > 0.0));
            }
        }
        assert!(lying > 10 && lying < rows - 10, "{lying} of {rows}");
        assert!(looked_at < 24 * rows, "{looked_at} of {rows} times {}", TRIES + 1);
    }

    /// From a clear rise to the one that stops a link metal overlaps by no more than [`STOPPED`] allows, and
    /// beyond it does; a stride is safe wherever its end is.
    #[test]
    fn no_metal_is_gone_through() {
        let mut rng = crate::math::Rng::new(7);
        let weaves = [(1, 1), (1, 2), (2, 1), (3, 1)].map(|(of, through)| Weave::new(of, through));
        let (mut stopped, mut strides) = (0, 0);
        for i in 0..80 {
            let mut any = |low: f64, high: f64| low + (high - low) * rng.next_f64();
            let mandrel = any(8.0, 24.0);
            let (bore, fold_jaw) = (any(1.5, 0.3 * mandrel), any(1.5, 0.5 * mandrel));
            let neck = any(0.0, 0.2 * mandrel);
            let usual = ToolDimensions::usual(1.0, mandrel);
            let Ok(link) = Forming::new(ToolDimensions { bore, fold_jaw, neck, ..usual }) else {
                continue;
            };
            let body = Body::of(&link.fold);
            let weave = weaves[i % 4].unwrap();
            let row = weave.row(&body, 1, weave.deepest() + 2);
            let clearance = |rise: f64| row.nearest(&rising(rise)).clearance;
            for _ in 0..40 {
                let from = any(0.0, row.height());
                let here = clearance(from);
                if here > 0.0 {
                    let to = from + safe_stride(&row, here);
                    let is_safe = clearance(to) > 0.0;
                    let least = (1..50)
                        .map(|j| clearance(from + (to - from) * f64::from(j) / 50.0))
                        .fold(f64::INFINITY, f64::min);
                    assert!(!is_safe || least > -2.0 * STOPPED, "{from} to {to}: {least}");
                    strides += usize::from(is_safe);
                }
            }
            let Ok(rest) = rest(&row, weave.deepest()) else { continue };
            for (end, way) in [(rest.pulled, 1.0), (rest.pushed, -1.0)] {
                for j in 0..=200 {
                    let share = f64::from(j) / 200.0;
                    let rise = rest.clearest_rise + share * (end - rest.clearest_rise);
                    assert!(clearance(rise) > -2.0 * STOPPED, "{mandrel}, {rise} of {rest:?}");
                }
                assert!(clearance(end + way * 1e-4) < -STOPPED, "{mandrel}, {way}: {rest:?}");
                stopped += 1;
            }
        }
        assert!(stopped > 30 && strides > 200, "{stopped}, {strides}");
    }

    /// The strands of long necks touch side by side in a three-way chain: they slide, until
    /// they flare.
    #[test]
    fn links_slide_along_one_another() {
        let usual = ToolDimensions::usual(0.8, 12.6);
        let tools = ToolDimensions { bore: 1.6, fold_jaw: 5.5, neck: 2.6, pinch_jaw: 2.0, ..usual };
        let body = Body::of(&Forming::new(tools).unwrap().fold);
        let weave = Weave::new(3, 1).unwrap();
        let row = weave.row(&body, 1, 6);
        let rest = rest(&row, weave.deepest()).unwrap();
        assert!(rest.clearance < 1e-6, "{rest:?}");
        for (end, way) in [(rest.pulled, 1.0), (rest.pushed, -1.0)] {
            let past = |by: f64| row.nearest(&rising(end + way * by)).clearance;
            assert!((end - rest.clearest_rise).abs() > 5e-3, "{rest:?}");
            assert!(past(1e-2) < -1e-3 && past(-5e-3) > -1e-6, "{rest:?}");
        }
    }

    /// The seat has most clearance, and the pulled rise furthest, among all shifts aside, and at usual
    /// ratios all turns: from askew the search comes back to the same clearance, and past the pulled
    /// rise it finds none. Past the pushed rise turns find some, but not for long.
    #[test]
    fn no_shift_or_turn_aside_gives_more_clearance() {
        for (mandrel, bore, fold_jaw) in [(10.0, 3.0, 2.6), (12.0, 2.5, 2.5), (16.0, 3.0, 3.0)] {
            let setting = ToolDimensions {
                oval_jaw: bore,
                bore,
                fold_jaw,
                ..ToolDimensions::usual(1.0, mandrel)
            };
            let body = Body::of(&Forming::new(setting).unwrap().fold);
            let row = Row::pair(&body, &body);
            let rest = rest(&row, 1).unwrap();
            let turns = mandrel < 14.0;
            let lean = if turns { 1.0 } else { 0.0 };
            let askew = [0.03, -0.02, 0.0, 0.01 * lean, 0.02 * lean, -0.015 * lean];
            let content = StopRule::at_optimum(1e-6);
            let seat = row.twisted(&rising(rest.clearest_rise), &askew);
            let all = [true, true, true, turns, turns, turns];
            let free = maximise(&row, &seat, all, content).touch.clearance;
            assert!((free - rest.clearance).abs() < 2e-4, "{mandrel}: {free} and {rest:?}");
            let aside = [true, true, false, turns, turns, turns];
            for past in [rest.pulled + 0.01, rest.pushed - 0.1] {
                let start = row.twisted(&rising(past), &askew);
                let best = maximise(&row, &start, aside, content).touch.clearance;
                assert!(best < 0.0, "{mandrel}: {best} at {past} of {rest:?}");
            }
        }
    }
}
