package chance

import (
	"math"
	"testing"
)

// Golden draws: recorded once from this package. They must never change, or
// every recorded run means something else.
func TestGoldenDraws(t *testing.T) {
	for _, c := range []struct {
		luck          Luck
		purpose       Purpose
		entity, index uint64
		bits          uint64
	}{
		{Luck{0, 0}, 0, 0, 0, 0x16554d9eca36314c},
		{Luck{1, 0}, 0, 0, 0, 0xcb7ea744cf19bb4c},
		{Luck{0, 1}, 0, 0, 0, 0x9c6b270905f0b111},
		{Luck{0, 0}, 1, 0, 0, 0x02f4ba6408e4d89b},
		{Luck{0, 0}, 0, 1, 0, 0xe85facf8b3b067d6},
		{Luck{0, 0}, 0, 0, 1, 0x19bf6be67257df0b},
		{Luck{2031, 17}, 42, 1234567, 3, 0x4e22cc24371b46c6},
		{Luck{9223372036854775808, 9223372036854775808}, 2147483648, 9223372036854775808, 9223372036854775808, 0xc6f7975504a883e2},
	} {
		if got := c.luck.Bits(c.purpose, c.entity, c.index); got != c.bits {
			t.Errorf("{Luck{%d, %d}, %d, %d, %d, %#016x},", c.luck.Seed, c.luck.Future, c.purpose, c.entity, c.index, got)
		}
	}
	if got := (Luck{1, 2}).Branch(3, 4); got != (Luck{0x539c6ed03e1343ca, 0x9de746bf1cf49afb}) {
		t.Errorf("branch %#x", got)
	}
}

func TestUniformStaysInside(t *testing.T) {
	if u := unit(0); u != 0x1p-53 {
		t.Errorf("least %g", u)
	}
	if u := unit(math.MaxUint64); u != 1-0x1p-53 || u >= 1 {
		t.Errorf("greatest %g", u)
	}
	l := Luck{7, 8}
	if four := l.Uniforms(1, 2, 3); four[0] != l.Uniform(1, 2, 3) || four[1] == four[0] {
		t.Error(four)
	}
}

// Moments and correlations of a million keyed draws along each part of the key.
// The limit 4.9 is passed by an honest generator once in a million trials.
func TestKeyedDrawsAreIndependent(t *testing.T) {
	const n, limit = 1_000_000, 4.9
	check := func(what string, z float64) {
		t.Helper()
		if math.Abs(z) > limit {
			t.Errorf("%s: z = %.2f", what, z)
		}
	}
	for _, walk := range []struct {
		name string
		at   func(i uint64) float64
	}{
		{"index", func(i uint64) float64 { return Luck{11, 3}.Uniform(5, 17, i) }},
		{"entity", func(i uint64) float64 { return Luck{11, 3}.Uniform(5, i, 17) }},
		{"future", func(i uint64) float64 { return Luck{11, i}.Uniform(5, 17, 3) }},
		{"seed", func(i uint64) float64 { return Luck{i, 11}.Uniform(5, 17, 3) }},
		{"purpose", func(i uint64) float64 { return Luck{11, 3}.Uniform(Purpose(i), 17, 3) }},
		{"branch", func(i uint64) float64 { return Luck{11, 3}.Branch(0, i).Uniform(5, 17, 3) }},
		{"word 4", func(i uint64) float64 { return Luck{11, 3}.Uniforms(5, 17, i)[3] }},
	} {
		var sum, squares float64
		var lag [4]float64 // lag 1, 2, 3 and against the same index of "index"
		var past [3]float64
		var cells [256]int
		for i := uint64(0); i < n; i++ {
			u := walk.at(i)
			v := u - 0.5
			sum += v
			squares += v * v
			for k := 0; k < 3; k++ {
				lag[k] += v * past[k]
			}
			past[2], past[1], past[0] = past[1], past[0], v
			if walk.name != "index" {
				lag[3] += v * (Luck{11, 3}.Uniform(5, 17, i) - 0.5)
			}
			cells[int(u*256)]++
		}
		check(walk.name+" mean", sum/math.Sqrt(n/12.))
		// variance of v^2 is 1/80 - 1/144 = 1/180
		check(walk.name+" variance", (squares-n/12.)/math.Sqrt(n/180.))
		for k, s := range lag {
			check(walk.name+" correlation", s/math.Sqrt(n)*12)
			_ = k
		}
		chi2 := 0.0
		for _, c := range cells {
			d := float64(c) - n/256.
			chi2 += d * d / (n / 256.)
		}
		check(walk.name+" cells", (chi2-255)/math.Sqrt(2*255))
	}
}

func TestHappensAndPick(t *testing.T) {
	l := Luck{5, 6}
	var yes, ones int
	for i := uint64(0); i < 100000; i++ {
		small, large := l.Happens(0.1, 1, 2, i), l.Happens(0.3, 1, 2, i)
		if small && !large {
			t.Fatal("happens at 0.1 but not at 0.3")
		}
		if small {
			yes++
		}
		k := l.Pick(3, 4, 5, i)
		if k < 0 || k > 2 {
			t.Fatal(k)
		}
		if k == 1 {
			ones++
		}
	}
	if z := (float64(yes) - 1e4) / math.Sqrt(1e5*0.1*0.9); math.Abs(z) > 4.9 {
		t.Errorf("happens: z %.2f", z)
	}
	if z := (float64(ones) - 1e5/3.) / math.Sqrt(1e5*2/9.); math.Abs(z) > 4.9 {
		t.Errorf("pick: z %.2f", z)
	}
	if l.Pick(0, 1, 1, 1) != 0 || l.Happens(0, 1, 1, 1) || !l.Happens(1, 1, 1, 1) {
		t.Error("ends")
	}
}

var sink float64

func TestNoAllocation(t *testing.T) {
	laws := someLaws(t)
	l := Luck{1, 2}
	if n := testing.AllocsPerRun(100, func() {
		for _, law := range laws {
			u := l.Uniform(1, 2, 3)
			sink += law.Quantile(u) + law.Residual(u, law.Median()) + law.CDF(1)
		}
	}); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

func BenchmarkUniform(b *testing.B) {
	l := Luck{1, 2}
	for i := 0; i < b.N; i++ {
		sink += l.Uniform(3, 4, uint64(i))
	}
}

func BenchmarkQuantile(b *testing.B) {
	for _, law := range someLaws(b) {
		b.Run(law.String(), func(b *testing.B) {
			for i := 0; i < b.N; i++ {
				sink += law.Quantile((float64(i&1023) + 0.5) / 1024)
			}
		})
	}
}

func BenchmarkResidual(b *testing.B) {
	for _, law := range someLaws(b) {
		e := law.Median()
		b.Run(law.String(), func(b *testing.B) {
			for i := 0; i < b.N; i++ {
				sink += law.Residual((float64(i&1023)+0.5)/1024, e)
			}
		})
	}
}
