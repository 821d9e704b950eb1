//! The design changed: typed, chosen, taken from a suggestion or a search, undone.

use super::analysis::Analysis;
use super::choices;
use super::effect::Effect;
use super::fields;
use super::model::Model;
use super::optimise_state;
use super::pending::Subject;
use crate::answers::build::BuildError;
use crate::answers::report::Steps;
use crate::documents::bench::Bench;
use crate::documents::design::Design;
use crate::documents::storage::Habits;
use crate::documents::undo::{Change, again};
use crate::documents::units::{LengthUnit, length_words};
use crate::geometry::link::ToolDimension;
use crate::math::units::Mm;

impl Model {
    pub(super) fn save(&mut self, effects: &mut Vec<Effect>) {
        // A hand that drags the design about is waited for.
        if !self.is_dragged {
            effects.push(Effect::SaveDesign(Box::new(self.analysis.design.clone())));
            self.save_habits(effects);
        }
    }

    /// The hand released the point that it dragged about the map.
    pub(super) fn drop_point(&mut self, effects: &mut Vec<Effect>) {
        self.is_dragged = false;
        self.history.close();
        self.save(effects);
    }

    pub(super) fn save_habits(&self, effects: &mut Vec<Effect>) {
        let in_inches = self.analysis.unit == LengthUnit::Inch;
        effects.push(Effect::SaveHabits(Habits { in_inches, size: self.analysis.size }));
    }

    /// Takes another design in place of the present one, so that it can be undone.
    pub(super) fn take(
        &mut self,
        design: Design,
        size: usize,
        at: f64,
        effects: &mut Vec<Effect>,
    ) -> Result<(), BuildError> {
        let analysis = Analysis::of(design, size, self.analysis.unit)?;
        let before = (&self.analysis.design, self.analysis.size);
        let after = (&analysis.design, analysis.size);
        let change = Change { before, after, at, is_held: self.is_dragged };
        if self.history.note(&change).is_whole() {
            effects.push(Effect::SaveFormer(Box::new(self.analysis.design.clone())));
        }
        self.place(analysis);
        self.save(effects);
        Ok(())
    }

    /// Takes another design, with what is said of it; open entries make way for it.
    pub(super) fn replace(
        &mut self,
        design: Design,
        size: usize,
        words: &str,
        at: f64,
        effects: &mut Vec<Effect>,
    ) {
        let former = self.analysis.design.clone();
        match self.take(design, size, at, effects) {
            Ok(()) => {
                self.put_aside(former);
                self.tell(words, false);
            }
            Err(error) => self.tell(error.message("This", self.analysis.unit), true),
        }
    }

    /// Entries that are not in the design make way; they come back with the design they belong to.
    pub(super) fn put_aside(&mut self, design: Design) {
        let open = self.entries.clear_open();
        if !open.is_empty() {
            self.set_aside = Some((design, open));
        }
    }

    /// Brings entries back that were typed into the present design.
    pub(super) fn bring_back(&mut self) -> bool {
        match self.set_aside.take() {
            Some((design, open)) if design == self.analysis.design => {
                self.entries.open = open;
                let (size, unit) = (self.analysis.size, self.analysis.unit);
                self.entries.settle(&self.analysis.design.clone(), size, unit);
                true
            }
            other => {
                self.set_aside = other;
                false
            }
        }
    }

    pub(super) fn type_in(&mut self, key: &str, text: &str, at: f64, effects: &mut Vec<Effect>) {
        let Some(field) = fields::find(key) else { return };
        let (design, size, unit) =
            (self.analysis.design.clone(), self.analysis.size, self.analysis.unit);
        if field.value(&design, size).is_none() {
            return;
        }
        let changed = self.entries.type_in(&design, (size, &field), text, unit);
        self.take_entries(changed, at, effects);
    }

    /// Takes what of the entries could be taken into the design.
    pub(super) fn take_entries(&mut self, changed: Design, at: f64, effects: &mut Vec<Effect>) {
        if changed != self.analysis.design
            && let Err(error) = self.take(changed, self.analysis.size, at, effects)
        {
            self.tell(error.message("This", self.analysis.unit), true);
        }
        self.wait(effects);
    }

