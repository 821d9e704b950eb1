//! The bench steps: a ring stretched over two jaws, pinched by two, released, annealed.

use super::quarter::{Action, Jaw, Middle, Point2, QuarterRing};
use crate::math::units::Mm;
use crate::math::{Bracket, root_in};
use crate::mechanics::material::FlowCurve;
use crate::mechanics::section::{Reversal, RoundSection, SectionLayers};
use std::f64::consts::{FRAC_PI_2, PI};

/// How finely to compute.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RodSettings {
    /// Segments in a quarter of the ring, 8 to 2000.
    pub segments: usize,
    /// Layers over the wire's height, 2 to 200.
    pub layers: usize,
    /// What the metal does when a bend is reversed.
    pub reversal: Reversal,
}

impl Default for RodSettings {
    /// 256 segments round the ring and 16 layers: residual length and width within 0.02 % of 1024
    /// and 96, the waist gap within 0.001 of the wire's diameter, on a ring of ratio 10.
    fn default() -> RodSettings {
        RodSettings { segments: 64, layers: 16, reversal: Reversal::Isotropic }
    }
}

/// A ring being formed: its shape, and what each place along the wire remembers.
#[derive(Clone, Debug)]
pub struct RingRod {
    quarter: QuarterRing,
    section: RoundSection,
    loading: Option<Jaw>,
}

/// The outline of the formed ring: one quarter, waist to tip.
#[derive(Clone, Debug, PartialEq)]
pub struct RodShape {
    /// Centreline from the middle of the side (x = 0) to the tip (y = 0), mm.
    pub points: Vec<[f64; 2]>,
    /// Curvature at each point, 1/mm.
    pub curvatures: Vec<f64>,
    /// Strain of the outermost fibre added up over every turn since annealing, at each point.
    pub outer_strains: Vec<f64>,
    /// Plastic share of it, at each point.
    pub plastic_strains: Vec<f64>,
    /// Clear length inside, tip to tip, mm.
    pub inside_length: f64,
    /// Greatest width of the centreline, mm.
    pub width: f64,
    /// Clear gap between the wires at the middle, mm.
    pub waist_gap: f64,
    /// Length of the whole centreline, mm.
    pub length: f64,
}

/// A ring held by a pair of jaws.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadedRod {
    /// The shape between the jaws.
    pub shape: RodShape,
    /// Force on each of the two jaws, N.
    pub jaw_force: f64,
    /// Greatest pull along the wire over its area, MPa. Where it nears the yield stress, the
    /// wire stretches for good, which this model leaves out.
    pub axial_stress: f64,
}

/// What stays where each place was bent by itself.
#[derive(Clone, Debug, PartialEq)]
pub struct BentPlaces {
    /// Curvature, 1/mm.
    pub residual_curvatures: Vec<f64>,
    /// Plastic strain of the outermost fibre added up over every turn since annealing.
    pub plastic_strains: Vec<f64>,
}

/// Why a step cannot be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum RodError {
    /// A size outside what it can be.
    #[error("{field} is {value:.4}; it must lie between {least:.4} and {most:.4}")]
    OutOfRange {
        /// Name of the quantity.
        field: &'static str,
        /// The value given.
        value: f64,
        /// Least accepted.
        least: f64,
        /// Most accepted.
        most: f64,
    },
    /// The solver did not settle; the ring is left as it was before the step.
    #[error(
        "the {step} did not settle at {fraction:.0} % of its way (last correction {left:.1e} segments); try more segments"
    )]
    NotSettled {
        /// Which step.
        step: &'static str,
        /// How far it came, %.
        fraction: f64,
        /// Last correction, in segments.
        left: f64,
    },
}

/// Jaw moves a step is cut into at first.
const MOVES: f64 = 24.0;
/// Times a move may be halved before giving up.
const HALVINGS: i32 = 8;
/// Moves in which forces are taken off on release, at first: it is nearly elastic.
const RELEASES: f64 = 4.0;

impl RingRod {
    /// An annealed, round ring with this mean diameter (to the middle of the wire).
    ///
    /// # Errors
    /// [`RodError::OutOfRange`] for a ring no wider than its wire, or settings out of range.
    pub fn annealed(
        section: RoundSection,
        flow: FlowCurve,
        mean_diameter: Mm,
        settings: RodSettings,
    ) -> Result<RingRod, RodError> {
        let wire = section.diameter();
        in_range("mean_diameter", mean_diameter.get(), 1.5 * wire, 1e4 * wire)?;
        let length = 0.25 * PI * mean_diameter.get();
        let mut rod = RingRod::straightened(section, flow, length, settings)?;
        let count = rod.quarter.places.len() - 1;
        let turn = FRAC_PI_2 / count as f64;
        let radius = rod.quarter.segment / (2.0 * (0.5 * turn).sin());
        for (i, place) in rod.quarter.places.iter_mut().enumerate() {
            let angle = turn * i as f64;
            *place = [radius * angle.sin(), radius * angle.cos()];
        }
        rod.quarter.places[0][0] = 0.0;
        rod.quarter.places[count][1] = 0.0;
        rod.anneal();
        Ok(rod)
    }

