//! The workers: each is told what the model asks of it, and what it answers comes back as a message.
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
use std::collections::BTreeMap;
use wasm_bindgen::prelude::{Closure, wasm_bindgen};
use wasm_bindgen::{JsCast, JsError, JsValue};
use web_sys::{Event, MessageEvent, Worker as BrowserWorker};

/// The workers, and who hears them.
pub struct Workers {
    new_worker: Function,
    answered: Closure<dyn FnMut(MessageEvent)>,
    failed: Closure<dyn FnMut(Event)>,
    /// Those that were asked, by the model's numbers.
    asked: BTreeMap<usize, AskedWorker>,
    /// Takes the place of one that is ended; started once the first has answered.
    spare: Option<BrowserWorker>,
}

struct AskedWorker {
    worker: BrowserWorker,
    /// Its last request.
    serial: u32,
}

/// Gives the page its workers.
pub fn start(page: &Shared, new_worker: Function) {
    let shared = page.clone();
    let answered = Closure::<dyn FnMut(MessageEvent)>::new(move |event: MessageEvent| {
        let Some((_, serial)) = of_worker(&shared, &event) else { return };
        // What is no reply is the worker's word that it failed.
        let reply: Option<Reply> = crossing::read(event.data()).ok();
        Page::heard(&shared, |page| {
            if let Some(workers) = &mut page.workers {
                workers.have_spare();
            }
            match reply {
                Some(Reply { serial, answer }) => Message::Answered { serial, answer },
                None => Message::Answered { serial, answer: None },
            }
        });
    });
    let shared = page.clone();
    let failed = Closure::<dyn FnMut(Event)>::new(move |event: Event| {
        let Some((worker, _)) = of_worker(&shared, &event) else {
            // The spare is started anew once there is an answer.
            if let Ok(mut page) = shared.try_borrow_mut()
                && let Some(workers) = &mut page.workers
            {
                workers.spare.take_if(|spare| is_from(spare, &event));
            }
            return;
        };
        Page::heard(&shared, |page| {
            if let Some(workers) = &mut page.workers {
                workers.stop(worker);
            }
            Message::WorkerFailed { worker }
        });
    });
    let (asked, spare) = (BTreeMap::new(), None);
    let workers = Workers { new_worker, answered, failed, asked, spare };
    if let Ok(mut page) = page.try_borrow_mut() {
        page.workers = Some(workers);
        // No number, cast, is 0: a browser need not tell.
        let processors = page.browser.navigator().hardware_concurrency() as usize;
        page.send(Message::Ready { processors });
    }
}

/// Which worker an event comes from, and its last request; none where it was ended.
fn of_worker(shared: &Shared, event: &Event) -> Option<(usize, u32)> {
    let page = shared.try_borrow().ok()?;
    let mut asked = page.workers.as_ref()?.asked.iter();
    let (number, asked) = asked.find(|(_, asked)| is_from(&asked.worker, event))?;
    Some((*number, asked.serial))
}

fn is_from(worker: &BrowserWorker, event: &Event) -> bool {
    event.target().as_deref() == Some(worker.as_ref())
}

impl Workers {
    fn started(&self) -> Option<BrowserWorker> {
        let worker = self.new_worker.call0(&JsValue::NULL).ok()?;
        let worker: BrowserWorker = worker.dyn_into().ok()?;
        worker.set_onmessage(Some(self.answered.as_ref().unchecked_ref()));
        worker.set_onerror(Some(self.failed.as_ref().unchecked_ref()));
        Some(worker)
    }

    fn have_spare(&mut self) {
        if self.spare.is_none() {
            self.spare = self.started();
        }
    }

    /// Asks a worker, which is started if need be; none where there is no worker.
    pub fn ask(&mut self, number: usize, serial: u32, task: Task) -> Option<()> {
        let request = crossing::plain(&Request { serial, task }).ok()?;
        let there = self.asked.remove(&number).map(|asked| asked.worker);
        let worker = there.or_else(|| self.spare.take()).or_else(|| self.started())?;
        if worker.post_message(&request).is_err() {
            worker.terminate();
            return None;
        }
        self.asked.insert(number, AskedWorker { worker, serial });
        Some(())
    }

    /// Ends a worker.
    pub fn stop(&mut self, number: usize) {
        if let Some(asked) = self.asked.remove(&number) {
            asked.worker.terminate();
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
