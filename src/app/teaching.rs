//! A class begins and ends, and what it sees beside the design.

use super::analysis::Analysis;
use super::examples::{OPENING, TOO_THICK};
use super::lesson::LessonMove;
use super::model::{KEPT, Model};
use super::pending::Subject;
use crate::render::TIGHTEST;

impl Model {
    pub(super) fn show_class(&mut self, on: bool) {
        self.class.is_on = on;
        self.class.stand();
        if !on {
            return self.drop_subjects(|subject| subject == Subject::Beside);
        }
        self.playing = false;
        self.teach(LessonMove::To(0.0));
        let name = self.class.beside_name.clone();
        let is_known = self.beside_choices().iter().any(|(known, _)| *known == name);
        let is_stale = self.beside.as_ref().is_some_and(|beside| beside.unit != self.analysis.unit);
        if !is_known {
            // At first one that does not join, or that does.
            let joins =
                self.analysis.join_report().is_none_or(|join| join.least_clearance_mm > 0.0);
            let usual = if joins { TOO_THICK } else { OPENING };
            self.choose_beside(usual.to_string());
        } else if is_stale {
            self.choose_beside(name);
        }
    }

    pub(super) fn teach(&mut self, moves: LessonMove) {
        let tight = self.tight_time();
        self.class.go(moves, tight);
    }

    /// When the lesson comes to the tightest place, or to where it sticks.
    pub(super) fn tight_time(&self) -> Option<f64> {
        let pace = self.class.is_on.then(|| self.analysis.pace(self.analysis.size, 0))??;
        Some(f64::from(pace.tight_step() as u8) + TIGHTEST)
    }

    pub(super) fn choose_beside(&mut self, name: String) {
        self.drop_subjects(|subject| subject == Subject::Beside);
        let design = self.design_named(&name);
        let analysis = design.and_then(|design| Analysis::of(design, 0, self.analysis.unit).ok());
        self.beside = analysis.map(|mut analysis| {
            analysis.unprovable = self.pending.is_broken;
            analysis
        });
        self.class.beside_name = name;
    }

    /// What may stand beside, by value and name: none, those of the page's own list, and those kept by a
    /// name.
    pub(super) fn beside_choices(&self) -> Vec<(String, String)> {
        let kept = self.saved.rows.iter().filter(|kept| kept.design.is_ok());
        let kept =
            kept.map(|kept| (format!("{KEPT}{}", kept.name), format!("{} (kept here)", kept.name)));
        let none = ("none".to_string(), "none".to_string());
        std::iter::once(none).chain(self.design_choices()).chain(kept).collect()
    }
}
