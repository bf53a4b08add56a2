//! The guard: who may ask, from where, and what a browser may do with an answer.
//!
//! Knows hosts, origins, pass phrases, sessions and tokens; no page. Keeps nothing on the disk.
//!
//! Invariant: a request for another host, from another site, without the pass where there is one, or
//! that changes something without the token, is refused before any page sees it; secrets are
//! compared in a time that does not depend on where they differ.

use std::collections::VecDeque;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use super::reply::Fault;

/// What every response carries.
pub(super) const HEADERS: [(&str, &str); 7] = [
    (
        "content-security-policy",
        "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; \
         connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    ),
    ("x-content-type-options", "nosniff"),
    // Not "no-referrer": a browser would then send no origin with our own forms.
    ("referrer-policy", "same-origin"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    (
        "permissions-policy",
        "camera=(), geolocation=(), microphone=()",
    ),
    ("x-frame-options", "DENY"),
];

/// The cookie of a visitor that was let in.
pub(super) const COOKIE: &str = "lynchet-visit";
/// Most visitors at once; the guest let in first goes first, then the finder let in first.
const VISITORS_MOST: usize = 64;
/// Wrong passes from all visitors together before the door stays shut, and for how long.
const TRIES: usize = 10;
const SHUT: Duration = Duration::from_secs(300);

/// The pass phrases of pages that the home network may ask for.
#[derive(Clone)]
pub struct Passes {
    /// Of the finder: may do everything.
    pub finder: String,
    /// Of a guest: sees the shelf without findspots, owners and finders, and changes nothing.
    pub guest: Option<String>,
}

/// Who asks.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Visitor {
    /// The token that a change must bring.
    pub(super) token: String,
    /// True when only what may be shown to others is shown, and nothing may be changed.
    pub(super) guest: bool,
}

/// What the guard goes by of a request.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Shown<'r> {
    pub(super) host: Option<&'r str>,
    pub(super) origin: Option<&'r str>,
    /// `Sec-Fetch-Site`.
    pub(super) site: Option<&'r str>,
    /// `Sec-Fetch-Mode`.
    pub(super) mode: Option<&'r str>,
    /// The `Cookie` header.
    pub(super) cookie: Option<&'r str>,
    /// True when the request changes something.
    pub(super) changes: bool,
}

struct Session {
    id: String,
    visitor: Visitor,
}

/// The guard.
pub(super) struct Guard {
    hosts: Vec<String>,
    passes: Option<Passes>,
    /// The visitor where only this machine can ask.
    owner: Visitor,
    sessions: Mutex<VecDeque<Session>>,
    wrong: Mutex<VecDeque<Instant>>,
}

impl Guard {
    /// A guard for these hosts.
    pub(super) fn new(
        hosts: Vec<String>,
        passes: Option<Passes>,
    ) -> Result<Guard, getrandom::Error> {
        Ok(Guard {
            hosts,
            passes,
            owner: Visitor {
                token: secret()?,
                guest: false,
            },
            sessions: Mutex::default(),
            wrong: Mutex::default(),
        })
    }

    /// Refuses a request that is not for this house or comes from another site.
    pub(super) fn admit(&self, shown: &Shown<'_>) -> Result<(), Fault> {
        let host = shown.host.unwrap_or_default().to_ascii_lowercase();
        if !self.hosts.contains(&host) {
            return Err(Fault::new(
                421,
                "these pages are not served under that name",
                "use the address that lynchet serve printed",
            ));
        }
        if !shown.changes {
            // Another site may lead here, but not take a page in or have one made behind its own.
            return match shown.foreign() && shown.mode != Some("navigate") {
                true => Err(Fault::new(
                    403,
                    "the page was asked for by another site",
                    "open it from here",
                )),
                false => Ok(()),
            };
        }
        let own = match shown.origin {
            Some(origin) => origin.eq_ignore_ascii_case(&format!("http://{host}")),
            None => shown.site == Some("same-origin"),
        };
        match own {
            true => Ok(()),
            false => Err(Fault::new(
                403,
                "the change was asked for by another site",
                "open the page from here and send it again",
            )),
        }
    }

    /// Who asks; none for a visitor that has not been let in.
    pub(super) fn visitor(&self, shown: &Shown<'_>) -> Option<Visitor> {
        if self.passes.is_none() {
            return Some(self.owner.clone());
        }
        let brought = cookie(shown.cookie?, COOKIE)?;
        let sessions = held(&self.sessions);
        let found = sessions.iter().find(|one| same(&one.id, brought));
        found.map(|one| one.visitor.clone())
    }

