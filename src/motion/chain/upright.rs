//! How two links lie joined, upright or aslant: quick, for searches over links that differ a little.
//!
//! Model: upright, links rise straight along z, as in [`super::rest`]; aslant, one strand lies over the other where
//! both do not fit side by side, and the link may shift and turn in every way.
//! Limits: local searches from where links nearly like these lie; the clearances found are real.
//! Evidence: `tests/scatter.rs`, where they are held against those of `insertion`.

use super::maximin::{StopRule, maximise};
use super::rest::{SeatedPair, clearest_from, rising, seat_alone};
use super::{Body, Row};
use crate::geometry::curve::Pose;

/// A search from where links nearly like these lie ends at a gain of this, in wires.
const LIKE: f64 = 1e-4;
/// Aslant, it is given up where a step promises less than this share of what the clearance is short of.
const SLOW: f64 = 0.02;
/// Turn of a link from which it is looked for aslant, radians.
const SLANT: f64 = 0.5;

/// Two links upright in one another, as they lie or might.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Upright {
    /// Metal to metal, mm.
    pub clearance: f64,
    /// Rise from one to the other, mm.
    pub rise: f64,
}

impl Upright {
    /// Where `incoming` has most clearance in `receiving`.
    ///
    /// # Examples
    /// ```
    /// use linkfold::motion::chain::{Body, Upright};
    /// use linkfold::geometry::link::{Forming, ToolDimensions};
    /// let link = Forming::new(ToolDimensions::usual(1.0, 12.0))?; // wire and mandrel, mm
    /// let body = Body::of(&link.fold);
    /// let found = Upright::of(&body, &body);
    /// assert!(found.clearance > 0.0 && found.rise < body.size().z);
    /// # Ok::<(), linkfold::geometry::link::FormError>(())
    /// ```
    pub fn of(receiving: &Body, incoming: &Body) -> Upright {
        let SeatedPair { rise, touch, .. } = seat_alone(&Row::pair(receiving, incoming), 1);
        Upright { clearance: touch.clearance, rise }
    }

    /// The same, to a ten thousandth of a wire, from the rise of links nearly like these; or the first
    /// place found that has `enough` mm.
    pub fn near(rise: f64, receiving: &Body, incoming: &Body, enough: f64) -> Upright {
        let row = Row::pair(receiving, incoming);
        let rule = StopRule { clearance: enough, ..StopRule::at_optimum(LIKE * row.scale()) };
        let (rise, touch) = clearest_from(&row, rise, (0.0, row.height()), rule);
        Upright { clearance: touch.clearance, rise }
    }
}

/// Where `incoming` lies in `receiving` aslant, one strand over the other, and its clearance there, mm: the most
/// near `start`, where links nearly like these lie so, or the first found that is `enough`; without a
/// start from upright at the rise `near`, turned so about the line from leg to leg. Where it falls short
/// of `enough` by far and comes nearer slowly only, the search is given up.
pub fn aslant(
    (near, start): (f64, Option<Pose>),
    receiving: &Body,
    incoming: &Body,
    enough: f64,
) -> (Pose, f64) {
    let row = Row::pair(receiving, incoming);
    let turned = || row.twisted(&rising(near), &[0.0, 0.0, 0.0, SLANT, 0.0, 0.0]);
    let rule = StopRule { gain: LIKE * row.scale(), clearance: enough, share: SLOW };
    let found = maximise(&row, &start.unwrap_or_else(turned), [true; 6], rule);
    (found.step, found.touch.clearance)
}
