//! The page's side of its helper: what it is asked next, and what is done with the answer.
//!
//! One request at a time. What is no longer wanted is cancelled by ending the worker and
//! starting another; the page's script gives each the page's module, compiled once.

use super::events::ask_frame;
use super::page::{Page, Shared};
use crate::app::tasks::{Answer, Reply, Request, Task};
use crate::documents::json;
use js_sys::Function;
use wasm_bindgen::prelude::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Event, MessageEvent, Worker};

/// Places of a map asked for in one request: some tens of milliseconds.
const PLACES: usize = 4;

/// The worker, and what it is doing.
pub struct Helper {
    new_worker: Function,
    heard: Closure<dyn FnMut(MessageEvent)>,
    broke: Closure<dyn FnMut(Event)>,
    worker: Option<Worker>,
    serial: u32,
    doing: Option<Doing>,
    /// The browser gives no worker, or ours does not start.
    pub broken: bool,
}

/// What an answer is waited for.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Doing {
    Join(usize),
    /// The join of the design that a class sees beside.
    Beside,
    Map,
    Plan,
    /// Something for the tuner's panel.
    Tune,
}

/// Gives the page its helper, and asks it the first thing.
pub fn start(page: &Shared, new_worker: Function) {
    let hearing = page.clone();
    let heard = Closure::<dyn FnMut(MessageEvent)>::new(move |event: MessageEvent| {
        let text = event.data().as_string().unwrap_or_default();
        if hearing.try_borrow_mut().is_ok_and(|mut page| page.heard(&text)) {
            ask_frame(&hearing);
        }
    });
    let failing = page.clone();
    let broke = Closure::<dyn FnMut(Event)>::new(move |_: Event| {
        if let Ok(mut page) = failing.try_borrow_mut() {
            page.helper_broke();
        }
    });
    let helper =
        Helper { new_worker, heard, broke, worker: None, serial: 0, doing: None, broken: false };
    if let Ok(mut page) = page.try_borrow_mut() {
        page.helper = Some(helper);
        page.ask_on();
    }
}

impl Helper {
    /// The worker, started if need be.
    fn worker(&mut self) -> Option<&Worker> {
        if self.worker.is_none() {
            let worker: Worker = self.new_worker.call0(&JsValue::NULL).ok()?.dyn_into().ok()?;
            worker.set_onmessage(Some(self.heard.as_ref().unchecked_ref()));
            worker.set_onerror(Some(self.broke.as_ref().unchecked_ref()));
            self.worker = Some(worker);
        }
        self.worker.as_ref()
    }

    fn ask(&mut self, doing: Doing, task: Task) -> Option<()> {
        self.serial = self.serial.wrapping_add(1);
        let serial = self.serial;
        let text = json::line(&Request { serial, task });
        self.worker()?.post_message(&text.into()).ok()?;
        self.doing = Some(doing);
        Some(())
    }

    fn cancel(&mut self) {
        self.doing = None;
        if let Some(worker) = self.worker.take() {
            worker.terminate();
        }
    }
}

impl Page {
    /// The design changed: what was asked about the one before is dropped, and what stands
    /// open about this one is asked.
    pub fn ask_anew(&mut self) {
        let kept = self.work.charted.as_ref().is_some_and(|charted| charted.is_asked);
        if let Some(helper) = &mut self.helper
            && helper.doing.is_some_and(|doing| doing != Doing::Map || !kept)
        {
            helper.cancel();
        }
        self.ask_on();
    }

    /// What was asked about the design beside is not wanted any more.
    pub fn drop_beside(&mut self) {
        if let Some(helper) = &mut self.helper
            && helper.doing == Some(Doing::Beside)
        {
            helper.cancel();
        }
    }

    /// What was asked for the tuner is not wanted any more.
    pub fn drop_tuning(&mut self) {
        if let Some(helper) = &mut self.helper
            && helper.doing == Some(Doing::Tune)
        {
            helper.cancel();
        }
    }

