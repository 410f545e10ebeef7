//! The rooms of the house: arrows between them point downwards, and no folder holds a circle.
//!
//! Paths are read from the syntax tree, without unit tests; a path names a file by the longest part of it that is one.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;
use syn::visit::{self, Visit};
use syn::{Attribute, Item, ItemUse, UseTree};

/// From the top down: a room uses only rooms below it. The program's `cli` stands above them all.
const ROOMS: [&str; 24] = [
    "run", "report", "examine", "atlas", "passage", "explain", "job", "result", "survey", "split",
    "simulate", "derate", "balance", "tally", "boat", "forecast", "region", "polar", "hydro", "hull", "sea",
    "maths", "files", "base",
];

/// The path of a module from the root of the crate.
type Module = Vec<String>;

/// Every module of the library with the paths that it names.
struct House {
    uses: BTreeMap<Module, BTreeSet<Module>>,
    /// Modules that are folders, each with what its `mod.rs` defines itself.
    folders: BTreeMap<Module, Vec<String>>,
}

impl House {
    fn of(root: &Path) -> Self {
        let mut house = House { uses: BTreeMap::new(), folders: BTreeMap::new() };
        house.read(root, &mut Vec::new());
        house
    }

    fn read(&mut self, folder: &Path, at: &mut Module) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
            let of_program = at.is_empty() && ["main", "lib", "cli"].contains(&name.as_str());
            if path.is_dir() && !of_program {
                at.push(name);
                self.read(&path, at);
                at.pop();
            } else if path.extension().is_some_and(|extension| extension == "rs") && !of_program {
                let file = syn::parse_file(&fs::read_to_string(&path).unwrap()).unwrap();
                let mut module = at.clone();
                if name == "mod" {
                    self.folders.insert(module.clone(), defined(&file.items));
                } else {
                    module.push(name);
                }
                self.uses.insert(module, named(&file));
            }
        }
    }

    /// The module that a path leads to.
    fn target(&self, path: &Module) -> Module {
        let known = |length: &usize| self.uses.contains_key(&path[..*length]);
        path[..(0..=path.len()).rev().find(known).unwrap_or(0)].to_vec()
    }

    /// Each module with those that it uses.
    fn arrows(&self) -> BTreeMap<Module, BTreeSet<Module>> {
        let targets = |paths: &BTreeSet<Module>| paths.iter().map(|path| self.target(path)).collect();
        self.uses.iter().map(|(module, paths)| (module.clone(), targets(paths))).collect()
    }
}

/// Paths from the root of the crate that a file names outside its tests.
fn named(file: &syn::File) -> BTreeSet<Module> {
    let mut paths = Paths(BTreeSet::new());
    paths.visit_file(file);
    paths.0
}

struct Paths(BTreeSet<Module>);

impl Visit<'_> for Paths {
    fn visit_item(&mut self, item: &Item) {
        let tests = matches!(item, Item::Mod(module) if module.attrs.iter().any(is_test));
        if !tests {
            visit::visit_item(self, item);
        }
    }

    fn visit_item_use(&mut self, item: &ItemUse) {
        self.tree(&item.tree, &mut Vec::new());
    }

    /// Who may see an item is no use of it.
    fn visit_visibility(&mut self, _: &syn::Visibility) {}

    fn visit_path(&mut self, path: &syn::Path) {
        self.add(path.segments.iter().map(|segment| segment.ident.to_string()).collect());
        visit::visit_path(self, path);
    }
}

impl Paths {
    fn tree(&mut self, tree: &UseTree, before: &mut Module) {
        match tree {
            UseTree::Path(path) => {
                before.push(path.ident.to_string());
                self.tree(&path.tree, before);
                before.pop();
            }
            UseTree::Group(group) => group.items.iter().for_each(|item| self.tree(item, before)),
            UseTree::Name(name) => self.add([&before[..], &[name.ident.to_string()]].concat()),
            UseTree::Rename(name) => self.add([&before[..], &[name.ident.to_string()]].concat()),
            UseTree::Glob(_) => self.add(before.clone()),
        }
    }

    fn add(&mut self, path: Module) {
        if path.first().is_some_and(|first| first == "crate") && path.len() > 1 {
            self.0.insert(path[1..].to_vec());
        }
    }
}

fn is_test(attribute: &Attribute) -> bool {
    attribute.path().is_ident("cfg")
        && attribute.parse_args::<syn::Ident>().is_ok_and(|condition| condition == "test")
}

/// What stands in a file besides modules and re-exports.
fn defined(items: &[Item]) -> Vec<String> {
    let door = |item: &&Item| match item {
        Item::Mod(module) => module.content.is_none(),
        Item::Use(item) => !matches!(item.vis, syn::Visibility::Inherited),
        _ => false,
    };
    let name = |item: &Item| match item {
        Item::Fn(item) => item.sig.ident.to_string(),
        Item::Struct(item) => item.ident.to_string(),
        Item::Enum(item) => item.ident.to_string(),
        Item::Const(item) => item.ident.to_string(),
        Item::Impl(_) => "an impl".to_owned(),
        Item::Use(_) => "a use".to_owned(),
        _ => "something else".to_owned(),
    };
    items.iter().filter(|item| !door(item)).map(name).collect()
}

