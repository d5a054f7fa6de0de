//! Asks a server on this machine without a browser: the driver of the browser, and the pages as they are served.

use std::io::{self, BufRead as _, BufReader, Read as _, Write as _};
use std::net::{Ipv4Addr, TcpStream};
use std::time::Duration;

/// Nothing asked here takes longer, unless it hangs.
const PATIENCE: Duration = Duration::from_secs(60);

/// What came back.
pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) headers: Vec<(String, String)>,
    pub(crate) body: Vec<u8>,
}

impl Answer {
    /// A header by its name in small letters.
    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        let (_, value) = self.headers.iter().find(|(known, _)| known == name)?;
        Some(value)
    }

    /// The body as text.
    pub(crate) fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }
}

/// Sends one request to a port of this machine and waits for its answer.
pub(crate) fn ask(
    port: u16,
    method: &str,
    path: &str,
    headers: &[(&str, &str)],
    body: &[u8],
) -> io::Result<Answer> {
    ask_as(port, &format!("127.0.0.1:{port}"), method, path, headers, body)
}

/// Sends one request to a port of this machine under another name, and waits for its answer.
pub(crate) fn ask_as(
    port: u16,
    host: &str,
    method: &str,
    path: &str,
    headers: &[(&str, &str)],
    body: &[u8],
) -> io::Result<Answer> {
    let mut stream = TcpStream::connect((Ipv4Addr::LOCALHOST, port))?;
    stream.set_read_timeout(Some(PATIENCE))?;
    stream.set_nodelay(true)?;
    let mut head = format!(
        "{method} {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\nContent-Length: {}\r\n",
        body.len()
    );
    for (name, value) in headers {
        head.push_str(&format!("{name}: {value}\r\n"));
    }
    head.push_str("\r\n");
    stream.write_all(&[head.as_bytes(), body].concat())?;
    answer(&mut BufReader::new(stream))
}

/// Asks for a page.
pub(crate) fn get(port: u16, path: &str) -> Answer {
    ask(port, "GET", path, &[], b"").unwrap_or_else(|error| panic!("{path} was not answered: {error}"))
}

fn answer(from: &mut BufReader<TcpStream>) -> io::Result<Answer> {
    let first = line(from)?;
    let status = first.split(' ').nth(1).and_then(|word| word.parse().ok());
    let status = status.ok_or_else(|| io::Error::other(format!("no answer of HTTP: {first}")))?;
    let mut headers = Vec::new();
    loop {
        let next = line(from)?;
        let Some((name, value)) = next.split_once(':') else {
            break;
        };
        headers.push((name.to_lowercase(), value.trim().to_owned()));
    }
    let mut answer = Answer {
        status,
        headers,
        body: Vec::new(),
    };
    let length = answer
        .header("content-length")
        .and_then(|length| length.parse().ok());
    if let Some(length) = length {
        // A server may hold the connection open although it was asked not to.
        answer.body = vec![0; length];
        from.read_exact(&mut answer.body)?;
    } else if answer.header("transfer-encoding") == Some("chunked") {
        answer.body = chunks(from)?;
    } else {
        from.read_to_end(&mut answer.body)?;
    }
    Ok(answer)
}

fn line(from: &mut BufReader<TcpStream>) -> io::Result<String> {
    let mut line = String::new();
    from.read_line(&mut line)?;
    Ok(line.trim_end().to_owned())
}

fn chunks(from: &mut BufReader<TcpStream>) -> io::Result<Vec<u8>> {
    let mut body = Vec::new();
    loop {
        let length = usize::from_str_radix(&line(from)?, 16).map_err(io::Error::other)?;
        let mut chunk = vec![0; length];
        from.read_exact(&mut chunk)?;
        line(from)?;
        if length == 0 {
            return Ok(body);
        }
        body.extend(chunk);
    }
}
