//! What comes of tools that are set to the design's own dimensions, and of no correction for
//! springback: stands beside the verdict, which takes the shapes wanted.
//!
//! The design's joins are asked again with the shapes that its metal leaves; the one that decides is
//! reported: the first where it does not join, so that the others are asked only where it does.
//! Evidence: the tests below; the springback itself: `tests/forming.rs`.

use super::join::{JoinAnswer, JoinReport};
use super::proving::{bare_join, pairs};
use super::whole::{DesignVerdict, WholeAnswer};
use super::wording::{measured, words};
use crate::answers::build::BuildError;
use crate::documents::design::{Design, Shapes};
use crate::documents::units::LengthUnit;
use crate::geometry::link::Forming;
use crate::math::map_indices;
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
/// join at the most.
pub fn uncorrected(design: &Design, unit: LengthUnit) -> Option<UncorrectedReport> {
    let as_typed = as_typed(design)?;
    let formings = match as_typed.formings() {
        Ok(formings) => formings,
        Err(error) => return Some(no_link(&error, unit)),
    };
    let join = |index| bare_join(&as_typed, &formings, index, unit);
    let first = join(0)?;
    let others = if decides(&first) { 0 } else { pairs(formings.len()).count() - 1 };
    let others = map_indices(others, |index| join(index + 1));
    let joins: Vec<JoinReport> =
        std::iter::once(first).chain(others.into_iter().flatten()).collect();
    uncorrected_of(design, &joins, unit)
}

/// Whether the first join decides, whatever the others are: of those that do not join it is the one
/// told.
fn decides(first: &JoinReport) -> bool {
    DesignVerdict::of(first) == DesignVerdict::No
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

/// What is said of a design whose joins, asked again, are these as far as they are known, inner none
/// where there is none; none while it is not known which of them decides.
pub fn uncorrected_so_far(
    design: &Design,
    joins: &[Option<Option<JoinReport>>],
    unit: LengthUnit,
) -> Option<Option<UncorrectedReport>> {
    if let Some(Some(Some(first))) = joins.first()
        && decides(first)
    {
        return Some(uncorrected_of(design, std::slice::from_ref(first), unit));
    }
    let all: Option<Vec<_>> = joins.iter().cloned().collect();
    let all: Vec<JoinReport> = all?.into_iter().flatten().collect();
    Some(uncorrected_of(design, &all, unit))
}

/// What is said of a design of whose joins these count.
fn uncorrected_of(
    design: &Design,
    joins: &[JoinReport],
    unit: LengthUnit,
) -> Option<UncorrectedReport> {
    let decides = joins.get(WholeAnswer::of(joins, 0)?.join)?;
    let several = design.sizes.len() > 1;
    let which = if several { format!(" ({})", decides.name()) } else { String::new() };
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
        // As soon as it is known which one decides: here the first.
        let mut known = vec![None; 4];
        known[3] = Some(Some(joins[3].clone()));
        assert_eq!(uncorrected_so_far(&design, &known, LengthUnit::Mm), None);
        known[0] = Some(Some(joins[0].clone()));
        assert_eq!(uncorrected_so_far(&design, &known, LengthUnit::Mm), Some(whole));
        // Where the first joins, the others are asked.
        let mut wide = design.clone();
        for size in &mut wide.sizes {
            size.mandrel_mm = 18.0;
            (size.bore_mm, size.fold_jaw_mm) = (Some(3.6), Some(3.6));
        }
        let first = match part(&wide, 0) {
            UncorrectedPart::Join(join) => join.map(|join| *join),
            UncorrectedPart::Whole(whole) => panic!("{whole:?}"),
        };
        assert_ne!(DesignVerdict::of(first.as_ref().unwrap()), DesignVerdict::No, "{first:?}");
        let all = (0..4).map(|index| match part(&wide, index) {
            UncorrectedPart::Join(join) => Some(join.map(|join| *join)),
            UncorrectedPart::Whole(whole) => panic!("{whole:?}"),
        });
        let all: Vec<_> = all.collect();
        let whole = uncorrected(&wide, LengthUnit::Mm);
        assert_eq!(
            uncorrected_so_far(&wide, &[Some(first), None, None, None], LengthUnit::Mm),
            None
        );
        assert_eq!(uncorrected_so_far(&wide, &all, LengthUnit::Mm), Some(whole));
        design.metal.shapes = Shapes::AfterSpringback;
        let part = part(&design, 0);
        assert!(matches!(part, UncorrectedPart::Whole(None)), "{part:?}");
    }
}
