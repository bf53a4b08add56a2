//! All tests of the house over its public face, in the order a find walks.

mod kit;

mod accuracy;
mod artefacts;
mod ask;
mod catalogue;
mod cli;
mod coins;
mod compare;
mod evaluate;
mod exact;
mod export;
mod findspot;
mod lain;
mod look;
mod outside;
mod parse;
mod perfect;
mod published;
mod recall;
mod score;
mod tidy;
mod titles;
mod treasure;
