//! From text to the resolved yard: names, defaults, copies, places.

#[path = "resolve/blocks.rs"]
mod blocks;
#[path = "resolve/carried.rs"]
mod carried;
#[path = "resolve/contradictions.rs"]
mod contradictions;
#[path = "resolve/copies.rs"]
mod copies;
#[path = "resolve/drives.rs"]
mod drives;
#[path = "resolve/faults.rs"]
mod faults;
#[path = "resolve/first_file.rs"]
mod first_file;
#[path = "resolve/library.rs"]
mod library;
#[path = "resolve/memory.rs"]
mod memory;
#[path = "resolve/yards.rs"]
mod yards;

use std::path::Path;
use std::sync::Arc;

use yardwright::finding::Finding;
use yardwright::model::{Figure, Limb, Yard};
use yardwright::resolve::{self, Gathered, ROOT};
use yardwright::source::{FileItem, MemoryDisk, Sources};
use yardwright::syntax::{self, Reading};

/// A project in memory: the yard, and everything found wrong up to it.
fn compile(files: &[(&str, &str)]) -> (Yard, Vec<Finding>) {
    let (gathered, mut found) = gather(files);
    let (yard, more) = resolve::project(&gathered);
    found.extend(more);
    (yard, found)
}

/// The items of a project in memory, and what is wrong with them.
fn gather(files: &[(&str, &str)]) -> (Gathered, Vec<Finding>) {
    let mut disk = MemoryDisk::new();
    for (name, text) in files {
        disk.put(Path::new("/p").join(name), *text);
    }
    let mut sources = Sources::new(disk, syntax::top_words(&ROOT));
    let entry = sources.open(&Path::new("/p").join(files[0].0)).expect("the entry stands there");
    let mut found = Vec::new();
    let mut read = |items: &[FileItem], _: bool| -> Vec<Arc<Reading>> {
        let one = |i: &FileItem| syntax::read(i.id, i.text.clone(), &ROOT, &mut found);
        items.iter().map(one).map(Arc::new).collect()
    };
    let (gathered, more) = resolve::gather(&mut sources, entry, &mut read);
    found.extend(more);
    (gathered, found)
}

/// A project of one file.
fn one(text: &str) -> (Yard, Vec<Finding>) {
    compile(&[("main.yard", text)])
}

/// The yard of a file without a mistake.
fn clean(text: &str) -> Yard {
    let (yard, found) = one(text);
    assert!(found.is_empty(), "{text}\n{}", told(&found));
    yard
}

/// The findings, one a line.
fn told(found: &[Finding]) -> String {
    let line = |f: &Finding| {
        format!("{}: {} [{}]\n", f.code.word, f.message, f.help.as_deref().unwrap_or(""))
    };
    found.iter().map(line).collect()
}

fn figure<'a>(yard: &'a Yard, name: &str) -> &'a Figure {
    &yard.figure(name).unwrap_or_else(|| panic!("no {name}")).figure
}

fn limb<'a>(yard: &'a Yard, figure_name: &str, name: &str) -> &'a Limb {
    let figure = figure(yard, figure_name);
    &figure.limbs[figure.limb(name).unwrap_or_else(|| panic!("no {name}"))]
}
