//! What a browser asks for.

use std::collections::BTreeMap;

use app::pairing::Paired;
use axum::http::{HeaderMap, Uri, header};
use jiff::civil::Date;

use crate::desk::Desk;
use crate::door::Door;
use crate::guard::Session;
use crate::place::{Place, path};

/// What was filled in, by key.
pub(crate) type Sent = BTreeMap<String, String>;

/// What a browser asks for.
#[derive(Debug)]
pub(crate) struct Asked {
    /// What lies there; `None` if nothing does.
    pub(crate) place: Option<Place>,
    /// The path alone.
    pub(crate) path: String,
    /// The question.
    pub(crate) query: Sent,
    /// The number of the table that is asked for as a file.
    pub(crate) csv: Option<usize>,
    /// The paper to print on, where it is not asked for by name: what is usual where the browser's language is.
    pub(crate) paper: press::Paper,
    /// An answer for a program is asked for.
    pub(crate) json: bool,
    pub(crate) session: Session,
    /// The paired machine that asks; `None` is this machine.
    pub(crate) guest: Option<Paired>,
    /// Which versions of it the asker has already, as the header says it.
    pub(crate) known: Option<String>,
    /// The page of ours that led here.
    pub(crate) from: Option<String>,
}

impl Asked {
    pub(crate) fn read(uri: &Uri, headers: &HeaderMap, desk: &Desk, door: &Door) -> Self {
        let query = sent(uri.query().unwrap_or_default().as_bytes());
        let table = query.get("table").and_then(|table| table.parse().ok());
        let sheet = uri.path().strip_suffix(".csv").zip(table);
        let (path, csv) = sheet.map_or((uri.path(), None), |(path, table)| (path, Some(table)));
        let text = |name| {
            headers
                .get(name)
                .and_then(|value: &axum::http::HeaderValue| value.to_str().ok())
        };
        let own = text(header::HOST).map(|host| format!("{}://{host}", door.scheme));
        let from = text(header::REFERER)
            .zip(own)
            .and_then(|(from, own)| way_back(from.strip_prefix(&own)?));
        Self {
            place: Place::of(path),
            path: path.to_owned(),
            csv,
            json: text(header::ACCEPT).is_some_and(|accept| accept.contains("application/json")),
            paper: paper(text(header::ACCEPT_LANGUAGE).unwrap_or_default()),
            session: Session::of(headers, desk, door),
            guest: None,
            known: text(header::IF_NONE_MATCH).map(str::to_owned),
            from,
            query,
        }
    }

    /// Who writes, where the machine that asks was paired for somebody.
    pub(crate) fn by(&self) -> Option<&str> {
        let by = self.guest.as_ref().map(|guest| guest.by.as_str());
        by.filter(|by| !by.is_empty())
    }

    /// The day that is asked for, or what was given instead of one.
    pub(crate) fn on(&self) -> Result<Option<Date>, &str> {
        match self.query.get("on").map(|said| said.trim()) {
            None | Some("") => Ok(None),
            Some(said) => day(said).map(Some).ok_or(said),
        }
    }

    /// This address, with something else for some of its keys; none takes a key away.
    pub(crate) fn with(&self, keys: &[(&str, Option<&str>)]) -> String {
        let kept = self
            .query
            .iter()
            .filter(|(key, _)| keys.iter().all(|(changed, _)| changed != key))
            .map(|(key, value)| (key.as_str(), value.as_str()));
        let changed = keys.iter().filter_map(|(key, value)| Some((*key, (*value)?)));
        address(&self.path, kept.chain(changed))
    }

    /// This address, as a form returns to it.
    pub(crate) fn here(&self) -> String {
        self.with(&[("done", None)])
    }
}

/// The paper that is usual where a language is spoken: Letter in the United States, Canada and Mexico (common
/// practice, no source).
fn paper(languages: &str) -> press::Paper {
    let first = languages.split([',', ';']).next().unwrap_or_default().trim();
    let land = first.rsplit_once('-').map_or("", |(_, land)| land);
    let letter = ["us", "ca", "mx"]
        .iter()
        .any(|one| land.eq_ignore_ascii_case(one));
    if letter {
        press::Paper::Letter
    } else {
        press::Paper::A4
    }
}

