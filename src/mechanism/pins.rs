//! Where the pins of a mechanism are: what drawings show of it and tests measure.

use super::thrust::lever_end;
use super::{
    Cord, FourBar, Input, Pull, Ram, RamSlide, Rod, ScotchYoke, SliderCrank, SlottedArm, Thrust,
    cam::Cam,
};
use crate::geometry::{BoardPoint, Body};
use crate::units::Mm;

/// What a pin is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pin {
    /// A motor's shaft.
    Shaft,
    /// The pin on the crank or horn.
    Crank,
    /// The pin on the limb's lever.
    Lever,
    /// The pin of a limb that slides.
    Slide,
    /// Where the far end of a strut or of a second rod is pinned, or a cord is wound.
    Anchor,
    /// An eye a cord runs through.
    Eye,
    /// The centre of a cam's roller; of a flat face, where it touches.
    Roller,
}

impl Pin {
    /// What people call it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Shaft => "shaft",
            Self::Crank => "crank pin",
            Self::Lever => "lever pin",
            Self::Slide => "slide pin",
            Self::Anchor => "anchor",
            Self::Eye => "eye",
            Self::Roller => "roller",
        }
    }
}

/// Pins on the board, in the order in which the push runs through them.
pub type Pins = Vec<(Pin, BoardPoint)>;

fn at((x, y): (f64, f64)) -> BoardPoint {
    BoardPoint::mm(x, y)
}

/// Shaft and crank pin.
fn cranked(driver: &Body<f64>, crank: Mm) -> Pins {
    let pin = at(driver.place(crank.0, 0.0));
    vec![(Pin::Shaft, at((driver.x, driver.y))), (Pin::Crank, pin)]
}

impl FourBar {
    pub(super) fn pins_at(&self, input: &Input<f64>, limb: &Body<f64>) -> Pins {
        let mut pins = cranked(&input.driver, self.bars().crank);
        let clamp = crate::geometry::Dir::degrees(self.clamp());
        pins.push((Pin::Lever, at(lever_end(limb, self.bars().lever.0, clamp))));
        pins
    }
}

impl Rod {
    pub(super) fn pins_at(&self, input: &Input<f64>, limb: &Body<f64>) -> Pins {
        let near = input.driver.place(self.pin[0], self.pin[1]);
        let far = lever_end(limb, self.lever.0, self.clamp);
        vec![(Pin::Anchor, at(near)), (Pin::Lever, at(far))]
    }
}

impl Ram {
    pub(super) fn pins_at(&self, input: &Input<f64>, limb: &Body<f64>) -> Pins {
        let near = input.driver.place(self.anchor().x, self.anchor().y);
        let clamp = crate::geometry::Dir::degrees(self.clamp());
        let far = lever_end(limb, self.lever().0, clamp);
        vec![(Pin::Anchor, at(near)), (Pin::Lever, at(far))]
    }
}

impl RamSlide {
    /// `thrust` is its own, which touches the limb at its pin.
    pub(super) fn pins_at(&self, thrust: Option<Thrust>) -> Pins {
        let pin = thrust.map(|t| (Pin::Slide, t.at));
        std::iter::once((Pin::Anchor, self.anchor())).chain(pin).collect()
    }
}

impl SliderCrank {
    pub(super) fn pins_at(&self, input: &Input<f64>, limb: &Body<f64>) -> Pins {
        let mut pins = cranked(&input.driver, self.crank());
        pins.push((Pin::Slide, at((limb.x, limb.y))));
        pins
    }
}

impl SlottedArm {
    pub(super) fn pins_at(&self, input: &Input<f64>) -> Pins {
        cranked(&input.driver, self.crank())
    }
}

impl ScotchYoke {
    pub(super) fn pins_at(&self, input: &Input<f64>) -> Pins {
        cranked(&input.driver, self.crank())
    }
}

impl Cord {
    pub(super) fn pins_at(&self, input: &Input<f64>, limb: &Body<f64>) -> Pins {
        let mut pins = match self.pull() {
            Pull::Pin(radius) => cranked(&input.driver, radius),
            Pull::Wound { from, .. } => vec![(Pin::Anchor, from)],
        };
        pins.extend(self.guides().iter().map(|eye| (Pin::Eye, *eye)));
        pins.push((Pin::Lever, at(lever_end(limb, self.lever().0, self.clamp_dir()))));
        pins
    }
}

impl Cam {
    pub(super) fn pins_at(&self, input: &Input<f64>) -> Pins {
        let shaft = self.plan().shaft;
        let [x, y] = self.touch(input.coordinate).pitch;
        vec![(Pin::Shaft, shaft), (Pin::Roller, BoardPoint::mm(shaft.x + x, shaft.y + y))]
    }

    /// Its outline as a closed run of points, one for every degree of its turn.
    pub(super) fn drawn(&self) -> Vec<BoardPoint> {
        (0..360).map(|turn| self.cut_at(f64::from(turn).to_radians()).0).collect()
    }
}
