//! Which field of a note is to blame, and which names a form would suggest.

use apiary::note::{What, table};

use crate::{Farm, two_hives_and};

/// A farm about which much can be said wrongly.
fn busy() -> Farm {
    two_hives_and(
        "2026-03-02 spend 9.00 GBP on 0.5 kg of shea
         2026-03-02 spend 49.80 GBP on 6 jars of 340 g
         2026-03-02 yard lane
         2026-03-03 yard lane closed
         2026-04-12 install alder swarm
         2026-04-13 start birch 9 bars drawn as hazel
         2026-04-14 tag birch bar 1 as K7
         2026-05-01 hive cedar in orchard bars 9
         2026-05-02 install cedar swarm
         2026-05-03 lost cedar
         2026-05-04 hive elm in orchard bars 9
         2026-05-05 sell hive elm
         2026-07-01 start tank-1 4 kg honey
         2026-07-01 recipe balm shea 100 %
         2026-07-02 fill tank-1 3 jars of 340 g lot A26
         2026-07-03 invoice \"26-014\" to p-14 78.00 GBP
         2026-09-02 store birch bar 9 in freezer",
    )
}

#[test]
fn a_misgiving_names_the_field_that_is_to_blame() {
    let farm = busy();
    for (line, field) in [
        ("2026-10-01 look adler bar 9 drawn 8/8", "bars"),
        ("2026-10-01 look alder bar 40 drawn 8/8", "bars"),
        ("2026-10-01 fault bar K9 crossed", "bars"),
        ("2026-10-01 look alder bar 9 drawn 2/8 brood 5/8", "brood"),
        ("2026-10-01 hive alder in orchard bars 27", "hive"),
        ("2026-10-01 hive ash in field bars 27", "yard"),
        ("2026-10-01 hive ash in orchard bars 2000", "bars"),
        ("2026-10-01 yard field at 95 2", "latitude"),
        ("2026-10-01 yard field at 5 200", "longitude"),
        (
            "2026-10-01 pattern odd slope top 44 cm floor 19 cm depth 28 m",
            "depth",
        ),
        ("2026-10-01 feed cedar syrup 1 kg", "colony"),
        ("2026-10-01 unite alder into alder", "into"),
        ("2026-10-01 add alder 2 bars at 40", "at"),
        ("2026-10-01 split birch bars 1 to 2 into birch", "hive"),
        ("2026-10-01 install alder swarm", "hive"),
        ("2026-10-01 cut birch bar 2 into pail-1", ""),
        ("2026-10-01 cut birch bar 2 comb 90 kg into pail-1", "comb"),
        ("2026-10-01 weigh tank-1 gross 1 kg tare 2 kg", "gross"),
        ("2026-10-01 blend tank-1 1 kg into tank-1", "into"),
        ("2026-10-01 blend tank-1 40 kg into tank-2", "mass"),
        ("2026-10-01 read tank-1 index 1.3", "index"),
        ("2026-10-01 fill tank-1 90 jars of 340 g lot B26", "goods"),
        ("2026-10-01 fill tank-1 1 jar of 454 g lot A26", "lot"),
        ("2026-10-01 recipe salve shea 90 %", "share"),
        ("2026-10-01 make balm batch mix-7 shea 4 kg", "amount"),
        ("2026-10-01 make salve batch mix-7 shea 0.1 kg", "recipe"),
        ("2026-10-01 sell 6 of A26", "count"),
        ("2026-10-01 tally A26 1", "count"),
        ("2026-10-01 tally 40 jars of 340 g", "goods"),
        ("2026-10-01 start birch 90 bars drawn", "drawn"),
        ("2026-10-01 invoice \"26-014\" to p-15 9.00 GBP", "number"),
        ("2026-10-01 hours 1h weeding in field", "yard"),
    ] {
        let doubts = farm.doubts(line);
        let blamed: Vec<_> = doubts.iter().map(|doubt| doubt.field.unwrap_or("-")).collect();
        let fits = match field {
            "" => doubts.is_empty(),
            field => blamed.contains(&field),
        };
        assert!(fits, "{line}: {blamed:?}");
    }
}

#[test]
fn the_field_to_blame_is_one_of_the_note() {
    let farm = busy();
    for example in table().entries().iter().flat_map(|entry| entry.verb.examples) {
        let fact = crate::note(example).fact;
        for doubt in farm.doubts(example) {
            let field = doubt.field.unwrap_or_else(|| panic!("{example}: {doubt:?}"));
            assert!(fact.shape().has(field), "{example}: {field}");
        }
    }
}

#[test]
fn a_form_suggests_what_is_there() {
    let farm = busy();
    for (what, expected) in [
        (What::Yard, "orchard"),
        (What::Pattern, "sloping"),
        (What::Hive, "alder birch cedar freezer"),
        (What::Store, "freezer"),
        (What::Colony, "alder hazel"),
        (What::Tag, "K7"),
        (What::Container, "tank-1"),
        (What::Ingredient, "tank-1 shea"),
        (What::Lot, "A26"),
        (What::Recipe, "balm"),
        (What::Person, ""),
        (What::Device, ""),
        (What::Product, ""),
    ] {
        assert_eq!(farm.holding.known_names(what).join(" "), expected, "{what:?}");
    }
}

#[test]
fn a_form_knows_which_details_are_words_alone() {
    let cut = table().verb("cut").expect("a verb");
    let flags: Vec<_> = cut.shapes[1].details.iter().map(|detail| detail.flag()).collect();
    assert_eq!(flags, [Some("half"), Some("part"), None, None]);
    let label = cut.shapes[1].label("into").map(|(what, _)| what);
    assert_eq!(label, Some(What::Container));
}
