//! What a printed post bears while wire is bent on it by hand.
//!
//! Model: a short upright post, printed standing, pushed sideways at a height over its root: bending
//! across the layers by the section's own modulus, shear by the mean over its area, and the pressure
//! of the wire on the place it lies on, over the wire's thickness. Stress where post and plate meet
//! is not concentrated in the model; the margin has to cover it.
//! Source: strengths as built, PLA and PETG, `additive.tools/materials/petg` and `.../pla` (read
//! 2026-11-29): upright, across the layers, 25 to 38 MPa (PETG) and 35 to 45 MPa (PLA); flat, 44 to
//! 56 and 50 to 65 MPa. The least of these stand for both, half of it across the layers (our choice of
//! margin). Shear: 1/√3 of that (von Mises).
//! Evidence: `tests/jigs.rs`.

/// Stress that is allowed across the layers, MPa: half of the least published strength.
pub const ACROSS_LAYERS_MPA: f64 = 0.5 * 25.0;
/// Pressure that is allowed where the wire lies, MPa: beyond the least published strength along the
/// layers it dents.
pub const PRESSURE_MPA: f64 = 44.0;

/// A post seen from above, mm.
#[derive(Clone, Copy, Debug)]
pub struct Post<'a> {
    /// Its contour.
    pub contour: &'a [[f64; 2]],
    /// Width of the rounding that the wire lies on.
    pub width: f64,
}

/// What pushes it: along x.
#[derive(Clone, Copy, Debug)]
pub struct Push {
    /// In all, N.
    pub newtons: f64,
    /// Height over the root, mm.
    pub height: f64,
    /// Wires that push, one over the other.
    pub wires: f64,
    /// Their diameter, mm.
    pub wire: f64,
}

/// What a post suffers, in shares of what is allowed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PostLoad {
    /// Bending and shear across the layers, whichever is worse.
    pub across_layers: f64,
    /// Pressure of the wire.
    pub pressure: f64,
}

impl PostLoad {
    /// Of `post` under `push`.
    ///
    /// # Examples
    /// ```
    /// use linkfold::mechanics::printed::{ACROSS_LAYERS_MPA, Post, PostLoad, Push};
    /// let square = [[-2.0, -2.0], [2.0, -2.0], [2.0, 2.0], [-2.0, 2.0]];
    /// let post = Post { contour: &square, width: 4.0 };
    /// let load = PostLoad::of(post, Push { newtons: 20.0, height: 3.0, wires: 1.0, wire: 1.0 });
    /// // A square of side a: 6 F h / a³.
    /// let stress = 6.0 * 20.0 * 3.0 / 64.0;
    /// assert!((load.across_layers - stress / ACROSS_LAYERS_MPA).abs() < 1e-9);
    /// ```
    pub fn of(post: Post, push: Push) -> PostLoad {
        let PostSection { area, second_moment, furthest } = PostSection::of(post.contour);
        let bending = push.newtons * push.height * furthest / second_moment;
        let shear = 3f64.sqrt() * push.newtons / area;
        let under = post.width * push.wire * push.wires;
        PostLoad {
            across_layers: bending.max(shear) / ACROSS_LAYERS_MPA,
            pressure: push.newtons / under / PRESSURE_MPA,
        }
    }

    /// The worse of the two, as a share of what is allowed.
    pub fn worst(&self) -> f64 {
        self.across_layers.max(self.pressure)
    }
}

/// How wide a wire of diameter `wire` mm has to lie on plastic that is pressed on it with `newtons`, mm.
pub fn least_width(newtons: f64, wire: f64) -> f64 {
    newtons / (PRESSURE_MPA * wire)
}

/// Torsion of a round rod by `torque` N·mm, as a share of what is allowed across the layers.
pub fn torsion_load(diameter: f64, torque: f64) -> f64 {
    let shear = 16.0 * torque / (std::f64::consts::PI * diameter.powi(3));
    3f64.sqrt() * shear / ACROSS_LAYERS_MPA
}

/// A polygon's area, second moment about its middle across x, and how far it reaches along x.
struct PostSection {
    area: f64,
    second_moment: f64,
    furthest: f64,
}

impl PostSection {
    /// By Green's theorem, side by side.
    fn of(contour: &[[f64; 2]]) -> PostSection {
        let (mut area, mut first, mut second) = (0.0, 0.0, 0.0);
        for (a, b) in contour.iter().zip(contour.iter().cycle().skip(1)) {
            let cross = a[0] * b[1] - a[1] * b[0];
            area += cross / 2.0;
            first += cross * (a[0] + b[0]) / 6.0;
            second += cross * (a[0] * a[0] + a[0] * b[0] + b[0] * b[0]) / 12.0;
        }
        let middle = first / area;
        let furthest = contour.iter().map(|p| (p[0] - middle).abs()).fold(0.0, f64::max);
        PostSection {
            area: area.abs(),
            second_moment: (second - area * middle * middle).abs(),
            furthest,
        }
    }
}
