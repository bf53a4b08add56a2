//! Replies into responses: pages laid out, files sent, cookies set, the guard's headers on all.
//!
//! Makes no page and hears no request.
//!
//! Invariant: no response leaves without the guard's headers, and none leads out of the house.

use std::io::{self, Read};
use std::sync::Arc;

use axum::body::{Body, Bytes};
use axum::http::response::Builder;
use axum::http::{HeaderName, HeaderValue, StatusCode, header};
use axum::response::Response;
use http_body_util::channel::Channel;

use super::guard::{COOKIE, HEADERS, Visitor};
use super::page;
use super::passing::Passing;
use super::reply::Reply;
use super::size::SCREEN;

/// How long a browser keeps the size of its screen, seconds.
const YEAR: u32 = 31_536_000;
/// Bytes of a file that are sent at a time, and pieces that wait to be taken.
const PIECE: usize = 64 * 1024;
const PIECES: usize = 2;

/// A reply as it goes out, with what every response carries.
pub(super) fn response(reply: Reply, visitor: Option<&Visitor>, part: bool) -> Response {
    let html = "text/html; charset=utf-8";
    let made = Response::builder();
    let built = match reply {
        Reply::Page { place, title, body } => made
            .header(header::CONTENT_TYPE, html)
            .body(page::whole(place, &title, &body, visitor).into()),
        Reply::Sized { screen, page } => return sized(&screen, response(*page, visitor, part)),
        Reply::Refused { place, title, body } => made
            .status(StatusCode::UNPROCESSABLE_ENTITY)
            .header(header::CONTENT_TYPE, html)
            .body(page::whole(place, &title, &body, visitor).into()),
        Reply::Passing {
            kind,
            file,
            save_as,
        } => self::file(made, Some(&save_as), false)
            .header(header::CONTENT_TYPE, kind)
            .body(streamed(file)),
        Reply::Part(body) => made
            .header(header::CONTENT_TYPE, html)
            .body(body.into_string().into()),
        Reply::Onward(to) => made
            .status(StatusCode::SEE_OTHER)
            .header(header::LOCATION, onward(&to))
            .body(Body::empty()),
        Reply::LetIn(cookie) => made
            .status(StatusCode::SEE_OTHER)
            .header(header::LOCATION, "/")
            .header(
                header::SET_COOKIE,
                format!("{COOKIE}={cookie}; HttpOnly; SameSite=Strict; Path=/"),
            )
            .body(Body::empty()),
        Reply::File {
            kind,
            bytes,
            save_as,
            lasting,
        } => file(made, save_as.as_deref(), lasting)
            .header(header::CONTENT_TYPE, kind)
            .body(bytes.into()),
        Reply::Fault(fault) => {
            let body = page::fault(&fault);
            let text = match part {
                true => body.into_string(),
                false => page::whole(page::Place::Elsewhere, "That did not go", &body, visitor),
            };
            made.status(fault.status)
                .header(header::CONTENT_TYPE, html)
                .body(text.into())
        }
    };
    guarded(built.unwrap_or_else(|_| {
        let mut empty = Response::new(Body::empty());
        *empty.status_mut() = StatusCode::INTERNAL_SERVER_ERROR;
        empty
    }))
}

/// A response, and the size of the screen for the browser to keep.
fn sized(screen: &str, mut response: Response) -> Response {
    let kept = format!("{SCREEN}={screen}; Max-Age={YEAR}; SameSite=Strict; Path=/");
    if let Ok(kept) = HeaderValue::try_from(kept) {
        response.headers_mut().insert(header::SET_COOKIE, kept);
    }
    response
}

/// The headers of a file that is shown or saved.
fn file(made: Builder, save_as: Option<&str>, lasting: bool) -> Builder {
    let made = match lasting {
        true => made.header(
            header::CACHE_CONTROL,
            "private, max-age=31536000, immutable",
        ),
        false => made,
    };
    match save_as {
        Some(name) => made.header(header::CONTENT_DISPOSITION, attachment(name)),
        None => made,
    }
}

/// A file as it is read, a piece at a time; it goes when it was sent, or nobody takes it.
fn streamed(passing: Arc<Passing>) -> Body {
    let (mut sender, body) = Channel::<Bytes, io::Error>::new(PIECES);
    tokio::task::spawn(async move {
        let opened = std::fs::File::open(passing.file());
        let mut file = match opened {
            Ok(file) => file,
            Err(error) => return sender.abort(error),
        };
        loop {
            let read = tokio::task::spawn_blocking(move || {
                let mut piece = Vec::with_capacity(PIECE);
                let read = (&mut file).take(PIECE as u64).read_to_end(&mut piece);
                read.map(|_| (file, piece))
            });
            match read.await {
                Ok(Ok((back, piece))) => {
                    if piece.is_empty() || sender.send_data(piece.into()).await.is_err() {
                        return;
                    }
                    file = back;
                }
                Ok(Err(error)) => return sender.abort(error),
                Err(error) => return sender.abort(io::Error::other(error)),
            }
        }
    });
    Body::new(body)
}

/// Sets what every response carries.
fn guarded(mut response: Response) -> Response {
    let headers = response.headers_mut();
    for (name, value) in HEADERS {
        headers.insert(
            HeaderName::from_static(name),
            HeaderValue::from_static(value),
        );
    }
    // Findspots and owners are not left in a browser's store.
    let kept = headers.entry(header::CACHE_CONTROL);
    kept.or_insert(HeaderValue::from_static("no-store"));
    response
}

/// A path of this house, or its first page.
fn onward(to: &str) -> &str {
    let own = to.starts_with('/') && !to.starts_with("//") && !to.contains('\\');
    match own && to.bytes().all(|byte| byte.is_ascii_graphic()) {
        true => to,
        false => "/",
    }
}

/// The header under which a file is saved; only plain signs of its name are kept.
fn attachment(name: &str) -> String {
    let plain = name.chars().map(|sign| match sign {
        sign if sign.is_ascii_alphanumeric() || "-_.".contains(sign) => sign,
        _ => '-',
    });
    let plain: String = plain.take(100).collect();
    format!("attachment; filename=\"{}\"", plain.trim_start_matches('.'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_answer_leads_out_of_the_house() {
        assert_eq!(onward("/find/F1?x=1"), "/find/F1?x=1");
        for to in [
            "//evil.example/",
            "http://evil.example",
            "/\\evil.example",
            "/a\r\nx: y",
            "",
        ] {
            assert_eq!(onward(to), "/", "{to:?}");
        }
        assert_eq!(
            attachment("../a\"b\r\n.zip"),
            "attachment; filename=\"-a-b--.zip\""
        );
    }
}
