//! Where connections are taken: so many at once, and each with a time and a size for the head of a
//! request.
//!
//! Reads no request; only looks for the empty line that ends a head.
//!
//! Invariant: whatever a visitor sends, or does not send, its connection ends, and others are taken
//! meanwhile unless all places are held from several addresses.

use std::collections::HashMap;
use std::future::Future;
use std::io;
use std::net::{IpAddr, SocketAddr};
use std::pin::Pin;
use std::sync::{Arc, Mutex, PoisonError};
use std::task::{Context, Poll};
use std::time::Duration;

use axum::serve::Listener;
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{OwnedSemaphorePermit, Semaphore};
use tokio::time::{Instant, Sleep, sleep};

/// Connections at once; the next ones wait to be taken.
const PLACES: usize = 192;
/// Connections at once from one address; more are closed at once.
const EACH: usize = 96;
/// How long the head of a request may take, the time before it counted.
const HEAD: Duration = Duration::from_secs(20);
/// Most bytes of a head: a page with all that was said in its address is far below.
const HEAD_MOST: usize = 96 * 1024;
/// How long a visitor may take no byte of an answer.
const STALLED: Duration = Duration::from_secs(60);
/// How long to wait when the machine gives no more connections.
const SHORT: Duration = Duration::from_millis(200);

/// Takes connections.
pub(super) struct Bounded {
    listener: TcpListener,
    places: Arc<Semaphore>,
    held: Held,
}

/// Connections by address.
type Held = Arc<Mutex<HashMap<IpAddr, usize>>>;

impl Bounded {
    /// Over a listener.
    pub(super) fn over(listener: TcpListener) -> Bounded {
        Bounded {
            listener,
            places: Arc::new(Semaphore::new(PLACES)),
            held: Held::default(),
        }
    }
}

impl Listener for Bounded {
    type Io = Patient;
    type Addr = SocketAddr;

    async fn accept(&mut self) -> (Patient, SocketAddr) {
        loop {
            let place = self.places.clone().acquire_owned().await;
            let Ok((stream, from)) = self.listener.accept().await else {
                tokio::time::sleep(SHORT).await;
                continue;
            };
            let (Ok(place), Some(mine)) = (place, Mine::of(&self.held, from.ip())) else {
                continue;
            };
            // Small answers are sent at once.
            let _ = stream.set_nodelay(true);
            return (Patient::over(stream, place, mine), from);
        }
    }

    fn local_addr(&self) -> io::Result<SocketAddr> {
        self.listener.local_addr()
    }
}

/// One connection of an address, counted while it lasts.
struct Mine {
    held: Held,
    from: IpAddr,
}

impl Mine {
    /// Counts one more; none where the address has as many as it may.
    fn of(held: &Held, from: IpAddr) -> Option<Mine> {
        let mut counts = held.lock().unwrap_or_else(PoisonError::into_inner);
        let count = counts.entry(from).or_default();
        if *count >= EACH {
            return None;
        }
        *count += 1;
        let held = held.clone();
        Some(Mine { held, from })
    }
}

impl Drop for Mine {
    fn drop(&mut self) {
        let mut counts = self.held.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(count) = counts.get_mut(&self.from) {
            *count -= 1;
            if *count == 0 {
                counts.remove(&self.from);
            }
        }
    }
}

/// A connection whose patience ends.
pub(super) struct Patient {
    stream: TcpStream,
    head: Head,
    /// When the head must be there.
    until: Pin<Box<Sleep>>,
    /// When a byte must have been taken; none while none waits.
    stalled: Option<Pin<Box<Sleep>>>,
    _place: OwnedSemaphorePermit,
    _mine: Mine,
}

impl Patient {
    fn over(stream: TcpStream, place: OwnedSemaphorePermit, mine: Mine) -> Patient {
        Patient {
            stream,
            head: Head::default(),
            until: Box::pin(sleep(HEAD)),
            stalled: None,
            _place: place,
            _mine: mine,
        }
    }

    /// True when the head is not there in time; while an answer waits to be taken none is missed.
    fn is_late(&mut self, context: &mut Context<'_>) -> bool {
        let missed = !self.head.whole() && self.stalled.is_none();
        missed && self.until.as_mut().poll(context).is_ready()
    }

