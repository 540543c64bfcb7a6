//! Which pieces are cut from which sheet: boxes laid in rows, the tallest first.
//!
//! First-fit decreasing height on sheets (common practice; rows can be sawn right across,
//! as a table saw or a knife on a rail wants). It need not be the best plan: the least
//! number that any plan needs stands beside it. Pieces are boxes: who nests outlines into
//! each other by hand may need less.

use crate::units::Mm;

/// A piece's box.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// What of it lies along the sheet's grain or flutes, its longer side.
    pub along: Mm,
    /// What lies across.
    pub across: Mm,
    /// Whether it may lie the other way round as well.
    pub turns: bool,
    /// Whose it is: "bear board".
    pub whose: String,
}

/// A piece where it lies, from the sheet's corner.
#[derive(Clone, Debug, PartialEq)]
pub struct Laid {
    /// Its corner along and across the sheet.
    pub at: (Mm, Mm),
    /// How much of the sheet it takes along and across.
    pub size: (Mm, Mm),
    /// Whose it is.
    pub whose: String,
}

/// The whole plan for one kind of sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Layout {
    /// The pieces of each sheet, row by row.
    pub sheets: Vec<Vec<Laid>>,
    /// No plan needs fewer: the area of the boxes over that of a sheet.
    pub least: usize,
    /// Pieces that no sheet holds.
    pub too_large: Vec<Piece>,
}

/// Lengths that differ by less are one, mm: inches in binary.
const SAME: f64 = 1e-6;

/// Lays pieces on sheets of a length and a width, with the saw's cut between them.
#[must_use]
pub fn lay(pieces: Vec<Piece>, (length, width): (Mm, Mm), kerf: Mm) -> Layout {
    let sheet = Sides { along: length.0, across: width.0 };
    let real =
        |p: &Piece| p.along.0 > 0.0 && p.across.0 > 0.0 && (p.along.0 * p.across.0).is_finite();
    let holds = |p: &Piece| Sides::ways(p).any(|s| s.inside(&sheet));
    let (fit, too_large): (Vec<Piece>, Vec<Piece>) =
        pieces.into_iter().filter(real).partition(holds);
    let area: f64 = fit.iter().map(|p| p.along.0 * p.across.0).sum();
    let least = libm::ceil(area / (length.0 * width.0) - SAME).max(0.0) as usize;
    // Lying down and standing up each win for some heaps.
    let [tall, flat] = [true, false].map(|tall| laid(&fit, &sheet, kerf.0, tall));
    let sheets = if flat.len() < tall.len() { flat } else { tall };
    Layout { sheets, least, too_large }
}

/// Two sides of a box.
#[derive(Clone, Copy)]
struct Sides {
    along: f64,
    across: f64,
}

impl Sides {
    /// The ways a piece may lie.
    fn ways(piece: &Piece) -> impl Iterator<Item = Self> {
        let (along, across) = (piece.along.0, piece.across.0);
        let turned = piece.turns.then_some(Self { along: across, across: along });
        std::iter::once(Self { along, across }).chain(turned)
    }

    fn inside(&self, other: &Self) -> bool {
        self.along <= other.along + SAME && self.across <= other.across + SAME
    }
}

/// A row across a sheet: where it begins, and what of it is left.
struct Row {
    from: f64,
    left: Sides,
}

/// A sheet as it fills.
struct Filling {
    rows: Vec<Row>,
    /// What is left of its length behind the last row.
    left: f64,
    laid: Vec<Laid>,
    /// The widest rest of any of its rows.
    widest: f64,
}

fn laid(pieces: &[Piece], sheet: &Sides, kerf: f64, tall: bool) -> Vec<Vec<Laid>> {
    // The way each begins a row, where it has a choice.
    let first = |p: &Piece| {
        let ways = Sides::ways(p).filter(|s| s.inside(sheet));
        let side = |s: &Sides| if tall { -s.along } else { s.along };
        ways.min_by(|a, b| side(a).total_cmp(&side(b)))
    };
    let mut order: Vec<(Sides, &Piece)> =
        pieces.iter().filter_map(|p| Some((first(p)?, p))).collect();
    // Of equals by whose they are, so that the plan is always the same.
    order.sort_by(|(a, p), (b, q)| {
        let by_size = b.along.total_cmp(&a.along).then(b.across.total_cmp(&a.across));
        by_size.then_with(|| p.whose.cmp(&q.whose))
    });
    let mut sheets: Vec<Filling> = Vec::new();
    for (begins, piece) in order {
        let narrow = piece.along.0.min(piece.across.0) - SAME;
        let mut open = sheets.iter_mut().filter(|s| s.widest >= narrow || s.left >= narrow);
        if open.any(|s| s.put(piece, &begins, sheet, kerf)) {
            continue;
        }
        let mut new =
            Filling { rows: Vec::new(), left: sheet.along, laid: Vec::new(), widest: 0.0 };
        new.put(piece, &begins, sheet, kerf);
        sheets.push(new);
    }
    sheets.into_iter().map(|s| s.laid).collect()
}

