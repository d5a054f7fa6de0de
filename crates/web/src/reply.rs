//! What a browser is answered.

use axum::body::Body;
use axum::http::{HeaderName, HeaderValue, Response, StatusCode, header};
use serde_json::Value;

/// What a browser is answered.
#[derive(Debug)]
pub(crate) struct Reply {
    pub(crate) status: StatusCode,
    pub(crate) headers: Vec<(HeaderName, HeaderValue)>,
    pub(crate) body: Vec<u8>,
}

impl Reply {
    pub(crate) fn new(status: StatusCode, kind: &'static str, body: impl Into<Vec<u8>>) -> Self {
        Self {
            status,
            headers: vec![(header::CONTENT_TYPE, HeaderValue::from_static(kind))],
            body: body.into(),
        }
    }

    pub(crate) fn html(status: StatusCode, body: String) -> Self {
        Self::new(status, "text/html; charset=utf-8", body)
    }

    pub(crate) fn json(status: StatusCode, value: &Value) -> Self {
        Self::new(status, "application/json", format!("{value:#}\n"))
    }

    pub(crate) fn plain(status: StatusCode, says: impl Into<String>) -> Self {
        Self::new(status, "text/plain; charset=utf-8", says.into() + "\n")
    }

    /// A file to be printed.
    pub(crate) fn pdf(name: &str, body: Vec<u8>) -> Self {
        Self::new(StatusCode::OK, "application/pdf", body).with(
            header::CONTENT_DISPOSITION,
            &format!("inline; filename=\"{}.pdf\"", plain_name(name)),
        )
    }

    /// A drawing to be kept as a file.
    pub(crate) fn svg(name: &str, body: String) -> Self {
        Self::new(StatusCode::OK, "image/svg+xml; charset=utf-8", body).with(
            header::CONTENT_DISPOSITION,
            &format!("attachment; filename=\"{}.svg\"", plain_name(name)),
        )
    }

    /// A drawing for a program that draws or cuts.
    pub(crate) fn dxf(name: &str, body: Vec<u8>) -> Self {
        Self::new(StatusCode::OK, "image/vnd.dxf", body).with(
            header::CONTENT_DISPOSITION,
            &format!("attachment; filename=\"{}.dxf\"", plain_name(name)),
        )
    }

    /// A sheet to be kept as a file.
    pub(crate) fn csv(name: &str, body: String) -> Self {
        Self::new(StatusCode::OK, "text/csv; charset=utf-8", body).with(
            header::CONTENT_DISPOSITION,
            &format!("attachment; filename=\"{}.csv\"", plain_name(name)),
        )
    }

    /// It was written; the browser goes on to a page that can be loaded again.
    pub(crate) fn see_other(to: &str) -> Self {
        Self::new(StatusCode::SEE_OTHER, "text/plain; charset=utf-8", "Written.\n").with(header::LOCATION, to)
    }

    #[must_use]
    pub(crate) fn with(mut self, name: HeaderName, value: &str) -> Self {
        // What cannot stand in a header is left out rather than sent in pieces.
        if let Ok(value) = HeaderValue::from_str(value) {
            self.headers.push((name, value));
        }
        self
    }

    /// The answer; where only its head was asked for, its body is counted and kept back.
    pub(crate) fn into_response(self, head_alone: bool) -> Response<Body> {
        let length = self.body.len();
        let body = if head_alone {
            Body::empty()
        } else {
            Body::from(self.body)
        };
        let mut response = Response::new(body);
        *response.status_mut() = self.status;
        response.headers_mut().extend(self.headers);
        if self.status != StatusCode::NOT_MODIFIED {
            response
                .headers_mut()
                .insert(header::CONTENT_LENGTH, length.into());
        }
        response
    }
}

/// A name for a file; what does not belong into one becomes a dash.
fn plain_name(name: &str) -> String {
    let plain = |letter: char| {
        if letter.is_ascii_alphanumeric() {
            letter
        } else {
            '-'
        }
    };
    let name: String = name.chars().map(plain).collect();
    name.trim_matches('-').to_owned()
}
