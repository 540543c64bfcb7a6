//! What a cam does in one turn: rises, falls and dwells, one behind the other.

use std::f64::consts::PI;

use super::law::{Law, Level};
use crate::units::Deg;

/// One part of a cam's turn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Segment {
    /// From low to high.
    Rise {
        /// Over how much of the cam's turn.
        turn: Deg,
        /// How.
        law: Law,
    },
    /// From high to low.
    Fall {
        /// Over how much of the cam's turn.
        turn: Deg,
        /// How.
        law: Law,
    },
    /// Where it is.
    Dwell {
        /// For how much of the cam's turn.
        turn: Deg,
    },
}

impl Segment {
    /// Its part of the cam's turn.
    #[must_use]
    pub const fn turn(&self) -> Deg {
        match self {
            Self::Rise { turn, .. } | Self::Fall { turn, .. } | Self::Dwell { turn } => *turn,
        }
    }

    const fn law(&self) -> Option<Law> {
        match self {
            Self::Rise { law, .. } | Self::Fall { law, .. } => Some(*law),
            Self::Dwell { .. } => None,
        }
    }

    /// What its level changes by.
    const fn change(&self) -> f64 {
        match self {
            Self::Rise { .. } => 1.0,
            Self::Fall { .. } => -1.0,
            Self::Dwell { .. } => 0.0,
        }
    }
}

/// Why a list of segments is no cam.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoProgramme {
    /// Nothing rises.
    Still,
    /// A segment takes no positive part of the turn, or more than all of it.
    Turn {
        /// Which one, from 0.
        segment: usize,
        /// What it takes.
        turn: Deg,
    },
    /// The segments do not make one turn.
    Total {
        /// What they make together, repeats counted.
        turn: Deg,
    },
    /// A rise from the top or a fall from the bottom.
    Order {
        /// Which one, from 0.
        segment: usize,
    },
    /// It ends at another level than it began.
    Open,
    /// Repeated not at all, or more often than [`Programme::MOST_REPEATS`].
    Repeats,
}

/// One segment, laid out on the turn.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Piece {
    from: f64,
    span: f64,
    law: Option<Law>,
    start: f64,
    change: f64,
}

/// The segments of one whole turn. Its angle runs with time from its first
/// segment on, radians, whichever way the cam turns.
#[derive(Clone, Debug, PartialEq)]
pub struct Programme {
    pieces: Vec<Piece>,
}

/// A part of the turn on which every formula is smooth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Where it begins, rad of the programme.
    pub from: f64,
    /// Where it ends, rad.
    pub to: f64,
    /// Whether the follower stands still on it.
    pub dwell: bool,
    piece: usize,
    part: usize,
}

/// So near to 360 degrees counts as 360: rounding of inch or fraction sums.
const CLOSES: f64 = 1e-9;

impl Programme {
    /// At most so many repeats in a turn.
    pub const MOST_REPEATS: u32 = 60;

    /// The segments `repeats` times in one turn. A list that begins with a dwell
    /// begins where its first move begins.
    ///
    /// # Errors
    /// [`NoProgramme`] names the first thing wrong.
    pub fn new(segments: &[Segment], repeats: u32) -> Result<Self, NoProgramme> {
        if !(1..=Self::MOST_REPEATS).contains(&repeats) {
            return Err(NoProgramme::Repeats);
        }
        for (segment, s) in segments.iter().enumerate() {
            let turn = s.turn();
            let fine = turn.0 > 1e-6 && turn.0 <= 360.0 + CLOSES;
            if !fine {
                return Err(NoProgramme::Turn { segment, turn });
            }
        }
        let first = segments.iter().map(Segment::change).find(|c| *c != 0.0);
        let Some(first) = first else { return Err(NoProgramme::Still) };
        let start = if first > 0.0 { 0.0 } else { 1.0 };
        let mut level = start;
        for (segment, s) in segments.iter().enumerate() {
            level += s.change();
            if !(0.0..=1.0).contains(&level) {
                return Err(NoProgramme::Order { segment });
            }
        }
        let sum: f64 = segments.iter().map(|s| s.turn().0).sum();
        let turn = Deg(sum * f64::from(repeats));
        if (turn.0 - 360.0).abs() > CLOSES {
            return Err(NoProgramme::Total { turn });
        }
        if level != start {
            return Err(NoProgramme::Open);
        }
        Ok(Self { pieces: laid_out(segments, repeats, start) })
    }

