//! How long something takes from standing still, where nothing but a force moves it.

/// A piece of the way: how long it is, what moves it on there and what that has to move, in
/// m, N and kg, or rad, N.m and kg.m2.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Piece {
    /// Its length.
    pub way: f64,
    /// What moves it on, less what holds it back.
    pub force: f64,
    /// What is moved.
    pub mass: f64,
}

/// The time over all pieces from standing still, s; `None` where it does not come so far.
/// Work becomes speed: v = sqrt(2 W/m). Under an even force the mean of both speeds of a
/// piece is exact.
#[must_use]
pub fn time(pieces: impl IntoIterator<Item = Piece>) -> Option<f64> {
    let (mut work, mut speed, mut time) = (0.0, 0.0, 0.0);
    for piece in pieces {
        work += piece.force * piece.way;
        let faster = (2.0 * work / piece.mass).sqrt();
        let moves = speed + faster > 0.0;
        if !moves {
            return None;
        }
        time += 2.0 * piece.way / (speed + faster);
        speed = faster;
    }
    Some(time)
}
