//! In-process runs of the program.
