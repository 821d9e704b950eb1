//! Why links do not lie in one another, in a maker's words.

use crate::documents::units::{LengthUnit, length_words};
use crate::motion::chain::ChainError;

/// In a clause, to stand after a colon or by itself.
pub fn nesting_words(error: &ChainError, unit: LengthUnit) -> String {
    match error {
        ChainError::NoRest { overlap, .. } => {
            format!("the wires would overlap by {} at best", length_words(*overlap, unit))
        }
        ChainError::PullsOut { .. } => {
            "pulled, the next link slips out between the tips; close them further".into()
        }
        ChainError::Locks { weave, overlap, offset } => format!(
            "a {weave} chain of them locks before it is straight, links {offset} apart overlapping by {} at best",
            length_words(*overlap, unit)
        ),
    }
}
