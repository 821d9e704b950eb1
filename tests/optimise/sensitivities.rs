//! Slopes against other steps, closed forms, and a kink made on purpose.

use linkfold::answers::optimise::{Dimension, Figure, Moves, sensitivity, sensitivity_over};
use linkfold::documents::design::Design;

fn of(moves: &[Moves], figure: Figure) -> Moves {
    *moves.iter().find(|m| m.figure == figure).unwrap()
}

#[test]
fn slopes_do_not_hang_on_the_step() {
    let design = Design::plain(0.9, 12.0);
    for dimension in [Dimension::MandrelMm, Dimension::BoreMm] {
        let told = sensitivity(&design, 0, dimension).unwrap();
        let [half, twice] =
            [0.01, 0.04].map(|step| sensitivity_over(&design, 0, dimension, step).unwrap());
        for moves in told.moves.iter().filter(|m| !m.kinked) {
            let slope = |m: Moves| 0.5 * (m.more.unwrap() - m.less.unwrap());
            let slopes = [
                slope(of(&half.moves, moves.figure)),
                slope(*moves),
                slope(of(&twice.moves, moves.figure)),
            ];
            // The angle's grain over the smallest step, and a tenth of the slope for its bend.
            let grain = match moves.figure.name().split('_').next() {
                Some("swing" | "twist") => moves.figure.grain(),
                Some("coil" | "suppleness") => 4e-3 * moves.value,
                _ => 1e-4 * moves.value.abs(),
            };
            let allowed = 0.1 * slopes[1].abs() + 0.1 * grain / (0.01 * 0.9);
            for other in slopes {
                assert!(
                    (other - slopes[1]).abs() <= allowed,
                    "{dimension:?} {moves:?}: {slopes:?}"
                );
            }
        }
    }
}

/// Width = bore + 2 d, ratio = M'/d, centreline = π (M + d) − k.
#[test]
fn slopes_of_closed_forms_are_exact() {
    let mut design = Design::plain(0.9, 12.0);
    design.sizes[0].springback_mm = Some(0.0);
    let bore = sensitivity(&design, 0, Dimension::BoreMm).unwrap();
    let mandrel = sensitivity(&design, 0, Dimension::MandrelMm).unwrap();
    for (moves, expected) in [
        (of(&bore.moves, Figure::WidthMm), 0.1),
        (of(&mandrel.moves, Figure::Ratio), 0.1 / 0.9),
        (of(&mandrel.moves, Figure::CentrelineMm), 0.1 * std::f64::consts::PI),
    ] {
        for (side, sign) in [(moves.less, -1.0), (moves.more, 1.0)] {
            assert!((side.unwrap() - sign * expected).abs() < 1e-9, "{moves:?}");
        }
        assert!(!moves.kinked);
    }
}

/// Tips that stand just as far apart as the fold is wide: opened further they make the chain
/// thicker, closed further they do not make it thinner.
#[test]
fn at_a_change_of_contact_both_sides_are_told() {
    let mut design = Design::plain(0.9, 14.0);
    (design.sizes[0].fold_jaw_mm, design.sizes[0].tip_gap_mm) = (Some(2.2), Some(2.2));
    let found = sensitivity(&design, 0, Dimension::TipGapMm).unwrap();
    let thickness = of(&found.moves, Figure::ThicknessMm);
    assert!(thickness.kinked, "{thickness:?}");
    assert!(thickness.less.unwrap().abs() < 0.01, "{thickness:?}");
    assert!((thickness.more.unwrap() - 0.1).abs() < 0.01, "{thickness:?}");
    // A waist pinched shut can only open.
    let shut = sensitivity(&Design::plain(0.9, 12.0), 0, Dimension::WaistGapMm).unwrap();
    assert!(shut.moves.iter().all(|m| m.less.is_none() && m.more.is_some()));
}
