//! One link of a drape, and the fall it is under.

/// Free fall, mm/s².
pub(super) const GRAVITY: f64 = 9810.0;

/// One link of a drape, in order from the first end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrapeLink {
    /// From where it hangs to where the next hangs in it, mm.
    pub pitch: f64,
    /// Weight, in any unit.
    pub weight: f64,
    /// How near a form its middle line comes, mm.
    pub half_thickness: f64,
    /// How far it swings about x and y in the link before, and twists about z, radians.
    pub limits: [f64; 3],
}
