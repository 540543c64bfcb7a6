//! The tail of a strip whose tail nobody said, once the rod's hole in it is found.

use super::{Bench, Fitted, FittedFigure, SizeName};
use crate::geometry::{Dir, OnLimb, Outline};
use crate::model::{Limb, Note};
use crate::units::{Deg, Mm, System, print};

/// How far behind the pivot the hole of the rod is in the limb itself, as drilled; less than
/// nought before it.
fn hole(limb: &Limb, mechanism: &Fitted) -> Option<Mm> {
    let lever = mechanism.drilled(SizeName::Lever).filter(|_| limb.is_its_own_lever())?;
    let clamp = Dir::degrees(Deg(mechanism.drilled(SizeName::Clamp).unwrap_or(0.0)));
    Some(Mm(-lever * clamp.x()))
}

impl FittedFigure {
    /// How far a limb's strip is cut on behind its pivot where no tail was said; `None` for
    /// other limbs.
    #[must_use]
    pub fn assumed_tail(&self, limb: usize) -> Option<Mm> {
        let said = self.figure.limbs.get(limb)?;
        let mechanism = self.limbs.get(limb).and_then(|l| l.mechanism.as_ref());
        said.assumed_tail(mechanism.and_then(|m| hole(said, m)))
    }

    /// A limb's outline as it is cut, in its own plane.
    #[must_use]
    pub fn as_cut(&self, limb: usize) -> Option<Outline<OnLimb>> {
        self.figure.limbs.get(limb)?.as_cut(self.assumed_tail(limb))
    }
}

impl Bench<'_> {
    /// Tells the tail that was assumed as long as the hole that was found asks for.
    pub(super) fn tail_as_found(&mut self, made: &Fitted) {
        let found = hole(self.limb, made);
        let (Some(tail), true) = (self.limb.assumed_tail(found), found.is_some()) else { return };
        let step = if self.figure.system == System::Inch { 25.4 / 8.0 } else { 1.0 };
        let told = print::size(Mm((tail.0 / step).round() * step), 0, self.figure.system);
        let word = "tail ";
        if let Some(note) = self.assumed.iter_mut().find(|n| n.settle.starts_with(word)) {
            let name = &self.limb.name.value;
            *note = Note::new(
                format!("{name} cut with a tail of {told} behind its pivot, not weighed"),
                format!("{word}{told}"),
            );
        }
    }
}
