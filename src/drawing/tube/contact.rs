//! Where wires come close to one another, and how much light they keep from each other there.
//!
//! Model: each ring of a wire has two shadows, of the two nearest wires within reach: a vector to the
//! other wire, as long as the share of light that it keeps away from a surface turned towards it. That
//! is all at the touch, nothing at the end of the reach, and less by `c³` on a surface at an angle. Being
//! vectors, shadows may be taken between two rings by shares. So over and under are seen where
//! wires cross.
//! Limits: a picture's means, not a reckoning of light. The wire itself counts where it comes back upon
//! itself, after [`ONWARD`] wires.
//! Evidence: the tests below.

use super::sections::WireRing;
use crate::drawing::camera::smooth;

/// To the other wire, as long as the share of light that it keeps away; in the picture's axes.
pub type Shadow = [f64; 3];

/// How far a wire darkens others, as a share of the distance at which they touch.
const REACH: f64 = 2.0;
/// How much of the light a wire keeps away at most.
pub const DARKEST: f64 = 0.8;
/// A surface is darkened before the other wire comes over its horizon, by this share of `c`.
pub const HORIZON: f64 = 0.2;
/// A wire is no neighbour of its own next length, wires along it.
const ONWARD: f64 = 3.0;
/// Two neighbours of a place lie apart: cosine between the ways to them.
const APART: f64 = 0.5;
/// Cells of the grid at the most.
const MOST_CELLS: f64 = 65_536.0;
/// The end of a list.
const NONE: u32 = u32::MAX;

/// A wire as far as its neighbours matter.
pub(super) struct Wire<'a> {
    pub rings: &'a [WireRing],
    pub radius: f64,
    /// The whole length, where it comes back to its start.
    pub around: Option<f64>,
}

/// The two shadows on every ring, wire after wire.
pub(super) fn shadows(wires: &[Wire]) -> Vec<[Shadow; 2]> {
    let spans: Vec<Span> = wires.iter().enumerate().flat_map(|(w, wire)| spans(w, wire)).collect();
    let cells = Cells::over(&spans, wires);
    let mut found = Vec::new();
    for (own, wire) in wires.iter().enumerate() {
        let mut before = [[0.0; 3]; 2];
        for ring in wire.rings {
            // The ways to the nearest two, and how near, from 0 at the end of their reach to 1.
            let mut two = [([0.0; 3], 0.0); 2];
            cells.visit(ring.place, |index| {
                let span = &spans[index];
                if span.wire == own && is_onward(ring.along, span.along, wire) {
                    return;
                }
                let to = span.from(ring.place);
                let touch = wire.radius + wires[span.wire].radius;
                let near = (REACH - length(to) / touch) / (REACH - 1.0);
                if near > two[0].1 {
                    if is_apart(to, two[0].0) {
                        two[1] = two[0];
                    } else if two[1].1 > 0.0 && !is_apart(to, two[1].0) {
                        two[1] = Default::default();
                    }
                    two[0] = (to, near);
                } else if near > two[1].1 && is_apart(to, two[0].0) {
                    two[1] = (to, near);
                }
            });
            let [first, second] = two.map(|(to, near): ([f64; 3], f64)| {
                let share = smooth(near.clamp(0.0, 1.0)) / length(to).max(1e-9);
                to.map(|way| share * way)
            });
            // Each goes on as the same from ring to ring.
            let kept = dot(first, before[0]) + dot(second, before[1]);
            let is_same = kept >= dot(first, before[1]) + dot(second, before[0]);
            before = if is_same { [first, second] } else { [second, first] };
            found.push(before);
        }
    }
    found
}

/// Share of the light that is left on a surface with this outward normal.
pub(super) fn light_left(normal: [f64; 3], shadows: &[Shadow; 2]) -> f64 {
    let left = |shadow: Shadow| {
        let dark = length(shadow);
        let turned = (dot(shadow, normal) + HORIZON * dark) / ((1.0 + HORIZON) * dark.max(1e-6));
        1.0 - DARKEST * dark * turned.max(0.0).powi(3)
    };
    left(shadows[0]) * left(shadows[1])
}

/// A straight length between two rings.
struct Span {
    wire: usize,
    /// Of its middle.
    along: f64,
    ends: [[f64; 3]; 2],
}

