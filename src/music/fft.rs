//! A small Fourier transform with the same last bit on every machine.
//!
//! Written here because ready-made ones take their roots of unity from the
//! platform's sine, which differs between C libraries; these come from `libm`.
//! Cooley and Tukey's radix-2 scheme on separate real and imaginary arrays.

/// Transforms of one power-of-two size.
pub(super) struct Fourier {
    /// Where each input goes (bit reversal).
    order: Vec<usize>,
    /// Roots of unity of each stage in turn, cosines and sines.
    cosines: Vec<f32>,
    sines: Vec<f32>,
}

impl Fourier {
    /// Prepares transforms of `size` points, a power of two of at least 2.
    pub fn new(size: usize) -> Self {
        let bits = size.trailing_zeros();
        let order = (0..size).map(|i| i.reverse_bits() >> (usize::BITS - bits)).collect();
        let (mut cosines, mut sines) = (Vec::new(), Vec::new());
        let mut half = 1;
        while half < size {
            for k in 0..half {
                let angle = -std::f64::consts::PI * k as f64 / half as f64;
                cosines.push(libm::cos(angle) as f32);
                sines.push(libm::sin(angle) as f32);
            }
            half *= 2;
        }
        Self { order, cosines, sines }
    }

    /// The number of points.
    pub fn size(&self) -> usize {
        self.order.len()
    }

    /// Transforms `re + i im` in place; both have `size` values.
    pub fn transform(&self, re: &mut [f32], im: &mut [f32]) {
        for (i, &j) in self.order.iter().enumerate() {
            if i < j {
                re.swap(i, j);
                im.swap(i, j);
            }
        }
        let (mut half, mut root) = (1, 0);
        while half < self.size() {
            let (c, s) = (&self.cosines[root..root + half], &self.sines[root..root + half]);
            for (re, im) in re.chunks_exact_mut(2 * half).zip(im.chunks_exact_mut(2 * half)) {
                butterflies(re, im, c, s);
            }
            root += half;
            half *= 2;
        }
    }
}

/// One stage on one block: the lower half turned by the roots, then sum and
/// difference with the upper half.
fn butterflies(re: &mut [f32], im: &mut [f32], c: &[f32], s: &[f32]) {
    let half = c.len();
    let (re_a, re_b) = re.split_at_mut(half);
    let (im_a, im_b) = im.split_at_mut(half);
    let (re_b, im_b) = (&mut re_b[..half], &mut im_b[..half]);
    let s = &s[..half];
    for k in 0..half {
        let r = re_b[k] * c[k] - im_b[k] * s[k];
        let i = re_b[k] * s[k] + im_b[k] * c[k];
        re_b[k] = re_a[k] - r;
        im_b[k] = im_a[k] - i;
        re_a[k] += r;
        im_a[k] += i;
    }
}

/// Magnitudes of the real frames a and b from the transform of a + i b, for the
/// frequencies from 0 to half the size: A = (X_k + conj X_-k) / 2, and B alike.
pub(super) fn magnitudes_of_two(re: &[f32], im: &[f32], a: &mut [f32], b: &mut [f32]) {
    let size = re.len();
    for k in 0..a.len() {
        let m = (size - k) % size;
        let (sum_re, sum_im) = (re[k] + re[m], im[k] - im[m]);
        let (dif_re, dif_im) = (re[k] - re[m], im[k] + im[m]);
        a[k] = 0.5 * (sum_re * sum_re + sum_im * sum_im).sqrt();
        b[k] = 0.5 * (dif_re * dif_re + dif_im * dif_im).sqrt();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn agrees_with_the_sum_that_defines_it() {
        let size = 64;
        let wave: Vec<f32> = (0..size).map(|i| ((i * i * 7 + 3 * i) % 31) as f32 - 15.0).collect();
        let other: Vec<f32> = (0..size).map(|i| ((i * 11) % 17) as f32).collect();
        let (mut re, mut im) = (wave.clone(), other.clone());
        Fourier::new(size).transform(&mut re, &mut im);
        let (mut a, mut b) = (vec![0.0; size / 2 + 1], vec![0.0; size / 2 + 1]);
        magnitudes_of_two(&re, &im, &mut a, &mut b);
        for (input, output) in [(&wave, &a), (&other, &b)] {
            for (k, &magnitude) in output.iter().enumerate() {
                let (mut c, mut s) = (0.0f64, 0.0f64);
                for (i, &x) in input.iter().enumerate() {
                    let angle = std::f64::consts::TAU * (i * k) as f64 / size as f64;
                    c += f64::from(x) * libm::cos(angle);
                    s += f64::from(x) * libm::sin(angle);
                }
                let expected = libm::hypot(c, s);
                assert!((f64::from(magnitude) - expected).abs() < 1e-3, "bin {k}");
            }
        }
    }
}
