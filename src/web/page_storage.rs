//! What the browser keeps: the design on the page by itself, others by name.

use super::browser_storage::BrowserStorage;
use super::documents;
use super::page::Page;
use crate::answers::build::workable;
use crate::app::Message;
use crate::documents::design::Design;
use crate::documents::storage::{
    self, Deleted, DesignStore, Habits, PageEntry, SaveError, SavedEntry,
};
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlInputElement, KeyboardEvent, Window};

/// What is kept, and what is being done with it.
pub struct PageStorage {
    keeper: DesignStore,
    lasting: BrowserStorage,
    own: BrowserStorage,
    page: PageEntry,
    deleted: Option<Deleted>,
}

/// What an earlier visit left.
pub struct LastVisit {
    pub design: Option<Design>,
    pub habits: Habits,
    pub page_storage: PageStorage,
    /// What there is to say about it.
    pub words: Option<String>,
}

/// Finds what an earlier visit left; of this very page rather than of another.
pub fn found(browser: &Window) -> LastVisit {
    let (lasting, own) = (BrowserStorage::lasting(browser), BrowserStorage::own(browser));
    let habits = storage::habits(&lasting);
    let (page, design, fault) = PageEntry::restore(&own, &lasting, workable);
    let page_storage =
        PageStorage { keeper: DesignStore::default(), lasting, own, page, deleted: None };
    LastVisit { design, habits, page_storage, words: fault.map(|fault| fault.to_string()) }
}

impl PageStorage {
    /// What stays from visit to visit.
    pub fn lasting(&self) -> &BrowserStorage {
        &self.lasting
    }
}

impl Page {
    /// Keeps the design on the page for the next visit, or says in words why not.
    pub fn save_page(&mut self, design: &Design) -> Result<(), String> {
        let PageStorage { own, lasting, page, .. } = &mut self.page_storage;
        page.save(own, lasting, design).map_err(|fault| fault.to_string())
    }

    /// Keeps a design that another took the place of.
    pub fn keep_former(&self, design: &Design) {
        if !documents::is_example(design) {
            let _ = storage::save_former(&self.page_storage.lasting, design);
        }
    }

    /// Shows the designs kept, or puts them away.
    pub fn show_designs(&mut self) {
        self.send(Message::ListShown(!self.model.saved.is_shown));
        self.list_kept();
    }

    /// Another page kept something.
    pub fn kept_elsewhere(&mut self) {
        self.take_bench_from_elsewhere();
        if self.model.saved.renaming.is_none() {
            self.list_kept();
        }
    }

    /// Keeps the design on the page by the name typed.
    pub fn keep_design(&mut self) {
        if self.at_fault() {
            return self.tell("Not kept: first put right the field that is marked.", true);
        }
        let name = self.model.saved.name.trim().to_string();
        let design = Design { name: name.clone(), ..self.model.analysis.design.clone() };
        let PageStorage { keeper, lasting, .. } = &mut self.page_storage;
        match keeper.keep(lasting, &design) {
            Ok(replaced) => {
                self.rename_on_page(&name);
                self.list_kept();
                let instead = if replaced { ", in place of the one kept before" } else { "" };
                self.tell(&format!("Kept as \u{201c}{name}\u{201d}{instead}."), false);
            }
            Err(error @ SaveError::Taken { .. }) => {
                let words = format!("Not kept yet: {error}. Press Keep once more to replace it.");
                self.tell(&words, true);
            }
            Err(error) => self.tell(&format!("Not kept: {error}."), true),
        }
    }

    /// The design on the page goes by the name it is kept by.
    fn rename_on_page(&mut self, name: &str) {
        if self.model.analysis.design.name != name {
            self.annotate(|design| design.name = name.into());
        }
    }

    /// Enter in a field that holds a name is its button; whether to draw.
    pub fn entered(&mut self, event: &KeyboardEvent) -> bool {
        let target = event.target().and_then(|target| target.dyn_into::<Element>().ok());
        match target.as_ref().map(Element::id).as_deref() {
            Some("keep-name") => self.keep_design(),
            Some("rename-to") => {
                let row = target.and_then(|target| target.get_attribute("data-row"));
                self.kept_pressed(
                    "renamed",
                    row.and_then(|row| row.parse().ok()).unwrap_or(usize::MAX),
                );
            }
            _ => return false,
        }
        true
    }

