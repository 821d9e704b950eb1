//! Gauges and jigs: solids read back by an unrelated program (`stl_io`, `gltf`), links laid in their
//! pockets by another (`parry3d`), tolerances tried with links that err.
#![cfg(not(target_arch = "wasm32"))]

use linkfold::answers::jig::{Jig, JigError, JigKind, JigRequest, LEAST_WALL, tolerances};
use linkfold::answers::plan::erring;
use linkfold::documents::design::{Design, Shapes, Size};
use linkfold::geometry::curve::Vector;
use linkfold::mechanics::printed::{ACROSS_LAYERS_MPA, Post, PostLoad, Push};
use linkfold::mesh::{Prism, Surface, glb, stl};
use linkfold::motion::insertion::max_clearance;
use parry3d_f64::math::{Pose, Vec3};
use parry3d_f64::query;
use parry3d_f64::shape::TriMesh;
use proptest::prelude::*;
use std::collections::HashMap;
use std::f64::consts::{FRAC_PI_2, PI};
use std::io::Cursor;

const SWELLING: &str = include_str!("../www/examples/swelling-necklace.json");

fn plain() -> Design {
    Design::plain(0.9, 13.0)
}

fn necked() -> Design {
    let mut design = Design::plain(0.8, 14.0);
    design.sizes[0].neck_mm = Some(1.0);
    design
}

fn part(design: &Design, kind: JigKind) -> Result<Jig, JigError> {
    Jig::for_design(design, JigRequest { kind, size: None, allowance_mm: 0.0 })
}

struct Read {
    corners: Vec<Vector>,
    triangles: Vec<[usize; 3]>,
}

fn read_stl(bytes: &[u8]) -> Read {
    let mesh = stl_io::read_stl(&mut Cursor::new(bytes)).expect("an STL file");
    mesh.validate().expect("the reader finds every edge in two faces");
    let corners = mesh.vertices.iter().map(|v| Vector::from(v.0.map(f64::from))).collect();
    Read { corners, triangles: mesh.faces.iter().map(|face| face.vertices).collect() }
}

/// Every node in its place, back in mm with z up.
fn read_glb(bytes: &[u8]) -> Read {
    let file = gltf::Gltf::from_slice(bytes).expect("a valid glTF document");
    let (mut corners, mut triangles) = (Vec::new(), Vec::new());
    for mesh in file.meshes() {
        for primitive in mesh.primitives() {
            let reader = primitive.reader(|_| file.blob.as_deref());
            let base = corners.len();
            corners.extend(reader.read_positions().expect("places").map(|p| {
                let [x, y, z] = p.map(|value| 1000.0 * f64::from(value));
                Vector::new(x, -z, y)
            }));
            let indices: Vec<u32> = reader.read_indices().expect("indices").into_u32().collect();
            triangles.extend(indices.chunks(3).map(|c| [0, 1, 2].map(|i| base + c[i] as usize)));
        }
    }
    Read { corners, triangles }
}

impl Read {
    /// Every edge in two triangles, run through once each way.
    fn is_closed(&self) -> Result<(), String> {
        let mut edges: HashMap<(usize, usize), usize> = HashMap::new();
        for [a, b, c] in &self.triangles {
            for edge in [(*a, *b), (*b, *c), (*c, *a)] {
                *edges.entry(edge).or_default() += 1;
            }
        }
        for ((a, b), count) in &edges {
            if *count != 1 || edges.get(&(*b, *a)) != Some(&1) {
                return Err(format!("edge {:?} to {:?}", self.corners[*a], self.corners[*b]));
            }
        }
        Ok(())
    }

    /// By the divergence theorem; above zero where outsides face out.
    fn volume(&self) -> f64 {
        let part = |t: &[usize; 3]| {
            let [a, b, c] = t.map(|i| self.corners[i]);
            a.dot(&b.cross(&c)) / 6.0
        };
        self.triangles.iter().map(part).sum()
    }

    fn extents(&self) -> [Vector; 2] {
        let far = Vector::repeat(f64::INFINITY);
        let all = || self.corners.iter();
        [all().fold(far, |a, b| a.inf(b)), all().fold(-far, |a, b| a.sup(b))]
    }

    fn collider(&self) -> TriMesh {
        let corners = self.corners.iter().map(|p| Vec3::new(p.x, p.y, p.z)).collect();
        let triangles = self.triangles.iter().map(|t| t.map(|i| i as u32)).collect();
        TriMesh::new(corners, triangles).expect("a mesh")
    }
}

