//! A design with everything in it written down.

use super::{Design, DesignError};

impl Design {
    /// The same with every length that was left out written down as what it stands for, so that
    /// a change of one dimension changes no other. An oval drawn taut and a free choice of the
    /// tip gap while joining stay so.
    ///
    /// # Errors
    /// [`DesignError`] for the first field outside its range.
    pub fn settled(&self) -> Result<Design, DesignError> {
        let mut design = self.clone();
        for (size, setting) in design.sizes.iter_mut().zip(self.settings()?) {
            size.bore_mm = Some(setting.bore);
            size.oval_jaw_mm = Some(setting.oval_jaw);
            size.waist_gap_mm = Some(setting.waist_gap);
            size.pinch_jaw_mm = Some(setting.pinch_jaw);
            size.fold_jaw_mm = Some(setting.fold_jaw);
            size.tip_gap_mm = Some(setting.tip_gap);
        }
        Ok(design)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_settled_design_is_worked_the_same_and_keeps_its_jaws_when_the_wire_changes() {
        let plain = Design::plain(1.2, 12.0);
        let settled = plain.settled().unwrap();
        assert_eq!(plain.settings().unwrap(), settled.settings().unwrap());
        let mut thinner = settled.clone();
        thinner.wire.diameter_mm = Some(0.9);
        let setting = thinner.settings().unwrap()[0];
        assert_eq!((setting.bore, setting.fold_jaw, setting.wire), (3.0, 3.0, 0.9));
    }
}
