//! The demonstration, which runs through more than one view.

use super::join::{caption, way_chosen};
use super::{Picture, Shown};
use crate::render::{Chapter, moment};
use crate::web::elements::Elements;
use crate::web::work::Work;

/// The picture with the slider at `time`.
pub fn demonstration(work: &Work, time: f64, page: &Elements) -> Option<Picture> {
    let (chapter, share) = Chapter::at(time);
    let seam = work.design.metal.seam_share;
    let step = format!("{}, {:.0} % done", chapter.name(), 100.0 * share);
    if chapter == Chapter::Join {
        let joining = work.joining(work.shown_join(page), way_chosen(page))?;
        let (scene, phase) = joining.scene(share);
        let caption = caption(work, phase, &scene.spots);
        let scene = scene.soldered(seam);
        return Some(Picture { shown: Shown::Scene(scene), caption, step });
    }
    let scene = moment(work.forming()?, time).soldered(seam);
    let told =
        if seam.is_some() { " The dark line across the wire is the solder seam." } else { "" };
    let caption = format!("{}{told}", chapter.caption());
    Some(Picture { shown: Shown::Scene(scene), caption, step })
}
