//! What is saved, sent and typed: the design, the bench, links that carry a design, undo, and
//! the browser's storage format.

pub mod bench;
pub mod design;
pub mod format;
pub mod gauge;
pub mod json;
pub mod maker_text;
pub mod number_field;
pub mod share;
pub mod storage;
pub mod undo;
pub mod units;
