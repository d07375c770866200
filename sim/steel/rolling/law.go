package rolling

import (
	"fmt"
	"math"
)

// Law is the flow stress of a material in simple tension, Pa.
//
// Stress is that at a true strain, a strain rate (1/s) and a temperature (C);
// Mean is its average over strains from one value to another at a constant rate
// and temperature. A law ignores what it does not know. Both refuse what is
// outside the law's range.
type Law interface {
	Stress(strain, rate, tempC float64) (float64, error)
	Mean(from, to, rate, tempC float64) (float64, error)
}

// MaxStrain is the greatest strain that the hardening laws take.
const MaxStrain = 10.0

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

func within(x, lo, hi float64) bool { return x >= lo && x <= hi }

func refuse(format string, a ...any) error { return fmt.Errorf("rolling: "+format, a...) }

// span refuses strains that are no span of hardening.
func span(from, to float64) error {
	if !(from >= 0 && to >= from && to <= MaxStrain) {
		return refuse("strains from %g to %g, want 0 <= from <= to <= %g", from, to, MaxStrain)
	}
	return nil
}

// given refuses a stress that is none.
func given(stress float64, err error) (float64, error) {
	if err != nil {
		return 0, err
	}
	if !(stress >= 0 && stress <= 1e12) {
		return 0, refuse("a flow stress of %g Pa", stress)
	}
	return stress, nil
}

// Constant is a material that does not harden, Pa.
type Constant float64

// Stress implements [Law].
func (c Constant) Stress(e, _, _ float64) (float64, error) { return given(float64(c), span(0, e)) }

// Mean implements [Law].
func (c Constant) Mean(a, b, _, _ float64) (float64, error) { return given(float64(c), span(a, b)) }

// PowerLaw is K e^N, also named after Hollomon: the flow curve of Groover,
// Fundamentals of Modern Manufacturing, eq. 3.10, whose average over a pass
// from no strain is K e^N/(1+N) (eq. 18.12).
type PowerLaw struct{ K, N float64 }

// Stress implements [Law].
func (l PowerLaw) Stress(e, _, _ float64) (float64, error) {
	return given(Swift{K: l.K, N: l.N}.Stress(e, 0, 0))
}

// Mean implements [Law]; the integral is exact.
func (l PowerLaw) Mean(a, b, _, _ float64) (float64, error) {
	return given(Swift{K: l.K, N: l.N}.Mean(a, b, 0, 0))
}

// Ludwik is Y + K e^N.
type Ludwik struct{ Y, K, N float64 }

// Stress implements [Law].
func (l Ludwik) Stress(e, _, _ float64) (float64, error) {
	s, err := Swift{K: l.K, N: l.N}.Stress(e, 0, 0)
	return given(l.Y+s, err)
}

// Mean implements [Law]; the integral is exact.
func (l Ludwik) Mean(a, b, _, _ float64) (float64, error) {
	s, err := Swift{K: l.K, N: l.N}.Mean(a, b, 0, 0)
	return given(l.Y+s, err)
}

// Swift is K (E0 + e)^N.
type Swift struct{ K, E0, N float64 }

// Stress implements [Law].
func (l Swift) Stress(e, _, _ float64) (float64, error) {
	if err := l.check(e, e); err != nil {
		return 0, err
	}
	return given(l.K*math.Pow(l.E0+e, l.N), nil)
}

// Mean implements [Law]; the integral is exact.
func (l Swift) Mean(a, b, _, _ float64) (float64, error) {
	if err := l.check(a, b); err != nil {
		return 0, err
	}
	if b-a <= 1e-9 {
		return l.Stress(a, 0, 0)
	}
	n := l.N + 1
	return given(l.K*(math.Pow(l.E0+b, n)-math.Pow(l.E0+a, n))/(n*(b-a)), nil)
}

func (l Swift) check(a, b float64) error {
	if !(l.K >= 0 && l.K <= 1e11 && within(l.E0, 0, MaxStrain) && within(l.N, 0, 2)) {
		return refuse("a law of %g Pa, prestrain %g and exponent %g: want 0 to 100 GPa, 0 to %g, 0 to 2", l.K, l.E0, l.N, MaxStrain)
	}
	return span(a, b)
}

