//! The search for a join: a joined pose, ways to it in both orders of work, what is proven of the best.

use super::infeasibility::too_wide_by;
use super::join::{InsertionPath, Join, RefusalBasis, Verdict, WorkOrder};
use super::pose_search::PoseOptimum;
use super::problem::{InsertionProblem, PlacedLink, Press, Reach};
use super::verify::prove;
use super::waypoint::Waypoint;
use crate::geometry::distance::Contact;
use crate::geometry::link::Forming;
use crate::math::sort::sort_by;

/// Half angles, as shares of the closed one, to fold to before joining where the design
/// leaves it open; the most folded that costs no clearance is taken.
const PART_FOLDED: [f64; 3] = [0.5, 0.3, 0.15];
/// What the search for a joined pose may miss of the most clearance, in wire diameters; a judgement:
/// of 509 designs refused within a twentieth of the ratio at which they turn, a search by chance from
/// sixteen random attitudes each found at least 1.2e-4 less than this search, and never more
/// (`tests/insertion.rs`), and near nothing the pose is sought to a fifth of this.
/// Between this below nothing and what is proven above it, the verdict is undecided.
const REST_BAND: f64 = 1e-4;
/// Likewise what the search for a path between joined pose and outside may miss; a judgement.
const SEARCH_BAND: f64 = 5e-4;
/// How closely a way is proven: this share of its clearance, within these limits, in wire
/// diameters.
const PROVEN_SHARE: f64 = 0.1;
const PROVEN: (f64, f64) = (1e-4, 0.02);
/// Clearance beyond that of the joined pose is of no use: no way can have more. In wires; so much more is
/// sought, since a proof takes some, and, where the quickest answer serves, as much less as the joined pose
/// may miss.
const SPARE: f64 = 0.01;
/// From waist to tip, in wires: where the search finds no way for links longer than this, that
/// says more of the search, which loses them at about 200, than of the links.
const LONGEST: f64 = 100.0;
/// A lobe pressed nearly shut still has this bore, in wires: its sides do not quite meet.
const NEARLY_SHUT: f64 = 0.2;
/// The gentlest press tried of a lobe that is turned, as a fraction of the way from nearly shut to
/// the finished bore; and how much of the clearance of the hardest press a gentler one must leave.
const PRESSED: f64 = 0.4;
const KEPT: f64 = 0.5;
/// Halvings when looking for the least springing.
const SPRINGINGS: usize = 5;

/// The join of `incoming` through both lobes of `receiving`.
///
/// # Examples
/// ```
/// use linkfold::motion::insertion::{Verdict, join};
/// use linkfold::geometry::link::{Forming, ToolDimensions};
/// let link = Forming::new(ToolDimensions::usual(1.0, 12.0))?; // wire and mandrel, mm
/// let found = join(&link, &link);
/// assert_eq!(found.best().verdict, Verdict::Passes);
/// assert!(found.best().at_least > 0.0);
/// # Ok::<(), linkfold::geometry::link::FormError>(())
/// ```
pub fn join(receiving: &Forming, incoming: &Forming) -> Join {
    joined(JoinSearch::of_pair(receiving, incoming), incoming, false)
}

/// The join of `incoming` into a row: through both lobes of `receiving`, the nearest that it goes
/// through, and of those of `others` that it goes through as well, past the rest of them.
///
/// Where wires are unequal the thickest of them is kept clear of everywhere: "passes" is proven, a
/// refusal may be too strict by half their difference.
pub fn join_in_row(receiving: &Forming, incoming: &Forming, others: &[PlacedLink]) -> Join {
    let scene = InsertionProblem::in_row(&receiving.fold, &incoming.fold, others);
    joined(JoinSearch::new(scene, receiving, incoming), incoming, true)
}

/// The most clearance found for `incoming` in a row, as [`join_in_row`] takes it, mm, unproven:
/// quick, for searches. The leading lobe is pressed as the design says, or nearly shut.
pub fn max_clearance_in_row(receiving: &Forming, incoming: &Forming, others: &[PlacedLink]) -> f64 {
    let scene = InsertionProblem::in_row(&receiving.fold, &incoming.fold, others);
    let mut task = JoinSearch::new(scene, receiving, incoming).unproven();
    if task.rest() <= 0.0 {
        return task.rest();
    }
    let bore = incoming.setting.threading_bore.unwrap_or_else(|| task.nearly_shut());
    let clearance =
        [false, true].map(|turned| least(&task.pressed_waypoints(Press { bore, turned })));
    clearance[0].max(clearance[1])
}

