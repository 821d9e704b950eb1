//! Metal that is bent and pulled: records of metals, the section in bending, beams, the ring
//! between jaws, forming with springback, the strength of a finished link; and of printed posts.

pub mod beam;
pub mod forming;
pub mod material;
pub mod printed;
pub mod ring_rod;
pub mod section;
pub mod strength;
