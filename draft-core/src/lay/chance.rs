//! Numbers that look random and are the same for the same seed, on every machine.

/// The generator xoshiro256++ of Blackman and Vigna (2019), its state filled by splitmix64 as they advise.
#[derive(Clone, Debug)]
pub struct Chance {
    state: [u64; 4],
}

impl Chance {
    /// A stream of numbers for a seed.
    pub fn new(seed: u64) -> Self {
        let mut z = seed;
        Self {
            state: std::array::from_fn(|_| {
                z = z.wrapping_add(0x9e37_79b9_7f4a_7c15);
                let mut x = z;
                x = (x ^ (x >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
                x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
                x ^ (x >> 31)
            }),
        }
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        let s = &mut self.state;
        let out = s[0].wrapping_add(s[3]).rotate_left(23).wrapping_add(s[0]);
        let t = s[1] << 17;
        s[2] ^= s[0];
        s[3] ^= s[1];
        s[1] ^= s[2];
        s[0] ^= s[3];
        s[2] ^= t;
        s[3] = s[3].rotate_left(45);
        out
    }

    /// From 0 up to, but not including, 1.
    pub fn unit(&mut self) -> f32 {
        (self.bits() >> 40) as f32 / (1u64 << 24) as f32
    }

    /// Between two bounds; the first when they are in the wrong order.
    pub fn between(&mut self, from: f32, to: f32) -> f32 {
        from + (to - from).max(0.0) * self.unit()
    }

    /// An index below `count`; 0 when there is none.
    pub fn index(&mut self, count: usize) -> usize {
        ((self.bits() >> 32) as usize * count) >> 32
    }

    /// How far a normally distributed number of mean 0 and deviation 1 lies from 0.
    pub fn half_normal(&mut self) -> f32 {
        // Box and Muller (1958).
        let radius = (-2.0 * (1.0 - self.unit()).ln()).sqrt();
        (radius * (std::f32::consts::TAU * self.unit()).cos()).abs()
    }

    /// Puts a list in a random order.
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for i in (1..list.len()).rev() {
            let j = self.index(i + 1);
            list.swap(i, j);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: first outputs of splitmix64 seeded with 0 in the public-domain reference code by S. Vigna (from memory:
    /// 0xe220a8397b1dcdaf, 0x6e789e6aa1b965f4, 0x06c45d188009454f, 0xf88bb8a8724c81ec).
    #[test]
    fn the_state_is_filled_as_advised() {
        assert_eq!(Chance::new(0).state, [0xe220_a839_7b1d_cdaf, 0x6e78_9e6a_a1b9_65f4, 0x06c4_5d18_8009_454f, 0xf88b_b8a8_724c_81ec]);
    }

    #[test]
    fn numbers_keep_to_their_range_and_fill_it() {
        let mut chance = Chance::new(7);
        let mut seen = [0u32; 10];
        let mut sum = 0.0;
        for _ in 0..10_000 {
            seen[chance.index(10)] += 1;
            let x = chance.unit();
            assert!((0.0..1.0).contains(&x));
            sum += f64::from(chance.half_normal());
        }
        assert!(seen.iter().all(|n| (850..1150).contains(n)), "{seen:?}");
        // Mean of a half-normal distribution: √(2/π).
        assert!((sum / 10_000.0 - 0.7979).abs() < 0.02, "{sum}");
    }
}
