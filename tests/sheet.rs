//! The bench sheet: true to size, on the paper, whatever the design.
#![cfg(not(target_arch = "wasm32"))]

use linkfold::answers::plan::Plan;
use linkfold::answers::report::MetalReport;
use linkfold::documents::bench::{Bench, ConicalPliers};
use linkfold::documents::design::{Design, Shapes, Size};
use linkfold::documents::units::LengthUnit;
use linkfold::geometry::link::{CHORD_ERROR, Forming, OutlineShape};
use linkfold::render::sheet::{Outline, Paper, Sheet, document};
use linkfold::render::{Anchor, Drawing, Mark, Theme, svg};
use proptest::prelude::*;

const SHAPES: [OutlineShape; 4] =
    [OutlineShape::Ring, OutlineShape::Oval, OutlineShape::Eight, OutlineShape::Fold];

fn pliers(name: &str, tip_mm: f64, base_mm: f64, length_mm: f64) -> ConicalPliers {
    ConicalPliers { name: name.into(), tip_mm, base_mm, length_mm }
}

fn bench_with(conical_pliers: Vec<ConicalPliers>) -> Bench {
    Bench { conical_pliers, ..Bench::default() }
}

/// Least and greatest of one edge.
fn reach(edge: &[[f64; 2]]) -> [[f64; 2]; 2] {
    edge.iter().fold([[f64::INFINITY; 2], [f64::NEG_INFINITY; 2]], |[low, high], p| {
        [[low[0].min(p[0]), low[1].min(p[1])], [high[0].max(p[0]), high[1].max(p[1])]]
    })
}

fn extent(edge: &[[f64; 2]]) -> [f64; 2] {
    let [low, high] = reach(edge);
    [high[0] - low[0], high[1] - low[1]]
}

/// What callipers read on the outlines is what the forming says they read, to 1e-6 mm.
fn outlines_measure_as_formed(forming: &Forming) {
    let wire = forming.setting.wire;
    let near = |found: f64, wanted: f64, what: &str| {
        assert!((found - wanted).abs() < 1e-6, "{what}: {found}, formed {wanted}");
    };
    let edges = |shape| {
        let edges = Outline::of(forming, shape).edges;
        let mut extents: Vec<[f64; 2]> = edges.iter().map(|edge| extent(edge)).collect();
        // The outer first.
        extents.sort_by(|a, b| b[0].total_cmp(&a[0]));
        extents
    };
    let ring = edges(OutlineShape::Ring);
    for (inner, outer) in ring[1].into_iter().zip(ring[0]) {
        near(inner, forming.ring.inside_diameter(), "ring inside");
        near(outer, forming.ring.inside_diameter() + 2.0 * wire, "ring outside");
    }
    let oval = edges(OutlineShape::Oval);
    near(oval[1][0], forming.oval.inside_length(), "oval inside length");
    near(oval[1][1], forming.oval.inside_width(), "oval inside width");
    near(oval[0][0], forming.oval.inside_length() + 2.0 * wire, "oval outside");
    let eight = edges(OutlineShape::Eight);
    near(eight[0][0], 2.0 * forming.eight.tip() + wire, "eight over all");
    near(eight[1][1], forming.eight.bore(), "bore");
    near(eight[0][1], forming.eight.bore() + 2.0 * wire, "eight across");
    let fold = edges(OutlineShape::Fold);
    assert_eq!(fold.len(), 1);
    near(fold[0][1], forming.fold.outside_height(), "fold height");
}

