//! Everything a maker calls supple or stiff, of links of one size, or of two that follow one
//! another.

use super::coil::{Coil, coil};
use super::rest::{Rest, clear_along, clearest_rise, rest, rising, seat_alone};
use super::swing::{FINE, Limit, limit};
use super::{Body, ChainError, Row, RowContact, Weave};
use crate::geometry::curve::{Pose, Vector};
use nalgebra::Unit;
use std::f64::consts::PI;

/// Both ways of a turn, right-handed first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BothWays {
    /// Right-handed about the axis.
    pub plus: Limit,
    /// Left-handed.
    pub minus: Limit,
}

/// A turn is looked for up to this, radians: 150°. Links turned further lie against
/// one another's legs in ways a chain on a bench does not.
pub const MOST_TURN: f64 = 150.0 * PI / 180.0;

/// How one link lies and moves in the one before.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Joint {
    /// Pulled and pushed.
    pub rest: Rest,
    /// About x: the fold goes from side to side across the lobes.
    pub swing_x: BothWays,
    /// About y, the fold's axis: from leg to leg.
    pub swing_y: BothWays,
    /// About z, along the chain.
    pub twist: BothWays,
}

/// How `incoming` lies and moves in `receiving`, their own neighbours left out.
///
/// # Errors
/// [`ChainError::NoRest`] where their wires overlap at every rise.
///
/// # Examples
/// ```
/// use linkfold::motion::chain::{Body, joint};
/// use linkfold::geometry::link::{Forming, ToolDimensions};
/// let link = Forming::new(ToolDimensions::usual(1.0, 12.0))?; // wire and mandrel, mm
/// let body = Body::of(&link.fold);
/// let joint = joint(&body, &body).unwrap();
/// assert!(joint.rest.pulled > joint.rest.pushed && joint.rest.play() > 0.0);
/// # Ok::<(), linkfold::geometry::link::FormError>(())
/// ```
pub fn joint(receiving: &Body, incoming: &Body) -> Result<Joint, ChainError> {
    let row = Row::pair(receiving, incoming);
    let rest = rest(&row, 1)?;
    Ok(turned(&row, rest, receiving.mirrored && incoming.mirrored))
}

fn turned(row: &Row, rest: Rest, mirrored: bool) -> Joint {
    let both = |about| both_ways(row, &rest, mirrored, about);
    Joint { rest, swing_x: both(About::X), swing_y: both(About::Y), twist: both(About::Z) }
}

fn both_ways(row: &Row, rest: &Rest, mirrored: bool, about: About) -> BothWays {
    let (start, axis) = (rising(rest.clearest_rise), about.axis());
    let plus = limit(row, &start, axis, MOST_TURN);
    let minus = if mirrored { plus } else { limit(row, &start, -axis, MOST_TURN) };
    BothWays { plus, minus }
}

/// A chain of equal links.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measures {
    /// The weave.
    pub weave: Weave,
    /// Rest and turns per link, all the links that can touch looked at.
    pub joint: Joint,
    /// Clearance between links that are not worked through one another, pulled straight, mm.
    pub crowding: f64,
    /// Over all, along y: across the lobes, mm.
    pub width: f64,
    /// Over all, along x: from leg to leg, mm.
    pub thickness: f64,
    /// Tightest coil bent about x.
    pub coil_x: Coil,
    /// Tightest coil bent about y.
    pub coil_y: Coil,
}

impl Measures {
    /// Suppleness about x: the rod that fits inside the tightest coil, over what the chain
    /// measures in the plane of the coil. Less is suppler.
    pub fn suppleness_x(&self) -> f64 {
        self.coil_x.inside / self.width
    }

    /// Suppleness about y, likewise.
    pub fn suppleness_y(&self) -> f64 {
        self.coil_y.inside / self.thickness
    }
}

/// Where the links of a straight chain lie, all that can touch looked at.
///
/// # Errors
/// [`ChainError::NoRest`] where a link does not lie in those it is worked through;
/// [`ChainError::Locks`] where it does, but not with all its neighbours in line.
///
/// # Examples
/// ```
/// use linkfold::motion::chain::{Body, Weave, seated};
/// use linkfold::geometry::link::{Forming, ToolDimensions};
/// let link = Forming::new(ToolDimensions::usual(1.0, 12.0))?; // wire and mandrel, mm
/// let rest = seated(&Body::of(&link.fold), Weave::new(1, 1).unwrap()).unwrap();
/// assert!(rest.pulled < link.fold.outside_height());
/// # Ok::<(), linkfold::geometry::link::FormError>(())
/// ```
pub fn seated(link: &Body, weave: Weave) -> Result<Rest, ChainError> {
    Ok(Seated::of(link, weave)?.all)
}

