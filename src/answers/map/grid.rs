//! The grid of a map: which places to compute next, and what lies between them.

/// The grid's places are numbered from 0 to this, each way.
pub const FINEST: u8 = 64;
/// Places a side, and squares of the first, coarse look.
const SIDE: usize = FINEST as usize + 1;
const COARSE: usize = 8;
/// Places computed at the most; the rest is interpolated.
pub const MOST_COMPUTED: usize = 1200;

/// What is known of a place.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum MapCell {
    /// Nothing yet.
    #[default]
    Unknown,
    /// Clearance there, mm, computed.
    Computed(f64),
    /// Clearance there, mm, from the corners of the square it lies in.
    Interpolated(f64),
    /// Such a link cannot be formed.
    Unformed,
    /// It lies between places where none can be formed.
    LikelyUnformed,
}

/// What a place is like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CellBasis {
    /// Cannot be formed.
    Unformed,
    /// No clearance.
    None,
    /// Less clearance than asked for.
    Tight,
    /// Clearance.
    Clear,
}

impl MapCell {
    /// The clearance, mm, where there is a link.
    pub fn clearance(self) -> Option<f64> {
        match self {
            MapCell::Computed(clearance) | MapCell::Interpolated(clearance) => Some(clearance),
            _ => None,
        }
    }

    /// What it is like when `margin` mm are asked for; `None` while nothing is known.
    pub fn kind(self, margin: f64) -> Option<CellBasis> {
        match self {
            MapCell::Unknown => None,
            MapCell::Unformed | MapCell::LikelyUnformed => Some(CellBasis::Unformed),
            MapCell::Computed(clearance) | MapCell::Interpolated(clearance) => {
                Some(if clearance < 0.0 {
                    CellBasis::None
                } else if clearance < margin {
                    CellBasis::Tight
                } else {
                    CellBasis::Clear
                })
            }
        }
    }

    fn is_computed(self) -> bool {
        matches!(self, MapCell::Computed(_) | MapCell::Unformed)
    }
}

/// A grid, filled coarse to fine.
#[derive(Clone, Debug)]
pub struct Grid {
    cells: Vec<MapCell>,
    margin: f64,
    /// Whether every corner of the coarse squares has been looked at.
    looked: bool,
    /// Places from corner to corner of the squares now looked at.
    stride: usize,
    computed: usize,
    /// Places of the present round that are not computed yet.
    round: Vec<[u8; 2]>,
}

impl Grid {
    /// An empty grid, to be filled with care for the turn at no clearance and at `margin` mm.
    pub fn new(margin: f64) -> Grid {
        let cells = vec![MapCell::Unknown; SIDE * SIDE];
        let stride = FINEST as usize / COARSE;
        Grid { cells, margin, looked: false, stride, computed: 0, round: Vec::new() }
    }

    /// The number of a place, row by row.
    pub fn number([i, j]: [u8; 2]) -> usize {
        SIDE * usize::from(j) + usize::from(i)
    }

    /// The place of a number, which is below 65².
    pub fn place(number: usize) -> [u8; 2] {
        [(number % SIDE) as u8, (number / SIDE) as u8]
    }

    /// The same places computed, to be filled with care for another margin, mm.
    pub fn refilled(&self, margin: f64) -> Grid {
        let mut grid = Grid { computed: self.computed, ..Grid::new(margin) };
        for (cell, known) in grid.cells.iter_mut().zip(&self.cells) {
            if known.is_computed() {
                *cell = *known;
            }
        }
        grid
    }

    /// What is known of a place; nothing outside.
    pub fn cell(&self, [i, j]: [u8; 2]) -> MapCell {
        let inside = i <= FINEST && j <= FINEST;
        if inside { self.cells[Grid::number([i, j])] } else { MapCell::Unknown }
    }

    /// Places computed so far, links that cannot be formed included.
    pub fn computed(&self) -> usize {
        self.computed
    }

    /// Places in between, so far.
    pub fn interpolated(&self) -> usize {
        let between =
            |c: &&MapCell| matches!(c, MapCell::Interpolated(_) | MapCell::LikelyUnformed);
        self.cells.iter().filter(between).count()
    }

    /// Whether nothing more is to be computed.
    pub fn is_done(&self) -> bool {
        self.stride == 1
    }

    /// Places from one to the next where something is known everywhere; none before the
    /// first look is done.
    pub fn stride(&self) -> Option<u8> {
        self.looked.then_some(self.stride as u8)
    }

