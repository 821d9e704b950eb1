//! The views by name, and the tabs they stand on.

use crate::render::Chapter;

/// The link's own steps.
pub const SHAPE: &str = "shape";
/// The join.
pub const JOIN: &str = "join";
/// The map.
pub const MAP: &str = "map";
/// The metal.
pub const METAL: &str = "metal";
/// The chain in a row.
pub const CHAIN: &str = "chain";
/// The chain hung.
pub const DRAPE: &str = "drape";
/// The plan.
pub const PLAN: &str = "plan";
/// The search.
pub const OPTIMISE: &str = "optimise";

/// A view by name.
pub struct Named {
    /// Names its panel: `panel-{id}`, and its button: `view-{id}`.
    pub id: &'static str,
    /// On its button.
    pub name: &'static str,
    /// The part of the slider it is about; none where the slider has no meaning.
    pub span: Option<(f64, f64)>,
}

/// Every view, the first to be seen first.
pub const VIEWS: [Named; 8] = [
    Named { id: SHAPE, name: "Shape", span: Some((0.0, Chapter::Fold.end())) },
    Named { id: JOIN, name: "Joining", span: Some((Chapter::Fold.end(), 1.0)) },
    Named { id: MAP, name: "Map", span: None },
    Named { id: METAL, name: "Metal", span: None },
    Named { id: CHAIN, name: "Row", span: None },
    Named { id: DRAPE, name: "Hung", span: None },
    Named { id: PLAN, name: "Plan", span: None },
    Named { id: OPTIMISE, name: "Search", span: None },
];

/// Views that answer one question, on one button.
pub struct Tab {
    /// Names its button: `tab-{id}`.
    pub id: &'static str,
    /// On its button.
    pub name: &'static str,
    /// Its views, by their ids.
    pub views: &'static [&'static str],
}

/// Every tab, in the order of the page.
pub const TABS: [Tab; 5] = [
    Tab { id: "link", name: "Link", views: &[SHAPE, JOIN] },
    Tab { id: "chain", name: "Chain", views: &[CHAIN, DRAPE] },
    Tab { id: "metal", name: "Metal", views: &[METAL] },
    Tab { id: "plan", name: "Plan", views: &[PLAN] },
    Tab { id: "find", name: "Find", views: &[MAP, OPTIMISE] },
];
