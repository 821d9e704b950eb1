//! Solids read back by unrelated programs (`stl_io`, `gltf`) and measured there: closed, of
//! the right volume and size.
#![cfg(not(target_arch = "wasm32"))]

use linkfold::answers::report::{self, MeshRequest, ModelError, modelled};
use linkfold::documents::design::Design;
use linkfold::geometry::curve::{Arc, ClosedCurve, Piece, Point, Pose, Vector};
use linkfold::geometry::link::{Forming, Step, ToolDimensions};
use linkfold::mesh::{MOST_TRIANGLES, Mesh, MeshError, MeshPart, Surface, glb, stl};
use linkfold::motion::drape::MOST_LINKS;
use proptest::prelude::*;
use std::collections::HashMap;
use std::f64::consts::{PI, TAU};
use std::io::Cursor;

const BRACELET: &str = include_str!("../www/examples/evening-class-bracelet.json");

/// Corners and triangles as an unrelated reader found them.
struct Read {
    corners: Vec<Point>,
    triangles: Vec<[usize; 3]>,
}

fn read_stl(bytes: &[u8]) -> Read {
    let mesh = stl_io::read_stl(&mut Cursor::new(bytes)).expect("an STL file");
    mesh.validate().expect("the reader finds every edge in two faces");
    let corners = mesh.vertices.iter().map(|v| Point::from(v.0.map(f64::from))).collect();
    Read { corners, triangles: mesh.faces.iter().map(|face| face.vertices).collect() }
}

/// All nodes of a GLB file in their places, back in mm and in our axes.
fn read_glb(bytes: &[u8]) -> Read {
    let file = gltf::Gltf::from_slice(bytes).expect("a valid glTF document");
    let (mut corners, mut triangles) = (Vec::new(), Vec::new());
    for node in file.default_scene().expect("a scene").nodes() {
        let m = node.transform().matrix();
        for primitive in node.mesh().expect("a mesh").primitives() {
            let reader = primitive.reader(|_| file.blob.as_deref());
            let base = corners.len();
            for p in reader.read_positions().expect("places") {
                let at = |row: usize| {
                    let across: f32 = (0..3).map(|i| m[i][row] * p[i]).sum();
                    1000.0 * f64::from(across + m[3][row])
                };
                corners.push(Point::new(at(0), -at(2), at(1)));
            }
            let indices: Vec<u32> = reader.read_indices().expect("indices").into_u32().collect();
            triangles.extend(indices.chunks(3).map(|c| [0, 1, 2].map(|i| base + c[i] as usize)));
        }
    }
    Read { corners, triangles }
}

impl Read {
    /// Each edge in two triangles, run through once each way; so many shells.
    fn shells(&self) -> usize {
        let mut edges: HashMap<(usize, usize), usize> = HashMap::new();
        for [a, b, c] in &self.triangles {
            for edge in [(*a, *b), (*b, *c), (*c, *a)] {
                *edges.entry(edge).or_default() += 1;
            }
        }
        for ((a, b), count) in &edges {
            assert_eq!((*count, edges.get(&(*b, *a))), (1, Some(&1)), "edge {a} to {b}");
        }
        let mut root: Vec<usize> = (0..self.corners.len()).collect();
        fn find(root: &mut [usize], mut i: usize) -> usize {
            while root[i] != i {
                root[i] = root[root[i]];
                i = root[i];
            }
            i
        }
        for (a, b) in edges.keys() {
            let (a, b) = (find(&mut root, *a), find(&mut root, *b));
            root[a] = b;
        }
        let shells = (0..root.len()).filter(|i| root[*i] == *i).count();
        // A torus: corners − edges + faces = 0, for each shell and so for all.
        let euler =
            self.corners.len() as i64 - (edges.len() / 2) as i64 + self.triangles.len() as i64;
        assert_eq!(euler, 0, "{shells} shells");
        shells
    }

    /// By the divergence theorem; above zero where outsides face out.
    fn volume(&self) -> f64 {
        let part = |t: &[usize; 3]| {
            let [a, b, c] = t.map(|i| self.corners[i].coords);
            a.dot(&b.cross(&c)) / 6.0
        };
        self.triangles.iter().map(part).sum()
    }

