//! What a visitor asks: the parts of a request as plain values.
//!
//! Reads no network and decides nothing.
//!
//! Invariant: a field is found by its name whatever its case in the form; what was not sent is not
//! there, and an empty field reads as not given.

use super::guard::Visitor;

/// Fields of a query or a form, in the order they were sent; a name may come more than once.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Fields(Vec<(String, String)>);

impl Fields {
    /// Reads what a query or a form sent, `application/x-www-form-urlencoded`.
    pub(super) fn read(bytes: &[u8]) -> Fields {
        let pairs = form_urlencoded::parse(bytes);
        Fields(
            pairs
                .map(|(name, text)| (name.into(), text.into()))
                .collect(),
        )
    }

    /// Fields by hand.
    pub(super) fn of<N: Into<String>, T: Into<String>>(
        pairs: impl IntoIterator<Item = (N, T)>,
    ) -> Fields {
        let pairs = pairs.into_iter();
        Fields(
            pairs
                .map(|(name, text)| (name.into(), text.into()))
                .collect(),
        )
    }

    /// Adds a field.
    pub(super) fn push(&mut self, name: &str, text: &str) {
        self.0.push((name.into(), text.into()));
    }

    /// The text of a field without blanks around it; none where it was not sent or is blank.
    pub(super) fn get(&self, name: &str) -> Option<&str> {
        let found = self.0.iter().filter(|field| field.0 == name);
        found
            .map(|field| field.1.trim())
            .find(|text| !text.is_empty())
    }

    /// The texts of a field that may come more than once, blank ones left out.
    pub(super) fn all<'f>(&'f self, name: &'f str) -> impl Iterator<Item = &'f str> {
        let named = self.0.iter().filter(move |field| field.0 == name);
        named
            .map(|field| field.1.trim())
            .filter(|text| !text.is_empty())
    }

    /// Every field as sent.
    pub(super) fn iter(&self) -> impl Iterator<Item = (&str, &str)> {
        self.0
            .iter()
            .map(|(name, text)| (name.as_str(), text.as_str()))
    }

    /// An address with these fields as its query, blank ones left out.
    pub(super) fn address(&self, path: &str) -> String {
        let mut query = form_urlencoded::Serializer::new(String::new());
        let given = self.iter().filter(|(_, text)| !text.trim().is_empty());
        query.extend_pairs(given);
        match query.finish() {
            query if query.is_empty() => path.to_string(),
            query => format!("{path}?{query}"),
        }
    }
}

/// A file that was sent.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Sent {
    /// The field it came in.
    pub(super) field: String,
    /// Its name as the visitor's machine told it: nothing to build a path from.
    pub(super) name: String,
    /// Its bytes.
    pub(super) bytes: Vec<u8>,
}

/// A request.
#[derive(Clone, Debug, Default)]
pub(super) struct Asked {
    /// The parts of the path that the route names.
    pub(super) path: Fields,
    /// The query.
    pub(super) query: Fields,
    /// The form, of a request that changes something.
    pub(super) form: Fields,
    /// Files that came with the form.
    pub(super) files: Vec<Sent>,
    /// Who asks.
    pub(super) visitor: Visitor,
    /// How large the visitor's screen draws a millimetre, as the browser kept it.
    pub(super) screen: Option<String>,
    /// True when a script asks for the changing part of the page alone.
    pub(super) part: bool,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_are_read_and_written_again() {
        let fields = Fields::read(b"words=silver%2C+17+mm&metal=&form=a&form=b+");
        assert_eq!(fields.get("words"), Some("silver, 17 mm"));
        assert_eq!(fields.get("metal"), None);
        assert_eq!(fields.all("form").collect::<Vec<_>>(), ["a", "b"]);
        assert_eq!(
            Fields::of([("words", "a&b=c"), ("metal", " ")]).address("/"),
            "/?words=a%26b%3Dc"
        );
        assert_eq!(Fields::default().address("/tray"), "/tray");
    }
}
