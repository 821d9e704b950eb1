//! One link under the pull of its neighbours.

use super::StrengthError;
use super::collapse::{Collapse, collapse};
use super::contacts::{Seat, in_quarter};
use crate::geometry::curve::{ClosedCurve, Vector};
use crate::geometry::link::Fold;
use crate::math::units::Mm;
use crate::mechanics::beam::{
    BeamError, BeamFrame, BeamWire, Equilibrium, Load, PeakStress, Theory,
};
use crate::mechanics::material::{Band, BandedValue, Metal};
use crate::mechanics::section::RoundSection;

/// The greatest stress.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peak {
    /// Von Mises stress for a pull of 1 N, MPa.
    pub stress_per_newton: f64,
    /// Where, as a share of the way round, in the first quarter: 0 waist, 0.25 tip.
    pub at: f64,
}

/// What a pull does to one link of a chain of its like.
#[derive(Clone, Debug)]
pub struct Pull {
    /// How the neighbours bear.
    pub seat: Seat,
    /// Force with which the tips press on one another for a pull of 1 N, N; 0 where they stand
    /// apart.
    pub tips_press: f64,
    /// Likewise the two waist wires.
    pub waist_presses: f64,
    /// N per mm of one link's growth between its neighbours.
    pub stiffness: BandedValue,
    /// The greatest stress.
    pub peak: Peak,
    /// Pull at which annealed metal first yields, N.
    pub first_set: BandedValue,
    /// Collapse of annealed metal: no less than, N.
    pub collapse_lower: BandedValue,
    /// Collapse of annealed metal: no more than, N.
    pub collapse_upper: BandedValue,
    /// Four strands torn straight across, N: the join is lost by then at the latest.
    pub torn: BandedValue,
    balanced: Equilibrium,
}

/// Tips or waist wires nearer to one another than this share of the wire count as pinched shut.
const SHUT: f64 = 0.2;

impl Pull {
    /// Pulls `fold`, of `metal`.
    ///
    /// # Errors
    /// [`StrengthError`] where the next link has no seat in it, or the beam cannot answer.
    ///
    /// # Examples
    /// ```
    /// use linkfold::mechanics::material::known_metal;
    /// use linkfold::mechanics::strength::Pull;
    /// use linkfold::geometry::link::{Forming, ToolDimensions};
    /// let link = Forming::new(ToolDimensions::usual(1.0, 12.0))?; // wire and mandrel, mm
    /// let pull = Pull::of(&link.fold, &known_metal("copper").unwrap()).unwrap();
    /// assert!(pull.chain_stiffness().likely > 0.0);
    /// # Ok::<(), linkfold::geometry::link::FormError>(())
    /// ```
    pub fn of(fold: &Fold, metal: &Metal) -> Result<Pull, StrengthError> {
        let diameter = fold.eight.wire;
        let pulled = Pulled::of(fold, metal)?;
        let Pulled { seat, pairs, pressed, .. } = &pulled;
        let contacts: Vec<&Equilibrium> = pairs.iter().map(|pair| &pair.alone).collect();
        let Collapse { lower, upper } = collapse(&pulled.alone, &contacts, diameter)?;
        let stress_per_newton = pulled.peak.stress;
        let at = in_quarter(pulled.peak.at / pulled.balanced.length());
        let force_of = |shape: Vector| {
            let held =
                pairs.iter().zip(pressed).find(|(pair, _)| pair.along.dot(&shape).abs() > 0.5);
            held.map_or(0.0, |(_, force)| *force)
        };
        let yields = |factor: f64| BandedValue::over(|band| factor * metal.yield_stress(band));
        let section = RoundSection::new(Mm::new(diameter))?;
        Ok(Pull {
            seat: *seat,
            tips_press: force_of(Vector::x()),
            waist_presses: force_of(Vector::y()),
            stiffness: BandedValue::over(|band| pulled.stiffness(metal, band)),
            peak: Peak { stress_per_newton, at },
            first_set: BandedValue::over(|band| pulled.first_set(metal, band)),
            collapse_lower: yields(lower * diameter * diameter),
            collapse_upper: yields(upper * diameter * diameter),
            torn: BandedValue::over(|band| {
                4.0 * section.area() * metal.record().tensile_mpa.at(band)
            }),
            balanced: pulled.balanced,
        })
    }

