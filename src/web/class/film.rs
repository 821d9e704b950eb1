//! The lesson as a film for a slide or a message: the browser's own recorder takes what is drawn of the design
//! while the lesson plays from its start to its end.

use super::super::documents::file_name;
use super::super::out::offer;
use super::super::page::Page;
use crate::app::LessonMove;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::Closure;
use web_sys::{BlobEvent, MediaRecorder};

/// A recorder at work, and what takes its file.
pub struct Film {
    recorder: MediaRecorder,
    _take: Closure<dyn FnMut(BlobEvent)>,
}

impl Page {
    /// Whether the browser has a recorder.
    pub fn can_record(&self) -> bool {
        js_sys::Reflect::has(&self.browser, &"MediaRecorder".into()).unwrap_or(false)
    }

    /// Plays the lesson from its start and records it.
    pub fn record_class(&mut self) {
        if let Some(film) = self.class.film.take() {
            // Asked again, it ends here.
            return self.end_film(film);
        }
        let canvas = &self.class.boards[0].canvas;
        let stream = canvas.capture_stream();
        let made = stream.and_then(|stream| MediaRecorder::new_with_media_stream(&stream));
        let Ok(recorder) = made else { return };
        let name = file_name(&self.model.analysis.design.name, "webm");
        let take = Closure::<dyn FnMut(BlobEvent)>::new(move |event: BlobEvent| {
            if let Some(blob) = event.data() {
                let _ = offer(&name, &blob);
            }
        });
        recorder.set_ondataavailable(Some(take.as_ref().unchecked_ref()));
        self.teach(LessonMove::To(0.0));
        if recorder.start().is_ok() {
            self.teach(LessonMove::Play { calm: false });
            self.class.film = Some(Film { recorder, _take: take });
        }
    }

    /// Ends the film with the lesson.
    pub(super) fn watch_film(&mut self) {
        if !self.model.class.is_playing()
            && let Some(film) = self.class.film.take()
        {
            self.end_film(film);
        }
    }

    fn end_film(&mut self, film: Film) {
        let _ = film.recorder.stop();
        // Kept until its file is taken.
        self.class.last_film = Some(film);
        self.teach(LessonMove::By(0.0));
    }
}
