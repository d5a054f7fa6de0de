//! Expressions as they are met in the wild, and small made-up workspaces.

use super::*;

const DENY: &str = "\
[graph]
targets = [\"elsewhere\"]
[licenses]
version = 2
allow = [
    \"MIT\",
    \"Apache-2.0\", # and its exceptions
    \"Unicode-3.0\",
]
[bans]
allow = [\"nothing\"]
";

#[test]
fn the_allowed_licences_are_those_of_their_section() {
    assert_eq!(
        allowed_licences(DENY),
        BTreeSet::from(["MIT", "Apache-2.0", "Unicode-3.0"])
    );
}

#[test]
fn an_expression_is_satisfied_by_what_is_allowed_or_not_at_all() {
    let allowed = allowed_licences(DENY);
    for enough in [
        "MIT",
        "LGPL-2.1-or-later OR MIT",
        "Unlicense/MIT",
        "Apache-2.0 WITH LLVM-exception OR Zlib",
        "(MIT OR Zlib) AND Unicode-3.0",
        "GPL-3.0 AND BSD-2-Clause OR MIT",
    ] {
        assert!(spdx::satisfied(enough, &allowed), "{enough}");
    }
    for lacking in [
        "Zlib",
        "MIT AND GPL-3.0",
        "(MIT AND GPL-3.0) OR Zlib",
        "MIT OR",
        "(MIT",
        "MIT)",
        "MIT Apache-2.0",
        "",
    ] {
        assert!(!spdx::satisfied(lacking, &allowed), "{lacking}");
    }
}

fn graph(members: &[(&str, &[(&str, bool)])]) -> Graph {
    let named = |lines: &[(&str, bool)]| {
        lines
            .iter()
            .map(|(name, only_tests)| Dependency {
                name: (*name).to_owned(),
                only_tests: *only_tests,
            })
            .collect()
    };
    let members = members
        .iter()
        .map(|(name, lines)| ((*name).to_owned(), named(lines)))
        .collect();
    Graph {
        licences: BTreeMap::new(),
        members,
    }
}

#[test]
fn a_crate_uses_only_what_lies_below_it() {
    let sound = graph(&[
        ("quantity", &[]),
        ("reckon", &[("quantity", false), ("libm", false)]),
    ]);
    assert_eq!(arrows::upward(&sound), Vec::<String>::new());
    let upward = graph(&[
        ("quantity", &[]),
        ("ledger", &[("store", true)]),
        ("store", &[("quantity", false)]),
    ]);
    assert_eq!(
        arrows::upward(&upward),
        ["ledger must not use store", "store must not use quantity"]
    );
    let unknown = graph(&[("barn", &[])]);
    assert_eq!(
        arrows::upward(&unknown),
        ["barn is not in the table of arrows (xtask/src/licences/arrows.rs)"]
    );
}

#[test]
fn what_is_made_for_tests_is_used_by_tests_alone() {
    let in_tests = graph(&[("torn-vfs", &[]), ("store", &[("torn-vfs", true)])]);
    assert_eq!(arrows::upward(&in_tests), Vec::<String>::new());
    let in_earnest = graph(&[("torn-vfs", &[]), ("store", &[("torn-vfs", false)])]);
    assert_eq!(arrows::upward(&in_earnest), ["store must not use torn-vfs"]);
}

#[test]
fn the_table_of_arrows_itself_goes_downwards() {
    for (at, (name, may)) in arrows::ARROWS.iter().enumerate() {
        let below: Vec<&str> = arrows::ARROWS[..at].iter().map(|(name, _)| *name).collect();
        assert!(may.iter().all(|other| below.contains(other)), "{name}");
    }
}

#[test]
fn each_dependency_has_a_reason_and_each_reason_a_dependency() {
    let graph = graph(&[
        ("quantity", &[("libm", false)]),
        ("reckon", &[("quantity", false), ("proptest", true)]),
    ]);
    let reasons = "# Dependencies\n- `libm`: the same digits everywhere.\n- `rayon`: threads.\n";
    assert_eq!(
        without_reason(&graph, reasons),
        [
            "proptest, which reckon uses, has no line in decisions/dependencies.md",
            "decisions/dependencies.md has a line for rayon, which no manifest names",
        ]
    );
}

#[test]
fn a_package_without_a_licence_is_told() {
    let licences = BTreeMap::from([
        ("barn 1.0.0".to_owned(), None),
        ("hay 2.1.0".to_owned(), Some("MIT".to_owned())),
    ]);
    let graph = Graph {
        licences,
        members: BTreeMap::new(),
    };
    assert_eq!(
        foreign_licences(&graph, &BTreeSet::from(["MIT"])),
        ["barn 1.0.0 states no licence"]
    );
}