    /// Asks the next thing, if nothing is being done: the joins looked at, then what is seen of
    /// plan, class, map and tuner, the other joins.
    pub fn ask_on(&mut self) {
        self.prepare_map();
        let seen = self.sees_plan() && !self.holds_point;
        if self.work.unprovable || self.helper.as_ref().is_none_or(|helper| helper.doing.is_some())
        {
            return;
        }
        let work = &self.work;
        let looked_at = [work.size, work.shown_join(&self.elements)];
        // While the design is dragged about, only the map goes on.
        let moving = self.holds_point;
        let next = looked_at.into_iter().find(|index| !moving && work.is_open(*index));
        let all = 0..work.report.joins.len();
        let tuning = self.tuning_task(next.is_none() && !moving);
        let Some(helper) = &mut self.helper else { return };
        let work = &mut self.work;
        let beside = self.class.beside.as_ref().filter(|_| self.class.on);
        let beside = beside.filter(|beside| beside.is_open(beside.size));
        let (doing, task) = if let Some(index) = next {
            (Doing::Join(index), work.task(index))
        } else if let Some(task) = seen.then(|| work.plan_task(&self.bench)).flatten() {
            (Doing::Plan, task)
        } else if let Some(beside) = beside {
            (Doing::Beside, beside.task(beside.size))
        } else if let Some(task) = work.charted.as_mut().and_then(|c| c.task(PLACES)) {
            (Doing::Map, task)
        } else if let Some(task) = tuning {
            (Doing::Tune, task)
        } else if let Some(index) = all.into_iter().find(|i| !moving && work.is_open(*i)) {
            (Doing::Join(index), work.task(index))
        } else {
            return;
        };
        if helper.ask(doing, task).is_none() {
            self.helper_broke();
        }
    }

    /// An answer came; whether to draw.
    fn heard(&mut self, text: &str) -> bool {
        let Some(helper) = &mut self.helper else { return false };
        let reply = json::read::<Reply>(text).ok();
        if reply.as_ref().is_some_and(|reply| reply.serial != helper.serial) {
            return false;
        }
        let Some(doing) = helper.doing.take() else { return false };
        self.take_answer(doing, reply.and_then(|reply| reply.answer));
        // Asking on is what finds a map done: then only is it shown.
        self.ask_on();
        self.show_answer();
        true
    }

    /// Takes an answer, or that there was none.
    fn take_answer(&mut self, doing: Doing, answer: Option<Answer>) {
        let Some(helper) = &mut self.helper else { return };
        match (doing, answer) {
            (Doing::Join(index), Some(Answer::Proven(proven))) => {
                self.work.take_proof(index, *proven);
            }
            (Doing::Beside, Some(Answer::Proven(proven))) => {
                if let Some(beside) = &mut self.class.beside {
                    beside.take_proof(beside.size, *proven);
                }
            }
            (Doing::Map, Some(Answer::Rooms(rooms))) => {
                if let Some(charted) = &mut self.work.charted {
                    charted.is_asked = false;
                    rooms.into_iter().for_each(|(node, room)| charted.grid.set(node, room));
                }
            }
            (Doing::Plan, Some(Answer::Plan(planned))) => self.work.planned = Some(*planned),
            (Doing::Tune, Some(answer)) => self.take_tuned(answer),
            (Doing::Tune, None) => {
                helper.cancel();
                self.work.tuning.stumbled();
            }
            (Doing::Beside, _) => {
                helper.cancel();
                if let Some(beside) = &mut self.class.beside {
                    beside.unprovable = true;
                }
            }
            // It stumbled over this design; the next one gets a new worker.
            _ => {
                helper.cancel();
                self.work.unprovable = true;
            }
        }
    }

    /// The helper cannot help: say so, and let the estimates stand.
    fn helper_broke(&mut self) {
        if let Some(helper) = &mut self.helper {
            helper.cancel();
            helper.broken = true;
        }
        self.work.unprovable = true;
        self.show_answer();
    }
}
