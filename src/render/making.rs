//! From wire to ring: wound on the mandrel, sawn, soldered.
//!
//! The coil is a helix about the mandrel's axis, as close as the wire is thick, written as arcs.

use super::camera::smooth;
use super::drawing::Finish;
use super::solid::Solid;
use super::strand::FROM_ABOVE;
use super::{Arrow, Callout, Scene, Strand, Viewpoint};
use crate::geometry::curve::{ClosedCurve, Piece, Point, Pose, Straight, Vector, push_biarc};
use crate::geometry::link::Forming;
use nalgebra::{Isometry3, Translation3, Unit, UnitQuaternion};
use std::f64::consts::TAU;

/// Rings that are sawn from the coil shown, and turns of the coil: half a turn is left over.
const RINGS: usize = 4;
const TURNS: f64 = RINGS as f64 + 0.5;
/// How far sawn rings stand apart, wires.
const APART: f64 = 0.5;
/// Biarcs to a turn.
const STEPS: usize = 12;
/// From a turn to the next, in wires.
const PITCH: f64 = 1.03;
/// From there the mandrel and the coil on it are seen.
pub(super) const BESIDE: Viewpoint = Viewpoint::degrees(-24.0, 22.0);

/// A helix about z, like a ring starting at the top and running clockwise, and rising.
struct Helix {
    radius: f64,
    pitch: f64,
}

impl Helix {
    fn at(&self, turns: f64) -> (Point, Unit<Vector>) {
        let (sin, cos) = (TAU * turns).sin_cos();
        let point = Point::new(self.radius * sin, self.radius * cos, self.pitch * turns);
        let rise = self.pitch / TAU;
        (point, Unit::new_normalize(Vector::new(self.radius * cos, -self.radius * sin, rise)))
    }

    /// The wire from turn `from` to turn `to` and then straight on for `tail` mm, as a strand.
    fn wire(&self, [from, to]: [f64; 2], tail: f64, wire: f64, pose: &Pose) -> Option<Strand> {
        let steps = ((to - from) * STEPS as f64).ceil().max(1.0) as usize;
        let turn = |i: usize| from + (to - from) * i as f64 / steps as f64;
        let mut pieces = Vec::new();
        for i in 0..steps {
            push_biarc(self.at(turn(i)), self.at(turn(i + 1)), &mut pieces);
        }
        let (mut end, along) = self.at(to);
        if tail > 0.0 {
            pieces.push(Piece::Straight(Straight { start: end, direction: along, length: tail }));
            end += tail * along.into_inner();
        }
        let length: f64 = pieces.iter().map(Piece::length).sum();
        // The way back closes the curve and is not drawn.
        let start = self.at(from);
        let aside = start.0 - 2.0 * (self.radius + tail) * start.1.into_inner();
        push_biarc((end, along), (aside, start.1), &mut pieces);
        push_biarc((aside, start.1), start, &mut pieces);
        let curve = ClosedCurve::new(pieces).ok()?.moved(pose);
        let part = Some([0.0, length]);
        Some(Strand { curve, radius: 0.5 * wire, finish: Finish::Own, seam: None, part })
    }
}

/// From a ring lying flat to one standing on the mandrel's axis, which is x, its start up; turned on
/// by so much of a turn about it.
fn standing(along: f64, turned: f64) -> Pose {
    let spin = UnitQuaternion::from_axis_angle(&Vector::z_axis(), -TAU * turned);
    Isometry3::from_parts(Translation3::new(along, 0.0, 0.0), upright() * spin)
}

/// Flat to standing: x to y, y to z, z to x.
fn upright() -> UnitQuaternion<f64> {
    let axis = Unit::new_normalize(Vector::new(1.0, 1.0, 1.0));
    UnitQuaternion::from_axis_angle(&axis, TAU / 3.0)
}

fn coil(forming: &Forming) -> Helix {
    let setting = &forming.setting;
    Helix { radius: 0.5 * (setting.mandrel + setting.wire), pitch: PITCH * setting.wire }
}

/// The middle of the coil stands in the middle.
fn start_of(coil: &Helix) -> f64 {
    -0.5 * TURNS * coil.pitch
}

fn mandrel(forming: &Forming, slid: f64) -> Solid {
    let radius = 0.5 * forming.setting.mandrel;
    let half = 1.9 * radius + TURNS * forming.setting.wire;
    let ends = [-half - slid, half - slid].map(|x| Point::new(x, 0.0, 0.0));
    Solid::round(ends, [radius; 2], None)
}

