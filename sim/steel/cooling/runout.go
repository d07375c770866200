package cooling

import (
	"fmt"
	"math"

	"millrace/sim/steel"
)

// LeastCoilingC is the lowest temperature the run-out table is asked for.
// Below it the vapour film collapses and heat transfer rises steeply, so a
// constant coefficient no longer describes it (from memory).
const LeastCoilingC = 450

// RunOut is a laminar run-out table: banks of headers over and under thin
// strip, all at one heat-transfer coefficient.
type RunOut struct {
	Banks      int
	BankLength float64 // m
	H          float64 // mean of both faces over active banks, W/m2K; 1000-2000
	WaterC     float64

	g []float64 // cumulative cooling number at 1 C steps from tableStart
}

const (
	tableStart = 150
	tableEnd   = 1300
)

// NewRunOut checks the table's data and prepares it for use.
func NewRunOut(r RunOut) (RunOut, error) {
	if r.Banks < 1 || !(r.BankLength > 0 && r.H > 0) || math.IsInf(r.BankLength+r.H, 0) {
		return RunOut{}, fmt.Errorf("run-out table: banks, bank length and heat transfer must be above zero, got %d, %g m, %g W/m2K", r.Banks, r.BankLength, r.H)
	}
	if !(r.WaterC >= 0 && r.WaterC <= 100) {
		return RunOut{}, fmt.Errorf("run-out table: water at %g C is outside 0-100 C", r.WaterC)
	}
	r.g = make([]float64, tableEnd-tableStart+1)
	last := steel.Enthalpy(tableStart)
	for i := 1; i < len(r.g); i++ {
		t := float64(tableStart + i)
		h := steel.Enthalpy(t)
		r.g[i] = r.g[i-1] + (h-last)/(t-0.5-r.WaterC)
		last = h
	}
	return r, nil
}

// CoolingNumber is the integral of c dT/(T - Tw) from toC up to fromC, J/kgK:
// what strip gives to water at a constant coefficient, per mass and unit
// coefficient. Both temperatures within 150-1300 C (clamped).
func (r *RunOut) CoolingNumber(fromC, toC float64) float64 { return r.at(fromC) - r.at(toC) }

func (r *RunOut) at(tempC float64) float64 {
	if math.IsNaN(tempC) {
		return tempC
	}
	x := min(max(tempC-tableStart, 0), tableEnd-tableStart)
	i := min(int(x), len(r.g)-2)
	return r.g[i] + (x-float64(i))*(r.g[i+1]-r.g[i])
}

// WetLength is the length, m, of water needed to cool strip of a thickness (m)
// running at speed (m/s): (rho H v/2h) times the cooling number. Thin strip:
// its temperature is taken as even through the thickness (Biot number 0.06 at
// 2.5 mm).
//
// This is the form the event loop runs on. Against conduction through the
// thickness ([Layout.Cool]) it asks for too little water, because the surface
// is colder than the mean: 1 to 4 % up to 4 mm, 5 % at 6 mm, 9 % at 12 mm and
// 16 % at 25 mm. The air before, between and after the banks is not in it: some
// 20 to 60 K.
func (r *RunOut) WetLength(thickness, speed, fromC, toC float64) float64 {
	return steel.Density * thickness * speed / (2 * r.H) * r.CoolingNumber(fromC, toC)
}

// WetLengthConstant is the same with a constant specific heat, J/kgK. With
// 650 it is 25 to 35 % short of the truth; for comparison only.
func WetLengthConstant(thickness, speed, fromC, toC, h, waterC, specificHeat float64) float64 {
	return steel.Density * specificHeat * thickness * speed / (2 * h) * math.Log((fromC-waterC)/(toC-waterC))
}

// BanksFor is the number of banks that must be on.
func (r *RunOut) BanksFor(thickness, speed, fromC, toC float64) (int, error) {
	if !(thickness > 0 && speed > 0) || math.IsInf(thickness*speed, 1) || !(fromC <= tableEnd) || !(toC < fromC) {
		return 0, fmt.Errorf("run-out table: strip %g m at %g m/s from %g to %g C", thickness, speed, fromC, toC)
	}
	if toC < LeastCoilingC {
		return 0, fmt.Errorf("run-out table: coiling at %.0f C is below %d C, where this model ends", toC, LeastCoilingC)
	}
	n := int(math.Ceil(r.WetLength(thickness, speed, fromC, toC)/r.BankLength - 1e-9))
	if n > r.Banks {
		return 0, fmt.Errorf("run-out table: %d banks needed, %d fitted: run at %.2f m/s", n, r.Banks, r.MaxSpeed(thickness, fromC, toC))
	}
	return n, nil
}

// CoilingTemp is the temperature, C, of strip after the given number of banks;
// not below 150 C, where the table ends. NaN for a thickness or speed that is
// not above zero.
func (r *RunOut) CoilingTemp(thickness, speed, fromC float64, banks int) float64 {
	if !(thickness > 0 && speed > 0) || math.IsNaN(fromC) {
		return math.NaN()
	}
	banks = min(max(banks, 0), r.Banks)
	g := r.at(fromC) - float64(banks)*r.BankLength*2*r.H/(steel.Density*thickness*speed)
	lo, hi := 0, len(r.g)-1
	if g <= 0 {
		return tableStart
	}
	for hi-lo > 1 {
		if m := (lo + hi) / 2; r.g[m] > g {
			hi = m
		} else {
			lo = m
		}
	}
	return tableStart + float64(lo) + (g-r.g[lo])/(r.g[hi]-r.g[lo])
}

// MaxSpeed is the greatest strip speed, m/s, at which all banks still bring
// the strip to toC; infinite where it is there already, NaN for a thickness that
// is not above zero.
func (r *RunOut) MaxSpeed(thickness, fromC, toC float64) float64 {
	g := r.CoolingNumber(fromC, toC)
	if !(thickness > 0) {
		return math.NaN()
	}
	if g <= 0 {
		return math.Inf(1)
	}
	return float64(r.Banks) * r.BankLength * 2 * r.H / (steel.Density * thickness * g)
}