/// A chain of equal links `link` in `weave`.
///
/// In a single chain a swing is that of one link in the one before; the links after it
/// are looked at for pitch and coils. In the others a link never moves without its
/// neighbours, and a swing is what every link can turn against the next at once.
///
/// # Errors
/// As [`seated`].
///
/// # Examples
/// ```
/// use linkfold::motion::chain::{Body, Weave, measure};
/// use linkfold::geometry::link::{Forming, ToolDimensions};
/// let link = Forming::new(ToolDimensions::usual(1.0, 12.0))?; // wire and mandrel, mm
/// let found = measure(&Body::of(&link.fold), Weave::new(1, 1).unwrap()).unwrap();
/// assert!(found.suppleness_x() > 0.0);
/// # Ok::<(), linkfold::geometry::link::FormError>(())
/// ```
pub fn measure(link: &Body, weave: Weave) -> Result<Measures, ChainError> {
    let lying = Seated::of(link, weave)?;
    let both = |about| lying.turns(link, about);
    let (swing_x, swing_y) = (both(About::X), both(About::Y));
    let [width, thickness] = lying.across(link);
    Ok(Measures {
        weave,
        crowding: lying.crowding(link),
        width,
        thickness,
        coil_x: lying.coil(link, &swing_x),
        coil_y: lying.coil(link, &swing_y),
        joint: Joint { rest: lying.all, swing_x, swing_y, twist: both(About::Z) },
    })
}

/// How a chain of equal links lies: everything else that is measured of it starts here, and each
/// figure may be asked alone. The link is always the one it was made of.
#[derive(Clone, Copy, Debug)]
pub struct Seated {
    weave: Weave,
    /// How many links reach back to the first.
    reaching: usize,
    /// How a link and the one furthest back whose lobes its waist runs through lie, the others
    /// left out.
    seat: Rest,
    /// How all of them lie.
    all: Rest,
}

impl Seated {
    /// A straight chain of `link` in `weave`.
    ///
    /// # Errors
    /// As [`seated`].
    pub fn of(link: &Body, weave: Weave) -> Result<Seated, ChainError> {
        let deepest = weave.deepest();
        let seat = rest(&alone(link, weave), deepest)?;
        if weave == Weave::SINGLE {
            link.own_pulled.get_or_init(|| seat.pulled);
        }
        // How many links reach back to the first: their rise is least when pushed.
        let reaching = (link.size().z / seat.pushed.max(0.1 * link.wire)).floor() as usize;
        let reaching = reaching.clamp(deepest + 1, MOST_NEIGHBOURS);
        let mut lying = Seated { weave, reaching, seat, all: seat };
        let free =
            weave == Weave::SINGLE && clear_along(&lying.beside(link), seat.pulled, seat.pushed);
        if !free {
            lying.all = rest(&lying.row(link), deepest).map_err(|error| match error {
                ChainError::NoRest { overlap, offset } => {
                    ChainError::Locks { weave: weave.name(), overlap, offset }
                }
                other => other,
            })?;
        }
        Ok(lying)
    }

    /// Pulled and pushed, all the links that can touch looked at.
    pub fn rest(&self) -> &Rest {
        &self.all
    }

    /// All links that reach one another, of every chain.
    fn row<'a>(&self, link: &'a Body) -> Row<'a> {
        self.weave.row(link, 1, self.reaching)
    }

    /// Those of them that are not worked through one another.
    fn beside<'a>(&self, link: &'a Body) -> Row<'a> {
        let row = self.row(link);
        let deepest = self.weave.deepest();
        let own = deepest / self.weave.through();
        let beside = row.pairs.iter().filter(|(_, k)| k % own != 0 || *k > deepest);
        Row { pairs: beside.copied().collect(), ..row }
    }

    fn mirrored(&self, link: &Body) -> bool {
        link.mirrored && self.weave.even_handed()
    }

    /// How far a link turns against the one before.
    pub fn turns(&self, link: &Body, about: About) -> BothWays {
        if self.weave == Weave::SINGLE {
            both_ways(&alone(link, self.weave), &self.seat, self.mirrored(link), about)
        } else {
            both_ways(&self.row(link), &self.all, self.mirrored(link), about)
        }
    }

    /// The tightest coil of a chain whose links turn so, bent about x or y.
    pub fn coil(&self, link: &Body, ways: &BothWays) -> Coil {
        let row = self.row(link);
        let tightest = |way: &Limit| {
            // Where links further on are in the way, all turn less.
            let clear = self.weave != Weave::SINGLE
                || row.nearest(&way.step).clearance >= -1e-3 * link.wire
                || !(way.angle > 0.0);
            let way = match Unit::try_new(way.step.rotation.scaled_axis(), 1e-9) {
                Some(axis) if !clear => {
                    limit(&row, &rising(self.all.clearest_rise), axis, MOST_TURN)
                }
                _ => *way,
            };
            coil(&row, &way.step, way.stop)
        };
        let plus = tightest(&ways.plus);
        if self.mirrored(link) {
            return plus;
        }
        let minus = tightest(&ways.minus);
        if minus.inside > plus.inside { minus } else { plus }
    }

    /// Clearance between links that are not worked through one another, pulled straight, mm.
    pub fn crowding(&self, link: &Body) -> f64 {
        self.beside(link).nearest(&rising(self.all.pulled)).clearance
    }

    /// Over all, across the lobes and from leg to leg, mm.
    pub fn across(&self, link: &Body) -> [f64; 2] {
        let size = self.weave.extent(link);
        [size.y, size.x]
    }
}

