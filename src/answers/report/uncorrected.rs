//! What comes of tools that are set to the design's own dimensions, and of no correction for
//! springback: stands beside the verdict, which takes the shapes wanted.
//!
//! The design's joins are asked again with the shapes that its metal leaves; the worst of them is
//! reported. Evidence: the test below; the springback itself: `tests/forming.rs`.

use super::join::{JoinAnswer, JoinReport};
use super::proving::{all_joins, bare_join};
use super::whole::WholeAnswer;
use super::wording::{measured, words};
use crate::answers::build::BuildError;
use crate::documents::design::{Design, Shapes};
use crate::documents::units::LengthUnit;
use crate::geometry::link::Forming;
use serde::{Deserialize, Serialize};

/// What comes of the design's dimensions taken as those of the tools.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct UncorrectedReport {
    /// The deciding join's answer; left out where no link is left.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub verdict: Option<JoinAnswer>,
    /// Its least clearance, as in a join.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub least_clearance_mm: Option<f64>,
    /// In a sentence.
    pub message: String,
}

/// A part of the answer.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum UncorrectedPart {
    /// All of it: none where there is nothing to say.
    Whole(Option<UncorrectedReport>),
    /// A join asked again; none where there is no such join.
    Join(Option<Box<JoinReport>>),
}

/// The joins of `design` asked again with the shapes that its tools leave when nobody corrects them;
/// none where the verdict itself is on those. The sentence speaks `unit`. As long as a proof of every
/// join.
pub fn uncorrected(design: &Design, unit: LengthUnit) -> Option<UncorrectedReport> {
    let as_typed = as_typed(design)?;
    match as_typed.formings() {
        Ok(formings) => uncorrected_of(design, &all_joins(&as_typed, &formings, unit, false), unit),
        Err(error) => Some(no_link(&error, unit)),
    }
}

/// The same of the join at `index` of [`super::Report::joins`] alone; `formed` works a design.
pub fn uncorrected_part<F: AsRef<[Forming]>>(
    design: &Design,
    index: usize,
    unit: LengthUnit,
    formed: impl FnOnce(&Design) -> Result<F, BuildError>,
) -> UncorrectedPart {
    let Some(as_typed) = as_typed(design) else { return UncorrectedPart::Whole(None) };
    match formed(&as_typed) {
        Ok(formings) => {
            let join = bare_join(&as_typed, formings.as_ref(), index, unit);
            UncorrectedPart::Join(join.map(Box::new))
        }
        Err(error) => UncorrectedPart::Whole(Some(no_link(&error, unit))),
    }
}

/// The design on the shapes that its tools leave; none where it is on those already.
fn as_typed(design: &Design) -> Option<Design> {
    let mut as_typed = design.clone();
    as_typed.metal.shapes = Shapes::AfterSpringback;
    (as_typed.metal.shapes != design.metal.shapes).then_some(as_typed)
}

/// What is said of a design whose joins, asked again, are these.
pub fn uncorrected_of(
    design: &Design,
    joins: &[JoinReport],
    unit: LengthUnit,
) -> Option<UncorrectedReport> {
    let decides = joins.get(WholeAnswer::of(joins, 0)?.join)?;
    let which = if joins.len() > 1 { format!(" ({})", decides.name()) } else { String::new() };
    let clearance = decides.clearance_text(unit);
    let comes = match decides.verdict {
        JoinAnswer::Passes => format!("clearance {clearance}"),
        JoinAnswer::PassesIfSprung => format!("clearance {clearance}, the tips sprung open"),
        JoinAnswer::DoesNotPass if decides.least_clearance_mm < 0.0 => {
            format!(
                "they do not join, the wires overlap by {}",
                measured(-decides.least_clearance_mm, unit)
            )
        }
        JoinAnswer::DoesNotPass => "they do not join".into(),
        _ => "too close to tell whether they join".into(),
    };
    let tools = tools(design, unit);
    Some(UncorrectedReport {
        verdict: Some(decides.verdict),
        least_clearance_mm: Some(decides.least_clearance_mm),
        message: format!("{tools} and no correction for springback: {comes}{which}."),
    })
}

fn no_link(error: &BuildError, unit: LengthUnit) -> UncorrectedReport {
    UncorrectedReport {
        verdict: None,
        least_clearance_mm: None,
        message: format!(
            "With these tools and no correction for springback no link is left: {}.",
            error.message(&error.field(), unit)
        ),
    }
}

/// The tools in question; the fold jaw is named where there is one size.
fn tools(design: &Design, unit: LengthUnit) -> String {
    match design.settings().as_deref() {
        Ok([only]) => format!("With a fold jaw of {}", words(only.fold_jaw, unit)),
        _ => "With tools of these dimensions".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answers::report::Report;

    /// The same as the verdict on the design whose shapes are those after springback.
    #[test]
    fn tools_without_correction_are_answered_for_what_they_leave() {
        let design = Design::plain(0.9, 12.0);
        let found = uncorrected(&design, LengthUnit::Mm).unwrap();
        let mut as_typed = design.clone();
        as_typed.metal.shapes = Shapes::AfterSpringback;
        let report = Report::of(&as_typed).unwrap();
        assert_eq!(report.uncorrected, None, "that verdict leads");
        assert_eq!(found.verdict, Some(report.joins[0].verdict));
        assert_eq!(found.least_clearance_mm, Some(report.joins[0].least_clearance_mm));
        // The silver springs so far that it overlaps by this.
        assert_eq!(found.verdict, Some(JoinAnswer::DoesNotPass));
        let overlap = measured(-report.joins[0].least_clearance_mm, LengthUnit::Mm);
        assert!(found.message.contains(&format!("overlap by {overlap}")), "{}", found.message);
        assert!(found.message.contains("no correction for springback"), "{}", found.message);
    }

    /// Join by join it is the same as in one, and where there is no link every part says so.
    #[test]
    fn the_parts_make_up_the_whole() {
        let mut design = Design::plain(0.9, 12.0);
        design.sizes.push(design.sizes[0].clone());
        design.sizes[1].mandrel_mm = 12.6;
        let part = |design: &Design, index| {
            uncorrected_part(design, index, LengthUnit::Mm, Design::formings)
        };
        let join = |index| match part(&design, index) {
            UncorrectedPart::Join(join) => join.map(|join| *join),
            UncorrectedPart::Whole(whole) => panic!("{whole:?}"),
        };
        let joins: Vec<JoinReport> = (0..9).map_while(join).collect();
        assert_eq!(joins.len(), 4);
        let whole = uncorrected(&design, LengthUnit::Mm);
        assert!(whole.is_some());
        assert_eq!(uncorrected_of(&design, &joins, LengthUnit::Mm), whole);
        design.metal.shapes = Shapes::AfterSpringback;
        let part = part(&design, 0);
        assert!(matches!(part, UncorrectedPart::Whole(None)), "{part:?}");
    }
}
