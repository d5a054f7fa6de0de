//! The pages over a real port: what is printed first, who is answered, how it ends.

mod phones;

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, ChildStdout, Command, ExitStatus, Stdio};
use std::time::Duration;

struct Open {
    child: Child,
    out: BufReader<ChildStdout>,
    /// What was printed, up to the address.
    printed: String,
    port: u16,
}

impl Open {
    fn new(folder: &Path, args: &[&str]) -> Self {
        let mut child = command(folder, args)
            .stdout(Stdio::piped())
            .spawn()
            .expect("the program runs");
        let mut out = BufReader::new(child.stdout.take().expect("a pipe"));
        let mut printed = String::new();
        let port = loop {
            let mut line = String::new();
            let read = out.read_line(&mut line).expect("lines");
            assert!(read > 0, "no address is printed: {printed}");
            printed.push_str(&line);
            if let Some((_, rest)) = line.split_once("http://127.0.0.1:") {
                let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
                break digits.parse().expect("a port");
            }
        };
        Self {
            child,
            out,
            printed,
            port,
        }
    }

    fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).expect("an open door");
        stream
            .set_read_timeout(Some(Duration::from_secs(30)))
            .expect("a time limit");
        stream
    }

    fn get(&self, path: &str) -> String {
        let mut stream = self.connect();
        let request = format!(
            "GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nConnection: close\r\n\r\n",
            self.port
        );
        stream.write_all(request.as_bytes()).expect("it listens");
        let mut answer = String::new();
        stream.read_to_string(&mut answer).expect("it answers");
        answer
    }

    /// Tells it to end, as the system or the keyboard would.
    fn end(mut self, signal: &str) -> ExitStatus {
        let told = Command::new("kill")
            .args([signal, &self.child.id().to_string()])
            .status()
            .expect("the system can tell it");
        assert!(told.success());
        let mut rest = String::new();
        self.out
            .read_to_string(&mut rest)
            .expect("the end of what it prints");
        self.child.wait().expect("it ends")
    }
}

impl Drop for Open {
    fn drop(&mut self) {
        // It has ended already, unless the test failed.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn command(folder: &Path, args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_combwright"));
    command.current_dir(folder).args(args).env_clear();
    // The demo has a day of its own.
    if args.first() != Some(&"demo") {
        command.args(["--now", "2026-11-25T09:00"]);
    }
    command
}

#[test]
fn new_books_are_announced_and_served_until_stopped() {
    let folder = tempfile::tempdir().expect("a folder");
    let open = Open::new(folder.path(), &["open", "--port", "0"]);
    assert!(
        open.printed.starts_with("New books: combwright.books\n"),
        "{}",
        open.printed
    );
    assert!(
        open.printed.contains("The round of 2026-11-25"),
        "{}",
        open.printed
    );
    let answer = open.get("/");
    assert!(answer.starts_with("HTTP/1.1 200 OK\r\n"), "{answer}");
    assert!(answer.contains("content-security-policy: "), "{answer}");
    // What the command writes at the same time is on the next page.
    let notes = [
        "note",
        "2026-03-01 yard orchard",
        "2026-03-01 hive alder in orchard bars 27",
    ];
    let written = command(folder.path(), &notes).output().expect("it runs");
    assert!(written.status.success());
    assert!(open.get("/hive/alder").starts_with("HTTP/1.1 200 OK\r\n"));
    assert_eq!(open.end("-TERM").code(), Some(0));
    assert!(folder.path().join("combwright.books").exists());
}

#[test]
fn a_browser_that_dawdles_stops_neither_others_nor_the_end() {
    let folder = tempfile::tempdir().expect("a folder");
    let open = Open::new(folder.path(), &["open", "--port", "0"]);
    let mut slow: Vec<TcpStream> = (0..20).map(|_| open.connect()).collect();
    for (n, stream) in slow.iter_mut().enumerate() {
        let request = format!(
            "POST /note HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 1000\r\n\r\nline=",
            open.port
        );
        let sent = if n % 2 == 0 { request.len() } else { 20 };
        stream.write_all(&request.as_bytes()[..sent]).expect("it listens");
    }
    assert!(open.get("/yard").starts_with("HTTP/1.1 200 OK\r\n"));
    assert_eq!(open.end("-INT").code(), Some(0));
}

#[test]
fn the_demo_is_served_on_its_own_last_day() {
    let folder = tempfile::tempdir().expect("a folder");
    let open = Open::new(folder.path(), &["demo", "--port", "0", "--json"]);
    let answer = open.get("/");
    assert!(answer.contains("The round of 2026-11-22"), "{answer}");
    assert_eq!(open.end("-TERM").code(), Some(0));
}

#[test]
fn programs_are_told_the_address_beside_the_round() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut open = Open::new(folder.path(), &["open", "--port", "0", "--json"]);
    let mut text = open.printed.clone();
    while !text.ends_with("\n}\n") {
        assert!(open.out.read_line(&mut text).expect("lines") > 0, "{text}");
    }
    let json: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(json["address"], format!("http://127.0.0.1:{}/", open.port));
    assert_eq!(json["day"], "2026-11-25");
    // The address is told before the first page is served; a page that is answered tells that all stands.
    open.get("/");
    assert_eq!(open.end("-TERM").code(), Some(0));
}

#[test]
fn a_port_in_use_is_refused_and_makes_no_books() {
    let folder = tempfile::tempdir().expect("a folder");
    let taken = std::net::TcpListener::bind("127.0.0.1:0").expect("a port");
    let port = taken.local_addr().expect("an address").port().to_string();
    for name in ["open", "demo"] {
        let output = command(folder.path(), &[name, "--port", &port])
            .output()
            .expect("it runs");
        let says = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(74), "{says}");
        assert!(says.contains(&format!("Port {port} cannot be used")), "{says}");
    }
    let files = std::fs::read_dir(folder.path()).expect("the folder").count();
    assert_eq!(files, 0, "no books are made for nothing");
}
