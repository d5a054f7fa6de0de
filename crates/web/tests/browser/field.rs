//! The page of the field in a real browser on a phone-sized screen, with the way to the desk cut, broken and slow.

use jiff::civil::{DateTime, date};
use serde_json::{Value, json};

use crate::checks;
use crate::http;
use crate::phone::{Phone, Way, Wire};
use crate::served::Served;

/// Three hives of which two were looked at in April.
pub(crate) const BOOKS: &str = "\
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
pub(crate) fn notes(served: &Served) -> Vec<String> {
    let from_field = served
        .entries()
        .into_iter()
        .filter(|(_, origin)| origin.starts_with("field "));
    from_field
        .map(|(line, _)| line.split(' ').skip(2).collect::<Vec<_>>().join(" "))
        .collect()
}

/// So many bars are as before. Each is seen and takes a tap of its own: none is passed over.
fn as_before(phone: &mut Phone, times: usize) {
    let stands_at = |phone: &Phone| {
        let said = phone.stands_at();
        said.split(' ').nth(1).and_then(|place| place.parse::<u32>().ok())
    };
    for _ in 0..times {
        let before = stands_at(phone);
        phone.taps("main");
        let after = stands_at(phone);
        assert!(
            after.is_none() || after == before.map(|place| place + 1),
            "from {before:?} to {after:?}"
        );
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
    // 24 bars, each with a tap of its own; 8 values and 5 columns that did not come up by themselves; 3 taps to open
    // the hive, to begin and to keep. At most 45 are allowed.
    assert_eq!(phone.taps, 24 + 8 + 5 + 3);
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
            "look alder bars 17 to 24 drawn 0/8",
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
    phone.taps("hive birch");
    phone.taps("begin");
    let lies_right = |phone: &Phone| phone.place_of("main").0 > 160.0;
    assert!(lies_right(&phone), "the right thumb finds it at the right");
    phone.browser.prefers("dark");
    assert_eq!(
        checks::of_screen(&phone.browser),
        Vec::<String>::new(),
        "in the dark"
    );
    phone.picture("bar-dark");
    phone.browser.prefers("light");
    phone.taps("undo");
    phone.taps("leave");
    phone.taps("set");
    let left = phone.browser.find("#hand option[value=left]");
    left.expect("the hand can be chosen").click();
    phone.taps("back");
    phone.taps("hive birch");
    phone.taps("begin");
    assert!(!lies_right(&phone), "the left thumb finds it at the left");
    assert_eq!(
        checks::of_screen(&phone.browser),
        Vec::<String>::new(),
        "for the left hand"
    );
    phone.picture("bar-left");
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
    // A slip of the thumb, taken back.
    phone.sets("open", "7");
    phone.taps("undo");
    assert!(phone.says().contains("was 2/8"), "{}", phone.says());
    phone.sets("open", "3");
    phone.taps("main");
}

const THREE_HIVES: &[&str] = &[
    "look birch queen seen temper calm",
    "look birch bars 1 to 3 as before",
    "look birch bar 4 drawn 1/8",
    "look birch bars 5 to 6 drawn 0/8",
    "look curlew bars 1 to 2 as before",
    "look curlew bar 3 drawn 3/8",
    "look curlew bars 4 to 5 drawn 0/8",
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
        "return document.body.innerText.includes('11 waiting')",
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
            assert!(phone.says().contains("2 waiting"), "{}", phone.says());
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
    // A microphone may take its time to begin with.
    phone.browser.finger_holds(phone.place_of("speak"), 2000);
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

#[test]
fn the_page_in_one_file_needs_no_desk() {
    let (wire, served) = desk();
    let host = format!("127.0.0.1:{}", wire.port);
    let page = http::ask_as(served.port, &host, "GET", "/field/file", &[], b"").expect("an answer");
    assert_eq!(
        page.header("content-disposition"),
        Some("attachment; filename=\"combwright-field.html\"")
    );
    let folder = tempfile::TempDir::new().expect("a folder");
    let file = folder.path().join("field.html");
    std::fs::write(&file, &page.body).expect("the file is written");
    let address = format!("file://{}", file.display());
    let mut phone = Phone::new();
    phone.browser.visit(&address);
    phone.taps("hive birch");
    phone.taps("begin");
    phone.taps("main");
    phone.taps("end");
    phone.taps("keep look");
    phone.waits_until("it waits", "return document.body.innerText.includes('2 waiting')");
    phone.browser.visit(&address);
    phone.taps("waiting");
    assert_eq!(checks::of_screen(&phone.browser), Vec::<String>::new());
    let drafts = phone.drafts();
    assert_eq!(drafts.len(), 2);
    // The text that is given out, as the phone keeps the file.
    phone.browser.chromium(
        "Browser.setDownloadBehavior",
        &json!({ "behavior": "allow", "downloadPath": folder.path() }),
    );
    phone.taps("save");
    let given = || {
        let files = std::fs::read_dir(folder.path()).expect("a folder").flatten();
        let mut files = files.map(|file| file.path());
        files.find(|file| file.extension().is_some_and(|end| end == "txt"))
    };
    phone.waits_for("the text is given out", || given().is_some());
    let given = given().expect("the file");
    let text = std::fs::read_to_string(&given).expect("it is read");
    let before = served.entries().len();
    let bundle = app::field::bundle(text.as_bytes(), date(2026, 5, 24)).expect("it is read");
    let ids: Vec<String> = bundle.drafts.iter().map(|draft| draft.id.to_string()).collect();
    assert_eq!(
        ids,
        drafts
            .iter()
            .map(|draft| draft["id"].as_str().unwrap_or_default())
            .collect::<Vec<_>>()
    );
    let mut desk = Phone::new();
    for _ in 0..2 {
        desk.browser.visit(&wire.address("/field/bring"));
        let file = desk
            .browser
            .find("main [name=file]")
            .expect("a file can be brought");
        file.types(&given.display().to_string());
        desk.browser
            .find("main button[value=bring]")
            .expect("a button")
            .follow();
        assert!(desk.says().contains("Notes brought home"), "{}", desk.says());
    }
    assert!(desk.says().contains("there already"), "{}", desk.says());
    assert_eq!(served.entries().len(), before + 2);
    assert_eq!(
        notes(&served),
        ["look birch bar 1 as before", "look birch stopped 1"]
    );
    desk.taps = 0;
}

/// A bar of 445 by 20 mm with a comb below it, as a lens of 24 mm on 36 sees them from 620 mm, leaning. What a person
/// would tap is found from the picture alone: the outermost points of what has the colour of wood and of comb.
const SCENE: &str = "
    const [pitch, yaw, roll, done] = arguments;
    const W = 4000, H = 3000, f = 0.72 * W, D = 620, r = a => a * Math.PI / 180;
    const seen = ([x, y]) => { let X = x, Y = y - 140, Z = 0;
        [X, Y] = [X * Math.cos(r(roll)) - Y * Math.sin(r(roll)), X * Math.sin(r(roll)) + Y * Math.cos(r(roll))];
        [X, Z] = [X * Math.cos(r(yaw)) - Z * Math.sin(r(yaw)), X * Math.sin(r(yaw)) + Z * Math.cos(r(yaw))];
        [Y, Z] = [Y * Math.cos(r(pitch)) - Z * Math.sin(r(pitch)), Y * Math.sin(r(pitch)) + Z * Math.cos(r(pitch))];
        return [W / 2 + f * X / (Z + D), H / 2 + f * Y / (Z + D)]; };
    const bar = [[-222.5, -20], [222.5, -20], [222.5, 0], [-222.5, 0]];
    const comb = [[-210, 4], [210, 4], [92, 268], [-92, 268]];
    const canvas = document.createElement('canvas'); canvas.width = W; canvas.height = H;
    const pen = canvas.getContext('2d', { willReadFrequently: true });
    const sky = pen.createLinearGradient(0, 0, W, H); sky.addColorStop(0, '#cfd8e8'); sky.addColorStop(1, '#8f98a8');
    pen.fillStyle = sky; pen.fillRect(0, 0, W, H);
    const fill = (corners, dark, light) => { const shade = pen.createLinearGradient(0, 0, W, 0);
        shade.addColorStop(0, dark); shade.addColorStop(1, light); pen.fillStyle = shade; pen.beginPath();
        corners.map(seen).forEach(([x, y], at) => at ? pen.lineTo(x, y) : pen.moveTo(x, y)); pen.closePath(); pen.fill(); };
    fill(bar, '#401010', '#702020'); fill(comb, '#105010', '#208020');
    window.scene = canvas;
    const { data } = pen.getImageData(0, 0, W, H);
    // Where a class of colour ends, to a part of a point: what is covered in part counts in part.
    const edge = (channel, x, y) => { const at = 4 * (Math.round(y) * W + Math.round(x)); return data[at + channel] - Math.max(data[at + (channel + 1) % 3], data[at + (channel + 2) % 3]) > 8; };
    const lines = (corners, channel) => corners.map((from, at) => { const to = corners[(at + 1) % 4]; const [p, q] = [seen(from), seen(to)];
        const long = Math.hypot(q[0] - p[0], q[1] - p[1]); const n = [(q[1] - p[1]) / long, (p[0] - q[0]) / long]; const hits = [];
        for (let t = 0.1; t < 0.9; t += 0.8 / 300) { const m = [p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])];
            let last = null; for (let s = -6; s <= 6; s += 0.1) if (edge(channel, m[0] + s * n[0], m[1] + s * n[1])) last = s;
            if (last !== null && last < 5.9) hits.push([m[0] + last * n[0], m[1] + last * n[1]]); }
        const c = [0, 1].map(a => hits.reduce((sum, h) => sum + h[a], 0) / hits.length);
        let xx = 0, xy = 0, yy = 0; for (const h of hits) { const [u, v] = [h[0] - c[0], h[1] - c[1]]; xx += u * u; xy += u * v; yy += v * v; }
        const angle = Math.atan2(2 * xy, xx - yy) / 2; return { c, d: [Math.cos(angle), Math.sin(angle)] }; });
    const meet = (a, b) => { const k = a.d[0] * b.d[1] - a.d[1] * b.d[0];
        const t = ((b.c[0] - a.c[0]) * b.d[1] - (b.c[1] - a.c[1]) * b.d[0]) / k; return [a.c[0] + t * a.d[0], a.c[1] + t * a.d[1]]; };
    const cornersOf = (corners, channel) => { const all = lines(corners, channel); return all.map((line, at) => meet(all[(at + 3) % 4], line)); };
    const points = { corners: cornersOf(bar, 0), outline: cornersOf(comb, 1) };
    import('/field/photo.js').then(m => { const told = m.measured({ ...points, length_mm: 445, height_mm: 20, picture: { width: W, height: H } });
        done({ ...told, truth: m.areaOf(comb) / 100, points }); }, error => done({ wrong: String(error) }));
