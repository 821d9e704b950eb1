//! The one answer: every room asked, nothing computed here but the sentences.
//!
//! Used by the page and the command alike. Lengths in mm, in fields that end in `_mm`;
//! angles in degrees, in fields that end in `_deg`.

use crate::design::{Design, DesignError};
use crate::form::{Forming, Oval};
use crate::threading::{Estimate, Place, estimate};
use crate::units::{LengthUnit, Mm, length_words};
use serde::Serialize;

/// Everything linkfold has to say about a design.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Report {
    /// Version of this document.
    pub linkfold_report: u32,
    /// The design's name.
    pub name: String,
    /// Every size, in the design's order.
    pub sizes: Vec<SizeReport>,
    /// Every join: each size with itself, then each neighbour with the next, both ways.
    pub joins: Vec<JoinReport>,
}

/// One size of link: what to measure at each step.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SizeReport {
    /// The size's name; its mandrel where it has none.
    pub name: String,
    /// Wire diameter `d`.
    pub wire_mm: f64,
    /// Mandrel diameter.
    pub mandrel_mm: f64,
    /// Inside diameter of the soldered ring over the wire diameter, `M'/d`.
    pub ratio: f64,
    /// Length of the wire's centreline, kept through every step.
    pub centreline_mm: f64,
    /// Inside diameter of the soldered ring.
    pub ring_inside_mm: f64,
    /// Oval: inside length.
    pub oval_inside_length_mm: f64,
    /// Oval: inside width.
    pub oval_inside_width_mm: f64,
    /// Oval drawn taut, as pinching draws it: inside length.
    pub taut_inside_length_mm: f64,
    /// Eight: greatest inside width of a lobe.
    pub bore_mm: f64,
    /// Eight: clear gap at the waist.
    pub waist_gap_mm: f64,
    /// Eight: from the waist to the centre of the wire at the tip.
    pub tip_mm: f64,
    /// Eight: length over all.
    pub eight_length_mm: f64,
    /// Eight: width over all.
    pub eight_width_mm: f64,
    /// Fold: height over all.
    pub fold_height_mm: f64,
    /// Fold: clear gap between the legs, at the fold's centre.
    pub leg_gap_mm: f64,
    /// Fold: clear gap between the tips.
    pub tip_gap_mm: f64,
    /// Fold: angle the waist is bent through.
    pub fold_deg: f64,
}

/// One join: a link worked through both lobes of the one before.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct JoinReport {
    /// The size that receives.
    pub receiving: String,
    /// The size that is worked through it.
    pub incoming: String,
    /// The answer in a word.
    pub verdict: Verdict,
    /// What the answer rests on.
    pub basis: &'static str,
    /// Least clearance, metal to metal; below zero where wires would overlap.
    pub least_clearance_mm: f64,
    /// Room asked for by the design.
    pub margin_mm: f64,
    /// The answer in a sentence.
    pub says: String,
    /// Why, place by place.
    pub reasons: Vec<Reason>,
}

/// The answer in a word. An estimate never says "passes".
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Every necessary condition holds with the room asked for.
    LikelyPasses,
    /// It would go, but with less room than asked for.
    Tight,
    /// A necessary condition fails.
    LikelyDoesNotPass,
}

/// Room at one place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Reason {
    /// Where: `aperture`, `bore` or `fold`.
    pub place: &'static str,
    /// Room in all, below zero where it does not go.
    pub room_mm: f64,
    /// In a maker's words.
    pub says: String,
}

impl Report {
    /// Asks every room about `design`.
    ///
    /// # Errors
    /// [`DesignError`] where a size cannot be formed.
    pub fn of(design: &Design) -> Result<Report, DesignError> {
        Ok(Report::of_formed(design, &design.formings()?, LengthUnit::Mm))
    }

    /// The report on `design` whose sizes are already worked to `formings`, in order; its
    /// sentences speak `unit`, its numbers mm.
    pub fn of_formed(design: &Design, formings: &[Forming], unit: LengthUnit) -> Report {
        let named: Vec<(String, &Forming)> = design
            .sizes
            .iter()
            .zip(formings)
            .map(|(size, forming)| {
                let own = || format!("{} mandrel", words(size.mandrel_mm, unit));
                (if size.name.is_empty() { own() } else { size.name.clone() }, forming)
            })
            .collect();
        let join = |a: &(String, &Forming), b: &(String, &Forming)| {
            join_report(design.margin_mm, a, b, unit)
        };
        let own = named.iter().map(|size| join(size, size));
        let neighbours =
            named.windows(2).flat_map(|pair| [join(&pair[0], &pair[1]), join(&pair[1], &pair[0])]);
        Report {
            linkfold_report: 1,
            name: design.name.clone(),
            joins: own.chain(neighbours).collect(),
            sizes: named.iter().map(|(name, forming)| size_report(name, forming)).collect(),
        }
    }
}

