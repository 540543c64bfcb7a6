//! A limb moved by another limb through a second rod: where it is fixed, and what comes
//! of it.
//!
//! The limb either rides on the one above, and the rod's far end is pinned to the
//! board; or it turns on the board, and the rod's far end rides on the limb above. Its
//! open sizes are found in `forearm_sizes`, both loops checked in `forearm_checks`, and it
//! is made anew from its dimensions in `forearm_recipe`.

use super::drive::{Built, Figure, FittedDrive, FittedSize, Measure, SizeName};
use super::upper::{self, Chain, Upper};
use super::{Bench, Fitted, codes, forearm_recipe, forearm_sizes};
use crate::geometry::{BoardPoint, Body, Dir};
use crate::mechanism::solve::forearm_push;
use crate::mechanism::{
    Assembly, Course, Forearm, ForearmAnalysis, Limits, Path, Rod, Size, Travel,
};
use crate::model::{Action, Drive, ForearmDrive, Joint, Note, Sized};
use crate::units::{Deg, Mm};

/// Where a forearm is fixed.
pub(super) struct Fixed {
    pub upper: Upper,
    /// The rod's near pin in its body, and the pivot in its.
    pub pin: [f64; 2],
    pub pivot: [f64; 2],
}

impl Fixed {
    /// From where anchor and pivot lie on the drawing.
    fn of(upper: Upper, carried: bool, at: (BoardPoint, BoardPoint)) -> Self {
        let nowhere = Self { upper, pin: [0.0; 2], pivot: [0.0; 2] };
        let (pin, pivot) = nowhere.ends(carried, at);
        Self { pin, pivot, ..nowhere }
    }

    /// Anchor and pivot in their bodies.
    fn ends(
        &self,
        carried: bool,
        (anchor, pivot): (BoardPoint, BoardPoint),
    ) -> ([f64; 2], [f64; 2]) {
        let board = Body::still(0.0, 0.0, Dir::EAST);
        let (driver, host) = match carried {
            true => (board, self.upper.drawn),
            false => (self.upper.drawn, board),
        };
        (upper::inside(&driver, anchor), upper::inside(&host, pivot))
    }

    /// A rod of these sizes there.
    pub fn rod(&self, (length, lever, clamp): (Mm, Mm, Deg), assembly: Assembly) -> Rod {
        let clamp = Dir::degrees(clamp);
        Rod { pin: self.pin, pivot: self.pivot, length, lever, clamp, assembly }
    }

    /// What it does on the limb above, exact or as drilled.
    pub fn analyse(&self, chain: &Chain, rod: Rod) -> Option<ForearmAnalysis> {
        (Forearm { above: chain.above(), rod }).analyse().ok()
    }
}

