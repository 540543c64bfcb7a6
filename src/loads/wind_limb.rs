//! One limb in the wind: what it meets and what gives way first.

use std::f64::consts::PI;

use super::wind_area::{HINGE_FORCE, LIMB_FORCE, PRESSURE};
use super::wind_bending::{Bending, Rider, along, cantilever, widths};
use super::wind_codes::{BOLT_BENDS, BUSHING_EDGE, LIMB_FLOPS, LIMB_ROCKS};
use super::wind_limit::{Input, Limit, When, input};
use crate::finding::Severity;
use crate::fit::FittedFigure;
use crate::geometry::{BoardPoint, OnLimb, Outline};
use crate::model::{Figure, Flutes, FrameMember, Joint, Limb, Material, Mount, SheetType};
use crate::units::print::{self, decimal};
use crate::units::{MetrePerSec, Mm, System};

/// Standard gravity, m/s2.
const GRAVITY: f64 = 9.806_65;
/// Sheets bend and fold at this share of what is known of them: long outdoors, and
/// plastic at 60 degrees has half its strength (common practice, no source).
pub(super) const SHEET_FACTOR: f64 = 3.0;
/// On yield, of bolts (common practice, no source).
const STEEL_FACTOR: f64 = 1.5;
/// How far a limb may come to the board in the gust in which it runs, mm.
pub(super) const SCRAPE: f64 = 1.0;
/// Play of a bolt in its bushing, and of a limb in its guide, mm.
pub(super) const SLOP: f64 = 0.3;
/// Strouhal number of a flat plate across the wind (from memory).
const STROUHAL: f64 = 0.15;

/// A limb in the wind.
#[derive(Clone, Debug)]
pub struct LimbWind {
    /// Its area, m2.
    pub area: f64,
    /// Distance of the area's centre from the pivot, m.
    pub centre: f64,
    /// Force on it and on what rides on it, N for each (m/s)^2.
    pub force: f64,
    /// Out-of-plane moment at its pivot, N.m for each (m/s)^2; a limb that slides has
    /// none.
    pub moment: Option<f64>,
    /// How far it leaves its plane along its axis; `None` where its sheet is not known, or
    /// what holds it.
    pub sway: Option<Sway>,
    /// What may give way.
    pub limits: Vec<Limit>,
    /// The gust at which it begins to flutter.
    pub flutters: Option<MetrePerSec>,
    /// What that was computed from.
    pub flutter_inputs: Vec<Input>,
    /// Largest gust in which this limb and its figure pass every check of the moving
    /// state.
    pub max_run: MetrePerSec,
    /// Largest gust in which they pass every check of the parked state.
    pub max_stand: MetrePerSec,
}

/// How far a limb on a bolt leaves its plane, along its axis.
///
/// The play of its bolt tilts it straight; the wind bends it by the curve of a cantilever,
/// which begins level where its washers hold it.
#[derive(Clone, Debug, PartialEq)]
pub struct Sway {
    /// The tilt that the bolt's play allows, mm for each mm from the bolt.
    pub tilt: f64,
    /// Of its arm and of its tail: how far it reaches from the bolt, mm, and by how much that
    /// end bends, mm for each (m/s)^2.
    pub ends: [(f64, f64); 2],
    /// How far from the bolt its washers hold it, mm: there the bending begins.
    pub root: f64,
    /// Which share of that bending arm and tail have at even steps from there to their ends.
    pub curves: [Vec<f64>; 2],
    /// How steep arm and tail stand at their ends then, mm for each mm and each (m/s)^2:
    /// nowhere steeper.
    pub slopes: [f64; 2],
    /// Which of its numbers are typical ones.
    pub typical: Vec<&'static str>,
    /// Whether it rests on a word the maker left out.
    pub left_out: bool,
}

impl Sway {
    /// What it leaves its plane by so far out on arm and tail at most: mm in calm air, and mm
    /// more for each (m/s)^2.
    #[must_use]
    pub fn at(&self, places: [f64; 2]) -> (f64, f64) {
        let calm = self.tilt * places[0].max(places[1]);
        (calm, self.bends(0, places[0]).max(self.bends(1, places[1])))
    }

