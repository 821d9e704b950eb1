//! A box of relative poses, and how far a turned point strays over it.
//!
//! *Rotations.* A rotation is a unit quaternion, up to its sign, and one of the four parts of that is
//! the largest: it is `q / |q|` with `q = 1 + c`, `|c_k| ≤ 1`, after none or a half turn about x, y
//! or z. A box of rotations is one of these four charts and a box of `c`.
//!
//! *A turned point.* With `δ` the way from the middle `c` and `e = |δ|/|q|`, the quaternion from the
//! middle's rotation `R₀` to another `R` is `1 + s + w`, `w = (δ − δ×c)/|q|²`, `s = δ·c/|q|²`,
//! `s² + w² = e²`. Half the angle between them has the sine `e` at the most, so that
//! `|R b − R₀ b| ≤ 2 e |b|`. And since `R = R₀ + [2 (1+s) w× + 2 w×w×]/((1+s)² + w²) R₀`,
//!
//! ```text
//! |R b − R₀ b − 2 w×R₀ b| ≤ |b| [2 e (|s| (1+|s|) + e²) + 2 e²] / (1−|s|)²
//! ```

use crate::geometry::curve::{Pose, Vector};
use nalgebra::{Matrix3, Quaternion, Translation3, UnitQuaternion};

/// A box of poses: that of the translation, mm, is where the incoming link's waist has its middle.
#[derive(Clone, Debug)]
pub struct PoseBox {
    /// The middle of the translations, mm.
    pub place: Vector,
    /// Half their extent along each axis, mm.
    pub half_place: Vector,
    /// Which half turn comes first: none, or about x, y, z.
    pub chart: usize,
    /// The middle of `c`.
    pub turn: Vector,
    /// Half its extent along each axis.
    pub half_turn: Vector,
}

/// What is asked of a box's rotations again and again.
pub struct TurnBounds {
    /// The middle rotation, after the chart's half turn.
    pub rotation: Matrix3<f64>,
    /// The rotation vector `2 w` that half the extent of each part of `c` comes to.
    pub turns: [Vector; 3],
    /// No point moves by more than this times its distance from the origin.
    pub most: f64,
    /// Nor, but for the sum of [`TurnBounds::turns`], by more than this.
    pub beyond: f64,
}

/// The half turn of a chart.
pub fn half_turn(chart: usize) -> UnitQuaternion<f64> {
    let part = |k: usize| if k == chart { 1.0 } else { 0.0 };
    UnitQuaternion::new_unchecked(Quaternion::new(part(0), part(1), part(2), part(3)))
}

impl PoseBox {
    /// `1 + c` of the middle.
    pub fn quaternion(&self) -> Quaternion<f64> {
        Quaternion::new(1.0, self.turn.x, self.turn.y, self.turn.z)
    }

    /// The pose in the middle.
    pub fn middle(&self) -> Pose {
        let turn = UnitQuaternion::from_quaternion(self.quaternion()) * half_turn(self.chart);
        Pose::from_parts(Translation3::from(self.place), turn)
    }

    /// Half the extents: the translation's, then those of `c`.
    pub fn halves(&self) -> [f64; 6] {
        let (place, turn) = (&self.half_place, &self.half_turn);
        [place.x, place.y, place.z, turn.x, turn.y, turn.z]
    }

    /// What the rotations of the box do to points.
    pub fn turn_bounds(&self) -> TurnBounds {
        let quaternion = self.quaternion();
        let square = quaternion.norm_squared();
        let turned = |k: usize| {
            let mut part = Vector::zeros();
            part[k] = 1.0;
            2.0 * self.half_turn[k] / square * (part - part.cross(&self.turn))
        };
        let e = self.half_turn.norm() / square.sqrt();
        let s = self.half_turn.dot(&self.turn.abs()) / square;
        let beyond = if s < 0.9 && e < 1.0 {
            (2.0 * e * (s * (1.0 + s) + e * e) + 2.0 * e * e) / ((1.0 - s) * (1.0 - s))
        } else {
            f64::INFINITY
        };
        TurnBounds {
            rotation: *UnitQuaternion::from_quaternion(quaternion).to_rotation_matrix().matrix(),
            turns: [turned(0), turned(1), turned(2)],
            most: (2.0 * e).min(2.0),
            beyond,
        }
    }

    /// Whether no pose of the box has the incoming link's tips on the upper side of its waist.
    pub fn is_upside_down(&self) -> bool {
        let squares = |k: usize| {
            let (middle, half) = (self.turn[k].abs(), self.half_turn[k]);
            ((middle - half).max(0.0).powi(2), (middle + half).powi(2))
        };
        let (x, y, z) = (squares(0), squares(1), squares(2));
        // The height of the turned z-axis, times |q|²; the half turns about x and y turn it over.
        if self.chart == 0 || self.chart == 3 {
            1.0 + z.1 - x.0 - y.0 < 0.0
        } else {
            1.0 + z.0 - x.1 - y.1 > 0.0
        }
    }

