//! A chain hung between two points, or round a form, under its own weight.
//!
//! Model: links are rigid, hinged where they hang in one another, each weighing half at both
//! its ends. A joint bends freely up to its limit, an ellipse of the swings about x and y; it
//! twists up to its own. No friction.
//! Method: implicit Euler steps, each the minimum of an energy found by Newton's method with a
//! banded system, so the cost grows linearly with the links. Lengths, limits and the form are
//! kept by multipliers (augmented Lagrangian), which are exact once the chain is at rest.
//! Limits: a link's roll about its own length weighs nothing; it follows the joints, towards
//! their easier way where they are at their limit, as far as twist lets it.
//! Source: Nocedal & Wright, *Numerical Optimization*, 2nd ed., ch. 17 (multipliers; from
//! memory); the gradients are derived beside the code.
//! Evidence: `tests/drape.rs` (catenary, balance of forces, pull against height).

mod energy;
mod form;
mod link;
mod roll;
mod taper;
mod worn;

pub use form::DrapeForm;
pub use link::DrapeLink;
pub use taper::{Sizes, taper};
pub use worn::{Worn, WornPlacement};

use crate::geometry::curve::{Point, Pose, Vector};
use crate::math::units::Mm;
use energy::{Energy, Multipliers};
use nalgebra::{Matrix3, Rotation3, Translation3, UnitQuaternion};

/// Links in one drape.
pub const MOST_LINKS: usize = 400;

/// Why a chain cannot be hung so.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum DrapeError {
    /// The ends are further apart than the chain is long.
    #[error(
        "the ends are {apart} apart, and the chain is only {length} long; hang it closer or add links"
    )]
    TooShort {
        /// Between the two ends.
        apart: Mm,
        /// All pitches together.
        length: Mm,
    },
    /// Too few or too many links.
    #[error("{count} links: a drape takes from 2 to {MOST_LINKS}")]
    Count {
        /// Links asked for.
        count: usize,
    },
    /// A value that is no length, weight or angle.
    #[error("{field} must be a number above {least}")]
    Value {
        /// Name of the quantity.
        field: &'static str,
        /// What it has to be above.
        least: f64,
    },
}

/// A chain on its way to rest.
#[derive(Clone, Debug)]
pub struct Drape {
    links: Vec<DrapeLink>,
    /// Where links hang, first end to last: one more than links.
    nodes: Vec<Point>,
    speeds: Vec<Vector>,
    /// Each link's x axis.
    sides: Vec<Vector>,
    energy: Energy,
    multipliers: Multipliers,
}

impl Drape {
    /// Lays the links in a round arc from one end to the other, its middle towards `lay`;
    /// [`Drape::settle`] or [`Drape::step`] lets it hang.
    ///
    /// # Errors
    /// [`DrapeError`] where the chain does not reach, or a value is none.
    pub fn new(
        links: Vec<DrapeLink>,
        ends: [Point; 2],
        lay: Vector,
        form: Option<DrapeForm>,
    ) -> Result<Drape, DrapeError> {
        let count = links.len();
        if !(2..=MOST_LINKS).contains(&count) {
            return Err(DrapeError::Count { count });
        }
        let above = |value: f64, least: f64| value > least && value < 1e9;
        for link in &links {
            let checks = [
                ("pitch_mm", above(link.pitch, 0.0)),
                ("weight", above(link.weight, 0.0)),
                ("half_thickness_mm", above(link.half_thickness, -1e-12)),
                ("limits", link.limits.iter().all(|limit| above(*limit, -1e-12))),
            ];
            if let Some((field, _)) = checks.into_iter().find(|(_, good)| !good) {
                return Err(DrapeError::Value { field, least: 0.0 });
            }
        }
        let finite = |v: &Vector| v.iter().all(|x| x.abs() < 1e9);
        if !(ends.iter().all(|e| finite(&e.coords)) && finite(&lay)) {
            return Err(DrapeError::Value { field: "ends", least: -1e9 });
        }
        let length: f64 = links.iter().map(|link| link.pitch).sum();
        let apart = (ends[1] - ends[0]).norm();
        if !(apart <= length) {
            return Err(DrapeError::TooShort { apart: Mm::new(apart), length: Mm::new(length) });
        }
        let (nodes, normal) = arc(&links, ends, lay);
        let sides = roll::laid(&links, &nodes, normal);
        let energy = Energy::new(&links, form);
        let multipliers = Multipliers::new(count);
        let speeds = vec![Vector::zeros(); count + 1];
        Ok(Drape { links, nodes, speeds, sides, energy, multipliers })
    }

