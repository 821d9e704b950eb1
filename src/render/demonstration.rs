//! The demonstration: one slider from the soldered ring to two loops joined.
//!
//! Its last chapter is played by [`Joining`].

use super::drawing::Finish;
use super::measure::Measure;
use super::strand::{ASIDE, FROM_ABOVE, strand};
use super::{Joining, Scene, tools};
use crate::geometry::curve::{Point, Vector};
use crate::geometry::link::{Forming, Step, StepShape};

/// A part of the demonstration.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Chapter {
    /// Ring to oval.
    Stretch,
    /// Oval to figure eight.
    Pinch,
    /// Figure eight to folded loop.
    Fold,
    /// One loop through the one before.
    Join,
}

/// Where each chapter ends on the slider, in the order of [`Chapter`].
const ENDS: [(Chapter, f64); 4] =
    [(Chapter::Stretch, 0.2), (Chapter::Pinch, 0.4), (Chapter::Fold, 0.65), (Chapter::Join, 1.0)];

impl Chapter {
    /// The chapter at `t` on the slider, and how much of it is done; `t` from 0 to 1.
    pub fn at(t: f64) -> (Chapter, f64) {
        let mut start = 0.0;
        for (chapter, end) in ENDS {
            if t <= end {
                return (chapter, ((t - start) / (end - start)).clamp(0.0, 1.0));
            }
            start = end;
        }
        (Chapter::Join, 1.0)
    }

    /// Where it ends on the slider.
    pub const fn end(self) -> f64 {
        ENDS[self as usize].1
    }

    /// Its name in a word.
    pub fn name(self) -> &'static str {
        match self {
            Chapter::Stretch => "Stretch",
            Chapter::Pinch => "Pinch",
            Chapter::Fold => "Fold",
            Chapter::Join => "Join",
        }
    }

    /// What is being done, in a maker's words.
    pub fn caption(self) -> &'static str {
        match self {
            Chapter::Stretch => "Stretch the soldered ring to an oval over two round jaws.",
            Chapter::Pinch => "Pinch the oval at its middle to a figure eight.",
            Chapter::Fold => "Fold the eight over a round jaw until its lobes face each other.",
            Chapter::Join => "Work the next loop through both lobes, and close it.",
        }
    }
}

/// The scene at `t` on the slider, from 0 to 1; in the last chapter the link and the next one
/// beside it.
pub fn moment(forming: &Forming, t: f64) -> Scene {
    let (chapter, share) = Chapter::at(t);
    let step = match chapter {
        Chapter::Stretch => Step::Stretch,
        Chapter::Pinch => Step::Pinch,
        Chapter::Fold => Step::Fold,
        Chapter::Join => {
            let (receiving, incoming) = (forming, forming);
            return Joining { receiving, incoming, before: &[], path: None }.scene(share).0;
        }
    };
    let shape = forming.at(step, share);
    let home = if chapter == Chapter::Fold { FROM_ABOVE.towards(ASIDE, share) } else { FROM_ABOVE };
    let mut scene = Scene {
        strands: vec![strand(shape.curve(), forming, Finish::Own)],
        measures: measures(forming, &shape),
        home,
        ..Scene::default()
    };
    tools::at_work(&mut scene, forming, &shape, share);
    scene
}

fn measures(forming: &Forming, shape: &StepShape) -> Vec<Measure> {
    let wire = forming.setting.wire;
    let half = 0.5 * wire;
    let across = |name, axis: usize, at: Point, aside: Vector, reading: f64| {
        let (mut from, mut to) = (at, at);
        from[axis] -= 0.5 * reading;
        to[axis] += 0.5 * reading;
        Measure { name, from, to, aside, reading }
    };
    let middle = Point::origin();
    match shape {
        StepShape::Oval(oval) => {
            let (length, width) = (oval.inside_length(), oval.inside_width());
            let below = -(0.5 * width + wire) * Vector::y();
            let above = (0.5 * width + wire) * Vector::y();
            vec![
                across("inside length", 0, middle, below, length),
                across("inside width", 1, middle, above, width),
            ]
        }
        StepShape::Eight(eight) => {
            let lobe = Point::new(eight.tip() - eight.end_radius, 0.0, 0.0);
            let beyond = (eight.end_radius + half) * Vector::x();
            // Over one wire at the waist, into the hollow beside it.
            let over = (0.5 * eight.waist_gap().max(0.0) + wire) * Vector::y();
            vec![
                across("bore", 1, lobe, beyond, eight.bore()),
                across("waist gap", 1, middle, over, eight.waist_gap()),
            ]
        }
        StepShape::Fold(fold) => {
            let tip = fold.tip_height();
            let edge = fold.radius * fold.half_angle;
            let reach = fold.spine(fold.eight.tip()).0.x.max(fold.spine(edge).0.x);
            let height = Measure {
                name: "height",
                from: Point::new(0.0, 0.0, -half),
                to: Point::new(0.0, 0.0, tip + half),
                // Beyond the near lobe's corner: clear of the wire as seen from ASIDE.
                aside: Vector::new(reach + half, -fold.eight.end_radius, 0.0),
                reading: fold.outside_height(),
            };
            let over = half * Vector::z();
            let tips = Point::new(0.0, 0.0, tip);
            let mut found = vec![height, across("tip gap", 0, tips, over, fold.tip_gap())];
            if fold.half_angle > 0.8 {
                let level = Point::new(0.0, 0.0, fold.radius);
                let under = -(fold.radius + half) * Vector::z();
                found.push(across("leg gap", 0, level, under, fold.leg_gap()));
            }
            found
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::design::Design;

    #[test]
    fn the_slider_runs_through_every_chapter_without_a_jump() {
        let forming = Design::plain(0.9, 12.0).formings().unwrap()[0];
        let mut before: Option<Scene> = None;
        for i in 0..=200 {
            let scene = moment(&forming, f64::from(i) / 200.0);
            if let Some(before) = &before
                && before.strands.len() == scene.strands.len()
            {
                let at = |s: &Scene| s.strands.last().unwrap().curve.pieces()[0].start();
                let moved = (at(before) - at(&scene)).norm();
                assert!(moved < 1.5, "step {i}: {moved} mm");
            }
            before = Some(scene);
        }
        assert_eq!(before.unwrap().strands.len(), 2);
    }
}
