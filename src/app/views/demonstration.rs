//! The demonstration, which runs through more than one view.

use super::join::caption;
use super::{Picture, Shown};
use crate::app::analysis::Analysis;
use crate::app::model::Model;
use crate::render::{Chapter, Window, moment};

/// The picture where the slider stands.
pub fn demonstration(model: &Model, _: Window) -> Option<Picture> {
    let (chapter, share) = Chapter::at(model.time);
    let work: &Analysis = &model.analysis;
    let seam = work.design.metal.seam_share;
    let step = format!("{}, {:.0} % done", chapter.name(), 100.0 * share);
    if chapter == Chapter::Join {
        let joining = work.joining(model.shown_join(), model.shown_way())?;
        let (scene, phase) = joining.scene(share);
        let caption = caption(work, phase, &scene.spots);
        let scene = scene.soldered(seam);
        return Some(Picture { shown: Shown::Scene(scene.into()), caption, step });
    }
    let scene = moment(work.forming()?, model.time).soldered(seam);
    let told =
        if seam.is_some() { " The dark line across the wire is the solder seam." } else { "" };
    let caption = format!("{}{told}", chapter.caption());
    Some(Picture { shown: Shown::Scene(scene.into()), caption, step })
}
