//! Drafts from a phone: written once, in their order, none dropped.

use std::collections::BTreeSet;

use app::field::{self, Became, Draft, Taken};
use jiff::civil::date;
use proptest::prelude::*;

use crate::fixture::Desk;

fn draft(number: u64, line: &str) -> Draft {
    Draft {
        id: uuid::Uuid::from_u128(u128::from(number) + (7 << 76) + (2 << 62)),
        seq: number,
        day: date(2026, 5, 24),
        hour: Some(format!("10:{:02}", number % 60).parse().expect("an hour")),
        at: None,
        by: String::new(),
        line: line.to_owned(),
    }
}

impl Desk {
    fn takes_in(&mut self, drafts: &[Draft]) -> Vec<Taken> {
        field::take_in(&mut self.office, drafts, &mut self.surroundings).expect("memory never fails")
    }

    fn field_notes(&mut self) -> Vec<String> {
        let entries = self.office.library().books().entries().iter();
        let from_field = entries.filter(|entry| entry.envelope.origin.starts_with("field "));
        from_field
            .map(|entry| entry.note.clone().unwrap_or_default().to_string())
            .collect()
    }
}

fn a_visit() -> Vec<Draft> {
    let lines = [
        "look alder bar 1 drawn 8/8 honey 4/8",
        "look alder bar 2 drawn 8/8 sealed 4/8",
        "look alder bar 31 drawn 4/8",
        "they \"hum\" and hang out # much",
        "look alder stopped 2",
        "look birch bars 1 to 3 as before",
        "attach photo \"a.jpg\" of \"alder bar 1\" digest \"00\"",
        "withdraw last",
    ];
    lines
        .iter()
        .zip(1..)
        .map(|(line, number)| draft(number, line))
        .collect()
}

const A_VISIT: &[&str] = &[
    "2026-05-24 10:01 look alder bar 1 drawn 8/8 honey 4/8",
    "2026-05-24 10:02 look alder bar 2 drawn 8/8 sealed 4/8",
    "2026-05-24 10:03 look alder bar 31 drawn 4/8 anyway",
    "2026-05-24 10:04 jot \"they 'hum' and hang out # much\"",
    "2026-05-24 10:05 look alder stopped 2",
    "2026-05-24 10:06 look birch bars 1 to 3 as before anyway",
    "2026-05-24 10:07 attach photo \"a.jpg\" of \"alder bar 1\" digest \"00\"",
    "2026-05-24 10:08 jot \"withdraw last\"",
];

#[test]
fn each_draft_is_answered_by_itself_and_none_is_dropped() {
    let mut desk = Desk::with_two_hives();
    let taken = desk.takes_in(&a_visit());
    assert_eq!(desk.field_notes(), A_VISIT);
    let became: Vec<&str> = taken
        .iter()
        .map(|taken| match &taken.became {
            Became::Written { .. } => "written",
            Became::There { .. } => "there",
            Became::Kept { why, .. } => {
                assert!(!why.is_empty());
                "jotting"
            }
            Became::Stays { why } => panic!("{why}"),
        })
        .collect();
    assert_eq!(
        became,
        [
            "written", "written", "written", "jotting", "written", "written", "written", "jotting"
        ]
    );
    assert!(
        desk.complaints().iter().any(|says| says.contains("31")),
        "{:?}",
        desk.complaints()
    );
}

#[test]
fn what_was_written_is_told_again_and_stands() {
    let mut desk = Desk::with_two_hives();
    let first = desk.takes_in(&a_visit());
    let again = desk.takes_in(&a_visit());
    for (first, again) in first.iter().zip(&again) {
        let (Became::Written { handle, .. } | Became::Kept { handle, .. }) = &first.became else {
            panic!("{first:?}");
        };
        let Became::There { handle: there, .. } = &again.became else {
            panic!("{again:?}");
        };
        assert_eq!(handle, there);
    }
    assert_eq!(desk.field_notes(), A_VISIT);
    // The same id with other words: what was written stands, and is told.
    let mut other = a_visit()[0].clone();
    other.line = "look alder bar 1 drawn 1/8".to_owned();
    let told = desk.takes_in(&[other]);
    assert!(
        matches!(&told[0].became, Became::There { text, .. } if text == A_VISIT[0]),
        "{told:?}"
    );
}

#[test]
fn a_hive_that_was_open_gives_its_name() {
    let mut desk = Desk::with_two_hives();
    let mut typed = draft(1, "look bar 3 sealed 5/8 drawn 8/8");
    typed.at = Some("alder".to_owned());
    let mut words = draft(2, "loud today");
    words.at = Some("alder".to_owned());
    let mut nowhere = draft(3, "quiet");
    nowhere.at = Some("no such hive, \"this\" one".to_owned());
    let mut dated = draft(4, "2026-05-20 look birch bar 1 drawn 2/8");
    dated.by = "p-14".to_owned();
    desk.takes_in(&[typed, words, nowhere, dated]);
    assert_eq!(
        desk.field_notes(),
        [
            "2026-05-24 10:01 look alder bar 3 sealed 5/8 drawn 8/8",
            "2026-05-24 10:02 jot alder \"loud today\"",
            "2026-05-24 10:03 jot \"quiet\"",
            "2026-05-20 look birch bar 1 drawn 2/8",
        ]
    );
    let by = desk
        .office
        .library()
        .books()
        .entries()
        .last()
        .map(|entry| entry.envelope.by.to_string());
    assert_eq!(by.as_deref(), Some("p-14"));
}