/// Both orders of work; where the design leaves the threading bore out and `presses`, with the
/// leading lobe pressed as well, if it does not go otherwise.
fn joined(mut task: JoinSearch, incoming: &Forming, presses: bool) -> Join {
    task.seat = task.scene.seated_closely(task.seat, &mut task.near);
    let setting = &incoming.setting;
    let asked = setting.threading_bore.filter(|bore| *bore < incoming.eight.bore());
    let looks = presses && setting.threading_bore.is_none() && task.rest() > 0.0;
    let mut pressed = None;
    if asked.is_some() || (looks && least(&task.waypoints(0.0)) <= 0.0) {
        let path = task.pressed(asked);
        if path.verdict == Verdict::Passes || asked.is_some() {
            return Join { rest: task.rest(), rest_pose: task.seat.pose, paths: vec![path] };
        }
        pressed = Some(path);
    }
    let flat = task.path(WorkOrder::FlatThenFolded, 0.0);
    let folded = task.folded_first(setting.open_tip_gap, flat.at_most);
    let mut paths = vec![flat, folded];
    paths.extend(pressed);
    if setting.open_tip_gap.is_some() {
        paths.reverse();
        return Join { rest: task.rest(), rest_pose: task.seat.pose, paths };
    }
    // Best answer first; of like answers, the one that more is proven of, else that with more clearance.
    sort_by(&mut paths, |a, b| {
        let rank = |path: &InsertionPath| match path.verdict {
            Verdict::Passes => 0,
            Verdict::PassesIfSprung => 1,
            Verdict::Undecided => 2,
            Verdict::DoesNotPass => 3,
        };
        let most = |a: f64, b: f64| b.total_cmp(&a);
        rank(a).cmp(&rank(b)).then(most(a.at_least, b.at_least)).then(most(a.at_most, b.at_most))
    });
    Join { rest: task.rest(), rest_pose: task.seat.pose, paths }
}

/// The most clearance found on a way with the flat eight threaded, mm, unproven: quick, for
/// maps and searches. At most that of the joined pose, of which it may stop 1e-4 of a wire short; just that where
/// it is below zero. Motions between waypoints are looked at half-way.
///
/// # Examples
/// ```
/// use linkfold::motion::insertion::max_clearance;
/// use linkfold::geometry::link::{Forming, ToolDimensions};
/// let link = Forming::new(ToolDimensions::usual(1.0, 12.0))?; // wire and mandrel, mm
/// assert!(max_clearance(&link, &link) > 0.0);
/// # Ok::<(), linkfold::geometry::link::FormError>(())
/// ```
pub fn max_clearance(receiving: &Forming, incoming: &Forming) -> f64 {
    let mut task = JoinSearch::of_pair(receiving, incoming).quick();
    if task.rest() <= 0.0 {
        return task.rest();
    }
    least(&task.waypoints(0.0))
}

/// Whether [`max_clearance`], not stopped short, is no less than `wanted` mm: quicker, since nothing is searched
/// further.
///
/// # Examples
/// ```
/// use linkfold::motion::insertion::{max_clearance, reaches_clearance};
/// use linkfold::geometry::link::{Forming, ToolDimensions};
/// let link = Forming::new(ToolDimensions::usual(1.0, 12.0))?; // wire and mandrel, mm
/// let most = max_clearance(&link, &link);
/// assert!(reaches_clearance(&link, &link, most));
/// assert!(!reaches_clearance(&link, &link, 1.01 * most));
/// # Ok::<(), linkfold::geometry::link::FormError>(())
/// ```
pub fn reaches_clearance(receiving: &Forming, incoming: &Forming, wanted: f64) -> bool {
    // A little more, so that what comes next does not begin at its limit.
    let enough = wanted.max(0.0) + SPARE * receiving.setting.wire.min(incoming.setting.wire);
    let scene = InsertionProblem::new(&receiving.fold, &incoming.fold);
    let mut task = JoinSearch::up_to(enough, scene, receiving, incoming).quick();
    if task.rest() <= 0.0 || task.rest() < wanted {
        return task.rest() >= wanted;
    }
    task.reaches(wanted) || {
        task.take_up_to(f64::INFINITY);
        task.reaches(wanted)
    }
}

/// Whether one order of work is proven to leave `margin` mm; the second is tried only where the
/// first is not.
pub fn is_proven(receiving: &Forming, incoming: &Forming, margin: f64) -> bool {
    let mut task = JoinSearch::of_pair(receiving, incoming);
    let flat = task.path(WorkOrder::FlatThenFolded, 0.0);
    let asked = incoming.setting.open_tip_gap;
    let leaves = |path: &InsertionPath| path.verdict == Verdict::Passes && path.at_least >= margin;
    (asked.is_none() && leaves(&flat)) || leaves(&task.folded_first(asked, flat.at_most))
}

