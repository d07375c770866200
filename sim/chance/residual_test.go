package chance

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// -log10 of the normal upper tail: Abramowitz & Stegun, table 26.2 (1964), from
// memory.
func TestMillsRatioAgainstTable(t *testing.T) {
	for _, c := range []struct{ z, minusLog float64 }{{5, 6.54265}, {10, 23.11805}, {20, 88.56010}, {50, 544.96634}, {100, 2173.87154}, {500, 54289.90830}} {
		got := (c.z*c.z/2+math.Log(2*math.Pi)/2)/math.Ln10 - math.Log10(millsRatio(c.z))
		if math.Abs(got-c.minusLog) > 0.6e-5 {
			t.Errorf("z %v: %v, table %v", c.z, got, c.minusLog)
		}
	}
	if got, want := millsRatio(5), normalCDF(-5)/(math.Exp(-12.5)/math.Sqrt(2*math.Pi)); !close(got, want, 1e-14) {
		t.Errorf("at 5: %v, from erfc %v", got, want)
	}
}

// The residual law against brute force: draw until elapsed is passed, and
// compare the share of rests below each quantile.
func TestResidualAgainstConditionalSampling(t *testing.T) {
	for li, l := range someLaws(t) {
		for ei, at := range []float64{0.05, 0.5, 0.8} {
			elapsed := l.Quantile(at)
			us := []float64{0.1, 0.5, 0.9}
			var below [3]int
			kept := 0
			luck := Luck{uint64(li), uint64(ei)}
			for i := uint64(0); i < 20000; i++ {
				x := luck.Draw(l, 1, 2, i)
				if x <= elapsed {
					continue
				}
				kept++
				for j, u := range us {
					if x-elapsed <= l.Residual(u, elapsed) {
						below[j]++
					}
				}
			}
			for j, u := range us {
				z := (float64(below[j]) - float64(kept)*u) / math.Sqrt(float64(kept)*u*(1-u))
				if math.Abs(z) > 4.9 {
					t.Errorf("%v after %v: quantile %v of the rest, z = %.1f (%d of %d)", l, elapsed, u, z, below[j], kept)
				}
			}
		}
	}
}

func TestResidualSolvesItsEquation(t *testing.T) {
	laws := someLaws(t)
	rapid.Check(t, func(t *rapid.T) {
		l := rapid.SampledFrom(laws).Draw(t, "law")
		top := 1 - 1e-6
		if !math.IsInf(l.Highest(), 1) { // nearer to the end elapsed+r is rounded too coarsely to tell
			top = 0.999
		}
		elapsed := l.Quantile(rapid.Float64Range(1e-6, top).Draw(t, "at"))
		u := rapid.Float64Range(1e-3, top).Draw(t, "u")
		r := l.Residual(u, elapsed)
		if r < 0 || math.IsNaN(r) {
			t.Fatalf("%v: residual %v after %v is %v", l, u, elapsed, r)
		}
		got, want := l.Survival(elapsed+r)/l.Survival(elapsed), 1-u
		if !close(got, want, 1e-6) {
			t.Fatalf("%v after %v: survival ratio %v, want %v", l, elapsed, got, want)
		}
		if v := rapid.Float64Range(u, 1-1e-7).Draw(t, "v"); l.Residual(v, elapsed) < r*(1-1e-12) {
			t.Fatalf("%v: residual falls from %v to %v", l, u, v)
		}
	})
}

// cumulativeHazard integrates the hazard from a over a length by Simpson's rule; the
// hazard is the density over the tail, and the tail is itself integrated from
// the density, so nothing of the code under test is used.
func cumulativeHazard(logDensity func(float64) float64, a, length, decay float64) float64 {
	hazard := func(t float64) float64 {
		const n = 4000
		top := 45 * decay
		f0 := logDensity(t)
		sum := 0.0
		for i := 0; i <= n; i++ {
			w := 2.0
			if i == 0 || i == n {
				w = 1
			} else if i%2 == 1 {
				w = 4
			}
			sum += w * math.Exp(logDensity(t+top*float64(i)/n)-f0)
		}
		return 1 / (sum * top / n / 3)
	}
	const n = 40
	sum := 0.0
	for i := 0; i <= n; i++ {
		w := 2.0
		if i == 0 || i == n {
			w = 1
		} else if i%2 == 1 {
			w = 4
		}
		sum += w * hazard(a+length*float64(i)/n)
	}
	return sum * length / n / 3
}

