//! A whole figure in the wind: tipping, twisting, stakes, braces, guys, ballast, wall.

use super::stand_codes::{
    BOARD_BENDS, BRACE_BUCKLES, SLIDES, STAKES_PULL, TIPS_OVER, TWISTS, WALL_SCREWS_PULL,
};
use super::stand_soil::{Soil, buckles, soil};
use super::wind_area::{FIGURE_FORCE, PRESSURE, Silhouette, of_figure};
use super::wind_limit::{Input, Limit, When, input};
use super::{LoadedLimb, Site};
use crate::fit::FittedFigure;
use crate::model::{Anchor, Figure, Note, Stakes, Stays};
use crate::units::MetrePerSec;

/// Standard gravity, m/s2.
const GRAVITY: f64 = 9.806_65;
/// Against tipping, sliding and twisting (engineering practice for free-standing
/// walls; common practice, no source for figures).
const FACTOR: f64 = 1.5;
/// The wind may press off the middle by a quarter of the width (EN 1991-1-4:2005,
/// 7.4.3).
const ECCENTRIC: f64 = 0.25;
/// Softwood battens: density kg/m3, modulus Pa (EN 338, C16; from memory).
const WOOD: (f64, f64) = (450.0, 8.0e9);
/// Bending strength of softwood, MPa, class C16 (EN 338; from memory), over 1.5.
const WOOD_BENDS: f64 = 16.0 / 1.5;
/// What one screw of 5 mm, 40 mm deep in wood or in a plug, is reckoned to bear, N
/// (typical; common practice, no source).
const SCREW: f64 = 300.0;
/// A brace where the frame says nothing of its bars, m.
const BRACE: f64 = 0.038;

/// A figure in the wind.
#[derive(Clone, Debug)]
pub struct FigureWind {
    /// Area of board and limbs together, m2.
    pub area: f64,
    /// Height of its centre above the ground, m.
    pub height: f64,
    /// Its board's width, m.
    pub width: f64,
    /// Its weight, N.
    pub weight: f64,
    /// What may give way.
    pub limits: Vec<Limit>,
    /// Largest gust to run in, of the figure and all of its limbs.
    pub max_run: MetrePerSec,
    /// Largest gust to stand, of the figure and all of its limbs.
    pub max_stand: MetrePerSec,
    /// How many fixings hold it: what must be undone to bring it in.
    pub fixings: u32,
}

/// What was found of a figure's stand.
pub(super) struct Stood {
    pub wind: Option<FigureWind>,
    /// For each of its limbs.
    pub assumed: Vec<Note>,
    /// For each of its limbs.
    pub not_checked: Vec<Note>,
}

/// Per (m/s)^2 of the gust: force N, moment about the ground N.m, twist N.m.
struct Push<'a> {
    silhouette: &'a Silhouette,
    width: f64,
    force: f64,
    moment: f64,
    twist: f64,
}

/// One figure at work.
struct Stand<'a> {
    figure: &'a Figure,
    anchor: &'a Anchor,
    push: Push<'a>,
    soil: Soil,
    /// Its weight with ballast apart, N.
    weight: f64,
    limits: Vec<Limit>,
    assumed: Vec<Note>,
    not_checked: Vec<Note>,
}

