//! How links follow one another: whose lobes a waist runs through, and which way links face.
//!
//! Every weave here is a row of one step: each link a rise further, turned about z by the
//! same angle. Chains crossed on one axis take turns: link n is worked through its own chain's
//! last links, n less the number of chains, and passes the others by.

use super::{Body, Row};
use crate::geometry::curve::{Pose, Vector};
use nalgebra::UnitQuaternion;
use std::f64::consts::PI;

/// A weave.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Weave {
    /// Chains crossed on one axis: 1 to [`MOST_CHAINS`].
    chains: usize,
    /// Links of its own chain that a waist runs through: 1 to [`MOST_THROUGH`].
    through: usize,
}

/// Chains crossed on one axis, at the most.
pub const MOST_CHAINS: usize = 4;
/// Links of its own chain that a waist runs through, at the most.
pub const MOST_THROUGH: usize = 3;

impl Weave {
    /// Each link through the one before: single loop-in-loop.
    pub const SINGLE: Weave = Weave { chains: 1, through: 1 };

    /// Every weave that can be asked for, the usual six first.
    pub const ALL: [Weave; MOST_CHAINS * MOST_THROUGH] = [
        Weave::SINGLE,
        Weave { chains: 1, through: 2 },
        Weave { chains: 2, through: 1 },
        Weave { chains: 2, through: 2 },
        Weave { chains: 3, through: 1 },
        Weave { chains: 3, through: 2 },
        Weave { chains: 1, through: 3 },
        Weave { chains: 2, through: 3 },
        Weave { chains: 3, through: 3 },
        Weave { chains: 4, through: 1 },
        Weave { chains: 4, through: 2 },
        Weave { chains: 4, through: 3 },
    ];

    /// `chains` crossed on one axis, each waist through the `through` links before it of its
    /// own chain. `None` beyond [`MOST_CHAINS`] and [`MOST_THROUGH`], and for none.
    ///
    /// # Examples
    /// ```
    /// use linkfold::motion::chain::Weave;
    /// assert!(Weave::new(1, 2).is_some()); // double loop-in-loop
    /// assert!(Weave::new(0, 1).is_none());
    /// ```
    pub fn new(chains: usize, through: usize) -> Option<Weave> {
        let known = (1..=MOST_CHAINS).contains(&chains) && (1..=MOST_THROUGH).contains(&through);
        known.then_some(Weave { chains, through })
    }

    /// What it is called: how many ways the lobes look, and how many links each goes through.
    pub fn name(self) -> &'static str {
        const NAMES: [[&str; MOST_THROUGH]; MOST_CHAINS] = [
            ["single", "double", "triple"],
            ["two-way single", "two-way double", "two-way triple"],
            ["three-way single", "three-way double", "three-way triple"],
            ["four-way single", "four-way double", "four-way triple"],
        ];
        NAMES[self.chains - 1][self.through - 1]
    }

    /// Turn about z from one link to the next, radians: a half turn shared out, which leaves a
    /// link as it was.
    pub fn turn(self) -> f64 {
        if self.chains == 1 { 0.0 } else { PI / self.chains as f64 }
    }

    /// Chains crossed on one axis.
    pub fn chains(self) -> usize {
        self.chains
    }

    /// How many links before its own the first one lies whose lobes a waist runs through.
    pub fn deepest(self) -> usize {
        self.chains * self.through
    }

    /// Links of its own chain that a waist runs through.
    pub fn through(self) -> usize {
        self.through
    }

    /// Size over all of the straight chain, mm, along x and y.
    pub fn extent(self, link: &Body) -> nalgebra::Vector2<f64> {
        let places = link.curve().walk(0.05 * link.wire);
        let mut most = nalgebra::Vector2::zeros();
        for chain in 0..self.chains {
            let (sin, cos) = (chain as f64 * self.turn()).sin_cos();
            for (p, _) in &places {
                let turned = nalgebra::Vector2::new(cos * p.x - sin * p.y, sin * p.x + cos * p.y);
                most = most.sup(&turned.abs());
            }
        }
        2.0 * most + nalgebra::Vector2::repeat(link.wire)
    }

    /// Where the first `count` links lie, each by the same step and the weave's turn.
    pub fn poses(self, step: &Pose, count: usize) -> Vec<Pose> {
        let mut along = Pose::identity();
        let about_z = |angle| UnitQuaternion::from_axis_angle(&Vector::z_axis(), angle);
        (0..count)
            .map(|k| {
                let pose = along * about_z(k as f64 * self.turn());
                along *= step;
                pose
            })
            .collect()
    }

    /// Whether both hands of the weave are one: a link's planes of symmetry are the chain's.
    pub fn even_handed(self) -> bool {
        self.chains < 3
    }

    /// The links from `nearest` to `furthest` further, seen from a link of every chain.
    pub(super) fn row(self, link: &Body, nearest: usize, furthest: usize) -> Row<'_> {
        let offsets = nearest..=furthest;
        let pairs = offsets.flat_map(|k| (0..self.chains).map(move |first| (first, k))).collect();
        Row { receiving: link, incoming: link, turn: self.turn(), pairs }
    }
}
