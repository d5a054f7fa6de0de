//! Forms: shown before written, written once, the field to blame, what others wrote meanwhile.

use std::collections::BTreeSet;

use apiary::note::compose::{COMMON_KEYS, blanks};
use apiary::note::table;
use app::forms::{self, About, OWN_KEYS, Pressed, Sent};
use app::{Office, Writing};
use ledger::{Device, Handle};
use page::{Block, Field, Form, Input};
use store::SqliteStore;

use crate::fixture::Desk;

pub(crate) fn sent(pairs: &[(&str, &str)]) -> Sent {
    pairs
        .iter()
        .map(|(key, value)| ((*key).to_owned(), (*value).to_owned()))
        .collect()
}

fn verb(word: &str, form: usize) -> About {
    About::Verb {
        word: word.to_owned(),
        form,
    }
}

fn handle(text: &str) -> Handle {
    text.parse().expect("a handle")
}

/// What a browser would send of a form, with one button pressed.
fn as_sent(form: &Form, press: &str) -> Sent {
    let fields = form.fields.iter().filter(|field| field.input != Input::Heading);
    let filled = fields.filter(|field| field.input != Input::Tick || !field.value.is_empty());
    let mut sent: Sent = filled
        .map(|field| (field.name.clone(), field.value.clone()))
        .collect();
    sent.extend(form.hidden.iter().cloned());
    sent.insert("press".to_owned(), press.to_owned());
    sent
}

#[track_caller]
pub(crate) fn field<'a>(form: &'a Form, key: &str) -> &'a Field {
    let found = form.fields.iter().find(|field| field.name == key);
    found.unwrap_or_else(|| panic!("no field {key}"))
}

fn wrong(form: &Form) -> String {
    let whole = form.wrong.iter().map(ToString::to_string);
    let fields = form.fields.iter().filter_map(|field| {
        let wrong = field.wrong.as_ref()?;
        Some(format!("{}: {wrong}", field.name))
    });
    whole.chain(fields).collect::<Vec<_>>().join("\n")
}

/// A desk at which forms are filled in; each form opened gets the next id.
struct Browser {
    desk: Desk,
    opened: u32,
}

impl Browser {
    fn new() -> Self {
        let mut desk = Desk::with_two_hives();
        desk.write("2026-04-01 start alder 12 bars drawn");
        Self { desk, opened: 0 }
    }

    fn fresh(&mut self) -> String {
        self.opened += 1;
        format!("form-{}", self.opened)
    }

    #[track_caller]
    fn open(&mut self, about: &About, query: &[(&str, &str)]) -> Form {
        let fresh = self.fresh();
        let reader = self.desk.office.reader(None, jiff::civil::date(2026, 11, 25));
        forms::form(&reader, about, &sent(query), &fresh).expect("a form")
    }

    fn press(&mut self, about: &About, sent: &Sent) -> Pressed {
        let fresh = self.fresh();
        forms::press(
            &mut self.desk.office,
            about,
            sent,
            &fresh,
            &mut self.desk.surroundings,
        )
        .expect("memory never fails")
        .expect("there is such a form")
    }

    #[track_caller]
    fn shown(&mut self, about: &About, sent: &Sent) -> Form {
        match self.press(about, sent) {
            Pressed::Shown(form) => form,
            other => panic!("{other:#?}"),
        }
    }

    #[track_caller]
    fn refused(&mut self, about: &About, sent: &Sent) -> Form {
        match self.press(about, sent) {
            Pressed::Refused(form) => form,
            other => panic!("{other:#?}"),
        }
    }

    /// Opens a form, fills it in, looks at what it shows and writes it: what was written.
    #[track_caller]
    fn write(&mut self, about: &About, filled: &[(&str, &str)]) -> Vec<String> {
        let mut typed = as_sent(&self.open(about, &[]), "show");
        typed.extend(sent(filled));
        let shown = self.shown(about, &typed);
        match self.press(about, &as_sent(&shown, "write")) {
            Pressed::Written(written) => written.into_iter().map(|written| written.text).collect(),
            other => panic!("{other:#?}"),
        }
    }

    fn entries(&mut self) -> usize {
        self.desk.office.library().books().entries().len()
    }
}

const CUT: &[(&str, &str)] = &[
    ("day", "2026-07-19"),
    ("bars.hive", "alder"),
    ("bars.places", "9, 10"),
    ("comb", "4.60 kg"),
    ("into", "pail-12"),
];

