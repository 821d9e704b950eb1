//! A class is shown the work: how far the lesson is, and how it plays.
//!
//! Time runs from 0, the wire, to the number of steps; a step is done at its whole number.

use crate::documents::design::Lesson;

/// The last step.
const END: f64 = Lesson::ALL.len() as f64;
/// Seconds that playing rests at a stop.
const REST_SECONDS: f64 = 1.5;
/// A longer pause between two frames than this, ms, was no playing.
const LONGEST_FRAME: f64 = 100.0;
/// Times nearer than this are one.
const SAME: f64 = 0.005;
/// How much slower it plays when that is asked for.
const SLOWER: f64 = 0.25;

/// What is done with the lesson.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LessonMove {
    /// It plays to the next stop; asked again on the way, or where calm is asked for, it jumps there.
    Next {
        /// Calm is asked for.
        calm: bool,
    },
    /// The same back to the last.
    Back {
        /// Calm is asked for.
        calm: bool,
    },
    /// To a time.
    To(f64),
    /// To the start of a step, counted from 1.
    ToStep(usize),
    /// On by so much.
    By(f64),
    /// It plays or pauses; where calm is asked for it goes on to the next stop.
    Play {
        /// Calm is asked for.
        calm: bool,
    },
    /// It plays slowly, or at its own speed again.
    Slow,
}

/// Where playing leads.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Heading {
    /// It stands.
    Nowhere,
    /// To a stop.
    Stop(f64),
    /// To the end, with a rest at every stop.
    End,
}

/// Where the lesson stands.
#[derive(Clone, Debug, PartialEq)]
pub struct LessonState {
    /// Whether a class is shown the work.
    pub is_on: bool,
    /// How far it is.
    pub time: f64,
    /// Whether it plays at a quarter of its speed.
    pub is_slow: bool,
    /// What the design beside is called in the list of designs.
    pub beside_name: String,
    heading: Heading,
    is_paused: bool,
    last_frame: f64,
    rests: f64,
}

impl Default for LessonState {
    fn default() -> LessonState {
        LessonState {
            is_on: false,
            time: 0.0,
            is_slow: false,
            beside_name: String::new(),
            heading: Heading::Nowhere,
            is_paused: false,
            last_frame: 0.0,
            rests: 0.0,
        }
    }
}

/// Seconds that a step takes.
fn seconds(step: Lesson) -> f64 {
    match step {
        Lesson::Oval | Lesson::Eight | Lesson::Fold => 5.0,
        Lesson::Chain => 14.0,
        _ => 7.0,
    }
}

impl LessonState {
    /// The step, and how much of it is done.
    pub fn step(&self) -> (Lesson, f64) {
        let index = (self.time.ceil() as usize).clamp(1, Lesson::ALL.len()) - 1;
        (Lesson::ALL[index], (self.time - index as f64).clamp(0.0, 1.0))
    }

    /// Whether it plays.
    pub fn is_playing(&self) -> bool {
        self.heading != Heading::Nowhere && !self.is_paused
    }

    /// Does what is asked; `tight` is the time of the tightest place, where it stops too.
    pub fn go(&mut self, moves: LessonMove, tight: Option<f64>) {
        match moves {
            LessonMove::Next { calm } => self.lead(self.next(tight), calm),
            LessonMove::Play { calm: true } => self.lead(self.next(tight), true),
            LessonMove::Back { calm } => self.lead(self.last(tight), calm),
            LessonMove::To(time) => self.go_to(time),
            LessonMove::ToStep(step) => self.go_to(step.saturating_sub(1) as f64 + 0.5 * SAME),
            LessonMove::By(time) => self.go_to(self.time + time),
            LessonMove::Play { calm: false } => self.play(),
            LessonMove::Slow => self.is_slow = !self.is_slow,
        }
    }

    /// It stands where it is.
    pub(super) fn stand(&mut self) {
        (self.heading, self.is_paused) = (Heading::Nowhere, false);
        (self.last_frame, self.rests) = (0.0, 0.0);
    }

    /// Goes to a time, and stays there.
    fn go_to(&mut self, time: f64) {
        if time.is_finite() {
            self.time = time.clamp(0.0, END);
        }
        self.stand();
    }

    fn next(&self, tight: Option<f64>) -> f64 {
        stops(tight).find(|stop| *stop > self.time + SAME).unwrap_or(END)
    }

    fn last(&self, tight: Option<f64>) -> f64 {
        stops(tight).filter(|stop| *stop < self.time - SAME).last().unwrap_or(0.0)
    }

    /// Plays to a stop, or jumps there.
    fn lead(&mut self, stop: f64, at_once: bool) {
        if at_once || self.is_playing() && self.heading == Heading::Stop(stop) {
            return self.go_to(stop);
        }
        self.stand();
        self.heading = Heading::Stop(stop);
    }

    /// Starts, pauses or goes on.
    fn play(&mut self) {
        if self.heading != Heading::Nowhere {
            self.is_paused = !self.is_paused;
            self.last_frame = 0.0;
            return;
        }
        self.heading = Heading::End;
        if self.time >= END - SAME {
            self.time = 0.0;
        }
    }

