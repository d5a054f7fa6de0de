//! Every page of the documents: the notes it shows can be read, and its links lead somewhere.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, Result};
use apiary::note::aids::{Desk, Line};

/// The mark of a block that shows notes as they are typed.
pub(super) const NOTES: &str = "notes";

/// How many lines with notes there are, and everything that is wrong.
pub(super) fn read_all(root: &Path) -> Result<(usize, Vec<String>)> {
    let mut count = 0;
    let mut wrong = Vec::new();
    for path in pages(root)? {
        let shown = path.strip_prefix(root).unwrap_or(&path).display().to_string();
        let text = fs::read_to_string(&path).with_context(|| format!("{shown} cannot be read"))?;
        let (lines, unreadable) = unreadable(&text);
        count += lines;
        wrong.extend(unreadable.iter().map(|what| format!("{shown}:{what}")));
        let folder = path.parent().unwrap_or(root);
        let leads_nowhere = links(&text).filter(|link| !folder.join(link).exists());
        wrong.extend(leads_nowhere.map(|link| format!("{shown}: there is no {link}")));
    }
    Ok((count, wrong))
}

fn pages(root: &Path) -> Result<Vec<PathBuf>> {
    let mut pages = Vec::new();
    for folder in [root.to_owned(), root.join("docs"), root.join("decisions")] {
        for file in fs::read_dir(&folder).with_context(|| format!("{} cannot be read", folder.display()))? {
            pages.push(file?.path());
        }
    }
    pages.retain(|path| path.extension().is_some_and(|extension| extension == "md"));
    pages.sort();
    Ok(pages)
}

/// How many notes a text shows, and those that cannot be read, by line.
pub(super) fn unreadable(text: &str) -> (usize, Vec<String>) {
    let mut count = 0;
    let mut wrong = Vec::new();
    let mut desk = None;
    for (n, line) in text.lines().enumerate() {
        if let Some(mark) = line.strip_prefix("```") {
            desk = (mark == NOTES).then(|| Desk::new(jiff::civil::date(2026, 7, 19)));
            continue;
        }
        match desk.as_mut().map(|desk| desk.line(line)) {
            None | Some(Ok(Line::Nothing)) => {}
            Some(Ok(_)) => count += 1,
            Some(Err(error)) => wrong.push(format!("{}: {line}\n  {error}", n + 1)),
        }
    }
    (count, wrong)
}

/// The links of a text to other files of the project.
pub(super) fn links(text: &str) -> impl Iterator<Item = &str> {
    let targets = text.split("](").skip(1).filter_map(|rest| rest.split(')').next());
    let files = targets.map(|target| target.split('#').next().unwrap_or_default());
    files.filter(|file| !file.is_empty() && !file.contains("://"))
}
