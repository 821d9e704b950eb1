//! From a checked design to links: the tools it stands for, the metal, and every size formed.
//!
//! Documents are data. What a design leaves out, which metal its id means, and what springback
//! leaves are resolved here, once, for everything that answers, draws or searches.
//! Evidence: the tests below, `tests/documents.rs`, `tests/forming.rs`.

mod error;
mod metal;
mod nesting;

pub(in crate::answers) use error::forming_words;
pub use error::{BuildError, dimension_words, field_of};
pub use metal::known_metals;
pub use nesting::nesting_words;

use crate::documents::design::{Design, Shapes, Size, WeaveChoice, springback_shown};
use crate::geometry::link::{Forming, ToolDimensions};
use crate::mechanics::forming::{sprung, wound};
use crate::mechanics::material::{Band, FlowCurve};
use crate::motion::chain::Weave;

/// Reads a document and forms every size of it.
///
/// # Errors
/// [`BuildError`] where it is no design, or one that gives no links.
pub fn workable(text: &str) -> Result<Design, BuildError> {
    let design = Design::parse(text)?;
    design.formings()?;
    Ok(design)
}

impl Design {
    /// What the tools are set to for each size, defaults filled in, all mm.
    ///
    /// # Errors
    /// [`BuildError`] for the first field outside its range, and for a metal that is none.
    pub fn settings(&self) -> Result<Vec<ToolDimensions>, BuildError> {
        let springbacks = self.ring_springbacks()?;
        let sizes = self.sizes.iter().zip(&springbacks).enumerate();
        sizes
            .map(|(index, (size, ring))| Ok(tools(self, size, self.wire_of(index)?, ring.opens)))
            .collect()
    }

    /// What the ring of each size opens by: as trial rings show, as it was measured, else as the
    /// metal's record gives it.
    ///
    /// # Errors
    /// As [`Design::settings`]; [`BuildError::Working`] where the coil stays elastic.
    pub fn ring_springbacks(&self) -> Result<Vec<RingSpringback>, BuildError> {
        self.check()?;
        let flow = self.metal.metal()?.flow_curve(Band::Likely);
        let ring = |(index, size): (usize, &Size)| {
            let (wire, measured) = (self.wire_of(index)?, size.springback_mm);
            let fitted = springback_shown(&self.trials, size.mandrel_mm, wire, self.kerf_mm);
            let (opens, basis) = match (fitted, measured) {
                (Some(fitted), _) => {
                    let basis = SpringbackBasis::Trials { rings: fitted.count };
                    (fitted.mean.clamp(0.0, 100.0), basis)
                }
                (None, Some(measured)) => (measured, SpringbackBasis::Measured),
                (None, None) => {
                    let tools = wound(&ToolDimensions::usual(wire, size.mandrel_mm), flow);
                    let tools = tools.map_err(|source| BuildError::Working {
                        index,
                        name: size.name.clone(),
                        source,
                    })?;
                    (tools.springback, SpringbackBasis::Metal)
                }
            };
            Ok(RingSpringback { opens, basis, measured, flow })
        };
        self.sizes.iter().enumerate().map(ring).collect()
    }

    /// Every size worked through every step; its shapes after springback where the design asks
    /// for those.
    ///
    /// # Errors
    /// [`BuildError`] naming the size and the dimension that cannot be formed.
    pub fn formings(&self) -> Result<Vec<Forming>, BuildError> {
        self.formings_of(self.settings()?)
    }

    /// The same of [`Design::settings`] that are known.
    pub(in crate::answers) fn formings_of(
        &self,
        mut settings: Vec<ToolDimensions>,
    ) -> Result<Vec<Forming>, BuildError> {
        let name = |index: usize| self.sizes[index].name.clone();
        if self.metal.shapes == Shapes::AfterSpringback {
            let (metal, anneals) = (self.metal.metal()?, self.metal.anneals());
            for (index, setting) in settings.iter_mut().enumerate() {
                *setting = sprung(setting, &metal, anneals)
                    .map_err(|source| BuildError::Working { index, name: name(index), source })?;
            }
        }
        let formed = settings.into_iter().enumerate().map(|(index, setting)| {
            Forming::new(setting).map_err(|source| BuildError::Form {
                index,
                name: name(index),
                source,
            })
        });
        formed.collect()
    }

    /// The same with every length that was left out written down as what it stands for, so that
    /// a change of one dimension changes no other. An oval drawn taut and a free choice of the
    /// tip gap while joining stay so.
    ///
    /// # Errors
    /// [`BuildError`] for the first field outside its range.
    pub fn settled(&self) -> Result<Design, BuildError> {
        let mut design = self.clone();
        for (size, setting) in design.sizes.iter_mut().zip(self.settings()?) {
            size.bore_mm = Some(setting.bore);
            size.oval_jaw_mm = Some(setting.oval_jaw);
            size.waist_gap_mm = Some(setting.waist_gap);
            size.pinch_jaw_mm = Some(setting.pinch_jaw);
            size.neck_mm = Some(setting.neck);
            size.fold_jaw_mm = Some(setting.fold_jaw);
            size.tip_gap_mm = Some(setting.tip_gap);
        }
        Ok(design)
    }
}