const CEDAR: &[(&str, &str)] = &[
    ("day", "2026-07-19"),
    ("hive", "cedar"),
    ("yard", "orchard"),
    ("bars", "20"),
];

#[test]
fn a_note_is_shown_before_it_is_written() {
    let mut browser = Browser::new();
    let about = verb("cut", 1);
    let before = browser.entries();
    let mut typed = as_sent(&browser.open(&about, &[]), "write");
    typed.extend(sent(CUT));
    let form = browser.shown(&about, &typed);
    let shown = form.shown.clone().expect("the note");
    assert_eq!(
        shown.lines,
        ["2026-07-19 cut alder bars 9 and 10 comb 4.60 kg into pail-12"]
    );
    assert_eq!(browser.entries(), before, "nothing was written");
    assert_eq!(
        field(&form, "bars.places").value,
        "9, 10",
        "typed values are kept"
    );
    assert_eq!(form.buttons[0].press, "write");
    let Pressed::Written(written) = browser.press(&about, &as_sent(&form, "write")) else {
        panic!("it was shown, so it is written");
    };
    assert_eq!(written[0].text, shown.lines[0]);
    assert_eq!(browser.entries(), before + 1);
}

#[test]
fn a_form_sent_twice_writes_once() {
    let mut browser = Browser::new();
    let about = verb("hive", 0);
    let mut typed = as_sent(&browser.open(&about, &[]), "show");
    typed.extend(sent(CEDAR));
    let again = as_sent(&browser.shown(&about, &typed), "write");
    assert!(matches!(browser.press(&about, &again), Pressed::Written(_)));
    let entries = browser.entries();
    // The name is taken now, so a second note of it would be refused were it a new one.
    let Pressed::Before(before) = browser.press(&about, &again) else {
        panic!("it was written before");
    };
    assert_eq!(before[0].1, "2026-07-19 hive cedar in orchard bars 20");
    assert_eq!(browser.entries(), entries);
}

#[test]
fn several_lines_sent_twice_are_written_once_even_if_one_is_added() {
    let mut browser = Browser::new();
    let about = About::Line;
    let mut typed = as_sent(&browser.open(&about, &[]), "show");
    typed.insert(
        "line".to_owned(),
        "2026-07-19 hours 2h harvest\r\n\r\nday 2026-07-20\r\nhours 1h30 straining\r\n".to_owned(),
    );
    let shown = browser.shown(&about, &typed);
    assert_eq!(
        shown.shown.as_ref().expect("notes").lines,
        ["2026-07-19 hours 2h harvest", "2026-07-20 hours 1h30 straining"]
    );
    let again = as_sent(&shown, "write");
    assert!(matches!(browser.press(&about, &again), Pressed::Written(written) if written.len() == 2));
    let entries = browser.entries();
    assert!(matches!(browser.press(&about, &again), Pressed::Before(before) if before.len() == 2));
    let mut more = again.clone();
    more.insert(
        "line".to_owned(),
        format!("{}2026-07-21 hours 3h filling", again["line"]),
    );
    let form = browser.refused(&about, &more);
    assert!(
        wrong(&form).contains("This form was sent before"),
        "{}",
        wrong(&form)
    );
    assert_eq!(browser.entries(), entries);
}

#[test]
fn a_form_edited_after_going_back_is_not_written_unseen() {
    let mut browser = Browser::new();
    let about = verb("hours", 0);
    let mut typed = as_sent(&browser.open(&about, &[]), "show");
    typed.extend(sent(&[
        ("day", "2026-07-19"),
        ("time", "2h"),
        ("task", "harvest"),
    ]));
    let mut back = as_sent(&browser.shown(&about, &typed), "write");
    let written = back.clone();
    let entries = browser.entries();

    // Edited after it was shown, and written without another look.
    back.insert("time".to_owned(), "3h".to_owned());
    let form = browser.shown(&about, &back);
    let shown = form.shown.as_ref().expect("the note");
    assert_eq!(shown.lines, ["2026-07-19 hours 3h harvest"]);
    assert!(shown.remarks[0].to_string().contains("not what was shown"));
    assert_eq!(browser.entries(), entries);

    // Edited after it was written: told, and written as another note only when pressed again.
    assert!(matches!(browser.press(&about, &written), Pressed::Written(_)));
    let form = browser.refused(&about, &as_sent(&form, "write"));
    assert!(wrong(&form).contains("then it was written: laptop/6 2026-07-19 hours 2h harvest"));
    assert_eq!(browser.entries(), entries + 1);
    assert!(matches!(
        browser.press(&about, &as_sent(&form, "write")),
        Pressed::Written(_)
    ));
    assert_eq!(browser.entries(), entries + 2);
}

