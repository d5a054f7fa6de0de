//! A browser that is driven by the tests, by the protocol WebDriver.
//!
//! Of the protocol a dozen commands are needed, each a few bytes of JSON to a port of this machine; two of them
//! (the console, and a true width of 320 px) are the driver's own, which no general client knows.

use std::ffi::OsString;
use std::io::{BufRead as _, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdout, Command, Stdio};
use std::sync::Arc;
use std::time::Duration;

use serde_json::{Value, json};
use tempfile::TempDir;

use crate::http;

/// The key under which the protocol hides the name of an element.
const ELEMENT: &str = "element-6066-11e4-a52e-4f735466cecf";

/// The tabulator key.
const TAB: &str = "\u{e004}";

/// How often and how fast it is looked whether a page has come.
const LOOKS: usize = 3000;
const BETWEEN_LOOKS: Duration = Duration::from_millis(10);

/// What is said where the browser is missing.
const FETCH: &str = "`cargo xtask test` fetches what the pages are tried with (on Debian, `apt-get install -y \
                     chromium chromium-driver`)";

/// Runs headless, as any user, and speaks with nobody but the pages.
const FLAGS: &[&str] = &[
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
    "--hide-scrollbars",
];

/// May the pages run scripts?
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Script {
    On,
    Off,
}

/// A browser with one window.
pub(crate) struct Browser {
    driver: Driver,
    session: String,
    profile: Arc<TempDir>,
    /// Whether the pages may run scripts.
    pub(crate) script: Script,
}

/// What drives the browser; both go when this is dropped, in a panic too.
struct Driver {
    child: Child,
    /// Held open: the driver may still write into it.
    said: BufReader<ChildStdout>,
    port: u16,
}

/// Something on the page that is open.
pub(crate) struct Element<'a> {
    browser: &'a Browser,
    id: String,
}

impl Browser {
    /// Starts a browser of its own, with a window that is this wide.
    pub(crate) fn open(width: u32, script: Script) -> Self {
        let browser = Self::with_profile(Self::fresh_profile(), script, &[]);
        browser.widen(width);
        browser
    }

    /// What a browser remembers, with nothing in it yet.
    pub(crate) fn fresh_profile() -> Arc<TempDir> {
        Arc::new(TempDir::new().expect("a folder for the browser's profile"))
    }

    /// Starts a browser that remembers what an earlier one with this profile kept.
    pub(crate) fn with_profile(profile: Arc<TempDir>, script: Script, flags: &[&str]) -> Self {
        let mut browser = Self {
            driver: Driver::start(profile.path()),
            session: String::new(),
            profile,
            script,
        };
        let opened = browser.ask("POST", "/session", &browser.wishes(flags));
        browser.session = opened["sessionId"]
            .as_str()
            .expect("the driver names its session")
            .to_owned();
        browser
    }

    /// The browser is killed from one moment to the next, as by an empty battery. What it remembers is left.
    pub(crate) fn dies(self) -> Arc<TempDir> {
        // The browser itself is the one process with its profile that is no part of another.
        let profile = self.profile.path().display().to_string();
        let processes = std::fs::read_dir("/proc").expect("this system tells its processes");
        for process in processes.flatten() {
            let line = std::fs::read(process.path().join("cmdline")).unwrap_or_default();
            let line = String::from_utf8_lossy(&line).into_owned();
            if line.contains(&format!("--user-data-dir={profile}")) && !line.contains("--type=") {
                let id = process.file_name();
                let _ = Command::new("kill").arg("-9").arg(&id).status();
                while process.path().join("cmdline").exists()
                    && std::fs::read(process.path().join("cmdline")).is_ok_and(|line| !line.is_empty())
                {
                    std::thread::sleep(BETWEEN_LOOKS);
                }
            }
        }
        // What was in use when the last one died stands in the way of the next.
        for lock in ["SingletonLock", "SingletonCookie", "SingletonSocket"] {
            let _ = std::fs::remove_file(self.profile.path().join(lock));
        }
        Arc::clone(&self.profile)
    }

    /// The browser is closed as a keeper would close it. What it remembers is left.
    pub(crate) fn closes(self) -> Arc<TempDir> {
        self.command("DELETE", "", &Value::Null);
        Arc::clone(&self.profile)
    }