    /// Which share of the bending of its end the arm (0) or the tail (1) has so far out.
    fn share(&self, side: usize, place: f64) -> f64 {
        let length = self.ends[side].0 - self.root;
        if length > 0.0 { along(&self.curves[side], (place - self.root) / length) } else { 0.0 }
    }

    /// What arm or tail bend by so far out, mm for each (m/s)^2.
    fn bends(&self, side: usize, place: f64) -> f64 {
        self.ends[side].1 * self.share(side, place)
    }

    /// The side that leaves its plane by more at a gust, so far out: the arm (0), the tail (1).
    fn further(&self, places: [f64; 2], gust: MetrePerSec) -> usize {
        let [arm, tail] =
            [0, 1].map(|n| self.tilt * places[n] + self.bends(n, places[n]) * gust.0 * gust.0);
        usize::from(tail > arm)
    }
}

/// Whether a word was left out and a default taken: what was assumed names the clause
/// that would settle it.
pub(super) fn left_out(limb: &Limb, word: &str) -> bool {
    limb.assumed.iter().any(|n| n.settle.split_ascii_whitespace().any(|w| w == word))
}

/// Whether the maker wrote what a limb's sheet is and bears.
pub(super) fn sheet_said(limb: &Limb) -> bool {
    !left_out(limb, "sheet") && limb.sheet.as_deref().is_some_and(|s| !s.typical)
}

/// "sheet", where its numbers are typical ones.
pub(super) fn typical_sheet(limb: &Limb) -> Option<&'static str> {
    (!sheet_said(limb)).then_some("sheet")
}

/// Whether the maker wrote which thread a limb's bolt has.
pub(super) fn bolt_said(limb: &Limb) -> bool {
    !left_out(limb, "bolt")
}

/// Whether the maker wrote what the bolt's steel bears and how it is tightened.
pub(super) fn steel_said(limb: &Limb) -> bool {
    bolt_said(limb) && limb.bolt.as_ref().is_some_and(|b| !b.typical)
}

/// The washers of a limb: their diameter, and whether it was left out.
pub(super) fn washer(limb: &Limb) -> Option<(Mm, bool)> {
    let said = limb.build.washer.map(|d| (d, false));
    said.or_else(|| limb.bolt.as_ref().and_then(|b| b.washer).map(|d| (d, true)))
}

/// Over how long a piece a bolt is held.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Held {
    /// The length, mm.
    pub length: f64,
    /// What is typical of it.
    pub typical: Option<&'static str>,
    /// Whether it rests on a frame that was not drawn.
    pub left_out: bool,
}

/// Depth of a frame where none is drawn, mm.
const FRAME: f64 = 38.0;

/// The length over which the bolt is held: the bushing's own; in front as long as board
/// and frame behind the pivot; behind, where nothing longer is said, the limb's own
/// sheet; of a limb that rides the sheet of what carries it.
pub(super) fn held_over(figure: &Figure, limb: &Limb) -> Option<Held> {
    if let Some(said) = limb.build.bushing_length {
        return Some(Held { length: said.0, typical: None, left_out: false });
    }
    let sheet = |s: &SheetType| s.thickness.map(|t| t.0);
    if let Some(carrier) = limb.carrier {
        let carrier = &figure.limbs[carrier];
        let length = carrier.sheet.as_deref().and_then(sheet)?;
        return Some(Held { length, typical: None, left_out: left_out(carrier, "sheet") });
    }
    match limb.mount {
        Mount::Behind => {
            let length = limb.sheet.as_deref().and_then(sheet)?;
            Some(Held { length, typical: None, left_out: false })
        }
        Mount::Front => {
            let board = figure.board.sheet.as_deref().and_then(sheet)?;
            let Joint::Pivot { at: Some(at), .. } = limb.joint else { return None };
            let frame = figure.frame.iter().filter(|m| lies_behind(m, at)).map(|m| m.depth.0);
            let drawn = !figure.frame.is_empty();
            let frame = if drawn { frame.fold(0.0, f64::max) } else { FRAME };
            let typical = Some("bushing as long as board and frame");
            Some(Held { length: board + frame, typical, left_out: !drawn })
        }
    }
}

