//! A drawing: marks in the order they are laid down, later over earlier.

/// Steps from the darkest metal to the brightest.
pub const SHADES: u8 = 64;

/// Which of the metals a wire is shown in, so that neighbours can be told apart.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Finish {
    /// The design's metal.
    #[default]
    Own,
    /// A loop told from the one it goes through by its tone: darker, of the same metal.
    Other,
    /// Solder in a seam: darker than either.
    Solder,
    /// A thread that marks an opening, in the colour of what the eye should find.
    Marked,
}

/// What a mark means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Tone {
    /// Lit metal; `shade` runs from 0 to [`SHADES`] − 1.
    Metal {
        /// Which metal.
        finish: Finish,
        /// How bright.
        shade: u8,
    },
    /// Ground of a map: below half of [`SHADES`] there is no clearance, and less the darker; above,
    /// more the darker.
    MapClearance {
        /// Where on that scale.
        shade: u8,
    },
    /// Strain of the metal; `shade` runs from 0, none, to [`SHADES`] − 1.
    Strain {
        /// How much.
        shade: u8,
    },
    /// A tool, dull; `shade` as of metal.
    Tool {
        /// How bright.
        shade: u8,
    },
    /// The dark edge round a wire.
    Rim,
    /// The ground behind everything.
    Paper,
    /// The squares of the paper.
    Square,
    /// Writing.
    Ink,
    /// What should stay in the background.
    Faint,
    /// A dimension and its number.
    Measure,
    /// What the eye should find first.
    Accent,
    /// What is wrong.
    Warning,
}

/// Where a label stands from its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// It starts there.
    Start,
    /// It is centred there.
    Middle,
    /// It ends there.
    End,
}

/// One mark. Places are ranges into [`Drawing::points`].
#[derive(Clone, Debug, PartialEq)]
pub enum Mark {
    /// A filled polygon.
    Fill {
        /// What it means.
        tone: Tone,
        /// Its corners.
        points: std::ops::Range<usize>,
    },
    /// A line through points.
    Stroke {
        /// What it means.
        tone: Tone,
        /// Its points.
        points: std::ops::Range<usize>,
        /// Its width, mm.
        width: f64,
    },
    /// A line of text, upright, centred on its place's height.
    Label {
        /// What it means.
        tone: Tone,
        /// Its place, mm.
        at: [f64; 2],
        /// Which way it runs from there.
        anchor: Anchor,
        /// Height of the letters' body, mm.
        size: f64,
        /// What it says.
        text: String,
    },
}

impl Mark {
    /// What the mark means.
    pub fn tone(&self) -> Tone {
        match self {
            Mark::Fill { tone, .. } | Mark::Stroke { tone, .. } | Mark::Label { tone, .. } => *tone,
        }
    }
}

/// A list of marks, far ones first.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// The marks.
    pub marks: Vec<Mark>,
    /// Corners of the marks, mm.
    pub points: Vec<[f64; 2]>,
}

impl Drawing {
    /// Forgets every mark and keeps the memory.
    pub fn clear(&mut self) {
        self.marks.clear();
        self.points.clear();
    }

    /// Adds a filled polygon.
    pub fn fill(&mut self, tone: Tone, corners: &[[f64; 2]]) {
        let points = self.add(corners);
        self.marks.push(Mark::Fill { tone, points });
    }

    /// Adds a line, `width` mm wide.
    pub fn stroke(&mut self, tone: Tone, through: &[[f64; 2]], width: f64) {
        let points = self.add(through);
        self.marks.push(Mark::Stroke { tone, points, width });
    }

    /// Adds a text with letters `size` mm high.
    pub fn label(&mut self, tone: Tone, at: [f64; 2], anchor: Anchor, size: f64, text: String) {
        self.marks.push(Mark::Label { tone, at, anchor, size, text });
    }

    /// Adds every mark of `other`, moved by `by` mm.
    pub fn add_moved(&mut self, other: &Drawing, by: [f64; 2]) {
        let first = self.points.len();
        let moved = |[x, y]: [f64; 2]| [x + by[0], y + by[1]];
        self.points.extend(other.points.iter().copied().map(moved));
        let shifted = |points: &std::ops::Range<usize>| points.start + first..points.end + first;
        self.marks.extend(other.marks.iter().cloned().map(|mark| match mark {
            Mark::Fill { tone, points } => Mark::Fill { tone, points: shifted(&points) },
            Mark::Stroke { tone, points, width } => {
                Mark::Stroke { tone, points: shifted(&points), width }
            }
            Mark::Label { tone, at, anchor, size, text } => {
                Mark::Label { tone, at: moved(at), anchor, size, text }
            }
        }));
    }

    fn add(&mut self, corners: &[[f64; 2]]) -> std::ops::Range<usize> {
        let first = self.points.len();
        self.points.extend_from_slice(corners);
        first..self.points.len()
    }

    /// Least and greatest x and y of the marks whose tone `wanted` accepts; labels do not
    /// count. `None` when there are none.
    pub fn extents(&self, wanted: impl Fn(Tone) -> bool) -> Option<[[f64; 2]; 2]> {
        let mut found: Option<[[f64; 2]; 2]> = None;
        for mark in self.marks.iter().filter(|m| wanted(m.tone())) {
            let (Mark::Fill { points, .. } | Mark::Stroke { points, .. }) = mark else { continue };
            for p in &self.points[points.clone()] {
                let [low, high] = found.get_or_insert([*p, *p]);
                for i in 0..2 {
                    low[i] = low[i].min(p[i]);
                    high[i] = high[i].max(p[i]);
                }
            }
        }
        found
    }
}