fn spans<'a>(index: usize, wire: &'a Wire) -> impl Iterator<Item = Span> + 'a {
    let count = wire.rings.len();
    let last = if wire.around.is_some() { count } else { count.saturating_sub(1) };
    (0..last).map(move |i| {
        let (a, b) = (&wire.rings[i], &wire.rings[(i + 1) % count]);
        let end = if i + 1 == count { wire.around.unwrap_or(b.along) } else { b.along };
        Span { wire: index, along: 0.5 * (a.along + end), ends: [a.place, b.place] }
    })
}

impl Span {
    /// The shortest way to it from a place.
    fn from(&self, place: [f64; 3]) -> [f64; 3] {
        let [a, b] = self.ends.map(|end| [0, 1, 2].map(|i| end[i] - place[i]));
        let line = [0, 1, 2].map(|i| b[i] - a[i]);
        let share = (-dot(a, line) / dot(line, line).max(1e-12)).clamp(0.0, 1.0);
        [0, 1, 2].map(|i| a[i] + share * line[i])
    }
}

/// Whether a length of a wire goes on from a ring of the same.
fn is_onward(ring: f64, span: f64, wire: &Wire) -> bool {
    let off = (ring - span).abs();
    let off = wire.around.map_or(off, |around| off.min(around - off));
    off < 2.0 * ONWARD * wire.radius
}