/// As [`max_clearance`], mm, but the least on the way also where the joined pose has no clearance, so that
/// a search over shapes meets no step where a joined pose is first found.
pub fn path_clearance(receiving: &Forming, incoming: &Forming) -> f64 {
    least(&JoinSearch::of_pair(receiving, incoming).unproven().waypoints(0.0))
}

struct JoinSearch {
    scene: InsertionProblem,
    seat: PoseOptimum,
    wire: f64,
    /// No pose is searched past this clearance, mm.
    enough: f64,
    /// Beyond the joined pose's clearance no way is searched by more than this, mm.
    spare: f64,
    /// Halvings of the motions between waypoints that are looked at; none where they are proven afterwards.
    halvings: u32,
    /// How the leading lobe is pressed until it is through.
    press: Option<Press>,
    near: Vec<Contact>,
}

impl JoinSearch {
    fn of_pair(receiving: &Forming, incoming: &Forming) -> JoinSearch {
        let scene = InsertionProblem::new(&receiving.fold, &incoming.fold);
        JoinSearch::new(scene, receiving, incoming)
    }

    fn new(scene: InsertionProblem, receiving: &Forming, incoming: &Forming) -> JoinSearch {
        JoinSearch::up_to(f64::INFINITY, scene, receiving, incoming)
    }

    /// A search that takes no pose past `enough` mm of clearance.
    fn up_to(
        enough: f64,
        scene: InsertionProblem,
        receiving: &Forming,
        incoming: &Forming,
    ) -> JoinSearch {
        let wire = receiving.setting.wire.min(incoming.setting.wire);
        let mut near = Vec::new();
        let seat = scene.seated(enough, &mut near);
        let spare = SPARE * wire;
        JoinSearch { scene, seat, wire, enough, spare, halvings: 0, press: None, near }
    }

    /// The same for ways of which nothing is proven.
    fn unproven(self) -> JoinSearch {
        JoinSearch { halvings: 2, ..self }
    }

    /// The same where the quickest answer serves.
    fn quick(self) -> JoinSearch {
        JoinSearch { halvings: 1, spare: -REST_BAND * self.wire, ..self }
    }

    /// The same pair anew, with poses of up to `enough` mm of clearance.
    fn take_up_to(&mut self, enough: f64) {
        self.enough = enough;
        self.seat = self.scene.seated(enough, &mut self.near);
    }

    fn rest(&self) -> f64 {
        self.seat.distance - self.scene.contact_distance
    }

    fn waypoints(&mut self, open: f64) -> Vec<Waypoint> {
        self.waypoints_down_to(open, f64::NEG_INFINITY)
    }

    /// As far as the first that has less clearance than `wanted` mm.
    fn waypoints_down_to(&mut self, open: f64, wanted: f64) -> Vec<Waypoint> {
        let enough = (self.rest() + self.spare).max(0.0).min(self.enough).max(wanted);
        let (press, seat) = (self.press, self.seat);
        let reach = Reach { enough, wanted, halvings: self.halvings };
        self.scene.waypoints(open, press, seat, reach, &mut self.near)
    }

    /// Whether the way with the eight held flat has `wanted` mm throughout.
    fn reaches(&mut self, wanted: f64) -> bool {
        least(&self.waypoints_down_to(0.0, wanted)) >= wanted
    }

    fn nearly_shut(&self) -> f64 {
        let eight = &self.scene.incoming.fold.eight;
        (NEARLY_SHUT * self.wire).max(eight.waist_gap()).min(eight.bore())
    }

    /// Waypoints with the leading lobe pressed so, the flat eight threaded.
    fn pressed_waypoints(&mut self, press: Press) -> Vec<Waypoint> {
        self.press = Some(press);
        let waypoints = self.waypoints(0.0);
        self.press = None;
        waypoints
    }

    /// The flat eight threaded with its leading lobe pressed to the bore `asked` for, mm, else by
    /// the gentlest press tried that keeps half the clearance of the hardest: the less the lobe is
    /// pressed, the less the metal is strained. Turned or not, whichever leaves more.
    fn pressed(&mut self, asked: Option<f64>) -> InsertionPath {
        let (own, shut) = (self.scene.incoming.fold.eight.bore(), self.nearly_shut());
        let hardest = asked.unwrap_or(shut);
        let mut press = Press { bore: hardest, turned: false };
        let mut way = self.pressed_waypoints(press);
        // No path has more than the joined pose.
        if least(&way) < KEPT * self.rest() {
            let turned = Press { turned: true, ..press };
            let other = self.pressed_waypoints(turned);
            if least(&other) > least(&way) {
                (press, way) = (turned, other);
            }
        }
        let most = least(&way);
        if asked.is_none() && most > 0.0 {
            // Straight, the lobe's two wires and its bore lie across the bore it goes through.
            let across = own - 2.0 * self.wire - 2.0 * KEPT * most;
            let gentlest = if press.turned { shut + PRESSED * (own - shut) } else { across };
            for bore in [gentlest, 0.5 * (gentlest + shut)] {
                if bore <= shut {
                    break;
                }
                let gentler = Press { bore, ..press };
                let other = self.pressed_waypoints(gentler);
                if least(&other) >= KEPT * most {
                    (press, way) = (gentler, other);
                    break;
                }
            }
        }
        self.press = Some(press);
        let path = self.proven(WorkOrder::FlatThenFolded, 0.0, way);
        self.press = None;
        path
    }

