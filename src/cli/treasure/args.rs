//! The arguments of `treasure`: the facts that the law asks for, and the traits of a find.
//!
//! Words here, meaning in `gather`; a value that is one of a few is checked by its definition.

use clap::{Args as ClapArgs, ValueEnum};

use super::super::args::TraitFlags;
use crate::treasure::{Alteration, Country, Facts, Ground, Hazard, SameFind, Truth, What};

/// Examples shown with the help.
pub(crate) const EXAMPLES: &str = "\
Examples:
  lynchet treasure --piece \"2 silver pennies, 1279\" --same-find hole --found 2024-03-01
  lynchet treasure --piece \"brooch, silver-gilt, about 1700\" --country wales
  lynchet treasure --piece \"pot, pottery\" --piece \"30 silver denarii, 98-180\" --same-find deposit
  lynchet treasure \"silver, 17 mm, 1.2 g, long cross, reads EDW R\" --count 2 --same-find hole
  lynchet treasure --rules

Give pieces in words with --piece (how many and what, metal, years, parted by commas), or describe
one find as to identify, and its age and metal are carried over with their chances. The flags under
\"The find described\" are about that find. Prints report_now, report_if_unsure or record_only with
--json. This is a first sorting and no legal advice: the coroner decides.
Exit code: 0 an answer, 2 a fault.";

/// Yes, no, or not sure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Said {
    /// It is so
    Yes,
    /// It is not so
    No,
    /// You cannot tell
    Unsure,
}

impl Said {
    pub(crate) fn truth(self) -> Truth {
        match self {
            Said::Yes => Truth::Yes,
            Said::No => Truth::No,
            Said::Unsure => Truth::Open,
        }
    }
}

/// What the find described is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum WhatSaid {
    /// A coin
    Coin,
    /// A token, jetton or check
    Token,
    /// Anything made that is no coin
    Object,
    /// Natural and unworked
    Natural,
    /// You cannot tell
    Unsure,
}

impl WhatSaid {
    pub(crate) fn what(self) -> What {
        match self {
            WhatSaid::Coin => What::Coin,
            WhatSaid::Token => What::Token,
            WhatSaid::Object => What::Object,
            WhatSaid::Natural => What::Natural,
            WhatSaid::Unsure => What::Unsaid,
        }
    }
}

/// What was done to a coin.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum AlteredSaid {
    /// A hole
    Pierced,
    /// A loop, a pin, a mount or gilding
    Mounted,
    /// Nothing
    No,
}

impl AlteredSaid {
    pub(crate) fn alteration(self) -> Option<Alteration> {
        match self {
            AlteredSaid::Pierced => Some(Alteration::Pierced),
            AlteredSaid::Mounted => Some(Alteration::Mounted),
            AlteredSaid::No => None,
        }
    }
}

/// Whether the pieces belong together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Together {
    /// A hoard, a purse, an offering: put or lost together
    #[value(alias = "yes")]
    Deposit,
    /// One hole, and nothing says that they came there one by one
    Hole,
    /// Spread, but alike: the same issue, close in date
    ScatteredAlike,
    /// Spread, with nothing that links them
    #[value(alias = "no")]
    Scattered,
    /// One spot, but lost one by one over time
    OneByOne,
    /// You cannot tell
    Unsure,
}

impl Together {
    pub(crate) fn same_find(self) -> SameFind {
        match self {
            Together::Deposit => SameFind::Deposit,
            Together::Hole => SameFind::Hole,
            Together::ScatteredAlike => SameFind::ScatteredAlike,
            Together::Scattered => SameFind::Scattered,
            Together::OneByOne => SameFind::OneByOne,
            Together::Unsure => SameFind::Unsure,
        }
    }
}

/// Whose law it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum CountrySaid {
    /// England
    England,
    /// Wales
    Wales,
    /// Northern Ireland
    NorthernIreland,
    /// Scotland
    Scotland,
    /// The Isle of Man
    IsleOfMan,
    /// The Channel Islands, the Republic of Ireland or farther off
    Elsewhere,
}

