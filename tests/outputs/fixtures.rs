//! Yards built by hand, so that outputs are tested without the stages before them.

use std::sync::Arc;

use yardwright::check::Compiled;
use yardwright::finding::{ItemId, Locate, Location, Place, Spanned};
use yardwright::fit::{Fitted, FittedFigure, FittedFourBar, FittedLimb};
use yardwright::geometry::{Board, BoardPoint, Outline, YardPoint};
use yardwright::loads::{LoadedFigure, LoadedLimb, Site};
use yardwright::mechanism::{Assembly, FourBar, Prefer, Size};
use yardwright::model::{self, *};
use yardwright::power::Power;
use yardwright::space::{SpacedFigure, SpacedLimb};
use yardwright::timing::{Accent, Channel, ChannelKind, FigurePart, Key, Performance};
use yardwright::units::*;

/// A place in an item; only its numbers matter here.
pub fn at(lo: u32) -> Place {
    Place { item: ItemId(0), lo, hi: lo + 4 }
}

pub fn named(text: &str) -> Spanned<String> {
    Spanned::new(text.to_owned(), at(0))
}

/// Every place on a line of its own: byte 31 is line 31.
pub struct Lines;

impl Locate for Lines {
    fn locate(&self, place: Place) -> Option<Location> {
        (place.item == ItemId(0)).then(|| Location {
            file: "bear.yard".to_owned(),
            line: place.lo,
            column: 7,
            end_line: place.lo,
            end_column: 11,
        })
    }
}

pub fn board(x: f64, y: f64) -> BoardPoint {
    BoardPoint::mm(x, y)
}

pub fn yard_point(x: f64, y: f64) -> YardPoint {
    YardPoint::mm(x, y)
}

fn outline(points: &[(f64, f64)]) -> Option<Outline<Board>> {
    Outline::new(points.iter().map(|&(x, y)| board(x, y)).collect())
}

pub fn motor(name: &str) -> MotorType {
    MotorType {
        name: name.to_owned(),
        place: at(0),
        kind: MotorKind::Brushed,
        voltage: Some(Volt(12.0)),
        free: Some(Rpm(45.0)),
        free_current: Some(Amp(1.2)),
        stall: Some(NewtonMetre(14.0)),
        stall_current: Some(Amp(16.0)),
        least_duty: None,
        switch: Switch::Park,
        spread: Some(Share(0.1)),
        cold: None,
        self_locking: Some(true),
        one_way: Some(true),
        duty: None,
        crank_holes: None,
        slew: None,
        pulses: Vec::new(),
        speed_mm_s: None,
        force: None,
        length: None,
        body: None,
        mass: None,
        ..MotorType::bare(name, at(0), MotorKind::Brushed)
    }
}

fn sized(system: System) -> Sized {
    Sized { size: Size::Free, place: Some(at(1)), ask: None, system, row: None, cuts: None }
}

/// A limb on a crank, swinging `sweep`.
pub fn limb(
    name: &str,
    pivot: (f64, f64),
    tip: (f64, f64),
    sweep: (f64, f64),
    system: System,
) -> Limb {
    let size = sized(system);
    Limb {
        name: named(name),
        title: None,
        carrier: None,
        joint: Joint::Pivot { at: Some(board(pivot.0, pivot.1)), open: None },
        tip: Some(board(tip.0, tip.1)),
        mount: Mount::Front,
        bolt: None,
        bushing: None,
        sheet: None,
        shape: None,
        build: yardwright::model::Build::default(),
        carried: Vec::new(),
        drive: Some(Drive {
            place: at(2),
            source: Source::Motor(0),
            pin: Pin::At(Deg(0.0)),
            pin_said: None,
            standoff: None,
            mechanism: DriveKind::FourBar(FourBarDrive {
                crank: size,
                rod: size,
                lever: size,
                clamp: size,
                assembly: None,
                prefer: Prefer::Usual,
            }),
        }),
        gestures: vec![Gesture {
            name: named("stir"),
            place: at(3),
            relative: false,
            natural: None,
            downward: false,
            action: Action::Sweep {
                from: Spanned::new(Deg(sweep.0), at(3)),
                to: Spanned::new(Deg(sweep.1), at(3)),
                within: None,
                cycle: Some(Spanned::new(Span::Time(Sec(2.0)), at(3))),
                accent: None,
                easing: Easing::Natural,
            },
        }],
        seen_to: Vec::new(),
        rest: None,
        rest_at: None,
        parks: None,
        unpowered: None,
        measured: Measured::default(),
        friction: None,
        load: None,
        assumed: Vec::new(),
        not_checked: Vec::new(),
        copy_of: None,
        copied_into: None,
        mirrors: None,
        poisoned: false,
    }
}