impl Filling {
    /// Puts a piece into the first row that takes it, or into a new one; whether it could.
    fn put(&mut self, piece: &Piece, begins: &Sides, sheet: &Sides, kerf: f64) -> bool {
        let in_row =
            self.rows.iter().enumerate().find_map(|(n, row)| {
                Sides::ways(piece).find(|s| s.inside(&row.left)).map(|s| (n, s))
            });
        let (n, way) = match in_row {
            Some(found) => found,
            None if begins.along <= self.left + SAME => {
                let from = sheet.along - self.left;
                self.left -= begins.along + kerf;
                let left = Sides { along: begins.along, across: sheet.across };
                self.rows.push(Row { from, left });
                (self.rows.len() - 1, *begins)
            }
            None => return false,
        };
        let row = &mut self.rows[n];
        let at = (Mm(row.from), Mm(sheet.across - row.left.across));
        row.left.across -= way.across + kerf;
        let size = (Mm(way.along), Mm(way.across));
        self.laid.push(Laid { at, size, whose: piece.whose.clone() });
        self.widest = self.rows.iter().map(|r| r.left.across).fold(0.0, f64::max);
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn piece(along: f64, across: f64, turns: bool) -> Piece {
        Piece { along: Mm(along), across: Mm(across), turns, whose: String::new() }
    }

    // Counted by hand: four of 600 x 1200 stand in the corners of 1250 x 2500 with one
    // cut between; a fifth begins another sheet.
    #[test]
    fn boxes_share_a_sheet_with_the_cut_between() {
        let sheet = (Mm(2500.0), Mm(1250.0));
        for (count, sheets) in [(1, 1), (4, 1), (5, 2), (8, 2)] {
            let plan = lay(vec![piece(1200.0, 600.0, false); count], sheet, Mm(3.0));
            assert_eq!(plan.sheets.len(), sheets, "{count}");
        }
        let tight = lay(vec![piece(1250.0, 625.0, false); 4], sheet, Mm(0.0));
        assert_eq!((tight.sheets.len(), tight.least), (1, 1));
        let cut = lay(vec![piece(1250.0, 625.0, false); 4], sheet, Mm(3.0));
        assert_eq!(cut.sheets.len(), 4, "each takes the room of a cut more than a quarter");
    }

    #[test]
    fn what_may_not_turn_is_too_large_where_it_would_have_to() {
        let sheet = (Mm(2500.0), Mm(1250.0));
        assert_eq!(lay(vec![piece(1000.0, 2000.0, true)], sheet, Mm(3.0)).sheets.len(), 1);
        let plan = lay(vec![piece(1000.0, 2000.0, false)], sheet, Mm(3.0));
        assert_eq!((plan.sheets.len(), plan.too_large.len()), (0, 1));
        let none = lay(vec![piece(0.0, 5.0, true), piece(f64::NAN, 5.0, true)], sheet, Mm(3.0));
        assert_eq!(none, Layout::default());
    }

    proptest! {
        /// Every piece lies on a sheet whole, with a cut to the next, and none is lost.
        #[test]
        fn pieces_never_overlap(
            boxes in prop::collection::vec((10.0..2600.0, 10.0..1300.0, any::<bool>()), 0..60),
            kerf in 0.0..5.0,
        ) {
            let (length, width) = (2500.0, 1250.0);
            let pieces: Vec<Piece> = boxes
                .iter()
                .enumerate()
                .map(|(n, (a, b, turns))| Piece { whose: n.to_string(), ..piece(*a, *b, *turns) })
                .collect();
            let plan = lay(pieces.clone(), (Mm(length), Mm(width)), Mm(kerf));
            let on_sheets: usize = plan.sheets.iter().map(Vec::len).sum();
            prop_assert_eq!(on_sheets + plan.too_large.len(), pieces.len());
            prop_assert!(plan.sheets.len() >= plan.least);
            for sheet in &plan.sheets {
                for (n, a) in sheet.iter().enumerate() {
                    let whole = &pieces[a.whose.parse::<usize>().unwrap()];
                    let same = (a.size.0, a.size.1) == (whole.along, whole.across);
                    prop_assert!(same || whole.turns && (a.size.1, a.size.0) == (whole.along, whole.across));
                    prop_assert!(a.at.0.0 >= 0.0 && a.at.0.0 + a.size.0.0 <= length + 1e-5);
                    prop_assert!(a.at.1.0 >= 0.0 && a.at.1.0 + a.size.1.0 <= width + 1e-5);
                    for b in &sheet[n + 1..] {
                        let off = |a0: f64, a: f64, b0: f64, b: f64| a0 + a + kerf <= b0 + 1e-5 || b0 + b + kerf <= a0 + 1e-5;
                        prop_assert!(
                            off(a.at.0.0, a.size.0.0, b.at.0.0, b.size.0.0)
                                || off(a.at.1.0, a.size.1.0, b.at.1.0, b.size.1.0)
                        );
                    }
                }
            }
        }
    }
}
