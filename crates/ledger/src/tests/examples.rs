use super::desk::{Desk, books_of, check};
use crate::{Act, Broken, Change, Entry, Problem, Standing};

#[test]
fn a_correction_replaces_and_a_withdrawal_removes() {
    let mut desk = Desk::default();
    let bars = desk.note("phone", "19-bars");
    let swarm = desk.note("phone", "swarm");
    desk.note("phone", "rain");
    desk.correct("phone", bars, "9-bars");
    desk.withdraw("phone", swarm);
    check(&desk, "9-bars rain");
}

#[test]
fn a_correction_of_a_correction_replaces_both() {
    let mut desk = Desk::default();
    let first = desk.note("phone", "19-bars");
    let second = desk.correct("phone", first, "8-bars");
    desk.correct("phone", second, "9-bars");
    check(&desk, "9-bars");
}

#[test]
fn a_corrected_note_keeps_its_place() {
    let mut desk = Desk::default();
    let first = desk.note("phone", "a");
    desk.note("phone", "b");
    desk.correct("phone", first, "A");
    check(&desk, "A b");
}

#[test]
fn corrections_that_did_not_see_each_other_both_stand() {
    let mut desk = Desk::default();
    let first = desk.note("phone", "19-bars");
    desk.meet("phone", "laptop");
    desk.correct("phone", first, "9-bars");
    desk.correct("laptop", first, "10-bars");
    desk.meet("phone", "laptop");
    let stands = books_of(&desk.written);
    assert_eq!(crate::standing(&stands).0.len(), 2);
    desk.note("phone", "rain");
    desk.correct("laptop", first, "11-bars");
    check(&desk, "11-bars rain");
}

#[test]
fn rivals_are_reported_until_the_keeper_settles_them() {
    let mut desk = Desk::default();
    let first = desk.note("phone", "a");
    desk.meet("phone", "laptop");
    let ours = desk.correct("phone", first, "b");
    let theirs = desk.correct("laptop", first, "c");
    // By the names of the devices: nothing drawn by lot decides.
    let stands = "c b";
    check(&desk, &format!("{stands} | a: b or c"));
    desk.meet("phone", "laptop");
    desk.settle("phone", &[ours, theirs]);
    check(&desk, &format!("{stands} | a: b or c | settled: b c"));
    let last = desk.replace("phone", &[ours, theirs], "d");
    check(&desk, "d | settled: b c");
    desk.withdraw("phone", last);
    check(&desk, &format!("{stands} | a: b or c | settled: b c"));
}

#[test]
fn two_who_correct_alike_are_no_rivals_and_count_once() {
    let mut desk = Desk::default();
    let first = desk.note("phone", "19-bars");
    desk.meet("phone", "laptop");
    desk.correct("phone", first, "9-bars");
    desk.correct("laptop", first, "9-bars");
    check(&desk, "9-bars");
}

#[test]
fn a_withdrawn_correction_brings_the_earlier_version_back() {
    let mut desk = Desk::default();
    let first = desk.note("phone", "a");
    let second = desk.correct("phone", first, "b");
    let third = desk.correct("phone", second, "c");
    let gone = desk.withdraw("phone", third);
    check(&desk, "b");
    desk.withdraw("phone", second);
    check(&desk, "a");
    desk.withdraw("phone", gone);
    check(&desk, "c");
}

#[test]
fn a_withdrawn_note_takes_along_the_corrections_it_knew() {
    let mut desk = Desk::default();
    let first = desk.note("phone", "a");
    desk.correct("phone", first, "b");
    desk.meet("phone", "laptop");
    desk.withdraw("phone", first);
    check(&desk, "");
    desk.correct("laptop", first, "c");
    check(&desk, "c | a: (nothing) or c");
    desk.meet("phone", "laptop");
    desk.withdraw("laptop", first);
    check(&desk, "");
}

#[test]
fn a_correction_after_a_withdrawal_stands() {
    let mut desk = Desk::default();
    let first = desk.note("phone", "a");
    desk.withdraw("phone", first);
    desk.correct("phone", first, "b");
    check(&desk, "b");
}

