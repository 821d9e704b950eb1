//! The metals we know, as data: annealed wire or the nearest thing published.
//!
//! To add one: a function here, a line in [`known_metals`], and nothing else. `Published`
//! means that the likely value stands in the source named, in a stored copy looked up for
//! our list of check values; where a source gives one number, the ends of the band are our
//! own allowance for make, grain and anneal. `Memory` means that no source was found: strength of
//! the golds and of annealed fine silver and fine gold, where they are annealed, and the melting range
//! of 14 karat gold were looked for on 2026-11-29 in stored copies of suppliers' and textbooks' pages
//! without a value that names its state.

use super::record::{Annealing, Hardening, Heat, Metal, MetalRecord, Quantity, ValueBasis};
use std::sync::LazyLock;

/// The day these values were taken over from the sources, or from the list of check values.
const READ: &str = "2026-11-25";

const CALLISTER_STRENGTH: &str = "Callister, Materials Science and Engineering, 7th ed., Table B.4";
const STERLING_SHEET: &str = "ESPI Metals, technical data, Silver - Sterling (solidus and \
     liquidus exchanged there)";
const SILVER_SHEET: &str = "metals handbook chapter Silver Ag: E 76 GPa, annealed tensile 140 MPa";
const COPPER_SHEET: &str = "supplier datasheets, C10200 and C10800, temper OS050";
const BRASS_SHEET: &str = "supplier datasheets, C26000 annealed";
const BRONZE_SHEET: &str = "supplier datasheets, C51000, temper OS050";
const NIOBIUM_SHEET: &str = "supplier datasheets, niobium, annealed";
const TITANIUM_SHEET: &str = "supplier datasheets, titanium grade 1";
const ALUMINIUM_SHEET: &str = "supplier datasheets, 1100-O";
const GERMANIUM_SHEET: &str = "jewelryscience.com, An introduction to silver alloys: \
     germanium-bearing 930, and a maker's sheet for 935";
const KALPAKJIAN: &str = "Kalpakjian & Schmid, Manufacturing Engineering and Technology, Table 2.3";
const CALLISTER_HARDENING: &str = "Callister, Fundamentals, 2nd ed., p. 199, as quoted in an \
     encyclopedia; Kalpakjian's 315 and 0.54 would put the tensile strength at 132 MPa";
const SILVER_ELASTIC: &str = "AZoM, Silver (article 9282)";
const TITANIUM_GRADE_1: &str = "ASM MatWeb MTU011, Titanium Grade 1, annealed 2 h at 700";
const GERMANIUM_CARD: &str = "ForMatter materials card Argentium Silver 935, which names the maker's \
     technical data";
/// Elements: gold 79 GPa and 0.44, silver 76 to 83 GPa and 0.37, copper 117 to 130 GPa and 0.34
/// (WebElements and CRC, as "Elastic properties of the elements" has them; the sources of the metals
/// below). Alloys: sterling 8.7 % copper by volume; 14 karat (58.5 gold, 25 silver, 16.5 copper) 42 %
/// gold and 33 % silver by volume; 18 karat (75, 12.5, 12.5) 60 % and 18 %.
const ELASTIC_MIXTURE: &str = "rule of mixtures by volume from the elements' values";
const MIXTURE: &str = "inverse rule of mixtures on the usual recipe";
const GOLD_POINT: &str = "ITS-90, freezing point of gold: 1064.18";
const MEMORY: &str = "from memory; no published value found";

// Called, not copied: a table is no place to be fast.
#[inline(never)]
fn published(low: f64, likely: f64, high: f64, source: &str) -> Quantity {
    Quantity {
        low,
        likely,
        high,
        standing: ValueBasis::Published,
        source: source.to_owned(),
        read: READ.to_owned(),
    }
}

#[inline(never)]
fn remembered(low: f64, likely: f64, high: f64) -> Quantity {
    Quantity { standing: ValueBasis::Memory, ..published(low, likely, high, MEMORY) }
}

#[inline(never)]
fn derived(low: f64, likely: f64, high: f64, source: &str) -> Quantity {
    Quantity { standing: ValueBasis::Derived, ..published(low, likely, high, source) }
}

