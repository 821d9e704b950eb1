//! Reads wishes from JSON, and takes lists from the maker's bench.

use super::{Dimension, OptimiseError, VERSION, Wishes};
use crate::documents::bench::Bench;
use crate::documents::format::{DocumentKind, read};
use crate::documents::json;

const KIND: DocumentKind =
    DocumentKind { noun: "wish document", version_field: "linkfold_wishes", version: VERSION };

impl Wishes {
    /// Reads a document. Whether it makes sense for a design is asked by [`Wishes::check`].
    ///
    /// # Errors
    /// [`OptimiseError::Read`] where it is not JSON, not wishes, or of another version.
    pub fn parse(text: &str) -> Result<Wishes, OptimiseError> {
        Ok(read(text, KIND)?)
    }

    /// The document as text, in the form [`Wishes::parse`] reads.
    pub fn to_json(&self) -> String {
        json::lines(self)
    }

    /// The same with what is on `bench` in place of every `from_bench`: wires, mandrels, and round jaws
    /// for bore, pinch and fold.
    ///
    /// # Errors
    /// [`OptimiseError`] where the bench is none, or has nothing for a dimension.
    pub fn on_bench(&self, bench: &Bench) -> Result<Wishes, OptimiseError> {
        bench.check()?;
        let mut wishes = self.clone();
        for (index, free) in wishes.free.iter_mut().enumerate().filter(|(_, f)| f.from_bench) {
            let at = format!("free[{index}]");
            free.list_mm = match free.dimension {
                Dimension::WireMm => bench.wire_diameters()?,
                Dimension::MandrelMm => bench.mandrels_mm.clone(),
                Dimension::BoreMm | Dimension::PinchJawMm | Dimension::FoldJawMm => {
                    bench.round_jaws_mm.clone()
                }
                Dimension::WaistGapMm | Dimension::TipGapMm => {
                    let advice = "no tool on a bench sets a gap; give a range or a list";
                    return Err(OptimiseError::Shape { at, advice });
                }
            };
            if free.list_mm.is_empty() {
                return Err(OptimiseError::BenchBare { at, name: free.dimension.words() });
            }
            free.from_bench = false;
        }
        Ok(wishes)
    }
}