    /// Takes in a certificate that may vouch for others, as a keeper does in the settings of a phone.
    pub(crate) fn takes_in(profile: &TempDir, certificate: &[u8]) {
        let folder = profile.path().join(".pki/nssdb");
        std::fs::create_dir_all(&folder).expect("a folder for certificates");
        let file = profile.path().join("taken-in.crt");
        std::fs::write(&file, certificate).expect("the certificate is written");
        let certutil = |arguments: &[&str]| {
            let mut command = Command::new(program("CERTUTIL", &["certutil"]));
            command
                .arg("-d")
                .arg(format!("sql:{}", folder.display()))
                .args(arguments);
            let done = command.output().unwrap_or_else(|error| {
                panic!(
                    "certutil could not be started ({error}): `cargo xtask test` fetches it (on Debian, \
                     `apt-get install -y libnss3-tools`)"
                )
            });
            assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
        };
        certutil(&["-N", "--empty-password"]);
        certutil(&["-A", "-n", "farm", "-t", "C,,", "-i", &file.display().to_string()]);
    }

    fn wishes(&self, more: &[&str]) -> Value {
        let program = program("CHROMIUM", &["chromium", "chromium-browser", "google-chrome"]);
        let profile = format!("--user-data-dir={}", self.profile.path().display());
        let flags: Vec<&str> = FLAGS
            .iter()
            .chain(more)
            .copied()
            .chain([profile.as_str()])
            .collect();
        // As a keeper would forbid scripts. The driver's own commands work all the same.
        let settings = match self.script {
            Script::On => json!({}),
            Script::Off => json!({ "profile.managed_default_content_settings.javascript": 2 }),
        };
        json!({ "capabilities": { "alwaysMatch": {
            "browserName": "chrome",
            "goog:loggingPrefs": { "browser": "ALL" },
            "goog:chromeOptions": { "binary": program.to_string_lossy(), "args": flags, "prefs": settings },
        } } })
    }