/// Arrows that point upwards in an order, and rooms that have no place in it.
fn upward(order: &[&str], arrows: &BTreeMap<Module, BTreeSet<Module>>) -> Vec<String> {
    let place =
        |module: &Module| order.iter().position(|room| Some(*room) == module.first().map(String::as_str));
    let mut wrong = Vec::new();
    for (module, targets) in arrows {
        for target in targets.iter().filter(|target| !target.is_empty()) {
            match (place(module), place(target)) {
                (Some(from), Some(to)) if from <= to => {}
                (Some(_), Some(_)) => wrong.push(format!("{} -> {}", module.join("::"), target.join("::"))),
                (None, _) => wrong.push(format!("{} has no place in the order", module.join("::"))),
                (_, None) => wrong.push(format!("{} has no place in the order", target.join("::"))),
            }
        }
    }
    wrong
}

/// What lies right in a folder, with what of the same folder it uses.
fn within(
    folder: &Module,
    arrows: &BTreeMap<Module, BTreeSet<Module>>,
) -> BTreeMap<String, BTreeSet<String>> {
    let child = |module: &Module| {
        (module.len() > folder.len() && module.starts_with(folder)).then(|| module[folder.len()].clone())
    };
    let mut inner: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for (module, targets) in arrows {
        let Some(from) = child(module) else { continue };
        let to = targets.iter().filter_map(child).filter(|to| *to != from);
        inner.entry(from.clone()).or_default().extend(to);
    }
    inner
}

/// What is left when everything is taken away that points to nothing left: circles, and what leads to them.
fn circles(mut arrows: BTreeMap<String, BTreeSet<String>>) -> BTreeMap<String, BTreeSet<String>> {
    while let Some(done) = arrows.iter().find(|(_, to)| to.is_empty()).map(|(from, _)| from.clone()) {
        arrows.remove(&done);
        arrows.values_mut().for_each(|to| {
            to.remove(&done);
        });
    }
    arrows
}

fn house() -> House {
    House::of(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"))
}

#[test]
fn rooms_use_only_rooms_below_them() {
    let wrong = upward(&ROOMS, &house().arrows());
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn every_room_of_the_order_is_there() {
    let house = house();
    let missing: Vec<_> =
        ROOMS.iter().filter(|room| !house.folders.contains_key(&vec![(**room).to_owned()])).collect();
    assert!(missing.is_empty(), "{missing:?}");
}

#[test]
fn no_folder_holds_a_circle() {
    let house = house();
    let arrows = house.arrows();
    for folder in house.folders.keys() {
        let circles = circles(within(folder, &arrows));
        assert!(circles.is_empty(), "in {}: {circles:#?}", folder.join("::"));
    }
}

/// A file names its siblings, not the front door that it stands behind.
#[test]
fn children_do_not_call_back_into_their_parents() {
    let house = house();
    let mut back = Vec::new();
    for (module, paths) in &house.uses {
        for path in paths {
            let target = house.target(path);
            if target.len() < module.len() && module.starts_with(&target) && !target.is_empty() {
                back.push(format!("{} -> {}", module.join("::"), path.join("::")));
            }
        }
    }
    assert!(back.is_empty(), "{back:#?}");
}

#[test]
fn front_doors_hold_modules_and_re_exports_alone() {
    let holds: Vec<_> = house()
        .folders
        .into_iter()
        .filter(|(_, defined)| !defined.is_empty())
        .map(|(folder, _)| folder.join("::"))
        .collect();
    assert!(holds.is_empty(), "{holds:#?}");
}

#[test]
fn the_root_holds_the_program_and_the_library_alone() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let files = fs::read_dir(root).unwrap().map(|entry| entry.unwrap().path()).filter(|path| path.is_file());
    let names: BTreeSet<_> =
        files.map(|path| path.file_name().unwrap().to_str().unwrap().to_owned()).collect();
    assert_eq!(names, ["lib.rs", "main.rs"].map(str::to_owned).into());
}

fn module(path: &str) -> Module {
    path.split("::").map(str::to_owned).collect()
}

fn made(arrows: &[(&str, &[&str])]) -> BTreeMap<Module, BTreeSet<Module>> {
    arrows.iter().map(|(from, to)| (module(from), to.iter().map(|to| module(to)).collect())).collect()
}

#[test]
fn an_arrow_upwards_is_found() {
    let arrows = made(&[("sail::rig", &["hull"]), ("hull::keel", &["sail::rig", "hull"])]);
    assert_eq!(upward(&["sail", "hull"], &arrows), ["hull::keel -> sail::rig"]);
    assert_eq!(upward(&["sail"], &made(&[("sail", &["hull"])])), ["hull has no place in the order"]);
}

#[test]
fn a_circle_is_found_in_its_own_folder() {
    let arrows = made(&[
        ("hull::keel", &["hull::rudder"]),
        ("hull::rudder", &["hull::keel", "sail"]),
        ("sail", &["hull"]),
    ]);
    assert_eq!(circles(within(&module("hull"), &arrows)).len(), 2);
    assert!(circles(within(&module("sail"), &arrows)).is_empty());
}

#[test]
fn paths_are_read_from_groups_and_inline_but_not_from_tests_or_comments() {
    let text = "use crate::{hull::{Keel, deck::Edge as E}, sea}; // crate::cli
        fn f() -> crate::units::Kn { crate::maths::root() }
        #[cfg(test)] mod tests { use crate::run; }";
    let found = named(&syn::parse_file(text).unwrap());
    let wanted = ["hull::Keel", "hull::deck::Edge", "sea", "units::Kn", "maths::root"].map(module);
    assert_eq!(found, wanted.into());
}