/// Whether a sheet alone holds a limb upright: behind the board, or on a limb that carries
/// it, with no longer bushing said.
pub(super) fn on_sheet_alone(limb: &Limb) -> bool {
    limb.build.bushing_length.is_none() && (limb.mount == Mount::Behind || limb.carrier.is_some())
}

/// Area-weighted loads on a limb and all that rides on it, for each Pa.
#[derive(Clone, Debug)]
pub(super) struct Blown {
    /// Force, m2.
    pub force: f64,
    /// Its moment about the pivot, m3.
    pub moment: f64,
    riders: Vec<Rider>,
}

pub(super) fn blown(figure: &Figure, index: usize, depth: usize) -> Option<Blown> {
    let limb = &figure.limbs[index];
    let outline = limb.silhouette()?;
    let force = HINGE_FORCE * outline.area().0 * 1e-6;
    let c = outline.centroid();
    let mut sum = Blown { force, moment: force * libm::hypot(c.x, c.y) * 1e-3, riders: Vec::new() };
    let on_it = figure.limbs.iter().enumerate().filter(|(_, l)| l.carrier == Some(index));
    for (n, rider) in on_it.filter(|_| depth < figure.limbs.len()) {
        let (Joint::Pivot { at: Some(at), .. }, Some(load)) =
            (&rider.joint, blown(figure, n, depth + 1))
        else {
            continue;
        };
        let at = limb.own(*at)?;
        // Stretched out, the worst of its poses.
        sum.force += load.force;
        sum.moment += load.moment + load.force * libm::hypot(at.x, at.y) * 1e-3;
        sum.riders.push(Rider { at: at.x, force: load.force, moment: load.moment });
    }
    Some(sum)
}

/// A limb in the wind; `None` where its shape is not known. `mass` is its weight, kg, and
/// `run` the gust it moves in, `over` how far out it stands over its board, arm and tail.
#[must_use]
pub fn of_limb(
    fitted: &FittedFigure,
    index: usize,
    mass: Option<f64>,
    (run, over): (MetrePerSec, Option<[f64; 2]>),
) -> Option<LimbWind> {
    let figure = &*fitted.figure;
    let limb = &figure.limbs[index];
    if limb.poisoned {
        return None;
    }
    let outline = limb.silhouette()?;
    let blown = blown(figure, index, 0)?;
    let c = outline.centroid();
    let pivots = matches!(limb.joint, Joint::Pivot { .. });
    let moment = pivots.then_some(blown.moment * PRESSURE);
    let held = held_over(figure, limb);
    let mut limits = Vec::new();
    let sway = moment.and_then(|_| sway(figure, limb, &outline, &blown));
    if let Some(m) = moment {
        limits.extend(flops(limb, &outline, &blown, sway.as_ref(), (run, over, figure.system)));
        limits.extend(bolt(limb, m));
        limits.extend(bushing(limb, m, held, mass));
        if on_sheet_alone(limb) {
            limits.extend(rocks(limb, m));
        }
    }
    let flutter = pivots.then(|| flutters(limb, &outline)).flatten();
    Some(LimbWind {
        area: outline.area().0 * 1e-6,
        centre: libm::hypot(c.x, c.y) * 1e-3,
        force: blown.force * PRESSURE,
        moment,
        sway,
        limits,
        flutters: flutter.as_ref().map(|(v, _)| *v),
        flutter_inputs: flutter.map_or_else(Vec::new, |(_, inputs)| inputs),
        max_run: super::wind_limit::STRONGEST,
        max_stand: super::wind_limit::STRONGEST,
    })
}

/// The modulus along the limb, and whether the way of the flutes was left out.
pub(super) fn modulus(limb: &Limb) -> Option<(f64, bool)> {
    let sheet = limb.sheet.as_deref()?;
    let fluted = sheet.material == Some(Material::Corrugated);
    match limb.build.flutes {
        Some(Flutes::Across) => Some((sheet.stiffness_across.or(sheet.stiffness)?.0, false)),
        said => Some((sheet.stiffness?.0, fluted && said.is_none())),
    }
}

/// Arm and tail of a limb bent by each Pa, of a modulus of 1 Pa.
fn bent(outline: &Outline<OnLimb>, thick: Mm, washer: Mm, blown: &Blown) -> [Bending; 2] {
    [1.0, -1.0].map(|end| {
        cantilever(outline, thick.0, washer.0 / 2.0, end, &blown.riders).unwrap_or_default()
    })
}

