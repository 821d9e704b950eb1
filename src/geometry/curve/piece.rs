//! One arc of a circle or one straight: the two things a centreline is made of.

use super::{Point, Pose, Vector};
use nalgebra::Unit;

/// A straight run of wire.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Straight {
    /// Where it starts, mm.
    pub start: Point,
    /// Which way it runs.
    pub direction: Unit<Vector>,
    /// mm, not negative.
    pub length: f64,
}

/// A circular arc of wire: `centre + radius (cos t · out + sin t · along)` for t from 0 to `turn`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arc {
    /// Centre of the circle, mm.
    pub centre: Point,
    /// From the centre to the arc's start.
    pub out: Unit<Vector>,
    /// Tangent at the arc's start; at right angles to `out`.
    pub along: Unit<Vector>,
    /// mm, above zero.
    pub radius: f64,
    /// Radians, from 0 to 2π.
    pub turn: f64,
}

/// An arc or a straight, run through from its start at unit speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Piece {
    /// A straight.
    Straight(Straight),
    /// An arc.
    Arc(Arc),
}

impl Arc {
    /// Point at angle `t` radians from the start, mm.
    pub fn at_angle(&self, t: f64) -> Point {
        let (sin, cos) = t.sin_cos();
        self.centre + self.radius * (cos * self.out.into_inner() + sin * self.along.into_inner())
    }

    /// Unit normal of the arc's plane, right-handed with the way it runs.
    pub fn axis(&self) -> Vector {
        self.out.cross(&self.along)
    }
}

impl Piece {
    /// The arc that leaves `start` along `direction` and ends at `end`; a straight where
    /// the three lie in line to within rounding, `None` where `end` is `start` or lies
    /// straight behind it.
    ///
    /// # Examples
    /// ```
    /// use linkfold::geometry::curve::{Piece, Point, Vector};
    /// let quarter = Piece::leaving(Point::origin(), Vector::x_axis(), Point::new(1.0, 1.0, 0.0)).unwrap();
    /// assert!((quarter.curvature() - 1.0).abs() < 1e-12);
    /// assert!((quarter.length() - std::f64::consts::FRAC_PI_2).abs() < 1e-12);
    /// ```
    pub fn leaving(start: Point, direction: Unit<Vector>, end: Point) -> Option<Piece> {
        let chord = end - start;
        let length = chord.norm();
        if length <= 0.0 {
            return None;
        }
        let forward = chord.dot(&direction);
        let aside = chord - forward * direction.into_inner();
        let off = aside.norm();
        // Below this the sagitta is lost in the rounding of the coordinates themselves.
        if off <= 1e-13 * length {
            return (forward > 0.0).then_some(Piece::Straight(Straight {
                start,
                direction,
                length,
            }));
        }
        // Where the arc is nearly straight, `aside` is a small difference of large vectors and
        // not quite square to `direction`; taking out what is left makes it so.
        let inward = aside / off;
        let inward = Unit::new_normalize(inward - inward.dot(&direction) * direction.into_inner());
        let half_turn = off.atan2(forward);
        let radius = length / (2.0 * half_turn.sin());
        Some(Piece::Arc(Arc {
            centre: start + radius * inward.into_inner(),
            out: -inward,
            along: direction,
            radius,
            turn: 2.0 * half_turn,
        }))
    }

    /// Length along the wire, mm.
    pub fn length(&self) -> f64 {
        match self {
            Piece::Straight(s) => s.length,
            Piece::Arc(a) => a.radius * a.turn,
        }
    }

    /// Curvature, 1/mm; zero for a straight.
    pub fn curvature(&self) -> f64 {
        match self {
            Piece::Straight(_) => 0.0,
            Piece::Arc(a) => 1.0 / a.radius,
        }
    }

    /// Point at arc length `s` mm from the start.
    pub fn point(&self, s: f64) -> Point {
        match self {
            Piece::Straight(line) => line.start + s * line.direction.into_inner(),
            Piece::Arc(a) => a.at_angle(s / a.radius),
        }
    }

    /// Unit tangent at arc length `s` mm from the start.
    pub fn tangent(&self, s: f64) -> Vector {
        match self {
            Piece::Straight(line) => line.direction.into_inner(),
            Piece::Arc(a) => {
                let (sin, cos) = (s / a.radius).sin_cos();
                cos * a.along.into_inner() - sin * a.out.into_inner()
            }
        }
    }

    /// First point, mm.
    pub fn start(&self) -> Point {
        match self {
            Piece::Straight(line) => line.start,
            Piece::Arc(a) => a.centre + a.radius * a.out.into_inner(),
        }
    }

    /// Last point, mm.
    pub fn end(&self) -> Point {
        self.point(self.length())
    }

    /// The part between the arc lengths `from` and `to`, mm from the start.
    ///
    /// # Examples
    /// ```
    /// use linkfold::geometry::curve::{Piece, Point, Straight, Vector};
    /// let wire = Piece::Straight(Straight { start: Point::origin(), direction: Vector::x_axis(), length: 5.0 });
    /// let part = wire.part(1.0, 3.0);
    /// assert_eq!(part.length(), 2.0);
    /// assert_eq!(part.start(), Point::new(1.0, 0.0, 0.0));
    /// ```
    pub fn part(&self, from: f64, to: f64) -> Piece {
        match self {
            Piece::Straight(line) => {
                Piece::Straight(Straight { start: self.point(from), length: to - from, ..*line })
            }
            Piece::Arc(a) => {
                let (sin, cos) = (from / a.radius).sin_cos();
                let (out, along) = (a.out.into_inner(), a.along.into_inner());
                Piece::Arc(Arc {
                    out: Unit::new_normalize(cos * out + sin * along),
                    along: Unit::new_normalize(cos * along - sin * out),
                    turn: (to - from) / a.radius,
                    ..*a
                })
            }
        }
    }

