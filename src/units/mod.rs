//! Quantities, the exact table of units, and decimals in text.
//!
//! A quantity in a `.yard` file is read as an exact decimal times an exact
//! rational and rounded once, so that `3.5 in` and `88.9 mm` are the same yard.
//! Inside the program every quantity is a newtype over `f64` in one canonical
//! unit; nothing here knows about files or places.

mod decimal;
pub mod print;
mod quantity;
mod table;

pub use decimal::{Decimal, DecimalError};
pub use quantity::*;
pub use table::{Dimension, Scale, System, UNITS, Unit, find_unit, units_of, wire_gauge};

/// No length or place in a yard is beyond this: 10 km (common practice, no source).
pub const FARTHEST: Mm = Mm(1e7);
