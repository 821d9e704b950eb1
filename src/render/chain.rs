//! A chain of several links: straight, bent or twisted, or hung.

use super::drawing::Finish;
use super::measure::Measure;
use super::{Scene, Strand, Viewpoint};
use crate::geometry::curve::{Arc, ClosedCurve, Piece, Point, Pose, Straight, Vector, push_biarc};
use crate::motion::chain::{Bent, Body, Measures, Weave};
use crate::motion::drape::{Drape, DrapeForm};
use nalgebra::Unit;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// Links that can be shown lying or bent.
pub const FEWEST: usize = 3;
/// As [`FEWEST`].
pub const MOST: usize = 12;
/// Up to so many hung links are shown in their own shape; more as plain loops of their size.
const IN_SHAPE: usize = 40;

/// `count` links of one size, bent or twisted alike, seen lying across the picture; where
/// metal stops them, it is lit.
pub fn lying(link: &Body, found: &Measures, bent: &Bent, count: usize) -> Scene {
    let poses = found.weave.poses(&bent.step, shown(bent, count));
    let lie = laid_across(1.0);
    let strand = |(k, pose): (usize, &Pose)| Strand {
        curve: link.curve().moved(&(lie * pose)),
        radius: 0.5 * link.wire,
        finish: finish(k, found.weave),
        seam: None,
        part: None,
    };
    let measures = if bent.angle.abs() > 0.0 { Vec::new() } else { straight(link, found, &lie) };
    Scene {
        strands: poses.iter().enumerate().map(strand).collect(),
        measures,
        lit: bent
            .stop
            .iter()
            .filter_map(|stop| Some(lie * poses.get(stop.first)? * stop.place))
            .collect(),
        home: Viewpoint::degrees(0.0, 26.0),
        ..Scene::default()
    }
}

/// Links are told apart from the one before; where chains cross on one axis, one of three or both of
/// two are told apart, link after link of the same.
pub(super) fn finish(place: usize, weave: Weave) -> Finish {
    let other = match weave.chains() {
        3 => place % 3 == 1,
        _ => place % 2 == 1,
    };
    if other { Finish::Other } else { Finish::Own }
}

/// The turn that lays a chain across the picture, the way it goes to the right, `share` of it done.
pub(super) fn laid_across(share: f64) -> Pose {
    Pose::rotation(Vector::new(0.0, share * FRAC_PI_2, 0.0))
}

/// How many links to show: a coil flat round its rod comes back to its start, and the links
/// of the next turn would stand in the first.
fn shown(bent: &Bent, count: usize) -> usize {
    let count = count.clamp(FEWEST, MOST);
    let flat = bent.step.rotation.scaled_axis().z.abs() < 0.5 * bent.angle.abs();
    if flat { count.min((0.9 * TAU / bent.angle.abs()) as usize).max(FEWEST) } else { count }
}

fn straight(link: &Body, found: &Measures, lie: &Pose) -> Vec<Measure> {
    let pitch = found.joint.rest.pulled;
    let out = 0.5 * found.width;
    let low = link.low.z - 0.5 * link.wire;
    let measure = |name, from: [f64; 3], to: [f64; 3], reading, aside: [f64; 3]| Measure {
        name,
        from: lie * Point::from(from),
        to: lie * Point::from(to),
        aside: lie * Vector::from(aside),
        reading,
    };
    vec![
        measure("pitch", [0.0, -out, low], [0.0, -out, low + pitch], pitch, [0.0, -0.3 * out, 0.0]),
        measure("width", [0.0, -out, low], [0.0, out, low], found.width, [0.0, 0.0, -0.5 * out]),
    ]
}

/// A hung chain of these links, in order, x to the right and z up; and hoops of the form it
/// lies round.
pub fn hanging(drape: &Drape, links: &[&Body], form: Option<DrapeForm>) -> Scene {
    let poses = drape.poses();
    let tight = drape.at_limit();
    let plain = links.len() > IN_SHAPE;
    let mut strands: Vec<Strand> = poses
        .iter()
        .zip(links)
        .enumerate()
        .map(|(k, (pose, link))| Strand {
            curve: if plain { loop_of(link).moved(pose) } else { link.curve().moved(pose) },
            radius: 0.5 * link.wire,
            finish: if k % 2 == 0 { Finish::Own } else { Finish::Other },
            seam: None,
            part: None,
        })
        .collect();
    strands.extend(form.into_iter().flat_map(hoops));
    // Few tight joints are worth finding; a row of them is told in words.
    let lit = if tight.len() <= 12 { tight } else { Vec::new() };
    Scene {
        strands,
        lit: lit.iter().filter_map(|joint| drape.nodes().get(*joint).copied()).collect(),
        home: Viewpoint::degrees(0.0, 8.0),
        fills: true,
        ..Scene::default()
    }
}

