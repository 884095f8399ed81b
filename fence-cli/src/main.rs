//! The program `fence`.

use std::process::ExitCode;

fn main() -> ExitCode {
    fence_cli::main_with_process_streams()
}
