//! What is worked out once for many types: kept by number when it is first asked for.
//!
//! Types that agree in what a witness looks at bear one number for it; nothing is judged here.
//!
//! Invariant: what is kept for a number is what was worked out for it first.

use std::cell::RefCell;

use super::evidence::Evidence;

/// What is worked out for a number when it is first asked for.
pub(super) struct Known<T> {
    /// For each number its place among what is known, counted from one; nought where it is not.
    places: Vec<u32>,
    known: Vec<T>,
}

impl<T: Copy> Known<T> {
    pub(super) fn new(numbers: usize) -> Known<T> {
        Known {
            places: vec![0; numbers],
            known: Vec::new(),
        }
    }

    pub(super) fn of(&mut self, number: usize, work_out: impl FnOnce() -> T) -> T {
        let place = &mut self.places[number];
        if *place == 0 {
            self.known.push(work_out());
            *place = self.known.len() as u32;
        }
        self.known[*place as usize - 1]
    }
}

/// Lists of terms by number.
pub(super) struct Terms(RefCell<Lists>);

/// The nats of the terms laid end to end, and where the list of each number begins and ends.
struct Lists {
    known: Known<(usize, usize)>,
    nats: Vec<f64>,
}

impl Terms {
    pub(super) fn new(numbers: usize) -> Terms {
        Terms(RefCell::new(Lists {
            known: Known::new(numbers),
            nats: Vec::new(),
        }))
    }

    /// Adds the terms of a number to a sum one by one, as the account shows them.
    pub(super) fn add(
        &self,
        number: u32,
        sum: &mut f64,
        work_out: impl FnOnce(&mut dyn FnMut(Evidence)),
    ) {
        let Lists { known, nats } = &mut *self.0.borrow_mut();
        let (from, to) = known.of(number as usize, || {
            let from = nats.len();
            work_out(&mut |term| nats.push(term.nats));
            (from, nats.len())
        });
        nats[from..to].iter().for_each(|nats| *sum += nats);
    }
}
