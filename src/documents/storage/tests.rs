use super::*;
use std::cell::{Cell, RefCell};

/// A browser's storage: may be forbidden, and holds so much.
#[derive(Default)]
struct MemoryStorage {
    texts: RefCell<BTreeMap<String, String>>,
    is_forbidden: Cell<bool>,
    quota: Cell<Option<usize>>,
}

impl MemoryStorage {
    fn open(&self) -> Result<&RefCell<BTreeMap<String, String>>, StorageError> {
        if self.is_forbidden.get() { Err(StorageError::Forbidden) } else { Ok(&self.texts) }
    }

    fn put(&self, key: &str, text: &str) {
        self.texts.borrow_mut().insert(key.into(), text.into());
    }

    fn all(&self) -> BTreeMap<String, String> {
        self.texts.borrow().clone()
    }
}

impl Storage for MemoryStorage {
    fn read(&self, key: &str) -> Result<Option<String>, StorageError> {
        Ok(self.open()?.borrow().get(key).cloned())
    }

    fn write(&self, key: &str, text: &str) -> Result<(), StorageError> {
        let mut texts = self.open()?.borrow_mut();
        let others = texts.iter().filter(|(k, _)| *k != key).map(|(k, t)| k.len() + t.len());
        let all = others.sum::<usize>() + key.len() + text.len();
        if self.quota.get().is_some_and(|quota| all > quota) {
            return Err(StorageError::Full);
        }
        texts.insert(key.into(), text.into());
        Ok(())
    }

    fn remove(&self, key: &str) -> Result<(), StorageError> {
        self.open()?.borrow_mut().remove(key);
        Ok(())
    }

    fn keys(&self) -> Result<Vec<String>, StorageError> {
        Ok(self.open()?.borrow().keys().cloned().collect())
    }
}

fn named(name: &str, mandrel: f64) -> Design {
    Design { name: name.into(), ..Design::plain(0.9, mandrel) }
}

/// A window opened on this storage.
fn page(lasting: &MemoryStorage) -> PageEntry {
    PageEntry::restore(&MemoryStorage::default(), lasting, Design::parse).0
}

fn restored<E: ToString>(
    lasting: &MemoryStorage,
    read: impl Fn(&str) -> Result<Design, E>,
) -> (Option<Design>, Option<PageFault>) {
    let (_, design, fault) = PageEntry::restore(&MemoryStorage::default(), lasting, read);
    (design, fault)
}

fn names(keeper: &DesignStore, storage: &MemoryStorage) -> Vec<String> {
    keeper.list(storage).unwrap().into_iter().map(|kept| kept.name).collect()
}

fn listed(keeper: &DesignStore, storage: &MemoryStorage, name: &str) -> SavedEntry {
    keeper.list(storage).unwrap().into_iter().find(|kept| kept.name == name).unwrap()
}

#[test]
fn designs_are_kept_listed_renamed_deleted_and_brought_back() {
    let (mut keeper, storage) = (DesignStore::default(), MemoryStorage::default());
    storage.put("another page's", "its own affair");
    for (name, mandrel) in [("necklace", 12.0), ("Bracelet", 13.0), (" ring/2 ", 14.0)] {
        keeper.keep(&storage, &named(name, mandrel)).unwrap();
    }
    assert_eq!(names(&keeper, &storage), ["Bracelet", "necklace", "ring/2"]);
    let necklace = listed(&keeper, &storage, "necklace");
    assert_eq!(necklace.design.as_ref().unwrap(), &named("necklace", 12.0));
    keeper.rename(&storage, &necklace, "Anna's").unwrap();
    assert_eq!(names(&keeper, &storage), ["Anna's", "Bracelet", "ring/2"]);
    let annas = listed(&keeper, &storage, "Anna's");
    assert_eq!(annas.design.as_ref().unwrap(), &named("Anna's", 12.0));
    let taken = keeper.rename(&storage, &annas, "Bracelet");
    assert_eq!(taken, Err(SaveError::Taken { name: "Bracelet".into() }));
    let deleted = keeper.delete(&storage, &annas).unwrap();
    assert_eq!(names(&keeper, &storage), ["Bracelet", "ring/2"]);
    keeper.bring_back(&storage, &deleted).unwrap();
    assert_eq!(listed(&keeper, &storage, "Anna's"), annas);
    assert!(keeper.bring_back(&storage, &deleted).is_err(), "nothing is written over");
    assert_eq!(storage.all()["another page's"], "its own affair");
}

