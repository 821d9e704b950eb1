//! The plan's controls and the trial links on the page, and back into the design.

use super::documents::file_name;
use super::elements::{Elements, field_of};
use super::fields::shown_number;
use super::page::Page;
use super::work::Work;
use crate::documents::design::{Design, LengthBasis, MOST_TRIALS, PlanChoice, Taper, Trial};
use crate::documents::units::{LengthUnit, parse_length};
use web_sys::{Element, HtmlInputElement, HtmlSelectElement};

const MEASURED: [(&str, LengthBasis); 3] = [
    ("flat", LengthBasis::Flat),
    ("neck", LengthBasis::RoundNeck),
    ("wrist", LengthBasis::RoundWrist),
];
const TAPERS: [(&str, Taper); 3] =
    [("even", Taper::Even), ("stepped", Taper::Stepped), ("swelling", Taper::Swelling)];
const JOINED: [(&str, &str, Option<bool>); 3] =
    [("", "not tried", None), ("yes", "yes", Some(true)), ("no", "no", Some(false))];

/// A length of a trial: its name, what the page calls it, where it is kept.
struct TrialField {
    name: &'static str,
    words: &'static str,
    get: fn(&Trial) -> Option<f64>,
    set: fn(&mut Trial, Option<f64>),
}

macro_rules! trial_field {
    ($name:ident, $words:expr) => {
        TrialField {
            name: stringify!($name),
            words: $words,
            get: |trial| trial.$name,
            set: |trial, value| trial.$name = value,
        }
    };
}

const TRIAL_FIELDS: [TrialField; 4] = [
    trial_field!(ring_inside_mm, "Ring, inside"),
    trial_field!(oval_length_mm, "Oval, inside length"),
    trial_field!(bore_mm, "Bore"),
    trial_field!(fold_gap_mm, "Gap at the fold"),
];

/// Writes the design's plan and trials into the controls.
pub fn fill(work: &Work, page: &Elements) {
    lay_trials(work, page);
    let choice = work.design.plan.clone().unwrap_or_default();
    for input in page.inputs() {
        if let Some(text) =
            field_of(&input).strip_prefix("plan.").map(|n| text(&choice, n, work.unit))
        {
            input.set_value(&text);
        }
    }
    let list = |id: &str, value: Option<&str>| {
        if let (Some(list), Some(value)) = (page.get::<HtmlSelectElement>(id), value) {
            list.set_value(value);
        }
    };
    list("plan-measured", MEASURED.iter().find(|m| m.1 == choice.measured).map(|m| m.0));
    list("plan-taper", TAPERS.iter().find(|t| t.1 == choice.taper).map(|t| t.0));
    if let Some(tick) = page.get::<HtmlInputElement>("plan-one-ended") {
        tick.set_checked(choice.one_ended);
    }
}

fn text(choice: &PlanChoice, name: &str, unit: LengthUnit) -> String {
    let mm = |length: f64| shown_number(length / unit.in_mm());
    match name {
        "length_mm" => mm(choice.length_mm),
        "ease_mm" => mm(choice.ease_mm),
        "step_mm" => mm(choice.step_mm),
        "clasp_mm" => mm(choice.clasp_mm),
        "end_ring_wire_mm" => choice.end_ring_wire_mm.map(mm).unwrap_or_default(),
        "end_ring_inside_mm" => choice.end_ring_inside_mm.map(mm).unwrap_or_default(),
        "trial_links" => choice.trial_links.to_string(),
        "loss_share" => shown_number(100.0 * choice.loss_share),
        "coil_mm" => mm(choice.coil_mm),
        "coil_ends_mm" => mm(choice.coil_ends_mm),
        "spread_ring_mm" => mm(choice.spread_ring_mm),
        "spread_bore_mm" => mm(choice.spread_bore_mm),
        "spread_fold_mm" => mm(choice.spread_fold_mm),
        _ => String::new(),
    }
}