    /// Lets a visitor in who brings a pass: the cookie's value.
    pub(super) fn let_in(&self, pass: &str, now: Instant) -> Result<String, Fault> {
        let Some(passes) = &self.passes else {
            return Err(Fault::nothing_here());
        };
        let mut wrong = held(&self.wrong);
        while wrong
            .front()
            .is_some_and(|at| now.duration_since(*at) > SHUT)
        {
            wrong.pop_front();
        }
        if wrong.len() >= TRIES {
            return Err(Fault::new(
                429,
                "too many wrong pass phrases",
                "wait five minutes and try again",
            ));
        }
        let finder = same(&passes.finder, pass);
        let guest = passes
            .guest
            .as_ref()
            .is_some_and(|phrase| same(phrase, pass));
        if !finder && !guest {
            wrong.push_back(now);
            return Err(Fault::new(
                403,
                "that is not the pass phrase",
                "read it again where lynchet serve printed it",
            ));
        }
        drop(wrong);
        let id = secret().map_err(|_| no_chance())?;
        let visitor = Visitor {
            token: secret().map_err(|_| no_chance())?,
            guest: !finder,
        };
        let mut sessions = held(&self.sessions);
        if sessions.len() >= VISITORS_MOST {
            // A guest that comes again and again must not put the finder out.
            let guest = sessions.iter().position(|one| one.visitor.guest);
            sessions.remove(guest.unwrap_or(0));
        }
        sessions.push_back(Session {
            id: id.clone(),
            visitor,
        });
        Ok(id)
    }
}

impl Visitor {
    /// Refuses a change that did not bring the visitor's token.
    pub(super) fn allow(&self, token: Option<&str>) -> Result<(), Fault> {
        match token.is_some_and(|token| same(token, &self.token)) {
            true => Ok(()),
            false => Err(Fault::new(
                403,
                "the page is from before Lynchet was started anew",
                "open the page again and send it once more; nothing was changed",
            )),
        }
    }
}

/// A cookie of this name in the header that a browser sent.
pub(super) fn cookie<'h>(header: &'h str, name: &str) -> Option<&'h str> {
    header.split(';').find_map(|pair| {
        let (named, value) = pair.trim().split_once('=')?;
        (named == name).then_some(value)
    })
}

impl Shown<'_> {
    /// True when another site led here.
    pub(super) fn foreign(&self) -> bool {
        matches!(self.site, Some("cross-site" | "same-site"))
    }
}

/// What a guest is told who would change something or see what is not for guests.
pub(super) fn not_for_guests() -> Fault {
    Fault::new(
        403,
        "that is not for guests",
        "ask whoever served these pages",
    )
}

fn no_chance() -> Fault {
    Fault::new(500, "this machine gives no chance numbers", "start again")
}

/// The value, also after another thread failed while it held the lock: each is whole at any time.
fn held<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}

/// True of equal texts, in a time that does not tell where they differ.
fn same(one: &str, other: &str) -> bool {
    one.len() == other.len()
        && one
            .bytes()
            .zip(other.bytes())
            .fold(0, |differ, (one, other)| differ | (one ^ other))
            == 0
}

/// Letters and digits that are not taken for one another when read aloud or typed.
const SIGNS: &[u8; 32] = b"abcdefghijkmnpqrstuvwxyz23456789";

/// 160 bits of chance as text.
fn secret() -> Result<String, getrandom::Error> {
    chance(32)
}

fn chance(signs: usize) -> Result<String, getrandom::Error> {
    let mut bytes = vec![0; signs];
    getrandom::fill(&mut bytes)?;
    let signs = bytes
        .iter()
        .map(|byte| char::from(SIGNS[usize::from(byte % 32)]));
    Ok(signs.collect())
}

