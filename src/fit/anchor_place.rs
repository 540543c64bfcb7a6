//! An anchor whose place is open: of a ram or cylinder on the frame, inside a
//! rectangle or along a line; of a second rod also anywhere on the frame or board.
//!
//! A place is judged like a motor's, by fitting the limb from there. A mirrored limb
//! takes the image of the place that was found for its original.

use std::borrow::Cow;

use super::asked::{Counted, motion};
use super::codes::NO_PLACE;
use super::motor_place::{carrier_at_rest, home, no_frame_rides};
use super::place_search::{Effort, Nowhere, Sought};
use super::region::Region;
use super::strut::Said;
use super::strut_stands;
use super::{Bench, fit_at, fit_quickly, upper};
use crate::finding::{Finding, Severity, Spanned};
use crate::geometry::{Board, BoardPoint, Outline};
use crate::mechanism::{Lengths, Slide};
use crate::model::{DriveKind, Figure, Joint, Source};
use crate::syntax::Open;

/// Puts every open anchor in its place that a place was found for; reports those for
/// which none works.
pub(super) fn found<'a>(figure: Cow<'a, Figure>, findings: &mut Vec<Finding>) -> Cow<'a, Figure> {
    let mut placed = figure;
    for limb in upper::order(&placed) {
        let Some(open) = question(&placed, limb) else { continue };
        if placed.motor_rides(limb) && open.value.on_frame {
            findings.push(no_frame_rides(&placed, &open, limb));
            continue;
        }
        match of_original(&placed, limb) {
            Some(Some(at)) => put(placed.to_mut(), limb, at),
            Some(None) => {}
            None => match search(&placed, limb, &open) {
                Some(Ok(at)) => put(placed.to_mut(), limb, at),
                Some(Err(no)) => findings.push(none(&placed, limb, &open, &no)),
                None => {}
            },
        }
    }
    placed
}

/// The place asked for, where it takes a search.
fn question(figure: &Figure, limb: usize) -> Option<Spanned<Open>> {
    let drive = figure.limbs[limb].drive.as_ref().filter(|_| !figure.limbs[limb].poisoned)?;
    match (&drive.mechanism, drive.source) {
        (DriveKind::Forearm(f), _) => f.anchor_open.filter(|_| f.anchor.is_none()),
        (DriveKind::Strut(s), Source::Motor(motor)) if s.anchor.is_none() => {
            let open = s.anchor_open.or(figure.actuators[motor].at_open)?;
            // Anywhere, or on a pivot in the direction of a point, is solved in closed form.
            let slides = matches!(figure.limbs[limb].joint, Joint::Slide { .. });
            let near = slides && open.value.near.is_some() || figure.motor_rides(limb);
            (open.value.on_frame || open.value.corner.is_some() || near).then_some(open)
        }
        _ => None,
    }
}

/// The image of the place found for the limb that this one mirrors; `None` where it
/// mirrors none.
fn of_original(figure: &Figure, limb: usize) -> Option<Option<BoardPoint>> {
    let mirrors = figure.limbs[limb].mirrors.as_ref()?;
    let original = &figure.limbs[figure.limb(&mirrors.limb)?];
    let at = original.drive.as_ref().and_then(|d| match &d.mechanism {
        DriveKind::Forearm(f) => f.anchor,
        DriveKind::Strut(s) => s.anchor,
        _ => None,
    });
    Some(at.map(|at| at.mirrored(mirrors.line)))
}

fn put(figure: &mut Figure, limb: usize, at: BoardPoint) {
    let open = match figure.limbs[limb].drive.as_ref().map(|d| d.source) {
        Some(Source::Motor(motor)) => figure.actuators[motor].at_open,
        _ => None,
    };
    match figure.limbs[limb].drive.as_mut().map(|d| &mut d.mechanism) {
        Some(DriveKind::Forearm(f)) => f.anchor = Some(at),
        Some(DriveKind::Strut(s)) => {
            s.anchor = Some(at);
            // Asked for as the motor's place it is its anchor's all the same.
            s.anchor_open = s.anchor_open.or(open);
        }
        _ => {}
    }
}

/// The limb and everything it hangs on.
pub(super) fn chain(figure: &Figure, limb: usize) -> Vec<usize> {
    let mut chain = vec![limb];
    let mut next = 0;
    while let Some(&at) = chain.get(next) {
        let above = figure.limbs[at].drive.as_ref().and_then(|d| match d.source {
            Source::Limb(above) => Some(above),
            Source::Motor(_) => None,
        });
        let needed: Vec<usize> = above.into_iter().chain(figure.limbs[at].carrier).collect();
        chain.extend(needed.into_iter().filter(|l| !chain.contains(l)).collect::<Vec<_>>());
        next += 1;
    }
    chain
}

