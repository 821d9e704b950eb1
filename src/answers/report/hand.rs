//! What trial links show of the hand, in a maker's words.

use super::wording::words;
use crate::answers::plan::{Failing, Hand, HandDimension, RingGrowth, Spread};
use crate::documents::units::LengthUnit;
use crate::motion::chain::Weave;
use serde::{Deserialize, Serialize};

/// What an uneven hand leaves unjoinable.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct FailingReport {
    /// Share of the chain's joins.
    pub share: f64,
    /// It is this much off at most, 95 times in 100, by the sample.
    pub within: f64,
    /// Links that were looked at for it.
    pub clearances: usize,
    /// The dimension to watch: `mandrel_mm` for the ring, `bore_mm` or `fold_jaw_mm`.
    pub watch: Option<String>,
    /// In a maker's words.
    pub message: String,
}

/// What trial links show.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct HandReport {
    /// Size by size.
    pub springback: Vec<SpringbackReport>,
    /// What trial ovals show of growth, for each size where they do.
    pub growth: Vec<GrowthReport>,
    /// Dimension by dimension.
    pub spreads: Vec<SpreadReport>,
    /// Every measure, predicted and measured.
    pub measured: Vec<MeasuredReport>,
    /// Trials that could be joined, and that could not.
    pub joined: [usize; 2],
    /// Trials of no size of the design.
    pub strangers: usize,
}

/// Springback of one size.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SpringbackReport {
    /// The size.
    pub size: String,
    /// Whether trials say so and the figure is in use.
    pub fitted: bool,
    /// Springback shown by its own trials, in inside diameter.
    pub shown_mm: Option<f64>,
    /// Known to within this, either way, 95 times in 100.
    pub within_mm: Option<f64>,
    /// Rings measured.
    pub rings: usize,
    /// What all trials together would have it be.
    pub carried_mm: Option<f64>,
    /// In a maker's words.
    pub message: String,
}

/// How far the rings of one size grow when they are stretched.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct GrowthReport {
    /// The size.
    pub size: String,
    /// Share of the centreline, to be the size's `growth_share`.
    pub share: f64,
    /// Ovals measured.
    pub ovals: usize,
    /// In a maker's words.
    pub message: String,
}

/// How uneven the hand is.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SpreadReport {
    /// `ring`, `oval`, `bore` or `fold`.
    pub dimension: String,
    /// Standard deviation in use.
    pub spread_mm: f64,
    /// Whether trials say so.
    pub fitted: bool,
    /// Between these the trials put it 95 times in 100.
    pub between_mm: Option<[f64; 2]>,
    /// Measured less predicted, on the mean.
    pub off_mm: Option<f64>,
    /// In a maker's words.
    pub message: String,
}

/// One measure of one trial.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct MeasuredReport {
    /// Which trial, from 0.
    pub trial: usize,
    /// Of which size.
    pub size: String,
    /// `ring`, `oval`, `bore` or `fold`.
    pub dimension: String,
    /// As predicted.
    pub predicted_mm: f64,
    /// As measured.
    pub measured_mm: f64,
}

fn word(dimension: HandDimension) -> &'static str {
    match dimension {
        HandDimension::Ring => "ring",
        HandDimension::Oval => "oval",
        HandDimension::Bore => "bore",
        HandDimension::Fold => "fold",
    }
}

pub(super) fn hand_report(hand: &Hand, names: &[String], unit: LengthUnit) -> HandReport {
    let springback = hand.springback.iter().zip(names).map(|(found, name)| {
        let message = match (found.shown, found.carried) {
            (Some(mean), _) => format!(
                "{name}: {} by {} measured{}; fitted, and used from here on.",
                words(mean.mean, unit),
                if mean.count == 1 { "one ring".into() } else { format!("{} rings", mean.count) },
                mean.within.map_or(", too few to say how sure".into(), |within| {
                    format!(", sure to {}", words(within, unit))
                })
            ),
            (None, Some((carried, _))) => format!(
                "{name}: no trials; those of other mandrels would have it be {}. The design's or the metal's figure is used.",
                words(carried, unit)
            ),
            (None, None) => format!("{name}: no trials; the design's or the metal's figure is used."),
        };
        SpringbackReport {
            size: name.clone(),
            fitted: found.shown.is_some(),
            shown_mm: found.shown.map(|mean| mean.mean),
            within_mm: found.shown.and_then(|mean| mean.within),
            rings: found.shown.map_or(0, |mean| mean.count),
            carried_mm: found.carried.map(|(carried, _)| carried),
            message,
        }
    });
    let measured = hand.measured.iter().map(|m| MeasuredReport {
        trial: m.trial,
        size: names[m.size].clone(),
        dimension: word(m.dimension).into(),
        predicted_mm: m.predicted,
        measured_mm: m.measured,
    });
    HandReport {
        springback: springback.collect(),
        growth: hand
            .growth
            .iter()
            .zip(names)
            .filter_map(|(g, name)| growth_report(g.as_ref()?, name))
            .collect(),
        spreads: hand.spreads.iter().map(|spread| spread_report(spread, unit)).collect(),
        measured: measured.collect(),
        joined: hand.joined,
        strangers: hand.strangers,
    }
}

