//! Rigid links that move: one worked through another, links in a chain, many links hanging.

pub mod chain;
pub mod continuation;
pub mod drape;
pub mod insertion;
