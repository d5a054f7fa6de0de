//! A phone in the field, and the way between it and the desk: cut, slow, broken, or answering twice.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::{Ipv4Addr, Shutdown, TcpListener, TcpStream};
use std::sync::atomic::{AtomicU16, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use serde_json::{Value, json};
use tempfile::TempDir;

use crate::driver::{Browser, Element, Script};

/// How long something on a page may take to come to pass.
const PATIENCE: Duration = Duration::from_secs(60);
const LOOKS: u32 = 3000;
const BETWEEN_LOOKS: Duration = Duration::from_millis(20);

/// What the way between phone and desk does with what is sent to a path.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Way {
    /// It brings it.
    Open,
    /// It is cut: no connection comes about.
    Cut,
    /// The desk is not asked, and a fault comes back.
    Fault,
    /// The desk is asked and answers, but the answer never comes.
    Lost,
    /// The desk is asked twice, and its second answer comes.
    Twice,
}

/// The way between phone and desk.
#[derive(Clone)]
pub(crate) struct Wire {
    /// The port to ask at.
    pub(crate) port: u16,
    desk: Arc<AtomicU16>,
    way: Arc<Mutex<Way>>,
    /// How many batches of drafts came by.
    batches: Arc<AtomicUsize>,
}

impl Wire {
    /// A way that leads nowhere yet.
    pub(crate) fn laid() -> Self {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).expect("a free port");
        let wire = Self {
            port: listener.local_addr().expect("it has a port").port(),
            desk: Arc::default(),
            way: Arc::new(Mutex::new(Way::Open)),
            batches: Arc::default(),
        };
        let own = wire.clone();
        std::thread::spawn(move || {
            for stream in listener.incoming().flatten() {
                let own = own.clone();
                std::thread::spawn(move || own.carry(&stream));
            }
        });
        wire
    }

    /// It leads to the desk at this port.
    pub(crate) fn leads_to(&self, port: u16) {
        self.desk.store(port, Ordering::SeqCst);
    }

    /// From now on it does this.
    pub(crate) fn is(&self, way: Way) {
        *self.way.lock().unwrap_or_else(PoisonError::into_inner) = way;
    }

    fn way(&self) -> Way {
        *self.way.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// How many batches of drafts came by so far.
    pub(crate) fn batches(&self) -> usize {
        self.batches.load(Ordering::SeqCst)
    }

    /// The whole address of a page.
    pub(crate) fn address(&self, path: &str) -> String {
        format!("http://127.0.0.1:{}{path}", self.port)
    }

    /// Carries one request and its answer.
    fn carry(&self, phone: &TcpStream) {
        if self.way() == Way::Cut {
            let _ = phone.shutdown(Shutdown::Both);
            return;
        }
        let Some(request) = request(phone) else { return };
        let is_batch = request.starts_with(b"POST /field/send");
        if is_batch {
            self.batches.fetch_add(1, Ordering::SeqCst);
        }
        let way = if is_batch { self.way() } else { Way::Open };
        match way {
            Way::Cut => {}
            Way::Open => write(phone, &self.asked(&request).unwrap_or_default()),
            Way::Twice => {
                let _ = self.asked(&request);
                write(phone, &self.asked(&request).unwrap_or_default());
            }
            Way::Fault => write(
                phone,
                b"HTTP/1.1 500 Internal Server Error\r\nContent-Length: 0\r\nConnection: close\r\n\r\n",
            ),
            Way::Lost => {
                let answer = self.asked(&request).unwrap_or_default();
                // Half of the answer, and then silence.
                write(phone, &answer[..answer.len() / 2]);
                for _ in 0..LOOKS {
                    if self.way() != Way::Lost {
                        break;
                    }
                    std::thread::sleep(BETWEEN_LOOKS);
                }
            }
        }
        let _ = phone.shutdown(Shutdown::Both);
    }

    fn asked(&self, request: &[u8]) -> Option<Vec<u8>> {
        let mut desk = TcpStream::connect((Ipv4Addr::LOCALHOST, self.desk.load(Ordering::SeqCst))).ok()?;
        desk.set_read_timeout(Some(PATIENCE)).ok()?;
        desk.write_all(request).ok()?;
        let mut answer = Vec::new();
        desk.read_to_end(&mut answer).ok()?;
        Some(answer)
    }
}

fn write(to: &TcpStream, bytes: &[u8]) {
    let mut to = to;
    // A browser that went away is no news.
    let _ = to.write_all(bytes);
}