#[test]
fn the_field_to_blame_is_marked_and_what_was_typed_is_kept() {
    let mut browser = Browser::new();
    let about = verb("cut", 1);
    for (key, value, says) in [
        ("day", "", "this is needed"),
        ("day", "19 July", "no day of the calendar"),
        ("day", "correct laptop/1: 2026-07-19", "more is said here"),
        ("hour", "25:00", "no hour of the day"),
        ("bars.hive", "", "this is needed"),
        ("bars.hive", "<script>", "does not fit here"),
        ("bars.hive", "adler", "did you mean alder?"),
        ("bars.places", "28", "places 1 to 27, and no bar 28"),
        ("bars.places", "9 # rest", "more is said here"),
        ("comb", "4.6", "here fits: a mass, such as 4.6 kg"),
        ("comb", "4,6 kg", "did you mean 4.6?"),
        ("into", "", "this is needed"),
        ("into", "pail-12 part", "more is said here"),
        ("into", "<b>pail</b>", "does not fit here"),
    ] {
        let mut typed = as_sent(&browser.open(&about, &[]), "write");
        typed.extend(sent(CUT));
        typed.insert(key.to_owned(), value.to_owned());
        let form = browser.refused(&about, &typed);
        let marked = field(&form, key).wrong.clone().unwrap_or_default();
        assert!(marked.contains(says), "{key} {value}\n{}", wrong(&form));
        assert_eq!(
            form.fields.iter().filter(|field| field.wrong.is_some()).count(),
            1
        );
        for (key, value) in typed.iter().filter(|(key, _)| key.as_str() != "press") {
            let field = form.fields.iter().find(|field| field.name == *key);
            assert!(field.is_none_or(|field| field.value == *value), "{key}");
        }
        assert!(form.shown.is_none() && form.buttons[0].press == "show");
    }
}

#[test]
fn all_that_is_missing_is_told_at_once() {
    let mut browser = Browser::new();
    let about = verb("weigh", 0);
    let typed = as_sent(&browser.open(&about, &[]), "show");
    let form = browser.refused(&about, &typed);
    let marked: Vec<&str> = form
        .fields
        .iter()
        .filter(|field| field.wrong.is_some())
        .map(|field| field.name.as_str())
        .collect();
    assert_eq!(marked, ["container", "gross", "tare"]);
}

#[test]
fn one_may_insist_on_what_is_impossible() {
    let mut browser = Browser::new();
    let about = verb("cut", 1);
    let mut typed = as_sent(&browser.open(&about, &[]), "show");
    assert!(!typed.contains_key("anyway"));
    typed.extend(sent(CUT));
    typed.insert("comb".to_owned(), "95 kg".to_owned());
    let form = browser.refused(&about, &typed);
    assert_eq!(field(&form, "anyway").input, Input::Tick);
    let mut insists = as_sent(&form, "show");
    insists.insert("anyway".to_owned(), "yes".to_owned());
    let form = browser.shown(&about, &insists);
    assert!(form.shown.as_ref().expect("the note").lines[0].ends_with("anyway"));
    assert!(matches!(
        browser.press(&about, &as_sent(&form, "write")),
        Pressed::Written(_)
    ));
}

#[test]
fn what_others_wrote_in_the_meantime_is_told() {
    let mut browser = Browser::new();
    let about = verb("hive", 0);
    let mut typed = as_sent(&browser.open(&about, &[]), "show");
    typed.extend(sent(CEDAR));
    let shown = browser.shown(&about, &typed);
    browser.desk.write("2026-07-18 hive cedar in orchard bars 12");
    let form = browser.refused(&about, &as_sent(&shown, "write"));
    assert!(
        field(&form, "hive")
            .wrong
            .as_ref()
            .expect("wrong")
            .contains("called cedar already")
    );
    let told = wrong(&form);
    assert!(
        told.contains("this was written: laptop/6 2026-07-18 hive cedar in orchard bars 12."),
        "{told}"
    );
    for n in 0..7 {
        browser
            .desk
            .write(&format!("2026-07-20 hours {}h harvest", n + 1));
    }
    let told = wrong(&browser.refused(&about, &as_sent(&form, "show")));
    assert!(
        told.contains("laptop/11") && !told.contains("laptop/12 "),
        "{told}"
    );
    assert!(told.contains("And 2 more."), "{told}");
}