/// Takes what was typed in the field `name` of a plan or a trial; none where it is of neither.
pub fn take(
    plan: &mut Option<PlanChoice>,
    trials: &mut [Trial],
    (name, typed): (&str, &str),
    unit: LengthUnit,
) -> Option<Result<(), String>> {
    if let Some(name) = name.strip_prefix("plan.") {
        let mut choice = plan.clone().unwrap_or_default();
        // Untouched, a length stays as the document has it.
        if typed == text(&choice, name, unit) {
            return Some(Ok(()));
        }
        let taken = take_choice(&mut choice, (name, typed), unit);
        if taken.is_ok() {
            *plan = Some(choice);
        }
        return Some(taken);
    }
    let (index, name) = name.strip_prefix("trials[")?.split_once("].")?;
    let trial = trials.get_mut(index.parse::<usize>().ok()?)?;
    let field = TRIAL_FIELDS.iter().find(|field| field.name == name)?;
    let shown = (field.get)(trial).map(|mm| shown_number(mm / unit.in_mm())).unwrap_or_default();
    if typed == shown {
        return Some(Ok(()));
    }
    Some(length(typed, unit).map(|mm| (field.set)(trial, mm)))
}

fn length(typed: &str, unit: LengthUnit) -> Result<Option<f64>, String> {
    if typed.trim().is_empty() {
        return Ok(None);
    }
    parse_length(typed, unit).map(|mm| Some(mm.get())).map_err(|fault| fault.to_string())
}

/// Left empty, a field takes its default.
fn take_choice(
    choice: &mut PlanChoice,
    (name, typed): (&str, &str),
    unit: LengthUnit,
) -> Result<(), String> {
    let usual = PlanChoice::default();
    let plain = typed.trim().trim_end_matches('%').trim().replace(',', ".");
    match name {
        "trial_links" => {
            choice.trial_links = match plain.as_str() {
                "" => usual.trial_links,
                text => text
                    .parse()
                    .map_err(|_| format!("\u{201c}{text}\u{201d} is not a count; try 3"))?,
            };
            return Ok(());
        }
        "loss_share" => {
            choice.loss_share = match plain.as_str() {
                "" => usual.loss_share,
                text => match text.parse::<f64>() {
                    Ok(share) if (0.0..=100.0).contains(&share) => 0.01 * share,
                    _ => {
                        return Err(format!(
                            "\u{201c}{text}\u{201d} does not lie between 0 and 100 %"
                        ));
                    }
                },
            };
            return Ok(());
        }
        _ => {}
    }
    let mm = length(typed, unit)?;
    let or = |usual: f64| mm.unwrap_or(usual);
    match name {
        "length_mm" => choice.length_mm = or(usual.length_mm),
        "ease_mm" => choice.ease_mm = or(usual.ease_mm),
        "step_mm" => choice.step_mm = or(usual.step_mm),
        "clasp_mm" => choice.clasp_mm = or(usual.clasp_mm),
        "end_ring_wire_mm" => choice.end_ring_wire_mm = mm,
        "end_ring_inside_mm" => choice.end_ring_inside_mm = mm,
        "coil_mm" => choice.coil_mm = or(usual.coil_mm),
        "coil_ends_mm" => choice.coil_ends_mm = or(usual.coil_ends_mm),
        "spread_ring_mm" => choice.spread_ring_mm = or(usual.spread_ring_mm),
        "spread_bore_mm" => choice.spread_bore_mm = or(usual.spread_bore_mm),
        "spread_fold_mm" => choice.spread_fold_mm = or(usual.spread_fold_mm),
        _ => {}
    }
    Ok(())
}

/// `design` with what the plan's lists and ticks hold.
pub fn with_chosen(design: &Design, page: &Elements) -> Design {
    let mut design = design.clone();
    let mut choice = design.plan.clone().unwrap_or_default();
    let value = page.value("plan-measured");
    if let Some((_, measured)) = MEASURED.iter().find(|m| m.0 == value) {
        choice.measured = *measured;
    }
    let value = page.value("plan-taper");
    if let Some((_, taper)) = TAPERS.iter().find(|t| t.0 == value) {
        choice.taper = *taper;
    }
    if let Some(tick) = page.get::<HtmlInputElement>("plan-one-ended") {
        choice.one_ended = tick.checked();
    }
    // A design without a plan keeps none while nothing is asked for.
    if design.plan.is_some() || choice != PlanChoice::default() {
        design.plan = Some(choice);
    }
    for (index, trial) in design.trials.iter_mut().enumerate() {
        let value = page.value(&format!("trial-joined-{index}"));
        if let Some((_, _, joined)) = JOINED.iter().find(|j| j.0 == value) {
            trial.joined = *joined;
        }
    }
    design
}

