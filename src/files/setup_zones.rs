//! The zones of a setup file: one `[[zones]]` table each.

use clap::ValueEnum;
use toml_edit::{Array, ArrayOfTables, DocumentMut, Item, Table, value};

use super::setup_accepted::Wrong;
use super::setup_text::{FieldError, as_number, number, word_of};
use crate::measure::zone::{Zone, ZoneKind};

/// The key of the tables.
pub(super) const ZONES: &str = "zones";
/// What one table has, said where it has something else.
const EXPECTED: &str = "tables with `name`, `kind` (keep-out, keep-in or write-here), `box` (x, y, width, height \
                        in percent of the output), and for one slide alone `slide` and `page`";

/// What the tables of a file say.
pub(super) fn zones_of(item: &Item) -> Result<Vec<Zone>, Wrong> {
    let wrong = |got: &str| FieldError::Kind {
        key: ZONES,
        expected: EXPECTED.to_owned(),
        got: got.trim().to_owned(),
    };
    let tables = item
        .as_array_of_tables()
        .ok_or_else(|| (wrong(&item.to_string()), None))?;
    let zone = |table: &Table| {
        let here = table.span().map(|span| span.start);
        let read = read_table(table).unwrap_or_else(|| Err(wrong(&table.to_string())));
        read.map_err(|problem| (problem, here))
    };
    tables.iter().map(zone).collect()
}

/// One table; none where it is not as expected.
fn read_table(table: &Table) -> Option<Result<Zone, FieldError>> {
    let known = ["name", "kind", "box", "slide", "page"];
    if table.iter().any(|(key, _)| !known.contains(&key)) {
        return None;
    }
    let name = table.get("name")?.as_str()?.to_owned();
    let kind = ZoneKind::from_str(table.get("kind")?.as_str()?, false).ok()?;
    let numbers: Option<Vec<f64>> = table
        .get("box")?
        .as_array()?
        .iter()
        .map(as_number)
        .collect();
    let box_percent = <[f64; 4]>::try_from(numbers?).ok()?;
    let slide = match table.get("slide") {
        None => None,
        Some(slide) => Some(slide.as_str()?.to_owned()),
    };
    let page = match table.get("page") {
        None => None,
        Some(page) => Some(u32::try_from(page.as_integer()?).ok()?),
    };
    Some(match Zone::new(name.clone(), kind, box_percent) {
        Ok(mut zone) => {
            (zone.slide, zone.page) = (slide, page);
            Ok(zone)
        }
        Err(problem) => Err(FieldError::Zone { name, problem }),
    })
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
