//! The same figures for parts of the finds: by period, by how much was given, by wear.
//!
//! Invariant: the groups of a kind part the finds, each find in one.

use serde::Serialize;

use super::super::measures::Hits;
use super::levels::Levels;
use super::report::hits;
use super::tried::Tried;
use crate::House;
use crate::find::{Wear, ordinal};

/// Where finds stand of which the thing is not said.
const LAST: i32 = i32::MAX;

/// Some of the finds.
#[derive(Serialize)]
pub(super) struct GroupView {
    pub(super) name: String,
    pub(super) n: usize,
    pub(super) levels: Levels<Hits>,
}

/// The finds parted in several ways.
#[derive(Serialize)]
pub(super) struct GroupsView {
    pub(super) period: Vec<GroupView>,
    pub(super) traits: Vec<GroupView>,
    pub(super) wear: Vec<GroupView>,
    /// Only where wrong traits were put in.
    pub(super) wrong_traits: Vec<GroupView>,
}

/// Parts finds.
pub(super) fn groups(judged: &[&Tried], wrong: bool, house: &House) -> GroupsView {
    let period = |t: &Tried| {
        let meant = &t.truth.meant.period;
        match meant.first().map(|place| &house.catalogue.periods[*place]) {
            None => (LAST, "not said".to_string()),
            Some(one) if meant.len() == 1 => (ordinal(one.span.from), one.name.clone()),
            Some(_) => (LAST - 1, "more than one".to_string()),
        }
    };
    let traits = |t: &Tried| {
        let (place, name) = match t.find.trait_count() {
            0 | 1 => (0, "0-1"),
            2 | 3 => (1, "2-3"),
            4 | 5 => (2, "4-5"),
            _ => (3, "6 and more"),
        };
        (place, name.to_string())
    };
    let wear = |t: &Tried| match t.find.wear {
        Some(wear) => (place(wear), wear.name().to_string()),
        None => (LAST, "not said".to_string()),
    };
    let wrongs = |t: &Tried| (t.wrong_traits as i32, t.wrong_traits.to_string());
    GroupsView {
        period: parted(judged, period),
        traits: parted(judged, traits),
        wear: parted(judged, wear),
        wrong_traits: match wrong {
            true => parted(judged, wrongs),
            false => Vec::new(),
        },
    }
}

fn place(wear: Wear) -> i32 {
    match wear {
        Wear::Little => 0,
        Wear::Light => 1,
        Wear::Worn => 2,
        Wear::Heavy => 3,
        Wear::Extreme => 4,
    }
}

/// Groups by a key and a name, in the order of the keys.
fn parted(judged: &[&Tried], by: impl Fn(&Tried) -> (i32, String)) -> Vec<GroupView> {
    let mut parts: std::collections::BTreeMap<(i32, String), Vec<&Tried>> = Default::default();
    for tried in judged {
        parts.entry(by(tried)).or_default().push(tried);
    }
    let views = parts.into_iter().map(|((_, name), finds)| GroupView {
        name,
        n: finds.len(),
        levels: hits(&finds),
    });
    views.collect()
}

impl GroupsView {
    /// Each way of parting with its heading, those with nothing in them left out.
    pub(super) fn each(&self) -> impl Iterator<Item = (&'static str, &Vec<GroupView>)> {
        let all = [
            ("period", &self.period),
            ("traits given", &self.traits),
            ("wear as said", &self.wear),
            ("wrong traits", &self.wrong_traits),
        ];
        all.into_iter().filter(|(_, groups)| !groups.is_empty())
    }
}
