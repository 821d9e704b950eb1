//! The sheet laid out on pages.

use super::paper::Paper;
use super::{Sheet, blocks, flow, jaws};
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
        items.extend(blocks::cautions(self.cautions, width));
        let bodies = flow::pages(items, height);
        let count = bodies.len();
        let page = |(i, body): (usize, Drawing)| paper.page(self, &body, i + 1, count);
        bodies.into_iter().enumerate().map(page).collect()
    }
}
