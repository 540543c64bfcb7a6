//! The chart of trial holes: what every crank hole with every lever hole makes of a
//! limb, all other sizes as drilled, as they are at the bench.

use super::builds::Dimension;
use super::servo_chart;
use super::{Fitted, FittedDrive, SizeName};
use crate::mechanism::{Blocked, Course, FourBar, Limits, Travel};
use crate::model::{Limb, Sized, usual_lever_holes};
use crate::units::{Deg, Mm, System};

/// The chart of one limb.
#[derive(Clone, Debug, PartialEq)]
pub struct Chart {
    /// The sizes that stay as they are.
    pub kept: Vec<(SizeName, f64)>,
    /// Whether the limb slides: its motion is told in mm then, else in degrees.
    pub slides: bool,
    /// Whether a servo moves it: cells tell how far its whole travel takes the limb, a
    /// cord's how far a horn that is sent as far as with the holes in use, and the worst
    /// push over what gestures ask for.
    pub servo: bool,
    /// The holes down the chart.
    pub down: Holes,
    /// The holes across it; `None` where only one size has holes.
    pub across: Option<Holes>,
    /// Row by row.
    pub cells: Vec<Vec<Cell>>,
    /// Row and column of the holes in use.
    pub chosen: Option<(usize, usize)>,
}

impl Chart {
    /// The middle with the holes in use, deg, else of the first pair that turns.
    fn middle(&self) -> Option<f64> {
        let middle = |cell: &Cell| match cell {
            Cell::Turns { centre, .. } => Some(*centre),
            Cell::Blocked(_) => None,
        };
        let used = self.chosen.and_then(|(row, column)| self.cells.get(row)?.get(column));
        used.and_then(middle).or_else(|| self.cells.iter().flatten().find_map(middle))
    }

    /// What is to be said with swing and push of a servo's chart; nothing of any other.
    #[must_use]
    pub fn over_travel(&self) -> (&'static str, &'static str) {
        match (self.servo, self.down.word) {
            (false, _) => ("", ""),
            (true, "horn") => (" with the horn sent as far as now", " on that way"),
            (true, _) => (" over the servo's travel", " where it is used"),
        }
    }
}

/// A row of holes.
#[derive(Clone, Debug, PartialEq)]
pub struct Holes {
    /// What they are for.
    pub name: SizeName,
    /// What people call it: "crank", of a servo "arm" or "horn".
    pub word: &'static str,
    /// Their sizes, mm, ascending.
    pub at: Vec<f64>,
}

impl Holes {
    /// Under the size's own word.
    #[must_use]
    pub const fn new(name: SizeName, at: Vec<f64>) -> Self {
        Self { name, word: name.word(), at }
    }
}

/// What one pair of holes makes of the limb.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// It goes through its whole motion.
    Turns {
        /// Swing or stroke.
        range: f64,
        /// Its middle.
        centre: f64,
        /// Worst push angle, deg.
        push: f64,
    },
    /// It does not, and why: "rod too short".
    Blocked(String),
}

/// Where holes lie that no row was written for: first, last, step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rows {
    /// Of the crank: what the motor comes with.
    pub crank: Option<(Mm, Mm, Mm)>,
    /// The household of the lever's.
    pub system: System,
    /// The limb angles gestures ask for, of a limb on a servo.
    pub asked: Option<(Deg, Deg)>,
    /// The limb angle near which middles are told: that of the maker's own swing. Without it
    /// they are told near the one in use.
    pub near: Option<Deg>,
}

/// The middle of the first swing a limb is asked for, in the maker's own turn.
#[must_use]
pub fn near(limb: &Limb) -> Option<Deg> {
    super::sweeps(limb).next().map(|(_, from, to, _)| (from + to) / 2.0)
}

/// The chart of a limb's mechanism.
///
/// `written` is what the maker said of crank and lever.
///
/// # Errors
/// What the limb has instead of holes, as the end of a sentence about it.
pub fn chart(
    fitted: &Fitted,
    written: (Option<&Sized>, Option<&Sized>),
    rows: Rows,
) -> Result<Chart, &'static str> {
    let mut chart = charted(fitted, written, rows)?;
    // -144 and 216 deg are one direction, and told in one turn of the circle.
    if let Some(near) = rows.near.map(|n| n.0).or(chart.middle()).filter(|_| !chart.slides) {
        for cell in chart.cells.iter_mut().flatten() {
            if let Cell::Turns { centre, .. } = cell {
                *centre += 360.0 * libm::round((near - *centre) / 360.0);
            }
        }
    }
    Ok(chart)
}