    /// Rise, dwell, fall, dwell with one law; a dwell of no degrees is left out.
    ///
    /// # Errors
    /// As [`Programme::new`].
    pub fn rise_fall(law: Law, turns: [Deg; 4]) -> Result<Self, NoProgramme> {
        let [rise, top, fall, bottom] = turns;
        let all = [
            Segment::Rise { turn: rise, law },
            Segment::Dwell { turn: top },
            Segment::Fall { turn: fall, law },
            Segment::Dwell { turn: bottom },
        ];
        let kept: Vec<Segment> = all
            .into_iter()
            .filter(|s| !matches!(s, Segment::Dwell { turn } if turn.0 == 0.0))
            .collect();
        Self::new(&kept, 1)
    }

    /// The level and its derivatives by the programme's angle, rad.
    #[must_use]
    pub fn at(&self, angle: f64) -> Level {
        let angle = reduced(angle);
        let next = self.pieces.iter().position(|p| p.from > angle);
        let piece = &self.pieces[next.unwrap_or(self.pieces.len()) - 1];
        let share = (angle - piece.from) / piece.span;
        piece.level(piece.law.map_or(Level::default(), |l| l.at(share)))
    }

    /// The level on one stretch, its ends included and taken from inside.
    #[must_use]
    pub fn on(&self, stretch: &Stretch, angle: f64) -> Level {
        let piece = &self.pieces[stretch.piece];
        let share = ((angle - piece.from) / piece.span).clamp(0.0, 1.0);
        piece.level(piece.law.map_or(Level::default(), |l| l.piece(stretch.part, share)))
    }

    /// The turn cut where a formula changes, in order.
    #[must_use]
    pub fn stretches(&self) -> Vec<Stretch> {
        let mut all = Vec::new();
        for (i, p) in self.pieces.iter().enumerate() {
            let breaks = p.law.map_or(&[0.0, 1.0][..], Law::breaks);
            for (part, pair) in breaks.windows(2).enumerate() {
                let at = |share: f64| p.from + share * p.span;
                let (from, to) = (at(pair[0]), at(pair[1]));
                all.push(Stretch { from, to, dwell: p.law.is_none(), piece: i, part });
            }
        }
        all
    }

    /// How long its slower way takes over its quicker one; a dwell is part of neither.
    #[must_use]
    pub fn time_ratio(&self) -> Option<f64> {
        let span = |up: f64| {
            let ways = self.pieces.iter().filter(|p| p.change * up > 0.0);
            ways.map(|p| p.span).sum::<f64>()
        };
        let (up, down) = (span(1.0), span(-1.0));
        (up.min(down) > 0.0).then(|| up.max(down) / up.min(down))
    }

    /// The fastest rise and the fastest fall, levels per radian: the second is
    /// negative; in closed form.
    #[must_use]
    pub fn fastest(&self) -> (f64, f64) {
        let speeds = self
            .pieces
            .iter()
            .filter_map(|p| p.law.map(|l| p.change * l.factors().velocity / p.span));
        speeds.fold((0.0, 0.0), |(up, down), v| (v.max(up), v.min(down)))
    }

    /// The largest speed (levels per radian) and acceleration (per radian
    /// squared), without their signs; in closed form.
    #[must_use]
    pub fn peaks(&self) -> (f64, f64) {
        let each = self.pieces.iter().filter_map(|p| {
            let f = p.law?.factors();
            Some((f.velocity / p.span, f.acceleration / (p.span * p.span)))
        });
        each.fold((0.0, 0.0), |(v, a), (w, b)| (w.max(v), b.max(a)))
    }

    /// The largest jerk (levels per radian cubed), without its sign; `None` where the
    /// acceleration jumps.
    #[must_use]
    pub fn peak_jerk(&self) -> Option<f64> {
        let laws = self.pieces.iter().filter_map(|p| Some((p.law?, p.span)));
        laws.map(|(law, span)| Some(law.factors().jerk? / (span * span * span)))
            .try_fold(0.0, |most: f64, jerk| Some(most.max(jerk?)))
    }

