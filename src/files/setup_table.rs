//! One table of a list in the setup file, such as `[[zones]]`: reads its keys, and says what it has that it may not.

use toml_edit::{Array, Item, Table};

use super::setup_field_error::FieldError;
use super::setup_value::as_number;

/// Something wrong, and where in the file's bytes, if that is known.
pub(super) type Wrong = (FieldError, Option<usize>);

/// A table whose keys are all known.
#[derive(Clone, Copy, Debug)]
pub(super) struct SetupTable<'a> {
    table: &'a Table,
}

impl<'a> SetupTable<'a> {
    /// Every table of a list, which has these keys alone; none of an empty list.
    pub(super) fn all(
        item: &'a Item,
        list: &'static str,
        keys: &[&str],
    ) -> Result<Vec<Self>, Wrong> {
        if item.as_array().is_some_and(Array::is_empty) {
            return Ok(Vec::new());
        }
        let tables = item.as_array_of_tables().ok_or_else(|| {
            let problem = FieldError::Kind {
                key: list,
                expected: format!("tables, [[{list}]], with {}", keys.join(", ")),
                got: item.to_string().trim().to_owned(),
            };
            (problem, None)
        })?;
        let known = |table: &'a Table| {
            let table = Self { table };
            match table.table.iter().find(|(key, _)| !keys.contains(key)) {
                None => Ok(table),
                Some((key, item)) => {
                    let problem = FieldError::TableKey {
                        list,
                        key: key.to_owned(),
                        keys: keys.join(", "),
                    };
                    Err((problem, start(item).or(table.start())))
                }
            }
        };
        tables.iter().map(known).collect()
    }

    /// Where it begins in the file.
    pub(super) fn start(self) -> Option<usize> {
        self.table.span().map(|span| span.start)
    }

    /// The text of a key, if it has one.
    pub(super) fn text(self, key: &str) -> Option<&'a str> {
        self.table.get(key).and_then(Item::as_str)
    }

    /// A text that may be left out, but is nothing else where it is there.
    pub(super) fn text_if_any(
        self,
        key: &'static str,
        expected: &str,
    ) -> Result<Option<&'a str>, Wrong> {
        match self.table.get(key) {
            None => Ok(None),
            Some(item) => Ok(Some(
                item.as_str().ok_or_else(|| self.wrong(key, expected))?,
            )),
        }
    }

    /// The page of a slide's file, if one is named.
    pub(super) fn page(self) -> Result<Option<u32>, Wrong> {
        let Some(page) = self.table.get("page") else {
            return Ok(None);
        };
        let number = page.as_integer().and_then(|page| u32::try_from(page).ok());
        let number = number.filter(|page| *page > 0);
        let number = number.ok_or_else(|| self.wrong("page", "a whole number from 1"))?;
        Ok(Some(number))
    }

    /// A box in percent of the output, if there is one.
    pub(super) fn percent_box(self, key: &'static str) -> Result<Option<[f64; 4]>, Wrong> {
        let Some(item) = self.table.get(key) else {
            return Ok(None);
        };
        let numbers: Option<Vec<f64>> = item
            .as_array()
            .and_then(|array| array.iter().map(as_number).collect());
        let four = numbers.and_then(|numbers| <[f64; 4]>::try_from(numbers).ok());
        let words = "x, y, width and height in brackets, percent of the output";
        Ok(Some(four.ok_or_else(|| self.wrong(key, words))?))
    }

    /// A key that has not what it takes.
    pub(super) fn wrong(self, key: &'static str, expected: &str) -> Wrong {
        let item = self.table.get(key);
        let problem = FieldError::Kind {
            key,
            expected: expected.to_owned(),
            got: item.map_or_else(
                || "nothing".to_owned(),
                |item| item.to_string().trim().to_owned(),
            ),
        };
        (problem, item.and_then(start).or(self.start()))
    }
}

/// Where an item begins in the file.
fn start(item: &Item) -> Option<usize> {
    item.span().map(|span| span.start)
}