    pub(super) fn choose(
        &mut self,
        control: &str,
        value: &str,
        at: f64,
        effects: &mut Vec<Effect>,
    ) {
        let analysis = &mut self.analysis;
        match control {
            "size" => {
                if let Some(size) =
                    value.parse().ok().filter(|size| *size < analysis.design.sizes.len())
                {
                    analysis.size = size;
                    self.controls.set("join-shown", "");
                    self.unwanted();
                    self.save_habits(effects);
                }
            }
            "unit" => {
                let unit = if value == "inch" { LengthUnit::Inch } else { LengthUnit::Mm };
                analysis.set_unit(unit);
                self.bench_entries.clear();
                self.controls.set("unit", value);
                self.unwanted();
                self.drop_subjects(|subject| subject == Subject::Mandrels);
                let (design, size) = (self.analysis.design.clone(), self.analysis.size);
                let changed = self.entries.settle(&design, size, unit);
                self.take_entries(changed, at, effects);
                self.save_habits(effects);
            }
            "optimise-add" => optimise_state::add_wish(&mut self.controls, value),
            "strip" => {
                let text = self.on_strip(value.parse().unwrap_or(0.0));
                self.type_in("mandrel_mm", &text, at, effects);
            }
            _ => match choices::chosen(&analysis.design, control, value) {
                Some(design) => {
                    let size = analysis.size;
                    if let Err(error) = self.take(design, size, at, effects) {
                        self.tell(error.message("This", self.analysis.unit), true);
                    }
                }
                None => self.controls.set(control, value),
            },
        }
    }

    /// A mandrel taken on the strip, as it would be typed: one of the bench's where that is near,
    /// else one that a maker can buy.
    pub(super) fn on_strip(&self, mm: f64) -> String {
        let unit = self.analysis.unit;
        let range = self.strip.as_ref().map_or([mm, mm], |strip| strip.range);
        let reach = 0.012 * (range[1] - range[0]);
        let off = |known: &f64| (known - mm).abs();
        let near = self.bench.mandrels_mm.iter().copied().filter(|known| off(known) <= reach);
        let near = near.min_by(|a, b| off(a).total_cmp(&off(b)));
        let steps = Steps { unit, gauge: None };
        mandrel_text(near.unwrap_or_else(|| steps.nearest_mandrel(mm)), unit)
    }

    /// The next mandrel up or down the strip, as it would be typed: of the bench's or one that a maker
    /// can buy, whichever comes first.
    pub(super) fn next_on_strip(&self, up: bool) -> Option<String> {
        let unit = self.analysis.unit;
        let here = self.analysis.forming()?.setting.mandrel;
        let beyond = |mm: &f64| if up { *mm > here + 1e-6 } else { *mm < here - 1e-6 };
        let bought = Steps { unit, gauge: None }.next_mandrel(here, up);
        let owned = self.bench.mandrels_mm.iter().copied().filter(beyond);
        let all = owned.chain(bought);
        let next = if up { all.min_by(f64::total_cmp) } else { all.max_by(f64::total_cmp) };
        Some(mandrel_text(next?, unit))
    }

    /// As [`Model::take`]; where it cannot be made, says why.
    pub(super) fn change(
        &mut self,
        design: Design,
        size: usize,
        at: f64,
        effects: &mut Vec<Effect>,
    ) {
        let former = self.analysis.design.clone();
        match self.take(design, size, at, effects) {
            // Entries are counted with their sizes and trials.
            Ok(()) => self.put_aside(former),
            Err(error) => self.tell(error.message("This", self.analysis.unit), true),
        }
    }

    pub(super) fn suggest(&mut self, index: usize, at: f64, effects: &mut Vec<Effect>) {
        let join = self.shown_join();
        let Analysis { design, size, unit, report, .. } = &self.analysis;
        let Some(suggestion) = report.joins.get(join).and_then(|join| join.suggestions.get(index))
        else {
            return;
        };
        let label = fields::find(&suggestion.field).map_or("Dimension", |field| field.label);
        let steps = Steps::of(design, *unit);
        let dimension = match suggestion.field.as_str() {
            "wire" => ToolDimension::Wire,
            "mandrel_mm" => ToolDimension::Mandrel,
            _ => ToolDimension::Bore,
        };
        let mut to = steps.text(dimension, suggestion.to_mm);
        if dimension == ToolDimension::Wire && steps.gauge_of(suggestion.to_mm).is_some() {
            to = format!("{to} ({})", length_words(Mm::new(suggestion.to_mm), *unit));
        }
        match suggestion.taken(design, join, *unit) {
            Ok(design) => {
                let mut words = format!("{label} changed to {to}");
                for change in &suggestion.with {
                    let label = fields::find(&change.field).map_or("dimension", |f| f.label);
                    let to = Mm::try_from(change.to_mm)
                        .map_or(String::new(), |to| length_words(to, *unit));
                    words += &format!(", {} to {to}", label.to_lowercase());
                }
                words.push('.');
                self.replace(design, *size, &words, at, effects);
            }
            Err(error) => self.tell(error.to_string(), true),
        }
    }

