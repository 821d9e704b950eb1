//! The search for a design: from the chain wanted to the dimensions to work to.
//!
//! [`Wishes`] name figures of the report, near a value, within limits or as low or high as they
//! go, and the dimensions that are free: each over a range or from a list. A [`Optimiser`] looks for
//! the designs that do it, a little at a time.
//!
//! Method: a seeded, evenly spread sample of the free dimensions, looked at cheapest figure
//! first; a candidate whose cheap figures are already worse than another's whole is asked no
//! more, so that lists alone are searched to the end and no better design is missed. From the
//! best of the sample, local searches ([`MaximinSolver`]) lower the greatest miss: linear programmes
//! inside a reach, slopes by differences and corrected by every step, and tries in random directions
//! where a kink holds them up. On the way to the least miss rest and turns of a single chain are not
//! measured but continued from one place to the next ([`crate::motion::continuation`]); where such a
//! search ends all is measured, and the search goes on from there where that differs, without
//! continuation where it is no better than where it began.
//! Where dimensions are free over ranges a better design elsewhere is not excluded.
//! Every answer is formed, joined by proof and measured anew as by `report` before it is told.
//! Deterministic for a seed.
//! Conventions: mm, N, degrees, grams: the report's figures as the report gives them.
//! Limits: one size at a time, its join with its like. Clearance for joining is that of `insertion::max_clearance`, the
//! flat eight threaded; in a weave it is not asked.
//! Evidence: `tests/optimise`; speed: `benches/optimise.rs`.

mod answer;
mod continued;
mod continued_limits;
mod error;
mod evaluation;
mod figure;
mod goal;
mod lists;
mod maximin;
mod optimiser;
mod ranking;
mod reading;
mod refusal;
mod sample;
mod search;
mod search_space;
mod sensitivity;
mod trade_off;
mod wishes;

pub use crate::answers::dimension::Dimension;
pub use answer::{Changed, DesignAnswer, WishResult};
pub use error::{OptimiseError, VERSION};
pub use evaluation::figures;
pub use figure::Figure;
pub use maximin::{MaximinSolver, Objective};
pub use optimiser::{OptimiseResult, Optimiser, Progress};
pub use refusal::{Ended, Refusal, Relaxed};
pub use sensitivity::{Moves, Sensitivity, sensitivity, sensitivity_over};
pub use trade_off::TradePoint;
pub use wishes::{Better, Free, Side, TradeOff, Wish, Wishes};
