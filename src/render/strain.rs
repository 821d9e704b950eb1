//! Strain along the wire: a band of shade on it, and a comb beside it that needs no colour.
//!
//! The comb's teeth stand out from the wire, as long as the strain; a broken line beside it is
//! what the annealed metal takes. Teeth past that line are thicker. The greatest is labelled.
//! Limits: for flat outlines seen from above; seen from the side, comb and wire overlap.

use super::comb::Comb;
use super::drawing::Finish;
use super::strand::FROM_ABOVE;
use super::{Scene, Strand};
use crate::answers::report::StepReport;
use crate::geometry::link::Forming;

/// The size after one of `steps` with the strain its metal has taken; the winding is shown on the
/// closed ring, what comes after the pinch on the flat eight.
pub fn strained(forming: &Forming, steps: &[StepReport], step: usize) -> Option<Scene> {
    let report = steps.get(step)?;
    let pressed = |bore| forming.eight.with_bore(bore).unwrap_or(forming.eight);
    let curve = match report.step {
        "winding" => forming.ring.curve(),
        "stretch" => forming.oval.curve(),
        "press" => forming.setting.threading_bore.map_or(forming.eight, pressed).curve(),
        _ => forming.eight.curve(),
    };
    let radius = 0.5 * forming.setting.wire;
    Some(Scene {
        strands: vec![Strand {
            curve: curve.clone(),
            radius,
            finish: Finish::Own,
            seam: None,
            part: None,
        }],
        combs: vec![Comb {
            curve,
            radius,
            values: report.along.clone(),
            limit: report.allowance.likely,
            place: if step == 0 { report.at.into() } else { format!("at the {}", report.at) },
        }],
        home: FROM_ABOVE,
        ..Scene::default()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answers::report::MetalReport;
    use crate::documents::design::Design;
    use crate::documents::units::LengthUnit;
    use crate::render::comb::{HIGH, PLACES, TOOTH};
    use crate::render::{Camera, Mark, Window};
    use crate::render::{Drawing, Tone};

    fn drawn(wire: f64, mandrel: f64, step: usize) -> (Drawing, MetalReport) {
        let design = Design::plain(wire, mandrel);
        let forming = design.formings().unwrap()[0];
        let metal = MetalReport::of(&design, 0, LengthUnit::Mm).unwrap();
        let steps = &metal.working.as_ref().unwrap().steps;
        let scene = strained(&forming, steps, step).unwrap();
        let window = Window { width: 700.0, height: 450.0 };
        let view = Camera::default().view(scene.home, scene.fit(scene.home, window), window);
        let mut drawing = Drawing::default();
        scene.draw_into(&view, LengthUnit::Mm, &mut drawing);
        (drawing, metal)
    }

    /// Without colour the strain is there as length: the longest tooth over the wire's surface is
    /// the greatest strain in units of the allowance, and past it teeth are thicker and a label
    /// says so.
    #[test]
    fn the_comb_says_without_colour_what_the_shade_says() {
        let (drawing, metal) = drawn(0.9, 12.0, 3);
        let step = &metal.working.as_ref().unwrap().steps[3];
        let teeth = |wanted: Tone| -> Vec<f64> {
            let marks = drawing.marks.iter();
            marks
                .filter_map(|mark| match mark {
                    Mark::Stroke { tone, points, .. } if *tone == wanted && points.len() == 2 => {
                        let ends = &drawing.points[points.clone()];
                        Some((ends[0][0] - ends[1][0]).hypot(ends[0][1] - ends[1][1]))
                    }
                    _ => None,
                })
                .collect()
        };
        let (past, within) = (teeth(Tone::Warning), teeth(Tone::Ink));
        assert!(!past.is_empty() && past.len() + within.len() == PLACES / TOOTH);
        let longest = past.iter().copied().fold(0.0, f64::max) / (0.9 * HIGH);
        let greatest = step.plastic_strain.likely / step.allowance.likely;
        // Seen from 72 degrees up, a length across is foreshortened by 1 − sin 72° at most; teeth
        // stand every few places: 2 %.
        assert!((longest / greatest - 1.0).abs() < 0.07, "{longest}, {greatest}");
        let said = drawing.marks.iter().any(
            |mark| matches!(mark, Mark::Label { text, .. } if text.contains("more than it takes")),
        );
        assert!(said);
    }

    #[test]
    fn every_step_has_its_picture_and_no_more() {
        for step in 0..4 {
            let (drawing, _) = drawn(0.9, 14.0, step);
            let shades = drawing.marks.iter().filter(|m| matches!(m.tone(), Tone::Strain { .. }));
            assert!(shades.count() > 0, "step {step}");
            assert!(drawing.points.iter().all(|p| p[0].is_finite() && p[1].is_finite()));
        }
        let design = Design::plain(0.9, 14.0);
        assert_eq!(strained(&design.formings().unwrap()[0], &[], 0), None);
    }
}