#[test]
fn what_another_program_wrote_is_told_too() {
    let place = tempfile::tempdir().expect("a place");
    let file = place.path().join("farm.comb");
    let mut desk = Desk::new();
    let open = |device: &str, desk: &mut Desk| {
        let store = SqliteStore::open_or_create(&file).expect("a file");
        let device = Device::new(device).expect("a name");
        Office::open(Box::new(store), Some(device), &mut desk.surroundings).expect("books")
    };
    let write = |office: &mut Office, line: &str, desk: &mut Desk| {
        let outcome = office.write(&[line], &Writing::default(), &mut desk.surroundings);
        assert!(outcome.expect("written").refused.is_empty());
    };
    let mut here = open("laptop", &mut desk);
    write(&mut here, "2026-03-01 yard orchard at 52.1 -2.4", &mut desk);
    let mut there = open("phone", &mut desk);
    let about = verb("hive", 0);
    let today = jiff::civil::date(2026, 11, 25);
    let form = forms::form(&here.reader(None, today), &about, &Sent::new(), "form-1").expect("a form");
    let mut typed = as_sent(&form, "show");
    typed.extend(sent(CEDAR));
    write(&mut there, "2026-07-18 hive cedar in orchard bars 12", &mut desk);
    let pressed = forms::press(&mut here, &about, &typed, "form-2", &mut desk.surroundings);
    let Some(Pressed::Refused(form)) = pressed.expect("read") else {
        panic!("the name is taken");
    };
    assert!(
        wrong(&form).contains("phone/1 2026-07-18 hive cedar"),
        "{}",
        wrong(&form)
    );
}

#[test]
fn names_that_look_like_markup_cannot_be_names_and_texts_stay_texts() {
    let mut browser = Browser::new();
    let hive = verb("hive", 0);
    for name in ["<b>x</b>", "a\"b", "a b", "=1+1", "&lt;", "alder#", "new\nline"] {
        let mut typed = as_sent(&browser.open(&hive, &[]), "write");
        typed.extend(sent(&[
            ("day", "2026-05-01"),
            ("hive", name),
            ("yard", "orchard"),
            ("bars", "20"),
        ]));
        let form = browser.refused(&hive, &typed);
        assert_eq!(field(&form, "hive").value, name);
        assert!(field(&form, "hive").wrong.is_some(), "{name}\n{}", wrong(&form));
    }
    let bait = verb("bait", 0);
    for text in [
        "<script>alert(1)</script>",
        "a # b",
        "x\" set # \"",
        "taken",
        "=HYPERLINK(1)",
    ] {
        let written = browser.write(&bait, &[("day", "2026-05-01"), ("where", text), ("what", "set")]);
        let note = apiary::note::read(&written[0]).expect("a note");
        assert_eq!(
            note.fact.text("where"),
            Some(text.replace('"', "\u{201d}").as_str())
        );
        assert_eq!((note.fact.choice("what"), note.remark), (Some("set"), None));
    }
}

#[test]
fn a_line_that_cannot_be_read_is_underlined() {
    let mut browser = Browser::new();
    let about = About::Line;
    let refuse = |browser: &mut Browser, line: &str| {
        let mut typed = as_sent(&browser.open(&about, &[]), "write");
        typed.insert("line".to_owned(), line.to_owned());
        let form = browser.refused(&about, &typed);
        assert_eq!(field(&form, "line").value, line);
        wrong(&form)
    };
    let told = refuse(&mut browser, "2026-07-19 cut alder bar 9 into 4.6");
    assert!(
        told.contains("In the line: 2026-07-19 cut alder bar 9 into 4.6"),
        "{told}"
    );
    assert!(told.contains("Here fits:"), "{told}");
    let told = refuse(
        &mut browser,
        "2026-07-19 hours 2h harvest\n\n<b>bold</b>\nhours 1h x",
    );
    assert!(told.contains("Line 3: ") && told.contains("Line 4: "), "{told}");
    assert!(!told.contains("Line 1: "), "{told}");
    assert!(told.contains("a note begins with its day") || told.contains("A note begins with its day"));
    let told = refuse(&mut browser, "2026-07-19 cut alder bar 28 into pail-1");
    assert!(told.contains("put anyway at its end"), "{told}");
    assert!(refuse(&mut browser, " \n ").contains("a note is needed"));
    assert!(refuse(&mut browser, "day 2026-07-19").contains("no note here"));
    assert!(refuse(&mut browser, "hours 2h harvest").contains("begins with its day"));
}