    fn extents(&self) -> [Vector; 2] {
        let all = || self.corners.iter().map(|p| p.coords);
        let far = Vector::repeat(f64::INFINITY);
        [all().fold(far, |a, b| a.inf(&b)), all().fold(-far, |a, b| a.sup(&b))]
    }
}

fn setting(wire: f64) -> ToolDimensions {
    ToolDimensions {
        springback: 0.0,
        kerf: 0.2 * wire,
        oval_jaw: 2.6 * wire,
        oval_length: None,
        bore: 2.6 * wire,
        waist_gap: 0.1 * wire,
        pinch_jaw: 2.0 * wire,
        fold_jaw: 2.6 * wire,
        tip_gap: 0.1 * wire,
        ..ToolDimensions::usual(wire, 12.0 * wire)
    }
}

fn one(tube: &Surface, scale: f64) -> Mesh {
    let parts = vec![MeshPart { surface: tube.clone(), poses: vec![Pose::identity()] }];
    Mesh::new(parts, scale).unwrap()
}

fn steps(forming: &Forming) -> [ClosedCurve; 5] {
    [
        forming.ring.curve(),
        forming.at(Step::Stretch, 1.0).curve(),
        forming.at(Step::Pinch, 1.0).curve(),
        forming.at(Step::Fold, 0.6).curve(),
        forming.fold.curve(),
    ]
}

/// A link at every step: closed, one torus, of the volume of its wire.
/// Source: Pappus: a disc swept square to a closed curve fills its area times the curve's
/// length, and its rim covers its perimeter times that; a surface within a stated distance of
/// the true one then encloses the true volume to within that distance times the area.
#[test]
fn every_step_is_closed_and_holds_the_volume_of_its_wire() {
    let wire = 0.9;
    let forming = Forming::new(setting(wire)).unwrap();
    for (step, curve) in steps(&forming).iter().enumerate() {
        let mut before = f64::INFINITY;
        for stray in [wire / 50.0, wire / 200.0, wire / 800.0] {
            let tube = Surface::tube(curve, wire, stray).unwrap();
            assert!(tube.deviation() <= stray, "{step}: {} of {stray}", tube.deviation());
            let model = one(&tube, 1.0);
            let read = read_stl(&stl(&model));
            assert_eq!(read.shells(), 1);
            let (length, area) = (curve.length(), PI * wire * curve.length());
            let exact = 0.25 * PI * wire * wire * length;
            let off = read.volume() - exact;
            assert!(off.abs() <= model.deviation() * area, "step {step}: {off} mm3 of {exact}");
            assert!(off.abs() < 0.4 * before, "step {step}: {off} mm3 after {before}");
            before = off.abs();
        }
    }
}

/// Places on the triangles, corners and middles of sides among them, lie within the stated
/// distance of the true surface: half a wire from the centreline, here a close walk along it.
#[test]
fn the_surface_strays_no_further_than_it_says() {
    let wire = 1.0;
    let forming = Forming::new(setting(wire)).unwrap();
    for curve in steps(&forming) {
        let tube = Surface::tube(&curve, wire, wire / 60.0).unwrap();
        let walk = curve.walk(0.02);
        let mut most: f64 = 0.0;
        for corners in tube.triangles().iter().step_by(7) {
            let [a, b, c] = corners.map(|i| tube.places()[i as usize].coords);
            for [u, v] in [[0.0, 0.0], [0.5, 0.0], [0.5, 0.5], [0.0, 0.5], [0.33, 0.33]] {
                let place = Point::from(a + u * (b - a) + v * (c - a));
                let squared = |(p, _): &(Point, Vector)| (p - place).norm_squared();
                let nearest = walk.iter().map(squared).fold(f64::INFINITY, f64::min).sqrt();
                most = most.max((nearest - 0.5 * wire).abs());
            }
        }
        // A walk in steps of 0.02 mm finds 0.5 mm to within 0.01²/(2 · 0.5) mm.
        let stated = tube.deviation() + 1e-4;
        assert!(most <= stated && most > 0.3 * stated, "{most} mm, stated {stated} mm");
    }
}