fn charted(
    fitted: &Fitted,
    written: (Option<&Sized>, Option<&Sized>),
    rows: Rows,
) -> Result<Chart, &'static str> {
    match fitted {
        Fitted::FourBar(bar) => Ok(of_bar(&bar.drilled, written, rows)),
        Fitted::Servo(servo) if servo.linkage.is_some() => {
            servo_chart::chart(servo, written, rows).ok_or(NO_HOLES)
        }
        Fitted::Servo(servo) if servo.cord.is_none() => {
            Err("sits straight on its servo's shaft, so there are no holes to chart")
        }
        Fitted::Spin(_) => Err(NO_HOLES),
        Fitted::Drive(_) | Fitted::Servo(_) => {
            let drive = fitted.as_drive().ok_or(NO_HOLES)?;
            let cord = drive.sizes.iter().any(|s| s.name == SizeName::Cord);
            let servo = matches!(fitted, Fitted::Servo(_));
            let recipe = drive.recipe.as_ref().ok_or(NO_HOLES)?;
            let rows = match servo {
                true => servo_chart::with_arm_holes(rows),
                false => rows,
            };
            let ((down, rows_of), across) = drive_rows(drive, rows).ok_or(NO_HOLES)?;
            let (across, columns) = across.unzip();
            let made = |row: f64, column: Option<f64>| {
                let mut values = recipe.drawn();
                values[down] = row;
                if let (Some(column), Some(at)) = (column, across) {
                    values[at] = column;
                }
                let Some((mechanism, way)) = recipe.made(&values) else {
                    return Cell::Blocked("no size".into());
                };
                match Course::of(&*mechanism, &way) {
                    Ok(course) => turns(&course.travel, course.worst_push),
                    Err(why) => Cell::Blocked(word(&why, cord).into()),
                }
            };
            let used = |at: usize| recipe.dimensions[at].drawn;
            let kept = drive.sizes.iter().filter(|s| {
                s.name != rows_of.name && columns.as_ref().is_none_or(|c| s.name != c.name)
            });
            let kept = kept.map(|s| (s.name, s.drilled)).collect();
            let slides = matches!(drive.drilled.course.travel, Travel::Stroke(_));
            let used = (used(down), across.map(used));
            Ok(Chart { servo, ..filled(kept, slides, (rows_of, columns), used, made) })
        }
    }
}

/// The rows of holes of a limb's mechanism, of its crank and of its lever, without what
/// each pair of them makes of it; none where it has none.
#[must_use]
pub fn rows(fitted: &Fitted, written: (Option<&Sized>, Option<&Sized>), rows: Rows) -> Vec<Holes> {
    match fitted {
        Fitted::FourBar(bar) => bar_rows(&bar.drilled, written, rows).into(),
        Fitted::Drive(drive) => {
            let found = drive_rows(drive, rows).into_iter();
            found
                .flat_map(|((_, down), across)| [Some(down), across.map(|a| a.1)])
                .flatten()
                .collect()
        }
        Fitted::Servo(_) | Fitted::Spin(_) => Vec::new(),
    }
}

/// A row of holes, and the dimension of the recipe that it is.
type Dimensioned = (usize, Holes);

/// The one or two rows of a drive that has any.
fn drive_rows(drive: &FittedDrive, rows: Rows) -> Option<(Dimensioned, Option<Dimensioned>)> {
    let recipe = drive.recipe.as_ref()?;
    let row = |name: SizeName, otherwise: Option<(f64, f64, f64)>| {
        let own = |d: &Dimension| name.is(d);
        let at = recipe.dimensions.iter().position(own)?;
        let size = drive.sizes.iter().find(|s| s.name == name)?;
        let drawn = recipe.dimensions[at].drawn;
        let word = match recipe.dimensions[at].name {
            "horn" => "horn",
            _ => name.word(),
        };
        Some((at, Holes { name, word, at: holes(size.said.row, otherwise, drawn) }))
    };
    let crank = row(SizeName::Crank, rows.crank.map(|(a, b, s)| (a.0, b.0, s.0)));
    let lever = row(SizeName::Lever, Some(usual_lever_holes(rows.system)));
    match (crank, lever) {
        (Some(c), l) => Some((c, l)),
        (None, l) => Some((l?, None)),
    }
}

