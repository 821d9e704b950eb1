//! A proof that no motion takes one link through the other, by what meets a section of the lobe.
//!
//! *The opening.* Span the receiving lobe, closed by a line across its waist, with the wrapped
//! image of its flat inside. Where the two waist wires stand less than two wires apart
//! nothing passes between them, so the incoming wire meets the span only at points at
//! least `contact_distance` from the receiving centreline. Unrolled flat, such points are no nearer to
//! the flat centreline, and their distance is no less than in space, since wrapping only
//! shortens. So two of them are never further apart than the widest pair of points of the
//! flat lobe shrunk by `contact_distance`: [`opening`].
//!
//! *The lobe.* Before joining the incoming wire does not meet the span; joined, both waist
//! strands cross it. Meeting points come and go in pairs, so the final pair is led back,
//! moment by moment, to a pair that was born as one point (two climbers who start level
//! on either side of a hill can meet at its top and be level all the way: the mountain
//! climbing theorem, Homma 1952; Whittaker 1966). Let T be the heading along the flat eight:
//! single-valued, as an eight turns by nothing in all. The difference of T over the pair
//! goes from nothing to half a turn or more, so at some moment it is just half a turn, and
//! the pair is then at least as far apart as the nearest pair of points of the lobe with
//! opposite headings: [`lobe_width`].
//!
//! Where the opening is smaller than that, no motion exists, with the fold held as it is.
//! Conventions: mm. Both numbers carry their sampling error, on the safe side.

use crate::geometry::curve::Point;
use crate::geometry::link::{Eight, Fold};
use std::f64::consts::PI;

/// Samples of each part of a curve; the error left is paid for in the answers.
const SAMPLES: usize = 128;
/// As [`SAMPLES`], where the work does not grow with the square.
const FINE: usize = 1024;

/// The widest pair of places at which a wire can meet the span of one lobe of `receiving`
/// at the same time, mm; `Some(0)` where there is no clearance at all. Never understated.
///
/// `None` where the argument does not hold: the waist is so open that wires pass through it.
pub fn widest_opening(receiving: &Eight, contact_distance: f64) -> Option<f64> {
    if receiving.waist >= 2.0 * contact_distance {
        return None;
    }
    if receiving.end_radius <= contact_distance {
        return Some(0.0);
    }
    // The upper half of the shrunk lobe's rim; the lower mirrors it.
    let mut rim = Vec::with_capacity(3 * (SAMPLES + 1));
    let mut spacing: f64 = 0.0;
    for piece in receiving.quarter_pieces() {
        let step = piece.length() / SAMPLES as f64;
        spacing = spacing.max(step * (1.0 + contact_distance * piece.curvature()));
        rim.extend((0..=SAMPLES).filter_map(|i| {
            let (point, along) = (piece.point(step * i as f64), piece.tangent(step * i as f64));
            // To the right of the way towards the tip: inwards.
            let place = Point::new(
                point.x + contact_distance * along.y,
                point.y - contact_distance * along.x,
                0.0,
            );
            (place.y >= -spacing).then_some(place)
        }));
    }
    let across = |p: &Point, q: &Point| (p.x - q.x).hypot(p.y.abs() + q.y.abs());
    let widest = rim.iter().flat_map(|p| rim.iter().map(move |q| across(p, q))).fold(0.0, f64::max);
    Some(widest + 2.0 * spacing)
}

/// Least distance of two places of `incoming` with opposite headings, mm: some pair must
/// stand so far apart in the opening at some moment. Never overstated.
pub fn lobe_width(incoming: &Fold) -> f64 {
    let eight = &incoming.eight;
    let (radius, centre) = (eight.end_radius, eight.tip() - eight.end_radius);
    let most_heading = eight.turn();
    let place = |u: f64, v: f64| {
        let (on_axis, _) = incoming.spine(u);
        Point::new(on_axis.x, v, on_axis.z)
    };
    let mut least = f64::INFINITY;
    let mut spacing: f64 = 0.0;
    for piece in eight.quarter_pieces() {
        let step = piece.length() / FINE as f64;
        // The opposite place runs along an end arc as the heading turns.
        spacing = spacing.max(step * (1.0 + radius * piece.curvature()));
        for i in 0..=FINE {
            let (point, along) = (piece.point(step * i as f64), piece.tangent(step * i as f64));
            let heading = along.y.atan2(along.x);
            // Of opposite heading, on the end arc of the same lobe and of the other. Headings
            // below −θ have none, as they run from −π − θ to θ.
            if heading < -most_heading - 1e-9 {
                continue;
            }
            let (sin, cos) = (heading - PI).sin_cos();
            let here = place(point.x, point.y);
            let same = place(centre - radius * sin, radius * cos);
            let other = place(-centre + radius * sin, -radius * cos);
            least = least.min((here - same).norm()).min((here - other).norm());
        }
    }
    least - spacing
}

/// By how much the lobe is too wide for the opening, mm, if that is proven: no motion
/// then takes `incoming`, its fold held as it is, through `receiving`. Of links with a neck, and
/// of lobes pressed to be threaded, the argument says nothing.
///
/// # Examples
/// ```
/// use linkfold::motion::insertion::too_wide_by;
/// use linkfold::geometry::link::{Forming, ToolDimensions};
/// let link = Forming::new(ToolDimensions::usual(1.0, 12.0))?; // wire and mandrel, mm
/// assert_eq!(too_wide_by(&link.fold, &link.fold), None); // this pair joins
/// # Ok::<(), linkfold::geometry::link::FormError>(())
/// ```
pub fn too_wide_by(receiving: &Fold, incoming: &Fold) -> Option<f64> {
    // Along a neck the strands run side by side, and opposite headings are as near as they are.
    if incoming.eight.neck() > 0.0 || incoming.pressed.is_some() {
        return None;
    }
    let contact_distance = 0.5 * (receiving.eight.wire + incoming.eight.wire);
    let short = lobe_width(incoming) - widest_opening(&receiving.eight, contact_distance)?;
    (short > 0.0).then_some(short)
}
