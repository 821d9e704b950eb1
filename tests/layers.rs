//! The layers of `src/lib.rs`: who uses whom, no circles, and what the core does not know.
#![cfg(not(target_arch = "wasm32"))]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// A module's path from the crate's root: `["geometry", "link", "fold"]`.
type Module = Vec<String>;

fn source_folder() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

/// The layers of the table in `lib.rs`, each with those it may use besides itself.
fn layers() -> BTreeMap<String, Vec<String>> {
    let map = fs::read_to_string(source_folder().join("lib.rs")).unwrap();
    let names = |cell: &str| cell.split('`').skip(1).step_by(2).map(String::from).collect();
    let row = |line: &str| -> Option<(String, Vec<String>)> {
        let cells: Vec<&str> = line.strip_prefix("//! | ")?.split(" | ").collect();
        let layer: Vec<String> = names(cells.first()?);
        Some((layer.first()?.clone(), names(cells.get(1)?)))
    };
    map.lines().filter_map(row).collect()
}

/// The text of every module of the library, without comments and tests.
fn modules() -> BTreeMap<Module, String> {
    fn read(folder: &Path, module: &Module, found: &mut BTreeMap<Module, String>) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_stem().unwrap().to_str().unwrap().to_string();
            let mut inner = module.clone();
            if path.is_dir() {
                inner.push(name);
                read(&path, &inner, found);
            } else if path.extension().is_some_and(|e| e == "rs") && name != "tests" {
                if name != "mod" {
                    inner.push(name);
                }
                found.insert(inner, code_of(&fs::read_to_string(&path).unwrap()));
            }
        }
    }
    let mut found = BTreeMap::new();
    read(&source_folder(), &Vec::new(), &mut found);
    found
        .retain(|module, _| !["lib", "main", "cli", "bin", "kernel"].contains(&module[0].as_str()));
    assert!(found.len() > 100, "sources not found");
    found
}

/// `text` up to its tests, without comments.
fn code_of(text: &str) -> String {
    let code = text.split("#[cfg(test)]\nmod tests").next().unwrap_or(text);
    code.lines().map(|line| line.split("//").next().unwrap_or("").to_string() + "\n").collect()
}

/// Every path that `tree`, what follows a `use`, imports, and the name it gets.
fn imports(tree: &str) -> Vec<(Vec<String>, String)> {
    let tree = tree.trim();
    let segments = |path: &str| -> Vec<String> {
        path.split("::").map(str::trim).filter(|s| !s.is_empty()).map(String::from).collect()
    };
    let Some((prefix, group)) = tree.split_once('{') else {
        let (path, alias) = tree.split_once(" as ").unwrap_or((tree, ""));
        let mut path = segments(path);
        path.retain(|name| name != "self" || tree.starts_with("self"));
        let name = path.last().cloned().unwrap_or_default();
        return vec![(path, if alias.is_empty() { name } else { alias.trim().to_string() })];
    };
    let prefix = segments(prefix);
    let (mut found, mut depth, mut part) = (Vec::new(), 0, String::new());
    for c in group.strip_suffix('}').unwrap_or(group).chars().chain([',']) {
        match c {
            ',' if depth == 0 => {
                if !part.trim().is_empty() {
                    for (path, name) in imports(&part) {
                        let path: Vec<String> = prefix.iter().cloned().chain(path).collect();
                        let own = path.last().cloned().unwrap_or_default();
                        found.push((path, if name.is_empty() { own } else { name }));
                    }
                }
                part.clear();
            }
            _ => {
                depth += i32::from(c == '{') - i32::from(c == '}');
                part.push(c);
            }
        }
    }
    found
}

/// One `use` of a module, and whether others see it through this module.
struct Use {
    path: Vec<String>,
    name: String,
    is_public: bool,
}

