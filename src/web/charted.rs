//! The map of the design on the page, as far as it is known.

use super::page::Page;
use super::views;
use super::work::Work;
use crate::answers::build::BuildError;
use crate::answers::dimension::Dimension;
use crate::answers::map::{Grid, Question, place};
use crate::app::tasks::Task;
use crate::documents::design::Design;
use crate::documents::units::LengthUnit;

/// What the map is of, and what is known of it.
pub struct Charted {
    pub question: Question,
    pub grid: Grid,
    /// Room asked for, for which the grid is filled.
    pub margin: f64,
    /// Whether an answer about it is waited for.
    pub is_asked: bool,
}

impl Charted {
    /// The next places to ask for.
    pub fn task(&mut self, most: usize) -> Option<Task> {
        let nodes = self.grid.next(most);
        if nodes.is_empty() {
            return None;
        }
        self.is_asked = true;
        Some(Task::Rooms { question: self.question.clone(), nodes })
    }

    /// Where the design stands on it, mm.
    pub fn place_of(&self, design: &Design, size: usize) -> Option<[f64; 2]> {
        place(design, size, [self.question.across.axis, self.question.up.axis])
    }
}

impl Page {
    /// Where the map is seen, has one that serves the design and the axes chosen; keeps the
    /// present one if it does. Elsewhere nothing of it is asked.
    pub fn prepare_map(&mut self) {
        if !self.sees_map() {
            self.work.charted = self.work.charted.take().filter(|c| c.is_asked || c.grid.is_done());
            return;
        }
        let axes = views::map_axes(&self.elements);
        let Work { design, size, charted, .. } = &mut self.work;
        let serves = |c: &Charted| {
            c.question.across.axis == axes[0]
                && c.question.up.axis == axes[1]
                && c.question.serves(design, *size)
        };
        match charted.as_mut().filter(|c| serves(c)) {
            Some(kept) if kept.margin == design.margin_mm => {}
            Some(kept) => {
                kept.margin = design.margin_mm;
                kept.grid = kept.grid.refilled(kept.margin);
            }
            None => {
                let margin = design.margin_mm;
                *charted = Question::round(design, *size, axes).map(|question| Charted {
                    question,
                    grid: Grid::new(margin),
                    margin,
                    is_asked: false,
                });
            }
        }
    }

    /// Whether the picture is the map.
    pub fn sees_map(&self) -> bool {
        self.current().id == views::MAP
    }

    /// Moves the design to a place of the map, mm; whether it went.
    pub fn move_point(&mut self, to: [f64; 2]) -> bool {
        let Work { design, size, unit, .. } = &self.work;
        let Some(charted) = &self.work.charted else { return false };
        let rounded = to.map(|mm| rounded(mm, *unit));
        let axes = [charted.question.across.axis, charted.question.up.axis];
        let mut moved = design.clone();
        for (axis, mm) in axes.into_iter().zip(rounded) {
            axis.set(&mut moved, *size, mm);
        }
        if moved == *design {
            return false;
        }
        match Work::of(moved, *size, *unit) {
            Ok(work) => {
                self.tell("", false);
                self.take(work);
                true
            }
            Err(error) => {
                self.tell_refusal(&error);
                false
            }
        }
    }

    /// Moves the design by steps of the map.
    pub fn step_point(&mut self, right: f64, up: f64, fine: bool) -> bool {
        let Work { design, size, unit, .. } = &self.work;
        let Some(charted) = &self.work.charted else { return false };
        let Some(here) = charted.place_of(design, *size) else { return false };
        let step = |range: &crate::answers::map::Range, path: f64| {
            let least = step_of(*unit);
            let step = (range.high - range.low) / 64.0;
            path * if fine { least } else { (step / least).round().max(1.0) * least }
        };
        let Question { across, up: upward, .. } = &charted.question;
        let to = [
            (here[0] + step(across, right)).clamp(across.low, across.high),
            (here[1] + step(upward, up)).clamp(upward.low, upward.high),
        ];
        self.move_point(to)
    }

    fn tell_refusal(&mut self, error: &BuildError) {
        let name = error.at().map_or("the link", |at| axis_name(at.field));
        self.tell(&format!("Not there: {}.", error.told(name, self.work.unit)), true);
    }
}

fn axis_name(field: &'static str) -> &'static str {
    let known = [
        ("mandrel_mm", Dimension::MandrelMm),
        ("bore_mm", Dimension::BoreMm),
        ("wire", Dimension::WireMm),
    ];
    known.iter().find(|(name, _)| field.starts_with(name)).map_or(field, |(_, axis)| axis.words())
}

/// What callipers can tell apart: a hundredth of a millimetre, half a thousandth of an inch.
fn step_of(unit: LengthUnit) -> f64 {
    match unit {
        LengthUnit::Mm => 0.01,
        LengthUnit::Inch => 0.0005 * unit.in_mm(),
    }
}

fn rounded(mm: f64, unit: LengthUnit) -> f64 {
    // Through text, so that 0.9 is 0.9.
    let steps = (mm / step_of(unit)).round();
    match unit {
        LengthUnit::Mm => steps / 100.0,
        LengthUnit::Inch => steps / 2000.0 * unit.in_mm(),
    }
}