/// What is typical of how a limb's sheet bends.
fn typical_bending(limb: &Limb, any_way: bool) -> Vec<&'static str> {
    let flutes = any_way.then_some("run of the flutes (along)");
    typical_sheet(limb).into_iter().chain(flutes).collect()
}

/// How a limb leaves its plane.
fn sway(figure: &Figure, limb: &Limb, outline: &Outline<OnLimb>, blown: &Blown) -> Option<Sway> {
    let (washer, no_washer) = washer(limb)?;
    let (e, any_way) = modulus(limb)?;
    let thick = limb.sheet.as_deref()?.thickness?;
    limb.bolt.as_ref()?;
    let held = held_over(figure, limb)?;
    let bounds = outline.bounds();
    let (reach, tail) = (bounds.high.x, -bounds.low.x);
    let alone = limb.mount == Mount::Behind || limb.carrier.is_some();
    // Behind the board, and on another limb, washers hold a limb upright, not the hole in a
    // sheet; where they were not said, such as are wanted there.
    let wide = if no_washer { washer.0.max(reach / 8.0) } else { washer.0 };
    let upright = if alone { held.length.max(0.75 * wide) } else { held.length };
    let [arm, back] = bent(outline, thick, washer, blown);
    let end = |bent: &Bending| bent.end / e * PRESSURE * 1e3;
    let slope = |bent: &Bending| bent.slope / e * PRESSURE;
    let mut typical = typical_bending(limb, any_way);
    typical.extend(held.typical);
    Some(Sway {
        tilt: SLOP / upright,
        ends: [(reach, end(&arm)), (tail, end(&back))],
        root: washer.0 / 2.0,
        slopes: [slope(&arm), slope(&back)],
        curves: [arm.curve, back.curve],
        typical,
        left_out: ["sheet", "outline", "bolt"].iter().any(|w| left_out(limb, w))
            || held.left_out
            || alone && no_washer,
    })
}

/// A gap to the board that is wide enough for the gust a limb moves in; nothing where no
/// spacer is so long.
pub(super) fn wider((calm, per_gust2): (f64, f64), run: MetrePerSec, system: System) -> String {
    let wants = Mm(calm + per_gust2 * run.0 * run.0 + SCRAPE);
    match wants <= WIDEST_GAP {
        true => format!(", or a wider gap to the board (`gap {}`)", print::size_up(wants, system)),
        false => String::new(),
    }
}

/// A limb stands no further off its board on spacers (common practice, no source).
const WIDEST_GAP: Mm = Mm(60.0);

