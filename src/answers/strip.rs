//! The answer along the mandrel at the design's wire: from too small to be shaped, through too
//! small to join, to loose.
//!
//! Model: the clearance found for links of one size in the design's weave, the flat eight
//! threaded: a search, no proof. Everything else in the design stays; a proportion left out goes
//! with the wire. Between searched mandrels the clearance is interpolated; beside one whose links do not lie
//! in the weave none joins.
//! Limits: what is called tight or loose is common practice, no source.
//! Evidence: the tests below.

use super::build::{BuildError, on_mandrel};
use super::report::{LeastMandrels, searched_clearance};
use crate::documents::design::Design;
use crate::documents::units::LengthUnit;
use crate::motion::chain::{Body, Weave, seated_clearance};
use serde::{Deserialize, Serialize};

/// Less clearance than this share of the wire is tight in the hand (common practice, no source).
const TIGHT: f64 = 0.1;
/// On a mandrel so many times the smallest that joins the links hang loose (common practice, no
/// source). The clearance itself tells little of it: with a bore of a usual width it stays below a
/// quarter of the wire however large the ring.
const LOOSE: f64 = 1.5;
/// The strip reaches from this share of the smallest mandrel that can be shaped to this; a weave
/// that is not single asks for larger rings.
const REACH: [f64; 2] = [0.8, 2.4];
const WEAVE_REACH: f64 = 4.0;
/// Places that are searched.
pub const PLACES: usize = 17;

/// What a mandrel makes of a wire.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fit {
    /// No link can be shaped.
    NoShape,
    /// The link does not go through another.
    NoJoin,
    /// It goes, with little clearance.
    Tight,
    /// It goes, with enough.
    Comfortable,
    /// It goes, and hangs loose.
    Loose,
}

impl Fit {
    /// In a word.
    pub fn words(self) -> &'static str {
        match self {
            Fit::NoShape => "cannot be shaped",
            Fit::NoJoin => "does not join",
            Fit::Tight => "tight",
            Fit::Comfortable => "comfortable",
            Fit::Loose => "loose",
        }
    }
}

/// The mandrels of a wire, as far as they are searched.
#[derive(Clone, Debug, PartialEq)]
pub struct MandrelStrip {
    /// The design, its mandrel aside.
    design: Design,
    size: usize,
    wire: f64,
    margin: f64,
    /// The smallest mandrel that can be shaped, mm.
    pub least: f64,
    /// From and to, mm.
    pub range: [f64; 2],
    /// The smallest mandrels with the design's jaws and with any, in steps of a unit; none where not
    /// asked yet.
    mandrels: Option<(LengthUnit, LeastMandrels)>,
    /// What was found at each place; none where it was not searched.
    found: [Option<MandrelFound>; PLACES],
}

/// What a search found on a mandrel.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum MandrelFound {
    /// The clearance of one link through another, mm.
    Clearance(f64),
    /// Links of that size do not lie in the weave, so that none is joined.
    DoesNotLie,
    /// No link can be shaped, or too many lie beside one another to be searched.
    Nothing,
}

/// Mandrels to be searched.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct StripQuestion {
    design: Design,
    /// Each place of the strip and its mandrel, mm.
    places: Vec<(usize, f64)>,
}

impl MandrelStrip {
    /// Round a size of `design`.
    ///
    /// # Errors
    /// [`BuildError`] where that cannot be shaped itself.
    pub fn round(design: &Design, size: usize) -> Result<MandrelStrip, BuildError> {
        let forming = design.formings()?;
        let setting = forming.get(size).or(forming.first()).map(|forming| forming.setting);
        let (wire, present) =
            setting.map_or((1.0, 10.0), |setting| (setting.wire, setting.mandrel));
        let can_be_shaped = |mandrel: f64| on_mandrel(design, size, mandrel).formings().is_ok();
        // From the present one, which is shaped, down to one that is not.
        let (mut low, mut least) = (0.0, present);
        for _ in 0..24 {
            let middle = 0.5 * (low + least);
            if can_be_shaped(middle) { least = middle } else { low = middle }
        }
        let is_single = design.weave.weave() == Weave::SINGLE;
        let reach = if is_single { REACH[1] } else { WEAVE_REACH };
        let range = [(REACH[0] * least).min(0.95 * present), (reach * least).max(1.1 * present)];
        let plain = on_mandrel(design, size, 1.0);
        let margin = design.margin_mm;
        let (mandrels, found) = (None, [None; PLACES]);
        Ok(MandrelStrip { design: plain, size, wire, margin, least, range, mandrels, found })
    }