    /// The same piece run through from its end.
    pub fn reversed(&self) -> Piece {
        let length = self.length();
        let back = Unit::new_normalize(-self.tangent(length));
        match self {
            Piece::Straight(line) => {
                Piece::Straight(Straight { start: self.end(), direction: back, ..*line })
            }
            Piece::Arc(a) => {
                let out = Unit::new_normalize(self.end() - a.centre);
                Piece::Arc(Arc { out, along: back, ..*a })
            }
        }
    }

    /// The same piece moved rigidly.
    pub fn moved(&self, pose: &Pose) -> Piece {
        match self {
            Piece::Straight(line) => Piece::Straight(Straight {
                start: pose * line.start,
                direction: pose.rotation * line.direction,
                ..*line
            }),
            Piece::Arc(a) => Piece::Arc(Arc {
                centre: pose * a.centre,
                out: pose.rotation * a.out,
                along: pose.rotation * a.along,
                ..*a
            }),
        }
    }

    /// The same piece with each coordinate multiplied by ±1: a mirror image in the planes
    /// through the origin.
    pub fn mirrored(&self, signs: Vector) -> Piece {
        let flip = |v: Unit<Vector>| Unit::new_unchecked(v.component_mul(&signs));
        let point = |p: Point| Point::from(p.coords.component_mul(&signs));
        match self {
            Piece::Straight(line) => Piece::Straight(Straight {
                start: point(line.start),
                direction: flip(line.direction),
                ..*line
            }),
            Piece::Arc(a) => Piece::Arc(Arc {
                centre: point(a.centre),
                out: flip(a.out),
                along: flip(a.along),
                ..*a
            }),
        }
    }

    /// The same piece enlarged about the origin.
    pub fn scaled(&self, factor: f64) -> Piece {
        match self {
            Piece::Straight(line) => Piece::Straight(Straight {
                start: line.start * factor,
                length: line.length * factor,
                ..*line
            }),
            Piece::Arc(a) => {
                Piece::Arc(Arc { centre: a.centre * factor, radius: a.radius * factor, ..*a })
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn quarter() -> Piece {
        Piece::leaving(Point::origin(), Vector::x_axis(), Point::new(2.0, 2.0, 0.0)).unwrap()
    }

    #[test]
    fn the_arc_leaving_along_x_to_a_diagonal_point_is_a_quarter_circle() {
        let piece = quarter();
        assert_relative_eq!(piece.length(), std::f64::consts::PI, epsilon = 1e-14);
        assert_relative_eq!(piece.end(), Point::new(2.0, 2.0, 0.0), epsilon = 1e-14);
        assert_relative_eq!(piece.tangent(piece.length()), Vector::y(), epsilon = 1e-14);
    }

    /// A nearly straight arc once had its two directions 5e-14 off the right angle, which its
    /// radius of a hundred and more made into an error of the place.
    #[test]
    fn the_directions_of_a_nearly_straight_arc_stand_square() {
        let along = Unit::new_normalize(Vector::new(0.3, -0.7, 0.64));
        for off in [1e-2, 1e-4, 1e-6, 1e-9] {
            let end = Point::from(2.0 * along.into_inner() + off * Vector::new(0.9, 0.4, 0.1));
            let Some(Piece::Arc(arc)) = Piece::leaving(Point::origin(), along, end) else {
                panic!("{off} is no straight");
            };
            assert!(arc.out.dot(&arc.along).abs() < 4.0 * f64::EPSILON, "{off}: {arc:?}");
        }
    }

    #[test]
    fn parts_reversals_and_mirrors_keep_length_and_ends() {
        let piece = quarter();
        let part = piece.part(0.5, 2.0);
        assert_relative_eq!(part.length(), 1.5, epsilon = 1e-14);
        assert_relative_eq!(part.start(), piece.point(0.5), epsilon = 1e-14);
        assert_relative_eq!(part.end(), piece.point(2.0), epsilon = 1e-14);
        let back = piece.reversed();
        assert_relative_eq!(back.start(), piece.end(), epsilon = 1e-14);
        assert_relative_eq!(back.end(), piece.start(), epsilon = 1e-14);
        let mirror = piece.mirrored(Vector::new(1.0, -1.0, 1.0));
        assert_relative_eq!(mirror.end(), Point::new(2.0, -2.0, 0.0), epsilon = 1e-14);
    }

    #[test]
    fn a_point_straight_ahead_gives_a_straight_and_one_behind_gives_nothing() {
        let ahead = Piece::leaving(Point::origin(), Vector::x_axis(), Point::new(3.0, 0.0, 0.0));
        assert!(matches!(ahead, Some(Piece::Straight(_))));
        let behind = Piece::leaving(Point::origin(), Vector::x_axis(), Point::new(-3.0, 0.0, 0.0));
        assert_eq!(behind, None);
    }
}
