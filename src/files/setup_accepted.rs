//! The accepted findings of a setup file: one `[[accepted]]` table each.

use clap::ValueEnum;
use toml_edit::{Array, ArrayOfTables, Item, Table, value};

use super::setup_text::{FieldError, as_number, number, word_of};
use crate::measure::accepted::Accepted;
use crate::measure::finding::Kind;

/// The key of the tables.
pub(super) const ACCEPTED: &str = "accepted";
/// What one table has, said where it has something else.
const EXPECTED: &str = "tables with `slide`, `kind`, and where they apply `page` and \
                        `place` (x, y, width, height in percent of the output)";

/// What the tables of a file say.
pub(super) fn accepted_of(item: &Item) -> Result<Vec<Accepted>, FieldError> {
    let wrong = |got: &str| FieldError::Kind {
        key: ACCEPTED,
        expected: EXPECTED.to_owned(),
        got: got.trim().to_owned(),
    };
    let tables = item
        .as_array_of_tables()
        .ok_or_else(|| wrong(&item.to_string()))?;
    tables
        .iter()
        .map(|table| read_table(table).ok_or_else(|| wrong(&table.to_string())))
        .collect()
}

/// One table; none where it is not as expected.
fn read_table(table: &Table) -> Option<Accepted> {
    let known = ["slide", "page", "kind", "place"];
    if table.iter().any(|(key, _)| !known.contains(&key)) {
        return None;
    }
    let page = match table.get("page") {
        None => None,
        Some(page) => Some(u32::try_from(page.as_integer()?).ok()?),
    };
    let place_percent = match table.get("place") {
        None => None,
        Some(place) => {
            let numbers: Option<Vec<f64>> = place.as_array()?.iter().map(as_number).collect();
            Some(<[f64; 4]>::try_from(numbers?).ok()?)
        }
    };
    Some(Accepted {
        slide: table.get("slide")?.as_str()?.to_owned(),
        page,
        kind: Kind::from_str(table.get("kind")?.as_str()?, false).ok()?,
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
