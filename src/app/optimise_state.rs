//! Tuning on the page: what was wished in the panel, what was found, what is asked next.

use super::analysis::Analysis;
use super::controls::Controls;
use super::pending::Subject;
use super::tasks::{Answer, Task};
use crate::answers::optimise::{
    Better, Dimension, Figure, Free, OptimiseError, OptimiseResult, Sensitivity, Side, TradeOff,
    TradePoint, Wish, Wishes,
};
use crate::answers::report::Steps;
use crate::documents::bench::{Bench, typed};
use crate::documents::design::Design;
use crate::documents::units::{LengthUnit, parse_length};
use crate::math::sort::sort_by;

/// The figures that have a slider, the most asked for first.
pub const WISHED: [Figure; 12] = [
    Figure::SupplenessX,
    Figure::SupplenessY,
    Figure::PitchMm,
    Figure::WidthMm,
    Figure::ThicknessMm,
    Figure::PlayMm,
    Figure::TwistDeg,
    Figure::GramsPer100Mm,
    Figure::FirstSetNewtons,
    Figure::StiffnessNewtonsPerMm,
    Figure::Ratio,
    Figure::JoiningClearanceMm,
];

/// The control that holds which of them are listed in the panel.
const LISTED: &str = "optimise-listed";

/// The figures listed in the panel, the one added last at the end.
pub fn listed(controls: &Controls) -> Vec<Figure> {
    let names = controls.value(LISTED).split(' ');
    names.filter_map(|name| WISHED.into_iter().find(|figure| figure.name() == name)).collect()
}

/// Lists a figure to be wished for: as it was wished for before it was removed, else about as it is.
pub fn add_wish(controls: &mut Controls, name: &str) {
    let mut all = listed(controls);
    let Some(figure) = WISHED.into_iter().find(|figure| figure.name() == name) else { return };
    if all.contains(&figure) {
        return;
    }
    all.push(figure);
    list(controls, &all);
    let want = format!("optimise-want-{name}");
    if controls.value(&want).is_empty() {
        controls.set(&want, "near");
    }
}

/// Removes one of the figures listed, with what is wished of it; that comes back with it.
pub fn remove_wish(controls: &mut Controls, index: usize) {
    let mut all = listed(controls);
    if index < all.len() {
        all.remove(index);
        list(controls, &all);
    }
}

fn list(controls: &mut Controls, figures: &[Figure]) {
    let names: Vec<&str> = figures.iter().map(|figure| figure.name()).collect();
    controls.set(LISTED, names.join(" "));
}

/// Whether a bench lists tools or wire for a dimension: no tool sets a gap.
pub fn can_be_owned(dimension: Dimension) -> bool {
    !matches!(dimension, Dimension::WaistGapMm | Dimension::TipGapMm)
}

/// A slider reaches from the present figure over this to this many times it.
const REACH: f64 = 2.5;
/// Designs looked at in one request: some hundred milliseconds.
pub const EVALUATIONS: usize = 10;

/// What is known of the wishes in the panel.
#[derive(Default)]
pub struct OptimiseState {
    /// The design that the answers start from, and the wishes they answer.
    pub asked: Option<(Design, Wishes, LengthUnit)>,
    /// What the panel cannot be read as.
    pub fault: Option<String>,
    /// What was found so far.
    pub found: Option<OptimiseResult>,
    /// That is still what was found for the wishes before.
    pub stale: bool,
    /// The present design's figures, in the order of [`Figure::ALL`], and whose they are.
    pub now: Option<(Design, usize, Vec<Option<f64>>)>,
    /// What sliders are measured against: the figures first seen.
    pub scale: Option<Vec<Option<f64>>>,
    /// How figures move with each dimension, as far as known, and whose they are.
    pub moves: Vec<Sensitivity>,
    moves_of: Option<Design>,
    /// The point of the trade-off looked at.
    pub chosen: Option<usize>,
    /// The worker failed: nothing is asked until a wish changes.
    broken: bool,
    /// The maker stopped it.
    pub stopped: bool,
}

