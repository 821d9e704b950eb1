//! Independent work, shared out among the processors.
//!
//! Where there are no threads, in the browser's module, one thing is done after the other; the page
//! shares work out among its workers by questions instead.

use super::sort::sort_by;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Threads at the most; 0 for as many as there are processors.
static MOST: AtomicUsize = AtomicUsize::new(0);
/// Threads that [`both`] has under way beside the first.
static BESIDE: AtomicUsize = AtomicUsize::new(0);

/// Lets [`map_indices`] and [`both`] use so many threads at the most; 0 for as many as there are processors.
pub fn limit_threads(most: usize) {
    MOST.store(most, Ordering::Relaxed);
}

/// What `work` makes of each number below `count`, in order. A panic in `work` is passed on.
///
/// # Examples
/// ```
/// let squares = linkfold::math::map_indices(4, |i| i * i);
/// assert_eq!(squares, [0, 1, 4, 9]);
/// ```
pub fn map_indices<T: Send>(count: usize, work: impl Fn(usize) -> T + Sync) -> Vec<T> {
    let threads = threads().min(count);
    if threads < 2 {
        return (0..count).map(work).collect();
    }
    let next = AtomicUsize::new(0);
    let some = || {
        let indices = std::iter::repeat_with(|| next.fetch_add(1, Ordering::Relaxed));
        indices.take_while(|index| *index < count).map(|index| (index, work(index))).collect()
    };
    let mut found: Vec<(usize, T)> = std::thread::scope(|scope| {
        let workers: Vec<_> = (1..threads).map(|_| scope.spawn(some)).collect();
        let mut found: Vec<(usize, T)> = some();
        for worker in workers {
            match worker.join() {
                Ok(more) => found.extend(more),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        found
    });
    sort_by(&mut found, |a, b| a.0.cmp(&b.0));
    found.into_iter().map(|(_, made)| made).collect()
}

/// What both make, the first on a thread of its own where there may be another. A panic is passed on.
///
/// # Examples
/// ```
/// assert_eq!(linkfold::math::both(|| 1 + 1, || "two"), (2, "two"));
/// ```
pub fn both<A: Send, B>(first: impl FnOnce() -> A + Send, second: impl FnOnce() -> B) -> (A, B) {
    if threads() < 2 {
        return (first(), second());
    }
    std::thread::scope(|scope| {
        BESIDE.fetch_add(1, Ordering::Relaxed);
        let first = scope.spawn(move || {
            let _guard = ThreadGuard;
            first()
        });
        let second = second();
        match first.join() {
            Ok(first) => (first, second),
            Err(panic) => std::panic::resume_unwind(panic),
        }
    })
}

/// Gives a thread back when its work ends, however that is.
struct ThreadGuard;

impl Drop for ThreadGuard {
    fn drop(&mut self) {
        BESIDE.fetch_sub(1, Ordering::Relaxed);
    }
}

/// How many may be used now.
fn threads() -> usize {
    let most = most();
    most.saturating_sub(BESIDE.load(Ordering::Relaxed)).max(1)
}

fn most() -> usize {
    if cfg!(target_arch = "wasm32") {
        return 1;
    }
    match MOST.load(Ordering::Relaxed) {
        0 => std::thread::available_parallelism().map_or(1, usize::from),
        most => most,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn everything_is_done_once_and_comes_in_order() {
        for count in [0, 1, 2, 1000] {
            let done = AtomicUsize::new(0);
            let made = map_indices(count, |i| {
                done.fetch_add(1, Ordering::Relaxed);
                i
            });
            assert!(made.iter().copied().eq(0..count));
            assert_eq!(done.into_inner(), count);
        }
    }

    #[test]
    fn both_are_done_and_their_threads_given_back() {
        let made = both(|| map_indices(9, |i| i), || map_indices(7, |i| 2 * i));
        assert_eq!((made.0.len(), made.1[6]), (9, 12));
        let failed = std::panic::catch_unwind(|| both(|| panic!("the first"), || 1).1);
        assert!(failed.is_err());
        assert_eq!(both(|| 1, || 2), (1, 2));
    }

    #[test]
    #[should_panic(expected = "the seventh")]
    fn a_panic_is_passed_on() {
        map_indices(20, |i| assert!(i != 7, "the seventh"));
    }
}
