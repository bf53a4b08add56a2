//! The facts of a find or a group, as the law asks for them.
//!
//! Plain values; an unsaid fact is `None` or `Unsaid`, and stays open. Knows no rule.
//!
//! Invariant: facts with no [`Fault`] are possible: at least one piece, no day or year to come.

use super::age::Age;
use super::day::{CalendarDay, When};
use super::metal::MetalKnown;
use super::truth::Truth;
use crate::find::{Year, era};

/// What a thing is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default)]
pub enum What {
    /// Nobody has said.
    #[default]
    Unsaid,
    /// A coin.
    Coin,
    /// A token, jetton or check: the law counts as a coin what was used, or meant, as money.
    Token,
    /// Anything made that is no coin, of any material; a pot or box that held coins too.
    Object,
    /// Natural and unworked: a fossil, a stone, a bone.
    Natural,
}

/// What was done to a coin to make something else of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Alteration {
    /// A loop, a pin, a mount or gilding: it was worn or fixed.
    Mounted,
    /// A hole.
    Pierced,
}

/// Pieces that are alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// In the finder's words.
    pub name: String,
    /// How many; at least one.
    pub count: u32,
    /// What they are.
    pub what: What,
    /// What was done to them.
    pub altered: Option<Alteration>,
    /// When they were made.
    pub age: Age,
    /// Of the Iron Age or earlier, where that is said apart from the years.
    pub prehistoric: Option<Truth>,
    /// What they are made of.
    pub metal: MetalKnown,
}

impl Piece {
    /// One piece of which nothing is said.
    pub fn unsaid(name: impl Into<String>) -> Piece {
        Piece {
            name: name.into(),
            count: 1,
            what: What::Unsaid,
            altered: None,
            age: Age::Unsaid,
            prehistoric: None,
            metal: MetalKnown::Unsaid,
        }
    }
}

/// Whether the pieces belong to one find.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SameFind {
    /// A hoard, a purse, an offering: put or lost together.
    Deposit,
    /// One hole, and nothing says that they came there one by one.
    Hole,
    /// Spread, but alike: the same issue, close in date.
    ScatteredAlike,
    /// Spread, with nothing that links them.
    Scattered,
    /// One spot, but lost one by one over time.
    OneByOne,
    /// The finder cannot tell.
    Unsure,
}

impl SameFind {
    /// As a fact.
    pub fn truth(self) -> Truth {
        match self {
            SameFind::Deposit | SameFind::Hole => Truth::Yes,
            SameFind::ScatteredAlike | SameFind::Unsure => Truth::Open,
            SameFind::Scattered | SameFind::OneByOne => Truth::No,
        }
    }
}

/// Whose law it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Country {
    /// England.
    England,
    /// Wales.
    Wales,
    /// Northern Ireland.
    NorthernIreland,
    /// Scotland.
    Scotland,
    /// The Isle of Man.
    IsleOfMan,
    /// Jersey, Guernsey, the Republic of Ireland or farther off.
    Elsewhere,
}

/// What ground it came from, where that changes what is to be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Ground {
    /// A church or churchyard of the Church of England, or other land under its faculties.
    Church,
    /// In or under a cathedral, or its precinct.
    Cathedral,
    /// The ground of another church.
    OtherChurch,
    /// A scheduled monument or another protected place.
    Protected,
    /// A site of special scientific interest.
    Sssi,
    /// Where a military aircraft crashed, or another military wreck.
    MilitaryCrash,
    /// A burial place.
    Burial,
    /// Between high and low water, or under water.
    Foreshore,
}

/// What lay there that needs care before anything else.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Hazard {
    /// A shell, a grenade, a bomb, ammunition.
    Ordnance,
    /// Bone that may be human.
    HumanRemains,
    /// Lead.
    Lead,
}

/// All that is said of a find or a group.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Facts {
    /// The pieces; at least one.
    pub pieces: Vec<Piece>,
    /// Whether they belong to one find, where there are several.
    pub same_find: Option<SameFind>,
    /// They belong with an earlier find that is, or may be, treasure.
    pub associated: Option<Truth>,
    /// Somebody hid them and meant to come back.
    pub hidden: Option<Truth>,
    /// The owner, or the heirs, are known.
    pub owner_known: Option<Truth>,
    /// They tell something exceptional of history.
    pub exceptional: Option<Truth>,
    /// Whose law it is.
    pub country: Option<Country>,
    /// What ground they came from.
    pub grounds: Vec<Ground>,
    /// What lay there too.
    pub hazards: Vec<Hazard>,
    /// The day they were found.
    pub found: Option<When>,
    /// The day the finder first believed, or had reason to, that they may be treasure.
    pub believed: Option<CalendarDay>,
    /// The owner and the occupier of the land had given leave to search.
    pub leave: Option<Truth>,
    /// They were bought or given, and found by somebody else.
    pub acquired: bool,
}

/// A fact that cannot be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// The field.
    pub field: &'static str,
    /// What is wrong.
    pub what: String,
    /// What to do about it.
    pub mend: String,
}

impl Facts {
    /// The day of finding that is judged by: today where none is said.
    pub fn found_or(&self, today: CalendarDay) -> When {
        self.found.unwrap_or(When::on(today))
    }

    /// How many pieces there are.
    pub fn count(&self) -> u64 {
        self.pieces.iter().map(|piece| u64::from(piece.count)).sum()
    }

    /// All that cannot be, so that no rule is asked of it.
    pub fn faults(&self, today: CalendarDay) -> Vec<Fault> {
        let mut faults = Vec::new();
        if self.pieces.is_empty() {
            let what = "there is no piece to judge".to_string();
            faults.push(Fault::new("piece", what, "say what was found"));
        }
        let to_come = |said: String| format!("{said} is still to come; today is {}", today.text());
        if let Some(found) = self.found.filter(|found| found.earliest > today) {
            let mend = "give the day on which it was found, as 2026-03-15";
            faults.push(Fault::new("found", to_come(found.text()), mend));
        }
        if let Some(day) = self.believed.filter(|day| *day > today) {
            let mend = "give the day on which you first thought so, as 2026-03-15";
            faults.push(Fault::new("believed", to_come(day.text()), mend));
        }
        let found = self.found_or(today).latest.min(today).year();
        faults.extend(self.pieces.iter().flat_map(|piece| piece.faults(found)));
        faults
    }
}

impl Fault {
    fn new(field: &'static str, what: String, mend: &str) -> Fault {
        let mend = mend.to_string();
        Fault { field, what, mend }
    }
}

impl Piece {
    /// What cannot be of a piece found in a year.
    fn faults(&self, found: Year) -> Vec<Fault> {
        let mut faults = Vec::new();
        let name = &self.name;
        if self.count == 0 {
            faults.push(Fault::new(
                "count",
                format!("{name}: no pieces"),
                "give 1 or more",
            ));
        }
        if let Some(span) = self.age.span().filter(|span| span.from > found) {
            let (made, found) = (era(span.from), era(found));
            let what = format!("{name}: made in {made}, but found in {found}");
            let mend = "give the years in which it was made, as 1279-1307 or 800 BC-AD 43";
            faults.push(Fault::new("made", what, mend));
        }
        if let MetalKnown::Tested(share) = self.metal
            && !(0.0..=100.0).contains(&share)
        {
            let what = format!("{name}: {share} in the hundred is not possible");
            let mend = "give the hundredths of gold and silver by weight, 0 to 100";
            faults.push(Fault::new("fineness", what, mend));
        }
        faults
    }
}