/// The stand of a figure.
pub(super) fn of_figure_at(fitted: &FittedFigure, site: &Site, limbs: &[LoadedLimb]) -> Stood {
    let mut stood = Stood { wind: None, assumed: Vec::new(), not_checked: Vec::new() };
    let figure = &*fitted.figure;
    let Some(anchor) = &figure.anchor else {
        let what = "wind, tipping (no anchor)";
        stood.not_checked.push(Note::new(what, "anchor stakes 2 depth 600 mm diameter 25 mm"));
        return stood;
    };
    let Some(silhouette) = of_figure(fitted).filter(|_| figure.board.outline.is_some()) else {
        let what = "wind, tipping (no board outline)";
        stood.not_checked.push(Note::new(what, "board plywood-9 600 mm by 900 mm"));
        return stood;
    };
    let (soil, known) = soil(site.soil.as_deref());
    if (anchor.stakes.is_some() || anchor.ballast.is_some()) && !known {
        stood.assumed.push(Note::new("soil like lawn", "soil lawn"));
    }
    let force = PRESSURE * FIGURE_FORCE * silhouette.area;
    // The board's own: what reaches out beyond it is a small part of the area.
    let board = figure.board.outline.as_ref().map(crate::geometry::Outline::bounds);
    let width = board.map_or(silhouette.width, |b| (b.high.x - b.low.x) * 1e-3);
    let push = Push {
        silhouette: &silhouette,
        width,
        force,
        moment: force * silhouette.height,
        twist: force * width * ECCENTRIC,
    };
    let weight = weight(figure, limbs);
    let mut stand = Stand {
        figure,
        anchor,
        push,
        soil,
        weight,
        limits: Vec::new(),
        assumed: Vec::new(),
        not_checked: Vec::new(),
    };
    stand.all();
    let Stand { limits, assumed, not_checked, .. } = stand;
    stood.assumed.extend(assumed);
    stood.not_checked.extend(not_checked);
    stood.wind = Some(FigureWind {
        area: silhouette.area,
        height: silhouette.height,
        width,
        weight,
        limits,
        max_run: super::wind_limit::STRONGEST,
        max_stand: super::wind_limit::STRONGEST,
        fixings: fixings(anchor),
    });
    stood
}

/// What must be undone: stakes, braces and guys with their feet, screws.
fn fixings(anchor: &Anchor) -> u32 {
    let stays = |s: &Option<Stays>| s.map_or(0, |s| s.count);
    let stakes = anchor.stakes.map_or(0, |s| s.count);
    let all = stays(&anchor.braces).saturating_add(stays(&anchor.guys));
    stakes.saturating_add(all).saturating_add(anchor.wall_screws.unwrap_or(0))
}

/// Board, frame and limbs, N; what is not known weighs nothing, which is on the
/// cautious side here.
fn weight(figure: &Figure, limbs: &[LoadedLimb]) -> f64 {
    let board = figure.board.outline.as_ref().zip(figure.board.sheet.as_ref());
    let board = board.and_then(|(o, s)| Some(o.area().0 * 1e-6 * s.mass?.0)).unwrap_or(0.0);
    let frame: f64 = figure
        .frame
        .iter()
        .map(|m| m.from.distance(m.to).0 * m.width.0 * m.depth.0 * 1e-9 * WOOD.0)
        .sum();
    let moving: f64 = limbs.iter().filter_map(|l| l.mass).map(|m| m.mass.0).sum();
    (board + frame + moving) * GRAVITY
}

