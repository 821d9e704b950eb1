//! Metals: how heavy, how stiff, how strong, how they harden, how to anneal them.
//!
//! Every value carries a band (low, likely, high), where it was found, and when it was
//! read. Annealed metal throughout: that is the state in which wire is wound and folded.
//! Strength varies with grain, make and anneal by tens of per cent; the bands say so and
//! answers built on them should be given as bands too ([`Band`]).
//!
//! Model of flow: [`FlowCurve`], elastic, then the greater of the yield stress and
//! Hollomon's σ = K εⁿ.
//! Limits: room temperature, slow bending, no ageing, the same in pull and push.
//! A maker's own metal is the same record, checked on the way in.
//! Evidence: `tests/metal.rs`.

mod flow;
mod record;
mod span;
mod table;

pub use flow::{FlowCurve, hardening_from_tension};
pub use record::{
    Annealing, Band, Hardening, Heat, Metal, MetalError, MetalProperty, MetalRecord, Quantity,
    ValueBasis,
};
pub use span::BandedValue;
pub use table::{known_metal, known_metals};
