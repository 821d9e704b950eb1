//! What the browser keeps: the design on the page by itself, others by name.

use super::documents;
use super::page::Page;
use super::shelf::BrowserShelf;
use crate::answers::build::workable;
use crate::documents::design::Design;
use crate::documents::storage::{
    self, Deleted, DesignStore, Habits, Restored, SaveError, SavedEntry,
};
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlInputElement, KeyboardEvent, Window};

/// What is kept, and what is being done with it.
pub struct Keeping {
    keeper: DesignStore,
    lasting: BrowserShelf,
    own: BrowserShelf,
    /// The list as it is shown.
    rows: Vec<SavedEntry>,
    former: Option<Design>,
    /// The name that is being changed.
    renaming: Option<String>,
    deleted: Option<Deleted>,
    /// The name of which the maker was asked whether to put this design in another's place.
    asked: Option<String>,
    /// Why the design on the page must not be kept.
    stuck: Option<String>,
}

/// What an earlier visit left.
pub struct Left {
    pub design: Option<Design>,
    pub habits: Habits,
    pub keeping: Keeping,
    /// What there is to say about it.
    pub words: Option<String>,
}

/// Finds what an earlier visit left; of this very page rather than of another.
pub fn found(browser: &Window) -> Left {
    let (lasting, own) = (BrowserShelf::lasting(browser), BrowserShelf::own(browser));
    let habits = storage::habits(&lasting);
    let restored = match storage::restore(&own, workable) {
        Ok(Restored::Design(design)) => Ok(Restored::Design(design)),
        _ => storage::restore(&lasting, workable),
    };
    let (mut design, mut stuck, mut words) = (None, None, None);
    match restored {
        Ok(Restored::Nothing) => {}
        Ok(Restored::Design(found)) => design = Some(*found),
        Ok(Restored::Aside(why)) => {
            words = Some(format!(
                "The design of the last visit cannot be read ({why}). It is put aside, under Designs."
            ));
        }
        Ok(Restored::Stuck(why)) => {
            let told = format!(
                "The design of the last visit cannot be read ({why}). Storage is too full to put it \
                 aside, so what you change here is not kept: save it as a file."
            );
            (stuck, words) = (Some(told.clone()), Some(told));
        }
        Err(error) => words = Some(format!("What you change here is not kept: {error}.")),
    }
    let keeping = Keeping {
        keeper: DesignStore::default(),
        lasting,
        own,
        rows: Vec::new(),
        former: None,
        renaming: None,
        deleted: None,
        asked: None,
        stuck,
    };
    Left { design, habits, keeping, words }
}

impl Keeping {
    /// What stays from visit to visit.
    pub fn lasting(&self) -> &BrowserShelf {
        &self.lasting
    }
}

impl Page {
    /// Keeps the design on the page for the next visit, or says in words why not.
    pub fn save_page(&self, design: &Design) -> Result<(), String> {
        let Keeping { own, lasting, stuck, .. } = &self.keeping;
        let _ = storage::save_page(own, design);
        match stuck {
            Some(words) => Err(words.clone()),
            None => storage::save_page(lasting, design)
                .map_err(|error| format!("What you change here is not kept: {error}.")),
        }
    }

    /// Keeps a design that another took the place of.
    pub fn keep_former(&self, design: &Design) {
        if !documents::is_example(design) {
            let _ = storage::save_former(&self.keeping.lasting, design);
        }
    }

    /// Names of the designs kept that can be read.
    pub fn kept_names(&self) -> Vec<String> {
        let rows = self.keeping.keeper.list(&self.keeping.lasting).unwrap_or_default();
        rows.into_iter().filter(|kept| kept.design.is_ok()).map(|kept| kept.name).collect()
    }

    /// The design kept by this name.
    pub fn kept_design(&self, name: &str) -> Option<Design> {
        let rows = self.keeping.keeper.list(&self.keeping.lasting).ok()?;
        rows.into_iter().find(|kept| kept.name == name)?.design.ok()
    }

