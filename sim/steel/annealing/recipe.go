package annealing

import (
	"fmt"

	"millrace/sim/steel"
)

// Recipe is what the gas does and what the coil must reach.
type Recipe struct {
	StartC   float64 // of coil and gas
	GasC     float64 // held
	RampTime float64 // straight from StartC to GasC, s
	ColdC    float64 // the coldest spot to reach, below GasC
	Film     float64 // heating, W/m2K

	// Between bell and cooler the cover may stand bare for a time.
	StillTime float64 // s
	StillFilm float64 // W/m2K, to CoolGasC

	CoolGasC float64 // cooling
	CoolFilm float64 // W/m2K; 0 = Film
	OffC     float64 // hottest spot at which the inner cover may come off
}

// CommonRecipe is 8 h to 700 C, coldest spot to 680 C, off at 160 C with the
// gas at 40 C (assumption; strip uncovered above some 150-160 C oxidises:
// common practice, no source).
func CommonRecipe(gas Atmosphere) Recipe {
	return Recipe{StartC: 20, GasC: 700, RampTime: 8 * 3600, ColdC: 680, Film: gas.Film, CoolGasC: 40, OffC: 160}
}

// Validate refuses a recipe that does not heat and then cool.
func (r Recipe) Validate() error {
	switch {
	case !(r.StartC >= steel.MinC && r.StartC < r.ColdC && r.ColdC < r.GasC && r.GasC <= 900):
		return fmt.Errorf("annealing: from %g C in gas of %g C to a coldest spot of %g C", r.StartC, r.GasC, r.ColdC)
	case r.GasC-r.ColdC < 1:
		return fmt.Errorf("annealing: a coldest spot within %g K of the gas is never reached", r.GasC-r.ColdC)
	case !(r.RampTime >= 0 && r.RampTime <= 1e6):
		return fmt.Errorf("annealing: a ramp of %g s", r.RampTime)
	case !(r.Film > 0 && r.Film <= 1000 && r.CoolFilm >= 0 && r.CoolFilm <= 1000):
		return fmt.Errorf("annealing: films of %g and %g W/m2K", r.Film, r.CoolFilm)
	case !(r.StillTime >= 0 && r.StillTime <= 1e7 && r.StillFilm >= 0 && r.StillFilm <= 1000):
		return fmt.Errorf("annealing: %g s under a bare cover at %g W/m2K", r.StillTime, r.StillFilm)
	case !(r.CoolGasC >= steel.MinC && r.OffC >= r.CoolGasC+1 && r.OffC < r.ColdC):
		return fmt.Errorf("annealing: cooling to %g C in gas of %g C", r.OffC, r.CoolGasC)
	}
	return nil
}

func (r *Recipe) coolFilm() float64 {
	if r.CoolFilm == 0 {
		return r.Film
	}
	return r.CoolFilm
}

// gasAt is the gas temperature at a time since firing, C.
func (r *Recipe) gasAt(t float64) float64 {
	if t >= r.RampTime {
		return r.GasC
	}
	return r.StartC + (r.GasC-r.StartC)*t/r.RampTime
}

// mostTime ends a search that does not end by itself, s.
const mostTime = 1000 * 3600.0

// Heat runs the field under a recipe until its coldest cell is at toC and
// returns the time, s.
func (f *CoilField) Heat(r Recipe, toC float64) (float64, error) {
	if err := r.Validate(); err != nil {
		return 0, err
	}
	if !(toC < r.GasC) {
		return 0, fmt.Errorf("annealing: no heating to %g C in gas of %g C", toC, r.GasC)
	}
	dt := min(f.StableStep(r.Film), 300)
	last, _ := f.Extremes()
	for t := 0.0; t < mostTime; t += dt {
		if last >= toC {
			return t, nil
		}
		f.Step(dt, r.gasAt(t+dt/2), r.Film)
		cold, _ := f.Extremes()
		if cold >= toC {
			return t + dt*(toC-last)/(cold-last), nil
		}
		last = cold
	}
	return 0, fmt.Errorf("annealing: the coldest spot is at %.0f C after %.0f h", last, mostTime/3600)
}

// Cool runs the field in gas at gasC until its hottest cell is at toC and
// returns the time, s.
func (f *CoilField) Cool(gasC, film, toC float64) (float64, error) {
	if !(toC > gasC && film > 0 && film <= 1000) {
		return 0, fmt.Errorf("annealing: no cooling to %g C in gas of %g C under %g W/m2K", toC, gasC, film)
	}
	dt := min(f.StableStep(film), 300)
	_, last := f.Extremes()
	for t := 0.0; t < mostTime; t += dt {
		if last <= toC {
			return t, nil
		}
		f.Step(dt, gasC, film)
		_, hot := f.Extremes()
		if hot <= toC {
			return t + dt*(last-toC)/(last-hot), nil
		}
		last = hot
	}
	return 0, fmt.Errorf("annealing: the hottest spot is at %.0f C after %.0f h", last, mostTime/3600)
}

// Times are what one coil needs, s.
type Times struct {
	Heat  float64 // to the coldest spot
	Still float64 // under a bare cover
	Cool  float64 // from there until the cover may come off; 0 if it may at once
}

// CoilTimes solves a coil under a recipe. It takes some milliseconds: make
// tables at load.
func CoilTimes(c Coil, r Recipe) (Times, error) {
	if err := r.Validate(); err != nil {
		return Times{}, err
	}
	f, err := NewCoilField(c, r.StartC, gridRadial, gridAxial)
	if err != nil {
		return Times{}, err
	}
	var t Times
	if t.Heat, err = f.Heat(r, r.ColdC); err != nil {
		return Times{}, err
	}
	t.Still = r.StillTime
	for left := r.StillTime; left > 0 && r.StillFilm > 0; {
		dt := min(f.StableStep(r.StillFilm), left)
		f.Step(dt, r.CoolGasC, r.StillFilm)
		left -= dt
	}
	t.Cool, err = f.Cool(r.CoolGasC, r.coolFilm(), r.OffC)
	return t, err
}