/// The scrape while it moves, and the fold while it stands.
fn flops(
    limb: &Limb,
    outline: &Outline<OnLimb>,
    blown: &Blown,
    sway: Option<&Sway>,
    (run, over, system): (MetrePerSec, Option<[f64; 2]>, System),
) -> Vec<Limit> {
    let mut limits = Vec::new();
    let (Some(sheet), Some((washer, no_washer)), Some((e, any_way))) =
        (limb.sheet.as_deref(), washer(limb), modulus(limb))
    else {
        return limits;
    };
    let Some(t) = sheet.thickness else { return limits };
    let typical = typical_bending(limb, any_way);
    let name = limb.said();
    let inputs = vec![
        input("area", outline.area().0 * 1e-6, "m2"),
        input("force_coefficient", LIMB_FORCE, "1").fixed(),
        input("thickness", t.0, "mm").given_or_typical(sheet_said(limb)),
        input("modulus", e * 1e-6, "MPa").given_or_typical(sheet_said(limb)),
        input("washer", washer.0, "mm").given_or_typical(!no_washer),
        input("root", washer.0 / 2.0, "mm"),
    ];
    if let (Some(bolt), Some(sway)) = (&limb.bolt, sway) {
        // Beyond the board's edge there is nothing to scrape.
        let ends = sway.ends.map(|(reach, _)| reach);
        let at = over.unwrap_or(ends);
        let (tilt, per_gust2) = sway.at(at);
        // Arm or tail, whichever it is that comes nearest to the board.
        let side = sway.further(at, run);
        let within = at[side] < ends[side] - 1.0;
        let gap = limb.build.gap.unwrap_or(bolt.diameter).0;
        let mut typical = sway.typical.clone();
        if limb.build.gap.is_none() {
            typical.push("gap to the board of one nut and washer");
        }
        let mut inputs = inputs.clone();
        inputs.extend([
            input("gap", gap, "mm").given_or_typical(limb.build.gap.is_some()),
            input("tilt", tilt, "mm"),
            input("over_the_board_to", at[side], "mm"),
            input("reaches", ends[side], "mm"),
            input("bends_there_of_its_end", sway.share(side, at[side]), "1"),
            input("held_over", SLOP / sway.tilt, "mm"),
        ]);
        let sign = if side == 1 { -1.0 } else { 1.0 };
        inputs.push(input("play", SLOP, "mm").typical());
        inputs.extend(widths(outline, washer.0 / 2.0, sign));
        limits.push(Limit {
            code: &LIMB_FLOPS,
            when: When::Run,
            severity: LIMB_FLOPS.severity,
            goes: "it bends and scrapes",
            says: [
                match within {
                    true => format!("moves {name} by "),
                    false => format!("moves the end of {name} by "),
                },
                match within {
                    true => " where it leaves the board, and ".into(),
                    false => ", and ".into(),
                },
                " are free before it scrapes".into(),
            ],
            calm: tilt,
            per_gust2,
            bears: gap - SCRAPE,
            unit: "mm",
            inputs,
            typical,
            left_out: sway.left_out,
            help: format!(
                "take a stiffer sheet, a batten along it{}{}.{}",
                wider((tilt, per_gust2), run, system),
                stiffer(sheet),
                strip_test(sheet, t, e)
            ),
        });
    }
    if let Some(bending) = sheet.bending {
        let [arm, tail] = bent(outline, t, washer, blown);
        let sign = if tail.stress > arm.stress { -1.0 } else { 1.0 };
        let mut inputs = inputs;
        inputs.extend(widths(outline, washer.0 / 2.0, sign));
        inputs.extend([
            input("strength", bending.0 * 1e-6, "MPa").given_or_typical(sheet_said(limb)),
            input("factor", SHEET_FACTOR, "1").fixed(),
        ]);
        limits.push(Limit {
            code: &LIMB_FLOPS,
            when: When::Stand,
            severity: LIMB_FLOPS.severity,
            goes: "it folds",
            says: [
                format!("bends the sheet of {name} with "),
                ", and ".into(),
                " is a third of what folds it".into(),
            ],
            calm: 0.0,
            per_gust2: arm.stress.max(tail.stress) * PRESSURE * 1e-6,
            bears: bending.0 * 1e-6 / SHEET_FACTOR,
            unit: "MPa",
            inputs,
            typical,
            left_out: left_out(limb, "sheet") || left_out(limb, "outline"),
            help: "take a thicker sheet, put a batten along it, or bring it in before such wind."
                .into(),
        });
    }
    limits
}

/// What a limb of corrugated sheet would gain as plywood.
fn stiffer(sheet: &SheetType) -> &'static str {
    match sheet.material {
        Some(Material::Corrugated) => {
            "; plywood of 6 mm is about 45 times as stiff as corrugated sheet of 4 mm"
        }
        _ => "",
    }
}

/// What a strip of a corrugated sheet bends by as it is reckoned with, for a maker to try:
/// its stiffness differs by two from maker to maker (common practice, no source).
fn strip_test(sheet: &SheetType, thick: Mm, modulus: f64) -> String {
    const WIDE: f64 = 0.085;
    const LONG: f64 = 0.3;
    const MASS: f64 = 0.05;
    if sheet.material != Some(Material::Corrugated) {
        return String::new();
    }
    let inertia = WIDE * libm::pow(thick.0 * 1e-3, 3.0) / 12.0;
    // A load at the end of a cantilever: F L^3/(3 EI).
    let bends = MASS * GRAVITY * LONG * LONG * LONG / (3.0 * modulus * inertia) * 1e3;
    format!(
        " Try yours: 50 g hung 300 mm out bend a strip 85 mm wide by {} mm, as reckoned with here.",
        decimal(bends, 0)
    )
}