fn solid(jig: &Jig) -> Read {
    read_stl(&stl(&jig.mesh().unwrap()))
}

/// Area of a contour by the shoelace formula.
fn area(contour: &[[f64; 2]]) -> f64 {
    let pairs = contour.iter().zip(contour.iter().cycle().skip(1));
    0.5 * pairs.map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum::<f64>().abs()
}

/// Every part of every design that has it is closed in both formats, and has the volume of its plate
/// less its pockets, more its posts: prisms' areas times heights, with the sign of their nesting.
#[test]
fn every_part_is_closed_and_has_its_volume() {
    let swelling = Design::parse(SWELLING).unwrap();
    let mut made = 0;
    for design in [plain(), necked(), swelling] {
        for kind in JigKind::ALL {
            let jig = match part(&design, kind) {
                Ok(jig) => jig,
                Err(JigError::NoNeck { .. } | JigError::TooWeak { .. }) => continue,
                Err(error) => panic!("{kind:?}: {error}"),
            };
            made += 1;
            let mesh = jig.mesh().unwrap();
            let mut exact = 0.0;
            for prisms in &jig.parts {
                exact += area(&prisms[0].contour) * (prisms[0].to - prisms[0].from);
                for prism in &prisms[1..] {
                    let volume = area(&prism.contour) * (prism.to - prism.from);
                    let is_cut = prism.from < prisms[0].to;
                    exact += if is_cut { -volume } else { volume };
                }
            }
            let (read, other) = (read_stl(&stl(&mesh)), read_glb(&glb(&mesh)));
            for read in [&read, &other] {
                read.is_closed().unwrap_or_else(|edge| panic!("{kind:?}: {edge}"));
                let off = (read.volume() - exact).abs();
                assert!(off < 1e-5 * exact, "{kind:?}: {} mm3, exact {exact}", read.volume());
            }
            let [low, high] = jig.extents();
            let [read_low, read_high] = read.extents();
            for i in 0..3 {
                assert!(
                    (read_low[i] - low[i]).abs() < 1e-4 && (read_high[i] - high[i]).abs() < 1e-4
                );
            }
        }
    }
    assert!(made >= 16, "{made} parts");
}

/// Callipers on the solid as read back. Ring, oval and fold against the sizes of the link itself,
/// known from elsewhere than the plate: the ring's inside diameter and two wires, the oval's inside
/// length and two wires, the fold's height.
#[test]
fn pockets_and_tools_measure_what_they_should_to_a_hundredth() {
    let mut design = plain();
    design.sizes[0].oval_length_mm = Some(18.0);
    let forming = design.formings().unwrap()[0];
    let plate = part(&design, JigKind::Plate).unwrap();
    let read = solid(&plate);
    let beside = plate.tolerances[0].beside_mm;
    let wire = forming.setting.wire;
    for pocket in &plate.pockets {
        // Corners on the pocket's floor, straight below its middle or to the left of it, where no finger
        // notch is; nearer than any other pocket's.
        let (axis, wanted) = match pocket.step {
            0 => (1, 0.5 * forming.ring.inside_diameter() + wire),
            1 => (0, 0.5 * forming.oval.inside_length() + wire),
            2 => (0, forming.eight.tip() + 0.5 * wire),
            _ => (1, 0.5 * wire),
        };
        let off = if pocket.is_go { beside } else { -beside };
        let on_floor = read.corners.iter().filter(|p| (p.z - pocket.bottom).abs() < 1e-5);
        let ahead = on_floor.filter(|p| (p[1 - axis] - pocket.place[1 - axis]).abs() < 1.0);
        let reaches = ahead.map(|p| pocket.place[axis] - p[axis]).filter(|x| *x < wanted + 1.2);
        let reach = reaches.fold(0.0, f64::max);
        assert!(
            (reach - wanted - off).abs() < 0.01,
            "{pocket:?}: {reach}, wanted {wanted} + {off}"
        );
    }
    let tools = design.settings().unwrap()[0];
    let former = part(&design, JigKind::Fold).unwrap();
    let [low, high] = solid(&former).extents();
    // The fence's stops: outside, less two fences and the plate round them.
    let between = high.x - low.x - 2.0 * (3.0 + 4.0);
    let tips = 2.0 * forming.eight.tip() + tools.wire + 0.3;
    assert!((between - tips).abs() < 0.01, "{between} {tips}");
    let mandrel = solid(&part(&design, JigKind::Mandrel).unwrap());
    let rod = mandrel.corners.iter().filter(|p| p.z > 21.0);
    let across = rod.map(|p| p.x.hypot(p.y)).fold(0.0, f64::max);
    assert!((2.0 * across - tools.mandrel).abs() < 0.01, "{across}");
}

