//! What pulls a cord: a crank, a servo's horn, a spool or a ram; and what follows of
//! the cord's own geometry.

use super::drive::Built;
use super::servo_trim::TRIM;
use crate::finding::Step;
use crate::geometry::{BoardPoint, Dir, Vector};
use crate::mechanism::solve::CordChoice;
use crate::mechanism::{
    Assembly, Cord, Course, Extending, LastRun, Mechanism, Path, Pull, Shaft, Size, Span, Way,
};
use crate::model::Sized;
use crate::units::print::length;
use crate::units::{Deg, Mm, System, print};

/// What pulls a cord, and where.
#[derive(Clone)]
pub(super) struct Puller {
    /// The motor's shaft; where a spool or a ram lets the cord go.
    pub at: BoardPoint,
    /// How.
    pub by: By,
    /// The eyes, in order.
    pub guides: Vec<BoardPoint>,
    /// Their diameter where they are pulleys.
    pub across: Option<Mm>,
    /// The limb's pivot.
    pub pivot: BoardPoint,
}

/// How a cord is pulled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum By {
    /// A crank that goes round.
    Crank,
    /// A servo's horn: the servo's own end angles, and +1 where they count
    /// counter-clockwise.
    Horn {
        /// Least and most.
        travel: (Deg, Deg),
        /// Direction.
        sign: f64,
    },
    /// A spool, or a ram or cylinder that draws in so much at most.
    Wound {
        /// The most.
        most: Option<Mm>,
        /// Whether it always draws in all of that: a cylinder stops at its ends alone.
        whole: bool,
    },
}

/// A cord's sizes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct CordSizes {
    /// Shaft to pin; nought for a spool or a ram.
    pub radius: Mm,
    /// Limb pivot to the cord's pin.
    pub lever: Mm,
    /// From the limb's axis to the lever.
    pub clamp: Deg,
    /// Pin to pin, let out, as it lies: round its pulleys where it runs over some.
    pub length: Mm,
    /// How much of it a spool or a ram draws in.
    pub drawn: Mm,
    /// On which side it pulls.
    pub side: Assembly,
}

/// A servo's horn goes no nearer to lying along its cord than this, 90 less 2 deg:
/// beyond it the cord would go out again (common practice, no source).
pub(super) const SQUARE: Deg = Deg(88.0);
/// Degrees of a servo between two looks.
const STEP: f64 = 0.25;
/// A push angle below which a cord counts as lying dead (common practice, no source), and its
/// sine.
pub(super) const DEAD_PUSH: Deg = Deg(5.0);
const DEAD: f64 = 0.087;

/// Places nearer than this are one, mm.
const MEET: Mm = Mm(0.1);

impl Puller {
    /// The first eye; the last one without any is where a spool lets the cord go.
    pub fn eyes(&self) -> Vec<BoardPoint> {
        match self.by {
            By::Wound { .. } if self.guides.is_empty() => vec![self.at],
            _ => self.guides.clone(),
        }
    }

    /// How far the horn or crank stands from the first eye, and which way.
    fn first(&self) -> Option<(Mm, Dir)> {
        let away = *self.guides.first()? - self.at;
        Some((away.length(), away.dir()?))
    }

    /// The horn's direction at its servo's own 0: square to the line from its shaft to
    /// the first eye, on the side on which counting up draws the cord in.
    pub fn horn_at_zero(&self, sign: f64) -> Option<Dir> {
        let (_, toward) = self.first()?;
        Some(toward.turned(if sign > 0.0 { Dir::NORTH } else { Dir::SOUTH }))
    }

    /// The cord; over the middles of pulleys that have no room where they stand.
    pub fn cord(&self, s: &CordSizes) -> Option<Cord> {
        let limb = (self.pivot, s.lever, s.clamp);
        let (pull, guides) = match self.by {
            By::Crank | By::Horn { .. } => (Pull::Pin(s.radius), self.guides.clone()),
            // Its coordinate is how long the cord is from there on.
            By::Wound { .. } => {
                (Pull::Wound { from: self.at, per: -1.0, zero: s.length.0 }, self.guides.clone())
            }
        };
        let cord = Cord::new(pull, guides, limb, s.length, s.side).ok()?;
        Some(self.over(cord))
    }

    /// A cord with its eyes as large as they are.
    pub fn over(&self, cord: Cord) -> Cord {
        let round = self.across.and_then(|across| cord.clone().over(self.at, across));
        round.unwrap_or(cord)
    }

    /// What moves it, as far as the cord follows.
    pub fn way(&self, s: &CordSizes, cord: &Cord) -> Option<Way> {
        Some(match self.by {
            By::Crank => Way::Shaft(Shaft::turning(self.at)),
            By::Horn { travel: (least, most), sign } => {
                let zero = self.horn_at_zero(sign)?.angle().0;
                let reach = |end: Deg| self.reach(cord, (zero, sign), end);
                let (a, b) = (reach(least.max(-SQUARE))?, reach(most.min(SQUARE))?);
                let ends = [a, b].map(|turn| zero + turn.rad().0 * sign);
                let (from, to) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
                Way::Shaft(Shaft { at: self.at, span: Span::part(from, to) })
            }
            By::Wound { .. } => {
                Way::Extending(Extending { span: Span::part((s.length - s.drawn).0, s.length.0) })
            }
        })
    }

