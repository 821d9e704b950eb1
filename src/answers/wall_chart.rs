//! The chart for the wall: for every gauge of wire the smallest mandrel whose links join in a weave,
//! and the smallest on which they join with ease, with the usual tools; and from which ratio on any
//! jaws join it.
//!
//! Model: whether links join hangs on the ratio of ring inside to wire alone where every tool is in
//! proportion, so the ratio is searched once a weave; what a row says is proven on its own mandrel.
//! Limits: rows are of the usual tools; a ratio below the one found was not found to pass, which proves nothing.
//! Evidence: the tests below; the ratios of `tests/weaves.rs`.

use super::report::{JoinAnswer, Steps, all_joins, least_mandrels};
use crate::documents::design::{Design, WeaveChoice, WireChoice};
use crate::documents::gauge::{Gauge, GaugeSystem};
use crate::documents::units::LengthUnit;
use crate::geometry::link::{Forming, ToolDimension};
use crate::motion::chain::{Body, seated};
use serde::Serialize;

/// Gauges on the chart: what jewellers weave (common practice, no source).
pub const GAUGES: std::ops::RangeInclusive<i32> = 10..=26;
/// The weaves on it.
pub const WEAVES: [WeaveChoice; 6] = [
    WeaveChoice::Single,
    WeaveChoice::Double,
    WeaveChoice::TwoWaySingle,
    WeaveChoice::TwoWayDouble,
    WeaveChoice::ThreeWaySingle,
    WeaveChoice::ThreeWayDouble,
];
/// Clearance with which a link goes in with ease, in wires (common practice, no source).
pub const EASE: f64 = 0.1;
/// Ratios that are tried.
const RATIOS: (f64, f64) = (6.0, 60.0);
/// Wire in which other jaws are looked for, mm: their steps are a hundredth of it and less.
const THICK: f64 = 10.0;
/// How closely the least ratio is searched.
const CLOSE: f64 = 0.02;
/// A mandrel that does not hold what its ratio promised is passed over for the next, so often.
const STEPS_UP: usize = 4;

/// A mandrel, and the link that comes of it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ChartEntry {
    /// The mandrel, mm.
    pub mandrel_mm: f64,
    /// Inside diameter of the soldered ring, mm.
    pub ring_inside_mm: f64,
    /// Wire that a ring takes, on its centreline, mm.
    pub ring_wire_mm: f64,
    /// Clearance proven for the join, mm.
    pub clearance_mm: f64,
    /// Links in 100 mm of chain, pulled straight.
    pub links_per_100_mm: f64,
}

/// A wire.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ChartRow {
    /// Its gauge.
    pub gauge: Gauge,
    /// Its diameter, mm.
    pub wire_mm: f64,
    /// The smallest mandrel whose links join.
    pub joins: Option<ChartEntry>,
    /// The smallest on which they do with [`EASE`].
    pub comfortable: Option<ChartEntry>,
}

/// The smallest ring that was found and proven to join with jaws of whatever size, every length in
/// wires.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LeastRing {
    /// Its inside diameter.
    pub ratio: f64,
    /// Bore of the lobes.
    pub bore: f64,
    /// Jaw folded over.
    pub fold_jaw: f64,
    /// Half the neck.
    pub neck: f64,
    /// Jaws that pinch.
    pub pinch_jaw: f64,
}

/// The rows of one weave.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WallChart {
    /// The weave's name.
    pub weave: &'static str,
    /// The least ratio of ring inside to wire at which a join is proven, to a fiftieth.
    pub least_ratio: Option<f64>,
    /// And that at which it is with [`EASE`].
    pub comfortable_ratio: Option<f64>,
    /// With any jaws.
    pub any_jaws: Option<LeastRing>,
    /// A wire each.
    pub rows: Vec<ChartRow>,
}

