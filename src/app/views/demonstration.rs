//! The demonstration, which runs through more than one view.

use super::view::{Picture, Shown};
use crate::app::analysis::Analysis;
use crate::app::model::Model;
use crate::documents::units::length_text_down;
use crate::motion::insertion::Phase;
use crate::render::{Chapter, ClosestPlaces, Window, moment, phase_words};

/// The picture where the slider stands.
pub fn demonstration(model: &Model, _: Window) -> Option<Picture> {
    let (chapter, share) = Chapter::at(model.time);
    let work: &Analysis = &model.analysis;
    let seam = work.design.metal.seam_share;
    let step = format!("{}, {:.0} % done", chapter.name(), 100.0 * share);
    if chapter == Chapter::Join {
        let joining = work.joining(model.shown_join(), model.shown_path())?;
        // What does not go through is played to where it sticks, and never shown joined.
        let pace = work.pace(model.shown_join(), model.shown_path());
        let stuck = pace.and_then(|pace| Some((pace.tight, pace.overlap?)));
        let path = model.join().and_then(|join| join.paths.get(model.shown_path()));
        let least = path.and_then(|path| path.at_least_mm);
        let (scene, phase) = match stuck {
            Some((tight, overlap)) if share >= tight => joining.stuck(tight, overlap),
            _ => joining.proven_scene(share, least),
        };
        let is_open = work.is_open(model.shown_join());
        let caption = caption(work, phase, &scene.spots, is_open);
        let scene = scene.soldered(seam);
        return Some(Picture { shown: Shown::Scene(scene.into()), caption, step });
    }
    let scene = moment(work.forming()?, model.time).soldered(seam);
    let told =
        if seam.is_some() { " The dark line across the wire is the solder seam." } else { "" };
    let caption = format!("{}{told}", chapter.caption());
    Some(Picture { shown: Shown::Scene(scene.into()), caption, step })
}

/// What the two tones of metal mean.
const INCOMING: &str = "Darker: the loop that comes in, of the same metal.";

/// What is done where a join is played; `is_open` where it is not answered yet.
fn caption(
    work: &Analysis,
    phase: Option<Phase>,
    spots: &[ClosestPlaces],
    is_open: bool,
) -> String {
    let Some(phase) = phase else {
        let words = if work.unprovable {
            "This browser could not work out how they join."
        } else if is_open {
            "The next loop waits: how it goes through is being worked out."
        } else {
            "The next loop stays out: no way through was found."
        };
        return words.into();
    };
    let told = match spots.first() {
        Some(spot) if spot.wrong => {
            format!(" It sticks here: the wires would overlap by {}.", work.length(spot.reading))
        }
        Some(spot) => {
            let clear = length_text_down(spot.reading, work.unit);
            format!(" About here it is tightest: {clear} clear.")
        }
        None => String::new(),
    };
    format!("{}{told} {INCOMING}", phase_words(phase))
}
