//! The manual and the pages about spreadsheets and the workshop, held to their word: every command that they show is run, and
//! answers what they show.
//!
//! After a change that is meant, `TRYCMD=overwrite cargo nextest run -p cli --test manual` writes the answers
//! anew; then read every one of them beside the sum that stands next to it.

mod figures;
mod script;

/// The commands of a page share one folder, so that its books grow from chapter to chapter.
///
/// One test for all pages: the folder that a program stands in is there only once.
#[test]
#[cfg(unix)]
fn the_pages_answer_as_they_say() {
    for page in [script::path(), script::import_path(), script::workshop_path()] {
        let folder = tempfile::tempdir().expect("a folder can be made");
        script::put_files(&script::text_of(&page), folder.path());
        // Where a case has no folder of its own, trycmd runs it where the test stands.
        std::env::set_current_dir(folder.path()).expect("the folder can be entered");
        let as_typed = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/manual/as-typed.sh");
        trycmd::TestCases::new()
            .register_bin("combwright", std::path::PathBuf::from(as_typed))
            .env("COMBWRIGHT", env!("CARGO_BIN_EXE_combwright"))
            .case(page)
            .run();
    }
}