#[test]
fn a_name_is_neither_empty_nor_endless() {
    let (mut keeper, storage) = (DesignStore::default(), MemoryStorage::default());
    for (name, letters) in [("", 0), (" \n ", 0), ("x".repeat(201).as_str(), 201)] {
        let found = keeper.keep(&storage, &named(name, 12.0));
        assert_eq!(found, Err(SaveError::Name { letters }), "{name}");
    }
    keeper.keep(&storage, &named(&"é".repeat(200), 12.0)).unwrap();
}

#[test]
fn two_pages_do_not_write_over_one_another_unasked() {
    let (mut one, mut other, storage) =
        (DesignStore::default(), DesignStore::default(), MemoryStorage::default());
    one.keep(&storage, &named("necklace", 12.0)).unwrap();
    // Saved again by the page that keeps it: no question.
    one.keep(&storage, &named("necklace", 12.5)).unwrap();
    let taken = Err(SaveError::Taken { name: "necklace".into() });
    assert_eq!(other.keep(&storage, &named("necklace", 20.0)), taken);
    // The very same is no conflict.
    other.keep(&storage, &named("necklace", 12.5)).unwrap();
    other.opened(&listed(&other, &storage, "necklace"));
    other.keep(&storage, &named("necklace", 21.0)).unwrap();
    assert_eq!(one.keep(&storage, &named("necklace", 13.0)), taken);
    let kept = listed(&one, &storage, "necklace");
    assert_eq!(kept.design.clone().unwrap().sizes[0].mandrel_mm, 21.0);
    // Asked about what was there, not about what came there since.
    other.keep(&storage, &named("necklace", 22.0)).unwrap();
    assert_eq!(one.keep(&storage, &named("necklace", 13.0)), taken);
    assert_eq!(one.keep(&storage, &named("necklace", 13.0)), Ok(true));
    // What the other listed is no longer there to be renamed or deleted.
    let changed = SaveError::Changed { name: "necklace".into() };
    assert_eq!(other.rename(&storage, &kept, "mine"), Err(changed.clone()));
    assert_eq!(other.delete(&storage, &kept), Err(changed));
    assert_eq!(names(&one, &storage), ["necklace"]);
}

const DAMAGED: [&str; 6] = [
    "",
    "garbage",
    "{\"linkfold\": 1, \"wire\": {",
    "{\"linkfold\": 2, \"rows\": []}",
    "[1, 0.9]",
    "{\"linkfold\": 1, \"wire\": {\"diameter_mm\": -1}, \"sizes\": [{\"mandrel_mm\": 12}]}",
];

#[test]
fn what_cannot_be_read_is_listed_and_never_written_over() {
    for text in DAMAGED {
        let (mut keeper, storage) = (DesignStore::default(), MemoryStorage::default());
        storage.put("linkfold/kept/necklace", text);
        let kept = listed(&keeper, &storage, "necklace");
        assert!(kept.design.is_err() && kept.text == text, "{text}");
        keeper.opened(&kept);
        let unreadable = SaveError::Unreadable { name: "necklace".into() };
        for _ in 0..2 {
            assert_eq!(
                keeper.keep(&storage, &named("necklace", 12.0)),
                Err(unreadable.clone()),
                "{text}"
            );
        }
        assert_eq!(keeper.rename(&storage, &kept, "other"), Err(unreadable), "{text}");
        keeper.keep(&storage, &named("other", 12.0)).unwrap();
        let other = listed(&keeper, &storage, "other");
        assert!(keeper.rename(&storage, &other, "necklace").is_err(), "{text}");
        assert_eq!(storage.all()["linkfold/kept/necklace"], text);
        let deleted = keeper.delete(&storage, &kept).unwrap();
        keeper.bring_back(&storage, &deleted).unwrap();
        assert_eq!(storage.all()["linkfold/kept/necklace"], text);
    }
}