fn designs() -> impl Strategy<Value = Design> {
    let size = (2.0..18.0_f64, 2.0..3.5_f64, 1.8..3.0_f64, "[a-zA-Z ]{0,60}");
    (0.15..6.0_f64, prop::collection::vec(size, 1..=12), "[a-zW ]{0,200}").prop_map(
        |(wire, sizes, name)| {
            let mut design = Design::plain(wire, 1.0);
            design.name = name;
            design.kerf_mm = 0.2 * wire;
            let sized = |(ratio, bore, jaw, name)| {
                let mut size = Size::on_mandrel(wire * (9.0 + ratio));
                (size.bore_mm, size.fold_jaw_mm, size.name) =
                    (Some(bore * wire), Some(jaw * wire), name);
                size
            };
            design.sizes = sizes.into_iter().map(sized).collect();
            design
        },
    )
}

/// Every mark within the paper's border, its line's width and its letters counted. Letters are
/// taken as wide as half their height, near the mean of usual faces; how wide they really are is
/// measured in the browser (`tests/end_to_end/sheet.rs`).
fn nothing_leaves_the_paper(page: &Drawing, paper: Paper) {
    let half = paper.half().map(|half| half - 5.0);
    let inside = |[x, y]: [f64; 2], by: f64, what: &str| {
        assert!(x.abs() + by <= half[0] && y.abs() + by <= half[1], "{what} at {x:.2} {y:.2}");
    };
    for mark in &page.marks {
        match mark {
            Mark::Fill { points, .. } => {
                page.points[points.clone()].iter().for_each(|p| inside(*p, 0.0, "search_space"));
            }
            Mark::Stroke { points, width, .. } => {
                page.points[points.clone()].iter().for_each(|p| inside(*p, 0.5 * width, "line"));
            }
            Mark::Label { at, anchor, size, text, .. } => {
                let wide = 0.5 * size * text.chars().count() as f64;
                let (start, end) = match anchor {
                    Anchor::Start => (0.0, wide),
                    Anchor::Middle => (-0.5 * wide, 0.5 * wide),
                    Anchor::End => (-wide, 0.0),
                };
                for dx in [start, end] {
                    inside([at[0] + dx, at[1]], 0.5 * size, text);
                }
            }
        }
    }
}

/// How many closed outlines stand on the pages: lines of many points that end where they start.
fn outlines_on(pages: &[Drawing]) -> usize {
    let is_outline = |page: &Drawing, mark: &Mark| match mark {
        Mark::Stroke { points, .. } => {
            points.len() > 12 && page.points[points.start] == page.points[points.end - 1]
        }
        _ => false,
    };
    pages.iter().map(|p| p.marks.iter().filter(|m| is_outline(p, m)).count()).sum()
}

fn labels(pages: &[Drawing]) -> String {
    let mut words = String::new();
    for mark in pages.iter().flat_map(|page| &page.marks) {
        if let Mark::Label { text, .. } = mark {
            words.push_str(text);
            words.push('\n');
        }
    }
    words
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Whatever the design and the paper: outlines of the right size, all of them there or said
    /// to be missing, nothing off the page, a line of 50 mm on each page.
    #[test]
    fn sheets_keep_to_size_and_paper(design in designs(), inch: bool, letter: bool) {
        let formings = design.formings();
        prop_assume!(formings.is_ok());
        let formings = formings.unwrap();
        formings.iter().for_each(outlines_measure_as_formed);
        let bench = bench_with(vec![
            pliers("cone", 1.0, 6.0, 22.0), pliers("", 5.0, 30.0, 185.0), pliers("long", 4.0, 90.0, 400.0),
        ]);
        let unit = if inch { LengthUnit::Inch } else { LengthUnit::Mm };
        let paper = if letter { Paper::Letter } else { Paper::A4 };
        let pages = Sheet::of(&design, &formings, Some(&bench), unit).pages(paper);
        prop_assert!((1..=30).contains(&pages.len()), "{} pages", pages.len());
        for page in &pages {
            nothing_leaves_the_paper(page, paper);
            let long = page.marks.iter().filter(|mark| match mark {
                Mark::Stroke { points, .. } if points.len() == 2 => {
                    let [a, b] = [page.points[points.start], page.points[points.start + 1]];
                    ((b[0] - a[0]).hypot(b[1] - a[1]) - 50.0).abs() < 1e-9
                }
                _ => false,
            });
            prop_assert_eq!(long.count(), 1);
        }
        // Ring, oval and eight have two edges each, the fold one.
        let left_out = labels(&pages).matches("Larger than this paper").count();
        let shown = outlines_on(&pages);
        if left_out == 0 {
            prop_assert_eq!(shown, 7 * formings.len());
        } else {
            prop_assert!(shown < 7 * formings.len() && shown + 2 * left_out >= 7 * formings.len());
        }
    }
}

