use super::*;
use crate::drawing::{Camera, Framing, Mark, Viewpoint, Window};
use crate::geometry::curve::{Point, Pose};
use crate::geometry::link::{Forming, Ring, ToolDimensions};
use crate::motion::chain::{About, Body, Weave, measure};

fn view(home: Viewpoint) -> PictureView {
    let fit = Framing { centre: Point::origin(), scale: 30.0 };
    Camera::default().view(home, fit, Window { width: 600.0, height: 600.0 })
}

fn ring(finish: Finish, pose: &Pose) -> Strand {
    let ring = Ring::off_mandrel(1.0, 9.0, 0.0, 0.0).unwrap();
    Strand { curve: ring.curve().moved(pose), radius: 0.5, finish, seam: None, part: None }
}

fn drawn(strands: &[Strand], home: Viewpoint) -> Drawing {
    let mut drawing = Drawing::default();
    draw(strands, &[], &view(home), &mut drawing);
    drawing
}

#[test]
fn a_ring_seen_from_above_is_as_wide_as_its_outside_diameter() {
    let drawing = drawn(&[ring(Finish::Own, &Pose::identity())], Viewpoint::degrees(20.0, 90.0));
    let [low, high] = drawing.extents(|t| matches!(t, Tone::Metal { .. })).unwrap();
    // Facets stray by 0.2 pixels and are enlarged by 0.45: 0.03 mm at 30 pixels to the mm.
    for i in 0..2 {
        let wide = high[i] - low[i];
        assert!((wide - 11.0).abs() < 0.06, "{wide} mm, expected 11 mm");
    }
}

#[test]
fn from_the_side_a_ring_is_as_thick_as_its_wire() {
    let drawing = drawn(&[ring(Finish::Own, &Pose::identity())], Viewpoint::degrees(0.0, 0.0));
    let [low, high] = drawing.extents(|t| matches!(t, Tone::Metal { .. })).unwrap();
    assert!((high[1] - low[1] - 1.0).abs() < 0.08, "{} mm", high[1] - low[1]);
}

/// A chain of four hundred hair-thin links once asked for 1.6 million facets and 430 MB.
#[test]
fn a_wire_as_thin_as_a_hair_asks_for_no_more_than_can_be_seen() {
    let mut thin = ring(Finish::Own, &Pose::identity());
    thin.radius = 0.01;
    for pixels_to_a_mm in [1.0, 4.0, 16.0] {
        let fit = Framing { centre: Point::origin(), scale: pixels_to_a_mm };
        let window = Window { width: 600.0, height: 600.0 };
        let seen = Camera::default().view(Viewpoint::degrees(0.0, 90.0), fit, window);
        let bands = sections::rings(&thin, &seen).len() as f64;
        let round = std::f64::consts::PI * 10.0 * pixels_to_a_mm;
        let turns = TAU / 0.06;
        assert!(bands <= 1.0 + round.max(turns), "{bands} of {round} pixels");
    }
}

/// A seam is drawn where it lies, as wide as it is, wherever the curve's pieces begin.
#[test]
fn a_seam_is_drawn_where_it_lies() {
    let whole = std::f64::consts::PI * 10.0;
    for share in [0.0, 0.1, 0.25, 0.6, 1.0] {
        let mut ring = ring(Finish::Own, &Pose::identity());
        ring.seam = Some(share * whole);
        let drawing = drawn(&[ring], Viewpoint::degrees(0.0, 90.0));
        let solder = |t| matches!(t, Tone::Metal { finish: Finish::Solder, .. });
        let [low, high] = drawing.extents(solder).unwrap();
        // The ring starts at its top and runs clockwise: out is y, along x.
        let (sin, cos) = (TAU * share).sin_cos();
        for (i, at) in [5.0 * sin, 5.0 * cos].into_iter().enumerate() {
            let middle = 0.5 * (low[i] + high[i]);
            assert!((middle - at).abs() < 0.1, "{share}: {middle}, {at}");
        }
        let wide = (high[0] - low[0]).hypot(high[1] - low[1]);
        assert!((0.9..1.3).contains(&wide), "{share}: {wide} mm over a wire of 1 mm");
    }
    let none = drawn(&[ring(Finish::Own, &Pose::identity())], Viewpoint::degrees(0.0, 90.0));
    assert!(none.extents(|t| matches!(t, Tone::Metal { finish: Finish::Solder, .. })).is_none());
}

#[test]
fn every_shade_is_one_that_a_theme_knows() {
    for i in 0..400 {
        let (a, b) = (0.37 * f64::from(i), 0.11 * f64::from(i));
        let normal = [a.cos() * b.sin(), a.sin() * b.sin(), b.cos()];
        assert!(shade(light(normal)) < SHADES);
    }
}

/// Two rings that cross on the picture: at each crossing the nearer one was laid last.
#[test]
fn the_nearer_wire_covers_the_farther() {
    let far = ring(Finish::Own, &Pose::translation(-3.0, 0.0, 0.0));
    let near = ring(Finish::Other, &Pose::translation(3.0, 0.0, 1.1));
    for strands in [[far.clone(), near.clone()], [near, far]] {
        let drawing = drawn(&strands, Viewpoint::degrees(0.0, 90.0));
        // Both centrelines have radius 5 about (∓3, 0): they cross at (0, ±4).
        for place in [[0.0, 4.0], [0.0, -4.0]] {
            assert_eq!(top(&drawing, place), Some(Finish::Other), "at {place:?}");
        }
    }
}