    /// Makes the window this wide. A window of its own accord is never narrower than about 500 px.
    pub(crate) fn widen(&self, width: u32) {
        let height = if width < 600 { 640 } else { 900 };
        let mut metrics =
            json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false });
        metrics["screenWidth"] = json!(width);
        metrics["screenHeight"] = json!(height);
        self.chromium("Emulation.setDeviceMetricsOverride", &metrics);
    }

    /// Asks for light or dark pages.
    pub(crate) fn prefers(&self, scheme: &str) {
        let features = json!({ "features": [{ "name": "prefers-color-scheme", "value": scheme }] });
        self.chromium("Emulation.setEmulatedMedia", &features);
    }

    /// Goes to an address and waits until it is there.
    pub(crate) fn visit(&self, address: &str) {
        self.command("POST", "/url", &json!({ "url": address }));
    }

    /// Goes to an address that the browser may well refuse to show; what it then says of it stands on its own page.
    pub(crate) fn tries_to_visit(&self, address: &str) {
        let path = format!("/session/{}/url", self.session);
        let _ = self.try_ask("POST", &path, &json!({ "url": address }));
    }

    /// A finger is held for so long at this place of the screen.
    pub(crate) fn finger_holds(&self, (x, y): (f64, f64), ms: u64) {
        let at = json!({ "type": "pointerMove", "duration": 0, "origin": "viewport", "x": x.round(), "y": y.round() });
        let waits = json!({ "type": "pause", "duration": ms });
        self.finger(
            &json!([at, { "type": "pointerDown", "button": 0 }, waits, { "type": "pointerUp", "button": 0 }]),
        );
    }

    /// A finger taps at this place of the screen.
    pub(crate) fn finger_taps(&self, (x, y): (f64, f64)) {
        let at = json!({ "type": "pointerMove", "duration": 0, "origin": "viewport", "x": x.round(), "y": y.round() });
        self.finger(
            &json!([at, { "type": "pointerDown", "button": 0 }, { "type": "pointerUp", "button": 0 }]),
        );
    }

    fn finger(&self, does: &Value) {
        let finger = json!({ "pointerType": "touch" });
        let one = json!({ "type": "pointer", "id": "finger", "parameters": finger, "actions": does });
        self.command("POST", "/actions", &json!({ "actions": [one] }));
    }

    /// Types keys, wherever the focus is.
    pub(crate) fn keys(&self, text: &str) {
        let strokes = text.chars().flat_map(|letter| {
            ["keyDown", "keyUp"].map(|way| json!({ "type": way, "value": letter.to_string() }))
        });
        let strokes: Vec<Value> = strokes.collect();
        self.command(
            "POST",
            "/actions",
            &json!({ "actions": [{ "type": "key", "id": "keys", "actions": strokes }] }),
        );
    }

    /// The address that is open.
    pub(crate) fn address(&self) -> String {
        let address = self.command("GET", "/url", &Value::Null);
        address.as_str().unwrap_or_default().to_owned()
    }

    /// Runs a function body in the page, also where the page itself may run nothing.
    pub(crate) fn run(&self, body: &str, given: &[Value]) -> Value {
        self.command("POST", "/execute/sync", &json!({ "script": body, "args": given }))
    }

    /// Runs a function body in the page that calls its last argument when it is done. Needs scripts.
    pub(crate) fn run_and_wait(&self, body: &str, given: &[Value]) -> Value {
        self.command(
            "POST",
            "/execute/async",
            &json!({ "script": body, "args": given }),
        )
    }

    /// The first thing on the page that fits.
    pub(crate) fn find(&self, selector: &str) -> Option<Element<'_>> {
        self.find_all(selector).into_iter().next()
    }

    /// Everything on the page that fits.
    pub(crate) fn find_all(&self, selector: &str) -> Vec<Element<'_>> {
        let found = self.command(
            "POST",
            "/elements",
            &json!({ "using": "css selector", "value": selector }),
        );
        let ids = found.as_array().into_iter().flatten();
        ids.filter_map(|found| found[ELEMENT].as_str())
            .map(|id| Element {
                browser: self,
                id: id.to_owned(),
            })
            .collect()
    }

    /// Presses the tabulator key so often.
    pub(crate) fn tab(&self, times: usize) {
        let once = [
            json!({ "type": "keyDown", "value": TAB }),
            json!({ "type": "keyUp", "value": TAB }),
        ];
        let presses: Vec<&Value> = std::iter::repeat_n(&once, times).flatten().collect();
        self.command(
            "POST",
            "/actions",
            &json!({ "actions": [{ "type": "key", "id": "keys", "actions": presses }] }),
        );
    }

    /// What is seen of the page, as a PNG.
    pub(crate) fn picture(&self) -> Vec<u8> {
        let taken = self.chromium("Page.captureScreenshot", &json!({ "format": "png" }));
        from_base64(word(&taken["data"]))
    }

    /// What the console was told since it was last asked.
    pub(crate) fn console(&self) -> Vec<String> {
        let told = self.command("POST", "/se/log", &json!({ "type": "browser" }));
        let told = told.as_array().into_iter().flatten();
        told.map(|entry| format!("{}: {}", word(&entry["level"]), word(&entry["message"])))
            .collect()
    }

    /// A command of the browser's own language.
    pub(crate) fn chromium(&self, name: &str, parameters: &Value) -> Value {
        self.command(
            "POST",
            "/goog/cdp/execute",
            &json!({ "cmd": name, "params": parameters }),
        )
    }

    fn command(&self, method: &str, name: &str, parameters: &Value) -> Value {
        self.ask(method, &format!("/session/{}{name}", self.session), parameters)
    }

    fn ask(&self, method: &str, path: &str, parameters: &Value) -> Value {
        self.try_ask(method, path, parameters)
            .unwrap_or_else(|why| panic!("the browser refused {path}: {why}"))
    }

    /// What the driver answers, or why it refuses.
    fn try_ask(&self, method: &str, path: &str, parameters: &Value) -> Result<Value, String> {
        let body = match parameters {
            Value::Null => String::new(),
            parameters => parameters.to_string(),
        };
        let answer = http::ask(self.driver.port, method, path, &[], body.as_bytes())
            .unwrap_or_else(|error| panic!("the driver of the browser did not answer {path}: {error}"));
        let told: Value = serde_json::from_slice(&answer.body).expect("the driver answers in JSON");
        let told = told["value"].clone();
        if answer.status >= 400 {
            return Err(format!("{}: {}", word(&told["error"]), word(&told["message"])));
        }
        Ok(told)
    }
}