impl<'a> Bench<'a> {
    pub(super) fn forearm(
        &mut self,
        drive: &Drive,
        said: &ForearmDrive,
        above: usize,
    ) -> Option<Fitted> {
        self.refuse_gestures(
            "a rod from another limb",
            |a| matches!(a, Action::Sweep { .. } | Action::On | Action::Off),
            "`sweep A to B  cycle T`, or `bend A to B  cycle T` on a limb that rides on another",
        );
        let before = self.errors();
        let upper = self.upper(above)?;
        let fixed = self.fixed(said, upper)?;
        if self.rod_moves_nothing(drive, said, above) {
            return None;
        }
        let asked = self.motion_asked();
        let sizes = self.forearm_sizes(drive, said, &fixed, asked.as_ref())?;
        let rod = fixed.rod(sizes.exact, sizes.assembly);
        let known = sizes.analysis;
        let Some(analysis) = known.or_else(|| fixed.analyse(&fixed.upper.exact, rod)) else {
            self.not_checked.push(Note::after("mechanism", "the limb above goes all round"));
            return None;
        };
        let mut listed = vec![
            FittedSize::length(SizeName::Rod, sizes.exact.0, said.rod),
            FittedSize::length(SizeName::Lever, sizes.exact.1, said.lever),
            FittedSize::angle(SizeName::Clamp, sizes.exact.2, said.clamp),
        ];
        let drawn = fixed.rod(sizes.drilled, sizes.assembly);
        let hangs = self.built_forearm(&fixed, drawn, &listed);
        let (sizes, analysis) = match &hangs {
            Some((own, analysis, _)) => {
                (forearm_sizes::Sizes { exact: *own, drilled: *own, ..sizes }, *analysis)
            }
            None => (sizes, analysis),
        };
        self.check_forearm(drive, said, &fixed, (&sizes, &analysis), asked.as_ref());
        let rod = fixed.rod(sizes.exact, sizes.assembly);
        let exact = built(&fixed.upper.exact, rod, &analysis)?;
        let rounded = fixed.rod(sizes.drilled, sizes.assembly);
        let drilled = if rounded == rod && fixed.upper.alike {
            exact.clone()
        } else {
            let analysis = fixed.analyse(&fixed.upper.drilled, rounded);
            let own = analysis.and_then(|a| built(&fixed.upper.drilled, rounded, &a));
            own.unwrap_or_else(|| exact.clone())
        };
        let mut others = forearm_sizes::others(said, &fixed, &sizes.others);
        let anchored = self.anchor_found(said);
        if let Some((_, size)) = &anchored {
            others.iter_mut().for_each(|o| o.sizes.push(size.exact));
            listed.push(*size);
        }
        let anchored = anchored.map(|(place, _)| place);
        let (exact, drilled) = match hangs {
            Some((.., built)) => (built.clone(), built),
            None => (exact, drilled),
        };
        let sizes = self.sizes_as_built(&forearm_recipe::of_rod(&fixed.upper, rounded), listed);
        let recipe = forearm_recipe::recipe(&fixed.upper, rounded).map(|r| self.recipe_as_built(r));
        Some(Fitted::Drive(Box::new(FittedDrive {
            figures: figures(&analysis).into_iter().chain(anchored.into_iter().flatten()).collect(),
            others,
            exact,
            drilled,
            sizes,
            fit: None,
            recipe,
            pin: fixed.upper.pin,
            faulty: fixed.upper.faulty || self.errors() > before,
        })))
    }

    /// The anchor as a place and as a size from the pivot on the drawing, where it was
    /// open and found.
    fn anchor_found(&self, said: &ForearmDrive) -> Option<([Figure; 2], FittedSize)> {
        let (open, at) = (said.anchor_open?, said.anchor?);
        let size = Sized {
            size: Size::Free,
            place: None,
            // What is written of it on the limb itself is not its image's.
            ask: self.limb.mirrors.is_none().then_some(open.place),
            system: self.figure.system,
            row: None,
            cuts: None,
        };
        let far = super::motor_place::home(self.limb)?.distance(at);
        let size = FittedSize::length(SizeName::Ground, far, size);
        Some((super::strut_figures::anchor_at(at), FittedSize { drilled: far.0, ..size }))
    }

