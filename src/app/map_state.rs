//! The map of the design as far as it is known.

use super::controls::Controls;
use super::tasks::Task;
use crate::answers::dimension::Dimension;
use crate::answers::map::{AXES, Grid, Question, place};
use crate::documents::design::Design;

/// What the map is of, and what is known of it.
pub struct MapState {
    /// What it is of.
    pub question: Question,
    /// What is known of it.
    pub grid: Grid,
    /// Clearance asked for, mm, for which the grid is filled.
    pub margin: f64,
    /// Whether an answer about it is waited for.
    pub is_asked: bool,
}

impl MapState {
    /// The next places to ask for.
    pub fn task(&mut self, most: usize) -> Option<Task> {
        let nodes = self.grid.next(most);
        if nodes.is_empty() {
            return None;
        }
        self.is_asked = true;
        Some(Task::Clearances { question: self.question.clone(), nodes })
    }

    /// Where the design stands on it, mm.
    pub fn place_of(&self, design: &Design, size: usize) -> Option<[f64; 2]> {
        place(design, size, [self.question.across.axis, self.question.up.axis])
    }
}

/// The dimensions chosen, across and up.
pub fn axes(controls: &Controls) -> [Dimension; 2] {
    let chosen = |id: &str, otherwise: usize| {
        let index = controls.value(id).parse().unwrap_or(otherwise);
        AXES.get(index).copied().unwrap_or(AXES[otherwise])
    };
    [chosen("map-across", 0), chosen("map-up", 1)]
}
