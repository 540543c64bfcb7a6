//! Places that something must hold and that lie beside the board: pivots, motors, anchors of
//! rams and second rods, eyes of cords.
//!
//! A number typed wrong, or measured from another corner, lands there. A member of the frame
//! that reaches so far holds them too.

use super::codes;
use super::distance::{Corner, outside};
use super::stack::{self, Role};
use super::told::Told;
use crate::finding::Step;
use crate::geometry::BoardPoint;
use crate::model::{DriveKind, Joint};
use crate::units::{Mm, print};

/// A hole on the board's very edge is drilled off it by half, mm.
const EDGE: f64 = 0.5;

impl Told<'_> {
    /// Everything that nothing holds.
    pub(super) fn held(&mut self) {
        let Some(board) = self.stack.parts.iter().find(|p| p.layer.role == Role::Board) else {
            return;
        };
        let board = board.corners.clone();
        let figure = &self.fitted.figure;
        let members: Vec<Vec<Corner>> = figure.frame.iter().filter_map(stack::member).collect();
        let wanted: Vec<(usize, &str, BoardPoint)> = (0..figure.limbs.len())
            .filter(|l| !figure.limbs[*l].poisoned)
            .flat_map(|l| {
                self.places(l, members.is_empty()).into_iter().map(move |(w, p)| (l, w, p))
            })
            .collect();
        for (limb, what, at) in wanted {
            let corner = [at.x, at.y];
            let beside = outside(corner, &board);
            if beside <= EDGE || members.iter().any(|m| outside(corner, m) <= EDGE) {
                continue;
            }
            let system = self.fitted.figure.system;
            let place = print::place((at.x, at.y), 0, system);
            let message = format!(
                "the {what} of {} at {place} lies {} beside the board, and nothing is there to hold it.",
                self.name(limb),
                self.size(beside, 0)
            );
            let finding = self.tell(&codes::NOTHING_HOLDS, limb, message);
            finding.help = Some(
                "move it onto the board, or draw the member of the frame that holds it.".to_owned(),
            );
            finding.worked = vec![
                Step::given("its place", place),
                Step::new("from there to the board's outline", "", print::fine(Mm(beside), system)),
            ];
        }
    }

    /// The places of a limb that board or frame must hold. Of a figure with a frame other
    /// checks say what is behind pivots and motors (`bare`: it has none).
    fn places(&self, limb: usize, bare: bool) -> Vec<(&'static str, BoardPoint)> {
        let figure = &self.fitted.figure;
        let own = &figure.limbs[limb];
        let mut places = Vec::new();
        let mut add = |what, at: Option<BoardPoint>| places.extend(at.map(|at| (what, at)));
        if let Joint::Pivot { at, .. } = own.joint {
            add("pivot", at.filter(|_| bare && own.carrier.is_none()));
        }
        let motor = figure
            .motor_of(limb)
            .filter(|m| (0..limb).all(|before| figure.motor_of(before) != Some(*m)) && bare);
        if let Some((index, motor)) = motor.and_then(|m| Some((m, figure.actuators.get(m)?)))
            && !motor.rides
        {
            let on_pivot =
                matches!(own.joint, Joint::Pivot { at: Some(p), .. } if motor.at == Some(p));
            let at = motor.at.or_else(|| self.fitted.place_of(index));
            add("motor", at.filter(|_| !on_pivot));
        }
        if figure.motor_rides(limb) {
            return places;
        }
        add("anchor", self.fitted.anchor(limb));
        if let Some(DriveKind::Cord(cord)) = own.drive.as_ref().map(|d| &d.mechanism) {
            for eye in &cord.guides {
                add("cord guide", Some(*eye));
            }
        }
        places
    }
}