    /// How the best rod from any place of its anchor pushes, its sizes as they are found and
    /// not yet marked: for whoever looks for that place.
    pub(super) fn push_by_anchor(
        &mut self,
        said: &'a ForearmDrive,
        above: usize,
    ) -> Option<impl FnMut(BoardPoint) -> Option<f64> + use<'a>> {
        let (upper, asked) = (self.upper(above)?, self.motion_asked()?);
        let pivot = super::motor_place::home(self.limb)?;
        let carried = self.limb.carrier.is_some();
        let mut fixed = Fixed::of(upper, carried, (pivot, pivot));
        Some(move |at| {
            fixed.pin = fixed.ends(carried, (at, pivot)).0;
            let seen = fixed.upper.exact.seen();
            forearm_push(&forearm_sizes::wish(said, (&fixed, &seen), &asked)).map(|p| p.0)
        })
    }

    /// Where rod and pivot are fixed, from the drawing.
    fn fixed(&mut self, said: &ForearmDrive, upper: Upper) -> Option<Fixed> {
        let pivot = match &self.limb.joint {
            Joint::Pivot { at, .. } => *at,
            Joint::Slide { .. } => return None,
        };
        let (Some(anchor), Some(pivot)) = (said.anchor, pivot) else {
            let (what, clause) = match pivot {
                None => ("pivot's place", "pivot (x, y) mm"),
                Some(_) => ("anchor of its rod", "anchor (x, y) mm"),
            };
            self.not_checked
                .push(Note::new(format!("mechanism (the {what} is not known)"), clause));
            return None;
        };
        Some(Fixed::of(upper, self.limb.carrier.is_some(), (anchor, pivot)))
    }

    /// Reports a rod whose end stands on the pivot of the limb above: that place never
    /// moves against the limb, whatever the limb does. So it is with a limb that rides and has
    /// its own pivot there: anchor and pivot both stay where they are on the board.
    fn rod_moves_nothing(&mut self, drive: &Drive, said: &ForearmDrive, above: usize) -> bool {
        let limb = &self.figure.limbs[above];
        let Joint::Pivot { at: Some(pivot), .. } = limb.joint else { return false };
        let on_it = said.anchor.is_some_and(|a| a.distance(pivot) < Mm(0.1));
        if on_it {
            let above = limb.said();
            let does = match self.limb.carrier {
                Some(_) => "the rod only holds it stiff",
                None => "the rod never pushes",
            };
            let message = format!(
                "the rod of {} is pinned where {above} has its pivot: turning about that place, {does}.",
                self.name()
            );
            let help =
                format!("put the anchor beside the pivot of {above}; 30 mm away is a start.");
            let place = said.anchor_place.unwrap_or(drive.place);
            self.report(&codes::PARTS_DO_NOT_REACH, place, message).help = Some(help);
            return true;
        }
        let own = super::motor_place::home(self.limb).filter(|_| self.limb.carrier.is_some());
        let stands = own.is_some_and(|own| own.distance(pivot) < Mm(0.1));
        if stands {
            let above = limb.said();
            let message = format!(
                "{} rides on {above} and turns about the same place as {above}: held by a rod to the board it \
                 stands still there, whatever {above} does.",
                self.name()
            );
            let help = format!(
                "put its pivot out on {above}; or let it turn on the board, without `on`, with the rod's anchor \
                 on {above}."
            );
            let place = self.limb.name.place;
            self.report(&codes::PARTS_DO_NOT_REACH, place, message).help = Some(help);
        }
        stands
    }
}

/// The rod on its way, with the analysis' own extremes; `None` where it does not
/// close all along.
pub(super) fn built(chain: &Chain, rod: Rod, analysis: &ForearmAnalysis) -> Option<Built> {
    let motion = analysis.motion?;
    let way = chain.way();
    let course = match motion.limits {
        Some(limits) => {
            let least_push = libm::sin(motion.least_push.rad().0);
            let limits = Limits { least_push, least_push_at: motion.least_push_at, ..limits };
            Course::known(way.span(), Travel::Swing(limits))
        }
        None => Course::of(&rod, &way).ok()?,
    };
    let course = Course { worst_push: motion.least_push, ..course };
    Some(Built::known(rod, way, course))
}

/// What only a forearm has: what is to spare, and how far it bends.
fn figures(analysis: &ForearmAnalysis) -> Vec<Figure> {
    let spare = Measure::Length(analysis.closing.margin);
    let mut figures =
        vec![Figure { name: "rod_to_spare", words: "its rod has to spare", value: spare }];
    if let Some(bend) = analysis.motion.and_then(|m| m.bend) {
        let angle = |name, words, a| Figure { name, words, value: Measure::Angle(a) };
        figures.push(angle("bend_low", "bends from", bend.low));
        figures.push(angle("bend_high", "bends to", bend.high));
    }
    figures
}