#[test]
fn two_withdrawals_of_one_note_agree() {
    let mut desk = Desk::default();
    let first = desk.note("phone", "a");
    desk.meet("phone", "laptop");
    desk.withdraw("phone", first);
    desk.withdraw("laptop", first);
    check(&desk, "");
}

#[test]
fn one_happening_written_twice_is_replaced_by_one_note() {
    let mut desk = Desk::default();
    let ours = desk.note("phone", "cut-9");
    let theirs = desk.note("laptop", "cut-nine");
    desk.meet("phone", "laptop");
    let both = desk.replace("phone", &[ours, theirs], "cut");
    check(&desk, "cut | settled: cut-9 cut-nine");
    desk.correct("laptop", both, "cut-late");
    check(&desk, "cut-late | settled: cut-9 cut-nine");
}

#[test]
fn a_settlement_with_nothing_to_say_leaves_nothing() {
    let mut desk = Desk::default();
    let first = desk.note("phone", "a");
    desk.replace("phone", &[first], " ");
    check(&desk, " | settled: a");
}

#[test]
fn a_blanked_note_stands_as_nothing() {
    let mut desk = Desk::default();
    let first = desk.note("phone", "a");
    desk.note("phone", "b");
    desk.correct("phone", first, "c");
    desk.written[2].blank();
    check(&desk, "b");
    let books = books_of(&desk.written);
    assert_eq!(books.problems(), [Problem::Blanked { entry: 2 }]);
    assert_eq!(desk.written[2].verify(), Ok(()));
}

#[test]
fn an_act_about_an_unknown_entry_does_nothing() {
    let mut desk = Desk::default();
    let first = desk.note("phone", "a");
    desk.correct("phone", first, "b");
    let remark = desk.settle("phone", &[first]);
    desk.correct("phone", remark, "c");
    let lost = desk.written.remove(0);
    check(&desk, "");
    let books = books_of(&desk.written);
    let expected = ["gap", "unknown", "odd", "unknown"];
    let kinds: Vec<&str> = books.problems().iter().map(kind).collect();
    assert_eq!(kinds.len(), expected.len());
    assert!(expected.iter().all(|kind| kinds.contains(kind)), "{kinds:?}");
    desk.written.push(lost);
    check(&desk, "b | settled: a");
}

fn kind(problem: &Problem) -> &'static str {
    match problem {
        Problem::Gap { .. } => "gap",
        Problem::UnknownTarget { .. } => "unknown",
        Problem::OddTarget { .. } => "odd",
        Problem::NotHere { .. } => "not here",
        Problem::BrokenLink { .. } => "broken link",
        Problem::Fork { .. } => "fork",
        Problem::Order { .. } => "order",
        Problem::Unread { .. } => "unread",
        Problem::Blanked { .. } => "blanked",
    }
}

#[test]
fn a_telephone_restored_from_a_backup_keeps_both_notes() {
    let mut desk = Desk::default();
    desk.note("phone", "a");
    let backup = desk.backup("phone");
    desk.note("phone", "b");
    desk.restore("phone", backup);
    desk.note("phone", "c");
    let books = books_of(&desk.written);
    assert_eq!(books.by_handle(&"phone/2".parse().unwrap()).len(), 2);
    assert!(matches!(books.problems()[..], [Problem::Fork { .. }]));
    assert!(!books.covers(2, 1) && books.covers(2, 0) && books.covers(2, 2));
    let stands = if desk.written[1].digest < desk.written[2].digest {
        "a b c"
    } else {
        "a c b"
    };
    check(&desk, stands);
}

#[test]
fn a_correction_on_one_branch_does_not_know_the_other() {
    let mut desk = Desk::default();
    let first = desk.note("phone", "a");
    let backup = desk.backup("phone");
    desk.correct("phone", first, "b");
    desk.restore("phone", backup);
    desk.note("phone", "x");
    let late = desk.correct("phone", first, "c");
    let books = books_of(&desk.written);
    assert_eq!(
        crate::standing(&books).1.len(),
        1,
        "rivals, although the numbers of one chain"
    );
    desk.meet("phone", "laptop");
    desk.restore("laptop", books);
    desk.correct("laptop", late, "d");
    assert_eq!(crate::standing(&books_of(&desk.written)).1, []);
}