impl CountrySaid {
    pub(crate) fn country(self) -> Country {
        match self {
            CountrySaid::England => Country::England,
            CountrySaid::Wales => Country::Wales,
            CountrySaid::NorthernIreland => Country::NorthernIreland,
            CountrySaid::Scotland => Country::Scotland,
            CountrySaid::IsleOfMan => Country::IsleOfMan,
            CountrySaid::Elsewhere => Country::Elsewhere,
        }
    }
}

/// What ground it came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum GroundSaid {
    /// A church, churchyard or other land of the Church of England
    Church,
    /// In or under a cathedral, or its precinct
    Cathedral,
    /// The ground of another church
    OtherChurch,
    /// A scheduled monument or another protected place
    Protected,
    /// A site of special scientific interest
    Sssi,
    /// Where a military aircraft or vessel lies
    MilitaryCrash,
    /// A burial place
    Burial,
    /// Between high and low water, or under water
    Foreshore,
}

impl GroundSaid {
    pub(crate) fn ground(self) -> Ground {
        match self {
            GroundSaid::Church => Ground::Church,
            GroundSaid::Cathedral => Ground::Cathedral,
            GroundSaid::OtherChurch => Ground::OtherChurch,
            GroundSaid::Protected => Ground::Protected,
            GroundSaid::Sssi => Ground::Sssi,
            GroundSaid::MilitaryCrash => Ground::MilitaryCrash,
            GroundSaid::Burial => Ground::Burial,
            GroundSaid::Foreshore => Ground::Foreshore,
        }
    }
}

/// What lay there too.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum HazardSaid {
    /// A shell, a grenade, a bomb, ammunition
    Ordnance,
    /// Bone that may be human
    HumanRemains,
    /// Lead
    Lead,
}

impl HazardSaid {
    pub(crate) fn hazard(self) -> Hazard {
        match self {
            HazardSaid::Ordnance => Hazard::Ordnance,
            HazardSaid::HumanRemains => Hazard::HumanRemains,
            HazardSaid::Lead => Hazard::Lead,
        }
    }
}

/// Where and when: what the law asks of any find, one or a group.
#[derive(ClapArgs, Clone, Debug, Default)]
pub(crate) struct PlaceAndDays {
    /// Where it was found
    #[arg(long, value_enum, help_heading = "Place and days")]
    pub(crate) country: Option<CountrySaid>,
    /// What ground it came from, where it is one of these
    #[arg(
        long,
        value_enum,
        value_delimiter = ',',
        help_heading = "Place and days"
    )]
    pub(crate) ground: Vec<GroundSaid>,
    /// What lay there too
    #[arg(
        long,
        value_enum,
        value_delimiter = ',',
        help_heading = "Place and days"
    )]
    pub(crate) hazard: Vec<HazardSaid>,
    /// The owner and the occupier of the land had given leave to search
    #[arg(long, value_enum, help_heading = "Place and days")]
    pub(crate) leave: Option<Said>,
    /// The day it was found: 2026-03-15 (or 2026-03, or 2026)
    #[arg(
        long,
        value_name = "DAY",
        help_heading = "Place and days",
        allow_hyphen_values = true
    )]
    pub(crate) found: Option<String>,
    /// The day you first believed, or had reason to believe, that it may be treasure
    #[arg(
        long,
        value_name = "DAY",
        help_heading = "Place and days",
        allow_hyphen_values = true
    )]
    pub(crate) believed: Option<String>,
    /// Reckon as if today were this day
    #[arg(
        long,
        value_name = "DAY",
        help_heading = "Place and days",
        allow_hyphen_values = true
    )]
    pub(crate) today: Option<String>,
}

