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
    match read_call_table(&read_text(file)?) {
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
    read_table(file)?.into_deed().map_err(|unread| {
        let shown: Vec<String> = unread
            .faults
            .iter()
            .map(|fault| show_fault(file, fault))
            .collect();
        anyhow::anyhow!("{}", shown.join("\n"))
    })
}
