//! How links roll about their own length as the chain moves.

use super::DrapeLink;
use crate::geometry::curve::{Point, Vector};
use nalgebra::{Unit, UnitQuaternion};

/// Fastest roll towards a joint's easier way, radians per second.
const FASTEST: f64 = 6.0;
/// Sweeps over all joints; each hands half of a twist past its limit to either side.
const SWEEPS: usize = 4;

/// The links' x axes when laid in a plane of normal `normal`: bent about the axis they swing
/// further about.
pub(super) fn laid(links: &[DrapeLink], nodes: &[Point], normal: Vector) -> Vec<Vector> {
    let ways = nodes.windows(2).map(|pair| (pair[1] - pair[0]).normalize());
    ways.zip(links)
        .map(|(along, link)| {
            let side = (normal - normal.dot(&along) * along).normalize();
            if link.limits[0] >= link.limits[1] { side } else { along.cross(&side) }
        })
        .collect()
}

/// Carries the x axes from the old places to the new, then rolls.
pub(super) fn follow(
    links: &[DrapeLink],
    before: &[Point],
    now: &[Point],
    sides: &mut [Vector],
    at_limit: &[bool],
    seconds: f64,
) {
    let way = |nodes: &[Point], i: usize| (nodes[i + 1] - nodes[i]).normalize();
    for (i, side) in sides.iter_mut().enumerate() {
        let along = way(now, i);
        let carried = carry(&way(before, i), &along, side);
        *side = (carried - carried.dot(&along) * along).normalize();
    }
    let most = (FASTEST * seconds).min(0.2);
    for j in (1..links.len()).filter(|&j| at_limit[j]) {
        let (u, v) = (way(now, j - 1), way(now, j));
        let Some(axis) = u.cross(&v).try_normalize(1e-9) else { continue };
        let (about_x, about_y) = (axis.dot(&sides[j - 1]), axis.dot(&u.cross(&sides[j - 1])));
        let easier = if links[j].limits[0] >= links[j].limits[1] { 1.0 } else { -1.0 };
        // sin 2α, α from x to the bend's axis: zero both where it is easiest and hardest.
        let roll = easier * most * 2.0 * about_x * about_y;
        for (i, along) in [(j - 1, u), (j, v)] {
            sides[i] = turned(&along, 0.5 * roll, &sides[i]);
        }
    }
    for sweep in 0..SWEEPS {
        for k in 1..links.len() {
            let j = if sweep % 2 == 0 { k } else { links.len() - k };
            let (u, v) = (way(now, j - 1), way(now, j));
            let straight = carry(&u, &v, &sides[j - 1]);
            let twist = straight.cross(&sides[j]).dot(&v).atan2(straight.dot(&sides[j]));
            let limit = links[j].limits[2];
            let past = twist - twist.clamp(-limit, limit);
            if past.abs() > 0.0 {
                sides[j - 1] = turned(&u, 0.5 * past, &sides[j - 1]);
                sides[j] = turned(&v, -0.5 * past, &sides[j]);
            }
        }
    }
}

fn turned(axis: &Vector, angle: f64, side: &Vector) -> Vector {
    UnitQuaternion::from_axis_angle(&Unit::new_unchecked(*axis), angle) * side
}

/// `side` turned as the least turn from `from` to `to` turns it.
fn carry(from: &Vector, to: &Vector, side: &Vector) -> Vector {
    UnitQuaternion::rotation_between(from, to).map_or(*side, |turn| turn * side)
}