/// What belongs together and to whom: what the law asks of a find, and of a group as one.
#[derive(ClapArgs, Clone, Debug, Default)]
pub(crate) struct Belonging {
    /// Whether the pieces belong to one find (a group is taken to be of one hole)
    #[arg(long, value_enum, help_heading = "How they lay")]
    pub(crate) same_find: Option<Together>,
    /// Somebody hid it, or them, and meant to come back (a pot, a wrapping, a hollow)
    #[arg(long, value_enum, help_heading = "How they lay")]
    pub(crate) hidden: Option<Said>,
    /// It belongs, or they belong, with an earlier find that was, or may be, treasure
    #[arg(long, value_enum, help_heading = "How they lay")]
    pub(crate) associated: Option<Said>,
    /// The owner, or the heirs, are known
    #[arg(long, value_enum, help_heading = "How they lay")]
    pub(crate) owner_known: Option<Said>,
    /// Something exceptional: very rare here, far from its home, tied to a person or event
    #[arg(long, value_enum, help_heading = "How they lay")]
    pub(crate) exceptional: Option<Said>,
}

impl Belonging {
    /// True when any of it was said.
    pub(crate) fn is_said(&self) -> bool {
        let said = [
            self.hidden,
            self.associated,
            self.owner_known,
            self.exceptional,
        ];
        self.same_find.is_some() || said.iter().any(Option::is_some)
    }

    /// What of the facts these flags say, laid over the rest.
    pub(crate) fn facts(&self, rest: Facts) -> Facts {
        Facts {
            same_find: self.same_find.map(Together::same_find),
            hidden: self.hidden.map(Said::truth),
            associated: self.associated.map(Said::truth),
            owner_known: self.owner_known.map(Said::truth),
            exceptional: self.exceptional.map(Said::truth),
            ..rest
        }
    }
}

/// Arguments of `treasure`.
#[derive(ClapArgs, Debug, Default)]
pub(crate) struct TreasureArgs {
    /// One find in your own words, as to identify
    #[arg(value_name = "WORDS", allow_hyphen_values = false)]
    pub(crate) words: Vec<String>,
    /// Pieces that are alike, in words: "9 coins, copper alloy, 330-348" (may be repeated)
    #[arg(long, value_name = "WORDS", help_heading = "The find or the group")]
    pub(crate) piece: Vec<String>,
    /// What belongs together and to whom
    #[command(flatten)]
    pub(crate) belonging: Belonging,
    /// It was bought or given, and found by somebody else
    #[arg(long, help_heading = "The find or the group")]
    pub(crate) acquired: bool,
    /// What the find described is
    #[arg(long, value_enum, help_heading = "The find described")]
    pub(crate) what: Option<WhatSaid>,
    /// How many there are of the find described
    #[arg(
        long,
        value_name = "N",
        help_heading = "The find described",
        allow_hyphen_values = true
    )]
    pub(crate) count: Option<String>,
    /// When it was made: "1279-1307", "800 BC-AD 43", "13th century", "Bronze Age", "before 1700"
    #[arg(
        long,
        value_name = "YEARS",
        help_heading = "The find described",
        allow_hyphen_values = true
    )]
    pub(crate) made: Option<String>,
    /// Of the Iron Age or earlier
    #[arg(long, value_enum, help_heading = "The find described")]
    pub(crate) prehistoric: Option<Said>,
    /// Gold and silver by weight as a test gave it, in hundredths ("12")
    #[arg(
        long,
        value_name = "PERCENT",
        help_heading = "The find described",
        allow_hyphen_values = true
    )]
    pub(crate) fineness: Option<String>,
    /// What was done to a coin
    #[arg(long, value_enum, help_heading = "The find described")]
    pub(crate) altered: Option<AlteredSaid>,
    /// Where and when
    #[command(flatten)]
    pub(crate) around: PlaceAndDays,
    /// The find's traits by flag, as to identify; --metal takes more words here
    #[command(flatten)]
    pub(crate) traits: TraitFlags,
    /// Print the table of the law and the practice instead
    #[arg(long, help_heading = "Options")]
    pub(crate) rules: bool,
    /// Answer with JSON
    #[arg(long, help_heading = "Options")]
    pub(crate) json: bool,
}