/// Size over all is what `form` says callipers read, and grows exactly with the scale.
#[test]
fn a_solid_measures_what_callipers_read_times_its_scale() {
    let wire = 0.8;
    let forming = Forming::new(setting(wire)).unwrap();
    let [ring, oval, .., fold] = steps(&forming);
    for scale in [0.05, 1.0, 10.0, 37.5] {
        let sizes = |curve: &ClosedCurve| {
            let model = one(&Surface::tube(curve, wire, wire / 200.0).unwrap(), scale);
            let [low, high] = read_stl(&stl(&model)).extents();
            let [glow, ghigh] = read_glb(&glb(&model)).extents();
            // Both formats hold single precision.
            let rounding = 3e-7 * (high - low).norm();
            assert!((glow - low).norm() <= rounding && (ghigh - high).norm() <= rounding);
            ((high - low) / scale, 2.0 * model.deviation() / scale)
        };
        let (size, within) = sizes(&ring);
        let outside = forming.ring.inside_diameter() + 2.0 * wire;
        assert!((size.x - outside).abs() <= within && (size.y - outside).abs() <= within);
        assert!((size.z - wire).abs() <= within, "{size} of a ring {outside}");
        let (size, within) = sizes(&oval);
        let outside = forming.oval.inside_length() + 2.0 * wire;
        assert!((size.x.max(size.y) - outside).abs() <= within, "{size} of an oval {outside}");
        let (size, within) = sizes(&fold);
        let outside = forming.fold.outside_height();
        assert!((size.z - outside).abs() <= within, "{size} of a fold {outside}");
    }
}

/// A joined chain, pulled tight: separate shells, each with its wire's volume, in both formats.
#[test]
fn a_chain_is_as_many_closed_shells_as_links() {
    let design = Design::parse(BRACELET).unwrap();
    let forming = &design.formings().unwrap()[0];
    let wire = forming.setting.wire;
    let (exact, area) = {
        let length = forming.fold.curve().length();
        (0.25 * PI * wire * wire * length, PI * wire * length)
    };
    for (links, apart, scale) in [(1, false, 1.0), (5, false, 4.0), (4, true, 10.0)] {
        let piece = report::MeshPiece::Chain { links, apart };
        let made = modelled(&design, MeshRequest { piece, size: 0, scale }).unwrap();
        for read in [read_stl(&stl(&made.model)), read_glb(&glb(&made.model))] {
            assert_eq!(read.shells(), links);
            let (each, cube) = (read.volume() / links as f64, scale.powi(3));
            let most = made.model.deviation() * scale * scale * area;
            assert!((each - exact * cube).abs() <= most, "{each} mm3, exact {}", exact * cube);
        }
        let clearance = made.clearance.map(|clearance| clearance > 0.0);
        assert_eq!(clearance, (links > 1).then_some(apart), "{:?}", made.clearance);
    }
    // The longest is coarser, and still in one file.
    let piece = report::MeshPiece::Chain { links: MOST_LINKS, apart: false };
    let made = modelled(&design, MeshRequest { piece, size: 0, scale: 1.0 }).unwrap();
    assert!(made.model.triangles() < MOST_TRIANGLES && made.model.deviation() < 0.05 * wire);
}

