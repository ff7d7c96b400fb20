//! The accepted findings of a setup file: one `[[accepted]]` table each.

use clap::ValueEnum;
use toml_edit::{Array, ArrayOfTables, Item, Table, value};

use super::setup_text::{FieldError, as_number, number, word_of};
use crate::measure::accepted::Accepted;
use crate::measure::finding::Kind;

/// The key of the tables.
pub(super) const ACCEPTED: &str = "accepted";
/// What one table may have.
const KEYS: [&str; 4] = ["slide", "page", "kind", "place"];

/// Something wrong, and where in the file's bytes, if that is known.
pub(super) type Wrong = (FieldError, Option<usize>);

/// What the tables of a file say.
pub(super) fn accepted_of(item: &Item) -> Result<Vec<Accepted>, Wrong> {
    if item.as_array().is_some_and(Array::is_empty) {
        return Ok(Vec::new());
    }
    let tables = item.as_array_of_tables().ok_or_else(|| {
        let expected = "tables, [[accepted]], with `slide` and `kind` each";
        (wrong(ACCEPTED, expected, Some(item)), None)
    })?;
    tables.iter().map(read_table).collect()
}

/// A key that has not what it takes.
fn wrong(key: &'static str, expected: &str, got: Option<&Item>) -> FieldError {
    FieldError::Kind {
        key,
        expected: expected.to_owned(),
        got: got.map_or_else(
            || "nothing".to_owned(),
            |item| item.to_string().trim().to_owned(),
        ),
    }
}

/// One table.
fn read_table(table: &Table) -> Result<Accepted, Wrong> {
    let here = table.span().map(|span| span.start);
    if let Some((key, item)) = table.iter().find(|(key, _)| !KEYS.contains(key)) {
        let problem = FieldError::Accepted {
            key: key.to_owned(),
        };
        return Err((problem, item.span().map(|span| span.start).or(here)));
    }
    let expected = |key: &'static str, expected: &str| {
        let item = table.get(key);
        let place = item.and_then(Item::span).map(|span| span.start);
        (wrong(key, expected, item), place.or(here))
    };
    let page = match table.get("page") {
        None => None,
        Some(page) => {
            let number = page.as_integer().and_then(|page| u32::try_from(page).ok());
            let number = number.filter(|page| *page > 0);
            Some(number.ok_or_else(|| expected("page", "a whole number from 1"))?)
        }
    };
    let place_percent = match table.get("place") {
        None => None,
        Some(place) => {
            let numbers: Option<Vec<f64>> = place
                .as_array()
                .and_then(|array| array.iter().map(as_number).collect());
            let four = numbers.and_then(|numbers| <[f64; 4]>::try_from(numbers).ok());
            let words = "x, y, width and height in brackets, percent of the output";
            Some(four.ok_or_else(|| expected("place", words))?)
        }
    };
    let slide = table.get("slide").and_then(Item::as_str);
    let kind = table.get("kind").and_then(Item::as_str);
    let kind = kind.and_then(|kind| Kind::from_str(kind, false).ok());
    Ok(Accepted {
        slide: slide
            .ok_or_else(|| expected("slide", "the name of the slide's file in quotes"))?
            .to_owned(),
        page,
        kind: kind.ok_or_else(|| {
            let kinds = Kind::ALL.map(Kind::name).join(", ");
            expected("kind", &format!("one of {kinds}, in quotes"))
        })?,
        place_percent,
    })
}

/// The tables for a file.
pub(super) fn accepted_tables(accepted: &[Accepted]) -> Item {
    let tables = accepted.iter().map(|one| {
        let mut table = Table::new();
        table["slide"] = value(one.slide.as_str());
        if let Some(page) = one.page {
            table["page"] = value(i64::from(page));
        }
        table["kind"] = value(word_of(&one.kind));
        if let Some(place) = one.place_percent {
            table["place"] = value(place.into_iter().map(number).collect::<Array>());
        }
        table
    });
    Item::ArrayOfTables(tables.collect::<ArrayOfTables>())
}