    /// A button of the list was pressed.
    pub fn kept_pressed(&mut self, act: &str, row: usize) {
        let kept = self.model.saved.rows.get(row).cloned();
        match (act, kept) {
            ("open", Some(kept)) => self.open_kept(&kept),
            ("file", Some(kept)) => self.save_text(&kept.name, &kept.text),
            ("rename", Some(kept)) => {
                self.send(Message::Renaming(Some(kept.name)));
                self.elements.focus("#rename-to");
                if let Some(input) = self.elements.get::<HtmlInputElement>("rename-to") {
                    input.select();
                }
            }
            ("renamed", Some(kept)) => self.rename_kept(&kept),
            ("leave", _) => {
                self.send(Message::Renaming(None));
                self.elements.focus(&format!("#kept [data-kept=rename][data-row=\"{row}\"]"));
            }
            ("delete", Some(kept)) => self.delete_kept(&kept),
            ("back", _) => self.bring_back(),
            ("former", _) => {
                if let Some(former) = self.model.saved.former.clone() {
                    self.open_design(former);
                }
            }
            _ => {}
        }
    }

    fn open_kept(&mut self, kept: &SavedEntry) {
        if let Ok(design) = &kept.design
            && self.open_design(design.clone())
        {
            self.page_storage.keeper.opened(kept);
        }
    }

    /// Takes a design from the list; whether it could be worked.
    fn open_design(&mut self, design: Design) -> bool {
        let name = design.name.clone();
        match design.formings() {
            Ok(_) => {
                self.replace(design, 0, &format!("Opened \u{201c}{name}\u{201d}."));
                self.list_kept();
                true
            }
            Err(error) => {
                let kept = "The design on the page stays as it was.";
                self.tell(&format!("Cannot open \u{201c}{name}\u{201d}: {error}. {kept}"), true);
                false
            }
        }
    }

    fn rename_kept(&mut self, kept: &SavedEntry) {
        let to = self.elements.value("rename-to").trim().to_string();
        let PageStorage { keeper, lasting, .. } = &mut self.page_storage;
        match keeper.rename(lasting, kept, &to) {
            Ok(()) => {
                if self.model.analysis.design.name == kept.name {
                    self.rename_on_page(&to);
                }
                self.send(Message::Renaming(None));
                self.list_kept();
                self.elements.focus("#designs");
                let words = format!("\u{201c}{}\u{201d} is now \u{201c}{to}\u{201d}.", kept.name);
                self.tell(&words, false);
            }
            Err(error) => self.tell(&format!("Not renamed: {error}."), true),
        }
    }

    fn delete_kept(&mut self, kept: &SavedEntry) {
        let PageStorage { keeper, lasting, .. } = &mut self.page_storage;
        match keeper.delete(lasting, kept) {
            Ok(deleted) => {
                self.tell(&format!("Deleted \u{201c}{}\u{201d}.", deleted.name), false);
                self.page_storage.deleted = Some(deleted);
                self.list_kept();
                self.elements.focus("#kept [data-kept=back]");
            }
            Err(error) => {
                self.list_kept();
                self.tell(&format!("Not deleted: {error}."), true);
            }
        }
    }

    fn bring_back(&mut self) {
        let PageStorage { keeper, lasting, deleted, .. } = &mut self.page_storage;
        let Some(lost) = deleted.take() else { return };
        match keeper.bring_back(lasting, &lost) {
            Ok(()) => {
                self.tell(&format!("\u{201c}{}\u{201d} is back.", lost.name), false);
                self.list_kept();
                self.elements.focus("#designs");
            }
            Err(error) => {
                self.page_storage.deleted = Some(lost);
                self.tell(&format!("Not brought back: {error}."), true);
            }
        }
    }

    /// Reads anew what is kept.
    pub fn list_kept(&mut self) {
        let PageStorage { keeper, lasting, deleted, .. } = &self.page_storage;
        let rows = keeper.list(lasting).map_err(|error| error.to_string());
        let former = storage::former(lasting).map(Box::new);
        let deleted = deleted.as_ref().map(|deleted| deleted.name.clone());
        self.send(Message::Listed { rows, former, deleted });
    }
}