/// Rules of the glTF 2.0 specification, version 2.0.1, by section, beside those that the
/// `gltf` reader checks on opening.
#[test]
fn a_glb_keeps_the_rules_of_gltf() {
    let design = Design::parse(BRACELET).unwrap();
    let piece = report::MeshPiece::Chain { links: 3, apart: false };
    let made = modelled(&design, MeshRequest { piece, size: 0, scale: 2.0 }).unwrap();
    let bytes = glb(&made.model);
    let word = |at: usize| u32::from_le_bytes(bytes[at..at + 4].try_into().unwrap()) as usize;
    // 4.4.2: magic, version 2, length in all. 4.4.3: chunks start and end on four bytes, the
    // first JSON filled up with spaces, the second BIN.
    assert_eq!((&bytes[..4], word(4), word(8)), (&b"glTF"[..], 2, bytes.len()));
    let text = word(12);
    assert_eq!((&bytes[16..20], text % 4), (&b"JSON"[..], 0));
    let (next, numbers) = (20 + text, word(20 + text));
    assert_eq!((&bytes[next + 4..next + 8], numbers % 4), (&b"BIN\0"[..], 0));
    assert_eq!(next + 8 + numbers, bytes.len());
    let json: serde_json::Value = serde_json::from_slice(&bytes[20..20 + text]).unwrap();
    // 4.4.3.3: the buffer is at most three bytes shorter than its chunk, and has no address.
    let length = json["buffers"][0]["byteLength"].as_u64().unwrap() as usize;
    assert!(length <= numbers && numbers - length <= 3);
    assert!(json["buffers"][0].get("uri").is_none());

    let file = gltf::Gltf::from_slice(&bytes).unwrap();
    assert_eq!(file.document.as_json().asset.version, "2.0"); // 3.2
    assert_eq!(file.default_scene().unwrap().nodes().count(), 3);
    for accessor in file.accessors() {
        // 3.6.2.4: offsets are multiples of the component's size; all lies inside its view.
        let view = accessor.view().unwrap();
        let start = accessor.offset() + view.offset();
        assert_eq!(start % accessor.data_type().size(), 0);
        assert!(accessor.offset() + accessor.count() * accessor.size() <= view.length());
        assert!(view.offset() + view.length() <= length);
    }
    for mesh in file.meshes() {
        for primitive in mesh.primitives() {
            let reader = primitive.reader(|_| file.blob.as_deref());
            let places: Vec<[f32; 3]> = reader.read_positions().unwrap().collect();
            // 3.6.2.5, 3.7.2.1: places state their least and greatest, as they are stored.
            let bounds = primitive.bounding_box();
            for i in 0..3 {
                let values = || places.iter().map(|p| p[i]);
                assert_eq!(values().fold(f32::INFINITY, f32::min), bounds.min[i]);
                assert_eq!(values().fold(f32::NEG_INFINITY, f32::max), bounds.max[i]);
            }
            // 3.7.2.1: indices name corners; triangles are whole, none has an edge of nothing.
            let indices: Vec<u32> = reader.read_indices().unwrap().into_u32().collect();
            assert!(indices.iter().all(|i| (*i as usize) < places.len()));
            assert_eq!(indices.len() % 3, 0);
            // 3.7.2.1: normals are unit vectors; ours point the way the triangles do.
            let normals: Vec<[f32; 3]> = reader.read_normals().unwrap().collect();
            assert_eq!(normals.len(), places.len());
            let vector = |v: [f32; 3]| Vector::from(v.map(f64::from));
            for corners in indices.chunks(3) {
                let [a, b, c] = [0, 1, 2].map(|i| vector(places[corners[i] as usize]));
                let normal = vector(normals[corners[0] as usize]);
                assert!((normal.norm() - 1.0).abs() < 1e-6);
                assert!((b - a).cross(&(c - a)).normalize().dot(&normal) > 0.9);
            }
        }
    }
    for node in file.nodes() {
        // 3.5.3: rotations are unit quaternions.
        let (_, turn, _) = node.transform().decomposed();
        let norm: f32 = turn.iter().map(|x| x * x).sum();
        assert!((norm - 1.0).abs() < 1e-6, "{turn:?}");
    }
}