/// Three hoops round a form.
fn hoops(form: DrapeForm) -> Vec<Strand> {
    let (centre, axis, [a, b]) = match form {
        DrapeForm::Sphere { centre, radius } => {
            (centre, [Vector::x(), Vector::y(), Vector::z()], [radius; 2])
        }
        DrapeForm::Cylinder { centre, axis, across, half_widths } => {
            (centre, [across.into_inner(), axis.cross(&across), axis.into_inner()], half_widths)
        }
    };
    let [across, other, along] = axis;
    let size = a.max(b);
    let place =
        |t: f64, lift: f64| centre + a * t.cos() * across + b * t.sin() * other + lift * along;
    let path = |t: f64| Unit::new_normalize(-a * t.sin() * across + b * t.cos() * other);
    let hoop = |lift: f64| -> Option<Strand> {
        let mut pieces = Vec::new();
        let at = |i: u32| f64::from(i % HOOP) * TAU / f64::from(HOOP);
        for i in 0..HOOP {
            let (from, to) = (at(i), at(i + 1));
            push_biarc((place(from, lift), path(from)), (place(to, lift), path(to)), &mut pieces);
        }
        let curve = ClosedCurve::new(pieces).ok()?;
        Some(Strand { curve, radius: 0.006 * size, finish: Finish::Own, seam: None, part: None })
    };
    [-0.4, 0.0, 0.4].into_iter().filter_map(|share| hoop(share * size)).collect()
}

/// Biarcs to a hoop.
const HOOP: u32 = 16;

/// A plain loop as long and as wide as the link, upright in its y–z plane.
pub(super) fn loop_of(link: &Body) -> ClosedCurve {
    let radius = (0.5 * (link.high.y - link.low.y)).min(0.4 * (link.high.z - link.low.z));
    let straight = link.high.z - link.low.z - 2.0 * radius;
    let (y, z) = (Vector::y_axis(), Vector::z_axis());
    let line = |side: f64| {
        let start = if side > 0.0 { link.low.z + radius } else { link.high.z - radius };
        Piece::Straight(Straight {
            start: Point::new(0.0, side * radius, start),
            direction: if side > 0.0 { z } else { -z },
            length: straight,
        })
    };
    let end = |height: f64, out, along| {
        let centre = Point::new(0.0, 0.0, height);
        Piece::Arc(Arc { centre, out, along, radius, turn: PI })
    };
    let pieces = vec![
        line(1.0),
        end(link.high.z - radius, y, z),
        line(-1.0),
        end(link.low.z + radius, -y, -z),
    ];
    ClosedCurve::new(pieces).unwrap_or_else(|_| link.curve().clone())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::link::{Forming, ToolDimensions};
    use crate::motion::chain::{About, Weave, measure};
    use crate::motion::drape::{DrapeLink, Worn};

    fn link() -> Body {
        let setting = ToolDimensions {
            oval_jaw: 3.0,
            bore: 3.0,
            fold_jaw: 3.0,
            ..ToolDimensions::usual(1.0, 12.0)
        };
        Body::of(&Forming::new(setting).unwrap().fold)
    }

    /// A chain that crosses others on its axis is told apart in its whole length.
    #[test]
    fn of_three_chains_on_an_axis_one_is_marked() {
        let own = |chains: usize| {
            let weave = Weave::new(chains, 1).unwrap();
            (0..7).map(|place| finish(place, weave) == Finish::Own).collect::<Vec<_>>()
        };
        let alternate = [true, false, true, false, true, false, true];
        for chains in [1, 2, 4] {
            assert_eq!(own(chains), alternate);
        }
        assert_eq!(own(3), [true, false, true, true, false, true, true]);
    }

    /// Straight, the measures are those of the wires shown; at the limit the touching place
    /// lies on two of them.
    #[test]
    fn a_lying_chain_is_in_true_proportion_and_its_touching_place_is_lit() {
        let link = link();
        let found = measure(&link, Weave::SINGLE).unwrap();
        let scene = lying(&link, &found, &found.bent(&link, About::X, 0.0), 5);
        assert_eq!((scene.strands.len(), scene.lit.len()), (5, 0));
        for measure in &scene.measures {
            assert!(((measure.to - measure.from).norm() - measure.reading).abs() < 1e-6);
        }
        for about in [About::X, About::Y, About::Z] {
            for share in [-1.0, 1.0] {
                let scene = lying(&link, &found, &found.bent(&link, about, share), 99);
                assert!((FEWEST..=MOST).contains(&scene.strands.len()), "{about:?}");
                let [place] = scene.lit[..] else { panic!("{about:?} {:?}", scene.lit) };
                let near = |strand: &&Strand| {
                    let walk = strand.curve.walk(0.05);
                    walk.iter().any(|(p, _)| (p - place).norm() < 0.5 + 0.02)
                };
                assert!(scene.strands.iter().filter(near).count() >= 2, "{about:?} {share}");
            }
            let half = found.bent(&link, about, 0.5);
            assert!(half.angle > 0.0 && half.stop.is_none());
        }
        assert_eq!(found.bent(&link, About::X, f64::NAN).angle, 0.0);
    }

    #[test]
    fn a_hung_chain_shows_every_link_and_what_it_lies_round() {
        let link = link();
        let part =
            DrapeLink { pitch: 6.0, weight: 1.0, half_thickness: 2.0, limits: [0.8, 0.7, 0.1] };
        for (count, girth) in [(30, 120.0), (60, 200.0)] {
            let stand = Worn::Wrist { girth }.placement(6.0 * count as f64, 2.0, 6.0);
            let mut drape =
                Drape::new(vec![part; count], stand.ends, stand.lay, stand.form).unwrap();
            drape.settle(500);
            let scene = hanging(&drape, &vec![&link; count], stand.form);
            assert_eq!(scene.strands.len(), count + 3);
        }
    }
}
