package conduction_test

import (
	"testing"

	. "millrace/sim/steel/conduction"
)

// radial solves wall, cylinder or sphere of radius 1 and diffusivity 1 by explicit finite volumes: nothing of the series is in it. It returns the temperature in the middle, at the surface and the mean.
func radial(s Shape, biot, fourier float64, n int) (centre, surface, mean float64) {
	power := func(r float64) float64 { // area at r, and r times it over the number of directions the volume within
		a := 1.0
		for range int(s) {
			a *= r
		}
		return a
	}
	dr := 1 / float64(n)
	t := make([]float64, n)
	for i := range t {
		t[i] = 1
	}
	volume := func(i int) float64 {
		a, b := float64(i)*dr, float64(i+1)*dr
		return (b*power(b) - a*power(a)) / float64(s+1)
	}
	steps := int(fourier/(0.1*dr*dr)) + 1
	dt := fourier / float64(steps)
	leak := biot / (1 + biot*dr/2) // through half a cell and the film
	for range steps {
		in := 0.0
		for i := range t {
			out := leak * t[i]
			if i < n-1 {
				out = power(float64(i+1)*dr) * (t[i] - t[i+1]) / dr
			}
			t[i] += dt * (in - out) / volume(i)
			in = out
		}
	}
	for i := range t {
		mean += t[i] * volume(i) * float64(s+1)
	}
	return (9*t[0] - t[1]) / 8, t[n-1] * leak / biot, mean
}

// The whole series of all three shapes against that program; the error of the program falls with the square of its cells, so two grids are drawn on to none.
func TestAgainstRadialProgram(t *testing.T) {
	for _, s := range shapes {
		for _, biot := range []float64{0.2, 2, 20} {
			for _, fo := range []float64{0.01, 0.05, 0.3} {
				c1, s1, m1 := radial(s, biot, fo, 40)
				c2, s2, m2 := radial(s, biot, fo, 80)
				near(t, s.String()+" centre", Theta(s, biot, fo, 0), c2+(c2-c1)/3, 3e-4)
				near(t, s.String()+" surface", Theta(s, biot, fo, 1), s2+(s2-s1)/3, 1e-4)
				near(t, s.String()+" mean", MeanTheta(s, biot, fo), m2+(m2-m1)/3, 5e-5)
			}
		}
	}
}
