//! What every figure of the page means, and how it is computed.
//!
//! In words that a maker reads beside the figure; the page shows each where it is asked for.

/// A figure's meaning.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Definition {
    /// Which figure: the id under which the page has it.
    pub figure: &'static str,
    /// What it is, in plain words.
    pub meaning: &'static str,
    /// How it is computed.
    pub formula: &'static str,
    /// Where that is from.
    pub source: &'static str,
}

const fn definition(
    figure: &'static str,
    meaning: &'static str,
    formula: &'static str,
    source: &'static str,
) -> Definition {
    Definition { figure, meaning, formula, source }
}

const OWN: &str = "Our own definition; the trade's word.";
const PLANE: &str = "Plane geometry: bending keeps the length of the wire's middle line.";
const BENDING: &str = "Bending of a round bar beyond yield: Gere & Goodno, Mechanics of Materials, 8th ed., §6.10; re-derived.";
const WRAPPED: &str = "The eight wrapped on the jaw without stretch.";
const SWUNG: &str = "Our own search; the motion to the angle found is proven clear.";
const PULLED: &str = "Beam theory of the folded link, borne inside its lobes.";

/// What a letter stands for in every formula.
const SYMBOLS: [(&str, &str); 19] = [
    ("D", "mandrel"),
    ("s", "what the ring springs open by"),
    ("d", "wire"),
    ("k", "saw cut"),
    ("L", "wire in one ring"),
    ("p", "oval jaws"),
    ("g", "share by which the ring grows when stretched"),
    ("h", "straight side of the oval"),
    ("r", "radius of the lobe\u{2019}s end, to the wire\u{2019}s middle"),
    ("X", "from the waist to the tip, along the wire\u{2019}s middle line"),
    ("J", "fold jaw"),
    ("R", "radius of the fold, to the wire\u{2019}s middle"),
    ("ψ", "half the angle of the fold"),
    ("κ", "curvature in the jaws: 1 ÷ radius"),
    ("M", "bending moment that it takes"),
    ("E", "stiffness of the metal (Young\u{2019}s modulus)"),
    ("I", "stiffness of the round section"),
    ("θ", "angle from link to link"),
    ("t", "step from link to link"),
];

/// The words and letters of a formula.
fn tokens(formula: &str) -> impl Iterator<Item = &str> {
    formula.split(|c: char| !c.is_alphabetic()).filter(|token| !token.is_empty())
}

impl Definition {
    /// What the letters of the formula stand for; empty where it has none.
    pub fn legend(&self) -> String {
        let used = SYMBOLS.iter().filter(|(symbol, _)| tokens(self.formula).any(|t| t == *symbol));
        let each = used.map(|(symbol, meaning)| format!("{symbol}: {meaning}"));
        each.collect::<Vec<String>>().join("; ")
    }
}