pub fn figure(name: &str, system: System, limbs: Vec<Limb>) -> Figure {
    Figure {
        name: named(name),
        title: None,
        like: None,
        system,
        board: model::Board {
            drawing: None,
            sheet: None,
            outline: outline(&[(0.0, 0.0), (620.0, 0.0), (700.0, 900.0), (-40.0, 900.0)]),
            lifted: Mm(0.0),
            place: None,
        },
        frame: vec![
            member((150.0, 0.0), (150.0, 960.0)),
            member((470.0, 0.0), (470.0, 960.0)),
            member((20.0, 880.0), (620.0, 880.0)),
        ],
        frame_unread: false,
        anchor: None,
        feed: None,
        lamps: Vec::new(),
        actuators: vec![Actuator {
            name: "drum".to_owned(),
            place: at(4),
            motor: Arc::new(motor("wiper")),
            at: Some(board(310.0, 806.0)),
            at_open: None,
            turns: Turn::Ccw,
            rides: false,
            limit: None,
            supply: None,
            standoff: None,
            plate: None,
        }],
        limbs,
        readings: Vec::new(),
        assumed: Vec::new(),
        seen_to: Vec::new(),
    }
}

fn member(from: (f64, f64), to: (f64, f64)) -> FrameMember {
    FrameMember {
        from: board(from.0, from.1),
        to: board(to.0, to.1),
        width: Mm(38.0),
        depth: Mm(38.0),
        bar: None,
    }
}

pub fn placed(name: &str, figure: Figure, (x, y): (f64, f64), facing: f64) -> Placed {
    Placed {
        name: named(name),
        figure: Arc::new(figure),
        at: yard_point(x, y),
        facing: Deg(facing),
        assumed: false,
        laid_up: None,
    }
}

/// A yard with nothing in it.
pub fn empty_yard() -> Yard {
    Yard {
        name: Some(named("orchard")),
        title: None,
        size: (Mm(18_000.0), Mm(10_000.0)),
        viewers: Compass::South,
        keep: Some(Mm(1500.0)),
        locality: None,
        winds: Winds { run: MetrePerSec(7.0), stand: MetrePerSec(22.0) },
        soil: None,
        mains: None,
        pegs: vec![
            Peg { name: named("porch"), at: yard_point(0.0, 6000.0) },
            Peg { name: named("gate"), at: yard_point(18_000.0, 0.0) },
        ],
        tanks: Vec::new(),
        supplies: vec![
            Supply {
                name: named("shed"),
                at: Some(yard_point(17_000.0, 9000.0)),
                from: None,
                voltage: Some(Volt(12.0)),
                limit: Some(Amp(30.0)),
                cable: None,
                fuse: None,
                run: None,
                alternating: false,
                battery: None,
            },
            Supply {
                name: named("bec"),
                at: None,
                from: Some(named("shed")),
                voltage: Some(Volt(6.0)),
                limit: Some(Amp(5.0)),
                cable: None,
                fuse: None,
                run: None,
                alternating: false,
                battery: None,
            },
        ],
        controllers: vec![Controller {
            name: named("post"),
            at: Some(yard_point(16_000.0, 8000.0)),
            power: None,
            clock: None,
            starts: None,
            outputs: Vec::new(),
            inputs: Vec::new(),
        }],
        wiring: Vec::new(),
        figures: Vec::new(),
        songs: Vec::new(),
        groups: Vec::new(),
        phrases: Vec::new(),
        shows: vec![Show {
            name: named("evening"),
            title: None,
            song: None,
            sound: SoundPath { late: None, speaker: Some(yard_point(9000.0, 600.0)) },
            cues: std::sync::Arc::default(),
            place: at(5),
        }],
        seasons: Vec::new(),
        system: System::Metric,
        not_checked: Vec::new(),
        assumed: Vec::new(),
    }
}