    /// The likely pull at first set, N, and stiffness, N per mm, of [`Pull::of`], without the rest of it: for searches.
    ///
    /// # Errors
    /// As [`Pull::of`].
    ///
    /// # Examples
    /// ```
    /// use linkfold::mechanics::material::known_metal;
    /// use linkfold::mechanics::strength::Pull;
    /// use linkfold::geometry::link::{Forming, ToolDimensions};
    /// let link = Forming::new(ToolDimensions::usual(1.0, 12.0))?; // wire and mandrel, mm
    /// let copper = known_metal("copper").unwrap();
    /// let whole = Pull::of(&link.fold, &copper).unwrap();
    /// let [first_set, stiffness] = Pull::within_yield(&link.fold, &copper).unwrap();
    /// assert_eq!((first_set, stiffness), (whole.first_set.likely, whole.stiffness.likely));
    /// # Ok::<(), linkfold::geometry::link::FormError>(())
    /// ```
    pub fn within_yield(fold: &Fold, metal: &Metal) -> Result<[f64; 2], StrengthError> {
        let pulled = Pulled::of(fold, metal)?;
        Ok([pulled.first_set(metal, Band::Likely), pulled.stiffness(metal, Band::Likely)])
    }

    /// Pull per unit of strain of a whole chain, N: a chain of length ℓ gives this over ℓ.
    pub fn chain_stiffness(&self) -> BandedValue {
        let BandedValue { low, likely, high } = self.stiffness;
        let pitch = self.seat.pitch;
        BandedValue { low: low * pitch, likely: likely * pitch, high: high * pitch }
    }

    /// Moment, bending with torsion, for a pull of 1 N, N·mm, at a share of the way round.
    pub fn moment_at(&self, fraction: f64) -> f64 {
        let at = fraction.rem_euclid(1.0) * self.balanced.length();
        self.balanced.section_vectors(at).map_or(f64::NAN, |section| section.moment.norm())
    }
}

/// A link pulled by 1 N, while it is elastic.
struct Pulled {
    seat: Seat,
    /// Under its neighbours alone.
    alone: Equilibrium,
    pairs: Vec<TipContact>,
    /// The force of each pair, N.
    pressed: Vec<f64>,
    balanced: Equilibrium,
    peak: PeakStress,
}

impl Pulled {
    fn of(fold: &Fold, metal: &Metal) -> Result<Pulled, StrengthError> {
        let curve = fold.curve();
        let diameter = fold.eight.wire;
        let seat = Seat::of(fold, &curve)?;
        let section = RoundSection::new(Mm::new(diameter))?;
        let wire =
            BeamWire::new(section, metal.youngs_modulus(), metal.poisson_ratio(), Theory::Curved)?;
        let frame = BeamFrame::closed(&curve, wire)?;
        let neighbours = loads(&curve, &seat);
        let shut =
            [(fold.tip_gap(), 0.25, Vector::x()), (fold.eight.waist_gap(), 0.0, -Vector::y())];
        let shut = shut.into_iter().filter(|(gap, ..)| *gap <= SHUT * diameter);
        let places = |fraction: f64| [fraction, fraction + 0.5].map(|at| at * frame.length());
        let shut: Vec<([f64; 2], Vector)> =
            shut.map(|(_, fraction, along)| (places(fraction), along)).collect();
        let pressed = shut.iter().flat_map(|(at, along)| pressing(*at, *along, 1.0));
        let all: Vec<Load> = neighbours.iter().copied().chain(pressed).collect();
        let spans = frame.spans(&all, &[])?;
        let alone = frame.solve_on(&spans, &neighbours, &[])?;
        let contact = |(at, along)| {
            let alone = frame.solve_on(&spans, &pressing(at, along, 1.0), &[])?;
            Ok(TipContact { at, along, alone })
        };
        let pairs = shut.into_iter().map(contact).collect::<Result<Vec<_>, BeamError>>()?;
        let pressed = press(&alone, &pairs)?;
        let mut all = neighbours;
        for (pair, force) in pairs.iter().zip(&pressed) {
            all.extend(pair.loads(*force));
        }
        let balanced = frame.solve_on(&spans, &all, &[])?;
        let peak = balanced.peak_stress();
        Ok(Pulled { seat, alone, pairs, pressed, balanced, peak })
    }