/// One request, asking that the connection be closed behind its answer.
fn request(from: &TcpStream) -> Option<Vec<u8>> {
    from.set_read_timeout(Some(PATIENCE)).ok()?;
    let mut from = BufReader::new(from);
    let mut request = Vec::new();
    let mut length = 0;
    loop {
        let mut line = String::new();
        if from.read_line(&mut line).ok()? == 0 {
            return None;
        }
        let (name, value) = line.split_once(':').unwrap_or((line.as_str(), ""));
        if name.eq_ignore_ascii_case("content-length") {
            length = value.trim().parse().ok()?;
        }
        if line == "\r\n" {
            request.extend(b"Connection: close\r\n\r\n");
            break;
        }
        if !name.eq_ignore_ascii_case("connection") {
            request.extend(line.as_bytes());
        }
    }
    let mut body = vec![0; length];
    from.read_exact(&mut body).ok()?;
    request.extend(body);
    Some(request)
}

/// A phone with the page of the field open on it.
pub(crate) struct Phone {
    pub(crate) browser: Browser,
    /// How often it was tapped.
    pub(crate) taps: usize,
}

/// The microphone is a tone that the browser makes itself, and it is given without asking.
const FLAGS: &[&str] = &[
    "--use-fake-ui-for-media-stream",
    "--use-fake-device-for-media-stream",
];

impl Phone {
    /// A phone that has never seen the page.
    pub(crate) fn new() -> Self {
        Self::with(Browser::fresh_profile())
    }

    /// A phone that remembers what was kept on it.
    pub(crate) fn with(profile: Arc<TempDir>) -> Self {
        Self::with_flags(profile, &[])
    }

    /// A phone that remembers what was kept on it, with more flags for its browser.
    pub(crate) fn with_flags(profile: Arc<TempDir>, more: &[&str]) -> Self {
        let flags: Vec<&str> = FLAGS.iter().chain(more).copied().collect();
        let browser = Browser::with_profile(profile, Script::On, &flags);
        let phone = Self { browser, taps: 0 };
        phone.measures(360, 740);
        phone
    }

    /// The size of its screen.
    pub(crate) fn measures(&self, width: u32, height: u32) {
        let metrics = json!({
            "width": width, "height": height, "screenWidth": width, "screenHeight": height,
            "deviceScaleFactor": 2, "mobile": true,
        });
        self.browser
            .chromium("Emulation.setDeviceMetricsOverride", &metrics);
        self.browser
            .chromium("Emulation.setTouchEmulationEnabled", &json!({ "enabled": true }));
    }

    /// Opens the page and waits until the browser keeps it.
    #[track_caller]
    pub(crate) fn opens_and_keeps(&self, address: &str) {
        self.browser.visit(address);
        self.waits_until(
            "the page is kept",
            "return document.documentElement.dataset.kept === 'yes'",
        );
        self.waits_until(
            "the hives are there",
            "return document.querySelector('.hives button') !== null",
        );
    }

    /// Waits until a function body in the page says yes.
    #[track_caller]
    pub(crate) fn waits_until(&self, what: &str, body: &str) {
        for _ in 0..LOOKS {
            if self.browser.run(body, &[]) == true {
                return;
            }
            std::thread::sleep(BETWEEN_LOOKS);
        }
        panic!("{what}: not within {PATIENCE:?}: {}", self.says());
    }

    /// Waits until something holds outside the page.
    #[track_caller]
    pub(crate) fn waits_for(&self, what: &str, holds: impl Fn() -> bool) {
        for _ in 0..LOOKS {
            if holds() {
                return;
            }
            std::thread::sleep(BETWEEN_LOOKS);
        }
        panic!(
            "{what}: not within {PATIENCE:?}: {} {}",
            self.says(),
            self.browser.run("return window.log?.slice(-40).join('; ')", &[])
        );
    }

    /// All that is said on the screen.
    pub(crate) fn says(&self) -> String {
        let said = self.browser.run("return document.body.innerText", &[]);
        said.as_str().unwrap_or_default().to_owned()
    }

