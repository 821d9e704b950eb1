//! The metal: what it gives back, how hard it is worked, when to anneal, what a link bears.

use super::view::{Picture, Shown, View};
use crate::answers::build::known_metals;
use crate::answers::report::{
    FormingReport, PullReport, ReleasedReport, StepReport, StrainStanding,
};
use crate::app::analysis::Analysis;
use crate::app::model::Model;
use crate::app::screen::{Node, Screen};
use crate::app::tabs;
use crate::render::{Window, strained};

pub const VIEW: View = View { id: tabs::METAL, picture, show };

/// The steps that can be looked at, by their names in the report.
const STEPS: [&str; 4] = ["winding", "stretch", "pinch", "fold"];

/// Which step's strain is looked at.
fn step_seen(model: &Model) -> usize {
    model.controls.value("strain-step").parse().unwrap_or(3)
}

fn picture(model: &Model, _: Window) -> Option<Picture> {
    let (work, seen) = (&model.analysis, step_seen(model));
    let steps = work.metal().and_then(|metal| metal.working.as_ref()).map(|found| &found.steps);
    let seen_step = STEPS.get(seen);
    let seen = steps.and_then(|steps| {
        let step = steps.iter().position(|step| Some(&step.step) == seen_step)?;
        let scene = strained(work.forming()?, steps, step)?;
        Some((scene, steps.get(step)?))
    });
    let Some((scene, report)) = seen else {
        // Without an answer the wire alone.
        let mut scene = crate::render::moment(work.forming()?, 0.4);
        scene.measures.clear();
        return Some(Picture {
            shown: Shown::Scene(scene.into()),
            caption: String::new(),
            step: String::new(),
        });
    };
    let laid = if seen_step == Some(&"fold") { ", shown on the flat eight" } else { "" };
    let caption = format!(
        "Plastic strain after the {}{laid}: long teeth and dark wire are worked hardest. {}",
        report.step,
        in_words(report)
    );
    Some(Picture { shown: Shown::Scene(scene.into()), caption, step: report.step.into() })
}

fn in_words(step: &StepReport) -> String {
    let standing = match step.standing {
        StrainStanding::Within => "within",
        StrainStanding::Close => "close to",
        StrainStanding::Beyond => "more than",
    };
    format!(
        "{} at the most ({}), {standing} what annealed metal takes ({}).",
        percent(step.plastic_strain.likely),
        if step.at == "all round" { "all round".into() } else { format!("at the {}", step.at) },
        percent(step.allowance.likely)
    )
}

fn percent(value: f64) -> String {
    format!("{:.1} %", 100.0 * value)
}

fn show(model: &Model, screen: &mut Screen) {
    let work = &model.analysis;
    list_metals(model, screen);
    screen.value("strain-step", &step_seen(model).to_string());
    screen.list("cautions", "li", work.report.cautions.iter().copied());
    let Some(metal) = work.metal() else { return };
    screen.say("metal-state", &format!("{}. {}", metal.name, metal.state));
    let advice = metal.working.as_ref().map_or("", |working| &working.anneal.message);
    // The first sentence leads; what is left at the worst step stands with how to anneal.
    let (first, more) = advice.split_once(". ").map_or((advice, ""), |(first, more)| (first, more));
    let stop = if more.is_empty() { "" } else { "." };
    screen.say("metal-anneal", &format!("{first}{stop}"));
    screen.say("metal-anneal-more", more);
    screen.list("metal-unanswered", "li", metal.unanswered.iter().map(String::as_str));
    screen.reveal("metal-working", metal.working.is_some());
    screen.reveal("metal-pull", metal.pull.is_some());
    if let Some(working) = &metal.working {
        show_working(work, screen, working);
    }
    if let Some(pull) = &metal.pull {
        show_pull(work, screen, pull);
    }
}

