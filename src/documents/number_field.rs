//! The numbers of a document: each stands in one table with its name, its range and where it is kept,
//! from which the reader's check, the schema, the page's fields and the search follow.

/// Thinnest and thickest wire, mm.
pub const WIRE_RANGE: [f64; 2] = [0.05, 20.0];
/// Thinnest and thickest mandrel, mm.
pub const MANDREL_RANGE: [f64; 2] = [0.1, 1e3];

/// A number of a part `T` of a document.
pub struct NumberField<T> {
    /// Its path in the document, without the list or the size that it belongs to.
    pub name: &'static str,
    /// Least and greatest, in the unit that the name ends in.
    pub range: [f64; 2],
    /// Reads it; none where it is left out.
    pub get: fn(&T) -> Option<f64>,
    /// Writes it; one that may not be left out stays where there is nothing to write.
    pub set: fn(&mut T, Option<f64>),
}

impl<T> NumberField<T> {
    /// The value in `part`, where it is outside the range.
    pub fn out_of_range(&self, part: &T) -> Option<f64> {
        let [least, most] = self.range;
        (self.get)(part).filter(|value| !(least..=most).contains(value))
    }
}

/// A line of such a table: a field that must be there, or an `optional` one; where it stands in a part
/// of its own, that part's name and a dot before it.
macro_rules! number_field {
    (optional $(($part:literal))? $name:ident, $least:expr, $most:expr) => {
        $crate::documents::number_field::NumberField {
            name: concat!($($part,)? stringify!($name)),
            range: [$least, $most],
            get: |part| part.$name,
            set: |part, value| part.$name = value,
        }
    };
    ($(($part:literal))? $name:ident, $least:expr, $most:expr) => {
        $crate::documents::number_field::NumberField {
            name: concat!($($part,)? stringify!($name)),
            range: [$least, $most],
            get: |part| Some(part.$name),
            set: |part, value| part.$name = value.unwrap_or(part.$name),
        }
    };
}
pub(super) use number_field;

/// Writes the ranges of `fields` into the schema of the part that they are of.
#[cfg(feature = "schema")]
pub fn ranges<T>(fields: &'static [NumberField<T>]) -> impl FnMut(&mut schemars::Schema) {
    move |schema| {
        for field in fields {
            let own = field.name.rsplit('.').next().unwrap_or_default();
            let property = schema.pointer_mut(&format!("/properties/{own}"));
            if let Some(property) = property.and_then(|property| property.as_object_mut()) {
                property.insert("minimum".into(), field.range[0].into());
                property.insert("maximum".into(), field.range[1].into());
            }
        }
    }
}
