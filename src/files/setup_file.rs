//! The setup: everything the user set, as `nightglass.toml`. Reading is strict, writing keeps comments.

use std::ffi::OsStr;
use std::io;
use std::path::{Component, Path, PathBuf};

use toml_edit::{Document, DocumentMut, Item, Table, TomlError};

use super::atomic;
use super::pages::Pages;
use super::setup_accepted::{ACCEPTED, accepted_of, accepted_tables};
use super::setup_error::{Place, SetupError};
use super::setup_field::{HEAD, fields};
use super::setup_field_error::FieldError;
use super::setup_section::Section;
use super::setup_syntax::syntax_words;
use super::setup_zones::{ZONES, put_zones, zones_of};
use crate::measure::accepted::Accepted;
use crate::measure::limits::{LIMIT_ORDERS, Limits};
use crate::measure::space::zone::Zone;
use crate::pixel::guides::Guide;
use crate::pixel::knobs::Knobs;
use crate::pixel::settings::{Engine, Settings};

/// Name of the setup file that is used where none is named.
pub const SETUP_FILE_NAME: &str = "nightglass.toml";
/// Most bytes of a setup file. Source: chosen, hundreds of times what all keys take.
const MAX_SETUP_BYTES: u64 = 1 << 20;

/// Everything the user set.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Setup {
    /// The camera frame.
    pub camera: Option<PathBuf>,
    /// A camera frame of the last good setup, which the camera is compared with.
    pub like: Option<PathBuf>,
    /// Slides and folders of slides, in order.
    pub slides: Vec<PathBuf>,
    /// Pages of those slides that have pages, where not all are wanted.
    pub pages: Option<Pages>,
    /// Key, placement, chain and view.
    pub settings: Settings,
    /// Guides laid over the picture.
    pub guides: Vec<Guide>,
    /// Who computes the picture.
    pub engine: Engine,
    /// Left-right flip of the presenter's monitor alone.
    pub mirror_monitor: bool,
    /// The scale of the mixer's knobs, if it was measured.
    pub knobs: Option<Knobs>,
    /// Where findings begin.
    pub limits: Limits,
    /// Guides whose areas slides keep out of.
    pub reserved: Vec<Guide>,
    /// Named rectangles that slides keep out of, keep in, or are written on in.
    pub zones: Vec<Zone>,
    /// Findings that stay quiet.
    pub accepted: Vec<Accepted>,
}

impl Setup {
    /// Reads a setup file. Paths in it are taken relative to its folder.
    pub fn read(path: &Path) -> Result<Self, SetupError> {
        let text = read_text(path).map_err(|source| match source.kind() {
            io::ErrorKind::NotFound => SetupError::Missing {
                path: path.to_owned(),
            },
            _ => SetupError::unreadable(path, source),
        })?;
        Ok(Self::parse(&text, path)?.seen_from(path))
    }

    /// The same, and the defaults where nothing has this name.
    pub fn read_or_default(path: &Path) -> Result<Self, SetupError> {
        match Self::read(path) {
            Err(SetupError::Missing { .. }) => Ok(Self::default()),
            read => read,
        }
    }

    /// Reads the text of a setup file; `path` is its name in errors.
    pub fn parse(text: &str, path: &Path) -> Result<Self, SetupError> {
        let document = Document::parse(text).map_err(|error| no_toml(&error, text, path))?;
        let mut setup = Self::default();
        read_section(&mut setup, Section::Top, document.as_table(), text, path)?;
        Ok(setup)
    }

    /// Writes the setup to `path`. An existing file keeps its comments, its order and every key that
    /// has not changed; a new one gets all keys, each explained.
    pub fn save(&self, path: &Path) -> Result<(), SetupError> {
        let text = match read_text(path) {
            Ok(text) => self.merged_into(&text, path)?,
            Err(error) if error.kind() == io::ErrorKind::NotFound => self.to_text(path),
            Err(source) => return Err(SetupError::unreadable(path, source)),
        };
        atomic::write(path, text.as_bytes()).map_err(|source| SetupError::unwritable(path, source))
    }