    /// Plays on to the frame at `now` milliseconds.
    pub(super) fn advance(&mut self, now: f64, tight: Option<f64>) {
        if !self.is_on || !self.is_playing() {
            return;
        }
        let passed = if self.last_frame > 0.0 { now - self.last_frame } else { 0.0 };
        let passed = 1e-3 * passed.clamp(0.0, LONGEST_FRAME);
        self.last_frame = now;
        if self.rests > 0.0 {
            self.rests -= passed;
            return;
        }
        let back = matches!(self.heading, Heading::Stop(stop) if stop < self.time);
        // At a whole number the step before is done; onwards the next one begins.
        let index = if back { self.time.ceil() - 1.0 } else { self.time.floor() };
        let step = Lesson::ALL[(index.max(0.0) as usize).min(Lesson::ALL.len() - 1)];
        let speed = if self.is_slow { SLOWER } else { 1.0 };
        let far = passed * speed / seconds(step);
        match self.heading {
            Heading::Stop(stop) if (stop - self.time).abs() <= far => self.go_to(stop),
            Heading::Stop(_) => self.time += if back { -far } else { far },
            _ => match stops(tight).find(|stop| (1e-9..far + 1e-9).contains(&(stop - self.time))) {
                Some(stop) if stop >= END => self.go_to(END),
                Some(stop) => (self.time, self.rests) = (stop, REST_SECONDS),
                None => self.time = (self.time + far).min(END),
            },
        }
    }
}

/// Where playing rests for a while, and where steps lead: the end of each step, and the tightest place.
fn stops(tight: Option<f64>) -> impl Iterator<Item = f64> {
    let before = move |stop: &f64| tight.filter(|tight| tight.floor() == *stop);
    (0..=Lesson::ALL.len())
        .map(|step| step as f64)
        .flat_map(move |stop| [Some(stop), before(&stop)].into_iter().flatten())
}

#[cfg(test)]
mod tests {
    use super::*;

    const TIGHT: Option<f64> = Some(9.6);

    /// Plays on by frames of 50 ms until it stands; the frames it took.
    fn played(showing: &mut LessonState) -> usize {
        let mut now = 1.0;
        let mut frames = 0;
        while showing.is_playing() {
            now += 50.0;
            showing.advance(now, TIGHT);
            frames += 1;
            assert!(frames < 10_000, "{showing:?}");
        }
        frames
    }

    fn shown() -> LessonState {
        LessonState { is_on: true, ..LessonState::default() }
    }

    /// Played frame by frame it comes through every stop, rests there, and ends.
    #[test]
    fn it_rests_at_every_stop_and_ends() {
        let mut showing = shown();
        showing.play();
        let (mut now, mut rested) = (1.0, Vec::new());
        while showing.is_playing() {
            let before = showing.time;
            now += 50.0;
            showing.advance(now, TIGHT);
            assert!(showing.time >= before && now < 300e3, "{} at {now}", showing.time);
            if showing.time == before && before > 0.0 && rested.last() != Some(&before) {
                rested.push(before);
            }
        }
        assert_eq!(showing.time, END);
        let all: Vec<f64> = stops(TIGHT).filter(|stop| *stop > 0.0 && *stop < END).collect();
        assert_eq!(rested, all);
        assert!(all.contains(&9.6) && all.len() == Lesson::ALL.len());
    }

    /// Next plays to the next stop, and asked again jumps there; Back the same.
    #[test]
    fn next_plays_to_the_next_stop_and_again_jumps_there() {
        let (next, back) = (LessonMove::Next { calm: false }, LessonMove::Back { calm: false });
        let (mut playing, mut jumping) = (shown(), shown());
        for stop in stops(TIGHT).skip(1) {
            playing.go(next, TIGHT);
            assert!(played(&mut playing) > 20 && playing.time == stop, "{playing:?}");
            jumping.go(next, TIGHT);
            jumping.advance(1.0, TIGHT);
            assert!(jumping.is_playing());
            jumping.go(next, TIGHT);
            assert!(!jumping.is_playing() && jumping.time == stop, "{jumping:?}");
        }
        let mut stops: Vec<f64> = stops(TIGHT).collect();
        stops.reverse();
        for stop in &stops[1..] {
            playing.go(back, TIGHT);
            assert!(played(&mut playing) > 20 && playing.time == *stop, "{playing:?}");
            jumping.go(LessonMove::Back { calm: true }, TIGHT);
            assert_eq!(jumping.time, *stop);
        }
        // Turned round on the way.
        let mut showing = shown();
        showing.go(LessonMove::To(2.5), TIGHT);
        showing.go(next, TIGHT);
        showing.go(back, TIGHT);
        played(&mut showing);
        assert_eq!(showing.time, 2.0);
    }

    #[test]
    fn it_pauses_goes_on_slows_and_goes_to_a_step() {
        let next = LessonMove::Next { calm: false };
        let mut showing = shown();
        showing.go(next, TIGHT);
        showing.advance(1.0, TIGHT);
        showing.advance(51.0, TIGHT);
        let there = showing.time;
        showing.go(LessonMove::Play { calm: false }, TIGHT);
        showing.advance(101.0, TIGHT);
        assert!(there > 0.0 && showing.time == there && !showing.is_playing());
        showing.go(LessonMove::Play { calm: false }, TIGHT);
        let quick = played(&mut showing);
        assert_eq!(showing.time, 1.0);
        showing.go(LessonMove::Slow, TIGHT);
        showing.go(next, TIGHT);
        let slow = played(&mut showing);
        assert!(slow > 3 * quick, "{slow} frames, {quick} before");
        for step in 1..=10 {
            showing.go(LessonMove::ToStep(step), TIGHT);
            assert_eq!(showing.step().0, Lesson::ALL[step - 1]);
            assert!(showing.step().1 < 0.01);
        }
        showing.go(LessonMove::To(f64::NAN), TIGHT);
        assert_eq!(showing.step().0, Lesson::ALL[9]);
    }
}
