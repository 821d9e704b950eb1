//! Shapes of round wire: curves, the distance between them, the states of a link.
//! Knows neither documents nor sentences for people.

pub mod curve;
pub mod distance;
pub mod link;
