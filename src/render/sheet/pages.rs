//! The sheet laid out on pages.

use super::paper::Paper;
use super::{Sheet, blocks, flow, jaws};
use crate::answers::jig::JIG_CAUTION;
use crate::render::drawing::Drawing;

impl Sheet<'_> {
    /// The pages, each within [`Paper::half`] of its middle.
    pub fn pages(&self, paper: Paper) -> Vec<Drawing> {
        let (width, height) = paper.body();
        let mut items = blocks::opening(self, width);
        for (i, size) in self.sizes.iter().enumerate() {
            items.extend(blocks::size(i, size, self.unit, width, height));
        }
        items.extend(jaws::stripes(self, width));
        items.extend(self.link.iter().flat_map(|link| blocks::code_of(link, width)));
        // Jigs are made for a chain that is planned.
        let of_jigs: &[&str] = if self.plan.is_empty() { &[] } else { &[JIG_CAUTION] };
        items.extend(blocks::cautions(&[self.cautions, of_jigs].concat(), width));
        let bodies = flow::pages(items, height);
        let count = bodies.len();
        let page = |(i, body): (usize, Drawing)| paper.page(self, &body, i + 1, count);
        bodies.into_iter().enumerate().map(page).collect()
    }
}