/// Crank and lever of a linkage.
fn bar_rows(built: &FourBar, written: (Option<&Sized>, Option<&Sized>), rows: Rows) -> [Holes; 2] {
    let bars = built.bars();
    let said = |s: Option<&Sized>| s.and_then(|s| s.row);
    let crank_row = rows.crank.map(|(a, b, s)| (a.0, b.0, s.0));
    let lever_row = Some(usual_lever_holes(rows.system));
    [
        Holes::new(SizeName::Crank, holes(said(written.0), crank_row, bars.crank.0)),
        Holes::new(SizeName::Lever, holes(said(written.1), lever_row, bars.lever.0)),
    ]
}

const NO_HOLES: &str = "has no crank and lever, so there are no holes to chart";

fn of_bar(built: &FourBar, written: (Option<&Sized>, Option<&Sized>), rows: Rows) -> Chart {
    let bars = built.bars();
    let [down, across] = bar_rows(built, written, rows);
    let kept = vec![(SizeName::Rod, bars.rod.0), (SizeName::Clamp, built.clamp().0)];
    let made = |crank: f64, lever: Option<f64>| {
        let lengths = (Mm(crank), bars.rod, Mm(lever.unwrap_or(bars.lever.0)));
        let ends = (built.motor(), built.pivot());
        match FourBar::new(ends, lengths, built.clamp(), built.assembly()) {
            Err(_) => Cell::Blocked("no size".into()),
            Ok(made) => bar_cell(&made),
        }
    };
    let used = (bars.crank.0, Some(bars.lever.0));
    filled(kept, false, (down, Some(across)), used, made)
}

/// What a linkage makes of the limb.
fn bar_cell(made: &FourBar) -> Cell {
    let (bars, analysis) = (made.bars(), made.analyse());
    let far = bars.ground + bars.crank - (bars.rod + bars.lever);
    let near = bars.rod - bars.lever + bars.crank - bars.ground;
    let swing = analysis.motion.and_then(|m| Some((m, m.low?, m.high?)));
    match swing {
        Some((motion, low, high)) if analysis.crank_turns_fully => Cell::Turns {
            range: motion.sweep.0,
            centre: ((low + high) / 2.0).0,
            push: motion.min_transmission.0,
        },
        None if analysis.crank_turns_fully => Cell::Blocked("limb goes round".into()),
        _ if !analysis.assembles => Cell::Blocked("does not meet".into()),
        // With such a crank no rod goes round.
        _ if bars.crank >= bars.lever.min(bars.ground) => Cell::Blocked("crank too long".into()),
        _ if far.0 > 0.0 => Cell::Blocked("rod too short".into()),
        _ if near.0 > 0.0 => Cell::Blocked("rod too long".into()),
        _ => Cell::Blocked("crank blocked".into()),
    }
}

fn turns(travel: &Travel, push: Deg) -> Cell {
    fn ends<Q: Copy>(l: &Limits<Q>, number: fn(Q) -> f64) -> (f64, f64) {
        (number(l.low), number(l.high))
    }
    let (low, high) = match travel {
        Travel::Swing(l) => ends(l, |d| d.0),
        Travel::Stroke(l) => ends(l, |m| m.0),
    };
    if matches!(travel, Travel::Swing(_)) && high - low > 360.0 - 1e-6 {
        return Cell::Blocked("limb goes round".into());
    }
    Cell::Turns { range: high - low, centre: (low + high) / 2.0, push: push.0 }
}

/// What is in the way, in two or three words.
const fn word(why: &Blocked, cord: bool) -> &'static str {
    match why {
        Blocked::Open { gap } if cord && gap.0 > 0.0 => "cord too short",
        Blocked::Open { .. } if cord => "cord too long",
        Blocked::Open { gap } if gap.0 > 0.0 => "rod too short",
        Blocked::Open { .. } => "rod too long",
        Blocked::DeadCentre => "may flip",
        Blocked::Outside { .. } => "out of travel",
        Blocked::Beyond { .. } => "out of stroke",
        Blocked::Degenerate(_) => "does not meet",
    }
}

