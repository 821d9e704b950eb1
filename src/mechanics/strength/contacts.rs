//! Where the neighbours bear: the next link raised until metal meets metal.

use super::StrengthError;
use crate::geometry::curve::{ClosedCurve, Point, Pose, Vector};
use crate::geometry::distance::{Hint, Nearest, Query, Tree, nearest_within};
use crate::geometry::link::Fold;
use crate::math::units::Mm;
use crate::math::{Bracket, falling_root, root_in};

/// A place where two neighbours touch, on the lower one's lobe with x and y not below zero; its
/// mirror images in the planes x = 0 and y = 0 are the other three.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeatContact {
    /// On the lobe's centreline, as a share of the whole way round.
    pub lobe: f64,
    /// On the waist's centreline of the upper link, likewise.
    pub waist: f64,
    /// From the waist to the lobe: the way the upper link pushes the lower, a unit vector.
    pub push: Vector,
}

/// A link and the next one resting in it, drawn taut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seat {
    /// Advance along the chain per link, mm.
    pub pitch: f64,
    /// Where they touch.
    pub touch: SeatContact,
}

/// A push less steep than this (its share along the chain) wedges rather than bears.
const STEEP: f64 = 0.2;
/// Shifts tried over a lobe's width: a seat with less clearance than a twentieth of it is passed over.
const STEPS: usize = 40;
/// Tolerance of a distance while looking for clearance, as a share of the wire.
const COARSE: f64 = 2e-3;
/// And where metal meets metal: far below what a contact moves.
const FINE: f64 = 1e-9;
/// Metal touches with a clearance or an overlap of less than this, in wires.
const TOUCHES: f64 = 1e-8;

impl Seat {
    /// Seats a link in one like it.
    ///
    /// # Errors
    /// [`StrengthError::NoSeat`] where the waist does not lie inside the lobes, or meets
    /// something else first.
    pub fn of(fold: &Fold, curve: &ClosedCurve) -> Result<Seat, StrengthError> {
        let wire = fold.eight.wire;
        let tree = Tree::new(curve);
        let ask = |shift: f64, query: Query| -> Option<Nearest> {
            nearest_within(&tree, &tree, &Pose::translation(0.0, 0.0, shift), query)
        };
        let fine = Query { tolerance: FINE * wire, ..Query::default() };
        let clearance =
            |shift: f64| ask(shift, fine).map_or(f64::NAN, |n| n.distance_at_most - wire);
        // Farther than a wire and a half apart is far enough.
        let coarse = Query { tolerance: COARSE * wire, cutoff: 1.5 * wire, ..Query::default() };
        let mut hint = None;
        let mut roughly = |shift: f64| {
            let found = ask(shift, Query { hint, ..coarse });
            hint = found.map(|n| n.hint).or(hint);
            found.map_or(0.5 * wire, |n| n.distance_at_most - wire)
        };
        // Down from the tips, where the waist would lie in their metal, to the first clearance.
        let top = fold.tip_height();
        let step = 2.0 * fold.eight.end_radius / STEPS as f64;
        let clearances =
            (1..=STEPS).map(|i| (top - step * i as f64, roughly(top - step * i as f64)));
        let mut best = f64::NEG_INFINITY;
        let mut clear = None;
        for (shift, found) in clearances {
            best = best.max(found);
            if found > COARSE * wire {
                clear = Some(shift);
                break;
            }
        }
        let low =
            clear.ok_or(StrengthError::NoSeat { short: Mm::new((-best).clamp(0.0, wire)) })?;
        let missing = StrengthError::NoSeat { short: Mm::ZERO };
        // The last shift without clearance, looked at roughly, may have a trace of it.
        let mut high = low + step;
        while high < top && clearance(high) > 0.0 {
            high += step;
        }
        let newton = touching(low, high, wire, &|shift, hint| ask(shift, Query { hint, ..fine }));
        let solved = || {
            let pitch = root_in(Bracket { low, high }, clearance)?;
            Some((pitch, ask(pitch, fine)?))
        };
        let (pitch, found) = newton.or_else(solved).ok_or(missing.clone())?;
        let start_of =
            |piece: usize| -> f64 { curve.pieces()[..piece].iter().map(|p| p.length()).sum() };
        let length = curve.length();
        let lobe = (start_of(found.piece_a) + found.along_a) / length;
        let waist = (start_of(found.piece_b) + found.along_b) / length;
        let apart: Vector = found.point_a - found.point_b;
        let towards = |v: f64, at: f64| if at < 0.0 { -v } else { v };
        let here: Point = found.point_a;
        let push = apart / apart.norm();
        let push = Vector::new(towards(push.x, here.x), towards(push.y, here.y), push.z);
        if !(push.z > STEEP) {
            return Err(missing);
        }
        Ok(Seat {
            pitch,
            touch: SeatContact { lobe: in_quarter(lobe), waist: in_quarter(waist), push },
        })
    }
}