/// What makes no sense is refused with its limit, before any memory is taken.
#[test]
fn hostile_numbers_are_refused() {
    let design = Design::parse(BRACELET).unwrap();
    let make = |piece, size, scale| modelled(&design, MeshRequest { piece, size, scale });
    for scale in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e-9, 1e9] {
        let refused = make(report::MeshPiece::Fold, 0, scale).unwrap_err();
        let words = refused.to_string();
        assert!(words.contains("scale is") && words.contains("0.001 to 1000"), "{words}");
    }
    for links in [0, MOST_LINKS + 1, usize::MAX] {
        let refused = make(report::MeshPiece::Chain { links, apart: true }, 0, 1.0).unwrap_err();
        assert!(matches!(refused, ModelError::Links { .. }), "{refused}");
    }
    for size in [1, usize::MAX] {
        let refused = make(report::MeshPiece::Ring, size, 1.0).unwrap_err();
        assert!(matches!(refused, ModelError::NoSize { most: 1, .. }), "{refused}");
    }
    let fold = Forming::new(setting(1.0)).unwrap().fold.curve();
    for (wire, stray) in [
        (f64::NAN, 0.01),
        (0.0, 0.01),
        (-1.0, 0.01),
        (f64::INFINITY, 0.01),
        (1.0, 0.0),
        (1.0, f64::NAN),
        (1.0, -0.1),
        (1.0, 5.0),
    ] {
        let refused = Surface::tube(&fold, wire, stray).unwrap_err();
        assert!(matches!(refused, MeshError::Outside { .. }), "{refused}");
    }
    // Too fine: what is said to work does work.
    let Err(MeshError::TooMany { stray_mm, .. }) = Surface::tube(&fold, 1.0, 1e-6) else {
        panic!("a millionth of a wire is no too fine");
    };
    let tube = Surface::tube(&fold, 1.0, stray_mm).unwrap();
    assert!(tube.triangles().len() <= MOST_TRIANGLES);
    let many = vec![MeshPart { surface: tube, poses: vec![Pose::identity(); 400] }];
    assert!(matches!(Mesh::new(many, 1.0), Err(MeshError::TooMany { .. })));
    assert_eq!(Mesh::new(Vec::new(), 1.0), Err(MeshError::Nothing));
}

/// Bent to its own radius the wire would close on itself: refused there, not before.
#[test]
fn wire_bends_no_tighter_than_its_own_radius() {
    let ring = |radius: f64| {
        let (out, along) = (Vector::x_axis(), Vector::y_axis());
        let arc = Arc { centre: Point::origin(), out, along, radius, turn: TAU };
        ClosedCurve::new(vec![Piece::Arc(arc)]).unwrap()
    };
    for radius in [0.1, 0.5] {
        let refused = Surface::tube(&ring(radius), 1.0, 0.01).unwrap_err();
        assert!(matches!(refused, MeshError::BendTooTight { .. }), "{refused}");
    }
    let tube = Surface::tube(&ring(0.51), 1.0, 0.001).unwrap();
    let read = read_stl(&stl(&one(&tube, 1.0)));
    assert_eq!(read.shells(), 1);
    // The hole of a torus: corners stay on their side of the axis.
    assert!(read.corners.iter().all(|p| p.x.hypot(p.y) > 0.0));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    /// Whatever can be formed makes a closed surface, or bends too tightly for its wire. Frames
    /// never jump: corners that belong together lie a band apart, not across the wire.
    #[test]
    fn any_link_makes_a_closed_surface(
        ratio in 7.0..25.0_f64,
        wire in 0.2..3.0_f64,
        tools in (1.2..4.0_f64, 0.8..4.0_f64, 0.5..6.0_f64, 0.0..1.0_f64),
        done in 0.0..=1.0_f64,
        finer in 10.0..300.0_f64,
    ) {
        let (bore, pinch, fold, gap) = tools;
        let asked = ToolDimensions {
            mandrel: ratio * wire,
            bore: bore * wire,
            oval_jaw: bore * wire,
            pinch_jaw: pinch * wire,
            fold_jaw: fold * wire,
            waist_gap: gap * wire,
            ..setting(wire)
        };
        let Ok(forming) = Forming::new(asked) else { return Ok(()) };
        let curve = forming.at(Step::Fold, done).curve();
        let tube = match Surface::tube(&curve, wire, wire / finer) {
            Ok(tube) => tube,
            Err(MeshError::BendTooTight { radius_mm, .. }) => {
                prop_assert!(radius_mm <= 0.5 * wire);
                return Ok(());
            }
            Err(error) => return Err(TestCaseError::fail(error.to_string())),
        };
        let corners = tube.places().to_vec();
        let triangles = tube.triangles().iter().map(|t| t.map(|i| i as usize)).collect();
        let read = Read { corners, triangles };
        prop_assert_eq!(read.shells(), 1);
        prop_assert!(read.volume() > 0.0);
        for [a, b, c] in &read.triangles {
            let longest = [(a, b), (b, c), (c, a)]
                .map(|(i, j)| (tube.normals()[*i] - tube.normals()[*j]).norm())
                .into_iter()
                .fold(0.0, f64::max);
            // A side and a band turn the normal by at most 0.8 and 0.5.
            prop_assert!(longest < 1.35, "normals turn by {longest}");
        }
    }
}