/// One to twelve sizes of a usual link: one page for one, and no more than four.
#[test]
fn usual_links_take_few_pages() {
    for paper in Paper::ALL {
        let mut last = 0;
        for count in 1..=12 {
            let mut design = Design::plain(0.9, 10.0);
            design.sizes =
                (0..count).map(|i| Size::on_mandrel(10.0 + 0.5 * f64::from(i))).collect();
            let formings = design.formings().unwrap();
            let pages = Sheet::of(&design, &formings, None, LengthUnit::Mm).pages(paper);
            println!("{}: {count} sizes on {} pages", paper.name(), pages.len());
            assert!(pages.len() >= last, "fewer pages for more sizes");
            last = pages.len();
            assert_eq!(outlines_on(&pages), 7 * count as usize);
            if count <= 3 {
                assert!(last <= 2, "{last} pages for {count} sizes");
            }
        }
        assert!(last <= 4, "{last} pages for twelve sizes");
    }
}

/// Links for a gate: the ring, 400 mm across, is on no such paper; the sheet says so and goes on.
#[test]
fn an_outline_larger_than_the_paper_is_left_out_and_told() {
    let design = Design::plain(12.0, 400.0);
    let formings = design.formings().unwrap();
    for paper in Paper::ALL {
        let sheet = Sheet::of(&design, &formings, None, LengthUnit::Mm);
        let pages = sheet.pages(paper);
        let words = labels(&pages);
        assert!(words.contains("Larger than this paper and not drawn: Ring, inside"), "{words}");
        pages.iter().for_each(|page| nothing_leaves_the_paper(page, paper));
    }
    // Wire of 5 mm on 130: the oval, 207 mm long, lies on neither paper and stands on both.
    let mut design = Design::plain(5.0, 130.0);
    design.sizes[0].springback_mm = Some(0.0);
    let formings = design.formings().unwrap();
    for paper in Paper::ALL {
        let pages = Sheet::of(&design, &formings, None, LengthUnit::Mm).pages(paper);
        assert_eq!(outlines_on(&pages), 7, "{}", labels(&pages));
        pages.iter().for_each(|page| nothing_leaves_the_paper(page, paper));
    }
}

/// Counts and sentences of a plan, where there is one; else space to write.
#[test]
fn counts_stand_in_working_order_or_are_said_to_be_missing() {
    let mut design = Design::plain(0.9, 10.0);
    design.sizes.push(Size::on_mandrel(12.0));
    let formings = design.formings().unwrap();
    let mut sheet = Sheet::of(&design, &formings, None, LengthUnit::Mm);
    let words = labels(&sheet.pages(Paper::A4));
    assert!(words.contains("Counts not planned"), "{words}");
    (sheet.sizes[0].rings, sheet.sizes[1].rings) = (Some(17), Some(1));
    sheet.plan = vec!["Begin with 17 of the first.".into()];
    let words = labels(&sheet.pages(Paper::A4));
    assert!(!words.contains("not planned"), "{words}");
    for told in [
        "Begin with 17",
        "17 rings, wire 0.90 mm",
        "1 ring, wire",
        "\n17\n",
        "cadmium",
        "Local codes",
    ] {
        assert!(words.contains(told), "{told}: {words}");
    }
}