#[test]
fn a_note_is_corrected_from_what_stands() {
    let mut browser = Browser::new();
    browser
        .desk
        .write("2026-07-19 weigh pail-12 gross 7.2 kg tare 1.3 kg # hot day");
    let about = About::Correct(handle("laptop/6"));
    let form = browser.open(&about, &[]);
    assert_eq!(field(&form, "gross").value, "7.2 kg");
    assert_eq!(field(&form, "remark").value, "hot day");
    let written = browser.write(&about, &[("gross", "7.3 kg")]);
    assert_eq!(
        written,
        ["correct laptop/6: 2026-07-19 weigh pail-12 gross 7.3 kg tare 1.3 kg # hot day"]
    );
    // What stands now is filled in, and a line may take the place of all of it.
    assert_eq!(field(&browser.open(&about, &[]), "gross").value, "7.3 kg");
    let written = browser.write(&about, &[("line", "2026-07-19 weigh pail-12 net 5.9 kg")]);
    assert_eq!(written, ["correct laptop/6: 2026-07-19 weigh pail-12 net 5.9 kg"]);
    let form = browser.open(&about, &[]);
    assert_eq!(field(&form, "net").value, "5.9 kg");
    let mut typed = as_sent(&form, "show");
    typed.insert("net".to_owned(), "5.9".to_owned());
    assert!(field(&browser.refused(&about, &typed), "net").wrong.is_some());
    assert_eq!(browser.desk.complaints(), Vec::<String>::new());
}

#[test]
fn a_note_is_withdrawn_with_a_reason() {
    let mut browser = Browser::new();
    browser.desk.write("2026-07-19 hours 2h harvest");
    let about = About::Withdraw(handle("laptop/6"));
    let mut typed = as_sent(&browser.open(&about, &[]), "show");
    typed.insert("because".to_owned(), "a # b".to_owned());
    assert!(field(&browser.refused(&about, &typed), "because").wrong.is_some());
    let written = browser.write(&about, &[("because", "written twice: by \"both\"")]);
    assert_eq!(
        written,
        ["withdraw laptop/6 because \"written twice: by \u{201d}both\u{201d}\""]
    );
    let mut reader = browser.desk.office.reader(None, jiff::civil::date(2026, 11, 25));
    assert!(
        reader
            .standing()
            .all(|place| reader.entry(place).handle() != handle("laptop/6"))
    );
    reader.on = None;
    assert!(
        forms::form(&reader, &About::Withdraw(handle("laptop/99")), &Sent::new(), "f").is_none(),
        "there is no such note"
    );
}

#[test]
fn rivals_are_settled_by_a_note_or_a_reason() {
    let mut browser = Browser::new();
    browser
        .desk
        .write("2026-07-19 weigh pail-12 net 5.9 kg\n2026-07-20 weigh pail-12 net 5.7 kg");
    let of = vec![handle("laptop/6"), handle("laptop/7")];
    assert_eq!(forms::handles("laptop/6,laptop/7, nothing"), of);
    let about = About::Settle(of);
    let form = browser.open(&about, &[]);
    assert!(
        form.hidden
            .contains(&("of".to_owned(), "laptop/6,laptop/7".to_owned()))
    );
    let mut typed = as_sent(&form, "show");
    assert!(wrong(&browser.refused(&about, &typed)).contains("a reason, is needed"));
    typed.extend(sent(&[
        ("line", "2026-07-19 weigh pail-12 net 5.8 kg"),
        ("because", "one scale"),
    ]));
    assert!(wrong(&browser.refused(&about, &typed)).contains("not both"));
    let written = browser.write(&about, &[("because", "two scales")]);
    assert_eq!(written, ["settle laptop/6, laptop/7 because \"two scales\""]);
    let written = browser.write(&about, &[("line", "2026-07-19 weigh pail-12 net 5.80 kg")]);
    assert_eq!(
        written,
        ["settle laptop/6, laptop/7: 2026-07-19 weigh pail-12 net 5.80 kg"]
    );
}

