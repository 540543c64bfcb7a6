//! Cords.
