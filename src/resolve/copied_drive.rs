//! A drive seen in the mirror, and a drive of another size.

use crate::mechanism::{Assembly, Size};
use crate::model::{
    CamDrive, CordDrive, DriveKind, ForearmDrive, FourBarDrive, Limb, MotorType, Note, ServoDrive,
    Sized, SliderDrive, SlottedDrive, StrutDrive, YokeDrive,
};
use crate::units::{Deg, Mm};

use super::copies::Map;

/// The mechanism in the mirror: levers, offsets and leans lie on the other side,
/// what is fixed to the board stands at `across` of its place.
pub(super) fn mirrored(mechanism: &DriveKind, map: Map) -> DriveKind {
    let across = |p| map.point(p);
    let flipped = |a: Option<Assembly>| a.map(Assembly::other);
    match mechanism {
        DriveKind::FourBar(f) => DriveKind::FourBar(mirrored_bars(f)),
        DriveKind::Servo(s) => DriveKind::Servo(ServoDrive {
            rod: s.rod.as_ref().map(mirrored_bars),
            // The servo itself is no other; that it turns the other way is its motor's.
            zero: Sized { size: s.zero.size.mapped(|a| direction(Deg(a)).0), ..s.zero },
            ..s.clone()
        }),
        DriveKind::Cam(c) => DriveKind::Cam(Box::new(CamDrive {
            clamp: negated(c.clamp),
            offset: c.offset.map(|o| -o),
            starts: c.starts.map(direction),
            ..(**c).clone()
        })),
        DriveKind::SlottedArm(s) => DriveKind::SlottedArm(SlottedDrive {
            clamp: negated(s.clamp),
            offset: -s.offset,
            ..s.clone()
        }),
        DriveKind::SliderCrank(s) => DriveKind::SliderCrank(SliderDrive {
            offset: s.offset.map(|o| -o),
            tilt: -s.tilt,
            ..s.clone()
        }),
        DriveKind::ScotchYoke(y) => DriveKind::ScotchYoke(YokeDrive {
            tilt: -y.tilt,
            offset: y.offset.map(|o| -o),
            ..y.clone()
        }),
        DriveKind::Forearm(f) => DriveKind::Forearm(Box::new(ForearmDrive {
            anchor: f.anchor.map(across),
            anchor_open: f.anchor_open.map(|o| o.map(|o| map.open(o))),
            clamp: negated(f.clamp),
            assembly: flipped(f.assembly),
            ..(**f).clone()
        })),
        DriveKind::Strut(s) => DriveKind::Strut(Box::new(StrutDrive {
            anchor: s.anchor.map(across),
            anchor_open: s.anchor_open.map(|o| o.map(|o| map.open(o))),
            clamp: negated(s.clamp),
            assembly: flipped(s.assembly),
            ..(**s).clone()
        })),
        DriveKind::Cord(c) => DriveKind::Cord(Box::new(CordDrive {
            guides: c.guides.iter().map(|&g| across(g)).collect(),
            clamp: negated(c.clamp),
            assembly: flipped(c.assembly),
            ..(**c).clone()
        })),
        DriveKind::Spin(_) => mechanism.clone(),
    }
}

/// An absolute direction seen in the mirror.
fn direction(angle: Deg) -> Deg {
    Deg(180.0) - angle
}

fn mirrored_bars(f: &FourBarDrive) -> FourBarDrive {
    FourBarDrive { clamp: negated(f.clamp), assembly: f.assembly.map(Assembly::other), ..f.clone() }
}

/// The lever on the other side of the limb's axis.
fn negated(s: Sized) -> Sized {
    Sized { size: s.size.negated(), ..s }
}

