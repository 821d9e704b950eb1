//! The metal: what it gives back, how hard it is worked, when to anneal, what a link bears.

use super::{Picture, Shown, View};
use crate::answers::report::{
    FormingReport, PullReport, ReleasedReport, StepReport, StrainStanding,
};
use crate::render::strained;
use crate::web::elements::Elements;
use crate::web::work::Work;

pub const VIEW: View = View { id: "metal", name: "Metal", span: None, picture, show };

/// Which step's strain is looked at.
fn step_seen(page: &Elements) -> usize {
    page.value("strain-step").parse().unwrap_or(3)
}

fn picture(work: &Work, _: f64, page: &Elements) -> Option<Picture> {
    let step = step_seen(page);
    let steps = work.metal().and_then(|metal| metal.working.as_ref()).map(|found| &found.steps);
    let seen = steps.and_then(|steps| {
        let scene = strained(work.forming()?, steps, step)?;
        Some((scene, steps.get(step)?))
    });
    let Some((scene, report)) = seen else {
        // Without an answer the wire alone.
        let mut scene = crate::render::moment(work.forming()?, 0.4);
        scene.measures.clear();
        return Some(Picture {
            shown: Shown::Scene(scene),
            caption: String::new(),
            step: String::new(),
        });
    };
    let laid = if step == 3 { ", shown on the flat eight" } else { "" };
    let caption = format!(
        "Plastic strain after the {}{laid}: long teeth and dark wire are worked hardest. {}",
        report.step,
        in_words(report)
    );
    Some(Picture { shown: Shown::Scene(scene), caption, step: report.step.into() })
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

fn show(work: &Work, page: &Elements) {
    page.list("cautions", "li", work.report.cautions.iter().copied());
    let Some(metal) = work.metal() else { return };
    page.say("metal-state", &format!("{}. {}", metal.name, metal.state));
    page.list("metal-unanswered", "li", metal.unanswered.iter().map(String::as_str));
    page.reveal("metal-working", metal.working.is_some());
    page.reveal("metal-pull", metal.pull.is_some());
    if let Some(working) = &metal.working {
        show_working(work, page, working);
    }
    if let Some(pull) = &metal.pull {
        show_pull(work, page, pull);
    }
}

fn show_working(work: &Work, page: &Elements, working: &FormingReport) {
    let let_go = |length: ReleasedReport| {
        let [held, kept] = [length.loaded_mm, length.released_mm.likely].map(|mm| work.length(mm));
        format!("{held} → {kept}")
    };
    for (name, text) in [
        ("coil", let_go(working.coil_inside)),
        ("oval", let_go(working.oval_length)),
        ("oval-end", let_go(working.oval_end_radius)),
        ("lobe", let_go(working.lobe_width)),
        ("waist-kept", let_go(working.waist_gap)),
        (
            "fold-kept",
            format!("{:.0}° → {:.0}°", working.fold_loaded_deg, working.fold_released_deg.likely),
        ),
    ] {
        page.say(&format!("figure-{name}"), &text);
    }
    page.list("metal-springback", "li", working.springback_messages.iter().map(String::as_str));
    let jaws = working.jaws.iter().flat_map(|jaws| &jaws.message);
    page.list("metal-jaws", "li", jaws.map(String::as_str));
    page.say("metal-anneal", &working.anneal.message);
    page.say("metal-lesson", working.anneal.lesson);
    page.say("metal-how", &working.anneal.how);
    let Some(list) = page.element("metal-steps") else { return };
    list.set_text_content(Some(""));
    for step in &working.steps {
        let annealed = if step.annealed_before { ", annealed before" } else { "" };
        page.add(&list, "dt", &format!("After the {}{annealed}", step.step));
        page.add(&list, "dd", &in_words(step));
    }
}

fn show_pull(work: &Work, page: &Elements, pull: &PullReport) {
    let unit = work.unit;
    let per_length = |newtons: f64| format!("{:.1} N per {}", newtons * unit.in_mm(), unit.name());
    page.say("figure-stiffness", &per_length(pull.stiffness_newtons_per_mm.likely));
    // Of a chain of 450 mm, as long as most necklaces (common practice, no source).
    let chain = pull.chain_newtons_per_strain.likely / NECKLACE;
    page.say("figure-chain-stiffness", &per_length(chain));
    page.say("figure-chain-length", &work.length(NECKLACE));
    let [low, likely, high] =
        [pull.first_set_newtons.low, pull.first_set_newtons.likely, pull.first_set_newtons.high];
    page.say("figure-first-set", &format!("{likely:.1} N ({low:.1} to {high:.1})"));
    page.say("figure-greatest-stress", pull.greatest_stress_at);
    page.list("metal-pull-says", "li", pull.message.iter().map(String::as_str));
    page.say("metal-seam", &pull.seam.message);
}

/// mm.
const NECKLACE: f64 = 450.0;
