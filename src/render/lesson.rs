//! The work as it is taught: six steps, each with the one measure that matters, and a rhythm in
//! which two designs keep step: slow where it is tight, and no further where it sticks.

use super::chain::lying;
use super::demonstration::moment;
use super::{Chapter, Joining, Scene, phase_name, phase_words};
use crate::answers::report::{JoinAnswer, JoinReport};
use crate::documents::design::Lesson;
use crate::documents::units::{LengthUnit, length_text};
use crate::geometry::curve::Point;
use crate::motion::chain::{About, Body, Measures, Weave};

/// One design, taught.
pub struct Taught<'a> {
    /// Two links of it and the way of one through the other, if that is known.
    pub joining: Joining<'a>,
    /// What is answered to the join.
    pub join: &'a JoinReport,
    /// Its link and how it lies in a chain, if it does.
    pub chain: Option<(&'a Body, &'a Measures)>,
    /// Where it is slow, and where it ends.
    pub pace: Pace,
    /// Where its solder seam lies, if that is settled; a share as in the design.
    pub seam: Option<f64>,
    /// What lengths are told in.
    pub unit: LengthUnit,
}

/// Places of a way that a lesson dwells on, as shares of the way.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Pace {
    /// The tightest place; where it sticks, that where the wires first touch.
    pub tight: f64,
    /// How deep the wires would have to overlap to go on, mm; none where they need not.
    pub overlap: Option<f64>,
}

impl Pace {
    /// The pace of a way; of one not known, that of one tightest at its end. Takes a hundred
    /// looks at the wires: some milliseconds.
    pub fn of(joining: &Joining) -> Pace {
        match joining.sticks() {
            Some((tight, overlap)) => Pace { tight, overlap: Some(overlap) },
            None => Pace { tight: joining.tightest().unwrap_or(1.0), overlap: None },
        }
    }

    /// Share of the way done when `done` of the step is.
    pub fn share(&self, done: f64) -> f64 {
        let [low, high] = [(self.tight - SLOW).max(0.0), (self.tight + SLOW).min(1.0)];
        let part = |from: f64, to: f64| ((done - from) / (to - from)).clamp(0.0, 1.0);
        let path = low * part(0.0, SLOW_FROM) + (self.tight - low) * part(SLOW_FROM, TIGHTEST);
        if self.overlap.is_some() {
            return path;
        }
        path + (high - self.tight) * part(TIGHTEST, SLOW_TO) + (1.0 - high) * part(SLOW_TO, 1.0)
    }
}

/// Share of the way, to either side of the tightest place, that is shown slowly.
const SLOW: f64 = 0.06;
/// Shares of the step: slow from here, tightest here, quick again from here.
const SLOW_FROM: f64 = 0.35;
/// As [`SLOW_FROM`].
pub const TIGHTEST: f64 = 0.6;
const SLOW_TO: f64 = 0.85;
/// How much nearer the tightest place is looked at.
const NEARER: f64 = 1.7;
/// Links shown seated: enough for those in the middle to have all their neighbours.
fn seated(weave: Weave) -> usize {
    2 * weave.deepest() + 2
}

