//! The camera's path through the lesson: each step has a place of its own to look from and a size that
//! holds all of it; from the step before the camera comes there while the step begins.

use super::camera::smooth;
use super::lesson::Taught;
use super::strand::{ASIDE, FROM_ABOVE};
use super::{Framing, Scene, Viewpoint, Window};
use crate::documents::design::Lesson;

/// Share of a step in which the camera comes to its place; while the wire is folded it goes round slowly.
const COMES: f64 = 0.3;
const COMES_SLOWLY: f64 = 0.9;

impl Taught<'_> {
    /// From where a step is seen when `done` of it is, and how large, in `window`.
    pub fn shot(&self, step: Lesson, done: f64, window: Window) -> (Viewpoint, Framing) {
        let (viewpoint, framing) = self.place(step, window);
        let within = if step == Lesson::Fold { COMES_SLOWLY } else { COMES };
        let share = (done / within).clamp(0.0, 1.0);
        let index = Lesson::ALL.iter().position(|known| *known == step).unwrap_or(0);
        let Some(before) = index.checked_sub(1).map(|index| Lesson::ALL[index]) else {
            return (viewpoint, framing);
        };
        if share >= 1.0 {
            return (viewpoint, framing);
        }
        let share = smooth(share);
        let (from, far) = self.place(before, window);
        let centre = far.centre + share * (framing.centre - far.centre);
        let scale = far.scale * (framing.scale / far.scale).powf(share);
        (from.towards(viewpoint, share), Framing { centre, scale })
    }

    /// Where the camera stands at the end of a step: all that is seen in it lies in the window.
    fn place(&self, step: Lesson, window: Window) -> (Viewpoint, Framing) {
        let from = self.viewpoint(step);
        let scenes = self.frames(step).map(|(step, done)| self.scene(step, done));
        let scenes: Vec<Scene> = scenes.collect();
        let border = [window.width / 9.0, 0.15 * window.height];
        let border = [border[0].clamp(28.0, 100.0), border[1].clamp(34.0, 48.0)];
        (from, Scene::fit_all(&scenes, from, window, border))
    }

    /// Moments that together take up all the space that a step wants.
    fn frames(&self, step: Lesson) -> impl Iterator<Item = (Lesson, f64)> {
        let (first, from, last) = match step {
            Lesson::Wind => (Lesson::Wind, 0.02, Lesson::Wind),
            Lesson::Saw => (Lesson::Saw, 0.6, Lesson::Saw),
            // One size for all that is done flat; the torch comes into the picture.
            Lesson::Solder | Lesson::Oval | Lesson::Eight => (Lesson::Oval, 0.0, Lesson::Eight),
            // From far off the loop comes into the picture.
            Lesson::First => (Lesson::First, 0.4, Lesson::First),
            step => (step, 0.0, step),
        };
        [(first, from), (last, 1.0)].into_iter()
    }

    fn viewpoint(&self, step: Lesson) -> Viewpoint {
        // From the side on which the loop comes in.
        let side = self.joining.comes_from().unwrap_or(1.0);
        let beside = |yaw: f64, pitch: f64| Viewpoint::degrees(side * yaw, pitch);
        match step {
            Lesson::Wind | Lesson::Saw => super::making::BESIDE,
            Lesson::Solder | Lesson::Oval | Lesson::Eight => FROM_ABOVE,
            Lesson::Fold => ASIDE,
            // Nearly end on, so that the opening lies open.
            Lesson::First => beside(52.0, 20.0),
            Lesson::Second => beside(34.0, 22.0),
            // From the side, so that both lobes and the waist between them are seen.
            Lesson::Turn => beside(18.0, 16.0),
            Lesson::Close => ASIDE,
            Lesson::Chain | Lesson::Bend if self.chain.is_some() && !self.sticks() => {
                Viewpoint::degrees(0.0, 26.0)
            }
            Lesson::Chain | Lesson::Bend => ASIDE,
        }
    }
}
