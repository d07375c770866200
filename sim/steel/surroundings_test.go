package steel_test

import (
	"math"
	"testing"

	"millrace/sim/steel"
)

// Incropera et al., Fundamentals of Heat and Mass Transfer, Ex. 5.2: a thermocouple bead between gas at 200 C and walls at 400 C. The companion reports 217.7 C; the balance itself closes at 218.7 C.
func TestThermocoupleBead(t *testing.T) {
	gas := steel.Surroundings{GasC: 200, Convection: 400}
	wall := steel.Surroundings{GasC: 400, Emissivity: 0.9}
	into := func(tC float64) float64 { return gas.Into(tC) + wall.Into(tC) }
	lo, hi := 200.0, 400.0
	for range 60 {
		if mid := (lo + hi) / 2; into(mid) > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	near(t, "F09 steady", lo, 218.71, 0.1)
	// Time to within 1 K, from 25 C: rho c V/A = rho c D/6.
	const dt, capacity = 1e-4, 8500 * 400 * 7.06e-4 / 6
	bead, seconds := 25.0, 0.0
	for bead < lo-1 {
		mid := bead + dt/2*into(bead)/capacity
		bead += dt * into(mid) / capacity
		seconds += dt
	}
	near(t, "F09 time", seconds, 4.985, 0.03)
}

// EN 1991-1-2 eq. 3.1 to 3.3 written with fourth powers.
func TestIntoIsDifferenceOfFourthPowers(t *testing.T) {
	s := steel.Surroundings{GasC: 1250, Emissivity: 0.7, Convection: 25}
	for _, tC := range []float64{0, 20, 700, 1249, 1300} {
		want := 0.7*5.670374419e-8*(math.Pow(1523.15, 4)-math.Pow(tC+273.15, 4)) + 25*(1250-tC)
		near(t, "flux", s.Into(tC), want, 1e-6*math.Abs(want))
		slope := (s.Into(tC-0.01) - s.Into(tC+0.01)) / 0.02
		near(t, "coefficient", s.Coefficient(tC), slope, 1e-6*slope)
	}
	if got := s.Into(1250); got != 0 {
		t.Errorf("flux at balance is %g, want exactly 0", got)
	}
}

func TestSurroundingsRefuse(t *testing.T) {
	nan := math.NaN()
	for _, s := range []steel.Surroundings{{GasC: nan}, {GasC: -300}, {Emissivity: 1.1}, {Emissivity: -0.1}, {Emissivity: nan}, {Convection: -1}, {Convection: nan}, {Flux: nan}, {Flux: math.Inf(1)}} {
		if s.Validate() == nil {
			t.Errorf("%+v passes", s)
		}
	}
}