/// A link and the one furthest back whose lobes its waist runs through.
fn alone(link: &Body, weave: Weave) -> Row<'_> {
    Row { pairs: vec![(0, weave.deepest())], ..weave.row(link, 1, 1) }
}

/// The clearance of links of one size that lie straight in `weave`, with as much clearance as they can, mm; below
/// zero where they do not lie. Quick, for searches: how far they rise is not looked for.
///
/// # Examples
/// ```
/// use linkfold::motion::chain::{Body, Weave, seated_clearance};
/// use linkfold::geometry::link::{Forming, ToolDimensions};
/// let link = Forming::new(ToolDimensions::usual(1.0, 12.0))?; // wire and mandrel, mm
/// assert!(seated_clearance(&Body::of(&link.fold), Weave::SINGLE) > 0.0);
/// # Ok::<(), linkfold::geometry::link::FormError>(())
/// ```
pub fn seated_clearance(link: &Body, weave: Weave) -> f64 {
    let deepest = weave.deepest();
    let own = seat_alone(&alone(link, weave), deepest);
    let reaching = (link.size().z / own.rise.max(0.1 * link.wire)).ceil() as usize;
    let row = weave.row(link, 1, reaching.clamp(deepest + 1, MOST_NEIGHBOURS));
    clearest_rise(&row, &own).1.clearance
}

/// What a chain is bent or twisted about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum About {
    /// Across the lobes.
    X,
    /// From leg to leg.
    Y,
    /// Along the chain.
    Z,
}

impl About {
    fn axis(self) -> Unit<Vector> {
        match self {
            About::X => Vector::x_axis(),
            About::Y => Vector::y_axis(),
            About::Z => Vector::z_axis(),
        }
    }
}

/// A chain bent evenly: every link turned alike against the one before.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bent {
    /// From each link to the next.
    pub step: Pose,
    /// Turn from each link to the next, radians, right-handed.
    pub angle: f64,
    /// What stops it, at the limit.
    pub stop: Option<RowContact>,
}

impl Measures {
    /// The chain of `link` bent or twisted by `fraction` of what it takes, −1 to 1.
    pub fn bent(&self, link: &Body, about: About, fraction: f64) -> Bent {
        let fraction = if fraction.is_nan() { 0.0 } else { fraction.clamp(-1.0, 1.0) };
        let twist = &self.joint.twist;
        let (axis, turn) = match about {
            About::X => (Vector::x_axis(), self.coil_x.turn),
            About::Y => (Vector::y_axis(), self.coil_y.turn),
            About::Z if fraction < 0.0 => (Vector::z_axis(), twist.minus.angle),
            About::Z => (Vector::z_axis(), twist.plus.angle),
        };
        let angle = fraction.abs() * turn;
        let straight = Bent { step: rising(self.joint.rest.pulled), angle: 0.0, stop: None };
        if !(angle > FINE) {
            return straight;
        }
        let Ok(lying) = Seated::of(link, self.weave) else { return straight };
        let (row, all) = (lying.row(link), lying.all);
        let axis = if fraction < 0.0 { -axis } else { axis };
        let reached = limit(&row, &rising(all.clearest_rise), axis, angle);
        Bent {
            step: reached.step,
            angle: reached.angle * fraction.signum(),
            stop: (fraction.abs() > 0.999).then(|| row.nearest(&reached.step)),
        }
    }
}

/// Links looked at on each side; one more than this many rises high is no link.
const MOST_NEIGHBOURS: usize = 24;

/// Clearance between the links before and after a joint of unequal links, pulled straight, mm: the first and
/// the last of three, the middle one of either kind; `rise` is that of the joint. Infinite where neither
/// lies in its own kind.
pub fn crowding_across(first: &Body, third: &Body, rise: f64) -> f64 {
    let pulled = |link: &Body| match link.own_pulled.get() {
        Some(known) => Some(*known),
        None => rest(&Row::pair(link, link), 1).ok().map(|rest| rest.pulled),
    };
    let clearance = |own: f64| Row::pair(first, third).nearest(&rising(own + rise)).clearance;
    let all = [first, third].into_iter().filter_map(pulled).map(clearance);
    all.fold(f64::INFINITY, f64::min)
}
