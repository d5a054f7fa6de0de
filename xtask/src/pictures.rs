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

/// The sheets of a spring day: which of the file is looked at, from 1.
const SHEETS: &[(&str, u32, &[&str])] = &[
    ("print-card", 1, &["card", "alder"]),
    ("print-card-letter", 1, &["card", "alder", "--paper", "letter"]),
    ("print-blank", 1, &["blank"]),
    ("print-round", 1, &["round", "garth"]),
    ("print-hive", 1, &["hive", "alder"]),
];

/// The sheets of the workshop, whose patterns came in autumn.
const WORKSHOP: &[(&str, u32, &[&str])] = &[
    ("print-pattern", 1, &["workshop", "slant"]),
    ("print-pattern-warm", 2, &["workshop", "slant"]),
    ("print-pattern-parts", 3, &["workshop", "slant"]),
    ("print-pattern-drum", 3, &["workshop", "cask"]),
    ("print-compare", 1, &["workshop"]),
    ("print-cut", 1, &["cut", "slant"]),
    ("print-cut-boards", 2, &["cut", "slant"]),
    ("print-template-map", 1, &["template", "cask", "--part", "end"]),
    (
        "print-template",
        2,
        &["template", "cask", "--part", "end", "--paper", "letter"],
    ),
    ("print-template-follower", 2, &["template", "slant"]),
];

fn on_paper(combwright: &str, folder: &Path) -> Result<()> {
    let scratch = needs::target().join("pictures");
    std::fs::create_dir_all(&scratch)?;
    let file = |name: &str| scratch.join(name).display().to_string();
    let books = file("demo.books");
    run(&[combwright, "demo", "--no-serve", "--books", &books])?;
    for (sheets, day) in [(SHEETS, "2026-05-24"), (WORKSHOP, "2026-11-22")] {
        for (name, number, what) in sheets {
            let pdf = file(&format!("{name}.pdf"));
            let how = ["--on", day, "--books", &books, "--out", &pdf, "--replace"];
            run(&[&[combwright, "print"], *what, &how].concat())?;
            drawn(&pdf, *number, &folder.join(name))?;
        }
    }
    let filled = "test(the_filled_card_is_kept_as_a_file)";
    run(&["cargo", "nextest", "run", "--workspace", "-E", filled])?;
    let pdf = needs::target().join("tmp/card-filled.pdf");
    drawn(&pdf.display().to_string(), 1, &folder.join("card-filled"))
}

/// A sheet of a file, to be looked at.
fn drawn(pdf: &str, number: u32, to: &Path) -> Result<()> {
    let (number, to) = (number.to_string(), to.display().to_string());
    run(&[
        "pdftoppm",
        "-r",
        "90",
        "-png",
        "-f",
        &number,
        "-l",
        &number,
        "-singlefile",
        pdf,
        &to,
    ])
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
