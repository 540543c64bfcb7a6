//! One file per kind of mechanism behind one trait.
