//! Content hashes that are the same on every machine.

/// A 128-bit hash of some bytes, printed as 32 hexadecimal digits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ContentHash(pub u128);

impl ContentHash {
    /// Hashes bytes by FNV-1a with 128 bits (offset basis and prime as in the IETF
    /// draft by Fowler, Noll, Vo and Eastlake). It guards against a stale cache,
    /// not against someone who looks for collisions.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        const BASIS: u128 = 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d;
        const PRIME: u128 = 0x0000_0000_0100_0000_0000_0000_0000_013b;
        Self(bytes.iter().fold(BASIS, |h, b| (h ^ u128::from(*b)).wrapping_mul(PRIME)))
    }
}

impl std::fmt::Display for ContentHash {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:032x}", self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn agrees_with_the_published_vectors() {
        // Test vectors of the FNV draft (from memory): the empty string is the
        // basis; "a" and "foobar" follow.
        assert_eq!(ContentHash::of(b"").to_string(), "6c62272e07bb014262b821756295c58d");
        assert_eq!(ContentHash::of(b"a").to_string(), "d228cb696f1a8caf78912b704e4a8964");
        assert_eq!(ContentHash::of(b"foobar").to_string(), "343e1662793c64bf6f0d3597ba446f18");
    }
}
