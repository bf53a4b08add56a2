//! How plain values go into the columns of a row, and words into lists of what is possible.
//!
//! Each value of the room is one row: its fields are the columns, by the same names.
//!
//! Invariant: a value written and read again is the same value.

use serde::{Deserialize, Serialize};

/// A row as its columns; every value of the room turns into one and back.
pub(super) type Row = serde_json::Map<String, serde_json::Value>;

/// A value that is a row of one table.
pub(super) trait Kept: Serialize + for<'d> Deserialize<'d> {
    /// The table.
    const TABLE: &'static str;
    /// Its key; 0 before it is kept.
    fn key(&self) -> i64;
    /// Sets the key.
    fn set_key(&mut self, key: i64);
}

/// Makes a value the row of a table.
macro_rules! kept {
    ($value:ty, $table:literal) => {
        impl $crate::collect::kept::Kept for $value {
            const TABLE: &'static str = $table;
            fn key(&self) -> i64 {
                self.key
            }
            fn set_key(&mut self, key: i64) {
                self.key = key;
            }
        }
    };
}
pub(super) use kept;

/// Makes a list of words: an enum, each with the word that is typed, printed and kept.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident $field:literal { $($(#[$one:meta])* $variant:ident = $word:literal,)+ }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        #[derive(serde::Serialize, serde::Deserialize)]
        pub enum $name { $($(#[$one])* #[serde(rename = $word)] $variant,)+ }

        impl $name {
            /// All of them, in their order.
            pub const ALL: &'static [$name] = &[$($name::$variant,)+];

            /// The word that is typed, printed and kept.
            pub fn word(self) -> &'static str {
                match self { $($name::$variant => $word,)+ }
            }

            /// The one that a word names.
            ///
            /// # Errors
            ///
            /// When it is none of the words, which are then listed.
            pub fn read(text: &str) -> Result<$name, $crate::collect::ShelfFault> {
                let plain = text.trim().to_lowercase().replace([' ', '_'], "-");
                let found = $name::ALL.iter().find(|one| one.word() == plain);
                found.copied().ok_or_else(|| {
                    let words: Vec<&str> = $name::ALL.iter().map(|one| one.word()).collect();
                    $crate::collect::ShelfFault::field(
                        $field,
                        format_args!("{text:?} is none of the words for it"),
                        format!("say one of: {}", words.join(", ")),
                    )
                })
            }
        }
    };
}
pub(super) use words;

/// A list kept as JSON in one column.
pub(super) mod as_text {
    use serde::de::{DeserializeOwned, Error as _};
    use serde::ser::Error as _;
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    pub(in crate::collect) fn serialize<T: Serialize, S: Serializer>(
        value: &T,
        to: S,
    ) -> Result<S::Ok, S::Error> {
        let text = serde_json::to_string(value).map_err(S::Error::custom)?;
        to.serialize_str(&text)
    }

    pub(in crate::collect) fn deserialize<'d, T: DeserializeOwned, D: Deserializer<'d>>(
        from: D,
    ) -> Result<T, D::Error> {
        let text = String::deserialize(from)?;
        serde_json::from_str(&text).map_err(D::Error::custom)
    }
}
