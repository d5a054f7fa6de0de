//! What is refused at the desk, what is remarked on, and what may be insisted on.

use crate::fixture::Desk;

#[test]
fn what_is_plainly_impossible_is_refused_and_may_be_insisted_on() {
    let mut desk = Desk::with_two_hives();
    desk.write("2026-04-01 start alder 9 bars drawn");
    for (line, reason) in [
        (
            "2026-07-19 cut alder bar 28 into pail-1",
            "places 1 to 27, and no bar 28",
        ),
        (
            "2026-07-19 cut alder bar 9 comb 45 kg into pail-1",
            "at the very most twice that; 45 kg was said",
        ),
        ("2026-07-19 look adler bar 9 drawn 8/8", "did you mean alder?"),
        (
            "2026-07-19 hive alder in orchard bars 12",
            "a hive called alder already",
        ),
        (
            "2026-07-19 hive cedar in orchid bars 12",
            "no yard is called orchid",
        ),
        (
            "2026-07-19 weigh alder gross 1 kg tare 2 kg",
            "less than the tare",
        ),
        (
            "2026-07-19 sell 3 of A26 at stall for 9.00 GBP",
            "no lot is called A26",
        ),
        ("2026-07-19 crush pail-9", "no container is called pail-9"),
    ] {
        let why = desk.refused(line);
        assert!(why.contains(reason), "{line}\n{why}");
    }
    desk.write("2026-07-19 cut alder bar 9 comb 45 kg into pail-1 anyway");
    assert!(desk.complaints()[0].contains("45 kg was said"));
}

#[test]
fn selling_more_than_is_on_the_shelf_is_refused() {
    let mut desk = Desk::with_two_hives();
    desk.write(
        "2026-07-01 start tank-1 5 kg honey
         2026-07-21 fill tank-1 12 jars of 340 g lot A26
         2026-07-22 consign 4 of A26 to p-5",
    );
    assert!(
        desk.refused("2026-07-23 sell 9 of A26 at stall for 50.00 GBP")
            .contains("9 of A26 were asked for, and 8 are on the shelf")
    );
    assert!(
        desk.refused("2026-07-23 sell 5 of A26 from p-5 for 30.00 GBP")
            .contains("4 are at p-5")
    );
    desk.write("2026-07-23 sell 3 of A26 from p-5 for 18.00 GBP\n2026-07-24 consign back 1 of A26 from p-5");
    let lot = desk.stock_of("A26");
    assert_eq!(
        (&lot["held_elsewhere"], &lot["on_hand"], &lot["sold"]),
        (&0.into(), &9.into(), &3.into())
    );
}

#[test]
fn more_cannot_come_out_of_a_tank_than_is_in_it() {
    let mut desk = Desk::with_two_hives();
    desk.write("2026-07-01 start tank-1 5 kg honey");
    assert!(
        desk.refused("2026-07-21 fill tank-1 24 jars of 340 g lot A26")
            .contains("tank-1 held 5.00 kg; 8.16 kg cannot come out of it")
    );
}

#[test]
fn of_a_file_nothing_is_written_when_one_line_is_bad_unless_told_otherwise() {
    let mut desk = Desk::new();
    let lines = [
        "2026-03-01 yard orchard",
        "2026-03-01 hive alder on orchard bars 27",
        "2026-03-01 flow begins",
    ];
    let outcome = desk
        .office
        .write(&lines, &app::Writing::default(), &mut desk.surroundings)
        .expect("memory");
    assert_eq!((outcome.written.len(), outcome.refused[0].line), (0, 2));
    assert_eq!(desk.office.library().books().entries().len(), 0);
    let keep = app::Writing {
        keep_good: true,
        ..app::Writing::default()
    };
    let outcome = desk
        .office
        .write(&lines, &keep, &mut desk.surroundings)
        .expect("memory");
    assert_eq!(outcome.written.len(), 2);
}

#[test]
fn bringing_the_same_file_in_twice_writes_once() {
    let mut desk = Desk::new();
    let lines = [
        "2026-03-01 yard orchard",
        "2026-03-01 flow begins",
        "2026-03-01 flow begins",
    ];
    let writing = app::Writing {
        undoubted: true,
        brought_in: true,
        ..app::Writing::default()
    };
    let first = desk
        .office
        .write(&lines, &writing, &mut desk.surroundings)
        .expect("memory");
    let second = desk
        .office
        .write(&lines, &writing, &mut desk.surroundings)
        .expect("memory");
    assert_eq!(
        (first.written.len(), second.written.len(), second.known),
        (3, 0, 3)
    );
}

