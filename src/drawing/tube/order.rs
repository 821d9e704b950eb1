//! In which order lengths of wire are laid, so that each covers what is behind it, in few
//! layers: what lies in one layer may be laid in any order, and a browser lays many marks of
//! one colour at once much sooner than one by one.

use crate::math::sort::sort_places;

/// A short length of wire on the picture, mm.
pub(super) struct Length {
    /// How near to the reader.
    pub depth: f64,
    /// Its ends.
    pub ends: [[f64; 2]; 2],
    /// How far from the line between them it is seen.
    pub reach: f64,
    /// How far it turns on the picture, radians; endless where it does not lie across the line
    /// of sight, or bends so sharply that it covers its own neighbour.
    pub turn: f64,
    /// Its place in its wire, going round, and how many that has; they stand in a row.
    pub place: [u32; 2],
}

/// A wire that turns less than this, radians, does not come back upon itself.
const ONWARD: f64 = 1.3;
/// Squares of the grid at the most.
const MOST_SQUARES: f64 = 65_536.0;
/// The end of a list.
const NONE: u32 = u32::MAX;

/// The layer of each length, not below its own of `lowest`, those behind first; no two of one layer
/// cover one another.
pub(super) fn layers(lengths: &[Length], lowest: &[u32]) -> Vec<u32> {
    let mut order: Vec<usize> = (0..lengths.len()).collect();
    let depth = |i: usize| lengths[i].depth;
    sort_places(&mut order, &mut |a, b| depth(a).total_cmp(&depth(b)));
    let turns = Turns::of(lengths);
    let mut squares = Squares::over(lengths);
    let mut layers = lowest.to_vec();
    for index in order {
        let length = &lengths[index];
        let mut layer = lowest[index];
        squares.visit(length, |behind| {
            let other = &lengths[behind];
            // One that is lower already need not be looked at.
            if layers[behind] >= layer
                && turns.between(lengths, behind, index) > ONWARD
                && near(other.ends, length.ends, other.reach + length.reach)
            {
                layer = layers[behind] + 1;
            }
        });
        layers[index] = layer;
        squares.add(length, index);
    }
    layers
}

/// How far all lengths before each turn together, and how far all do.
struct Turns(Vec<f64>);

/// What stands for an endless turn, so that sums stay sums.
const ENDLESS: f64 = 1e3;

impl Turns {
    fn of(lengths: &[Length]) -> Turns {
        let mut sum = 0.0;
        let add = |length: &Length| {
            sum += length.turn.min(ENDLESS);
            sum
        };
        Turns(std::iter::once(0.0).chain(lengths.iter().map(add)).collect())
    }

    /// How far a wire turns from one length to the end of another, the shorter way; endless
    /// from wire to wire.
    fn between(&self, lengths: &[Length], a: usize, b: usize) -> f64 {
        let (low, high) = (a.min(b), a.max(b));
        let [place, count] = lengths[low].place.map(|n| n as usize);
        let start = low - place;
        if high >= start + count {
            return f64::INFINITY;
        }
        let sum = |from: usize, to: usize| self.0[to] - self.0[from];
        if 2 * (high - low) <= count {
            sum(low, high + 1)
        } else {
            sum(start, low + 1) + sum(high, start + count)
        }
    }
}

/// Whether two straight lines come nearer than `reach`.
fn near([a, b]: [[f64; 2]; 2], [c, d]: [[f64; 2]; 2], reach: f64) -> bool {
    let less = |p: [f64; 2], q: [f64; 2]| [p[0] - q[0], p[1] - q[1]];
    let cross = |p: [f64; 2], q: [f64; 2]| p[0] * q[1] - p[1] * q[0];
    let dot = |p: [f64; 2], q: [f64; 2]| p[0] * q[0] + p[1] * q[1];
    let (ab, cd) = (less(b, a), less(d, c));
    // Middles too far off for their lengths.
    let between = [0, 1].map(|i| 0.5 * (c[i] + d[i] - a[i] - b[i]));
    let most = reach + 0.5 * (dot(ab, ab).sqrt() + dot(cd, cd).sqrt());
    if dot(between, between) >= most * most {
        return false;
    }
    let sides = |from: [f64; 2], path: [f64; 2], p: [f64; 2], q: [f64; 2]| {
        cross(path, less(p, from)) * cross(path, less(q, from)) < 0.0
    };
    let from_end = |p: [f64; 2], from: [f64; 2], path: [f64; 2]| {
        let off = less(p, from);
        let share = (dot(off, path) / dot(path, path).max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
        let rest = [off[0] - share * path[0], off[1] - share * path[1]];
        dot(rest, rest) < reach * reach
    };
    sides(a, ab, c, d) && sides(c, cd, a, b)
        || from_end(a, c, cd)
        || from_end(b, c, cd)
        || from_end(c, a, ab)
        || from_end(d, a, ab)
}

/// A grid over the picture: which lengths are in each square, as lists in one row.
struct Squares {
    low: [f64; 2],
    side: f64,
    across: [usize; 2],
    heads: Vec<u32>,
    /// A length, and the next entry of its list.
    entries: Vec<[u32; 2]>,
}

impl Squares {
    fn over(lengths: &[Length]) -> Squares {
        let (mut low, mut high, mut side) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2], 0.0_f64);
        for length in lengths {
            let [least, most] = bounds(length);
            for i in 0..2 {
                low[i] = low[i].min(least[i]);
                high[i] = high[i].max(most[i]);
                side = side.max(most[i] - least[i]);
            }
        }
        let wide = [0, 1].map(|i| (high[i] - low[i]).max(0.0));
        side = side.max((wide[0] * wide[1] / MOST_SQUARES).sqrt()).max(1e-9);
        let across = wide.map(|wide| (wide / side) as usize + 1);
        let heads = vec![NONE; across[0] * across[1]];
        Squares { low, side, across, heads, entries: Vec::with_capacity(4 * lengths.len()) }
    }

    /// The squares a length may be seen in.
    fn of(&self, length: &Length) -> impl Iterator<Item = usize> + use<> {
        let [least, most] = bounds(length);
        let (low, side, across) = (self.low, self.side, self.across);
        let at =
            move |i: usize, place: f64| (((place - low[i]) / side) as usize).min(across[i] - 1);
        let columns = at(0, least[0])..=at(0, most[0]);
        (at(1, least[1])..=at(1, most[1]))
            .flat_map(move |row| columns.clone().map(move |column| row * across[0] + column))
    }

    fn visit(&self, length: &Length, mut seen: impl FnMut(usize)) {
        for square in self.of(length) {
            let mut entry = self.heads[square];
            while let Some([index, next]) = self.entries.get(entry as usize) {
                seen(*index as usize);
                entry = *next;
            }
        }
    }

    fn add(&mut self, length: &Length, index: usize) {
        for square in self.of(length) {
            self.entries.push([index as u32, self.heads[square]]);
            self.heads[square] = self.entries.len() as u32 - 1;
        }
    }
}

fn bounds(length: &Length) -> [[f64; 2]; 2] {
    let [a, b] = length.ends;
    let low = [0, 1].map(|i| a[i].min(b[i]) - length.reach);
    [low, [0, 1].map(|i| a[i].max(b[i]) + length.reach)]
}
