//! Imports go down only.

use std::path::{Path, PathBuf};

/// Folders of `src` with their rank; a folder may use those of a lower rank, and itself.
const RANKS: [(&str, u32); 19] = [
    ("pixel", 0),
    ("measure/raster", 1),
    ("measure/statistics", 1),
    ("measure", 2),
    ("measure/camera", 3),
    ("measure/slide", 3),
    ("measure/test_chart", 3),
    ("measure/parts", 4),
    ("measure/still", 5),
    ("measure/inspect", 6),
    ("measure/space", 7),
    ("measure/check", 8),
    ("measure/key", 9),
    ("measure/dark_slide", 10),
    ("files", 11),
    ("gpu", 11),
    ("report", 11),
    ("window", 12),
    ("commands", 13),
];

/// The rank of a folder; none where it has none.
fn rank(folder: &str) -> Option<u32> {
    let known = RANKS.iter().find(|(known, _)| *known == folder);
    known.map(|(_, rank)| *rank)
}

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

/// Folders that `text`, a file of `folder`, imports from although they are not below it.
fn wrong_imports(folder: &str, text: &str) -> Vec<String> {
    let own = rank(folder).unwrap_or_else(|| panic!("the folder `{folder}` has no rank"));
    let here = format!("crate::{}::", folder.replace('/', "::"));
    text.replace("super::", &here)
        .split("crate::")
        .skip(1)
        .filter_map(|rest| {
            let end = |c: char| !c.is_alphanumeric() && c != '_' && c != ':';
            let mut names = rest.split(end).next().unwrap_or("").split("::");
            let outer = names.next().unwrap_or("");
            let inner = format!("{outer}/{}", names.next().unwrap_or(""));
            let used = if rank(&inner).is_some() {
                &inner
            } else {
                outer
            };
            let is_wrong = used != folder && rank(used).is_some_and(|other| other >= own);
            is_wrong.then(|| used.to_owned())
        })
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
        let folder = inner.parent().and_then(Path::to_str).unwrap();
        if folder.is_empty() {
            continue;
        }
        let text = std::fs::read_to_string(&file).unwrap();
        let wrong = wrong_imports(folder, &text);
        assert!(wrong.is_empty(), "{} uses {wrong:?}", inner.display());
        let hidden = hidden_names(&text);
        assert!(hidden.is_empty(), "{} has {hidden:?}", inner.display());
    }
}

#[test]
fn an_upward_import_is_seen() {
    for (folder, text, wrong) in [
        ("pixel", "use crate::gpu::device::Gpu;", Some("gpu")),
        ("files", "use crate::gpu::device::Gpu;", Some("gpu")),
        ("gpu", "use crate::pixel::plan::Plan;", None),
        (
            "measure/parts",
            "use crate::measure::check::hole;",
            Some("measure/check"),
        ),
        (
            "measure/parts",
            "use crate::measure::raster::runs::Runs;",
            None,
        ),
        ("measure/parts", "use super::writing::find_writing;", None),
        (
            "measure",
            "use super::camera::spots;",
            Some("measure/camera"),
        ),
        ("measure", "use super::raster::runs::Runs;", None),
        ("measure/camera", "use crate::measure::finding::Unit;", None),
        (
            "measure/raster",
            "use crate::measure::finding::Unit;",
            Some("measure"),
        ),
    ] {
        let found = wrong_imports(folder, text);
        assert_eq!(found, wrong.as_slice(), "{folder}: {text}");
    }
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

/// The modules of its own folder that a file's text names.
fn siblings(text: &str) -> Vec<&str> {
    text.split("super::")
        .skip(1)
        .filter_map(|rest| {
            rest.split(|c: char| !c.is_alphanumeric() && c != '_')
                .next()
        })
        .collect()
}

#[test]
fn what_all_commands_say_and_how_they_end_knows_none_of_them() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/commands");
    for (name, known) in [
        ("stderr", &[][..]),
        ("failure", &["stderr"]),
        ("output", &["failure", "stderr"]),
    ] {
        let text = std::fs::read_to_string(folder.join(name).with_extension("rs")).unwrap();
        let mut named = siblings(&text);
        named.retain(|other| !other.is_empty());
        named.sort_unstable();
        assert_eq!(named, known, "{name}");
    }
}