/// Where what a ring opens by is from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SpringbackBasis {
    /// Measured trial rings of its mandrel and wire.
    Trials {
        /// How many.
        rings: usize,
    },
    /// The size's own figure.
    Measured,
    /// The metal's record.
    Metal,
}

/// What a ring opens by in inside diameter when its coil leaves the mandrel.
#[derive(Clone, Copy, Debug)]
pub struct RingSpringback {
    /// By how much, mm.
    pub opens: f64,
    /// Where that is from.
    pub basis: SpringbackBasis,
    measured: Option<f64>,
    flow: FlowCurve,
}

impl RingSpringback {
    /// `after`, the tools `before` changed, with what their ring then opens by. Of the same wire and
    /// mandrel that is as it was; of others as measured, else as the metal gives it, since trial rings
    /// are of one mandrel and wire. None where the coil stays elastic.
    pub fn after_change(
        ring: Option<&RingSpringback>,
        before: &ToolDimensions,
        after: ToolDimensions,
    ) -> Option<ToolDimensions> {
        let is_alike = (before.wire, before.mandrel) == (after.wire, after.mandrel);
        match ring.filter(|_| !is_alike) {
            None => Some(after),
            Some(RingSpringback { measured: Some(springback), .. }) => {
                Some(ToolDimensions { springback: *springback, ..after })
            }
            Some(ring) => wound(&after, ring.flow).ok(),
        }
    }
}

/// The tools for `size` of `design` in wire of diameter `wire` whose ring opens by `springback`, mm.
fn tools(design: &Design, size: &Size, wire: f64, springback: f64) -> ToolDimensions {
    let ring = ToolDimensions {
        springback,
        kerf: design.kerf_mm,
        ..ToolDimensions::usual(wire, size.mandrel_mm)
    };
    let usual = usual_tools(&ring, design.weave.weave());
    let bore = size.bore_mm.unwrap_or(usual.bore);
    ToolDimensions {
        oval_jaw: size.oval_jaw_mm.unwrap_or(bore),
        oval_length: size.oval_length_mm,
        bore,
        waist_gap: size.waist_gap_mm.unwrap_or(usual.waist_gap),
        pinch_jaw: size.pinch_jaw_mm.unwrap_or(usual.pinch_jaw),
        neck: size.neck_mm.unwrap_or(usual.neck),
        fold_jaw: size.fold_jaw_mm.unwrap_or(usual.fold_jaw),
        tip_gap: size.tip_gap_mm.unwrap_or(usual.tip_gap),
        open_tip_gap: size.open_tip_gap_mm,
        threading_bore: size.threading_bore_mm,
        growth: size.growth_share.unwrap_or(0.0),
        ..usual
    }
}

/// A size of a design by itself, on another mandrel.
pub(in crate::answers) fn on_mandrel(design: &Design, size: usize, mandrel_mm: f64) -> Design {
    let mut design = design.clone();
    // The others need not be shaped for this one's answer.
    design.sizes = design.sizes.into_iter().skip(size).take(1).collect();
    if let Some(size) = design.sizes.first_mut() {
        (size.name, size.mandrel_mm) = (String::new(), mandrel_mm);
    }
    (design.name, design.notes, design.trials) = Default::default();
    design.plan = None;
    design
}

/// Tools that suit a weave, as fractions of the ring's inside diameter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WeaveTools {
    /// Bore of the lobes.
    pub bore: f64,
    /// Diameter of the jaw folded over.
    pub fold_jaw: f64,
    /// Half the length of the neck.
    pub neck: f64,
    /// Diameter of the jaws that pinch.
    pub pinch_jaw: f64,
}

impl WeaveTools {
    /// The tools of `ring`.
    pub fn of(ring: &ToolDimensions) -> WeaveTools {
        let inside = ring_inside(ring);
        WeaveTools {
            bore: ring.bore / inside,
            fold_jaw: ring.fold_jaw / inside,
            neck: ring.neck / inside,
            pinch_jaw: ring.pinch_jaw / inside,
        }
    }

    /// `ring` with these tools, all else as is usual for its wire.
    pub fn on(&self, ring: &ToolDimensions) -> ToolDimensions {
        let inside = ring_inside(ring);
        let bore = self.bore * inside;
        ToolDimensions {
            springback: ring.springback,
            kerf: ring.kerf,
            growth: ring.growth,
            bore,
            oval_jaw: bore,
            fold_jaw: self.fold_jaw * inside,
            neck: self.neck * inside,
            pinch_jaw: self.pinch_jaw * inside,
            ..ToolDimensions::usual(ring.wire, ring.mandrel)
        }
    }
}

fn ring_inside(ring: &ToolDimensions) -> f64 {
    ring.mandrel + ring.springback - ring.kerf / std::f64::consts::PI
}