    /// The next places to compute, `most` at the most, but for those `asked` for already; none while
    /// those decide what comes next, or when it is done. Places are wanted round by round, each
    /// chosen once the one before is known: which are computed hangs neither on how many are asked
    /// for at a time nor on the order in which they are set.
    pub fn next(&mut self, most: usize, asked: &[[u8; 2]]) -> Vec<[u8; 2]> {
        while self.round.is_empty() && !self.is_done() {
            let left = MOST_COMPUTED.saturating_sub(self.computed);
            let wanted = if self.looked { self.at_the_turn() } else { self.corners() };
            let wanted = wanted.into_iter().take(left);
            self.round = wanted.map(|[i, j]| [i as u8, j as u8]).collect();
            if self.round.is_empty() {
                if self.looked { self.finer() } else { self.looked = true }
            }
        }
        self.round.iter().filter(|at| !asked.contains(at)).take(most).copied().collect()
    }

    /// Takes what was computed: the clearance in mm, or none where no link can be formed.
    pub fn set(&mut self, [i, j]: [u8; 2], clearance: Option<f64>) {
        if i > FINEST || j > FINEST {
            return;
        }
        self.round.retain(|at| *at != [i, j]);
        let cell = &mut self.cells[Grid::number([i, j])];
        if !cell.is_computed() {
            self.computed += 1;
        }
        *cell = clearance.filter(|r| r.is_finite()).map_or(MapCell::Unformed, MapCell::Computed);
    }

    fn at(&self, [i, j]: [usize; 2]) -> MapCell {
        self.cells[SIDE * j + i]
    }

    /// Corners of the coarse squares nothing is known of.
    fn corners(&self) -> Vec<[usize; 2]> {
        let steps = || (0..SIDE).step_by(self.stride);
        let all = steps().flat_map(|j| steps().map(move |i| [i, j]));
        all.filter(|&at| self.at(at) == MapCell::Unknown).collect()
    }

    /// Places halfway along and across the squares at which, as far as is known or can be
    /// interpolated, the answer is not that of the next place on every side.
    fn at_the_turn(&self) -> Vec<[usize; 2]> {
        let half = self.stride / 2;
        let turns = |at: &[usize; 2]| {
            let own = self.kind(*at);
            let [i, j] = *at;
            let beside = [
                [i.wrapping_sub(half), j],
                [i + half, j],
                [i, j.wrapping_sub(half)],
                [i, j + half],
            ];
            beside.into_iter().any(|[i, j]| i < SIDE && j < SIDE && self.kind([i, j]) != own)
        };
        self.halfway().filter(|&at| self.at(at) == MapCell::Unknown && turns(&at)).collect()
    }

    /// The corners of squares half as wide as those looked at.
    fn halfway(&self) -> impl Iterator<Item = [usize; 2]> + use<> {
        let half = self.stride / 2;
        let steps = move || (0..SIDE).step_by(half);
        steps().flat_map(move |j| steps().map(move |i| [i, j]))
    }

    /// As [`MapCell::kind`]. Close up, a link that cannot be formed and one that has no clearance
    /// are alike: no maker needs that line sharp.
    fn kind(&self, at: [usize; 2]) -> Option<CellBasis> {
        let kind = self.between(at).kind(self.margin)?;
        let blurred = kind == CellBasis::Unformed && self.stride <= 4;
        Some(if blurred { CellBasis::None } else { kind })
    }

    /// What is known of a place halfway, or else the mean of the corners it lies between.
    fn between(&self, at: [usize; 2]) -> MapCell {
        if self.at(at) != MapCell::Unknown {
            return self.at(at);
        }
        // Back and on to the corners, in the directions in which it lies halfway.
        let aside = at.map(|i| i % self.stride);
        let corners = [(false, false), (true, false), (false, true), (true, true)].map(|(x, y)| {
            let step = |i: usize, on: bool| if on { at[i] + aside[i] } else { at[i] - aside[i] };
            self.at([step(0, x), step(1, y)])
        });
        let mut clearances = 0.0;
        for corner in corners {
            let Some(clearance) = corner.clearance() else { return MapCell::LikelyUnformed };
            clearances += clearance;
        }
        MapCell::Interpolated(clearances / 4.0)
    }

