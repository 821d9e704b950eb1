//! A scene: wires and calliper measures in space, ready to be looked at.

use super::comb::{self, Comb};
use super::covered::Covered;
use super::drawing::{Anchor, Drawing, Tone};
use super::measure::{Measure, Written, anywhere, block, is_free, lay};
use super::solid::{SeenSolid, Solid};
use super::spot::{self, ClosestPlaces};
use super::strand::Strand;
use super::{Framing, PictureView, Viewpoint, Window, tube};
use crate::documents::units::{LengthUnit, length_text};
use crate::geometry::curve::Point;
use crate::math::sort::sort_by_number;

/// What is shown, and from where it is best seen.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scene {
    /// The wires.
    pub strands: Vec<Strand>,
    /// What does the work.
    pub tools: Vec<Solid>,
    /// Which way hands and tools move.
    pub arrows: Vec<Arrow>,
    /// Names of what is shown.
    pub callouts: Vec<Callout>,
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
    /// Nothing is ever written beside it: it fills the window.
    pub fills: bool,
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

    /// What wires and tools cover on the picture.
    fn covered(&self, view: &PictureView) -> Covered {
        let mut covered = Covered::with_edges(view.mm(EDGE));
        for strand in &self.strands {
            let points = strand.points(strand.radius).map(|point| view.flat(point));
            covered.add_wire(points.collect(), strand.radius, strand.part.is_none());
        }
        let tools = self.tools.iter().filter(|tool| !tool.is_faded);
        tools.for_each(|tool| covered.add_tool(tool.seen(view).outline));
        covered
    }

    /// Size and middle of the scene in `window`, seen from `from`.
    pub fn fit(&self, from: Viewpoint, window: Window) -> Framing {
        // Dimension lines and their labels need nearly a fifth of the width.
        let aside = (window.width / 5.4).clamp(48.0, 136.0);
        // A row of links has them at one end, in two lines.
        let aside = if self.strands.len() > 2 { (0.8 * aside).max(48.0) } else { aside };
        let border = if self.fills { [20.0; 2] } else { [aside, 48.0] };
        Scene::fit_all(std::slice::from_ref(self), from, window, border)
    }

    /// Size and middle of all these scenes in `window` less a border of so many CSS pixels, seen from
    /// `from`.
    pub fn fit_all(scenes: &[Scene], from: Viewpoint, window: Window, border: [f64; 2]) -> Framing {
        let strands = || scenes.iter().flat_map(|scene| &scene.strands);
        let reach = strands().map(|s| s.radius).fold(0.0, f64::max);
        let points = strands().flat_map(|s| s.points(s.curve.length() / 64.0));
        let tools = scenes.iter().flat_map(|scene| scene.tools.iter().flat_map(Solid::corners));
        let points = points.chain(tools);
        Framing::around(points, reach, from, window, border)
    }

    /// Adds the scene's marks as `view` sees them, far ones first.
    pub fn draw_into(&self, view: &PictureView, unit: LengthUnit, drawing: &mut Drawing) {
        self.draw_under(view, drawing);
        let solid = self.tools.iter().filter(|tool| !tool.is_faded);
        let mut solids: Vec<SeenSolid> = solid.map(|tool| tool.seen(view)).collect();
        sort_by_number(&mut solids, |solid| solid.depth);
        tube::draw(&self.strands, &solids, view, drawing);
        self.draw_over(view, unit, drawing);
    }

    /// Adds what lies under wires and solid tools: the ground of those that are seen through.
    pub fn draw_under(&self, view: &PictureView, drawing: &mut Drawing) {
        let faded = self.tools.iter().filter(|tool| tool.is_faded);
        faded.for_each(|tool| tool.seen(view).lay_under(drawing));
    }

    /// Adds what stands over wires and solid tools: outlines of those that are seen through, measures,
    /// arrows, names.
    pub fn draw_over(&self, view: &PictureView, unit: LengthUnit, drawing: &mut Drawing) {
        let faded = self.tools.iter().filter(|tool| tool.is_faded);
        faded.for_each(|tool| tool.seen(view).lay_over(view, drawing));
        let covered = &self.covered(view);
        for place in &self.lit {
            light(view.flat(*place), view, drawing);
        }
        for arrow in &self.arrows {
            arrow.lay(view, drawing);
        }
        for comb in &self.combs {
            comb::lay(comb, view, drawing);
        }
        for measure in &self.measures {
            lay(measure, view, unit, covered, drawing);
        }
        for spot in &self.spots {
            spot::lay(spot, view, unit, covered, drawing);
        }
        for callout in &self.callouts {
            callout.lay(view, unit, covered, drawing);
        }
    }
}

/// Which way a hand or a tool moves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arrow {
    /// Where it starts.
    pub from: Point,
    /// Where it points.
    pub to: Point,
}

impl Arrow {
    fn lay(&self, view: &PictureView, drawing: &mut Drawing) {
        let [from, to] = [self.from, self.to].map(|place| view.flat(place));
        let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
        let length = dx.hypot(dy);
        if length < view.mm(HEAD) {
            return;
        }
        let head = |along: f64, aside: f64| {
            let (along, aside) = (view.mm(along * HEAD) / length, view.mm(aside * HEAD) / length);
            [to[0] - along * dx - aside * dy, to[1] - along * dy + aside * dx]
        };
        let shaft = [from, head(0.8, 0.0)];
        let point = [to, head(1.0, 0.5), head(1.0, -0.5)];
        let round = [point[0], point[1], point[2], point[0]];
        drawing.stroke(Tone::Paper, &shaft, view.mm(6.5));
        drawing.stroke(Tone::Paper, &round, view.mm(4.0));
        drawing.stroke(Tone::Accent, &shaft, view.mm(3.5));
        drawing.fill(Tone::Accent, &point);
    }
}

/// The name of a part or a tool, beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct Callout {
    /// What it is called.
    pub name: &'static str,
    /// What it measures, mm.
    pub reading: Option<f64>,
    /// What is named.
    pub at: Point,
}

impl Callout {
    fn lay(&self, view: &PictureView, unit: LengthUnit, covered: &Covered, drawing: &mut Drawing) {
        let words = match self.reading {
            Some(reading) => format!("{} {}", self.name, length_text(reading, unit)),
            None => self.name.into(),
        };
        let (at, size, half) = (view.flat(self.at), view.mm(LETTER), view.half());
        let free = |place: &Written| {
            let block = block(place.at, Anchor::Middle, size, &words);
            covered.is_clear(&block) && is_free(drawing, &block)
        };
        let Some(place) = anywhere(&words, at, size, half).find(free) else { return };
        let [low, high] = block(place.at, Anchor::Middle, size, &words);
        let end: [f64; 2] = std::array::from_fn(|i| at[i].clamp(low[i], high[i]));
        drawing.stroke(Tone::Paper, &[at, end], view.mm(1.4 + 2.5));
        drawing.stroke(Tone::Ink, &[at, end], view.mm(1.4));
        drawing.label(Tone::Ink, place.at, Anchor::Middle, size, words);
    }
}

/// Wires and tools have a dark edge of this to each side, CSS pixels.
const EDGE: f64 = 1.6;
/// Length of an arrow's head, and height of the letters, CSS pixels.
const HEAD: f64 = 11.0;
const LETTER: f64 = 13.0;

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
