//! A hand on the chain: the hung one pulled at a joint, the row bent.

use super::drape_state::Live;
use super::model::Model;
use super::tabs;
use crate::documents::units::parse_length;
use crate::geometry::curve::Point;
use crate::motion::drape::{Drape, Worn};
use crate::render::PictureView;

/// Slower than this, mm a frame, a chain is still.
const STILL: f64 = 2e-3;
/// Steps in which a chain is brought to rest where nothing may move by itself.
const CALM_STEPS: usize = 200;

/// No nearer than this to a joint, CSS pixels, a finger holds nothing.
const FINGER: f64 = 40.0;
/// A key draws a joint so far, CSS pixels.
const KEY_PULL: f64 = 12.0;

impl Model {
    /// How many links are hung, and how.
    pub fn hung_as_asked(&self) -> (usize, Worn) {
        let controls = &self.controls;
        // Left empty, a usual girth: wrists measure 151 mm (women) and 174 mm (men) in the mean
        // (biologyinsights.com, average wrist size); a collar that lies snugly about a neck 300 to
        // 350 mm (makers' charts of necklace lengths, such as amandaappleby.com).
        let girth = |usual: f64| {
            let typed = parse_length(controls.value("drape-girth"), self.analysis.unit);
            typed.map_or(usual, |length| length.get()).clamp(20.0, 2000.0)
        };
        let count = controls.number("drape-count").clamp(2.0, 400.0) as usize;
        let worn = match controls.value("drape-worn") {
            "wrist" => Worn::Wrist { girth: girth(170.0) },
            "neck" => Worn::Neck { girth: girth(340.0) },
            _ => Worn::BetweenPoints { fraction: 0.01 * controls.number("drape-share") },
        };
        (count, worn)
    }

    /// What the panel says is hung, where a hand on the picture pulls it.
    fn pulled(&self) -> Option<(usize, Worn)> {
        let pulls = self.sees(tabs::DRAPE) && self.controls.is_ticked("drape-hand");
        pulls.then(|| self.hung_as_asked())
    }

    /// Whether the panel says that a hand pulls the hung chain.
    pub fn pulls(&self) -> bool {
        self.pulled().is_some()
    }

    /// The chain as it hangs now.
    fn hung_now(&self, of: (usize, Worn)) -> Option<Drape> {
        if let Some(live) = self.analysis.in_hand(of.0, of.1) {
            return Some(live.drape.clone());
        }
        let draped = self.analysis.draped(of.0, of.1);
        draped.as_ref().as_ref().ok().map(|draped| draped.drape.clone())
    }

    /// Takes hold of a joint where it is.
    fn hold(&mut self, of: (usize, Worn), drape: Drape, joint: usize) {
        let held = drape.nodes().get(joint).map(|place| (joint, *place));
        let live = Live { of, drape, held, last: 0.0, still: 0 };
        *self.analysis.drape_state.live.borrow_mut() = Some(live);
    }

    /// Takes hold of the hung chain under a finger at this place of the canvas, CSS pixels,
    /// where the panel says that a hand pulls.
    pub(super) fn take_hold(&mut self, eye: &PictureView, x: f64, y: f64) {
        let Some(of) = self.pulled() else { return };
        let Some(drape) = self.hung_now(of) else { return };
        let at = [eye.mm(x - 0.5 * eye.window.width), eye.mm(0.5 * eye.window.height - y)];
        let far = |p: &Point| {
            let [right, up] = eye.flat(*p);
            (right - at[0]).hypot(up - at[1])
        };
        let inner = drape.nodes().iter().enumerate().skip(1).take(of.0.saturating_sub(1));
        let nearest = inner.min_by(|a, b| far(a.1).total_cmp(&far(b.1)));
        let Some((joint, far)) = nearest.map(|(joint, place)| (joint, far(place))) else { return };
        if far <= eye.mm(FINGER) {
            self.hold(of, drape, joint);
        }
    }

