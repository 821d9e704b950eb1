//! The metal's controls on the page, and back into the design.

use super::elements::Elements;
use super::work::Work;
use crate::answers::build::known_metals;
use crate::documents::design::{AnnealBefore, Design, Shapes};
use crate::documents::units::tidy;
use web_sys::{HtmlInputElement, HtmlSelectElement};

/// Writes the design's metal into the controls.
pub fn fill(work: &Work, page: &Elements) {
    let choice = &work.design.metal;
    if let Some(list) = page.get::<HtmlSelectElement>("metal") {
        list.set_text_content(Some(""));
        for (id, name) in known_metals() {
            page.option(&list, &id, &name);
        }
        for own in &choice.own {
            page.option(&list, &own.id, &own.name);
        }
        list.set_value(&choice.id);
    }
    if let Some(list) = page.get::<HtmlSelectElement>("shapes") {
        list.set_value(match choice.shapes {
            Shapes::AsTheJawsLeaveThem => "held",
            Shapes::AfterSpringback => "kept",
        });
    }
    for (id, step) in ANNEALS {
        if let Some(tick) = page.get::<HtmlInputElement>(id) {
            tick.set_checked(choice.anneal_before.contains(&step));
        }
    }
    if let Some(input) = page.get::<HtmlInputElement>("seam") {
        input.set_value(&seam_text(choice.seam_share));
    }
}

const ANNEALS: [(&str, AnnealBefore); 2] =
    [("anneal-pinch", AnnealBefore::Pinch), ("anneal-fold", AnnealBefore::Fold)];

/// The seam in hundredths of the way from the waist to the tip; its mirror images count alike.
fn seam_text(share: Option<f64>) -> String {
    let Some(share) = share else { return String::new() };
    let half = share.rem_euclid(0.5);
    tidy(400.0 * half.min(0.5 - half), 2)
}

/// `design` with what the controls hold; the field and the words where the seam cannot be read.
pub fn with_chosen(design: &Design, page: &Elements) -> Result<Design, (String, String)> {
    let mut design = design.clone();
    let choice = &mut design.metal;
    choice.id = page.value("metal");
    choice.shapes = match page.value("shapes").as_str() {
        "kept" => Shapes::AfterSpringback,
        _ => Shapes::AsTheJawsLeaveThem,
    };
    choice.anneal_before = ANNEALS
        .iter()
        .filter(|(id, _)| page.get::<HtmlInputElement>(id).is_some_and(|tick| tick.checked()))
        .map(|(_, step)| *step)
        .collect();
    let typed = page.value("seam");
    // Untouched, a seam in another quarter stays where the document has it.
    if typed != seam_text(choice.seam_share) {
        choice.seam_share = match typed.trim().trim_end_matches('%').trim() {
            "" => None,
            text => match text.replace(',', ".").parse::<f64>() {
                Ok(value) if (0.0..=100.0).contains(&value) => Some(value / 400.0),
                _ => {
                    let words = format!(
                        "Solder seam: \u{201c}{}\u{201d} does not lie between 0 (waist) and 100 (tip)",
                        typed.trim()
                    );
                    return Err(("seam".into(), words));
                }
            },
        };
    }
    Ok(design)
}
