//! The page of the field in a real browser on a phone-sized screen, with the way to the desk cut, broken and slow.

use jiff::civil::{DateTime, date};

use crate::checks;
use crate::phone::{Phone, Way, Wire};
use crate::served::Served;

/// Three hives of which two were looked at in April.
const BOOKS: &str = "\
2026-03-01 farm Linnowdale keeper p-1 market uk
2026-03-01 yard garth at 54.2 -2.6
2026-03-01 pattern sloping slope top 44.5 cm floor 19 cm depth 28 cm length 95.5 cm bar 35 mm
2026-03-01 hive alder in garth pattern sloping bars 24
2026-03-01 hive birch in garth pattern sloping bars 6
2026-03-01 hive curlew in garth pattern sloping bars 5
2026-04-01 install alder colony
2026-04-01 install birch swarm
2026-04-01 install curlew swarm
2026-04-12 look alder bars 1 and 2 drawn 8/8 capped 2/8 honey 4/8 pollen 2/8 bees 5/8
2026-04-12 look alder bars 3 to 9 drawn 8/8 sealed 4/8 open 2/8 pollen 1/8 bees 8/8
2026-04-12 look alder bars 10 to 14 drawn 8/8 honey 4/8 bees 4/8
2026-04-12 look alder bar 15 drawn 3/8 bees 2/8
2026-04-12 look birch bars 1 to 3 drawn 6/8 sealed 3/8
2026-04-12 look curlew bars 1 and 2 drawn 5/8 sealed 2/8";

fn now() -> DateTime {
    date(2026, 5, 24).at(10, 0, 0, 0)
}

fn desk() -> (Wire, Served) {
    let wire = Wire::laid();
    let served = Served::behind(wire.port, BOOKS, now());
    wire.leads_to(served.port);
    (wire, served)
}

/// The notes that came from the field, in the order in which they were written, without their days and hours.
fn notes(served: &Served) -> Vec<String> {
    let from_field = served
        .entries()
        .into_iter()
        .filter(|(_, origin)| origin.starts_with("field "));
    from_field
        .map(|(line, _)| line.split(' ').skip(2).collect::<Vec<_>>().join(" "))
        .collect()
}

fn as_before(phone: &mut Phone, times: usize) {
    for _ in 0..times {
        phone.taps("main");
    }
}

#[test]
fn a_hive_of_24_bars_takes_at_most_45_taps() {
    let (wire, served) = desk();
    let mut phone = Phone::new();
    phone.opens_and_keeps(&wire.address("/field"));
    phone.picture("hives");
    phone.taps("hive alder");
    phone.picture("colony");
    phone.taps("begin");
    phone.picture("bar");
    as_before(&mut phone, 2);
    phone.sets("sealed", "5");
    phone.taps("main");
    as_before(&mut phone, 2);
    // Two sealed queen cells.
    phone.sets("cells sealed", "2");
    phone.picture("bar-cells");
    phone.taps("main");
    as_before(&mut phone, 3);
    phone.sets("capped", "3");
    phone.sets("honey", "6");
    phone.taps("main");
    phone.sets("honey", "5");
    phone.taps("main");
    as_before(&mut phone, 3);
    // Drawn on since, and newly drawn.
    phone.sets("drawn", "6");
    phone.taps("main");
    phone.sets("drawn", "2");
    phone.sets("bees", "2");
    phone.taps("main");
    as_before(&mut phone, 8);
    let said = phone.says();
    assert!(said.contains("Every bar was seen."), "{said}");
    phone.picture("end");
    phone.taps("keep look");
    phone.sends_all();
    assert!(phone.taps <= 45, "it took {} taps", phone.taps);
    println!("a hive of 24 bars took {} taps", phone.taps);
    assert_eq!(
        notes(&served),
        [
            "look alder bars 1 to 2 as before",
            "look alder bar 3 drawn 8/8 sealed 5/8 open 2/8 pollen 1/8 bees 8/8",
            "look alder bars 4 to 5 as before",
            "look alder bar 6 drawn 8/8 sealed 4/8 open 2/8 pollen 1/8 bees 8/8 cells sealed 2",
            "look alder bars 7 to 9 as before",
            "look alder bar 10 drawn 8/8 capped 3/8 honey 6/8 bees 4/8",
            "look alder bar 11 drawn 8/8 honey 5/8 bees 4/8",
            "look alder bars 12 to 14 as before",
            "look alder bar 15 drawn 6/8 bees 2/8",
            "look alder bar 16 drawn 2/8 bees 2/8",
            "look alder bars 17 to 24 as before",
        ]
    );
}

