//! A limb by itself: how it moves where no show tells it anything.

use super::course::Told;
use super::{Counts, Table};
use crate::fit::{Fitted, FittedFigure};
use crate::model::{Action, Span};
use crate::units::Sec;

/// One cycle of a limb by itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Alone {
    /// The coordinate at the start.
    pub from: f64,
    /// A turn on; or the other end, from where it comes back.
    pub to: f64,
    /// Whether it turns on and on instead of to and fro.
    pub round: bool,
    /// Time of a cycle, where a gesture says it in seconds.
    pub time: Option<Sec>,
}

impl Alone {
    pub(super) fn of(fitted: &FittedFigure, index: usize, table: &Table) -> Option<Self> {
        let figure = &fitted.figure;
        let limb = &figure.limbs[index];
        let time = limb.gestures.iter().find_map(|g| cycle(&g.action));
        let rest = Told { fitted, index, table }.rest();
        let ways = figure.motor_of(index).map_or(1.0, |m| figure.actuators[m].turns.sign());
        if table.closed {
            let reversed = match &fitted.limbs[index].mechanism {
                Some(Fitted::Spin(spin)) => spin.ratio < 0.0,
                _ => false,
            };
            let turn = if reversed { -360.0 * ways } else { 360.0 * ways };
            return Some(Self { from: rest, to: rest + turn, round: true, time });
        }
        let (low, high) = table.span();
        let asked = limb.gestures.iter().find_map(|g| match &g.action {
            Action::Sweep { from, to, .. } if table.counts == Counts::Angle => {
                let on = fitted.limbs[index].riding.as_ref().filter(|_| !g.relative);
                let on = on.map_or(0.0, |r| r.at_rest.0);
                let near = |a: f64| super::nearest(a - on, (low + high) / 2.0).clamp(low, high);
                Some((near(from.value.0), near(to.value.0)))
            }
            _ => None,
        });
        let (from, to) = asked.unwrap_or((low, high));
        Some(Self { from, to, round: false, time })
    }
}

/// The time of one cycle of a gesture, where it is said in seconds.
fn cycle(action: &Action) -> Option<Sec> {
    let seconds = |span: Span| match span {
        Span::Time(t) if t.0 > 0.0 => Some(t),
        _ => None,
    };
    match action {
        Action::Sweep { cycle, .. } | Action::Stroke { cycle, .. } => {
            seconds(cycle.as_ref()?.value)
        }
        Action::Turn { over, .. } => seconds(over.as_ref()?.value).map(|t| t * 2.0),
        Action::Spin { turn, per } => {
            seconds(per.value).filter(|_| turn.0 != 0.0).map(|t| t * (360.0 / turn.0.abs()))
        }
        Action::Pose(_)
        | Action::Follow { .. }
        | Action::Pulse { .. }
        | Action::On
        | Action::Off => None,
    }
}
