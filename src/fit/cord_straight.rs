//! Open sizes of a cord that runs straight from the pin of a crank to its lever.
//!
//! While it is taut such a cord is the rod of a four-bar (R. L. Norton, *Design of
//! Machinery*, the crank-rocker), so its sizes are found as one's; that it stays taut is
//! looked at afterwards, as of any cord.

use super::asked::Motion;
use super::checks::BUILD_ERROR;
use super::cord::{Chosen, marked};
use super::puller::{CordSizes, Puller};
use super::{Bench, no_fit};
use crate::finding::Place;
use crate::mechanism::solve::{self, Choice, OTHERS, Sizes, Wish};
use crate::mechanism::{Assembly, Size};
use crate::model::{CordDrive, Return};
use crate::units::{Deg, Mm};

impl Bench<'_> {
    /// The side on which a cord lifts the limb's tip in the middle of its swing; `None` where
    /// a spring draws it back.
    fn lifting(&self, said: &CordDrive, asked: &Motion<'_>) -> Option<Assembly> {
        matches!(said.back, None | Some(Return::Gravity)).then(|| {
            let (low, high) = asked.sweep();
            let right = libm::cos(((low + high) / 2.0).rad().0) >= 0.0;
            if right { Assembly::Open } else { Assembly::Crossed }
        })
    }

    /// Crank, lever, clamp and cord that swing the limb as asked; reported where none do.
    pub(super) fn straight(
        &mut self,
        at: Place,
        said: &CordDrive,
        (puller, asked): (&Puller, &Motion<'_>),
    ) -> Option<Chosen> {
        let wish = Wish {
            motor: puller.at,
            pivot: puller.pivot,
            sizes: Sizes {
                crank: said.crank.size,
                rod: said.length.size,
                lever: said.lever.size,
                clamp: said.clamp.size,
            },
            sweep: asked.sweep(),
            within: Some(Deg(asked.within)),
            prefer: said.prefer,
            assembly: said.assembly.or_else(|| self.image_side()),
            error: BUILD_ERROR,
            system: self.figure.system,
            rate: None,
        };
        // Where nobody says on which side it pulls: against the weight, which draws it tight.
        let lifting = wish.assembly.is_none().then(|| self.lifting(said, asked)).flatten();
        let lifted =
            lifting.and_then(|side| solve::solve(&Wish { assembly: Some(side), ..wish }).ok());
        match lifted.map_or_else(|| solve::solve(&wish), Ok) {
            Ok(answer) => {
                let exact = sizes(&answer.best);
                Some(Chosen {
                    exact,
                    drilled: marked(said, &exact),
                    others: answer.others.iter().map(sizes).take(OTHERS).collect(),
                    found: !matches!(said.length.size, Size::Given(_)),
                })
            }
            Err(no) => {
                let help = "ask for a smaller swing, leave crank, lever and cord open (`?`), or lead the \
                            cord through an eye (`guides (x, y) mm`).";
                let why = no_fit::reason(&no, self.figure.system);
                self.no_cord_fits(at, asked, &why, Some(help.to_owned()));
                None
            }
        }
    }
}

/// A four-bar's sizes as those of a cord.
fn sizes(choice: &Choice) -> CordSizes {
    let (bars, linkage) = (choice.linkage.bars(), &choice.linkage);
    CordSizes {
        radius: bars.crank,
        lever: bars.lever,
        clamp: linkage.clamp(),
        length: bars.rod,
        drawn: Mm(0.0),
        side: linkage.assembly(),
    }
}