fn words(mm: f64, unit: LengthUnit) -> String {
    length_words(Mm::new(mm), unit)
}

fn size_report(name: &str, forming: &Forming) -> SizeReport {
    let Forming { setting, ring, oval, taut, eight, fold } = forming;
    let length = |oval: &Oval| oval.inside_length();
    SizeReport {
        name: name.into(),
        wire_mm: setting.wire,
        mandrel_mm: setting.mandrel,
        ratio: ring.inside_diameter() / setting.wire,
        centreline_mm: ring.centreline,
        ring_inside_mm: ring.inside_diameter(),
        oval_inside_length_mm: length(oval),
        oval_inside_width_mm: oval.inside_width(),
        taut_inside_length_mm: length(taut),
        bore_mm: eight.bore(),
        waist_gap_mm: eight.waist_gap(),
        tip_mm: eight.tip(),
        eight_length_mm: 2.0 * eight.tip() + setting.wire,
        eight_width_mm: 2.0 * eight.end_radius + setting.wire,
        fold_height_mm: fold.outside_height(),
        leg_gap_mm: fold.leg_gap(),
        tip_gap_mm: fold.tip_gap(),
        fold_deg: 2.0 * fold.half_angle.to_degrees(),
    }
}

fn join_report(
    margin: f64,
    (receiving, own): &(String, &Forming),
    (incoming, other): &(String, &Forming),
    unit: LengthUnit,
) -> JoinReport {
    let estimate = estimate(own, other);
    let (place, clearance) = estimate.tightest();
    let verdict = if clearance < 0.0 {
        Verdict::LikelyDoesNotPass
    } else if clearance < margin {
        Verdict::Tight
    } else {
        Verdict::LikelyPasses
    };
    let tightest = name_of(place);
    let says = match verdict {
        Verdict::LikelyPasses => format!(
            "These loops will probably go through one another, with {} to spare at the {tightest} (an estimate, not yet a proof).",
            words(clearance, unit)
        ),
        Verdict::Tight => format!(
            "These loops may go through one another, but with only {} at the {tightest}; you asked for {} (an estimate).",
            words(clearance, unit),
            words(margin, unit)
        ),
        Verdict::LikelyDoesNotPass => format!(
            "These loops will probably not go through one another: the {tightest} is {} too small (an estimate).",
            words(-2.0 * clearance, unit)
        ),
    };
    JoinReport {
        receiving: receiving.clone(),
        incoming: incoming.clone(),
        verdict,
        basis: "estimate",
        least_clearance_mm: clearance,
        margin_mm: margin,
        says,
        reasons: estimate
            .rooms()
            .iter()
            .map(|&room| reason(room, &estimate, own, other, unit))
            .collect(),
    }
}

fn name_of(place: Place) -> &'static str {
    match place {
        Place::Aperture => "aperture",
        Place::Bore => "bore",
        Place::Fold => "fold",
    }
}

fn reason(
    (place, room): (Place, f64),
    estimate: &Estimate,
    own: &Forming,
    other: &Forming,
    unit: LengthUnit,
) -> Reason {
    let mm = |length: f64| words(length, unit);
    let goes = room >= 0.0;
    let says = match place {
        Place::Aperture => format!(
            "The lobe is {} wide outside, and the opening it goes through is {} long: {}.",
            mm(estimate.lobe_width),
            mm(estimate.aperture_length),
            if goes {
                format!("{} of room", mm(room))
            } else {
                format!(
                    "{} too short; take a larger mandrel, thinner wire, or a smaller bore",
                    mm(-room)
                )
            }
        ),
        Place::Bore => format!(
            "To turn back, two wires and the waist gap lie side by side in a bore of {}: {}.",
            mm(own.eight.bore()),
            if goes {
                format!("{} of room", mm(room))
            } else {
                format!("{} too narrow; widen the lobe or close the waist", mm(-room))
            }
        ),
        Place::Fold => format!(
            "The fold, over a jaw of {}, closes round two tips and the gap between them: {}.",
            mm(other.setting.fold_jaw),
            if goes {
                format!("{} of room", mm(room))
            } else {
                format!("{} too tight; fold over a thicker jaw", mm(-room))
            }
        ),
    };
    Reason { place: name_of(place), room_mm: room, says }
}
