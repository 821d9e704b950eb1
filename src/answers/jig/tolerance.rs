//! What each outline of a link may be off by, all round, before its joins lose the clearance asked for.
//!
//! Model: an outline off by `t` everywhere, in or out (a profile tolerance, as ISO 1101 has it), is a
//! ring, a bore and a gap at the fold off by `2 t` each. With the slopes of the clearance in these,
//! for both links of a join, the clearance `c` comes down to the one asked for, `m`, where all err at
//! once and to the bad side:
//!
//! ```text
//! t = (c − m) / (2 Σ |slope|)
//! ```
//!
//! The slopes are those of the plan (`plan/scatter.rs`). What they find is tried with all six errors at
//! their worst and taken back until the clearance is there. A gauge takes no more than a share of
//! the wire, beyond which a link is no longer of its size.
//! Limits: the waist gap is taken to be as meant. Clearances are searched, not proven. In a weave the
//! clearance is that of the row, its slopes those of one link through one other.
//! Evidence: `tests/jigs.rs`.

use super::error::JigError;
use crate::answers::build::nesting_words;
use crate::answers::plan::{ERRORS, erring, slopes};
use crate::answers::report::{NoRow, insertion_rows};
use crate::documents::units::LengthUnit;
use crate::geometry::link::Forming;
use crate::math::map_indices;
use crate::math::units::Mm;
use crate::motion::chain::Weave;
use crate::motion::insertion::{max_clearance, max_clearance_in_row};

/// The greatest share of the wire that an outline may be off by (our choice).
const MOST_OF_WIRE: f64 = 0.15;
/// And of the pinching jaw, whose bend the gauge follows on its inner side.
const MOST_OF_PINCH_JAW: f64 = 0.3;
/// The least tolerance a gauge is made for, mm: callipers show half of it.
const LEAST: f64 = 0.02;
/// Step of the slopes, wires.
const STEP: f64 = 0.02;
/// What the slopes find is taken back by this share, so often.
const BACK: f64 = 0.85;
const TIMES: usize = 8;

/// What an outline may be off by.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Tolerance {
    /// Everywhere, in or out, mm.
    pub beside_mm: f64,
    /// Least clearance of the joins of its size as meant, mm.
    pub clearance_mm: f64,
    /// Whether the joins would bear more, and the gauge does not take it.
    pub is_capped: bool,
}

/// Tolerances of every size of a design worked to `formings`.
///
/// # Errors
/// [`JigError`] where a join has nothing to err by.
pub fn tolerances(
    formings: &[Forming],
    weave: Weave,
    margin: f64,
) -> Result<Vec<Tolerance>, JigError> {
    let mut pairs: Vec<[usize; 2]> = (0..formings.len()).map(|i| [i, i]).collect();
    pairs.extend((1..formings.len()).flat_map(|i| [[i - 1, i], [i, i - 1]]));
    let found = map_indices(pairs.len(), |k| pair(pairs[k].map(|i| &formings[i]), weave, margin));
    let found: Vec<(f64, f64)> = found.into_iter().collect::<Result<_, _>>()?;
    let of = |size: usize| {
        let own = pairs.iter().zip(&found).filter(|(pair, _)| pair.contains(&size));
        let (beside, clearance) = own.fold((f64::INFINITY, f64::INFINITY), |least, (_, found)| {
            (least.0.min(found.0), least.1.min(found.1))
        });
        let tools = &formings[size].setting;
        let most = (MOST_OF_WIRE * tools.wire).min(MOST_OF_PINCH_JAW * tools.pinch_jaw);
        let beside_mm = beside.min(most);
        if !(beside_mm >= LEAST) {
            let (tolerance, least) = (Mm::new(beside_mm), Mm::new(LEAST));
            return Err(JigError::TooFine { tolerance, least });
        }
        Ok(Tolerance { beside_mm, clearance_mm: clearance, is_capped: beside > most })
    };
    (0..formings.len()).map(of).collect()
}

/// Of one join: what both outlines may be off by, and its clearance as meant, mm.
fn pair(links: [&Forming; 2], weave: Weave, margin: f64) -> Result<(f64, f64), JigError> {
    let same = std::ptr::eq(links[0], links[1]);
    let is_single = weave.deepest() == 1;
    let flat = |pair: [&Forming; 2]| max_clearance(pair[0], pair[1]);
    let presses = flat(links) <= margin;
    let alone = |pair: [&Forming; 2]| {
        if presses { max_clearance_in_row(pair[0], pair[1], &[]) } else { flat(pair) }
    };
    let whole = |pair: [&Forming; 2]| -> Result<f64, JigError> {
        if is_single {
            return Ok(alone(pair));
        }
        let rows = insertion_rows(pair[0], pair[1], same, weave).map_err(|fault| match fault {
            NoRow::DoesNotLie(error) => JigError::NoRow(nesting_words(&error, LengthUnit::Mm)),
            NoRow::TooMany(words) => JigError::NoRow(words),
        })?;
        Ok(rows.iter().map(|row| row.searched_clearance()).fold(f64::INFINITY, f64::min))
    };
    let clearance = whole(links)?;
    if !(clearance > margin) {
        let (clearance, wanted) = (Mm::new(clearance), Mm::new(margin));
        return Err(JigError::NoClearance { clearance, wanted });
    }
    let tools = links.map(|link| &link.setting);
    let erred = |errors: &[f64; ERRORS]| {
        let [receiving, incoming] = erring(tools, errors)?;
        Some(alone([&receiving, &incoming]))
    };
    let step = STEP * tools[0].wire.min(tools[1].wire);
    let (changes, _) = slopes(erred, alone(links), [step; ERRORS]);
    let sum: f64 = changes.iter().map(|change| change.abs() / step).sum();
    let furthest = tools[0].wire.max(tools[1].wire);
    let mut beside = (0.5 * (clearance - margin) / sum.max(1e-9)).min(furthest);
    for _ in 0..TIMES {
        let worst = changes.map(|change| -change.signum() * 2.0 * beside);
        let left = match erring(tools, &worst) {
            // Links of one size that err both ways are no longer alike.
            Some([receiving, incoming]) => whole([&receiving, &incoming]).ok(),
            None => None,
        };
        if left.is_some_and(|left| left >= margin) {
            return Ok((beside, clearance));
        }
        beside *= BACK;
    }
    Err(JigError::TooFine { tolerance: Mm::new(beside), least: Mm::new(LEAST) })
}
