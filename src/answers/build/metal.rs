//! The metal a design names: one that linkfold knows, or one of the maker's own.

use super::BuildError;
use crate::documents::design::{
    AnnealBefore, MetalChoice, OwnAnnealing, OwnBasis, OwnHardening, OwnHeat, OwnMetal, OwnQuantity,
};
use crate::mechanics::forming::Anneals;
use crate::mechanics::material::{
    self, Annealing, Hardening, Heat, Metal, MetalRecord, Quantity, ValueBasis, known_metal,
};

/// Id and name of every metal that linkfold knows.
pub fn known_metals() -> impl Iterator<Item = (String, String)> {
    let metals = material::known_metals().into_iter();
    metals.map(|metal| (metal.id().to_owned(), metal.name().to_owned()))
}

impl MetalChoice {
    /// Steps annealed before.
    pub fn anneals(&self) -> Anneals {
        Anneals {
            before_pinch: self.anneal_before.contains(&AnnealBefore::Pinch),
            before_fold: self.anneal_before.contains(&AnnealBefore::Fold),
            before_press: self.anneal_before.contains(&AnnealBefore::Press),
            before_open: self.anneal_before.contains(&AnnealBefore::Open),
        }
    }

    /// The metal, with every one of the maker's own checked.
    ///
    /// # Errors
    /// [`BuildError`] for one of the maker's own that is no metal, and for an id that is taken or
    /// unknown.
    pub fn metal(&self) -> Result<Metal, BuildError> {
        let mut found = known_metal(&self.id);
        for (index, own) in self.own.iter().enumerate() {
            let metal = Metal::new(own.clone().into())
                .map_err(|source| BuildError::Metal { index, source })?;
            let twice = self.own[..index].iter().any(|other| other.id == own.id);
            if twice || known_metal(&own.id).is_some() {
                return Err(BuildError::MetalTaken { index, id: own.id.clone() });
            }
            if own.id == self.id {
                found = Some(metal);
            }
        }
        found.ok_or_else(|| {
            let ids: Vec<String> = known_metals().map(|(id, _)| id).collect();
            BuildError::UnknownMetal {
                id: self.id.chars().take(40).collect(),
                known: ids.join(", "),
            }
        })
    }
}

/// Converts a pair of types that hold the same, both ways.
macro_rules! same_fields {
    ($($own:ident = $core:ident { $($field:ident),+ });+ $(;)?) => {$(
        impl From<$own> for $core {
            fn from(own: $own) -> $core {
                $core { $($field: own.$field.into()),+ }
            }
        }

        impl From<$core> for $own {
            fn from(core: $core) -> $own {
                $own { $($field: core.$field.into()),+ }
            }
        }
    )+};
}

same_fields! {
    OwnQuantity = Quantity { low, likely, high, standing, source, read };
    OwnAnnealing = Annealing { celsius, heat, method };
    OwnHardening = Hardening { strength_mpa, exponent, standing, source, read };
}

macro_rules! same_variants {
    ($($own:ident = $core:ident { $($variant:ident),+ });+ $(;)?) => {$(
        impl From<$own> for $core {
            fn from(own: $own) -> $core {
                match own { $($own::$variant => $core::$variant),+ }
            }
        }

        impl From<$core> for $own {
            fn from(core: $core) -> $own {
                match core { $($core::$variant => $own::$variant),+ }
            }
        }
    )+};
}

same_variants! {
    OwnBasis = ValueBasis { Published, Derived, Memory, Own };
    OwnHeat = Heat { TorchOrKiln, VacuumOrInert };
}

macro_rules! same_record {
    ($from:ident, $to:ident) => {
        impl From<$from> for $to {
            fn from(metal: $from) -> $to {
                $to {
                    id: metal.id,
                    name: metal.name,
                    density_g_per_cm3: metal.density_g_per_cm3.into(),
                    youngs_modulus_mpa: metal.youngs_modulus_mpa.into(),
                    poisson_ratio: metal.poisson_ratio.into(),
                    yield_mpa: metal.yield_mpa.into(),
                    tensile_mpa: metal.tensile_mpa.into(),
                    elongation: metal.elongation.into(),
                    hardening: metal.hardening.map(Into::into),
                    solidus_celsius: metal.solidus_celsius.into(),
                    liquidus_celsius: metal.liquidus_celsius.into(),
                    annealing: metal.annealing.into(),
                }
            }
        }
    };
}

same_record!(OwnMetal, MetalRecord);
same_record!(MetalRecord, OwnMetal);

#[cfg(test)]
mod tests {
    use crate::answers::build::workable;
    use crate::documents::design::Design;
    use crate::mechanics::material::known_metal;

    #[test]
    fn a_makers_own_metal_is_checked_field_by_field() {
        let mut design = Design::plain(0.9, 10.0);
        let mut record = known_metal("bronze").unwrap().record().clone();
        record.id = "shed-bronze".into();
        design.metal.own = vec![record.into()];
        design.metal.id = "shed-bronze".into();
        let read = Design::parse(&design.to_json()).unwrap();
        assert_eq!(read.metal.metal().unwrap().id(), "shed-bronze");
        let told = |change: &dyn Fn(&mut Design)| {
            let mut bad = design.clone();
            change(&mut bad);
            let error = workable(&bad.to_json()).unwrap_err();
            assert!(!error.to_string().is_empty());
            error.field()
        };
        assert_eq!(told(&|d| d.metal.id = "unobtainium".into()), "metal.id");
        assert_eq!(told(&|d| d.metal.own[0].yield_mpa.high = 1e9), "metal.own[0].yield_mpa");
        assert_eq!(told(&|d| d.metal.own[0].id = "copper".into()), "metal.own[0].id");
        assert_eq!(told(&|d| d.metal.own.push(d.metal.own[0].clone())), "metal.own[1].id");
        assert_eq!(told(&|d| d.metal.seam_share = Some(2.0)), "metal.seam_share");
    }
}
