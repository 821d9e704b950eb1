//! The work as it is taught: from wire to ring, from ring to folded loop, one loop through both
//! openings of another, a chain of five. Each step has its tools, the one measure that matters and
//! its cautions; two designs keep step, slow where it is tight, and no further where it sticks.

mod words;

pub use words::short_verdict;

use super::camera::smooth;
use super::chain::lying;
use super::demonstration::moment;
use super::{Arrow, Chapter, Joining, Scene, making};
use crate::answers::report::JoinReport;
use crate::documents::design::Lesson;
use crate::documents::units::LengthUnit;
use crate::geometry::curve::{Point, Pose, Vector};
use crate::motion::chain::{About, Body, Measures};

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
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pace {
    /// Where the tip is through the first opening, the waist between both, the quarter turn done.
    pub ends: [f64; 3],
    /// The tightest place; where it sticks, that where the wires first touch.
    pub tight: f64,
    /// How deep the wires would have to overlap to go on, mm; none where they need not.
    pub overlap: Option<f64>,
}

impl Default for Pace {
    fn default() -> Pace {
        Pace { ends: [0.25, 0.5, 0.75], tight: 1.0, overlap: None }
    }
}

/// The steps in which one loop goes through the other, in order.
const JOINING: [Lesson; 4] = [Lesson::First, Lesson::Second, Lesson::Turn, Lesson::Close];

impl Pace {
    /// The pace of a way; of one not known, that of one tightest at its end. Takes a hundred
    /// looks at the wires: some milliseconds.
    pub fn of(joining: &Joining) -> Pace {
        let ends = joining.milestones().unwrap_or(Pace::default().ends);
        match joining.sticks() {
            Some((tight, overlap)) => Pace { ends, tight, overlap: Some(overlap) },
            None => Pace { ends, tight: joining.tightest().unwrap_or(1.0), overlap: None },
        }
    }

    /// The step in which it is tightest, or sticks.
    pub fn tight_step(&self) -> Lesson {
        JOINING[self.ends.iter().filter(|end| **end < self.tight).count()]
    }