fn is_apart(a: [f64; 3], b: [f64; 3]) -> bool {
    dot(a, b) < APART * length(a) * length(b)
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn length(a: [f64; 3]) -> f64 {
    dot(a, a).sqrt()
}

/// A grid in space: which spans are in each cell, as lists in one row.
struct Cells {
    low: [f64; 3],
    side: f64,
    reach: f64,
    across: [usize; 3],
    heads: Vec<u32>,
    /// A span, and the next entry of its list.
    entries: Vec<[u32; 2]>,
}

impl Cells {
    fn over(spans: &[Span], wires: &[Wire]) -> Cells {
        let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
        for end in spans.iter().flat_map(|span| &span.ends) {
            for i in 0..3 {
                low[i] = low[i].min(end[i]);
                high[i] = high[i].max(end[i]);
            }
        }
        let widest = wires.iter().map(|wire| wire.radius).fold(0.0, f64::max);
        let reach = 2.0 * REACH * widest;
        let wide = [0, 1, 2].map(|i| (high[i] - low[i]).max(0.0));
        let volume = wide.iter().map(|wide| wide.max(reach)).product::<f64>();
        let side = reach.max((volume / MOST_CELLS).cbrt()).max(1e-9);
        let across = wide.map(|wide| (wide / side) as usize + 1);
        let heads = vec![NONE; across.iter().product()];
        let entries = Vec::with_capacity(4 * spans.len());
        let mut cells = Cells { low, side, reach, across, heads, entries };
        for (index, span) in spans.iter().enumerate() {
            let [a, b] = span.ends;
            let least = [0, 1, 2].map(|i| a[i].min(b[i]));
            let most = [0, 1, 2].map(|i| a[i].max(b[i]));
            for cell in cells.between(least, most) {
                cells.entries.push([index as u32, cells.heads[cell]]);
                cells.heads[cell] = cells.entries.len() as u32 - 1;
            }
        }
        cells
    }

    fn cell(&self, axis: usize, at: f64) -> usize {
        (((at - self.low[axis]) / self.side) as usize).min(self.across[axis] - 1)
    }

    /// The cells of a block.
    fn between(&self, least: [f64; 3], most: [f64; 3]) -> impl Iterator<Item = usize> + use<> {
        let [low, high] = [least, most].map(|at| [0, 1, 2].map(|axis| self.cell(axis, at[axis])));
        let across = self.across;
        (low[2]..=high[2]).flat_map(move |z| {
            (low[1]..=high[1]).flat_map(move |y| {
                (low[0]..=high[0]).map(move |x| (z * across[1] + y) * across[0] + x)
            })
        })
    }

    /// Whatever may be within reach of a place, some of it more than once.
    fn visit(&self, place: [f64; 3], mut seen: impl FnMut(usize)) {
        let at = |by: f64| place.map(|at| at + by);
        for cell in self.between(at(-self.reach), at(self.reach)) {
            let mut entry = self.heads[cell];
            while let Some([index, next]) = self.entries.get(entry as usize) {
                seen(*index as usize);
                entry = *next;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::curve::Vector;

    /// A straight wire of rings a quarter apart, from `from` along `along`.
    fn straight(from: [f64; 3], along: [f64; 3]) -> Vec<WireRing> {
        let ring = |i: usize| {
            let s = 0.25 * i as f64;
            let place = [0, 1, 2].map(|k| from[k] + s * along[k]);
            let tangent = Vector::from(along);
            WireRing { along: s, place, tangent, normal: tangent, aside: tangent, is_seam: false }
        };
        (0..41).map(ring).collect()
    }

    #[test]
    fn wires_that_cross_darken_one_another_there_and_nowhere_else() {
        let under = straight([-5.0, 0.0, 0.0], [1.0, 0.0, 0.0]);
        let over = straight([0.0, -5.0, 1.0], [0.0, 1.0, 0.0]);
        let wires = [&under, &over].map(|rings| Wire { rings, radius: 0.5, around: None });
        let found = shadows(&wires);
        for (ring, two) in under.iter().zip(&found) {
            let far = ring.place[0].hypot(1.0);
            let [x, _, z] = two[0];
            if far < 2.0 {
                assert!(z > 0.0 && (x / z + ring.place[0]).abs() < 1e-9, "{two:?}");
            } else {
                assert_eq!(two[0], [0.0; 3], "{far}");
            }
            // One wire is one neighbour.
            assert_eq!(two[1], [0.0; 3], "{far}");
        }
        assert!((found[20][0][2] - 1.0).abs() < 1e-9, "touching: {:?}", found[20]);
        assert!((found[41 + 20][0][2] + 1.0).abs() < 1e-9, "touching: {:?}", found[41 + 20]);
    }

    #[test]
    fn a_wire_between_two_has_both_and_each_stays_itself() {
        // One above draws away, one below comes near: half way they change places as the nearest.
        let mut above = straight([-5.0, 0.0, 1.0], [1.0, 0.0, 0.0]);
        let mut below = straight([-5.0, 0.0, -1.5], [1.0, 0.0, 0.0]);
        above.iter_mut().chain(&mut below).for_each(|ring| ring.place[2] += 0.05 * ring.along);
        let middle = straight([-5.0, 0.0, 0.0], [1.0, 0.0, 0.0]);
        let wires =
            [&above, &middle, &below].map(|rings| Wire { rings, radius: 0.5, around: None });
        let found = shadows(&wires);
        for two in &found[41..82] {
            assert!(two[0][2] > 0.0 && two[1][2] < 0.0, "{two:?}");
        }
    }

    /// The grid misses none: the nearest by looking at every pair.
    #[test]
    fn the_nearest_is_found_by_looking_at_all() {
        let golden = [0.754_877_666, 0.569_840_291, 0.430_159_709];
        let at = |i: usize| golden.map(|g| 6.0 * (i as f64 * g).fract());
        let all: Vec<Vec<WireRing>> = (0..30)
            .map(|i| {
                let way = Vector::from(at(7 * i + 3)) - Vector::repeat(3.0);
                straight(at(i), way.normalize().into())
            })
            .collect();
        let wires: Vec<Wire> =
            all.iter().map(|rings| Wire { rings, radius: 0.2, around: None }).collect();
        let found = shadows(&wires);
        let (mut seen, mut next) = (0, 0);
        for (own, wire) in wires.iter().enumerate() {
            for ring in wire.rings {
                let others = wires.iter().enumerate().filter(|(other, _)| *other != own);
                let spans = others.flat_map(|(other, wire)| spans(other, wire));
                let least = spans.map(|span| length(span.from(ring.place)));
                let least = least.fold(f64::INFINITY, f64::min);
                let dark = found[next].map(length).into_iter().fold(0.0, f64::max);
                let near = ((0.8 - least) / 0.4).clamp(0.0, 1.0);
                let expected = near * near * (3.0 - 2.0 * near);
                assert!((dark - expected).abs() < 1e-9, "{least}: {dark}, not {expected}");
                seen += usize::from(least < 0.8);
                next += 1;
            }
        }
        assert!(seen > 50, "{seen}");
    }

    #[test]
    fn it_is_darkest_towards_the_other_wire_and_not_dark_behind() {
        let shadow = |dark: f64| [[0.0, 0.0, dark], [0.0; 3]];
        assert!((light_left([0.0, 0.0, 1.0], &shadow(1.0)) - (1.0 - DARKEST)).abs() < 1e-9);
        assert_eq!(light_left([0.0, 0.0, -1.0], &shadow(1.0)), 1.0);
        assert_eq!(light_left([0.0, 0.6, 0.8], &shadow(0.0)), 1.0);
        let turned = |i: i32| {
            let (sin, cos) = (0.1 * f64::from(i)).sin_cos();
            light_left([0.0, sin, cos], &shadow(0.7))
        };
        assert!((1..17).all(|i| turned(i) > turned(i - 1)));
    }
}