    /// Whether it is also the strip of a size of `design`, on whichever mandrel.
    pub fn serves(&self, design: &Design, size: usize) -> bool {
        let there = design.sizes.get(size).map_or(0.0, |size| size.mandrel_mm);
        self.size == size
            && (self.range[0]..=self.range[1]).contains(&there)
            && on_mandrel(design, size, 1.0) == self.design
    }

    fn mandrel_at(&self, place: usize) -> f64 {
        let step = (self.range[1] - self.least) / (PLACES - 1) as f64;
        self.least + step * place as f64
    }

    /// The next mandrels to search, coarse to fine, but for the places `asked` for already; none once
    /// all are.
    pub fn question(&self, most: usize, asked: &[usize]) -> Option<StripQuestion> {
        let coarse_to_fine =
            [16, 8, 4, 2, 1].into_iter().flat_map(|step| (0..PLACES).step_by(step));
        let mut places: Vec<(usize, f64)> = Vec::new();
        let is_open = |place: &usize| self.found[*place].is_none() && !asked.contains(place);
        for place in coarse_to_fine.filter(is_open) {
            if places.len() < most && !places.iter().any(|(known, _)| *known == place) {
                places.push((place, self.mandrel_at(place)));
            }
        }
        (!places.is_empty()).then(|| StripQuestion { design: self.design.clone(), places })
    }

    /// Takes what was found.
    pub fn take(&mut self, found: &[(usize, MandrelFound)]) {
        for (place, found) in found {
            if let Some(slot) = self.found.get_mut(*place) {
                *slot = Some(*found);
            }
        }
    }

    /// The design whose smallest mandrels are still to be found in steps of `unit`.
    pub fn mandrels_question(&self, unit: LengthUnit) -> Option<&Design> {
        self.mandrels(unit).is_none().then_some(&self.design)
    }

    /// Takes the smallest mandrels in steps of `unit`.
    pub fn take_mandrels(&mut self, unit: LengthUnit, found: LeastMandrels) {
        self.mandrels = Some((unit, found));
    }

    /// The smallest mandrels in steps of `unit`, once they are found.
    pub fn mandrels(&self, unit: LengthUnit) -> Option<&LeastMandrels> {
        self.mandrels.as_ref().filter(|(of, _)| *of == unit).map(|(_, found)| found)
    }

    /// Whether every place is searched.
    pub fn is_done(&self) -> bool {
        self.found.iter().all(Option::is_some)
    }

    /// What is found at a mandrel, between places in proportion, or what is worse of both; none where it is
    /// not searched on both sides.
    fn found_at(&self, mandrel: f64) -> Option<MandrelFound> {
        use MandrelFound::{Clearance, DoesNotLie, Nothing};
        let mut searched =
            (0..PLACES).filter_map(|place| Some((self.mandrel_at(place), self.found[place]?)));
        let is_below = |(there, _): &(f64, MandrelFound)| *there <= mandrel + 1e-9;
        let (from, here) = searched.clone().take_while(is_below).last()?;
        if (mandrel - from).abs() < 1e-6 {
            return Some(here);
        }
        let (to, there) = searched.find(|place| !is_below(place))?;
        Some(match (here, there) {
            (Clearance(here), Clearance(there)) => {
                Clearance(here + (there - here) * (mandrel - from) / (to - from))
            }
            (Nothing, _) | (_, Nothing) => Nothing,
            _ => DoesNotLie,
        })
    }