/// The link's own solid, laid in its pocket by an unrelated collision library: it goes into *go* with
/// the tolerance as clearance all round, and into *no-go* nowhere near the middle, however it is turned.
#[test]
fn a_good_link_goes_into_go_and_not_into_no_go() {
    for design in [plain(), necked(), Design::parse(SWELLING).unwrap()] {
        let formings = design.formings().unwrap();
        let plate = part(&design, JigKind::Plate).unwrap();
        let walls = solid(&plate).collider();
        for pocket in &plate.pockets {
            let forming = &formings[pocket.size];
            let wire = forming.setting.wire;
            let curve = match pocket.step {
                0 => forming.ring.curve(),
                // Drawn taut it springs back: tried below, with its own length.
                1 => continue,
                2 => forming.eight.curve(),
                _ => forming.fold.curve(),
            };
            let tube = Surface::tube(&curve, wire, wire / 400.0).unwrap();
            let corners = tube.places().iter().map(|p| Vec3::new(p.x, p.y, p.z)).collect();
            let link = TriMesh::new(corners, tube.triangles().to_vec()).unwrap();
            // Lying: a fold on its side, its height along y.
            let lying = if pocket.step == 3 { -FRAC_PI_2 } else { 0.0 };
            let half =
                if pocket.step == 3 { forming.eight.end_radius + 0.5 * wire } else { 0.5 * wire };
            let beside = plate.tolerances[pocket.size].beside_mm;
            let lift = pocket.bottom + half + beside;
            let laid = |x: f64, y: f64, turn: f64| {
                let at = Vec3::new(pocket.place[0] + x, pocket.place[1] + y, lift);
                let on_side = Pose::rotation(Vec3::new(lying, 0.0, 0.0));
                Pose::from_parts(at, Pose::rotation(Vec3::new(0.0, 0.0, turn)).rotation) * on_side
            };
            let still = Pose::identity();
            if pocket.is_go {
                let clear =
                    query::distance(&laid(0.0, 0.0, 0.0), &link, &still, &walls).unwrap().distance;
                assert!((clear - beside).abs() < 0.01, "{pocket:?}: {clear} for {beside}");
                assert!(clear > 0.0);
            } else {
                for turn in [-0.02, 0.0, 0.02] {
                    for (x, y) in [(0.0, 0.0), (0.1, 0.0), (-0.1, 0.0), (0.0, 0.1), (0.0, -0.1)] {
                        let meets =
                            query::intersection_test(&laid(x, y, turn), &link, &still, &walls);
                        assert!(
                            meets.unwrap().intersecting,
                            "{pocket:?} at {x}, {y} turned by {turn}"
                        );
                    }
                }
            }
        }
    }
}

/// An oval with a length of its own is gauged to that.
#[test]
fn an_oval_is_gauged_as_it_is_left() {
    let mut design = plain();
    let taut = design.formings().unwrap()[0].oval;
    let free = part(&design, JigKind::Plate).unwrap();
    let of = |jig: &Jig| jig.measures.iter().find(|m| m.name.contains("oval")).unwrap().mm;
    let wires = 2.0 * 0.9;
    // What springs back makes it shorter than taut, and longer than the ring.
    assert!(of(&free) < taut.inside_length() + wires && of(&free) > 14.0 + wires, "{}", of(&free));
    design.sizes[0].oval_length_mm = Some(18.0);
    let set = part(&design, JigKind::Plate).unwrap();
    assert!((of(&set) - 18.0 - wires).abs() < 0.005, "{}", of(&set));
}