/// A limb's drive on a board of another size.
///
/// What is fixed to the board moves with it, and what is cut for this figure alone
/// (cam, slot, offsets) takes its size. What is bought or drilled to a pitch stays:
/// rows of holes, rollers, motors. Rods, cords and clamps belong to distances on the
/// board, so they are left open again; so is a crank that alone decides how far its
/// limb moves, to be another hole of its row. What was given and is left open is noted.
pub(super) fn scaled(limb: &mut Limb, map: Map, motor: Option<&MotorType>) {
    let Some(drive) = limb.drive.as_mut() else { return };
    let note = match &mut drive.mechanism {
        DriveKind::FourBar(f) => rod_and_clamp(f, map),
        DriveKind::Servo(s) => s.rod.as_mut().and_then(|f| rod_and_clamp(f, map)),
        DriveKind::SliderCrank(s) => {
            s.offset = s.offset.map(|o| map.length(o));
            let crank = crank_again(&mut s.crank, motor, map);
            let rod = rod_again(&mut s.rod, map);
            match (crank, rod) {
                (false, false) => None,
                (false, true) => Some(open_again("rod", "rod ?")),
                (true, _) => Some(open_again("crank and rod", "crank ?  rod ?")),
            }
        }
        DriveKind::ScotchYoke(y) => {
            y.offset = y.offset.map(|o| map.length(o));
            crank_again(&mut y.crank, motor, map).then(|| open_again("crank", "crank ?"))
        }
        DriveKind::SlottedArm(s) => {
            s.offset = map.length(s.offset);
            s.slot.size = resized(s.slot.size, map);
            crank_again(&mut s.crank, motor, map).then(|| open_again("crank", "crank ?"))
        }
        DriveKind::Cam(c) => {
            for size in [&mut c.base, &mut c.lift, &mut c.lever] {
                size.size = resized(size.size, map);
            }
            c.offset = c.offset.map(|o| map.length(o));
            c.stand_off = c.stand_off.map(|o| map.length(o));
            None
        }
        DriveKind::Forearm(f) => {
            f.anchor = f.anchor.map(|p| map.point(p));
            f.anchor_open = f.anchor_open.map(|o| o.map(|o| map.open(o)));
            let (rod, clamp) = (rod_again(&mut f.rod, map), again(&mut f.clamp));
            (rod || clamp).then(|| open_again("rod and clamp", "rod ?  lever ? at ?"))
        }
        DriveKind::Strut(s) => {
            s.anchor = s.anchor.map(|p| map.point(p));
            s.anchor_open = s.anchor_open.map(|o| o.map(|o| map.open(o)));
            let (lever, clamp) = (again(&mut s.lever), again(&mut s.clamp));
            (lever || clamp).then(|| open_again("lever", "lever ? at ?"))
        }
        DriveKind::Cord(c) => {
            for eye in &mut c.guides {
                *eye = map.point(*eye);
            }
            let (length, clamp) = (again(&mut c.length), again(&mut c.clamp));
            (length || clamp).then(|| open_again("cord and clamp", "length ?  lever ? at ?"))
        }
        DriveKind::Spin(_) => None,
    };
    limb.assumed.extend(note);
}

fn open_again(what: &str, settle: &str) -> Note {
    Note::new(format!("{what} left open (a copy of another size needs its own)"), settle)
}

fn rod_and_clamp(f: &mut FourBarDrive, map: Map) -> Option<Note> {
    let (rod, clamp) = (rod_again(&mut f.rod, map), again(&mut f.clamp));
    (rod || clamp).then(|| open_again("rod and clamp", "rod ?  lever ? at ?"))
}

/// Leaves a size open again, a hole of its row where it has one; whether it was given.
fn again(size: &mut Sized) -> bool {
    let given = !size.is_open();
    size.size = match size.row {
        Some((lo, hi, step)) => Size::Row { lo, hi, step },
        None => Size::Free,
    };
    size.ask = None;
    given
}

/// The same for a rod: its row goes on downwards by the same steps, since what lies
/// between motor and limb is smaller on a smaller board. Upwards it ends where the
/// stock does.
fn rod_again(rod: &mut Sized, map: Map) -> bool {
    if let Some((lo, hi, step)) = rod.row.filter(|r| r.2 > 0.0) {
        let lower = (lo - map.length(Mm(lo)).0).max(0.0);
        let first = lo - libm::ceil(lower / step) * step;
        // By whole steps never down to nothing.
        let first = if first > step * 1e-3 { first } else { first + step };
        rod.row = Some((first.min(lo), hi, step));
    }
    again(rod)
}

/// The same for a crank that alone decides how far its limb moves: another hole of
/// its row, or of its motor's crank where it is one of those; else about the size it
/// has on the smaller board.
fn crank_again(crank: &mut Sized, motor: Option<&MotorType>, map: Map) -> bool {
    let Size::Given(at) = crank.size else { return false };
    let of_motor = motor.and_then(|m| m.crank_holes).map(|(lo, hi, step)| (lo.0, hi.0, step.0));
    let is_hole = |&(lo, hi, step): &(f64, f64, f64)| {
        let nth = libm::round((at - lo) / step);
        step > 0.0 && (lo + nth * step - at).abs() < 1e-6 && (lo - 1e-6..=hi + 1e-6).contains(&at)
    };
    crank.row = crank.row.or_else(|| of_motor.filter(is_hole));
    let given = again(crank);
    if crank.size == Size::Free {
        let at = map.length(Mm(at)).0;
        crank.size = Size::Between { lo: ABOUT.0 * at, hi: ABOUT.1 * at };
    }
    given
}

/// How far a crank of no row may be off the size it would have if all were scaled:
/// the tolerance of the motion decides, so this need only take it in.
const ABOUT: (f64, f64) = (0.8, 1.25);

/// A size that takes the board's scale; a row of holes stays.
fn resized(size: Size, map: Map) -> Size {
    let to = |v: f64| map.length(Mm(v)).0;
    match size {
        Size::Given(v) => Size::Given(to(v)),
        Size::Between { lo, hi } => Size::Between { lo: to(lo), hi: to(hi) },
        Size::Free | Size::Row { .. } => size,
    }
}
