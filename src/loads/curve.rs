//! The torque a motor must give over one turn, as plain data.

use std::f64::consts::TAU;

/// Torque at a motor's output shaft over one turn; positive where the motor pushes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TorqueCurve {
    /// How far the shaft has turned, rad, ascending from 0, at most 2 pi.
    pub turn: Vec<f64>,
    /// Torque there, N.m; as many as `turn`.
    pub torque: Vec<f64>,
}

impl TorqueCurve {
    /// The same torque all round.
    #[must_use]
    pub fn constant(torque: f64) -> Self {
        Self { turn: vec![0.0], torque: vec![torque] }
    }

    /// `count` points evenly round, each from the turn in radians.
    #[must_use]
    pub fn sampled(count: usize, torque: impl Fn(f64) -> f64) -> Self {
        let turn: Vec<f64> = (0..count).map(|i| TAU * i as f64 / count as f64).collect();
        let torque = turn.iter().map(|&t| torque(t)).collect();
        Self { turn, torque }
    }

    /// The most the motor must push, N.m; nought where the limb drives it all round.
    #[must_use]
    pub fn peak(&self) -> f64 {
        self.torque.iter().copied().fold(0.0, f64::max)
    }

    /// The most the limb pushes the motor on, N.m, negative; nought where it never does.
    #[must_use]
    pub fn least(&self) -> f64 {
        self.torque.iter().copied().fold(0.0, f64::min)
    }

    /// The mean over the turn of what a rule makes of the torque. Each point stands
    /// for the half ways to its two neighbours, round the turn.
    #[must_use]
    pub fn mean(&self, rule: impl Fn(f64) -> f64) -> f64 {
        let n = self.turn.len().min(self.torque.len());
        if n == 0 {
            return rule(0.0);
        }
        let at = |i: usize, turns: f64| self.turn[i] + turns * TAU;
        let width = |i: usize| {
            let next = if i + 1 < n { at(i + 1, 0.0) } else { at(0, 1.0) };
            let last = if i > 0 { at(i - 1, 0.0) } else { at(n - 1, -1.0) };
            (next - last) / 2.0
        };
        (0..n).map(|i| width(i) * rule(self.torque[i])).sum::<f64>() / TAU
    }

    /// Root of the mean square, N.m.
    #[must_use]
    pub fn rms(&self) -> f64 {
        self.mean(|t| t * t).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn means_are_those_of_the_turn_however_it_is_sampled() {
        let sine = |t: f64| 3.0 * libm::sin(t) + 1.0;
        let even = TorqueCurve::sampled(360, sine);
        assert!((even.mean(|t| t) - 1.0).abs() < 1e-12);
        // Mean square of a + b sin: a^2 + b^2/2.
        assert!((even.rms() - 5.5_f64.sqrt()).abs() < 1e-12);
        assert!((even.peak() - 4.0).abs() < 1e-3 && (even.least() + 2.0).abs() < 1e-3);
        // Points bunched on one side, and the first once more at the end.
        let turn: Vec<f64> = (0..=2000).map(|i| TAU * f64::from(i * i) / 4e6).collect();
        let torque = turn.iter().map(|&t| sine(t)).collect();
        let uneven = TorqueCurve { turn, torque };
        assert!((uneven.mean(|t| t) - 1.0).abs() < 1e-5);
        assert_eq!(TorqueCurve::constant(2.0).mean(|t| t), 2.0);
    }
}