    /// What a mandrel makes of the wire; none where it is not known yet.
    pub fn fit_at(&self, mandrel: f64) -> Option<Fit> {
        if mandrel < self.least {
            return Some(Fit::NoShape);
        }
        let clearance = match self.found_at(mandrel)? {
            MandrelFound::Clearance(clearance) => clearance,
            MandrelFound::DoesNotLie => return Some(Fit::NoJoin),
            MandrelFound::Nothing => return None,
        };
        Some(if clearance < 0.0 {
            Fit::NoJoin
        } else if clearance < (TIGHT * self.wire).max(self.margin) {
            Fit::Tight
        } else if self.joins_from().is_some_and(|joins| mandrel > LOOSE * joins) {
            Fit::Loose
        } else {
            Fit::Comfortable
        })
    }

    /// The smallest mandrel that joins, mm, where all below it are searched.
    fn joins_from(&self) -> Option<f64> {
        let mut below: Option<(f64, f64)> = None;
        for (place, found) in self.found.iter().enumerate() {
            let mandrel = self.mandrel_at(place);
            match (below, (*found)?) {
                (Some((from, short)), MandrelFound::Clearance(spare)) if spare >= 0.0 => {
                    return Some(from + (mandrel - from) * short / (short - spare));
                }
                (None, MandrelFound::Clearance(spare)) if spare >= 0.0 => return Some(mandrel),
                (_, MandrelFound::Clearance(short)) => below = Some((mandrel, short)),
                // Nothing to go on from in proportion.
                _ => below = None,
            }
        }
        None
    }

    /// The smallest mandrel of a fit at least as good, in steps of `step` mm; none where there is
    /// none on the strip.
    pub fn from(&self, wanted: Fit, step: f64) -> Option<f64> {
        let good = |fit: Fit| match wanted {
            Fit::Tight => matches!(fit, Fit::Tight | Fit::Comfortable | Fit::Loose),
            Fit::Comfortable => matches!(fit, Fit::Comfortable | Fit::Loose),
            other => fit == other,
        };
        let first = (self.least / step).ceil() as usize;
        let last = (self.range[1] / step).floor() as usize;
        let all = (first..=last).map(|count| count as f64 * step);
        all.into_iter().find(|mandrel| self.fit_at(*mandrel).is_some_and(good))
    }
}

