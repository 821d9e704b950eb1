//! What was asked and what the core answered, last time it had an answer.

use super::drape_state::{DrapeState, Draped, HandBend, Live, OfDesign};
use super::tasks::{MadeJig, Planned, Proof, Task};
use crate::answers::report::{
    ChainAnalysis, DesignVerdict, HandFound, HandShare, JoinReport, MetalReport, PlayedPath,
    ProvenJoin, Report, SizeReport, SuggestionReport, UncorrectedPart, UncorrectedReport, pairs,
    uncorrected_so_far,
};

use crate::answers::build::BuildError;
use crate::answers::jig::JigRequest;
use crate::documents::bench::Bench;
use crate::documents::design::Design;
use crate::documents::units::{LengthUnit, length_text};
use crate::geometry::curve::Pose;
use crate::geometry::link::Forming;
use crate::motion::chain::{Bent, Body};
use crate::motion::drape::Worn;
use crate::motion::insertion::PROOF_PARTS;
use crate::render::{Joining, Pace};
use std::cell::{OnceCell, Ref};
use std::rc::Rc;

/// A design that can be worked, and the answer to it.
pub struct Analysis {
    /// The design.
    pub design: Design,
    /// Which of its sizes is looked at.
    pub size: usize,
    /// What the maker measures in.
    pub unit: LengthUnit,
    /// Every size worked through its steps.
    pub formings: Vec<Forming>,
    /// The answer; its sentences speak `unit`. A join's is by estimate until it is proven.
    pub report: Report,
    /// What is known beyond the estimate of each join.
    joins: Vec<Known>,
    /// Nothing can be proven here: the estimates stand.
    pub unprovable: bool,
    /// The plan, once it has been asked for; the share that an uneven hand fails at comes later.
    pub planned: Option<Planned>,
    /// That share as far as it is known.
    hand: Option<HandShare>,
    /// The gauge or the jig that was asked for last.
    pub jig: Option<MadeJig>,
    /// What comes of tools without a correction, once it has been asked for; inner none where there
    /// is nothing to say.
    pub uncorrected: Option<Option<UncorrectedReport>>,
    /// The same of each join as far as it is known; inner none where there is none.
    uncorrected_joins: Vec<Option<Option<JoinReport>>>,
    /// The chain, once it has been asked for.
    pub drape_state: DrapeState,
    /// The metal section of each size, once it has been asked for.
    metals: Vec<OnceCell<Option<MetalReport>>>,
}

/// What is known of a join.
#[derive(Clone, Default)]
struct Known {
    /// Whether its report is the proven one.
    is_proven: bool,
    /// Its ways, the better first; none until they are found.
    paths: Vec<PlayedPath>,
    /// Whether other jaws have been looked for.
    are_jaws_known: bool,
    /// Of each part of the proof that there is no joined pose, whether it was found; none until it
    /// is known.
    refusal: [Option<bool>; PROOF_PARTS],
    /// Where others lie already.
    before: Vec<Pose>,
    /// How each way goes: where it is tight, where it sticks; looked for once.
    paces: [OnceCell<Pace>; 2],
}

impl Analysis {
    /// Asks the core about `design`.
    ///
    /// # Errors
    /// [`BuildError`] where it cannot be worked.
    pub fn of(design: Design, size: usize, unit: LengthUnit) -> Result<Analysis, BuildError> {
        let formings = design.formings()?;
        let report = Report::at_once(&design, &formings, unit);
        let size = size.min(design.sizes.len().saturating_sub(1));
        let joins = vec![Known::default(); report.joins.len()];
        let uncorrected_joins = vec![None; joins.len()];
        let unprovable = false;
        let metals = unasked(design.sizes.len());
        let drape_state = DrapeState::new();
        Ok(Analysis {
            design,
            size,
            unit,
            formings,
            report,
            joins,
            unprovable,
            planned: None,
            hand: None,
            jig: None,
            uncorrected: None,
            uncorrected_joins,
            drape_state,
            metals,
        })
    }

