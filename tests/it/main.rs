//! All tests that go through the public interface, in one binary.

mod cli;
mod figures;
mod folder;
mod program;
mod property;
mod reference;
mod tidy;