impl WallChart {
    /// The chart of `weave` for the gauges of `system` from [`GAUGES`]. Some fifty joins are proven or
    /// refused: half a minute at the most.
    pub fn of(weave: WeaveChoice, system: GaugeSystem) -> WallChart {
        let least = least_ratio(weave, 0.0, RATIOS.0);
        let comfortable = least.and_then(|from| least_ratio(weave, EASE, from));
        let row = |number| {
            let gauge = Gauge { system, number };
            let wire = gauge.diameter().ok()?.get();
            let entry = |ratio: Option<f64>, ease| entry_from(weave, gauge, wire, ratio?, ease);
            Some(ChartRow {
                gauge,
                wire_mm: wire,
                joins: entry(least, 0.0),
                comfortable: entry(comfortable, EASE),
            })
        };
        WallChart {
            weave: weave.weave().name(),
            least_ratio: least,
            comfortable_ratio: comfortable,
            any_jaws: least_ring(weave),
            rows: GAUGES.filter_map(row).collect(),
        }
    }

    /// Every row of `charts` as comma-separated text, a line for each wire and weave.
    pub fn csv(charts: &[WallChart]) -> String {
        let mut text = String::from(
            "weave,gauge,wire_mm,least_mandrel_mm,comfortable_mandrel_mm,ring_inside_mm,ring_wire_mm,links_per_100_mm,least_ratio_any_jaws\n",
        );
        for chart in charts {
            for row in &chart.rows {
                let shown = row.comfortable.or(row.joins);
                let cell = |entry: Option<ChartEntry>, of: fn(ChartEntry) -> f64, places: usize| {
                    entry.map_or(String::new(), |entry| format!("{:.places$}", of(entry)))
                };
                let cells = [
                    chart.weave.to_string(),
                    row.gauge.short(),
                    format!("{:.3}", row.wire_mm),
                    cell(row.joins, |e| e.mandrel_mm, 2),
                    cell(row.comfortable, |e| e.mandrel_mm, 2),
                    cell(shown, |e| e.ring_inside_mm, 2),
                    cell(shown, |e| e.ring_wire_mm, 1),
                    cell(shown, |e| e.links_per_100_mm, 1),
                    chart.any_jaws.map_or(String::new(), |any| format!("{:.2}", any.ratio)),
                ];
                text += &cells.join(",");
                text.push('\n');
            }
        }
        text
    }
}

/// The plain design of a wire and a mandrel in a weave, mm.
fn design(weave: WeaveChoice, wire: WireChoice, mandrel_mm: f64) -> Design {
    let mut design = Design::plain(1.0, mandrel_mm);
    (design.wire, design.weave) = (wire, weave);
    // Every metal opens by a little, which only adds clearance.
    design.sizes.iter_mut().for_each(|size| size.springback_mm = Some(0.0));
    design
}

/// Clearance proven in wires, where a join is.
fn proven(design: &Design) -> Option<(Forming, f64)> {
    let formings = design.formings().ok()?;
    let join = all_joins(design, &formings, LengthUnit::Mm, false).into_iter().next()?;
    let forming = *formings.first()?;
    (join.verdict == JoinAnswer::Passes)
        .then(|| (forming, join.least_clearance_mm / forming.setting.wire))
}

/// The least ratio of ring inside to wire with `ease` wires of clearance, from `low` on.
fn least_ratio(weave: WeaveChoice, ease: f64, low: f64) -> Option<f64> {
    let holds = |ratio: f64| {
        let mut design = design(weave, WireChoice::by_diameter(1.0), ratio);
        // No cut: the mandrel is the ring's inside.
        design.kerf_mm = 0.0;
        proven(&design).is_some_and(|(_, clearance)| clearance >= ease)
    };
    if holds(low) {
        return Some(low);
    }
    let (mut below, mut above) = (low, 1.25 * low);
    while !holds(above) {
        (below, above) = (above, 1.25 * above);
        if above > RATIOS.1 {
            return None;
        }
    }
    while above - below > CLOSE {
        let middle = 0.5 * (below + above);
        if holds(middle) { above = middle } else { below = middle }
    }
    Some(above)
}

