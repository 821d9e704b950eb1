//! What was asked and what the core answered, last time it had an answer.

use super::hanging::Hanging;
use crate::design::{Design, DesignError};
use crate::form::Forming;
use crate::report::{JoinReport, MetalReport, Report, SizeReport};
use crate::units::{LengthUnit, length_text};
use std::cell::OnceCell;

/// A design that can be worked, and the answer to it.
pub struct Work {
    /// The design.
    pub design: Design,
    /// Which of its sizes is looked at.
    pub size: usize,
    /// What the maker measures in.
    pub unit: LengthUnit,
    /// Every size worked through its steps.
    pub formings: Vec<Forming>,
    /// The answer; its sentences speak `unit`.
    pub report: Report,
    /// The chain, once it has been asked for.
    pub hanging: Hanging,
    /// The metal section of each size, once it has been asked for.
    metals: Vec<OnceCell<Option<MetalReport>>>,
}

impl Work {
    /// Asks the core about `design`.
    ///
    /// # Errors
    /// [`DesignError`] where it cannot be worked.
    pub fn of(design: Design, size: usize, unit: LengthUnit) -> Result<Work, DesignError> {
        let formings = design.formings()?;
        let report = Report::at_once(&design, &formings, unit);
        let size = size.min(design.sizes.len().saturating_sub(1));
        let metals = unasked(design.sizes.len());
        let hanging = Hanging::new();
        Ok(Work { design, size, unit, formings, report, hanging, metals })
    }

    /// The same in another unit.
    pub fn speak(&mut self, unit: LengthUnit) {
        self.unit = unit;
        self.hanging = Hanging::new();
        self.report = Report::at_once(&self.design, &self.formings, unit);
        self.metals = unasked(self.design.sizes.len());
    }

    /// The metal section of the size looked at; asked for once.
    pub fn metal(&self) -> Option<&MetalReport> {
        let ask = || MetalReport::of(&self.design, self.size, self.unit).ok();
        self.metals.get(self.size)?.get_or_init(ask).as_ref()
    }

    /// The steps of the size looked at.
    pub fn forming(&self) -> Option<&Forming> {
        self.formings.get(self.size)
    }

    /// The size looked at.
    pub fn size_report(&self) -> Option<&SizeReport> {
        self.report.sizes.get(self.size)
    }

    /// The size looked at, joined to its own kind.
    pub fn join_report(&self) -> Option<&JoinReport> {
        self.report.joins.get(self.size)
    }

    /// A length as callipers show it.
    pub fn length(&self, mm: f64) -> String {
        length_text(mm, self.unit)
    }
}

fn unasked(sizes: usize) -> Vec<OnceCell<Option<MetalReport>>> {
    (0..sizes).map(|_| OnceCell::new()).collect()
}