/// Links whose ring, bore and fold are off by twice the tolerance at most, both of them, still join
/// with the clearance asked for.
#[test]
fn links_within_the_tolerance_keep_the_clearance_asked_for() {
    for (wire, mandrel, margin) in [(0.9, 13.0, 0.05), (0.8, 10.5, 0.0), (1.2, 16.0, 0.1)] {
        let mut design = Design::plain(wire, mandrel);
        design.margin_mm = margin;
        let formings = design.formings().unwrap();
        let found = tolerances(&formings, design.weave.weave(), margin).unwrap()[0];
        let tools = &formings[0].setting;
        let mut runner = proptest::test_runner::TestRunner::deterministic();
        let most = 2.0 * found.beside_mm;
        let errors = proptest::array::uniform6(-most..=most);
        let mut least = f64::INFINITY;
        for _ in 0..60 {
            let tree = errors.new_tree(&mut runner).unwrap();
            let corner = proptest::strategy::ValueTree::current(&tree);
            // To the corners, where most is lost.
            let corner = corner.map(|e| most.copysign(e));
            let [receiving, incoming] = erring([tools, tools], &corner).unwrap();
            least = least.min(max_clearance(&receiving, &incoming));
        }
        assert!(least >= margin - 1e-3, "{least} of {margin}");
        if !found.is_capped {
            assert!(least < margin + 0.5 * (found.clearance_mm - margin), "{least}: too careful");
        }
    }
}

/// What a wall is: solid between two faces that look away from one another. Seen from every place of a
/// wall, straight into the solid.
fn thinnest(jig: &Jig) -> f64 {
    let mut least = f64::INFINITY;
    for prisms in &jig.parts {
        let tops = prisms.iter().flat_map(|p| [p.from, p.to]);
        let mut levels: Vec<f64> = tops.collect();
        levels.sort_by(f64::total_cmp);
        levels.dedup();
        for pair in levels.windows(2) {
            let z = 0.5 * (pair[0] + pair[1]);
            // Engraving is no wall's business: too shallow to weaken one.
            if pair[1] - pair[0] < 0.45 {
                continue;
            }
            let here: Vec<&Prism> = prisms.iter().filter(|p| p.from < z && z < p.to).collect();
            let sides: Vec<[[f64; 2]; 2]> = here
                .iter()
                .flat_map(|p| {
                    let next = p.contour.iter().cycle().skip(1);
                    p.contour.iter().zip(next).map(|(a, b)| [*a, *b])
                })
                .collect();
            let is_solid = |[x, y]: [f64; 2]| {
                let crossed = sides.iter().filter(|[a, b]| {
                    (a[1] > y) != (b[1] > y)
                        && x < a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
                });
                crossed.count() % 2 == 1
            };
            for [a, b] in &sides {
                let along = [b[0] - a[0], b[1] - a[1]];
                let length = along[0].hypot(along[1]);
                if length < 1e-9 {
                    continue;
                }
                let middle = [0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])];
                let mut inward = [-along[1] / length, along[0] / length];
                let probe = |n: [f64; 2]| [middle[0] + 1e-6 * n[0], middle[1] + 1e-6 * n[1]];
                if !is_solid(probe(inward)) {
                    inward = [-inward[0], -inward[1]];
                }
                for [c, d] in &sides {
                    let other = [d[0] - c[0], d[1] - c[1]];
                    let span = other[0].hypot(other[1]);
                    // The other face looks away, within 45°.
                    let facing =
                        (other[0] * inward[1] - other[1] * inward[0]).abs() / span.max(1e-12);
                    if facing < 0.7 {
                        continue;
                    }
                    let to = [c[0] - middle[0], c[1] - middle[1]];
                    let cross = inward[0] * other[1] - inward[1] * other[0];
                    let reach = (to[0] * other[1] - to[1] * other[0]) / cross;
                    let along = (to[0] * inward[1] - to[1] * inward[0]) / cross;
                    if reach > 1e-4 && (0.0..=1.0).contains(&along) {
                        least = least.min(reach);
                    }
                }
            }
        }
        // Under a pocket.
        let floor = prisms[1..].iter().map(|p| p.from).filter(|z| *z < prisms[0].to);
        least = floor.fold(least, f64::min);
    }
    least
}

#[test]
fn a_thin_wall_is_seen() {
    let square = |low: f64, high: f64| vec![[low, low], [high, low], [high, high], [low, high]];
    let prisms = vec![
        Prism { contour: square(0.0, 10.0), from: 0.0, to: 5.0 },
        Prism { contour: square(0.7, 5.0), from: 2.0, to: 5.0 },
    ];
    let jig = Jig { parts: vec![prisms], ..part(&plain(), JigKind::Test).unwrap() };
    assert!((thinnest(&jig) - 0.7).abs() < 1e-9);
}

