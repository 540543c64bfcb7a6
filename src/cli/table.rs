//! Columns that line up.

/// A table of texts: the first row is the heading, the first column stands left,
/// the others right.
#[must_use]
pub fn table(rows: &[Vec<String>], gap: usize) -> String {
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    let wide = |c: usize| rows.iter().filter_map(|r| r.get(c)).map(|t| t.chars().count()).max();
    let widths: Vec<usize> = (0..columns).map(|c| wide(c).unwrap_or(0)).collect();
    let mut out = String::new();
    for row in rows {
        let mut line = String::new();
        for (c, (cell, width)) in row.iter().zip(&widths).enumerate() {
            match c {
                0 => line.push_str(&format!("{cell:<width$}")),
                _ => line.push_str(&format!("{:gap$}{cell:>width$}", "")),
            }
        }
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}

#[cfg(test)]
mod tests {
    #[test]
    fn columns_line_up() {
        let rows = [["crank", "swing"], ["40 mm", "é"]].map(|r| r.map(String::from).to_vec());
        assert_eq!(super::table(&rows, 2), "crank  swing\n40 mm      é\n");
    }
}