/// Laid in layers, a bent chain shows the same metal everywhere as laid length by length,
/// the farthest first; and in a quarter as many runs of one colour.
#[test]
fn layers_hide_as_the_order_of_depths_does() {
    let body = Body::of(&Forming::new(ToolDimensions::usual(1.0, 12.0)).unwrap().fold);
    let found = measure(&body, Weave::SINGLE).unwrap();
    let window = Window { width: 600.0, height: 600.0 };
    let (mut seen, mut other, mut runs) = (0, 0, [0, 0]);
    for (k, about) in [About::X, About::Y, About::Z].into_iter().enumerate() {
        let bent = found.bent(&body, about, 0.8);
        let poses = found.weave.poses(&bent.step, 8);
        let strands: Vec<Strand> = (poses.iter().enumerate())
            .map(|(k, pose)| Strand {
                curve: body.curve().moved(pose),
                radius: 0.5,
                finish: if k % 2 == 0 { Finish::Own } else { Finish::Other },
                seam: None,
                part: None,
            })
            .collect();
        let home = Viewpoint::degrees(0.0, 26.0);
        let points = || strands.iter().flat_map(|strand| strand.points(1.0));
        let fit = Framing::around(points(), 0.5, home, window, [48.0; 2]);
        for turn in 0..6 {
            let mut camera = Camera::default();
            camera.turn(home, 0.7 * f64::from(turn) + k as f64, 0.4 * f64::from(turn) - 1.0);
            let view = camera.view(home, fit, window);
            let mut raised = Raised::default();
            ringed(&strands, &view).iter().for_each(|wire| raised.add(wire, &view));
            let mut by_depth: Vec<usize> = (0..raised.lengths.len()).collect();
            by_depth.sort_by(|&a, &b| raised.lengths[a].depth.total_cmp(&raised.lengths[b].depth));
            let mut ranks = vec![0; by_depth.len()];
            by_depth.iter().enumerate().for_each(|(rank, &band)| ranks[band] = rank as u32);
            let drawings = [order::layers(&raised.lengths, &vec![0; raised.lengths.len()]), ranks]
                .map(|layers| {
                    let mut drawing = Drawing::default();
                    raised.lay(&layers, &[], &view, &mut drawing);
                    drawing
                });
            for (drawing, runs) in drawings.iter().zip(&mut runs) {
                *runs += drawing.marks.chunk_by(|a, b| a.tone() == b.tone()).count();
            }
            let [low, high] = drawings[0].extents(|_| true).unwrap();
            for i in 0..2000 {
                // Golden ratios fill a square evenly.
                let at = [0.754_877_666_f64, 0.569_840_291].map(|g| (f64::from(i) * g).fract());
                let place = [0, 1].map(|i| low[i] + at[i] * (high[i] - low[i]));
                let [layered, one_by_one] = drawings.each_ref().map(|d| top(d, place));
                if let (Some(layered), Some(one_by_one)) = (layered, one_by_one) {
                    assert_eq!(layered, one_by_one, "{about:?}, turn {turn}, at {place:?}");
                }
                seen += usize::from(layered.is_some());
                // The last of a rim on the next length of its own wire.
                other += usize::from(layered != one_by_one);
            }
        }
    }
    assert!(seen > 10_000 && 1000 * other < seen, "{other} of {seen}");
    assert!(4 * runs[0] < runs[1], "{runs:?}");
}

/// What is laid last at a place: a metal, or `None` for a rim or nothing.
fn top(drawing: &Drawing, place: [f64; 2]) -> Option<Finish> {
    let last = drawing.marks.iter().rev().find_map(|mark| match mark {
        Mark::Fill { tone, points } => {
            inside(&drawing.points[points.clone()], place).then_some(*tone)
        }
        _ => None,
    });
    match last {
        Some(Tone::Metal { finish, .. }) => Some(finish),
        _ => None,
    }
}

fn inside(polygon: &[[f64; 2]], [x, y]: [f64; 2]) -> bool {
    let mut odd = false;
    let mut before = polygon[polygon.len() - 1];
    for &corner in polygon {
        if (corner[1] > y) != (before[1] > y) {
            let share = (y - before[1]) / (corner[1] - before[1]);
            odd ^= before[0] + share * (corner[0] - before[0]) > x;
        }
        before = corner;
    }
    odd
}

#[test]
fn fewer_facets_are_spent_on_a_wire_that_is_small_on_the_screen() {
    let strand = [ring(Finish::Own, &Pose::identity())];
    let home = Viewpoint::degrees(0.0, 60.0);
    let count = |scale: f64| {
        let fit = Framing { centre: Point::origin(), scale };
        let window = Window { width: 600.0, height: 600.0 };
        let mut drawing = Drawing::default();
        draw(&strand, &[], &Camera::default().view(home, fit, window), &mut drawing);
        drawing.marks.len()
    };
    assert!(count(6.0) < count(60.0) / 2, "{} and {}", count(6.0), count(60.0));
}