    /// How far a horn turns from its servo's 0 before the cord lies dead or ends;
    /// `None` where it does not even stand at 0.
    fn reach(&self, cord: &Cord, (zero, sign): (f64, f64), end: Deg) -> Option<Deg> {
        let shaft = Shaft::turning(self.at);
        let steps = libm::ceil(end.0.abs() / STEP).max(1.0) as u32;
        let mut reached = None;
        for n in 0..=steps {
            let turn = end * (f64::from(n) / f64::from(steps));
            let alive = shaft
                .at(zero + turn.rad().0 * sign)
                .and_then(|input| cord.position(&input))
                .is_ok_and(|s| s.push.abs() >= DEAD);
            if !alive {
                break;
            }
            reached = Some(turn);
        }
        reached
    }

    /// What a cord of a crank or horn of this radius takes up to where its last run begins:
    /// with the pin nearest to the first eye, and farthest from it, or as far as a horn turned
    /// so far either way.
    pub fn taken(&self, cord: &Cord, radius: Mm, turned: Option<Deg>) -> (Mm, Mm) {
        let led = cord.led(self.at).unwrap_or_default();
        match (self.by, turned) {
            (By::Crank, _) => {
                let first = self.first().map_or(Mm(0.0), |f| f.0);
                (led - first + (first - radius).abs(), led + radius)
            }
            (By::Horn { sign, .. }, Some(turn)) => {
                let zero = self.horn_at_zero(sign).unwrap_or(Dir::EAST);
                let at = |turn: Deg| {
                    let horn = zero.turned(Dir::degrees(turn * sign));
                    cord.led_from(self.at + Vector::polar(radius, horn))
                };
                (at(-turn), at(turn))
            }
            (By::Horn { .. }, None) | (By::Wound { .. }, _) => (led, led),
        }
    }

    /// How far a horn has to turn either way to draw in so much; `None` where it
    /// cannot.
    fn turn_for(&self, cord: &Cord, radius: Mm, pull: Mm) -> Option<Deg> {
        let drawn = |turn: Deg| {
            let (near, far) = self.taken(cord, radius, Some(turn));
            (far - near).0
        };
        let (mut lo, mut hi) = (Deg(0.0), SQUARE);
        let reaches = drawn(hi) >= pull.0;
        // The longer the turn, the more is drawn in.
        for _ in 0..60 {
            let middle = (lo + hi) / 2.0;
            if drawn(middle) < pull.0 { lo = middle } else { hi = middle }
        }
        reaches.then_some(hi)
    }

    /// The stretch from the last eye to the lever.
    pub fn last_run(&self, s: &CordSizes) -> Option<LastRun> {
        match self.cord(s) {
            Some(cord) => cord.last_run(),
            None => LastRun::new(*self.eyes().last()?, self.pivot, (s.lever, s.clamp), s.side),
        }
    }

    /// Cord lengths that follow all round without lying dead at either end, with
    /// this crank and lever.
    pub fn lengths(&self, s: &CordSizes) -> Option<(Mm, Mm)> {
        let (near, far) = self.last_run(s)?.triangle().dead_lengths();
        let (let_out, drawn_in) = self.taken(&self.cord(s)?, s.radius, None);
        let (least, most) = (drawn_in + s.drawn + Mm(near), let_out + Mm(far));
        (least < most).then_some((least, most))
    }

    /// Why no cord at all follows here, in words, and what would; `None` where one of
    /// another length may.
    pub fn cannot_pull(
        &self,
        name: &str,
        s: &CordSizes,
        system: System,
    ) -> Option<(String, String)> {
        let long = |l: Mm| length(l, system);
        let meet = |a: BoardPoint, b: BoardPoint| a.distance(b) < MEET;
        let eyes = self.eyes();
        if let (Some(first), By::Horn { .. }) = (self.guides.first(), self.by)
            && meet(*first, self.at)
        {
            let message = format!(
                "the first eye of the cord of {name} stands on its servo, so no horn draws any cord in."
            );
            return Some((
                message,
                format!("put the eye more than {} away from it.", long(s.radius)),
            ));
        }
        let last = eyes.last().copied();
        if let Some(eye) = last.filter(|eye| meet(*eye, self.pivot)) {
            let what = if self.guides.is_empty() { "what winds" } else { "the last eye of" };
            let message = format!(
                "{what} the cord of {name} stands on its pivot ({:.0}, {:.0}) mm: from there no cord turns it.",
                eye.x, eye.y
            );
            return Some((
                message,
                format!("put it beside the limb, more than {} from the pivot.", long(s.lever)),
            ));
        }
        let By::Crank = self.by else { return None };
        let Some(eye) = last else {
            // Straight from pin to lever.
            let apart = self.at.distance(self.pivot);
            let message = if meet(self.at, self.pivot) {
                format!(
                    "motor and pivot of {name} stand on one another: from there no cord turns it."
                )
            } else if s.radius >= s.lever {
                format!(
                    "the crank of {name} is {}, and its lever only {}: with a cord straight from one to the other it goes round only where it is the shorter.",
                    long(s.radius),
                    long(s.lever)
                )
            } else {
                return None;
            };
            let help = if apart < MEET {
                "move the motor away from the pivot, or lead the cord through an eye: `guides (x, y) mm`.".to_owned()
            } else {
                format!(
                    "take a crank shorter than {}, or lead the cord through an eye.",
                    long(s.lever)
                )
            };
            return Some((message, help));
        };
        // From an eye to the lever there are no more than two levers of cord, or two of
        // the way to the pivot, between the dead ends.
        let room = s.lever.min(eye.distance(self.pivot)) * 2.0;
        let (let_out, drawn_in) = self.taken(&self.cord(s)?, s.radius, None);
        (drawn_in - let_out >= room).then(|| {
            let message = format!(
                "the crank of {name} draws in {} of cord, and between lying dead at either end its lever takes less than {}.",
                long(drawn_in - let_out),
                long(room)
            );
            let near = eye.distance(self.pivot) * 2.0 <= drawn_in - let_out;
            let or = if near { "" } else { ", or a longer lever" };
            let help = format!("take a crank shorter than {}{or}.", long(room / 2.0));
            (message, help)
        })
    }