/// Winding, when `done` of it is done: the mandrel turns, the wire comes from below.
pub(super) fn winding(forming: &Forming, done: f64) -> Scene {
    let (wire, helix) = (forming.setting.wire, coil(forming));
    let turns = (TURNS * done).max(0.05);
    // Where the wire comes on is always below, in front.
    let pose = standing(start_of(&helix), 0.5 - turns);
    let tail = 1.1 * forming.setting.mandrel;
    let strand = helix.wire([0.0, turns], tail, wire, &pose);
    let radius = helix.radius + 2.0 * wire;
    let end = start_of(&helix) + TURNS * helix.pitch + 3.0 * wire;
    let round = |angle: f64| Point::new(end, radius * angle.sin(), radius * angle.cos());
    // Under its near end.
    let at = Point::new(-1.5 * radius, 0.0, -0.5 * forming.setting.mandrel);
    Scene {
        tools: vec![mandrel(forming, 0.0)],
        strands: strand.into_iter().collect(),
        arrows: if done < 1.0 {
            vec![Arrow { from: round(-0.9), to: round(-0.3) }]
        } else {
            Vec::new()
        },
        callouts: vec![Callout { name: "mandrel", reading: Some(forming.setting.mandrel), at }],
        home: BESIDE,
        ..Scene::default()
    }
}

/// Sawing: the mandrel slides out, the blade goes through the top of the coil from one end to the
/// other, and each turn becomes a ring.
pub(super) fn sawing(forming: &Forming, done: f64) -> Scene {
    let (wire, kerf, helix) = (forming.setting.wire, forming.setting.kerf, coil(forming));
    let part = |from: f64, to: f64| ((done - from) / (to - from)).clamp(0.0, 1.0);
    let start = start_of(&helix);
    let (slid, cut) = (part(0.0, 0.2), part(0.3, 0.9));
    // From the end of the coil to its start.
    let last = start + TURNS * helix.pitch;
    let blade = last - cut * (last - start + wire) + 0.5 * wire;
    let is_cut = |ring: usize| start + (ring as f64) * helix.pitch + 0.5 * wire > blade;
    let gap = 0.5 * kerf / (TAU * helix.radius);
    let mut strands = Vec::new();
    let whole = (0..=RINGS).filter(|ring| !is_cut(*ring)).count();
    for ring in whole.max(1) - 1..=RINGS {
        let (from, to) = (ring as f64, (ring + 1) as f64);
        // What is not cut yet hangs together from the start.
        let from = if ring + 1 == whole { 0.0 } else { from + gap };
        let to = if ring == RINGS { TURNS } else { to - gap };
        // Apart by a little, so that rings are told from turns.
        let apart = if is_cut(ring) { APART * wire * (ring + 1 - whole) as f64 } else { 0.0 };
        strands.extend(helix.wire([from, to], 0.0, wire, &standing(start + apart, 0.0)));
    }
    let mut scene = Scene { strands, home: BESIDE, ..Scene::default() };
    if slid < 1.0 {
        scene.tools.push(mandrel(forming, slid * 5.0 * forming.setting.mandrel));
    }
    // The strokes go up and down.
    let top = helix.radius + (0.3 * helix.radius) * (14.0 * TAU * cut).sin();
    let comes = (1.0 - part(0.15, 0.3)).max(part(0.92, 1.0)) * 3.0 * helix.radius;
    let half = [0.5 * wire, 0.5 * kerf.max(0.1 * wire), 0.8 * helix.radius];
    let middle = Point::new(blade, 0.0, top + comes);
    let axes = [Vector::x(), Vector::y(), Vector::z()];
    if comes < 2.9 * helix.radius {
        scene.tools.push(Solid::block(middle, [0, 1, 2].map(|i| half[i] * axes[i])));
        let at = middle + half[2] * Vector::z();
        let reading = (kerf > 0.0).then_some(kerf);
        scene.callouts.push(Callout { name: "saw cut", reading, at });
    }
    scene
}

