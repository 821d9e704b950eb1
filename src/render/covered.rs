//! What wires and tools cover on the picture, so that writing can keep clear of it.
//!
//! Model: a wire is straight lengths with its radius round them, a tool its convex outline.
//! Conventions: mm of the picture; a block is its lower left and upper right corner.

/// Of a radius: a chord as long as the radius, of a bend whose middle line has twice that, lies a
/// sixteenth inside it.
const SPARE: f64 = 1.1;

/// What is covered.
#[derive(Default)]
pub(super) struct Covered {
    /// How far from everything is still covered, by dark edges.
    edge: f64,
    wires: Vec<([[f64; 2]; 2], f64)>,
    tools: Vec<Vec<[f64; 2]>>,
}

impl Covered {
    /// Nothing yet; with dark edges, `edge` mm out from whatever comes.
    pub fn with_edges(edge: f64) -> Covered {
        Covered { edge, ..Covered::default() }
    }

    /// A wire through these places, no further apart than its radius, `radius` to each side.
    pub fn add_wire(&mut self, places: Vec<[f64; 2]>, radius: f64, is_closed: bool) {
        let radius = SPARE * radius;
        let ahead = places.iter().skip(1).chain(places.first().filter(|_| is_closed));
        let lengths = places.iter().zip(ahead).filter(|(a, b)| a != b);
        self.wires.extend(lengths.map(|(a, b)| ([*a, *b], radius)));
    }

    /// A convex outline.
    pub fn add_tool(&mut self, outline: Vec<[f64; 2]>) {
        self.tools.push(outline);
    }

    /// Whether nothing is covered in a block.
    pub fn is_clear(&self, [low, high]: &[[f64; 2]; 2]) -> bool {
        let (low, high) = (low.map(|x| x - self.edge), high.map(|x| x + self.edge));
        let wire = |(ends, reach): &([[f64; 2]; 2], f64)| {
            crosses(*ends, low.map(|x| x - reach), high.map(|x| x + reach))
        };
        !self.wires.iter().any(wire) && !self.tools.iter().any(|tool| meets(tool, low, high))
    }
}

/// Whether a straight line comes into a block (Liang and Barsky's clipping).
fn crosses([a, b]: [[f64; 2]; 2], low: [f64; 2], high: [f64; 2]) -> bool {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for i in 0..2 {
        let by = b[i] - a[i];
        if by.abs() < 1e-12 {
            if a[i] < low[i] || a[i] > high[i] {
                return false;
            }
            continue;
        }
        let (s, t) = ((low[i] - a[i]) / by, (high[i] - a[i]) / by);
        (from, to) = (from.max(s.min(t)), to.min(s.max(t)));
    }
    from <= to
}

/// Whether a convex outline and a block have a place in common: no edge of either has all of the
/// other beyond it.
fn meets(outline: &[[f64; 2]], low: [f64; 2], high: [f64; 2]) -> bool {
    let beyond =
        |i: usize| outline.iter().all(|p| p[i] < low[i]) || outline.iter().all(|p| p[i] > high[i]);
    if outline.is_empty() || beyond(0) || beyond(1) {
        return false;
    }
    let corners = [low, [high[0], low[1]], high, [low[0], high[1]]];
    outline.iter().zip(outline.iter().cycle().skip(1)).all(|(a, b)| {
        let side = |p: &[f64; 2]| (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]);
        let most = |sign: f64, all: &[[f64; 2]]| {
            all.iter().map(|p| sign * side(p)).fold(f64::NEG_INFINITY, f64::max)
        };
        // The outline lies on one side of its edge; the block is not wholly on the other.
        let sign = if most(1.0, outline) >= most(-1.0, outline) { 1.0 } else { -1.0 };
        most(sign, &corners) > 0.0
    })
}

#[cfg(test)]
impl Covered {
    /// What the facets of wire and tool in a drawing cover.
    pub fn drawn(drawing: &super::Drawing) -> Covered {
        use super::{Mark, Tone};
        let metal = drawing.marks.iter().filter_map(|mark| match mark {
            Mark::Fill { tone: Tone::Metal { .. } | Tone::Tool { .. }, points } => Some(points),
            _ => None,
        });
        let tools = metal.map(|points| drawing.points[points.clone()].to_vec()).collect();
        Covered { tools, ..Covered::default() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against places all over both: an evenly spread sample.
    #[test]
    fn a_block_is_clear_where_no_place_of_it_is_covered() {
        let golden = [0.754_877_666, 0.569_840_291];
        let spread = |i: usize| golden.map(|g| (i as f64 * g).fract());
        let (mut clear, mut covered) = (0, 0);
        for k in 0..300 {
            let at = |i: usize| spread(5 * k + i).map(|x| 6.0 * x);
            let (low, size) = (at(0), spread(7 * k + 3).map(|x| 0.5 + 3.0 * x));
            let high = [low[0] + size[0], low[1] + size[1]];
            let (a, b) = (at(1), at(2));
            let triangle = vec![at(1), at(2), at(3)];
            let mut wire = Covered::default();
            wire.add_wire(vec![a, b], 0.5, false);
            let mut tool = Covered::default();
            tool.add_tool(triangle.clone());
            let inside = |p: [f64; 2]| (0..2).all(|i| p[i] > low[i] && p[i] < high[i]);
            let weighed = |i: usize| {
                let [s, t] = spread(i);
                let (s, t) = if s + t > 1.0 { (1.0 - s, 1.0 - t) } else { (s, t) };
                [0, 1].map(|n| {
                    triangle[0][n]
                        + s * (triangle[1][n] - triangle[0][n])
                        + t * (triangle[2][n] - triangle[0][n])
                })
            };
            let on_line = |i: usize| {
                let share = i as f64 / 2000.0;
                [0, 1].map(|n| a[n] + share * (b[n] - a[n]))
            };
            let block = [low, high];
            for (found, is_in) in [
                (tool.is_clear(&block), (0..2000).any(|i| inside(weighed(i)))),
                (wire.is_clear(&block), (0..2000).any(|i| inside(on_line(i)))),
            ] {
                assert!(!(found && is_in), "{k}: called clear");
                clear += usize::from(found);
                covered += usize::from(is_in);
            }
        }
        assert!(clear > 100 && covered > 100, "{clear} {covered}");
    }

    #[test]
    fn beside_a_wire_is_clear_and_on_its_edge_not() {
        let mut wire = Covered::default();
        wire.add_wire(vec![[0.0, 0.0], [4.0, 0.0]], 1.0, false);
        assert!(wire.is_clear(&[[0.0, 1.2], [1.0, 2.0]]));
        assert!(!wire.is_clear(&[[0.0, 0.9], [1.0, 2.0]]));
        assert!(wire.is_clear(&[[5.2, -1.0], [6.0, 1.0]]));
    }
}
