//! Quantities as people read them: fractions of an inch, half millimetres,
//! degrees without noise.

pub use crate::units::print::{decimal, distance, length};

/// "1 limb", "2 limbs".
#[must_use]
pub fn count(number: usize, thing: &str) -> String {
    let plural = if number == 1 { "" } else { "s" };
    format!("{number} {thing}{plural}")
}

/// Breaks `parts` into lines of at most `width` characters: the first line
/// starts with `head`, the others with `indent` blanks. Parts keep together
/// where they fit on a line, and break at blanks where one alone is too long.
#[must_use]
pub fn wrap(head: &str, parts: &[String], gap: &str, indent: usize, width: usize) -> String {
    let mut lines = vec![head.to_owned()];
    let mut fresh = true;
    for part in parts {
        let long = indent + part.chars().count() > width;
        let pieces: Vec<&str> =
            if long { part.split_whitespace().collect() } else { vec![part.as_str()] };
        for (n, piece) in pieces.into_iter().enumerate() {
            let between = match (fresh, n) {
                (true, _) => "",
                (false, 0) => gap,
                (false, _) => " ",
            };
            let used = lines.last().map_or(0, |l| l.chars().count());
            let needs = between.chars().count() + piece.chars().count();
            if !fresh && used + needs > width {
                lines.push(format!("{:indent$}{piece}", ""));
            } else if let Some(line) = lines.last_mut() {
                line.push_str(between);
                line.push_str(piece);
            }
            fresh = false;
        }
    }
    lines.iter().map(|l| l.trim_end()).collect::<Vec<_>>().join("\n")
}

/// A text broken at blanks into lines of at most `width` characters.
#[must_use]
pub fn paragraph(text: &str, width: usize) -> String {
    let words: Vec<String> = text.split_whitespace().map(str::to_owned).collect();
    wrap("", &words, " ", 0, width) + "\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_end_before_the_margin() {
        let parts: Vec<String> = ["one two", "three", "four five six"].map(String::from).into();
        let text = wrap("  a  ", &parts, "   ", 5, 16);
        assert_eq!(text, "  a  one two\n     three\n     four five\n     six");
    }
}
