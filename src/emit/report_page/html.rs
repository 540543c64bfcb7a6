//! The few shapes of HTML a sheet is made of. Texts are escaped here and nowhere else.

use crate::emit::svg::escape;

/// A text of the maker's as content: escaped, and with a direction of its own.
pub fn own(text: &str) -> String {
    format!("<bdi>{}</bdi>", escape(text))
}

/// A list of short texts, one below the other; nothing for none.
pub fn lines(parts: &[String]) -> String {
    parts.iter().map(|p| escape(p)).collect::<Vec<_>>().join("<br>")
}

/// A row of a table with a head and cells that are HTML already.
pub fn row(head: &str, cells: &[String]) -> String {
    let cells: String = cells.iter().map(|c| format!("<td>{c}</td>")).collect();
    format!("<tr><th scope=\"row\">{head}</th>{cells}</tr>\n")
}

/// A table with a caption; rows are HTML already. Nothing without rows.
pub fn table(class: &str, caption: &str, heads: &[&str], rows: &[String]) -> String {
    if rows.is_empty() {
        return String::new();
    }
    let caption = match caption {
        "" => String::new(),
        words => format!("<caption>{words}</caption>"),
    };
    let heads: String = heads.iter().map(|h| format!("<th scope=\"col\">{h}</th>")).collect();
    let head = match heads.as_str() {
        "" => String::new(),
        heads => format!("<thead><tr>{heads}</tr></thead>"),
    };
    format!(
        "<div class=\"wide\"><table class=\"{class}\">{caption}{head}<tbody>\n{}</tbody></table></div>\n",
        rows.concat()
    )
}

/// The cells of a title block: a small word over what it says (HTML already).
pub fn block(cells: &[(&str, String)]) -> String {
    let cells: String = cells
        .iter()
        .map(|(word, text)| format!("<div><small>{word}</small>{text}</div>"))
        .collect();
    format!("<div class=\"block\">{cells}</div>\n")
}