/// A design's own plan fills the counts: those of every size make up all, and the runs of the
/// order make up the links.
#[test]
fn a_plan_fills_the_sheet() {
    let text = include_str!("../www/examples/swelling-necklace.json");
    let design = Design::parse(text).unwrap();
    let formings = design.formings().unwrap();
    let plan = Plan::of(&design, &formings).unwrap();
    let mut sheet = Sheet::of(&design, &formings, None, LengthUnit::Mm);
    sheet.take_plan(&plan);
    let told: usize = sheet.sizes.iter().map(|size| size.rings.unwrap()).sum();
    assert_eq!(told, plan.materials.rings());
    let (_, runs) = sheet.plan[0].split_once("from one end: ").unwrap();
    let (runs, _) = runs.split_once('.').unwrap();
    let links: usize =
        runs.split(", ").map(|run| run.split(' ').next().unwrap().parse::<usize>().unwrap()).sum();
    assert_eq!(links, plan.layout.order.len());
    assert!(!labels(&sheet.pages(Paper::A4)).contains("not planned"));
}

/// Tip 1.5 mm, base 6.5 mm, 25 mm long. Wire 1 mm in usual proportion wants 2.5 mm for oval and
/// fold, (2.5 − 1.5)/0.2 = 5 mm up, and 2 mm for the pinch, 2.5 mm up: its figures are the tools'.
#[test]
fn stripes_stand_where_the_jaw_has_the_diameter() {
    let mut design = Design::plain(1.0, 12.0);
    design.metal.shapes = Shapes::AfterSpringback;
    let formings = design.formings().unwrap();
    let bench =
        bench_with(vec![pliers("the small ones", 1.5, 6.5, 25.0), pliers("thick", 3.0, 8.0, 30.0)]);
    let pages = Sheet::of(&design, &formings, Some(&bench), LengthUnit::Mm).pages(Paper::A4);
    let words = labels(&pages);
    for told in [
        "Stripes on the small ones",
        "a millimetre along the jaw is 0.200 mm of diameter",
        "1: 2.00 mm sits 2.50 mm from the tip, pinch jaws.",
        "2: 2.50 mm sits 5.00 mm from the tip, oval jaws and fold jaw.",
        "2: 2.50 mm is not on this jaw: 0.50 mm less than its tip, oval jaws and fold jaw.",
    ] {
        assert!(words.contains(told), "{told}: {words}");
    }
    // The stripe across the jaw: as long as the diameter, and 5 − 2.5 mm from the other.
    let page = &pages[0];
    let stripe = |mm: f64| {
        let mut found = page.marks.iter().filter_map(|mark| match mark {
            Mark::Stroke { points, width, .. } if points.len() == 2 && *width == 0.4 => {
                let [a, b] = [page.points[points.start], page.points[points.start + 1]];
                ((b[1] - a[1] - mm).abs() < 1e-9).then_some(a[0])
            }
            _ => None,
        });
        found.next().unwrap_or_else(|| panic!("no stripe of {mm}"))
    };
    assert!((stripe(2.5) - stripe(2.0) - 2.5).abs() < 1e-9);
}

/// Where the figures are the finished link's, the tools stand beside them as the metal section names
/// them, springback allowed for, and the stripes are theirs.
#[test]
fn tools_stand_on_the_sheet_with_springback_allowed_for() {
    let design = Design::plain(1.0, 12.0);
    let formings = design.formings().unwrap();
    let bench = bench_with(vec![pliers("the small ones", 1.5, 6.5, 25.0)]);
    let words =
        labels(&Sheet::of(&design, &formings, Some(&bench), LengthUnit::Mm).pages(Paper::A4));
    let metal = MetalReport::of(&design, 0, LengthUnit::Mm).unwrap();
    let jaws = metal.working.unwrap().jaws.unwrap();
    assert!(jaws.fold_jaw_mm < 2.5 - 0.05, "{jaws:?}");
    for (jaw, used_as) in [(jaws.fold_jaw_mm, "fold jaw"), (jaws.oval_jaw_mm, "oval jaws")] {
        let up = (jaw - 1.5) / 0.2;
        let told = format!("{jaw:.2} mm sits {up:.2} mm from the tip, ");
        let line = words.lines().find(|line| line.contains(&told));
        assert!(line.is_some_and(|line| line.contains(used_as)), "{told}{used_as}: {words}");
    }
    let said = words.split_whitespace().collect::<Vec<_>>().join(" ");
    for told in [
        format!("Oval jaws: stretch over {:.2} mm \u{b7} springs to 2.50 mm", jaws.oval_jaw_mm),
        format!("Fold: fold over {:.2} mm through {:.0}\u{b0}", jaws.fold_jaw_mm, jaws.fold_deg),
        "anneal and pinch again".into(),
    ] {
        assert!(said.contains(&told), "{told}: {said}");
    }
}

