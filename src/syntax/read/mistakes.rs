//! What the reader says of words and values that do not fit.

use super::super::ShapeKind;
use super::super::codes;
use super::super::cursor::{Piece, quote_missing, shown};
use super::super::quantity::{example_of, titles};
use super::super::units::unit_named;
use super::super::words::{Need, Part, Row, Table, Take};
use super::{Pending, Reader};
use crate::finding::{Finding, Place, closest, list_of};

impl<'a> Reader<'a> {
    /// A shape that the clause in hand does not take and that begins no other.
    pub(super) fn mistaken(&mut self, p: Pending, piece: Piece<'a>) {
        let mark = matches!(piece.kind, ShapeKind::Unclosed | ShapeKind::Stray);
        match (piece.kind, self.due(p)) {
            (ShapeKind::Word, _) => self.misspelt(p, piece),
            (_, Some(index)) if !mark => self.read_part(index, piece.place),
            _ => {
                self.unexpected(piece);
                self.mark_poisoned();
                if !matches!(piece.kind, ShapeKind::Op)
                    && let Some(p) = &mut self.pending
                {
                    p.silent = true;
                }
            }
        }
    }

    /// A word behind the clause in hand that is no key and no word of the table.
    pub(super) fn misspelt(&mut self, p: Pending, piece: Piece<'a>) {
        if let Some((i, _)) =
            p.row.parts.iter().enumerate().find(|(_, part)| part.key == Some(piece.text))
        {
            return self.key_twice(i, piece);
        }
        if let Some(i) = self.choice_due(p, piece) {
            return self.read_part(i, piece.place);
        }
        if self.half_key(p, piece) {
            return;
        }
        if self.times(p, piece) {
            return;
        }
        let keys = p.row.parts.iter().filter_map(|part| part.key);
        let table = self.frame().table;
        let rows = words_of(table);
        if let Some(near) = closest(piece.text, keys.chain(rows)) {
            self.did_you_mean(piece, near);
            self.mark_poisoned();
            let key = p.row.parts.iter().position(|part| part.key == Some(near));
            if let Some(index) = key.filter(|i| p.tried & (1 << i) == 0) {
                return self.read_keyed(index, 1, piece);
            }
            if let Some(row) = table.find(near).filter(|r| !self.stands(r)) {
                self.settle(false);
                self.start(row, piece.place, true);
                return self.mark_poisoned();
            }
        } else if let Some(index) = self.due(p) {
            return self.read_part(index, piece.place);
        } else if self.needless_unit(piece) {
            return self.mark_poisoned();
        } else {
            self.no_such_word(piece, p.row, table);
            self.mark_poisoned();
        }
        self.c.skip();
        if let Some(p) = &mut self.pending {
            p.silent = true;
        }
    }

    /// `24 in x 40 in`, where `by` stands between two sizes.
    fn times(&mut self, p: Pending, piece: Piece<'a>) -> bool {
        let by = p.row.parts.iter().position(|part| part.key == Some("by"));
        let Some(index) = by.filter(|i| p.tried & (1 << i) == 0) else { return false };
        let meant = matches!(piece.text, "x" | "X" | "\u{d7}");
        if meant {
            self.did_you_mean(piece, "by");
            self.mark_poisoned();
            self.read_keyed(index, 1, piece);
        }
        meant
    }

    /// A unit behind a number that is counted, not measured.
    pub(super) fn needless_unit(&mut self, piece: Piece<'a>) -> bool {
        let behind = self.c.at.checked_sub(1).map(|i| self.c.tape[i as usize]);
        let number = behind.filter(|s| s.kind == ShapeKind::Number);
        let (Some(number), Some(_)) = (number, unit_named(piece.text)) else { return false };
        self.c.skip();
        let number = self.c.text_of(self.c.place(number.lo, number.hi));
        let text = format!("`{number}` takes no unit here.");
        let finding = Finding::new(&codes::UNIT_WRONG, piece.place, text);
        self.c.report(finding.fix("take it out", piece.place, ""));
        true
    }

    /// The first word of a key of two whose second is misspelt (`from beihnd`).
    pub(super) fn half_key(&mut self, p: Pending, piece: Piece<'a>) -> bool {
        let Some(second) = self.c.peek_at(1).filter(|s| s.kind == ShapeKind::Word) else {
            return false;
        };
        let found = p.row.parts.iter().enumerate().find_map(|(i, part)| {
            let (first, rest) = part.key?.split_once(' ')?;
            let open = p.tried & (1 << i) == 0;
            (open && first == piece.text && closest(second.text, [rest]).is_some())
                .then_some((i, rest))
        });
        let Some((index, rest)) = found else { return false };
        self.did_you_mean(second, rest);
        self.mark_poisoned();
        self.read_keyed(index, 2, piece);
        true
    }

