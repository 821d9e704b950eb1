//! JSON in and out, through one door for every type.
//!
//! serde makes code for each pair of a type and a format, and for each way of tracing faults
//! once more. Here the format stands behind a table of functions (`erased-serde`), so that a
//! type costs its own code once: a quarter of the module the page loads.

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

/// Why a text does not hold what is wanted.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{place}: {problem}")]
pub struct Fault {
    /// Where: a field's path, or line and column.
    pub place: String,
    /// What is wrong there.
    pub problem: String,
}

/// The value a text holds.
///
/// # Errors
/// [`Fault`] where it is not JSON.
pub fn value(text: &str) -> Result<Value, Fault> {
    serde_json::from_str(text).map_err(|error| Fault::told(".", &error.to_string()))
}

/// What a text holds.
///
/// # Errors
/// [`Fault`] where it is not JSON, or not what is wanted.
pub fn read<T: DeserializeOwned>(text: &str) -> Result<T, Fault> {
    value(text)?;
    let mut track = serde_path_to_error::Track::new();
    let mut json = serde_json::Deserializer::from_str(text);
    let tracked = serde_path_to_error::Deserializer::new(&mut json, &mut track);
    let read = erased_serde::deserialize(&mut <dyn erased_serde::Deserializer>::erase(tracked));
    read.map_err(|error| Fault::told(&track.path().to_string(), &error.to_string()))
}

/// What a value holds.
///
/// # Errors
/// [`Fault`] where it is not what is wanted.
pub fn read_value<T: DeserializeOwned>(value: Value) -> Result<T, Fault> {
    let read = erased_serde::deserialize(&mut <dyn erased_serde::Deserializer>::erase(value));
    read.map_err(|error| Fault::told(".", &error.to_string()))
}

/// On one line. Empty where it cannot be written: what is not a number, or a key that is no text.
pub fn line(content: &impl Serialize) -> String {
    let content: &dyn erased_serde::Serialize = content;
    serde_json::to_string(content).unwrap_or_default()
}

/// On many lines, to be read. As [`line`].
pub fn lines(content: &impl Serialize) -> String {
    let content: &dyn erased_serde::Serialize = content;
    serde_json::to_string_pretty(content).unwrap_or_default()
}

/// As a value; null where it cannot be.
pub fn as_value(content: &impl Serialize) -> Value {
    let content: &dyn erased_serde::Serialize = content;
    serde_json::to_value(content).unwrap_or_default()
}

impl Fault {
    /// From the reader's own words, which end in line and column.
    fn told(path: &str, words: &str) -> Fault {
        let (problem, at) = words.split_once(" at line ").unwrap_or((words, ""));
        let at = at.replacen(" column", ", column", 1);
        let place = if path == "." && !at.is_empty() { format!("line {at}") } else { path.into() };
        Fault { place, problem: problem.into() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde::Deserialize;

    #[derive(Debug, Deserialize, PartialEq, Serialize)]
    #[serde(deny_unknown_fields)]
    struct Ring {
        inside: f64,
    }

    #[derive(Debug, Deserialize, PartialEq, Serialize)]
    struct Chain {
        name: String,
        rings: Vec<Ring>,
    }

    #[test]
    fn what_is_written_is_read_again() {
        let chain = Chain { name: "a \"b\"".into(), rings: vec![Ring { inside: 0.1 }] };
        for text in [line(&chain), lines(&chain), as_value(&chain).to_string()] {
            assert_eq!(read::<Chain>(&text).as_ref(), Ok(&chain), "{text}");
        }
        assert_eq!(read_value::<Chain>(as_value(&chain)), Ok(chain));
        assert_eq!(line(&3.5), serde_json::to_string(&3.5).unwrap());
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
            ("{}", "line 1, column 2", "missing field `name`"),
            (r#"{"name": "", "rings": []} more"#, "line 1, column 27", "trailing"),
        ] {
            let fault = read::<Chain>(text).unwrap_err();
            assert_eq!(fault.place, place, "{text}: {fault}");
            assert!(
                fault.problem.contains(problem) && !fault.problem.contains(" at line"),
                "{fault}"
            );
        }
    }
}
