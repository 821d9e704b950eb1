//! What is left of a panic: its words, where the page's script finds them (`www/fault.js`).

use js_sys::Reflect;
use wasm_bindgen::prelude::wasm_bindgen;

/// Runs in the page and in its worker, before anything else of the module.
#[wasm_bindgen(start)]
fn keep_words() {
    std::panic::set_hook(Box::new(|panic| {
        // The trap that follows is heard in any case.
        let _ = Reflect::set(&js_sys::global(), &"fault".into(), &panic.to_string().into());
    }));
}

/// Panics: to try what the page does then.
#[wasm_bindgen]
pub fn force_fault() {
    panic!("forced, to try what the page does");
}
