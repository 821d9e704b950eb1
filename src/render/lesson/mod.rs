//! The work as it is taught: from wire to ring, from ring to folded loop, one loop through both
//! openings of another, a chain of five. Each step has its tools, the one measure that matters and
//! its cautions; two designs keep step, slow where it is tight, and no further where it sticks.

use super::camera::smooth;
use super::chain::lying;
use super::demonstration::moment;
use super::{Arrow, Chapter, Joining, Scene, making, phase_name, phase_words};
use crate::answers::report::{CAUTIONS, JoinAnswer, JoinReport};
use crate::documents::design::Lesson;
use crate::documents::units::{LengthUnit, length_text};
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

    /// What is done in a step, in a maker's words.
    pub fn caption(&self, step: Lesson, done: f64) -> &'static str {
        match step {
            Lesson::Wind => "Wind the wire close on the mandrel, turn beside turn.",
            Lesson::Saw => "Slide the coil off and saw along it: each turn becomes a ring.",
            Lesson::Solder if done < 0.45 => {
                "Take a ring and bring its ends together, edge to edge."
            }
            Lesson::Solder if done < 0.55 => "Flux the seam and lay a chip of solder on it.",
            Lesson::Solder if done < 0.9 => "Heat the whole ring until the solder runs.",
            Lesson::Solder => {
                "Let it cool, pickle and rinse: the dark line across the wire is the seam."
            }
            Lesson::Oval => Chapter::Stretch.caption(),
            Lesson::Eight => Chapter::Pinch.caption(),
            Lesson::Fold => {
                "With both thumbs bend the ends up round the larger jaw until the lobes face each other."
            }
            Lesson::First => {
                "Line up the next loop, a quarter turn over, and feed its tip through the first opening."
            }
            Lesson::Second => "Ease its widest part on through the second opening too.",
            Lesson::Turn | Lesson::Close => {
                let phase = self.joining.scene(self.pace.share(step, done)).1;
                phase.map_or(Chapter::Join.caption(), phase_words)
            }
            Lesson::Chain if done < GROWN => {
                "The next loop goes through both openings of the last, and so on, loop by loop."
            }
            Lesson::Chain => "Five loops: each hangs in the lobes of the one before.",
            Lesson::Bend if done < STRAIGHT => "Pull the chain straight.",
            Lesson::Bend => "Bend it in the hand: the loops hinge at their waists.",
        }
    }

    /// What the colours of two loops mean in a step.
    pub fn colour_words(step: Lesson) -> &'static str {
        match step {
            Lesson::First | Lesson::Second | Lesson::Turn | Lesson::Close => {
                "Darker: the loop that comes in. It is of the same metal."
            }
            Lesson::Chain | Lesson::Bend => "Every other loop is drawn darker, to tell them apart.",
            _ => "",
        }
    }

    /// What to beware of in a step.
    pub fn cautions(step: Lesson) -> &'static [&'static str] {
        match step {
            Lesson::Wind => &["Hold the wire's end to the last turn: let go, it whips."],
            Lesson::Saw => &["Eye protection: a saw blade may snap."],
            Lesson::Solder => &[CAUTIONS[0], CAUTIONS[1], CAUTIONS[2], CAUTIONS[6]],
            _ => &[],
        }
    }

    /// The measure that matters at a step, in words.
    pub fn measure(&self, step: Lesson) -> String {
        let forming = self.joining.incoming;
        let mm = |length: f64| length_text(length, self.unit);
        let setting = &forming.setting;
        match step {
            Lesson::Wind => format!("Mandrel {}, wire {}", mm(setting.mandrel), mm(setting.wire)),
            Lesson::Saw => format!("Saw cut {}", mm(setting.kerf)),
            Lesson::Solder => format!("Ring inside {}", mm(forming.ring.inside_diameter())),
            Lesson::Oval => format!("Inside length {}", mm(forming.oval.inside_length())),
            Lesson::Eight => format!(
                "Bore {}, waist gap {}",
                mm(forming.eight.bore()),
                mm(forming.eight.waist_gap())
            ),
            Lesson::Fold => {
                format!("Fold jaw {}, leg gap {}", mm(setting.fold_jaw), mm(forming.fold.leg_gap()))
            }
            Lesson::First | Lesson::Second | Lesson::Turn | Lesson::Close => self.clearance(step),
            Lesson::Chain | Lesson::Bend => match self.chain {
                _ if self.sticks() => "It never gets this far".into(),
                Some((_, found)) if step == Lesson::Chain => {
                    format!("Pitch {}", mm(found.joint.rest.pulled))
                }
                Some((_, found)) => format!("Goes round a rod of {}", mm(found.coil_y.inside)),
                None => "These links do not lie in a chain".into(),
            },
        }
    }

    fn clearance(&self, step: Lesson) -> String {
        let mm = |length: f64| length_text(length, self.unit);
        let tight = self.pace.tight_step();
        match (self.join.verdict, self.pace.overlap) {
            (_, Some(overlap)) if step >= tight => {
                let phase = self.joining.scene(self.pace.tight).1.map_or("", phase_name);
                format!("Sticks {phase}: would overlap by {}", mm(overlap))
            }
            (_, Some(_)) => "Clear so far".into(),
            (JoinAnswer::Passes | JoinAnswer::PassesIfSprung, None) => {
                let place = if step == tight { "at the tight place" } else { "all the way" };
                format!("Clear {place} by at least {}", self.join.clearance_text(self.unit))
            }
            _ if self.joining.path.is_none() => "The way through is not known yet".into(),
            _ => format!("Best clearance found {}", mm(self.join.least_clearance_mm)),
        }
    }

    /// The verdict, short enough for a label.
    pub fn verdict(&self) -> String {
        short_verdict(self.join, self.unit)
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
    use crate::answers::report::{ChainAnalysis, ProvenJoin, analyse_chain, prove};
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
        let hung = analyse_chain(&design, &formings, &bodies, 0, unit);
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
    fn each_step_shows_its_tools_and_the_measure_it_tells() {
        let known = known(0.9, 13.5);
        let taught = taught(&known);
        let expected = [
            (0, 1),
            (0, 1),
            (0, 3),
            (1, 2),
            (2, 2),
            (1, 1),
            (0, 0),
            (0, 0),
            (0, 0),
            (0, 0),
            (1, 0),
            (0, 0),
        ];
        for (step, (measures, tools)) in Lesson::ALL.into_iter().zip(expected) {
            let done = if step < Lesson::Oval { 0.7 } else { 1.0 };
            let scene = taught.scene(step, done);
            assert_eq!((scene.measures.len(), scene.tools.len()), (measures, tools), "{step:?}");
            // Whatever is at work is named, and the moving hand shown.
            assert!(scene.tools.is_empty() || !scene.callouts.is_empty(), "{step:?}");
            let told = taught.measure(step);
            for measure in &scene.measures {
                let reading = length_text(measure.reading, LengthUnit::Mm);
                assert!(told.contains(&reading), "{step:?}: {told}, {reading} drawn");
            }
            assert!(!taught.caption(step, 1.0).is_empty());
        }
        let of = |step, done| taught.scene(step, done);
        assert_eq!(of(Lesson::Fold, 0.5).arrows.len(), 2);
        assert_eq!(taught.pace.tight_step(), Lesson::Close, "{:?}", taught.pace);
        let scene = of(Lesson::Close, TIGHTEST);
        assert!(!scene.spots[0].wrong, "{:?}", scene.spots);
        assert!(taught.measure(Lesson::Close).starts_with("Clear at the tight place"));
        assert!(taught.verdict().starts_with("Yes: joins, "), "{}", taught.verdict());
    }

    /// At the end of the first step of joining the tip stands between the two lobes; at the end of the
    /// second the waist does: the loop is in both openings, half of it on either side.
    #[test]
    fn there_is_a_stop_between_the_two_openings() {
        let known = known(0.9, 13.5);
        let taught = taught(&known);
        let side = taught.joining.comes_from().unwrap();
        let reach = |step| {
            let scene = taught.scene(step, 1.0);
            let along = scene.strands[1].curve.walk(0.1).into_iter().map(|(p, _)| -side * p.x);
            along.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)))
        };
        let (_, tip) = reach(Lesson::First);
        assert!(tip.abs() < 0.1, "{tip}");
        let (back, front) = reach(Lesson::Second);
        let apart = 0.5 * known.formings[0].fold.leg_gap();
        assert!(front > apart + 2.0 && back < -apart - 2.0, "{back} {front}");
        let marked = |step, done| {
            let scene = taught.scene(step, done);
            scene.callouts.iter().map(|callout| callout.name).collect::<Vec<_>>()
        };
        assert_eq!(marked(Lesson::First, 1.0), ["first opening"]);
        assert_eq!(marked(Lesson::Second, 1.0), ["second opening"]);
    }

    /// The chain of five grows link by link, without a jump, to links at rest.
    #[test]
    fn the_chain_grows_link_by_link() {
        let known = known(0.9, 13.5);
        let taught = taught(&known);
        let mut before: Option<Scene> = None;
        for i in 0..=400 {
            let scene = taught.scene(Lesson::Chain, f64::from(i) / 400.0);
            let links = scene.strands.len();
            if let Some(before) = before {
                let known = before.strands.len();
                assert!(links == known || links == known + 1, "{known} {links}");
                for (a, b) in before.strands.iter().zip(&scene.strands) {
                    let [a, b] = [a, b].map(|strand| strand.curve.pieces()[0].start());
                    assert!((a - b).norm() < 3.0, "{i}: {} mm", (a - b).norm());
                }
            }
            before = Some(scene);
        }
        assert_eq!(before.unwrap().strands.len(), LINKS);
    }

    /// Names and readings lie beside wire, tools and one another in every step, on the pictures of a projector
    /// beside another, alone, and of a phone.
    #[test]
    fn names_and_readings_keep_clear_of_wire_and_tools() {
        use crate::render::covered::Covered;
        use crate::render::measure::{block, is_free};
        use crate::render::{Camera, Drawing, Mark, Window};
        let known = known(0.9, 12.0);
        let taught = taught(&known);
        let (mut all, mut covered) = (0, Vec::new());
        for [width, height] in
            [[560.0, 330.0], [1180.0, 340.0], [1000.0, 330.0], [366.0, 250.0], [330.0, 158.0]]
        {
            let window = Window { width, height };
            for (step, done) in
                Lesson::ALL.into_iter().flat_map(|s| [0.4, 0.7, 1.0].map(|d| (s, d)))
            {
                let (viewpoint, framing) = taught.shot(step, done, window);
                let view = Camera::default().view(viewpoint, framing, window);
                let mut drawing = Drawing::default();
                taught.scene(step, done).draw_into(&view, LengthUnit::Mm, &mut drawing);
                let (labels, marks): (Vec<Mark>, Vec<Mark>) = std::mem::take(&mut drawing.marks)
                    .into_iter()
                    .partition(|mark| matches!(mark, Mark::Label { .. }));
                drawing.marks = marks;
                for label in labels {
                    let Mark::Label { at, anchor, size, text, .. } = &label else { continue };
                    let block = block(*at, *anchor, *size, text);
                    if !Covered::drawn(&drawing).is_clear(&block) || !is_free(&drawing, &block) {
                        covered.push(format!("{text}: {step:?} {done} in {window:?}"));
                    }
                    drawing.marks.push(label);
                    all += 1;
                }
            }
        }
        assert!(all > 100 && covered.is_empty(), "of {all}: {covered:#?}");
    }

    /// The camera comes from step to step without a jump.
    #[test]
    fn the_camera_makes_no_jump() {
        let known = known(0.9, 13.5);
        let taught = taught(&known);
        let window = crate::render::Window { width: 800.0, height: 450.0 };
        let mut before: Option<(crate::render::Viewpoint, crate::render::Framing)> = None;
        for step in Lesson::ALL {
            for i in 0..=50 {
                let shot = taught.shot(step, f64::from(i) / 50.0, window);
                if let Some((from, framing)) = before {
                    let turned = (shot.0.yaw - from.yaw).hypot(shot.0.pitch - from.pitch);
                    let grown = (shot.1.scale / framing.scale).ln().abs();
                    assert!(turned < 0.2 && grown < 0.12, "{step:?} {i}: {turned} {grown}");
                }
                before = Some(shot);
            }
        }
    }

    #[test]
    fn what_sticks_stops_where_the_wires_first_touch_and_says_so() {
        let known = known(1.2, 9.6);
        let taught = taught(&known);
        let pace = taught.pace;
        assert!(pace.overlap.is_some_and(|mm| mm > 0.1), "{pace:?}");
        let stuck = pace.tight_step();
        for (step, done) in
            [(stuck, TIGHTEST), (stuck, 1.0), (Lesson::Close, 1.0), (Lesson::Bend, 1.0)]
        {
            let scene = taught.scene(step, done);
            let spot = &scene.spots[0];
            assert!(spot.wrong && Some(spot.reading) == pace.overlap, "{spot:?}");
            // Touching: neither apart nor in one another.
            assert!((spot.from - spot.to).norm() < 0.02, "{spot:?}");
        }
        assert!(taught.scene(Lesson::First, 0.1).spots.is_empty());
        assert_eq!(taught.scene(Lesson::Chain, 1.0).strands.len(), 2);
        assert!(taught.measure(Lesson::Chain).contains("never"));
    }

    #[test]
    fn the_rhythm_runs_on_without_a_jump_and_dwells_where_it_is_tight() {
        for tight in [0.0, 0.03, 0.4, 0.97, 1.0] {
            for overlap in [None, Some(0.2)] {
                let pace = Pace { tight, overlap, ..Pace::default() };
                let shares: Vec<f64> = JOINING
                    .into_iter()
                    .flat_map(|step| (0..=1000).map(move |i| pace.share(step, f64::from(i) / 1e3)))
                    .collect();
                assert!(
                    shares.windows(2).all(|p| (-1e-12..0.02).contains(&(p[1] - p[0]))),
                    "{pace:?}"
                );
                assert!((pace.share(pace.tight_step(), TIGHTEST) - tight).abs() < 1e-9);
                let end = if overlap.is_some() { tight } else { 1.0 };
                assert!((pace.share(Lesson::Close, 1.0) - end).abs() < 1e-9, "{pace:?}");
            }
        }
    }
}