    /// N.
    fn first_set(&self, metal: &Metal, band: Band) -> f64 {
        1.0 / self.peak.stress * metal.yield_stress(band)
    }

    /// N per mm. 1 N does work δ/2, which is the energy, contacts within doing none: k = 1/δ.
    fn stiffness(&self, metal: &Metal, band: Band) -> f64 {
        let likely = 0.5 / self.balanced.energy();
        likely * metal.record().youngs_modulus_mpa.at(band) / metal.youngs_modulus()
    }
}

/// Two places opposite each other that may press on one another.
struct TipContact {
    at: [f64; 2],
    /// The way the first is pressed.
    along: Vector,
    alone: Equilibrium,
}

impl TipContact {
    fn loads(&self, force: f64) -> [Load; 2] {
        pressing(self.at, self.along, force)
    }

    /// How far the two come apart in `state`, mm.
    fn opening(&self, state: &Equilibrium) -> Result<f64, BeamError> {
        let [a, b] = self.at;
        let apart = state.motion(a)?.displacement - state.motion(b)?.displacement;
        Ok(apart.dot(&self.along))
    }
}

fn pressing(at: [f64; 2], along: Vector, force: f64) -> [Load; 2] {
    [Load::force(at[0], along * force), Load::force(at[1], -along * force)]
}

/// Forces with which the pairs press so that none comes nearer; a pair that parts does not press.
fn press(pulled: &Equilibrium, pairs: &[TipContact]) -> Result<Vec<f64>, BeamError> {
    let closing: Vec<f64> =
        pairs.iter().map(|pair| pair.opening(pulled).map(|x| -x)).collect::<Result<_, _>>()?;
    let opened = |row: usize, column: usize| pairs[row].opening(&pairs[column].alone);
    match pairs.len() {
        0 => Ok(Vec::new()),
        1 => Ok(vec![(closing[0] / opened(0, 0)?).max(0.0)]),
        _ => {
            let (a, b, d) = (opened(0, 0)?, opened(0, 1)?, opened(1, 1)?);
            let det = a * d - b * b;
            let both =
                [(d * closing[0] - b * closing[1]) / det, (a * closing[1] - b * closing[0]) / det];
            let one = [(closing[0] / a).max(0.0), (closing[1] / d).max(0.0)];
            Ok(if both[0] >= 0.0 && both[1] >= 0.0 {
                both.to_vec()
            } else if closing[1] - b * one[0] <= 0.0 {
                vec![one[0], 0.0]
            } else {
                vec![0.0, one[1]]
            })
        }
    }
}

/// The neighbours' eight forces for a pull of 1 N along z.
fn loads(curve: &ClosedCurve, seat: &Seat) -> Vec<Load> {
    let length = curve.length();
    let force = 0.25 / seat.touch.push.z * seat.touch.push;
    let mut loads = Vec::with_capacity(8);
    // The four quarters in the order of the curve: each a mirror image of the one before.
    for (quarter, (x, y)) in [(1.0, 1.0), (1.0, -1.0), (-1.0, -1.0), (-1.0, 1.0)].iter().enumerate()
    {
        let mirrored = Vector::new(x * force.x, y * force.y, force.z);
        let round = |fraction: f64| {
            let fraction = if quarter % 2 == 0 {
                0.25 * quarter as f64 + fraction
            } else {
                0.25 * (quarter + 1) as f64 - fraction
            };
            length * fraction
        };
        loads.push(Load::force(round(seat.touch.lobe), mirrored));
        loads.push(Load::force(round(seat.touch.waist), -mirrored));
    }
    loads
}
