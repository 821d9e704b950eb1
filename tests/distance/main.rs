//! Promises of `clearance`: closed forms and published values, a slow and obvious oracle,
//! properties, and an unrelated program.

mod closed_forms;
mod curves;
mod oracle;
#[cfg(not(target_arch = "wasm32"))]
mod parry;
#[cfg(not(target_arch = "wasm32"))]
mod polyline;
#[cfg(not(target_arch = "wasm32"))]
mod properties;