#[inline(never)]
fn hollomon(strength_mpa: f64, exponent: f64, standing: ValueBasis, source: &str) -> Hardening {
    Hardening { strength_mpa, exponent, standing, source: source.to_owned(), read: READ.to_owned() }
}

#[inline(never)]
fn anneal(celsius: Quantity, heat: Heat, method: &str) -> Annealing {
    Annealing { celsius, heat, method: method.to_owned() }
}

/// Every metal of the table, in the order a maker would look for them.
///
/// # Panics
/// Never: each record passes its own checks (`tests/metal.rs`).
pub fn known_metals() -> Vec<Metal> {
    TABLE.clone()
}

/// Made once: every candidate of a search asks for its metal.
static TABLE: LazyLock<Vec<Metal>> = LazyLock::new(|| {
    [
        fine_silver(),
        sterling_silver(),
        tarnish_resistant_silver(),
        copper(),
        brass(),
        bronze(),
        fine_gold(),
        yellow_gold_14k(),
        yellow_gold_18k(),
        niobium(),
        titanium(),
        aluminium(),
    ]
    .into_iter()
    .map(|record| Metal::new(record).expect("the table is checked by its test"))
    .collect()
});

/// The metal of the table with this id.
///
/// # Examples
/// ```
/// use linkfold::mechanics::material::known_metal;
/// let silver = known_metal("fine-silver").unwrap();
/// assert!((1e3 * silver.density() - 10.49).abs() < 0.02); // g/cm³
/// assert!(known_metal("unobtainium").is_none());
/// ```
pub fn known_metal(id: &str) -> Option<Metal> {
    TABLE.iter().find(|metal| metal.id() == id).cloned()
}

fn fine_silver() -> MetalRecord {
    MetalRecord {
        id: "fine-silver".into(),
        name: "Fine silver 999".into(),
        density_g_per_cm3: published(10.49, 10.49, 10.50, SILVER_SHEET),
        youngs_modulus_mpa: published(71e3, 76e3, 83e3, SILVER_SHEET),
        poisson_ratio: published(0.36, 0.37, 0.38, SILVER_ELASTIC),
        yield_mpa: remembered(35.0, 55.0, 70.0),
        tensile_mpa: published(140.0, 155.0, 170.0, CALLISTER_STRENGTH),
        elongation: published(0.40, 0.44, 0.50, CALLISTER_STRENGTH),
        hardening: None,
        solidus_celsius: published(960.8, 961.8, 961.9, SILVER_SHEET),
        liquidus_celsius: published(960.8, 961.8, 961.9, SILVER_SHEET),
        annealing: anneal(
            remembered(300.0, 500.0, 650.0),
            Heat::TorchOrKiln,
            "No flux needed. Heat until it looks frosty, well below any glow; quench or cool.",
        ),
    }
}

fn sterling_silver() -> MetalRecord {
    MetalRecord {
        id: "sterling-silver".into(),
        name: "Sterling silver 925 (copper)".into(),
        density_g_per_cm3: published(10.31, 10.36, 10.40, STERLING_SHEET),
        youngs_modulus_mpa: derived(75e3, 83e3, 88e3, ELASTIC_MIXTURE),
        poisson_ratio: derived(0.36, 0.37, 0.38, ELASTIC_MIXTURE),
        yield_mpa: published(110.0, 124.0, 150.0, STERLING_SHEET),
        tensile_mpa: published(207.0, 283.0, 290.0, STERLING_SHEET),
        elongation: published(0.40, 0.41, 0.41, STERLING_SHEET),
        hardening: None,
        solidus_celsius: published(779.0, 788.0, 802.0, STERLING_SHEET),
        liquidus_celsius: published(891.0, 891.0, 899.0, STERLING_SHEET),
        annealing: anneal(
            published(590.0, 640.0, 730.0, "supplier annealing notes: torch 600-650, kiln 730"),
            Heat::TorchOrKiln,
            "Flux against firestain. Faint dull red in shade, then quench. Kiln: 30 min at 730.",
        ),
    }
}