#[test]
fn what_is_wrong_with_a_chain_is_told() {
    let mut desk = Desk::default();
    for words in ["a", "b", "c", "d"] {
        desk.note("phone", words);
    }
    desk.meet("phone", "laptop");
    desk.note("laptop", "e");
    let mut entries = desk.written.clone();
    entries.remove(3);
    entries.remove(1);
    let books = books_of(&entries);
    let gap = Problem::Gap {
        device: "phone".parse().unwrap(),
        from: 2,
        to: 2,
    };
    let unseen = Problem::NotHere {
        by: 2,
        head: desk.written[3].head(),
    };
    assert_eq!(books.problems(), [unseen, gap]);
}

#[test]
fn a_changed_entry_is_noticed() {
    let mut desk = Desk::default();
    desk.note("phone", "a");
    let whole = desk.written[0].clone();
    assert_eq!(whole.verify(), Ok(()));
    let mut changed = whole.clone();
    changed.note = Some("b".into());
    assert_eq!(changed.verify(), Err(Broken::Note));
    let mut changed = whole.clone();
    changed.envelope.order = 9;
    assert_eq!(changed.verify(), Err(Broken::Digest));
    let mut changed = whole.clone();
    changed.salt = None;
    assert_eq!(changed.verify(), Err(Broken::HalfBlanked));
    let mut row = whole.to_row();
    row.number = 2;
    assert_eq!(Entry::from_row(row.clone()), Err((Broken::Key, Box::new(row))));
}

#[test]
fn the_chain_goes_on_after_an_entry_that_cannot_be_read() {
    let mut desk = Desk::default();
    desk.note("phone", "a");
    desk.note("phone", "b");
    let mut books = books_of(&desk.written[..1]);
    books.keep_unread(Broken::Undecodable(9), desk.written[1].to_row());
    assert_eq!(books.heads().newest(), [desk.written[1].head()]);
    desk.note("phone", "c");
    books.add(desk.written[2].clone());
    assert_eq!(
        books.problems(),
        [Problem::Unread {
            digest: desk.written[1].digest
        }]
    );
}

#[test]
fn an_unread_entry_gives_way_to_its_whole_copy() {
    let mut desk = Desk::default();
    desk.note("phone", "a");
    let mut books = books_of([]);
    books.keep_unread(Broken::Note, desk.written[0].to_row());
    books.add(desk.written[0].clone());
    assert_eq!((books.unread().len(), books.problems()), (0, vec![]));
    assert_eq!(books.heads(), books_of(&desk.written).heads());
}

#[test]
fn a_plain_note_changes_nothing_but_itself() {
    let mut desk = Desk::default();
    let first = desk.note("phone", "a");
    desk.note("phone", "b");
    desk.correct("phone", first, "c");
    let mut books = crate::Books::new();
    let changes: Vec<Change> = desk
        .written
        .iter()
        .map(|entry| books.learn(entry.clone()))
        .collect();
    let appended = |place| {
        Change::Appended(Standing {
            entry: place,
            root: place,
        })
    };
    assert_eq!(changes, [appended(0), appended(1), Change::Reshaped]);
    assert_eq!(books.learn(desk.written[1].clone()), Change::Nothing);
}

#[test]
fn only_the_heads_that_are_news_are_listed() {
    let mut desk = Desk::default();
    desk.note("phone", "a");
    desk.meet("phone", "laptop");
    for words in ["b", "c"] {
        desk.write("laptop", Act::Note, "2026-07-19", words);
    }
    let listed: Vec<usize> = desk
        .written
        .iter()
        .map(|entry| entry.envelope.seen.len())
        .collect();
    assert_eq!(listed, [0, 1, 0]);
    assert_eq!(
        desk.written
            .iter()
            .map(|entry| entry.envelope.order)
            .collect::<Vec<_>>(),
        [1, 2, 3]
    );
}
