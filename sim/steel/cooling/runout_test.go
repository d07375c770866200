package cooling

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"millrace/sim/reftable"
)

var near = reftable.Near

func table(t testing.TB, banks int, length, h float64) *RunOut {
	t.Helper()
	r, err := NewRunOut(RunOut{Banks: banks, BankLength: length, H: h, WaterC: 25})
	if err != nil {
		t.Fatal(err)
	}
	return &r
}

// Wet lengths from the enthalpy of EN 1993-1-2 and from a constant 650 J/kgK,
// worked out by a separate program; h 1500 W/m2K, water 25 C.
func TestWetLength(t *testing.T) {
	r := table(t, 20, 5, 1500)
	for _, c := range []struct {
		from, to, mm, v, en, constant float64
		banks                         int
	}{
		{900, 600, 2.5, 10, 27.29, 17.85, 6},
		{900, 450, 2.5, 10, 40.87, 30.71, 9},
		{1000, 550, 2.5, 10, 36.26, 26.32, 8},
		{900, 600, 2.5, 17.88, 48.80, 31.92, 10},
		{900, 600, 10, 3, 32.75, 21.42, 7},
	} {
		near(t, "length", r.WetLength(c.mm/1e3, c.v, c.from, c.to), c.en, 0.05)
		near(t, "constant specific heat", WetLengthConstant(c.mm/1e3, c.v, c.from, c.to, 1500, 25, 650), c.constant, 0.05)
		n, err := r.BanksFor(c.mm/1e3, c.v, c.from, c.to)
		if err != nil || n != c.banks {
			t.Errorf("banks: got %d, %v, want %d", n, err, c.banks)
		}
	}
	// 20 banks of 5 m take four times the first strip's speed to 27.29 m.
	near(t, "greatest speed", r.MaxSpeed(2.5e-3, 900, 600), 100/27.29*10, 0.02)
	if _, err := r.BanksFor(2.5e-3, 50, 900, 600); err == nil {
		t.Error("more banks than fitted were given")
	}
	if _, err := r.BanksFor(2.5e-3, 10, 900, 400); err == nil {
		t.Error("coiling below the model's range was given")
	}
	for _, bad := range []RunOut{{}, {Banks: 3, BankLength: math.NaN(), H: 1500}, {Banks: 3, BankLength: 5, H: 1500, WaterC: math.NaN()}} {
		if _, err := NewRunOut(bad); err == nil {
			t.Errorf("accepted %+v", bad)
		}
	}
}

// The banks asked for bring the strip to its target and one bank less does
// not; the greatest speed is where all of them just do.
func TestRunOutRoundTrip(t *testing.T) {
	r := table(t, 24, 4.5, 1300)
	rapid.Check(t, func(t *rapid.T) {
		h, from := rapid.Float64Range(1.5e-3, 0.012).Draw(t, "thickness"), rapid.Float64Range(780, 950).Draw(t, "from")
		to := rapid.Float64Range(500, 720).Draw(t, "to")
		most := r.MaxSpeed(h, from, to)
		if got := r.CoilingTemp(h, most, from, r.Banks); math.Abs(got-to) > 0.5 {
			t.Fatalf("at its greatest speed %g m/s the strip is coiled at %g, not %g C", most, got, to)
		}
		v := most * rapid.Float64Range(0.1, 0.999).Draw(t, "share")
		n, err := r.BanksFor(h, v, from, to)
		if err != nil {
			t.Fatal(err)
		}
		if got := r.CoilingTemp(h, v, from, n); got > to+0.5 {
			t.Fatalf("%d banks coil at %g, not %g C", n, got, to)
		}
		if got := r.CoilingTemp(h, v, from, n-1); got < to-0.5 {
			t.Fatalf("%d banks would do, %d were asked", n-1, n)
		}
	})
}
