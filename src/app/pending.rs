//! What is asked of the workers and waited for.

/// A pause in typing, ms: longer than between two keys of one number.
pub const PAUSE_MS: u32 = 250;
/// Workers at the most: each holds a module of its own, some 34 MB.
pub const MOST_WORKERS: usize = 4;

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
    /// Parts of the share that an uneven hand fails at.
    Hand,
    /// A gauge or a jig.
    Jig,
    /// What comes of tools without a correction, for joins of the design.
    Uncorrected,
    /// Other jaws for a size.
    Jaws(usize),
    /// Parts of the proof that a refused join has no joined pose.
    Refusal(usize),
    /// The smallest mandrels of the strip's wire.
    Mandrels,
    /// Figures of the present design, for the search.
    Figures,
    /// Designs looked at by the search.
    Search,
    /// How figures move with one of the dimensions.
    Moves(usize),
}

/// A request that was not answered yet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PendingRequest {
    /// Its number.
    pub serial: u32,
    /// Which worker does it, from 0.
    pub worker: usize,
    /// About what.
    pub subject: Subject,
    /// Which parts of that, as [`super::tasks::Task::parts`] numbers them.
    pub parts: Vec<usize>,
    /// Whether the answer is still wanted.
    pub is_wanted: bool,
}

/// How far a worker is known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum WorkerStanding {
    /// There is none.
    #[default]
    None,
    /// It was asked something, and has answered nothing yet.
    Asked,
    /// It has answered.
    Answered,
}

/// What is asked and waited for.
#[derive(Clone, Debug, Default)]
pub struct PendingRequests {
    serial: u32,
    /// The requests at work, one to a worker.
    pub asked: Vec<PendingRequest>,
    /// The pause waited for.
    pub pause: Option<u32>,
    /// The browser gives no worker, or ours do not start.
    pub is_broken: bool,
    /// Workers that may be asked; none before the page has started.
    pub workers: usize,
    standings: [WorkerStanding; MOST_WORKERS],
    /// Whether there was any answer yet.
    has_answered: bool,
    /// The worker that holds the search as far as it is.
    pub searcher: Option<usize>,
}

impl PendingRequests {
    pub(super) fn next_serial(&mut self) -> u32 {
        self.serial = self.serial.wrapping_add(1);
        self.serial
    }

    /// Requests at a time: one until something was answered, so that nothing delays the first answer;
    /// then one to each worker, but one fewer where a processor is `spared` for the page.
    pub(super) fn most(&self, spared: bool) -> usize {
        let most = if self.has_answered { self.workers - usize::from(spared) } else { 1 };
        most.clamp(1, self.workers.max(1))
    }

    /// Workers that do nothing: first that which holds the search, then those there are, then as many
    /// as may still be started.
    pub(super) fn free(&self) -> Vec<usize> {
        let (there, new): (Vec<usize>, Vec<usize>) =
            (0..MOST_WORKERS).partition(|worker| self.is_there(*worker));
        let more = self.workers.saturating_sub(there.len());
        let is_free = |worker: &usize| self.asked.iter().all(|asked| asked.worker != *worker);
        let others = there.into_iter().filter(|worker| self.searcher != Some(*worker));
        let there = self.searcher.into_iter().chain(others).filter(is_free);
        there.chain(new.into_iter().take(more)).collect()
    }

    fn is_there(&self, worker: usize) -> bool {
        self.standings[worker] != WorkerStanding::None
    }

    /// How many of so many parts one of the workers is asked for: fewer towards the end, so that none
    /// waits long for another.
    pub(super) fn share_of(&self, open: usize) -> usize {
        (open / (2 * self.workers.max(1))).max(1)
    }

    /// Whether it is asked about a subject.
    pub fn is_asked(&self, subject: Subject) -> bool {
        self.asked.iter().any(|asked| asked.subject == subject)
    }

    /// Which parts of a subject are asked for.
    pub(super) fn parts(&self, subject: Subject) -> Vec<usize> {
        let of = self.asked.iter().filter(|asked| asked.subject == subject);
        of.flat_map(|asked| asked.parts.iter().copied()).collect()
    }

    /// Notes a request of a worker.
    pub(super) fn ask(&mut self, worker: usize, subject: Subject, parts: Vec<usize>) -> u32 {
        let serial = self.next_serial();
        self.asked.push(PendingRequest { serial, worker, subject, parts, is_wanted: true });
        if self.standings[worker] == WorkerStanding::None {
            self.standings[worker] = WorkerStanding::Asked;
        }
        if subject == Subject::Search {
            self.searcher = Some(worker);
        }
        serial
    }

    /// The request that is answered; none where it was stopped.
    pub(super) fn answered(&mut self, serial: u32) -> Option<PendingRequest> {
        let at = self.asked.iter().position(|asked| asked.serial == serial)?;
        Some(self.asked.swap_remove(at))
    }

    /// A worker answered something.
    pub(super) fn stands(&mut self, worker: usize) {
        self.standings[worker] = WorkerStanding::Answered;
        self.has_answered = true;
    }

    /// A worker is no more; what it was asked is not waited for.
    pub(super) fn ended(&mut self, worker: usize) {
        self.asked.retain(|asked| asked.worker != worker);
        self.standings[worker] = WorkerStanding::None;
        self.searcher = self.searcher.filter(|searcher| *searcher != worker);
    }

    /// Whether the others go on without a worker that failed: then there is one fewer from now on.
    pub(super) fn is_spared(&mut self) -> bool {
        let spared = self.has_answered && self.workers > 1;
        if spared {
            self.workers -= 1;
        }
        spared
    }

    /// Whether a worker has not answered anything yet: that it failed may be its own fault and not the
    /// question's.
    pub(super) fn is_new(&self, worker: usize) -> bool {
        self.standings[worker] == WorkerStanding::Asked
    }

    /// Workers of which there is no need while nothing is asked: all but one.
    pub(super) fn idle(&self) -> Vec<usize> {
        (0..MOST_WORKERS).filter(|worker| self.is_there(*worker)).skip(1).collect()
    }
}
