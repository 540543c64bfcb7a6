//! A yard to play in, compiled from text with songs that exist only in memory.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use yardwright::finding::{Finding, ItemId, Severity};
use yardwright::fit::{Fitted, FittedFigure, fit};
use yardwright::model::Yard;
use yardwright::music::Sound;
use yardwright::resolve::{self, ROOT, Resolved, Scope, SoundFault, SoundFiles};
use yardwright::source::{FileItem, MemoryDisk, Sources};
use yardwright::syntax::{self, Reading};
use yardwright::timing::{Performance, perform};

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
    sources: Sources,
    pub yard: Arc<Yard>,
    pub fitted: Vec<Arc<FittedFigure>>,
    pub findings: Vec<Finding>,
}

/// Compiles a text up to its shows. Lines that begin with `bar` are set in, as
/// people write them: at the start of a line `bar` is a stock bar.
pub fn stage_with(text: &str, files: &Files) -> Stage {
    let text = text.replace("\nbar ", "\n  bar ");
    let mut disk = MemoryDisk::new();
    disk.put("/p/main.yard", text);
    let mut sources = Sources::new(disk, syntax::top_words(&ROOT));
    let entry = sources.open(Path::new("/p/main.yard")).expect("it stands there");
    let mut findings = Vec::new();
    let mut read = |items: &[FileItem], _: bool| -> Vec<Arc<Reading>> {
        let one = |i: &FileItem| syntax::read(i.id, i.text.clone(), &ROOT, &mut findings);
        items.iter().map(one).map(Arc::new).collect()
    };
    let (gathered, more) = resolve::gather(&mut sources, entry, &mut read);
    findings.extend(more);
    let (scope, more) =
        Scope::new(gathered.items.clone(), &gathered.library, gathered.uses_library);
    findings.extend(more);
    let resolved: Vec<Resolved> =
        scope.figures().into_iter().map(|r| Resolved::new(r, &scope)).collect();
    let made: Vec<_> = resolved.iter().filter_map(|r| r.figure.clone()).collect();
    findings.extend(resolved.into_iter().flat_map(|r| r.findings));
    let (mut yard, more) = resolve::yard(&scope, &made);
    findings.extend(more);
    findings.extend(resolve::program(&scope, files, &mut yard));
    let fitted: Vec<_> = yard.figures.iter().map(|f| Arc::new(fit(&f.figure))).collect();
    Stage { sources, yard: Arc::new(yard), fitted, findings }
}

/// The orchard with this behind its figures.
pub fn stage(text: &str) -> Stage {
    stage_with(&orchard(WIPER, text), &Files::default())
}

impl Stage {
    /// Plays the first show; what it says is added to the findings.
    pub fn play(&mut self) -> Performance {
        perform(&self.yard, &self.fitted, 0, &mut self.findings)
    }

    /// The codes of all findings with the text they point at, in order.
    pub fn codes(&self) -> Vec<String> {
        let at = |f: &Finding| f.place.map_or("", |p| self.sources.text(p));
        self.findings.iter().map(|f| format!("{} `{}`", f.code.word, at(f))).collect()
    }

    pub fn mechanism(&self, figure: &str, limb: &str) -> &Fitted {
        let at = self.yard.figures.iter().position(|f| f.name.value == figure).expect("a figure");
        let limb = self.yard.figures[at].figure.limb(limb).expect("a limb");
        self.fitted[at].limbs[limb].mechanism.as_ref().expect("a mechanism")
    }
}

/// A slow wiper motor: 45 rpm free, spread a tenth, in the cold a tenth slower,
/// with a park contact.
pub const WIPER: &str = "free 45 rpm 1.2 A  least-duty 30 %  switch park  spread 10 %  cold 10 %";

/// A yard of figures around one motor's sheet, and what is played in it.
pub fn orchard(wiper: &str, program: &str) -> String {
    format!("motor wiper-here {{ kind brushed  voltage 12 V  {wiper} }}\n{FIGURES}\n{program}")
}

