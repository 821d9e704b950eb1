//! Why a text does not hold what is wanted, and where.

/// Why a text does not hold what is wanted.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{place}: {problem}")]
pub struct JsonError {
    /// Where: a field's path, or line and column; `document` for the whole.
    pub place: String,
    /// What is wrong there.
    pub problem: String,
}
