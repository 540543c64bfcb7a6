//! A drive seen in the mirror, and a drive of another size.

use crate::mechanism::{Assembly, Size};
use crate::model::{
    CamDrive, CordDrive, DriveKind, ForearmDrive, FourBarDrive, Limb, Note, ServoDrive, Sized,
    SliderDrive, SlottedDrive, StrutDrive, YokeDrive,
};
use crate::units::Deg;

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
            zero: s.zero.map(direction),
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

/// A limb's drive on a board of another size: what is fixed to the board moves with
/// it. Rods, cords and clamps belong to distances on the board, so they are left
/// open again, and this is noted.
pub(super) fn scaled(limb: &mut Limb, map: Map) {
    let Some(drive) = limb.drive.as_mut() else { return };
    let (sizes, note): (Vec<&mut Sized>, Note) = match &mut drive.mechanism {
        DriveKind::FourBar(f) => (vec![&mut f.rod, &mut f.clamp], rod_and_clamp()),
        DriveKind::Servo(s) => match &mut s.rod {
            Some(f) => (vec![&mut f.rod, &mut f.clamp], rod_and_clamp()),
            None => return,
        },
        DriveKind::SliderCrank(s) => (
            vec![&mut s.rod],
            Note::new("rod left open (a copy of another size needs its own)", "rod ?"),
        ),
        DriveKind::Forearm(f) => {
            f.anchor = f.anchor.map(|p| map.point(p));
            f.anchor_open = f.anchor_open.map(|o| o.map(|o| map.open(o)));
            (vec![&mut f.rod, &mut f.clamp], rod_and_clamp())
        }
        DriveKind::Strut(s) => {
            s.anchor = s.anchor.map(|p| map.point(p));
            s.anchor_open = s.anchor_open.map(|o| o.map(|o| map.open(o)));
            (
                vec![&mut s.lever, &mut s.clamp],
                Note::new("lever left open (a copy of another size needs its own)", "lever ? at ?"),
            )
        }
        DriveKind::Cord(c) => {
            for eye in &mut c.guides {
                *eye = map.point(*eye);
            }
            (
                vec![&mut c.length, &mut c.clamp],
                Note::new(
                    "cord and clamp left open (a copy of another size needs its own)",
                    "length ?  lever ? at ?",
                ),
            )
        }
        DriveKind::SlottedArm(_)
        | DriveKind::ScotchYoke(_)
        | DriveKind::Cam(_)
        | DriveKind::Spin(_) => return,
    };
    let given = |s: &Sized| matches!(s.size, Size::Given(_));
    if sizes.iter().any(|s| given(s)) {
        limb.assumed.push(note);
    }
    for size in sizes {
        *size = Sized { size: Size::Free, ask: None, ..*size };
    }
}

fn rod_and_clamp() -> Note {
    Note::new(
        "rod and clamp left open (a copy of another size needs its own)",
        "rod ?  lever ? at ?",
    )
}
