//! The shaping with the most clearance: which jaws serve a wire, a ring and a weave best, whatever
//! jaws were typed.
//!
//! Model: links of one size, joined to their own kind. Free are bore, fold jaw, neck and pinching
//! jaws; all else of the design stays. A shaping counts if the chain lies straight and the next link
//! goes in: the lesser of both clearances is raised by [`MaximinSolver`], from the best of the design's
//! own tools, the usual ones, and those that serve the smallest rings of the weave.
//! Limits: a search, from these starts; what is offered of it is proven by its caller.
//! Conventions: tools as fractions of the ring's inside diameter, lengths in mm.
//! Evidence: the tests below, `tests/weaves.rs`.

use super::build::{WeaveTools, tightest_tools, usual_tools};
use super::optimise::{MaximinSolver, Objective};
use super::report::{goes_in, path_clearance_of};
use crate::documents::design::Design;
use crate::geometry::link::Forming;
use crate::motion::chain::{Body, Weave, seated_clearance};

/// What bore, fold jaw, half neck and pinching jaws may be, as fractions of the ring's inside diameter.
const FREE: [[f64; 2]; 4] = [[0.05, 0.55], [0.10, 0.65], [0.0, 0.35], [0.05, 0.65]];
/// Bore and fold jaw are free.
pub const TWO: [bool; 4] = [true, true, false, false];
/// All are.
pub const ALL: [bool; 4] = [true; 4];
/// A gain in clearance under this, in wires, is not worth another trial.
const GAIN: f64 = 5e-4;
/// Where links overlap by more than this as they lie, in wires, the way in is not looked for; and so
/// much less than as they lie the clearance on it is then taken to be.
const FAR: f64 = 0.3;
/// Mandrels looked at for the smallest that joins, in wires, each so many times the one before.
const SMALLEST: f64 = 5.0;
const LARGEST: f64 = 60.0;
const STRIDE: f64 = 1.25;
/// How closely it is searched for, in wires.
const CLOSE: f64 = 0.02;
/// Trials of how the links lie.
const LYING: usize = 100;

/// A shaping that was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shaping {
    /// The tools.
    pub tools: WeaveTools,
    /// The clearance found, mm: a search, no proof.
    pub clearance: f64,
}

/// Shapings tried for a ring.
struct ShapingTrials<'a> {
    design: &'a Design,
    weave: Weave,
    wire: f64,
    /// Whether the way in is looked for, or only how the links lie.
    goes_in: bool,
}

impl ShapingTrials<'_> {
    /// How the links lie and how they go in, in wires. What does not lie counts as if it did not go
    /// in by far, so that the search is not held up where links just lie.
    fn clearances(&self, at: &[f64], floor: f64) -> Option<Vec<Option<f64>>> {
        let link = *shaped(self.design, &tools_at(at))?.formings().ok()?.first()?;
        let lying = seated_clearance(&Body::of(&link.fold), self.weave) / self.wire;
        if !self.goes_in {
            return Some(vec![Some(lying)]);
        }
        if lying < floor {
            return Some(vec![Some(lying), None]);
        }
        let way = if lying < -FAR { None } else { path_clearance_of(&link, self.weave) };
        Some(vec![Some(lying), Some(way.map_or(lying - FAR, |way| way / self.wire))])
    }

    fn level(&self, at: &[f64]) -> Option<f64> {
        let values = self.clearances(at, f64::NEG_INFINITY)?;
        Some(values.into_iter().flatten().fold(f64::INFINITY, f64::min))
    }

    /// The best of the places `starts`.
    fn best(&self, starts: &[Vec<f64>]) -> Option<Vec<f64>> {
        let known = starts.iter().filter_map(|at| Some((at, self.level(at)?)));
        known.max_by(|a, b| a.1.total_cmp(&b.1)).map(|(at, _)| at.clone())
    }

    /// From `start` up until there are `enough` wires, or `most` places were looked at.
    fn improved(
        &mut self,
        start: &[f64],
        free: [bool; 4],
        enough: f64,
        most: usize,
    ) -> Option<(Vec<f64>, f64)> {
        let mut solver = MaximinSolver::new(self, start, &free, false, (-enough, GAIN))?;
        while !solver.is_done() && solver.evaluations() < most {
            solver.step(self);
        }
        Some((solver.at().to_vec(), solver.level()))
    }
}