/// The `use` statements of a module, and its code without them.
fn split_uses(code: &str) -> (Vec<Use>, String) {
    let (mut uses, mut body) = (Vec::new(), String::new());
    let mut lines = code.lines();
    while let Some(line) = lines.next() {
        let trimmed = line.trim_start();
        let visible = trimmed.strip_prefix("pub").map(|rest| match rest.strip_prefix('(') {
            Some(rest) => rest.split_once(')').map_or(rest, |(_, rest)| rest).trim_start(),
            None => rest.trim_start(),
        });
        let tree = visible.unwrap_or(trimmed).strip_prefix("use ");
        let is_module = visible.unwrap_or(trimmed).starts_with("mod ") && line.ends_with(';');
        match tree {
            Some(first) => {
                let mut tree = first.to_string();
                while !tree.contains(';') {
                    tree.push_str(lines.next().unwrap_or(";"));
                }
                let tree = tree.split(';').next().unwrap_or_default();
                uses.extend(imports(tree).into_iter().map(|(path, name)| Use {
                    path,
                    name,
                    is_public: visible.is_some(),
                }));
            }
            None if is_module => {}
            None => body.push_str(&format!("{line}\n")),
        }
    }
    (uses, body)
}

/// Paths of two names or more in `body`.
fn inline_paths(body: &str) -> Vec<Vec<String>> {
    let is_path = |c: char| c.is_alphanumeric() || c == '_' || c == ':';
    body.split(|c| !is_path(c))
        .filter(|word| word.contains("::"))
        .map(|word| word.split("::").filter(|s| !s.is_empty()).map(String::from).collect())
        .collect()
}

/// Whether `body` has `name` as a word; one that begins small as a call or the head of a path.
fn mentions(body: &str, name: &str) -> bool {
    let is_word = |c: char| c.is_alphanumeric() || c == '_';
    body.match_indices(name).any(|(at, _)| {
        let before = body[..at].chars().next_back();
        let after = &body[at + name.len()..];
        let ends = if name.starts_with(char::is_lowercase) {
            after.starts_with('(') || after.starts_with("::")
        } else {
            !after.starts_with(is_word)
        };
        !before.is_some_and(is_word) && ends
    })
}

/// The library's modules with what each imports.
struct Library {
    modules: BTreeMap<Module, (Vec<Use>, String)>,
}

impl Library {
    fn read() -> Library {
        let split = |(module, code): (Module, String)| (module, split_uses(&code));
        Library { modules: modules().into_iter().map(split).collect() }
    }

    /// `path` as written in `module`, from the root; none for another crate's.
    fn absolute(&self, module: &Module, path: &[String]) -> Option<Vec<String>> {
        let (first, rest) = path.split_first()?;
        let mut from: Module = match first.as_str() {
            "crate" => return Some(rest.to_vec()),
            "self" => module.clone(),
            "super" => module[..module.len() - 1].to_vec(),
            _ => {
                let child: Module = module.iter().chain([first]).cloned().collect();
                return self.modules.contains_key(&child).then(|| [&child, rest].concat());
            }
        };
        let mut rest = rest;
        while let Some(("super", others)) = rest.split_first().map(|(a, b)| (a.as_str(), b)) {
            from.pop();
            rest = others;
        }
        Some([from.as_slice(), rest].concat())
    }

    /// The module in which what `path` names is written, through re-exports.
    fn home(&self, path: &[String], depth: usize) -> Option<Module> {
        let known = (1..=path.len()).rev().find(|n| self.modules.contains_key(&path[..*n]))?;
        let (module, rest) = (path[..known].to_vec(), &path[known..]);
        if let Some((name, deeper)) = rest.split_first()
            && depth < 8
            && let Some(found) = self.modules[&module].0.iter().find(|u| u.name == *name)
            && let Some(target) = self.absolute(&module, &found.path)
        {
            return self.home(&[target.as_slice(), deeper].concat(), depth + 1);
        }
        Some(module)
    }

    /// The modules that `module` needs: what it imports for itself or names in its code.
    fn needs(&self, module: &Module) -> BTreeSet<Module> {
        let (uses, body) = &self.modules[module];
        let imported = uses.iter().filter(|u| !u.is_public || mentions(body, &u.name));
        let paths = imported.map(|u| u.path.clone()).chain(inline_paths(body));
        let absolute = paths.filter_map(|path| self.absolute(module, &path));
        absolute.filter_map(|path| self.home(&path, 0)).filter(|home| home != module).collect()
    }
}