/// A day as these pages write it, and in no other way.
fn day(said: &str) -> Option<Date> {
    said.parse::<Date>().ok().filter(|day| day.to_string() == said)
}

/// A path with a question behind it.
pub(crate) fn address<'a>(path: &str, query: impl IntoIterator<Item = (&'a str, &'a str)>) -> String {
    let query = form_urlencoded::Serializer::new(String::new())
        .extend_pairs(query)
        .finish();
    if query.is_empty() {
        path.to_owned()
    } else {
        format!("{path}?{query}")
    }
}

/// What was filled in. A key that comes twice has its last value; notes to be settled are all meant.
pub(crate) fn sent(bytes: &[u8]) -> Sent {
    let mut sent = Sent::new();
    for (key, value) in form_urlencoded::parse(bytes) {
        match sent.get_mut("of") {
            Some(of) if key == "of" => {
                of.push(',');
                of.push_str(&value);
            }
            _ => {
                sent.insert(key.into_owned(), value.replace("\r\n", "\n"));
            }
        }
    }
    sent
}

/// A way back to an answer of ours, without what it said was written; anything else leads nowhere.
pub(crate) fn way_back(said: &str) -> Option<String> {
    let uri: Uri = said.parse().ok()?;
    if !said.starts_with('/') || uri.authority().is_some() {
        return None;
    }
    let Some(Place::Answer(_)) = Place::of(uri.path()) else {
        return None;
    };
    let mut query = sent(uri.query().unwrap_or_default().as_bytes());
    query.remove("done");
    let query = query.iter().map(|(key, value)| (key.as_str(), value.as_str()));
    Some(address(uri.path(), query))
}

/// The same page, saying what was written by a form.
pub(crate) fn with_done(back: &str, once: &str) -> String {
    let (path, query) = back.split_once('?').unwrap_or((back, ""));
    let mut query = sent(query.as_bytes());
    query.insert("done".to_owned(), once.to_owned());
    address(
        path,
        query.iter().map(|(key, value)| (key.as_str(), value.as_str())),
    )
}

/// The page of a thing.
pub(crate) fn page_of(kind: &str, name: &str) -> String {
    path(&[kind, name])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_answers_of_ours_are_a_way_back() {
        for (said, back) in [
            ("/", Some("/")),
            (
                "/hive/alder?on=2026-07-19&done=x",
                Some("/hive/alder?on=2026-07-19"),
            ),
            ("/books?find=a%26b&part=2", Some("/books?find=a%26b&part=2")),
            ("/write/look", None),
            ("/asset/page.js", None),
            ("//example.com/", None),
            ("/\\example.com", None),
            ("http://example.com/", None),
            ("http://example.com/yard", None),
            ("example.com:80", None),
            ("*", None),
            ("javascript:alert(1)", None),
            ("/yard\r\nset-cookie: a=b", None),
            ("", None),
        ] {
            assert_eq!(way_back(said).as_deref(), back, "{said}");
        }
    }

    #[test]
    fn paper_is_what_is_usual_where_the_browser_is() {
        use press::Paper::{A4, Letter};
        for (languages, usual) in [
            ("en-US,en;q=0.9", Letter),
            ("fr-CA", Letter),
            ("en-GB", A4),
            ("de", A4),
            ("", A4),
        ] {
            assert_eq!(paper(languages), usual, "{languages}");
        }
    }

    #[test]
    fn a_day_is_written_in_one_way() {
        assert!(day("2026-07-19").is_some());
        for said in [
            "20260719",
            "2026-7-19",
            "2026-02-30",
            "19.7.2026",
            "2026-07-19T10:00",
            "x",
        ] {
            assert!(day(said).is_none(), "{said}");
        }
    }

    #[test]
    fn notes_to_be_settled_are_all_meant() {
        let sent = sent(b"of=laptop%2F1&of=phone%2F2&a=1&a=2");
        assert_eq!(sent["of"], "laptop/1,phone/2");
        assert_eq!(sent["a"], "2");
    }
}