";

#[test]
fn a_comb_in_a_photograph_is_measured_to_two_per_cent_up_to_30_degrees() {
    let (wire, served) = desk();
    let mut phone = Phone::new();
    phone.opens_and_keeps(&wire.address("/field"));
    for (pitch, yaw, roll) in [
        (0, 0, 0),
        (15, 0, 2),
        (30, 0, -3),
        (-30, 0, 1),
        (0, 30, 2),
        (0, -25, 4),
        (20, 20, -2),
    ] {
        let told = phone
            .browser
            .run_and_wait(SCENE, &[pitch.into(), yaw.into(), roll.into()]);
        let number = |value: &Value| value.as_f64().unwrap_or_else(|| panic!("{told}"));
        let truth = number(&told["truth"]);
        let (lo, value, hi) = (
            number(&told["cm2"]["lo"]),
            number(&told["cm2"]["value"]),
            number(&told["cm2"]["hi"]),
        );
        let error = value / truth - 1.0;
        println!(
            "leaning {pitch}, {yaw}: {value:.1} cm2 for {truth:.1}, {:+.2} %",
            100.0 * error
        );
        assert!(error.abs() <= 0.02, "leaning {pitch}, {yaw}: {value} for {truth}");
        assert!(lo <= truth && truth <= hi, "{lo} to {hi} holds {truth}");
        let lean = libm::cos(f64::from(pitch).to_radians()) * libm::cos(f64::from(yaw).to_radians());
        let tilt = number(&told["tilt_deg"]);
        assert!(
            (tilt - libm::acos(lean).to_degrees()).abs() < 3.0,
            "leaning {pitch}, {yaw}: {tilt}"
        );
        let is_told = told["says"].to_string().contains("beyond 30");
        assert_eq!(is_told, tilt > 30.0, "{told}");
    }
    measured_by_hand(&mut phone, &served);
}

