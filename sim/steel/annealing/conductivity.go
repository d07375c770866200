package annealing

import (
	"fmt"
	"math"

	"millrace/sim/steel"
)

// Atmosphere is the gas under the inner cover.
type Atmosphere struct {
	Name string
	// Conductivity of the gas near 400 C, W/mK.
	Conductivity float64
	// Film is the coefficient between gas with cover and the coils' faces,
	// W/m2K, radiation included.
	Film float64
}

// DefaultFilm is the film coefficient under a circulating fan (assumption).
const DefaultFilm = 40.0

// Hydrogen is pure hydrogen, HN is nitrogen with some per cent of hydrogen.
// Conductivities near 400 C from memory. The film is the same for both by
// assumption; fans can drive light gas faster.
func Hydrogen() Atmosphere {
	return Atmosphere{Name: "hydrogen", Conductivity: 0.35, Film: DefaultFilm}
}

// HN is described with [Hydrogen].
func HN() Atmosphere { return Atmosphere{Name: "HN", Conductivity: 0.052, Film: DefaultFilm} }

// Wrap is the winding of a coil.
type Wrap struct {
	Strip      float64 // thickness, m
	Gap        float64 // mean gap between wraps, m; 10-40 um
	SteelK     float64 // of the strip, W/mK; 0 = 40
	Emissivity float64 // of its faces; 0 = 0.4
	TempC      float64 // at which the gap's radiation is taken; 0 = 400 C
}

// RadialConductivity is the conductivity across the wraps, W/mK: steel in
// series with a gap through which gas conducts and the faces radiate. Contact of
// the wraps is left out. The error is that of the gap, which nobody measures: a
// factor of two.
func RadialConductivity(w Wrap, gas Atmosphere) (float64, error) {
	if w.SteelK == 0 {
		w.SteelK = 40
	}
	if w.Emissivity == 0 {
		w.Emissivity = 0.4
	}
	if w.TempC == 0 {
		w.TempC = 400
	}
	switch {
	case !(w.Strip > 1e-5 && w.Strip < 0.02 && w.Gap > 1e-7 && w.Gap < 1e-3):
		return 0, fmt.Errorf("annealing: strip of %g m with gaps of %g m", w.Strip, w.Gap)
	case !(w.SteelK > 1 && w.SteelK < 200 && w.Emissivity > 0 && w.Emissivity <= 1 && steel.InRange(w.TempC)):
		return 0, fmt.Errorf("annealing: steel of %g W/mK and emissivity %g at %g C", w.SteelK, w.Emissivity, w.TempC)
	case !(gas.Conductivity > 0 && gas.Conductivity < 10):
		return 0, fmt.Errorf("annealing: gas of %g W/mK", gas.Conductivity)
	}
	t := w.TempC + steel.ZeroC
	gap := gas.Conductivity/w.Gap + 4*steel.StefanBoltzmann*math.Pow(t, 3)/(2/w.Emissivity-1)
	return (w.Strip + w.Gap) / (w.Strip/w.SteelK + 1/gap), nil
}
