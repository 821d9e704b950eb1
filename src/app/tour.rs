//! A tour of the page in plain words: it points at the real controls, one after another.

/// What is pointed at, and what is said of it.
pub const STOPS: [(&str, &str); 8] = [
    (
        "verdict",
        "The answer: whether links of this wire and mandrel join, and with how much clearance. At first an estimate, with a dashed edge; a moment later it is proven.",
    ),
    (
        "wire",
        "Your wire, however you write it (0.9 mm, AWG 19, 0.035 in), and beside it your mandrel. Type: the answer follows as you go.",
    ),
    (
        "strip-part",
        "Every mandrel for this wire, from too small to loose. Tap or slide to take one; triangles are those on your bench.",
    ),
    (
        "picture",
        "The link in true proportion. Drag to turn it. The red lines are where the callipers go.",
    ),
    ("time", "Slide from the soldered ring to two loops joined, or press Play."),
    (
        "views",
        "Other questions to the same design: the link and how it joins, the chain, its metal, a plan of the whole, and the search for better sizes.",
    ),
    (
        "panel-shape",
        "What to check with callipers. Tap the name of any figure for what it means and how it is computed.",
    ),
    (
        "menu",
        "Designs to start from (one of them is too thick to be joined, on purpose), your own designs, units, colours, and the work shown large for a class.",
    ),
];

/// Where the tour is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tour {
    /// The stop it is at, while it is taken.
    pub at: Option<usize>,
    /// Whether it is offered, as at a first visit.
    pub is_offered: bool,
}

/// What is done with the tour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TourMove {
    /// It begins.
    Start,
    /// On by a stop; from the last it ends.
    Next,
    /// Back by a stop.
    Back,
    /// It ends, or is not wanted.
    End,
}

impl Tour {
    /// Goes on, begins or ends.
    pub fn go(&mut self, moves: TourMove) {
        self.is_offered = false;
        self.at = match (moves, self.at) {
            (TourMove::Start, _) => Some(0),
            (TourMove::Next, Some(at)) => Some(at + 1).filter(|next| *next < STOPS.len()),
            (TourMove::Back, Some(at)) => Some(at.saturating_sub(1)),
            (TourMove::End, _) | (_, None) => None,
        };
    }
}
