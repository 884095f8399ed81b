//! In-process runs of the program.

mod offset;
