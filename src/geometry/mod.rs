//! Points, directions, poses and roots on intervals.