/// Soldering: one ring is laid flat, its ends are brought together, a chip of solder is laid on
/// and runs when the torch has heated the ring; its seam is then at `seam` of the way round.
pub(super) fn soldering(forming: &Forming, seam: Option<f64>, done: f64) -> Scene {
    let (wire, kerf, helix) = (forming.setting.wire, forming.setting.kerf, coil(forming));
    let part = |from: f64, to: f64| ((done - from) / (to - from)).clamp(0.0, 1.0);
    let (laid, shut) = (smooth(part(0.0, 0.25)), smooth(part(0.25, 0.45)));
    let mut scene = Scene { home: BESIDE.towards(FROM_ABOVE, laid), ..Scene::default() };
    // The first ring is taken; the others move out of sight.
    let away = laid * 6.0 * forming.setting.mandrel;
    let gap = 0.5 * kerf / (TAU * helix.radius);
    for ring in 1..=RINGS {
        let to = if ring == RINGS { TURNS } else { (ring + 1) as f64 - gap };
        let apart = start_of(&helix) + APART * wire * (ring + 1) as f64;
        let pose = standing(apart + away, 0.0);
        if laid < 1.0 {
            scene.strands.extend(helix.wire([ring as f64 + gap, to], 0.0, wire, &pose));
        }
    }
    let share = seam.unwrap_or(0.0);
    let from = standing(start_of(&helix) + APART * wire, 0.0);
    let flat = UnitQuaternion::from_axis_angle(&Vector::z_axis(), -TAU * share);
    let pose = Pose::from_parts(
        Translation3::from(from.translation.vector * (1.0 - laid)),
        from.rotation.slerp(&flat, laid),
    );
    let left = 1.0 - shut;
    let open = Helix {
        radius: (forming.ring.centreline + left * kerf) / TAU * shut + helix.radius * left,
        pitch: helix.pitch * left,
    };
    let at = pose * Point::new(0.0, open.radius, 0.0);
    if shut < 1.0 {
        let gap = left * gap;
        scene.strands.extend(open.wire([gap, 1.0 - gap], 0.0, wire, &pose));
    } else {
        let curve = forming.ring.curve().moved(&pose);
        let solder = (done >= 0.8).then_some(0.0);
        let radius = 0.5 * wire;
        scene.strands.push(Strand { curve, radius, finish: Finish::Own, seam: solder, part: None });
    }
    let out = pose.rotation * Vector::y();
    if (0.45..0.8).contains(&done) {
        let middle = at + (0.5 + 0.12) * wire * Vector::z();
        let (wide, high) = (0.35 * wire, 0.12 * wire);
        let across = Vector::z().cross(&out);
        let edges = [wide * across, 0.8 * wide * out, high * Vector::z()];
        scene.tools.push(Solid::block(middle, edges));
        scene.callouts.push(Callout { name: "solder", reading: None, at: middle });
    }
    if (0.55..0.97).contains(&done) {
        let comes = (1.0 - smooth(part(0.55, 0.65))).max(smooth(part(0.87, 0.97)));
        let along = Vector::new(0.85, 0.35, 0.35).normalize();
        let at = at + comes * 12.0 * wire * along;
        let place = |wires: f64| at + wires * wire * along;
        scene.tools.push(Solid::round([place(5.0), place(14.0)], [0.6 * wire, wire], None));
        scene
            .tools
            .push(Solid::round([place(0.8), place(5.0)], [0.05 * wire, 0.5 * wire], None).faded());
        scene.callouts.push(Callout { name: "torch", reading: None, at: place(14.0) });
    }
    scene
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::design::Design;

    fn forming() -> Forming {
        Design::plain(0.9, 12.0).formings().unwrap()[0]
    }

    /// A close coil of wire `d` on a mandrel `M` is `M + 2 d` wide and as long as its turns are many.
    #[test]
    fn the_coil_lies_on_the_mandrel() {
        let scene = winding(&forming(), 1.0);
        let strand = &scene.strands[0];
        let turns = TAU * 6.45;
        let whole = strand.part.unwrap()[1];
        let coil = (TURNS * turns).hypot(TURNS * PITCH * 0.9);
        assert!((whole - coil - 1.1 * 12.0).abs() < 0.02, "{whole} mm, {coil} mm in turns");
        for point in strand.points(0.5).filter(|p| p.y <= 0.0 || p.z > -6.0) {
            let off = point.y.hypot(point.z);
            assert!((off - 6.45).abs() < 2e-3 || point.z < -6.0, "{off} mm from the axis");
        }
    }

    /// Every ring that is sawn off is a turn less the saw's cut.
    #[test]
    fn a_turn_less_the_saw_cut_is_a_ring() {
        let forming = forming();
        let scene = sawing(&forming, 1.0);
        assert_eq!(scene.strands.len(), RINGS + 1);
        let turn = (TAU * 6.45).hypot(PITCH * 0.9) - forming.setting.kerf;
        for strand in &scene.strands[..RINGS] {
            let length = strand.part.unwrap()[1];
            assert!((length - turn).abs() < 0.01, "{length} mm, {turn} mm");
        }
        assert_eq!(sawing(&forming, 0.0).strands.len(), 1);
    }

    /// The last picture is the ring that the next step begins with, its seam where that is chosen.
    #[test]
    fn the_ring_is_laid_down_where_the_next_step_begins() {
        for share in [0.0, 0.25, 0.6] {
            let forming = forming();
            let scene = soldering(&forming, Some(share), 1.0);
            let [strand] = &scene.strands[..] else { panic!("{} strands", scene.strands.len()) };
            let ring = forming.ring.curve();
            let seam = ring.point(share * ring.length());
            assert!((strand.curve.point(0.0) - seam).norm() < 1e-9, "{share}");
            assert_eq!(strand.seam, Some(0.0));
            assert!(scene.tools.is_empty());
        }
    }
}