impl Objective for ShapingTrials<'_> {
    fn values(&mut self, at: &[f64], floor: f64) -> Option<Vec<Option<f64>>> {
        self.clearances(at, floor)
    }
}

fn tools_at(at: &[f64]) -> WeaveTools {
    let [bore, fold_jaw, neck, pinch_jaw] = std::array::from_fn(|i| {
        let [low, high] = FREE[i];
        low + at[i] * (high - low)
    });
    WeaveTools { bore, fold_jaw, neck, pinch_jaw }
}

fn place_of(tools: &WeaveTools) -> Vec<f64> {
    let own = [tools.bore, tools.fold_jaw, tools.neck, tools.pinch_jaw];
    let place = |(own, [low, high]): (f64, &[f64; 2])| ((own - low) / (high - low)).clamp(0.0, 1.0);
    own.into_iter().zip(&FREE).map(place).collect()
}

/// The one size of `design` with these jaws. None where it has no tools.
pub fn shaped(design: &Design, tools: &WeaveTools) -> Option<Design> {
    let tools = tools.on(design.settings().ok()?.first()?);
    let mut design = design.clone();
    let size = design.sizes.first_mut()?;
    (size.bore_mm, size.fold_jaw_mm) = (Some(tools.bore), Some(tools.fold_jaw));
    (size.neck_mm, size.pinch_jaw_mm) = (Some(tools.neck), Some(tools.pinch_jaw));
    Some(design)
}

/// The best shaping found for the one size of `design`, those dimensions free that are `free`;
/// no more is looked for once there are `enough` mm, nor after `most` trials of the way in. None where
/// no link can be shaped.
///
/// First, cheaply, the links are made to lie as well as they can: mostly no more is needed, and where
/// they do not lie at all no more is looked for. How a link goes in is found by a search that may miss
/// a way beside one that it finds: hence the trials aside.
pub fn best_shaping(design: &Design, free: [bool; 4], enough: f64, most: usize) -> Option<Shaping> {
    let own = *design.settings().ok()?.first()?;
    let weave = design.weave.weave();
    // The ring stays: what it opens by is not computed each time.
    let mut design = design.clone();
    design.sizes.first_mut()?.springback_mm = Some(own.springback);
    let mut shapes = ShapingTrials { design: &design, weave, wire: own.wire, goes_in: false };
    let mut starts = vec![place_of(&WeaveTools::of(&own))];
    if free == ALL {
        starts.push(place_of(&WeaveTools::of(&usual_tools(&own, weave))));
        starts.extend(tightest_tools(weave).iter().map(place_of));
    }
    let start = shapes.best(&starts)?;
    let (lies, lying) = shapes.improved(&start, free, f64::INFINITY, LYING)?;
    // A link does not go in where it does not lie.
    if lying <= 0.0 {
        return Some(Shaping { tools: tools_at(&lies), clearance: lying * own.wire });
    }
    starts.push(lies);
    shapes.goes_in = true;
    let start = shapes.best(&starts)?;
    // A link does not go in with more than it lies with.
    let enough = (enough / own.wire).min(lying - 2.0 * GAIN);
    let (place, level) = shapes.improved(&start, free, enough, most)?;
    Some(Shaping { tools: tools_at(&place), clearance: level * own.wire })
}

/// The smallest mandrel, mm, on which the links that `on` gives join by search, to [`CLOSE`]; `wire` is
/// theirs. None where none up to sixty wires does.
///
/// It is looked for from the smallest on which they lie: mostly that is the one.
pub fn smallest_that_joins(on: &dyn Fn(f64) -> Option<Design>, wire: f64) -> Option<f64> {
    let asked = |mandrel: f64, ask: &dyn Fn(&Forming, Weave) -> bool| {
        on(mandrel).is_some_and(|design| {
            let formings = design.formings().unwrap_or_default();
            formings.first().is_some_and(|link| ask(link, design.weave.weave()))
        })
    };
    let lies = |mandrel: f64| {
        asked(mandrel, &|link, weave| seated_clearance(&Body::of(&link.fold), weave) >= 0.0)
    };
    let joins = |mandrel: f64| asked(mandrel, &goes_in);
    let (close, most) = (CLOSE * wire, LARGEST * wire);
    let (mut below, mut above) = (SMALLEST * wire, STRIDE * SMALLEST * wire);
    while !lies(above) {
        (below, above) = (above, STRIDE * above);
        if above > most {
            return None;
        }
    }
    // As near as the one on which they join, so that both strides meet it.
    let lying = narrowed(below, above, 0.5 * close, lies);
    // From there in longer and longer strides, down while they join, else up until they do.
    let (mut last, mut stride) = (lying + 0.25 * close, close);
    let down = joins(last);
    loop {
        let next = if down { last - stride } else { last + stride };
        if !(SMALLEST * wire..=most).contains(&next) {
            return down.then_some(last);
        }
        if joins(next) != down {
            let (below, above) = if down { (next, last) } else { (last, next) };
            return Some(narrowed(below, above, close, joins));
        }
        (last, stride) = (next, 2.0 * stride);
    }
}

