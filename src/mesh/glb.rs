//! glTF 2.0 in its one-file form, GLB: a text that says what is where, then the numbers.
//!
//! Each surface is stored once and placed by nodes. Neighbours are shown in two metals, so that
//! links can be told apart; parts to be printed are plain plastic, flat-sided. Metres, y up, front towards +z: a link's (x, y, z) becomes
//! (x, z, −y).
//! Source: Khronos Group, *glTF 2.0 Specification*, version 2.0.1 (ISO/IEC 12113:2022):
//! sections 3.4 (axes, units), 3.6.2 (accessors and their alignment), 3.7.2 (meshes), 3.9
//! (materials), 4 (GLB).

use super::{Mesh, MeshContent, MeshPart};
use crate::geometry::curve::Vector;
use serde_json::{Value, json};

const MM_PER_METRE: f64 = 1000.0;
/// "glTF", "JSON" and "BIN\0" as little-endian numbers.
const MAGIC: u32 = 0x4654_6C67;
const JSON: u32 = 0x4E4F_534A;
const BIN: u32 = 0x004E_4942;
/// Components of an accessor: single precision, unsigned integers; and what a view is for.
const FLOAT: u32 = 5126;
const UNSIGNED_INT: u32 = 5125;
const ARRAY_BUFFER: u32 = 34962;
const ELEMENT_ARRAY_BUFFER: u32 = 34963;
const PLASTIC: usize = 2;

/// Each with its colour in linear light: white and yellow metal, bare, as on the page; plastic.
fn materials() -> Value {
    let material = |name: &str, [red, green, blue]: [f64; 3], metallic: u8, roughness: f64| {
        json!({"name": name, "pbrMetallicRoughness": {
            "baseColorFactor": [red, green, blue, 1],
            "metallicFactor": metallic,
            "roughnessFactor": roughness,
        }})
    };
    json!([
        material("white metal", [0.83, 0.84, 0.84], 1, 0.35),
        material("yellow metal", [0.83, 0.61, 0.27], 1, 0.35),
        material("plastic", [0.6, 0.6, 0.58], 0, 0.8),
    ])
}

/// Writes `model` as a GLB file.
pub fn glb(model: &Mesh) -> Vec<u8> {
    let mut numbers = Vec::new();
    let (mut views, mut accessors) = (Vec::new(), Vec::new());
    let (mut meshes, mut nodes) = (Vec::new(), Vec::new());
    let metre = model.scale() / MM_PER_METRE;
    let mut asset = json!({"version": "2.0", "generator": "linkfold"});
    let (name, plastic) = match model.content() {
        MeshContent::Wire => ("link", None),
        MeshContent::Printed(note) => {
            asset["extras"] = json!({ "note": note });
            ("part", Some(PLASTIC))
        }
    };
    for part in model.parts() {
        let first = accessors.len();
        let (low, high) = put_surface(part, metre, &mut numbers, &mut views);
        let mut accessor = |component: u32, count: usize, kind: &str| {
            let view = accessors.len();
            accessors.push(json!({
                "bufferView": view, "componentType": component, "count": count, "type": kind,
            }));
            view
        };
        let corners = part.surface.places().len();
        let mut attributes = json!({"POSITION": accessor(FLOAT, corners, "VEC3")});
        if !part.surface.normals().is_empty() {
            attributes["NORMAL"] = accessor(FLOAT, corners, "VEC3").into();
        }
        let indices = accessor(UNSIGNED_INT, 3 * part.surface.triangles().len(), "SCALAR");
        (accessors[first]["min"], accessors[first]["max"]) = (json!(low), json!(high));
        // The first half of the poses would do for one metal; two meshes share the numbers.
        let metals = part.poses.len().min(2);
        for (k, pose) in part.poses.iter().enumerate() {
            let [x, y, z] = turned(&pose.rotation.imag());
            nodes.push(json!({
                "name": format!("{name} {}", nodes.len() + 1),
                "mesh": meshes.len() + k % metals.max(1),
                "translation": turned(&(pose.translation.vector * metre)),
                "rotation": [x, y, z, pose.rotation.w as f32],
            }));
        }
        meshes.extend((0..metals).map(|metal| {
            json!({"name": name, "primitives": [{
                "attributes": attributes, "indices": indices, "material": plastic.unwrap_or(metal),
            }]})
        }));
    }
    let all: Vec<usize> = (0..nodes.len()).collect();
    let text = json!({
        "asset": asset, "scene": 0, "scenes": [{"nodes": all}], "nodes": nodes, "meshes": meshes,
        "materials": materials(), "accessors": accessors, "bufferViews": views,
        "buffers": [{"byteLength": numbers.len()}],
    });
    in_chunks(text.to_string().into_bytes(), numbers)
}

/// Adds a surface's corners, normals and triangles; least and greatest corner, as written.
fn put_surface(
    part: &MeshPart,
    metre: f64,
    numbers: &mut Vec<u8>,
    views: &mut Vec<Value>,
) -> ([f32; 3], [f32; 3]) {
    let (mut low, mut high) = ([f32::INFINITY; 3], [f32::NEG_INFINITY; 3]);
    let mut view = |from: usize, numbers: &Vec<u8>, target: u32| {
        let length = numbers.len() - from;
        views.push(json!({
            "buffer": 0, "byteOffset": from, "byteLength": length, "target": target,
        }));
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
    let mut start = view(start, numbers, ARRAY_BUFFER);
    if !part.surface.normals().is_empty() {
        for value in part.surface.normals().iter().flat_map(turned) {
            numbers.extend_from_slice(&value.to_le_bytes());
        }
        start = view(start, numbers, ARRAY_BUFFER);
    }
    for corner in part.surface.triangles().iter().flatten() {
        numbers.extend_from_slice(&corner.to_le_bytes());
    }
    view(start, numbers, ELEMENT_ARRAY_BUFFER);
    (low, high)
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
