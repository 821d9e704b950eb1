//! The map: how much clearance there is when two dimensions of a size change.
//!
//! A grid over both dimensions, filled coarse to fine: first every eighth place each way, then
//! only where the answer turns (no clearance at all, or the clearance asked for) between neighbours.
//! What lies between alike neighbours is interpolated, and says so.
//! Model: the clearance [`clearance`] finds for links of one size, the flat eight threaded: a search,
//! no proof. Everything else in the design stays; a proportion left out goes with the wire.
//! Conventions: mm.
//! Evidence: the tests below.

mod axis;
mod grid;

pub use axis::{AXES, Range};
pub use grid::{CellBasis, FINEST, Grid, MOST_COMPUTED, MapCell};

use crate::answers::build::BuildError;
use crate::answers::dimension::Dimension;
use crate::documents::design::Design;
use crate::geometry::link::ToolDimensions;
use crate::motion::insertion::max_clearance;
use serde::{Deserialize, Serialize};

/// What a map is of.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Question {
    /// The design; only the two dimensions of `size` change.
    pub design: Design,
    /// Which of its sizes.
    pub size: usize,
    /// The dimension across the map and its range.
    pub across: Range,
    /// The dimension up the map.
    pub up: Range,
}

impl Question {
    /// A map round the present design: `None` where the size is not there, or both axes are
    /// one.
    pub fn round(design: &Design, size: usize, axes: [Dimension; 2]) -> Option<Question> {
        let setting = *design.settings().ok()?.get(size)?;
        let [across, up] = axes.map(|axis| Range::round(axis, &setting));
        (axes[0] != axes[1]).then(|| Question { design: design.clone(), size, across, up })
    }

    /// Whether a map of this is also one of `other`: nothing differs but, perhaps, the two
    /// dimensions, and those lie on it.
    pub fn serves(&self, design: &Design, size: usize) -> bool {
        let Some(place) = place(design, size, [self.across.axis, self.up.axis]) else {
            return false;
        };
        let same = |d: &Design| {
            let mut d = d.clone();
            // Words and the clearance asked for change no clearance.
            (d.name, d.notes, d.margin_mm) = Default::default();
            self.across.axis.set_shared(&mut d, size, 1.0);
            self.up.axis.set_shared(&mut d, size, 1.0);
            d
        };
        size == self.size
            && self.across.holds(place[0])
            && self.up.holds(place[1])
            && same(design) == same(&self.design)
    }

    /// The design at a place of the map, mm.
    pub fn design_at(&self, place: [f64; 2]) -> Design {
        let mut design = self.design.clone();
        self.across.axis.set_shared(&mut design, self.size, place[0]);
        self.up.axis.set_shared(&mut design, self.size, place[1]);
        design
    }

    /// Where the dimensions of a node stand, mm.
    pub fn place_of(&self, node: [u8; 2]) -> [f64; 2] {
        let share = node.map(|i| f64::from(i) / f64::from(FINEST));
        [self.across.at(share[0]), self.up.at(share[1])]
    }

    /// The most clearance found there, mm.
    ///
    /// # Errors
    /// [`BuildError`] where such a link cannot be formed.
    pub fn clearance_at(&self, node: [u8; 2]) -> Result<f64, BuildError> {
        let mut design = self.design_at(self.place_of(node));
        // The others need not be formed for this one's answer.
        design.sizes = design.sizes.into_iter().skip(self.size).take(1).collect();
        let formings = design.formings()?;
        Ok(formings.first().map_or(f64::NEG_INFINITY, |own| max_clearance(own, own)))
    }
}

/// Where a size of `design` stands on two axes, mm.
pub fn place(design: &Design, size: usize, axes: [Dimension; 2]) -> Option<[f64; 2]> {
    let setting: ToolDimensions = *design.settings().ok()?.get(size)?;
    Some(axes.map(|axis| axis.of(&setting)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_map_serves_while_only_its_two_dimensions_change() {
        let design = Design::plain(0.9, 12.0);
        let question =
            Question::round(&design, 0, [Dimension::MandrelMm, Dimension::WireMm]).unwrap();
        assert!(question.serves(&design, 0));
        let moved = question.design_at([13.0, 0.85]);
        assert_eq!(place(&moved, 0, [Dimension::MandrelMm, Dimension::WireMm]), Some([13.0, 0.85]));
        assert!(question.serves(&moved, 0));
        assert!(!question.serves(&question.design_at([50.0, 0.85]), 0), "off the map");
        let mut other = design.clone();
        other.sizes[0].bore_mm = Some(3.0);
        assert!(!question.serves(&other, 0) && !question.serves(&design, 1));
        let mut worded = design.clone();
        (worded.name, worded.margin_mm) = ("else".into(), 0.3);
        assert!(question.serves(&worded, 0));
        assert!(Question::round(&design, 0, [Dimension::WireMm, Dimension::WireMm]).is_none());
    }

    #[test]
    fn more_mandrel_gives_more_clearance_and_what_cannot_be_formed_is_told() {
        let design = Design::plain(0.9, 12.0);
        let question =
            Question::round(&design, 0, [Dimension::MandrelMm, Dimension::WireMm]).unwrap();
        let (low, high) = (question.clearance_at([16, 24]), question.clearance_at([64, 24]));
        assert!(low.clone().unwrap() < high.clone().unwrap(), "{low:?} {high:?}");
        assert!(question.clearance_at([0, 64]).is_err());
        // A size of its own wire, in a chain whose other sizes cannot take part.
        let mut pair = design.clone();
        pair.sizes.push(pair.sizes[0].clone());
        pair.sizes[1].mandrel_mm = 9.0;
        let question =
            Question::round(&pair, 0, [Dimension::MandrelMm, Dimension::WireMm]).unwrap();
        assert!(question.clearance_at([32, 40]).is_ok());
    }
}
