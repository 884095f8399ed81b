//! The program `fence` as a library: [`run`] takes arguments and streams and
//! returns an exit status, so that it can be tested in process.
//!
//! The program reads, calls one function of `fence-geom` and presents the
//! answer. It holds no survey or layout arithmetic.

mod commands;
mod contract;
mod decimals;
mod deed_file;
mod deed_picture;
mod deed_text;
mod deed_work;
mod drawing;
mod fields;
mod finding_words;
mod fit_reading;
mod folding;
mod geodetic_points;
mod gis_ring;
mod ground_words;
mod hand_list;
mod input;
mod job_file;
mod job_reading;
mod line_fault;
mod lot_file;
mod output_file;
mod pins_file;
mod points_file;
mod request_unit;
mod run_layout;
mod sheet_json;
mod sheet_text;
mod takeoff_list;
mod typed;

use std::ffi::OsString;
use std::io::Write;
use std::process::ExitCode;

use clap::Parser;

/// How a run of the program ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// Done, and all checks pass.
    Done,
    /// Done, but an answer is no or can't tell.
    AnswerIsNo,
    /// The input was refused and nothing was written.
    Refused,
}

impl Exit {
    /// Returns the exit status of the process: 0, 1 or 2.
    #[must_use]
    pub const fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::AnswerIsNo => 1,
            Self::Refused => 2,
        }
    }
}

/// Runs the program with the given arguments, the program's name first.
///
/// Answers go to `out`, words about trouble to `err`.
pub fn run<I, T>(args: I, out: &mut dyn Write, err: &mut dyn Write) -> Exit
where
    I: IntoIterator<Item = T>,
    T: Into<OsString> + Clone,
{
    let program = match commands::Program::try_parse_from(args) {
        Ok(program) => program,
        Err(refusal) => return present_usage(&refusal, out, err),
    };
    match commands::dispatch(&program, out) {
        Ok(exit) => exit,
        Err(error) if is_closed_pipe(&error) => Exit::Done,
        Err(error) => {
            // Nobody is left to tell when the error stream is closed as well.
            let _ = writeln!(err, "error: {error:#}");
            Exit::Refused
        }
    }
}

/// Runs the program on the arguments and streams of this process.
#[must_use]
pub fn main_with_process_streams() -> ExitCode {
    let exit = run(
        std::env::args_os(),
        &mut std::io::stdout().lock(),
        &mut std::io::stderr().lock(),
    );
    ExitCode::from(exit.code())
}

/// Help and version are answers; all else that the arguments get wrong is refused.
fn present_usage(refusal: &clap::Error, out: &mut dyn Write, err: &mut dyn Write) -> Exit {
    let text = refusal.render();
    if refusal.use_stderr() {
        let _ = write!(err, "{text}");
        Exit::Refused
    } else {
        let _ = write!(out, "{text}");
        Exit::Done
    }
}

/// A reader that stops early, such as `head`, is no failure.
fn is_closed_pipe(error: &anyhow::Error) -> bool {
    error.chain().any(|cause| {
        let plain = cause.downcast_ref::<std::io::Error>();
        let in_json = cause.downcast_ref::<serde_json::Error>();
        plain
            .map(std::io::Error::kind)
            .or_else(|| in_json?.io_error_kind())
            .is_some_and(|kind| kind == std::io::ErrorKind::BrokenPipe)
    })
}
