//! The manual as a script: the commands that it types and the files of notes that it shows.

use std::fs;
use std::path::{Path, PathBuf};

/// The manual itself.
pub(crate) fn path() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/manual.md")
}

/// The page about spreadsheets.
#[cfg(unix)]
pub(crate) fn import_path() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/import.md")
}

/// The page about the workshop.
#[cfg(unix)]
pub(crate) fn workshop_path() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/workshop.md")
}

/// The text of the manual.
pub(crate) fn text() -> String {
    text_of(&path())
}

/// The text of a page.
pub(crate) fn text_of(page: &Path) -> String {
    fs::read_to_string(page).expect("the page can be read")
}

/// Puts every block of notes or of a sheet that a page shows into a file of the name that stands before it.
pub(crate) fn put_files(manual: &str, folder: &Path) {
    let mut named = None;
    let mut lines = manual.lines();
    while let Some(line) = lines.next() {
        if matches!(line, "```notes" | "```csv") {
            let name: &str = named.expect("a block has the name of its file before it");
            let rows: Vec<&str> = lines.by_ref().take_while(|line| *line != "```").collect();
            fs::write(folder.join(name), rows.join("\n") + "\n").expect("the folder can be written");
        } else if let Some(name) = line
            .split('`')
            .find(|word| word.ends_with(".notes") || word.ends_with(".csv"))
        {
            named = Some(name);
        }
    }
}

/// The words after `combwright` of every command that is typed, in order.
pub(crate) fn commands(manual: &str) -> Vec<Vec<String>> {
    let mut commands: Vec<String> = Vec::new();
    let mut in_console = false;
    for line in manual.lines() {
        if let Some(mark) = line.strip_prefix("```") {
            in_console = mark == "console";
        } else if !in_console {
            continue;
        } else if let Some(typed) = line.strip_prefix("$ combwright ") {
            commands.push(typed.to_owned());
        } else if let Some(more) = line.strip_prefix("> ") {
            commands
                .last_mut()
                .expect("a line goes on with another")
                .push_str(more);
        }
    }
    commands.iter().map(|line| words(line)).collect()
}

/// The words of a line as a shell parts them: at spaces, but for what stands between quotes.
fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut word: Option<String> = None;
    let mut quote = None;
    for letter in line.chars() {
        match (quote, letter) {
            (Some(open), _) if open == letter => quote = None,
            (None, '"' | '\'') => {
                quote = Some(letter);
                word.get_or_insert_default();
            }
            // At the end of a line of the terminal: the next one goes on with it.
            (None, ' ' | '\\') => words.extend(word.take()),
            _ => word.get_or_insert_default().push(letter),
        }
    }
    words.extend(word);
    words
}