fn tarnish_resistant_silver() -> MetalRecord {
    MetalRecord {
        id: "tarnish-resistant-silver".into(),
        name: "Tarnish-resistant silver (germanium, 930 to 935)".into(),
        density_g_per_cm3: derived(10.20, 10.28, 10.36, MIXTURE),
        youngs_modulus_mpa: derived(75e3, 83e3, 88e3, ELASTIC_MIXTURE),
        poisson_ratio: derived(0.36, 0.37, 0.38, ELASTIC_MIXTURE),
        yield_mpa: published(60.0, 115.0, 124.0, GERMANIUM_CARD),
        tensile_mpa: published(200.0, 215.0, 290.0, GERMANIUM_CARD),
        elongation: published(0.40, 0.50, 0.50, GERMANIUM_SHEET),
        hardening: None,
        solidus_celsius: published(766.0, 766.0, 803.0, GERMANIUM_SHEET),
        liquidus_celsius: published(877.0, 877.0, 903.0, GERMANIUM_SHEET),
        annealing: anneal(
            published(
                540.0,
                565.0,
                650.0,
                "Hauser & Miller, Argentium: 565 for 30 min; Hoover & Strong: 620 to 650",
            ),
            Heat::TorchOrKiln,
            "Heat until it looks frosty. Let all colour go before quenching: it is weak when hot.",
        ),
    }
}

fn copper() -> MetalRecord {
    MetalRecord {
        id: "copper".into(),
        name: "Copper".into(),
        density_g_per_cm3: published(8.93, 8.94, 8.96, COPPER_SHEET),
        youngs_modulus_mpa: published(115e3, 117e3, 120e3, COPPER_SHEET),
        poisson_ratio: published(0.33, 0.34, 0.35, COPPER_SHEET),
        yield_mpa: published(60.0, 75.0, 90.0, COPPER_SHEET),
        tensile_mpa: published(210.0, 220.0, 235.0, COPPER_SHEET),
        elongation: published(0.45, 0.48, 0.50, COPPER_SHEET),
        hardening: Some(hollomon(530.0, 0.44, ValueBasis::Published, CALLISTER_HARDENING)),
        solidus_celsius: published(1083.0, 1083.0, 1085.0, COPPER_SHEET),
        liquidus_celsius: published(1083.0, 1083.0, 1085.0, COPPER_SHEET),
        annealing: anneal(
            published(375.0, 500.0, 650.0, COPPER_SHEET),
            Heat::TorchOrKiln,
            "Dull red in shade, then quench in water; the black scale comes off in the pickle.",
        ),
    }
}

fn brass() -> MetalRecord {
    MetalRecord {
        id: "brass-c260".into(),
        name: "Brass 70/30 (C26000)".into(),
        density_g_per_cm3: published(8.50, 8.53, 8.55, BRASS_SHEET),
        youngs_modulus_mpa: published(105e3, 110e3, 112e3, BRASS_SHEET),
        poisson_ratio: published(0.33, 0.34, 0.35, BRASS_SHEET),
        yield_mpa: published(90.0, 145.0, 160.0, BRASS_SHEET),
        tensile_mpa: published(310.0, 365.0, 420.0, BRASS_SHEET),
        elongation: published(0.48, 0.53, 0.66, BRASS_SHEET),
        hardening: Some(hollomon(900.0, 0.49, ValueBasis::Published, KALPAKJIAN)),
        solidus_celsius: published(910.0, 916.0, 920.0, BRASS_SHEET),
        liquidus_celsius: published(950.0, 954.0, 955.0, BRASS_SHEET),
        annealing: anneal(
            published(
                425.0,
                565.0,
                760.0,
                "Copper Development Association, CuZn30 (quoted): 450 to 680; likely the middle",
            ),
            Heat::TorchOrKiln,
            "Dull red in shade; let the red go before quenching. Ventilate: zinc fumes.",
        ),
    }
}

