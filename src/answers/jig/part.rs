//! A part as it is made: its prisms, what to check on it, and how to use it.

use super::contour;
use super::error::JigError;
use super::tolerance::Tolerance;
use crate::documents::design::Design;
use crate::geometry::link::{CHORD_ERROR, Forming};
use crate::math::units::Mm;
use crate::mesh::{Mesh, Prism, Surface};
use serde::{Deserialize, Serialize};

/// No wall of a part is thinner, mm: three lines of a usual nozzle of 0.4 mm (common practice, no
/// source).
pub const LEAST_WALL: f64 = 1.2;
/// What stays under a pocket, mm.
pub const BASE: f64 = 1.6;
/// How deep a stroke is engraved, mm.
pub const STROKE_DEPTH: f64 = 0.4;
/// No part is longer, mm: what common printers take (common practice, no source).
const MOST_SIDE: f64 = 200.0;

/// What stands in every file; plain letters, 79 at most.
const FILE_NOTE: &str =
    "linkfold, mm. Plastic: soft wire, by hand; keep from torch, heat and pickle.";

/// What stands on the bench sheet.
pub const JIG_CAUTION: &str = "Printed gauges and jigs: never near a torch, heat or pickle.";

/// What stands beside every mention of a printed part.
pub const JIG_CAUTIONS: [&str; 3] = [
    "Printed plastic is for measuring, and for shaping soft, annealed wire by hand. PLA softens from about 55 °C: keep it away from torch, kiln, hot metal and pickle; quench, rinse and dry a link before it goes in.",
    "What a printed pin bears is estimated from published strengths with a margin of two. A poor print bears less: wear glasses, and stop when plastic bends or turns white.",
    "A printed gauge is no truer than its printer: print the test piece first, type in the slot that fits, and check the plate with callipers.",
];

/// What is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum JigKind {
    /// Pockets true to each step, go and no-go.
    Plate,
    /// A rod to wind the coil on, with a groove for the saw.
    Mandrel,
    /// Two pins that are drawn apart as far as the oval is long.
    Oval,
    /// Two jaws that press a neck.
    Waist,
    /// A pin to fold over, with stops.
    Fold,
    /// Slots over the wires at the waist and at the tips.
    Feeler,
    /// Four slots that show what the printer makes too thick.
    Test,
}

impl JigKind {
    /// In the order of the page.
    pub const ALL: [JigKind; 7] = [
        JigKind::Plate,
        JigKind::Mandrel,
        JigKind::Oval,
        JigKind::Waist,
        JigKind::Fold,
        JigKind::Feeler,
        JigKind::Test,
    ];

    /// As the command and other pages call it.
    pub fn id(self) -> &'static str {
        ["plate", "mandrel", "oval", "waist", "fold", "feeler", "test"][self as usize]
    }

    /// Whether one of them serves every size of a design.
    pub fn is_of_all_sizes(self) -> bool {
        matches!(self, JigKind::Plate | JigKind::Feeler)
    }

    /// What a maker calls it.
    pub fn name(self) -> &'static str {
        [
            "Gauge plate",
            "Winding mandrel",
            "Oval former",
            "Waist pincher",
            "Fold block",
            "Gap gauge",
            "Printer test piece",
        ][self as usize]
    }
}

/// A size to be gauged: which, its released shapes, and what their outlines may be off by.
pub type Gauged = (usize, Forming, Tolerance);

/// Which part is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct JigRequest {
    /// What.
    pub kind: JigKind,
    /// For which size, from 0; of a plate or a gap gauge none for all sizes, else for the first.
    pub size: Option<usize>,
    /// How much narrower than meant the printer makes a slot, mm.
    pub allowance_mm: f64,
}

/// A pocket of the plate.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Pocket {
    /// Which size, from 0.
    pub size: usize,
    /// Which step, in the order of [`OutlineShape::ALL`].
    pub step: usize,
    /// Whether a good link goes in.
    pub is_go: bool,
    /// Where the middle of the link, or of its fold, lies, mm.
    pub place: [f64; 2],
    /// The middle of the pocket, mm.
    pub middle: [f64; 2],
    /// Height of its bottom, mm.
    pub bottom: f64,
    /// Height of the plate, mm.
    pub top: f64,
}

/// What a step is called.
pub fn step_name(step: usize) -> &'static str {
    ["ring", "oval", "eight", "fold"][step % 4]
}

/// A length to check on a finished part.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct JigMeasure {
    /// What is measured.
    pub name: String,
    /// What it has to be, mm; of a gauge what the link measures.
    pub mm: f64,
    /// The same of the pocket or slot that a good link goes into.
    pub go_mm: Option<f64>,
    /// And of the one it does not.
    pub no_go_mm: Option<f64>,
}

/// A part, or several that work together.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Jig {
    /// What it is.
    pub kind: JigKind,
    /// Each one's prisms, in their places beside one another.
    pub parts: Vec<Vec<Prism>>,
    /// Of a gauge plate.
    pub pockets: Vec<Pocket>,
    /// What to check with callipers.
    pub measures: Vec<JigMeasure>,
    /// How to use it, and what it cannot do, in sentences.
    pub notes: Vec<String>,
    /// Of a gauge, size by size.
    pub tolerances: Vec<Tolerance>,
}

impl Jig {
    /// Parts of which none is longer than a printer takes.
    pub(super) fn of(
        kind: JigKind,
        parts: Vec<Vec<Prism>>,
        remedy: &'static str,
    ) -> Result<Jig, JigError> {
        let jig = Jig {
            kind,
            parts,
            pockets: Vec::new(),
            measures: Vec::new(),
            notes: Vec::new(),
            tolerances: Vec::new(),
        };
        let [low, high] = jig.extents();
        let side = (0..3).map(|i| high[i] - low[i]).fold(0.0, f64::max);
        if side > MOST_SIDE {
            let (side, most) = (Mm::new(side), Mm::new(MOST_SIDE));
            return Err(JigError::TooLarge { side, most, remedy });
        }
        Ok(jig)
    }

    pub(super) fn measuring(mut self, name: &str, mm: f64) -> Jig {
        let name = name.into();
        self.measures.push(JigMeasure { name, mm, go_mm: None, no_go_mm: None });
        self
    }

    pub(super) fn noting(mut self, note: String) -> Jig {
        self.notes.extend((!note.is_empty()).then_some(note));
        self
    }

    /// What it is and whose, in a line.
    pub fn title(&self, design: &Design) -> String {
        let name = design.name.trim();
        let (name, is) = if name.is_empty() { ("", "") } else { (name, ": ") };
        format!("{}{is}{name}", self.kind.name())
    }

    /// Least and greatest x, y and z of all parts, mm.
    pub fn extents(&self) -> [[f64; 3]; 2] {
        let prisms = || self.parts.iter().flatten();
        let [low, high] = contour::extents(prisms().flat_map(|prism| &prism.contour));
        let top = prisms().map(|prism| prism.to).fold(0.0, f64::max);
        [[low[0], low[1], 0.0], [high[0], high[1], top]]
    }

    /// The closed surfaces, one a part.
    ///
    /// # Errors
    /// [`JigError::Mesh`] where dimensions so unusual make outlines touch.
    pub fn mesh(&self) -> Result<Mesh, JigError> {
        let surfaces = self.parts.iter().map(|prisms| Surface::prisms(prisms, CHORD_ERROR));
        let surfaces = surfaces.collect::<Result<Vec<_>, _>>()?;
        Ok(Mesh::printed(surfaces, FILE_NOTE)?)
    }
}
