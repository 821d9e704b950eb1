//! Jaw marks: where along a conical jaw a wanted diameter sits, to paint a stripe there.
//!
//! Model: the jaw's diameter grows evenly, from `t` at the tip to `b` after the length `l`:
//!
//! ```text
//! D(x) = t + (b − t) x / l,  so  x = l (D − t) / (b − t),  and a slip of 1 mm is (b − t)/l mm of D
//! ```
//!
//! Distances along the axis. A wire laid on a cone touches it a little nearer the base than its
//! middle, by half a wire times the sine of the half angle; that changes the inside of the bend by less
//! than a hundredth of the wire at a taper of 0.2 mm to the millimetre, and is left out.

use crate::documents::bench::ConicalPliers;
use crate::geometry::link::ToolDimensions;

/// A wanted diameter on one pair of pliers.
#[derive(Clone, Debug, PartialEq)]
pub struct JawMark {
    /// Which pliers.
    pub pliers: String,
    /// What the diameter is for.
    pub used_as: &'static str,
    /// The diameter, mm.
    pub diameter: f64,
    /// Where it sits.
    pub position: JawPosition,
    /// Change of diameter with a slip of one millimetre along the jaw, mm.
    pub slip: f64,
}

/// Where a diameter sits on a conical jaw, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum JawPosition {
    /// So far from the tip.
    On {
        /// From the tip along the axis.
        from_tip: f64,
    },
    /// Nowhere: even the tip is thicker.
    ThinnerThanTip {
        /// By how much, in diameter.
        by: f64,
    },
    /// Nowhere: even the base is thinner.
    ThickerThanBase {
        /// By how much, in diameter.
        by: f64,
    },
}

impl ConicalPliers {
    /// Where `diameter` (mm) sits.
    pub fn position(&self, diameter: f64) -> JawPosition {
        if diameter < self.tip_mm {
            JawPosition::ThinnerThanTip { by: self.tip_mm - diameter }
        } else if diameter > self.base_mm {
            JawPosition::ThickerThanBase { by: diameter - self.base_mm }
        } else {
            let share = (diameter - self.tip_mm) / (self.base_mm - self.tip_mm);
            JawPosition::On { from_tip: self.length_mm * share }
        }
    }

    /// Change of diameter, mm, to a millimetre along the jaw.
    pub fn slip(&self) -> f64 {
        (self.base_mm - self.tip_mm) / self.length_mm
    }
}

/// The round jaws that a size of link is worked on, mm, in the order of the work; one line for
/// those of the same diameter.
pub fn jaws_of(setting: &ToolDimensions) -> Vec<(&'static str, f64)> {
    let ToolDimensions { oval_jaw, pinch_jaw, fold_jaw, .. } = *setting;
    // Nearer to one another than any stripe.
    let same = |a: f64, b: f64| (a - b).abs() < 1e-6;
    match (same(oval_jaw, pinch_jaw), same(pinch_jaw, fold_jaw), same(oval_jaw, fold_jaw)) {
        (true, true, _) => vec![("all jaws", oval_jaw)],
        (true, _, _) => vec![("oval and pinch jaws", oval_jaw), ("fold jaw", fold_jaw)],
        (_, true, _) => vec![("oval jaws", oval_jaw), ("pinch jaws and fold jaw", fold_jaw)],
        (_, _, true) => vec![("oval jaws and fold jaw", oval_jaw), ("pinch jaws", pinch_jaw)],
        _ => vec![("oval jaws", oval_jaw), ("pinch jaws", pinch_jaw), ("fold jaw", fold_jaw)],
    }
}

/// Every mark that `setting` asks for on `pliers`.
pub fn marks_of(setting: &ToolDimensions, pliers: &ConicalPliers) -> Vec<JawMark> {
    let jaws = jaws_of(setting).into_iter();
    jaws.map(|(used_as, diameter)| JawMark {
        pliers: pliers.name.clone(),
        used_as,
        diameter,
        position: pliers.position(diameter),
        slip: pliers.slip(),
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Tip 1.5 mm, base 6.5 mm, 25 mm long: 5 mm over 25 mm is 0.2 mm to the millimetre. 2.5 mm
    /// is 1 mm over the tip, so it sits 1/0.2 = 5 mm up; 4.1 mm is 2.6 mm over, so 13 mm.
    #[test]
    fn a_diameter_sits_where_the_rule_of_three_says() {
        let pliers = ConicalPliers { name: "A".into(), tip_mm: 1.5, base_mm: 6.5, length_mm: 25.0 };
        let on = |mm: f64| match pliers.position(mm) {
            JawPosition::On { from_tip } => from_tip,
            other => panic!("{mm}: {other:?}"),
        };
        assert!((on(2.5) - 5.0).abs() < 1e-12 && (on(4.1) - 13.0).abs() < 1e-12);
        assert!((pliers.slip() - 0.2).abs() < 1e-12);
        assert_eq!((on(1.5), on(6.5)), (0.0, 25.0));
        // 1.2 mm is 0.3 mm less than the tip, 7 mm half a millimetre more than the base.
        let JawPosition::ThinnerThanTip { by } = pliers.position(1.2) else { panic!() };
        assert!((by - 0.3).abs() < 1e-12, "{by}");
        let JawPosition::ThickerThanBase { by } = pliers.position(7.0) else { panic!() };
        assert!((by - 0.5).abs() < 1e-12, "{by}");
    }

    /// A tapered mandrel as a ring maker has it: 10 mm to 26 mm over 280 mm is 4 mm to the
    /// 70 mm; 12 mm sits 35 mm up, and a millimetre of slip is 0.057 mm.
    #[test]
    fn a_long_taper_forgives_a_slip() {
        let pliers =
            ConicalPliers { name: "B".into(), tip_mm: 10.0, base_mm: 26.0, length_mm: 280.0 };
        let JawPosition::On { from_tip } = pliers.position(12.0) else { panic!() };
        assert!((from_tip - 35.0).abs() < 1e-12, "{from_tip}");
        assert!((pliers.slip() - 4.0 / 70.0).abs() < 1e-12);
    }

    /// Wire 1 mm in usual proportion: oval jaws and fold jaw 2.5 mm, pinch jaws 2 mm.
    #[test]
    fn jaws_of_one_diameter_get_one_mark() {
        let setting = crate::documents::design::Design::plain(1.0, 12.0).settings().unwrap()[0];
        assert_eq!(jaws_of(&setting), [("oval jaws and fold jaw", 2.5), ("pinch jaws", 2.0)]);
        let pliers = ConicalPliers { name: "A".into(), tip_mm: 1.0, base_mm: 5.0, length_mm: 20.0 };
        let stands: Vec<JawPosition> =
            marks_of(&setting, &pliers).iter().map(|m| m.position).collect();
        assert_eq!(stands, [JawPosition::On { from_tip: 7.5 }, JawPosition::On { from_tip: 5.0 }]);
    }
}
