//! tour
pub mod find;
pub mod catalogue;