pub(super) fn filled(
    kept: Vec<(SizeName, f64)>,
    slides: bool,
    (down, across): (Holes, Option<Holes>),
    used: (f64, Option<f64>),
    made: impl Fn(f64, Option<f64>) -> Cell,
) -> Chart {
    let down = Holes { at: about(down.at, used.0, DOWN), ..down };
    let across = across.map(|a| match used.1 {
        Some(used) => Holes { at: about(a.at, used, ACROSS), ..a },
        None => a,
    });
    let row = |&r: &f64| match &across {
        Some(across) => across.at.iter().map(|&c| made(r, Some(c))).collect(),
        None => vec![made(r, None)],
    };
    let mut down = down;
    let mut cells: Vec<Vec<Cell>> = down.at.iter().map(row).collect();
    // Beyond the first row of a long bar in which nothing turns there is nothing to read.
    let blocked = |row: &[Cell]| row.iter().all(|c| matches!(c, Cell::Blocked(_)));
    while cells.len() > ACROSS
        && cells.iter().rev().take(2).all(|r| blocked(r))
        && !down.at.last().is_some_and(|h| same(*h, used.0))
    {
        cells.pop();
        down.at.pop();
    }
    let place = |list: &[f64], size: f64| list.iter().position(|h| same(*h, size));
    let column = match (&across, used.1) {
        (Some(across), Some(used)) => place(&across.at, used),
        _ => Some(0),
    };
    let chosen = place(&down.at, used.0).zip(column);
    Chart { kept, slides, servo: false, down, across, cells, chosen }
}

/// The most holes of one row that are told.
const MOST: usize = 40;
/// The most of them that a chart has rows and columns for: more than these nobody reads, and
/// they fit neither a terminal nor a page.
const DOWN: usize = 20;
const ACROSS: usize = 10;

/// So many holes about the one in use.
fn about(holes: Vec<f64>, used: f64, most: usize) -> Vec<f64> {
    let at = holes.iter().position(|h| same(*h, used)).unwrap_or(0);
    let last = holes.len().saturating_sub(most);
    let first = at.saturating_sub(most / 2).min(last);
    holes.into_iter().skip(first).take(most).collect()
}

/// The holes of a row, with the one in use put in where it is none of them.
pub(super) fn holes(
    row: Option<(f64, f64, f64)>,
    otherwise: Option<(f64, f64, f64)>,
    used: f64,
) -> Vec<f64> {
    let mut list = Vec::new();
    if let Some((lo, hi, step)) = row.or(otherwise).filter(|r| r.2 > 0.0) {
        // Of a row that is longer than the chart, the holes about the one in use.
        let spaces = libm::floor((hi - lo) / step + 1e-6);
        let most = MOST as f64;
        let first = libm::floor((used - lo) / step) - most / 2.0;
        let first = first.clamp(0.0, (spaces + 1.0 - most).max(0.0));
        // By index, so that no error adds up; the last hole counts.
        let nth = (0..MOST).map(|i| first + i as f64).take_while(|i| *i <= spaces);
        list.extend(nth.map(|i| lo + step * i));
    }
    if !list.iter().any(|h| same(*h, used)) {
        list.push(used);
        list.sort_by(f64::total_cmp);
    }
    list
}