/// The upper end of what `low` to `high` is halved to until it is no longer than `close`: at that end
/// `holds`, at the lower it does not.
fn narrowed(low: f64, high: f64, close: f64, holds: impl Fn(f64) -> bool) -> f64 {
    let (mut below, mut above) = (low, high);
    while above - below > close * (1.0 + 1e-9) {
        let middle = 0.5 * (below + above);
        if holds(middle) { above = middle } else { below = middle }
    }
    above
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answers::report::searched_clearance;
    use crate::documents::design::{WeaveChoice, WireChoice};

    fn ring(ratio: f64, weave: WeaveChoice) -> Design {
        let mut design = Design::plain(1.0, ratio);
        (design.kerf_mm, design.weave, design.wire) = (0.0, weave, WireChoice::by_diameter(1.0));
        design.sizes[0].springback_mm = Some(0.0);
        design
    }

    /// Published by trial: of plain eights the usual jaws turn at a ratio of about 10.07, others at about
    /// 9.55, and nothing passes at 9.5. A short neck goes below that.
    #[test]
    fn other_jaws_join_rings_that_the_usual_ones_do_not() {
        let with = |ratio: f64, free| {
            let found = best_shaping(&ring(ratio, WeaveChoice::Single), free, f64::INFINITY, 200);
            found.expect("a shape")
        };
        let usual = |ratio: f64| {
            let link = ring(ratio, WeaveChoice::Single).formings().expect("formed")[0];
            searched_clearance(&link, Weave::SINGLE).expect("looked for")
        };
        assert!(usual(10.12) > 0.0 && usual(10.02) < 0.0, "{} {}", usual(10.12), usual(10.02));
        let (at, below) = (with(9.55, TWO), with(9.5, TWO));
        println!("bore and fold jaw at 9.55: {at:?}; at 9.5: {below:?}");
        assert!(at.clearance > 0.0 && below.clearance < 1.5e-3, "{at:?} {below:?}");
        let necked = with(9.5, ALL);
        println!("all at 9.5: {necked:?}");
        assert!(necked.clearance > 0.01 && necked.tools.neck > 0.0, "{necked:?}");
    }

    /// No shaping drawn at random has more clearance, by more than the search misses; and the wire
    /// scales it.
    #[test]
    fn no_shaping_at_random_is_better() {
        let mut rng = crate::math::Rng::new(7);
        for ratio in [10.0, 13.0] {
            let design = ring(ratio, WeaveChoice::Single);
            let best = best_shaping(&design, ALL, f64::INFINITY, 120).expect("a shape");
            assert_eq!(Some(best), best_shaping(&design, ALL, f64::INFINITY, 120));
            let shapes =
                ShapingTrials { design: &design, weave: Weave::SINGLE, wire: 1.0, goes_in: true };
            let found = place_of(&best.tools);
            let mut formed = 0;
            for trial in 0..60 {
                // Anywhere, and near the best.
                let reach = if trial % 2 == 0 { 1.0 } else { 0.08 };
                let near = |x: &f64| (x + reach * (rng.next_f64() - 0.5)).clamp(0.0, 1.0);
                let at: Vec<f64> = found.iter().map(near).collect();
                let Some(level) = shapes.level(&at) else { continue };
                formed += 1;
                assert!(level <= best.clearance + 0.02, "{ratio}: {level} at {at:?}, {best:?}");
            }
            assert!(formed > 20, "{formed}");
            let mut thin = ring(0.5 * ratio, WeaveChoice::Single);
            thin.wire = WireChoice::by_diameter(0.5);
            let half = best_shaping(&thin, ALL, f64::INFINITY, 120).expect("a shape");
            assert!((2.0 * half.clearance - best.clearance).abs() < 0.02, "{half:?} {best:?}");
        }
    }
}
