//! What the maker asked, answered: the report on a design, the plan of a whole chain, the map
//! over two dimensions and along the mandrel, other jaws, gauges and jigs, and the search for dimensions that give a wanted chain.

pub mod build;
pub mod dimension;
pub mod jaw_marks;
pub mod jig;
pub mod map;
pub mod optimise;
pub mod path;
pub mod plan;
pub mod report;
pub mod shaping;
pub mod strip;
pub mod wall_chart;