impl StripQuestion {
    /// The places it asks for.
    pub fn places(&self) -> impl Iterator<Item = usize> + '_ {
        self.places.iter().map(|(place, _)| *place)
    }

    /// What is found on each of its mandrels.
    pub fn answer(&self) -> Vec<(usize, MandrelFound)> {
        let weave = self.design.weave.weave();
        let found = |mandrel: f64| {
            let formings = on_mandrel(&self.design, 0, mandrel).formings().ok()?;
            let own = formings.first()?;
            Some(match searched_clearance(own, weave) {
                Some(clearance) => MandrelFound::Clearance(clearance),
                None if seated_clearance(&Body::of(&own.fold), weave) < 0.0 => {
                    MandrelFound::DoesNotLie
                }
                None => return None,
            })
        };
        let found = |mandrel: f64| found(mandrel).unwrap_or(MandrelFound::Nothing);
        self.places.iter().map(|(place, mandrel)| (*place, found(*mandrel))).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answers::report::{JoinAnswer, prove};

    fn searched(design: &Design) -> MandrelStrip {
        let mut strip = MandrelStrip::round(design, 0).unwrap();
        while let Some(question) = strip.question(4, &[]) {
            strip.take(&question.answer());
        }
        strip
    }

    /// What it says of a mandrel the proof of that join says, too.
    #[test]
    fn its_thresholds_are_those_of_the_proof() {
        let strip = searched(&Design::plain(0.9, 12.0));
        assert!(strip.is_done());
        let joins = strip.from(Fit::Tight, 0.1).unwrap();
        let passes = |mandrel: f64| {
            let design = Design::plain(0.9, mandrel);
            prove(&design, &design.formings().unwrap(), 0, LengthUnit::Mm).unwrap().report.verdict
        };
        // Interpolated between places half a millimetre apart.
        assert_eq!(passes(joins + 0.3), JoinAnswer::Passes, "{joins}");
        assert_ne!(passes(joins - 0.3), JoinAnswer::Passes, "{joins}");
        let least = strip.least;
        assert!(Design::plain(0.9, least).formings().is_ok());
        assert!(Design::plain(0.9, 0.999 * least).formings().is_err());
        assert_eq!(strip.fit_at(0.9 * least), Some(Fit::NoShape));
    }

    #[test]
    fn it_goes_from_too_small_to_loose_in_that_order() {
        for wire in [0.5, 0.9, 1.5] {
            let strip = searched(&Design::plain(wire, 14.0 * wire));
            let order = [Fit::NoShape, Fit::NoJoin, Fit::Tight, Fit::Comfortable, Fit::Loose];
            let mut last = 0;
            for place in 0..=100 {
                let share = f64::from(place) / 100.0;
                let mandrel = strip.range[0] + share * (strip.range[1] - strip.range[0]);
                let fit = strip.fit_at(mandrel - 1e-9).unwrap();
                let now = order.iter().position(|known| *known == fit).unwrap();
                assert!(now >= last, "{wire}: {mandrel} is {fit:?}");
                last = now;
            }
            assert_eq!(order[last], Fit::Loose, "{wire}");
        }
    }

    /// The weave counts: the ratios of `tests/weaves.rs` from which links join by proof.
    #[test]
    fn a_double_weave_asks_for_larger_mandrels() {
        let mut design = Design::plain(1.0, 14.0);
        let single = searched(&design).joins_from().unwrap();
        design.weave = serde_json::from_str("\"double\"").unwrap();
        let double = searched(&design).joins_from().unwrap();
        println!("single from {single:.2}, double from {double:.2} times the wire");
        assert!(double > single + 1.0);
        assert!((12.0..13.5).contains(&double), "{double}");
    }

    /// Where the links do not lie in the weave they do not join: nothing is left unsaid.
    #[test]
    fn where_links_do_not_lie_they_do_not_join() {
        let mut design = Design::plain(0.8, 12.0);
        design.weave = serde_json::from_str("\"three-way-single\"").unwrap();
        let strip = searched(&design);
        let verdict = |mandrel: f64| {
            let there = on_mandrel(&design, 0, mandrel);
            prove(&there, &there.formings().unwrap(), 0, LengthUnit::Mm).unwrap().report.verdict
        };
        assert_eq!(verdict(12.0), JoinAnswer::DoesNotPass);
        for place in 0..=60 {
            let mandrel = strip.least + f64::from(place) / 60.0 * (strip.range[1] - strip.least);
            let fit = strip.fit_at(mandrel).expect("known once all is searched");
            let joins = !matches!(fit, Fit::NoShape | Fit::NoJoin);
            let is_near = strip.joins_from().is_some_and(|from| (mandrel - from).abs() < 1.0);
            let proven = verdict(mandrel) == JoinAnswer::Passes;
            assert!(joins == proven || is_near, "{mandrel}: {fit:?}");
        }
        assert_eq!(strip.fit_at(12.0), Some(Fit::NoJoin));
    }

    #[test]
    fn it_serves_whichever_mandrel_of_the_same_wire() {
        let design = Design::plain(0.9, 12.0);
        let strip = MandrelStrip::round(&design, 0).unwrap();
        assert!(strip.serves(&Design::plain(0.9, 13.0), 0));
        assert!(!strip.serves(&Design::plain(0.8, 12.0), 0));
        assert!(!strip.serves(&Design::plain(0.9, 100.0), 0));
    }
}
