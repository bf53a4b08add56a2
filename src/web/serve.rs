//! The server: requests into [`Asked`], through the guard, to a page, and its [`Reply`] out.
//!
//! The only place that knows the network. Makes no page.
//!
//! Invariant: what a request may bring is bounded before it is read, and work and memory of requests
//! that come at once are bounded with it.

use std::fmt;
use std::io::{self, Read};
use std::net::{IpAddr, SocketAddr, TcpListener};
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::body::{Body, Bytes, to_bytes};
use axum::extract::rejection::RawPathParamsRejection;
use axum::extract::{FromRequest, Multipart, RawPathParams, Request, State};
use axum::http::response::Builder;
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode, header};
use axum::response::Response;
use axum::routing::{MethodFilter, on};
use http_body_util::BodyExt;
use http_body_util::channel::Channel;
use tokio::sync::Semaphore;

use super::asked::{Asked, Fields, Sent};
use super::desk::Desk;
use super::guard::{COOKIE, HEADERS, Shown, not_for_guests};
use super::listen::Bounded;
use super::page;
use super::passing::Passing;
use super::reply::{Fault, Reply};
use super::routes::{Does, FORM_MOST, Route, all};

/// How long a form may take to come, and a form with files.
const BRINGING: Duration = Duration::from_secs(30);
const BRINGING_FILES: Duration = Duration::from_secs(300);
/// Requests with files that are heard at once.
const UPLOADS: usize = 2;
/// Threads that make pages.
const HANDS: usize = 4;
/// Bytes of too large a form that are let go by, so that the refusal is seen.
const PASSED_BY: usize = 64 * 1024 * 1024;
/// Bytes of a file that are sent at a time, and pieces that wait to be taken.
const PIECE: usize = 64 * 1024;
const PIECES: usize = 2;
/// Most parts of a form with files.
const PARTS_MOST: usize = 64;

/// Why the pages cannot be served.
#[derive(Debug)]
pub enum ServeFault {
    /// The address cannot be listened at.
    Address(SocketAddr, io::Error),
    /// The machine failed.
    Machine(io::Error),
}

impl fmt::Display for ServeFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ServeFault::Address(address, error) => write!(f, "cannot listen at {address}: {error}"),
            ServeFault::Machine(error) => write!(f, "the pages cannot be served: {error}"),
        }
    }
}

impl std::error::Error for ServeFault {}

/// A place to serve at, held but not yet served.
pub struct Serving {
    listener: TcpListener,
    address: SocketAddr,
}

/// What every request meets.
#[derive(Clone)]
struct Front {
    desk: Arc<Desk>,
    uploads: Arc<Semaphore>,
}

impl Serving {
    /// Takes hold of an address; port 0 takes any that is free.
    ///
    /// # Errors
    ///
    /// When another program has it, or it is none of this machine's.
    pub fn at(ip: IpAddr, port: u16) -> Result<Serving, ServeFault> {
        let wanted = SocketAddr::new(ip, port);
        let failed = |error| ServeFault::Address(wanted, error);
        let listener = TcpListener::bind(wanted).map_err(failed)?;
        listener.set_nonblocking(true).map_err(failed)?;
        let address = listener.local_addr().map_err(failed)?;
        Ok(Serving { listener, address })
    }

    /// The address with its port.
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// Serves until the process ends.
    ///
    /// # Errors
    ///
    /// When the machine gives no threads or no network.
    pub fn run(self, desk: Desk) -> Result<(), ServeFault> {
        let running = tokio::runtime::Builder::new_current_thread()
            .enable_io()
            .enable_time()
            .max_blocking_threads(HANDS)
            .build()
            .map_err(ServeFault::Machine)?;
        let front = Front {
            desk: Arc::new(desk),
            uploads: Arc::new(Semaphore::new(UPLOADS)),
        };
        running.block_on(async move {
            let listener =
                tokio::net::TcpListener::from_std(self.listener).map_err(ServeFault::Machine)?;
            let served = axum::serve(Bounded::over(listener), router(front)).await;
            served.map_err(ServeFault::Machine)
        })
    }
}

/// The parts of a path that the route names.
type Path = Result<RawPathParams, RawPathParamsRejection>;

fn router(front: Front) -> Router {
    let mut router = Router::new();
    for route in all() {
        let filter = match route.does {
            Does::Get => MethodFilter::GET,
            Does::Post => MethodFilter::POST,
        };
        let answer = move |State(front): State<Front>, path: Path, request: Request| async move {
            // A path that is no text leads nowhere.
            let route = path.is_ok().then_some(route);
            let mut fields = Fields::default();
            for (name, text) in path.iter().flatten() {
                fields.push(name, text);
            }
            answer(front, route, fields, request).await
        };
        router = router.route(route.path, on(filter, answer));
    }
    let lost = |State(front): State<Front>, request: Request| async move {
        answer(front, None, Fields::default(), request).await
    };
    router
        .method_not_allowed_fallback(lost)
        .fallback(lost)
        .with_state(front)
}

/// What the guard and the answer go by, owned, so that the request itself may be taken apart.
struct Head {
    host: Option<String>,
    origin: Option<String>,
    site: Option<String>,
    mode: Option<String>,
    cookie: Option<String>,
    changes: bool,
    part: bool,
}

impl Head {
    fn of(request: &Request) -> Head {
        let headers = request.headers();
        let text = |name: &str| one(headers, name).map(str::to_string);
        Head {
            host: text("host"),
            origin: text("origin"),
            site: text("sec-fetch-site"),
            mode: text("sec-fetch-mode"),
            cookie: text("cookie"),
            changes: !request.method().is_safe(),
            part: one(headers, "x-part").is_some(),
        }
    }

