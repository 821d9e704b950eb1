//! The bench sheet: every size of link true to scale on paper, to lay a link on, with what to
//! measure, where the jaws have the diameters wanted, how many rings, and a box for each step.
//!
//! Conventions: mm on paper; drawings have the paper's middle at the origin, y up, as every
//! [`Drawing`]. What does not fit a page flows on to the next; an outline larger than
//! the paper is left out, and the sheet says so.
//! Evidence: `tests/sheet.rs`; printed by a browser: `tests/end_to_end/sheet.rs`.

mod blocks;
mod flow;
mod jaws;
mod outline;
mod pages;
mod paper;
mod wording;

pub use outline::Outline;
pub use paper::{Paper, document};

use crate::answers::plan::Plan;
use crate::answers::report::{CAUTIONS, MetalReport, ToolNote};
use crate::documents::bench::Bench;
use crate::documents::design::{Design, Shapes};
use crate::documents::maker_text::in_list;
use crate::documents::units::{LengthUnit, length_text, mass_text, stock_text, wire_text};
use crate::geometry::link::{Forming, ToolDimensions};

/// What stands on a bench sheet.
#[derive(Clone, Debug)]
pub struct Sheet<'a> {
    /// What the maker calls the chain.
    pub name: String,
    /// Weave, metal and the like, in a line.
    pub about: String,
    /// Whether its links join, in a sentence; empty where that was not asked.
    pub verdict: String,
    /// The sizes of link.
    pub sizes: Vec<SheetSize<'a>>,
    /// Sentences before the table: the working order, wire in all.
    pub plan: Vec<String>,
    /// Whose pliers are marked; none where the maker has told of none.
    pub bench: Option<&'a Bench>,
    /// What lengths are written in.
    pub unit: LengthUnit,
    /// A link that opens the design; none where the page is on one computer only.
    pub link: Option<String>,
    /// What stands beside every mention of torch, acid and load.
    pub cautions: &'a [&'a str],
}

/// A size of link on a bench sheet.
#[derive(Clone, Debug)]
pub struct SheetSize<'a> {
    /// What the maker calls it.
    pub name: String,
    /// Its wire as the maker calls it: a gauge, or a length.
    pub wire: String,
    /// Its shapes.
    pub forming: &'a Forming,
    /// Rings to make of it; none where they are not planned.
    pub rings: Option<usize>,
    /// What the tools are set to, springback allowed for; the design's where that is not known.
    pub setting: ToolDimensions,
    /// The same in sentences, tool by tool.
    pub tools: Vec<String>,
}

/// The tools of a size as they are set: with springback allowed for, where the design's figures are
/// the finished link's.
fn set_tools(
    design: &Design,
    index: usize,
    forming: &Forming,
    metal: Option<&MetalReport>,
) -> ToolDimensions {
    let typed = design.settings().ok().and_then(|all| all.get(index).copied());
    let typed = typed.unwrap_or(forming.setting);
    if design.metal.shapes == Shapes::AfterSpringback {
        return typed;
    }
    let jaws = metal.and_then(|metal| metal.working.as_ref()?.jaws.as_ref());
    jaws.map_or(typed, |jaws| ToolDimensions {
        oval_jaw: jaws.oval_jaw_mm,
        pinch_jaw: jaws.pinch_jaw_mm,
        fold_jaw: jaws.fold_jaw_mm,
        ..typed
    })
}

impl<'a> Sheet<'a> {
    /// The sheet of a design whose sizes are worked to `formings`, its counts not planned.
    pub fn of(
        design: &Design,
        formings: &'a [Forming],
        bench: Option<&'a Bench>,
        unit: LengthUnit,
    ) -> Sheet<'a> {
        let size = |(i, forming): (usize, &'a Forming)| {
            let given = design.sizes.get(i).map_or("", |size| size.name.trim());
            let own = || format!("{} mandrel", stock_text(forming.setting.mandrel, unit));
            let name = if given.is_empty() { own() } else { given.to_owned() };
            let gauge = design.wire_choice(i).gauge.map(|gauge| gauge.short());
            let wire = gauge.unwrap_or_else(|| length_text(forming.setting.wire, unit));
            let metal = MetalReport::of(design, i, unit).ok();
            let setting = set_tools(design, i, forming, metal.as_ref());
            let working = metal.as_ref().and_then(|metal| metal.working.as_ref());
            // The advice is its first sentence.
            let anneal = working.map(|working| working.anneal.message.split(": ").next());
            let anneal = anneal.flatten().filter(|words| words.starts_with("Anneal"));
            let mut tools: Vec<String> =
                metal.iter().flat_map(|metal| metal.tools.iter().map(ToolNote::line)).collect();
            tools.extend(anneal.map(String::from));
            SheetSize { name, wire, forming, rings: None, setting, tools }
        };
        let weave = design.weave.weave().name();
        let metal = design.metal.metal().map(|metal| metal.name().to_owned());
        let meant = match design.metal.shapes {
            Shapes::AsTheJawsLeaveThem => "",
            Shapes::AfterSpringback => " Outlines: what these tools leave.",
        };
        Sheet {
            name: design.name.clone(),
            about: format!(
                "Weave: {weave}. Metal: {}.{meant}",
                metal.as_deref().unwrap_or("not chosen")
            ),
            verdict: String::new(),
            sizes: formings.iter().enumerate().map(size).collect(),
            plan: Vec::new(),
            bench,
            unit,
            link: None,
            cautions: &CAUTIONS,
        }
    }

    /// Takes the counts, the order and the wire of a plan of the same design.
    pub fn take_plan(&mut self, plan: &Plan) {
        for (size, planned) in self.sizes.iter_mut().zip(&plan.materials.sizes) {
            size.rings = Some(planned.rings());
        }
        let (links, rings) = (plan.materials.links(), plan.materials.rings());
        let order = &plan.layout.order;
        let runs = order.chunk_by(|a, b| a == b).filter_map(|run| Some((run.len(), *run.first()?)));
        let told = |(count, size): (usize, usize)| match self.sizes.get(size) {
            Some(size) if self.sizes.len() > 1 => format!("{count} {}", in_list(&size.name)),
            _ => format!("{count}"),
        };
        let length = length_text(plan.layout.length, self.unit);
        let runs: Vec<String> = runs.map(told).collect();
        let wire = wire_text(plan.materials.wire(), self.unit);
        self.plan = vec![
            format!(
                "Join {links} links, from one end: {}. The chain is then {length} long.",
                runs.join(", ")
            ),
            format!(
                "Make {rings} rings, trial links and spare ones among them: {wire} of wire, {}.",
                mass_text(plan.materials.wire_grams(), self.unit)
            ),
        ];
    }

    /// What the document is called.
    pub fn title(&self) -> String {
        let name = self.name.trim();
        if name.is_empty() { "Bench sheet".into() } else { format!("Bench sheet: {name}") }
    }
}
