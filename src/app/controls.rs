//! What is chosen in controls that are no part of the design: which axes a map has, how far a
//! chain is bent, what is wished for.

use std::collections::BTreeMap;

/// What such a control holds before anybody touches it, where that is not empty.
const AT_FIRST: [(&str, &str); 21] = [
    ("map-across", "0"),
    ("map-up", "1"),
    ("chain-about", "x"),
    ("chain-share", "0"),
    ("chain-count", "6"),
    ("drape-worn", "points"),
    ("drape-count", "60"),
    ("drape-share", "60"),
    ("strain-step", "3"),
    ("optimise-listed", "suppleness_x pitch_mm width_mm"),
    ("optimise-want-suppleness_x", "near"),
    ("optimise-at-suppleness_x", "-10"),
    ("optimise-free-mandrel_mm", "true"),
    ("optimise-free-bore_mm", "true"),
    ("optimise-free-fold_jaw_mm", "true"),
    ("optimise-across", "suppleness_x"),
    ("optimise-across-better", "low"),
    ("optimise-up", "first_set_newtons"),
    ("optimise-up-better", "high"),
    ("way", "0"),
    ("unit", "mm"),
];

/// Values by the control's id.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Controls(BTreeMap<String, String>);

impl Controls {
    /// What a control holds.
    pub fn value(&self, id: &str) -> &str {
        let first = || AT_FIRST.iter().find(|(known, _)| *known == id).map(|(_, value)| *value);
        self.0.get(id).map(String::as_str).or_else(first).unwrap_or("")
    }

    /// Whether a box is ticked.
    pub fn is_ticked(&self, id: &str) -> bool {
        self.value(id) == "true"
    }

    /// The number a slider stands at.
    pub fn number(&self, id: &str) -> f64 {
        let value: Option<f64> = self.value(id).parse().ok();
        value.filter(|value| value.is_finite()).unwrap_or(0.0)
    }

    /// Takes what is chosen in a control.
    pub fn set(&mut self, id: &str, value: impl Into<String>) {
        self.0.insert(id.into(), value.into());
    }
}
