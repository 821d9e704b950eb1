//! A written path, replayed with nothing of this crate: the command's JSON, polylines made of its
//! arcs and straights here, distances by parry.
#![cfg(all(not(target_arch = "wasm32"), feature = "command"))]

use parry3d_f64::math::{Pose, Rotation, Vector};
use parry3d_f64::query::{ClosestPoints, closest_points};
use parry3d_f64::shape::Polyline;
use serde_json::Value;

mod command;
use command::run;

fn vector(value: &Value) -> Vector {
    let at = |i: usize| value[i].as_f64().unwrap();
    Vector::new(at(0), at(1), at(2))
}

/// A centreline as a closed polyline whose corners lie on it, no chord further from it than `error`.
fn polyline(pieces: &Value, error: f64) -> Polyline {
    let mut points: Vec<Vector> = Vec::new();
    let mut end: Option<Vector> = None;
    for piece in pieces.as_array().unwrap() {
        let number = |name: &str| piece[name].as_f64().unwrap();
        let (start, last) = if piece["kind"] == "arc" {
            let (centre, radius) = (vector(&piece["centre_mm"]), number("radius_mm"));
            let (out, along) = (vector(&piece["out"]), vector(&piece["along"]));
            let turn = number("turn_rad");
            let at = |t: f64| centre + radius * (t.cos() * out + t.sin() * along);
            // A chord over the angle a lies r (1 − cos a/2) inside the arc.
            let widest = 2.0 * (1.0 - (error / radius).min(0.5)).acos();
            let count = (turn / widest).ceil().max(1.0);
            points.extend((0..count as usize).map(|i| at(i as f64 / count * turn)));
            (at(0.0), at(turn))
        } else {
            let start = vector(&piece["start_mm"]);
            points.push(start);
            (start, start + number("length_mm") * vector(&piece["direction"]))
        };
        assert!(end.is_none_or(|end| (end - start).length() < 1e-6), "the pieces do not join on");
        end = Some(last);
    }
    assert!((end.unwrap() - points[0]).length() < 1e-6, "the centreline is not closed");
    let edges = (0..points.len()).map(|i| [i as u32, ((i + 1) % points.len()) as u32]).collect();
    Polyline::new(points, Some(edges))
}

fn pose(state: &Value) -> Pose {
    let r = |i: usize| state["rotation"][i].as_f64().unwrap();
    let turn = Rotation::from_xyzw(r(1), r(2), r(3), r(0));
    assert!((turn.length() - 1.0).abs() < 1e-9);
    Pose::from_parts(vector(&state["position_mm"]), turn)
}

/// Least clearance parry sees on a written path, mm.
fn replayed(path: &Value, error: f64) -> f64 {
    let wire = |name: &str| path[name].as_f64().unwrap();
    let contact = 0.5 * (wire("receiving_wire_mm") + wire("incoming_wire_mm"));
    // Links in place are the receiving size; the incoming one passes all of them.
    let still: Vec<Polyline> =
        path["in_place"].as_array().unwrap().iter().map(|curve| polyline(curve, error)).collect();
    let mut least = f64::INFINITY;
    let mut see = |pose: Pose, shape: &Polyline| {
        for other in &still {
            let margin = if least.is_finite() { least + contact } else { 1e3 };
            match closest_points(&Pose::IDENTITY, other, &pose, shape, margin).unwrap() {
                ClosestPoints::Intersecting => least = -contact,
                ClosestPoints::WithinMargin(p, q) => least = least.min((p - q).length() - contact),
                ClosestPoints::Disjoint => {}
            }
        }
    };
    let pivot = vector(&path["pivot_mm"]);
    let mut before: Option<Pose> = None;
    let mut shape: Option<Polyline> = None;
    for waypoint in path["waypoints"].as_array().unwrap() {
        let here = pose(waypoint);
        for state in waypoint["between"].as_array().into_iter().flatten() {
            see(pose(state), &polyline(&state["centreline"], error));
        }
        if let (Some(from), Some(rigid), true) = (before, &shape, waypoint["centreline"].is_null())
        {
            let centre = from.rotation.inverse() * (pivot - from.translation);
            let end = here.rotation * centre + here.translation;
            for i in 1..12 {
                let t = f64::from(i) / 12.0;
                let turn = from.rotation.slerp(here.rotation, t);
                let at = pivot + t * (end - pivot);
                see(Pose::from_parts(at - turn * centre, turn), rigid);
            }
        }
        if !waypoint["centreline"].is_null() {
            shape = Some(polyline(&waypoint["centreline"], error));
        }
        see(here, shape.as_ref().expect("the first waypoint has a shape"));
        before = Some(here);
    }
    least
}

/// In the plainest design, in a taper both ways, and in a weave where several links are in place.
#[test]
fn written_paths_keep_the_clearance_that_is_claimed() {
    let plain = r#"{"linkfold": 1, "wire": {"diameter_mm": 0.9}, "sizes": [{"mandrel_mm": 12}]}"#;
    let taper = r#"{"linkfold": 1, "wire": {"diameter_mm": 0.9},
        "sizes": [{"name": "a", "mandrel_mm": 12}, {"name": "b", "mandrel_mm": 13}]}"#;
    let double = r#"{"linkfold": 1, "wire": {"diameter_mm": 0.6}, "weave": "double",
        "sizes": [{"mandrel_mm": 9.6}]}"#;
    for (design, join, in_place) in
        [(plain, "1", 1), (taper, "3", 1), (taper, "4", 1), (double, "1", 3)]
    {
        let output = run(&["path", "-", "--join", join], design.as_bytes());
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        let path: Value = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(path["verdict"], "passes", "{design} {join}");
        assert!(path["in_place"].as_array().unwrap().len() >= in_place);
        let claimed = path["clearance_at_least_mm"].as_f64().unwrap();
        let most = path["clearance_at_most_mm"].as_f64().unwrap();
        // Two inscribed polylines come no nearer than their curves by twice this.
        let error = 0.002 * path["incoming_wire_mm"].as_f64().unwrap() * 0.1;
        let seen = replayed(&path, error);
        println!("{design} join {join}: claimed {claimed:.5} to {most:.5}, seen {seen:.5}");
        assert!(claimed > 0.0);
        assert!(seen >= claimed - 2.0 * error, "seen {seen}, claimed {claimed}");
        // And the claim is no idle one: it is within a twentieth of a wire of what is there.
        assert!(seen <= claimed + 0.05 * path["incoming_wire_mm"].as_f64().unwrap(), "{seen}");
    }
}

#[test]
fn a_join_that_is_not_there_is_refused() {
    let plain = r#"{"linkfold": 1, "wire": {"diameter_mm": 0.9}, "sizes": [{"mandrel_mm": 12}]}"#;
    for join in ["0", "2", "18446744073709551615"] {
        let output = run(&["path", "-", "--join", join], plain.as_bytes());
        assert_eq!(output.status.code(), Some(2));
        let told = String::from_utf8(output.stderr).unwrap();
        assert!(told.contains(&format!("join {join} is asked for")), "{told}");
        assert!(told.contains("joins 1 to 1"), "{told}");
    }
    assert_eq!(run(&["path", "-"], b"{}").status.code(), Some(2));
}
