//! The addresses of the pages, each with who may ask and how much it may bring.
//!
//! A table; serves nothing.
//!
//! Invariant: whatever changes something is a `post`, and guests may ask for none but those that let
//! them in.

use super::asked::Asked;
use super::desk::Desk;
use super::reply::Reply;
use super::{bench, find, help, hoard, keep, land, law, library, page, size, tray};

/// A page.
pub(super) type Page = fn(&Desk, &Asked) -> Reply;

/// What a request does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Does {
    /// Looks.
    Get,
    /// Changes something; brings the token.
    Post,
}

/// An address.
#[derive(Clone, Copy)]
pub(super) struct Route {
    pub(super) does: Does,
    /// Its path; a part in braces is handed on by its name.
    pub(super) path: &'static str,
    /// True when guests may ask for it.
    pub(super) guests: bool,
    /// True when it is answered before a visitor is let in.
    pub(super) outside: bool,
    /// Most bytes that it may bring.
    pub(super) most: usize,
    pub(super) page: Page,
}

/// Most bytes of a form without files.
pub(super) const FORM_MOST: usize = 256 * 1024;

/// A page to look at, for guests too.
pub(super) const fn open(path: &'static str, page: Page) -> Route {
    Route {
        does: Does::Get,
        path,
        guests: true,
        outside: false,
        most: FORM_MOST,
        page,
    }
}

/// A page to look at, for the finder alone.
pub(super) const fn own(path: &'static str, page: Page) -> Route {
    Route {
        guests: false,
        ..open(path, page)
    }
}

/// A change.
pub(super) const fn change(path: &'static str, page: Page) -> Route {
    Route {
        does: Does::Post,
        ..own(path, page)
    }
}

/// A change that brings files of so many bytes at most.
pub(super) const fn upload(path: &'static str, most: usize, page: Page) -> Route {
    Route {
        most,
        ..change(path, page)
    }
}

/// What is answered before a visitor is let in.
const fn outside(route: Route) -> Route {
    Route {
        outside: true,
        guests: true,
        ..route
    }
}

/// Every address.
pub(super) fn all() -> Vec<Route> {
    let mut routes = vec![
        outside(open("/enter", page::enter)),
        outside(change("/enter", page::entered)),
        outside(open("/looks/{name}", super::looks::file)),
    ];
    routes.extend(bench::ROUTES);
    routes.extend(library::ROUTES);
    routes.extend(size::ROUTES);
    routes.extend(help::ROUTES);
    routes.extend(keep::ROUTES);
    routes.extend(find::ROUTES);
    routes.extend(tray::ROUTES);
    routes.extend(land::ROUTES);
    routes.extend(law::ROUTES);
    routes.extend(hoard::ROUTES);
    routes
}

/// An address of the pages, for those who try them all.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Address {
    /// Its path; parts in braces are filled in.
    pub path: &'static str,
    /// True when it changes something, with `POST` and a token; else it is looked at with `GET`.
    pub changes: bool,
    /// True when guests may ask for it.
    pub guests: bool,
}

/// Every address that is served.
pub fn addresses() -> Vec<Address> {
    let told = |route: Route| Address {
        path: route.path,
        changes: route.does == Does::Post,
        guests: route.guests,
    };
    all().into_iter().map(told).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn guests_change_nothing() {
        for route in all() {
            let may = route.does == Does::Get || !route.guests || route.path == "/enter";
            assert!(may, "{}", route.path);
            assert!(route.path.starts_with('/'));
        }
    }
}
