//! Continuous turning.

use super::{Bench, Fitted, FittedSpin};
use crate::model::{Action, SpinDrive};

impl Bench<'_> {
    pub(super) fn spin(&mut self, said: &SpinDrive) -> Option<Fitted> {
        self.refuse_gestures(
            "a spin drive",
            |a| matches!(a, Action::Spin { .. } | Action::On | Action::Off),
            "`spin 1 turn per T`, `on` and `off`",
        );
        Some(Fitted::Spin(FittedSpin { ratio: said.ratio }))
    }
}
