//! A folded loop in parts, told apart by how far along the wire they are from the waist:
//! while a fold closes, what is wrapped lies still and what is not turns as a whole.

use super::fold::split_at;
use super::{Eight, Fold};
use crate::geometry::curve::{Piece, Pose, Vector};
use nalgebra::UnitQuaternion;
use std::f64::consts::PI;

/// A stretch of the flat eight's axis, mm from the waist, on both sides of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FoldSpan {
    /// Nearest to the waist.
    pub from: f64,
    /// Furthest from it.
    pub to: f64,
}

impl Fold {
    /// The wire over `span`, on both sides of the waist, wrapped on the jaw, in the loop's
    /// frame; within [`Fold::deviation`] of the true wrap. `span` must be wrapped at this angle.
    pub fn wrapped_part(&self, span: FoldSpan) -> Vec<Piece> {
        let wrapped = |eight: &Eight| {
            let mut quarter = Vec::new();
            for piece in flat_quarter(eight, span) {
                self.wrap(&piece, &mut quarter);
            }
            quarter
        };
        let own = wrapped(&self.eight);
        let leading = self.pressed.as_ref().map(wrapped);
        let sides = [(1.0, leading.as_ref().unwrap_or(&own)), (-1.0, &own)];
        let mirrored = sides.map(|(x, quarter)| {
            let across = [1.0, -1.0].map(|y| Vector::new(x, y, 1.0));
            across
                .map(|signs| quarter.iter().map(|p| p.mirrored(signs)).collect::<Vec<_>>())
                .concat()
        });
        mirrored.concat()
    }

    /// The wire over `span` of the leg at positive x (`side` 0) or of the other (1) in the flat
    /// eight's plane; [`Fold::leg_poses`] take it to the loop's frame where it is not wrapped.
    pub fn flat_part(&self, side: usize, span: FoldSpan) -> Vec<Piece> {
        let eight = if side == 0 { self.leading() } else { &self.eight };
        let quarter = flat_quarter(eight, span);
        let other = quarter.iter().map(|p| p.mirrored(Vector::new(1.0, -1.0, 1.0)));
        quarter.iter().copied().chain(other).collect()
    }

    /// The wire of the lobe that is not pressed, as it lies at this angle, in the loop's frame;
    /// within [`Fold::deviation`] of the true wrap.
    pub fn trailing_half(&self) -> Vec<Piece> {
        self.bent(&self.eight.quarter_pieces(), -1.0)
    }

    /// The wire of the leading lobe from `from` to `to` mm along it from the waist's middle, on both
    /// strands, as it lies at this angle, in the loop's frame; within [`Fold::deviation`] of the
    /// true wrap.
    pub fn leading_stretch(&self, from: f64, to: f64) -> Vec<Piece> {
        let mut start = 0.0;
        let cut = self.leading().quarter_pieces().into_iter().filter_map(|piece| {
            let length = piece.length();
            let (low, high) = ((from - start).max(0.0), (to - start).min(length));
            start += length;
            (high > low).then(|| piece.part(low, high))
        });
        self.bent(&cut.collect::<Vec<_>>(), 1.0)
    }

    /// Pieces of a flat quarter, wrapped as far as this fold is, on the side of `x` (1 or −1).
    fn bent(&self, flat: &[Piece], x: f64) -> Vec<Piece> {
        let mut quarter = Vec::new();
        for piece in flat {
            self.bend(piece, &mut quarter);
        }
        let signs = [1.0, -1.0].map(|y| Vector::new(x, y, 1.0));
        signs.map(|signs| quarter.iter().map(|p| p.mirrored(signs)).collect::<Vec<_>>()).concat()
    }

    /// Poses that take the flat eight to the plane of the leg at positive x, and of the other.
    pub fn leg_poses(&self) -> [Pose; 2] {
        let leg = self.leg_pose();
        let other = UnitQuaternion::from_axis_angle(&Vector::z_axis(), PI);
        [leg, Pose::from_parts(Default::default(), other) * leg]
    }
}

fn flat_quarter(eight: &Eight, span: FoldSpan) -> Vec<Piece> {
    if !(span.to > span.from) {
        return Vec::new();
    }
    let pieces = eight.quarter_pieces();
    let beyond = pieces.iter().filter_map(|piece| split_at(piece, span.from).1);
    beyond.filter_map(|piece| split_at(&piece, span.to).0).collect()
}
