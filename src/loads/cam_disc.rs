//! The disc of a cam: what is left of it round its bore and its bolts.

use super::Bench;
use super::cam_codes::CAM_THIN;
use crate::finding::Finding;
use crate::fit::SizeName;
use crate::model::{CamDisc, DriveKind};
use crate::units::{Mm, System, print};

/// Stock round a hole, in diameters of that hole (common practice, no source).
const ROUND: f64 = 1.5;

/// A web of a disc: between what it lies, how wide it is, and how wide it is to be, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Web {
    /// In words: "its bore and its lowest place".
    pub between: &'static str,
    /// How wide it is.
    pub has: f64,
    /// How wide it is to be.
    pub wants: f64,
    /// The base circle that would do, mm; `None` where that is not what is too small.
    pub base: Option<f64>,
}

/// The webs of a disc whose lowest place is this far from its shaft, mm.
#[must_use]
pub fn webs(disc: CamDisc, lowest: f64) -> Vec<Web> {
    let mut webs = Vec::new();
    if let Some(Mm(bore)) = disc.bore {
        let (has, wants) = (lowest - bore / 2.0, ROUND * bore);
        let base = Some(bore / 2.0 + wants);
        webs.push(Web { between: "its bore and its lowest place", has, wants, base });
    }
    if let Some((Mm(bolt), Mm(circle))) = disc.bolts {
        let (has, wants) = (lowest - circle / 2.0 - bolt / 2.0, ROUND * bolt);
        let base = Some(circle / 2.0 + bolt / 2.0 + wants);
        webs.push(Web { between: "its bolts and its lowest place", has, wants, base });
        if let Some(Mm(bore)) = disc.bore {
            let has = circle / 2.0 - bolt / 2.0 - bore / 2.0;
            webs.push(Web { between: "its bore and its bolts", has, wants: bolt, base: None });
        }
    }
    webs
}

impl Bench<'_> {
    /// The discs of all cams.
    pub(super) fn cam_discs(&mut self) {
        let figure = &*self.fitted.figure;
        for (index, limb) in figure.limbs.iter().enumerate() {
            let Some(DriveKind::Cam(cam)) = limb.drive.as_ref().map(|d| &d.mechanism) else {
                continue;
            };
            let mechanism = self.fitted.limbs[index].mechanism.as_ref().filter(|m| !m.faulty());
            let Some(lowest) = mechanism.and_then(|m| m.drilled(SizeName::Base)) else { continue };
            let thin = webs(cam.disc, lowest).into_iter().filter(|w| w.has < w.wants - 1e-9);
            let worst = thin.max_by(|a, b| (a.wants - a.has).total_cmp(&(b.wants - b.has)));
            let Some(web) = worst else { continue };
            let size = |mm: f64| print::size(Mm(mm), 1, figure.system);
            let message = format!(
                "between {} the cam of {} has {}, and {} is wanted.",
                web.between,
                limb.said(),
                size(web.has.max(0.0)),
                size(web.wants)
            );
            let help = match web.base {
                Some(base) => format!("take a base circle of {} or more.", up(base, figure.system)),
                None => "set the bolts on a larger circle.".to_owned(),
            };
            let finding = Finding::new(&CAM_THIN, limb.name.place, message)
                .help(help)
                .given("lowest place of its cam, from the shaft", size(lowest))
                .given(format!("left between {}", web.between), size(web.has.max(0.0)))
                .given("wanted", size(web.wants));
            self.findings.push(finding.about(&figure.name.value, Some(&limb.name.value)));
        }
    }
}

fn up(mm: f64, system: System) -> String {
    print::size_up(Mm(mm), system)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn webs_are_what_is_left_between_circles() {
        // Bore 10, bolts of 4 on 30, lowest place 25 from the shaft.
        let disc = CamDisc {
            thick: Some(Mm(12.0)),
            bore: Some(Mm(10.0)),
            bolts: Some((Mm(4.0), Mm(30.0))),
        };
        let of: Vec<(f64, f64)> = webs(disc, 25.0).iter().map(|w| (w.has, w.wants)).collect();
        assert_eq!(of, [(20.0, 15.0), (8.0, 6.0), (8.0, 4.0)]);
    }
}
