//! The links that are there when the next one is joined into a weave.
//!
//! Of one size they lie straight and evenly, each where it has most clearance. Where one size
//! follows another there is a row for every link of the new size until none of the old one reaches
//! it: the join of the two sizes passes where all of these do.

use crate::geometry::curve::Pose;
use crate::geometry::link::Forming;
use crate::motion::chain::{Body, ChainError, Weave, mixed_row, seated};
use crate::motion::insertion::{Join, PlacedLink, join_in_row, max_clearance_in_row};

/// A row before the next link is joined to it.
pub struct InRow<'a> {
    /// The nearest that is gone through.
    nearest: &'a Forming,
    incoming: &'a Forming,
    /// All others, where they lie in that one's frame, and whether they are gone through.
    others: Vec<(&'a Forming, Pose, bool)>,
}

/// Why there is no row to be joined into.
pub enum NoRow {
    /// Links of this shape do not lie in the weave.
    DoesNotLie(ChainError),
    /// Too many lie beside one another for the search, in words.
    TooMany(String),
}

/// A link beside more than this many others takes too long to try.
const LONGEST_ROW: f64 = 48.0;

impl InRow<'_> {
    /// The next link joined.
    pub fn join(&self) -> Join {
        join_in_row(self.nearest, self.incoming, &self.placed())
    }

    /// The most clearance found for it, mm: a search, no proof.
    pub fn searched_clearance(&self) -> f64 {
        max_clearance_in_row(self.nearest, self.incoming, &self.placed())
    }

    fn placed(&self) -> Vec<PlacedLink<'_>> {
        let others = self.others.iter().map(|(link, pose, is_gone_through)| PlacedLink {
            fold: &link.fold,
            pose: *pose,
            is_gone_through: *is_gone_through,
        });
        others.collect()
    }

    /// Where the others lie, in the frame of the nearest that is gone through.
    pub fn before(&self) -> Vec<Pose> {
        self.others.iter().map(|(_, pose, _)| *pose).collect()
    }
}

/// The rows that `incoming` is joined into after links like `receiving`: one where both are `same`,
/// else one for each link of the new size, the first first.
///
/// # Errors
/// [`NoRow`] where the links do not lie so, or too many lie beside one another.
pub fn rows<'a>(
    receiving: &'a Forming,
    incoming: &'a Forming,
    same: bool,
    weave: Weave,
) -> Result<Vec<InRow<'a>>, NoRow> {
    let bodies = [receiving, incoming].map(|link| Body::of(&link.fold));
    let rise = seated(&bodies[0], weave).map_err(NoRow::DoesNotLie)?.clearest_rise;
    let least = if same {
        rise
    } else {
        rise.min(seated(&bodies[1], weave).map_err(NoRow::DoesNotLie)?.clearest_rise)
    };
    let height = receiving.fold.outside_height().max(incoming.fold.outside_height());
    // More links than reach as far as the next one.
    let beside = (height / least).ceil();
    if !(beside <= LONGEST_ROW) {
        return Err(NoRow::TooMany(format!(
            "each link lies beside {beside} others; up to {LONGEST_ROW} can be tried. Take a smaller mandrel or a thicker wire."
        )));
    }
    let length = weave.deepest() + beside as usize + 1;
    let count = if same { 1 } else { length };
    let sizes: Vec<usize> = (0..length + count - 1).map(|k| usize::from(k >= length)).collect();
    let placed = mixed_row(&[&bodies[0], &bodies[1]], &sizes, weave, (length, rise));
    let poses = placed.map_err(NoRow::DoesNotLie)?;
    let link = |k: usize| if sizes[k] == 0 { receiving } else { incoming };
    let row = |first: usize| {
        let next = first + length;
        let nearest = next - weave.chains();
        let here = poses[nearest].inverse();
        let through =
            |k: usize| (next - k).is_multiple_of(weave.chains()) && next - k <= weave.deepest();
        let others = (first..next).filter(|&k| k != nearest);
        let others = others.map(|k| (link(k), here * poses[k], through(k))).collect();
        InRow { nearest: link(nearest), incoming, others }
    };
    Ok((0..count).map(row).collect())
}