#[test]
fn the_design_on_the_page_comes_back() {
    let storage = MemoryStorage::default();
    assert_eq!(restored(&storage, Design::parse), (None, None));
    let design = named("on the page", 12.0);
    page(&storage).save(&MemoryStorage::default(), &storage, &design).unwrap();
    save_former(&storage, &named("before", 13.0)).unwrap();
    assert_eq!(restored(&storage, Design::parse), (Some(design), None));
    assert_eq!(former(&storage), Some(named("before", 13.0)));
    let used_to = Habits { in_inches: true, size: 2 };
    save_habits(&storage, &used_to).unwrap();
    assert_eq!(habits(&storage), used_to);
    assert!(
        DesignStore::default().list(&storage).unwrap().is_empty(),
        "it is not one kept by name"
    );
}

/// The last: a design that is one, but whose rings cannot be formed.
#[test]
fn a_damaged_page_entry_is_put_aside_whole() {
    let unformed =
        "{\"linkfold\": 1, \"wire\": {\"diameter_mm\": 1}, \"sizes\": [{\"mandrel_mm\": 4}]}";
    // Stands in for the layer above, which forms the rings.
    let read = |text: &str| match Design::parse(text) {
        Ok(design) if design.sizes[0].mandrel_mm < 5.0 => Err("no inside left".to_string()),
        read => read.map_err(|error| error.to_string()),
    };
    let storage = MemoryStorage::default();
    for (i, text) in DAMAGED.into_iter().chain([unformed]).enumerate() {
        storage.put("linkfold/page", text);
        let found = restored(&storage, read);
        let told = matches!(&found, (None, Some(PageFault::Aside(why))) if !why.is_empty());
        assert!(told, "{text}: {found:?}");
        assert_eq!(storage.all()[&format!("linkfold/aside/{}", i + 1)], text);
        assert_eq!(restored(&storage, read), (None, None));
    }
    let list = DesignStore::default().list(&storage).unwrap();
    assert_eq!(list.len(), DAMAGED.len() + 1);
    assert!(list.iter().all(SavedEntry::is_aside));
    storage.put("linkfold/habits", "garbage");
    assert_eq!(habits(&storage), Habits::default());
}

#[test]
fn where_storage_is_full_all_stays_as_it_was() {
    let (mut keeper, storage) = (DesignStore::default(), MemoryStorage::default());
    keeper.keep(&storage, &named("necklace", 12.0)).unwrap();
    let own = MemoryStorage::default();
    let mut window = page(&storage);
    window.save(&own, &storage, &named("on the page", 12.0)).unwrap();
    let (before, kept) = (storage.all(), listed(&keeper, &storage, "necklace"));
    storage.quota.set(Some(before.iter().map(|(key, text)| key.len() + text.len()).sum()));
    let full = SaveError::Storage(StorageError::Full);
    assert_eq!(keeper.keep(&storage, &named("other", 12.0)), Err(full.clone()));
    assert_eq!(keeper.keep(&storage, &named("necklace", 12.123456789)), Err(full.clone()));
    assert_eq!(keeper.rename(&storage, &kept, "other"), Err(full));
    let full = Err(PageFault::Storage(StorageError::Full));
    assert_eq!(window.save(&own, &storage, &named("on the page", 12.123456)), full);
    assert_eq!(storage.all(), before);
    // No space to put it aside, either: the page must not write over it.
    storage.put("linkfold/page", "garbage");
    storage.quota.set(Some(0));
    let (mut window, found, fault) =
        PageEntry::restore(&MemoryStorage::default(), &storage, Design::parse);
    assert!(found.is_none() && matches!(fault, Some(PageFault::Stuck(_))));
    assert_eq!(window.save(&own, &storage, &named("on the page", 12.0)), full);
    assert_eq!(storage.all()["linkfold/page"], "garbage");
    // Room again: it is put aside, and the page kept.
    storage.quota.set(None);
    window.save(&own, &storage, &named("on the page", 12.0)).unwrap();
    assert_eq!(storage.all()["linkfold/aside/1"], "garbage");
}