    /// The same in another unit; proofs must be put into words anew.
    pub fn set_unit(&mut self, unit: LengthUnit) {
        self.unit = unit;
        self.drape_state = DrapeState::new();
        self.drop_plan();
        self.jig = None;
        self.uncorrected = None;
        self.uncorrected_joins.fill(None);
        self.report = Report::at_once(&self.design, &self.formings, unit);
        self.joins.iter_mut().for_each(|join| join.is_proven = false);
        self.metals = unasked(self.design.sizes.len());
    }

    /// The metal section of the size looked at; asked for once.
    pub fn metal(&self) -> Option<&MetalReport> {
        self.metal_of(self.size)
    }

    /// The metal section of a size; asked for once.
    pub fn metal_of(&self, size: usize) -> Option<&MetalReport> {
        let bore = self.report.joins.get(size).and_then(JoinReport::threading_bore);
        let ask = || MetalReport::threaded(&self.design, size, bore, self.unit).ok();
        self.metals.get(size)?.get_or_init(ask).as_ref()
    }

    /// The steps of the size looked at.
    pub fn forming(&self) -> Option<&Forming> {
        self.formings.get(self.size)
    }

    /// The size looked at.
    pub fn size_report(&self) -> Option<&SizeReport> {
        self.report.sizes.get(self.size)
    }

    /// The size looked at, joined to its own kind.
    pub fn join_report(&self) -> Option<&JoinReport> {
        self.report.joins.get(self.size)
    }

    /// Whether a join still has to be proven.
    pub fn is_open(&self, index: usize) -> bool {
        !self.unprovable && self.joins.get(index).is_some_and(|join| !join.is_proven)
    }

    /// The task of proving a join.
    pub fn task(&self, index: usize) -> Task {
        Task::Prove(Proof { design: self.design.clone(), index, unit: self.unit })
    }

    /// Takes what was proven of a join.
    pub fn take_proof(&mut self, index: usize, proven: ProvenJoin) {
        if let (Some(report), Some(join)) =
            (self.report.joins.get_mut(index), self.joins.get_mut(index))
        {
            let ProvenJoin { report: proven, paths, before } = proven;
            // How far a lobe is pressed is known from the join only.
            if let Some(metal) =
                self.metals.get_mut(index).filter(|_| proven.threading_bore().is_some())
            {
                *metal = Default::default();
            }
            *report = proven;
            let refusal = join.refusal;
            *join = Known { is_proven: true, paths, before, refusal, ..Known::default() };
        }
        self.judge(index);
    }

    /// Brings what is said of a join, in whichever unit, and of the plan to what is known of it.
    fn judge(&mut self, index: usize) {
        let known = self.joins.get(index).map(|join| join.refusal);
        if known == Some([Some(true); PROOF_PARTS])
            && let Some(report) = self.report.joins.get_mut(index)
        {
            report.take_refusal_proof(self.unit);
        }
        if let Some(planned) = &mut self.planned {
            planned.report.judge(&self.report.joins, self.unit);
        }
    }

    /// The task of looking for other jaws for the size looked at, where its own want for clearance
    /// and it was not done yet.
    pub fn jaws_task(&self) -> Option<Task> {
        let (size, unit) = (self.size, self.unit);
        let known = self.joins.get(size).filter(|known| known.is_proven && !known.are_jaws_known);
        let join = known
            .and(self.join_report())
            .filter(|join| DesignVerdict::of(join) != DesignVerdict::Yes)?;
        let join = Box::new(join.clone());
        Some(Task::OtherJaws { design: self.design.clone(), size, join, unit })
    }

