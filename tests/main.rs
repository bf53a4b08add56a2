//! All tests of the house over its public face, in the order a find walks.

mod kit;

mod accuracy;
mod catalogue;
mod cli;
mod compare;
mod export;
mod lain;
mod outside;
mod parse;
mod perfect;
mod published;
mod recall;
mod score;
mod tidy;
mod titles;