    /// A closed wire of this length, annealed straight, that crosses itself at its middle and
    /// is left free: the figure eight a springy wire takes by itself. No bench shape; it has an
    /// exact solution to check against.
    ///
    /// # Errors
    /// As [`RingRod::annealed`]; [`RodError::NotSettled`].
    pub fn crossed(
        section: RoundSection,
        flow: FlowCurve,
        length: Mm,
        settings: RodSettings,
    ) -> Result<RingRod, RodError> {
        let wire = section.diameter();
        in_range("length", length.get(), 5.0 * wire, 1e5 * wire)?;
        let mut rod = RingRod::straightened(section, flow, 0.25 * length.get(), settings)?;
        rod.quarter.middle = Middle::Crossing;
        // Each lobe starts as a circle; its own curvature is then taken away by degrees.
        let count = rod.quarter.places.len() - 1;
        let turn = PI / count as f64;
        let mut at: Point2 = [0.0; 2];
        for i in 0..=count {
            rod.quarter.places[i] = at;
            let angle = FRAC_PI_2 - turn * (i as f64 + 0.5);
            at[0] += rod.quarter.segment * angle.cos();
            at[1] += rod.quarter.segment * angle.sin();
        }
        rod.quarter.places[count][1] = 0.0;
        let curvature = turn / rod.quarter.segment;
        for step in (0..20).rev() {
            let state = rod.quarter.layers.annealed(curvature * f64::from(step) / 20.0);
            rod.quarter.sections = vec![state; count + 1];
            rod.quarter.find_balance(&Action::Forces(Vec::new())).map_err(|left| {
                let fraction = 5.0 * f64::from(19 - step);
                RodError::NotSettled { step: "crossing", fraction, left }
            })?;
        }
        rod.quarter.settle();
        Ok(rod)
    }

    fn straightened(
        section: RoundSection,
        flow: FlowCurve,
        quarter_length: f64,
        settings: RodSettings,
    ) -> Result<RingRod, RodError> {
        in_range("segments", settings.segments as f64, 8.0, 2000.0)?;
        in_range("layers", settings.layers as f64, 2.0, 200.0)?;
        let layers = SectionLayers::new(&section, flow, settings.reversal, settings.layers);
        let quarter = QuarterRing {
            places: vec![[0.0; 2]; settings.segments + 1],
            sections: vec![layers.annealed(0.0); settings.segments + 1],
            layers,
            middle: Middle::Waist,
            segment: quarter_length / settings.segments as f64,
            axial: flow.youngs_modulus() * section.area(),
        };
        Ok(RingRod { quarter, section, loading: None })
    }

    /// Takes all stress out of the present shape; jaws are released first, without springback.
    pub fn anneal(&mut self) {
        self.loading = None;
        let curvatures = self.quarter.curvatures();
        self.quarter.sections =
            curvatures.iter().map(|k| self.quarter.layers.annealed(*k)).collect();
    }

    /// Stretches the ring over two round jaws until it measures `inside_length` inside, and
    /// holds it. Jaws that still hold it are released first.
    ///
    /// # Errors
    /// [`RodError::OutOfRange`] where the jaws do not fit in, or the ring is taut before;
    /// [`RodError::NotSettled`].
    pub fn stretch(&mut self, jaw: Mm, inside_length: Mm) -> Result<LoadedRod, RodError> {
        let mut next = self.clone();
        next.release()?;
        let shape = next.shape();
        let quarter_length = 0.25 * shape.length;
        let wire = self.section.diameter();
        let radius = 0.5 * (jaw.get() + wire);
        let greatest = shape.inside_length.min(shape.width - wire);
        in_range("stretching jaw", jaw.get(), 0.0, greatest)?;
        // Taut: a quarter of the wire is a quarter circle round the jaw and a straight.
        let taut = 2.0 * (quarter_length - FRAC_PI_2 * radius) + jaw.get();
        in_range("inside_length", inside_length.get(), shape.inside_length, taut)?;
        let start = 0.5 * (shape.inside_length - jaw.get());
        let end = 0.5 * (inside_length.get() - jaw.get());
        let loaded = next.press("stretch", |fraction| Jaw {
            centre: [start + (end - start) * fraction, 0.0],
            radius,
            half_flat: 0.0,
            touch: None,
        })?;
        *self = next;
        Ok(loaded)
    }

