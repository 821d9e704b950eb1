//! Keys, clickers and fingers while a class looks on.

use super::super::events::on;
use super::super::page::{Page, Shared};
use crate::app::LessonMove;
use wasm_bindgen::JsCast;
use web_sys::{Element, Event, KeyboardEvent, PointerEvent};

/// A finger drawn so far sideways, CSS pixels, turns to the next step or the last.
const SWIPE: f64 = 60.0;
/// How far one small step of the keys leads, in steps of the work.
const LITTLE: f64 = 0.02;

/// Sets up the listeners.
pub fn listen(page: &Shared) {
    let (document, canvases) = {
        let page = page.borrow();
        let canvases = page.class.boards.each_ref().map(|board| board.canvas.clone());
        (page.elements.document.clone(), canvases)
    };
    on(page, &document, "keydown", Page::class_key);
    for moved in ["pointermove", "pointerdown", "keydown", "focusin"] {
        on(page, &document, moved, |page, _: Event| {
            page.wake_class();
            false
        });
    }
    on(page, &document, "fullscreenchange", |page, _: Event| {
        // The browser's own way out of the full screen is a way out of the class.
        let full = page.elements.document.fullscreen_element().is_some();
        if !full {
            page.leave_class();
            // The browser lets go of the focus with the screen.
            page.elements.focus("#menu-button");
        } else if !page.model.class.is_on {
            // Granted only when the class was over: nothing would be seen in it.
            page.elements.document.exit_fullscreen();
        }
        true
    });
    for canvas in canvases {
        on(page, &canvas, "pointerdown", |page, event: PointerEvent| {
            let place = (f64::from(event.client_x()), f64::from(event.client_y()));
            page.class.touched = Some(place);
            false
        });
        on(page, &canvas, "pointerup", Page::class_swiped);
    }
}

/// The controls go out of the way when nobody moved for so long, ms.
const IDLE: i32 = 3000;

impl Page {
    /// Shows the controls, and hides them when nobody moves.
    fn wake_class(&mut self) {
        if !self.model.class.is_on {
            return;
        }
        self.elements.mark("class", "data-idle", "no");
        if let Some(waiting) = self.class.idle.take() {
            self.browser.clear_timeout_with_handle(waiting);
        }
        let sleep = &self.class.sleep;
        let timeout = self
            .browser
            .set_timeout_with_callback_and_timeout_and_arguments_0(sleep.unchecked_ref(), IDLE);
        self.class.idle = timeout.ok();
    }

    fn class_swiped(&mut self, event: PointerEvent) -> bool {
        let Some((x, y)) = self.class.touched.take() else { return false };
        let (right, down) = (f64::from(event.client_x()) - x, f64::from(event.client_y()) - y);
        if right.abs() < SWIPE || right.abs() < 2.0 * down.abs() {
            return false;
        }
        let calm = self.calm();
        self.teach(if right < 0.0 { LessonMove::Next { calm } } else { LessonMove::Back { calm } });
        true
    }

    /// A key; whether to draw. What is typed into a field or a list stays there, and what a
    /// button does by itself it does.
    fn class_key(&mut self, event: KeyboardEvent) -> bool {
        if !self.model.class.is_on || event.ctrl_key() || event.meta_key() || event.alt_key() {
            return false;
        }
        let target = event.target().and_then(|target| target.dyn_into::<Element>().ok());
        let on_a = |names: &str| {
            target.as_ref().is_some_and(|target| target.matches(names).unwrap_or(false))
        };
        let key = event.key();
        if key == "Escape" {
            self.leave_class();
            return true;
        }
        if on_a("textarea, select") {
            return false;
        }
        let calm = self.calm();
        match key.as_str() {
            " " | "Enter"
                if on_a("button, input, summary") && !(key == " " && on_a("[type=range]")) =>
            {
                return false;
            }
            // A presenter's remote starts a show with F5 and blanks it with the full stop or B.
            " " | "F5" | "." | "b" => self.play_class(),
            "ArrowLeft" | "ArrowRight" | "ArrowUp" | "ArrowDown" if on_a("[type=range]") => {
                return false;
            }
            "ArrowRight" if event.shift_key() => self.teach(LessonMove::By(LITTLE)),
            "ArrowLeft" if event.shift_key() => self.teach(LessonMove::By(-LITTLE)),
            "ArrowRight" | "ArrowDown" | "PageDown" => self.teach(LessonMove::Next { calm }),
            "ArrowLeft" | "ArrowUp" | "PageUp" => self.teach(LessonMove::Back { calm }),
            "s" => self.teach(LessonMove::Slow),
            "Home" => self.teach(LessonMove::To(0.0)),
            "End" => self.teach(LessonMove::To(f64::MAX)),
            // A digit leads to its step, 0 to the tenth.
            digit => match digit.parse::<usize>() {
                Ok(step @ 0..=9) => self.teach(LessonMove::ToStep((step + 9) % 10 + 1)),
                _ => return false,
            },
        }
        event.prevent_default();
        true
    }
}
