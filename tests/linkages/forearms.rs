//! Forearms.