/// The corrected bear with its motor on the mirror line and both arms on one crank
/// pin, the heron, a direct servo, sails, and a motor in step with the mains.
const FIGURES: &str = "
motor spur { kind brushed  free 40 rpm 0.12 A }
motor mains { kind synchronous  free 3.333333 rpm }
motor micro { kind servo  slew 0.17 s per 60 deg  pulse 1000 us at -60 deg  2000 us at 60 deg }
yard orchard { size 18 m by 10 m  viewers south }
figure bear {
  board 620 mm by 1350 mm
  motor drum wiper-here at (310, 806) mm turns ccw
  limb left-arm {
    pivot (150, 880) mm  tip (-250, 1150) mm
    drive four-bar { motor drum  crank 30 mm  rod 159.925 mm  lever 80 mm at 127 deg  assembly open }
    parks at 165 deg
    gesture hit { sweep 121 deg to 165 deg within 2 deg  cycle 4 beats  accent at 165 deg }
    gesture sway { sweep 121 deg to 165 deg within 2 deg  cycle 4 beats }
    gesture fast { sweep 121 deg to 165 deg within 2 deg  cycle 2 beats }
    gesture three { sweep 121 deg to 165 deg within 2 deg  cycle 3 beats }
    gesture slow { sweep 121 deg to 165 deg within 2 deg  cycle 16 beats }
  }
  limb right-arm mirrors left-arm about x 310 mm
}
figure heron {
  board 520 mm by 1400 mm
  motor wings wiper-here at (260, 570) mm turns ccw
  limb left-wing {
    pivot (197, 820) mm  tip (-253, 820) mm  mount behind
    drive four-bar { motor wings  crank 30 mm  rod 250 mm  tail-hole 70 mm at 180 deg  assembly crossed }
    gesture flap { sweep 155 deg to 205 deg within 2 deg  cycle 4 beats }
  }
  limb right-wing mirrors left-wing about x 260 mm
}
figure owl {
  board 400 mm by 800 mm
  limb head {
    pivot (200, 700) mm  tip (350, 700) mm
    drive servo { motor micro at (200, 700) mm }
    rest 0 deg
    gesture nod { sweep -20 deg to 20 deg  cycle 4 beats  accent at 20 deg }
    gesture shake { sweep -45 deg to 45 deg  cycle 1/2 beat }
  }
}
figure moon {
  board 800 mm by 800 mm
  limb jaw {
    pivot (500, 300) mm  tip (700, 300) mm
    drive servo { motor micro at (500, 300) mm }
    rest 0 deg
  }
}
figure windmill {
  board 500 mm by 1150 mm
  limb sails {
    pivot (250, 900) mm  tip (570, 900) mm
    drive spin { motor spur at (250, 700) mm  belt 20 40 }
    gesture turn-round { spin 1 turn per 8 beats }
  }
}
figure scarecrow {
  board 560 mm by 1500 mm
  limb arm {
    pivot (420, 1300) mm  tip (920, 1300) mm
    drive four-bar { motor mains at (420, 1000) mm  crank 30 mm  rod 288 mm  lever 90 mm at ? }
    gesture sway { sweep -19.5 deg to 19.5 deg within 2 deg }
    gesture in-time { sweep -19.5 deg to 19.5 deg within 2 deg  cycle 35 beats }
    gesture nod { sweep -19.5 deg to 19.5 deg within 2 deg  accent at 19.5 deg }
  }
}
set bear at (5 m, 4 m) facing south
set cub like bear at (7.5 m, 4 m) facing south
set heron at (10 m, 6 m) facing south
set owl at (13 m, 4 m) facing south
set moon at (2 m, 7 m) facing south
set scarecrow at (16 m, 5 m) facing south
set windmill at (12.5 m, 8 m) facing south
";

/// The demo's jig without its sound: 6/8 at 116, bar 1 at 0.48 s, 48 bars.
pub const JIG: &str = "song jig {
  meter 6/8  tempo 116 bpm from 0.480 s  bar 1 at 0.480 s
  section verse bar 1 for 16 bars
  section refrain bar 17 for 8 bars
  section last bar 25 for 24 bars
}
";

pub fn polar(from: (f64, f64), r: f64, deg: f64) -> (f64, f64) {
    let (s, c) = libm::sincos(deg.to_radians());
    (from.0 + r * c, from.1 + r * s)
}

pub fn between(a: (f64, f64), b: (f64, f64)) -> f64 {
    libm::hypot(a.0 - b.0, a.1 - b.1)
}

pub fn errors(s: &Stage) -> Vec<String> {
    let errors = s.findings.iter().filter(|f| f.severity == Severity::Error);
    errors.map(|f| format!("{} {}", f.code.word, f.message)).collect()
}
