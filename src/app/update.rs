//! How everything that happens changes the page: [`update`] is the only way in.

use super::effect::Effect;
use super::message::Message;
use super::model::{Model, Notice};
use super::optimise_state;
use super::pending::Subject;
use super::tour::TourMove;
use crate::render::Camera;

/// Takes what happened, and returns what is to be done outside.
pub fn update(model: &mut Model, message: Message) -> Vec<Effect> {
    let mut effects = Vec::new();
    let out = &mut effects;
    // A hand may be taken off the map unheard: whatever else changes the design lets go of it.
    if model.is_dragged && is_a_change_of_its_own(&message) {
        model.drop_point(out);
    }
    match message {
        Message::Typed { key, text, at } => model.type_in(&key, &text, at, out),
        Message::Chosen { control, value, at } => model.choose(&control, &value, at, out),
        Message::Paused { serial } => {
            if model.pending.pause == Some(serial) {
                model.pending.pause = None;
            }
        }
        Message::Ready { processors } => model.have_workers(processors),
        Message::Answered { serial, answer } => model.take_answer(serial, answer, out),
        Message::WorkerFailed { worker } => model.worker_failed(worker, out),
        Message::Saved(result) => {
            model.unsaved = match result {
                Ok(()) => String::new(),
                Err(words) => words,
            };
        }
        Message::Undo => model.undo(out),
        Message::Redo => model.redo(out),
        Message::Replaced { design, size, words, at } => {
            model.replace(*design, size, &words, at, out);
        }
        Message::Noted { design, at } => model.note(*design, at, out),
        Message::Suggested { index, at } => model.suggest(index, at, out),
        Message::Found { index, at } => model.take_found(index, at, out),
        Message::TrialAdded { at } => model.add_trial(at, out),
        Message::TrialRemoved { index, at } => {
            let mut design = model.analysis.design.clone();
            if index < design.trials.len() {
                design.trials.remove(index);
                model.change(design, model.analysis.size, at, out);
            }
        }
        Message::SizeAdded { at } => model.add_size(at, out),
        Message::SizeRemoved { at } => model.remove_size(at, out),
        Message::SizeMoved { earlier, at } => model.move_size(earlier, at, out),
        Message::Dragged(is_dragged) => {
            if model.is_dragged && !is_dragged {
                model.drop_point(out);
            }
            model.is_dragged = is_dragged;
        }
        Message::Viewed(view) => model.look_at(view),
        Message::StripStepped { up, at } => {
            if let Some(text) = model.next_on_strip(up) {
                model.type_in("mandrel_mm", &text, at, out);
            }
        }
        Message::Toured(moves) => {
            if moves == TourMove::Start {
                model.look_at(0);
            }
            model.tour.go(moves);
        }
        Message::WishRemoved(index) => optimise_state::remove_wish(&mut model.controls, index),
        Message::SearchStopped => {
            // What stands in the panel by now is what is stopped.
            model.optimise_state.task(&model.analysis, &model.controls, &model.bench);
            model.optimise_state.stopped = true;
            model.drop_subjects(|subject| subject == Subject::Search);
        }
        Message::PointChosen(point) => model.optimise_state.chosen = Some(point),
        Message::Listed { rows, former, deleted } => {
            let saved = &mut model.saved;
            (saved.rows, saved.fault) = match rows {
                Ok(rows) => (rows, None),
                Err(words) => (Vec::new(), Some(words)),
            };
            let former = former.map(|former| *former);
            saved.former = former.filter(|former| *former != model.analysis.design);
            saved.deleted = deleted;
            saved.name.clone_from(&model.analysis.design.name);
        }
        Message::ListShown(is_shown) => {
            (model.saved.is_shown, model.saved.renaming) = (is_shown, None);
        }
        Message::Renaming(name) => model.saved.renaming = name,
        Message::NameTyped(name) => model.saved.name = name,
        Message::PliersChosen(index) => model.pliers_changed = index,
        Message::BenchTyped { field, text } => model.type_on_bench(&field, &text, out),
        Message::BenchChanged(bench) => model.change_bench(*bench, out),
        Message::BenchOpened(bench) => {
            model.bench_entries.clear();
            model.change_bench(*bench, out);
        }
        Message::BenchElsewhere(bench) => {
            model.bench_entries.clear();
            model.pliers_changed = None;
            model.take_bench(*bench);
        }
        Message::BenchSaved(result) => {
            model.bench_entries.unsaved = result.err().unwrap_or_default();
        }
        Message::Class(on) => model.show_class(on),
        Message::BesideChosen(name) => model.choose_beside(name),
        Message::Taught(moves) => model.teach(moves),
        Message::Gestured(gesture, seen) => model.take_gesture(gesture, &seen),
        Message::CameraReset => model.camera = Camera::default(),
        Message::Slid(time) => model.slide_to(time),
        Message::Tightest => {
            if let Some(time) = model.tightest_time() {
                model.slide_to(time);
            }
        }
        Message::Played { calm } => model.play(calm),
        Message::Frame { now, calm } => model.advance(now, calm),
        Message::Told { words, is_problem } => model.tell(words, is_problem),
        Message::Dismissed => model.notice = Notice::default(),
    }
    model.name_design();
    model.ask_on(out);
    effects
}

/// Whether a message changes the design, and no hand that drags it about sends it.
fn is_a_change_of_its_own(message: &Message) -> bool {
    matches!(
        message,
        Message::Typed { .. }
            | Message::Chosen { .. }
            | Message::Undo
            | Message::Redo
            | Message::Noted { .. }
            | Message::Suggested { .. }
            | Message::Found { .. }
            | Message::TrialAdded { .. }
            | Message::TrialRemoved { .. }
            | Message::SizeAdded { .. }
            | Message::SizeRemoved { .. }
            | Message::SizeMoved { .. }
            | Message::StripStepped { .. }
    )
}
