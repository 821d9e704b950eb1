//! Sizes and trial links added, moved and removed.

use super::effect::Effect;
use super::model::Model;
use crate::documents::design::{MOST_SIZES, MOST_TRIALS, Size, Trial};

impl Model {
    pub(super) fn add_trial(&mut self, at: f64, effects: &mut Vec<Effect>) {
        let mut design = self.analysis.design.clone();
        if design.trials.len() >= MOST_TRIALS {
            return self.tell(format!("No more than {MOST_TRIALS} trials in one design."), true);
        }
        let Some(forming) = self.analysis.forming() else { return };
        design.trials.push(Trial {
            mandrel_mm: forming.setting.mandrel,
            wire_mm: Some(forming.setting.wire),
            ..Trial::default()
        });
        self.change(design, self.analysis.size, at, effects);
    }

    pub(super) fn add_size(&mut self, at: f64, effects: &mut Vec<Effect>) {
        let mut design = self.analysis.design.clone();
        if design.sizes.len() >= MOST_SIZES {
            return self.tell(format!("No more than {MOST_SIZES} sizes in one chain."), true);
        }
        let here = self.analysis.size;
        let Some(size) = design.sizes.get(here).cloned() else { return };
        if design.sizes.len() == 1 && design.sizes[0].name.is_empty() {
            design.sizes[0].name = "size 1".into();
        }
        let taken = |name: &str| design.sizes.iter().any(|size| size.name == name);
        let mut free = (design.sizes.len() + 1..).map(|number| format!("size {number}"));
        let name = free.find(|name| !taken(name)).unwrap_or_default();
        design.sizes.insert(here + 1, Size { name, ..size });
        self.change(design, here + 1, at, effects);
    }

    pub(super) fn remove_size(&mut self, at: f64, effects: &mut Vec<Effect>) {
        let mut design = self.analysis.design.clone();
        let here = self.analysis.size;
        if design.sizes.len() < 2 || here >= design.sizes.len() {
            return self.tell("A chain has one size at least.", false);
        }
        design.sizes.remove(here);
        self.change(design, here.saturating_sub(1), at, effects);
    }

    pub(super) fn move_size(&mut self, earlier: bool, at: f64, effects: &mut Vec<Effect>) {
        let mut design = self.analysis.design.clone();
        let here = self.analysis.size;
        let to = if earlier { here.checked_sub(1) } else { Some(here + 1) };
        let Some(to) = to.filter(|to| *to < design.sizes.len()) else { return };
        design.sizes.swap(here, to);
        self.change(design, to, at, effects);
    }
}
