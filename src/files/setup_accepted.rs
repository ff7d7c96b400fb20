//! The accepted findings of a setup file: one `[[accepted]]` table each.

use clap::ValueEnum;
use toml_edit::{Array, ArrayOfTables, Item, Table, value};

use super::setup_table::{SetupTable, Wrong};
use super::setup_value::{number, word_of};
use crate::measure::accepted::Accepted;
use crate::measure::finding::Kind;

/// The key of the tables.
pub(super) const ACCEPTED: &str = "accepted";
/// What one table may have.
const KEYS: [&str; 4] = ["slide", "kind", "page", "place"];

/// What the tables of a file say.
pub(super) fn accepted_of(item: &Item) -> Result<Vec<Accepted>, Wrong> {
    let tables = SetupTable::all(item, ACCEPTED, &KEYS)?;
    tables.into_iter().map(read_table).collect()
}

/// One table.
fn read_table(table: SetupTable<'_>) -> Result<Accepted, Wrong> {
    let page = table.page()?;
    let place_percent = table.percent_box("place")?;
    let slide = table
        .text("slide")
        .ok_or_else(|| table.wrong("slide", "the name of the slide's file in quotes"))?;
    let kind = table.text("kind");
    let kind = kind.and_then(|kind| Kind::from_str(kind, false).ok());
    let kind = kind.ok_or_else(|| {
        let kinds = Kind::ALL.map(Kind::name).join(", ");
        table.wrong("kind", &format!("one of {kinds}, in quotes"))
    })?;
    Ok(Accepted {
        slide: slide.to_owned(),
        page,
        kind,
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
