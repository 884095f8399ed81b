//! A call table in a file.

use std::path::Path;

use anyhow::Context;
use fence_geom::{CallTable, CallTableError, Deed, read_call_table};

use crate::input::read_text;
use crate::line_fault::show_fault;

/// Reads the call table of a file; lines that can't be read are kept in it.
///
/// # Errors
///
/// Shows the file, the line and the words of a line that can't be used.
pub(crate) fn read_table(file: &Path) -> anyhow::Result<CallTable> {
    table_of(file, &read_text(file)?)
}

/// Reads the call table in the text of a file; `file` is what an error names.
///
/// # Errors
///
/// As [`read_table`].
pub(crate) fn table_of(file: &Path, text: &str) -> anyhow::Result<CallTable> {
    match read_call_table(text) {
        Ok(table) => Ok(table),
        Err(CallTableError::Line(fault)) => anyhow::bail!(show_fault(file, &fault)),
        Err(error) => Err(error).with_context(|| file.display().to_string()),
    }
}

/// Reads the deed of a file, for a verb that builds on it.
///
/// # Errors
///
/// Shows the file, the line and the words of a line that can't be used, and of
/// every one that can't be read: nothing is built on a deed with a gap.
pub(crate) fn read_whole_deed(file: &Path) -> anyhow::Result<Deed> {
    whole(file, read_table(file)?)
}

/// The deed in the text of a file, and what was assumed in reading it.
///
/// # Errors
///
/// As [`read_whole_deed`].
pub(crate) fn whole_deed_of(file: &Path, text: &str) -> anyhow::Result<(Deed, Vec<String>)> {
    let table = table_of(file, text)?;
    let assumed = table.assumed().to_vec();
    Ok((whole(file, table)?, assumed))
}

fn whole(file: &Path, table: CallTable) -> anyhow::Result<Deed> {
    table.into_deed().map_err(|unread| {
        let shown: Vec<String> = unread
            .faults
            .iter()
            .map(|fault| show_fault(file, fault))
            .collect();
        anyhow::anyhow!("{}", shown.join("\n"))
    })
}
