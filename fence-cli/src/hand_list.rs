//! A material list counted by hand: a CSV file headed `item,count`.

use std::path::Path;

use anyhow::{Context, bail};

use crate::contract::takeoff::HandCount;
use crate::input::read_text;

const HEADING: [&str; 2] = ["item", "count"];

/// Reads the hand-written list of a file.
///
/// # Errors
///
/// Shows the file, the line, the words at fault and what would be accepted.
pub(crate) fn read_hand_list(path: &Path) -> anyhow::Result<Vec<HandCount>> {
    hand_list(&read_text(path)?).with_context(|| path.display().to_string())
}

fn hand_list(text: &str) -> anyhow::Result<Vec<HandCount>> {
    let mut rows = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let mut list = Vec::new();
    let mut headed = false;
    for row in rows.records() {
        let row = row?;
        let line = row.position().map_or(0, csv::Position::line);
        let fields: Vec<&str> = row.iter().collect();
        let &[item, count] = fields.as_slice() else {
            bail!(
                "line {line} has {} columns, but a list has an item and a count; an item with a comma in it goes in quotes, with a quote in it doubled, like \"gate, 48\"\" opening\",1",
                fields.len()
            );
        };
        if !headed {
            if [item, count] != HEADING {
                bail!(
                    "line {line}: the columns are headed {item:?} and {count:?}; write item,count"
                );
            }
            headed = true;
            continue;
        }
        list.push(hand_count(item, count).with_context(|| format!("line {line}"))?);
    }
    if !headed {
        bail!("nothing is listed: write item,count on the first line, then an item a line");
    }
    Ok(list)
}

fn hand_count(item: &str, count: &str) -> anyhow::Result<HandCount> {
    if item.is_empty() {
        bail!("a count of {count:?} without an item; write it like line post,20");
    }
    let count = count.parse().map_err(|_| {
        anyhow::anyhow!(
            "{count:?} is not a count of {item:?}; write whole units as they are ordered, like 20"
        )
    })?;
    Ok(HandCount {
        item: item.to_owned(),
        count,
    })
}
