//! A yard to play in: figures made by hand, everything about time read from text.

use std::collections::BTreeMap;
use std::sync::Arc;

use yardwright::finding::{Finding, ItemId, Place, Spanned};
use yardwright::fit::{Fitted, FittedFigure, FittedFourBar, FittedLimb, FittedServo, FittedSpin};
use yardwright::geometry::{BoardPoint, YardPoint};
use yardwright::mechanism::{Assembly, FourBar, Prefer, Size};
use yardwright::model::*;
use yardwright::music::Sound;
use yardwright::resolve;
use yardwright::resolve::{SoundFault, SoundFiles};
use yardwright::syntax::words::{BlockRule, Row, Table, Take, key, may, must};
use yardwright::timing::{Performance, perform};
use yardwright::units::*;

/// The top of a file with only what has to do with time.
static ROOT: Table = Table {
    name: "file",
    title: "",
    rows: &[
        Row::new("song", "", &[must("name", Take::Name("song")), may("file", Take::Text)])
            .many()
            .block(BlockRule::May(&resolve::SONG)),
        Row::new("group", "", &[must("name", Take::Name("group"))])
            .many()
            .block(BlockRule::Must(&resolve::GROUP)),
        Row::new("phrase", "", &[]).many().raw().block(BlockRule::Must(&resolve::PHRASE)),
        Row::new(
            "show",
            "",
            &[must("name", Take::Name("show")), key("with", "song", Take::Name("song"))],
        )
        .many()
        .block(BlockRule::Must(&resolve::SHOW)),
        Row::new("season", "", &[must("name", Take::Name("season"))])
            .many()
            .block(BlockRule::Must(&resolve::SEASON)),
    ],
    bare: None,
};

/// Files that exist only here.
#[derive(Default)]
pub struct Files {
    pub sounds: BTreeMap<String, Result<Arc<Sound>, SoundFault>>,
    pub texts: BTreeMap<String, String>,
}

impl SoundFiles for Files {
    fn sound(&self, _: ItemId, path: &str) -> Result<Arc<Sound>, SoundFault> {
        let missing = || Err(SoundFault::Missing("there is no such file".to_owned()));
        self.sounds.get(path).cloned().unwrap_or_else(missing)
    }
    fn text(&self, _: ItemId, path: &str) -> Result<Arc<str>, String> {
        let text = self.texts.get(path).map(|t| Arc::from(t.as_str()));
        text.ok_or_else(|| "there is no such file".to_owned())
    }
}

/// A yard with its texts and findings.
pub struct Stage {
    pub text: Arc<str>,
    pub yard: Yard,
    pub fitted: Vec<Arc<FittedFigure>>,
    pub findings: Vec<Finding>,
}

/// A place for what was not read from a text.
pub const NOWHERE: Place = Place { item: ItemId(9), lo: 0, hi: 0 };

pub fn here<T>(value: T) -> Spanned<T> {
    Spanned::new(value, NOWHERE)
}

/// Reads songs, groups, phrases, shows and seasons into a yard with these figures.
pub fn stage_with(text: &str, figures: Vec<(Placed, FittedFigure)>, files: &Files) -> Stage {
    let text: Arc<str> = Arc::from(text);
    let mut findings = Vec::new();
    let reading = yardwright::syntax::read(ItemId(0), Arc::clone(&text), &ROOT, &mut findings);
    let (placed, fitted): (Vec<_>, Vec<_>) = figures.into_iter().unzip();
    let mut yard = empty_yard(placed);
    let top = reading.top();
    let declared: Vec<&str> =
        top.all("song").filter_map(|c| c.text("name")).map(|n| n.value).collect();
    for c in top.all("song") {
        yard.songs.extend(resolve::song(c, files, &mut findings).map(Arc::new));
    }
    yard.groups = top.all("group").filter_map(resolve::group).collect();
    yard.phrases = top.all("phrase").filter_map(|c| resolve::phrase(c, &mut findings)).collect();
    let songs = yard.songs.clone();
    yard.shows = top
        .all("show")
        .filter_map(|c| resolve::show(c, &songs, &declared, &mut findings))
        .collect();
    yard.seasons = top.all("season").filter_map(|c| resolve::season(c, &mut findings)).collect();
    resolve::check_cues(&yard, &mut findings);
    Stage { text, yard, fitted: fitted.into_iter().map(Arc::new).collect(), findings }
}

