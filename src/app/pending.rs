//! What is asked of the worker and waited for.

/// A pause in typing, ms: longer than between two keys of one number.
pub const PAUSE_MS: u32 = 250;

/// What an answer is waited for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Subject {
    /// A join of the design.
    Join(usize),
    /// The join of the design that a class sees beside.
    Beside,
    /// Mandrels of the strip.
    Strip,
    /// Places of the map.
    Map,
    /// The plan.
    Plan,
    /// A gauge or a jig.
    Jig,
    /// What comes of tools without a correction.
    Uncorrected,
    /// Other jaws for a size.
    Jaws(usize),
    /// The smallest mandrels of the strip's wire.
    Mandrels,
    /// Something for the search.
    Search,
}

/// A request that was not answered yet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PendingRequest {
    /// Its number.
    pub serial: u32,
    /// About what.
    pub subject: Subject,
    /// Whether the answer is still wanted.
    pub is_wanted: bool,
}

/// What is asked and waited for.
#[derive(Clone, Debug, Default)]
pub struct PendingRequests {
    serial: u32,
    /// The request at work.
    pub asked: Option<PendingRequest>,
    /// The pause waited for.
    pub pause: Option<u32>,
    /// The browser gives no worker, or ours does not start.
    pub is_broken: bool,
    /// Whether there is a worker to ask; none before the page has started.
    pub is_ready: bool,
}

impl PendingRequests {
    pub(super) fn next_serial(&mut self) -> u32 {
        self.serial = self.serial.wrapping_add(1);
        self.serial
    }
}