/// Whether two sizes are one hole.
fn same(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-6
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::BoardPoint;
    use crate::mechanism::Assembly;

    /// Ground 200, rod 180, lever 80: with crank 30 a crank-rocker (shortest 30 +
    /// longest 200 < 180 + 80).
    fn built(crank: f64) -> FourBar {
        let ends = (BoardPoint::mm(0.0, 0.0), BoardPoint::mm(200.0, 0.0));
        FourBar::new(ends, (Mm(crank), Mm(180.0), Mm(80.0)), Deg(0.0), Assembly::Open).unwrap()
    }

    /// The ends of the lever's swing by the law of cosines: crank and rod in line.
    fn end(reach: f64) -> f64 {
        libm::acos((200.0 * 200.0 + 80.0 * 80.0 - reach * reach) / (2.0 * 200.0 * 80.0))
            .to_degrees()
    }

    #[test]
    fn a_pair_of_holes_swings_as_the_law_of_cosines_says() {
        let sweep = end(180.0 + 30.0) - end(180.0 - 30.0);
        match bar_cell(&built(30.0)) {
            Cell::Turns { range, .. } => assert!((range - sweep).abs() < 1e-9, "{range} {sweep}"),
            Cell::Blocked(why) => panic!("{why}"),
        }
    }

    #[test]
    fn a_blocked_pair_says_why() {
        // 200 + 70 > 180 + 80: with the crank pointing away the rod does not reach.
        assert_eq!(bar_cell(&built(70.0)), Cell::Blocked("rod too short".into()));
        // A crank as long as its lever, or longer, goes round with no rod at all; and a
        // rod of 290 is too long where the crank points at the pivot: 290 - 80 + 30 > 200.
        assert_eq!(bar_cell(&built(90.0)), Cell::Blocked("crank too long".into()));
        let ends = (BoardPoint::mm(0.0, 0.0), BoardPoint::mm(200.0, 0.0));
        let long = (Mm(30.0), Mm(290.0), Mm(80.0));
        let long = FourBar::new(ends, long, Deg(0.0), Assembly::Open).unwrap();
        assert_eq!(bar_cell(&long), Cell::Blocked("rod too long".into()));
        // 200 + 80 > 30 + 180: no triangle of any kind closes with a crank of 500.
        assert_eq!(bar_cell(&built(500.0)), Cell::Blocked("does not meet".into()));
    }

    #[test]
    fn the_hole_in_use_is_always_charted() {
        let row = Some((30.0, 60.0, 10.0));
        assert_eq!(holes(row, None, 40.0), [30.0, 40.0, 50.0, 60.0]);
        assert_eq!(holes(None, Some((30.0, 40.0, 10.0)), 35.0), [30.0, 35.0, 40.0]);
        assert_eq!(holes(None, None, 35.0), [35.0]);
    }

    #[test]
    fn a_chart_keeps_to_what_a_page_holds() {
        let bar = || (0..40).map(|i| 15.0 * f64::from(i + 1)).collect::<Vec<_>>();
        assert_eq!(
            about(bar(), 300.0, 10),
            (14..24).map(|i| 15.0 * f64::from(i + 1)).collect::<Vec<_>>()
        );
        assert_eq!(about(bar(), 15.0, 10), bar()[..10]);
        assert_eq!(about(bar(), 600.0, 10), bar()[30..]);
        assert_eq!(about(vec![30.0, 40.0], 40.0, 10), [30.0, 40.0]);
        let row = |name| Holes::new(name, bar());
        let two = (row(SizeName::Crank), Some(row(SizeName::Lever)));
        let turns = |crank: f64, _| match crank < 450.0 {
            true => Cell::Turns { range: 40.0, centre: 0.0, push: 60.0 },
            false => Cell::Blocked("crank too long".into()),
        };
        // Of twenty about 300 mm, 150 to 435 turn.
        let chart = filled(Vec::new(), false, two, (300.0, Some(15.0)), turns);
        assert_eq!((chart.cells.len(), chart.cells[0].len()), (DOWN, ACROSS));
        let (down, across) = chart.chosen.unwrap();
        assert_eq!((chart.down.at[down], chart.across.unwrap().at[across]), (300.0, 15.0));
        // Of rows that do not turn the first is told: 15 to 135 mm and 150.
        let two = (row(SizeName::Crank), Some(row(SizeName::Lever)));
        let turns = |crank: f64, at| turns(if crank < 150.0 { crank } else { 500.0 }, at);
        let chart = filled(Vec::new(), false, two, (75.0, Some(15.0)), turns);
        assert_eq!(chart.down.at.last(), Some(&150.0));
    }

    #[test]
    fn a_long_bar_is_charted_about_the_hole_in_use() {
        let bar = Some((15.0, 975.0, 15.0));
        let list = holes(bar, None, 600.0);
        assert_eq!((list.len(), list[0], list[MOST - 1]), (MOST, 300.0, 885.0));
        assert_eq!(holes(bar, None, 30.0)[0], 15.0);
        assert_eq!(holes(bar, None, 975.0)[MOST - 1], 975.0);
    }
}