/// The orchard's bear, heron, owl, moon, windmill and scarecrow.
pub fn stage(text: &str) -> Stage {
    stage_with(text, orchard(), &Files::default())
}

pub fn orchard() -> Vec<(Placed, FittedFigure)> {
    vec![
        set("bear", 5000.0, bear(wiper())),
        set("cub", 7500.0, bear(wiper())),
        set("heron", 10_000.0, heron()),
        set("owl", 13_000.0, servo_figure("head", Some(Rpm(60.0 / 6.0 / 0.17)))),
        set("moon", 2000.0, servo_figure("jaw", Some(Rpm(318.0 / 6.0)))),
        set("windmill", 12_500.0, windmill()),
        set("scarecrow", 16_000.0, scarecrow()),
    ]
}

impl Stage {
    /// Plays the first show; what it says is added to the findings.
    pub fn play(&mut self) -> Performance {
        perform(&self.yard, &self.fitted, &self.yard.shows[0], &mut self.findings)
    }

    /// The codes of all findings with the text they point at, in order.
    pub fn codes(&self) -> Vec<String> {
        self.findings.iter().map(|f| format!("{} `{}`", f.code.word, self.at(f))).collect()
    }

    fn at(&self, finding: &Finding) -> &str {
        match finding.place {
            Some(p) if p.item == ItemId(0) => &self.text[p.lo as usize..p.hi as usize],
            _ => "",
        }
    }

    pub fn mechanism(&self, figure: &str, limb: &str) -> &Fitted {
        let at = self.yard.figures.iter().position(|f| f.name.value == figure).unwrap();
        let limb = self.yard.figures[at].figure.limb(limb).unwrap();
        self.fitted[at].limbs[limb].mechanism.as_ref().unwrap()
    }
}

fn empty_yard(figures: Vec<Placed>) -> Yard {
    Yard {
        name: None,
        title: None,
        size: (Mm(18_000.0), Mm(10_000.0)),
        viewers: Compass::South,
        keep: None,
        locality: None,
        winds: Winds { run: MetrePerSec(7.0), stand: MetrePerSec(22.0) },
        soil: None,
        mains: None,
        pegs: Vec::new(),
        supplies: Vec::new(),
        controllers: Vec::new(),
        figures,
        songs: Vec::new(),
        groups: Vec::new(),
        phrases: Vec::new(),
        shows: Vec::new(),
        seasons: Vec::new(),
        system: System::Metric,
        assumed: Vec::new(),
    }
}

/// Sets a figure up under a name.
pub fn set(
    name: &str,
    x: f64,
    (mut figure, limbs): (Figure, Vec<Option<Fitted>>),
) -> (Placed, FittedFigure) {
    figure.name.value = name.to_owned();
    let figure = Arc::new(figure);
    let limbs = limbs
        .into_iter()
        .map(|mechanism| FittedLimb { mechanism, assumed: Vec::new(), not_checked: Vec::new() })
        .collect();
    let placed = Placed {
        name: here(name.to_owned()),
        figure: Arc::clone(&figure),
        at: YardPoint::mm(x, 4000.0),
        facing: Deg(180.0),
        assumed: false,
        laid_up: None,
    };
    (placed, FittedFigure { figure, limbs, findings: Vec::new() })
}

pub type Made = (Figure, Vec<Option<Fitted>>);

fn figure(actuators: Vec<Actuator>, limbs: Vec<Limb>) -> Figure {
    Figure {
        name: here(String::new()),
        title: None,
        like: None,
        system: System::Metric,
        board: Board { sheet: None, outline: None, lifted: Mm(0.0), place: None },
        frame: Vec::new(),
        anchor: None,
        feed: None,
        lamps: Vec::new(),
        actuators,
        limbs,
        readings: Vec::new(),
        assumed: Vec::new(),
    }
}

pub fn motor(name: &str, kind: MotorKind) -> MotorType {
    MotorType {
        name: name.to_owned(),
        place: NOWHERE,
        kind,
        voltage: Some(Volt(12.0)),
        free: None,
        free_current: None,
        stall: None,
        stall_current: None,
        least_duty: None,
        switch: Switch::None,
        spread: None,
        cold: None,
        self_locking: None,
        one_way: None,
        duty: None,
        crank_holes: None,
        slew: None,
        pulses: Vec::new(),
        speed_mm_s: None,
        force: None,
        length: None,
        body: None,
        mass: None,
        measured: false,
    }
}

