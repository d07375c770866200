package chance

import "math/bits"

// Multipliers and key steps of Philox4x64: J. K. Salmon, M. A. Moraes, R. O.
// Dror, D. E. Shaw, "Parallel random numbers: as easy as 1, 2, 3", SC11 (2011).
const (
	philoxM0 = 0xD2E7470EE14C6C93
	philoxM1 = 0xCA5A826395121157
	philoxW0 = 0x9E3779B97F4A7C15
	philoxW1 = 0xBB67AE8584CAA73B
)

// philox is Philox4x64 with ten rounds: a bijection of the 256-bit counter
// chosen by the 128-bit key.
func philox(c0, c1, c2, c3, k0, k1 uint64) (uint64, uint64, uint64, uint64) {
	for round := 0; round < 10; round++ {
		hi0, lo0 := bits.Mul64(philoxM0, c0)
		hi1, lo1 := bits.Mul64(philoxM1, c2)
		c0, c1, c2, c3 = hi1^c1^k0, lo1, hi0^c3^k1, lo0
		k0 += philoxW0
		k1 += philoxW1
	}
	return c0, c1, c2, c3
}
