//! What the pages look like and what they say, written anew.

use std::path::Path;

use anyhow::{Context as _, Result};

use crate::steps::{run, run_with};
use crate::{needs, root};

/// Takes the pages of the demo books, and says how large the pictures are.
pub(crate) fn pictures() -> Result<()> {
    needs::browser()?;
    let folder = root().join("docs/pictures");
    std::fs::create_dir_all(&folder)?;
    let into = folder.to_string_lossy().into_owned();
    run(&["cargo", "run", "-p", "web", "--example", "pictures", "--", &into])?;
    let mut sum = 0;
    for file in pngs(&folder)? {
        let size = file.metadata()?.len();
        sum += size;
        println!("{:>6} KiB  {}", size.div_ceil(1024), file.file_name().display());
    }
    println!("{:>6} KiB  together", sum.div_ceil(1024));
    Ok(())
}

fn pngs(folder: &Path) -> Result<Vec<std::fs::DirEntry>> {
    let files = std::fs::read_dir(folder).with_context(|| folder.display().to_string())?;
    let mut files = files.collect::<Result<Vec<_>, _>>()?;
    files.retain(|file| file.path().extension().is_some_and(|end| end == "png"));
    files.sort_by_key(std::fs::DirEntry::file_name);
    Ok(files)
}

/// Writes what each page says anew.
pub(crate) fn outlines() -> Result<()> {
    let only = "test(every_page_says_what_its_outline_says)";
    run_with(
        &[
            "cargo", "nextest", "run", "-p", "web", "--test", "browser", "-E", only,
        ],
        &[("COMBWRIGHT_OUTLINES", "write")],
    )
}
