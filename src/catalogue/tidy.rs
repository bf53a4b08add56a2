//! Canonical form.
