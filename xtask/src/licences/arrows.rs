//! Which of our crates may use which: arrows only go downwards.

use super::Graph;

/// Each crate and what it may name in its manifest, from the ground up.
pub(super) const ARROWS: &[(&str, &[&str])] = &[
    ("quantity", &[]),
    ("reckon", &["quantity"]),
    ("ledger", &["quantity"]),
    ("apiary", &["quantity", "reckon", "ledger"]),
    ("store", &["ledger"]),
    ("page", &[]),
    ("press", &["page"]),
    ("trust", &[]),
    (
        "app",
        &["quantity", "reckon", "ledger", "apiary", "store", "page"],
    ),
    (
        "web",
        &["quantity", "ledger", "apiary", "page", "press", "trust", "app"],
    ),
    (
        "cli",
        &[
            "quantity", "reckon", "ledger", "apiary", "store", "page", "press", "trust", "app", "web",
        ],
    ),
    ("torn-vfs", &[]),
    ("xtask", &["ledger", "apiary"]),
];

/// Crates that some name for their tests alone.
const FOR_TESTS: &[(&str, &[&str])] = &[("torn-vfs", &["store", "app", "cli"]), ("store", &["web"])];

/// Every arrow that the table does not allow, as a sentence.
pub(super) fn upward(graph: &Graph) -> Vec<String> {
    let mut wrong = Vec::new();
    for (member, named) in &graph.members {
        let Some((_, may)) = ARROWS.iter().find(|(name, _)| name == member) else {
            wrong.push(format!(
                "{member} is not in the table of arrows (xtask/src/licences/arrows.rs)"
            ));
            continue;
        };
        for line in named
            .iter()
            .filter(|line| graph.members.contains_key(&line.name) && line.name != *member)
        {
            let name = line.name.as_str();
            let for_tests = line.only_tests
                && FOR_TESTS
                    .iter()
                    .any(|(of, by)| *of == name && by.contains(&member.as_str()));
            if !may.contains(&name) && !for_tests {
                wrong.push(format!("{member} must not use {name}"));
            }
        }
    }
    wrong
}
