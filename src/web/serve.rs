//! The server: requests into [`Asked`], through the guard, to a page, and its [`Reply`] on to the
//! room that sends it.
//!
//! The only place that knows the network. Makes no page.
//!
//! Invariant: what a request may bring is bounded before it is read, and work and memory of requests
//! that come at once are bounded with it.

use std::fmt;
use std::io;
use std::net::{IpAddr, SocketAddr, TcpListener};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::extract::rejection::RawPathParamsRejection;
use axum::extract::{FromRequest, Multipart, RawPathParams, Request, State};
use axum::http::HeaderMap;
use axum::response::Response;
use axum::routing::{MethodFilter, on};
use http_body_util::BodyExt;
use tokio::sync::Semaphore;

use super::asked::{Asked, Fields, Sent};
use super::desk::Desk;
use super::guard::{Shown, cookie, not_for_guests};
use super::listen::Bounded;
use super::reply::{Fault, Reply};
use super::response::response;
use super::routes::{Does, FORM_MOST, Route, all};
use super::size::SCREEN;

/// How long a form may take to come, and a form with files.
const BRINGING: Duration = Duration::from_secs(30);
const BRINGING_FILES: Duration = Duration::from_secs(300);
/// Requests with files that are heard at once.
const UPLOADS: usize = 2;
/// Threads that make pages.
const HANDS: usize = 4;
/// Bytes of too large a form that are let go by, so that the refusal is seen.
const PASSED_BY: usize = 64 * 1024 * 1024;
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

    /// The size of the screen as the browser kept it.
    fn screen(&self) -> Option<String> {
        let kept = cookie(self.cookie.as_deref()?, SCREEN)?;
        Some(kept.chars().take(20).collect())
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
                asked.screen = head.screen();
                asked.part = head.part;
                match allowed {
                    Err(fault) => fault.into(),
                    Ok(()) => at_work(front.desk.clone(), route, asked).await,
                }
            }
        },
    };
    let made = match made {
        // Another site may lead here, but not set how large this screen is taken to be.
        Reply::Sized { page, .. } if head.shown().foreign() => *page,
        made => made,
    };
    response(made, visitor.as_ref(), head.part)
}

/// Makes the page on a thread of its own, so that hearing others goes on.
async fn at_work(desk: Arc<Desk>, route: Route, asked: Asked) -> Reply {
    let made = tokio::task::spawn_blocking(move || caught(|| (route.page)(&desk, &asked))).await;
    made.unwrap_or_else(|_| not_made())
}

/// What a page gives; a calm page where it broke down, so that nobody else is harmed by it. What was
/// being changed then is a transaction that never ended, and was not kept.
fn caught(page: impl FnOnce() -> Reply) -> Reply {
    // Whatever was half done goes with the request: the desk holds no lock while a page is made, and
    // each of its locks is taken over whole.
    catch_unwind(AssertUnwindSafe(page)).unwrap_or_else(|_| not_made())
}

fn not_made() -> Reply {
    let what = "the page could not be made: that is a fault of Lynchet's own";
    let mend = "go back and see whether it was done before you try again; a change is kept whole or not at all";
    Fault::new(500, what, mend).into()
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_that_breaks_down_is_a_calm_page() {
        // As a page does that holds the lock of what others need.
        let lock = std::sync::Mutex::new(1);
        let broken = caught(|| {
            let held = lock.lock().expect("nobody has it");
            panic!("a test of what happens then, {held}");
        });
        let Reply::Fault(fault) = &broken else {
            panic!("{broken:?}");
        };
        assert_eq!(fault.status, 500);
        assert!(fault.mend.contains("whole"), "{}", fault.mend);
        assert!(!fault.what.contains("a test"), "{}", fault.what);
        let response = response(broken, None, false);
        assert_eq!(response.status().as_u16(), 500);
        let policy = response.headers().get("content-security-policy");
        assert!(policy.is_some(), "it is guarded as every answer is");
        // Others go on, whoever held what when it broke.
        let next = lock
            .lock()
            .unwrap_or_else(std::sync::PoisonError::into_inner);
        assert_eq!(*next, 1);
        assert!(matches!(
            caught(|| Reply::Onward("/".into())),
            Reply::Onward(_)
        ));
    }
}
