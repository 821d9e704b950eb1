//! JSON in and out, in one way for every type.
//!
//! serde makes code for each pair of a type and a reader or writer. Here there is one reader,
//! of values ([`Value`]), which also knows where a fault arose, and one writer besides that for
//! documents to be read: the page loads no more.
//! Named fields are read from named fields only, never from a list in their order.

mod error;
mod unique_keys;
mod value;

pub use error::JsonError;

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

/// The value a text holds. A byte order mark before it is passed over, as RFC 8259, section 8.1, lets a
/// reader do.
///
/// # Errors
/// [`JsonError`] where it is not JSON, or names a field twice.
pub fn value(text: &str) -> Result<Value, JsonError> {
    let read: Result<unique_keys::UniqueKeys, _> =
        serde_json::from_str(text.strip_prefix('\u{feff}').unwrap_or(text));
    read.map(|once| once.0).map_err(|error| {
        let told = error.to_string();
        let problem = told.split(" at line ").next().unwrap_or(&told).to_string();
        JsonError { place: format!("line {}, column {}", error.line(), error.column()), problem }
    })
}

/// What a text holds.
///
/// # Errors
/// [`JsonError`] where it is not JSON, or not what is wanted.
pub fn read<T: DeserializeOwned>(text: &str) -> Result<T, JsonError> {
    read_value(&value(text)?)
}

/// What a value holds.
///
/// # Errors
/// [`JsonError`] where it is not what is wanted.
pub fn read_value<T: DeserializeOwned>(value: &Value) -> Result<T, JsonError> {
    T::deserialize(value::ValueDeserializer(value)).map_err(|value::Fault(mut fault)| {
        if fault.place.is_empty() {
            fault.place = "document".into();
        }
        *fault
    })
}

/// On one line; `null` for what JSON has no way to write.
pub fn line(content: &impl Serialize) -> String {
    as_value(content).to_string()
}

/// On many lines, in the order of the fields, to be read. Empty where it cannot be written.
pub fn lines(content: &impl Serialize) -> String {
    serde_json::to_string_pretty(content).unwrap_or_default()
}

/// As a value; null where it cannot be.
pub fn as_value(content: &impl Serialize) -> Value {
    serde_json::to_value(content).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde::Deserialize;

    #[derive(Debug, Deserialize, PartialEq, Serialize)]
    #[serde(deny_unknown_fields)]
    struct RingSample {
        inside: f64,
    }

    #[derive(Debug, Deserialize, PartialEq, Serialize)]
    struct ChainSample {
        name: String,
        rings: Vec<RingSample>,
    }

    #[test]
    fn a_byte_order_mark_is_no_fault() {
        assert_eq!(value("\u{feff}{\"a\": 1}").unwrap()["a"], 1);
        assert!(value("{\u{feff}}").is_err());
    }

    #[test]
    fn what_is_written_is_read_again() {
        let chain = ChainSample { name: "a \"b\"".into(), rings: vec![RingSample { inside: 0.1 }] };
        for text in [line(&chain), lines(&chain), as_value(&chain).to_string()] {
            assert_eq!(read::<ChainSample>(&text).as_ref(), Ok(&chain), "{text}");
        }
        assert_eq!(read_value::<ChainSample>(&as_value(&chain)), Ok(chain));
        assert_eq!(line(&3.5), serde_json::to_string(&3.5).unwrap());
    }

    /// A name that would turn a verdict about reads as a name; a faulty field's, too.
    #[test]
    fn what_is_not_seen_is_left_out() {
        let text = r#"{"name": "\u202eoN\u202c\u2066a\u0000\u009b\nb\u05d0", "rings": []}"#;
        assert_eq!(read::<ChainSample>(text).unwrap().name, "oNa\nb\u{5d0}");
        let fault = read::<RingSample>(r#"{"in\u202eside": 1, "out\u202eside": 2}"#).unwrap_err();
        assert!(!fault.to_string().contains('\u{202e}'), "{fault}");
    }

    #[test]
    fn a_fault_says_where_it_is() {
        for (text, place, problem) in [
            (
                r#"{"name": "", "rings": [{"inside": 1}, {"inside": "x"}]}"#,
                "rings[1].inside",
                "string",
            ),
            (r#"{"name": "", "rings": [{"outside": 1}]}"#, "rings[0].outside", "unknown field"),
            (r#"{"name": "" "#, "line 1, column 12", "EOF"),
            (r#"{"name": "", "name": ""}"#, "line 1, column 24", "`name` is given twice"),
            ("{}", "document", "missing field `name`"),
            (r#"{"name": "", "rings": [[1.0]]}"#, "rings[0]", "not a list"),
            (r#"{"name": null, "rings": []}"#, "name", "null"),
            (r#"{"name": "", "rings": []} more"#, "line 1, column 27", "trailing"),
        ] {
            let fault = read::<ChainSample>(text).unwrap_err();
            assert_eq!(fault.place, place, "{text}: {fault}");
            assert!(
                fault.problem.contains(problem) && !fault.problem.contains(" at line"),
                "{fault}"
            );
        }
    }
}