    /// Taps a button by its key, with a finger, and counts it.
    #[track_caller]
    pub(crate) fn taps(&mut self, key: &str) {
        self.taps += 1;
        let place = self.place_of(key);
        let clicks = self.browser.run(
            "if (window.clicks === undefined) { window.clicks = 0; addEventListener('click', () => { window.clicks += 1; }, true); }
             return window.clicks;",
            &[],
        );
        self.browser.finger_taps(place);
        // A thumb waits for the screen before it taps again. A link leaves the page, and the count with it.
        let heard = format!("return window.clicks === undefined || window.clicks > {clicks}");
        self.waits_until(&format!("the tap on {key} is heard"), &heard);
    }

    /// Where a finger finds a button, by its key. One that is out of sight is first drawn into it.
    #[track_caller]
    pub(crate) fn place_of(&self, key: &str) -> (f64, f64) {
        for _ in 0..LOOKS {
            let place = self.browser.run(
                "const e = document.querySelector(`[data-key='${arguments[0]}']`);
                 if (!e) return null;
                 const place = () => { const b = e.getBoundingClientRect(); return [b.left + b.width / 2, b.top + b.height / 2]; };
                 const isUnder = ([x, y]) => e.contains(document.elementFromPoint(x, y));
                 if (!isUnder(place())) e.scrollIntoView({ block: 'center' });
                 return isUnder(place()) ? place() : null;",
                &[json!(key)],
            );
            if let (Some(x), Some(y)) = (place[0].as_f64(), place[1].as_f64()) {
                return (x, y);
            }
            std::thread::sleep(BETWEEN_LOOKS);
        }
        panic!("no finger finds a button {key}: {}", self.says())
    }

    /// What stands above: the hive and the bar.
    pub(crate) fn stands_at(&self) -> String {
        let said = self
            .browser
            .run("return document.querySelector('header h1').textContent", &[]);
        said.as_str().unwrap_or_default().to_owned()
    }

    #[track_caller]
    pub(crate) fn button(&self, key: &str) -> Element<'_> {
        let selector = format!("[data-key='{key}']");
        for _ in 0..LOOKS {
            if let Some(found) = self.browser.find(&selector) {
                return found;
            }
            std::thread::sleep(BETWEEN_LOOKS);
        }
        panic!("there is no button {key}: {}", self.says())
    }

    /// Chooses a column and taps a value; the column that is chosen already needs no tap.
    #[track_caller]
    pub(crate) fn sets(&mut self, column: &str, value: &str) {
        let chosen = self.button(&format!("column {column}"));
        let is_chosen = chosen.attribute("aria-pressed").as_deref() == Some("true");
        if !is_chosen {
            self.taps(&format!("column {column}"));
        }
        self.taps(&format!("pad {value}"));
    }

    /// Waits until nothing waits to be sent, and all that was sent is told.
    #[track_caller]
    pub(crate) fn sends_all(&self) {
        self.waits_until(
            "everything is sent",
            "return document.querySelector('[data-key=waiting]')?.textContent === '0 waiting'",
        );
    }

    /// Waits until the look under way in a hive is on the flash with so many bars.
    #[track_caller]
    pub(crate) fn waits_until_kept(&self, hive: &str, bars: usize) {
        for _ in 0..LOOKS {
            let told = self.browser.run_and_wait(
                "const [hive, done] = arguments; const open = indexedDB.open('combwright-field');
                 open.onsuccess = () => { const look = open.result.transaction('looks').objectStore('looks').get(hive);
                     look.onsuccess = () => done(Object.keys(look.result?.look.bars ?? {}).length); };",
                &[json!(hive)],
            );
            if told == json!(bars) {
                return;
            }
            std::thread::sleep(BETWEEN_LOOKS);
        }
        panic!("the look in {hive} was not kept");
    }

    /// What is kept on the phone, from its database.
    pub(crate) fn drafts(&self) -> Vec<Value> {
        let told = self.browser.run_and_wait(
            "const done = arguments[0]; const open = indexedDB.open('combwright-field');
             open.onsuccess = () => { const all = open.result.transaction('drafts').objectStore('drafts').getAll();
                 all.onsuccess = () => done(all.result.sort((a, b) => a.seq - b.seq)); };",
            &[],
        );
        told.as_array().cloned().unwrap_or_default()
    }

    /// A picture of the screen, for people.
    pub(crate) fn picture(&self, name: &str) {
        if let Some(folder) = std::env::var_os("COMBWRIGHT_PICTURES") {
            let picture = self.browser.picture();
            let file = std::path::Path::new(&folder).join(format!("{name}.png"));
            std::fs::write(file, picture).expect("the picture is written");
        }
    }
}
