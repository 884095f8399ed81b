//! Any text is read or refused, and what is said of it lies within it:
//! `cargo +nightly fuzz run description seeds/description -- -max_total_time=1200`.

#![no_main]

use fence_geom::{describe, read_description};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let Ok(read) = read_description(text) else {
        return;
    };
    for unread in &read.unread {
        assert!(text.get(unread.at.clone()).is_some());
        assert!(unread.fault.words.get(unread.fault.at.clone()).is_some());
    }
    for tract in &read.tracts {
        for call in tract.ties.iter().chain(&tract.calls) {
            let written = call.written.as_ref().expect("a place");
            assert_eq!(text.get(written.at.clone()), Some(written.words.as_str()));
        }
        let _ = describe(tract);
    }
});
