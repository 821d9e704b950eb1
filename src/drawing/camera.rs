//! The camera: goes round the work, comes nearer, looks aside. No perspective, so that
//! equal lengths look equal.

use crate::geometry::curve::{Point, Vector};
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// Zoom runs from a quarter to forty times the fitted size.
const ZOOM: std::ops::RangeInclusive<f64> = 0.25..=40.0;

/// A share of a motion that starts and ends at rest, of one that runs evenly; both from 0 to 1.
pub fn smooth(share: f64) -> f64 {
    share * share * (3.0 - 2.0 * share)
}

/// The part of a screen a picture fills, in CSS pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// From left to right.
    pub width: f64,
    /// From top to bottom.
    pub height: f64,
}

/// From where the work is seen, radians.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Viewpoint {
    /// Round the z axis: 0 looks along +y with x to the right.
    pub yaw: f64,
    /// Above the (x, y) plane: 0 looks level, π/2 straight down.
    pub pitch: f64,
}

impl Viewpoint {
    /// A viewpoint in degrees.
    pub const fn degrees(yaw: f64, pitch: f64) -> Viewpoint {
        Viewpoint { yaw: yaw * (PI / 180.0), pitch: pitch * (PI / 180.0) }
    }

    /// The viewpoint on the way from `self` (share 0) to `other` (share 1).
    pub fn towards(self, other: Viewpoint, share: f64) -> Viewpoint {
        Viewpoint {
            yaw: self.yaw + share * (other.yaw - self.yaw),
            pitch: self.pitch + share * (other.pitch - self.pitch),
        }
    }

    /// Unit vectors to the right of the picture, up it, and out of it to the reader.
    fn axes(self) -> [Vector; 3] {
        let (sin_yaw, cos_yaw) = self.yaw.sin_cos();
        let (sin_pitch, cos_pitch) = self.pitch.sin_cos();
        let right = Vector::new(cos_yaw, sin_yaw, 0.0);
        let level = Vector::new(sin_yaw, -cos_yaw, 0.0);
        let toward = cos_pitch * level + sin_pitch * Vector::z();
        [right, toward.cross(&right), toward]
    }
}

/// Size and middle of the work, by which it fills the window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Framing {
    /// What lies in the middle of the window.
    pub centre: Point,
    /// CSS pixels to a millimetre at zoom 1.
    pub scale: f64,
}

impl Framing {
    /// Brings `points`, each with `reach` mm of metal round it, inside the window less a
    /// border of `border` CSS pixels all round, as seen from `from`.
    pub fn around(
        points: impl Iterator<Item = Point>,
        reach: f64,
        from: Viewpoint,
        window: Window,
        border: [f64; 2],
    ) -> Framing {
        let axes = from.axes();
        let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
        for p in points {
            for i in 0..3 {
                let along = axes[i].dot(&p.coords);
                low[i] = low[i].min(along);
                high[i] = high[i].max(along);
            }
        }
        if !(high[0] >= low[0]) {
            (low, high) = ([0.0; 3], [0.0; 3]);
        }
        let middle = |i: usize| 0.5 * (low[i] + high[i]) * axes[i];
        let scale = |i: usize, clearance: f64| {
            (clearance - 2.0 * border[i]).max(24.0) / (high[i] - low[i] + 2.0 * reach).max(1e-3)
        };
        Framing {
            centre: Point::from(middle(0) + middle(1) + middle(2)),
            scale: scale(0, window.width).min(scale(1, window.height)),
        }
    }
}

/// Where the reader has turned, zoomed and moved the picture to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camera {
    /// Set once the reader has turned the work by hand; until then it is shown from the
    /// home viewpoint of whatever is shown.
    turned: Option<Viewpoint>,
    zoom: f64,
    /// CSS pixels at zoom 1, right and up.
    pan: [f64; 2],
}

impl Default for Camera {
    fn default() -> Camera {
        Camera { turned: None, zoom: 1.0, pan: [0.0, 0.0] }
    }
}

impl Camera {
    /// From where it looks when `home` is the viewpoint of its own accord.
    pub fn viewpoint(&self, home: Viewpoint) -> Viewpoint {
        self.turned.unwrap_or(home)
    }

    /// How many times the fitted size.
    pub fn zoom(&self) -> f64 {
        self.zoom
    }

    /// Turns the work under a pointer that moved `right` and `down` CSS pixels: half round
    /// for the window's shorter side.
    pub fn drag(&mut self, home: Viewpoint, right: f64, down: f64, window: Window) {
        let rate = PI / window.width.min(window.height).max(100.0);
        self.turn(home, -right * rate, down * rate);
    }

    /// Turns by so many radians round the z axis and over the top.
    pub fn turn(&mut self, home: Viewpoint, yaw: f64, pitch: f64) {
        let from = self.viewpoint(home);
        self.turned = Some(Viewpoint {
            yaw: (from.yaw + yaw) % TAU,
            pitch: (from.pitch + pitch).clamp(-FRAC_PI_2, FRAC_PI_2),
        });
    }

    /// Comes `factor` times nearer, keeping what lies under the pointer in place. The
    /// pointer is `right` and `up` CSS pixels from the window's middle.
    pub fn zoom_at(&mut self, factor: f64, right: f64, up: f64) {
        let zoom = (self.zoom * factor).clamp(*ZOOM.start(), *ZOOM.end());
        if zoom.is_finite() {
            for (pan, place) in self.pan.iter_mut().zip([right, up]) {
                *pan += place / zoom - place / self.zoom;
            }
            self.zoom = zoom;
        }
    }

    /// Moves the picture by CSS pixels.
    pub fn shift(&mut self, right: f64, up: f64) {
        self.pan[0] += right / self.zoom;
        self.pan[1] += up / self.zoom;
    }

