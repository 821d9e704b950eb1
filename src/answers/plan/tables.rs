//! Tables for a spreadsheet: comma-separated, as RFC 4180 has it. A name that a spreadsheet would
//! take for a formula is told as text, by an apostrophe before it (OWASP, "CSV Injection").

use super::Plan;
use crate::geometry::link::Forming;

/// Which table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlanTable {
    /// The chain from end to end, stretch by stretch of one size.
    Chain,
    /// What to wind and saw, size by size.
    Cuts,
}

/// The table as text; `names` of the sizes.
pub fn csv(plan: &Plan, formings: &[Forming], names: &[String], table: PlanTable) -> String {
    let rows = match table {
        PlanTable::Chain => chain(plan, names),
        PlanTable::Cuts => cuts(plan, formings, names),
    };
    let mut text = String::new();
    for row in rows {
        let fields: Vec<String> = row.iter().map(|field| quoted(field)).collect();
        text += &fields.join(",");
        text += "\r\n";
    }
    text
}

fn quoted(field: &str) -> String {
    if field.contains([',', '"', '\r', '\n']) {
        format!("\"{}\"", field.replace('"', "\"\""))
    } else {
        field.into()
    }
}

/// A name, which is no formula whatever it begins with; spaces before it do not make it one less.
fn as_text(name: &str) -> String {
    let formula =
        ['=', '+', '-', '@', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}', '\t', '\r', '\n'];
    let is_formula = name.starts_with(formula) || name.trim_start().starts_with(formula);
    if is_formula { format!("'{name}") } else { name.to_owned() }
}

fn mm(length: f64) -> String {
    format!("{length:.3}")
}

fn header(names: &[&str]) -> Vec<String> {
    names.iter().map(|name| (*name).to_owned()).collect()
}

fn chain(plan: &Plan, names: &[String]) -> Vec<Vec<String>> {
    let mut rows =
        vec![header(&["stretch", "size", "links", "first link", "last link", "from mm", "to mm"])];
    for (stretch, run) in plan.layout.size_runs().into_iter().enumerate() {
        rows.push(vec![
            (stretch + 1).to_string(),
            as_text(&names[run.size]),
            run.links.to_string(),
            (run.first + 1).to_string(),
            (run.first + run.links).to_string(),
            mm(run.from),
            mm(run.to),
        ]);
    }
    rows
}

fn cuts(plan: &Plan, formings: &[Forming], names: &[String]) -> Vec<Vec<String>> {
    let mut rows = vec![header(&[
        "size",
        "wire diameter mm",
        "mandrel mm",
        "links",
        "trial links",
        "spare rings",
        "rings to saw",
        "rings a coil",
        "coils",
        "wire a ring mm",
        "wire mm",
        "metal g",
    ])];
    for (size, found) in plan.materials.sizes.iter().enumerate() {
        rows.push(vec![
            as_text(&names[size]),
            mm(found.wire_diameter),
            mm(formings[size].setting.mandrel),
            found.links.to_string(),
            found.trials.to_string(),
            found.spare.to_string(),
            found.rings().to_string(),
            found.rings_per_coil.to_string(),
            found.coils.to_string(),
            mm(found.wire_per_ring),
            mm(found.wire),
            format!("{:.3}", found.wire_grams),
        ]);
    }
    rows
}
