//! Everything that can happen to the page.

use super::gestures::{Gesture, SeenPicture};
use super::lesson::LessonMove;
use super::tasks::Answer;
use super::tour::TourMove;
use crate::documents::bench::Bench;
use crate::documents::design::Design;
use crate::documents::storage::SavedEntry;

/// Everything that can happen.
#[derive(Debug)]
pub enum Message {
    /// Something is typed in a field of the design, at a time in ms.
    Typed {
        /// The field's path.
        key: String,
        /// What stands in it now.
        text: String,
        /// When.
        at: f64,
    },
    /// Something is chosen from a list, ticked, or slid.
    Chosen {
        /// The control.
        control: String,
        /// What it holds now; of a box "true" or "false".
        value: String,
        /// When.
        at: f64,
    },
    /// Typing has paused.
    Paused {
        /// Of which wait.
        serial: u32,
    },
    /// There are workers to ask.
    Ready {
        /// How many processors the browser tells of; 0 where it does not.
        processors: usize,
    },
    /// A worker answered.
    Answered {
        /// Which request.
        serial: u32,
        /// None where worker failed.
        answer: Option<Answer>,
    },
    /// There is no such worker, or it broke.
    WorkerFailed {
        /// Which worker.
        worker: usize,
    },
    /// The design was saved, or not.
    Saved(Result<(), String>),
    /// Back by a step.
    Undo,
    /// Forward by a step.
    Redo,
    /// Another design takes the place of the present one.
    Replaced {
        /// It.
        design: Box<Design>,
        /// Which of its sizes is looked at.
        size: usize,
        /// What is said of it; empty for nothing.
        words: String,
        /// When.
        at: f64,
    },
    /// Words in the design change, on which no answer depends.
    Noted {
        /// With the words changed.
        design: Box<Design>,
        /// When.
        at: f64,
    },
    /// A suggestion of the join looked at is taken.
    Suggested {
        /// Which one, from 0.
        index: usize,
        /// When.
        at: f64,
    },
    /// An answer of the search is taken.
    Found {
        /// Which one, from 0.
        index: usize,
        /// When.
        at: f64,
    },
    /// A trial link of the size looked at is added.
    TrialAdded {
        /// When.
        at: f64,
    },
    /// A trial link is removed.
    TrialRemoved {
        /// Which one, from 0.
        index: usize,
        /// When.
        at: f64,
    },
    /// A size is added after the one looked at.
    SizeAdded {
        /// When.
        at: f64,
    },
    /// The size looked at is removed.
    SizeRemoved {
        /// When.
        at: f64,
    },
    /// The size looked at changes places with the one before or after it.
    SizeMoved {
        /// Whether with the one before.
        earlier: bool,
        /// When.
        at: f64,
    },
    /// A hand takes the design on the map, or lets it go.
    Dragged(bool),
    /// Another view is looked at.
    Viewed(usize),
    /// The next mandrel up or down the strip is taken.
    StripStepped {
        /// Up, to the next larger one.
        up: bool,
        /// When.
        at: f64,
    },
    /// The tour is begun, gone on with or ended.
    Toured(TourMove),
    /// One of the wishes listed is removed, counted from 0.
    WishRemoved(usize),
    /// The search is to stop.
    SearchStopped,
    /// A point of the trade-off is looked at.
    PointChosen(usize),
    /// What is kept in this browser, as it was found there: the entries or why there are none, and
    /// the design that another took the place of.
    Listed {
        /// What is kept by a name.
        rows: Result<Vec<SavedEntry>, String>,
        /// The design that was on the page before.
        former: Option<Box<Design>>,
        /// The name of what was deleted last and can come back.
        deleted: Option<String>,
    },
    /// The list of designs kept is shown, or put away.
    ListShown(bool),
    /// A name of the list is being changed; none any more.
    Renaming(Option<String>),
    /// A name to keep the design by is typed.
    NameTyped(String),
    /// Something is typed in a field of the bench.
    BenchTyped {
        /// The field's element.
        field: String,
        /// What stands in it now.
        text: String,
    },
    /// Something of the bench changed, its fields aside.
    BenchChanged(Box<Bench>),
    /// Another bench takes the place of the present one.
    BenchOpened(Box<Bench>),
    /// Another window changed the bench, and saved it.
    BenchElsewhere(Box<Bench>),
    /// The bench was saved, or not.
    BenchSaved(Result<(), String>),
    /// Which of the bench's pliers are brought into the fields to be changed.
    PliersChosen(Option<usize>),
    /// A class begins or ends.
    Class(bool),
    /// What a class sees beside, as the list of designs names it.
    BesideChosen(String),
    /// The class's steps are gone through.
    Taught(LessonMove),
    /// A hand or a key on the picture, as it was seen last.
    Gestured(Gesture, SeenPicture),
    /// The picture is seen as at first again.
    CameraReset,
    /// The slider is set to a time.
    Slid(f64),
    /// The slider is set where the join looked at is tightest.
    Tightest,
    /// The demonstration starts or stops; where calm is asked for it goes on by a step.
    Played {
        /// Calm is asked for.
        calm: bool,
    },
    /// A frame is due: what moves goes on.
    Frame {
        /// When, ms.
        now: f64,
        /// Calm is asked for.
        calm: bool,
    },
    /// Something is said about the page as a whole.
    Told {
        /// In words; empty to take back what was said.
        words: String,
        /// Whether something did not work.
        is_problem: bool,
    },
    /// What was said is put away.
    Dismissed,
}