fn any_design() -> impl Strategy<Value = Design> {
    let shape = (0.3..2.0_f64, 7.0..22.0_f64, 1.5..4.0_f64, 0.8..4.0_f64);
    let more = (0.8..4.0_f64, 0.0..2.0_f64, 0.0..0.2_f64, 0.0..0.3_f64, any::<bool>());
    (shape, more, 1..4_usize).prop_map(|(shape, more, sizes)| {
        let (wire, ratio, bore, pinch) = shape;
        let (fold, neck, gap, kerf, sprung) = more;
        let mut design = Design::plain(wire, ratio * wire);
        let size = Size {
            bore_mm: Some(bore * wire),
            pinch_jaw_mm: Some(pinch * wire),
            fold_jaw_mm: Some(fold * wire),
            neck_mm: Some(if neck < 0.5 { 0.0 } else { neck * wire }),
            waist_gap_mm: Some(gap * wire),
            ..design.sizes[0].clone()
        };
        design.kerf_mm = kerf;
        design.margin_mm = 0.0;
        if sprung {
            design.metal.shapes = Shapes::AfterSpringback;
        }
        let grown = |k: usize| Size {
            mandrel_mm: size.mandrel_mm * (1.0 + 0.04 * k as f64),
            ..size.clone()
        };
        design.sizes = (0..sizes).map(grown).collect();
        design
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Whatever the design: a part that is made is closed and nowhere thinner than plastic is printed; one
    /// that is not says why in words.
    #[test]
    fn no_part_is_open_or_thin(design in any_design(), allowance in 0.0..0.4_f64) {
        for kind in JigKind::ALL {
            let request = JigRequest { kind, size: None, allowance_mm: allowance };
            match Jig::for_design(&design, request) {
                Ok(jig) => {
                    let read = read_stl(&stl(&jig.mesh().unwrap()));
                    prop_assert_eq!(read.is_closed(), Ok(()));
                    prop_assert!(read.volume() > 0.0);
                    let wall = thinnest(&jig);
                    prop_assert!(wall >= LEAST_WALL - 0.005, "{:?}: {}", kind, wall);
                }
                Err(error) => {
                    prop_assert!(!error.to_string().is_empty());
                    if let Some((value, [least, most])) = error.limits() {
                        prop_assert!(least.is_some() || most.is_some());
                        prop_assert!(value.is_finite());
                    }
                }
            }
        }
    }
}

/// What a refusal says would work does work.
#[test]
fn what_a_refusal_names_works() {
    // Too weak a post.
    let mut design = Design::plain(1.2, 16.0);
    let mut refused = false;
    for _ in 0..4 {
        match part(&design, JigKind::Oval) {
            Ok(_) => break,
            Err(JigError::TooWeak { field: "oval_jaw_mm", least, times, .. }) => {
                assert!(times > 1.0);
                refused = true;
                design.sizes[0].oval_jaw_mm = Some(1.05 * least.get());
            }
            Err(error) => panic!("{error}"),
        }
    }
    part(&design, JigKind::Oval).unwrap();
    assert!(refused);
    // No neck, no pincher; with the neck named there is one, or it is the ring that is too small.
    let Err(JigError::NoNeck { least }) = part(&plain(), JigKind::Waist) else { panic!() };
    let mut design = plain();
    design.sizes[0].neck_mm = Some(least.get());
    part(&design, JigKind::Waist).unwrap();
    // Too much clearance asked for.
    let mut design = plain();
    design.margin_mm = 5.0;
    let Err(JigError::NoClearance { clearance, .. }) = part(&design, JigKind::Plate) else {
        panic!()
    };
    design.margin_mm = 0.5 * clearance.get();
    part(&design, JigKind::Plate).unwrap();
    // Larger than a printer.
    let large = Design::plain(10.0, 140.0);
    assert!(matches!(part(&large, JigKind::Plate), Err(JigError::TooLarge { .. })));
    for (size, allowance) in
        [(Some(1), 0.0), (Some(usize::MAX), 0.0), (None, -1.0), (None, f64::NAN)]
    {
        let request = JigRequest { kind: JigKind::Plate, size, allowance_mm: allowance };
        let error = Jig::for_design(&plain(), request).unwrap_err();
        assert!(matches!(error, JigError::NoSize { .. } | JigError::Allowance { .. }), "{error}");
    }
}

/// The printer's allowance comes off posts and goes on pockets, half of it on either side.
#[test]
fn the_printers_allowance_moves_every_wall_by_half_of_it() {
    let make = |kind, allowance_mm| {
        let request = JigRequest { kind, size: None, allowance_mm };
        Jig::for_design(&necked(), request).unwrap()
    };
    let [plain, wide] = [0.0, 0.3].map(|allowance| make(JigKind::Plate, allowance));
    let ring = |jig: &Jig| (4.0 / PI * area(&jig.parts[0][1].contour)).sqrt();
    // The notch grows with neither; a disc would grow by 0.3.
    assert!((ring(&wide) - ring(&plain) - 0.3).abs() < 0.03, "{} {}", ring(&plain), ring(&wide));
    let rod = |jig: &Jig| {
        jig.parts[0][1].contour.iter().map(|p| 2.0 * p[0].hypot(p[1])).fold(0.0, f64::max)
    };
    let [plain, thin] = [0.0, 0.3].map(|allowance| make(JigKind::Mandrel, allowance));
    assert!((rod(&plain) - rod(&thin) - 0.3).abs() < 1e-9);
    // The test piece shows it, and is never corrected itself.
    assert_eq!(make(JigKind::Test, 0.0), make(JigKind::Test, 0.3));
}

/// Source: a rectangle `b` wide and `h` deep bends at `6 F L / (b h²)`, and is sheared by `F / (b h)` in
/// the mean (any text on strength of materials).
#[test]
fn a_post_is_loaded_as_the_textbook_has_it() {
    let (b, h, force, lever) = (2.0, 5.0, 30.0, 3.0);
    let contour = [[-h / 2.0, 0.0], [h / 2.0, 0.0], [h / 2.0, b], [-h / 2.0, b]];
    let push = Push { newtons: force, height: lever, wires: 2.0, wire: 0.5 };
    let load = PostLoad::of(Post { contour: &contour, width: b }, push);
    let bending = 6.0 * force * lever / (b * h * h);
    assert!((load.across_layers * ACROSS_LAYERS_MPA - bending).abs() < 1e-9);
    let low = PostLoad::of(Post { contour: &contour, width: b }, Push { height: 0.0, ..push });
    let shear = 3f64.sqrt() * force / (b * h);
    assert!((low.across_layers * ACROSS_LAYERS_MPA - shear).abs() < 1e-9);
}

/// Prisms that touch or cross are refused, not written open.
#[test]
fn contours_that_touch_are_refused() {
    let square = |x: f64, half: f64| {
        vec![[x - half, -half], [x + half, -half], [x + half, half], [x - half, half]]
    };
    let prism = |x, half, from, to| Prism { contour: square(x, half), from, to };
    let plate = prism(0.0, 5.0, 0.0, 3.0);
    for other in [
        prism(4.0, 2.0, 1.0, 3.0),
        prism(3.0, 2.0, 1.0, 3.0),
        prism(0.0, 2.0, 1.0, 1.0),
        prism(f64::NAN, 2.0, 1.0, 3.0),
        prism(0.0, 0.0, 1.0, 3.0),
        prism(0.0, f64::INFINITY, 1.0, 3.0),
    ] {
        assert!(Surface::prisms(&[plate.clone(), other.clone()], 0.0).is_err(), "{other:?}");
    }
    // A pocket within a pocket, a post within that, a hole through it all beside them.
    let prisms = [
        plate,
        prism(-1.0, 3.0, 2.0, 3.0),
        prism(-2.0, 1.0, 1.0, 2.0),
        prism(0.5, 1.0, 2.0, 6.0),
        prism(3.5, 1.0, 0.0, 3.0),
    ];
    let surface = Surface::prisms(&prisms, 0.0).unwrap();
    let read = Read {
        corners: surface.places().iter().map(|p| p.coords).collect(),
        triangles: surface.triangles().iter().map(|t| t.map(|i| i as usize)).collect(),
    };
    read.is_closed().unwrap();
    let exact = 100.0 * 3.0 - 36.0 - 4.0 + 4.0 * 4.0 - 4.0 * 3.0;
    assert!((read.volume() - exact).abs() < 1e-9, "{} of {exact}", read.volume());
}
