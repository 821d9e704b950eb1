//! A refusal for want of a joined pose, made a proof after the report: it takes seconds.
//!
//! Evidence: the tests below; the proof itself: `motion::insertion`.

use super::join::{JoinAnswer, JoinReport};
use super::proving::pairs;
use super::wording::measured;
use crate::documents::design::Design;
use crate::documents::units::LengthUnit;
use crate::geometry::link::Forming;
use crate::math::map_indices;
use crate::motion::chain::Weave;
use crate::motion::insertion::{JoinedPoseProof, PROOF_PARTS, RefusalBasis};

/// Whether it is proven, as far as one of [`PROOF_PARTS`] goes, that the links of the join at `index` of
/// [`super::Report::joins`] have no joined pose; not where they lie in another weave than the single one,
/// or the argument does not hold. Tenths of a second.
pub fn is_refusal_proven(design: &Design, formings: &[Forming], index: usize, part: usize) -> bool {
    let pair = pairs(formings.len()).nth(index).filter(|_| design.weave.weave() == Weave::SINGLE);
    let folds = pair.and_then(|(a, b)| Some((&formings.get(a)?.fold, &formings.get(b)?.fold)));
    let proof = folds.and_then(|(a, b)| JoinedPoseProof::part(a, b, part));
    proof.is_some_and(|mut proof| proof.is_found())
}

/// Every refusal among `joins` of `design` for want of a joined pose, proven if it can be; the
/// sentences speak `unit`. Seconds for each.
pub fn prove_refusals(
    design: &Design,
    formings: &[Forming],
    joins: &mut [JoinReport],
    unit: LengthUnit,
) {
    for (index, join) in joins.iter_mut().enumerate().filter(|(_, join)| join.is_refused_at_rest())
    {
        let part = |part| is_refusal_proven(design, formings, index, part);
        if map_indices(PROOF_PARTS, part).into_iter().all(|proven| proven) {
            join.take_refusal_proof(unit);
        }
    }
}

impl JoinReport {
    /// Whether the pair is refused because a search found no joined pose, without a proof.
    pub fn is_refused_at_rest(&self) -> bool {
        let best = self.paths.first();
        self.verdict == JoinAnswer::DoesNotPass
            && self.basis == "search"
            && best.is_some_and(|path| path.argument == Some(RefusalBasis::Rest))
    }

    /// Says of a refused pair that it is proven to have no joined pose; of any other, nothing.
    pub fn take_refusal_proof(&mut self, unit: LengthUnit) {
        if !self.is_refused_at_rest() {
            return;
        }
        let rest = self.rest_clearance_mm.unwrap_or(self.least_clearance_mm);
        self.basis = "proof".into();
        self.message = format!(
            "No, they cannot be joined: wherever closed links of these shapes lie in one another as in a chain, the wires overlap; by {} in the best place found.",
            measured(-rest, unit)
        );
        for path in &mut self.paths {
            if path.argument == Some(RefusalBasis::Rest) {
                path.argument = Some(RefusalBasis::JoinedPose);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::prove_all;
    use super::*;

    fn proven(mandrel: f64) -> (Vec<JoinReport>, Vec<JoinReport>) {
        let design = Design::plain(1.0, mandrel);
        let formings = design.formings().unwrap();
        let found = prove_all(&design, &formings, LengthUnit::Mm);
        let mut joins = found.clone();
        prove_refusals(&design, &formings, &mut joins, LengthUnit::Mm);
        (found, joins)
    }

    #[test]
    fn a_refusal_becomes_a_proof_and_says_so() {
        // Some mandrel is too small, not yet so small that the end is wider than the opening.
        let found = (0..20).map(|i| proven(12.0 - 0.25 * f64::from(i)));
        let refused = |(found, _): &(Vec<JoinReport>, _)| found[0].is_refused_at_rest();
        let (found, joins) = found.into_iter().find(refused).unwrap();
        assert_eq!((found[0].basis.as_str(), joins[0].basis.as_str()), ("search", "proof"));
        assert_eq!(joins[0].verdict, JoinAnswer::DoesNotPass);
        assert_eq!(joins[0].paths[0].argument, Some(RefusalBasis::JoinedPose));
        assert!(joins[0].message.contains("cannot be joined"), "{}", joins[0].message);
        assert_eq!(joins[0].rest_clearance_mm, found[0].rest_clearance_mm);
    }

    /// Nothing is taken that does not rest on the joined pose.
    #[test]
    fn a_pair_that_joins_stays_as_it_is() {
        let (found, mut joins) = proven(12.0);
        assert_eq!(found, joins);
        joins[0].take_refusal_proof(LengthUnit::Mm);
        assert_eq!(found, joins);
    }
}