    /// Shows the designs kept, or puts them away.
    pub fn show_designs(&mut self) {
        let shown =
            self.elements.element("designs").is_some_and(|part| part.has_attribute("hidden"));
        self.elements.reveal("designs", shown);
        let expanded = if shown { "true" } else { "false" };
        self.elements.mark("designs-button", "aria-expanded", expanded);
        self.keeping.renaming = None;
        self.list_kept();
    }

    /// Another page kept something.
    pub fn kept_elsewhere(&mut self) {
        if self.keeping.renaming.is_none() {
            self.list_kept();
        }
    }

    /// Keeps the design on the page by the name typed.
    pub fn keep_design(&mut self) {
        if self.at_fault() {
            return self.tell("Not kept: first put right the field that is marked.", true);
        }
        let name = self.elements.value("keep-name").trim().to_string();
        let design = Design { name: name.clone(), ..self.model.analysis.design.clone() };
        let Keeping { keeper, lasting, asked, .. } = &mut self.keeping;
        let may_replace = asked.take().as_deref() == Some(&name);
        let before = keeper.list(lasting).unwrap_or_default();
        let before = before.into_iter().find(|kept| kept.name == name);
        let replaced = before.is_some_and(|kept| kept.design.as_ref() != Ok(&design));
        match keeper.keep(lasting, &design, may_replace) {
            Ok(()) => {
                self.rename_on_page(&name);
                self.list_kept();
                let instead = if replaced { ", in place of the one kept before" } else { "" };
                self.tell(&format!("Kept as \u{201c}{name}\u{201d}{instead}."), false);
            }
            Err(error @ SaveError::Taken { .. }) => {
                self.keeping.asked = Some(name);
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
        let kept = self.keeping.rows.get(row).cloned();
        match (act, kept) {
            ("open", Some(kept)) => self.open_kept(&kept),
            ("file", Some(kept)) => self.save_text(&kept.name, &kept.text),
            ("rename", Some(kept)) => {
                self.keeping.renaming = Some(kept.name);
                self.list_kept();
                self.elements.focus("#rename-to");
                if let Some(input) = self.elements.get::<HtmlInputElement>("rename-to") {
                    input.select();
                }
            }
            ("renamed", Some(kept)) => self.rename_kept(&kept),
            ("leave", _) => {
                self.keeping.renaming = None;
                self.list_kept();
                self.elements.focus(&format!("#kept [data-kept=rename][data-row=\"{row}\"]"));
            }
            ("delete", Some(kept)) => self.delete_kept(&kept),
            ("back", _) => self.bring_back(),
            ("former", _) => {
                if let Some(former) = self.keeping.former.take() {
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
            self.keeping.keeper.opened(kept);
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
        let Keeping { keeper, lasting, .. } = &mut self.keeping;
        match keeper.rename(lasting, kept, &to) {
            Ok(()) => {
                if self.model.analysis.design.name == kept.name {
                    self.rename_on_page(&to);
                }
                self.keeping.renaming = None;
                self.list_kept();
                self.elements.focus("#designs");
                let words = format!("\u{201c}{}\u{201d} is now \u{201c}{to}\u{201d}.", kept.name);
                self.tell(&words, false);
            }
            Err(error) => self.tell(&format!("Not renamed: {error}."), true),
        }
    }

    fn delete_kept(&mut self, kept: &SavedEntry) {
        let Keeping { keeper, lasting, .. } = &mut self.keeping;
        match keeper.delete(lasting, kept) {
            Ok(deleted) => {
                self.tell(&format!("Deleted \u{201c}{}\u{201d}.", deleted.name), false);
                self.keeping.deleted = Some(deleted);
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
        let Keeping { keeper, lasting, deleted, .. } = &mut self.keeping;
        let Some(lost) = deleted.take() else { return };
        match keeper.bring_back(lasting, &lost) {
            Ok(()) => {
                self.tell(&format!("\u{201c}{}\u{201d} is back.", lost.name), false);
                self.list_kept();
                self.elements.focus("#designs");
            }
            Err(error) => {
                self.keeping.deleted = Some(lost);
                self.tell(&format!("Not brought back: {error}."), true);
            }
        }
    }

    /// Writes the list, where it is seen.
    pub fn list_kept(&mut self) {
        let Some(list) = self.elements.element("kept") else { return };
        if self.elements.element("designs").is_none_or(|part| part.has_attribute("hidden")) {
            return;
        }
        if let Some(input) = self.elements.get::<HtmlInputElement>("keep-name") {
            input.set_value(&self.model.analysis.design.name);
        }
        list.set_text_content(Some(""));
        let Keeping { keeper, lasting, .. } = &self.keeping;
        match keeper.list(lasting) {
            Ok(rows) => self.keeping.rows = rows,
            Err(error) => {
                self.keeping.rows.clear();
                self.elements.add(&list, "li", &format!("Nothing can be kept: {error}."));
                return;
            }
        }
        self.keeping.former = storage::former(&self.keeping.lasting)
            .filter(|former| *former != self.model.analysis.design);
        if let Some(deleted) = &self.keeping.deleted {
            let words = format!("\u{201c}{}\u{201d} is deleted.", deleted.name);
            self.row(&list, &words, 0, &[("back", "Bring back")]);
        }
        for (index, kept) in self.keeping.rows.iter().enumerate() {
            match &kept.design {
                Ok(_) if self.keeping.renaming.as_ref() == Some(&kept.name) => {
                    self.renaming_row(&list, &kept.name, index);
                }
                Ok(_) => {
                    let acts = [("open", "Open"), ("rename", "Rename"), ("delete", "Delete")];
                    self.row(&list, &kept.name, index, &acts);
                }
                Err(error) => {
                    let words =
                        format!("\u{201c}{}\u{201d} cannot be read here ({error}).", kept.name);
                    let acts = [("file", "Save file"), ("delete", "Delete")];
                    self.row(&list, &words, index, &acts);
                }
            }
        }
        if let Some(former) = &self.keeping.former {
            let words = format!("The one before, \u{201c}{}\u{201d}", former.name);
            self.row(&list, &words, 0, &[("former", "Open")]);
        }
        if list.child_element_count() == 0 {
            self.elements.add(&list, "li", "None is kept by a name yet.");
        }
    }

    fn row(&self, list: &Element, words: &str, row: usize, acts: &[(&str, &str)]) {
        let Some(item) = self.elements.add(list, "li", "") else { return };
        self.elements.add(&item, "span", words);
        self.acts(&item, words, row, acts);
    }

    fn acts(&self, item: &Element, about: &str, row: usize, acts: &[(&str, &str)]) {
        let Some(group) = self.elements.add(item, "div", "") else { return };
        for (act, words) in acts {
            if let Some(button) = self.elements.add(&group, "button", words) {
                let _ = button.set_attribute("type", "button");
                let _ = button.set_attribute("data-kept", act);
                let _ = button.set_attribute("data-row", &row.to_string());
                let _ = button.set_attribute("aria-label", &format!("{words}: {about}"));
            }
        }
    }

    fn renaming_row(&self, list: &Element, name: &str, row: usize) {
        let Some(item) = self.elements.add(list, "li", "") else { return };
        let Some(label) = self.elements.add(&item, "label", "New name ") else { return };
        if let Some(input) = self.elements.add(&label, "input", "") {
            input.set_id("rename-to");
            let _ = input.set_attribute("value", name);
            let _ = input.set_attribute("data-row", &row.to_string());
        }
        self.acts(&item, name, row, &[("renamed", "Rename"), ("leave", "Leave it")]);
    }
}
