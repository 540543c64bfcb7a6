//! A motor whose place is open: looked for inside a rectangle, round a point, along the
//! frame, or, of one that rides, on the limb that carries it; whatever it moves its limbs
//! by. A limb straight on its motor's shaft has its motor on its pivot; belt, chain and
//! gears say how far apart the shafts are.

use std::borrow::Cow;

use super::codes::{NO_PLACE, NOT_LOOKED_FOR};
use super::place_search::{Effort, Nowhere, ON_LINE, Sought};
use super::region::Region;
use super::{FittedFigure, SizeName, fit_at};
use crate::finding::{Finding, Spanned};
use crate::geometry::{Board, BoardPoint, Bounds, Outline};
use crate::mechanism::Size;
use crate::model::{Drive, DriveKind, Figure, Joint, Limb, Sized};
use crate::syntax::Open;
use crate::units::{Mm, print};

/// A motor's place that was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FoundPlace {
    /// The motor, by index.
    pub motor: usize,
    /// Where it stands.
    pub at: BoardPoint,
}

/// What came of looking.
enum Looked {
    /// There.
    Found(BoardPoint),
    /// Nowhere, or not at all, and this says why.
    Told(Box<Finding>),
    /// Something else that is noted is missing.
    Unknown,
}

/// The figure with every open place of a motor found; reports those for which none works.
/// Where a ram or cylinder is anchored is looked for with its other sizes.
pub(super) fn found<'a>(
    figure: &'a Figure,
    findings: &mut Vec<Finding>,
) -> (Cow<'a, Figure>, Vec<FoundPlace>) {
    let mut placed = Cow::Borrowed(figure);
    let mut places = Vec::new();
    for motor in in_order(figure) {
        let Some((open, limbs)) = question(figure, motor) else { continue };
        let looked = match of_original(&placed, figure, motor, limbs[0]) {
            Some(at) => Looked::Found(at),
            None => look(&placed, motor, open, &limbs, true),
        };
        match looked {
            Looked::Found(at) => {
                placed.to_mut().actuators[motor].at = Some(at);
                places.push(FoundPlace { motor, at });
            }
            Looked::Told(finding) => findings.push(*finding),
            Looked::Unknown => {}
        }
    }
    (placed, places)
}

/// Looks for a motor's place.
/// `told`: whether it is asked what would do where no place does.
fn look(
    placed: &Figure,
    motor: usize,
    open: &Spanned<Open>,
    limbs: &[usize],
    told: bool,
) -> Looked {
    let first = limbs[0];
    let rides = placed.motor_rides(first);
    if rides && open.value.on_frame {
        return Looked::Told(Box::new(no_frame_rides(placed, open, first)));
    }
    let Some(home) = home(&placed.limbs[first]) else { return Looked::Unknown };
    let bounded = open.value.near.is_some() || open.value.on_frame;
    let board = placed.board.outline.as_ref().filter(|_| !rides);
    let region = match rides {
        true => Region::on_carrier(&open.value, placed, first),
        false => Region::of(&open.value, placed),
    };
    let region = match (region, board) {
        (Some(region), Some(board)) => match region.on_board(board) {
            None => return Looked::Told(Box::new(off_board(placed, open, first, board))),
            on => on,
        },
        (region, _) => region,
    };
    if let Some(straight) = limbs.iter().find(|l| on_its_shaft(&placed.limbs[**l])) {
        let inside = !bounded || region.is_some_and(|r| r.nearest(home, ON_LINE).is_some());
        return match inside {
            true => Looked::Found(home),
            false => Looked::Told(Box::new(beside_pivot(placed, open, *straight, home))),
        };
    }
    let Some(region) = region else {
        return match open.value.on_frame {
            true if !placed.frame_unread => Looked::Told(Box::new(no_frame(placed, open, first))),
            _ => Looked::Unknown,
        };
    };
    if !bounded && super::spin_place::undecided(placed, first) {
        return Looked::Told(Box::new(undecided(placed, open, first)));
    }
    if let Some(at) = super::spin_place::found(placed, first, &region) {
        return Looked::Found(at);
    }
    let sought = Sought {
        home,
        judged: limbs,
        fitted: limbs,
        effort: effort(placed, limbs),
        lines: super::guide_places::lines(placed, first),
        board: board.filter(|_| region.is_area()),
        put: &|figure, at| figure.actuators[motor].at = Some(at),
        told,
    };
    // Between two arms that are images of each other it stands on their line, where any
    // place there works.
    if let Some(x) = mirror_line(placed, limbs)
        && let Some(region) = region.on_upright(x)
    {
        let on = |at: BoardPoint| BoardPoint::mm(x, at.y);
        let put: &dyn Fn(&mut Figure, BoardPoint) =
            &|figure, at| figure.actuators[motor].at = Some(on(at));
        let on_line = Sought { lines: Vec::new(), put, ..sought };
        if let Ok(at) = on_line.search(placed, &region) {
            return Looked::Found(on(at));
        }
    }
    let standing = if rides { carrier_at_rest(placed, first, open) } else { None };
    let sought = Sought { told, ..sought };
    match sought.search(standing.as_ref().unwrap_or(placed), &region) {
        Ok(at) => Looked::Found(at),
        Err(no) if !told => no.works.map_or(Looked::Unknown, Looked::Found),
        // Where nothing is asked for, that is noted.
        Err(_) if limbs.iter().all(|l| placed.limbs[*l].gestures.is_empty()) => Looked::Unknown,
        Err(no) => {
            let other = match no.works {
                None => other_size(placed, motor, open, limbs),
                Some(_) => None,
            };
            Looked::Told(Box::new(none(placed, open, first, (&no, other))))
        }
    }
}