/// The smallest ring of `weave` with any jaws.
fn least_ring(weave: WeaveChoice) -> Option<LeastRing> {
    let mut thick = design(weave, WireChoice::by_diameter(THICK), 1.0);
    thick.kerf_mm = 0.0;
    let found = least_mandrels(&thick, LengthUnit::Mm).with_any_jaws?;
    Some(LeastRing {
        ratio: found.mandrel_mm / THICK,
        bore: found.bore_mm / THICK,
        fold_jaw: found.fold_jaw_mm / THICK,
        neck: found.neck_mm / THICK,
        pinch_jaw: found.pinch_jaw_mm / THICK,
    })
}

/// The next mandrel that can be had.
fn next_mandrel(mm: f64) -> f64 {
    let steps = Steps { unit: LengthUnit::Mm, gauge: None };
    steps.settable(ToolDimension::Mandrel, 0.0, mm).unwrap_or(mm)
}

fn entry_from(
    weave: WeaveChoice,
    gauge: Gauge,
    wire: f64,
    ratio: f64,
    ease: f64,
) -> Option<ChartEntry> {
    let plain = design(weave, WireChoice::by_gauge(gauge), ratio * wire);
    let spare = plain.kerf_mm / std::f64::consts::PI;
    let mut mandrel = next_mandrel(ratio * wire + spare);
    for _ in 0..STEPS_UP {
        let tried = design(weave, WireChoice::by_gauge(gauge), mandrel);
        if let Some((forming, clearance)) = proven(&tried)
            && clearance >= ease
        {
            let rest = seated(&Body::of(&forming.fold), weave.weave()).ok()?;
            return Some(ChartEntry {
                mandrel_mm: mandrel,
                ring_inside_mm: forming.ring.inside_diameter(),
                ring_wire_mm: forming.ring.centreline,
                clearance_mm: clearance * wire,
                links_per_100_mm: 100.0 / rest.pulled,
            });
        }
        mandrel = next_mandrel(mandrel + 1e-6);
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of the single weave: each mandrel is the first of its step at which the join is proven, and
    /// a wire twice as thick takes twice the ring.
    #[test]
    fn each_mandrel_is_proven_and_the_one_below_is_not() {
        let chart = WallChart::of(WeaveChoice::Single, GaugeSystem::Awg);
        println!("{:?} {:?}", chart.least_ratio, chart.comfortable_ratio);
        assert_eq!(chart.rows.len(), 17);
        let least = chart.least_ratio.unwrap();
        for row in &chart.rows {
            let entry = row.joins.unwrap();
            assert!(entry.clearance_mm > 0.0, "{row:?}");
            assert!(entry.ring_inside_mm / row.wire_mm >= least - 1e-9, "{row:?}");
            // No more than the coarser step above what the ratio asks for.
            assert!(entry.ring_inside_mm <= least * row.wire_mm + 0.5, "{row:?}");
            let comfortable = row.comfortable.unwrap();
            assert!(comfortable.clearance_mm >= EASE * row.wire_mm - 1e-12);
            assert!(comfortable.mandrel_mm >= entry.mandrel_mm);
        }
        // The jaws named join on the ring named, in another wire too, and it is a smaller one.
        let any = chart.any_jaws.unwrap();
        assert!(any.ratio < least, "{any:?}");
        let mut other = design(WeaveChoice::Single, WireChoice::by_diameter(0.8), 0.8 * any.ratio);
        other.kerf_mm = 0.0;
        let size = &mut other.sizes[0];
        (size.bore_mm, size.fold_jaw_mm) = (Some(0.8 * any.bore), Some(0.8 * any.fold_jaw));
        (size.neck_mm, size.pinch_jaw_mm) = (Some(0.8 * any.neck), Some(0.8 * any.pinch_jaw));
        assert!(proven(&other).is_some(), "{any:?}");
        let text = WallChart::csv(&[chart]);
        assert_eq!(text.lines().count(), 18);
        let columns = |line: &str| line.split(',').count();
        assert!(text.lines().all(|line| columns(line) == 9), "{text}");
    }

    #[test]
    fn mandrels_come_in_their_steps() {
        for (wanted, next) in [(4.1, 4.25), (4.25, 4.25), (4.9, 5.0), (5.0, 5.0), (5.01, 5.5)] {
            assert!((next_mandrel(wanted) - next).abs() < 1e-9, "{wanted}");
        }
    }
}