    /// Pinches the ring at the middle of its sides between two round jaws, from outside, until
    /// the wires there are `waist_gap` apart, and holds it. Jaws that still hold it are released
    /// first.
    ///
    /// # Errors
    /// [`RodError::OutOfRange`] for a gap below zero or wider than it is already;
    /// [`RodError::NotSettled`].
    pub fn pinch(&mut self, jaw: Mm, waist_gap: Mm) -> Result<LoadedRod, RodError> {
        self.pinch_to_neck(jaw, Mm::new(0.0), waist_gap)
    }

    /// As [`RingRod::pinch`], between flat jaws that press `2 half_flat` of each side to a neck; their
    /// edges are rounded to the diameter `jaw`. Pressed so, the two sides may touch one another.
    ///
    /// # Errors
    /// As [`RingRod::pinch`]; [`RodError::OutOfRange`] too for a flat as long as the ring.
    pub fn pinch_to_neck(
        &mut self,
        jaw: Mm,
        half_flat: Mm,
        waist_gap: Mm,
    ) -> Result<LoadedRod, RodError> {
        let mut next = self.clone();
        next.release()?;
        let shape = next.shape();
        let wire = self.section.diameter();
        in_range("pinching jaw", jaw.get(), 0.0, 10.0 * shape.length)?;
        let half_flat = half_flat.get();
        in_range("half the flat", half_flat, 0.0, 0.5 * shape.inside_length)?;
        in_range("waist_gap", waist_gap.get(), 0.0, shape.waist_gap)?;
        let radius = 0.5 * (jaw.get() + wire);
        let (start, end) = (0.5 * (shape.waist_gap + wire), 0.5 * (waist_gap.get() + wire));
        let loaded = next.press("pinch", |fraction| Jaw {
            centre: [0.0, start + (end - start) * fraction + radius],
            radius,
            half_flat,
            touch: (half_flat > 0.0).then_some(0.5 * wire),
        })?;
        *self = next;
        Ok(loaded)
    }

    /// The released ring, each place bent by itself to one of `curvatures`, 1/mm, evenly from the
    /// middle of the side to the tip, and released again: as jaws and fingers do that shape the wire
    /// place by place. Where the places then lie is not followed; jaws that hold the ring are released
    /// first.
    ///
    /// # Errors
    /// [`RodError::OutOfRange`] where there is not one curvature for each place, and as
    /// [`RingRod::release`].
    pub fn bend_each(&mut self, curvatures: &[f64]) -> Result<BentPlaces, RodError> {
        let count = self.places();
        in_range("curvatures", curvatures.len() as f64, count as f64, count as f64)?;
        self.release()?;
        let quarter = &mut self.quarter;
        let mut kept = Vec::with_capacity(count);
        for (section, &curvature) in quarter.sections.iter_mut().zip(curvatures) {
            quarter.layers.settle(section, curvature);
            kept.push(quarter.layers.release(section));
        }
        let plastic = |section| quarter.layers.plastic_strain(section);
        Ok(BentPlaces {
            residual_curvatures: kept,
            plastic_strains: quarter.sections.iter().map(plastic).collect(),
        })
    }

    /// Curvature to bend a place to, 1/mm, so that `kept` is left of it after releasing; none where
    /// that is past the wire's own radius.
    ///
    /// # Panics
    /// Where there is no such place.
    pub fn bend_to_leave(&self, place: usize, kept: f64) -> Option<f64> {
        let (layers, section) = (&self.quarter.layers, &self.quarter.sections[place]);
        let left = |bent: f64| {
            let mut tried = section.clone();
            layers.settle(&mut tried, bent);
            layers.release(&mut tried)
        };
        let now = layers.release(&mut section.clone());
        let way = if kept >= now { 1.0 } else { -1.0 };
        let furthest = way / self.section.radius();
        let bracket = Bracket { low: kept.min(furthest), high: kept.max(furthest) };
        root_in(bracket, |bent| left(bent) - kept)
    }

    /// Takes all stress out of wire that was bent place by place, as it is.
    pub fn anneal_each(&mut self, curvatures: &[f64]) {
        let layers = &self.quarter.layers;
        self.quarter.sections = curvatures.iter().map(|k| layers.annealed(*k)).collect();
    }

    /// Places along a quarter at which curvature and strain are known.
    pub fn places(&self) -> usize {
        self.quarter.places.len()
    }

