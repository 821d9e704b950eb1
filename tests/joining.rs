//! The first estimate of a join behaves as the bench does.
#![cfg(not(target_arch = "wasm32"))]

use linkfold::answers::report::{JoinAnswer, JoinReport, Report};
use linkfold::documents::design::Design;
use linkfold::documents::units::LengthUnit;
use linkfold::motion::insertion::{Verdict, join};
use proptest::prelude::*;

fn estimates(design: &Design) -> Option<Vec<JoinReport>> {
    let formings = design.formings().ok()?;
    Some(Report::at_once(design, &formings, LengthUnit::Mm).joins)
}

fn word(design: &Design) -> Option<JoinAnswer> {
    estimates(design).map(|joins| joins[0].verdict)
}

fn rank(verdict: JoinAnswer) -> u8 {
    match verdict {
        JoinAnswer::LikelyDoesNotPass => 0,
        JoinAnswer::Tight => 1,
        JoinAnswer::LikelyPasses => 2,
        other => panic!("an estimate said {other:?}"),
    }
}

proptest! {
    /// Common practice, no source: a wire too thick on a mandrel too small cannot be joined.
    /// More mandrel, or less wire with the tools in proportion, never makes it worse.
    #[test]
    fn more_mandrel_or_less_wire_never_makes_a_join_worse(
        wire in 0.4..2.0_f64, ratio in 6.0..18.0_f64, more in 1.0..1.5_f64,
    ) {
        let mut small = Design::plain(wire, wire * ratio);
        small.kerf_mm = 0.0;
        small.margin_mm = 0.0;
        let Some(before) = word(&small) else { return Ok(()) };
        let mut wider = small.clone();
        wider.sizes[0].mandrel_mm *= more;
        let mut thinner = small.clone();
        thinner.wire.diameter_mm = Some(wire / more);
        for easier in [wider, thinner] {
            // What could be formed still can.
            let after = word(&easier).expect("an easier ring can be formed");
            prop_assert!(rank(after) >= rank(before), "{before:?} became {after:?}");
        }
    }
}

/// What the estimate asks is necessary: nothing that is proven to pass is estimated not to, on either
/// side of where the verdict turns. The proof's ways are replayed by an unrelated program
/// (`tests/insertion.rs`).
#[test]
fn nothing_proven_to_pass_is_estimated_not_to() {
    let mut seen = [0, 0];
    for (bore, jaw) in [(None, None), (Some(2.5), Some(2.6)), (Some(3.0), Some(2.8))] {
        for ratio in [7.5, 8.5, 9.0, 9.5, 10.0, 10.5, 11.0, 12.0] {
            let mut design = Design::plain(1.0, ratio);
            design.kerf_mm = 0.0;
            design.margin_mm = 0.0;
            (design.sizes[0].bore_mm, design.sizes[0].fold_jaw_mm) = (bore, jaw);
            let (Some(word), Ok(formings)) = (word(&design), design.formings()) else { continue };
            let proven = join(&formings[0], &formings[0]).best().verdict == Verdict::Passes;
            let refused = word == JoinAnswer::LikelyDoesNotPass;
            assert!(!(proven && refused), "bore {bore:?}, ratio {ratio}");
            seen[0] += usize::from(proven);
            seen[1] += usize::from(refused);
        }
    }
    assert!(seen.into_iter().all(|count| count >= 3), "{seen:?}");
}

/// Common practice, no source: the smallest size of a taper is the one to try first.
#[test]
fn of_a_taper_in_one_wire_the_smallest_size_is_the_tightest() {
    let mut design = Design::plain(1.0, 9.0);
    design.sizes[0].fold_jaw_mm = Some(3.5);
    design.sizes.push(design.sizes[0].clone());
    design.sizes.push(design.sizes[0].clone());
    design.sizes[1].mandrel_mm = 10.0;
    design.sizes[2].mandrel_mm = 11.0;
    let own: Vec<f64> =
        estimates(&design).unwrap()[..3].iter().map(|j| j.least_clearance_mm).collect();
    assert!(own[0] < own[1] && own[1] < own[2], "{own:?}");
}
