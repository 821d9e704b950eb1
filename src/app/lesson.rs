//! A class is shown the work: how far the lesson is, and how it plays.
//!
//! Time runs from 1, the ring, to the number of steps; a step is done at its whole number.

use crate::documents::design::Lesson;
use crate::render::TIGHTEST;

/// The last step.
const END: f64 = Lesson::ALL.len() as f64;
/// Where the tightest place is.
const TIGHT: f64 = 4.0 + TIGHTEST;
/// Where playing rests for a while, and where steps lead.
const STOPS: [f64; 7] = [1.0, 2.0, 3.0, 4.0, TIGHT, 5.0, END];
/// Seconds that a step takes, that the joining takes, and that playing rests.
const STEP_SECONDS: f64 = 4.0;
const JOINING_SECONDS: f64 = 16.0;
const REST_SECONDS: f64 = 1.5;
/// A longer pause between two frames than this, ms, was no playing.
const LONGEST_FRAME: f64 = 100.0;

/// What is done with the lesson.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LessonMove {
    /// On to the next place to stop.
    Next,
    /// Back to the last.
    Back,
    /// To a time.
    To(f64),
    /// On by so much.
    By(f64),
    /// It plays or stops; where calm is asked for it goes on to the next place to stop.
    Play {
        /// Calm is asked for.
        calm: bool,
    },
}

/// Where the lesson stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Showing {
    /// Whether a class is shown the work.
    pub is_on: bool,
    /// How far it is.
    pub time: f64,
    /// Whether it plays.
    pub is_playing: bool,
    /// What the design beside is called in the list of designs.
    pub beside_name: String,
    last_frame: f64,
    rests: f64,
}

impl Default for Showing {
    fn default() -> Showing {
        Showing {
            is_on: false,
            time: 1.0,
            is_playing: false,
            beside_name: String::new(),
            last_frame: 0.0,
            rests: 0.0,
        }
    }
}

impl Showing {
    /// The step, and how much of it is done.
    pub fn step(&self) -> (Lesson, f64) {
        let index = (self.time.ceil() as usize).clamp(1, Lesson::ALL.len()) - 1;
        (Lesson::ALL[index], (self.time - index as f64).clamp(0.0, 1.0))
    }

    /// Does what is asked.
    pub fn go(&mut self, moves: LessonMove) {
        match moves {
            LessonMove::Next | LessonMove::Play { calm: true } => self.next(),
            LessonMove::Back => self.back(),
            LessonMove::To(time) => self.go_to(time),
            LessonMove::By(time) => self.go_to(self.time + time),
            LessonMove::Play { calm: false } => self.play(),
        }
    }

    /// Goes to a time, and stays there.
    fn go_to(&mut self, time: f64) {
        if time.is_finite() {
            self.time = time.clamp(1.0, END);
        }
        self.is_playing = false;
    }

    /// Goes on to the next place to stop.
    fn next(&mut self) {
        let on = STOPS.into_iter().find(|stop| *stop > self.time + 1e-6);
        self.go_to(on.unwrap_or(END));
    }

    /// Goes back to the last.
    fn back(&mut self) {
        let back = STOPS.into_iter().rev().find(|stop| *stop < self.time - 1e-6);
        self.go_to(back.unwrap_or(1.0));
    }

    /// Starts or stops playing.
    fn play(&mut self) {
        self.is_playing = !self.is_playing;
        (self.last_frame, self.rests) = (0.0, 0.0);
        if self.is_playing && self.time >= END {
            self.time = 1.0;
        }
    }

    /// Plays on to the frame at `now` milliseconds.
    pub(super) fn advance(&mut self, now: f64) {
        if !self.is_on || !self.is_playing {
            return;
        }
        let passed = if self.last_frame > 0.0 { now - self.last_frame } else { 0.0 };
        let passed = 1e-3 * passed.clamp(0.0, LONGEST_FRAME);
        self.last_frame = now;
        if self.rests > 0.0 {
            self.rests -= passed;
            return;
        }
        let joins = self.step().0 == Lesson::Through || self.time == 4.0;
        let seconds = if joins { JOINING_SECONDS } else { STEP_SECONDS };
        let time = self.time + passed / seconds;
        match STOPS.into_iter().find(|stop| *stop > self.time && *stop <= time) {
            Some(stop) => (self.time, self.rests) = (stop, REST_SECONDS),
            None => self.time = time,
        }
        if self.time >= END {
            self.go_to(END);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Played frame by frame it comes through every stop, rests there, and ends.
    #[test]
    fn it_rests_at_every_stop_and_ends() {
        let mut showing = Showing { is_on: true, ..Showing::default() };
        showing.play();
        let (mut now, mut rested) = (1.0, Vec::new());
        while showing.is_playing {
            let before = showing.time;
            now += 50.0;
            showing.advance(now);
            assert!(showing.time >= before && now < 120e3, "{} at {now}", showing.time);
            if showing.time == before && rested.last() != Some(&before) {
                rested.push(before);
            }
        }
        assert_eq!(showing.time, END);
        assert!(STOPS[1..6].iter().all(|stop| rested.contains(stop)), "{rested:?}");
    }

    #[test]
    fn steps_lead_from_stop_to_stop_and_back() {
        let mut showing = Showing::default();
        let mut on = vec![showing.time];
        for _ in 1..STOPS.len() {
            showing.next();
            on.push(showing.time);
        }
        assert_eq!(on, STOPS);
        for stop in STOPS.iter().rev() {
            assert_eq!(showing.time, *stop);
            showing.back();
        }
        showing.go_to(f64::NAN);
        assert_eq!(showing.time, 1.0);
    }
}
