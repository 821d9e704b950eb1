//! glTF 2.0 in its one-file form, GLB: a text that says what is where, then the numbers.
//!
//! Each surface is stored once and placed by nodes. Neighbours are shown in two metals, so that
//! links can be told apart; parts to be printed are plain plastic, flat-sided. Metres, y up, front towards +z: a link's (x, y, z) becomes
//! (x, z, −y).
//! Source: Khronos Group, *glTF 2.0 Specification*, version 2.0.1 (ISO/IEC 12113:2022):
//! sections 3.4 (axes, units), 3.6.2 (accessors and their alignment), 3.7.2 (meshes), 3.9
//! (materials), 4 (GLB).

use super::{Mesh, MeshContent, MeshPart};
use crate::geometry::curve::{Pose, Vector};
use std::fmt::Write;

const MM_PER_METRE: f64 = 1000.0;
/// "glTF", "JSON" and "BIN\0" as little-endian numbers.
const MAGIC: u32 = 0x4654_6C67;
const JSON: u32 = 0x4E4F_534A;
const BIN: u32 = 0x004E_4942;
/// Each as colour in linear light, bare metal: white and yellow, as on the page.
const METALS: &str = r#"[{"name":"white metal","pbrMetallicRoughness":{"baseColorFactor":[0.83,0.84,0.84,1],"metallicFactor":1,"roughnessFactor":0.35}},{"name":"yellow metal","pbrMetallicRoughness":{"baseColorFactor":[0.83,0.61,0.27,1],"metallicFactor":1,"roughnessFactor":0.35}},{"name":"plastic","pbrMetallicRoughness":{"baseColorFactor":[0.6,0.6,0.58,1],"metallicFactor":0,"roughnessFactor":0.8}}]"#;
const PLASTIC: usize = 2;

