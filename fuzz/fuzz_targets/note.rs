//! No line whatever stops the reader, and what it reads it prints back to the same fact.
#![no_main]

use apiary::note::{aids::Desk, read};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|line: &str| {
    if let Ok(note) = read(line) {
        let printed = note.to_string();
        assert_eq!(read(&printed).as_ref(), Ok(&note), "{printed}");
    }
    let today = "2026-07-19".parse().expect("a day");
    let mut desk = Desk::new(today);
    for line in line.lines() {
        if let Err(unreadable) = desk.line(line) {
            assert!(unreadable.at.start <= unreadable.at.end);
        }
    }
});