    /// The next part of the proof that a refused join has no joined pose, and of which join, while none
    /// has failed; `asked` are the parts asked for already.
    pub fn refusal_task(&self, asked: impl Fn(usize) -> Vec<usize>) -> Option<(usize, Task)> {
        for (index, (known, report)) in self.joins.iter().zip(&self.report.joins).enumerate() {
            let is_open = known.is_proven
                && report.is_refused_at_rest()
                && !known.refusal.contains(&Some(false));
            let asked = asked(index);
            let wanted = |part: &usize| known.refusal[*part].is_none() && !asked.contains(part);
            if let Some(part) = (0..PROOF_PARTS).find(|part| is_open && wanted(part)) {
                return Some((index, Task::Refusal { design: self.design.clone(), index, part }));
            }
        }
        None
    }

    /// Takes a part of that proof, or that it was not found.
    pub fn take_refusal(&mut self, index: usize, part: usize, is_proven: bool) {
        let join = self.joins.get_mut(index);
        if let Some(known) = join.and_then(|join| join.refusal.get_mut(part)) {
            *known = Some(is_proven);
        }
        self.judge(index);
    }

    /// Takes the change to other jaws that was found for a size.
    pub fn take_jaws(&mut self, size: usize, found: Option<SuggestionReport>) {
        if let (Some(report), Some(join)) =
            (self.report.joins.get_mut(size), self.joins.get_mut(size))
        {
            found.into_iter().for_each(|change| report.suggest(change));
            join.are_jaws_known = true;
        }
    }

    /// The next joins asked for what comes of tools without a correction, the first by itself, which
    /// mostly decides; `asked` are those asked for already, `share_of` says how many of those left.
    pub fn uncorrected_task(
        &self,
        asked: &[usize],
        share_of: impl Fn(usize) -> usize,
    ) -> Option<Task> {
        let first = self.uncorrected_joins.first().is_some_and(Option::is_none);
        let known = self.uncorrected_joins.iter().take(if first { 1 } else { usize::MAX });
        let open = known.enumerate();
        let open = open.filter(|(index, known)| known.is_none() && !asked.contains(index));
        let mut joins: Vec<usize> = open.map(|(index, _)| index).collect();
        if self.uncorrected.is_some() || joins.is_empty() {
            return None;
        }
        joins.truncate(share_of(joins.len()));
        Some(Task::Uncorrected { design: self.design.clone(), joins, unit: self.unit })
    }

    /// Takes what comes of tools without a correction for a join.
    pub fn take_uncorrected(&mut self, index: usize, part: UncorrectedPart) {
        if self.uncorrected.is_some() {
            return;
        }
        match (part, self.uncorrected_joins.get_mut(index)) {
            (UncorrectedPart::Whole(whole), _) => self.uncorrected = Some(whole),
            (UncorrectedPart::Join(join), Some(known)) => *known = Some(join.map(|join| *join)),
            _ => {}
        }
        if self.uncorrected.is_none() {
            self.uncorrected = uncorrected_so_far(&self.design, &self.uncorrected_joins, self.unit);
        }
    }

    /// The plan is to be asked for anew.
    pub fn drop_plan(&mut self) {
        (self.planned, self.hand) = (None, None);
    }

    /// The task of planning the chain, where it was not done yet.
    pub fn plan_task(&self, bench: &Bench) -> Option<Task> {
        if self.planned.is_some() {
            return None;
        }
        let (design, joins) = (self.design.clone(), self.report.joins.clone());
        Some(Task::Plan { design, joins, bench: Box::new(bench.clone()), unit: self.unit })
    }

    /// Takes the plan; of its joins more may be proven by now.
    pub fn take_plan(&mut self, mut planned: Planned) {
        planned.report.judge(&self.report.joins, self.unit);
        self.hand = planned.report.laid.as_ref().map(|_| HandShare::new(planned.hangs.clone()));
        self.planned = Some(planned);
    }

