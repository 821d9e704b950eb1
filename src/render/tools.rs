//! What does the work in each step of forming and joining: tools as solids of the design's sizes,
//! the way hands move, and what both are called.
//!
//! Round jaws are conical, with a stripe where they have the diameter that is asked for.

use super::solid::Solid;
use super::{Arrow, Callout, Scene};
use crate::geometry::curve::{Point, Pose, Vector};
use crate::geometry::link::{Fold, Forming, StepShape};
use std::f64::consts::TAU;

/// How much the diameter of a conical jaw grows along it.
const TAPER: f64 = 0.12;
/// How far a tool stands over the wire and how far it reaches back to its handle, in wires.
const OVER: f64 = 1.0;
const BACK: f64 = 4.0;

/// Adds the tools that bring `forming` to `shape`, `done` of the step done.
pub(super) fn at_work(scene: &mut Scene, forming: &Forming, shape: &StepShape, done: f64) {
    match shape {
        StepShape::Oval(oval) => stretching(scene, forming, oval.inside_length(), done),
        StepShape::Eight(eight) => pinching(scene, forming, eight.waist, done),
        StepShape::Fold(fold) => folding(scene, forming, fold, done),
    }
}

/// A conical jaw along `along`, of `diameter` where it passes `at`; its handle lies backwards.
fn jaw(at: Point, along: Vector, diameter: f64, wire: f64) -> Solid {
    let (over, back) = ((OVER + 0.5) * wire, BACK * wire + 0.5 * diameter);
    let radius = |s: f64| (0.5 * (diameter - TAPER * s)).max(0.1 * diameter);
    let ends = [at - back * along, at + over * along];
    Solid::round(ends, [radius(-back), radius(over)], Some(back / (back + over)))
}

fn stretching(scene: &mut Scene, forming: &Forming, inside_length: f64, done: f64) {
    let (wire, diameter) = (forming.setting.wire, forming.setting.oval_jaw);
    let middle = 0.5 * (inside_length - diameter);
    for side in [-1.0, 1.0] {
        let at = Point::new(side * middle, 0.0, 0.0);
        scene.tools.push(jaw(at, Vector::z(), diameter, wire));
        // The jaws pull as long as the ring yields.
        let from = Point::new(side * (0.5 * inside_length + 1.6 * wire), 0.0, 0.0);
        if done < 1.0 {
            scene.arrows.push(Arrow { from, to: from + side * 2.2 * wire * Vector::x() });
        }
    }
    let at = Point::new(middle, 0.0, 0.0);
    scene.callouts.push(Callout { name: "round jaws", reading: Some(diameter), at });
}

fn pinching(scene: &mut Scene, forming: &Forming, waist: f64, done: f64) {
    let (wire, diameter) = (forming.setting.wire, forming.setting.pinch_jaw);
    let neck = forming.setting.neck;
    let (over, back) = (OVER * wire, BACK * wire);
    let middle = 0.5 * (waist + wire + diameter);
    for side in [-1.0, 1.0] {
        let at = Point::new(0.0, side * middle, 0.0);
        let tool = if neck > 0.0 {
            // Half-round jaws as long as the neck.
            let outline: Vec<Point> = (0..32)
                .map(|i| {
                    let (sin, cos) = (TAU * (f64::from(i) + 0.5) / 32.0).sin_cos();
                    at + 0.5 * diameter * Vector::new(cos, sin, 0.0)
                        + neck * cos.signum() * Vector::x()
                        - back * Vector::z()
                })
                .collect();
            Solid::prism(&outline, (over + back + 0.5 * wire) * Vector::z())
        } else {
            let ends = [at - back * Vector::z(), at + (over + 0.5 * wire) * Vector::z()];
            Solid::round(ends, [0.5 * diameter; 2], None)
        };
        scene.tools.push(tool);
        let to = at + side * (0.5 * diameter + 0.4 * wire) * Vector::y();
        if done < 1.0 {
            scene.arrows.push(Arrow { from: to + side * 2.2 * wire * Vector::y(), to });
        }
    }
    let at = Point::new(0.5 * diameter + neck, -middle, 0.0);
    scene.callouts.push(Callout { name: "pinch jaws", reading: Some(diameter), at });
}

