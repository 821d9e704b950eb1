//! What trial links show of the hand: springback mandrel by mandrel, how far off, how uneven.
//!
//! Springback of a mandrel with trials is their mean. For a mandrel without, it is carried over:
//! wire bent far past its yield gives back the same curvature, `M_p/EI`, whatever the mandrel, so
//! `2/(M + d) − 2/(M + s + d)` is fitted by one number, least squares weighted by what an error
//! in `s` means there. Spread is pooled: squares about each size's own mean, over their number
//! less the number of means. Intervals by Student's t and the chi-square.
//! Evidence: `tests/trials.rs`.

use crate::documents::design::{Design, Mean, PlanChoice, Shapes, springback_shown, t_95};
use crate::geometry::link::Forming;
use crate::mechanics::forming::Jaws;
use crate::mechanics::material::Band;
use statrs::distribution::{ChiSquared, ContinuousCDF};

/// A dimension that a maker measures on a trial link.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum HandDimension {
    /// Inside diameter of the soldered ring.
    Ring,
    /// Inside length of the oval.
    Oval,
    /// Bore of the lobes.
    Bore,
    /// Clear gap between the legs at the fold.
    Fold,
}

impl HandDimension {
    /// In the order of the work.
    pub const ALL: [HandDimension; 4] =
        [HandDimension::Ring, HandDimension::Oval, HandDimension::Bore, HandDimension::Fold];

    fn of(self, forming: &Forming) -> f64 {
        match self {
            HandDimension::Ring => forming.ring.inside_diameter(),
            HandDimension::Oval => forming.oval.inside_length(),
            HandDimension::Bore => forming.eight.bore(),
            HandDimension::Fold => forming.fold.leg_gap(),
        }
    }
}

/// One measure of one trial, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HandMeasure {
    /// Which trial of the design, from 0.
    pub trial: usize,
    /// Which size it is of.
    pub size: usize,
    /// What was measured.
    pub dimension: HandDimension,
    /// What it should be: the ring by the design alone, as if there were no trials; the rest for
    /// the ring that the trials show.
    pub predicted: f64,
    /// What it is.
    pub measured: f64,
}

/// Springback of one size, mm in inside diameter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Springback {
    /// What its own trials show; used where there are any.
    pub shown: Option<Mean>,
    /// What the trials of other mandrels would have it be, and within what: to compare, not used.
    pub carried: Option<(f64, Option<f64>)>,
}

/// How far the rings of a size grow when they are stretched taut, as its trial ovals show.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RingGrowth {
    /// Share of the centreline.
    pub share: f64,
    /// Known to within this, either way, 95 times in 100; none for one oval alone.
    pub within: Option<f64>,
    /// Ovals measured.
    pub count: usize,
}

/// How uneven the hand is in one dimension.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// The dimension measured.
    pub dimension: HandDimension,
    /// Standard deviation in use, mm.
    pub spread: f64,
    /// Whether trials say so; else it is the plan's own.
    pub fitted: bool,
    /// Degrees of freedom of the trials.
    pub freedom: usize,
    /// Between these the trials put it 95 times in 100.
    pub between: Option<[f64; 2]>,
    /// Measured less predicted, all sizes together.
    pub off: Option<Mean>,
}

impl Spread {
    /// What is certain of how far off the hand is on the whole, mm: nothing unless the trials
    /// tell it from none.
    pub fn certainly_off(&self) -> f64 {
        self.off
            .filter(|off| off.within.is_some_and(|within| off.mean.abs() > within))
            .map_or(0.0, |off| off.mean)
    }
}

/// With fewer degrees of freedom the true spread may be more than four times that of the trials.
const FEWEST_FREEDOM: usize = 3;

/// What is known of a maker's hand.
#[derive(Clone, Debug, PartialEq)]
pub struct Hand {
    /// Every measure that has a size.
    pub measured: Vec<HandMeasure>,
    /// Size by size.
    pub springback: Vec<Springback>,
    /// Size by size; none where no oval that was drawn taut is longer than one without growth.
    pub growth: Vec<Option<RingGrowth>>,
    /// In the order of [`HandDimension::ALL`].
    pub spreads: [Spread; 4],
    /// Trials that could be joined, and that could not.
    pub joined: [usize; 2],
    /// Trials of no size of the design.
    pub strangers: usize,
}

impl Hand {
    /// Of the trials of `design`, whose sizes are worked to `formings`.
    pub fn of(design: &Design, formings: &[Forming], choice: &PlanChoice) -> Hand {
        let bare = (!design.trials.is_empty())
            .then(|| Design { trials: Vec::new(), ..design.clone() }.formings().ok())
            .flatten();
        let bare = bare.as_deref().unwrap_or(formings);
        let settings = || formings.iter().map(|forming| &forming.setting);
        let mut measured = Vec::new();
        let mut strangers = 0;
        for (index, trial) in design.trials.iter().enumerate() {
            let mut sizes = settings();
            let Some(size) = sizes.position(|s| trial.is_of(s.mandrel, s.wire)) else {
                strangers += 1;
                continue;
            };
            for dimension in HandDimension::ALL {
                let (value, by) = match dimension {
                    HandDimension::Ring => (trial.ring_inside_mm, &bare[size]),
                    HandDimension::Oval => (trial.oval_length_mm, &formings[size]),
                    HandDimension::Bore => (trial.bore_mm, &formings[size]),
                    HandDimension::Fold => (trial.fold_gap_mm, &formings[size]),
                };
                measured.extend(value.map(|value| HandMeasure {
                    trial: index,
                    size,
                    dimension,
                    predicted: dimension.of(by),
                    measured: value,
                }));
            }
        }
        let carried = Carried::of(design, formings);
        let springback = settings().map(|s| Springback {
            shown: springback_shown(&design.trials, s.mandrel, s.wire, design.kerf_mm),
            carried: carried.map(|carried| carried.to(s.mandrel + s.wire)),
        });
        let sizes = formings.iter().zip(&design.sizes).enumerate();
        let growth = sizes.map(|(index, (forming, size))| {
            // One that is stretched to a given length shows nothing of it.
            let is_taut = size.oval_length_mm.is_none();
            is_taut.then(|| growth(design, forming, index, &measured)).flatten()
        });
        let growth = growth.collect();
        let joined = |yes| design.trials.iter().filter(|t| t.joined == Some(yes)).count();
        let [ring, oval, bore, fold] = HandDimension::ALL.map(|dimension| {
            let own = match dimension {
                HandDimension::Ring => choice.spread_ring_mm,
                HandDimension::Oval | HandDimension::Bore => choice.spread_bore_mm,
                HandDimension::Fold => choice.spread_fold_mm,
            };
            spread(dimension, own, &measured)
        });
        Hand {
            springback: springback.collect(),
            growth,
            spreads: [ring, oval, bore, fold],
            joined: [joined(true), joined(false)],
            strangers,
            measured,
        }
    }