    fn shown(&self) -> Shown<'_> {
        Shown {
            host: self.host.as_deref(),
            origin: self.origin.as_deref(),
            site: self.site.as_deref(),
            mode: self.mode.as_deref(),
            cookie: self.cookie.as_deref(),
            changes: self.changes,
        }
    }
}

/// A header's text where it came once and is plain text.
fn one<'h>(headers: &'h HeaderMap, name: &str) -> Option<&'h str> {
    let mut all = headers.get_all(name).iter();
    let first = all.next()?;
    match all.next() {
        Some(_) => None,
        None => first.to_str().ok(),
    }
}

async fn answer(front: Front, route: Option<Route>, path: Fields, request: Request) -> Response {
    let head = Head::of(&request);
    let visitor = match front.desk.guard.admit(&head.shown()) {
        Ok(()) => front.desk.guard.visitor(&head.shown()),
        Err(fault) => return response(fault.into(), None, head.part),
    };
    let outside = route.is_some_and(|route| route.outside);
    if visitor.is_none() && !outside {
        let onward = Reply::Onward("/enter".into());
        return response(onward, None, head.part);
    }
    let known = visitor.clone().unwrap_or_default();
    let made = match route {
        None => Fault::nothing_here().into(),
        Some(route) if known.guest && !route.guests => not_for_guests().into(),
        Some(route) => match hear(&front, &route, request).await {
            Err(fault) => fault.into(),
            Ok(mut asked) => {
                let allowed = match head.changes && !outside {
                    true => known.allow(asked.form.get("token")),
                    false => Ok(()),
                };
                asked.path = path;
                asked.visitor = known;
                asked.part = head.part;
                match allowed {
                    Err(fault) => fault.into(),
                    Ok(()) => at_work(front.desk.clone(), route, asked).await,
                }
            }
        },
    };
    response(made, visitor.as_ref(), head.part)
}

/// Makes the page on a thread of its own, so that hearing others goes on.
async fn at_work(desk: Arc<Desk>, route: Route, asked: Asked) -> Reply {
    let made = tokio::task::spawn_blocking(move || (route.page)(&desk, &asked)).await;
    made.unwrap_or_else(|_| {
        Fault::new(500, "the page could not be made", "go back and try again").into()
    })
}

/// Reads what a request brings.
async fn hear(front: &Front, route: &Route, request: Request) -> Result<Asked, Fault> {
    let query = request.uri().query().unwrap_or_default();
    let mut asked = Asked {
        query: Fields::read(query.as_bytes()),
        ..Asked::default()
    };
    if route.does == Does::Get {
        return Ok(asked);
    }
    let (_place, time) = match route.most > FORM_MOST {
        true => (front.uploads.acquire().await.ok(), BRINGING_FILES),
        false => (None, BRINGING),
    };
    let form = one(request.headers(), "content-type").unwrap_or_default();
    let form = form.split(';').next().unwrap_or_default().trim();
    let told = form.to_ascii_lowercase();
    let length = one(request.headers(), "content-length").and_then(|text| text.parse().ok());
    let bringing = async {
        if length.is_some_and(|length: usize| length > route.most) {
            pass_by(request.into_body()).await;
            return Err(too_much(route.most));
        }
        match told.as_str() {
            "application/x-www-form-urlencoded" => {
                let bytes = to_bytes(request.into_body(), route.most.min(FORM_MOST)).await;
                asked.form = Fields::read(&bytes.map_err(|_| too_much(route.most))?);
            }
            "multipart/form-data" => parts(request, route.most, &mut asked).await?,
            _ => return Err(unread()),
        }
        Ok(asked)
    };
    tokio::time::timeout(time, bringing)
        .await
        .unwrap_or_else(|_| Err(Fault::new(408, "the form took too long", "send it again")))
}

/// Lets what is too much go by unread, as far as that goes: a browser reads no answer before it has
/// sent everything.
async fn pass_by(mut body: Body) {
    let mut left = PASSED_BY;
    while let Some(Ok(frame)) = body.frame().await {
        let bytes = frame.data_ref().map_or(0, |bytes| bytes.len());
        match left.checked_sub(bytes) {
            Some(less) => left = less,
            None => return,
        }
    }
}

/// Reads a form with files.
async fn parts(request: Request, most: usize, asked: &mut Asked) -> Result<(), Fault> {
    let request = request.map(|body| Body::new(http_body_util::Limited::new(body, most)));
    let mut form = Multipart::from_request(request, &())
        .await
        .map_err(|_| unread())?;
    let mut count = 0;
    loop {
        let Some(part) = form.next_field().await.map_err(|_| too_much(most))? else {
            return Ok(());
        };
        count += 1;
        if count > PARTS_MOST {
            return Err(too_much(most));
        }
        let field = part.name().unwrap_or_default().to_string();
        let name = part.file_name().map(str::to_string);
        let bytes = part.bytes().await.map_err(|_| too_much(most))?;
        match name {
            Some(name) => asked.files.push(Sent {
                field,
                name,
                bytes: bytes.to_vec(),
            }),
            None => asked.form.push(&field, &String::from_utf8_lossy(&bytes)),
        }
    }
}

fn too_much(most: usize) -> Fault {
    Fault::new(
        413,
        format!("that was more than {} kB, or broke off", most / 1024),
        "send less at once",
    )
}

fn unread() -> Fault {
    Fault::new(
        415,
        "the form could not be read",
        "open the page again and send it once more",
    )
}

fn response(reply: Reply, visitor: Option<&super::guard::Visitor>, part: bool) -> Response {
    let html = "text/html; charset=utf-8";
    let made = Response::builder();
    let built = match reply {
        Reply::Page { place, title, body } => made
            .header(header::CONTENT_TYPE, html)
            .body(page::whole(place, &title, &body, visitor).into()),
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