    pub(super) fn take_found(&mut self, index: usize, at: f64, effects: &mut Vec<Effect>) {
        let Some(design) = self.optimise_state.design(index).cloned() else { return };
        let present = &self.analysis.design;
        let (name, notes) = (present.name.clone(), present.notes.clone());
        let design = Design { name, notes, ..design };
        let words = "The design found is in the fields now; Undo takes it back.";
        self.replace(design, self.analysis.size, words, at, effects);
    }

    pub(super) fn note(&mut self, design: Design, at: f64, effects: &mut Vec<Effect>) {
        let size = self.analysis.size;
        let before = (&self.analysis.design, size);
        let change = Change { before, after: (&design, size), at, is_held: false };
        self.history.note(&change);
        if let Some((of, _)) = &mut self.set_aside
            && *of == self.analysis.design
        {
            *of = design.clone();
        }
        self.analysis.design = design;
        self.save(effects);
    }

    pub(super) fn go_over(
        &mut self,
        design: Design,
        size: usize,
        words: String,
        effects: &mut Vec<Effect>,
    ) {
        match Analysis::of(design, size, self.analysis.unit) {
            Ok(analysis) => {
                self.place(analysis);
                self.save(effects);
                self.bring_back();
                self.tell(words, false);
            }
            Err(error) => self.tell(error.to_string(), true),
        }
    }

    pub(super) fn undo(&mut self, effects: &mut Vec<Effect>) {
        if self.is_at_fault() {
            self.put_aside(self.analysis.design.clone());
            return self.tell("Undone: what could not be used.", false);
        }
        let difference = self.history.undoable().cloned();
        match difference.zip(self.history.undo(&self.analysis.design)) {
            Some((difference, (design, size))) => {
                let words = format!("Undone: {}.", again(&difference, &design, self.analysis.unit));
                self.go_over(design, size, words, effects);
            }
            None => self.tell("There is nothing to undo.", false),
        }
    }

    pub(super) fn redo(&mut self, effects: &mut Vec<Effect>) {
        if self.history.redoable().is_none() && self.bring_back() {
            return self.tell("Redone: what was typed.", false);
        }
        let difference = self.history.redoable().cloned();
        match difference.zip(self.history.redo(&self.analysis.design)) {
            Some((difference, (design, size))) => {
                let words = format!("Redone: {}.", difference.values(&design, self.analysis.unit));
                self.go_over(design, size, words, effects);
            }
            None => self.tell("There is nothing to redo.", false),
        }
    }

    /// Takes what is typed in a field of the bench, where it can be read.
    pub(super) fn type_on_bench(&mut self, id: &str, text: &str, effects: &mut Vec<Effect>) {
        let unit = self.analysis.unit;
        if let Some(bench) = self.bench_entries.type_in(id, text, &self.bench, unit) {
            self.change_bench(bench, effects);
        }
    }

    /// Takes another bench, and has it saved.
    pub(super) fn change_bench(&mut self, bench: Bench, effects: &mut Vec<Effect>) {
        self.take_bench(bench);
        effects.push(Effect::SaveBench(Box::new(self.bench.clone())));
    }

    /// Takes another bench.
    pub(super) fn take_bench(&mut self, bench: Bench) {
        let costs = |bench: &Bench| {
            (bench.prices.clone(), bench.minutes.clone(), bench.hourly_rate, bench.currency.clone())
        };
        if costs(&self.bench) != costs(&bench) {
            self.analysis.drop_plan();
            self.drop_subjects(|subject| matches!(subject, Subject::Plan | Subject::Hand));
        }
        self.bench = bench;
    }
}

/// A mandrel as it would be typed: in inches a fraction, where it is one of sixty-fourths.
fn mandrel_text(mm: f64, unit: LengthUnit) -> String {
    let fraction = Steps { unit, gauge: None }.fraction(mm);
    fraction.unwrap_or_else(|| fields::shown_number(mm / unit.in_mm()))
}