    /// Its spread in one dimension.
    pub fn spread(&self, dimension: HandDimension) -> &Spread {
        &self.spreads[dimension as usize]
    }
}

/// A taut oval has two straight sides: it is longer by half of what its centreline is.
fn growth(
    design: &Design,
    forming: &Forming,
    size: usize,
    measured: &[HandMeasure],
) -> Option<RingGrowth> {
    let ovals = measured.iter().filter(|m| m.size == size && m.dimension == HandDimension::Oval);
    let mut ovals = ovals.map(|oval| oval.measured).peekable();
    ovals.peek()?;
    let left = match design.metal.shapes {
        Shapes::AfterSpringback => None,
        Shapes::AsTheJawsLeaveThem => {
            let flow = design.metal.metal().ok()?.flow_curve(Band::Likely);
            Jaws::for_released(&forming.setting, flow, design.metal.anneals()).ok()
        }
    };
    let left = left.map_or(forming.oval.inside_length(), |jaws| jaws.left_oval_length);
    let longer = Mean::of(&ovals.map(|oval| oval - left).collect::<Vec<f64>>())?;
    let of_centreline = |mm: f64| 2.0 * mm / forming.ring.centreline;
    let is_certain = longer.mean > longer.within.unwrap_or(0.0);
    is_certain.then(|| RingGrowth {
        share: forming.setting.growth + of_centreline(longer.mean),
        within: longer.within.map(of_centreline),
        count: longer.count,
    })
}

fn spread(dimension: HandDimension, own: f64, measured: &[HandMeasure]) -> Spread {
    let here = || measured.iter().filter(move |m| m.dimension == dimension);
    let off: Vec<f64> = here().map(|m| m.measured - m.predicted).collect();
    let sizes = here().map(|m| m.size).max().map_or(0, |most| most + 1);
    let (mut squares, mut freedom) = (0.0, 0);
    for size in 0..sizes {
        let of_size = here().filter(|m| m.size == size).map(|m| m.measured - m.predicted);
        let of_size: Vec<f64> = of_size.collect();
        if let Some(Mean { count, spread: Some(spread), .. }) = Mean::of(&of_size) {
            squares += spread * spread * (count - 1) as f64;
            freedom += count - 1;
        }
    }
    let between = (freedom > 0).then(|| {
        let chi = ChiSquared::new(freedom as f64).expect("at least one degree of freedom");
        [0.975, 0.025].map(|share| (squares / chi.inverse_cdf(share).max(1e-12)).sqrt())
    });
    let fitted = freedom >= FEWEST_FREEDOM;
    let spread = if fitted { (squares / freedom as f64).sqrt() } else { own };
    Spread { dimension, spread, fitted, freedom, between, off: Mean::of(&off) }
}

/// The curvature every mandrel gives back alike, 1/mm.
#[derive(Clone, Copy, Debug)]
struct Carried {
    given_back: f64,
    within: Option<f64>,
}

impl Carried {
    /// From every trial in a wire of the design's that has its ring measured.
    fn of(design: &Design, formings: &[Forming]) -> Option<Carried> {
        let wire = formings.first()?.setting.wire;
        let mut found = Vec::new();
        for trial in &design.trials {
            let Some(springback) = trial.springback(design.kerf_mm) else { continue };
            let own = trial.wire_mm.unwrap_or(wire);
            // Another wire gives back another curvature.
            if (own - wire).abs() > 5e-3 {
                continue;
            }
            let (bent, kept) = (trial.mandrel_mm + own, trial.mandrel_mm + own + springback);
            if kept > 0.0 {
                // An error e in the ring's size is one of 2 e / kept² in curvature.
                found.push((2.0 / bent - 2.0 / kept, kept.powi(4)));
            }
        }
        let sum: f64 = found.iter().map(|(_, weight)| weight).sum();
        if !(sum > 0.0) {
            return None;
        }
        let given_back = found.iter().map(|(given, weight)| given * weight).sum::<f64>() / sum;
        let within = (found.len() > 1).then(|| {
            let freedom = found.len() - 1;
            let squares: f64 =
                found.iter().map(|(given, weight)| weight * (given - given_back).powi(2)).sum();
            (squares / freedom as f64 / sum).sqrt() * t_95(freedom)
        });
        Some(Carried { given_back, within })
    }

    /// Springback of a coil bent to this mean diameter, and within what.
    fn to(&self, bent: f64) -> (f64, Option<f64>) {
        let kept = 1.0 / (1.0 / bent - 0.5 * self.given_back).max(1e-9);
        (kept - bent, self.within.map(|within| 0.5 * kept * kept * within))
    }
}
