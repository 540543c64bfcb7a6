//! Did you mean: the nearest known word, and lists in English.

/// The edit distance of two words where swapping neighbours counts as one edit
/// (optimal string alignment, Damerau 1964).
fn distance(a: &str, b: &str) -> usize {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    let mut older = vec![0; b.len() + 1];
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for i in 1..=a.len() {
        let mut row = vec![i; b.len() + 1];
        for j in 1..=b.len() {
            let swap = usize::from(a[i - 1] != b[j - 1]);
            row[j] = (last[j] + 1).min(row[j - 1] + 1).min(last[j - 1] + swap);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                row[j] = row[j].min(older[j - 2] + 1);
            }
        }
        older = std::mem::replace(&mut last, row);
    }
    last[b.len()]
}

/// The known word nearest to `word`: at most a third of its letters away (one
/// edit for short words); the first of equals.
#[must_use]
pub fn closest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    if word.len() > 64 {
        return None;
    }
    let limit = (word.chars().count() / 3).max(1);
    known
        .into_iter()
        .map(|k| (distance(word, k), k))
        .filter(|&(d, k)| d <= limit && d < k.chars().count())
        .min_by_key(|&(d, _)| d)
        .map(|(_, k)| k)
}

/// "a, b or c"; at most `most` of them, then "…".
#[must_use]
pub fn list_of<'a>(words: impl IntoIterator<Item = &'a str>, last: &str, most: usize) -> String {
    let words: Vec<&str> = words.into_iter().collect();
    match words.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        many if many.len() > most => format!("{}, …", many[..most].join(", ")),
        [front @ .., end] => format!("{} {last} {end}", front.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_of_the_finger_is_found() {
        let words = ["pivot", "tip", "bolt", "bushing", "drive"];
        assert_eq!(closest("pviot", words), Some("pivot"));
        assert_eq!(closest("bushng", words), Some("bushing"));
        assert_eq!(closest("windmill", words), None);
        assert_eq!(closest("x", words), None);
    }

    #[test]
    fn lists_read_like_speech() {
        assert_eq!(list_of(["mm"], "or", 9), "mm");
        assert_eq!(list_of(["mm", "cm", "in"], "or", 9), "mm, cm or in");
        assert_eq!(list_of(["a", "b", "c"], "or", 2), "a, b, …");
    }
}