    /// What a crank draws in against what its lever takes, line by line; nothing where no
    /// eye leads the cord.
    pub fn pull_sum(&self, s: &CordSizes, system: System) -> Vec<Step> {
        let Some((eye, cord)) = self.eyes().last().copied().zip(self.cord(s)) else {
            return Vec::new();
        };
        let (fine, bare) = (|l| print::fine(l, system), |l| print::fine_in(l, system));
        let apart = eye.distance(self.pivot);
        let (let_out, drawn_in) = self.taken(&cord, s.radius, None);
        let less = s.lever.min(apart);
        vec![
            Step::given("crank", fine(s.radius)),
            Step::new("it draws in", format!("{} - {}", bare(drawn_in), bare(let_out)), {
                fine(drawn_in - let_out)
            }),
            Step::given("lever", fine(s.lever)),
            Step::given("last eye to pivot", fine(apart)),
            Step::new(
                "the lever takes less than twice the lesser",
                format!("2 x {}", bare(less)),
                fine(less * 2.0),
            ),
        ]
    }

    /// The sizes on which a cord moves between the asked ends, from what a solver
    /// found: a horn is added where there is one.
    pub fn completed(&self, choice: &CordChoice, horn: &Sized) -> Option<CordSizes> {
        let run = choice.cord.length();
        let base = CordSizes {
            radius: choice.radius.unwrap_or(Mm(0.0)),
            lever: choice.cord.lever(),
            clamp: choice.clamp,
            length: run,
            drawn: choice.pull,
            side: choice.cord.assembly()?,
        };
        let By::Horn { travel: (least, most), .. } = self.by else { return Some(base) };
        let most_turn = most.min(-least).min(SQUARE);
        // The longest stretch from the last eye on, let out.
        let longest = run - choice.cord.led(self.at)?;
        let radii = match horn.size {
            Size::Given(v) => vec![v],
            Size::Row { lo, hi, step } if step > 0.0 => {
                let count = libm::floor((hi - lo) / step + 1e-9).clamp(0.0, 1000.0) as u32;
                (0..=count).map(|i| lo + step * f64::from(i)).collect()
            }
            Size::Between { lo, hi } => whole(lo, hi),
            Size::Row { .. } | Size::Free => whole(8.0, 60.0),
        };
        // The shortest horn that draws in enough pulls hardest: with what it is trimmed by
        // left at both ends of its pulses, where one does.
        let shortest = |within: Deg| {
            radii.iter().find_map(|&radius| {
                let radius = Mm(radius);
                let cord = self.cord(&CordSizes { radius, ..base })?;
                let turn = self.turn_for(&cord, radius, choice.pull).filter(|t| *t <= within)?;
                let length = self.taken(&cord, radius, Some(turn)).0 + longest;
                Some(CordSizes { radius, length, ..base })
            })
        };
        // A degree goes into rounding the cord to a mark.
        shortest(most_turn - TRIM - Deg(1.0)).or_else(|| shortest(most_turn))
    }
}

/// Whole millimetres between two lengths.
fn whole(lo: f64, hi: f64) -> Vec<f64> {
    let (first, last) = (libm::ceil(lo), libm::floor(hi));
    let count = (last - first).clamp(0.0, 500.0) as u32;
    (0..=count).map(|i| first + f64::from(i)).filter(|v| *v <= hi).collect()
}

/// The cord on its way; `None` where it does not follow all along.
pub(super) fn built(puller: &Puller, sizes: &CordSizes) -> Option<(Cord, Built)> {
    let cord = puller.cord(sizes)?;
    let way = puller.way(sizes, &cord)?;
    let course = Course::of(&cord, &way).ok()?;
    Some((cord.clone(), Built::known(cord, way, course)))
}