/// A solved linkage: exact, and with rod and clamp as drilled.
fn bar(exact: FourBar, (rod, clamp): (f64, f64)) -> Fitted {
    let bars = exact.bars();
    let ends = (exact.motor(), exact.pivot());
    let sizes = (bars.crank, Mm(rod), bars.lever);
    let drilled = FourBar::new(ends, sizes, Deg(clamp), exact.assembly()).unwrap();
    Fitted::FourBar(Box::new(FittedFourBar {
        exact,
        analysis: exact.analyse(),
        drilled,
        as_drilled: drilled.analyse(),
        solved: vec!["crank", "rod", "lever", "clamp"],
        answer: None,
        shaft: yardwright::mechanism::Shaft::turning(exact.motor()),
        pin: Deg(0.0),
        figures: Vec::new(),
        faulty: false,
    }))
}

/// The bear: crank 30, rod 159.87, lever 80 at 127.02.
fn bear_bar() -> FourBar {
    let ends = (board(310.0, 806.0), board(150.0, 880.0));
    FourBar::new(ends, (Mm(30.0), Mm(159.87), Mm(80.0)), Deg(127.02), Assembly::Open).unwrap()
}

/// The linkage of a limb: the bear's, its mirror image, or the baker's in inches.
fn linkage(figure: &Figure, limb: &Limb) -> Fitted {
    if figure.system == System::Inch {
        let inch = |x: f64| Mm(x * 25.4);
        let ends = (board(355.6, 762.0), board(508.0, 1117.6));
        let sizes = (inch(1.5), inch(14.78), inch(4.0));
        let exact = FourBar::new(ends, sizes, Deg(-69.8), Assembly::Crossed).unwrap();
        return bar(exact, (14.78125 * 25.4, -70.0));
    }
    match limb.name.value.as_str() {
        "right-arm" => bar(bear_bar().mirrored(Mm(310.0)), (160.0, -127.0)),
        _ => bar(bear_bar(), (160.0, 127.0)),
    }
}

/// Everything about a yard.
pub fn compiled(yard: Yard) -> Compiled {
    let fit = |placed: &Placed| {
        let limbs = placed.figure.limbs.iter().map(|limb| FittedLimb {
            riding: None,
            as_built: None,
            mechanism: limb.drive.as_ref().map(|_| linkage(&placed.figure, limb)),
            assumed: vec![
                Note::new("bolt M8 in nylon", "bolt M8  bushing nylon"),
                Note::new("front mount", "mount front"),
            ],
            not_checked: vec![Note::new(
                "wind, tipping (no anchor)",
                "anchor stakes 2 depth 600 mm",
            )],
        });
        let limbs = limbs.collect();
        Arc::new(FittedFigure {
            figure: placed.figure.clone(),
            limbs,
            places: Vec::new(),
            findings: Vec::new(),
        })
    };
    let figures: Vec<Arc<FittedFigure>> = yard.figures.iter().map(fit).collect();
    let room = |fitted: &Arc<FittedFigure>| {
        let limbs = vec![SpacedLimb::default(); fitted.limbs.len()];
        Arc::new(SpacedFigure {
            limbs,
            stack: Vec::new(),
            gaps: Vec::new(),
            neighbours: Vec::new(),
            pinches: Vec::new(),
            shown: Vec::new(),
            elevation: Vec::new(),
            findings: Vec::new(),
        })
    };
    let spaces: Vec<Arc<SpacedFigure>> = figures.iter().map(room).collect();
    let loads = yard.figures.iter().zip(&spaces).map(|(placed, spaced)| {
        let limbs = vec![LoadedLimb::default(); spaced.limbs.len()];
        Arc::new(LoadedFigure {
            site: Site::of(&yard, placed, (spaced, None)),
            limbs,
            motors: Vec::new(),
            wind: None,
            findings: Vec::new(),
        })
    });
    Compiled {
        file: "orchard.yard".to_owned(),
        loads: loads.collect(),
        spaces,
        figures,
        yard: Arc::new(yard),
        performances: Vec::new(),
        power: Arc::new(Power::default()),
        stock: std::sync::OnceLock::new(),
        seen_to: yardwright::check::seen_to::Dealt::default(),
        programmes: Vec::new(),
        findings: Vec::new(),
        read: Vec::new(),
    }
}