/// The arrow keys, as the protocol names them.
const LEFT: &str = "\u{e012}";
const UP: &str = "\u{e013}";
const RIGHT: &str = "\u{e014}";
const DOWN: &str = "\u{e015}";

/// The last scene, taken as a photograph and tapped on the page.
fn measured_by_hand(phone: &mut Phone, served: &Served) {
    let told = phone
        .browser
        .run_and_wait(SCENE, &[10.into(), 5.into(), 0.into()]);
    let png = phone
        .browser
        .run("return window.scene.toDataURL('image/png').split(',')[1]", &[]);
    let folder = tempfile::TempDir::new().expect("a folder");
    let file = folder.path().join("comb.png");
    std::fs::write(
        &file,
        crate::driver::from_base64(png.as_str().unwrap_or_default()),
    )
    .expect("a picture");
    phone.taps("hive alder");
    phone.taps("begin");
    phone
        .browser
        .find("#photo")
        .expect("a picture can be taken")
        .types(&file.display().to_string());
    phone.taps("measure");
    phone.button("board");
    let points = told["points"]["corners"]
        .as_array()
        .into_iter()
        .chain(told["points"]["outline"].as_array())
        .flatten();
    let number = |value: &Value| value.as_f64().expect("a number");
    for point in points {
        // From near, a point of the screen is three of the picture; the arrow keys do the rest.
        let at = phone.browser.run(
            "const box = document.querySelector('canvas.board').getBoundingClientRect();
             const scale = 4000 / box.width; return [box.left + arguments[0][0] / scale, box.top + arguments[0][1] / scale, scale];",
            std::slice::from_ref(point),
        );
        let (x, y, scale) = (number(&at[0]), number(&at[1]), number(&at[2]));
        phone.browser.finger_taps((x, y));
        let steps = |off: f64, more: &'static str, less: &'static str| {
            let times = (2.0 * off.abs()).round() as usize;
            (if off > 0.0 { more } else { less }).repeat(times)
        };
        let across = steps((x - x.round()) * scale, RIGHT, LEFT);
        let along = steps((y - y.round()) * scale, DOWN, UP);
        phone
            .browser
            .run("document.querySelector('canvas.board').focus()", &[]);
        phone.browser.keys(&format!("{across}{along}"));
    }
    phone.taps("nearer");
    phone.picture("measure-near");
    phone.taps("whole");
    let says = phone.says();
    assert!(
        says.contains("kg of honey") && says.contains("up to 30°"),
        "{says}"
    );
    phone.picture("measure");
    assert_eq!(checks::of_screen(&phone.browser), Vec::<String>::new());
    phone.taps("keep measure");
    phone.taps("end");
    phone.taps("leave");
    phone.sends_all();
    let notes = notes(served);
    let note = notes
        .iter()
        .find(|note| note.starts_with("measure alder bar 1 face "))
        .unwrap_or_else(|| panic!("{notes:?}"));
    let cm2: f64 = note
        .split(' ')
        .nth(5)
        .and_then(|word| word.parse().ok())
        .unwrap_or(0.0);
    let truth = told["truth"].as_f64().unwrap_or_default();
    assert!((cm2 / truth - 1.0).abs() < 0.02, "{note} for {truth}");
    assert!(
        note.contains(" cm2 thickness 25 mm   # from photograph "),
        "{note}"
    );
}
