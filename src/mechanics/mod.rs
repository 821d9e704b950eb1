//! Metal that is bent and pulled: records of metals, the section in bending, beams, the ring
//! between jaws, forming with springback, and the strength of a finished link.

pub mod beam;
pub mod forming;
pub mod material;
pub mod ring_rod;
pub mod section;
pub mod strength;