fn show_working(work: &Analysis, screen: &mut Screen, working: &FormingReport) {
    let released = |length: ReleasedReport| {
        let [held, kept] = [length.loaded_mm, length.released_mm.likely].map(|mm| work.length(mm));
        format!("{held} → {kept}")
    };
    for (name, text) in [
        ("coil", released(working.coil_inside)),
        ("oval", released(working.oval_length)),
        ("oval-end", released(working.oval_end_radius)),
        ("lobe", released(working.lobe_width)),
        ("waist-kept", released(working.waist_gap)),
        (
            "fold-kept",
            format!("{:.0}° → {:.0}°", working.fold_loaded_deg, working.fold_released_deg.likely),
        ),
    ] {
        screen.say(&format!("figure-{name}"), &text);
    }
    screen.list("metal-springback", "li", working.springback_messages.iter().map(String::as_str));
    screen.say("metal-springs", &springs(work, working));
    let jaws = working.jaws.iter().flat_map(|jaws| &jaws.message);
    screen.list("metal-jaws", "li", jaws.map(String::as_str));
    screen.say("metal-tools", &tools(work, working));
    screen.say("metal-lesson", working.anneal.lesson);
    let hardest = working.steps.iter().max_by(|a, b| {
        let share = |step: &StepReport| step.plastic_strain.likely / step.allowance.likely;
        share(a).total_cmp(&share(b))
    });
    let hardest =
        hardest.map(|step| format!("The {} works the wire hardest: {}", step.step, in_words(step)));
    screen.say("metal-hardest", &hardest.unwrap_or_default());
    screen.say("metal-how", &working.anneal.how);
    let mut lines = Vec::new();
    for step in &working.steps {
        let annealed = if step.annealed_before { ", annealed before" } else { "" };
        lines.push(Node::new("dt", format!("After the {}{annealed}", step.step)));
        lines.push(Node::new("dd", in_words(step)));
    }
    screen.children("metal-steps", lines);
}

/// What springs back, in a sentence.
fn springs(work: &Analysis, working: &FormingReport) -> String {
    let [coil, waist] =
        [working.coil_inside, working.waist_gap].map(|found| work.length(found.released_mm.likely));
    format!(
        "Off the mandrel the coil opens to {coil} inside; released, the waist stands {waist} open and {:.0}\u{b0} of the fold\u{2019}s {:.0}\u{b0} stay.",
        working.fold_released_deg.likely, working.fold_loaded_deg
    )
}

/// The jaws that allow for it, in a sentence.
fn tools(work: &Analysis, working: &FormingReport) -> String {
    working.jaws.as_ref().map_or_else(String::new, |jaws| {
        format!(
            "For the shapes as designed, stretch over jaws of {} and fold over {} through {:.0}\u{b0}.",
            work.length(jaws.oval_jaw_mm),
            work.length(jaws.fold_jaw_mm),
            jaws.fold_deg
        )
    })
}

fn show_pull(work: &Analysis, screen: &mut Screen, pull: &PullReport) {
    let unit = work.unit;
    let per_length = |newtons: f64| format!("{:.1} N per {}", newtons * unit.in_mm(), unit.name());
    screen.say("figure-stiffness", &per_length(pull.stiffness_newtons_per_mm.likely));
    // Of a chain of 450 mm, as long as most necklaces (common practice, no source).
    let chain = pull.chain_newtons_per_strain.likely / NECKLACE;
    screen.say("figure-chain-stiffness", &per_length(chain));
    screen.say("figure-chain-length", &work.length(NECKLACE));
    let [low, likely, high] =
        [pull.first_set_newtons.low, pull.first_set_newtons.likely, pull.first_set_newtons.high];
    screen.say("figure-first-set", &format!("{likely:.1} N ({low:.1} to {high:.1})"));
    screen.say("figure-greatest-stress", pull.greatest_stress_at);
    let (first, more) =
        pull.message.split_first().map_or(("", &[][..]), |(first, more)| (first, more));
    screen.say("metal-pull-first", first);
    screen.list("metal-pull-says", "li", more.iter().map(String::as_str));
    screen.say("metal-seam", &pull.seam.message);
}

/// The metals to choose from.
fn list_metals(model: &Model, screen: &mut Screen) {
    let known = known_metals();
    let known = known.into_iter().map(|(id, name)| Node::option(id, name));
    let own = &model.analysis.design.metal.own;
    let own = own.iter().map(|own| Node::option(own.id.as_str(), own.name.as_str()));
    screen.children("metal", known.chain(own).collect());
    screen.value("metal", &model.analysis.design.metal.id);
}

/// mm.
const NECKLACE: f64 = 450.0;