    /// `flat` is the most clearance of the way with the eight held flat.
    fn folded_first(&mut self, open_tip_gap: Option<f64>, flat: f64) -> InsertionPath {
        let fold = self.scene.incoming.fold;
        if let Some(gap) = open_tip_gap {
            let asked = fold.opened_to_gap(gap);
            let path = self.path(WorkOrder::FoldedThenJoined, asked.half_angle);
            // Sprung, it opens to flat at most.
            let settled = path.verdict == Verdict::Passes || flat <= 0.0;
            return if settled { path } else { self.sprung(path) };
        }
        let close = SEARCH_BAND * self.wire;
        let (mut best, mut most) = ((0.0, Vec::new()), f64::NEG_INFINITY);
        for fraction in PART_FOLDED {
            let open = fraction * fold.half_angle;
            // Given up as soon as it has no more than the best so far.
            let way = self.waypoints_down_to(open, most + close);
            let least = least(&way);
            if best.1.is_empty() || least > most + close {
                (best, most) = ((open, way), least);
            }
            if least > self.rest() - close {
                break;
            }
        }
        self.proven(WorkOrder::FoldedThenJoined, best.0, best.1)
    }

    /// The least springing beyond `asked` that passes, if any does.
    fn sprung(&mut self, asked: InsertionPath) -> InsertionPath {
        let fold = self.scene.incoming.fold;
        let (mut passes, mut fails) = (0.0, asked.open);
        for _ in 0..SPRINGINGS {
            let middle = 0.5 * (passes + fails);
            if least(&self.waypoints(middle)) > 0.0 { passes = middle } else { fails = middle }
        }
        let path = self.path(WorkOrder::FoldedThenJoined, passes);
        if path.verdict != Verdict::Passes {
            return asked;
        }
        let sprung = path.open_tip_gap - fold.opened_to(asked.open).tip_gap();
        InsertionPath { verdict: Verdict::PassesIfSprung, sprung, ..path }
    }

    fn path(&mut self, order: WorkOrder, open: f64) -> InsertionPath {
        let waypoints = self.waypoints(open);
        self.proven(order, open, waypoints)
    }

    /// What is proven of the way through `waypoints`, the fold held at the half angle `open`.
    fn proven(&mut self, order: WorkOrder, open: f64, waypoints: Vec<Waypoint>) -> InsertionPath {
        let found = least(&waypoints);
        let d = self.wire;
        let opened = self.scene.incoming.fold.opened_to(open);
        let threaded = self.press.map_or(opened, |press| opened.pressed_to(press.bore));
        let tolerance = (PROVEN_SHARE * found).clamp(PROVEN.0 * d, PROVEN.1 * d);
        let least_wanted = -SEARCH_BAND * d - tolerance;
        let proof = prove(&self.scene, waypoints, tolerance, least_wanted, &mut self.near);
        let (verdict, argument) = if proof.at_least > 0.0 {
            (Verdict::Passes, None)
        } else if too_wide_by(&self.scene.receiving.fold, &threaded).is_some() {
            (Verdict::DoesNotPass, Some(RefusalBasis::Section))
        } else if self.rest() < -REST_BAND * d {
            (Verdict::DoesNotPass, Some(RefusalBasis::Rest))
        } else if proof.at_most > -SEARCH_BAND * d
            || self.scene.incoming.fold.eight.tip() > LONGEST * d
        {
            (Verdict::Undecided, None)
        } else {
            (Verdict::DoesNotPass, Some(RefusalBasis::Search))
        };
        InsertionPath {
            order,
            verdict,
            argument,
            open,
            threading_bore: self.press.map(|press| press.bore),
            open_tip_gap: opened.tip_gap(),
            sprung: 0.0,
            at_least: proof.at_least,
            at_most: proof.at_most,
            tightest: proof.tightest,
            place: proof.place,
            waypoints: proof.waypoints,
            pivot: self.scene.pivot(),
        }
    }
}

fn least(waypoints: &[Waypoint]) -> f64 {
    waypoints.iter().map(|s| s.clearance).fold(f64::INFINITY, f64::min)
}