    /// Lets `seconds` pass; at most a tenth of a second at once keeps it lively.
    pub fn step(&mut self, seconds: f64) {
        if seconds > 0.0 {
            self.advance(seconds.clamp(1e-4, 10.0), 0.995);
        }
    }

    /// Lets it hang until nothing moves, in ever longer steps; whether it came to rest within
    /// `steps`.
    ///
    /// # Examples
    /// ```
    /// use linkfold::geometry::curve::{Point, Vector};
    /// use linkfold::motion::drape::{Drape, DrapeLink};
    /// let link = DrapeLink { pitch: 5.0, weight: 1.0, half_thickness: 1.0, limits: [1.5; 3] };
    /// let ends = [Point::new(-60.0, 0.0, 0.0), Point::new(60.0, 0.0, 0.0)];
    /// let mut drape = Drape::new(vec![link; 40], ends, -Vector::z(), None)?;
    /// drape.settle(2000);
    /// let lowest = drape.nodes().iter().map(|node| node.z).fold(0.0, f64::min);
    /// assert!(lowest < -60.0); // 200 mm of chain hung over 120 mm
    /// # Ok::<(), linkfold::motion::drape::DrapeError>(())
    /// ```
    pub fn settle(&mut self, steps: usize) -> bool {
        let mut seconds = 0.02;
        for _ in 0..steps {
            let moved = self.advance(seconds, 0.5);
            let off =
                self.energy.worst_error(&self.nodes, &self.links, &self.sides, &self.multipliers);
            if moved < 1e-6 * self.energy.scale && off < 1e-7 {
                self.speeds.fill(Vector::zeros());
                return true;
            }
            seconds = (1.25 * seconds).min(3.0);
        }
        false
    }

    /// One step; the furthest any place moved, mm.
    fn advance(&mut self, seconds: f64, keep: f64) -> f64 {
        let before = self.nodes.clone();
        let aim: Vec<Point> =
            before.iter().zip(&self.speeds).map(|(p, v)| p + seconds * keep * v).collect();
        self.energy.settle_step(
            &mut self.nodes,
            &aim,
            seconds,
            &self.links,
            &self.sides,
            &mut self.multipliers,
        );
        let mut furthest = 0.0_f64;
        for ((speed, now), then) in self.speeds.iter_mut().zip(&self.nodes).zip(&before) {
            furthest = furthest.max((now - then).norm());
            *speed = (now - then) / seconds;
        }
        let at_limit: Vec<bool> = self.multipliers.bend.iter().map(|pull| *pull > 0.0).collect();
        roll::follow(&self.links, &before, &self.nodes, &mut self.sides, &at_limit, seconds);
        furthest
    }

    /// Pulls the place between links `node − 1` and `node` towards `place`; `None` releases.
    pub fn pull(&mut self, held: Option<(usize, Point)>) {
        self.energy.held = held.filter(|(node, place)| {
            (1..self.links.len()).contains(node) && place.iter().all(|x| x.abs() < 1e9)
        });
    }

    /// Where links hang, first end to last, mm.
    pub fn nodes(&self) -> &[Point] {
        &self.nodes
    }

