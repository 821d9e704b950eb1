//! The chain as the page keeps it: measured once per design, bent and hung once per setting.

use crate::answers::report::{ChainAnalysis, analyse_chain};
use crate::documents::design::Design;
use crate::documents::units::LengthUnit;
use crate::geometry::curve::Point;
use crate::geometry::link::Forming;
use crate::motion::chain::{About, Bent, Body, Joint, joint};
use crate::motion::drape::{Drape, DrapeForm, DrapeLink, Sizes, Worn, taper};
use std::cell::{OnceCell, Ref, RefCell};
use std::rc::Rc;

/// What was worked out last, and for what.
struct Remembered<K, V>(RefCell<Option<(K, Rc<V>)>>);

impl<K: PartialEq, V> Remembered<K, V> {
    fn new() -> Remembered<K, V> {
        Remembered(RefCell::new(None))
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
pub type HandBend = (About, f64);

/// A chain hung to rest.
pub struct Draped {
    pub drape: Drape,
    /// Which size each link is.
    pub order: Vec<usize>,
    pub length: f64,
    pub form: Option<DrapeForm>,
    /// Whether it came to rest.
    pub rests: bool,
}

/// A chain in the hand.
pub struct Live {
    /// What it is a drape of.
    pub(super) of: (usize, Worn),
    pub drape: Drape,
    pub(super) held: Option<(usize, Point)>,
    /// Milliseconds at the last frame.
    pub(super) last: f64,
    /// Frames it has hardly moved for.
    pub(super) still: u32,
}

/// The chain of one design.
pub struct DrapeState {
    pub(super) live: RefCell<Option<Live>>,
    bodies: OnceCell<Vec<Body>>,
    sizes: OnceCell<Result<Sizes, String>>,
    hung: Remembered<(usize, LengthUnit), Option<ChainAnalysis>>,
    bent: Remembered<(usize, HandBend), Option<Bent>>,
    draped: Remembered<(usize, Worn), Result<Draped, String>>,
}

impl DrapeState {
    /// Nothing asked yet.
    pub fn new() -> DrapeState {
        DrapeState {
            live: RefCell::new(None),
            bodies: OnceCell::new(),
            sizes: OnceCell::new(),
            hung: Remembered::new(),
            bent: Remembered::new(),
            draped: Remembered::new(),
        }
    }
}

/// The design whose chain it is.
#[derive(Clone, Copy)]
pub struct OfDesign<'a> {
    /// It.
    pub design: &'a Design,
    /// Its sizes, shaped.
    pub formings: &'a [Forming],
    /// The size looked at.
    pub size: usize,
    /// What the maker measures in.
    pub unit: LengthUnit,
}

impl DrapeState {
    /// Every size's link.
    pub fn bodies(&self, of: OfDesign) -> &[Body] {
        let links = || of.formings.iter().map(|forming| Body::of(&forming.fold)).collect();
        self.bodies.get_or_init(links)
    }

    /// The size looked at, in a chain of its own kind.
    pub fn hung(&self, of: OfDesign) -> Rc<Option<ChainAnalysis>> {
        self.hung.get((of.size, of.unit), || {
            analyse_chain(of.design, of.formings, self.bodies(of), of.size, of.unit)
        })
    }

    /// That chain, bent.
    pub fn bent(&self, of: OfDesign, (about, share): HandBend) -> Rc<Option<Bent>> {
        self.bent.get((of.size, (about, share)), || {
            let hung = self.hung(of);
            let measures = (*hung).as_ref()?.measures.as_ref()?;
            Some(measures.bent(self.bodies(of).get(of.size)?, about, share))
        })
    }

    fn sizes(&self, of: OfDesign) -> &Result<Sizes, String> {
        self.sizes.get_or_init(|| {
            let bodies = self.bodies(of);
            let mut own = Vec::new();
            for index in 0..bodies.len() {
                let hung = analyse_chain(of.design, of.formings, bodies, index, of.unit);
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
    pub fn draped(&self, of: OfDesign, count: usize, worn: Worn) -> Rc<Result<Draped, String>> {
        self.draped.get((count, worn), || {
            let sizes = self.sizes(of).as_ref().map_err(Clone::clone)?;
            let order = taper(sizes.links.len(), count);
            let links: Vec<DrapeLink> =
                sizes.hung(&order).ok_or("These sizes do not follow one another.")?;
            let length: f64 = links.iter().map(|link| link.pitch).sum();
            let clear = links.iter().map(|link| link.half_thickness).fold(0.0, f64::max);
            let clasp = links.iter().map(|link| link.pitch).fold(0.0, f64::max);
            let stand = worn.placement(length, clear, clasp);
            let mut drape = Drape::new(links, stand.ends, stand.lay, stand.form)
                .map_err(|error| error.to_string())?;
            let rests = drape.settle(1200);
            Ok(Draped { drape, order, length, form: stand.form, rests })
        })
    }
}

impl DrapeState {
    /// The chain in the hand, if it is still the one asked for.
    pub fn in_hand(&self, count: usize, worn: Worn) -> Option<Ref<'_, Live>> {
        Ref::filter_map(self.live.borrow(), |live| {
            live.as_ref().filter(|live| live.of == (count, worn))
        })
        .ok()
    }

    /// Whether it moves or is held.
    pub fn is_moving(&self) -> bool {
        self.live.borrow().as_ref().is_some_and(|live| live.held.is_some() || live.still < 30)
    }
}