impl Passes {
    /// A pass phrase by chance, 60 bits, in three groups.
    ///
    /// # Errors
    ///
    /// When the machine gives no chance.
    pub fn phrase() -> Result<String, getrandom::Error> {
        let signs = chance(12)?;
        Ok(format!("{}-{}-{}", &signs[..4], &signs[4..8], &signs[8..]))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const HOST: &str = "127.0.0.1:8000";

    fn guard(passes: Option<Passes>) -> Guard {
        Guard::new(vec![HOST.into(), "localhost:8000".into()], passes).expect("chance")
    }

    fn passes() -> Option<Passes> {
        Some(Passes {
            finder: "abcd-efgh-ijkm".into(),
            guest: Some("2345-6789-abcd".into()),
        })
    }

    #[test]
    fn other_names_and_other_sites_are_refused() {
        let guard = guard(None);
        let asked = |host, origin, site, changes| {
            let shown = Shown {
                host,
                origin,
                site,
                mode: None,
                cookie: None,
                changes,
            };
            guard.admit(&shown).map_err(|fault| fault.status)
        };
        assert_eq!(asked(Some(HOST), None, None, false), Ok(()));
        assert_eq!(asked(Some("LOCALHOST:8000"), None, None, false), Ok(()));
        for host in [None, Some("evil.example"), Some("127.0.0.1"), Some("")] {
            assert_eq!(asked(host, None, None, false), Err(421), "{host:?}");
        }
        let own = Some("http://127.0.0.1:8000");
        assert_eq!(asked(Some(HOST), own, None, true), Ok(()));
        assert_eq!(asked(Some(HOST), None, Some("same-origin"), true), Ok(()));
        for origin in [
            None,
            Some("null"),
            Some("http://localhost:8000"),
            Some("https://127.0.0.1:8000"),
        ] {
            assert_eq!(
                asked(Some(HOST), origin, None, true),
                Err(403),
                "{origin:?}"
            );
        }
        assert_eq!(asked(Some(HOST), None, Some("cross-site"), true), Err(403));
        let taken = |site, mode| {
            let shown = Shown {
                host: Some(HOST),
                site: Some(site),
                mode: Some(mode),
                ..Shown::default()
            };
            guard.admit(&shown).map_err(|fault| fault.status)
        };
        assert_eq!(taken("cross-site", "no-cors"), Err(403));
        assert_eq!(taken("same-site", "cors"), Err(403));
        assert_eq!(taken("cross-site", "navigate"), Ok(()));
        assert_eq!(taken("same-origin", "no-cors"), Ok(()));
        assert_eq!(taken("none", "navigate"), Ok(()));
    }

    #[test]
    fn a_pass_lets_in_and_a_wrong_one_shuts_the_door() {
        let guard = guard(passes());
        assert_eq!(guard.visitor(&Shown::default()), None);
        let now = Instant::now();
        let id = guard.let_in("abcd-efgh-ijkm", now).expect("let in");
        let cookie = format!("other=1; {COOKIE}={id}");
        let shown = Shown {
            cookie: Some(&cookie),
            ..Shown::default()
        };
        let visitor = guard.visitor(&shown).expect("known");
        assert!(!visitor.guest);
        assert!(visitor.allow(Some(&visitor.token)).is_ok());
        assert!(visitor.allow(Some("")).is_err() && visitor.allow(None).is_err());
        let guest = guard.let_in("2345-6789-abcd", now).expect("let in");
        let cookie = format!("{COOKIE}={guest}");
        let shown = Shown {
            cookie: Some(&cookie),
            ..Shown::default()
        };
        assert!(guard.visitor(&shown).expect("known").guest);
        for _ in 0..TRIES {
            assert_eq!(
                guard.let_in("guess", now).map_err(|fault| fault.status),
                Err(403)
            );
        }
        let shut = guard.let_in("abcd-efgh-ijkm", now);
        assert_eq!(shut.map_err(|fault| fault.status), Err(429));
        let later = now + SHUT + Duration::from_secs(1);
        assert!(guard.let_in("abcd-efgh-ijkm", later).is_ok());
    }

    #[test]
    fn phrases_differ_and_are_easily_read() {
        let one = Passes::phrase().expect("chance");
        assert_ne!(one, Passes::phrase().expect("chance"));
        assert_eq!(one.len(), 14);
        assert!(
            one.bytes()
                .all(|sign| sign == b'-' || SIGNS.contains(&sign))
        );
    }

    #[test]
    fn visitors_are_bounded() {
        let guard = guard(passes());
        let now = Instant::now();
        for _ in 0..VISITORS_MOST + 5 {
            guard.let_in("abcd-efgh-ijkm", now).expect("let in");
        }
        assert_eq!(held(&guard.sessions).len(), VISITORS_MOST);
        // Of guests that come again and again only the last has a place beside the finders.
        for _ in 0..5 {
            guard.let_in("2345-6789-abcd", now).expect("let in");
        }
        let sessions = held(&guard.sessions);
        let guests = sessions.iter().filter(|one| one.visitor.guest).count();
        assert_eq!((sessions.len(), guests), (VISITORS_MOST, 1));
    }
}
