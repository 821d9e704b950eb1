//! Hands, wheel and keys on the picture; the player: how each changes what is seen.

use super::model::Model;
use super::tabs::VIEWS;
use crate::render::{Camera, Chapter, PictureView, Viewpoint, Window};

/// Seconds in which the link is made, and in which it is joined.
const MAKING_SECONDS: f64 = 9.0;
const JOINING_SECONDS: f64 = 12.0;
/// Nearer or farther with one key or button.
const ZOOM_STEP: f64 = 1.2;
/// What an arrow key turns, radians, and moves, CSS pixels.
const TURN: f64 = 0.1;
const MOVE: f64 = 30.0;

/// What a hand does on the picture; lengths in CSS pixels, right and down from the upper left corner,
/// or right and up from the middle where they are `about` it.
#[derive(Clone, Debug)]
pub enum Gesture {
    /// It comes down at a place, as the first finger or not.
    Down {
        /// None is down yet.
        is_first: bool,
        /// The place where it does.
        at: [f64; 2],
    },
    /// It draws, by so much to the right and down.
    Drawn {
        /// How far.
        by: [f64; 2],
        /// With Shift the picture is moved, else turned.
        moves: bool,
    },
    /// Two fingers draw.
    Pinched {
        /// How far the one that moved.
        by: [f64; 2],
        /// Nearer so many times.
        times: f64,
        /// About this place.
        about: [f64; 2],
    },
    /// The wheel: nearer so many times about a place.
    Zoomed {
        /// So many times.
        times: f64,
        /// About this place.
        about: [f64; 2],
    },
    /// A key, the direction of an arrow, and whether with Shift.
    Key {
        /// As the browser calls it.
        key: String,
        /// Right and up.
        arrow: [f64; 2],
        /// With Shift.
        shift: bool,
    },
    /// It lets go.
    Up,
    /// The browser took it for itself: what it did since it came down was not meant.
    TakenAway,
}

impl Gesture {
    /// A key that is no arrow, by itself.
    pub fn key(key: &str) -> Gesture {
        Gesture::Key { key: key.into(), arrow: [0.0, 0.0], shift: false }
    }
}

/// The picture as it was seen last.
#[derive(Clone, Copy, Debug)]
pub struct SeenPicture {
    /// From where it is seen of its own accord.
    pub home: Viewpoint,
    /// Its size.
    pub window: Window,
    /// How it is seen, where it is of wires in space.
    pub view: Option<PictureView>,
}

impl Model {
    pub(super) fn take_gesture(&mut self, gesture: Gesture, seen: &SeenPicture) {
        match gesture {
            Gesture::Down { is_first, at } => {
                if is_first {
                    self.camera_held = self.camera;
                }
                if let Some(view) = &seen.view {
                    self.take_hold(view, at[0], at[1]);
                }
            }
            Gesture::Drawn { by, moves } => {
                if !self.draw_in_hand(by, seen) {
                    match moves {
                        true => self.camera.shift(by[0], -by[1]),
                        false => self.camera.drag(seen.home, by[0], by[1], seen.window),
                    }
                }
            }
            Gesture::Pinched { by, times, about } => {
                if !self.draw_in_hand(by, seen) {
                    self.camera.shift(0.5 * by[0], -0.5 * by[1]);
                    self.camera.zoom_at(times, about[0], about[1]);
                }
            }
            Gesture::Zoomed { times, about } => self.camera.zoom_at(times, about[0], about[1]),
            Gesture::Key { key, arrow, shift } => self.take_key(&key, arrow, shift, seen),
            Gesture::Up => {
                self.release_joint();
            }
            Gesture::TakenAway => {
                self.camera = self.camera_held;
                self.release_joint();
            }
        }
    }

    /// The chain bent, or what is held pulled; whether the panel says that a hand does.
    fn draw_in_hand(&mut self, [right, down]: [f64; 2], seen: &SeenPicture) -> bool {
        self.bend(right / seen.window.width.max(1.0))
            || seen.view.is_some_and(|view| self.pull_held(&view, right, down))
    }

    fn take_key(&mut self, key: &str, [right, up]: [f64; 2], shift: bool, seen: &SeenPicture) {
        if let Some(view) = seen.view.filter(|_| !shift)
            && self.pull_by_key(&view, key, (right, up))
        {
            return;
        }
        match key {
            "+" | "=" => self.camera.zoom_at(ZOOM_STEP, 0.0, 0.0),
            "-" => self.camera.zoom_at(1.0 / ZOOM_STEP, 0.0, 0.0),
            "0" => self.camera = Camera::default(),
            _ if shift => self.camera.shift(MOVE * right, MOVE * up),
            _ => self.camera.turn(seen.home, -TURN * right, -TURN * up),
        }
    }

    /// Whether a key on the picture is for the page: not those that are the browser's own.
    pub fn knows_key(&self, key: &str, is_arrow: bool) -> bool {
        let pulls = ["PageUp", "PageDown", "Enter"];
        is_arrow || ["+", "=", "-", "0"].contains(&key) || (self.pulls() && pulls.contains(&key))
    }

    /// Sets the slider to a time, where it stays.
    pub(super) fn slide_to(&mut self, time: f64) {
        if time.is_finite() {
            self.time = time.clamp(0.0, 1.0);
        }
        self.playing = false;
    }

    /// Starts and stops the demonstration; where calm is asked for it goes on to the next step
    /// instead.
    pub(super) fn play(&mut self, calm: bool) {
        let (start, end) = VIEWS[self.view].span.unwrap_or((0.0, 1.0));
        if calm {
            let stops = [
                Some(Chapter::Stretch.end()),
                Some(Chapter::Pinch.end()),
                Some(Chapter::Fold.end()),
                self.tightest_time(),
                Some(1.0),
            ];
            let on = |stop: &f64| *stop > self.time + 1e-3 && *stop <= end;
            let next = stops.into_iter().flatten().filter(on).fold(f64::INFINITY, f64::min);
            return self.slide_to(if next.is_finite() { next } else { start });
        }
        self.playing = !self.playing;
        self.last_frame = 0.0;
        if self.playing && self.time >= 1.0 {
            // From where the view begins.
            self.time = start;
        }
    }

    /// Everything that moves goes on to the frame at `now` milliseconds.
    pub(super) fn advance(&mut self, now: f64, calm: bool) {
        if self.playing {
            if self.last_frame > 0.0 {
                let made = Chapter::Fold.end();
                let seconds = if self.time < made {
                    MAKING_SECONDS / made
                } else {
                    JOINING_SECONDS / (1.0 - made)
                };
                self.time += (now - self.last_frame).clamp(0.0, 100.0) / (1000.0 * seconds);
            }
            self.last_frame = now;
            if self.time >= 1.0 {
                self.slide_to(1.0);
            }
        }
        self.move_on(now, calm);
        let tight = self.tight_time();
        self.class.advance(now, tight);
    }

    /// Whether something moves by itself.
    pub fn moves(&self) -> bool {
        self.playing || self.class.is_playing() || self.analysis.is_moving()
    }
}
