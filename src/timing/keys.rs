//! Fewest keys: a curve as straight lines within a stated error.

/// A sampled curve: time and value.
pub type Sample = (f64, f64);

/// Indices of the samples to keep so that the straight lines between them stay
/// within `tolerance` of every sample. From each kept sample it goes as far as
/// one line can reach; first and last are always kept.
///
/// The slopes that pass within the tolerance of every sample so far form an
/// interval that only shrinks, so one pass over the samples is enough.
#[must_use]
pub fn fewest(samples: &[Sample], tolerance: f64) -> Vec<usize> {
    let Some(last) = samples.len().checked_sub(1) else { return Vec::new() };
    let mut kept = vec![0];
    let mut from = 0;
    while from < last {
        from = farthest(samples, from, tolerance);
        kept.push(from);
    }
    kept
}

/// The last sample that one line from `from` can end at.
fn farthest(samples: &[Sample], from: usize, tolerance: f64) -> usize {
    let (t0, v0) = samples[from];
    let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
    let mut best = from + 1;
    for (i, &(t, v)) in samples.iter().enumerate().skip(from + 1) {
        let run = t - t0;
        if run <= 0.0 {
            // A step: the line to it is upright, and nothing goes past it.
            if v != v0 {
                return best.max(i);
            }
            best = i;
            continue;
        }
        let slope = (v - v0) / run;
        if slope >= low && slope <= high {
            best = i;
        }
        low = low.max((v - tolerance - v0) / run);
        high = high.min((v + tolerance - v0) / run);
        if low > high {
            break;
        }
    }
    best
}

/// The largest distance of the samples from the lines between the kept ones.
#[must_use]
pub fn error(samples: &[Sample], kept: &[usize]) -> f64 {
    let mut worst = 0.0_f64;
    for pair in kept.windows(2) {
        let (&(t0, v0), &(t1, v1)) = (&samples[pair[0]], &samples[pair[1]]);
        for &(t, v) in &samples[pair[0]..=pair[1]] {
            let share = if t1 > t0 { (t - t0) / (t1 - t0) } else { 0.0 };
            if t1 > t0 {
                worst = worst.max((v0 + (v1 - v0) * share - v).abs());
            }
        }
    }
    worst
}