/// The demo's slow wiper motor: 45 rpm free, spread 10 %, in the cold a tenth
/// slower, with a park contact.
pub fn wiper() -> MotorType {
    MotorType {
        free: Some(Rpm(45.0)),
        spread: Some(Share(0.10)),
        cold: Some(Share(0.10)),
        least_duty: Some(Share(0.30)),
        switch: Switch::Park,
        ..motor("wiper", MotorKind::Brushed)
    }
}

fn actuator(name: &str, motor: MotorType, turns: Turn) -> Actuator {
    Actuator {
        name: name.to_owned(),
        place: NOWHERE,
        motor: Arc::new(motor),
        at: None,
        at_open: None,
        turns,
        limit: None,
    }
}

fn limb(name: &str, drive: DriveKind, motor: usize, gestures: Vec<Gesture>) -> Limb {
    let drive = Drive {
        place: NOWHERE,
        source: Source::Motor(motor),
        pin: Pin::At(Deg(0.0)),
        mechanism: drive,
    };
    Limb {
        name: here(name.to_owned()),
        title: None,
        carrier: None,
        joint: Joint::Pivot { at: None, open: None },
        tip: None,
        mount: Mount::Front,
        bolt: None,
        bushing: None,
        sheet: None,
        shape: None,
        carried: Vec::new(),
        drive: Some(drive),
        gestures,
        rest: None,
        parks: None,
        measured: Measured::default(),
        friction: None,
        load: None,
        assumed: Vec::new(),
        not_checked: Vec::new(),
        copy_of: None,
        poisoned: false,
    }
}

fn sized() -> Sized {
    Sized { size: Size::Free, place: None, ask: None, system: System::Metric }
}

fn crank_drive() -> DriveKind {
    DriveKind::FourBar(FourBarDrive {
        crank: sized(),
        rod: sized(),
        lever: sized(),
        clamp: sized(),
        standoff: None,
        assembly: None,
        prefer: Prefer::Push,
    })
}

pub fn gesture(name: &str, action: Action) -> Gesture {
    Gesture { name: here(name.to_owned()), place: NOWHERE, action, relative: false }
}

/// A sweep with a cycle in beats; the cycle's place tells gestures apart.
pub fn sweep(from: f64, to: f64, beats: Option<f64>, accent: Option<f64>) -> Action {
    let at = beats.map_or(0, |b| (b * 100.0) as u32);
    let place = Place { item: ItemId(9), lo: at, hi: at + 1 };
    Action::Sweep {
        from: here(Deg(from)),
        to: here(Deg(to)),
        within: None,
        cycle: beats.map(|b| Spanned::new(Span::Beats(Beats::nearest(b).unwrap()), place)),
        accent: accent.map(|a| here(Deg(a))),
        easing: Easing::Natural,
    }
}

pub fn four_bar(
    motor: (f64, f64),
    pivot: (f64, f64),
    (crank, rod, lever): (f64, f64, f64),
    clamp: f64,
    assembly: Assembly,
) -> Fitted {
    let bar = FourBar::new(
        (BoardPoint::mm(motor.0, motor.1), BoardPoint::mm(pivot.0, pivot.1)),
        (Mm(crank), Mm(rod), Mm(lever)),
        Deg(clamp),
        assembly,
    )
    .unwrap();
    Fitted::FourBar(Box::new(FittedFourBar {
        exact: bar,
        drilled: bar,
        solved: Vec::new(),
        pin: Deg(0.0),
    }))
}

/// The corrected bear: motor on the mirror line, both arms on one crank pin.
pub fn bear(motor: MotorType) -> Made {
    let arm = |name, a, b, hit: f64| {
        let mut arm = limb(
            name,
            crank_drive(),
            0,
            vec![
                gesture("hit", sweep(a, b, Some(4.0), Some(hit))),
                gesture("sway", sweep(a, b, Some(4.0), None)),
                gesture("fast", sweep(a, b, Some(2.0), None)),
                gesture("three", sweep(a, b, Some(3.0), None)),
                gesture("slow", sweep(a, b, Some(16.0), None)),
                gesture("once", sweep(a, b, Some(1.0), None)),
            ],
        );
        if name == "left-arm" {
            arm.parks = Some(here(Deg(hit)));
        }
        arm
    };
    let figure = figure(
        vec![actuator("drum", motor, Turn::Ccw)],
        vec![arm("left-arm", 121.0, 165.0, 165.0), arm("right-arm", 15.0, 59.0, 15.0)],
    );
    let sizes = (30.0, libm::sqrt(25_576.0), 80.0);
    let shaft = (310.0, 806.0);
    let left = four_bar(shaft, (150.0, 880.0), sizes, 127.0, Assembly::Open);
    let right = four_bar(shaft, (470.0, 880.0), sizes, -127.0, Assembly::Crossed);
    (figure, vec![Some(left), Some(right)])
}

