//! The chain as the page keeps it: measured once per design, bent and hung once per setting.

use super::analysis::Analysis;
use super::model::Model;
use super::views;
use crate::answers::report::{ChainAnalysis, hang};
use crate::documents::units::LengthUnit;
use crate::geometry::curve::Point;
use crate::motion::chain::{About, Bent, Body, Joint, joint};
use crate::motion::drape::{Drape, DrapeLink, LinkTable, Sizes, Worn, taper};
use crate::render::PictureView;
use std::cell::{OnceCell, Ref, RefCell};
use std::rc::Rc;

/// What was worked out last, and for what.
struct Kept<K, V>(RefCell<Option<(K, Rc<V>)>>);

impl<K: PartialEq, V> Kept<K, V> {
    fn new() -> Kept<K, V> {
        Kept(RefCell::new(None))
    }

    fn get(&self, key: K, work_out: impl FnOnce() -> V) -> Rc<V> {
        if let Some((of, value)) = &*self.0.borrow()
            && *of == key
        {
            return value.clone();
        }
        let value = Rc::new(work_out());
        *self.0.borrow_mut() = Some((key, value.clone()));
        value
    }
}

/// How a chain is bent: about what, and by what share of what it takes.
pub type Bending = (About, f64);

/// A chain hung to rest.
pub struct Draped {
    pub drape: Drape,
    /// Which size each link is.
    pub order: Vec<usize>,
    pub length: f64,
    pub form: Option<LinkTable>,
    /// Whether it came to rest.
    pub rests: bool,
}

/// A chain in the hand.
pub struct Live {
    /// What it is a drape of.
    of: (usize, Worn),
    pub drape: Drape,
    held: Option<(usize, Point)>,
    /// Milliseconds at the last frame.
    last: f64,
    /// Frames it has hardly moved for.
    still: u32,
}

/// The chain of one design.
pub struct Hanging {
    live: RefCell<Option<Live>>,
    bodies: OnceCell<Vec<Body>>,
    sizes: OnceCell<Result<Sizes, String>>,
    hung: Kept<(usize, LengthUnit), Option<ChainAnalysis>>,
    bent: Kept<(usize, Bending), Option<Bent>>,
    draped: Kept<(usize, Worn), Result<Draped, String>>,
}

impl Hanging {
    /// Nothing asked yet.
    pub fn new() -> Hanging {
        Hanging {
            live: RefCell::new(None),
            bodies: OnceCell::new(),
            sizes: OnceCell::new(),
            hung: Kept::new(),
            bent: Kept::new(),
            draped: Kept::new(),
        }
    }
}

impl Analysis {
    /// Every size's link.
    pub fn bodies(&self) -> &[Body] {
        let links = || self.formings.iter().map(|forming| Body::of(&forming.fold)).collect();
        self.hanging.bodies.get_or_init(links)
    }

    /// The size looked at, in a chain of its own kind.
    pub fn hung(&self) -> Rc<Option<ChainAnalysis>> {
        self.hanging.hung.get((self.size, self.unit), || {
            hang(&self.design, &self.formings, self.bodies(), self.size, self.unit)
        })
    }

    /// That chain, bent.
    pub fn bent(&self, (about, share): Bending) -> Rc<Option<Bent>> {
        self.hanging.bent.get((self.size, (about, share)), || {
            let hung = self.hung();
            let measures = (*hung).as_ref()?.measures.as_ref()?;
            Some(measures.bent(self.bodies().get(self.size)?, about, share))
        })
    }

    fn sizes(&self) -> &Result<Sizes, String> {
        self.hanging.sizes.get_or_init(|| {
            let bodies = self.bodies();
            let mut own = Vec::new();
            for index in 0..bodies.len() {
                let hung = hang(&self.design, &self.formings, bodies, index, self.unit);
                match hung.map(|hung| (hung.measures, hung.report)) {
                    Some((Some(measures), _)) => own.push(measures),
                    Some((None, report)) => return Err(report.message),
                    None => return Err(String::new()),
                }
            }
            let both = |two: &[Body]| -> Option<[Joint; 2]> {
                Some([joint(&two[0], &two[1]).ok()?, joint(&two[1], &two[0]).ok()?])
            };
            let across: Option<Vec<_>> = bodies.windows(2).map(both).collect();
            let across = across.ok_or("Neighbouring sizes do not lie in one another.")?;
            Ok(Sizes { links: bodies.to_vec(), own, across })
        })
    }

