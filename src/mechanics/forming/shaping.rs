//! Wire bent place by place: the shape of a necked eight, and a lobe pressed narrow and opened again.
//!
//! Model: from the released oval on, every place along a quarter is bent by itself to the curvature
//! of the shape that is drawn and released, remembering its bends (`section::history`); its neighbours
//! do not hold it. The strain of a bend is then ε = d/2 · |κ − κ₀|, and the plastic part adds up.
//! Limits: where the places lie after springback is not followed; curvatures are means over a segment
//! of the rod, so that a corner between two arcs is spread over one.
//! Evidence: `tests/forming.rs`.

use crate::mechanics::ring_rod::{RingRod, RodError};

/// The wire of a quarter.
pub(super) struct ShapedWire {
    rod: RingRod,
    /// Radius of the wire, mm.
    radius: f64,
    /// Curvatures at which it was annealed last, 1/mm.
    annealed: Vec<f64>,
    /// Curvatures that it has released, 1/mm.
    released: Vec<f64>,
    plastic: Vec<f64>,
}

/// What one bend does, place by place.
pub(super) struct PlacewiseBend {
    /// Strain of the outermost fibre while held, away from the last annealed shape.
    pub outer: Vec<f64>,
    /// Plastic strain since the last anneal.
    pub plastic: Vec<f64>,
    /// How much of it this bend has added.
    pub added: Vec<f64>,
}

impl ShapedWire {
    /// The wire of a released rod that was annealed last at these curvatures, 1/mm.
    pub fn of(rod: &RingRod, radius: f64, annealed: &[f64]) -> ShapedWire {
        let shape = rod.shape();
        ShapedWire {
            rod: rod.clone(),
            radius,
            annealed: annealed.to_vec(),
            released: shape.curvatures,
            plastic: shape.plastic_strains,
        }
    }

    /// Takes the stress out of it as it is.
    pub fn anneal(&mut self) {
        self.rod.anneal_each(&self.released);
        self.annealed.clone_from(&self.released);
        self.plastic.iter_mut().for_each(|strain| *strain = 0.0);
    }

    /// Bends every place to its curvature, 1/mm, and releases it.
    ///
    /// # Errors
    /// As [`RingRod::bend_each`].
    pub fn bend(&mut self, to: &[f64]) -> Result<PlacewiseBend, RodError> {
        let bent = self.rod.bend_each(to)?;
        let before = std::mem::replace(&mut self.plastic, bent.plastic_strains);
        self.released = bent.residual_curvatures;
        let away = to.iter().zip(&self.annealed);
        Ok(PlacewiseBend {
            outer: away.map(|(now, then)| self.radius * (now - then).abs()).collect(),
            added: self.plastic.iter().zip(&before).map(|(now, then)| now - then).collect(),
            plastic: self.plastic.clone(),
        })
    }

    /// Strain of the outermost fibre as released, away from the last annealed shape.
    pub fn outer_released(&self) -> Vec<f64> {
        let away = self.released.iter().zip(&self.annealed);
        away.map(|(now, then)| self.radius * (now - then).abs()).collect()
    }

    /// Share that stays of the sharpest bend towards the outside, of those `held`: at a neck's end.
    pub fn residual_share_at_the_waist(&self, loaded: &[f64]) -> f64 {
        let sharpest = loaded.iter().zip(&self.released).min_by(|a, b| a.0.total_cmp(b.0));
        match sharpest {
            Some((loaded, released)) if *loaded < 0.0 => (released / loaded).clamp(0.1, 1.0),
            _ => 1.0,
        }
    }

    /// Bore, mm, to which a lobe's end has to be bent so that its curvature `wanted` stays; none where
    /// no bend leaves it.
    pub fn bore_to_leave(&self, wanted: f64) -> Option<f64> {
        let tip = self.released.len().checked_sub(1)?;
        let bent = self.rod.bend_to_leave(tip, wanted)?;
        (bent > 0.0).then(|| (2.0 / bent - 2.0 * self.radius).max(0.0))
    }
}
