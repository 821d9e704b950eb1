//! Suggestions: the smallest change of one dimension that gives the clearance asked for.

use super::join::{join, max_clearance};
use crate::geometry::link::{Forming, ToolDimension, ToolDimensions};

/// The dimensions that may be changed for clearance, besides the wire.
pub const CHANGEABLE: [ToolDimension; 4] =
    [ToolDimension::Mandrel, ToolDimension::Bore, ToolDimension::FoldJaw, ToolDimension::WaistGap];

/// A pair of links, changed together where they are one size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ToolPair {
    /// The receiving link.
    pub receiving: ToolDimensions,
    /// The incoming link.
    pub incoming: ToolDimensions,
}

/// One change that gives the clearance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JoinSuggestion {
    /// What to change.
    pub dimension: ToolDimension,
    /// To what, mm; everything else stays.
    pub to: f64,
    /// Clearance then, mm.
    pub clearance: f64,
    /// Whether the changed pair is proven to pass with the clearance asked for.
    pub proven: bool,
}

/// Furthest a dimension is changed, as a share of itself, and halvings of that.
const FURTHEST: f64 = 0.6;
/// Strides tried on the way to a change that works: each doubles the one before.
const STRIDES: usize = 5;
/// Halvings then: the change is found to about a fiftieth of the last stride.
const HALVINGS: usize = 6;
/// What a proof may lose: a tenth of the clearance, and a trace of the wire.
const LOST: (f64, f64) = (1.15, 3e-3);

/// The clearance, mm, that a search has to find in wire of diameter `wire` for a proof to keep
/// `margin`, mm.
pub fn searched_for(margin: f64, wire: f64) -> f64 {
    LOST.0 * margin + LOST.1 * wire
}

/// The smallest change of `dimension` alone that gives `margin` mm of clearance; `None` where
/// none was found within a factor of [`FURTHEST`] either way. `settable` takes a change, mm, to the
/// next one, no smaller, that can be had, or to none; `opened` gives the tools of the receiving (0) or the
/// incoming link (1) what their ring opens by, where wire or mandrel was changed.
///
/// `both` changes both links alike (one size); else the receiving link is changed in
/// mandrel and bore, the incoming one in fold jaw and waist gap, both in wire.
pub fn suggestion(
    pair: &ToolPair,
    both: bool,
    dimension: ToolDimension,
    margin: f64,
    settable: &dyn Fn(f64) -> Option<f64>,
    opened: &dyn Fn(usize, ToolDimensions) -> Option<ToolDimensions>,
) -> Option<JoinSuggestion> {
    let wanted = searched_for(margin, pair.receiving.wire);
    let own = dimension.of(&pair.receiving)?;
    let other = dimension.of(&pair.incoming)?;
    let on_receiving =
        both || !matches!(dimension, ToolDimension::FoldJaw | ToolDimension::WaistGap);
    let on_incoming = both || !matches!(dimension, ToolDimension::Mandrel | ToolDimension::Bore);
    let changed = |by: f64| -> Option<(Forming, Forming)> {
        let mut pair = *pair;
        if on_receiving {
            pair.receiving = dimension.set(&pair.receiving, own + by);
        }
        if on_incoming {
            pair.incoming = dimension.set(&pair.incoming, other + by);
        }
        let valid = |setting: &ToolDimensions| setting.wire > 0.0 && setting.waist_gap >= 0.0;
        if !(valid(&pair.receiving) && valid(&pair.incoming)) {
            return None;
        }
        if matches!(dimension, ToolDimension::Mandrel | ToolDimension::Wire) {
            if on_receiving {
                pair.receiving = opened(0, pair.receiving)?;
            }
            if on_incoming {
                pair.incoming = opened(1, pair.incoming)?;
            }
        }
        Some((Forming::new(pair.receiving).ok()?, Forming::new(pair.incoming).ok()?))
    };
    let gives = |by: f64| changed(by).map_or(f64::NEG_INFINITY, |(a, b)| max_clearance(&a, &b));
    // Shapes cannot follow for wire thinner than makes sense here; a gap starts from nothing.
    let scale = if on_receiving { own } else { other }.max(0.2 * pair.receiving.wire);
    let first = FURTHEST * scale / f64::from(1 << (STRIDES - 1));
    let directions: &[f64] = match dimension {
        ToolDimension::Mandrel => &[1.0],
        ToolDimension::Wire | ToolDimension::WaistGap => &[-1.0],
        _ => &[1.0, -1.0],
    };
    let mut best: Option<f64> = None;
    for &sign in directions {
        let mut fails = 0.0;
        let works = (0..STRIDES).map(|i| sign * first * f64::from(1 << i)).find(|&by| {
            let works = gives(by) >= wanted;
            if !works {
                fails = by;
            }
            works
        });
        let Some(mut works) = works else { continue };
        for _ in 0..HALVINGS {
            let middle = 0.5 * (works + fails);
            if gives(middle) >= wanted { works = middle } else { fails = middle }
        }
        if best.is_none_or(|by| works.abs() < by.abs()) {
            best = Some(works);
        }
    }
    let by = settable(best?)?;
    let (receiving, incoming) = changed(by)?;
    if gives(by) < wanted {
        return None;
    }
    let to = if on_receiving { own + by } else { other + by };
    let proven = join(&receiving, &incoming).best().at_least >= margin;
    Some(JoinSuggestion { dimension, to, clearance: max_clearance(&receiving, &incoming), proven })
}