#[test]
fn a_form_offers_what_is_known_and_is_prefilled_from_its_address() {
    let mut browser = Browser::new();
    browser.desk.write("2026-07-01 start tank-3 5 kg honey");
    let person = [("name".to_owned(), "Ann Example".to_owned())].into();
    browser.desk.office.enter_person("p-1", &person).expect("memory");
    let form = browser.open(&verb("cut", 1), &[("bars.hive", "birch"), ("day", "2026-07-19")]);
    assert_eq!(field(&form, "bars.hive").value, "birch");
    assert_eq!(field(&form, "day").value, "2026-07-19");
    let offered = |form: &Form, key: &str| match &field(form, key).input {
        Input::Line { offered } => offered.join(" "),
        other => panic!("{other:?}"),
    };
    assert!(offered(&form, "bars.hive").contains("alder birch"));
    assert!(offered(&form, "into").contains("tank-3"));
    assert_eq!(
        field(&browser.open(&verb("cut", 1), &[]), "day").value,
        "2026-11-25"
    );
    let keys: Vec<&str> = form.fields.iter().map(|field| field.name.as_str()).collect();
    assert_eq!(
        keys,
        [
            "day",
            "hour",
            "bars.hive",
            "bars.places",
            "into",
            "",
            "half",
            "part",
            "comb",
            "remark"
        ]
    );
    let form = browser.open(&verb("sell", 4), &[]);
    assert_eq!(offered(&form, "person"), "p-1");
    assert!(field(&form, "person").hint.contains("p-1 Ann Example"));
    let form = browser.open(&verb("install", 0), &[]);
    assert!(matches!(&field(&form, "origin").input, Input::Choice(choices) if choices[0].value == "swarm"));
    let form = browser.open(&verb("look", 0), &[]);
    assert!(matches!(&field(&form, "face").input, Input::Choice(choices) if choices[0].text == "not said"));
    let form = browser.open(&verb("recipe", 0), &[("ingredient.3", "wax")]);
    assert!(form.fields.iter().any(|field| field.name == "share.4"));
}

#[test]
fn a_recipe_is_filled_in_round_by_round() {
    let mut browser = Browser::new();
    let written = browser.write(
        &verb("recipe", 0),
        &[
            ("day", "2026-08-01"),
            ("recipe", "balm"),
            ("ingredient.1", "wax"),
            ("share.1", "25 %"),
            ("ingredient.3", "shea"),
            ("share.3", "75 %"),
        ],
    );
    assert_eq!(written, ["2026-08-01 recipe balm wax 25 % shea 75 %"]);
}

#[test]
fn a_preview_writes_nothing_and_tells_by_key() {
    let mut browser = Browser::new();
    let entries = browser.entries();
    let about = verb("cut", 1);
    let mut typed = sent(CUT);
    typed.insert("once".to_owned(), "x".to_owned());
    let mut preview = |typed: &Sent| {
        let desk = &mut browser.desk;
        forms::preview(&mut desk.office, &about, typed, &mut desk.surroundings).expect("memory")
    };
    assert_eq!(
        preview(&typed).lines,
        ["2026-07-19 cut alder bars 9 and 10 comb 4.60 kg into pail-12"]
    );
    typed.insert("comb".to_owned(), "4.6".to_owned());
    assert_eq!(preview(&typed).wrong.keys().collect::<Vec<_>>(), ["comb"]);
    assert_eq!(browser.entries(), entries);
}

#[test]
fn every_verb_has_a_page_with_its_form_in_every_way_of_saying_it() {
    let mut browser = Browser::new();
    let mut listed = BTreeSet::new();
    for entry in table().entries() {
        let word = entry.verb.word;
        assert_eq!(forms::ways(word).len(), entry.shapes.len());
        for (form, shape) in entry.shapes.iter().enumerate() {
            let about = verb(word, form);
            let opened = browser.open(&about, &[]);
            let reader = browser.desk.office.reader(None, jiff::civil::date(2026, 11, 25));
            let page = forms::page(&reader, &about, opened);
            assert_eq!(page.title, format!("Write: {word}"));
            assert!(page.blocks.iter().any(|block| matches!(block, Block::Form(_))));
            let keys: BTreeSet<String> = blanks(shape, 3).into_iter().map(|blank| blank.key).collect();
            let own = OWN_KEYS.iter().chain(&COMMON_KEYS);
            assert!(
                own.clone().all(|key| !keys.contains(*key)),
                "{word} has a key of every form"
            );
        }
        listed.insert(word);
        let usual = About::verb(word, None).expect("a verb");
        assert!(About::verb(word, Some(99)).is_none());
        assert!(usual.address().starts_with(&format!("/write/{word}?form=")));
    }
    let index = format!("{:?}", forms::index());
    assert!(
        listed
            .iter()
            .all(|word| index.contains(&format!("/write/{word}\"")))
    );
    assert_eq!(About::verb("cut", None), Some(verb("cut", 1)));
}