    /// The two halves across part `k` of [`PoseBox::halves`].
    pub fn split(&self, k: usize) -> [PoseBox; 2] {
        [-0.5, 0.5].map(|side| {
            let mut part = self.clone();
            let (middle, half) = if k < 3 {
                (&mut part.place[k], &mut part.half_place[k])
            } else {
                (&mut part.turn[k - 3], &mut part.half_turn[k - 3])
            };
            *middle += side * *half;
            *half *= 0.5;
            part
        })
    }
}

impl TurnBounds {
    /// How far a point strays along each axis by the sum of [`TurnBounds::turns`] at the most; its
    /// place in the middle is `turned`.
    pub fn even(&self, turned: &Vector) -> Vector {
        self.turns.iter().fold(Vector::zeros(), |sum, w| sum + w.cross(turned).abs())
    }

    /// How far it strays along each axis in all, `length` from the origin.
    pub fn stray(&self, turned: &Vector, length: f64) -> Vector {
        self.even(turned).add_scalar(self.beyond * length)
    }
}

#[cfg(test)]
pub mod tests {
    use super::*;
    use crate::math::Rng;

    /// A box by chance, of any size, and a pose of it by chance.
    pub fn any_box(rng: &mut Rng, size: f64) -> PoseBox {
        let mut any = || 2.0 * rng.next_f64() - 1.0;
        let place = Vector::from_fn(|_, _| 2.0 * any());
        let turn = Vector::from_fn(|_, _| any());
        let half_place = Vector::from_fn(|_, _| size * (0.5 + 0.5 * any()));
        let half_turn = Vector::from_fn(|_, _| size * (0.5 + 0.5 * any()));
        let chart = (2.0 * any() + 2.0) as usize;
        PoseBox { place, half_place, chart: chart.min(3), turn, half_turn }
    }

    /// A pose of `cell` by chance, corners among them.
    pub fn pose_in(cell: &PoseBox, rng: &mut Rng) -> Pose {
        let corner = rng.next_f64() < 0.5;
        let mut any = || {
            let share = 2.0 * rng.next_f64() - 1.0;
            if corner { share.signum() } else { share }
        };
        let mut pose = cell.clone();
        for k in 0..3 {
            pose.place[k] += any() * cell.half_place[k];
            pose.turn[k] += any() * cell.half_turn[k];
        }
        pose.middle()
    }

    #[test]
    fn no_point_strays_further_than_is_said() {
        let mut rng = Rng::new(5);
        let mut nearest: f64 = 0.0;
        for i in 0..4000 {
            let cell = any_box(&mut rng, [0.02, 0.1, 0.3, 0.8][i % 4]);
            let bounds = cell.turn_bounds();
            let point = Vector::from_fn(|_, _| 6.0 * rng.next_f64() - 3.0);
            let own = half_turn(cell.chart) * point;
            let at = bounds.rotation * own;
            for _ in 0..4 {
                let turned = pose_in(&cell, &mut rng).rotation * point;
                let strayed = turned - at;
                let stray = bounds.stray(&at, own.norm());
                assert!((0..3).all(|k| strayed[k].abs() <= stray[k] + 1e-12), "{cell:?}");
                assert!(strayed.norm() <= bounds.most * own.norm() + 1e-12, "{cell:?}");
                nearest = nearest.max(strayed.norm() / (bounds.most * own.norm()));
            }
        }
        assert!(nearest > 0.9, "a bound that says nothing: {nearest}");
    }

    /// Every rotation is in a chart, within its cube.
    #[test]
    fn the_four_charts_hold_every_rotation() {
        let mut rng = Rng::new(6);
        for _ in 0..1000 {
            let mut any = || 2.0 * rng.next_f64() - 1.0;
            let wanted = UnitQuaternion::new_normalize(Quaternion::new(any(), any(), any(), any()));
            let held = (0..4).any(|chart| {
                let q = (wanted * half_turn(chart).inverse()).into_inner();
                let turn = q.imag() / q.w;
                let cell = PoseBox {
                    place: Vector::zeros(),
                    half_place: Vector::zeros(),
                    chart,
                    turn,
                    half_turn: Vector::zeros(),
                };
                let same = cell.middle().rotation.angle_to(&wanted) < 1e-7;
                let up = (wanted * Vector::z()).z;
                assert!(!same || up.abs() < 1e-9 || cell.is_upside_down() == (up < 0.0));
                same && turn.amax() <= 1.0
            });
            assert!(held, "{wanted}");
        }
    }
}