fn growth_report(found: &RingGrowth, name: &str) -> Option<GrowthReport> {
    let percent = |share: f64| format!("{:.1} %", 100.0 * share);
    let ovals = if found.count == 1 {
        "one trial oval".into()
    } else {
        format!("{} trial ovals", found.count)
    };
    let sure = found.within.map_or(", too few to say how sure".into(), |within| {
        format!(", sure to {}", percent(within))
    });
    // What would be typed as nought is none.
    (found.share >= 5e-4).then(|| GrowthReport {
        size: name.into(),
        share: found.share,
        ovals: found.count,
        message: format!(
            "{name}: the rings grow by {} when stretched, by {ovals}{sure}. Type it under \u{201c}Ring grows when stretched\u{201d}.",
            percent(found.share)
        ),
    })
}

fn spread_report(found: &Spread, unit: LengthUnit) -> SpreadReport {
    let name = word(found.dimension);
    let spread = words(found.spread, unit);
    let message = match found.between {
        Some([low, high]) if found.fitted => format!(
            "{name}: links vary by ±{spread} (standard deviation), from your trial links; it lies between {} and {}.",
            words(low, unit),
            words(high, unit)
        ),
        Some(_) => format!("{name}: {spread} as the plan says; too few trial links to tell."),
        None => format!("{name}: {spread} as the plan says."),
    };
    SpreadReport {
        dimension: name.into(),
        spread_mm: found.spread,
        fitted: found.fitted,
        between_mm: found.between,
        off_mm: found.off.map(|off| off.mean),
        message,
    }
}

/// Fills in the words; `worst` is the pair that fails most, `count` how many joins there are.
pub(super) fn failing_words(
    report: FailingReport,
    worst: Option<&Failing>,
    count: f64,
    (weave, unit): (Weave, LengthUnit),
) -> FailingReport {
    let watch = worst.and_then(|worst| Some((worst, worst.watch()?)));
    let percent = |share: f64| format!("{:.1} %", 100.0 * share);
    let (low, high) =
        ((report.share - report.within).max(0.0), (report.share + report.within).min(1.0));
    let mut message = if high < 5e-4 {
        "At this accuracy hardly a link in a thousand won't join.".to_string()
    } else {
        format!(
            "At this accuracy about {:.1} of {count} links won't join ({}; {} to {}).",
            report.share * count,
            percent(report.share),
            percent(low),
            percent(high)
        )
    };
    if let Some((worst, (incoming, dimension))) = watch {
        let what = match dimension {
            HandDimension::Ring => "the ring's inside diameter",
            HandDimension::Fold => "the fold",
            _ => "the bore",
        };
        let whose = if incoming { "the link worked in" } else { "the link it goes through" };
        let least = worst.losses.iter().fold(0.0_f64, |most, loss| most.max(loss.abs()));
        message += &format!(
            " Watch {what} of {whose}: an ordinary slip there costs {} of clearance, {:.0} % of all the variation.",
            words(least, unit),
            100.0 * worst.watch_share()
        );
    }
    if weave != Weave::SINGLE {
        message += &format!(" For one link through one other; a {} weave asks more.", weave.name());
    }
    let field = |dimension| match dimension {
        HandDimension::Ring => "mandrel_mm",
        HandDimension::Fold => "fold_jaw_mm",
        _ => "bore_mm",
    };
    let watch = watch.map(|(_, (_, dimension))| field(dimension).to_string());
    FailingReport { watch, message, ..report }
}
