//! Round wire: its diameter, and the gauge numbers that stand for one.

mod gauge;

pub use gauge::{Gauge, GaugeError, GaugeSystem};
