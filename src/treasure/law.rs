//! The law and the practice, in one table: what each rule says in short, where it stands, how it
//! is known and when it was last looked at.
//!
//! Every sentence about law that a person reads comes from here. The sentences are our own and
//! short; the law in force governs. What was not read says so in the words that are shown.
//!
//! Invariant: ids are unique; an entry that was read has the day on which it was, and one that
//! was not has none.

/// How a rule is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Known {
    /// The text, or an official account of it, was read.
    Read,
    /// Somebody else's account of it was read, not the text.
    SecondHand,
    /// From memory, not checked.
    Memory,
    /// Common practice, for which no source is named.
    Practice,
    /// A judgement of this program.
    Judgement,
}

/// A rule, a duty or a habit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Law {
    /// Short name, for programs.
    pub id: &'static str,
    /// What it says, in our words.
    pub says: &'static str,
    /// Act and section, or what else it stands in.
    pub stands: &'static str,
    /// How it is known.
    pub known: Known,
    /// What was read.
    pub source: &'static str,
    /// The day on which it was last looked at.
    pub checked: Option<&'static str>,
    /// What of it is not verified.
    pub doubt: &'static str,
}

impl Law {
    /// How it is known, in the words shown after it; nothing where the text was read.
    pub fn caveat(&self) -> String {
        let known = match self.known {
            Known::Read => "",
            Known::SecondHand => "from an account of it; the text was not read",
            Known::Memory => "from memory, not verified",
            Known::Practice => "common practice, no source",
            Known::Judgement => "a judgement of this program",
        };
        match (known, self.doubt) {
            ("", doubt) => doubt.to_string(),
            (known, "") => known.to_string(),
            (known, doubt) => format!("{known}; {doubt}"),
        }
    }

    /// The whole of it on one line.
    pub fn text(&self) -> String {
        let caveat = self.caveat();
        let shown = [self.stands, caveat.as_str()];
        let shown: Vec<&str> = shown.into_iter().filter(|part| !part.is_empty()).collect();
        match shown.is_empty() {
            true => self.says.to_string(),
            false => format!("{} ({})", self.says, shown.join("; ")),
        }
    }
}

/// The entry of an id.
///
/// Only ids of the table are asked for, which the tests hold; an unknown one gives the last entry.
pub fn law(id: &str) -> &'static Law {
    let place = TABLE.iter().position(|entry| entry.id == id);
    &TABLE[place.unwrap_or(TABLE.len() - 1)]
}

const fn read(
    id: &'static str,
    says: &'static str,
    stands: &'static str,
    source: &'static str,
) -> Law {
    Law {
        id,
        says,
        stands,
        known: Known::Read,
        source,
        checked: Some(CHECKED),
        doubt: "",
    }
}

const fn unread(id: &'static str, says: &'static str, stands: &'static str, known: Known) -> Law {
    Law {
        id,
        says,
        stands,
        known,
        source: "",
        checked: None,
        doubt: "",
    }
}

const fn account(
    id: &'static str,
    says: &'static str,
    stands: &'static str,
    source: &'static str,
) -> Law {
    Law {
        known: Known::SecondHand,
        ..read(id, says, stands, source)
    }
}

/// The day on which the texts were last looked at.
pub const CHECKED: &str = "2026-11-25";

const ACT_1: &str = "Treasure Act 1996 s.1, official text to 27 Sep 2023";
const ORDER_2002: &str = "Treasure (Designation) Order 2002, SI 2002/2666, copies of the text";
const SUMMARY: &str = "official summary of the Treasure Act, republished copy";
const LEAFLET: &str = "government leaflet on the Treasure Act";
const CODE_OF_DETECTING: &str =
    "Code of Practice for Responsible Metal Detecting, 2006 and 2017 texts";
const ALTERED: &str = "guidance to recording officers on altered coins, 2010, republished copy";
const TROVE_UNIT: &str = "pages of the Treasure Trove office, code of 2008, press";
const NI_ORDER: &str =
    "Historic Monuments and Archaeological Objects (NI) Order 1995, SI 1995/1625";
const MANX: &str = "Manx code GC 2017/0005 and a journal article on the law of the island";
const POLICE: &str = "answer of a police advice site on treasure";
const DRAFT_2023: &str = "notes published in February 2023 on the draft order";

