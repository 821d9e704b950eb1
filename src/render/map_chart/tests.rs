use super::super::Mark;
use super::*;
use crate::answers::dimension::Dimension;
use crate::documents::design::Design;

const WINDOW: Window = Window { width: 640.0, height: 420.0 };

fn question() -> Question {
    Question::round(&Design::plain(1.0, 10.0), 0, [Dimension::MandrelMm, Dimension::WireMm])
        .unwrap()
}

fn chart<'a>(question: &'a Question, grid: &'a Grid) -> MapChart<'a> {
    MapChart {
        question,
        grid,
        margin: 0.05,
        wire: 1.0,
        here: [10.0, 1.0],
        fails: false,
        words: "passes",
        unit: LengthUnit::Mm,
    }
}

/// Clearance that turns along a known line: half way across.
fn filled() -> Grid {
    let mut grid = Grid::new(0.05);
    loop {
        let wanted = grid.next(64, &[]);
        if wanted.is_empty() {
            return grid;
        }
        for at in wanted {
            grid.set(at, Some((f64::from(at[0]) - 32.0) / 64.0));
        }
    }
}

#[test]
fn the_line_of_no_clearance_stands_where_clearance_ends() {
    let (question, grid) = (question(), filled());
    let mut drawing = Drawing::default();
    chart(&question, &grid).draw_into(WINDOW, &mut drawing);
    let frame = MapFrame::of(WINDOW);
    let thick = drawing.marks.iter().filter_map(|mark| match mark {
        Mark::Stroke { points, width, .. } if *width == 3.4 => Some(points.clone()),
        _ => None,
    });
    let line: Vec<[f64; 2]> = thick.flat_map(|p| drawing.points[p].to_vec()).collect();
    assert!(line.len() >= 128, "{}", line.len());
    let middle = frame.at(0.5, 0.0)[0];
    assert!(line.iter().all(|p| (p[0] - middle).abs() < 1e-9));
    let labels: Vec<&str> = drawing
        .marks
        .iter()
        .filter_map(|m| if let Mark::Label { text, .. } = m { Some(text.as_str()) } else { None })
        .collect();
    for words in ["joins", "does not join", "mandrel, mm →", "↑ wire, mm", "10"] {
        assert!(labels.contains(&words), "{words}: {labels:?}");
    }
}

/// The line of a round ground is round: between what is known, eight apart, it stays by it, and turns a
/// little from piece to piece.
#[test]
fn the_line_is_spline() {
    let question = question();
    let mut grid = Grid::new(0.05);
    // A quarter of a circle about a corner, half the map wide.
    let known = |at: [u8; 2]| 0.5 - f64::from(at[0]).hypot(f64::from(at[1])) / 64.0;
    loop {
        let wanted = grid.next(64, &[]);
        if wanted.is_empty() {
            break;
        }
        wanted.into_iter().for_each(|at| grid.set(at, Some(known(at))));
    }
    let frame = MapFrame { left: 0.0, below: 0.0, width: 1.0, height: 1.0 };
    let pieces = chart(&question, &grid).turn(0.0, &frame);
    assert!(pieces.len() > 40, "{}", pieces.len());
    for [a, b] in &pieces {
        for p in [a, b] {
            assert!((p[0].hypot(p[1]) - 0.5).abs() < 0.004, "{p:?}");
        }
        // The way of a circle's piece is square to its middle's.
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        let long = dx.hypot(dy);
        let along = (dx * (a[0] + b[0]) + dy * (a[1] + b[1])).abs();
        assert!(long < 0.004 || along / long < 0.08, "{a:?} {b:?}: {}", along / long);
    }
}