/// What was said of one bar forgotten: the first with which some place does, both as they
/// are marked out and looked at once more.
fn other_size(
    placed: &Figure,
    motor: usize,
    open: &Spanned<Open>,
    limbs: &[usize],
) -> Option<String> {
    let names = [SizeName::Crank, SizeName::Rod, SizeName::Lever];
    let each = limbs.iter().flat_map(|l| (0..names.len()).map(move |bar| (*l, bar)));
    each.filter_map(|(limb, bar)| {
        let with = |size: Size| {
            let mut figure = placed.clone();
            let said = figure.limbs[limb].drive.as_mut()?.mechanism.bars_mut()[bar].take()?;
            let written = said.place.is_some() && said.size != Size::Free;
            said.size = size;
            written.then_some(figure)
        };
        let place = |figure: &Figure| match look(figure, motor, open, limbs, false) {
            Looked::Found(at) => Some(at),
            _ => None,
        };
        let mut free = with(Size::Free)?;
        free.actuators[motor].at = Some(place(&free)?);
        let fitted = fit_at(&free, limbs);
        let size = fitted.limbs[limb].mechanism.as_ref()?.drilled(names[bar])?;
        // As it is told, and where it then stands.
        let size = libm::round(10.0 * size) / 10.0;
        let at = place(&with(Size::Given(size))?)?;
        Some(format!(
            "with {} {} it works at {}.",
            ["crank", "rod", "lever"][bar],
            print::length(Mm(size), placed.system),
            print::place((at.x, at.y), 0, placed.system)
        ))
    })
    .next()
}

/// The image of the place found for the motor of the limb that this one mirrors.
fn of_original(placed: &Figure, figure: &Figure, motor: usize, limb: usize) -> Option<BoardPoint> {
    let mirrors = figure.limbs[limb].mirrors.as_ref()?;
    let original = figure.motor_of(figure.limb(&mirrors.limb)?).filter(|m| *m != motor)?;
    let was_open = figure.actuators[original].at.is_none();
    placed.actuators[original].at.filter(|_| was_open).map(|at| at.mirrored(mirrors.line))
}

/// The line about which two limbs of one motor are images of each other.
fn mirror_line(figure: &Figure, limbs: &[usize]) -> Option<f64> {
    limbs.iter().find_map(|&l| {
        let mirrors = figure.limbs[l].mirrors.as_ref()?;
        let original = figure.limb(&mirrors.limb)?;
        limbs.contains(&original).then_some(mirrors.line.0)
    })
}