// Far tails, where the survival is down to 1e-5000: the rest must still meet
// -ln(1-u) = integral of the hazard.
func TestResidualFarTail(t *testing.T) {
	for _, z := range []float64{4.9, 5.1, 8, 30, 150} {
		for _, u := range []float64{1e-9, 0.01, 0.5, 0.99, 1 - 1e-9} {
			d := normalStep(z, u)
			got := cumulativeHazard(func(x float64) float64 { return -x * x / 2 }, z, d, 1/z)
			if want := -math.Log1p(-u); !close(got, want, 1e-7) {
				t.Errorf("normal beyond %v, u %v: %v, want %v", z, u, got, want)
			}
		}
	}
	for _, shape := range []float64{0.5, 3, 40} {
		for _, x := range []float64{shape + 20*math.Sqrt(shape), 10 * (shape + 20), 5000} {
			for _, u := range []float64{1e-9, 0.01, 0.5, 0.99, 1 - 1e-9} {
				r := gammaStep(shape, x, u)
				got := cumulativeHazard(func(t float64) float64 { return (shape-1)*math.Log(t) - t }, x, r, 1)
				if want := -math.Log1p(-u); !close(got, want, 1e-6) {
					t.Errorf("gamma %v beyond %v, u %v: %v, want %v", shape, x, u, got, want)
				}
			}
		}
	}
	// Weibull far out: the hazard is closed, (t/scale)^shape.
	w := must(Weibull(2, 1))
	for _, e := range []float64{1e-6, 1, 1e3, 1e6} {
		r := w.Residual(0.5, e)
		if got := r * (2*e + r); !close(got, math.Ln2, 1e-12) {
			t.Errorf("weibull after %v: %v", e, got)
		}
	}
	// However long it has lasted, the rest is finite and above zero.
	for _, l := range someLaws(t) {
		for _, times := range []float64{1, 10, 1e3, 1e6} {
			r := l.Residual(0.5, l.Median()*times)
			if math.IsNaN(r) || math.IsInf(r, 0) || r < 0 || r == 0 && math.IsInf(l.Highest(), 1) && times < 1e6 {
				t.Errorf("%v after %v medians: %v", l, times, r)
			}
		}
	}
}

func TestResidualEnds(t *testing.T) {
	f := must(Fixed(5))
	if f.Residual(0.5, 2) != 3 || f.Residual(0.5, 5) != 0 || f.Residual(0.5, 9) != 0 || f.Residual(0.5, -3) != 5 {
		t.Error("fixed")
	}
	e := must(Exponential(3))
	if e.Residual(0.3, 100) != e.Quantile(0.3) {
		t.Error("the exponential has a memory")
	}
	u := must(Uniform(2, 5))
	if !close(u.Residual(0.5, 1), 2.5, 1e-15) || !close(u.Residual(0.5, 4), 0.5, 1e-15) || u.Residual(0.5, 7) != 0 {
		t.Error("uniform")
	}
}

// The forward recurrence time: its mean is E[T^2]/(2 E[T]) (Cox 1962, sec. 5.4),
// which for the Weibull law is a ratio of gamma functions, and its quantiles cut
// the area under the survival curve.
func TestForwardRecurrence(t *testing.T) {
	for _, l := range someLaws(t) {
		mean := l.Mean()
		for _, u := range []float64{1e-6, 0.1, 0.5, 0.9, 0.999} {
			x := l.ForwardRecurrence(u)
			// area by Simpson on a fine grid
			const n = 20000
			sum := 0.0
			for i := 0; i <= n; i++ {
				w := 2.0
				if i == 0 || i == n {
					w = 1
				} else if i%2 == 1 {
					w = 4
				}
				v := float64(i) / n
				sum += w * l.Survival(x*math.Pow(v, 12)) * 12 * math.Pow(v, 11) // for laws that are steep at 0
			}
			if got := sum * x / n / 3 / mean; !close(got, u, 2e-6) {
				t.Errorf("%v: area up to quantile %v (%v) is %v", l, u, x, got)
			}
		}
	}
	w := must(Weibull(3.2, 5))
	want := 5 * math.Gamma(1+2/3.2) / (2 * math.Gamma(1+1/3.2))
	sum := 0.0
	const n = 20000
	for i := 0; i < n; i++ {
		sum += w.ForwardRecurrence((float64(i)+0.5)/n) / n
	}
	if !close(sum, want, 1e-5) {
		t.Errorf("mean %v, want %v", sum, want)
	}
	f := must(Fixed(8))
	if !close(f.ForwardRecurrence(0.25), 2, 1e-12) {
		t.Error(f.ForwardRecurrence(0.25))
	}
}
