//! What is said at each step of the work: what is done, what to beware of, the measure that matters.

use super::{GROWN, STRAIGHT, Taught};
use crate::answers::report::{CAUTIONS, JoinAnswer, JoinReport};
use crate::documents::design::Lesson;
use crate::documents::units::{LengthUnit, length_text};
use crate::render::{Chapter, phase_name, phase_words};

impl Taught<'_> {
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
