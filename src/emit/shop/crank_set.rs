//! How the cranks of one motor are set on its shaft beside each other: alike they may be,
//! and clamped at different angles.

use super::Shop;
use crate::emit::words::decimal;
use crate::fit::PinBeside;
use crate::make::{Bar, BarKind};

/// Pins nearer to each other, mm, are one pin; and angles nearer, deg, one angle.
pub const ALIKE: f64 = 0.05;

/// "28 deg clockwise of that of left", of a limb whose motor has a crank before its own.
pub fn turned(shop: &Shop<'_>, limb: usize) -> Option<(String, PinBeside)> {
    let beside = shop.compiled.figures[shop.at].pin_beside(limb)?;
    let first = &shop.limb(beside.first).name.value;
    // Counted counter-clockwise from the front: from behind it is the other way.
    let behind = -beside.ahead.signed().0;
    let set = match behind {
        by if by.abs() < ALIKE => format!("in line with that of {first}"),
        by => {
            let way = if by < 0.0 { "clockwise" } else { "counter-clockwise" };
            format!("{} deg {way} of that of {first}", decimal(by.abs(), 1))
        }
    };
    Some((set, beside))
}

/// What a sheet says of cranks that are set on a shaft beside others.
pub fn words(shop: &Shop<'_>, bar: &Bar) -> Option<String> {
    if bar.kind != BarKind::Crank {
        return None;
    }
    let each = bar.limbs.iter().filter_map(|limb| {
        let (set, beside) = turned(shop, *limb)?;
        let apart = beside.apart.filter(|a| a.0 >= ALIKE);
        let apart = apart.map_or(String::new(), |a| format!(", {} from it", shop.place(a.0)));
        Some(format!("the pin of {} {set}{apart}", shop.limb(*limb).name.value))
    });
    let each: Vec<String> = each.collect();
    (!each.is_empty()).then(|| format!("Seen from behind on the shaft: {}.", each.join("; ")))
}