/// The bolt's bending by the gust on the limb.
fn bolt(limb: &Limb, moment: f64) -> Option<Limit> {
    let bolt = limb.bolt.as_ref()?;
    let yields = bolt.yields?.0 * 1e-6;
    let d = bolt.diameter.0;
    Some(Limit {
        code: &BOLT_BENDS,
        when: When::Stand,
        severity: BOLT_BENDS.severity,
        goes: "its bolt bends",
        says: [
            format!("bends the bolt of {} with ", limb.said()),
            ", and ".into(),
            " is two thirds of its yield".into(),
        ],
        calm: 0.0,
        per_gust2: moment * 1e3 * 32.0 / (PI * d * d * d),
        bears: yields / STEEL_FACTOR,
        unit: "MPa",
        inputs: vec![
            input("moment_per_gust2", moment, "N.m/(m/s)2"),
            input("diameter", d, "mm").given_or_typical(bolt_said(limb)),
            input("yield", yields, "MPa").given_or_typical(steel_said(limb)),
            input("factor", STEEL_FACTOR, "1").fixed(),
        ],
        typical: vec![match steel_said(limb) {
            true => "place of its bolt's smooth shank, at the board",
            false => "bolt of class 4.6 with its smooth shank at the board",
        }],
        left_out: left_out(limb, "bolt") || left_out(limb, "outline"),
        help: "take a thicker bolt, or a second board in front so that it is held at both ends; \
               where its thread lies at the board it bears about half."
            .into(),
    })
}

/// Pressure at the bushing's edge.
fn bushing(limb: &Limb, moment: f64, held: Option<Held>, mass: Option<f64>) -> Option<Limit> {
    if on_sheet_alone(limb) {
        return None;
    }
    let Held { length, typical: from, left_out: no_frame } = held?;
    let (bolt, bushing) = (limb.bolt.as_ref()?, limb.bushing.as_ref()?);
    let (d, bears) = (bolt.diameter.0, bushing.pressure?.0 * 1e-6);
    let weight = mass.unwrap_or(0.0) * GRAVITY;
    let bushing_said = !bushing.typical && !left_out(limb, "bushing");
    let mut typical: Vec<_> = (!bushing_said).then_some("bushing").into_iter().collect();
    typical.extend(from);
    Some(Limit {
        code: &BUSHING_EDGE,
        when: When::Stand,
        severity: BUSHING_EDGE.severity,
        goes: "its bushing is pressed out",
        says: [
            format!("presses the edge of the bushing of {} with ", limb.said()),
            ", and ".into(),
            " is what it takes".into(),
        ],
        calm: weight / (d * length),
        per_gust2: 6.0 * moment * 1e3 / (d * length * length),
        bears,
        unit: "MPa",
        inputs: vec![
            input("moment_per_gust2", moment, "N.m/(m/s)2"),
            input("weight", weight, "N"),
            input("bolt", d, "mm").given_or_typical(bolt_said(limb)),
            held_input(limb, length),
            input("bears", bears, "MPa").given_or_typical(bushing_said),
        ],
        typical,
        left_out: no_frame || ["bolt", "bushing", "outline"].iter().any(|w| left_out(limb, w)),
        help: "take a longer bushing: pressure falls with the square of its length.".into(),
    })
}

/// Over how long a piece the bolt is held, as an input.
fn held_input(limb: &Limb, length: f64) -> Input {
    input("length", length, "mm").given_or_worked(limb.build.bushing_length.is_some())
}

/// A bushing is to be so many times as long as its bolt is thick (common practice, no
/// source).
const LONG: f64 = 1.5;