    /// Whether a setup can be written to `path`, asked before the slow work; nothing is changed.
    pub fn try_path(path: &Path) -> Result<(), SetupError> {
        let tried = atomic::AtomicFile::create(path);
        tried
            .map(drop)
            .map_err(|source| SetupError::unwritable(path, source))
    }

    /// A whole new file: every key with a comment.
    fn to_text(&self, path: &Path) -> String {
        let portable = self.relative_to(path);
        let mut text = HEAD.to_owned();
        for section in Section::ALL {
            if let Some(name) = section.name() {
                let is_empty = match section {
                    Section::Chain => self.settings.chain.is_none(),
                    Section::Knobs => self.knobs.is_none(),
                    _ => false,
                };
                text.push_str(&format!("\n{}[{name}]\n", if is_empty { "# " } else { "" }));
            }
            for spec in fields().filter(|spec| spec.section == section) {
                text.push_str(&format!("# {}\n", spec.meaning));
                let line = match spec.field.value_in(&portable) {
                    Some(value) => format!("{} = {value}\n", spec.key),
                    None => format!("# {} = {}\n", spec.key, spec.example),
                };
                text.push_str(&line);
            }
        }
        let mut tables = DocumentMut::new();
        self.put_tables(&mut tables, &Self::default());
        if !tables.is_empty() {
            text.push_str(&format!("\n{tables}"));
        }
        text
    }

    /// The text of an existing file with the values that differ put in.
    fn merged_into(&self, text: &str, path: &Path) -> Result<String, SetupError> {
        let was = Self::parse(text, path)?.seen_from(path);
        let portable = self.relative_to(path);
        let mut document = text
            .parse::<DocumentMut>()
            .map_err(|error| no_toml(&error, text, path))?;
        for spec in fields() {
            let written = |setup: &Self| spec.field.value_in(setup).map(|value| value.to_string());
            // Compared as they are meant, so that a path that leads to the same place stays as written.
            if written(self) == written(&was) {
                continue;
            }
            let table = match spec.section.name() {
                None => document.as_table_mut(),
                Some(name) => {
                    let table = document
                        .entry(name)
                        .or_insert_with(|| Item::Table(Table::new()));
                    match table.as_table_mut() {
                        Some(table) => table,
                        None => continue,
                    }
                }
            };
            match spec.field.value_in(&portable) {
                Some(mut value) => {
                    if let Some(existing) = table.get(spec.key).and_then(Item::as_value) {
                        *value.decor_mut() = existing.decor().clone();
                    }
                    table[spec.key] = Item::Value(value);
                }
                None => {
                    table.remove(spec.key);
                }
            }
        }
        if was.settings.chain.is_some() && self.settings.chain.is_none() {
            document.remove("chain");
        }
        if was.knobs.is_some() && self.knobs.is_none() {
            document.remove("knobs");
        }
        self.put_tables(&mut document, &was);
        let merged = document.to_string();
        let has_crlf = text.contains("\r\n");
        Ok(if has_crlf {
            merged.replace("\r\n", "\n").replace('\n', "\r\n")
        } else {
            merged
        })
    }

    /// Puts zones and accepted findings into a document, where they differ from what it had.
    fn put_tables(&self, document: &mut DocumentMut, was: &Self) {
        if was.zones != self.zones {
            put_zones(document, &was.zones, &self.zones);
        }
        if was.accepted != self.accepted {
            document.remove(ACCEPTED);
            if !self.accepted.is_empty() {
                document[ACCEPTED] = accepted_tables(&self.accepted);
            }
        }
    }