#[test]
fn the_page_is_well_on_every_screen() {
    let (wire, _served) = desk();
    let mut phone = Phone::new();
    phone.opens_and_keeps(&wire.address("/field"));
    for (width, height) in [(360, 740), (320, 568)] {
        phone.measures(width, height);
        let mut wrong = Vec::new();
        let mut look = |phone: &Phone, screen: &str| {
            phone.picture(&format!("{screen}-{width}"));
            let told = checks::of_screen(&phone.browser);
            wrong.extend(
                told.into_iter()
                    .map(|told| format!("{screen} at {width}: {told}")),
            );
        };
        look(&phone, "hives");
        phone.taps("words");
        look(&phone, "words");
        phone.taps("back");
        phone.taps("waiting");
        look(&phone, "waiting");
        phone.taps("back");
        phone.taps("set");
        look(&phone, "set");
        phone.taps("back");
        phone.taps("hive birch");
        look(&phone, "colony");
        phone.taps("begin");
        look(&phone, "bar");
        phone.sets("sealed", "7");
        phone.taps("column fault");
        look(&phone, "bar-odd");
        phone.taps("end");
        look(&phone, "end");
        phone.taps("undo");
        phone.taps("undo");
        phone.taps("undo");
        phone.taps("leave");
        assert_eq!(wrong, Vec::<String>::new());
    }
}

/// Birch and curlew gone through, and alder stopped at its fourth bar.
fn three_hives(phone: &mut Phone) {
    phone.taps("hive birch");
    phone.sets("queen", "seen");
    phone.sets("temper", "calm");
    phone.taps("begin");
    as_before(phone, 3);
    phone.sets("drawn", "1");
    phone.taps("main");
    as_before(phone, 2);
    phone.taps("keep look");
    phone.taps("hive curlew");
    phone.taps("begin");
    as_before(phone, 2);
    phone.sets("drawn", "3");
    phone.taps("main");
    as_before(phone, 2);
    phone.taps("keep look");
    phone.taps("hive alder");
    phone.taps("begin");
    as_before(phone, 2);
    phone.sets("open", "3");
    phone.taps("main");
}

const THREE_HIVES: &[&str] = &[
    "look birch queen seen temper calm",
    "look birch bars 1 to 3 as before",
    "look birch bar 4 drawn 1/8",
    "look birch bars 5 to 6 as before",
    "look curlew bars 1 to 2 as before",
    "look curlew bar 3 drawn 3/8",
    "look curlew bars 4 to 5 as before",
    "look alder bars 1 to 2 as before",
    "look alder bar 3 drawn 8/8 sealed 4/8 open 3/8 pollen 1/8 bees 8/8",
    "look alder bar 4 as before",
    "look alder stopped 4",
];

#[test]
fn what_is_recorded_without_a_signal_arrives_once_and_in_order() {
    let (wire, served) = desk();
    let mut phone = Phone::new();
    phone.opens_and_keeps(&wire.address("/field"));
    let before = served.entries().len();
    wire.is(Way::Cut);
    three_hives(&mut phone);
    // The battery is empty in the middle of alder.
    phone.waits_until_kept("alder", 3);
    let profile = phone.browser.dies();
    let mut phone = Phone::with(profile);
    phone.browser.visit(&wire.address("/field"));
    phone.waits_until(
        "alder is open again",
        "return document.body.innerText.includes('alder 4')",
    );
    phone.taps("main");
    phone.browser.visit(&wire.address("/field"));
    phone.waits_until(
        "alder goes on",
        "return document.body.innerText.includes('alder 5')",
    );
    phone.taps("end");
    phone.taps("keep look");
    phone.waits_until(
        "all waits",
        "return document.body.innerText.includes('11 to send')",
    );
    phone.picture("without-signal");
    assert_eq!(served.entries().len(), before, "nothing has come home yet");
    wire.is(Way::Open);
    phone.taps("waiting");
    phone.taps("send");
    phone.taps("back");
    phone.sends_all();
    assert_eq!(notes(&served), THREE_HIVES);
    assert_eq!(served.entries().len(), before + THREE_HIVES.len());
    phone.taps("waiting");
    phone.picture("sent");
}

