//! What a limb covers, in its own plane: the shape that is weighed, blown at and
//! kept clear of others.

use super::{DriveKind, Joint, Limb, Mount, Shape};
use crate::geometry::{BoardPoint, Dir, OnLimb, Outline, Point};
use crate::mechanism::Size;
use crate::units::{Deg, Mm};

impl Limb {
    /// Where the limb's own plane lies on the board in the drawn pose: its origin,
    /// and the direction of its axis. `None` where its pivot or tip is not known.
    #[must_use]
    pub fn drawn(&self) -> Option<(BoardPoint, Dir)> {
        let (origin, end) = match self.joint {
            Joint::Pivot { at, .. } => (at?, self.tip?),
            Joint::Slide { from, to } => (from, to),
        };
        Some((origin, (end - origin).dir()?))
    }

    /// A point of the drawn pose in the limb's own plane.
    #[must_use]
    pub fn own(&self, point: BoardPoint) -> Option<Point<OnLimb>> {
        let (origin, axis) = self.drawn()?;
        let v = point - origin;
        Some(Point::mm(v.x * axis.x() + v.y * axis.y(), v.y * axis.x() - v.x * axis.y()))
    }

    /// Its outline in its own plane: as drawn, or the strip it is. `None` where no
    /// shape is known.
    #[must_use]
    pub fn silhouette(&self) -> Option<Outline<OnLimb>> {
        match self.shape.as_ref()? {
            Shape::Outline(outline) => {
                let own = outline.corners().iter().map(|&p| self.own(p));
                Outline::new(own.collect::<Option<_>>()?)
            }
            Shape::Strip { width, tail } => {
                let (origin, _) = self.drawn()?;
                let length = self.tip?.distance(origin);
                Outline::strip(Point::mm(-tail.0, 0.0), Point::mm(length.0, 0.0), *width)
            }
        }
    }

    /// How far a strip on a pivot is cut on behind it where no tail was said: half its
    /// width, so that its bolt has wood all round, and so far beyond the hole of a rod that
    /// is pinned to the limb itself, as it was found or, before that, where its place is
    /// said. `None` for other limbs.
    #[must_use]
    pub fn assumed_tail(&self, found: Option<Mm>) -> Option<Mm> {
        match (&self.joint, self.shape.as_ref()?) {
            (Joint::Pivot { .. }, Shape::Strip { width, tail }) if tail.0 == 0.0 => {
                let hole = found.or_else(|| self.tail_hole()).filter(|h| h.0 > 0.0);
                Some(*width / 2.0 + hole.unwrap_or(Mm(0.0)))
            }
            _ => None,
        }
    }

    /// Whether its rod is pinned to the limb itself and not to a lever on its bolt.
    #[must_use]
    pub fn is_its_own_lever(&self) -> bool {
        self.mount == Mount::Behind || self.carrier.is_some()
    }

    /// How far behind its pivot a rod is pinned to the limb itself; `None` where it is not,
    /// or where that is left open.
    fn tail_hole(&self) -> Option<Mm> {
        let drive = self.drive.as_ref().filter(|_| self.is_its_own_lever())?;
        let (lever, clamp) = match &drive.mechanism {
            DriveKind::FourBar(said) => (said.lever, said.clamp),
            DriveKind::Forearm(said) => (said.lever, said.clamp),
            DriveKind::Servo(said) => said.rod.as_ref().map(|rod| (rod.lever, rod.clamp))?,
            _ => return None,
        };
        let (Size::Given(lever), Size::Given(clamp)) = (lever.size, clamp.size) else {
            return None;
        };
        Some(Mm(-lever * Dir::degrees(Deg(clamp)).x()))
    }

    /// Its outline as it is cut, in its own plane: what it covers, and of a strip its
    /// assumed tail, which is neither weighed nor blown at.
    #[must_use]
    pub fn as_cut(&self, assumed_tail: Option<Mm>) -> Option<Outline<OnLimb>> {
        let (Some(tail), Some(Shape::Strip { width, .. })) = (assumed_tail, &self.shape) else {
            return self.silhouette();
        };
        let (origin, _) = self.drawn()?;
        let length = self.tip?.distance(origin);
        Outline::strip(Point::mm(-tail.0, 0.0), Point::mm(length.0, 0.0), *width)
    }
}