    /// Fills what is still unknown halfway, and goes on to squares half as wide.
    fn finer(&mut self) {
        for at in self.halfway() {
            self.cells[SIDE * at[1] + at[0]] = self.between(at);
        }
        self.stride /= 2;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Fills a grid from a formula; the order in which places were asked for.
    fn filled(
        margin: f64,
        batch: usize,
        clearance: impl Fn(f64, f64) -> Option<f64>,
    ) -> (Grid, Vec<[u8; 2]>) {
        let mut grid = Grid::new(margin);
        let mut order = Vec::new();
        loop {
            let wanted = grid.next(batch, &[]);
            if wanted.is_empty() {
                break;
            }
            assert!(wanted.len() <= batch);
            for at in wanted {
                assert_eq!(grid.cell(at), MapCell::Unknown, "{at:?} asked twice");
                let [x, y] = at.map(|i| f64::from(i) / 64.0);
                grid.set(at, clearance(x, y));
                order.push(at);
            }
        }
        (grid, order)
    }

    fn every() -> impl Iterator<Item = [u8; 2]> {
        (0..=FINEST).flat_map(|j| (0..=FINEST).map(move |i| [i, j]))
    }

    /// Closed forms that turn along a line, a circle and a hyperbola.
    #[test]
    fn places_at_the_turn_are_computed_and_every_place_has_the_right_kind() {
        type Formula = fn(f64, f64) -> Option<f64>;
        let formulas: [Formula; 3] = [
            |x, y| Some(x + 0.3 * y - 0.6),
            |x, y| Some((x - 0.5).hypot(y - 0.45) - 0.31),
            |x, y| Some(x * y - 0.2),
        ];
        for formula in formulas {
            let (grid, order) = filled(0.05, 7, formula);
            assert!(grid.is_done() && order.len() == grid.computed());
            assert!(order[..81].iter().all(|at| at[0] % 8 == 0 && at[1] % 8 == 0));
            let strides: Vec<u32> =
                order.iter().map(|at| (at[0] | at[1] | 8).trailing_zeros()).collect();
            assert!(strides.is_sorted_by(|a, b| a >= b), "coarse before fine");
            println!("{} of {} computed", order.len(), SIDE * SIDE);
            let mut wrong = 0;
            for at in every() {
                let [x, y] = at.map(|i| f64::from(i) / 64.0);
                let truth = MapCell::Computed(formula(x, y).unwrap()).kind(0.05);
                wrong += usize::from(grid.cell(at).kind(0.05) != truth);
            }
            assert_eq!(wrong, 0, "of {}", SIDE * SIDE);
            // What stands beside a place of another kind was computed itself.
            for [i, j] in every() {
                for other in [[i + 1, j], [i, j + 1]] {
                    if other.iter().any(|k| *k > FINEST) {
                        continue;
                    }
                    let pair = [[i, j], other].map(|at| grid.cell(at));
                    let turns = pair[0].kind(0.05) != pair[1].kind(0.05);
                    assert!(!turns || pair.iter().all(|c| c.is_computed()), "{i} {j}: {pair:?}");
                }
            }
            assert_eq!(grid.computed() + grid.interpolated(), SIDE * SIDE);
        }
    }

    /// Between alike places what is filled in is the plane through them, which for a plane is
    /// the truth.
    #[test]
    fn a_plane_is_interpolated_without_error() {
        let plane = |x: f64, y: f64| 1.0 + x - 0.5 * y;
        let (grid, order) = filled(0.05, 100, |x, y| Some(plane(x, y)));
        assert_eq!(order.len(), 81);
        for at in every() {
            let [x, y] = at.map(|i| f64::from(i) / 64.0);
            assert!((grid.cell(at).clearance().unwrap() - plane(x, y)).abs() < 1e-12, "{at:?}");
        }
    }

    #[test]
    fn another_margin_computes_only_what_is_new() {
        let clearance = |x: f64, y: f64| Some(x + 0.3 * y - 0.6);
        let (grid, _) = filled(0.05, 50, clearance);
        let mut again = grid.refilled(0.05);
        assert!(again.next(50, &[]).is_empty() && again.computed() == grid.computed());
        let mut wider = grid.refilled(0.2);
        assert!(wider.next(50, &[]).iter().all(|&at| !grid.cell(at).is_computed()));
        assert!(!wider.next(50, &[]).is_empty());
    }

    /// However wild the answer, no more is computed than promised, and it ends.
    #[test]
    fn no_more_is_computed_than_promised() {
        let wild = |x: f64, y: f64| Some((1e4 * (x * 12.9898 + y * 78.233).sin()).sin());
        let (grid, order) = filled(0.05, 1000, wild);
        assert!(grid.is_done() && order.len() <= MOST_COMPUTED, "{}", order.len());
        assert_eq!(grid.computed() + grid.interpolated(), SIDE * SIDE);
        let (grid, _) = filled(0.05, 50, |x, _| (x > 0.4).then_some(f64::NAN));
        assert!(every().all(|at| grid.cell(at).kind(0.0) == Some(CellBasis::Unformed)));
        let (grid, _) = filled(0.05, 50, |x, y| (x + y > 0.4).then_some(x - 0.7));
        assert!(grid.computed() < 700, "{}", grid.computed());
        assert_eq!(grid.cell([200, 0]), MapCell::Unknown);
    }
}