    /// Share of the way done when `done` of a step is; of one before the joining none, after it all.
    pub fn share(&self, step: Lesson, done: f64) -> f64 {
        let Some(index) = JOINING.iter().position(|known| *known == step) else {
            return if step < JOINING[0] { 0.0 } else { self.share(Lesson::Close, 1.0) };
        };
        let start = if index == 0 { 0.0 } else { self.ends[index - 1] };
        let end = self.ends.get(index).copied().unwrap_or(1.0);
        if self.tight_step() != step {
            let share = start + done * (end - start);
            return if self.overlap.is_some() { share.min(self.tight) } else { share };
        }
        let [low, high] = [(self.tight - SLOW).max(start), (self.tight + SLOW).min(end)];
        let part = |from: f64, to: f64| ((done - from) / (to - from)).clamp(0.0, 1.0);
        let path = start
            + (low - start) * part(0.0, SLOW_FROM)
            + (self.tight - low) * part(SLOW_FROM, TIGHTEST);
        if self.overlap.is_some() {
            return path;
        }
        path + (high - self.tight) * part(TIGHTEST, SLOW_TO) + (end - high) * part(SLOW_TO, 1.0)
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
const NEARER: f64 = 1.4;
/// Links of the chain that grows.
const LINKS: usize = 5;
/// Shares of that step: the first two are laid across the picture by here, and the last has come by here.
const LAID: f64 = 0.16;
const GROWN: f64 = 0.94;
/// Share of a link's own part in which it comes to the last, and in which it is worked through; then it is
/// drawn up.
const COMES: f64 = 0.15;
const WORKED: f64 = 0.85;
/// Share of the last step in which the chain lies straight, and how far it is bent then, of what it takes.
const STRAIGHT: f64 = 0.3;
const BENT: f64 = 0.9;

impl Taught<'_> {
    /// The scene when `done` of a step is, from 0 to 1, with the tools and the measure that matters.
    pub fn scene(&self, step: Lesson, done: f64) -> Scene {
        let own = self.joining.incoming;
        match step {
            Lesson::Wind => making::winding(own, done),
            Lesson::Saw => making::sawing(own, done),
            Lesson::Solder => making::soldering(own, self.seam, done),
            _ => self.bare(step, done).soldered(self.seam),
        }
    }

    fn bare(&self, step: Lesson, done: f64) -> Scene {
        let own = self.joining.incoming;
        let chapter = |from: f64, to: Chapter, names: &[&str]| {
            let mut scene = moment(own, from + (to.end() - from).max(0.0) * done.max(1e-6));
            scene.measures.retain(|measure| names.contains(&measure.name));
            scene
        };
        match step {
            Lesson::Wind | Lesson::Saw | Lesson::Solder => making::soldering(own, self.seam, 1.0),
            Lesson::Oval => chapter(0.0, Chapter::Stretch, &["inside length"]),
            Lesson::Eight => {
                chapter(Chapter::Stretch.end(), Chapter::Pinch, &["bore", "waist gap"])
            }
            Lesson::Fold => chapter(Chapter::Pinch.end(), Chapter::Fold, &["leg gap"]),
            Lesson::First | Lesson::Second | Lesson::Turn | Lesson::Close => {
                self.joined(step, done)
            }
            Lesson::Chain | Lesson::Bend => match self.chain.filter(|_| !self.sticks()) {
                Some((link, found)) if step == Lesson::Chain => self.growing(link, found, done),
                Some((link, found)) => bending(link, found, done),
                None => self.joined(Lesson::Close, 1.0),
            },
        }
    }

    /// Whether one loop does not go through the other.
    pub(super) fn sticks(&self) -> bool {
        self.pace.overlap.is_some()
    }

    /// Whether it sticks before that moment.
    fn is_stuck(&self, step: Lesson, done: f64) -> bool {
        let tight = self.pace.tight_step();
        self.sticks() && (step > tight || step == tight && done >= SLOW_FROM)
    }

    fn joined(&self, step: Lesson, done: f64) -> Scene {
        let share = self.pace.share(step, done);
        let least = self.join.paths.first().and_then(|path| path.at_least_mm);
        let mut scene = self.joining.proven_scene(share, least).0;
        if step == Lesson::First || step == Lesson::Second {
            for (i, (thread, name)) in self.joining.openings().into_iter().enumerate() {
                scene.strands.push(thread);
                // The one that the loop goes through now.
                if (i == 0) == (step == Lesson::First) {
                    scene.callouts.push(name);
                }
            }
        }
        if self.is_stuck(step, done) {
            // What is drawn is where it stops, not what would come then.
            let touch = scene.spots.pop().or_else(|| self.joining.touch(self.pace.tight));
            let overlap = self.pace.overlap.unwrap_or(0.0);
            scene.spots.extend(touch.map(|spot| spot.would_overlap(overlap)));
            return scene;
        }
        self.joining.add_tools(&mut scene, share);
        scene
    }

    /// The chain of five while it grows: each link is worked through the last as the first two were, and
    /// drawn up.
    fn growing(&self, link: &Body, found: &Measures, done: f64) -> Scene {
        let straight = found.bent(link, About::X, 0.0);
        let mut scene = lying(link, found, &straight, LINKS);
        let laid = smooth((done / LAID).clamp(0.0, 1.0));
        let each = (GROWN - LAID) / (LINKS - 2) as f64;
        let came = |k: usize| match k {
            0 => 1.0,
            1 => WORKED + (1.0 - WORKED) * laid,
            k => ((done - LAID - each * (k - 2) as f64) / each).clamp(0.0, 1.0),
        };
        let poses = found.weave.poses(&straight.step, LINKS);
        let lie = super::chain::laid_across(laid);
        for (k, strand) in scene.strands.iter_mut().enumerate() {
            let (before, at) = (poses[k.saturating_sub(1)], lie * poses[k]);
            let (shape, pose) = match self.joining.coming((came(k) - COMES) / (WORKED - COMES)) {
                // Of a link in more than one other the way in is shown once, with the first two.
                Some((shape, pose)) if k > 0 && found.weave.deepest() == 1 => {
                    let drawn = smooth(((came(k) - WORKED) / (1.0 - WORKED)).clamp(0.0, 1.0));
                    // From outside the picture.
                    let far = (1.0 - came(k) / COMES).max(0.0) * 3.0 * link.high.z;
                    let far = far * self.joining.comes_from().unwrap_or(1.0);
                    let pose = Pose::translation(far, 0.0, 0.0) * pose;
                    (shape.curve(), (lie * before * pose).lerp_slerp(&at, drawn))
                }
                _ => (link.curve().clone(), at),
            };
            strand.curve = shape.moved(&pose);
        }
        scene.strands.truncate((1..LINKS).filter(|k| came(*k) > 0.0).count() + 1);
        if done < GROWN {
            scene.measures.clear();
        }
        scene.measures.retain(|measure| measure.name == "pitch");
        scene
    }

    /// What to look at from nearer, and how much nearer.
    pub fn focus(&self, step: Lesson, done: f64, scene: &Scene) -> Option<(Point, f64)> {
        let spot = scene.spots.first().filter(|_| JOINING.contains(&step))?;
        let done = if step == self.pace.tight_step() { done } else { return None };
        let rise = ((done - SLOW_FROM) / (TIGHTEST - SLOW_FROM) * 1.5).clamp(0.0, 1.0);
        let fall = ((1.0 - done) / (1.0 - SLOW_TO)).clamp(0.0, 1.0);
        let share = smooth(rise.min(fall));
        let middle = spot.from + 0.5 * (spot.to - spot.from);
        Some((middle, 1.0 + (NEARER - 1.0) * share))
    }
}

/// The chain of five pulled straight, and then bent.
fn bending(link: &Body, found: &Measures, done: f64) -> Scene {
    let bend = ((done - STRAIGHT) / (1.0 - STRAIGHT)).clamp(0.0, 1.0);
    let bent = found.bent(link, About::Y, BENT * bend);
    let mut scene = lying(link, found, &bent, LINKS);
    scene.measures.retain(|measure| measure.name == "pitch");
    if bend == 0.0 {
        // Pulled at both ends.
        let (wire, pitch) = (link.wire, found.joint.rest.pulled);
        let ends = [link.low.z - wire, pitch * (LINKS - 1) as f64 + link.high.z + wire];
        scene.arrows.extend([-1.0, 1.0].into_iter().zip(ends).map(|(side, x)| {
            let from = Point::new(x, 0.0, 0.0);
            Arrow { from, to: from + 3.0 * side * wire * Vector::x() }
        }));
    }
    scene
}

#[cfg(test)]
mod tests;
