//! Suggestions: the smallest change of one dimension, or of several together, that gives the
//! clearance asked for.

use super::join_search::{is_proven, max_clearance, reaches_clearance};
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

/// A change that gives the clearance.
#[derive(Clone, Debug, PartialEq)]
pub struct JoinSuggestion {
    /// What to change and by how many mm; everything else stays.
    pub changes: Vec<(ToolDimension, f64)>,
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

/// Whether a dimension is changed on the incoming link where the two are unlike: its fold and
/// waist are what goes in, mandrel and bore of the receiving link are what it goes through.
pub fn is_of_incoming(dimension: ToolDimension) -> bool {
    matches!(dimension, ToolDimension::FoldJaw | ToolDimension::WaistGap)
}

/// The smallest change of `dimensions`, all by the same share of themselves, that gives `margin` mm
/// of clearance; `None` where none was found within a factor of [`FURTHEST`] either way.
///
/// `settable` takes a dimension and a change, mm, to the next change, no smaller, that can be had,
/// or to none; `opened` gives the tools of the receiving (0) or the incoming link (1) what their
/// ring opens by once they are changed. `both` changes both links alike (one size);
/// else each dimension is changed on the link that [`is_of_incoming`] says, the wire on both.
pub fn suggestion(
    pair: &ToolPair,
    both: bool,
    dimensions: &[ToolDimension],
    margin: f64,
    settable: &dyn Fn(ToolDimension, f64) -> Option<f64>,
    opened: &dyn Fn(usize, ToolDimensions) -> Option<ToolDimensions>,
) -> Option<JoinSuggestion> {
    let wanted = searched_for(margin, pair.receiving.wire);
    let changed = |changes: &[(ToolDimension, f64)]| -> Option<(Forming, Forming)> {
        let side = |index: usize, tools: ToolDimensions| {
            let mut changed = tools;
            for &(dimension, by) in changes {
                let is_of_side = is_of_incoming(dimension) == (index == 1);
                if both || is_of_side || dimension == ToolDimension::Wire {
                    changed = dimension.set(&changed, dimension.of(&changed)? + by);
                }
            }
            if !(changed.wire > 0.0 && changed.waist_gap >= 0.0) {
                return None;
            }
            Forming::new(opened(index, changed)?).ok()
        };
        Some((side(0, pair.receiving)?, side(1, pair.incoming)?))
    };
    let gives = |changes: &[(ToolDimension, f64)]| {
        changed(changes).is_some_and(|(a, b)| reaches_clearance(&a, &b, wanted))
    };
    // Shapes cannot follow for wire thinner than makes sense here; a gap starts from nothing.
    let scales = dimensions.iter().map(|&dimension| {
        let on_incoming = !both && is_of_incoming(dimension);
        let own = dimension.of(if on_incoming { &pair.incoming } else { &pair.receiving })?;
        Some((dimension, own.max(0.2 * pair.receiving.wire)))
    });
    let scales: Vec<(ToolDimension, f64)> = scales.collect::<Option<_>>()?;
    let first = FURTHEST / f64::from(1 << (STRIDES - 1));
    let mut best: Option<(f64, Vec<(ToolDimension, f64)>)> = None;
    for signs in 0..1u32 << scales.len() {
        let sign = |i: usize| if signs >> i & 1 == 0 { 1.0 } else { -1.0 };
        let is_sensible = |(i, &(dimension, _)): (usize, &(ToolDimension, f64))| match dimension {
            ToolDimension::Mandrel => sign(i) > 0.0,
            ToolDimension::Wire | ToolDimension::WaistGap => sign(i) < 0.0,
            _ => true,
        };
        if !scales.iter().enumerate().all(is_sensible) {
            continue;
        }
        let by = |share: f64| -> Vec<(ToolDimension, f64)> {
            let scales = scales.iter().enumerate();
            scales.map(|(i, &(dimension, scale))| (dimension, sign(i) * share * scale)).collect()
        };
        let mut fails = 0.0;
        let works = (0..STRIDES).map(|i| first * f64::from(1 << i)).find(|&share| {
            let works = gives(&by(share));
            if !works {
                fails = share;
            }
            works
        });
        let Some(mut works) = works else { continue };
        for _ in 0..HALVINGS {
            let middle = 0.5 * (works + fails);
            if gives(&by(middle)) { works = middle } else { fails = middle }
        }
        if best.as_ref().is_none_or(|(share, _)| works < *share) {
            best = Some((works, by(works)));
        }
    }
    let changes = best?.1.into_iter();
    let changes = changes.map(|(dimension, by)| Some((dimension, settable(dimension, by)?)));
    let changes: Vec<(ToolDimension, f64)> = changes.collect::<Option<_>>()?;
    let (receiving, incoming) = changed(&changes)?;
    let clearance = max_clearance(&receiving, &incoming);
    if clearance < wanted {
        return None;
    }
    let proven = is_proven(&receiving, &incoming, margin);
    Some(JoinSuggestion { changes, clearance, proven })
}
