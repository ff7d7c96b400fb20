//! Imports go down only.

use std::path::{Path, PathBuf};

/// Folders of `src` with their rank; a folder may use those of a lower rank, and itself.
const RANKS: [(&str, u32); 7] = [
    ("pixel", 0),
    ("measure", 1),
    ("files", 2),
    ("report", 2),
    ("gpu", 2),
    ("window", 3),
    ("commands", 4),
];

pub(crate) fn rust_files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            rust_files(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

/// Ways to name a module that [`wrong_imports`] would not see through.
const HIDDEN_NAMES: [&str; 2] = ["crate::{", "super::super"];

/// Which of them are in `text`.
fn hidden_names(text: &str) -> Vec<&str> {
    let is_there = |name: &&str| text.contains(*name);
    HIDDEN_NAMES.into_iter().filter(is_there).collect()
}

/// Uses of `crate::name` in `text` that go up or sideways from `folder`.
fn wrong_imports(folder: &str, text: &str) -> Vec<String> {
    let rank = |name: &str| {
        RANKS
            .iter()
            .find(|(known, _)| *known == name)
            .map(|(_, rank)| *rank)
    };
    let own = rank(folder).unwrap_or_else(|| panic!("the folder `{folder}` has no rank"));
    text.split("crate::")
        .skip(1)
        .map(|rest| {
            rest.split(|c: char| !c.is_alphanumeric() && c != '_')
                .next()
                .unwrap_or("")
        })
        .filter(|name| rank(name).is_some_and(|other| other >= own && *name != folder))
        .map(str::to_owned)
        .collect()
}

#[test]
fn imports_go_down_only() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    rust_files(&src, &mut files);
    assert!(
        files.len() > 20,
        "only {} files were looked at",
        files.len()
    );
    for file in files {
        let inner = file.strip_prefix(&src).unwrap();
        if inner.components().count() < 2 {
            continue;
        }
        let folder = inner
            .components()
            .next()
            .unwrap()
            .as_os_str()
            .to_str()
            .unwrap();
        let text = std::fs::read_to_string(&file).unwrap();
        let wrong = wrong_imports(folder, &text);
        assert!(wrong.is_empty(), "{} uses {wrong:?}", inner.display());
        let hidden = hidden_names(&text);
        assert!(hidden.is_empty(), "{} has {hidden:?}", inner.display());
    }
}

#[test]
fn an_upward_import_is_seen() {
    assert_eq!(
        wrong_imports("pixel", "use crate::gpu::device::Gpu;"),
        ["gpu"]
    );
    assert_eq!(
        wrong_imports("files", "use crate::gpu::device::Gpu;"),
        ["gpu"]
    );
    assert!(wrong_imports("gpu", "use crate::pixel::plan::Plan;").is_empty());
    assert_eq!(hidden_names("use crate::{gpu, pixel};"), ["crate::{"]);
    assert_eq!(hidden_names("use super::super::gpu;"), ["super::super"]);
    assert!(hidden_names("use super::plan::Plan;").is_empty());
}

#[test]
fn files_stay_small_enough_to_be_one_noun() {
    let mut files = Vec::new();
    rust_files(
        &Path::new(env!("CARGO_MANIFEST_DIR")).join("src"),
        &mut files,
    );
    for file in files {
        let lines = std::fs::read_to_string(&file).unwrap().lines().count();
        assert!(lines <= 520, "{} has {lines} lines", file.display());
    }
}