/// A row of fields for every trial.
fn lay_trials(work: &Work, page: &Elements) {
    let Some(list) = page.element("trials") else { return };
    list.set_text_content(Some(""));
    for (index, trial) in work.design.trials.iter().enumerate() {
        let Some(row) = page.add(&list, "fieldset", "") else { return };
        let made = work.length(trial.mandrel_mm);
        page.add(&row, "legend", &format!("Trial {}: {made} mandrel", index + 1));
        let Some(fields) = page.add(&row, "div", "") else { return };
        fields.set_class_name("row");
        let label =
            |words: &str| -> Option<Element> { page.add(&fields, "label", &format!("{words} ")) };
        for field in &TRIAL_FIELDS {
            let Some(input) = label(field.words).and_then(|label| page.add(&label, "input", ""))
            else {
                return;
            };
            let _ = input.set_attribute("data-field", &format!("trials[{index}].{}", field.name));
            let _ = input.set_attribute("inputmode", "decimal");
            let _ = input.set_attribute("placeholder", "not measured");
            let value = (field.get)(trial).map(|mm| shown_number(mm / work.unit.in_mm()));
            if let Ok(input) = wasm_bindgen::JsCast::dyn_into::<HtmlInputElement>(input) {
                input.set_value(&value.unwrap_or_default());
            }
        }
        let Some(joined) = label("Joined").and_then(|label| page.add(&label, "select", "")) else {
            return;
        };
        joined.set_id(&format!("trial-joined-{index}"));
        let _ = joined.set_attribute("data-plan", "");
        for (value, words, _) in JOINED {
            page.option(&joined, value, words);
        }
        if let Some(list) = page.get::<HtmlSelectElement>(&format!("trial-joined-{index}")) {
            list.set_value(JOINED.iter().find(|j| j.2 == trial.joined).map_or("", |j| j.0));
        }
        if let Some(button) = page.add(&fields, "button", "Take away") {
            let _ = button.set_attribute("type", "button");
            let _ = button.set_attribute("data-trial", &index.to_string());
            let _ = button.set_attribute("aria-label", &format!("Take away trial {}", index + 1));
        }
    }
}

impl Page {
    /// Whether the plan is seen.
    pub fn sees_plan(&self) -> bool {
        self.current().id == super::views::PLAN
    }

    /// Adds a trial link of the size looked at.
    pub fn add_trial(&mut self) {
        let mut design = self.work.design.clone();
        if design.trials.len() >= MOST_TRIALS {
            return self.tell(&format!("No more than {MOST_TRIALS} trials in one design."), true);
        }
        let Some(forming) = self.work.forming() else { return };
        design.trials.push(Trial {
            mandrel_mm: forming.setting.mandrel,
            wire_mm: Some(forming.setting.wire),
            ..Trial::default()
        });
        self.take_design(design);
    }

    /// Takes a trial away.
    pub fn drop_trial(&mut self, index: usize) {
        let mut design = self.work.design.clone();
        if index < design.trials.len() {
            design.trials.remove(index);
            self.take_design(design);
        }
    }

    fn take_design(&mut self, design: Design) {
        match Work::of(design, self.work.size, self.work.unit) {
            Ok(work) => self.take(work),
            Err(error) => self.tell(&error.told("this", self.work.unit), true),
        }
    }

    /// Hands a table of the plan out as a file.
    pub fn save_table(&mut self, which: usize) {
        let Some(planned) = &self.work.planned else {
            return self.tell("No table yet: the plan is still being worked out.", true);
        };
        if self.at_fault() || planned.report.laid.is_none() {
            return self.tell("No table: first put right what is marked.", true);
        }
        let end = ["chain.csv", "cuts.csv"][which];
        let name = file_name(&self.work.design.name, end);
        let text = wasm_bindgen::JsValue::from_str(&planned.tables[which]);
        match self.hand_out(&name, "text/csv", &text) {
            Some(()) => self.tell("Saved as a file.", false),
            None => self.tell("Not saved: this browser gives no file.", true),
        }
    }
}
