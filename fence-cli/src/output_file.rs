//! Output files, written whole or not at all.

use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::Context;

/// Writes `bytes` to `path`: first to a file of another name in the same folder,
/// which then takes the place of `path` in one step.
///
/// # Errors
///
/// Names the path that can't be written; then nothing is left behind, and a file
/// that was there before is as it was.
pub(crate) fn write_whole(path: &Path, bytes: &[u8]) -> anyhow::Result<()> {
    let temporary = beside(path)?;
    write_and_rename(&temporary, path, bytes)
        .inspect_err(|_| {
            // The failure that led here is the one to report.
            let _ = std::fs::remove_file(&temporary);
        })
        .with_context(|| format!("cannot write {}", path.display()))
}

fn write_and_rename(temporary: &Path, path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let mut file = std::fs::OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(temporary)?;
    file.write_all(bytes)?;
    file.sync_all()?;
    drop(file);
    std::fs::rename(temporary, path)
}

/// A name in the folder of `path` that no other run of the program uses.
fn beside(path: &Path) -> anyhow::Result<PathBuf> {
    let name = path
        .file_name()
        .with_context(|| format!("{} is not the name of a file to write", path.display()))?;
    let mut hidden = std::ffi::OsString::from(".");
    hidden.push(name);
    hidden.push(format!(".{}.part", std::process::id()));
    Ok(path.with_file_name(hidden))
}
