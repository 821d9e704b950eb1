//! The chain at rest and in the hand: links in true proportion, bent and twisted as far as
//! they go, and what they measure.

use super::view::{Picture, Shown, View};
use crate::answers::report::Figures;
use crate::app::analysis::Analysis;
use crate::app::controls::Controls;
use crate::app::drape_state::HandBend;
use crate::app::model::Model;
use crate::app::screen::{Node, Screen};
use crate::app::tabs;
use crate::documents::design::WeaveChoice;
use crate::motion::chain::About;
use crate::render::Window;
use crate::render::chain::{FEWEST, lying};

pub const VIEW: View = View { id: tabs::CHAIN, picture, show };

fn bending(controls: &Controls) -> HandBend {
    let about = match controls.value("chain-about") {
        "y" => About::Y,
        "z" => About::Z,
        _ => About::X,
    };
    (about, 0.01 * controls.number("chain-share").clamp(-100.0, 100.0))
}

/// One link by itself, where no chain of them can be made.
pub(super) fn alone(work: &Analysis) -> Option<Picture> {
    let mut scene = crate::render::moment(work.forming()?, 0.65);
    scene.measures.clear();
    let caption = "No chain is shown: no way to join these links was found. The figures are those \
        that it would have.";
    let shown = Shown::Scene(scene.into());
    Some(Picture { shown, caption: caption.into(), step: String::new() })
}

fn picture(model: &Model, _: Window) -> Option<Picture> {
    let work = &model.analysis;
    if work.cannot_be_joined() {
        return alone(work);
    }
    let hung = work.hung();
    let found = (*hung).as_ref().and_then(|hung| hung.measures.as_ref());
    let bent = found.and_then(|_| *work.bent(bending(&model.controls)));
    let (Some(found), Some(bent)) = (found, bent) else {
        // What does not lie is shown as one link alone.
        let mut scene = crate::render::moment(work.forming()?, 0.65);
        scene.measures.clear();
        let caption = "These links make no chain; see beside what would help.";
        return Some(Picture {
            shown: Shown::Scene(scene.into()),
            caption: caption.into(),
            step: String::new(),
        });
    };
    let count = model.controls.number("chain-count").max(FEWEST as f64) as usize;
    let scene = lying(work.bodies().get(work.size)?, found, &bent, count)
        .soldered(work.design.metal.seam_share);
    let degrees = bent.angle.to_degrees();
    let caption = match (bent.angle.abs() > 0.0, bent.stop) {
        (false, _) => format!(
            "{count} links pulled straight, {} from each to the next.",
            work.length(found.joint.rest.pulled)
        ),
        (true, None) => format!("Each link turned {degrees:.1}° against the one before."),
        (true, Some(stop)) => format!(
            "Each link turned {degrees:.1}° against the one before: no further, metal touches metal where it is ringed{}.",
            if stop.offset > 1 {
                format!(", with the link {} further on", stop.offset)
            } else {
                String::new()
            }
        ),
    };
    Some(Picture { shown: Shown::Scene(scene.into()), caption, step: String::new() })
}

fn show(model: &Model, screen: &mut Screen) {
    let work = &model.analysis;
    let option =
        |(i, choice): (usize, &WeaveChoice)| Node::option(i.to_string(), choice.weave().name());
    screen.children("weave", WeaveChoice::ALL.iter().enumerate().map(option).collect());
    screen.value("weave", &(work.design.weave as usize).to_string());
    screen.value("chain-share", model.controls.value("chain-share"));
    let hung = work.hung();
    let Some(hung) = &*hung else { return };
    screen.say("chain-says", &hung.report.message);
    screen.mark("chain-says", "data-lies", if hung.report.lies { "yes" } else { "no" });
    screen.list(
        "chain-suggestions",
        "li",
        hung.report.suggestions.iter().map(|suggestion| suggestion.message.as_str()),
    );
    let figures = hung.report.figures.as_ref();
    for part in ["chain-first", "chain-figures"] {
        screen.reveal(part, figures.is_some());
    }
    if let Some(figures) = figures {
        write(figures, model, screen);
    }
}

fn write(found: &Figures, model: &Model, screen: &mut Screen) {
    let work = &model.analysis;
    let mm = |length: f64| work.length(length);
    let both = |least: f64, axis: usize| match found.other_way_deg {
        Some(other) if other[axis] - least > 0.1 => {
            format!("{least:.1}° one way, {:.1}° the other", other[axis])
        }
        _ => format!("{least:.1}° either way"),
    };
    let rod = |inside: f64| if inside > 1e6 { "does not coil".into() } else { mm(inside) };
    let lines = [
        ("pitch", mm(found.pitch_mm)),
        ("play", mm(found.play_mm)),
        (
            "count-text",
            format!(
                "{:.1} in 100 mm, {:.2} in an inch",
                found.links_per_100_mm, found.links_per_inch
            ),
        ),
        ("width", mm(found.width_mm)),
        ("thickness", mm(found.thickness_mm)),
        ("crowding", found.crowding_mm.map_or("unknown".into(), mm)),
        ("swing-x", both(found.swing_x_deg, 0)),
        ("swing-y", both(found.swing_y_deg, 1)),
        (
            "twist",
            format!("{}, {:.0}° in 100 mm", both(found.twist_deg, 2), found.twist_per_100_mm_deg),
        ),
        ("coil-x", rod(found.coil_x_mm)),
        ("coil-y", rod(found.coil_y_mm)),
        (
            "supple",
            format!("{:.1} across, {:.1} leg to leg", found.suppleness_x, found.suppleness_y),
        ),
    ];
    for (id, text) in lines {
        screen.say(&format!("chain-{id}"), &text);
    }
    let wanted =
        crate::documents::units::parse_length(model.controls.value("chain-length"), work.unit);
    let links = wanted.map(|length| format!("{:.0} links", (length.get() / found.pitch_mm).ceil()));
    screen.say("chain-links", &links.unwrap_or_default());
}
