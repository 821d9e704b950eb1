//! Hands on the picture: mouse, fingers, wheel.

use super::page::Page;
use crate::app::tabs::CHAIN;
use crate::app::views::trade_of;
use crate::app::{Gesture, Message};
use crate::render::MapChart;
use web_sys::{Event, PointerEvent, WheelEvent};

/// A finger that moves less than this between down and up taps, CSS pixels.
const TAP: f64 = 10.0;
/// How near a finger must come to the map's point to take it, CSS pixels.
const REACH: f64 = 44.0;

impl Page {
    /// A pointer was put down on the picture.
    pub fn held(&mut self, event: PointerEvent) -> bool {
        let _ = self.board.canvas.set_pointer_capture(event.pointer_id());
        let is_first = self.pointers.is_empty();
        self.pointers.insert(event.pointer_id(), place(&event));
        if self.sees_map() {
            let reaches = self.reaches_point(&event);
            self.tapped_at = (!reaches).then(|| place(&event));
            self.send(Message::Dragged(reaches));
            return reaches && self.carry_point(&event);
        }
        if self.sees_trade_off() {
            return self.take_point(self.on_picture(&event));
        }
        let at = [f64::from(event.offset_x()), f64::from(event.offset_y())];
        self.gesture(Gesture::Down { is_first, at });
        false
    }

    /// Whether a pointer may take the map's point: a mouse from anywhere, a finger from near it,
    /// so that no design is changed by a chance touch.
    fn reaches_point(&self, event: &PointerEvent) -> bool {
        let Some(map_state) = &self.model.map_state else { return false };
        let Some(here) = map_state.place_of(&self.model.analysis.design, self.model.analysis.size)
        else {
            return false;
        };
        let at = MapChart::place_of(&map_state.question, self.board.window(), here);
        let place = self.on_picture(event);
        event.pointer_type() == "mouse" || (place[0] - at[0]).hypot(place[1] - at[1]) < REACH
    }

    fn carry_point(&mut self, event: &PointerEvent) -> bool {
        let Some(map_state) = &self.model.map_state else { return false };
        let place = self.on_picture(event);
        let to = MapChart::dimensions_at(&map_state.question, self.board.window(), place);
        self.move_point(to)
    }

    /// Moves the design to a place of the map, mm; whether it went.
    pub fn move_point(&mut self, to: [f64; 2]) -> bool {
        let Some(design) = self.model.design_at(to) else { return false };
        match design.formings() {
            Ok(_) => self.replace(design, self.model.analysis.size, ""),
            Err(error) => {
                let words = self.model.refusal(&error);
                self.tell(&words, true);
                false
            }
        }
    }

    /// Takes the point of the trade-off at a place of the picture; whether there is one.
    fn take_point(&mut self, place: [f64; 2]) -> bool {
        let window = self.board.window();
        let trade = trade_of(&self.model, |trade| trade.point_at(window, place));
        let Some(point) = trade.flatten() else { return false };
        self.send(Message::PointChosen(point));
        true
    }

    /// A finger came down: where it drags the map's point the page does not scroll.
    pub fn touched(&mut self, event: Event) -> bool {
        if self.model.is_dragged {
            event.prevent_default();
        }
        false
    }

    /// CSS pixels from the picture's middle, y up.
    fn on_picture(&self, event: &PointerEvent) -> [f64; 2] {
        let canvas = self.board.canvas.get_bounding_client_rect();
        let (x, y) = place(event);
        [x - canvas.left() - 0.5 * canvas.width(), canvas.top() + 0.5 * canvas.height() - y]
    }

    /// The browser took the pointer to scroll: what it did to the camera until then was not meant.
    pub fn taken_away(&mut self, event: PointerEvent) -> bool {
        self.gesture(Gesture::TakenAway);
        self.released(event);
        true
    }

    /// A pointer was lifted.
    pub fn released(&mut self, event: PointerEvent) -> bool {
        self.pointers.remove(&event.pointer_id());
        if self.model.is_dragged {
            self.send(Message::Dragged(false));
        } else if let Some(down) = self.tapped_at.take()
            && self.sees_map()
            && event.type_() == "pointerup"
        {
            // A tap away from the point takes it there; a finger that scrolls does not.
            let up = place(&event);
            if (up.0 - down.0).hypot(up.1 - down.1) < TAP {
                return self.carry_point(&event);
            }
        }
        self.gesture(Gesture::Up);
        true
    }

    /// A pointer moved: one turns the work, or with Shift moves it; two pull it nearer about
    /// the place between them.
    pub fn dragged(&mut self, event: PointerEvent) -> bool {
        let to = place(&event);
        let Some(from) = self.pointers.insert(event.pointer_id(), to) else {
            self.pointers.remove(&event.pointer_id());
            return false;
        };
        if self.sees_map() {
            return self.model.is_dragged && self.carry_point(&event);
        }
        if self.sees_trade_off() {
            return false;
        }
        let by = [to.0 - from.0, to.1 - from.1];
        let other = self.pointers.iter().find(|(id, _)| **id != event.pointer_id());
        self.gesture(match other.map(|(_, place)| *place) {
            Some(other) => {
                let apart = |p: (f64, f64)| (p.0 - other.0).hypot(p.1 - other.1).max(1.0);
                let canvas = self.board.canvas.get_bounding_client_rect();
                let x = 0.5 * (to.0 + other.0) - canvas.left() - 0.5 * canvas.width();
                let y = 0.5 * (to.1 + other.1) - canvas.top() - 0.5 * canvas.height();
                Gesture::Pinched { by, times: apart(to) / apart(from), about: [x, -y] }
            }
            None => Gesture::Drawn { by, moves: event.shift_key() },
        });
        // A chain bent by hand moves its slider.
        if self.model.sees(CHAIN) {
            self.show();
        }
        true
    }

    /// The wheel zooms about the pointer, with Ctrl or Cmd (as two fingers on a touchpad
    /// send it) or when the picture has the focus; else it scrolls the page.
    pub fn wheeled(&mut self, event: WheelEvent) -> bool {
        if self.sees_map() || self.sees_trade_off() {
            return false;
        }
        let pinched = event.ctrl_key() || event.meta_key();
        let focus = self.elements.document.active_element();
        let focused = focus.is_some_and(|e| e.is_same_node(Some(&self.board.canvas)));
        if !pinched && !focused {
            return false;
        }
        event.prevent_default();
        let pixels = match event.delta_mode() {
            WheelEvent::DOM_DELTA_LINE => 16.0,
            WheelEvent::DOM_DELTA_PAGE => 400.0,
            _ => 1.0,
        } * event.delta_y();
        // A touchpad's steps are small, a wheel's with Ctrl are large.
        let rate = if pinched { 0.01 } else { 0.0015 };
        let window = self.board.window();
        let right = f64::from(event.offset_x()) - 0.5 * window.width;
        let up = 0.5 * window.height - f64::from(event.offset_y());
        let times = (-rate * pixels).clamp(-0.25, 0.25).exp();
        self.gesture(Gesture::Zoomed { times, about: [right, up] });
        true
    }
}

fn place(event: &PointerEvent) -> (f64, f64) {
    (f64::from(event.client_x()), f64::from(event.client_y()))
}
