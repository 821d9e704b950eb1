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
}

/// Places asked for in one request: some tens of milliseconds, fewer towards the end of a round,
/// so that no worker waits long for another.
const PLACES: [usize; 2] = [2, 16];

impl MapState {
    /// The next places to ask one of so many workers for; `asked` are the numbers of those asked for
    /// already.
    pub fn task(&mut self, workers: usize, asked: &[usize]) -> Option<Task> {
        let asked: Vec<[u8; 2]> = asked.iter().map(|number| Grid::place(*number)).collect();
        let mut nodes = self.grid.next(usize::MAX, &asked);
        let [fewest, most] = PLACES;
        nodes.truncate((nodes.len() / (2 * workers.max(1))).clamp(fewest, most));
        let question = self.question.clone();
        (!nodes.is_empty()).then_some(Task::Clearances { question, nodes })
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
