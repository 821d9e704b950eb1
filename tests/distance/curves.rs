//! Closed curves to measure, and poses to put them in; the same every run.

use linkfold::geometry::curve::{
    Arc, ClosedCurve, CurveError, Piece, Point, Pose, Straight, Vector,
};
use nalgebra::{Translation3, Unit, UnitQuaternion};
use std::f64::consts::{PI, TAU};

/// Numbers that look random and are the same every run.
/// Source: Steele, Lea & Flood, *Fast splittable pseudorandom number generators*,
/// OOPSLA 2014; the constants are held to published numbers in `src/math/rng.rs`.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Dice {
        Dice(seed)
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        low + (high - low) * (z >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn direction(&mut self) -> Unit<Vector> {
        loop {
            let v = Vector::from_fn(|_, _| self.between(-1.0, 1.0));
            if v.norm() > 0.1 && v.norm() < 1.0 {
                return Unit::new_normalize(v);
            }
        }
    }

    pub fn pose(&mut self, spread: f64) -> Pose {
        let turn = UnitQuaternion::from_axis_angle(&self.direction(), self.between(-PI, PI));
        let shift = Vector::from_fn(|_, _| self.between(-spread, spread));
        Pose::from_parts(Translation3::from(shift), turn)
    }
}

/// One full circle of one piece.
pub fn circle(centre: Point, normal: Vector, radius: f64) -> ClosedCurve {
    let normal = Unit::new_normalize(normal);
    let other = if normal.x.abs() < 0.9 { Vector::x() } else { Vector::y() };
    let out = Unit::new_normalize(normal.cross(&other));
    let along = Unit::new_normalize(normal.cross(&out));
    let arc = Arc { centre, out, along, radius, turn: TAU };
    ClosedCurve::new(vec![Piece::Arc(arc)]).expect("a full turn closes")
}

/// An oval over two round jaws: two straights, two half circles, in the plane z = 0.
pub fn oval(radius: f64, straight: f64) -> ClosedCurve {
    let half = 0.5 * straight;
    let line = |x: f64, y: f64, direction| {
        Piece::Straight(Straight { start: Point::new(x, y, 0.0), direction, length: straight })
    };
    let end = |x: f64, out: Unit<Vector>, along| {
        let centre = Point::new(x, 0.0, 0.0);
        Piece::Arc(Arc { centre, out, along, radius, turn: PI })
    };
    let (x, y) = (Vector::x_axis(), Vector::y_axis());
    ClosedCurve::new(vec![
        line(-half, -radius, x),
        end(half, -y, x),
        line(half, radius, -x),
        end(-half, y, -x),
    ])
    .expect("an oval closes")
}

/// A closed curve of `2 count` arcs through `count` places of `place`, t from 0 to 2π.
pub fn through(count: usize, place: impl Fn(f64) -> Point) -> ClosedCurve {
    smooth_through(count, place).expect("arcs meet smoothly")
}

/// The same; refused where an arc is so nearly straight that its far centre rounds its ends.
fn smooth_through(count: usize, place: impl Fn(f64) -> Point) -> Result<ClosedCurve, CurveError> {
    let at = |i: usize| {
        let t = TAU * (i % count) as f64 / count as f64;
        let ahead = place(t + 1e-4) - place(t - 1e-4);
        (place(t), Unit::new_normalize(ahead))
    };
    let mut pieces = Vec::new();
    for i in 0..count {
        let ((start, leaving), (end, arriving)) = (at(i), at(i + 1));
        // Two arcs of equal tangent length d meet halfway between the two tangent points:
        // |v|² − 2 d v·(T₀ + T₁) − 2 d² (1 − T₀·T₁) = 0.
        let v = end - start;
        let forward = v.dot(&(leaving.into_inner() + arriving.into_inner()));
        let bend = 1.0 - leaving.dot(&arriving);
        let d = v.norm_squared()
            / (forward + (forward * forward + 2.0 * bend * v.norm_squared()).sqrt());
        let joint = nalgebra::center(&(start + d * *leaving), &(end - d * *arriving));
        pieces.push(Piece::leaving(start, leaving, joint).expect("the joint lies ahead"));
        let back = Piece::leaving(end, -arriving, joint).expect("the joint lies behind");
        pieces.push(back.reversed());
    }
    ClosedCurve::new(pieces)
}