#[test]
fn a_batch_of_another_form_is_refused_as_a_whole() {
    let good = r#"{"drafts":[{"id":"01981b2e-5f00-7000-8000-000000000001","seq":1,"day":"2026-05-24","hour":"10:00","line":"x"}]}"#;
    assert_eq!(field::drafts(good.as_bytes()).map(|drafts| drafts.len()), Ok(1));
    for (from, to) in [
        ("\"drafts\"", "\"draughts\""),
        ("01981b2e", "x"),
        (":1,", ":-1,"),
        ("2026-05-24", "24 May"),
        ("10:00", "25:00"),
        ("\"x\"", "7"),
        ("\"x\"", "\"\""),
        ("\"x\"", "\"x\",\"by\":\"two words\""),
        ("}]}", "}"),
    ] {
        assert!(
            field::drafts(good.replacen(from, to, 1).as_bytes()).is_err(),
            "{from} as {to}"
        );
    }
}

#[test]
fn a_text_file_and_the_phone_itself_bring_the_same_drafts() {
    let mut desk = Desk::with_two_hives();
    let mut text = String::from("# notes from the field\n");
    for draft in a_visit() {
        let hour = draft.hour.expect("an hour");
        text += &format!(
            "#= field {} {} {} {hour} - -\n{}\n",
            draft.id, draft.seq, draft.day, draft.line
        );
    }
    let bundle = field::bundle(text.as_bytes(), date(2026, 5, 25)).expect("it is read");
    assert_eq!(bundle.drafts, a_visit());
    desk.takes_in(&a_visit()[..3]);
    desk.takes_in(&bundle.drafts);
    desk.takes_in(&a_visit());
    assert_eq!(desk.field_notes(), A_VISIT);
}

/// The lines of a visit as somebody types them into the file behind what a phone gave out.
const BY_HAND: [&str; 6] = [
    "2026-05-24 split alder into rowan 6 bars",
    "2026-05-24 feed rowan syrup 1 kg",
    "2026-05-24 quiet at last",
    "2026-05-24 feed alder syrup 2 kg",
    "2026-05-24 feed alder syrup 3 kg",
    "2026-05-24 feed alder syrup 4 kg",
];

#[test]
fn lines_added_by_hand_keep_their_order_and_come_in_once() {
    let mut desk = Desk::with_two_hives();
    let visit = a_visit();
    let head = |draft: &Draft| {
        format!(
            "#= field {} {} {} - - -\n{}\n",
            draft.id, draft.seq, draft.day, draft.line
        )
    };
    let text = format!(
        "{}{}\n{}{}\n",
        head(&visit[0]),
        BY_HAND[..3].join("\n"),
        head(&visit[1]),
        BY_HAND[3..].join("\n")
    );
    let bundle = field::bundle(text.as_bytes(), date(2026, 5, 25)).expect("it is read");
    let taken = desk.takes_in(&bundle.drafts);
    let written = desk.field_notes();
    let wanted: Vec<&str> = [visit[0].line.as_str()]
        .into_iter()
        .chain(BY_HAND[..3].iter().copied())
        .chain([visit[1].line.as_str()])
        .chain(BY_HAND[3..].iter().copied())
        .collect();
    assert_eq!(written.len(), wanted.len());
    for ((written, wanted), taken) in written.iter().zip(&wanted).zip(&taken) {
        let words = wanted.strip_prefix("2026-05-24 ").unwrap_or(wanted);
        assert!(
            written.contains(words)
                || matches!(taken.became, Became::Kept { .. }) && written.contains(wanted),
            "{written} for {wanted}"
        );
    }
    desk.takes_in(&bundle.drafts);
    assert_eq!(desk.field_notes(), written);
}

proptest! {
    #![proptest_config(ProptestConfig { rng_seed: proptest::test_runner::RngSeed::Fixed(4), cases: 40, ..ProptestConfig::default() })]

    /// However two phones' batches are cut, repeated and mixed: every draft is there once, and those of a phone that
    /// sends from the front are in its order.
    #[test]
    fn batches_may_come_twice_by_halves_and_mixed(sends in proptest::collection::vec((0..2_usize, 0..9_usize, any::<bool>()), 0..12)) {
        let mut desk = Desk::with_two_hives();
        let phones = [a_visit(), a_visit().into_iter().map(|mut draft| {
            draft.id = uuid::Uuid::from_u128(draft.id.as_u128() + 1000);
            draft
        }).collect()];
        let mut sent = [0, 0];
        for (phone, many, again) in sends {
            let from = if again { 0 } else { sent[phone] };
            let to = (from + many).min(phones[phone].len()).max(from);
            desk.takes_in(&phones[phone][from..to]);
            sent[phone] = sent[phone].max(to);
        }
        for phone in &phones {
            desk.takes_in(phone);
        }
        let origins: Vec<String> = desk.office.library().books().entries().iter()
            .map(|entry| entry.envelope.origin.to_string()).filter(|origin| origin.starts_with("field ")).collect();
        prop_assert_eq!(origins.iter().collect::<BTreeSet<_>>().len(), origins.len());
        for phone in &phones {
            let own: Vec<String> = phone.iter().map(|draft| format!("field {}", draft.id)).collect();
            let there: Vec<&String> = origins.iter().filter(|origin| own.contains(origin)).collect();
            prop_assert_eq!(there, own.iter().collect::<Vec<_>>());
        }
    }
}
