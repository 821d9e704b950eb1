//! What the native command does; the library knows none of it.

pub mod bundle;
pub mod chart;
pub mod documents;
pub mod jig;
pub mod mesh;
pub mod module;
pub mod offline;
pub mod opening;
pub mod optimise;
pub mod package;
pub mod picture;
pub mod progress_line;
pub mod serve;
pub mod sheet;
pub mod site;