/// One of `figures`.
pub fn of(figures: &[Option<f64>], figure: Figure) -> Option<f64> {
    let place = Figure::ALL.iter().position(|other| *other == figure)?;
    figures.get(place).copied().flatten()
}

impl OptimiseState {
    /// The value a slider stands at, −100 to 100.
    pub fn slid(&self, figure: Figure, share: f64) -> Option<f64> {
        let now = of(self.scale.as_ref()?, figure)?;
        Some(now * REACH.powf(share / 100.0))
    }

    /// Figures of the present design, where they are known.
    pub fn present(&self, work: &Analysis) -> Option<&Vec<Option<f64>>> {
        let (design, size, figures) = self.now.as_ref()?;
        (*design == work.design && *size == work.size).then_some(figures)
    }

    /// The trade-off found for the wishes in the panel: an older one has other figures along its axes.
    pub fn line(&self) -> &[TradePoint] {
        let found = self.found.as_ref().filter(|_| !self.stale);
        found.map_or(&[], |found| &found.trade_off)
    }

    /// Whether the search for the wishes in the panel came to its end.
    pub fn is_done(&self) -> bool {
        !self.stale && self.found.as_ref().is_some_and(|found| found.progress.done)
    }

    /// How the present design's figures move, as far as that is known.
    pub fn moves(&self, work: &Analysis) -> &[Sensitivity] {
        if self.moves_of.as_ref() == Some(&work.design) { &self.moves } else { &[] }
    }

    /// What is to be asked of the search next, for the design and the wishes in the panel.
    pub fn task(
        &mut self,
        work: &Analysis,
        controls: &Controls,
        bench: &Bench,
    ) -> Option<(Subject, Task)> {
        let (design, size) = (&work.design, work.size);
        if self.broken && self.asked.as_ref().is_some_and(|(of, ..)| of == design) {
            return None;
        }
        self.broken = false;
        if self.present(work).is_none() {
            return Some((Subject::Figures, Task::Figures { design: design.clone(), size }));
        }
        if self.scale.is_none() {
            self.scale = self.now.as_ref().map(|(_, _, figures)| figures.clone());
        }
        match read(self, work, controls, bench) {
            Err(words) => {
                self.fault = Some(words);
                self.found = None;
                self.asked = None;
            }
            Ok(None) => {
                (self.fault, self.found, self.asked) = (None, None, None);
            }
            Ok(Some(wishes)) => {
                self.fault = None;
                if !self.answers(work, &wishes) {
                    self.asked = Some((design.clone(), wishes, work.unit));
                    (self.stale, self.chosen, self.stopped) = (true, None, false);
                }
                let done = self.is_done();
                if let Some((design, wishes, unit)) = &self.asked
                    && !done
                    && !self.stopped
                {
                    let (design, wishes, unit) = (design.clone(), wishes.clone(), *unit);
                    let task = Task::Optimise { design, wishes, unit, evaluations: EVALUATIONS };
                    return Some((Subject::Search, task));
                }
            }
        }
        None
    }

    /// The next dimension by which figures are to be moved, which is not asked for already.
    pub fn moves_task(
        &mut self,
        work: &Analysis,
        is_asked: impl Fn(Subject) -> bool,
    ) -> Option<(Subject, Task)> {
        if self.broken || self.present(work).is_none() {
            return None;
        }
        let (design, size) = (&work.design, work.size);
        if self.moves_of.as_ref() != Some(design) {
            self.moves.clear();
            self.moves_of = Some(design.clone());
        }
        let mut all = Dimension::ALL.into_iter().enumerate();
        let (index, dimension) = all.find(|(index, dimension)| {
            let is_known = self.moves.iter().any(|known| known.dimension == *dimension);
            !is_known && !is_asked(Subject::Moves(*index))
        })?;
        Some((Subject::Moves(index), Task::Moves { design: design.clone(), size, dimension }))
    }

