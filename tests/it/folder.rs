//! A fresh folder for a test that writes files.

use std::path::PathBuf;
use std::sync::atomic::{AtomicU32, Ordering};

/// How many folders there have been: tests run side by side, some of one name.
static FOLDERS: AtomicU32 = AtomicU32::new(0);

/// A folder that goes when the test is done.
pub(crate) struct Folder(PathBuf);

impl Folder {
    /// An empty folder of its own.
    pub(crate) fn new(name: &str) -> Self {
        let count = FOLDERS.fetch_add(1, Ordering::Relaxed);
        let process = std::process::id();
        let path = std::env::temp_dir().join(format!("fence-{name}-{process}-{count}"));
        std::fs::create_dir_all(&path).expect("a folder");
        Self(path)
    }

    /// Writes a file and returns its path.
    pub(crate) fn file(&self, name: &str, bytes: impl AsRef<[u8]>) -> String {
        let path = self.path(name);
        std::fs::write(&path, bytes).expect("a file");
        path
    }

    /// The path of a file that may not be there.
    pub(crate) fn path(&self, name: &str) -> String {
        self.0.join(name).to_str().expect("UTF-8").to_owned()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}