fn folding(scene: &mut Scene, forming: &Forming, fold: &Fold, done: f64) {
    let (wire, diameter) = (forming.setting.wire, forming.setting.fold_jaw);
    let at = Point::new(0.0, 0.0, fold.radius);
    // From the far side, so that its end is seen and the fold too.
    let reach = 0.5 * fold.eight.waist;
    let along = -Vector::y();
    scene.tools.push(jaw(at + reach * along, along, diameter, wire));
    if done < 1.0 {
        scene.arrows.extend(thumbs(fold, &Pose::identity()));
    }
    // At its handle, away from the fold.
    let at = at + reach * along - (BACK * wire + 0.4 * diameter) * along;
    scene.callouts.push(Callout { name: "fold jaw", reading: Some(diameter), at });
}

/// Where thumbs press the two ends up round the fold.
fn thumbs(fold: &Fold, pose: &Pose) -> [Arrow; 2] {
    let wire = fold.eight.wire;
    [-1.0, 1.0].map(|side| {
        let (at, along) = fold.spine(side * 0.8 * fold.eight.tip());
        let up = Vector::new(-along.z, 0.0, along.x);
        let [from, to] = [3.4, 1.2].map(|wires| pose * (at - wires * wire * up));
        Arrow { from, to }
    })
}

/// Adds what bends up both ends of a link at `pose` round the one it hangs in.
pub(super) fn swinging_up(scene: &mut Scene, fold: &Fold, pose: &Pose) {
    scene.arrows.extend(thumbs(fold, pose));
    let at = scene.arrows[0].from;
    scene.callouts.push(Callout { name: "thumbs", reading: None, at });
}

/// Adds the scribe that opens the leading lobe of a link at `pose`.
pub(super) fn opening(scene: &mut Scene, fold: &Fold, pose: &Pose) {
    let eight = fold.leading();
    let (at, along) = fold.spine(eight.tip() - eight.end_radius);
    let out = Vector::new(along.z, 0.0, -along.x);
    // As thick in the lobe as the lobe is wide.
    let (radius, wire) = (0.5 * eight.bore(), eight.wire);
    let ends = [at - 1.5 * wire * out, at + 6.0 * wire * out];
    let slope = radius / (2.0 * wire);
    let radii = [0.5 * wire * slope, 8.0 * wire * slope].map(|r| r.max(0.05 * wire));
    scene.tools.push(Solid::round(ends, radii, None).moved(pose).faded());
    let at = pose * ends[1];
    scene.callouts.push(Callout { name: "scribe", reading: None, at });
}

/// Adds the flat jaws that pinch shut the tips of a link at `pose`.
pub(super) fn closing(scene: &mut Scene, fold: &Fold, pose: &Pose) {
    let wire = fold.eight.wire;
    let (tip, _) = fold.spine(fold.eight.tip());
    let half = [1.2 * wire, fold.eight.end_radius, 1.6 * wire];
    let axes = [Vector::x(), Vector::y(), Vector::z()];
    for side in [-1.0, 1.0] {
        let middle = Point::new(side * (tip.x + 0.5 * wire + half[0]), 0.0, tip.z);
        let tool = Solid::block(middle, [0, 1, 2].map(|i| half[i] * axes[i]));
        scene.tools.push(tool.moved(pose).faded());
        let to = middle + side * (half[0] + 0.3 * wire) * Vector::x();
        let from = to + side * 2.2 * wire * Vector::x();
        scene.arrows.push(Arrow { from: pose * from, to: pose * to });
    }
    let at = pose * Point::new(tip.x + 0.5 * wire + half[0], 0.0, tip.z - half[2]);
    scene.callouts.push(Callout { name: "flat jaws", reading: None, at });
}