/// A pinched ring: Cassini's oval, long axis x, half-length `reach`; `pinch` from 1.02 (a
/// narrow waist) to 1.4 (hardly pinched).
fn pinched(reach: f64, pinch: f64, t: f64) -> (f64, f64) {
    let scale = reach / (1.0 + pinch * pinch).sqrt();
    let root = (pinch.powi(4) - (2.0 * t).sin().powi(2)).sqrt();
    let radius = scale * ((2.0 * t).cos() + root).sqrt();
    (radius * t.cos(), radius * t.sin())
}

/// A figure eight in the plane z = 0, of `2 count` arcs.
pub fn figure_eight(count: usize, reach: f64, pinch: f64) -> ClosedCurve {
    through(count, |t| {
        let (x, y) = pinched(reach, pinch, t);
        Point::new(x, y, 0.0)
    })
}

/// A figure eight wrapped on a cylinder of radius `round` about y, each half by the angle
/// `fold`: legs up along z.
pub fn folded(count: usize, reach: f64, pinch: f64, round: f64, fold: f64) -> ClosedCurve {
    through(count, |t| {
        let (u, y) = pinched(reach, pinch, t);
        let wrapped = u.abs().min(round * fold);
        let beyond = u.abs() - wrapped;
        let angle = wrapped / round;
        let x = round * angle.sin() + beyond * angle.cos();
        let z = round * (1.0 - angle.cos()) + beyond * angle.sin();
        Point::new(x * u.signum(), y, z)
    })
}

/// A loop in space without any symmetry, a few mm across: the first drawn that closes to rounding.
pub fn tangle(dice: &mut Dice, count: usize) -> ClosedCurve {
    loop {
        if let Ok(curve) = drawn(dice, count) {
            return curve;
        }
    }
}

fn drawn(dice: &mut Dice, count: usize) -> Result<ClosedCurve, CurveError> {
    let waves: Vec<(Vector, Vector)> = (1..=3)
        .map(|k| {
            let size = 3.0 / (k * k) as f64;
            (size * dice.direction().into_inner(), size * dice.direction().into_inner())
        })
        .collect();
    smooth_through(count, |t| {
        let at = waves.iter().enumerate().map(|(k, (c, s))| {
            let t = (k + 1) as f64 * t;
            c * t.cos() + s * t.sin()
        });
        Point::from(at.sum::<Vector>())
    })
}

/// A curve of any of the kinds above.
pub fn any_curve(dice: &mut Dice) -> ClosedCurve {
    let size = dice.between(0.6, 1.4);
    match dice.between(0.0, 5.0) as usize {
        0 => circle(Point::origin(), dice.direction().into_inner(), 2.0 * size),
        1 => oval(size, dice.between(0.5, 5.0)),
        2 => figure_eight(12, 6.0 * size, dice.between(1.05, 1.4)),
        3 => folded(24, 7.0 * size, dice.between(1.03, 1.2), 1.7, dice.between(1.2, 1.8)),
        _ => tangle(dice, 14),
    }
}

/// Two folded links of one chain, the second's waist through the first's lobes; the wire
/// may be half a millimetre. `count` pairs of arcs each. For the benches.
#[allow(dead_code, reason = "shared with the benches, which use only this")]
pub fn chain_pair(count: usize) -> (ClosedCurve, Pose) {
    let link = folded(count, 8.0, 1.01, 2.1, 1.8);
    (link, Pose::translation(0.05, 0.02, 3.3))
}