/// Writes `model` as a GLB file.
pub fn glb(model: &Mesh) -> Vec<u8> {
    let mut numbers = Vec::new();
    let (mut views, mut accessors) = (Vec::new(), Vec::new());
    let (mut meshes, mut nodes) = (Vec::new(), Vec::new());
    let metre = model.scale() / MM_PER_METRE;
    let (name, plastic, note) = match model.content() {
        MeshContent::Wire => ("link", None, String::new()),
        MeshContent::Printed(note) => {
            ("part", Some(PLASTIC), format!(r#","extras":{{"note":"{note}"}}"#))
        }
    };
    for part in model.parts() {
        let first = accessors.len();
        let (low, high) = put_surface(part, metre, &mut numbers, &mut views);
        let corners = part.surface.places().len();
        let count = 3 * part.surface.triangles().len();
        accessors.push(format!(
            r#"{{"bufferView":{first},"componentType":5126,"count":{corners},"type":"VEC3","min":{low:?},"max":{high:?}}}"#
        ));
        let mut attributes = format!(r#""POSITION":{first}"#);
        if !part.surface.normals().is_empty() {
            let normals = accessors.len();
            let _ = write!(attributes, r#","NORMAL":{normals}"#);
            accessors.push(format!(
                r#"{{"bufferView":{normals},"componentType":5126,"count":{corners},"type":"VEC3"}}"#
            ));
        }
        let indices = accessors.len();
        accessors.push(format!(
            r#"{{"bufferView":{indices},"componentType":5125,"count":{count},"type":"SCALAR"}}"#
        ));
        // The first half of the poses would do for one metal; two meshes share the numbers.
        let metals = part.poses.len().min(2);
        for (k, pose) in part.poses.iter().enumerate() {
            nodes.push(node(name, meshes.len() + k % metals.max(1), nodes.len(), pose, metre));
        }
        for metal in 0..metals {
            let material = plastic.unwrap_or(metal);
            meshes.push(format!(
                r#"{{"name":"{name}","primitives":[{{"attributes":{{{attributes}}},"indices":{indices},"material":{material}}}]}}"#
            ));
        }
    }
    let all: Vec<String> = (0..nodes.len()).map(|i| i.to_string()).collect();
    let text = format!(
        r#"{{"asset":{{"version":"2.0","generator":"linkfold"{note}}},"scene":0,"scenes":[{{"nodes":[{}]}}],"nodes":[{}],"meshes":[{}],"materials":{METALS},"accessors":[{}],"bufferViews":[{}],"buffers":[{{"byteLength":{}}}]}}"#,
        all.join(","),
        nodes.join(","),
        meshes.join(","),
        accessors.join(","),
        views.join(","),
        numbers.len()
    );
    in_chunks(text.into_bytes(), numbers)
}

/// Adds a surface's corners, normals and triangles; least and greatest corner, as written.
fn put_surface(
    part: &MeshPart,
    metre: f64,
    numbers: &mut Vec<u8>,
    views: &mut Vec<String>,
) -> ([f32; 3], [f32; 3]) {
    let (mut low, mut high) = ([f32::INFINITY; 3], [f32::NEG_INFINITY; 3]);
    let mut view = |from: usize, numbers: &Vec<u8>, target: u32| {
        let length = numbers.len() - from;
        views.push(format!(
            r#"{{"buffer":0,"byteOffset":{from},"byteLength":{length},"target":{target}}}"#
        ));
        numbers.len()
    };
    let start = numbers.len();
    for place in part.surface.places() {
        for (i, value) in turned(&(place.coords * metre)).into_iter().enumerate() {
            low[i] = low[i].min(value);
            high[i] = high[i].max(value);
            numbers.extend_from_slice(&value.to_le_bytes());
        }
    }
    let mut start = view(start, numbers, 34962);
    if !part.surface.normals().is_empty() {
        for value in part.surface.normals().iter().flat_map(turned) {
            numbers.extend_from_slice(&value.to_le_bytes());
        }
        start = view(start, numbers, 34962);
    }
    for corner in part.surface.triangles().iter().flatten() {
        numbers.extend_from_slice(&corner.to_le_bytes());
    }
    view(start, numbers, 34963);
    (low, high)
}

/// Where link `k` lies.
fn node(name: &str, mesh: usize, k: usize, pose: &Pose, metre: f64) -> String {
    let turn = pose.rotation.imag();
    let [x, y, z] = turned(&turn);
    let w = pose.rotation.w as f32;
    let mut text = format!(
        r#"{{"name":"{name} {}","mesh":{mesh},"translation":{:?},"rotation":"#,
        k + 1,
        turned(&(pose.translation.vector * metre))
    );
    // Writing to a String cannot fail.
    let _ = write!(text, "[{x:?},{y:?},{z:?},{w:?}]}}");
    text
}

/// Our axes, z up, in glTF's, y up. A turn of axes: it takes the axis of a rotation along.
fn turned(v: &Vector) -> [f32; 3] {
    // No minus zero: not every reader takes it for zero.
    [v.x, v.z, -v.y].map(|value| value as f32 + 0.0)
}

/// Header and both chunks, each filled up to a multiple of four bytes.
fn in_chunks(mut text: Vec<u8>, mut numbers: Vec<u8>) -> Vec<u8> {
    text.resize(text.len().next_multiple_of(4), b' ');
    numbers.resize(numbers.len().next_multiple_of(4), 0);
    let length = 12 + 8 + text.len() + 8 + numbers.len();
    let mut bytes = Vec::with_capacity(length);
    let put = |bytes: &mut Vec<u8>, value: u32| bytes.extend_from_slice(&value.to_le_bytes());
    put(&mut bytes, MAGIC);
    put(&mut bytes, 2);
    put(&mut bytes, length as u32);
    for (kind, chunk) in [(JSON, text), (BIN, numbers)] {
        put(&mut bytes, chunk.len() as u32);
        put(&mut bytes, kind);
        bytes.extend_from_slice(&chunk);
    }
    bytes
}