#[test]
fn layers_use_only_what_the_table_of_lib_rs_allows() {
    let layers = layers();
    assert!(layers.len() > 5, "no table of layers in lib.rs: {layers:?}");
    let mut faults = Vec::new();
    for (module, code) in modules() {
        let name = module.join("::");
        let Some(allowed) = layers.get(&module[0]) else {
            faults.push(format!("{name}: not in the table"));
            continue;
        };
        // `use crate::{a, b}` would hide layers from this test.
        assert!(!code.contains("crate::{"), "{name}: one layer a line, please");
        for (at, found) in code.match_indices("crate::") {
            let used = code[at + found.len()..].split(|c: char| !c.is_alphanumeric() && c != '_');
            let used = used.map(String::from).next().unwrap_or_default();
            if used != module[0] && !allowed.contains(&used) {
                faults.push(format!("{name} uses {used}"));
            }
        }
        let knows = ["web", "app"].contains(&module[0].as_str());
        if !knows && (code.contains("wasm_bindgen") || code.contains("web_sys")) {
            faults.push(format!("{name}: only web may know the browser"));
        }
    }
    assert!(faults.is_empty(), "{faults:#?}");
    // The table itself has no circle: a layer's own stand above it.
    let map = fs::read_to_string(source_folder().join("lib.rs")).unwrap();
    let place = |layer: &str| map.find(&format!("`{layer}`"));
    for (layer, allowed) in &layers {
        for used in allowed {
            assert!(place(used) < place(layer), "{layer} uses {used}, which stands below it");
        }
    }
}

/// `web`, whose files all act on the one page, is not held to this.
#[test]
fn files_of_one_layer_form_no_circle() {
    let library = Library::read();
    let needs: BTreeMap<&Module, BTreeSet<Module>> =
        library.modules.keys().map(|module| (module, library.needs(module))).collect();
    let mut circles = BTreeSet::new();
    for module in library.modules.keys().filter(|module| module[0] != "web") {
        let (mut open, mut seen) = (vec![module], BTreeSet::new());
        while let Some(next) = open.pop() {
            for needed in needs[next].iter().filter(|needed| needed[0] == module[0]) {
                if needed == module {
                    circles.insert(format!("{} <- {}", module.join("::"), next.join("::")));
                } else if seen.insert(needed) {
                    open.push(needed);
                }
            }
        }
    }
    assert!(circles.is_empty(), "files that need one another in a circle: {circles:#?}");
}

/// The fields of the documents: `pub name:` in `documents`, where the name has an underline.
fn document_fields() -> BTreeSet<String> {
    let documents = modules().into_iter().filter(|(module, _)| module[0] == "documents");
    let field = |line: &str| {
        let name = line.trim_start().strip_prefix("pub ")?.split_once(':')?.0;
        let is_name = name.chars().all(|c| c.is_ascii_lowercase() || c == '_');
        (is_name && name.contains('_')).then(|| name.to_string())
    };
    documents.flat_map(|(_, code)| code.lines().filter_map(field).collect::<Vec<_>>()).collect()
}

/// The core hands up typed errors with values; the layer that knows the document adds the path.
#[test]
fn the_core_writes_no_field_of_a_document() {
    let fields = document_fields();
    assert!(fields.contains("mandrel_mm") && fields.contains("yield_mpa"), "{fields:?}");
    let core = ["math", "geometry", "mechanics", "motion"];
    let mut faults = Vec::new();
    for (module, code) in modules() {
        if core.contains(&module[0].as_str()) {
            let strings = code.split('"').skip(1).step_by(2);
            let named = strings.filter(|text| fields.contains(*text));
            faults.extend(named.map(|field| format!("{}: \"{field}\"", module.join("::"))));
        }
    }
    assert!(faults.is_empty(), "{faults:#?}");
}

/// One type name, one meaning: nothing is named twice.
#[test]
fn every_type_has_a_name_of_its_own() {
    fn name_of(line: &str) -> Option<&str> {
        let line = line.strip_prefix("pub ").unwrap_or(line);
        let line = line.strip_prefix("pub(super) ").unwrap_or(line);
        let line = line.strip_prefix("pub(crate) ").unwrap_or(line);
        let kinds = ["struct ", "enum ", "trait ", "type "];
        let rest = kinds.iter().find_map(|kind| line.strip_prefix(kind))?;
        rest.split(|c: char| !c.is_alphanumeric()).next()
    }
    let mut where_named: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for (module, text) in modules() {
        for name in text.lines().filter_map(name_of) {
            where_named.entry(name.to_string()).or_default().insert(module.join("::"));
        }
    }
    assert!(where_named.len() > 300, "types not found");
    where_named.retain(|_, modules| modules.len() > 1);
    assert!(where_named.is_empty(), "named twice: {where_named:#?}");
}
