//! Where a linkage lies on its board: what decides between answers that push
//! equally well.

use crate::geometry::{BoardPoint, Dir};
use crate::mechanism::FourBar;
use crate::model::Figure;
use crate::units::Deg;

/// Crank positions looked at; a tie needs no more.
const LOOKS: u32 = 24;

/// 0 where rod and lever stay behind the board and clear of the frame's members
/// all the way round, 1 where they cross a member, 2 where they come out from
/// behind the board, 3 both.
pub(super) fn rate(figure: &Figure, linkage: &FourBar) -> u32 {
    let (mut outside, mut crossing) = (false, false);
    for n in 0..LOOKS {
        let crank = Dir::degrees(Deg(360.0 * f64::from(n) / f64::from(LOOKS)));
        let Ok((crank_pin, lever_pin)) = linkage.pins(crank) else { continue };
        let rod = [0.0, 0.25, 0.5, 0.75, 1.0].map(|share| crank_pin.toward(lever_pin, share));
        let lever = [0.5, 1.0].map(|share| linkage.pivot().toward(lever_pin, share));
        if let Some(board) = &figure.board.outline {
            outside |= rod.iter().chain(&lever).any(|p| !board.contains(*p));
        }
        crossing |= rod[1..4].iter().any(|p| on_frame(figure, *p));
    }
    2 * u32::from(outside) + u32::from(crossing)
}

/// Whether a point lies over a member of the frame.
fn on_frame(figure: &Figure, p: BoardPoint) -> bool {
    figure.frame.iter().any(|member| {
        let (along, reach) = (member.to - member.from, p - member.from);
        let length = along.length();
        let Some(dir) = along.dir() else { return false };
        let (x, y) = (reach.x * dir.x() + reach.y * dir.y(), reach.y * dir.x() - reach.x * dir.y());
        x >= 0.0 && x <= length.0 && y.abs() * 2.0 <= member.width.0
    })
}