    /// The whole chain of `count` links, hung; or why not, in words.
    pub fn draped(&self, count: usize, worn: Worn) -> Rc<Result<Draped, String>> {
        self.hanging.draped.get((count, worn), || {
            let sizes = self.sizes().as_ref().map_err(Clone::clone)?;
            let order = taper(sizes.links.len(), count);
            let links: Vec<DrapeLink> =
                sizes.hung(&order).ok_or("These sizes do not follow one another.")?;
            let length: f64 = links.iter().map(|link| link.pitch).sum();
            let clear = links.iter().map(|link| link.half_thickness).fold(0.0, f64::max);
            let clasp = links.iter().map(|link| link.pitch).fold(0.0, f64::max);
            let stand = worn.stand(length, clear, clasp);
            let mut drape = Drape::new(links, stand.ends, stand.lay, stand.form)
                .map_err(|error| error.to_string())?;
            let rests = drape.settle(1200);
            Ok(Draped { drape, order, length, form: stand.form, rests })
        })
    }
}

/// Slower than this, mm a frame, a chain is still.
const STILL: f64 = 2e-3;
/// Steps in which a chain is brought to rest where nothing may move by itself.
const CALM_STEPS: usize = 200;

impl Analysis {
    /// The chain in the hand, if it is still the one asked for.
    pub fn in_hand(&self, count: usize, worn: Worn) -> Option<Ref<'_, Live>> {
        Ref::filter_map(self.hanging.live.borrow(), |live| {
            live.as_ref().filter(|live| live.of == (count, worn))
        })
        .ok()
    }

    /// Whether it moves or is held.
    pub fn sways(&self) -> bool {
        self.hanging
            .live
            .borrow()
            .as_ref()
            .is_some_and(|live| live.held.is_some() || live.still < 30)
    }
}

/// No nearer than this to a joint, CSS pixels, a finger holds nothing.
const FINGER: f64 = 40.0;
/// A key draws a joint so far, CSS pixels.
const KEY_PULL: f64 = 12.0;

impl Model {
    /// What the panel says is hung, where a hand on the picture pulls it.
    fn pulled(&self) -> Option<(usize, Worn)> {
        let pulls = self.sees(views::DRAPE) && self.controls.is_ticked("drape-hand");
        pulls.then(|| views::drape_asked(self))
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
        *self.analysis.hanging.live.borrow_mut() = Some(live);
    }

    /// Takes hold of the hung chain under a finger at this place of the canvas, CSS pixels,
    /// where the panel says that a hand pulls.
    pub fn grasp(&mut self, eye: &PictureView, x: f64, y: f64) {
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
    pub fn pull_by_key(&mut self, eye: &PictureView, key: &str, (right, up): (f64, f64)) -> bool {
        let Some(of) = self.pulled() else { return false };
        let last = of.0.saturating_sub(1).max(1);
        let live = self.analysis.in_hand(of.0, of.1);
        let held = live.as_ref().and_then(|live| live.held).map(|(joint, _)| joint);
        drop(live);
        let joint = match key {
            "PageUp" => held.map_or(of.0 / 2, |joint| joint - 1).clamp(1, last),
            "PageDown" => held.map_or(of.0 / 2, |joint| joint + 1).clamp(1, last),
            "Enter" => {
                let words = if self.let_go() { "Let go." } else { "Nothing is held." };
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
        self.tug(eye, KEY_PULL * right, -KEY_PULL * up);
        let words = format!(
            "Joint {joint} of {last} is held. Arrows draw it about, Page Up and Page Down take \
             the next one, Enter lets go."
        );
        self.drape_told = words;
        true
    }

    /// Bends the chain by a hand drawn `right` of the width of the picture, where the panel says
    /// that a hand does; whether it did.
    pub fn bend(&mut self, right: f64) -> bool {
        if !self.sees(views::CHAIN) || !self.controls.is_ticked("chain-hand") {
            return false;
        }
        // From limit to limit in the width of the picture.
        let bent = self.controls.number("chain-share") + 200.0 * right;
        self.controls.set("chain-share", format!("{:.3}", bent.clamp(-100.0, 100.0)));
        true
    }

    /// Pulls what is held; whether anything is.
    pub fn tug(&mut self, eye: &PictureView, right: f64, down: f64) -> bool {
        let mut live = self.analysis.hanging.live.borrow_mut();
        let Some((_, place)) = live.as_mut().and_then(|live| live.held.as_mut()) else {
            return false;
        };
        *place += eye.across(eye.mm(right), eye.mm(-down));
        true
    }

    /// Lets go; whether anything was held.
    pub fn let_go(&mut self) -> bool {
        let mut live = self.analysis.hanging.live.borrow_mut();
        live.as_mut().is_some_and(|live| live.held.take().is_some())
    }

    /// Lets the chain in the hand move on to the frame at `now` milliseconds.
    /// Where calm is asked for it is at once where it comes to rest.
    pub fn sway(&mut self, now: f64, calm: bool) {
        let pulls = self.pulled().is_some();
        let mut kept = self.analysis.hanging.live.borrow_mut();
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