/// The usual tools of a weave; `None` where those of the wire are, as in a single chain.
///
/// Found by search over all four for the most clearance of the joined link in its row, then
/// rounded; with them every ratio from the one named on is proven to pass (`tests/weaves.rs`).
pub fn weave_tools(weave: Weave) -> Option<WeaveTools> {
    let [bore, fold_jaw, neck, pinch_jaw] = match (weave.chains(), weave.through()) {
        (1, 2) => [0.25, 0.30, 0.125, 0.30],
        (1, 3) => [0.26, 0.26, 0.13, 0.14],
        (2, 1) => [0.20, 0.40, 0.15, 0.20],
        (2, 2) => [0.15, 0.39, 0.19, 0.15],
        (2, 3) => [0.196, 0.385, 0.179, 0.176],
        (3, 1) => [0.14, 0.44, 0.20, 0.16],
        (3, 2) => [0.114, 0.4425, 0.205, 0.206],
        _ => return None,
    };
    Some(WeaveTools { bore, fold_jaw, neck, pinch_jaw })
}

/// The tools with which the smallest rings of a weave were found to join, else the usual ones: where
/// a search for other jaws starts. `tests/weaves.rs` holds what comes of them.
pub fn tightest_tools(weave: Weave) -> Option<WeaveTools> {
    let [bore, fold_jaw, neck, pinch_jaw] = match (weave.chains(), weave.through()) {
        (1, 1) => [0.286, 0.268, 0.034, 0.208],
        (1, 2) => [0.2956, 0.3027, 0.1278, 0.314],
        (1, 3) => [0.264, 0.282, 0.135, 0.171],
        (2, 1) => [0.202, 0.386, 0.150, 0.221],
        (2, 2) => [0.1521, 0.3863, 0.1949, 0.1666],
        (3, 1) => [0.1396, 0.4415, 0.2073, 0.1674],
        (3, 2) => [0.0939, 0.4349, 0.2077, 0.2194],
        _ => return weave_tools(weave),
    };
    Some(WeaveTools { bore, fold_jaw, neck, pinch_jaw })
}

/// `ring` with the tools that are usual for it in `weave`; those of its wire where the ring is
/// too small for them.
pub(in crate::answers) fn usual_tools(ring: &ToolDimensions, weave: Weave) -> ToolDimensions {
    let plain = ToolDimensions {
        springback: ring.springback,
        kerf: ring.kerf,
        ..ToolDimensions::usual(ring.wire, ring.mandrel)
    };
    let Some(tools) = weave_tools(weave) else { return plain };
    let suited = tools.on(ring);
    if Forming::new(suited).is_ok() { suited } else { plain }
}

impl WeaveChoice {
    /// The weave itself.
    pub fn weave(self) -> Weave {
        Weave::ALL[self as usize]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_settled_design_is_worked_the_same_and_keeps_its_jaws_when_the_wire_changes() {
        let plain = Design::plain(1.2, 12.0);
        let settled = plain.settled().unwrap();
        assert_eq!(plain.settings().unwrap(), settled.settings().unwrap());
        let mut thinner = settled.clone();
        thinner.wire.diameter_mm = Some(0.9);
        let setting = thinner.settings().unwrap()[0];
        assert_eq!((setting.bore, setting.fold_jaw, setting.wire), (3.0, 3.0, 0.9));
    }

    #[test]
    fn springback_changes_the_shapes_and_measured_springback_stands() {
        let as_held = Design::plain(0.9, 10.0);
        let mut sprung = as_held.clone();
        sprung.metal.shapes = Shapes::AfterSpringback;
        assert_eq!(Design::parse(&sprung.to_json()).unwrap(), sprung);
        let (held, kept) = (as_held.formings().unwrap()[0], sprung.formings().unwrap()[0]);
        assert!(kept.eight.waist_gap() > 0.1 && kept.eight.bore() > held.eight.bore());
        assert_eq!(kept.ring, held.ring);
        sprung.sizes[0].springback_mm = Some(0.3);
        let measured = sprung.formings().unwrap()[0].ring.centreline;
        let bare = std::f64::consts::PI * (10.0 + 0.3 + 0.9) - sprung.kerf_mm;
        assert!((measured - bare).abs() < 1e-9, "{measured}");
    }

    #[test]
    fn a_size_that_cannot_be_formed_names_its_field() {
        let mut design = Design::plain(0.9, 4.0);
        design.sizes[0].name = "small".into();
        let error = design.formings().unwrap_err();
        assert_eq!(error.field(), "sizes[0].mandrel_mm");
        let words = error.to_string();
        assert!(words.starts_with("sizes[0] (small): mandrel_mm is 4 mm: "), "{words}");
    }

    #[test]
    fn a_weave_is_written_as_it_is_called() {
        for choice in WeaveChoice::ALL {
            let written = serde_json::to_string(&choice).unwrap();
            assert_eq!(
                written.replace('-', " "),
                format!("\"{}\"", choice.weave().name().replace('-', " "))
            );
            assert_eq!(serde_json::from_str::<WeaveChoice>(&written).unwrap(), choice);
        }
    }
}
