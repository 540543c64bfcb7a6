//! Findings: what is wrong, where, and what would fit.
//!
//! A finding is data (code, place, words); rendering is the business of the ways
//! in. Each stage keeps the rows of the codes it raises beside itself; the table
//! of all rows is put together in [`crate::check`].

mod step;
mod suggest;

pub use step::Step;
pub use suggest::{closest, list_of};

/// How much a finding matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// The yard cannot be built as written.
    Error,
    /// It can be built, and will probably disappoint.
    Warning,
    /// Worth knowing.
    Advice,
}

impl Severity {
    /// What people call a finding of it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Warning => "warning",
            Self::Advice => "hint",
        }
    }
}

/// One row of the table of codes: everything `explain` says about it.
#[derive(Debug)]
pub struct Code {
    /// Kebab-case words that say what is wrong: `crank-blocked`.
    pub word: &'static str,
    /// How much it usually matters.
    pub severity: Severity,
    /// One line: what is wrong.
    pub title: &'static str,
    /// Why it is a problem and what to do, in a maker's words.
    pub explanation: &'static str,
    /// The rule or formula, or "" where there is none.
    pub formula: &'static str,
    /// Where the rule comes from: a publication, or "common practice, no source".
    pub source: &'static str,
    /// A small file that raises it.
    pub bad: &'static str,
    /// The same file put right.
    pub good: &'static str,
}

impl PartialEq for Code {
    fn eq(&self, other: &Self) -> bool {
        self.word == other.word
    }
}
impl Eq for Code {}

/// A top-level item of a source file, stable while its text stays the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ItemId(pub u32);

/// A stretch of text: byte offsets from the start of its item, `hi` exclusive.
///
/// Counting from the item keeps a place true when text above it moves; lines and
/// columns are made only when printing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// The item it lies in.
    pub item: ItemId,
    /// First byte.
    pub lo: u32,
    /// One past the last byte.
    pub hi: u32,
}

impl Place {
    /// From the start of `self` to the end of `other`, which is in the same item.
    #[must_use]
    pub fn to(self, other: Self) -> Self {
        Self { item: self.item, lo: self.lo.min(other.lo), hi: self.hi.max(other.hi) }
    }
}

/// A place as people count it: lines and columns from 1, in characters.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Location {
    /// The file, relative to the folder of the file asked for, with `/`.
    pub file: String,
    /// First line.
    pub line: u32,
    /// First column; a tab counts as one.
    pub column: u32,
    /// Last line.
    pub end_line: u32,
    /// One past the last column.
    pub end_column: u32,
}

/// Whatever can tell where a place stands in the text as it is now.
pub trait Locate {
    /// Where it stands; `None` for a place in text that is not on record (the
    /// built-in parts).
    fn locate(&self, place: Place) -> Option<Location>;
}

/// A value and where it was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spanned<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    pub place: Place,
}

impl<T> Spanned<T> {
    /// A value at a place.
    pub const fn new(value: T, place: Place) -> Self {
        Self { value, place }
    }
    /// Another value at the same place.
    pub fn map<U>(self, f: impl FnOnce(T) -> U) -> Spanned<U> {
        Spanned { value: f(self.value), place: self.place }
    }
}

/// A replacement of a stretch of text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edit {
    /// What is replaced; an empty stretch inserts.
    pub place: Place,
    /// The new text.
    pub text: String,
}

/// A way to mend a finding, shared by the editor and `solve --write`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fix {
    /// What it does, as a button would say it.
    pub title: String,
    /// Its edits, in text order.
    pub edits: Vec<Edit>,
}

/// One thing to tell the maker.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// What kind of thing.
    pub code: &'static Code,
    /// How much it matters here.
    pub severity: Severity,
    /// One plain sentence with the numbers.
    pub message: String,
    /// What to change, with the value that works.
    pub help: Option<String>,
    /// Where; `None` for what has no place in a text.
    pub place: Option<Place>,
    /// A short label at the place, where it adds to the message.
    pub label: Option<String>,
    /// The figure it is about.
    pub figure: Option<String>,
    /// The limb it is about.
    pub limb: Option<String>,
    /// Other places that matter: "declared here".
    pub related: Vec<(String, Place)>,
    /// Mends.
    pub fixes: Vec<Fix>,
    /// Other limbs, as `figure.limb`, that show the very same fault.
    pub also: Vec<String>,
    /// How its numbers were come by, from what was given to what is told.
    pub worked: Vec<Step>,
}

impl Finding {
    /// A finding of the code's usual severity.
    #[must_use]
    pub fn new(
        code: &'static Code,
        place: impl Into<Option<Place>>,
        message: impl Into<String>,
    ) -> Self {
        Self {
            code,
            severity: code.severity,
            message: message.into(),
            help: None,
            place: place.into(),
            label: None,
            figure: None,
            limb: None,
            related: Vec::new(),
            fixes: Vec::new(),
            also: Vec::new(),
            worked: Vec::new(),
        }
    }

    /// With what to do about it.
    #[must_use]
    pub fn help(mut self, text: impl Into<String>) -> Self {
        self.help = Some(text.into());
        self
    }

    /// With a label at the place.
    #[must_use]
    pub fn label(mut self, text: impl Into<String>) -> Self {
        self.label = Some(text.into());
        self
    }

    /// With another place that matters.
    #[must_use]
    pub fn related(mut self, text: impl Into<String>, place: Place) -> Self {
        self.related.push((text.into(), place));
        self
    }

    /// With a mend that replaces one stretch; what it does is the help, where nothing else is.
    #[must_use]
    pub fn fix(mut self, title: impl Into<String>, place: Place, text: impl Into<String>) -> Self {
        let title = title.into();
        self.help.get_or_insert_with(|| format!("{title}."));
        self.fixes.push(Fix { title, edits: vec![Edit { place, text: text.into() }] });
        self
    }

    /// With a number that went into it as it is.
    #[must_use]
    pub fn given(self, what: impl Into<String>, value: impl Into<String>) -> Self {
        self.sum(what, "", value)
    }

    /// With a line of the sum that led to it.
    #[must_use]
    pub fn sum(
        mut self,
        what: impl Into<String>,
        sum: impl Into<String>,
        result: impl Into<String>,
    ) -> Self {
        self.worked.push(Step::new(what, sum, result));
        self
    }

    /// With several lines of it.
    #[must_use]
    pub fn steps(mut self, steps: impl IntoIterator<Item = Step>) -> Self {
        self.worked.extend(steps);
        self
    }

    /// Whether it is about a limb: its own finding, that of a copy, its figure's, or the
    /// yard's.
    #[must_use]
    pub fn concerns(&self, figure: &str, limb: &str) -> bool {
        let whole = format!("{figure}.{limb}");
        let own = self.figure.as_deref().is_none_or(|f| f == figure)
            && self.limb.as_deref().is_none_or(|l| l == limb);
        own || self.also.iter().any(|a| *a == whole || a == figure)
    }

    /// About a limb of a figure.
    #[must_use]
    pub fn about(mut self, figure: &str, limb: Option<&str>) -> Self {
        self.figure = Some(figure.to_owned());
        self.limb = limb.map(str::to_owned);
        self
    }

    /// With another severity than the code's usual one.
    #[must_use]
    pub fn with_severity(mut self, severity: Severity) -> Self {
        self.severity = severity;
        self
    }
}
