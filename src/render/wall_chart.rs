//! The chart for the wall as a page to print.

use crate::answers::wall_chart::{ChartEntry, LeastRing, WallChart};
use crate::documents::gauge::GaugeSystem;
use std::fmt::Write;

const STYLE: &str = "body { font: 10pt/1.3 sans-serif; color: #000; background: #fff; \
max-width: 19cm; margin: .8cm auto; padding: 0 .3cm; }
h1, h2 { font-family: serif; margin: .4em 0 .2em; }
section { break-inside: avoid; }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; }
th, td { border-bottom: 1px solid #999; padding: .12em .5em; text-align: right; }
th:first-child, td:first-child { text-align: left; white-space: nowrap; }
";

/// The charts as one HTML file.
///
/// # Examples
/// ```
/// use linkfold::documents::gauge::GaugeSystem;
/// assert!(linkfold::render::wall_chart(&[], GaugeSystem::Awg).starts_with("<!doctype html>"));
/// ```
pub fn wall_chart(charts: &[WallChart], system: GaugeSystem) -> String {
    let mut text = format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>Wire and mandrel</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n\
         <h1>Wire and mandrel for loop-in-loop chain</h1>\n\
         <p>{}. Round wire, the usual tools, a saw cut of 0.26 mm, no springback. Every mandrel here is proven to join; \
         comfortable means that a tenth of the wire is to spare all the way. Make a trial link all the same.</p>\n",
        system.name()
    );
    for chart in charts {
        section(&mut text, chart);
    }
    text += "</body>\n</html>\n";
    text
}

fn section(text: &mut String, chart: &WallChart) {
    let ratio = |ratio: Option<f64>| ratio.map_or("none found".into(), |ratio| up(ratio, 10.0));
    // Writing to a string cannot fail.
    let _ = write!(
        text,
        "<section>\n<h2>{}</h2>\n<p>Ring inside over wire: from {}, comfortable from {}{}.</p>\n<table>\n<thead><tr>\
         <th>Wire</th><th>Smallest mandrel, mm</th><th>Comfortable, mm</th><th>Its ring inside, mm</th>\
         <th>Wire per ring, mm</th><th>Links in 100 mm</th></tr></thead>\n<tbody>\n",
        capitalised(chart.weave),
        ratio(chart.least_ratio),
        ratio(chart.comfortable_ratio),
        chart.any_jaws.as_ref().map_or(String::new(), other_jaws)
    );
    for row in &chart.rows {
        let shown = row.comfortable.or(row.joins);
        let mandrel =
            |entry: Option<ChartEntry>| entry.map_or("–".into(), |e| trimmed(e.mandrel_mm));
        let cell = |of: fn(ChartEntry) -> String| shown.map_or("–".into(), of);
        let _ = writeln!(
            text,
            "<tr><td>{} · {:.2} mm</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td></tr>",
            row.gauge.short(),
            row.wire_mm,
            mandrel(row.joins),
            mandrel(row.comfortable),
            cell(|e| format!("{:.1}", e.ring_inside_mm)),
            cell(|e| up(e.ring_wire_mm, 1.0)),
            cell(|e| up(e.links_per_100_mm, 1.0)),
        );
    }
    *text += "</tbody>\n</table>\n</section>\n";
}

/// From which ratio on other jaws join, and which; in wires.
fn other_jaws(any: &LeastRing) -> String {
    let neck = match any.neck > 0.0 {
        true => format!(", half the neck {}", trimmed(any.neck)),
        false => String::new(),
    };
    format!(
        "; with other jaws from {}, in wires: bore {}, fold jaw {}{neck}, pinch jaws {}",
        up(any.ratio, 100.0),
        trimmed(any.bore),
        trimmed(any.fold_jaw),
        trimmed(any.pinch_jaw)
    )
}

/// Rounded up, so that there is enough.
fn up(value: f64, per_unit: f64) -> String {
    trimmed((value * per_unit).ceil() / per_unit)
}

/// Without zeros at the end.
fn trimmed(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

fn capitalised(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}