#[test]
fn a_desk_that_fails_falls_silent_or_answers_twice_gets_every_note_once() {
    let (wire, served) = desk();
    let mut phone = Phone::new();
    phone.opens_and_keeps(&wire.address("/field"));
    for (way, hive) in [
        (Way::Fault, "birch"),
        (Way::Lost, "curlew"),
        (Way::Twice, "alder"),
    ] {
        wire.is(way);
        let batches = wire.batches();
        phone.taps(&format!("hive {hive}"));
        phone.taps("begin");
        phone.taps("main");
        phone.taps("end");
        phone.taps("keep look");
        if way != Way::Twice {
            phone.waits_until(
                "it is told that it was not sent",
                "return document.body.innerText.includes('Not sent yet')",
            );
            assert!(phone.says().contains("2 to send"), "{}", phone.says());
            assert!(wire.batches() > batches);
            wire.is(Way::Open);
        }
        // It tries again by itself.
        phone.sends_all();
        let told: Vec<String> = phone
            .drafts()
            .iter()
            .map(|draft| draft["became"].to_string())
            .collect();
        let became = if way == Way::Fault {
            "\"written\""
        } else {
            "\"there\""
        };
        assert_eq!(told[told.len() - 2..], [became, became], "{way:?}");
    }
    assert_eq!(
        notes(&served),
        [
            "look birch bar 1 as before",
            "look birch stopped 1",
            "look curlew bar 1 as before",
            "look curlew stopped 1",
            "look alder bar 1 as before",
            "look alder stopped 1",
        ]
    );
}

#[test]
fn typed_words_a_photograph_and_a_spoken_remark_come_home() {
    let (wire, served) = desk();
    let mut phone = Phone::new();
    phone.opens_and_keeps(&wire.address("/field"));
    wire.is(Way::Cut);
    phone.taps("hive alder");
    phone.taps("begin");
    let folder = tempfile::TempDir::new().expect("a folder");
    let picture = folder.path().join("comb.png");
    std::fs::write(&picture, phone.browser.picture()).expect("a picture");
    let size = std::fs::metadata(&picture).expect("a picture").len();
    let input = phone.browser.find("#photo").expect("a picture can be taken");
    input.types(&picture.display().to_string());
    phone.waits_until(
        "it is kept",
        "return document.getElementById('told').textContent === 'The picture is kept.'",
    );
    phone.browser.run(
        "const b = document.querySelector('[data-key=speak]');
         b.dispatchEvent(new PointerEvent('pointerdown', { bubbles: true, cancelable: true }));",
        &[],
    );
    phone.waits_until(
        "it listens",
        "return document.querySelector('.speaking') !== null",
    );
    std::thread::sleep(std::time::Duration::from_millis(400));
    phone.browser.run(
        "document.dispatchEvent(new PointerEvent('pointerup', { bubbles: true }));",
        &[],
    );
    phone.waits_until(
        "it is kept",
        "return document.getElementById('told').textContent === 'The remark is kept.'",
    );
    phone.taps("end");
    phone.taps("leave");
    phone.taps("words");
    phone
        .browser
        .find("#words")
        .expect("a box")
        .types("feed birch syrup 1 kg\nat curlew\nlook bar 31 drawn 8/8\nthe \"red\" hive hums # or so");
    phone.taps("keep words");
    wire.is(Way::Open);
    phone.taps("waiting");
    phone.taps("send");
    phone.taps("back");
    phone.sends_all();
    let notes = notes(&served);
    let digest = |note: &str| note.rsplit('"').nth(1).unwrap_or_default().to_owned();
    let kept = served.attachments();
    assert!(notes[0].starts_with("attach photo \"alder-bar-1-"), "{notes:?}");
    assert_eq!(kept.get(&digest(&notes[0])), Some(&size), "{notes:?}");
    assert!(notes[1].starts_with("attach voice \"alder-bar-1-"), "{notes:?}");
    assert!(
        kept.get(&digest(&notes[1])).is_some_and(|size| *size > 0),
        "{notes:?}"
    );
    assert_eq!(kept.len(), 2);
    assert_eq!(
        notes[2..],
        [
            "feed birch syrup 1 kg",
            "look curlew bar 31 drawn 8/8 anyway",
            "jot curlew \"the 'red' hive hums # or so\"",
        ]
    );
    phone.taps("waiting");
    let says = phone.says();
    assert!(says.contains("kept as a jotting"), "{says}");
    assert!(says.contains("bar 31"), "{says}");
}
