//! The worker: it is told what the model asks, and what it answers comes back as a message.
//!
//! What is no longer wanted is stopped by ending the worker: no flag could reach it, since only
//! pages that are isolated from all others share memory with a worker, and a page in one file never
//! is. Another stands ready to take its place; the page's script gives each the page's module,
//! compiled once.

use super::crossing;
use super::page::{Page, Shared};
use crate::app::Message;
use crate::app::tasks::{self, Reply, Request, Task};
use js_sys::Function;
use wasm_bindgen::prelude::{Closure, wasm_bindgen};
use wasm_bindgen::{JsCast, JsError, JsValue};
use web_sys::{Event, MessageEvent, Worker as BrowserWorker};

/// The worker, and who hears it.
pub struct Worker {
    new_worker: Function,
    answered: Closure<dyn FnMut(MessageEvent)>,
    failed: Closure<dyn FnMut(Event)>,
    worker: Option<BrowserWorker>,
    /// Takes its place; started once the first has answered.
    spare: Option<BrowserWorker>,
    /// The request at work.
    serial: u32,
}

/// Gives the page its worker.
pub fn start(page: &Shared, new_worker: Function) {
    let shared = page.clone();
    let answered = Closure::<dyn FnMut(MessageEvent)>::new(move |event: MessageEvent| {
        // What is no reply is the worker's word that it failed.
        let reply: Option<Reply> = crossing::read(event.data()).ok();
        Page::heard(&shared, |page| {
            let serial = page.worker.as_mut().map_or(0, |worker| {
                worker.have_spare();
                worker.serial
            });
            match reply {
                Some(Reply { serial, answer }) => Message::Answered { serial, answer },
                None => Message::Answered { serial, answer: None },
            }
        });
    });
    let shared = page.clone();
    let failed = Closure::<dyn FnMut(Event)>::new(move |event: Event| {
        let is_spare = |worker: &mut Worker| worker.dropped_spare(&event);
        let page = shared.try_borrow_mut();
        if page.is_ok_and(|mut page| page.worker.as_mut().is_some_and(is_spare)) {
            return;
        }
        Page::heard(&shared, |page| {
            if let Some(worker) = &mut page.worker {
                worker.stop();
            }
            Message::WorkerFailed
        });
    });
    let worker = Worker { new_worker, answered, failed, worker: None, spare: None, serial: 0 };
    if let Ok(mut page) = page.try_borrow_mut() {
        page.worker = Some(worker);
        page.send(Message::Ready);
    }
}

impl Worker {
    /// The worker, started if need be.
    fn worker(&mut self) -> Option<&BrowserWorker> {
        if self.worker.is_none() {
            self.worker = Some(self.spare.take().or_else(|| self.started())?);
        }
        self.worker.as_ref()
    }

    fn started(&self) -> Option<BrowserWorker> {
        let worker = self.new_worker.call0(&JsValue::NULL).ok()?;
        let worker: BrowserWorker = worker.dyn_into().ok()?;
        worker.set_onmessage(Some(self.answered.as_ref().unchecked_ref()));
        worker.set_onerror(Some(self.failed.as_ref().unchecked_ref()));
        Some(worker)
    }

    /// Whether it was the spare that failed: it is dropped then.
    fn dropped_spare(&mut self, event: &Event) -> bool {
        let target = event.target();
        let failed = self.spare.take_if(|spare| target.as_deref() == Some(spare.as_ref()));
        failed.is_some()
    }

    fn have_spare(&mut self) {
        if self.spare.is_none() {
            self.spare = self.started();
        }
    }

    /// Asks; none where there is no worker.
    pub fn ask(&mut self, serial: u32, task: Task) -> Option<()> {
        self.serial = serial;
        let request = crossing::plain(&Request { serial, task }).ok()?;
        self.worker()?.post_message(&request).ok()
    }

    /// Ends what it does.
    pub fn stop(&mut self) {
        if let Some(worker) = self.worker.take() {
            worker.terminate();
        }
    }
}

/// In the worker: does what a message asks; what comes back is the message to send.
///
/// # Errors
/// In words, where the message is no request.
#[wasm_bindgen]
pub fn answer(request: JsValue) -> Result<JsValue, JsError> {
    let request: Request = crossing::read(request)?;
    Ok(crossing::plain(&tasks::answer(request))?)
}
