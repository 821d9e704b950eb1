//! One metal's record, and the checks it passes before anything is computed from it.

use super::flow::{FlowCurve, hardening_from_tension};

/// What a value rests on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ValueBasis {
    /// The likely value stands in the source named.
    Published,
    /// Computed from other values, as the source says.
    Derived,
    /// Remembered, not looked up; the band is wide to match.
    Memory,
    /// Given by the maker.
    #[default]
    Own,
}

/// A value with its band, its source and the day it was read; its unit is that of the property.
#[derive(Clone, Debug, PartialEq)]
pub struct Quantity {
    /// Least that should surprise nobody.
    pub low: f64,
    /// Best single value.
    pub likely: f64,
    /// Most that should surprise nobody.
    pub high: f64,
    /// What it rests on.
    pub standing: ValueBasis,
    /// Work and place, or how it was derived.
    pub source: String,
    /// When it was read, as `2026-11-25`.
    pub read: String,
}

/// Which end of the bands to compute with.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Band {
    /// Softest metal the record allows.
    Low,
    /// Best single values.
    #[default]
    Likely,
    /// Hardest metal the record allows.
    High,
}

impl Quantity {
    /// The value at one end of the band, or the likely one.
    pub fn at(&self, band: Band) -> f64 {
        match band {
            Band::Low => self.low,
            Band::Likely => self.likely,
            Band::High => self.high,
        }
    }
}

/// Hollomon's constants, σ = K εⁿ in true stress and true strain.
#[derive(Clone, Debug, PartialEq)]
pub struct Hardening {
    /// K, MPa.
    pub strength_mpa: f64,
    /// n.
    pub exponent: f64,
    /// What they rest on.
    pub standing: ValueBasis,
    /// Work and place, or how they were derived.
    pub source: String,
    /// When they were read.
    pub read: String,
}

/// Where a metal may be heated to anneal it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Heat {
    /// Torch or kiln, in air, with flux if it oxidises.
    TorchOrKiln,
    /// Vacuum or inert gas only: hot, it takes up gas from the air and turns brittle.
    VacuumOrInert,
}

/// How to anneal.
#[derive(Clone, Debug, PartialEq)]
pub struct Annealing {
    /// From where it softens to where it is harmed, °C.
    pub celsius: Quantity,
    /// Where it may be heated.
    pub heat: Heat,
    /// What to do, for the bench.
    pub method: String,
}

/// Everything known of one metal.
#[derive(Clone, Debug, PartialEq)]
pub struct MetalRecord {
    /// Stable name for files: lower-case letters, digits and hyphens, such as `fine-silver`.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Density, g/cm³.
    pub density_g_per_cm3: Quantity,
    /// Young's modulus, MPa.
    pub youngs_modulus_mpa: Quantity,
    /// Poisson's ratio.
    pub poisson_ratio: Quantity,
    /// Yield stress, annealed, MPa (0.2 % proof where there is no sharp yield).
    pub yield_mpa: Quantity,
    /// Tensile strength, annealed, MPa.
    pub tensile_mpa: Quantity,
    /// Elongation at break, annealed, as a share: 0.44 is 44 %.
    pub elongation: Quantity,
    /// Hollomon's constants; left out, they are derived from yield and tensile strength.
    pub hardening: Option<Hardening>,
    /// Where melting begins, °C.
    pub solidus_celsius: Quantity,
    /// Where melting is complete, °C.
    pub liquidus_celsius: Quantity,
    /// How to anneal it.
    pub annealing: Annealing,
}

/// A metal fit to compute with.
///
/// # Invariants
/// Checked once, in [`Metal::new`]: every band is ordered, finite and within what any metal
/// can be; tensile strength is not below yield; solidus is not above liquidus; annealing
/// stays below the solidus; the flow curve exists at each end of the bands.
///
/// # Not guaranteed
/// That the values are true: see each one's standing and source.
#[derive(Clone, Debug, PartialEq)]
pub struct Metal {
    record: MetalRecord,
    hardening: Hardening,
}

/// A property of a [`MetalRecord`] that can be at fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MetalProperty {
    /// Name for files.
    Id,
    /// Density, g/cm³.
    Density,
    /// Young's modulus, MPa.
    YoungsModulus,
    /// Poisson's ratio.
    PoissonRatio,
    /// Yield stress, MPa.
    Yield,
    /// Tensile strength, MPa.
    Tensile,
    /// Elongation at break, as a fraction.
    Elongation,
    /// Where melting begins, °C.
    Solidus,
    /// Where melting is complete, °C.
    Liquidus,
    /// Annealing temperature, °C.
    AnnealingTemperature,
    /// Hollomon's K, MPa.
    HardeningStrength,
    /// Hollomon's n.
    HardeningExponent,
}

