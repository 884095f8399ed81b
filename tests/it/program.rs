//! Runs of the program in process.

use fence_cli::Exit;

/// What a run left.
pub(crate) struct Answer {
    pub(crate) exit: Exit,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// Runs `fence` with the given arguments.
pub(crate) fn run_fence(args: &[&str]) -> Answer {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let exit = fence_cli::run(
        std::iter::once("fence").chain(args.iter().copied()),
        &mut out,
        &mut err,
    );
    Answer {
        exit,
        out: String::from_utf8(out).expect("UTF-8"),
        err: String::from_utf8(err).expect("UTF-8"),
    }
}

impl Answer {
    /// The answer as JSON.
    pub(crate) fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.out).unwrap_or_else(|error| panic!("{error}: {}", self.out))
    }

    /// Refused, with nothing on stdout and these words said.
    #[track_caller]
    pub(crate) fn assert_refused(&self, words: &[&str]) {
        assert_eq!(self.exit, Exit::Refused, "{}", self.out);
        assert_eq!(self.out, "");
        for words in words {
            assert!(self.err.contains(words), "{words:?} in {}", self.err);
        }
    }
}
