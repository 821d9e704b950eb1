//! The plan of a whole chain: whether it is finished, what it takes, in a maker's words.

use super::hand::hand_report;
use super::hand_share::HandShare;
use super::join::{JoinAnswer, JoinReport};
use super::plan_report::{
    CostReport, EndReport, Mass, PitchReport, PlanJoin, PlanReport, PlanStanding, PlannedChain,
    SizePlan, SizeRunReport,
};
use super::wording::{measured, words};
use super::{names, pairs};
use crate::answers::build::BuildError;
use crate::answers::plan::{Cost, EndFit, Hand, Plan, PlanError, PlanTable, SizeRun, csv};
use crate::documents::bench::Bench;
use crate::documents::design::{Design, LengthBasis};
use crate::documents::maker_text::in_list;
use crate::documents::units::{
    LengthUnit, length_text, length_words_down, length_words_up, wire_text,
};
use crate::geometry::link::Forming;
use crate::math::units::{MM_PER_FOOT, Mm};

/// What stands beside every plan of a chain that may lie round a neck.
const NECK_CAUTIONS: [&str; 3] = [
    "A chain round a neck must part before it harms: a clasp that opens or one weak link, tried by pulling, not computed.",
    "Not for children; take off before sleep. Local codes for children's jewellery and toys (cords and loops about the neck, breakaway force) come before anything written here.",
    "Solder: cadmium-free only, eyes protected, air moving. Pickle: acid into water, never water into acid.",
];

impl PlanReport {
    /// The plan of `design` with every join proven; with cost and hours by `bench`.
    ///
    /// # Errors
    /// [`BuildError`] where a size cannot be formed.
    pub fn proven(design: &Design, bench: Option<&Bench>) -> Result<PlanReport, BuildError> {
        let formings = design.formings()?;
        let joins = super::prove_all(design, &formings, LengthUnit::Mm);
        let plan = Plan::of(design, &formings);
        Ok(PlanReport::of(design, &formings, &plan, &joins, bench, (LengthUnit::Mm, true)))
    }

    /// What is said of `plan`, made for `design`, whose sizes are worked to `formings` and whose
    /// joins, in the order of [`super::pairs`], are `joins`; with cost and hours where a bench is given. The share
    /// that an uneven hand fails at takes a second or so, and is left out unless `with_hand`.
    pub fn of(
        design: &Design,
        formings: &[Forming],
        plan: &Result<Plan, PlanError>,
        joins: &[JoinReport],
        bench: Option<&Bench>,
        (unit, with_hand): (LengthUnit, bool),
    ) -> PlanReport {
        let choice = design.plan.clone().unwrap_or_default();
        let hand = Hand::of(design, formings, &choice);
        let names = names(design, unit);
        let told = hand_report(&hand, &names, unit);
        let cautions = NECK_CAUTIONS.map(String::from).to_vec();
        let plan = match plan {
            Ok(plan) => plan,
            Err(fault) => {
                return PlanReport {
                    standing: PlanStanding::NotLaidOut,
                    message: format!("No plan: {}.", fault.message(&names, unit)),
                    field: Some(fault.field()),
                    laid: None,
                    hand: told,
                    cautions,
                };
            }
        };
        let joined = plan_joins(plan, joins, formings.len());
        let share = || {
            let mut share = HandShare::new(plan.layout.joins());
            share.find(formings, &hand);
            share.report(design.weave.weave(), unit)
        };
        let failing = if with_hand { share() } else { None };
        let cost = bench.map(|bench| cost_report(&Cost::of(design, &plan.materials, bench), bench));
        let laid = laid(plan, design, formings, &names, joined, unit);
        let (standing, message) = verdict(&laid, unit);
        let laid = Some(PlannedChain { failing, cost, ..laid });
        PlanReport { standing, message, field: None, laid, hand: told, cautions }
    }

