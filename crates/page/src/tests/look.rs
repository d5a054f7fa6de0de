//! The stylesheet: whether its colours can be read, and whether it keeps what the pages promise.

use std::collections::BTreeMap;

fn asset(name: &str) -> &'static str {
    let asset = crate::html::ASSETS.iter().find(|asset| asset.name == name);
    std::str::from_utf8(asset.expect("it is served").bytes).expect("it is text")
}

/// The colours of the block of custom properties that follows this line.
fn colours(after: &str) -> BTreeMap<&'static str, [f64; 3]> {
    let (_, behind) = asset("style.css")
        .split_once(after)
        .expect("the stylesheet has this line");
    let (block, _) = behind.split_once('}').expect("a block ends");
    block
        .lines()
        .filter_map(|line| {
            line.trim()
                .strip_prefix("--")?
                .strip_suffix(';')?
                .split_once(": #")
        })
        .map(|(name, hex)| {
            let part = |at: usize| u8::from_str_radix(&hex[at..at + 2], 16).expect("six digits");
            (name, [0, 2, 4].map(|at| f64::from(part(at)) / 255.0))
        })
        .collect()
}

/// The relative luminance of WCAG 2.2.
fn luminance(colour: [f64; 3]) -> f64 {
    let [red, green, blue] = colour.map(|part| {
        if part <= 0.04045 {
            part / 12.92
        } else {
            libm::pow((part + 0.055) / 1.055, 2.4)
        }
    });
    0.2126 * red + 0.7152 * green + 0.0722 * blue
}

fn contrast(one: [f64; 3], other: [f64; 3]) -> f64 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

#[track_caller]
fn at_least(wanted: f64, colours: &BTreeMap<&str, [f64; 3]>, above: &str, below: &str) {
    let found = contrast(colours[above], colours[below]);
    assert!(found >= wanted, "{above} on {below} is {found:.2}");
}

#[track_caller]
fn can_be_read(colours: &BTreeMap<&str, [f64; 3]>) {
    for text in ["ink", "soft", "accent"] {
        for ground in ["paper", "leaf"] {
            at_least(7.0, colours, text, ground);
        }
    }
    at_least(7.0, colours, "ink", "tint");
    at_least(7.0, colours, "on-accent", "accent");
    for line in ["line", "hatch", "accent"] {
        for ground in ["paper", "leaf"] {
            at_least(3.0, colours, line, ground);
        }
    }
}

#[test]
fn the_measure_of_contrast_agrees_with_known_pairs() {
    assert!((contrast([0.0; 3], [1.0; 3]) - 21.0).abs() < 1e-9);
    // #767676 on white is the well-known grey that just passes at 4.5.
    let grey = [f64::from(0x76_u8) / 255.0; 3];
    assert!((contrast(grey, [1.0; 3]) - 4.54).abs() < 0.01);
}

#[test]
fn colours_can_be_read_in_the_light() {
    can_be_read(&colours("\n:root {"));
}

#[test]
fn colours_can_be_read_in_the_dark() {
    let light = colours("\n:root {");
    let dark = colours("(prefers-color-scheme: dark) {");
    assert_eq!(light.keys().collect::<Vec<_>>(), dark.keys().collect::<Vec<_>>());
    can_be_read(&dark);
}

#[test]
fn paper_is_white_and_ink_black() {
    let mut on_paper = colours("\n:root {");
    on_paper.extend(colours("@media print {\n  :root {"));
    at_least(21.0, &on_paper, "ink", "paper");
    can_be_read(&on_paper);
}

#[test]
fn colours_are_named_in_one_place() {
    let outside = asset("style.css")
        .lines()
        .filter(|line| !line.trim().starts_with("--"));
    let strays: Vec<&str> = outside
        .filter(|line| line.contains(": #") || line.contains("rgb("))
        .collect();
    assert!(strays.is_empty(), "{strays:?}");
}

#[test]
fn nothing_is_fetched_from_elsewhere() {
    let script = asset("page.js");
    for text in [asset("style.css"), script] {
        assert!(!text.contains("http:") && !text.contains("https:") && !text.contains("@import"));
    }
    assert!(!script.contains("innerHTML") && !script.contains(".style"));
}