/// How hard to look.
fn effort(figure: &Figure, limbs: &[usize]) -> Effort {
    let kinds = || limbs.iter().filter_map(|l| figure.limbs[*l].drive.as_ref());
    let open = |d: &Drive| match &d.mechanism {
        DriveKind::Servo(s) => {
            let sized = s.rod.iter().flat_map(|f| [f.crank, f.rod, f.lever, f.clamp]);
            sized.chain([s.zero]).any(|s| s.is_open())
        }
        _ => false,
    };
    if kinds().any(|d| matches!(d.mechanism, DriveKind::Cam(_))) {
        return Effort::CAM;
    }
    let slow = |d: &Drive| match &d.mechanism {
        DriveKind::Cord(c) => [c.crank, c.lever, c.clamp, c.length].iter().any(Sized::is_open),
        DriveKind::SliderCrank(s) => matches!(s.crank.size, Size::Free | Size::Between { .. }),
        _ => false,
    };
    match (kinds().any(open), kinds().any(slow)) {
        (true, _) => Effort::SERVO,
        (false, true) => Effort::SLOW,
        (false, false) => Effort::USUAL,
    }
}

/// Whether a limb sits straight on its motor's shaft.
fn on_its_shaft(limb: &Limb) -> bool {
    limb.drive.as_ref().is_some_and(|d| match &d.mechanism {
        DriveKind::Servo(s) => s.rod.is_none(),
        DriveKind::Spin(s) => s.by == "direct" && s.ratio.abs() == 1.0,
        _ => false,
    })
}

/// The motors, those of a carrier before those that ride on it.
fn in_order(figure: &Figure) -> Vec<usize> {
    let above = |motor: &usize| {
        let limb = figure.driven_by(*motor).find(|&l| figure.motor_rides(l));
        limb.map_or(0, |l| super::anchor_place::chain(figure, l).len())
    };
    let mut order: Vec<usize> = (0..figure.actuators.len()).collect();
    order.sort_by_key(above);
    order
}

/// The figure with a limb's carrier told to rest where it stands by itself: that is where
/// angles of the board are taken, and it is the same wherever the motor is tried.
pub(super) fn carrier_at_rest(
    figure: &Figure,
    limb: usize,
    open: &Spanned<Open>,
) -> Option<Figure> {
    let carrier = figure.limbs[limb].carrier?;
    let fitted = fit_at(figure, &super::anchor_place::chain(figure, carrier));
    let at = super::standing(&figure.limbs[carrier], fitted.limbs.get(carrier))?;
    let mut figure = figure.clone();
    figure.limbs[carrier].rest = Some(Spanned { value: at, place: open.place });
    Some(figure)
}

/// The open place of a motor, and the limbs that it moves; `None` where it is known, or
/// where the limbs' own errors would be told twice.
fn question(figure: &Figure, motor: usize) -> Option<(&Spanned<Open>, Vec<usize>)> {
    let actuator = &figure.actuators[motor];
    let open = actuator.at_open.as_ref().filter(|_| actuator.at.is_none())?;
    let limbs: Vec<usize> = figure.driven_by(motor).collect();
    let sound = limbs.iter().all(|&l| {
        let limb = &figure.limbs[l];
        let strut = |d: &Drive| matches!(d.mechanism, DriveKind::Strut(_));
        !limb.poisoned && limb.drive.as_ref().is_some_and(|d| !strut(d))
    });
    (sound && !limbs.is_empty()).then_some((open, limbs))
}

/// Where a limb turns, or the first end of its guide.
pub(super) fn home(limb: &Limb) -> Option<BoardPoint> {
    match limb.joint {
        Joint::Pivot { at, .. } => at,
        Joint::Slide { from, .. } => Some(from),
    }
}

fn none(
    figure: &Figure,
    open: &Spanned<Open>,
    limb: usize,
    (no, other): (&Nowhere, Option<String>),
) -> Finding {
    let limb = &figure.limbs[limb].name.value;
    let what = format!(
        "no place that this leaves open lets its motor move {}.{limb} as asked.",
        figure.name.value
    );
    let other = other.unwrap_or_else(|| {
        "none near it does either: leave crank, rod and lever open too (`?`), or ask for another motion."
            .to_owned()
    });
    let (message, help) = no.told(what, &other, figure.system);
    Finding::new(&NO_PLACE, open.place, message).about(&figure.name.value, Some(limb)).help(help)
}

