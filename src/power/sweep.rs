//! Stretches of current added up over time.

use crate::units::{Amp, Sec};

/// One stretch.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stretch {
    /// Start.
    pub from: Sec,
    /// End.
    pub to: Sec,
    /// Current.
    pub amps: Amp,
}

/// What the sum comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Top {
    /// Largest sum.
    pub amps: Amp,
    /// First moment it is reached.
    pub at: Sec,
    /// How long it is above a limit, in all.
    pub over: Sec,
}

/// The largest sum of stretches, when it first is, and how long it is above `limit`;
/// `None` without any.
pub(super) fn top(all: impl Iterator<Item = Stretch>, limit: Option<Amp>) -> Option<Top> {
    // What ends makes room before what starts at the same moment.
    let mut events: Vec<(f64, f64)> = all
        .filter(|s| s.to > s.from)
        .flat_map(|s| [(s.from.0, s.amps.0), (s.to.0, -s.amps.0)])
        .collect();
    events.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let limit = limit.map_or(f64::INFINITY, |l| l.0 * (1.0 + 1e-9));
    let mut top: Option<Top> = None;
    let (mut sum, mut over, mut last) = (0.0, 0.0, 0.0);
    for (at, amps) in events {
        if sum > limit {
            over += at - last;
        }
        sum += amps;
        last = at;
        if amps > 0.0 && top.is_none_or(|t| sum > t.amps.0 + 1e-9) {
            top = Some(Top { amps: Amp(sum), at: Sec(at), over: Sec(0.0) });
        }
    }
    top.map(|t| Top { over: Sec(over), ..t })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stretch(from: f64, to: f64, amps: f64) -> Stretch {
        Stretch { from: Sec(from), to: Sec(to), amps: Amp(amps) }
    }

    #[test]
    fn the_first_of_the_highest_moments_is_found() {
        let all = [
            stretch(0.0, 10.0, 2.0),
            stretch(3.0, 4.0, 1.0),
            stretch(4.0, 4.4, 1.0),
            stretch(8.0, 9.0, 0.5),
        ];
        let top = top(all.into_iter(), Some(Amp(2.8))).unwrap();
        assert_eq!((top.amps, top.at), (Amp(3.0), Sec(3.0)), "what ends makes room first");
        assert!((top.over.0 - 1.4).abs() < 1e-9, "over for {:?}", top.over);
        assert_eq!(super::top(std::iter::empty(), None), None);
    }
}