    /// A setup as it stands in the file at `path`, with its paths as they lead there from here.
    fn seen_from(self, path: &Path) -> Self {
        let folder = path.parent().unwrap_or(Path::new(""));
        Self {
            camera: self.camera.map(|camera| folder.join(camera)),
            like: self.like.map(|like| folder.join(like)),
            slides: self.slides.iter().map(|slide| folder.join(slide)).collect(),
            ..self
        }
    }

    /// The same setup with paths as they are written into a file at `path`.
    fn relative_to(&self, path: &Path) -> Self {
        let folder = path.parent().unwrap_or(Path::new(""));
        Self {
            camera: self.camera.as_ref().map(|camera| path_from(folder, camera)),
            like: self.like.as_ref().map(|like| path_from(folder, like)),
            slides: self
                .slides
                .iter()
                .map(|slide| path_from(folder, slide))
                .collect(),
            ..self.clone()
        }
    }
}

/// The text of a setup file, which is small and a file.
fn read_text(path: &Path) -> io::Result<String> {
    let meta = std::fs::metadata(path)?;
    if meta.is_dir() {
        return Err(io::Error::from(io::ErrorKind::IsADirectory));
    }
    if !meta.is_file() || meta.len() > MAX_SETUP_BYTES {
        return Err(io::Error::other(format!(
            "expected a file of at most {} KiB",
            MAX_SETUP_BYTES >> 10
        )));
    }
    std::fs::read_to_string(path)
}

/// How `to` is named from within `folder`. Both may be relative to the current folder; nothing has to exist.
/// Paths that share no folder stay absolute.
fn path_from(folder: &Path, to: &Path) -> PathBuf {
    let (Some(folder), Some(to)) = (plain_absolute(folder), plain_absolute(to)) else {
        return to.to_owned();
    };
    let shared = folder
        .iter()
        .zip(to.iter())
        .take_while(|(a, b)| a == b)
        .count();
    // A root, and on some systems a drive, is all that unrelated paths share.
    if to
        .iter()
        .take(shared)
        .all(|part| Path::new(part).has_root())
    {
        return to;
    }
    let up = folder.iter().skip(shared).map(|_| OsStr::new(".."));
    up.chain(to.iter().skip(shared)).collect()
}

/// An absolute path without `.` and `..`, as it reads, links not followed.
fn plain_absolute(path: &Path) -> Option<PathBuf> {
    let path = if path == Path::new("") {
        Path::new(".")
    } else {
        path
    };
    let mut plain = PathBuf::new();
    for part in std::path::absolute(path).ok()?.components() {
        match part {
            Component::ParentDir => {
                plain.pop();
            }
            Component::CurDir => {}
            part => plain.push(part),
        }
    }
    Some(plain)
}

/// Takes over every key of a section, and of the sections within it.
fn read_section(
    setup: &mut Setup,
    section: Section,
    table: &Table,
    text: &str,
    path: &Path,
) -> Result<(), SetupError> {
    for (key, item) in table {
        let start = |item: &Item| item.span().map_or(0, |span| span.start);
        let key_start = table
            .get_key_value(key)
            .and_then(|(key, _)| key.span())
            .map_or_else(|| start(item), |span| span.start);
        if section == Section::Top
            && let Some(inner) = Section::ALL.into_iter().find(|s| s.name() == Some(key))
        {
            let Some(table) = item.as_table() else {
                return Err(SetupError::Value {
                    place: place_of(text, path, key_start),
                    problem: FieldError::Section {
                        key: key.to_owned(),
                    },
                });
            };
            read_section(setup, inner, table, text, path)?;
            if inner == Section::Limits {
                refuse_warning_beyond_failure(setup, table, text, path)?;
            }
            continue;
        }
        if section == Section::Top && (key == ACCEPTED || key == ZONES) {
            let read = if key == ZONES {
                zones_of(item).map(|zones| setup.zones = zones)
            } else {
                accepted_of(item).map(|accepted| setup.accepted = accepted)
            };
            read.map_err(|(problem, at)| SetupError::Value {
                place: place_of(text, path, at.unwrap_or(key_start)),
                problem,
            })?;
            continue;
        }
        let spec = fields().find(|spec| spec.section == section && spec.key == key);
        let Some(spec) = spec else {
            if item.is_table() || item.is_array_of_tables() {
                let full = match section.name() {
                    Some(outer) => format!("{outer}.{key}"),
                    None => key.to_owned(),
                };
                let (open, close) = if item.is_array_of_tables() {
                    ("[[", "]]")
                } else {
                    ("[", "]")
                };
                return Err(SetupError::UnknownSection {
                    place: place_of(text, path, key_start),
                    name: format!("{open}{full}{close}"),
                    nearest: nearest_section(&full),
                });
            }
            return Err(SetupError::UnknownKey {
                place: place_of(text, path, key_start),
                key: key.to_owned(),
                nearest: nearest_key(section, key),
            });
        };
        spec.field
            .apply(item, setup)
            .map_err(|problem| SetupError::Value {
                place: place_of(text, path, start(item)),
                problem,
            })?;
    }
    Ok(())
}