impl Taught<'_> {
    /// The scene when `done` of a step is, from 0 to 1, with the measure that matters.
    pub fn scene(&self, step: Lesson, done: f64) -> Scene {
        self.bare(step, done).soldered(self.seam)
    }

    fn bare(&self, step: Lesson, done: f64) -> Scene {
        let own = self.joining.incoming;
        let chapter = |from: f64, to: Chapter| from + (to.end() - from).max(0.0) * done.max(1e-6);
        let only = |mut scene: Scene, names: &[&str]| {
            scene.measures.retain(|measure| names.contains(&measure.name));
            scene
        };
        match step {
            Lesson::Ring => {
                let mut scene = only(moment(own, 0.0), &["inside width"]);
                scene.measures.iter_mut().for_each(|measure| measure.name = "inside");
                scene
            }
            Lesson::Oval => only(moment(own, chapter(0.0, Chapter::Stretch)), &["inside length"]),
            Lesson::Eight => {
                let from = Chapter::Stretch.end();
                only(moment(own, chapter(from, Chapter::Pinch)), &["bore", "waist gap"])
            }
            Lesson::Fold => {
                let from = Chapter::Pinch.end();
                only(moment(own, chapter(from, Chapter::Fold)), &["leg gap"])
            }
            Lesson::Through => self.through(done),
            Lesson::Seated => match self.chain.filter(|_| self.pace.overlap.is_none()) {
                Some((link, found)) => {
                    let straight = found.bent(link, About::X, 0.0);
                    only(lying(link, found, &straight, seated(found.weave)), &["pitch"])
                }
                None => self.through(1.0),
            },
        }
    }

    fn through(&self, done: f64) -> Scene {
        let share = self.pace.share(done);
        let least = self.join.paths.first().and_then(|path| path.at_least_mm);
        let mut scene = self.joining.proven_scene(share, least).0;
        if let Some(overlap) = self.pace.overlap {
            // What is drawn is where it stops, not what would come then.
            let touch = scene.spots.pop().or_else(|| self.joining.touch(self.pace.tight));
            let touch = touch.filter(|_| done >= SLOW_FROM);
            scene.spots.extend(touch.map(|spot| spot.would_overlap(overlap)));
        }
        scene
    }

    /// What to look at from nearer, and how much nearer.
    pub fn focus(&self, step: Lesson, done: f64, scene: &Scene) -> Option<(Point, f64)> {
        let spot = scene.spots.first().filter(|_| step == Lesson::Through)?;
        let rise = ((done - SLOW_FROM) / (TIGHTEST - SLOW_FROM) * 1.5).clamp(0.0, 1.0);
        let stays = self.pace.overlap.is_some();
        let fall = if stays { 1.0 } else { ((1.0 - done) / (1.0 - SLOW_TO)).clamp(0.0, 1.0) };
        let share = rise.min(fall);
        let share = share * share * (3.0 - 2.0 * share);
        let middle = spot.from + 0.5 * (spot.to - spot.from);
        Some((middle, 1.0 + (NEARER - 1.0) * share))
    }

    /// What is done in a step, in a maker's words.
    pub fn caption(&self, step: Lesson, done: f64) -> &'static str {
        match step {
            Lesson::Ring => {
                "Wind the wire on a mandrel, saw the coil into rings, solder each shut."
            }
            Lesson::Oval => Chapter::Stretch.caption(),
            Lesson::Eight => Chapter::Pinch.caption(),
            Lesson::Fold => Chapter::Fold.caption(),
            Lesson::Through => {
                let phase = self.joining.scene(self.pace.share(done)).1;
                phase.map_or(Chapter::Join.caption(), phase_words)
            }
            Lesson::Seated => "Draw the links up: each hangs in the lobes of the one before.",
        }
    }

    /// The measure that matters at a step, in words.
    pub fn measure(&self, step: Lesson) -> String {
        let forming = self.joining.incoming;
        let mm = |length: f64| length_text(length, self.unit);
        let clearance = self.join.least_clearance_mm;
        match step {
            Lesson::Ring => format!(
                "Mandrel {}, ring inside {}",
                mm(forming.setting.mandrel),
                mm(forming.ring.inside_diameter())
            ),
            Lesson::Oval => format!("Inside length {}", mm(forming.oval.inside_length())),
            Lesson::Eight => format!(
                "Bore {}, waist gap {}",
                mm(forming.eight.bore()),
                mm(forming.eight.waist_gap())
            ),
            Lesson::Fold => format!(
                "Fold jaw {}, leg gap {}",
                mm(forming.setting.fold_jaw),
                mm(forming.fold.leg_gap())
            ),
            Lesson::Through => match (self.join.verdict, self.pace.overlap) {
                (_, Some(overlap)) => {
                    let phase = self.joining.scene(self.pace.tight).1.map_or("", phase_name);
                    format!("Sticks {phase}: would overlap by {}", mm(overlap))
                }
                (JoinAnswer::Passes | JoinAnswer::PassesIfSprung, None) => {
                    format!(
                        "Clear at the tight place by at least {}",
                        self.join.clearance_text(self.unit)
                    )
                }
                _ if self.joining.path.is_none() => "The way through is not known yet".into(),
                _ => format!("Best clearance found {}", mm(clearance)),
            },
            Lesson::Seated => match (self.chain, self.pace.overlap) {
                (_, Some(_)) => "It never gets this far".into(),
                (Some((_, found)), None) => format!("Pitch {}", mm(found.joint.rest.pulled)),
                (None, None) => "These links do not lie in a chain".into(),
            },
        }
    }

    /// The verdict, short enough for a label.
    pub fn verdict(&self) -> String {
        short_verdict(self.join, self.unit)
    }
}

