//! What the worker does.

use super::{Answer, MadeJig, Planned, Proof, Reply, Request, Task};
use crate::answers::build::BuildError;
use crate::answers::jig::Jig;
use crate::answers::optimise::{OptimiseResult, Optimiser, Wishes, figures, sensitivity};
use crate::answers::plan::{Plan, PlanTable};
use crate::answers::report::{
    PlanReport, is_refusal_proven, least_mandrels, other_jaws, plan_table, prove, uncorrected_part,
};
use crate::documents::design::Design;
use crate::documents::units::LengthUnit;
use crate::geometry::link::Forming;
use std::cell::RefCell;
use std::rc::Rc;

thread_local! {
    /// The optimiser at work, and what it was asked.
    static OPTIMISER: RefCell<Option<(Design, Wishes, LengthUnit, Optimiser)>> = const { RefCell::new(None) };
}

fn optimised(
    design: Design,
    wishes: Wishes,
    unit: LengthUnit,
    evaluations: usize,
) -> Result<Box<OptimiseResult>, String> {
    OPTIMISER.with_borrow_mut(|held| {
        if !held.as_ref().is_some_and(|(d, w, u, _)| *d == design && *w == wishes && *u == unit) {
            let optimiser = Optimiser::new(&design, &wishes).map_err(|error| error.to_string())?;
            *held = Some((design, wishes, unit, optimiser.in_unit(unit)));
        }
        let Some((.., optimiser)) = held else { return Err("nothing is looked for".into()) };
        optimiser.step(evaluations);
        Ok(Box::new(optimiser.found()))
    })
}

thread_local! {
    /// The design worked last, and its links: most tasks are about the same.
    static FORMED: RefCell<Option<(Design, Rc<[Forming]>)>> = const { RefCell::new(None) };
}

fn formed(design: &Design) -> Result<Rc<[Forming]>, BuildError> {
    FORMED.with_borrow_mut(|held| match held {
        Some((of, formings)) if of == design => Ok(formings.clone()),
        _ => {
            let formings: Rc<[Forming]> = design.formings()?.into();
            *held = Some((design.clone(), formings.clone()));
            Ok(formings)
        }
    })
}

/// Does the [`Task`] of a [`Request`].
pub fn answer(Request { serial, task }: Request) -> Reply {
    Reply { serial, answer: done(task) }
}

fn done(task: Task) -> Option<Answer> {
    match task {
        Task::Prove(Proof { design, index, unit }) => {
            let formings = formed(&design).ok()?;
            prove(&design, &formings, index, unit).map(|proven| Answer::Proven(proven.into()))
        }
        Task::Uncorrected { design, joins, unit } => {
            let part = |index| (index, uncorrected_part(&design, index, unit, formed));
            Some(Answer::Uncorrected(joins.into_iter().map(part).collect()))
        }
        Task::OtherJaws { design, size, join, unit } => {
            Some(Answer::OtherJaws(other_jaws(&design, size, &join, unit)))
        }
        Task::Refusal { design, index, part } => {
            let formings = formed(&design).ok()?;
            Some(Answer::Refusal(part, is_refusal_proven(&design, &formings, index, part)))
        }
        Task::LeastMandrels { design, unit } => {
            Some(Answer::LeastMandrels(least_mandrels(&design, unit)))
        }
        Task::Strip(question) => Some(Answer::Strip(question.answer())),
        Task::Plan { design, joins, bench, unit } => {
            let formings = formed(&design).ok()?;
            let plan = Plan::of(&design, &formings);
            let table = |which| {
                let laid = plan.as_ref().ok();
                laid.map_or(String::new(), |plan| plan_table(&design, &formings, plan, which))
            };
            let tables = [PlanTable::Chain, PlanTable::Cuts].map(table);
            let asked = (unit, false);
            let report = PlanReport::of(&design, &formings, &plan, &joins, Some(&*bench), asked);
            let hangs = plan.map(|plan| plan.layout.joins()).unwrap_or_default();
            Some(Answer::Plan(Planned { report, tables, hangs }.into()))
        }
        Task::Hand { design, parts } => {
            let formings = formed(&design).ok()?;
            let found = parts.iter().map(|part| part.answer(&design, &formings));
            found.collect::<Option<_>>().map(Answer::Hand)
        }
        Task::Jig { design, request, unit } => {
            let made = Jig::for_design(&design, request).map_err(|error| error.message(unit));
            Some(Answer::Jig(MadeJig { request, made }.into()))
        }
        Task::Figures { design, size } => figures(&design, size).ok().map(Answer::Figures),
        Task::Optimise { design, wishes, unit, evaluations } => {
            Some(Answer::Optimised(optimised(design, wishes, unit, evaluations)))
        }
        Task::Moves { design, size, dimension } => {
            sensitivity(&design, size, dimension).ok().map(Answer::Moves)
        }
        Task::Clearances { question, nodes } => {
            let clearance = |node: [u8; 2]| (node, question.clearance_at(node).ok());
            Some(Answer::Clearances(nodes.into_iter().map(clearance).collect()))
        }
    }
}