/// The table.
pub const TABLE: &[Law] = &[
    // The rules.
    read(
        "T1",
        "an object other than a coin, at least 300 years old when found, at least a tenth of it by weight gold or silver",
        "Treasure Act 1996 s.1(1)(a)(i)",
        ACT_1,
    ),
    read(
        "T2",
        "one of at least two coins of the same find, at least 300 years old when found, each at least a tenth by weight gold or silver",
        "Treasure Act 1996 s.1(1)(a)(ii)",
        ACT_1,
    ),
    read(
        "T3",
        "one of at least ten coins of the same find, at least 300 years old when found, of any metal",
        "Treasure Act 1996 s.1(1)(a)(iii)",
        ACT_1,
    ),
    read(
        "T4a",
        "an object other than a coin, prehistoric, with any part of base metal, one of at least two base-metal objects of the same find, found on or after 1 January 2003",
        "Treasure Act 1996 s.1(1)(b) and SI 2002/2666 art.3(a)",
        ORDER_2002,
    ),
    read(
        "T4b",
        "an object other than a coin, prehistoric, with any part of gold or silver however small, found on or after 1 January 2003",
        "Treasure Act 1996 s.1(1)(b) and SI 2002/2666 art.3(b)",
        ORDER_2002,
    ),
    Law {
        doubt: "its second limb and its number 2023/404 are from memory, and whether a single coin can fall in it is not verified",
        ..account(
            "T4c",
            "a metal object at least 200 years old, found on or after 30 July 2023, that gives an exceptional insight into national or regional history, archaeology or culture: by its rarity as an example of its type, by where it was found, or by its link with a person or an event; alone, or together with others of the same find",
            "Treasure Act 1996 s.1(1)(b) and the order of 2023",
            "press of February 2023 quoting the order; notes of July 2023 quoting the official summary",
        )
    },
    read(
        "T5",
        "mostly gold or silver, hidden with the intention to come back for it, and neither owner nor heirs known: what was treasure trove before the Act, of any age",
        "Treasure Act 1996 s.1(1)(c)",
        "the section; gloss in the official summary, republished copy",
    ),
    read(
        "T6",
        "any object of any material in the same find as one of these, found at the same time or after it",
        "Treasure Act 1996 s.1(1)(d)",
        ACT_1,
    ),
    Law {
        doubt: "when it began is taken to be 30 July 2023, as for the rest of the order",
        ..account(
            "X2",
            "finds in or on land under the faculty jurisdiction of the Church of England, and in or under a cathedral or its precinct, go another way: tell the church, and ask the recording officer; other churches are not named",
            "order of 2023",
            DRAFT_2023,
        )
    },
    read(
        "X1",
        "unworked natural things, human and animal remains among them, and minerals as they are dug are left out of the Act, but show them to the recording officer all the same",
        "Treasure Act 1996 s.1(2)",
        "the section; a police advice site on remains",
    ),
    unread(
        "before-act",
        "it was found before 24 September 1997, when the Act came into force: the older law of treasure trove may hold for it",
        "older law",
        Known::Memory,
    ),
    // Same find, coin or object, metal.
    read(
        "same-find",
        "things are of the same find when they lay in one place or had been together before, though they may since have been scattered",
        "Treasure Act 1996 s.3(4)",
        LEAFLET,
    ),
    read(
        "groups",
        "coins count as one find when they were hidden together, lost together as from a purse, or laid down as an offering",
        "official summary",
        LEAFLET,
    ),
    read(
        "one-by-one",
        "coins lost one by one over time on one spot are not one find",
        "police advice",
        POLICE,
    ),
    read(
        "single-coin",
        "one coin alone comes under the Act only when found with treasure, or when there is exceptionally strong evidence that it was hidden by somebody who meant to come back",
        "official summary",
        SUMMARY,
    ),
    unread(
        "token",
        "what was used, or reasonably taken to be meant, as money counts as a coin, so most jettons and tokens need a person's judgement",
        "Treasure Act 1996 s.3(2)",
        Known::Memory,
    ),
    read(
        "altered",
        "a coin made into something else (a loop, a pin, a mount, gilding) counts as an object",
        "guidance on altered coins",
        ALTERED,
    ),
    read(
        "pierced",
        "a pierced coin of gold or silver from before 1180, Roman and Iron Age ones among them, is to be reported",
        "guidance on altered coins",
        ALTERED,
    ),
    unread(
        "pierced-later",
        "a later coin with one hole set at random is as a rule not taken for an ornament, but that is for the officer to say",
        "",
        Known::Practice,
    ),
    account(
        "coin-or-object",
        "whether a piece was a coin or an object has been decided both ways: a piedfort was held to be no coin in 2010, a prehistoric gold ring was once held to be one",
        "inquests",
        "press of 2010; Antiquity 2002",
    ),
    Law {
        doubt: "the code of practice lists coin types below a tenth; the list was not read",
        ..read(
            "plated",
            "plated things are as a rule below a tenth of gold or silver, but only a test can say",
            "official summary",
            LEAFLET,
        )
    },
    // Practice beside the law.
    unread(
        "three-coins",
        "three or more coins from one hole: report them as a group",
        "beside the law, which knows no such number",
        Known::Practice,
    ),
    read(
        "part-dug",
        "a group, or anything below the plough: stop, leave the rest in place and call for help",
        "code of responsible detecting",
        CODE_OF_DETECTING,
    ),
    unread(
        "coin-short",
        "a group one precious coin short of two, or with five to nine coins of the ten, may be part of more that still lies there or was lifted before",
        "",
        Known::Judgement,
    ),
    read(
        "record",
        "finds of every kind are worth a record: show this to your local finds recording officer, who knows what else has come from there",
        "code of responsible detecting",
        CODE_OF_DETECTING,
    ),
    // The duty.
    read(
        "duty",
        "who finds a thing and believes, or has reasonable grounds to believe, that it is treasure must tell the coroner of the district",
        "Treasure Act 1996 s.8(1)",
        "Treasure Act 1996 s.8, official text",
    ),
    read(
        "days",
        "within 14 days beginning with the day after the find or, if later, with the day on which you first believe or have reason to",
        "Treasure Act 1996 s.8(2)",
        "Treasure Act 1996 s.8, official text",
    ),
    read(
        "penalty",
        "not to tell is an offence: up to three months, a fine, or both; the fine is unlimited by government guidance; a reasonable excuse is a defence",
        "Treasure Act 1996 s.8(3) and (4)",
        "Treasure Act 1996 s.8, official text; guidance quoted in 2025",
    ),
    Law {
        doubt: "taken as not yet in force: the text seen still showed it as to come",
        ..read(
            "acquired",
            "a like duty is enacted for those who come by unreported treasure from others",
            "Treasure Act 1996 s.8A; Coroners and Justice Act 2009 s.30",
            "official texts",
        )
    },
    read(
        "decides",
        "the coroner decides what is treasure; this is a first sorting and no legal advice",
        "Treasure Act code of practice",
        "code of practice, second revision, copy",
    ),
    // Other countries.
    read(
        "NI42",
        "every archaeological object found is to be reported and handed in within 14 days",
        "Historic Monuments and Archaeological Objects (NI) Order 1995 art.42",
        NI_ORDER,
    ),
    read(
        "NI41",
        "to dig in search of archaeological objects without a licence is an offence",
        "Historic Monuments and Archaeological Objects (NI) Order 1995 art.41",
        NI_ORDER,
    ),
    read(
        "NI29",
        "a detector in a protected place without consent is an offence",
        "Historic Monuments and Archaeological Objects (NI) Order 1995 art.29",
        NI_ORDER,
    ),
    account(
        "SC",
        "the Treasure Act does not extend to Scotland: ownerless things of any material and any age belong to the Crown, and every find of archaeological, historical or cultural importance is to be reported; late reporting can be prosecuted as theft; a payment is at discretion and goes to the finder",
        "common law of Scotland; Treasure Act 1996 s.15(3)",
        TROVE_UNIT,
    ),
    account(
        "IM59",
        "on the Isle of Man any archaeological object, human remains among them, is to be reported within 14 days; export, alteration and damage need a licence",
        "Manx Museum and National Trust Act 1959",
        MANX,
    ),
    account(
        "IM17",
        "the Isle of Man has a Treasure Act of its own, with the same tenth of gold or silver; which of the other rules it shares was not read",
        "Treasure Act 2017 (of Tynwald)",
        MANX,
    ),
    unread(
        "elsewhere",
        "this program does not know the law there; in the Republic of Ireland to search with a detector without consent is barred",
        "",
        Known::Memory,
    ),
    unread(
        "of-interest",
        "the law there names no age; a thing 300 years old, or one that the Treasure Act would ask for, is taken here to be of archaeological interest",
        "",
        Known::Judgement,
    ),
    unread(
        "cautious-days",
        "how the 14 days are counted there was not read: the day of the find is counted as the first, to be safe",
        "",
        Known::Judgement,
    ),
    // Places.
    Law {
        doubt: "",
        ..read(
            "s42",
            "in England a detector in a protected place (scheduled monuments, monuments in state, Historic England or council care, areas of archaeological importance) without written consent is an offence, and so is taking what it finds: ask Historic England before anything else",
            "Ancient Monuments and Archaeological Areas Act 1979 s.42",
            "s.42, official text to 29 Mar 2025",
        )
    },
    Law {
        doubt: "that it began on 4 November 2024 is from memory; the page seen still showed it as to come",
        ..read(
            "w60",
            "in Wales a detector in a protected place without the consent of the Welsh Ministers (Cadw) is an offence",
            "Historic Environment (Wales) Act 2023 s.60",
            "s.60, official text",
        )
    },
    unread(
        "protected-elsewhere",
        "protected places there have rules of their own, which were not read: ask before anything else",
        "",
        Known::Judgement,
    ),
    unread(
        "sssi",
        "on a site of special scientific interest the owner needs the assent of Natural England or Natural Resources Wales for listed operations, digging often among them",
        "Wildlife and Countryside Act 1981 s.28",
        Known::Memory,
    ),
    read(
        "crash",
        "it is an offence to tamper with, move or unearth the remains of an aircraft that crashed in military service without a licence",
        "Protection of Military Remains Act 1986 ss.1-2",
        "s.2, official text; encyclopaedia on licences",
    ),
    unread(
        "burial",
        "human remains may be moved only under a licence",
        "Burial Act 1857 s.25",
        Known::Memory,
    ),
    unread(
        "foreshore",
        "searching needs the consent of the owner (the Crown Estate or another); things from wrecks are reported to the Receiver of Wreck, within 28 days",
        "Merchant Shipping Act 1995 s.236",
        Known::Memory,
    ),
    account(
        "foreshore-man",
        "below high water the Receiver of Wreck is told",
        "Isle of Man",
        MANX,
    ),
    // Dangers and care.
    unread(
        "ordnance",
        "ordnance: do not touch it, move it or bag it; mark the spot, go back the way you came and ring 999",
        "",
        Known::Practice,
    ),
    unread(
        "remains",
        "bone that may be human: stop, do not lift it, and tell the police and the coroner",
        "",
        Known::Practice,
    ),
    unread(
        "lead",
        "lead: wash your hands, do not eat at the bench, do not sand it, keep it from children",
        "",
        Known::Practice,
    ),
    unread(
        "care",
        "do not clean or straighten it, and do not part what is stuck together; bag each thing by itself, with the spot and the day",
        "",
        Known::Practice,
    ),
    // Whose it is.
    read(
        "owner",
        "what lies in the ground is as a rule the landowner's against the finder, in public open space too; leave to search is no gift of what is found",
        "Waverley BC v Fletcher, Court of Appeal 1995",
        "the judgment and case notes",
    ),
    unread(
        "theft",
        "to keep it from the owner can be theft, and to deal in it knowingly an offence",
        "Theft Act; Dealing in Cultural Objects (Offences) Act 2003",
        Known::Memory,
    ),
    read(
        "trespass",
        "who searched without leave may have a reward reduced or refused; a tenant alone cannot give leave, owner and tenant both must",
        "published notes on the Act; code of responsible detecting",
        "published notes on the Act, 2010; Code of Practice for Responsible Metal Detecting",
    ),
    read(
        "export",
        "an archaeological find from the soil or waters of the United Kingdom more than 50 years old needs a licence of its own to leave the country, whatever it is worth, coins included",
        "export notices",
        "Arts Council England, export notices and guidance, excerpts",
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_unique_and_every_rule_says_where_it_stands() {
        for (place, entry) in TABLE.iter().enumerate() {
            assert!(
                TABLE[..place].iter().all(|other| other.id != entry.id),
                "{}",
                entry.id
            );
            assert_eq!(law(entry.id), entry);
            let read = matches!(entry.known, Known::Read | Known::SecondHand);
            assert_eq!(entry.checked.is_some(), read, "{}", entry.id);
            assert_eq!(!entry.source.is_empty(), read, "{}", entry.id);
            if read {
                assert!(!entry.stands.is_empty(), "{}", entry.id);
            }
        }
    }

    #[test]
    fn what_was_not_read_says_so_wherever_it_is_shown() {
        for entry in TABLE {
            let text = entry.text();
            let says = match entry.known {
                Known::Read => continue,
                Known::SecondHand => "the text was not read",
                Known::Memory => "from memory, not verified",
                Known::Practice => "common practice, no source",
                Known::Judgement => "a judgement of this program",
            };
            assert!(text.contains(says), "{}: {text}", entry.id);
        }
    }
}