/// Why a record is not a [`Metal`].
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum MetalError {
    /// The id cannot stand in a file.
    #[error("id {id:?} is not 1 to 40 lower-case letters, digits and hyphens")]
    Id {
        /// What was given.
        id: String,
    },
    /// Low, likely and high are not in order.
    #[error("{property:?}: low {low}, likely {likely}, high {high} are not in order")]
    Band {
        /// Which property.
        property: MetalProperty,
        /// The low end given.
        low: f64,
        /// The likely value given.
        likely: f64,
        /// The high end given.
        high: f64,
    },
    /// A value no metal has.
    #[error("{property:?} {value} lies outside {least} to {most}")]
    OutOfRange {
        /// Which property.
        property: MetalProperty,
        /// The value given.
        value: f64,
        /// Least accepted.
        least: f64,
        /// Most accepted.
        most: f64,
    },
    /// Two values contradict each other.
    #[error("{lesser:?} {value} is above {share} of {greater:?}, {limit}")]
    Disordered {
        /// The property that should be less.
        lesser: MetalProperty,
        /// Its value.
        value: f64,
        /// The property that should be greater.
        greater: MetalProperty,
        /// The share of it that is the limit.
        share: f64,
        /// That limit.
        limit: f64,
    },
}

impl MetalError {
    /// The property at fault.
    pub fn property(&self) -> MetalProperty {
        match self {
            MetalError::Id { .. } => MetalProperty::Id,
            MetalError::Band { property, .. } | MetalError::OutOfRange { property, .. } => {
                *property
            }
            MetalError::Disordered { lesser, .. } => *lesser,
        }
    }
}

/// Least and most any metal that could be chain has, with some to spare at both ends.
const LIMITS: [(MetalProperty, f64, f64); 9] = [
    (MetalProperty::Density, 0.5, 25.0),
    (MetalProperty::YoungsModulus, 1e3, 1e6),
    (MetalProperty::PoissonRatio, 0.0, 0.499),
    (MetalProperty::Yield, 0.1, 5e3),
    (MetalProperty::Tensile, 1.0, 5e3),
    (MetalProperty::Elongation, 0.001, 3.0),
    (MetalProperty::Solidus, 100.0, 4e3),
    (MetalProperty::Liquidus, 100.0, 4e3),
    (MetalProperty::AnnealingTemperature, 50.0, 4e3),
];

impl MetalRecord {
    /// The quantities in the order of [`LIMITS`].
    fn quantities(&self) -> [&Quantity; 9] {
        [
            &self.density_g_per_cm3,
            &self.youngs_modulus_mpa,
            &self.poisson_ratio,
            &self.yield_mpa,
            &self.tensile_mpa,
            &self.elongation,
            &self.solidus_celsius,
            &self.liquidus_celsius,
            &self.annealing.celsius,
        ]
    }
}

impl Metal {
    /// Checks a record.
    ///
    /// # Errors
    /// [`MetalError`] naming the field at fault.
    pub fn new(record: MetalRecord) -> Result<Metal, MetalError> {
        let fits = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        if record.id.is_empty() || record.id.len() > 40 || !record.id.chars().all(fits) {
            return Err(MetalError::Id { id: record.id.chars().take(40).collect() });
        }
        for (q, (property, least, most)) in record.quantities().into_iter().zip(LIMITS) {
            if !(q.low <= q.likely && q.likely <= q.high) {
                let (low, likely, high) = (q.low, q.likely, q.high);
                return Err(MetalError::Band { property, low, likely, high });
            }
            for value in [q.low, q.high] {
                in_range(property, value, least, most)?;
            }
        }
        for band in [Band::Low, Band::Likely, Band::High] {
            let (yields, breaks) = (record.yield_mpa.at(band), record.tensile_mpa.at(band));
            ordered(MetalProperty::Yield, yields, MetalProperty::Tensile, (1.0, breaks))?;
        }
        let (solid, liquid) = (record.solidus_celsius.likely, record.liquidus_celsius.likely);
        ordered(MetalProperty::Solidus, solid, MetalProperty::Liquidus, (1.0, liquid))?;
        ordered(
            MetalProperty::AnnealingTemperature,
            record.annealing.celsius.high,
            MetalProperty::Solidus,
            (1.0, solid),
        )?;
        let hardening = match &record.hardening {
            Some(given) => {
                in_range(MetalProperty::HardeningStrength, given.strength_mpa, 0.0, 1e4)?;
                in_range(MetalProperty::HardeningExponent, given.exponent, 0.0, 0.95)?;
                given.clone()
            }
            None => derived_hardening(&record),
        };
        // So that every flow curve exists: elastic limits far below E.
        let least_stiff = record.youngs_modulus_mpa.low;
        let yields = record.yield_mpa.high;
        ordered(MetalProperty::Yield, yields, MetalProperty::YoungsModulus, (0.1, least_stiff))?;
        let hardest = hardening.strength_mpa * record.tensile_mpa.high / record.tensile_mpa.likely;
        ordered(
            MetalProperty::HardeningStrength,
            hardest,
            MetalProperty::YoungsModulus,
            (0.5, least_stiff),
        )?;
        Ok(Metal { record, hardening })
    }