impl Driver {
    /// Starts on a port that it finds itself, and waits until it says which.
    ///
    /// The browser's folder is its home too: there it looks for certificates that somebody has taken in.
    fn start(home: &Path) -> Self {
        let mut command = Command::new(program("CHROMEDRIVER", &["chromedriver"]));
        command
            .arg("--port=0")
            .env("HOME", home)
            .env_remove("XDG_DATA_HOME")
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null());
        let child = command.spawn();
        let mut child =
            child.unwrap_or_else(|error| panic!("chromedriver could not be started ({error}): {FETCH}"));
        let said = child.stdout.take().expect("its output is piped");
        let mut driver = Self {
            child,
            said: BufReader::new(said),
            port: 0,
        };
        let mut line = String::new();
        while driver.port == 0 {
            line.clear();
            let read = driver
                .said
                .read_line(&mut line)
                .expect("the driver says something");
            assert!(read > 0, "chromedriver ended before it said its port: {FETCH}");
            if let Some((_, port)) = line.split_once("successfully on port ") {
                driver.port = port.trim().trim_end_matches('.').parse().expect("a port");
            }
        }
        driver
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        // Asked to go, the driver takes its browser with it; killed at once, it would leave it behind.
        let _ = http::ask(self.port, "GET", "/shutdown", &[], b"");
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Element<'_> {
    /// Clicks it.
    pub(crate) fn click(&self) {
        self.command("POST", "/click", &json!({}));
    }

    /// Clicks what leads to another page, and waits until that is there in full. The driver by itself does not
    /// wait for a page that is slow to begin.
    #[track_caller]
    pub(crate) fn follow(&self) {
        let old = "document.documentElement.dataset.old";
        self.browser.run(&format!("{old} = 'yes'"), &[]);
        self.click();
        for _ in 0..LOOKS {
            let is_new = format!("return document.readyState === 'complete' && {old} === undefined");
            if self.browser.run(&is_new, &[]) == true {
                return;
            }
            std::thread::sleep(BETWEEN_LOOKS);
        }
        panic!("no other page came at {}", self.browser.address());
    }

    /// Takes out what stands in it.
    pub(crate) fn clear(&self) {
        self.command("POST", "/clear", &json!({}));
    }

    /// Types into it, key by key.
    pub(crate) fn types(&self, text: &str) {
        self.command("POST", "/value", &json!({ "text": text }));
    }

    /// The text that is seen of it.
    pub(crate) fn text(&self) -> String {
        word(&self.command("GET", "/text", &Value::Null)).to_owned()
    }

    /// One of its attributes.
    pub(crate) fn attribute(&self, name: &str) -> Option<String> {
        let told = self.command("GET", &format!("/attribute/{name}"), &Value::Null);
        told.as_str().map(str::to_owned)
    }

    /// One of its properties, such as `value`.
    pub(crate) fn property(&self, name: &str) -> Value {
        self.command("GET", &format!("/property/{name}"), &Value::Null)
    }

    fn command(&self, method: &str, name: &str, parameters: &Value) -> Value {
        self.browser
            .command(method, &format!("/element/{}{name}", self.id), parameters)
    }
}

fn word(value: &Value) -> &str {
    value.as_str().unwrap_or_default()
}

/// A program by the variable that names it, or the first of these on the path.
fn program(variable: &str, names: &[&str]) -> OsString {
    if let Some(chosen) = std::env::var_os(variable) {
        return chosen;
    }
    let path = std::env::var_os("PATH").unwrap_or_default();
    let folders: Vec<PathBuf> = std::env::split_paths(&path).collect();
    let found = names
        .iter()
        .flat_map(|name| folders.iter().map(move |folder| folder.join(name)))
        .find(|file| file.is_file());
    let found = found.unwrap_or_else(|| panic!("{} was not found: {FETCH}", names[0]));
    found.into_os_string()
}

pub(crate) fn from_base64(text: &str) -> Vec<u8> {
    const DIGITS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let value = |letter: u8| DIGITS.iter().position(|digit| *digit == letter).unwrap_or(0) as u32;
    let padding = text.bytes().rev().take_while(|letter| *letter == b'=').count();
    let mut bytes = Vec::new();
    for four in text.as_bytes().chunks(4) {
        let whole = four.iter().fold(0, |whole, letter| whole << 6 | value(*letter));
        bytes.extend(&whole.to_be_bytes()[1..]);
    }
    bytes.truncate(bytes.len() - padding);
    bytes
}
