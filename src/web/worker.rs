//! The worker: it is told what the model asks, and what it answers comes back as a message.
//!
//! What is no longer wanted is stopped by ending the worker and starting another; the page's
//! script gives each the page's module, compiled once. A pause in typing comes first, so that
//! this is rare.

use super::page::{Page, Shared};
use crate::app::Message;
use crate::app::tasks::{Reply, Request, Task};
use crate::documents::json;
use js_sys::Function;
use wasm_bindgen::prelude::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Event, MessageEvent, Worker as BrowserWorker};

/// The worker, and who hears it.
pub struct Worker {
    new_worker: Function,
    answered: Closure<dyn FnMut(MessageEvent)>,
    failed: Closure<dyn FnMut(Event)>,
    worker: Option<BrowserWorker>,
    /// The request at work.
    serial: u32,
}

/// Gives the page its worker.
pub fn start(page: &Shared, new_worker: Function) {
    let shared = page.clone();
    let answered = Closure::<dyn FnMut(MessageEvent)>::new(move |event: MessageEvent| {
        let text = event.data().as_string().unwrap_or_default();
        let reply = json::read::<Reply>(&text).ok();
        Page::heard(&shared, |page| {
            let serial = page.worker.as_ref().map_or(0, |worker| worker.serial);
            match reply {
                Some(Reply { serial, answer }) => Message::Answered { serial, answer },
                None => Message::Answered { serial, answer: None },
            }
        });
    });
    let shared = page.clone();
    let failed = Closure::<dyn FnMut(Event)>::new(move |_: Event| {
        Page::heard(&shared, |page| {
            if let Some(worker) = &mut page.worker {
                worker.stop();
            }
            Message::WorkerFailed
        });
    });
    let worker = Worker { new_worker, answered, failed, worker: None, serial: 0 };
    if let Ok(mut page) = page.try_borrow_mut() {
        page.worker = Some(worker);
        page.send(Message::Ready);
    }
}

impl Worker {
    /// The worker, started if need be.
    fn worker(&mut self) -> Option<&BrowserWorker> {
        if self.worker.is_none() {
            let worker = self.new_worker.call0(&JsValue::NULL).ok()?;
            let worker: BrowserWorker = worker.dyn_into().ok()?;
            worker.set_onmessage(Some(self.answered.as_ref().unchecked_ref()));
            worker.set_onerror(Some(self.failed.as_ref().unchecked_ref()));
            self.worker = Some(worker);
        }
        self.worker.as_ref()
    }

    /// Asks; none where there is no worker.
    pub fn ask(&mut self, serial: u32, task: Task) -> Option<()> {
        self.serial = serial;
        let text = json::line(&Request { serial, task });
        self.worker()?.post_message(&text.into()).ok()
    }

    /// Ends what it does.
    pub fn stop(&mut self) {
        if let Some(worker) = self.worker.take() {
            worker.terminate();
        }
    }
}