/// Every figure of the page, panel by panel.
pub const DEFINITIONS: [Definition; 52] = [
    definition(
        "figure-ratio",
        "How thick the wire is for its ring. The number a maker tries first: too low, and the links cannot be joined.",
        "inside diameter of the soldered ring ÷ wire diameter",
        OWN,
    ),
    definition(
        "figure-centreline",
        "Length of the wire's middle line in one soldered ring. Stretching lengthens it by what the ring grows; every later step keeps it.",
        "L = π (D + s + d) − k",
        PLANE,
    ),
    definition(
        "figure-ring",
        "What callipers read inside the soldered ring, its saw cut closed.",
        "L / π − d",
        PLANE,
    ),
    definition(
        "figure-oval-length",
        "What callipers read lengthwise inside the stretched oval.",
        "drawn taut: p + h, with h = ((1 + g) L − π (p + d)) / 2",
        PLANE,
    ),
    definition(
        "figure-oval-width",
        "What callipers read across inside the stretched oval.",
        "drawn taut: p",
        PLANE,
    ),
    definition(
        "figure-bore",
        "Greatest inside width of a lobe: the next link's two waist wires lie in it.",
        "2 r − d",
        PLANE,
    ),
    definition(
        "figure-waist",
        "Clear gap between the two wires where the eight is pinched.",
        "distance of the wires' middles − d",
        PLANE,
    ),
    definition(
        "figure-eight-length",
        "Length of the flat figure eight over all.",
        "2 X + d",
        PLANE,
    ),
    definition(
        "figure-height",
        "Height of the folded loop, from under the fold to over its tips.",
        "height of the tip over the fold's middle, wire to wire, + d",
        WRAPPED,
    ),
    definition(
        "figure-leg-gap",
        "Clear gap between the two legs, at the height of the fold's centre.",
        "2 R − d, with R = (J + d) / 2: so J, once the legs are wrapped that far",
        WRAPPED,
    ),
    definition(
        "figure-tip-gap",
        "Clear gap between the two tips of the finished link.",
        "distance of the tips' middles − d",
        OWN,
    ),
    definition(
        "figure-fold",
        "Angle through which the waist is bent, leg to leg.",
        "2 ψ, with R sin ψ + (X − R ψ) cos ψ = (tip gap + d) / 2",
        WRAPPED,
    ),
    definition(
        "figure-clearance",
        "How near metal comes to metal at the tightest moment of joining; below nothing, the wires would overlap.",
        "least, over the motion, of: distance of the two middle lines − (d₁ + d₂) / 2",
        "Proof by bounds: between two steps no part moves further than its clearance.",
    ),
    definition(
        "figure-margin",
        "The clearance you ask for at the tightest place: what a hand needs to work in.",
        "chosen in the design",
        OWN,
    ),
    definition(
        "figure-rest",
        "Clearance that is left when both links are joined, closed and lie as freely as they can.",
        "greatest, over all poses, of the least distance of the middle lines − (d₁ + d₂) / 2",
        "Our own search for the pose with most clearance.",
    ),
    definition(
        "joins",
        "Every pair of sizes that follow one another: one goes through the other, in both orders where they differ.",
        "as the clearance, pair by pair",
        "As the clearance of one join.",
    ),
    definition(
        "chain-pitch",
        "How far the chain gains with each link when it is pulled straight.",
        "greatest rise of a link in the one before at which the wires just touch",
        OWN,
    ),
    definition(
        "chain-play",
        "How far a link can be pushed back into the one before.",
        "pitch pulled − pitch pushed",
        OWN,
    ),
    definition(
        "chain-count-text",
        "How many links make a length of pulled chain.",
        "100 mm ÷ pitch; 25.4 mm ÷ pitch",
        "The international inch of 1959.",
    ),
    definition(
        "chain-width",
        "Width of the chain over its lobes.",
        "greatest extent across, to the wire's outside",
        OWN,
    ),
    definition(
        "chain-thickness",
        "Thickness of the chain from leg to leg.",
        "greatest extent leg to leg, to the wire's outside",
        OWN,
    ),
    definition(
        "chain-crowding",
        "Clearance between a link and those that do not hang in it directly, pulled straight.",
        "least distance of their middle lines − d",
        OWN,
    ),
    definition(
        "chain-swing-x",
        "How far a link tips against the one before, across the lobes, until metal meets metal.",
        "greatest angle reached from rest with clearance ≥ 0 all along; found to 0.1°",
        SWUNG,
    ),
    definition(
        "chain-swing-y",
        "How far a link tips against the one before, from leg to leg, until metal meets metal.",
        "greatest angle reached from rest with clearance ≥ 0 all along; found to 0.1°",
        SWUNG,
    ),
    definition(
        "chain-twist",
        "How far a link turns about the chain's length against the one before.",
        "greatest angle reached from rest with clearance ≥ 0 all along; in 100 mm: angle × 100 mm ÷ pitch",
        SWUNG,
    ),
    definition(
        "chain-coil-x",
        "The thickest rod that fits inside the tightest coil the chain takes across its lobes.",
        "links turned alike by θ lie on a circle; a chord t gives the radius t / (2 sin θ/2), less the link's own depth",
        "Chords of a circle.",
    ),
    definition(
        "chain-coil-y",
        "The thickest rod that fits inside the tightest coil the chain takes from leg to leg.",
        "links turned alike by θ lie on a circle; a chord t gives the radius t / (2 sin θ/2), less the link's own depth",
        "Chords of a circle.",
    ),
    definition(
        "chain-supple",
        "How tightly the chain coils for its size; less is suppler.",
        "rod inside the tightest coil ÷ what the chain measures in the plane of the coil",
        OWN,
    ),
    definition(
        "drape-length",
        "Length of the pulled chain.",
        "sum of the pitches of its links",
        OWN,
    ),
    definition(
        "drape-depth",
        "How far its lowest joint hangs below its ends.",
        "height of the ends − height of the lowest joint, where the chain rests",
        "Least height of the weights, links rigid and joints within their swing.",
    ),
    definition(
        "drape-tight",
        "Joints that are bent as far as they go and bear on their stop.",
        "joints whose angle has reached the swing",
        OWN,
    ),
    definition(
        "metal-steps",
        "How hard the worst place has been worked by then, against what annealed metal takes before it wants annealing.",
        "plastic strain of the outermost fibre, added up since the last anneal; each bend adds about half the wire ÷ the radius of the bend",
        BENDING,
    ),
    definition(
        "figure-coil",
        "Inside diameter of the coil on the mandrel, and once it has sprung open.",
        "curvature kept: κ − M(κ) / (E I); I = π d⁴ / 64",
        BENDING,
    ),
    definition(
        "figure-oval",
        "Inside length of the oval while held in the jaws, and after springback.",
        "each place keeps κ − M(κ) / (E I); the whole is added up along the wire",
        BENDING,
    ),
    definition(
        "figure-oval-end",
        "Radius of the oval's ends to the wire's middle, while held in the jaws and after springback.",
        "1 / κ held; 1 / (κ − M(κ) / (E I)) after springback",
        BENDING,
    ),
    definition(
        "figure-lobe",
        "Inside width of a lobe, while held in the jaws and after springback.",
        "each place keeps κ − M(κ) / (E I); the whole is added up along the wire",
        BENDING,
    ),
    definition(
        "figure-waist-kept",
        "Waist gap, while held in the jaws and after springback.",
        "each place keeps κ − M(κ) / (E I); the whole is added up along the wire",
        BENDING,
    ),
    definition(
        "figure-fold-kept",
        "Angle of the fold on the jaw, and after springback.",
        "each place keeps κ − M(κ) / (E I); the whole is added up along the fold",
        BENDING,
    ),
    definition(
        "figure-first-set",
        "The pull at which annealed metal first yields somewhere: beyond it the link stays a little longer.",
        "yield strength ÷ greatest stress at a pull of 1 N",
        "Beam theory of the folded link, borne inside its lobes; von Mises stress.",
    ),
    definition(
        "figure-greatest-stress",
        "Where a pull stresses the link most.",
        "place of the greatest von Mises stress: bending, twist, pull and shear together",
        PULLED,
    ),
    definition(
        "figure-stiffness",
        "How much pull makes one link a millimetre longer, or an inch.",
        "pull ÷ growth, small pulls",
        PULLED,
    ),
    definition(
        "figure-chain-stiffness",
        "The same for a length of chain.",
        "pull on one strand per unit of strain ÷ length",
        "Beam theory of the folded link; links one after another.",
    ),
    definition(
        "plan-length",
        "How long the pulled chain comes out with whole links, its clasp included.",
        "links' heights and pitches, pair by pair, added up along the chain, + clasp",
        OWN,
    ),
    definition(
        "plan-nearest",
        "The longest chain that is not longer than wanted, and the next longer one.",
        "as the length reached, with the links one step fewer and one step more",
        OWN,
    ),
    definition(
        "plan-inside",
        "What the chain measures inside when it is closed round a neck or a wrist.",
        "length reached − π × thickness − ease",
        "Geometry of a band: its middle line is longer than its inside by π thicknesses, whatever the round's shape.",
    ),
    definition(
        "plan-links",
        "Links in the chain, of every size together.",
        "sum over the sizes",
        OWN,
    ),
    definition(
        "plan-rings",
        "Rings to wind, saw and solder; one pallion of solder each.",
        "links + trial links + rings made to be lost",
        OWN,
    ),
    definition(
        "plan-wire",
        "Wire to have at hand, of every diameter together.",
        "rings × π (D + s + d), the saw cut included, + what is lost at the ends of the coils",
        "Plane geometry: one turn of wire, by its middle line.",
    ),
    definition(
        "plan-wire-mass",
        "Metal in all that wire, dust and ends included.",
        "density × π d² / 4 × length",
        "Volume of a round wire; density from the metal's record.",
    ),
    definition(
        "plan-chain-mass",
        "Metal in the finished links; clasp and solder left out.",
        "density × π d² / 4 × L for each link, L its middle line",
        "Volume of a round wire; density from the metal's record.",
    ),
    definition(
        "plan-hours",
        "Time at the bench for the whole chain, by the bench's minutes.",
        "rings × minutes of every step but joining, anneals included, + links × minutes of joining",
        "The maker's own minutes; the usual ones are common practice, no source.",
    ),
    definition(
        "plan-cost",
        "What the chain costs, by the bench's prices.",
        "grams of wire × price + rings × solder + all else + hours × rate",
        "Your own prices; 0 ignores a cost.",
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    /// Ids in `page` of elements that begin with `tag`.
    fn ids(page: &str, tag: &str) -> Vec<String> {
        let start = format!("<{tag} id=\"");
        let found = page.match_indices(&start).map(|(i, _)| &page[i + start.len()..]);
        found.filter_map(|rest| rest.split('"').next()).map(String::from).collect()
    }

    /// No figure of the page without its meaning, no meaning without its figure.
    #[test]
    fn every_figure_of_the_page_has_its_meaning() {
        let page = include_str!("../../../www/index.html");
        let figures = ids(page, "dd");
        assert_eq!(figures.len(), page.matches("<dt").count(), "each term has one figure");
        // Lists filled later, and those of figures that have their own.
        let lists = ids(page, "dl").into_iter().filter(|id| id != "chain-figures");
        let mut wanted: Vec<String> = figures.into_iter().chain(lists).collect();
        let mut found: Vec<String> = DEFINITIONS.iter().map(|d| d.figure.to_string()).collect();
        wanted.sort();
        found.sort();
        assert_eq!(found, wanted);
    }

    #[test]
    fn every_meaning_says_what_how_and_whence() {
        for one in DEFINITIONS {
            assert!(one.meaning.len() > 20 && one.meaning.ends_with('.'), "{one:?}");
            assert!(one.formula.len() > 5 && one.source.ends_with('.'), "{one:?}");
        }
    }

    /// One letter, one meaning: each that stands in a formula is in the table, once.
    #[test]
    fn every_letter_of_a_formula_has_one_meaning() {
        // A word, units, and the circle's own number.
        let others = ["a", "N", "π", "mm"];
        for one in DEFINITIONS {
            let legend = one.legend();
            for token in tokens(one.formula).filter(|token| token.chars().count() < 3) {
                let is_word =
                    ["of", "to", "by", "as", "in", "on", "at", "no", "is", "or", "so", "up", "be"];
                let is_known = SYMBOLS.iter().filter(|(symbol, _)| *symbol == token).count() == 1
                    && legend.contains(&format!("{token}: "));
                assert!(
                    is_known || others.contains(&token) || is_word.contains(&token),
                    "{}: {token} in {}",
                    one.figure,
                    one.formula
                );
            }
        }
        for (symbol, meaning) in SYMBOLS {
            let used = DEFINITIONS.iter().any(|one| tokens(one.formula).any(|t| t == symbol));
            let alike = SYMBOLS.iter().filter(|(_, other)| *other == meaning).count();
            assert!(used && alike == 1, "{symbol}: {meaning}");
        }
    }

    /// The closed forms, worked by hand from the opening design, are what the report says.
    #[test]
    fn the_formulas_are_those_of_the_report() {
        use crate::answers::report::Report;
        use crate::documents::design::Design;
        use crate::documents::units::LengthUnit;
        let design =
            Design::parse(include_str!("../../../www/examples/evening-class-bracelet.json"));
        let mut design = design.unwrap();
        design.sizes[0].springback_mm = Some(0.1);
        let report = Report::at_once(&design, &design.formings().unwrap(), LengthUnit::Mm);
        let size = &report.sizes[0];
        let (wire, jaw) = (0.9, 2.6);
        // D = 12, s = 0.1, d = 0.9, k = 0.22; oval jaws 2.6.
        let length = std::f64::consts::PI * (12.0 + 0.1 + wire) - 0.22;
        let ring = length / std::f64::consts::PI - wire;
        let side = 0.5 * (length - std::f64::consts::PI * (jaw + wire));
        for (found, by_hand) in [
            (size.centreline_mm, length),
            (size.ring_inside_mm, ring),
            (size.ratio, ring / wire),
            (size.oval_inside_length_mm, jaw + side),
            (size.oval_inside_width_mm, jaw),
            (size.eight_length_mm, 2.0 * size.tip_mm + wire),
            (size.leg_gap_mm, 2.5),
        ] {
            assert!((found - by_hand).abs() < 1e-9, "{found}, {by_hand} by hand");
        }
    }
}