    /// Takes what was found for it.
    pub fn take(&mut self, answer: Answer, work: &Analysis) {
        match answer {
            Answer::Figures(figures) => {
                self.now = Some((work.design.clone(), work.size, figures));
            }
            // What was there before is shown until there is something new.
            Answer::Optimised(Ok(found))
                if !found.answers.is_empty() || found.progress.done || self.found.is_none() =>
            {
                (self.found, self.stale) = (Some(*found), false);
            }
            Answer::Optimised(Err(words)) => (self.fault, self.stopped) = (Some(words), true),
            Answer::Moves(moves) => {
                self.moves.push(moves);
                // In whatever order they came.
                let place = |moves: &Sensitivity| {
                    Dimension::ALL.iter().position(|known| *known == moves.dimension)
                };
                sort_by(&mut self.moves, |a, b| place(a).cmp(&place(b)));
            }
            _ => {}
        }
    }

    /// The worker could not answer.
    pub fn failed(&mut self) {
        self.fault = Some("The search failed on this; change a wish to try again.".into());
        (self.stopped, self.broken) = (true, true);
    }

    /// Whether what was asked serves: the same wishes, and a design that differs at most in what is free.
    fn answers(&self, work: &Analysis, wishes: &Wishes) -> bool {
        let Some((asked, of, unit)) = &self.asked else { return false };
        let plain = |design: &Design| {
            let mut design = design.clone();
            (design.name, design.notes) = Default::default();
            for free in &wishes.free {
                free.dimension.set(&mut design, wishes.size, 1.0);
            }
            design
        };
        of == wishes && *unit == work.unit && plain(asked) == plain(&work.design)
    }

    /// The design of an answer: of the list, or after it of the trade-off.
    pub fn design(&self, answer: usize) -> Option<&Design> {
        let found = self.found.as_ref()?;
        let listed = found.answers.get(answer).map(|answer| &answer.design);
        listed.or_else(|| {
            let point = answer.checked_sub(TRADED)?;
            Some(&found.trade_off.get(point)?.answer.design)
        })
    }
}

/// Points of the trade-off are counted from here.
pub const TRADED: usize = 1000;

/// The wishes in the panel; none where nothing is wished for or nothing is free.
fn read(
    optimise_state: &OptimiseState,
    work: &Analysis,
    controls: &Controls,
    bench: &Bench,
) -> Result<Option<Wishes>, String> {
    let mut wishes = Vec::new();
    for figure in listed(controls) {
        let name = figure.name();
        let want = controls.value(&format!("optimise-want-{name}"));
        let share = controls.value(&format!("optimise-at-{name}")).parse().unwrap_or(0.0);
        let value = optimise_state.slid(figure, share);
        wishes.extend(match (want, value) {
            ("near", Some(value)) => Some(Wish::near(figure, value)),
            ("least", Some(value)) => Some(Wish::at_least(figure, value)),
            ("most", Some(value)) => Some(Wish::at_most(figure, value)),
            ("low", _) => Some(Wish::better(figure, Better::Low)),
            ("high", _) => Some(Wish::better(figure, Better::High)),
            _ => None,
        });
    }
    let mut free = Vec::new();
    for dimension in Dimension::ALL {
        let over = controls.value(&format!("optimise-over-{}", dimension.name()));
        let is_owned = controls.is_ticked(&format!("optimise-own-{}", dimension.name()));
        if controls.is_ticked(&format!("optimise-free-{}", dimension.name())) {
            let told = |fault: String| format!("{}: {fault}", dimension.words());
            free.push(match is_owned && can_be_owned(dimension) {
                true => Free::from_bench(dimension),
                false => over_or_list(dimension, over, work).map_err(told)?,
            });
        }
    }
    if wishes.is_empty() || free.is_empty() {
        return Ok(None);
    }
    free.iter_mut().for_each(|free| in_steps(free, work));
    let side = |which: &str| {
        let figure = controls.value(&format!("optimise-{which}"));
        let figure = WISHED.into_iter().find(|f| f.name() == figure)?;
        let low = controls.value(&format!("optimise-{which}-better")) == "low";
        Some(Side { figure, better: if low { Better::Low } else { Better::High } })
    };
    let trade_off = side("across").zip(side("up")).map(|(across, up)| TradeOff { across, up });
    let wishes = Wishes { size: work.size, trade_off, ..Wishes::new(wishes, free) };
    let told = |error| in_panel_words(&error, &wishes);
    let on_bench = wishes.on_bench(bench).map_err(told)?;
    on_bench.check(&work.design).map_err(told)?;
    Ok(Some(on_bench))
}