#[test]
fn where_storage_is_forbidden_it_is_said() {
    let (mut keeper, storage) = (DesignStore::default(), MemoryStorage::default());
    keeper.keep(&storage, &named("necklace", 12.0)).unwrap();
    let (before, kept) = (storage.all(), listed(&keeper, &storage, "necklace"));
    storage.is_forbidden.set(true);
    let forbidden = StorageError::Forbidden;
    assert_eq!(keeper.list(&storage), Err(forbidden));
    assert_eq!(keeper.keep(&storage, &named("necklace", 13.0)), Err(forbidden.into()));
    assert_eq!(keeper.rename(&storage, &kept, "other"), Err(forbidden.into()));
    assert_eq!(keeper.delete(&storage, &kept), Err(forbidden.into()));
    assert_eq!(restored(&storage, Design::parse), (None, Some(forbidden.into())));
    assert_eq!((habits(&storage), former(&storage)), (Habits::default(), None));
    storage.is_forbidden.set(false);
    assert_eq!(storage.all(), before);
}

/// The one before may be a later program's, too: it is put aside, or stays.
#[test]
fn what_cannot_be_read_is_not_written_over_by_another() {
    for later in DAMAGED {
        let storage = MemoryStorage::default();
        storage.put("linkfold/former", later);
        storage.quota.set(Some(0));
        assert_eq!(save_former(&storage, &named("before", 13.0)), Err(StorageError::Full));
        assert_eq!(storage.all()["linkfold/former"], later);
        storage.quota.set(None);
        save_former(&storage, &named("before", 13.0)).unwrap();
        assert_eq!(former(&storage), Some(named("before", 13.0)));
        assert_eq!(storage.all()["linkfold/aside/1"], later);
    }
}

/// Two windows on one design: whichever kept last, the other's is listed.
#[test]
fn what_two_windows_keep_is_there() {
    let (lasting, one_own, other_own) =
        (MemoryStorage::default(), MemoryStorage::default(), MemoryStorage::default());
    page(&lasting).save(&one_own, &lasting, &named("start", 12.0)).unwrap();
    let (mut one, mut other) = (page(&lasting), page(&lasting));
    for step in 0..5 {
        let mandrel = 13.0 + f64::from(step);
        one.save(&one_own, &lasting, &named("one", mandrel)).unwrap();
        other.save(&other_own, &lasting, &named("other", mandrel)).unwrap();
        assert_eq!(restored(&lasting, Design::parse), (Some(named("other", mandrel)), None));
        let list = DesignStore::default().list(&lasting).unwrap();
        assert_eq!(list.len(), 1, "older ones go");
        assert_eq!(list[0].design, Ok(named("one", mandrel)));
        assert!(list[0].name.ends_with("from another window: one"), "{}", list[0].name);
    }
    // A later program's, in another window.
    lasting.put("linkfold/page", "{\"linkfold\": 2}");
    one.save(&one_own, &lasting, &named("one", 20.0)).unwrap();
    assert!(lasting.all().values().any(|text| text == "{\"linkfold\": 2}"));
}

/// What a window's own storage holds and cannot be read is listed with the rest.
#[test]
fn what_a_window_cannot_read_of_its_own_is_put_aside_where_it_is_listed() {
    let (lasting, own) = (MemoryStorage::default(), MemoryStorage::default());
    own.put("linkfold/page", "{\"linkfold\": 2}");
    lasting.quota.set(Some(0));
    let (mut window, design, _) = PageEntry::restore(&own, &lasting, Design::parse);
    assert_eq!(design, None);
    lasting.quota.set(None);
    window.save(&own, &lasting, &named("new", 12.0)).unwrap();
    assert_eq!(own.all()["linkfold/page"], "{\"linkfold\": 2}", "not written over");
    let (_, design, fault) = PageEntry::restore(&own, &lasting, Design::parse);
    assert_eq!(design, Some(named("new", 12.0)));
    assert!(matches!(fault, Some(PageFault::Aside(_))));
    assert_eq!(lasting.all()["linkfold/aside/1"], "{\"linkfold\": 2}");
}
