//! How a lever is clamped on its bolt, in words and on the limb's sheet.

use super::Shop;
use super::plates::on_sheet;
use crate::emit::paper::Drawing;
use crate::emit::svg::{Line, P};
use crate::emit::words::decimal;
use crate::make::ClampSet;
use crate::units::Deg;

/// Where a clamp angle counts from, and from which side.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum From {
    /// The viewers' side, as the limbs' sheets are drawn.
    Front,
    /// The side that levers are clamped on.
    Behind,
}

/// "121.0 deg clockwise of the line to the tip".
pub fn turned(angle: Deg, from: From) -> String {
    let seen = match from {
        From::Front => angle.0,
        From::Behind => -angle.0,
    };
    if angle.0.abs() < 0.05 {
        return "along the line to the tip".to_owned();
    }
    let way = if seen < 0.0 { "clockwise" } else { "counter-clockwise" };
    format!("{} deg {way} of the line to the tip", decimal(seen.abs(), 1))
}

/// "from its pin to the tip 412 mm".
pub fn tape(shop: &Shop<'_>, set: &ClampSet) -> Option<String> {
    let from = if set.bar.slotted { "the slot's far end" } else { "its pin" };
    set.to_tip.map(|l| format!("from {from} to the tip {}", shop.place(l.0)))
}

/// All of it on one line, seen from where the lever is clamped.
pub fn line(shop: &Shop<'_>, set: &ClampSet) -> String {
    let tape = tape(shop, set).map_or(String::new(), |t| format!("; {t}"));
    format!(
        "{} {} clamped {}, seen from behind{tape}",
        set.bar.name(),
        shop.place(set.bar.long.0),
        turned(set.angle, From::Behind)
    )
}

/// The lever behind the limb: hidden edges, its middle line, a cross at its pin.
pub fn draw(to: &mut Drawing, set: &ClampSet) {
    let (pin, long) = ((set.bar.pin.x, set.bar.pin.y), set.bar.long.0);
    if long <= 0.0 {
        return;
    }
    let (ux, uy) = (pin.0 / long, pin.1 / long);
    let (before, half) = (set.beyond, crate::space::BAR_HALF);
    let at =
        |along: f64, left: f64| -> P { on_sheet((ux * along - uy * left, uy * along + ux * left)) };
    let far = long + before;
    to.path(
        Line::Dashed,
        &[at(-before, half), at(far, half), at(far, -half), at(-before, -half)],
        true,
    );
    to.line(Line::Chain, at(0.0, 0.0), at(far, 0.0));
    to.cross(on_sheet(pin), 5.0);
}

/// The words beside its pin on the limb's sheet, which is seen from the front.
pub fn label(shop: &Shop<'_>, set: &ClampSet) -> Vec<String> {
    let what = if set.bar.slotted { "far end of its slotted lever" } else { "lever pin" };
    let mut lines = vec![
        format!("{what}, behind the board"),
        format!("{} from the pivot", shop.place(set.bar.long.0)),
        turned(set.angle, From::Front),
    ];
    lines.extend(tape(shop, set));
    lines
}