    /// Judges anew by `joins`, of which more may be proven by now.
    pub fn judge(&mut self, joins: &[JoinReport], unit: LengthUnit) {
        let Some(laid) = &mut self.laid else { return };
        for own in &mut laid.joins {
            if let Some(join) = joins.get(own.join) {
                own.verdict = join.verdict;
                own.basis = join.basis.clone();
            }
        }
        (self.standing, self.message) = verdict(laid, unit);
    }
}

/// A table of `plan`, made for `design`, as comma-separated text.
pub fn plan_table(design: &Design, formings: &[Forming], plan: &Plan, table: PlanTable) -> String {
    csv(plan, formings, &names(design, LengthUnit::Mm), table)
}

fn plan_joins(plan: &Plan, joins: &[JoinReport], sizes: usize) -> Vec<PlanJoin> {
    let all: Vec<(usize, usize)> = pairs(sizes).collect();
    let of = |(receiving, incoming, count)| {
        let index = all.iter().position(|pair| *pair == (receiving, incoming))?;
        let join = joins.get(index)?;
        Some(PlanJoin {
            join: index,
            receiving: join.receiving.clone(),
            incoming: join.incoming.clone(),
            count,
            verdict: join.verdict,
            basis: join.basis.clone(),
        })
    };
    plan.layout.joins().into_iter().filter_map(of).collect()
}

fn verdict(laid: &PlannedChain, unit: LengthUnit) -> (PlanStanding, String) {
    let joins = &laid.joins;
    let fails = |join: &&PlanJoin| {
        matches!(join.verdict, JoinAnswer::DoesNotPass | JoinAnswer::LikelyDoesNotPass)
    };
    let proven =
        |join: &&PlanJoin| matches!(join.verdict, JoinAnswer::Passes | JoinAnswer::PassesIfSprung);
    let named = |join: &PlanJoin| format!("{} through {}", join.incoming, in_list(&join.receiving));
    let all =
        |chosen: Vec<&PlanJoin>| chosen.into_iter().map(named).collect::<Vec<String>>().join(", ");
    let reached = format!(
        "{} links reach {}; {} wanted",
        laid.links,
        length_text(laid.length_mm, unit),
        length_text(laid.wanted_mm, unit)
    );
    let failing: Vec<&PlanJoin> = joins.iter().filter(fails).collect();
    let open: Vec<&PlanJoin> = joins.iter().filter(|join| !fails(join) && !proven(join)).collect();
    if !failing.is_empty() {
        let message = format!("Plan not complete: {} does not join. {reached}.", all(failing));
        (PlanStanding::Fails, message)
    } else if !open.is_empty() {
        let message =
            format!("Plan not complete yet: still to be proven: {}. {reached}.", all(open));
        (PlanStanding::Open, message)
    } else {
        (PlanStanding::Finished, format!("Plan complete: all links join. {reached}."))
    }
}