    /// A choice that is due and that the word was perhaps meant for.
    pub(super) fn choice_due(&self, p: Pending, piece: Piece<'a>) -> Option<usize> {
        p.row.parts.iter().enumerate().position(|(i, part)| {
            let Take::Choice(words) = part.take else { return false };
            let open = part.key.is_none() && p.tried & (1 << i) == 0;
            open && (part.need == Need::Must
                || closest(piece.text, words.iter().copied()).is_some())
        })
    }

    pub(super) fn key_twice(&mut self, index: usize, piece: Piece<'a>) {
        let Some(p) = self.pending else { return };
        let before = self.values_of(p).iter().find(|v| v.part as usize == index);
        let before = before.map(|v| self.c.place(v.lo, v.hi));
        self.c.skip();
        if let Some(before) = before {
            let text = format!("`{}` is said twice.", piece.text);
            let finding = Finding::new(&codes::WORD_TWICE, piece.place, text)
                .help("take one of the two out.")
                .related("first said here", before);
            self.c.report(finding);
        }
        self.mark_poisoned();
        if let Some(p) = &mut self.pending {
            p.silent = true;
        }
    }

    pub(super) fn did_you_mean(&mut self, piece: Piece<'a>, near: &str) {
        let finding = Finding::new(
            &codes::WORD_UNKNOWN,
            piece.place,
            format!("`{}` means nothing here.", shown(piece.text)),
        )
        .help(format!("did you mean `{near}`?"))
        .fix(format!("write `{near}`"), piece.place, near);
        self.c.report(finding);
    }

    /// Whether the word takes a text without a key that has not come yet.
    fn lacks_text(&self, row: &Row) -> bool {
        let text = |p: &Part| p.key.is_none() && matches!(p.take, Take::Text);
        let Some(index) = row.parts.iter().position(text) else { return false };
        let Some(p) = self.pending else { return false };
        !self.values_of(p).iter().any(|v| v.part as usize == index)
    }

    pub(super) fn no_such_word(&mut self, piece: Piece<'a>, row: &Row, table: &Table) {
        let text = shown(piece.text);
        if self.lacks_text(row) {
            let finding = Finding::new(
                &codes::TEXT_NEEDED,
                piece.place,
                format!("`{text}` must stand in quotes to be a text of `{}`.", row.word),
            );
            let quoted = format!("\"{text}\"");
            self.c.report(finding.fix("put it in quotes", piece.place, quoted));
            return;
        }
        let keys: Vec<&str> = row.parts.iter().filter_map(|p| p.key).collect();
        let finding = Finding::new(
            &codes::WORD_UNKNOWN,
            piece.place,
            match row.word {
                "" => format!("`{text}` means nothing in a line of this {}.", table.name),
                word => format!("`{text}` means nothing behind `{word}`."),
            },
        );
        // The word may be right and only its place wrong: say which words take it.
        let takers: Vec<&str> = table
            .rows
            .iter()
            .filter(|r| r.parts.iter().any(|p| p.key == Some(piece.text)))
            .map(|r| r.word)
            .collect();
        let finding = if !takers.is_empty() {
            finding.help(format!("`{text}` stands behind {}.", list_of(takers, "and", 20)))
        } else if row.word.is_empty() {
            finding.help(takes(row))
        } else if keys.is_empty() {
            finding.help(format!(
                "words of a {}: {}.",
                table.name,
                list_of(words_of(table), "and", 40)
            ))
        } else {
            finding.help(format!("`{}` takes {}.", row.word, list_of(keys, "and", 20)))
        };
        self.c.report(finding);
    }

    /// A word at the start of a clause that the block does not know.
    pub(super) fn unknown(&mut self, piece: Piece<'a>) {
        let table = self.frame().table;
        if let Some(near) = closest(piece.text, words_of(table))
            && let Some(row) = table.find(near)
        {
            self.did_you_mean(piece, near);
            if self.stands(row) {
                self.lost = true;
                return self.c.skip();
            }
            self.start(row, piece.place, true);
            return self.mark_poisoned();
        }
        let text = format!("`{}` is no word of a {}.", shown(piece.text), table.name);
        let finding = Finding::new(&codes::WORD_UNKNOWN, piece.place, text);
        self.c.report(finding.help(format!("it knows {}.", list_of(words_of(table), "and", 40))));
        self.lost = true;
        self.c.skip();
    }