#[test]
fn a_settled_difference_is_laid_to_rest() {
    let mut desk = Desk::new();
    desk.write("2026-07-01 start tank-1 5 kg honey\n2026-07-21 fill tank-1 12 jars of 340 g lot A26\n2026-08-15 tally A26 11");
    assert_eq!(desk.complaints(), ["A26: 11 counted, 12 by the books"]);
    desk.write("settle last because \"one was given away\"");
    assert_eq!(desk.complaints(), Vec::<String>::new());
    assert_eq!(desk.stock_of("A26")["on_hand"], 11);
}

#[test]
fn a_withdrawn_note_counts_for_nothing() {
    let mut desk = Desk::new();
    desk.write("2026-03-01 start cash 300.00 GBP\n2026-03-01 start cash 300.00 GBP\nwithdraw last because \"written twice\"");
    assert_eq!(app::wire::cash(desk.office.library().holding())["cash"], 300.0);
}

#[test]
fn what_an_older_or_newer_program_wrote_and_this_one_cannot_read_is_kept_and_shown() {
    let mut desk = Desk::new();
    desk.write("2026-03-01 flow begins");
    let farm = desk.office.farm();
    let mut heads = desk.office.library().books().heads().clone();
    let draft = ledger::Draft {
        day: jiff::civil::date(2026, 3, 2),
        hour: None,
        by: "".into(),
        origin: "typed".into(),
        grammar: 9,
        act: ledger::Act::Note,
        note: "2026-03-02 hum alder loudly".to_owned(),
    };
    let device = ledger::Device::new("phone").expect("a name");
    let entry = heads.seal(farm, &device, draft, ledger::Stamp::new([1; 16], [2; 16], 0));
    desk.office.take_in(&[entry]).expect("memory");
    assert!(
        desk.complaints()[0].contains("cannot be read"),
        "{:?}",
        desk.complaints()
    );
    assert!(
        desk.office
            .as_lines()
            .contains(&"2026-03-02 hum alder loudly".to_owned())
    );
}

#[test]
fn a_correction_is_doubted_at_the_hour_of_what_it_corrects() {
    let mut desk = Desk::with_two_hives();
    desk.write(
        "2026-04-01 start alder 9 bars drawn
         2026-07-19 14:20 cut alder bar 9 into pail-1
         2026-07-19 18:05 weigh pail-1 gross 7.2 kg tare 1.3 kg
         2026-07-19 09:00 look alder bar 1 drawn 4/8",
    );
    let outcome = desk.write("correct laptop/7: 2026-07-19 18:05 weigh pail-1 gross 7.3 kg tare 1.3 kg");
    assert!(
        outcome.written[0].remarks.is_empty(),
        "{:?}",
        outcome.written[0].remarks
    );
}

#[test]
fn amounts_beyond_all_reason_are_refused_and_never_stop_the_books() {
    let mut desk = Desk::new();
    for line in [
        "2026-03-02 start t 9000 t honey",
        "2026-03-02 fill t 4294967295 jars of 1 g lot Z",
        "2026-03-02 spend 1.00 GBP on 9000 t of shea",
        "2026-03-02 start cash 99999999999999.00 GBP",
    ] {
        desk.refused(line);
    }
    desk.write("2026-03-02 start t 9 t honey\n2026-03-02 start t 9 t honey");
    desk.refused("2026-03-02 fill t 1000000 jars of 9 t lot Z");
    desk.write("2026-03-02 fill t 1000 jars of 9 kg lot Y");
}

#[test]
fn what_is_made_takes_no_more_than_is_there_without_a_word() {
    let mut desk = Desk::new();
    desk.write(
        "2026-08-01 start wax-2 1 kg wax
         2026-08-01 spend 9.00 GBP on 0.5 kg of shea
         2026-08-01 spend 4.00 GBP on 1 l of sunflower
         2026-08-01 recipe balm wax 50 % shea 50 %
         2026-08-02 make balm batch mix-1 wax-2 0.3 kg shea 0.6 kg sunflower 0.1 kg",
    );
    let complaints = desk.complaints();
    assert!(
        complaints.iter().any(|says| says.contains("more than is left")),
        "{complaints:?}"
    );
    assert!(
        complaints.iter().any(|says| says.contains("another measure")),
        "{complaints:?}"
    );
}

#[test]
fn jars_filled_into_a_lot_from_before_the_books_count_as_filled() {
    let mut desk = Desk::new();
    desk.write(
        "2026-03-01 start 24 jars of 340 g lot A25
         2026-03-01 start tank-1 5 kg honey
         2026-03-02 fill tank-1 2 jars of 340 g lot A25",
    );
    let cost = apiary::money::answers::cost(desk.office.library().holding(), None);
    assert!((cost.honey_kg - 0.68).abs() < 1e-9, "{}", cost.honey_kg);
    assert_eq!(desk.stock_of("A25")["made"], 26);
}