    /// Moves a jaw from where it touches to where it ends, as finely as it takes.
    fn press(
        &mut self,
        step: &'static str,
        jaw_at: impl Fn(f64) -> Jaw,
    ) -> Result<LoadedRod, RodError> {
        let (mut done, mut size) = (0.0_f64, 1.0 / MOVES);
        let least = size * 0.5_f64.powi(HALVINGS);
        let mut easy = 0;
        // What the last move did to each node: the next starts by doing as much again.
        let mut trend: Option<(Vec<Point2>, f64)> = None;
        while done < 1.0 {
            let next = (done + size).min(1.0);
            let jaw = jaw_at(next);
            let before = self.quarter.places.clone();
            if let Some((moved, fraction)) = &trend {
                let again = (next - done) / fraction;
                for (place, by) in self.quarter.places.iter_mut().zip(moved) {
                    *place = [place[0] + again * by[0], place[1] + again * by[1]];
                }
            }
            match self.quarter.find_balance(&Action::Jaw(jaw)) {
                Ok(()) => {
                    self.quarter.settle();
                    self.loading = Some(jaw);
                    let now = self.quarter.places.iter().zip(&before);
                    let moved = now.map(|(a, b)| [a[0] - b[0], a[1] - b[1]]).collect();
                    trend = Some((moved, next - done));
                    done = next;
                    easy += 1;
                    if easy > 3 && size < 1.0 / MOVES {
                        (size, easy) = (2.0 * size, 0);
                    }
                }
                Err(left) => {
                    self.quarter.places = before;
                    trend = None;
                    (size, easy) = (0.5 * size, 0);
                    if size < least {
                        return Err(RodError::NotSettled { step, fraction: 100.0 * done, left });
                    }
                }
            }
        }
        let forces = self.quarter.forces(&jaw_at(1.0));
        let total = forces.iter().fold([0.0; 2], |sum, f| [sum[0] + f[0], sum[1] + f[1]]);
        // The quarter feels half of a jaw on a mirror line, pushed along that line.
        let along = if jaw_at(1.0).centre[0] > 0.0 { total[0] } else { total[1] };
        Ok(LoadedRod {
            shape: self.shape(),
            jaw_force: 2.0 * along.abs(),
            axial_stress: self.quarter.greatest_pull() / self.section.area(),
        })
    }

    /// Releases the ring from the jaws: it springs back. Nothing happens if none hold it.
    ///
    /// # Errors
    /// [`RodError::NotSettled`]; the ring is then left as it was.
    pub fn release(&mut self) -> Result<RodShape, RodError> {
        if let Some(jaw) = self.loading {
            let mut next = self.quarter.clone();
            let forces = next.forces(&jaw);
            let (mut load, mut size) = (1.0_f64, 1.0 / RELEASES);
            let least = size * 0.5_f64.powi(HALVINGS);
            while load > 0.0 {
                let fraction = if load - size < 0.5 * least { 0.0 } else { load - size };
                let left = forces.iter().map(|f| [f[0] * fraction, f[1] * fraction]).collect();
                let before = next.places.clone();
                match next.find_balance(&Action::Forces(left)) {
                    Ok(()) => {
                        next.settle();
                        load = fraction;
                    }
                    Err(left) => {
                        next.places = before;
                        size *= 0.5;
                        if size < least {
                            let fraction = 100.0 * (1.0 - load);
                            return Err(RodError::NotSettled { step: "release", fraction, left });
                        }
                    }
                }
            }
            self.quarter = next;
            self.loading = None;
        }
        Ok(self.shape())
    }

    /// The present shape.
    pub fn shape(&self) -> RodShape {
        let quarter = &self.quarter;
        let wire = self.section.diameter();
        let points = quarter.places.clone();
        let highest = points.iter().map(|p| p[1]).fold(0.0, f64::max);
        let length: f64 = points
            .windows(2)
            .map(|pair| (pair[1][0] - pair[0][0]).hypot(pair[1][1] - pair[0][1]))
            .sum();
        let strain = |section| quarter.layers.outer_strain(section);
        let plastic = |section| quarter.layers.plastic_strain(section);
        RodShape {
            inside_length: 2.0 * points[points.len() - 1][0] - wire,
            width: 2.0 * highest,
            waist_gap: 2.0 * points[0][1] - wire,
            length: 4.0 * length,
            curvatures: quarter.curvatures(),
            outer_strains: quarter.sections.iter().map(strain).collect(),
            plastic_strains: quarter.sections.iter().map(plastic).collect(),
            points,
        }
    }
}

fn in_range(field: &'static str, value: f64, least: f64, most: f64) -> Result<(), RodError> {
    let fits = value >= least && value <= most;
    fits.then_some(()).ok_or(RodError::OutOfRange { field, value, least, most })
}