/// A yard of so many bears in rows, fed from the shed.
pub fn rows_of_bears(count: usize) -> Yard {
    let mut yard = empty_yard();
    let names = [
        "bear",
        "heron",
        "fox-fiddler",
        "owl",
        "windmill",
        "hedgehog",
        "moon",
        "scarecrow",
        "frog",
        "badger",
        "hare",
        "lantern-keeper",
    ];
    let columns = ((count as f64).sqrt() * 1.4).ceil().max(1.0) as usize;
    let rows = count.div_ceil(columns);
    for i in 0..count {
        let (column, row) = (i % columns, i / columns);
        let x = 1500.0 + 15_000.0 * (column as f64 + 0.5) / columns as f64 - 310.0;
        let y = 2600.0 + 6400.0 * (row as f64 + 0.3 * (column % 2) as f64 + 0.2) / rows as f64;
        let name = match i / names.len() {
            0 => names[i].to_owned(),
            n => format!("{}-{}", names[i % names.len()], n + 1),
        };
        let mut figure = figure(
            &name,
            System::Metric,
            vec![
                limb("left-arm", (150.0, 880.0), (-250.0, 1150.0), (121.0, 165.0), System::Metric),
                limb("right-arm", (470.0, 880.0), (870.0, 1150.0), (15.0, 59.0), System::Metric),
            ],
        );
        if i % 4 == 1 {
            figure.limbs[0].mount = Mount::Behind;
            figure.limbs[1].mount = Mount::Behind;
        }
        let run = (i % 3 == 0).then_some(Mm(14_000.0));
        figure.feed = Some(Feed { supply: named("shed"), run, voltage: None, fuse: None });
        let facing = [180.0, 180.0, 200.0, 155.0, 180.0][i % 5];
        let mut placed = placed(&name, figure, (x, y), facing);
        if i % 9 == 4 {
            let (from, why) = (Some("2027-10-26".to_owned()), Some("stripped gear".to_owned()));
            placed.laid_up = Some(LaidUp { from, why, plays: false, missed: true, place: at(6) });
        }
        yard.figures.push(placed);
    }
    yard
}

/// A show of one figure with every kind of channel.
pub fn performance() -> Performance {
    let key = |at: f64, value: f64| Key { at: Sec(at), value };
    let channel = |name: &str, kind, keys: Vec<Key>, error| Channel {
        name: name.to_owned(),
        limbs: vec!["left-arm".to_owned(), "right-arm".to_owned()],
        kind,
        keys,
        error,
    };
    Performance {
        sound_delay: Sec(0.18),
        show: "evening".to_owned(),
        duration: Sec(123.46),
        figures: vec![std::sync::Arc::new(FigurePart {
            figure: "bear".to_owned(),
            channels: vec![
                channel(
                    "drum",
                    ChannelKind::Speed,
                    vec![key(0.0, 0.0), key(0.52, 29.0), key(16.6, -0.0)],
                    0.0,
                ),
                channel("head", ChannelKind::Angle, vec![key(0.0, -10.0), key(1.25, 35.0)], 0.25),
                channel("lamp", ChannelKind::Switch, vec![key(0.0, 1.0), key(9.0, 0.0)], 0.0),
            ],
            limbs: Vec::new(),
        })],
        accents: vec![accent(4.0, 0.004, 0.018), accent(8.0, -0.0125, -0.021)],
    }
}

fn accent(wanted: f64, nominal: f64, worst: f64) -> Accent {
    Accent {
        figure: "bear".to_owned(),
        limb: "left-arm".to_owned(),
        wanted: Sec(wanted),
        nominal: Sec(nominal),
        worst: Sec(worst),
        cue: at(8),
    }
}