#[test]
fn an_unknown_person_is_accepted_and_remarked_on() {
    let mut desk = Desk::new();
    desk.write("2026-07-01 start tank-1 5 kg honey\n2026-07-21 fill tank-1 12 jars of 340 g lot A26");
    let outcome = desk.write("2026-07-22 sell 2 of A26 to p-14 for 13.00 GBP");
    assert!(
        outcome.written[0]
            .remarks
            .iter()
            .any(|remark| remark.says.contains("p-14 is not in the address book"))
    );
    desk.office
        .enter_person(
            "p-14",
            &[("name".to_owned(), "an invented buyer".to_owned())].into(),
        )
        .expect("memory");
    let outcome = desk.write("2026-07-23 sell 2 of A26 to p-14 for 13.00 GBP");
    assert!(
        outcome.written[0].remarks.is_empty(),
        "{:?}",
        outcome.written[0].remarks
    );
}

#[test]
fn notes_given_out_and_brought_into_new_books_keep_their_handles() {
    let mut desk = Desk::new();
    desk.write("2026-03-01 start cash 300.00 GBP\n2026-03-02 spend 3.00 GBP on string");
    desk.office
        .hand_over(ledger::Device::new("phone").expect("a name"));
    desk.write("correct laptop/2: 2026-03-02 spend 4.00 GBP on string\n2026-03-03 spend 1.00 GBP on string\nwithdraw last");
    let lines = desk.office.as_lines();
    let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
    let bring = app::Writing {
        brought_in: true,
        undoubted: true,
        ..app::Writing::default()
    };
    let again = desk
        .office
        .write(&lines, &bring, &mut desk.surroundings)
        .expect("memory");
    assert_eq!((again.written.len(), again.known), (0, 5), "{again:?}");
    let mut other = Desk::new();
    for known in [0, 5] {
        let outcome = other
            .office
            .write(&lines, &bring, &mut other.surroundings)
            .expect("memory");
        assert!(outcome.refused.is_empty(), "{:?}", outcome.refused);
        assert_eq!(outcome.known, known);
    }
    assert_eq!(other.office.as_lines()[1..], lines[1..]);
}

#[test]
fn masses_said_and_a_net_that_differs_are_odd_and_the_net_is_shared_without_a_rest() {
    let mut desk = Desk::with_two_hives();
    desk.write(
        "2026-04-01 start alder 9 bars drawn
         2026-07-19 cut alder bar 1 part comb 3 kg into pail-1
         2026-07-19 cut alder bar 2 part comb 1 kg into pail-1
         2026-07-19 weigh pail-1 net 2 kg
         2026-07-20 strain pail-1 into tank-1 honey 1.5 kg residue 0.5 kg
         2026-07-20 fill tank-1 2 jars of 340 g lot A26",
    );
    assert_eq!(
        desk.complaints(),
        ["combs of 4 kg were said to be in it, and 2 kg is weighed"]
    );
    let lot = desk.lot("A26");
    let masses: Vec<f64> = lot["from"]
        .as_array()
        .expect("from")
        .iter()
        .filter_map(|row| row["comb_kg"].as_f64())
        .collect();
    assert_eq!(masses, [1.5, 0.5]);
}

#[test]
fn a_second_colony_needs_a_name_of_its_own() {
    let mut desk = Desk::with_two_hives();
    desk.write("2026-04-01 start alder 6 bars drawn\n2026-04-02 follower alder at 8");
    assert!(
        desk.refused("2026-04-03 install alder swarm at 8")
            .contains("a colony called alder already")
    );
    desk.write("2026-04-03 install alder swarm at 8 as hazel");
}

#[test]
fn an_act_that_makes_other_notes_odd_says_so_at_once() {
    let mut desk = Desk::with_two_hives();
    desk.write("2026-04-01 start alder 6 bars drawn");
    let outcome = desk.write("withdraw laptop/3");
    assert!(
        outcome.written[0]
            .remarks
            .iter()
            .any(|remark| remark.says.contains("no hive is called alder")),
        "{outcome:?}"
    );
}

#[test]
fn a_pail_weighed_after_straining_is_asked_for_its_day_and_hour() {
    let mut desk = Desk::with_two_hives();
    desk.write(
        "2026-04-01 start alder 9 bars drawn
         2026-07-19 cut alder bar 1 into pail-1
         2026-07-20 strain pail-1 into tank-1 honey 1.5 kg residue 0.3 kg
         2026-07-21 weigh pail-1 net 2 kg",
    );
    assert_eq!(
        desk.complaints(),
        ["pail-1 is weighed, but is empty by the books since 2026-07-20"]
    );
}