/// The verdict on a join, short enough for a label.
pub fn short_verdict(join: &JoinReport, unit: LengthUnit) -> String {
    match join.verdict {
        JoinAnswer::Passes => format!("Yes: joins, clearance {}", join.clearance_text(unit)),
        JoinAnswer::PassesIfSprung => "Just: joins if sprung open".into(),
        JoinAnswer::DoesNotPass => "No: does not join".into(),
        JoinAnswer::Undecided => "Not known: too near to tell".into(),
        JoinAnswer::LikelyPasses => "Probably yes, by estimate".into(),
        JoinAnswer::Tight => "Probably just, by estimate".into(),
        JoinAnswer::LikelyDoesNotPass => "Probably not, by estimate".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answers::report::{ChainAnalysis, ProvenJoin, hang, prove};
    use crate::documents::design::Design;
    use crate::geometry::link::Forming;

    struct KnownPace {
        formings: Vec<Forming>,
        bodies: Vec<Body>,
        proven: ProvenJoin,
        hung: Option<ChainAnalysis>,
    }

    fn known(wire: f64, mandrel: f64) -> KnownPace {
        let (design, unit) = (Design::plain(wire, mandrel), LengthUnit::Mm);
        let formings = design.formings().unwrap();
        let bodies = vec![Body::of(&formings[0].fold)];
        let proven = prove(&design, &formings, 0, unit).unwrap();
        let hung = hang(&design, &formings, &bodies, 0, unit);
        KnownPace { formings, bodies, proven, hung }
    }

    fn taught(known: &KnownPace) -> Taught<'_> {
        let (own, before) = (&known.formings[0], &known.proven.before[..]);
        let path = known.proven.paths.first();
        let joining = Joining { receiving: own, incoming: own, before, path };
        let found = known.hung.as_ref().and_then(|hung| hung.measures.as_ref());
        Taught {
            pace: Pace::of(&joining),
            joining,
            join: &known.proven.report,
            chain: found.map(|found| (&known.bodies[0], found)),
            seam: Some(0.1),
            unit: LengthUnit::Mm,
        }
    }

    #[test]
    fn each_step_shows_the_measure_it_tells() {
        let known = known(0.9, 13.5);
        let taught = taught(&known);
        for (step, count) in Lesson::ALL.into_iter().zip([1, 1, 2, 1, 0, 1]) {
            let scene = taught.scene(step, 1.0);
            assert_eq!(scene.measures.len(), count, "{step:?}");
            let told = taught.measure(step);
            assert!(scene.strands.iter().all(|strand| strand.seam.is_some()));
            for measure in &scene.measures {
                let reading = length_text(measure.reading, LengthUnit::Mm);
                assert!(told.contains(&reading), "{step:?}: {told}, {reading} drawn");
            }
            assert!(!taught.caption(step, 1.0).is_empty());
        }
        let scene = taught.scene(Lesson::Through, TIGHTEST);
        assert!(!scene.spots[0].wrong, "{:?}", scene.spots);
        assert!(taught.measure(Lesson::Through).starts_with("Clear at the tight place"));
        assert!(taught.verdict().starts_with("Yes: joins, "), "{}", taught.verdict());
    }

    #[test]
    fn what_sticks_stops_where_the_wires_first_touch_and_says_so() {
        let known = known(1.2, 9.6);
        let taught = taught(&known);
        let pace = taught.pace;
        assert!(pace.overlap.is_some_and(|mm| mm > 0.1), "{pace:?}");
        for done in [TIGHTEST, 0.9, 1.0] {
            let scene = taught.scene(Lesson::Through, done);
            let spot = &scene.spots[0];
            assert!(spot.wrong && Some(spot.reading) == pace.overlap, "{spot:?}");
            // Touching: neither apart nor in one another.
            assert!((spot.from - spot.to).norm() < 0.02, "{spot:?}");
        }
        assert!(taught.scene(Lesson::Through, 0.1).spots.is_empty());
        assert_eq!(taught.scene(Lesson::Seated, 1.0).strands.len(), 2);
        assert!(taught.measure(Lesson::Seated).contains("never"));
    }

    #[test]
    fn the_rhythm_runs_on_without_a_jump_and_is_tightest_at_one_time_for_all() {
        for tight in [0.0, 0.03, 0.4, 0.97, 1.0] {
            for overlap in [None, Some(0.2)] {
                let pace = Pace { tight, overlap };
                let shares: Vec<f64> = (0..=1000).map(|i| pace.share(f64::from(i) / 1e3)).collect();
                assert!(
                    shares.windows(2).all(|p| (0.0..0.02).contains(&(p[1] - p[0]))),
                    "{pace:?}"
                );
                assert!((pace.share(TIGHTEST) - tight).abs() < 1e-9);
                let end = if overlap.is_some() { tight } else { 1.0 };
                assert!((pace.share(1.0) - end).abs() < 1e-9, "{pace:?}");
            }
        }
    }
}