/// A place for a motor none of which is on the board.
fn off_board(
    figure: &Figure,
    open: &Spanned<Open>,
    limb: usize,
    board: &Outline<Board>,
) -> Finding {
    let limb = &figure.limbs[limb].name.value;
    let Bounds { low, high } = board.bounds();
    let [low, high] = [low, high].map(|p| print::place((p.x, p.y), 1, figure.system));
    let message = format!(
        "all of the place that is left open for the motor of {}.{limb} lies off the board, which reaches from {low} to {high}.",
        figure.name.value
    );
    Finding::new(&NO_PLACE, open.place, message)
        .about(&figure.name.value, Some(limb))
        .help("leave a place on the board open, or all of it: `at ?`.")
}

/// A limb straight on its motor, whose place is looked for where its pivot is not.
fn beside_pivot(figure: &Figure, open: &Spanned<Open>, limb: usize, pivot: BoardPoint) -> Finding {
    let limb = &figure.limbs[limb];
    let at = print::place((pivot.x, pivot.y), 1, figure.system);
    let message = format!(
        "{}.{} sits straight on its motor's shaft, and its pivot at {at} is not where this lets the motor stand.",
        figure.name.value, limb.name.value
    );
    let other = match limb.drive.as_ref().map(|d| &d.mechanism) {
        Some(DriveKind::Servo(_)) => "through two arms and a rod: `crank ?  rod ?  lever ? at ?`",
        _ => "by `belt`, `chain` or `gears`",
    };
    Finding::new(&NO_PLACE, open.place, message)
        .about(&figure.name.value, Some(&limb.name.value))
        .help(format!(
            "put the motor on the pivot, `at {at}`; or lead from one to the other {other}."
        ))
}

/// A belt, chain or gears that fit anywhere.
fn undecided(figure: &Figure, open: &Spanned<Open>, limb: usize) -> Finding {
    let limb = &figure.limbs[limb].name.value;
    let message = format!(
        "the place of the motor of {}.{limb} is open, and nothing here decides how far it stands from the limb.",
        figure.name.value
    );
    Finding::new(&NOT_LOOKED_FOR, open.place, message).about(&figure.name.value, Some(limb)).help(
        "say what a belt, chain or gears are of (`belt 20 40 pitch 5 mm length 600 mm`, `gears 20 40 module 1.5 mm`), \
         or where the motor may stand: `at ? in (x, y) to (x, y) mm`.",
    )
}

/// A motor that rides, asked to stand on the frame, which stands still.
pub(super) fn no_frame_rides(figure: &Figure, open: &Spanned<Open>, limb: usize) -> Finding {
    let carrier = figure.limbs[limb].carrier.map(|c| figure.limbs[c].said());
    let carrier = carrier.unwrap_or_default();
    let limb = &figure.limbs[limb].name.value;
    let message = format!(
        "the motor of {}.{limb} rides on {carrier}, and the frame stays where it is: it cannot be on both.",
        figure.name.value
    );
    Finding::new(&NO_PLACE, open.place, message).about(&figure.name.value, Some(limb)).help(
        format!("`at ? rides` looks for a place anywhere on {carrier}; or leave `rides` out."),
    )
}

/// The frame on which a motor is to stand is not drawn.
fn no_frame(figure: &Figure, open: &Spanned<Open>, limb: usize) -> Finding {
    let limb = &figure.limbs[limb].name.value;
    let message = format!(
        "the motor of {}.{limb} is to stand on the frame, and no member of a frame is drawn.",
        figure.name.value
    );
    Finding::new(&NO_PLACE, open.place, message)
        .about(&figure.name.value, Some(limb))
        .help("draw the frame's members, or let it stand anywhere with `at ?`.")
}

impl FittedFigure {
    /// The place that was found for a motor.
    #[must_use]
    pub fn place_of(&self, motor: usize) -> Option<BoardPoint> {
        self.places.iter().find(|p| p.motor == motor).map(|p| p.at)
    }
}