/// A limit from which something warns is not beyond the one from which it fails, where both are written.
fn refuse_warning_beyond_failure(
    setup: &Setup,
    table: &Table,
    text: &str,
    path: &Path,
) -> Result<(), SetupError> {
    for order in LIMIT_ORDERS {
        let written = order.keys().map(|key| table.get_key_value(key));
        if let [Some(_), Some((failure, _))] = written
            && let Some(error) = setup.limits.out_of(order)
        {
            return Err(SetupError::Value {
                place: place_of(text, path, failure.span().map_or(0, |span| span.start)),
                problem: FieldError::LimitOrder(error),
            });
        }
    }
    Ok(())
}

/// The section that looks most like `name`, in its brackets.
fn nearest_section(name: &str) -> Option<String> {
    let sections = Section::ALL.into_iter().filter_map(Section::name);
    let sections = sections.map(|known| (known, format!("[{known}]")));
    let tables = [ZONES, ACCEPTED].map(|known| (known, format!("[[{known}]]")));
    sections
        .chain(tables)
        .map(|(known, full)| (strsim::damerau_levenshtein(name, known), full))
        .filter(|(distance, _)| *distance <= name.len() / 2)
        .min()
        .map(|(_, full)| full)
}

/// The known key or section that looks most like `key`, its own section first.
fn nearest_key(section: Section, key: &str) -> Option<String> {
    let sections = Section::ALL
        .into_iter()
        .filter_map(|inner| Some((1, inner.name()?.to_owned(), format!("[{}]", inner.name()?))));
    let keys = fields().map(|spec| {
        let full = match spec.section.name() {
            Some(name) if spec.section != section => format!("[{name}] {}", spec.key),
            _ => spec.key.to_owned(),
        };
        (
            usize::from(spec.section != section),
            spec.key.to_owned(),
            full,
        )
    });
    keys.chain(sections)
        .map(|(away, known, full)| (strsim::damerau_levenshtein(key, &known), away, full))
        .filter(|(distance, _, _)| *distance <= key.len() / 2)
        .min()
        .map(|(_, _, full)| full)
}

/// Why a text is no TOML.
fn no_toml(error: &TomlError, text: &str, path: &Path) -> SetupError {
    let position = error.span().map_or(0, |span| span.start);
    SetupError::Syntax {
        words: syntax_words(text, position, error.message()),
        place: place_of(text, path, position),
    }
}

/// Line and column of a byte position.
fn place_of(text: &str, path: &Path, position: usize) -> Place {
    let before = text.get(..position).unwrap_or(text);
    let line_start = before.rfind('\n').map_or(0, |end| end + 1);
    Place {
        path: path.to_owned(),
        line: before.matches('\n').count() + 1,
        column: before[line_start..].chars().count() + 1,
    }
}