fn laid(
    plan: &Plan,
    design: &Design,
    formings: &[Forming],
    names: &[String],
    joins: Vec<PlanJoin>,
    unit: LengthUnit,
) -> PlannedChain {
    let (layout, materials) = (&plan.layout, &plan.materials);
    let size = |(index, found): (usize, &crate::answers::plan::SizeMaterials)| SizePlan {
        name: names[index].clone(),
        wire_diameter_mm: found.wire_diameter,
        mandrel_mm: formings[index].setting.mandrel,
        width_mm: 2.0 * formings[index].eight.end_radius + found.wire_diameter,
        links: found.links,
        trial_links: found.trials,
        spare_rings: found.spare,
        rings: found.rings(),
        rings_per_coil: found.rings_per_coil,
        coils: found.coils,
        wire_per_ring_mm: found.wire_per_ring,
        coil_ends_mm: found.ends,
        wire_mm: found.wire,
        link_grams: found.link_grams,
        wire_grams: found.wire_grams,
    };
    let stretch = |run: SizeRun| {
        let SizeRun { size, links, from: from_mm, to: to_mm, .. } = run;
        SizeRunReport { size, links, from_mm, to_mm }
    };
    let pitches = layout.pairs.iter().map(|pair| PitchReport {
        before: pair.before,
        after: pair.after,
        count: pair.count,
        pitch_mm: pair.advance,
    });
    let worn = plan.choice.measured != LengthBasis::Flat;
    PlannedChain {
        wanted_mm: plan.wanted,
        length_mm: layout.length,
        nearest_mm: plan.nearest,
        clasp_mm: layout.clasp,
        beyond_mm: layout.beyond,
        inside_mm: worn.then(|| plan.inside()),
        thickness_mm: plan.thickness,
        links: materials.links(),
        rings: materials.rings(),
        sizes: materials.sizes.iter().enumerate().map(size).collect(),
        size_runs: layout.size_runs().into_iter().map(stretch).collect(),
        pitches: pitches.collect(),
        joins,
        wire_mm: materials.wire(),
        wire_feet: materials.wire() / MM_PER_FOOT,
        wire_mass: Mass::of(materials.wire_grams()),
        chain_mass: Mass::of(materials.chain_grams()),
        solder: solder_words(design, materials.rings(), materials.wire(), unit),
        ends: vec![
            end_report("first", "round the first link's fold", &plan.ends[0], unit),
            end_report("last", "through the last link's lobes", &plan.ends[1], unit),
        ],
        failing: None,
        cost: None,
    }
}

/// Common practice, no source.
fn solder_words(design: &Design, rings: usize, wire: f64, unit: LengthUnit) -> Vec<String> {
    let pallions = format!(
        "{rings} rings of {} wire in all: one pallion of solder each, and flux on every seam.",
        wire_text(wire, unit)
    );
    let order = match design.metal.id.as_str() {
        "titanium" | "niobium" | "aluminium" => {
            "This metal is not soldered at a torch: its rings are welded, or bought closed."
        }
        "fine-silver" => {
            "Hard solder first, or none: fine silver rings can be fused. What is soldered later, clasp and end rings, takes medium, then easy, so that no earlier seam runs."
        }
        _ => {
            "Hard solder first: rings are heated again to be annealed, and a hard seam stands that. What is soldered later, clasp and end rings, takes medium, then easy, so that no earlier seam runs."
        }
    };
    vec![pallions, order.into()]
}

fn end_report(link: &str, place: &str, grip: &EndFit, unit: LengthUnit) -> EndReport {
    let ring = format!(
        "A ring of {} wire, {} inside,",
        words(grip.ring.wire, unit),
        words(grip.ring.inside, unit)
    );
    let up = |mm: f64| length_words_up(Mm::new(mm), unit);
    let down = |mm: f64| length_words_down(Mm::new(mm), unit);
    let message = if grip.fits() {
        format!("{ring} goes {place} with a clearance of {}.", measured(grip.clearance, unit))
    } else {
        let suggestions = [
            grip.inside_for.map(|mm| format!("{} inside", up(mm))),
            grip.wire_for.map(|mm| format!("{} wire", down(mm))),
        ];
        let suggestions: Vec<String> = suggestions.into_iter().flatten().collect();
        let suggestion = if suggestions.is_empty() {
            "No larger or thinner one does either.".to_string()
        } else {
            format!("It would with {}.", suggestions.join(", or with "))
        };
        format!(
            "{ring} does not go {place}: it lacks {}. {suggestion}",
            measured(-grip.clearance, unit)
        )
    };
    EndReport { link: link.into(), fits: grip.fits(), clearance_mm: grip.clearance, message }
}

fn cost_report(cost: &Cost, bench: &Bench) -> CostReport {
    CostReport {
        hours: cost.hours,
        metal: cost.metal,
        solder: cost.solder,
        fixed: cost.fixed,
        work: cost.work,
        total: cost.total(),
        currency: bench.currency.clone(),
    }
}