fn bronze() -> MetalRecord {
    MetalRecord {
        id: "bronze".into(),
        name: "Phosphor bronze, 5 % tin (C51000)".into(),
        density_g_per_cm3: published(8.83, 8.86, 8.88, BRONZE_SHEET),
        youngs_modulus_mpa: published(107e3, 110e3, 112e3, BRONZE_SHEET),
        poisson_ratio: published(0.33, 0.34, 0.35, BRONZE_SHEET),
        yield_mpa: published(120.0, 130.0, 150.0, BRONZE_SHEET),
        tensile_mpa: published(315.0, 325.0, 345.0, BRONZE_SHEET),
        elongation: published(0.55, 0.64, 0.66, BRONZE_SHEET),
        hardening: None,
        solidus_celsius: published(950.0, 960.0, 975.0, BRONZE_SHEET),
        liquidus_celsius: published(1045.0, 1050.0, 1060.0, BRONZE_SHEET),
        annealing: anneal(
            published(
                475.0,
                580.0,
                677.0,
                "AZoM, C51000 (article 6415): 482 to 677; likely the middle",
            ),
            Heat::TorchOrKiln,
            "Dull red in shade; let it cool in air until black, then quench.",
        ),
    }
}

fn fine_gold() -> MetalRecord {
    MetalRecord {
        id: "fine-gold".into(),
        name: "Fine gold 999".into(),
        density_g_per_cm3: published(19.30, 19.32, 19.32, CALLISTER_STRENGTH),
        youngs_modulus_mpa: published(77e3, 79e3, 80e3, "Total Materia, Gold and gold alloys"),
        poisson_ratio: published(0.42, 0.44, 0.44, "WebElements, Gold: physical properties"),
        // Callister prints no yield at all ("nil") for annealed gold.
        yield_mpa: remembered(5.0, 20.0, 40.0),
        tensile_mpa: published(110.0, 130.0, 140.0, CALLISTER_STRENGTH),
        elongation: published(0.40, 0.45, 0.50, CALLISTER_STRENGTH),
        hardening: None,
        solidus_celsius: published(1063.0, 1064.2, 1064.4, GOLD_POINT),
        liquidus_celsius: published(1063.0, 1064.2, 1064.4, GOLD_POINT),
        annealing: anneal(
            remembered(200.0, 300.0, 700.0),
            Heat::TorchOrKiln,
            "Seldom needed. No flux; a short, gentle heat.",
        ),
    }
}

fn yellow_gold_14k() -> MetalRecord {
    MetalRecord {
        id: "yellow-gold-14k".into(),
        name: "14 karat yellow gold (585)".into(),
        density_g_per_cm3: derived(13.0, 13.1, 13.9, MIXTURE),
        youngs_modulus_mpa: derived(85e3, 93e3, 100e3, ELASTIC_MIXTURE),
        poisson_ratio: derived(0.36, 0.39, 0.42, ELASTIC_MIXTURE),
        yield_mpa: remembered(180.0, 270.0, 360.0),
        tensile_mpa: remembered(400.0, 480.0, 560.0),
        elongation: remembered(0.30, 0.38, 0.45),
        hardening: None,
        solidus_celsius: remembered(800.0, 830.0, 870.0),
        liquidus_celsius: remembered(850.0, 870.0, 900.0),
        annealing: anneal(
            published(600.0, 677.0, 700.0, "supplier annealing notes: 677, 10 min, quench"),
            Heat::TorchOrKiln,
            "Flux. Dull red in shade, let the red go, then quench: slow cooling hardens it.",
        ),
    }
}

fn yellow_gold_18k() -> MetalRecord {
    MetalRecord {
        id: "yellow-gold-18k".into(),
        name: "18 karat yellow gold (750)".into(),
        density_g_per_cm3: derived(15.2, 15.46, 15.6, MIXTURE),
        youngs_modulus_mpa: derived(80e3, 90e3, 98e3, ELASTIC_MIXTURE),
        poisson_ratio: derived(0.37, 0.40, 0.42, ELASTIC_MIXTURE),
        yield_mpa: remembered(200.0, 290.0, 360.0),
        tensile_mpa: remembered(420.0, 510.0, 550.0),
        elongation: remembered(0.30, 0.40, 0.45),
        hardening: None,
        solidus_celsius: published(880.0, 895.0, 900.0, "timezone.com, Gold: alloys and colors"),
        liquidus_celsius: published(920.0, 930.0, 940.0, "timezone.com, Gold: alloys and colors"),
        annealing: anneal(
            published(550.0, 677.0, 700.0, "supplier annealing notes: 677, 10 min, quench"),
            Heat::TorchOrKiln,
            "Flux. Dull red in shade, then quench in water at once: slow cooling hardens it.",
        ),
    }
}

