package steel

import "math"

// Density is the density of cold carbon steel in kg/m3 (EN 1993-1-2:2005 cl. 3.2.2). Masses are always kept with it and with cold dimensions, so that nothing is lost by warming.
const Density = 7850.0

// MinC and MaxC bound the temperatures, in C, for which this package gives properties.
//
// EN 1993-1-2 covers 20 to 1200 C; the rest of the range is an assumption without a source.
const (
	MinC = -40.0
	MaxC = 1450.0
)

// StefanBoltzmann is the radiation constant in W/m2K4 (CODATA 2018).
const StefanBoltzmann = 5.670374419e-8

// ZeroC is 0 C in kelvin.
const ZeroC = 273.15

// InRange reports whether tC lies in [MinC, MaxC]; NaN does not.
func InRange(tC float64) bool { return tC >= MinC && tC <= MaxC }

// SpecificHeat returns the apparent specific heat at tC in J/kgK.
//
// The peak at 735 C is the heat of the ferrite-austenite change: it is inside this law and must not be added again. EN 1993-1-2:2005 cl. 3.4.1.2; NaN outside [MinC, MaxC].
func SpecificHeat(tC float64) float64 {
	switch {
	case !InRange(tC):
		return math.NaN()
	case tC < 20:
		return heat20
	case tC < 600:
		return 425 + tC*(0.773+tC*(-1.69e-3+tC*2.22e-6))
	case tC < 735:
		return 666 + 13002/(738-tC)
	case tC < 900:
		return 545 + 17820/(tC-731)
	}
	return 650
}

// heat20 is SpecificHeat(20), which also serves below 20 C.
const heat20 = 425 + 20*(0.773+20*(-1.69e-3+20*2.22e-6))

// Conductivity returns the thermal conductivity at tC in W/mK.
//
// EN 1993-1-2:2005 cl. 3.4.1.3; NaN outside [MinC, MaxC].
func Conductivity(tC float64) float64 {
	switch {
	case !InRange(tC):
		return math.NaN()
	case tC < 20:
		return 54 - 3.33e-2*20
	case tC < 800:
		return 54 - 3.33e-2*tC
	}
	return 27.3
}

// ThermalStrain returns the relative elongation of a length measured at 20 C, at tC.
//
// EN 1993-1-2:2005 cl. 3.4.1.1; NaN outside [MinC, MaxC].
func ThermalStrain(tC float64) float64 {
	switch {
	case !InRange(tC):
		return math.NaN()
	case tC < 750:
		return tC*(1.2e-5+0.4e-8*tC) - 2.416e-4
	case tC <= 860:
		return 1.1e-2
	}
	return 2e-5*tC - 6.2e-3
}

// HotDensity returns the density at tC in kg/m3, for showing hot sizes only; masses use [Density].
//
// It is Density divided by the cube of the stretch; NaN outside [MinC, MaxC].
func HotDensity(tC float64) float64 {
	s := 1 + ThermalStrain(tC)
	return Density / (s * s * s)
}