/// The place, or why there is none; `None` where it cannot be looked for: what is
/// missing is then noted, and what is wrong with a limb above is told there.
fn search(
    figure: &Figure,
    limb: usize,
    open: &Spanned<Open>,
) -> Option<Result<BoardPoint, Box<Nowhere>>> {
    let rides = figure.motor_rides(limb);
    let region = match rides {
        true => Region::on_carrier(&open.value, figure, limb)?,
        false => Region::of(&open.value, figure)?,
    };
    let board = figure.board.outline.as_ref().filter(|_| !rides && region.is_area());
    let region = match board {
        Some(board) => match region.on_board(board) {
            Some(on) => on,
            None => {
                let why = Some("All of it lies off the board.".to_owned());
                return Some(Err(Box::new(Nowhere { why, works: None })));
            }
        },
        None => region,
    };
    let home = home(&figure.limbs[limb])?;
    if figure.limbs[limb].gestures.is_empty() {
        return None;
    }
    let fitted = chain(figure, limb);
    let above = fit_at(figure, &fitted[1..]);
    let sound = fitted[1..].iter().all(|&l| above.limbs[l].mechanism.is_some());
    if !sound || above.findings.iter().any(|f| f.severity == Severity::Error) {
        return None;
    }
    if !rides && let Some(at) = on_guide(figure, limb, &region, board) {
        return Some(Ok(at));
    }
    let standing = if rides { carrier_at_rest(figure, limb, open) } else { None };
    let (figure, fitted) = match &standing {
        Some(figure) => (figure, vec![limb]),
        None => (figure, fitted),
    };
    let effort = if fitted.len() > 1 { Effort::ROD } else { Effort::USUAL };
    let put: &dyn Fn(&mut Figure, BoardPoint) = &|figure, at| put(figure, limb, at);
    let lines = super::guide_places::lines(figure, limb);
    let sought =
        Sought { home, judged: &[limb], fitted: &fitted, effort, lines, board, put, told: true };
    let done: Vec<_> = above.limbs.into_iter().map(Some).collect();
    let mut told = Vec::new();
    let mut bench = Bench::of(figure, &figure.limbs[limb], &done, &mut told);
    let guessed = match figure.limbs[limb].drive.as_ref().map(|d| (&d.mechanism, d.source)) {
        Some((DriveKind::Forearm(said), Source::Limb(above))) => bench.push_by_anchor(said, above),
        _ => None,
    };
    let found = guessed.and_then(|mut push| sought.by_guess(figure, &region, &mut push));
    Some(found.map_or_else(|| sought.search(figure, &region), Ok))
}

/// The best place of a region for a strut beside a guide, in closed form; `None` where the
/// limb turns, or none does.
fn on_guide(
    figure: &Figure,
    limb: usize,
    region: &Region,
    board: Option<&Outline<Board>>,
) -> Option<BoardPoint> {
    let own = &figure.limbs[limb];
    let (Joint::Slide { from, to }, Some(drive)) = (&own.joint, &own.drive) else { return None };
    let (DriveKind::Strut(strut), Source::Motor(motor)) = (&drive.mechanism, drive.source) else {
        return None;
    };
    let said = Said { drive, strut, actuator: &figure.actuators[motor] };
    let (short, long) = said.length()?;
    let sought = strut_stands::Sought {
        limb: own,
        said: &said,
        guide: Slide::between(*from, *to)?,
        long: from.distance(*to),
        asked: own.gestures.iter().find_map(|g| motion(g, Counted::Millimetres))?,
        lengths: Lengths::new(short, long).ok()?,
        anchor: strut_stands::Anchor::In(region, board),
        system: figure.system,
    };
    let mut placed = figure.clone();
    placed.limbs[limb].measured = own.measured.without_motion();
    sought.ranked().first().map(|best| best.ram.anchor()).filter(|at| {
        put(&mut placed, limb, *at);
        !fit_quickly(&placed, &[limb]).findings.iter().any(|f| f.severity == Severity::Error)
    })
}

fn none(figure: &Figure, limb: usize, open: &Spanned<Open>, no: &Nowhere) -> Finding {
    let name = &figure.limbs[limb].name.value;
    let what = format!(
        "no place that this leaves open for the anchor lets {}.{name} move as asked.",
        figure.name.value
    );
    let wider =
        "none near it does either: leave rod and lever open too (`?`), or ask for another motion.";
    let (message, help) = no.told(what, wider, figure.system);
    Finding::new(&NO_PLACE, open.place, message).about(&figure.name.value, Some(name)).help(help)
}
