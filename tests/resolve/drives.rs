//! Every drive of the language is read, in the maker's and the textbook's words.

use yardwright::mechanism::cam::Law;
use yardwright::mechanism::{Kind, Size};
use yardwright::model::{CamDrive, CamFoot, DriveKind, MotorKind, Return, Source};
use yardwright::units::{Deg, Mm, NewtonMetre};

use super::{clean, figure, limb};

fn with(joint: &str, drive: &str) -> String {
    format!(
        "use parts
figure fox {{
  board plywood-9 600 mm by 1200 mm
  motor main wiper at (300, 400) mm
  limb upper-arm {{ pivot (300, 700) mm  tip (480, 700) mm  drive four-bar {{ motor main }} }}
  limb arm {{
    {joint}
    {drive}
  }}
}}
"
    )
}

const PIVOT: &str = "pivot (300, 800) mm  tip (500, 1000) mm";
const SLIDE: &str = "slide from (300, 60) mm to (300, 410) mm";

#[test]
fn a_kept_drive_is_listed_as_not_computed() {
    let drives = [
        (
            PIVOT,
            "drive slotted-arm { motor main  crank 30 mm  lever 100 mm  slot 70 mm offset 5 mm }",
            Kind::SlottedArm,
        ),
        (
            SLIDE,
            "drive slider-crank { motor main  crank 40 mm  rod 200 mm  offset 0 mm  tilt 20 deg }",
            Kind::SliderCrank,
        ),
        (SLIDE, "drive scotch-yoke { motor main  crank 40 mm  offset 5 mm }", Kind::ScotchYoke),
        (
            PIVOT,
            "drive ram { motor ram-100 at (300, 530) mm  lever 100 mm at 180 deg  length 205 to 305 mm }",
            Kind::Ram,
        ),
        (
            PIVOT,
            "drive ram { anchor (300, 530) mm  lever 100 mm  length 205 to 305 mm }",
            Kind::Ram,
        ),
        (
            SLIDE,
            "drive cylinder { bore 20 mm stroke 350 mm air TANK at 400 kPa throttle up 0.6 s down 1.0 s }",
            Kind::Cylinder,
        ),
        (
            PIVOT,
            "drive cord { motor servo-micro at (300, 700) mm  crank 20 mm  lever 15 mm  return gravity }",
            Kind::Cord,
        ),
    ];
    for (joint, drive, kind) in drives {
        let yard = clean(&with(joint, drive));
        let arm = limb(&yard, "fox", "arm");
        assert_eq!(arm.drive.as_ref().expect(drive).mechanism.kind(), kind, "{drive}");
    }
}