// Lenard is Y (1 + B e)^N, the form in which Lenard, Primer on Flat Rolling,
// and others write measured curves.
type Lenard struct{ Y, B, N float64 }

func (l Lenard) swift() (Swift, error) {
	if !(l.Y > 0 && l.B > 0 && l.B <= 1e6) {
		return Swift{}, refuse("a law of %g (1 + %g e)^%g Pa", l.Y, l.B, l.N)
	}
	return Swift{K: l.Y * math.Pow(l.B, l.N), E0: 1 / l.B, N: l.N}, nil
}

// Stress implements [Law].
func (l Lenard) Stress(e, _, _ float64) (float64, error) {
	s, err := l.swift()
	if err != nil {
		return 0, err
	}
	return s.Stress(e, 0, 0)
}

// Mean implements [Law]; the integral is exact.
func (l Lenard) Mean(a, b, _, _ float64) (float64, error) {
	s, err := l.swift()
	if err != nil {
		return 0, err
	}
	return s.Mean(a, b, 0, 0)
}

// RatePower is C times the strain rate to the power M, the textbooks' law of hot
// working (Groover, Fundamentals of Modern Manufacturing, ch. 18, from memory). It
// does not harden.
type RatePower struct{ C, M float64 }

// Stress implements [Law].
func (l RatePower) Stress(e, rate, _ float64) (float64, error) { return l.Mean(0, e, rate, 0) }

// Mean implements [Law].
func (l RatePower) Mean(a, b, rate, _ float64) (float64, error) {
	if !(l.C >= 0 && within(l.M, 0, 2) && rate > 0 && rate <= 1e6) {
		return 0, refuse("a law of %g rate^%g Pa at %g 1/s: want an exponent of 0 to 2 and a rate above 0", l.C, l.M, rate)
	}
	return given(l.C*math.Pow(rate, l.M), span(a, b))
}

// Curve is a measured flow curve, straight between its points and level beyond
// the last. Strains rise from 0.
type Curve struct{ Strain, Stresses []float64 }

func (c Curve) check() error {
	if len(c.Strain) != len(c.Stresses) || len(c.Strain) == 0 || c.Strain[0] != 0 {
		return refuse("a curve of %d strains and %d stresses: want as many of both, from strain 0", len(c.Strain), len(c.Stresses))
	}
	for i, e := range c.Strain {
		if !(e <= MaxStrain) || i > 0 && !(e > c.Strain[i-1]) || !(c.Stresses[i] >= 0 && c.Stresses[i] <= 1e12) {
			return refuse("point %d of a curve: strain %g, %g Pa; strains must rise to at most %g", i+1, e, c.Stresses[i], MaxStrain)
		}
	}
	return nil
}

// Stress implements [Law].
func (c Curve) Stress(e, _, _ float64) (float64, error) {
	if err := c.check(); err != nil {
		return 0, err
	}
	return given(c.at(e), span(0, e))
}

func (c Curve) at(e float64) float64 {
	for i := 1; i < len(c.Strain); i++ {
		if e <= c.Strain[i] {
			x := (e - c.Strain[i-1]) / (c.Strain[i] - c.Strain[i-1])
			return c.Stresses[i-1] + x*(c.Stresses[i]-c.Stresses[i-1])
		}
	}
	return c.Stresses[len(c.Stresses)-1]
}

// Mean implements [Law]; the integral is exact.
func (c Curve) Mean(a, b, _, _ float64) (float64, error) {
	if err := c.check(); err != nil {
		return 0, err
	}
	if err := span(a, b); err != nil {
		return 0, err
	}
	if b-a <= 1e-9 {
		return c.Stress(a, 0, 0)
	}
	sum, x, y := 0.0, a, c.at(a)
	for _, e := range append(append([]float64(nil), c.Strain...), b) {
		if e > x && e <= b {
			s := c.at(e)
			sum += 0.5 * (y + s) * (e - x)
			x, y = e, s
		}
	}
	return given(sum/(b-a), nil)
}