    /// Pulls the hung chain by a key where the panel says that a hand does: arrows draw a joint about,
    /// Page Up and Page Down take the next one, Enter lets go. Whether the key was for it.
    pub(super) fn pull_by_key(
        &mut self,
        eye: &PictureView,
        key: &str,
        (right, up): (f64, f64),
    ) -> bool {
        let Some(of) = self.pulled() else { return false };
        let last = of.0.saturating_sub(1).max(1);
        let live = self.analysis.in_hand(of.0, of.1);
        let held = live.as_ref().and_then(|live| live.held).map(|(joint, _)| joint);
        drop(live);
        let joint = match key {
            "PageUp" => held.map_or(of.0 / 2, |joint| joint - 1).clamp(1, last),
            "PageDown" => held.map_or(of.0 / 2, |joint| joint + 1).clamp(1, last),
            "Enter" => {
                let words = if self.release_joint() { "Let go." } else { "Nothing is held." };
                self.drape_told = words.into();
                return true;
            }
            _ if (right, up) != (0.0, 0.0) => held.unwrap_or((of.0 / 2).clamp(1, last)),
            _ => return false,
        };
        if held != Some(joint) {
            let Some(drape) = self.hung_now(of) else { return true };
            self.hold(of, drape, joint);
        }
        self.pull_held(eye, KEY_PULL * right, -KEY_PULL * up);
        let words = format!(
            "Joint {joint} of {last} is held. Arrows draw it about, Page Up and Page Down take \
             the next one, Enter lets go."
        );
        self.drape_told = words;
        true
    }

    /// Bends the chain by a hand drawn `right` of the width of the picture, where the panel says
    /// that a hand does; whether it did.
    pub(super) fn bend(&mut self, right: f64) -> bool {
        if !self.sees(tabs::CHAIN) || !self.controls.is_ticked("chain-hand") {
            return false;
        }
        // From limit to limit in the width of the picture.
        let bent = self.controls.number("chain-share") + 200.0 * right;
        self.controls.set("chain-share", format!("{:.3}", bent.clamp(-100.0, 100.0)));
        true
    }

    /// Pulls what is held; whether anything is.
    pub(super) fn pull_held(&mut self, eye: &PictureView, right: f64, down: f64) -> bool {
        let mut live = self.analysis.drape_state.live.borrow_mut();
        let Some((_, place)) = live.as_mut().and_then(|live| live.held.as_mut()) else {
            return false;
        };
        *place += eye.across(eye.mm(right), eye.mm(-down));
        true
    }

    /// Lets go; whether anything was held.
    pub(super) fn release_joint(&mut self) -> bool {
        let mut live = self.analysis.drape_state.live.borrow_mut();
        live.as_mut().is_some_and(|live| live.held.take().is_some())
    }

    /// Lets the chain in the hand move on to the frame at `now` milliseconds.
    /// Where calm is asked for it is at once where it comes to rest.
    pub(super) fn move_on(&mut self, now: f64, calm: bool) {
        let pulls = self.pulled().is_some();
        let mut kept = self.analysis.drape_state.live.borrow_mut();
        let Some(live) = kept.as_mut() else { return };
        let passed =
            if live.last > 0.0 { (1e-3 * (now - live.last)).clamp(0.0, 0.04) } else { 0.016 };
        live.last = now;
        // The hand may have been taken away meanwhile.
        live.held = live.held.filter(|_| pulls);
        live.drape.pull(live.held);
        if calm {
            let rests = live.drape.settle(CALM_STEPS);
            live.still = if rests || live.held.is_none() { 30 } else { 0 };
            return;
        }
        let before = live.drape.nodes().to_vec();
        live.drape.step(passed);
        let moved = live.drape.nodes().iter().zip(&before).map(|(a, b)| (a - b).norm());
        let furthest = moved.fold(0.0, f64::max);
        live.still = if furthest < STILL { live.still + 1 } else { 0 };
    }
}