/// Why wishes cannot be worked on, by the names in the panel: a document's `free[0]` is the mandrel.
fn in_panel_words(error: &OptimiseError, wishes: &Wishes) -> String {
    if let OptimiseError::BenchBare { name, .. } = error {
        return format!(
            "{name}: you own none yet. List what you own under \u{201c}My bench\u{201d}."
        );
    }
    let words = error.to_string();
    let dimensions = wishes.free.iter().map(|free| free.dimension.words());
    let figures = wishes.wishes.iter().map(|wish| wish.figure.words());
    let named = |list: &'static str| move |(index, name)| (format!("{list}[{index}]"), name);
    let mut all = dimensions.enumerate().map(named("free"));
    let mut wished = figures.enumerate().map(named("wishes"));
    let is_meant = |(path, _): &(String, &str)| words.starts_with(path.as_str());
    let Some((path, name)) = all.find(is_meant).or_else(|| wished.find(is_meant)) else {
        return words;
    };
    // The rest of the path means nothing to a maker.
    let rest = words[path.len()..].trim_start_matches(|c: char| !" :".contains(c));
    format!("{name}{rest}")
}

/// "9 to 14" is a range, "9, 10, 12" a list, "bench" what lies there, nothing the usual range.
fn over_or_list(dimension: Dimension, text: &str, work: &Analysis) -> Result<Free, String> {
    let read = |part: &str| match parse_length(part.trim(), work.unit) {
        Ok(length) => Ok(length.get()),
        Err(error) => Err(error.to_string()),
    };
    if text.trim().is_empty() {
        let setting = work.forming().map(|forming| forming.setting);
        let (low, high) = setting.map_or((0.0, 1.0), |s| dimension.usual_range(&s));
        let round = |mm: f64| (mm * 100.0).round() / 100.0;
        return Ok(Free::over(dimension, round(low), round(high)));
    }
    if text.trim().eq_ignore_ascii_case("bench") {
        return Ok(Free::from_bench(dimension));
    }
    if let Some((low, high)) = text.split_once(" to ") {
        return Ok(Free::over(dimension, read(low)?, read(high)?));
    }
    let list: Result<Vec<f64>, String> = typed::entries(text).map(read).collect();
    Ok(Free::one_of(dimension, &list?))
}

/// Most entries of a list in wishes.
const MOST_LISTED: usize = 200;

/// What is found in a range is offered as it can be bought or set, or as the design has it now.
fn in_steps(free: &mut Free, work: &Analysis) {
    let (least, greatest) = free.dimension.limits();
    let Some((low, high)) = free.from_mm.zip(free.to_mm) else { return };
    // What is no range, or beyond all limits, is told by its check.
    if !(least <= low && low < high && high <= greatest) {
        return;
    }
    let mut list = Steps::of(&work.design, work.unit).between(free.dimension.tool(), [low, high]);
    while list.len() >= MOST_LISTED {
        list = list.into_iter().step_by(2).collect();
    }
    let own = work.forming().map(|forming| free.dimension.of(&forming.setting));
    list.extend(own.filter(|own| (low..=high).contains(own) && !list.contains(own)));
    free.list_mm = list;
}

/// A length of a free dimension as typed.
pub fn in_unit(mm: f64, unit: LengthUnit) -> String {
    let places = if unit == LengthUnit::Mm { 2 } else { 3 };
    format!("{:.*}", places, mm / unit.in_mm())
}