    /// A shape that nothing takes.
    pub(super) fn unexpected(&mut self, piece: Piece<'a>) {
        match piece.kind {
            ShapeKind::Op | ShapeKind::Junk => {
                let run = self.c.run();
                self.c.skip_run();
                self.stray_mark(run.map_or(piece.place, |r| r.place));
            }
            ShapeKind::Unclosed => {
                self.c.skip();
                self.c.report(quote_missing(piece.place));
            }
            ShapeKind::Stray => {
                self.c.skip_run();
                let text = format!("this `{}` closes nothing.", piece.text);
                let finding = Finding::new(&codes::MARK_STRAY, piece.place, text);
                self.c.report(finding.help("take it out, or write what it closes before it."));
            }
            _ => {
                let run = self.c.run().map_or(piece.place, |r| r.place);
                self.c.skip_run();
                let text = format!("`{}` belongs to no word.", self.c.text_of(run));
                let finding = Finding::new(&codes::VALUE_EXTRA, run, text);
                let point = piece.kind == ShapeKind::Point;
                let key = self.pending.as_ref().filter(|_| point).and_then(Pending::point_key);
                let finding = match (&self.pending, key) {
                    (Some(p), Some(key)) => {
                        finding.help(format!("write `{key}` before it: {}", takes(p.row))).fix(
                            format!("write `{key}` before it"),
                            Place { hi: run.lo, ..run },
                            format!("{key} "),
                        )
                    }
                    (Some(p), None) => finding.help(takes(p.row)),
                    (None, _) => {
                        finding.help("take it out, or write the word it belongs to before it.")
                    }
                };
                self.c.report(finding);
            }
        }
    }

    pub(super) fn stray_mark(&mut self, place: Place) {
        let text = format!(
            "`{}` means nothing here; nothing stands between words and values.",
            self.c.text_of(place)
        );
        let finding = Finding::new(&codes::MARK_STRAY, place, text);
        self.c.report(finding.fix("take it out", place, ""));
    }
}

pub(super) fn words_of(table: &Table) -> impl Iterator<Item = &'static str> {
    table.rows.iter().map(|r| r.word)
}

/// What a part wants, with an example: "a length, such as 30 mm".
pub(super) fn wanted(part: &Part) -> String {
    let dims = part.take.dimensions();
    let name = part.key.map_or_else(|| part.name.to_owned(), |k| format!("`{k}`"));
    let what = match part.take {
        Take::Point | Take::OpenPoint => "a point, such as (150, 880) mm".to_owned(),
        Take::Points => "points, such as (0, 0) (620, 0) mm".to_owned(),
        Take::Range(d, _) => {
            format!("a range from one value to another, such as {0} to …", example_of(d))
        }
        Take::Holes => "a row of holes, such as 30 to 60 mm by 10 mm".to_owned(),
        Take::Number => "a number".to_owned(),
        Take::Count => "a whole number".to_owned(),
        Take::Name(what) => format!("the name of a {what}"),
        Take::Choice(words) => format!("one of {}", list_of(words.iter().copied(), "or", 12)),
        Take::Text => "a text in quotes".to_owned(),
        Take::Stock => "the name of a stock part, such as M8".to_owned(),
        Take::Meter => "a meter, such as 6/8".to_owned(),
        Take::Clock => "a time, such as 21:30".to_owned(),
        Take::Date => "a date, such as 2027-10-22".to_owned(),
        Take::Coordinates => "a place, such as 51.8 deg -2.3 deg".to_owned(),
        _ => match dims.first() {
            Some(d) => format!("{}, such as {}", titles(dims), example_of(*d)),
            None => "nothing more".to_owned(),
        },
    };
    format!("{what} ({name})")
}

/// "`bolt` takes one value: size".
fn takes(row: &Row) -> String {
    let parts: Vec<&str> = row.parts.iter().map(|p| p.key.unwrap_or(p.name)).collect();
    if row.word.is_empty() {
        // A line without a word in front is told by what it is.
        format!("a line here takes {}: {}", list_of(parts, "and", 20), row.title)
    } else if parts.is_empty() {
        format!("`{}` takes no value.", row.word)
    } else {
        format!("`{}` takes {}.", row.word, list_of(parts, "and", 20))
    }
}
