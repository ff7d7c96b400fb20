//! The zones of a setup file: one `[[zones]]` table each.

use clap::ValueEnum;
use toml_edit::{Array, ArrayOfTables, DocumentMut, Item, Table, value};

use super::setup_field_error::FieldError;
use super::setup_table::{SetupTable, Wrong};
use super::setup_value::{number, word_of};
use crate::measure::space::zone::{Zone, ZoneKind};

/// The key of the tables.
pub(super) const ZONES: &str = "zones";
/// What one table may have.
const KEYS: [&str; 5] = ["name", "kind", "box", "slide", "page"];

/// What the tables of a file say.
pub(super) fn zones_of(item: &Item) -> Result<Vec<Zone>, Wrong> {
    let tables = SetupTable::all(item, ZONES, &KEYS)?;
    tables.into_iter().map(read_table).collect()
}

/// One table.
fn read_table(table: SetupTable<'_>) -> Result<Zone, Wrong> {
    let name = table
        .text("name")
        .ok_or_else(|| table.wrong("name", "what findings call the zone, in quotes"))?;
    let kind = table.text("kind");
    let kind = kind.and_then(|kind| ZoneKind::from_str(kind, false).ok());
    let kind = kind.ok_or_else(|| {
        let kinds = ZoneKind::value_variants().iter().map(word_of);
        let kinds = kinds.collect::<Vec<_>>().join(", ");
        table.wrong("kind", &format!("one of {kinds}, in quotes"))
    })?;
    let box_percent = table.percent_box("box")?.ok_or_else(|| {
        table.wrong(
            "box",
            "x, y, width and height in brackets, percent of the output",
        )
    })?;
    let slide = table.text_if_any("slide", "the name of the slide's file in quotes")?;
    let page = table.page()?;
    let mut zone = Zone::new(name.to_owned(), kind, box_percent).map_err(|problem| {
        let name = name.to_owned();
        (FieldError::Zone { name, problem }, table.start())
    })?;
    (zone.slide, zone.page) = (slide.map(str::to_owned), page);
    Ok(zone)
}

/// Puts zones into a document that has others. Tables of zones that stay keep their comments.
pub(super) fn put_zones(document: &mut DocumentMut, was: &[Zone], now: &[Zone]) {
    let written = document.get(ZONES).and_then(Item::as_array_of_tables);
    let known = |zone: &Zone| {
        let at = was.iter().position(|other| other == zone)?;
        written?.get(at).cloned()
    };
    let tables: ArrayOfTables = now
        .iter()
        .map(|zone| known(zone).unwrap_or_else(|| zone_table(zone)))
        .collect();
    if now.is_empty() {
        document.remove(ZONES);
    } else {
        document[ZONES] = Item::ArrayOfTables(tables);
    }
}

/// The table of a zone.
fn zone_table(zone: &Zone) -> Table {
    let mut table = Table::new();
    table["name"] = value(zone.name.as_str());
    table["kind"] = value(word_of(&zone.kind));
    table["box"] = value(
        zone.box_percent()
            .into_iter()
            .map(number)
            .collect::<Array>(),
    );
    if let Some(slide) = &zone.slide {
        table["slide"] = value(slide.as_str());
    }
    if let Some(page) = zone.page {
        table["page"] = value(i64::from(page));
    }
    table
}
