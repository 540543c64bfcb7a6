//! Values that others have published, one file per family of sources.

mod linkages;
