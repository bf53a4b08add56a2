//! Nearest neighbour on weight and diameter, each in standard deviations over the types.
//!
//! A measure that the find lacks counts for nothing, one that only the type lacks as one standard
//! deviation off. Invariant: the nearer type has the higher figure.

use lynchet::catalogue::Catalogue;
use lynchet::find::{Find, MetalSeen};

use super::exam::Given;

pub struct Nearest {
    /// Logs of weight and diameter in standard deviations, and the metal as it looks.
    types: Vec<([Option<f64>; 2], MetalSeen)>,
    /// Mean and standard deviation of each.
    scale: [(f64, f64); 2],
}

impl Nearest {
    pub fn of(library: &Catalogue) -> Nearest {
        let logs: Vec<([Option<f64>; 2], MetalSeen)> = library
            .types
            .iter()
            .map(|coin| {
                let parts = coin.weights.iter();
                let grams: f64 = parts.map(|part| part.share * part.grams).sum();
                let across = coin
                    .diameter
                    .map(|(least, most)| ((least + most) / 2.0).ln());
                let grams = (grams > 0.0).then(|| grams.ln());
                ([grams, across], library.metals[coin.metal].looks)
            })
            .collect();
        let scale = [0, 1].map(|of| {
            let known: Vec<f64> = logs.iter().filter_map(|(logs, _)| logs[of]).collect();
            let count = known.len().max(1) as f64;
            let mean = known.iter().sum::<f64>() / count;
            let spread = known.iter().map(|log| (log - mean).powi(2)).sum::<f64>() / count;
            (mean, spread.sqrt().max(1e-9))
        });
        let mut nearest = Nearest { types: logs, scale };
        for (logs, _) in &mut nearest.types {
            *logs = standing(*logs, &scale);
        }
        nearest
    }

    /// The types by their distance; with `metal`, those of the metal seen before all others.
    pub fn given(&self, find: &Find, metal: bool) -> Given {
        let logs = [
            find.weight.map(|weight| weight.value.get().ln()),
            find.diameter.map(|diameter| diameter.value.get().ln()),
        ];
        let found = standing(logs, &self.scale);
        let seen = find.metal.map(|(seen, _)| seen).filter(|_| metal);
        let figure = |(type_, looks): &([Option<f64>; 2], MetalSeen)| {
            let apart = type_.iter().zip(&found).map(|pair| match pair {
                (Some(a), Some(b)) => (a - b).powi(2),
                (_, None) => 0.0,
                (None, _) => 1.0,
            });
            let other = seen.is_some_and(|seen| seen != *looks);
            -apart.sum::<f64>() - if other { 1e6 } else { 0.0 }
        };
        Given::Figures(self.types.iter().map(figure).collect())
    }
}

fn standing(logs: [Option<f64>; 2], scale: &[(f64, f64); 2]) -> [Option<f64>; 2] {
    [0, 1].map(|of| logs[of].map(|log| (log - scale[of].0) / scale[of].1))
}