    /// The record it was made from.
    pub fn record(&self) -> &MetalRecord {
        &self.record
    }

    /// Stable name for files.
    pub fn id(&self) -> &str {
        &self.record.id
    }

    /// Name for people.
    pub fn name(&self) -> &str {
        &self.record.name
    }

    /// Density in g/mm³.
    pub fn density(&self) -> f64 {
        self.record.density_g_per_cm3.likely / 1e3
    }

    /// E, MPa.
    pub fn youngs_modulus(&self) -> f64 {
        self.record.youngs_modulus_mpa.likely
    }

    /// Poisson's ratio.
    pub fn poisson_ratio(&self) -> f64 {
        self.record.poisson_ratio.likely
    }

    /// Annealed yield stress, MPa.
    pub fn yield_stress(&self, band: Band) -> f64 {
        self.record.yield_mpa.at(band)
    }

    /// Hollomon's constants, given or derived; the standing says which.
    pub fn hardening(&self) -> &Hardening {
        &self.hardening
    }

    /// Stress against strain for the softest, likely or hardest metal of the record: K moves
    /// with the tensile strength, n and E stay.
    ///
    /// # Panics
    /// Never: [`Metal::new`] holds every stress far below E.
    pub fn flow_curve(&self, band: Band) -> FlowCurve {
        let fraction = self.record.tensile_mpa.at(band) / self.record.tensile_mpa.likely;
        FlowCurve::new(
            self.youngs_modulus(),
            self.yield_stress(band),
            self.hardening.strength_mpa * fraction,
            self.hardening.exponent,
        )
        .expect("Metal::new holds yield and K far below E")
    }

    /// True strain of the outermost fibre, added up over bends of either sign, that annealed
    /// wire takes before it should be annealed again: ln(1 + elongation).
    ///
    /// Errs low: a tensile bar's elongation averages over its whole length, and a bent wire
    /// does not neck. `Band::Low` is the careful choice.
    pub fn strain_allowance(&self, band: Band) -> f64 {
        self.record.elongation.at(band).ln_1p()
    }
}

fn in_range(property: MetalProperty, value: f64, least: f64, most: f64) -> Result<(), MetalError> {
    let fits = value >= least && value <= most;
    fits.then_some(()).ok_or(MetalError::OutOfRange { property, value, least, most })
}

/// `value` at most `share` of `whole`.
fn ordered(
    lesser: MetalProperty,
    value: f64,
    greater: MetalProperty,
    (share, whole): (f64, f64),
) -> Result<(), MetalError> {
    let limit = share * whole;
    let fits = value <= limit;
    fits.then_some(()).ok_or(MetalError::Disordered { lesser, value, greater, share, limit })
}

/// From the likely yield and tensile strength; no hardening where the two leave none.
fn derived_hardening(record: &MetalRecord) -> Hardening {
    let (strength_mpa, exponent) = hardening_from_tension(
        record.youngs_modulus_mpa.likely,
        record.yield_mpa.likely,
        record.tensile_mpa.likely,
    )
    .unwrap_or((0.0, 0.0));
    Hardening {
        strength_mpa,
        exponent,
        standing: ValueBasis::Derived,
        source: "0.2 % proof point and Considère's criterion at the tensile strength".to_owned(),
        read: record.tensile_mpa.read.clone(),
    }
}