/// The shift from `low` up to `high` at which metal touches metal, and where, by Newton's method; none where that does
/// not lead there.
fn touching(
    low: f64,
    high: f64,
    wire: f64,
    ask: &dyn Fn(f64, Option<Hint>) -> Option<Nearest>,
) -> Option<(f64, Nearest)> {
    let mut hint = None;
    falling_root(low, high - low, TOUCHES * wire, |shift| {
        let found = ask(shift, hint)?;
        hint = Some(found.hint);
        let slope = (found.point_b - found.point_a).z / found.distance_at_most;
        Some((found.distance_at_most - wire, slope, found))
    })
}

/// A place brought into the first quarter, waist to tip, by the link's two mirrors.
pub(super) fn in_quarter(fraction: f64) -> f64 {
    let half = fraction.rem_euclid(0.5);
    half.min(0.5 - half)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::distance::nearest;
    use crate::geometry::link::{Forming, ToolDimensions};
    use crate::math::Rng;

    #[test]
    fn mirrors_bring_every_place_into_the_first_quarter() {
        for (from, to) in [(0.1, 0.1), (0.3, 0.2), (0.55, 0.05), (0.9, 0.1), (-0.1, 0.1)] {
            assert!((in_quarter(from) - to).abs() < 1e-12, "{from}");
        }
    }

    /// Against the first touch found by halving, from the clear side, with another query each time.
    #[test]
    fn the_seat_is_where_metal_first_touches() {
        let mut rng = Rng::new(41);
        let mut any = |low: f64, high: f64| low + (high - low) * rng.next_f64();
        let (mut formed, mut seated) = (0, 0);
        while formed < 200 {
            let [wire, ratio, bore, jaw] =
                [any(0.3, 2.0), any(8.0, 20.0), any(1.8, 3.6), any(1.8, 3.6)];
            let setting = ToolDimensions {
                oval_jaw: wire * bore,
                bore: wire * bore,
                fold_jaw: wire * jaw,
                ..ToolDimensions::usual(wire, wire * ratio)
            };
            let Ok(Forming { fold, .. }) = Forming::new(setting) else { continue };
            formed += 1;
            let curve = fold.curve();
            let Ok(seat) = Seat::of(&fold, &curve) else { continue };
            seated += 1;
            let tree = Tree::new(&curve);
            let clearance = |shift: f64| {
                let pose = Pose::translation(0.0, 0.0, shift);
                nearest(&tree, &Pose::identity(), &tree, &pose).distance_at_most - wire
            };
            let (mut low, mut high) = (seat.pitch - 0.02 * wire, seat.pitch + 1e-3 * wire);
            assert!(clearance(low) > 0.0 && clearance(high) < 0.0, "{setting:?}");
            for _ in 0..40 {
                let middle = 0.5 * (low + high);
                if clearance(middle) > 0.0 { low = middle } else { high = middle }
            }
            assert!((seat.pitch - low).abs() < 1e-6 * wire, "{setting:?}: {} {low}", seat.pitch);
        }
        assert!(3 * seated > formed, "{seated} of {formed}");
    }
}