fn niobium() -> MetalRecord {
    MetalRecord {
        id: "niobium".into(),
        name: "Niobium".into(),
        density_g_per_cm3: published(8.57, 8.57, 8.58, NIOBIUM_SHEET),
        youngs_modulus_mpa: published(103e3, 103e3, 105e3, NIOBIUM_SHEET),
        poisson_ratio: published(0.38, 0.38, 0.40, NIOBIUM_SHEET),
        yield_mpa: published(75.0, 105.0, 125.0, NIOBIUM_SHEET),
        tensile_mpa: published(170.0, 195.0, 230.0, NIOBIUM_SHEET),
        elongation: published(0.25, 0.30, 0.40, NIOBIUM_SHEET),
        hardening: Some(hollomon(
            349.0,
            0.24,
            ValueBasis::Derived,
            "n from a supplier datasheet; K = tensile strength times (e/n) to the n",
        )),
        solidus_celsius: published(2468.0, 2468.0, 2477.0, NIOBIUM_SHEET),
        liquidus_celsius: published(2468.0, 2468.0, 2477.0, NIOBIUM_SHEET),
        annealing: anneal(
            published(800.0, 1000.0, 1100.0, NIOBIUM_SHEET),
            Heat::VacuumOrInert,
            "Vacuum only; not a bench anneal. Plan the links so that it is not needed.",
        ),
    }
}

fn titanium() -> MetalRecord {
    MetalRecord {
        id: "titanium".into(),
        name: "Titanium, grade 1".into(),
        density_g_per_cm3: published(4.50, 4.51, 4.51, TITANIUM_SHEET),
        youngs_modulus_mpa: published(100e3, 103e3, 105e3, TITANIUM_SHEET),
        poisson_ratio: published(0.34, 0.36, 0.37, TITANIUM_SHEET),
        // The low ends are the least that the standard takes (Callister).
        yield_mpa: published(170.0, 240.0, 310.0, TITANIUM_GRADE_1),
        tensile_mpa: published(240.0, 330.0, 410.0, TITANIUM_GRADE_1),
        elongation: published(0.24, 0.24, 0.35, CALLISTER_STRENGTH),
        hardening: None,
        solidus_celsius: published(1660.0, 1670.0, 1670.0, TITANIUM_SHEET),
        liquidus_celsius: published(1660.0, 1670.0, 1670.0, TITANIUM_SHEET),
        annealing: anneal(
            published(540.0, 700.0, 760.0, TITANIUM_GRADE_1),
            Heat::VacuumOrInert,
            "Vacuum or argon only; heated in air it takes up oxygen and turns brittle.",
        ),
    }
}

fn aluminium() -> MetalRecord {
    MetalRecord {
        id: "aluminium".into(),
        name: "Aluminium 1100".into(),
        density_g_per_cm3: published(2.70, 2.71, 2.71, ALUMINIUM_SHEET),
        youngs_modulus_mpa: published(68e3, 69e3, 70e3, ALUMINIUM_SHEET),
        poisson_ratio: published(0.33, 0.33, 0.34, ALUMINIUM_SHEET),
        yield_mpa: published(24.0, 28.0, 35.0, ALUMINIUM_SHEET),
        tensile_mpa: published(76.0, 86.0, 110.0, ALUMINIUM_SHEET),
        elongation: published(0.28, 0.32, 0.35, ALUMINIUM_SHEET),
        hardening: Some(hollomon(180.0, 0.20, ValueBasis::Published, KALPAKJIAN)),
        solidus_celsius: published(640.0, 640.0, 643.0, ALUMINIUM_SHEET),
        liquidus_celsius: published(655.0, 657.0, 660.0, ALUMINIUM_SHEET),
        annealing: anneal(
            remembered(330.0, 345.0, 415.0),
            Heat::TorchOrKiln,
            "It does not glow before it melts: use a kiln, or a temperature crayon.",
        ),
    }
}