impl Stand<'_> {
    fn all(&mut self) {
        if let Some(screws) = self.anchor.wall_screws.filter(|n| *n > 0) {
            self.wall(screws);
            return;
        }
        let braces = self.anchor.braces.filter(|b| b.count > 0);
        let guys = self.anchor.guys.filter(|g| g.count > 0);
        let propped = match (braces, guys) {
            (Some(b), _) => self.stays(b, b.count, "brace"),
            // In one of the two directions half of them are slack.
            (None, Some(g)) => self.stays(g, g.count / 2, "guy"),
            (None, None) => None,
        };
        if propped.is_none() {
            self.tips(guys);
        }
        let tight = braces.map_or(guys.map_or(0, |g| g.count / 2), |b| b.count);
        if propped.is_none() || tight < 2 {
            self.twists();
        }
        self.slides();
        self.posts(propped);
    }

    fn push(&mut self, limit: Limit) {
        self.limits.push(limit);
    }

    fn name(&self) -> String {
        self.figure.name.value.clone()
    }

    /// What every limit here starts from.
    fn inputs(&self) -> Vec<Input> {
        vec![
            input("area", self.push.silhouette.area, "m2"),
            input("height", self.push.silhouette.height, "m"),
            input("width", self.push.width, "m"),
            input("force_coefficient", FIGURE_FORCE, "1").fixed(),
        ]
    }

    /// Depth and diameter of the stakes, m; says what is missing.
    fn stakes(&mut self) -> Option<(Stakes, f64, f64)> {
        let stakes = self.anchor.stakes.filter(|s| s.count > 0)?;
        match (stakes.depth, stakes.diameter) {
            (Some(depth), Some(diameter)) => Some((stakes, depth.0 * 1e-3, diameter.0 * 1e-3)),
            _ => {
                let settle = format!("anchor stakes {} depth 600 mm diameter 25 mm", stakes.count);
                self.missing("what the stakes hold (no depth or diameter)", settle);
                None
            }
        }
    }

    fn missing(&mut self, what: &str, settle: impl Into<String>) {
        if !self.not_checked.iter().any(|n| n.what == what) {
            self.not_checked.push(Note::new(what, settle));
        }
    }

    /// Members that stand upright, from the ground or nearly.
    fn uprights(&self) -> impl Iterator<Item = &crate::model::FrameMember> {
        self.figure.frame.iter().filter(|m| {
            let v = m.to - m.from;
            v.x.abs() < v.y.abs() && m.from.y.min(m.to.y) < 150.0
        })
    }

    /// How far apart the outer two of some posts, braces or stakes stand, m: as said,
    /// as the frame's uprights, or half the board's width.
    fn spacing(&mut self) -> f64 {
        if let Some(said) = self.anchor.stakes.and_then(|s| s.spacing) {
            return said.0 * 1e-3;
        }
        self.post_spacing().unwrap_or(self.push.width / 2.0)
    }

    fn post_spacing(&self) -> Option<f64> {
        let middle = |m: &crate::model::FrameMember| (m.from.x + m.to.x) / 2.0;
        let low = self.uprights().map(middle).fold(f64::INFINITY, f64::min);
        let high = self.uprights().map(middle).fold(f64::NEG_INFINITY, f64::max);
        (high > low).then_some((high - low) * 1e-3)
    }

    /// Braces, or guys of which `tight` hold: the level force at their upper ends, one
    /// by one, and what it does to bar, stake and ground. Returns their height, m.
    fn stays(&mut self, stays: Stays, tight: u32, what: &'static str) -> Option<f64> {
        let settle = format!("{what}s {} at 700 mm out 1200 mm", stays.count);
        let (Some(at), Some(out)) = (stays.at, stays.out) else {
            self.missing(&format!("what the {what}s hold (no height or foot)"), settle);
            return None;
        };
        let lifted = self.figure.board.lifted.0;
        let (h, o) = ((at.0 + lifted) * 1e-3, out.0 * 1e-3);
        let real = tight > 0 && h > 0.0 && o > 0.0;
        if !real {
            return None;
        }
        let length = libm::hypot(h, o);
        let spacing = self.post_spacing().unwrap_or(self.push.width / 2.0);
        let twist = if tight >= 2 { self.push.twist / spacing } else { 0.0 };
        let level = self.push.moment / (h * f64::from(tight)) + twist;
        let (along, up) = (level * length / o, level * h / o);
        let mut inputs = self.inputs();
        inputs.extend([
            input("stays", f64::from(stays.count), "1").given(),
            input("tight", f64::from(tight), "1"),
            input("at", h, "m").given(),
            input("out", o, "m").given(),
            input("spacing", spacing, "m"),
            input("level_per_gust2", level, "N/(m/s)2"),
        ]);
        if what == "brace" {
            self.brace(along, length, inputs.clone());
        }
        self.foot(along, up, stays.count, what, inputs);
        Some(h)
    }

    fn brace(&mut self, along: f64, length: f64, mut inputs: Vec<Input>) {
        let bar = self.figure.frame.iter().map(|m| m.width.0.min(m.depth.0) * 1e-3);
        let thinnest = bar.reduce(f64::min);
        let width = thinnest.unwrap_or(BRACE);
        inputs.extend([
            input("bar", width * 1e3, "mm"),
            input("length", length, "m"),
            input("modulus", WOOD.1 * 1e-6, "MPa").typical(),
        ]);
        let name = self.name();
        self.push(Limit {
            code: &BRACE_BUCKLES,
            when: When::Stand,
            severity: BRACE_BUCKLES.severity,
            goes: "a brace buckles",
            says: [
                format!("presses each brace of {name} with "),
                ", and ".into(),
                " is half of what buckles it".into(),
            ],
            calm: 0.0,
            per_gust2: along,
            bears: buckles(WOOD.1, width, length),
            unit: "N",
            inputs,
            typical: vec!["softwood bar as thick as the frame's"],
            left_out: false,
            help: "take thicker or shorter braces, or more of them.".into(),
        });
    }

    /// What holds the foot of a brace or guy: a stake like the figure's own, else its
    /// share of the ballast.
    fn foot(&mut self, along: f64, up: f64, count: u32, what: &str, mut inputs: Vec<Input>) {
        let name = self.name();
        if let Some((_, depth, diameter)) = self.stakes() {
            self.assumed.push(Note::new(
                format!("each {what}'s foot held by a stake like the figure's own"),
                "anchor stakes 4 depth 600 mm diameter 25 mm",
            ));
            let soil = self.soil;
            inputs.extend([
                input("depth", depth, "m").given(),
                input("diameter", diameter, "m").given(),
            ]);
            inputs.extend(soil.pull_inputs());
            self.push(Limit {
                code: &STAKES_PULL,
                when: When::Stand,
                severity: STAKES_PULL.severity,
                goes: "a stake pulls out",
                says: [
                    format!("pulls the foot of each {what} of {name} with "),
                    match soil.hard() {
                        true => format!(", and no stake goes into a {}: it holds ", soil.word),
                        false => ", and a stake like its own is reckoned to hold ".into(),
                    },
                    if soil.hard() { String::new() } else { " in wet ground".into() },
                ],
                calm: 0.0,
                per_gust2: along,
                bears: soil.pull(depth, diameter),
                unit: "N",
                inputs,
                typical: match soil.hard() {
                    true => Vec::new(),
                    false => vec!["hold of the ground (pull-test it)"],
                },
                left_out: false,
                help: match soil.hard() {
                    true => format!("weigh the {what}s' feet down, `ballast 20 kg`, or screw them fast."),
                    false => format!(
                        "drive longer stakes, set the {what}s' feet further out or their heads higher, \
                         or use more of them; then pull-test one."
                    ),
                },
            });
        } else if let Some(ballast) = self.anchor.ballast {
            inputs.push(input("ballast", ballast.0, "kg").given());
            self.push(Limit {
                code: &STAKES_PULL,
                when: When::Stand,
                severity: STAKES_PULL.severity,
                goes: "a foot lifts off",
                says: [
                    format!("lifts the foot of each {what} of {name} with "),
                    ", and its share of the ballast holds ".into(),
                    String::new(),
                ],
                calm: 0.0,
                per_gust2: up * FACTOR,
                bears: ballast.0 * GRAVITY / f64::from(count),
                unit: "N",
                inputs,
                typical: Vec::new(),
                left_out: false,
                help: "put more ballast on the feet, or drive stakes.".into(),
            });
        } else if self.anchor.stakes.is_none() {
            let what = format!("what holds the feet of the {what}s (no stakes, no ballast)");
            self.missing(&what, "anchor stakes 4 depth 600 mm diameter 25 mm");
        }
    }

    /// Stakes alone as posts in the ground, and the weight on its own base.
    fn tips(&mut self, guys: Option<Stays>) {
        let stakes = self.stakes();
        if stakes.is_none() && self.anchor.stakes.is_some() {
            return;
        }
        let height = self.push.silhouette.height;
        let posts = stakes.map_or(0.0, |(s, depth, diameter)| {
            f64::from(s.count) * self.soil.level(height, depth, diameter) * height
        });
        let base = self.base();
        let ballast = self.anchor.ballast.map_or(0.0, |b| b.0 * GRAVITY);
        let bears = posts + (self.weight + ballast) * base / 2.0;
        let mut inputs = self.inputs();
        inputs.extend([
            input("stakes_moment", posts, "N.m"),
            input("weight", self.weight, "N"),
            input("ballast", ballast, "N").given(),
            input("base", base, "m"),
            input("factor", FACTOR, "1").fixed(),
        ]);
        if let Some((s, depth, diameter)) = stakes {
            inputs.extend([
                input("stakes", f64::from(s.count), "1").given(),
                input("depth", depth, "m").given(),
                input("diameter", diameter, "m").given(),
                input("soil_lateral", self.soil.lateral * 1e-3, "kPa/m").typical(),
                input("stake_level_force", self.soil.level(height, depth, diameter), "N"),
            ]);
        }
        let name = self.name();
        let slack = match guys {
            Some(_) => ", its guys being slack in one direction,",
            None => "",
        };
        self.push(Limit {
            code: &TIPS_OVER,
            when: When::Stand,
            severity: TIPS_OVER.severity,
            goes: "it tips over",
            says: [
                format!("tips {name}{slack} with "),
                " (1.5 times the moment), and its stand bears ".into(),
                String::new(),
            ],
            calm: 0.0,
            per_gust2: self.push.moment * FACTOR,
            bears,
            unit: "N.m",
            inputs,
            typical: match stakes {
                Some(_) if !self.soil.hard() => vec!["ground round the stakes"],
                _ => vec!["place of the weight, in the middle of the base"],
            },
            left_out: false,
            help: match self.soil.hard() {
                true => format!(
                    "no stake goes into a {}: put two braces behind it with weights on their feet, \
                     `braces 2 at 700 mm out 1200 mm  ballast 40 kg`, or screw it to a wall.",
                    self.soil.word
                ),
                false => "put two braces behind it, `braces 2 at 700 mm out 1200 mm`, with staked \
                          feet; or guys to both sides; stakes alone hold little."
                    .into(),
            },
        });
    }

    /// How deep its base is from front to back, m.
    fn base(&self) -> f64 {
        let board = self.figure.board.sheet.as_ref().and_then(|s| s.thickness).map_or(0.0, |t| t.0);
        let frame = self.figure.frame.iter().map(|m| m.depth.0).fold(0.0, f64::max);
        (board + frame) * 1e-3
    }

    /// The wind presses off the middle: only a pair of stakes turns back.
    fn twists(&mut self) {
        let Some((stakes, depth, diameter)) = self.stakes() else { return };
        let spacing = self.spacing();
        let pair = if stakes.count >= 2 { spacing } else { 0.0 };
        let post = self.soil.level(0.0, depth, diameter);
        let mut inputs = self.inputs();
        inputs.extend([
            input("eccentricity", ECCENTRIC, "1").fixed(),
            input("spacing", spacing, "m"),
            input("stake_force", post, "N"),
            input("factor", FACTOR, "1").fixed(),
        ]);
        let name = self.name();
        self.push(Limit {
            code: &TWISTS,
            when: When::Stand,
            severity: TWISTS.severity,
            goes: "it twists round",
            says: [
                format!("twists {name} with "),
                " (1.5 times the moment), and its stakes bear ".into(),
                String::new(),
            ],
            calm: 0.0,
            per_gust2: self.push.twist * FACTOR,
            bears: post * pair,
            unit: "N.m",
            inputs,
            typical: vec!["ground round the stakes"],
            left_out: false,
            help: "two stakes further apart, or two braces, take the twist; one guy cannot.".into(),
        });
    }

    /// Only where nothing is driven into the ground.
    fn slides(&mut self) {
        let anchor = self.anchor;
        let stands = anchor.stakes.is_some() && self.soil.hard();
        if !stands && (anchor.stakes.is_some() || anchor.ballast.is_none()) {
            return;
        }
        let ballast = anchor.ballast.map_or(0.0, |b| b.0 * GRAVITY);
        let mut inputs = self.inputs();
        inputs.extend([
            input("weight", self.weight, "N"),
            input("ballast", ballast, "N").given(),
            input("friction", self.soil.rubs, "1").typical(),
            input("factor", FACTOR, "1").fixed(),
        ]);
        let name = self.name();
        self.push(Limit {
            code: &SLIDES,
            when: When::Stand,
            severity: SLIDES.severity,
            goes: "it slides away",
            says: [
                format!("pushes {name} with "),
                " (1.5 times the force), and rubbing holds ".into(),
                String::new(),
            ],
            calm: 0.0,
            per_gust2: self.push.force * FACTOR,
            bears: self.soil.rubs * (self.weight + ballast),
            unit: "N",
            inputs,
            typical: vec![self.soil.rubbing],
            left_out: false,
            help: match self.soil.hard() {
                true => "put more ballast on it, or screw its feet fast.".into(),
                false => "put more ballast on it, or drive a stake at each foot.".into(),
            },
        });
    }

    /// The uprights of the frame, held at the ground and where the braces are.
    fn posts(&mut self, propped: Option<f64>) {
        let section: f64 =
            self.uprights().map(|m| m.width.0 * m.depth.0 * m.depth.0 / 6.0 * 1e-9).sum();
        if section <= 0.0 {
            let frame = "frame 38 mm by 38 mm { (x, y) to (x, y) mm }";
            self.missing("the board's bending (no upright in its frame)", frame);
            return;
        }
        let pressure = PRESSURE * FIGURE_FORCE;
        let s = self.push.silhouette;
        let moment = match propped {
            None => self.push.moment,
            Some(h) => {
                let above = s.moment_above(h);
                let below = (s.area - s.area_above(h)) * h / 8.0;
                pressure * above.max(below)
            }
        };
        let mut inputs = self.inputs();
        inputs.extend([
            input("held_at", propped.unwrap_or(0.0), "m"),
            input("section_modulus", section * 1e9, "mm3"),
        ]);
        let name = self.name();
        self.push(Limit {
            code: &BOARD_BENDS,
            when: When::Stand,
            severity: BOARD_BENDS.severity,
            goes: "its frame breaks",
            says: [
                format!("bends the uprights of {name} with "),
                ", and ".into(),
                " is two thirds of what breaks softwood".into(),
            ],
            calm: 0.0,
            per_gust2: moment / section * 1e-6,
            bears: WOOD_BENDS,
            unit: "MPa",
            inputs,
            typical: vec!["softwood frame"],
            left_out: false,
            help: "brace it higher up, or take deeper uprights: strength grows with the square of \
                   their depth."
                .into(),
        });
    }

    /// Screws in a wall: the pull of the wind off it, half as much again on the side it
    /// presses.
    fn wall(&mut self, screws: u32) {
        let mut inputs = self.inputs();
        inputs.extend([
            input("screws", f64::from(screws), "1").given(),
            input("screw", SCREW, "N").typical(),
            input("factor", FACTOR, "1").fixed(),
        ]);
        let name = self.name();
        let uneven = 1.0 + 2.0 * ECCENTRIC;
        inputs.push(input("uneven", uneven, "1").fixed());
        self.push(Limit {
            code: &WALL_SCREWS_PULL,
            when: When::Stand,
            severity: WALL_SCREWS_PULL.severity,
            goes: "a wall screw pulls out",
            says: [
                format!("pulls each wall screw of {name} with "),
                " (1.5 times the force), and one is reckoned to hold ".into(),
                String::new(),
            ],
            calm: 0.0,
            per_gust2: self.push.force / f64::from(screws) * uneven * FACTOR,
            bears: SCREW,
            unit: "N",
            inputs,
            typical: vec!["screw of 5 mm in wood or a plug"],
            left_out: false,
            help: "use more screws, or longer ones; then pull-test one.".into(),
        });
    }
}
