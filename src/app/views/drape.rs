//! The whole chain hung between two places, or round a wrist or a neck.

use super::chain::alone;
use super::view::{Picture, Shown, View};
use crate::app::model::Model;
use crate::app::screen::Screen;
use crate::app::tabs;
use crate::motion::drape::Worn;
use crate::render::Window;
use crate::render::chain::hanging;

pub const VIEW: View = View { id: tabs::DRAPE, picture, show };

fn picture(model: &Model, _: Window) -> Option<Picture> {
    let work = &model.analysis;
    if work.cannot_be_joined() {
        return alone(work);
    }
    let (count, worn) = model.hung_as_asked();
    let draped = work.draped(count, worn);
    match &*draped {
        Ok(draped) => {
            let links: Vec<_> =
                draped.order.iter().filter_map(|size| work.bodies().get(*size)).collect();
            let live = work.in_hand(count, worn);
            let drape = live.as_ref().map_or(&draped.drape, |live| &live.drape);
            let scene = hanging(drape, &links, draped.form);
            let now = if live.is_some() { " just now" } else { "" };
            let told = format!(
                "{count} links, {} long, hang down by {}{now}.",
                work.length(draped.length),
                work.length(drape.depth())
            );
            let caption = if live.is_some() {
                "In the hand: pull a joint about and let it hang again."
            } else if draped.rests {
                "Hung by its own weight, at rest, without friction."
            } else {
                "Still moving: it found no rest in the time given."
            };
            Some(Picture {
                shown: Shown::Scene(scene.into()),
                caption: format!("{caption} {told}"),
                step: String::new(),
            })
        }
        Err(words) => {
            let mut scene = crate::render::moment(work.forming()?, 0.65);
            scene.measures.clear();
            Some(Picture {
                shown: Shown::Scene(scene.into()),
                caption: words.clone(),
                step: String::new(),
            })
        }
    }
}

fn show(model: &Model, screen: &mut Screen) {
    let work = &model.analysis;
    let (count, worn) = model.hung_as_asked();
    screen.say("drape-told", &model.drape_told);
    let between = matches!(worn, Worn::BetweenPoints { .. });
    screen.reveal("drape-share-row", between);
    screen.reveal("drape-girth-row", !between);
    let draped = work.draped(count, worn);
    let Ok(draped) = &*draped else {
        for id in ["drape-length", "drape-depth", "drape-tight"] {
            screen.say(id, "");
        }
        return;
    };
    screen.say("drape-length", &format!("{} in {count} links", work.length(draped.length)));
    screen.say("drape-depth", &work.length(draped.drape.depth()));
    let (tight, forced) = (draped.drape.at_limit(), draped.drape.forced());
    let words = if !forced.is_empty() {
        format!("{} joints forced past their limit: too stiff to hang so", forced.len())
    } else if tight.is_empty() {
        "no joint at its limit".into()
    } else {
        let first: Vec<String> = tight.iter().take(6).map(usize::to_string).collect();
        let more = if tight.len() > 6 { ", …" } else { "" };
        format!("{} at their limit: {}{more}", tight.len(), first.join(", "))
    };
    screen.say("drape-tight", &words);
}
