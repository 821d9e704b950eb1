//! The chain as the page keeps it: measured once per design, bent and hung once per setting.

use super::page::Page;
use super::work::Work;
use crate::chain::{About, Bent, Body, Drape, DrapeLink, Joint, Sizes, Worn, joint, taper};
use crate::design::WeaveChoice;
use crate::report::{Hung, hang};
use crate::units::LengthUnit;
use std::cell::{OnceCell, RefCell};
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
    /// Whether it came to rest.
    pub rests: bool,
}

/// The chain of one design.
pub struct Hanging {
    bodies: OnceCell<Vec<Body>>,
    sizes: OnceCell<Result<Sizes, String>>,
    hung: Kept<(usize, LengthUnit), Option<Hung>>,
    bent: Kept<(usize, Bending), Option<Bent>>,
    draped: Kept<(usize, Worn), Result<Draped, String>>,
}

impl Hanging {
    /// Nothing asked yet.
    pub fn new() -> Hanging {
        Hanging {
            bodies: OnceCell::new(),
            sizes: OnceCell::new(),
            hung: Kept::new(),
            bent: Kept::new(),
            draped: Kept::new(),
        }
    }
}

impl Work {
    /// Every size's link.
    pub fn bodies(&self) -> &[Body] {
        let links = || self.formings.iter().map(|forming| Body::of(&forming.fold)).collect();
        self.hanging.bodies.get_or_init(links)
    }

    /// The size looked at, in a chain of its own kind.
    pub fn hung(&self) -> Rc<Option<Hung>> {
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
                    Some((None, report)) => return Err(report.says),
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
            Ok(Draped { drape, order, length, rests })
        })
    }
}

impl Page {
    /// Takes the weave chosen in the chain's panel into the design.
    pub fn choose_weave(&mut self) {
        let chosen = self.elements.value("weave").parse().ok();
        let Some(weave) = chosen.and_then(|i: usize| WeaveChoice::ALL.get(i)) else { return };
        let mut design = self.work.design.clone();
        design.weave = *weave;
        if let Ok(work) = Work::of(design, self.work.size, self.work.unit) {
            self.work = work;
            self.show_answer();
        }
    }
}
