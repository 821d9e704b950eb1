//! The motion between two waypoints, and a bound on how far it carries any point of the wire.

use super::pose_search::{Twist, twist_between};
use crate::geometry::curve::{Point, Pose, Vector};
use crate::geometry::distance::EvenMotion;
use crate::geometry::link::Fold;
use nalgebra::Translation3;
use serde::{Deserialize, Serialize};

/// A phase of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Phase {
    /// The lobe is brought up and its tip comes into the first aperture.
    Enter,
    /// The widest place goes through both lobes, and the lobe follows.
    Pass,
    /// At the waist the link turns back by a quarter turn.
    TurnBack,
    /// The legs are swung up, folding the waist over what it hangs from.
    SwingUp,
    /// The leading lobe, pressed to be threaded, is opened again.
    Open,
    /// The tips are pinched shut.
    Close,
}

/// One pose on the way.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Waypoint {
    /// Incoming link's frame into the receiving link's.
    pub pose: Pose,
    /// Half angle of the incoming fold, radians.
    pub half_angle: f64,
    /// Bore of the incoming link's leading lobe, mm.
    pub leading_bore: f64,
    /// What is being done on the way here.
    pub phase: Phase,
    /// Clearance here, mm, metal to metal; never overstated.
    pub clearance: f64,
}

impl Waypoint {
    /// Shape there of `incoming`, closed as it will lie in the chain.
    pub fn shape(&self, incoming: &Fold) -> Fold {
        incoming.opened_to(self.half_angle).pressed_to(self.leading_bore)
    }
}

/// The motion from one waypoint to the next: the body point `centre` moves straight, the
/// body turns about it evenly, the fold opens or closes evenly.
pub struct PathSegment<'a> {
    from: &'a Waypoint,
    to: &'a Waypoint,
    centre: Point,
    start: Point,
    end: Point,
    /// Rotation vector from one to the other, receiving link's frame.
    turn: Vector,
}

impl<'a> PathSegment<'a> {
    /// Between two waypoints, turning about the body point that
    /// is at `pivot` (receiving frame) when it starts.
    pub fn new(from: &'a Waypoint, to: &'a Waypoint, pivot: &Point) -> PathSegment<'a> {
        let centre = from.pose.inverse_transform_point(pivot);
        let turn = from.pose.rotation.rotation_to(&to.pose.rotation).scaled_axis();
        PathSegment { from, to, centre, start: *pivot, end: to.pose * centre, turn }
    }

    /// Pose at the share `t` of the way.
    pub fn pose(&self, t: f64) -> Pose {
        let turn = self
            .from
            .pose
            .rotation
            .try_slerp(&self.to.pose.rotation, t, 1e-12)
            .unwrap_or(self.to.pose.rotation);
        let at = self.start + t * (self.end - self.start);
        Pose::from_parts(Translation3::from(at - turn * self.centre), turn)
    }

    /// The motion from `half` a stretch before the share `middle` of the way to as much after it, of a
    /// body whose frame is at `pose` half-way, the fold held.
    pub fn even(&self, middle: f64, half: f64, pose: Pose) -> EvenMotion {
        let way = self.end - self.start;
        EvenMotion {
            pose,
            centre: self.start + middle * way,
            shift: half * way,
            turn: half * self.turn,
        }
    }

    /// Waypoint at the share `t` of the way, its clearance yet unknown.
    pub fn waypoint(&self, t: f64) -> Waypoint {
        Waypoint {
            pose: self.pose(t),
            half_angle: self.half_angle(t),
            leading_bore: self.leading_bore(t),
            phase: self.to.phase,
            clearance: f64::NEG_INFINITY,
        }
    }

    /// Half angle of the fold at the share `t` of the way.
    pub fn half_angle(&self, t: f64) -> f64 {
        self.from.half_angle + t * (self.to.half_angle - self.from.half_angle)
    }

    /// Bore of the leading lobe at the fraction `t` of the way, mm.
    pub fn leading_bore(&self, t: f64) -> f64 {
        self.from.leading_bore + t * (self.to.leading_bore - self.from.leading_bore)
    }

    /// Shape of `incoming`, closed as it will lie in the chain, at the fraction `t` of the way.
    pub fn shape(&self, incoming: &Fold, t: f64) -> Fold {
        incoming.opened_to(self.half_angle(t)).pressed_to(self.leading_bore(t))
    }

    /// Its direction, as a unit twist about where the pivot is at its start; `lever` mm of
    /// motion count for a radian. None where the body hardly moves.
    pub fn direction(&self, lever: f64) -> Option<Twist> {
        let twist = twist_between(&self.from.pose, &self.to.pose, &self.start, lever);
        twist.try_normalize(1e-9)
    }

    /// Whether the fold stays as it is.
    pub fn is_rigid(&self) -> bool {
        self.from.half_angle == self.to.half_angle && !self.opens_lobe()
    }

    /// Whether the leading lobe is opened or pressed.
    pub fn opens_lobe(&self) -> bool {
        self.from.leading_bore != self.to.leading_bore
    }

    /// No point of the body in the box between two corners moves further than this while
    /// the share grows by one and the fold is held, mm: straight motion, and turning about
    /// one axis through `centre`, from which a corner is furthest.
    pub fn reach(&self, (low, high): (Vector, Vector)) -> f64 {
        // In the body's frame, where the axis of the turn lies still.
        let axis = self.from.pose.rotation.inverse_transform_vector(&self.turn);
        let furthest = (0..8)
            .map(|k| {
                let side = |bit: usize, i: usize| if k >> bit & 1 == 0 { low[i] } else { high[i] };
                let corner = Vector::new(side(0, 0), side(1, 1), side(2, 2));
                axis.cross(&(corner - self.centre.coords)).norm()
            })
            .fold(0.0, f64::max);
        (self.end - self.start).norm() + furthest
    }
}
