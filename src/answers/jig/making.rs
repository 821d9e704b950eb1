//! Which part is made by what.

use super::error::JigError;
use super::part::{Gauged, Jig, JigKind, JigRequest};
use super::tolerance::{Tolerance, tolerances};
use super::{fold, gaps, mandrel, oval, plate, tools, waist};
use crate::documents::bench::PRINT_ALLOWANCES;
use crate::documents::design::Design;

impl Jig {
    /// The part that `request` asks for of `design`.
    ///
    /// # Errors
    /// [`JigError`] where the design does not allow it.
    ///
    /// # Examples
    /// ```
    /// use linkfold::answers::jig::{Jig, JigKind, JigRequest};
    /// use linkfold::documents::design::Design;
    /// let request = JigRequest { kind: JigKind::Plate, size: None, allowance_mm: 0.0 };
    /// let plate = Jig::for_design(&Design::plain(0.9, 14.0), request)?;
    /// assert_eq!(plate.pockets.len(), 8); // four steps, go and no-go
    /// # Ok::<(), linkfold::answers::jig::JigError>(())
    /// ```
    pub fn for_design(design: &Design, request: JigRequest) -> Result<Jig, JigError> {
        let JigRequest { kind, size, allowance_mm: allowance } = request;
        let [least, most] = PRINT_ALLOWANCES;
        if !(least..=most).contains(&allowance) {
            return Err(JigError::Allowance { value: allowance, limits: PRINT_ALLOWANCES });
        }
        let formings = design.formings()?;
        let most = formings.len();
        let wanted = size.unwrap_or(0);
        let forming = formings
            .get(wanted)
            .ok_or(JigError::NoSize { size: wanted.saturating_add(1), most })?;
        match kind {
            JigKind::Plate | JigKind::Feeler => {
                let weave = design.weave.weave();
                let tolerances = tolerances(&formings, weave, design.margin_mm)?;
                let all = tolerances.into_iter().enumerate();
                let all = all.filter(|(index, _)| size.is_none_or(|size| size == *index));
                let gauged = |(index, tolerance): (usize, Tolerance)| {
                    Ok((index, tools::released(design, index, &formings[index])?, tolerance))
                };
                let chosen: Vec<Gauged> = all.map(gauged).collect::<Result<_, JigError>>()?;
                if kind == JigKind::Plate {
                    plate::plate(&chosen, allowance)
                } else {
                    gaps::gap_gauge(&chosen, allowance)
                }
            }
            JigKind::Test => gaps::test_piece(forming.setting.wire),
            _ => {
                let tools = tools::CorrectedTools::of(design, wanted, forming)?;
                match kind {
                    JigKind::Mandrel => mandrel::mandrel(design, &formings, &tools, allowance),
                    JigKind::Oval => oval::oval_former(forming, &tools, allowance),
                    JigKind::Waist => waist::pincher(forming, &tools, allowance),
                    _ => fold::fold_block(forming, &tools, allowance),
                }
            }
        }
    }
}