    /// After an answer the next head is waited for. The server does not look for it before it is
    /// woken, so that the wait is begun here.
    fn answered(&mut self, context: &mut Context<'_>) {
        self.head = Head::default();
        self.until.as_mut().reset(Instant::now() + HEAD);
        let _ = self.until.as_mut().poll(context);
    }
}

/// How far the head of a request has come.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Head {
    /// Bytes so far.
    bytes: usize,
    /// Line ends that the last bytes were; two end the head.
    ends: u8,
}

impl Head {
    fn whole(self) -> bool {
        self.ends == 2
    }

    /// Goes on with more bytes; false when they are more than a head may have.
    fn read(&mut self, bytes: &[u8]) -> bool {
        for byte in bytes {
            if self.whole() {
                return true;
            }
            self.bytes += 1;
            match byte {
                b'\n' => self.ends += 1,
                b'\r' => {}
                _ => self.ends = 0,
            }
        }
        self.bytes <= HEAD_MOST || self.whole()
    }
}

fn ended(kind: io::ErrorKind) -> Poll<io::Result<()>> {
    Poll::Ready(Err(io::Error::from(kind)))
}

impl AsyncRead for Patient {
    fn poll_read(
        self: Pin<&mut Self>,
        context: &mut Context<'_>,
        into: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        let this = self.get_mut();
        let before = into.filled().len();
        let read = Pin::new(&mut this.stream).poll_read(context, into);
        match read {
            Poll::Ready(Ok(())) => match this.head.read(&into.filled()[before..]) {
                true => Poll::Ready(Ok(())),
                false => ended(io::ErrorKind::InvalidData),
            },
            Poll::Pending if this.is_late(context) => ended(io::ErrorKind::TimedOut),
            read => read,
        }
    }
}

impl AsyncWrite for Patient {
    fn poll_write(
        self: Pin<&mut Self>,
        context: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<io::Result<usize>> {
        let this = self.get_mut();
        let wrote = Pin::new(&mut this.stream).poll_write(context, bytes);
        if wrote.is_pending() {
            let stalled = this.stalled.get_or_insert_with(|| Box::pin(sleep(STALLED)));
            if stalled.as_mut().poll(context).is_ready() {
                return Poll::Ready(Err(io::ErrorKind::TimedOut.into()));
            }
            return Poll::Pending;
        }
        this.stalled = None;
        // "Go on and send" is no answer yet.
        if !bytes.starts_with(b"HTTP/1.1 100") {
            this.answered(context);
        }
        wrote
    }

    fn poll_flush(self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.get_mut().stream).poll_flush(context)
    }

    fn poll_shutdown(self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.get_mut().stream).poll_shutdown(context)
    }
}

#[cfg(test)]
mod tests {
    use std::net::Ipv4Addr;

    use super::*;

    #[test]
    fn a_head_ends_with_its_empty_line_however_it_is_cut() {
        let text = b"GET / HTTP/1.1\r\nHost: x\r\n\r\nbody\n\n";
        let end = text.len() - 6;
        for cut in 0..text.len() {
            let mut head = Head::default();
            assert!(head.read(&text[..cut]));
            assert_eq!(head.whole(), cut >= end, "{cut}");
            assert!(head.read(&text[cut..]));
            assert!(head.whole());
            assert_eq!(head.bytes, end);
        }
    }

    #[test]
    fn a_head_without_end_is_refused() {
        let mut head = Head::default();
        assert!(head.read(&vec![b'a'; HEAD_MOST]));
        assert!(!head.read(b"a"));
        let mut lines = Head::default();
        assert!(!lines.read(&b"a: b\r\n".repeat(HEAD_MOST)));
    }

    #[test]
    fn an_address_has_its_share_of_places_and_gives_them_back() {
        let held = Held::default();
        let one = IpAddr::V4(Ipv4Addr::LOCALHOST);
        let other = IpAddr::V4(Ipv4Addr::new(127, 0, 0, 2));
        let mut mine: Vec<Mine> = (0..EACH).filter_map(|_| Mine::of(&held, one)).collect();
        assert_eq!(mine.len(), EACH);
        assert!(Mine::of(&held, one).is_none());
        assert!(Mine::of(&held, other).is_some());
        mine.pop();
        assert!(Mine::of(&held, one).is_some());
        drop(mine);
        assert!(held.lock().expect("no panic").is_empty());
    }
}