    /// The next parts of the share that an uneven hand fails at, likewise.
    pub fn hand_task(&self, asked: &[usize], share_of: impl Fn(usize) -> usize) -> Option<Task> {
        let mut parts = self.hand.as_ref().map(HandShare::parts)?;
        parts.retain(|part| !asked.contains(&part.number()));
        parts.truncate(share_of(parts.len()));
        (!parts.is_empty()).then(|| Task::Hand { design: self.design.clone(), parts })
    }

    /// Takes a part of it.
    pub fn take_hand(&mut self, found: &HandFound) {
        let Some(hand) = &mut self.hand else { return };
        hand.take(found);
        let laid = self.planned.as_mut().and_then(|planned| planned.report.laid.as_mut());
        if let Some(laid) = laid {
            laid.failing = hand.report(self.design.weave.weave(), self.unit);
        }
    }

    /// The task of making a gauge or a jig, where the last one is another.
    pub fn jig_task(&self, request: JigRequest) -> Option<Task> {
        let is_made = self.jig.as_ref().is_some_and(|jig| jig.request == request);
        let (design, unit) = (self.design.clone(), self.unit);
        (!is_made).then_some(Task::Jig { design, request, unit })
    }

    /// A join to be played, by the order of work chosen.
    pub fn joining(&self, index: usize, path: usize) -> Option<Joining<'_>> {
        let (a, b) = pairs(self.formings.len()).nth(index)?;
        let Known { paths, before, .. } = self.joins.get(index)?;
        let path = paths.get(path).or(paths.first());
        let (receiving, incoming) = (self.formings.get(a)?, self.formings.get(b)?);
        Some(Joining { receiving, incoming, before, path })
    }

    /// Where a join is tight and where it sticks, by an order of work.
    pub fn pace(&self, index: usize, path: usize) -> Option<Pace> {
        let joining = self.joining(index, path)?;
        let paces = &self.joins.get(index)?.paces;
        Some(*paces.get(path).or(paces.first())?.get_or_init(|| Pace::of(&joining)))
    }

    /// Whether links of the size looked at are known, or thought, not to join: then no chain of
    /// them is shown.
    pub fn cannot_be_joined(&self) -> bool {
        self.join_report().is_some_and(|join| DesignVerdict::of(join) == DesignVerdict::No)
    }

    fn of_design(&self) -> OfDesign<'_> {
        let Analysis { design, formings, size, unit, .. } = self;
        OfDesign { design, formings, size: *size, unit: *unit }
    }

    /// Every size's link.
    pub fn bodies(&self) -> &[Body] {
        self.drape_state.bodies(self.of_design())
    }

    /// The size looked at, in a chain of its own kind.
    pub fn hung(&self) -> Rc<Option<ChainAnalysis>> {
        self.drape_state.hung(self.of_design())
    }

    /// A size, in a chain of its own kind.
    pub fn hung_of(&self, size: usize) -> Rc<Option<ChainAnalysis>> {
        self.drape_state.hung(OfDesign { size, ..self.of_design() })
    }

    /// That chain, bent.
    pub fn bent(&self, bending: HandBend) -> Rc<Option<Bent>> {
        self.drape_state.bent(self.of_design(), bending)
    }

    /// The whole chain of `count` links, hung; or why not, in words.
    pub fn draped(&self, count: usize, worn: Worn) -> Rc<Result<Draped, String>> {
        self.drape_state.draped(self.of_design(), count, worn)
    }

    /// The chain in the hand, if it is still the one asked for.
    pub fn in_hand(&self, count: usize, worn: Worn) -> Option<Ref<'_, Live>> {
        self.drape_state.in_hand(count, worn)
    }

    /// Whether the chain in the hand moves or is held.
    pub fn is_moving(&self) -> bool {
        self.drape_state.is_moving()
    }

    /// A length as callipers show it.
    pub fn length(&self, mm: f64) -> String {
        length_text(mm, self.unit)
    }
}

fn unasked(sizes: usize) -> Vec<OnceCell<Option<MetalReport>>> {
    (0..sizes).map(|_| OnceCell::new()).collect()
}
