//! Every page of the demo books: what it says, and that it can be used by everybody.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use crate::checks;
use crate::driver::{Browser, Script};
use crate::http;
use crate::outline::outline;
use crate::paths::PAGES;
use crate::served::Served;

/// The outlines that are kept, to be compared with.
fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outlines")
}

/// `COMBWRIGHT_OUTLINES=write` writes them anew; then read every line that changed.
#[test]
fn every_page_says_what_its_outline_says() {
    let served = Served::demo();
    let write = std::env::var_os("COMBWRIGHT_OUTLINES").is_some_and(|value| value == "write");
    let mut wrong = Vec::new();
    for (name, path) in PAGES {
        let answer = http::get(served.port, path);
        let now = format!("status {}\n{}", answer.status, outline(path, &answer.text()));
        let file = folder().join(format!("{name}.txt"));
        if write {
            std::fs::write(&file, &now).expect("the outline can be written");
        }
        let kept = std::fs::read_to_string(&file)
            .unwrap_or_default()
            .replace('\r', "");
        if kept != now {
            wrong.push(format!(
                "{path} says something else now ({name}.txt):\n{}",
                difference(&kept, &now)
            ));
        }
    }
    assert!(
        wrong.is_empty(),
        "{}\n\nIf that is meant: cargo xtask outlines, and read what changed.",
        wrong.join("\n\n")
    );
}

#[test]
fn every_outline_belongs_to_a_page() {
    let names: BTreeSet<String> = PAGES.iter().map(|(name, _)| format!("{name}.txt")).collect();
    for file in std::fs::read_dir(folder()).expect("there are outlines") {
        let name = file.expect("it can be listed").file_name();
        let name = name.to_string_lossy().into_owned();
        assert!(names.contains(&name), "no page has the outline {name}");
    }
}

/// The lines that are in one of them only.
fn difference(kept: &str, now: &str) -> String {
    let (old, new): (Vec<&str>, Vec<&str>) = (kept.lines().collect(), now.lines().collect());
    let same = old.iter().zip(&new).take_while(|(old, new)| old == new).count();
    let rest = old.len().min(new.len()) - same;
    let tail = old.iter().rev().zip(new.iter().rev());
    let tail = tail.take(rest).take_while(|(old, new)| old == new).count();
    let gone = old[same..old.len() - tail].iter().map(|line| format!("- {line}"));
    let come = new[same..new.len() - tail].iter().map(|line| format!("+ {line}"));
    gone.chain(come).take(40).collect::<Vec<_>>().join("\n")
}

#[test]
fn every_page_can_be_used_by_everybody_on_a_wide_screen() {
    can_be_used(1440, Script::On);
}

#[test]
fn every_page_can_be_used_by_everybody_on_a_narrow_screen() {
    can_be_used(320, Script::On);
}

#[test]
fn every_page_can_be_used_without_a_script() {
    can_be_used(320, Script::Off);
    can_be_used(1440, Script::Off);
}

fn can_be_used(width: u32, script: Script) {
    let served = Served::demo();
    let browser = Browser::open(width, script);
    let mut wrong = Vec::new();
    for (name, path) in PAGES {
        browser.visit(&served.address(path));
        let mut told = checks::all(&browser);
        if *name == "nowhere" {
            // A page that is not there is told to the console too.
            told.retain(|told| !told.contains("status of 404"));
        }
        wrong.extend(told.iter().map(|told| format!("{path} at {width} px: {told}")));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// In the dark nothing else changes, so it is enough to look at what can be told apart.
#[test]
fn every_page_can_be_read_in_the_dark() {
    let served = Served::demo();
    let browser = Browser::open(1440, Script::On);
    browser.prefers("dark");
    let mut wrong = Vec::new();
    for (_, path) in PAGES {
        browser.visit(&served.address(path));
        wrong.extend(
            checks::axe(&browser)
                .iter()
                .map(|told| format!("{path} in the dark: {told}")),
        );
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Each way of saying each verb has a form; all of them are opened on the narrowest screen.
#[test]
fn every_form_of_every_verb_can_be_used() {
    let served = Served::demo();
    let browser = Browser::open(320, Script::On);
    let mut wrong = Vec::new();
    for path in forms() {
        browser.visit(&served.address(&path));
        let told = [
            checks::console(&browser),
            checks::width(&browser),
            checks::axe(&browser),
        ]
        .concat();
        browser.console();
        wrong.extend(told.iter().map(|told| format!("{path}: {told}")));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn forms() -> Vec<String> {
    let verbs = apiary::note::table().entries().iter();
    verbs
        .flat_map(|entry| {
            let ways = app::forms::ways(entry.verb.word).into_iter();
            ways.map(|(form, _)| format!("/write/{}?form={form}", entry.verb.word))
        })
        .collect()
}