/// The cam of a limb.
fn cam(joint: &str, drive: &str) -> CamDrive {
    let yard = clean(&with(joint, drive));
    match &limb(&yard, "fox", "arm").drive.as_ref().unwrap().mechanism {
        DriveKind::Cam(c) => (**c).clone(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn every_word_of_a_cam_is_kept() {
    let c = cam(
        PIVOT,
        "drive cam { motor main  base 35 mm  lift 20 mm  roller 8 mm  lever 90 mm at 12 deg  \
         law modified-sine  times 2  rise 60 deg dwell 20 deg  fall 70 deg dwell 30 deg  \
         starts 15 deg  return spring 0.01 N.m }",
    );
    let sizes = [&c.base, &c.lift, &c.roller, &c.lever, &c.clamp].map(|s| s.size);
    assert_eq!(sizes, [35.0, 20.0, 8.0, 90.0, 12.0].map(Size::Given));
    assert_eq!((c.foot, c.law, c.times), (CamFoot::Roller, Law::ModifiedSine, 2));
    let turns = |m: Option<yardwright::model::CamMove>| m.map(|m| (m.turn, m.dwell)).unwrap();
    assert_eq!(turns(c.rise), (Deg(60.0), Deg(20.0)));
    assert_eq!(turns(c.fall), (Deg(70.0), Deg(30.0)));
    assert_eq!(c.starts, Some(Deg(15.0)));
    assert_eq!(c.back, Some(Return::Moment(NewtonMetre(0.01))));
    let c = cam(SLIDE, "drive cam { motor main  follower knife  offset -3 mm }");
    assert_eq!((c.foot, c.offset, c.stand_off), (CamFoot::Knife, Some(Mm(-3.0)), None));
    let c = cam(PIVOT, "drive cam { motor main  follower flat  stand-off 4 mm }");
    assert_eq!((c.foot, c.offset, c.stand_off), (CamFoot::Flat, None, Some(Mm(4.0))));
}

#[test]
fn the_textbook_s_words_mean_the_same() {
    let maker = "drive four-bar { motor main  crank 30 mm  rod 160 mm  lever 80 mm at 127 deg }";
    let book =
        "drive four-bar { motor main  crank 30 mm  coupler 160 mm  rocker 80 mm clamp 127 deg }";
    let tail = "drive four-bar { motor main  crank 30 mm  rod 160 mm  tail-hole 80 mm at 127 deg }";
    let sizes = |text: &str| {
        let yard = clean(&with(PIVOT, text));
        match &limb(&yard, "fox", "arm").drive.as_ref().unwrap().mechanism {
            DriveKind::FourBar(f) => [f.crank.size, f.rod.size, f.lever.size, f.clamp.size],
            other => panic!("{other:?}"),
        }
    };
    assert_eq!(sizes(maker), [30.0, 160.0, 80.0, 127.0].map(Size::Given));
    assert_eq!(sizes(maker), sizes(book));
    assert_eq!(sizes(maker), sizes(tail));
}

#[test]
fn a_limb_may_be_pushed_by_another() {
    let text = with(
        "pivot (480, 700) mm  tip (680, 700) mm",
        "drive four-bar from upper-arm { anchor (520, 840) mm  rod 270 mm  tail-hole 45 mm at 130 deg }",
    )
    .replace("limb arm {", "limb arm on upper-arm {");
    let yard = clean(&text);
    let arm = limb(&yard, "fox", "arm");
    assert_eq!(arm.carrier, Some(0));
    assert_eq!(arm.drive.as_ref().unwrap().source, Source::Limb(0));
    assert_eq!(arm.drive.as_ref().unwrap().mechanism.kind(), Kind::FourBarFrom);
    assert_eq!(figure(&yard, "fox").motor_of(1), Some(0));
}

#[test]
fn a_servo_on_the_shaft_stands_at_the_pivot() {
    let yard = clean(&with(
        PIVOT,
        "drive servo { motor servo-standard  zero 90 deg  pulse 1000 us at -45 deg  2000 us at 45 deg }",
    ));
    let arm = limb(&yard, "fox", "arm");
    let DriveKind::Servo(s) = &arm.drive.as_ref().unwrap().mechanism else { panic!() };
    assert!(s.rod.is_none());
    assert_eq!(s.pulses.len(), 2);
    assert_eq!((s.pulses[1].pulse.0, s.pulses[1].angle.0), (0.002, 45.0));
    let own = &figure(&yard, "fox").actuators[1];
    assert_eq!(own.at.map(|p| (p.x, p.y)), Some((300.0, 800.0)));
    assert_eq!(own.motor.kind, MotorKind::Servo);
    let yard = clean(&with(
        PIVOT,
        "drive servo { motor servo-standard at (300, 700) mm  arm 20 mm  rod 100 mm  lever 20 mm at 90 deg }",
    ));
    let DriveKind::Servo(s) = &limb(&yard, "fox", "arm").drive.as_ref().unwrap().mechanism else {
        panic!()
    };
    assert_eq!(s.rod.as_ref().unwrap().crank.size, Size::Given(20.0));
}

#[test]
fn wheels_turn_as_their_teeth_say() {
    let ratio = |drive: &str| {
        let yard = clean(&with(PIVOT, &format!("drive spin {{ motor main  {drive} }}")));
        match &limb(&yard, "fox", "arm").drive.as_ref().unwrap().mechanism {
            DriveKind::Spin(s) => (s.ratio, s.by),
            other => panic!("{other:?}"),
        }
    };
    assert_eq!(ratio(""), (1.0, "direct"));
    assert_eq!(ratio("belt 20 40 pitch 5 mm length 550 mm"), (0.5, "belt"));
    assert_eq!(ratio("belt 20 40 crossed"), (-0.5, "belt"));
    assert_eq!(ratio("chain 12 36"), (12.0 / 36.0, "chain"));
    assert_eq!(ratio("gears 12 24"), (-0.5, "gears"));
    assert_eq!(ratio("gears 12 17 24"), (0.5, "gears"));
    assert_eq!(ratio("ratio 1/3"), (1.0 / 3.0, "direct"));
}

#[test]
fn open_sizes_keep_their_rows_and_the_place_of_the_mark() {
    let yard = clean(&with(
        PIVOT,
        "drive four-bar { motor main  crank ? 30 to 60 mm by 10 mm  rod ? 100 to 300 mm  lever ?  at ?\n standoff 20 mm  prefer build }",
    ));
    let drive = limb(&yard, "fox", "arm").drive.as_ref().unwrap();
    let DriveKind::FourBar(f) = &drive.mechanism else { panic!() };
    assert_eq!(f.crank.size, Size::Row { lo: 30.0, hi: 60.0, step: 10.0 });
    assert_eq!(f.rod.size, Size::Between { lo: 100.0, hi: 300.0 });
    assert_eq!(f.clamp.size, Size::Free);
    let ask = f.crank.ask.expect("a mark");
    assert_eq!(ask.hi - ask.lo, 1);
    assert_eq!(drive.standoff.map(|s| s.0), Some(20.0));
}

/// A drive without a motor asks for one that fits it; a limb without a drive for a drive.
#[test]
fn a_drive_without_its_motor_asks_for_one_that_fits() {
    let asked = |drive: &str| {
        let joint = if drive.contains("yoke") { SLIDE } else { PIVOT };
        let yard = clean(&with(joint, drive));
        let notes = &limb(&yard, "fox", "arm").not_checked;
        let note = notes.iter().find(|n| n.what.starts_with("motion (")).expect("it is asked for");
        (note.what.clone(), note.settle.clone())
    };
    for (drive, motor) in [
        ("cord { bore 16 mm  stroke 15 mm  air tank at 400 kPa  lever ? at ? }", "cylinder-16"),
        ("cord { horn ?  lever ? at ? }", "servo-micro"),
        ("servo", "servo-standard"),
        ("scotch-yoke { crank 30 mm }", "wiper"),
        ("cam { lift 20 mm }", "wiper"),
    ] {
        let (what, settle) = asked(&format!("drive {drive}"));
        assert_eq!(what, "motion (its drive names no motor)", "{drive}");
        assert_eq!(settle, format!("motor {motor} at (x, y) mm"), "{drive}");
        // What is asked for is taken.
        let (kind, rest) = drive.split_once(" {").unwrap_or((drive, " }"));
        let filled = settle.replace("(x, y)", "(300, 500)");
        let yard = clean(&with(
            if drive.contains("yoke") { SLIDE } else { PIVOT },
            &format!("drive {kind} {{ {filled} {rest}"),
        ));
        assert!(limb(&yard, "fox", "arm").drive.is_some(), "{drive}");
    }
    assert_eq!(asked("").0, "motion (no drive)");
}