    /// Where each link lies: its own axes, fold at the origin, to the drape's.
    pub fn poses(&self) -> Vec<Pose> {
        let ways = self.nodes.windows(2).map(|pair| (pair[1] - pair[0]).normalize());
        let placed = ways.zip(&self.sides).zip(&self.nodes);
        placed
            .map(|((along, side), place)| {
                let axes = Matrix3::from_columns(&[*side, along.cross(side), along]);
                let turn = UnitQuaternion::from(Rotation3::from_matrix_unchecked(axes));
                Pose::from_parts(Translation3::from(place.coords), turn)
            })
            .collect()
    }

    /// How far the lowest place hangs below the line between the ends, mm.
    pub fn depth(&self) -> f64 {
        let (first, last) = (self.nodes[0], self.nodes[self.links.len()]);
        let chord = last - first;
        let level = chord.xy();
        let below = |p: &Point| {
            let along = (p - first).xy().dot(&level) / level.norm_squared().max(1e-300);
            first.z + along.clamp(0.0, 1.0) * chord.z - p.z
        };
        self.nodes.iter().map(below).fold(0.0, f64::max)
    }

    /// Pull along each link, as a share of the whole chain's weight.
    pub fn pulls(&self) -> Vec<f64> {
        self.multipliers.stretch.iter().map(|pull| pull / self.energy.weight).collect()
    }

    /// Joints bent to their limit: a joint j lies between links j − 1 and j.
    pub fn at_limit(&self) -> Vec<usize> {
        let bent =
            |j: &usize| self.multipliers.bend[*j] > 1e-9 * self.energy.weight * self.energy.scale;
        (1..self.links.len()).filter(bent).collect()
    }

    /// Joints bent past their limit by more than half a degree: the chain is too stiff to
    /// hang so.
    pub fn forced(&self) -> Vec<usize> {
        let past = |j: &usize| {
            energy::bend(&self.nodes, &self.links, &self.sides, *j)
                .is_some_and(|bend| bend.angle - bend.limit > 0.5_f64.to_radians())
        };
        (1..self.links.len()).filter(past).collect()
    }

    /// Bend at a joint and its limit there, radians.
    pub fn bend(&self, joint: usize) -> Option<[f64; 2]> {
        if !(1..self.links.len()).contains(&joint) {
            return None;
        }
        energy::bend(&self.nodes, &self.links, &self.sides, joint)
            .map(|bend| [bend.angle, bend.limit])
    }
}

/// Places along a round arc with the links' lengths as chords, nearly; and the normal of its
/// plane. Lengths are put right by the first steps.
fn arc(links: &[DrapeLink], ends: [Point; 2], lay: Vector) -> (Vec<Point>, Vector) {
    let length: f64 = links.iter().map(|link| link.pitch).sum();
    let chord = ends[1] - ends[0];
    let span = chord.norm();
    let lay = lay.try_normalize(1e-12).unwrap_or_else(|| -Vector::z());
    let any = if lay.x.abs() < 0.9 { Vector::x() } else { Vector::y() };
    let along = chord.try_normalize(1e-9 * length).unwrap_or_else(|| lay.cross(&any).normalize());
    let down = (lay - lay.dot(&along) * along).try_normalize(1e-9).unwrap_or_else(|| {
        let any = if along.x.abs() < 0.9 { Vector::x() } else { Vector::y() };
        along.cross(&any).normalize()
    });
    // Half the arc's angle: sin α / α = span / length.
    let (mut low, mut high) = (1e-6, std::f64::consts::PI);
    for _ in 0..60 {
        let half: f64 = 0.5 * (low + high);
        if half.sin() / half > span / length { low = half } else { high = half }
    }
    let half = 0.5 * (low + high);
    let radius = 0.5 * length / half;
    let middle = nalgebra::center(&ends[0], &ends[1]);
    let mut walked = 0.0;
    let mut nodes = vec![ends[0]];
    for link in &links[..links.len() - 1] {
        walked += link.pitch;
        let angle = half * (2.0 * walked / length - 1.0);
        let aside = radius * angle.sin();
        let drop = radius * (angle.cos() - half.cos());
        nodes.push(middle + aside * along + drop * down);
    }
    nodes.push(ends[1]);
    (nodes, along.cross(&down))
}
