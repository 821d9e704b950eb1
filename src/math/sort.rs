//! Sorting, compiled once.
//!
//! The library's sort is made anew for each type and each comparison, 6 kB of the module every time.
//! Here one sort puts places in order, and a few lines for each type bring the items there.

use std::cmp::Ordering;

/// Sorts `items` by `compare`; equal ones stay in their order.
pub fn sort_by<T>(items: &mut [T], mut compare: impl FnMut(&T, &T) -> Ordering) {
    let mut from: Vec<usize> = (0..items.len()).collect();
    sort_places(&mut from, &mut |a, b| compare(&items[a], &items[b]));
    for start in 0..from.len() {
        let mut at = start;
        // Around a cycle: what was at its start goes from place to place to its end.
        while from[at] != start {
            let next = from[at];
            items.swap(at, next);
            from[at] = at;
            at = next;
        }
        from[at] = at;
    }
}

/// Sorts `items` by a number each; equal ones stay in their order.
pub fn sort_by_number<T>(items: &mut [T], number: impl Fn(&T) -> f64) {
    sort_by(items, |a, b| number(a).total_cmp(&number(b)));
}

/// Sorts `places` by what stands at them; equal ones stay in their order.
pub fn sort_places(places: &mut [usize], compare: &mut dyn FnMut(usize, usize) -> Ordering) {
    places.sort_by(|a, b| compare(*a, *b));
}

/// Sorts numbers, the least first.
pub fn sort_numbers(numbers: &mut [f64]) {
    sort_by(numbers, f64::total_cmp);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::Rng;

    /// As the library sorts, equal ones included.
    #[test]
    fn sorted_as_by_the_library() {
        let mut rng = Rng::new(1);
        for count in 0..80 {
            let key = |_| (12.0 * rng.next_f64()) as u8;
            let mut ours: Vec<(u8, usize)> = (0..count).map(key).zip(0..).collect();
            let mut theirs = ours.clone();
            sort_by(&mut ours, |a, b| b.0.cmp(&a.0));
            theirs.sort_by_key(|item| std::cmp::Reverse(item.0));
            assert_eq!(ours, theirs);
            sort_by_number(&mut ours, |item| f64::from(item.0));
            theirs.sort_by_key(|item| item.0);
            assert_eq!(ours, theirs);
        }
    }

    #[test]
    fn numbers_stand_in_their_order() {
        let mut numbers = [2.0, -1.0, f64::INFINITY, 0.5];
        sort_numbers(&mut numbers);
        assert_eq!(numbers, [-1.0, 0.5, 2.0, f64::INFINITY]);
    }
}
