//! A scene: wires and calliper measures in space, ready to be looked at.

use super::comb::{self, Comb};
use super::drawing::{Drawing, Tone};
use super::measure::{Measure, lay};
use super::spot::{self, ClosestPlaces};
use super::strand::Strand;
use super::{Framing, PictureView, Viewpoint, Window, tube};
use crate::documents::units::LengthUnit;
use crate::geometry::curve::Point;

/// What is shown, and from where it is best seen.
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    /// The wires.
    pub strands: Vec<Strand>,
    /// The measures drawn on them.
    pub measures: Vec<Measure>,
    /// Places to look at.
    pub spots: Vec<ClosestPlaces>,
    /// Places the eye should find first: where metal touches metal.
    pub lit: Vec<Point>,
    /// What is drawn along them: strain.
    pub combs: Vec<Comb>,
    /// The viewpoint of its own accord.
    pub home: Viewpoint,
}

impl Scene {
    /// The same with the solder seam drawn on every wire, at `share` of the way round from the
    /// middle of one waist wire; where none is settled, none is drawn.
    pub fn soldered(mut self, share: Option<f64>) -> Scene {
        for strand in &mut self.strands {
            strand.seam = share.map(|share| share * strand.curve.length());
        }
        self
    }

    /// Size and middle of the scene in `window`, seen from `from`.
    pub fn fit(&self, from: Viewpoint, window: Window) -> Framing {
        let reach = self.strands.iter().map(|s| s.radius).fold(0.0, f64::max);
        let points = self.strands.iter().flat_map(|s| {
            let step = s.curve.length() / 64.0;
            s.curve.walk(step).into_iter().map(|(p, _)| p)
        });
        // Dimension lines and their labels need nearly a fifth of the width.
        let aside = (window.width / 5.4).clamp(48.0, 136.0);
        // A row of links has them at one end, in two lines.
        let aside = if self.strands.len() > 2 { (0.8 * aside).max(48.0) } else { aside };
        Framing::around(points, reach, from, window, [aside, 48.0])
    }

    /// Adds the scene's marks as `view` sees them, far ones first.
    pub fn draw_into(&self, view: &PictureView, unit: LengthUnit, drawing: &mut Drawing) {
        tube::draw(&self.strands, view, drawing);
        for place in &self.lit {
            light(view.flat(*place), view, drawing);
        }
        for comb in &self.combs {
            comb::lay(comb, view, drawing);
        }
        for measure in &self.measures {
            lay(measure, view, unit, drawing);
        }
        for spot in &self.spots {
            spot::lay(spot, view, unit, drawing);
        }
    }
}

/// A ring about a place, seen through whatever is in front of it.
fn light(at: [f64; 2], view: &PictureView, drawing: &mut Drawing) {
    let radius = view.mm(8.0);
    let ring: Vec<[f64; 2]> = (0..=24)
        .map(|i| {
            let (sin, cos) = (f64::from(i) * std::f64::consts::TAU / 24.0).sin_cos();
            [at[0] + radius * cos, at[1] + radius * sin]
        })
        .collect();
    // A paler edge keeps it readable on the metal.
    drawing.stroke(Tone::Paper, &ring, view.mm(5.0));
    drawing.stroke(Tone::Accent, &ring, view.mm(2.5));
}