/// A bushing so short that its bolt stands askew in it.
pub(super) fn stubby(figure: &Figure, limb: &Limb) -> Option<Limit> {
    if limb.mount == Mount::Behind && limb.build.bushing_length.is_none() {
        return None;
    }
    let (bolt, _) = (limb.bolt.as_ref()?, limb.bushing.as_ref()?);
    if limb.carrier.is_some() || !matches!(limb.joint, Joint::Pivot { .. }) {
        return None;
    }
    let held = held_over(figure, limb)?;
    let wanted = LONG * bolt.diameter.0;
    // Turned round, so that a shorter one asks more than it bears.
    Some(Limit {
        code: &BUSHING_EDGE,
        when: When::Run,
        severity: Severity::Warning,
        goes: "its bolt stands askew in its bushing",
        says: [
            format!("the bushing of {} wants ", limb.said()),
            format!(" of length for its {} bolt, and has ", bolt.name),
            String::new(),
        ],
        calm: wanted,
        per_gust2: 0.0,
        bears: held.length,
        unit: "mm",
        inputs: vec![
            input("bolt", bolt.diameter.0, "mm").given_or_typical(bolt_said(limb)),
            held_input(limb, held.length),
            input("times", LONG, "1").fixed(),
        ],
        typical: held.typical.into_iter().collect(),
        left_out: held.left_out || ["bolt", "bushing"].iter().any(|w| left_out(limb, w)),
        help: "put a member of the frame behind it, or take a longer bushing.".into(),
    })
}

/// The dent of the washers' edge in the sheet.
fn rocks(limb: &Limb, moment: f64) -> Option<Limit> {
    let (sheet, bolt) = (limb.sheet.as_deref()?, limb.bolt.as_ref()?);
    let (washer, no_washer) = washer(limb)?;
    let crush = sheet.crush?.0 * 1e-6;
    let (big, small) = (washer.0, bolt.diameter.0);
    let section = PI * (libm::pow(big, 4.0) - libm::pow(small, 4.0)) / (32.0 * big);
    if section.is_nan() || section <= 0.0 {
        return None;
    }
    Some(Limit {
        code: &LIMB_ROCKS,
        when: When::Stand,
        severity: LIMB_ROCKS.severity,
        goes: "its washers dent the sheet",
        says: [
            format!("presses the washers of {} into its sheet with ", limb.said()),
            ", and ".into(),
            " is half of what dents it".into(),
        ],
        calm: 0.0,
        per_gust2: moment * 1e3 / section,
        bears: crush / 2.0,
        unit: "MPa",
        inputs: vec![
            input("moment_per_gust2", moment, "N.m/(m/s)2"),
            input("washer", big, "mm").given_or_typical(!no_washer),
            input("bolt", small, "mm").given_or_typical(bolt_said(limb)),
            input("crush", crush, "MPa").given_or_typical(sheet_said(limb)),
        ],
        typical: typical_sheet(limb).into_iter().collect(),
        left_out: no_washer || ["sheet", "bolt", "outline"].iter().any(|w| left_out(limb, w)),
        help:
            "take larger washers on both sides: the pressure falls with the cube of their diameter."
                .into(),
    })
}

/// The wind at which eddies leave the limb as often as it would swing of itself.
fn flutters(limb: &Limb, outline: &Outline<OnLimb>) -> Option<(MetrePerSec, Vec<Input>)> {
    let sheet = limb.sheet.as_deref()?;
    let (t, areal, (e, _)) = (sheet.thickness?.0 * 1e-3, sheet.mass?.0, modulus(limb)?);
    let areal = areal + limb.build.paint.map_or(0.0, |p| p.0);
    let length = (outline.bounds().high.x - washer(limb)?.0.0 / 2.0) * 1e-3;
    let real = length > 0.0 && areal > 0.0;
    let frequency = 0.56 * (e * t * t * t / 12.0 / areal).sqrt() / (length * length);
    let bounds = outline.bounds();
    let width = outline.area().0 / (bounds.high.x - bounds.low.x) * 1e-3;
    let inputs = vec![
        input("modulus", e * 1e-6, "MPa").given_or_typical(sheet_said(limb)),
        input("thickness", t * 1e3, "mm").given_or_typical(sheet_said(limb)),
        input("sheet_and_paint", areal, "kg/m2"),
        input("length", length, "m"),
        input("mean_width", width, "m"),
        input("frequency", frequency, "Hz"),
    ];
    real.then_some((MetrePerSec(frequency * width / STROUHAL), inputs))
}

/// Whether a member of the frame lies behind a point of the board.
fn lies_behind(member: &FrameMember, at: BoardPoint) -> bool {
    let (along, to) = (member.to - member.from, at - member.from);
    let length = along.dot(along);
    let share = if length > 0.0 { (to.dot(along) / length).clamp(0.0, 1.0) } else { 0.0 };
    (to - along * share).length().0 <= member.width.0 / 2.0
}