/// The heron: both wings from behind, together.
pub fn heron() -> Made {
    let wing = |name, a, b| {
        limb(name, crank_drive(), 0, vec![gesture("flap", sweep(a, b, Some(4.0), None))])
    };
    let figure = figure(
        vec![actuator("wings", wiper(), Turn::Ccw)],
        vec![wing("left-wing", 155.0, 205.0), wing("right-wing", -25.0, 25.0)],
    );
    let (shaft, sizes) = ((260.0, 570.0), (30.0, 250.0, 70.0));
    let left = four_bar(shaft, (197.0, 820.0), sizes, 180.0, Assembly::Crossed);
    let right = four_bar(shaft, (323.0, 820.0), sizes, 180.0, Assembly::Open);
    (figure, vec![Some(left), Some(right)])
}

/// A figure with one limb straight on a servo of 0.17 s for 60 deg.
pub fn servo_figure(name: &str, fastest: Option<Rpm>) -> Made {
    let drive = DriveKind::Servo(ServoDrive { rod: None, pulses: Vec::new(), zero: None });
    let mut head = limb(
        name,
        drive,
        0,
        vec![
            gesture("nod", sweep(-20.0, 20.0, Some(4.0), Some(20.0))),
            gesture("shake", sweep(-45.0, 45.0, Some(0.5), None)),
        ],
    );
    head.rest = Some(here(Deg(0.0)));
    let figure =
        figure(vec![actuator("servo", motor("micro", MotorKind::Servo), Turn::Ccw)], vec![head]);
    let servo =
        Fitted::Servo(FittedServo { linkage: None, low: Deg(-60.0), high: Deg(60.0), fastest });
    (figure, vec![Some(servo)])
}

/// Belt-driven sails, 20 to 40 teeth.
pub fn windmill() -> Made {
    let drive = DriveKind::Spin(SpinDrive { ratio: 0.5, by: "belt", teeth: vec![20, 40] });
    let turn = Action::Spin { turn: Deg(360.0), per: here(Span::Beats(Beats::whole(8))) };
    let spur = MotorType { free: Some(Rpm(40.0)), ..motor("spur", MotorKind::Brushed) };
    let sails = limb("sails", drive, 0, vec![gesture("turn-round", turn)]);
    let figure = figure(vec![actuator("mill", spur, Turn::Ccw)], vec![sails]);
    (figure, vec![Some(Fitted::Spin(FittedSpin { ratio: 0.5 }))])
}

/// The scarecrow on a synchronous motor of 3 1/3 rpm.
pub fn scarecrow() -> Made {
    let still = MotorType { free: Some(Rpm(10.0 / 3.0)), ..motor("stage", MotorKind::Synchronous) };
    let arm = limb(
        "arm",
        crank_drive(),
        0,
        vec![
            gesture("sway", sweep(-19.5, 19.5, None, None)),
            gesture("in-time", sweep(-19.5, 19.5, Some(35.0), None)),
            gesture("nod", sweep(-19.5, 19.5, None, Some(19.5))),
        ],
    );
    let figure = figure(vec![actuator("slow", still, Turn::Ccw)], vec![arm]);
    let bar = four_bar((0.0, 700.0), (0.0, 1000.0), (30.0, 288.0, 90.0), 0.0, Assembly::Open);
    (figure, vec![Some(bar)])
}

/// The demo's jig without its sound: 6/8 at 116, bar 1 at 0.48 s, 48 bars.
pub const JIG: &str = "song jig {
  meter 6/8  tempo 116 bpm from 0.480 s  bar 1 at 0.480 s
  section verse bar 1 for 16 bars
  section refrain bar 17 for 8 bars
  section last bar 25 for 24 bars
}
";