/// Names stand off the lines and off what is said of the point, wherever that is.
#[test]
fn names_stand_off_the_lines() {
    let question = question();
    let mut grid = Grid::new(0.05);
    loop {
        let wanted = grid.next(64, &[]);
        if wanted.is_empty() {
            break;
        }
        for at in wanted {
            let [x, y] = at.map(f64::from);
            grid.set(at, Some(((x * y).sqrt() - 22.0) / 64.0));
        }
    }
    let (mut named, mut all) = (0, 0);
    for window in [WINDOW, Window { width: 340.0, height: 330.0 }] {
        for k in 0..24 {
            let golden = [0.754_877_666, 0.569_840_291].map(|g| (f64::from(k) * g).fract());
            let here = [question.across.at(golden[0]), question.up.at(golden[1])];
            let mut drawing = Drawing::default();
            MapChart { here, ..chart(&question, &grid) }.draw_into(window, &mut drawing);
            let mut lines = Covered::default();
            for mark in &drawing.marks {
                if let Mark::Stroke { tone: Tone::Ink, points, width } = mark
                    && [1.6, 3.4].contains(width)
                {
                    lines.add_wire(drawing.points[points.clone()].to_vec(), 0.5 * width, false);
                }
            }
            all += 1;
            for mark in &drawing.marks {
                let Mark::Label { at, anchor, size, text, .. } = mark else { continue };
                if text.contains("join") {
                    assert!(lines.is_clear(&block(*at, *anchor, *size, text)), "{k}: {text}");
                    named += 1;
                }
            }
        }
    }
    assert!(named >= 2 * all, "{named} names on {all} maps");
}

#[test]
fn a_place_in_the_window_is_led_back_to_its_dimensions() {
    let question = question();
    let frame = MapFrame::of(WINDOW);
    let [x, y] = [question.across.share(11.0), question.up.share(0.8)];
    let found = MapChart::dimensions_at(&question, WINDOW, frame.at(x, y));
    assert_eq!(MapChart::place_of(&question, WINDOW, [11.0, 0.8]), frame.at(x, y));
    assert!((found[0] - 11.0).abs() < 1e-9 && (found[1] - 0.8).abs() < 1e-9, "{found:?}");
    let off = MapChart::dimensions_at(&question, WINDOW, [1e9, f64::NEG_INFINITY]);
    assert_eq!(off, [question.across.high, question.up.low]);
}

#[test]
fn an_unfinished_map_is_drawn_as_far_as_it_goes() {
    let question = question();
    let mut grid = Grid::new(0.05);
    for _ in 0..40 {
        let mut drawing = Drawing::default();
        chart(&question, &grid).draw_into(WINDOW, &mut drawing);
        assert!(drawing.points.iter().flatten().all(|v| v.is_finite()));
        for at in grid.next(9, &[]) {
            let formed = at[1] < 50;
            grid.set(at, formed.then_some((f64::from(at[0]) - f64::from(at[1])) / 64.0));
        }
    }
    let tiny = Window { width: 1.0, height: 1.0 };
    chart(&question, &grid).draw_into(tiny, &mut Drawing::default());
}

#[test]
fn what_is_said_of_the_point_stays_in_a_narrow_window() {
    let (question, grid) = (question(), filled());
    let window = Window { width: 336.0, height: 330.0 };
    for mandrel in [question.across.low, 10.0, 12.0, question.across.high] {
        let words = "passes with 0.009 in, proven";
        let here = [mandrel, 1.0];
        let mut drawing = Drawing::default();
        MapChart { here, words, ..chart(&question, &grid) }.draw_into(window, &mut drawing);
        let said = drawing.marks.iter().find_map(|mark| match mark {
            Mark::Label { text, at, size, .. } if text == words => Some((at[0], *size)),
            _ => None,
        });
        let (start, size) = said.unwrap();
        let end = start + LETTER_WIDE * size * words.len() as f64;
        assert!(start >= -168.0 && end <= 168.0, "{mandrel}: {start} to {end}");
    }
}

#[test]
fn ticks_are_round_and_in_the_makers_unit() {
    let range = Range { axis: Dimension::MandrelMm, low: 7.8, high: 17.4 };
    let texts = |unit| ticks(&range, unit, 6.0).into_iter().map(|t| t.1).collect::<Vec<_>>();
    assert_eq!(texts(LengthUnit::Mm), ["8", "10", "12", "14", "16"]);
    assert_eq!(texts(LengthUnit::Inch), ["0.4", "0.5", "0.6"]);
}