    /// What it sees.
    pub fn view(&self, home: Viewpoint, fit: Framing, window: Window) -> PictureView {
        let scale = fit.scale * self.zoom;
        PictureView {
            axes: self.viewpoint(home).axes(),
            centre: fit.centre,
            shift: [self.pan[0] / fit.scale, self.pan[1] / fit.scale],
            scale,
            fineness: 1.0,
            window,
        }
    }
}

/// A camera's view: points of space onto the picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PictureView {
    axes: [Vector; 3],
    centre: Point,
    shift: [f64; 2],
    /// CSS pixels to a millimetre.
    pub scale: f64,
    /// Device pixels to a CSS pixel, where facets would be seen otherwise.
    pub fineness: f64,
    /// What it fills.
    pub window: Window,
}

impl PictureView {
    /// Right, up and toward the reader, mm from the middle of the picture.
    pub fn place(&self, p: Point) -> [f64; 3] {
        let [x, y, z] = self.aim(p - self.centre);
        [x + self.shift[0], y + self.shift[1], z]
    }

    /// A direction in the picture's axes: right, up, toward the reader.
    pub fn aim(&self, v: Vector) -> [f64; 3] {
        [self.axes[0].dot(&v), self.axes[1].dot(&v), self.axes[2].dot(&v)]
    }

    /// A way across the picture, mm to the right and up, in space.
    pub fn across(&self, right: f64, up: f64) -> Vector {
        right * self.axes[0] + up * self.axes[1]
    }

    /// The point on the picture, mm.
    pub fn flat(&self, p: Point) -> [f64; 2] {
        let [x, y, _] = self.place(p);
        [x, y]
    }

    /// CSS pixels as mm of the picture.
    pub fn mm(&self, pixels: f64) -> f64 {
        pixels / self.scale
    }

    /// Half the window's width and height, mm.
    pub fn half(&self) -> [f64; 2] {
        [self.mm(0.5 * self.window.width), self.mm(0.5 * self.window.height)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_way_across_the_picture_comes_back_as_itself() {
        let fit = Framing { centre: Point::new(1.0, 2.0, 3.0), scale: 7.0 };
        let view = Camera::default().view(Viewpoint::degrees(30.0, 20.0), fit, WINDOW);
        let [right, up, toward] = view.aim(view.across(2.0, -3.0));
        assert!((right - 2.0).abs() + (up + 3.0).abs() + toward.abs() < 1e-12);
    }

    const WINDOW: Window = Window { width: 800.0, height: 400.0 };
    const FIT: Framing = Framing { centre: Point::new(1.0, 2.0, 3.0), scale: 20.0 };

    #[test]
    fn the_axes_stay_square_and_right_handed() {
        for (yaw, pitch) in [(0.0, 0.0), (0.7, 0.4), (-2.0, 1.5), (3.0, -1.0)] {
            let [right, up, toward] = Viewpoint { yaw, pitch }.axes();
            assert!((right.cross(&up) - toward).norm() < 1e-14);
            assert!((right.norm() - 1.0).abs() < 1e-14 && (up.norm() - 1.0).abs() < 1e-14);
        }
    }

    #[test]
    fn from_straight_above_x_is_right_and_y_is_up() {
        let view = Camera::default().view(Viewpoint::degrees(0.0, 90.0), FIT, WINDOW);
        let [x, y, z] = view.place(Point::new(2.0, 5.0, 4.0));
        assert!((x - 1.0).abs() < 1e-12 && (y - 3.0).abs() < 1e-12 && (z - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_drag_to_the_right_carries_the_near_side_to_the_right() {
        let home = Viewpoint::degrees(0.0, 0.0);
        let near = FIT.centre - Vector::y();
        let mut camera = Camera::default();
        camera.drag(home, 40.0, 0.0, WINDOW);
        assert!(camera.view(home, FIT, WINDOW).flat(near)[0] > 0.1);
        let mut camera = Camera::default();
        camera.drag(home, 0.0, 40.0, WINDOW);
        assert!(camera.view(home, FIT, WINDOW).flat(near)[1] < -0.1);
    }

    #[test]
    fn a_zoom_keeps_the_point_under_the_pointer() {
        let home = Viewpoint::degrees(30.0, 20.0);
        let mut camera = Camera::default();
        camera.shift(13.0, -7.0);
        let point = Point::new(4.0, 1.0, 2.0);
        let pixels = |camera: &Camera| {
            let view = camera.view(home, FIT, WINDOW);
            view.flat(point).map(|mm| mm * view.scale)
        };
        let before = pixels(&camera);
        camera.zoom_at(2.5, before[0], before[1]);
        let after = pixels(&camera);
        assert!((before[0] - after[0]).abs() < 1e-9 && (before[1] - after[1]).abs() < 1e-9);
        camera.zoom_at(f64::NAN, 0.0, 0.0);
        camera.zoom_at(1e9, 0.0, 0.0);
        assert_eq!(camera.zoom(), 40.0);
    }

    #[test]
    fn fitted_work_fills_the_window_less_its_border() {
        let home = Viewpoint::degrees(0.0, 90.0);
        let corners = [Point::new(-3.0, 0.0, 0.0), Point::new(5.0, 1.0, 0.0)];
        let fit = Framing::around(corners.into_iter(), 0.5, home, WINDOW, [40.0, 40.0]);
        assert!((fit.scale - 720.0 / 9.0).abs() < 1e-9, "{}", fit.scale);
        let none = Framing::around([].into_iter(), 0.5, home, WINDOW, [40.0, 40.0]);
        assert!(none.scale.is_finite());
    }
}