    /// Every angle in [0, 2 pi] at which the level is `level`, ascending; of a
    /// dwell at that level both ends.
    #[must_use]
    pub fn reaches(&self, level: f64) -> Vec<f64> {
        let mut found: Vec<f64> = Vec::new();
        let mut push = |angle: f64| {
            if found.last().is_none_or(|f| (angle - f).abs() > 1e-9) {
                found.push(angle);
            }
        };
        for p in &self.pieces {
            let Some(law) = p.law else {
                if (p.start - level).abs() <= 1e-12 {
                    push(p.from);
                    push(p.from + p.span);
                }
                continue;
            };
            let share = (level - p.start) * p.change;
            if (0.0..=1.0).contains(&share) {
                push(p.from + p.span * inverse(law, share));
            }
        }
        found
    }
}

/// In [0, 2 pi).
fn reduced(angle: f64) -> f64 {
    let turn = 2.0 * PI;
    let r = angle % turn;
    let r = if r < 0.0 { r + turn } else { r };
    if r < turn { r } else { 0.0 }
}

/// The share of the way at which a law is at `level`: the laws never turn back.
fn inverse(law: Law, level: f64) -> f64 {
    let (mut lo, mut hi) = (0.0, 1.0);
    if level <= 0.0 {
        return lo;
    }
    if level >= 1.0 {
        return hi;
    }
    for _ in 0..60 {
        let mid = 0.5 * (lo + hi);
        if law.at(mid).v < level {
            lo = mid;
        } else {
            hi = mid;
        }
    }
    0.5 * (lo + hi)
}

impl Piece {
    fn level(&self, l: Level) -> Level {
        let per = 1.0 / self.span;
        let k = self.change * per;
        Level {
            v: self.start + self.change * l.v,
            d: k * l.d,
            dd: k * per * l.dd,
            ddd: k * per * per * l.ddd,
        }
    }
}

fn laid_out(segments: &[Segment], repeats: u32, start: f64) -> Vec<Piece> {
    let mut pieces = Vec::with_capacity(segments.len() * repeats as usize);
    let (mut from, mut level) = (Deg(0.0), start);
    for _ in 0..repeats {
        for s in segments {
            let (begin, end) = (from.rad().0, (from + s.turn()).rad().0);
            pieces.push(Piece {
                from: begin,
                span: end - begin,
                law: s.law(),
                start: level,
                change: s.change(),
            });
            from += s.turn();
            level += s.change();
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rise(turn: f64) -> Segment {
        Segment::Rise { turn: Deg(turn), law: Law::Cycloidal }
    }
    fn fall(turn: f64) -> Segment {
        Segment::Fall { turn: Deg(turn), law: Law::Cycloidal }
    }
    fn dwell(turn: f64) -> Segment {
        Segment::Dwell { turn: Deg(turn) }
    }

    #[test]
    fn every_wrong_list_has_its_own_refusal() {
        let refused = |list: &[Segment], n| Programme::new(list, n).unwrap_err();
        assert_eq!(refused(&[], 1), NoProgramme::Still);
        assert_eq!(refused(&[dwell(360.0)], 1), NoProgramme::Still);
        assert_eq!(
            refused(&[rise(120.0), fall(200.0)], 1),
            NoProgramme::Total { turn: Deg(320.0) }
        );
        assert!(matches!(
            refused(&[rise(f64::NAN), fall(200.0)], 1),
            NoProgramme::Turn { segment: 0, .. }
        ));
        assert!(matches!(
            refused(&[rise(180.0), dwell(0.0), fall(180.0)], 1),
            NoProgramme::Turn { segment: 1, .. }
        ));
        assert_eq!(
            refused(&[rise(120.0), dwell(10.0), rise(120.0), fall(110.0)], 1),
            NoProgramme::Order { segment: 2 }
        );
        assert_eq!(refused(&[rise(120.0), dwell(240.0)], 1), NoProgramme::Open);
        assert_eq!(refused(&[rise(180.0), fall(180.0)], 0), NoProgramme::Repeats);
        assert!(Programme::new(&[rise(60.0), fall(60.0)], 3).is_ok());
    }

    #[test]
    fn levels_come_back_to_their_angles() {
        let p = Programme::new(&[dwell(40.0), fall(140.0), dwell(30.0), rise(150.0)], 1).unwrap();
        assert_eq!((p.at(0.1).v, p.at(-0.001).v > 0.99), (1.0, true));
        for level in [0.1, 0.5, 0.9] {
            let at = p.reaches(level);
            assert_eq!(at.len(), 2);
            assert!(at.iter().all(|a| (p.at(*a).v - level).abs() < 1e-12));
        }
        assert_eq!(p.reaches(0.0).len(), 2);
        assert!(p.reaches(1.5).is_empty());
    }
}
