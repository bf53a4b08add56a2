//! The closed lists of a record: how a thing was found, and on what land.
//!
//! Common practice without a source. Knows no find.
//!
//! Invariant: every word of a list reads back as itself.

/// How a thing was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Method {
    /// With a metal detector.
    MetalDetector,
    /// Walking a field and looking.
    FieldWalking,
    /// By chance in a garden.
    Gardening,
    /// By chance in building work.
    Building,
    /// By chance in farm work.
    Farming,
    /// By chance, otherwise.
    Chance,
    /// In a dig.
    Excavation,
    /// Otherwise.
    Other,
}

/// What the land is used for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Landuse {
    /// Cultivated, use not said.
    Cultivated,
    /// Cultivated, ploughed.
    Ploughed,
    /// Cultivated, in crop.
    Cropped,
    /// Grassland.
    Grassland,
    /// Woodland.
    Woodland,
    /// Heath.
    Heath,
    /// Open fresh water.
    FreshWater,
    /// Coastland.
    Coastland,
    /// Otherwise.
    Other,
}

impl Method {
    /// Every method.
    pub const ALL: [Method; 8] = [
        Method::MetalDetector,
        Method::FieldWalking,
        Method::Gardening,
        Method::Building,
        Method::Farming,
        Method::Chance,
        Method::Excavation,
        Method::Other,
    ];

    /// As it stands in a record.
    pub fn text(self) -> &'static str {
        match self {
            Method::MetalDetector => "metal detector",
            Method::FieldWalking => "field walking",
            Method::Gardening => "chance find, gardening",
            Method::Building => "chance find, building work",
            Method::Farming => "chance find, agricultural work",
            Method::Chance => "chance find",
            Method::Excavation => "excavation",
            Method::Other => "other",
        }
    }

    /// The method of a word as people write it.
    pub fn read(text: &str) -> Option<Method> {
        let plain = plain(text);
        let known = Method::ALL.into_iter().find(|one| one.text() == plain);
        known.or(match plain.as_str() {
            "detector" | "detecting" | "metal detecting" | "detected" => {
                Some(Method::MetalDetector)
            }
            "fieldwalking" | "walking" => Some(Method::FieldWalking),
            "gardening" | "garden" => Some(Method::Gardening),
            "building" | "building work" => Some(Method::Building),
            "agricultural" | "agricultural work" | "farming" | "ploughing" => Some(Method::Farming),
            "chance" | "by chance" => Some(Method::Chance),
            "dig" | "excavated" => Some(Method::Excavation),
            _ => None,
        })
    }

    /// The words to choose from.
    pub const CHOICES: &str = "metal detector, field walking, gardening, building, agricultural, chance, excavation, other";
}

impl Landuse {
    /// Every use.
    pub const ALL: [Landuse; 9] = [
        Landuse::Cultivated,
        Landuse::Ploughed,
        Landuse::Cropped,
        Landuse::Grassland,
        Landuse::Woodland,
        Landuse::Heath,
        Landuse::FreshWater,
        Landuse::Coastland,
        Landuse::Other,
    ];

    /// As it stands in a record.
    pub fn text(self) -> &'static str {
        match self {
            Landuse::Cultivated => "cultivated land",
            Landuse::Ploughed => "cultivated land, ploughed",
            Landuse::Cropped => "cultivated land, in crop",
            Landuse::Grassland => "grassland",
            Landuse::Woodland => "woodland",
            Landuse::Heath => "heath",
            Landuse::FreshWater => "open fresh water",
            Landuse::Coastland => "coastland",
            Landuse::Other => "other",
        }
    }

    /// The use of a word as people write it.
    pub fn read(text: &str) -> Option<Landuse> {
        let plain = plain(text);
        let known = Landuse::ALL.into_iter().find(|one| one.text() == plain);
        known.or(match plain.as_str() {
            "cultivated" | "arable" => Some(Landuse::Cultivated),
            "ploughed" | "plough" | "ploughsoil" | "stubble" => Some(Landuse::Ploughed),
            "cropped" | "crop" | "in crop" => Some(Landuse::Cropped),
            "grass" | "pasture" | "meadow" => Some(Landuse::Grassland),
            "wood" | "woods" => Some(Landuse::Woodland),
            "fresh water" | "river" | "lake" => Some(Landuse::FreshWater),
            "coast" | "beach" | "foreshore" => Some(Landuse::Coastland),
            _ => None,
        })
    }

    /// The words to choose from.
    pub const CHOICES: &str =
        "cultivated, ploughed, cropped, grassland, woodland, heath, fresh water, coastland, other";
}

fn plain(text: &str) -> String {
    let small = text.to_lowercase().replace(['-', '_'], " ");
    small.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_of_the_lists_read_back() {
        for method in Method::ALL {
            assert_eq!(Method::read(method.text()), Some(method));
        }
        for landuse in Landuse::ALL {
            assert_eq!(Landuse::read(landuse.text()), Some(landuse));
        }
        let choices = Method::CHOICES.split(", ");
        assert!(choices.into_iter().all(|word| Method::read(word).is_some()));
        let choices = Landuse::CHOICES.split(", ");
        assert!(
            choices
                .into_iter()
                .all(|word| Landuse::read(word).is_some())
        );
        assert_eq!(Method::read("Metal-Detector"), Some(Method::MetalDetector));
        assert_eq!(Method::read("by magic"), None);
    }
}
