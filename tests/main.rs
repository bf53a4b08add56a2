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
mod hoard;
mod lain;
mod look;
mod object;
mod outside;
mod parse;
mod perfect;
mod photo;
mod published;
mod recall;
mod reckon;
mod record;
mod record_pack;
mod score;
mod shelf;
mod shelf_export;
mod shelf_safety;
mod things;
mod tidy;
mod titles;
mod treasure;
mod web_bench;
mod web_guard;
