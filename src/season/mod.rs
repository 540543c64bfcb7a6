//! The season: which shows run on which nights, from dusk and clock to instants.

mod codes;
mod nights;
pub mod sun;

pub use codes::CODES;
pub use nights::{Left, Night, Programme, Run, minute_up, programmes};
pub use sun::NoEvening;
