//! What the pages look like and what they say, written anew.

use std::path::Path;

use anyhow::{Context as _, Result};

use crate::steps::{run, run_with};
use crate::{needs, root};

/// Takes the pages of the demo books, on screen and on paper, and says how large the pictures are.
pub(crate) fn pictures() -> Result<()> {
    needs::browser()?;
    needs::poppler()?;
    let folder = root().join("docs/pictures");
    std::fs::create_dir_all(&folder)?;
    // All of the workspace at once: what is built of one part alone is built with other features, and anew.
    run(&["cargo", "build", "--workspace", "--bins", "--examples"])?;
    let into = folder.to_string_lossy().into_owned();
    let program = |name: &str| needs::target().join("debug").join(name).display().to_string();
    run(&[&program("examples/pictures"), &into])?;
    on_paper(&program("combwright"), &folder)?;
    let mut sum = 0;
    for file in pngs(&folder)? {
        let size = file.metadata()?.len();
        sum += size;
        println!("{:>6} KiB  {}", size.div_ceil(1024), file.file_name().display());
    }
    println!("{:>6} KiB  together", sum.div_ceil(1024));
    Ok(())
}

/// The sheets of a spring day, and the card as a hand fills it in.
const SHEETS: &[(&str, &[&str])] = &[
    ("print-card", &["card", "alder"]),
    ("print-card-letter", &["card", "alder", "--paper", "letter"]),
    ("print-blank", &["blank"]),
    ("print-round", &["round", "garth"]),
    ("print-hive", &["hive", "alder"]),
];

fn on_paper(combwright: &str, folder: &Path) -> Result<()> {
    let scratch = needs::target().join("pictures");
    std::fs::create_dir_all(&scratch)?;
    let file = |name: &str| scratch.join(name).display().to_string();
    let books = file("demo.books");
    run(&[combwright, "demo", "--no-serve", "--books", &books])?;
    for (name, what) in SHEETS {
        let pdf = file(&format!("{name}.pdf"));
        let how = [
            "--on",
            "2026-05-24",
            "--books",
            &books,
            "--out",
            &pdf,
            "--replace",
        ];
        run(&[&[combwright, "print"], *what, &how].concat())?;
        drawn(&pdf, &folder.join(name))?;
    }
    let filled = "test(the_filled_card_is_kept_as_a_file)";
    run(&["cargo", "nextest", "run", "--workspace", "-E", filled])?;
    let pdf = needs::target().join("tmp/card-filled.pdf");
    drawn(&pdf.display().to_string(), &folder.join("card-filled"))
}

/// The first sheet of a file, to be looked at.
fn drawn(pdf: &str, to: &Path) -> Result<()> {
    let to = to.display().to_string();
    run(&["pdftoppm", "-r", "90", "-png", "-singlefile", pdf, &to])
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
        &["cargo", "nextest", "run", "--workspace", "-E", only],
        &[("COMBWRIGHT_OUTLINES", "write")],
    )
}