/// Well-formed by an unrelated reader, sizes in millimetres, words and names escaped.
#[test]
fn pages_are_svg_and_the_document_is_html_without_scripts() {
    let mut design = Design::plain(0.9, 10.0);
    design.name = "<b>Rope & \"ring\"</b>".into();
    design.sizes[0].name = "<script>alert(1)</script>".into();
    let formings = design.formings().unwrap();
    let sheet = Sheet::of(&design, &formings, None, LengthUnit::Mm);
    for (paper, width, height) in [(Paper::A4, 210.0, 297.0), (Paper::Letter, 215.9, 279.4)] {
        let pages = sheet.pages(paper);
        for page in &pages {
            let text = svg(page, paper.half(), 1.0, &Theme::PRINT, &sheet.title());
            let read = roxmltree::Document::parse(&text).unwrap();
            let root = read.root_element();
            let mm = |name: &str| -> f64 {
                root.attribute(name).unwrap().strip_suffix("mm").unwrap().parse().unwrap()
            };
            assert_eq!((root.tag_name().name(), mm("width"), mm("height")), ("svg", width, height));
            let shown: Vec<f64> =
                root.attribute("viewBox").unwrap().split(' ').map(|n| n.parse().unwrap()).collect();
            // One user unit is one millimetre.
            assert_eq!(shown, [-0.5 * width, -0.5 * height, width, height]);
            let words: String = read.descendants().filter_map(|n| n.text()).collect();
            assert!(words.contains("<b>Rope & \"ring\"</b>"), "{words}");
            assert!(words.contains("<script>alert(1)</script>"), "{words}");
        }
        let html = document(&pages, paper, &sheet.title());
        assert!(html.contains(&format!("@page {{ size: {width}mm {height}mm; margin: 0; }}")));
        assert!(!html.contains("<script") && !html.contains("<b>"), "{html}");
        assert_eq!(html.matches("<svg").count(), pages.len());
    }
}

/// Chords stay within a hundredth of a millimetre of the true edge.
#[test]
fn the_chord_error_stated_is_a_hundredth_at_most() {
    const { assert!(CHORD_ERROR <= 0.01) };
    let forming = Design::plain(0.9, 12.0).formings().unwrap()[0];
    let edges = Outline::of(&forming, OutlineShape::Ring).edges;
    let outer = edges.iter().max_by(|a, b| extent(a)[0].total_cmp(&extent(b)[0])).unwrap();
    let radius = 0.5 * forming.ring.inside_diameter() + 0.9;
    for i in 0..outer.len() {
        let [a, b] = [outer[i], outer[(i + 1) % outer.len()]];
        let off = radius - (0.5 * (a[0] + b[0])).hypot(0.5 * (a[1] + b[1]));
        assert!((-1e-12..=0.01).contains(&off), "{off}");
    }
    // A fine polygon is as long as its curve, less a part in ten thousand.
    for shape in SHAPES {
        for edge in Outline::of(&forming, shape).edges {
            assert!(edge.len() >= 40, "{shape:?}: {} corners", edge.len());
        }
    }
}
