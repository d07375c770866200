package hotrolling

import (
	"math"

	"millrace/sim/steel"
)

const (
	stefanBoltzmann = 5.670374419e-8 // W/m2K4
	kelvin          = 273.15
)

// Thermal is how stock loses heat in a mill.
type Thermal struct {
	Emissivity  float64 // of the hot surface, 0-1
	RollC       float64 // roll surface
	ChillFactor float64 // 1 = perfect contact of stock and roll; scale brings it to 0.5-1
	WaterC      float64 // descaling and spray water
}

// CommonThermal is a scaled surface and cooled rolls (common practice, no source).
func CommonThermal() Thermal {
	return Thermal{Emissivity: 0.8, RollC: 100, ChillFactor: 0.7, WaterC: 25}
}

// Radiated is the temperature, C, of stock of thickness h (m) that radiates
// from both faces for some seconds, surroundings neglected (they matter 0.3 %
// at 1080 C). heatCapacity is per volume, J/m3K. Closed form of
// dT/dt = -2 eps sigma T^4/(rho c h).
//
// It knows no profile over the thickness. Against conduction through it the drop
// of the mean is up to 5 % too large in strip, 10 % in bars of some 30 mm, and 30 %
// (5 K) in slabs in the minute before the first pass, whose skin is coldest.
func Radiated(tempC, emissivity, seconds, heatCapacity, h float64) float64 {
	t := tempC + kelvin
	return 1/math.Cbrt(1/(t*t*t)+6*emissivity*stefanBoltzmann*seconds/(heatCapacity*h)) - kelvin
}

// RadiatedLinear is the drop, K, at the starting rate: 6 % too large at a drop
// of 40 K, 18 % at 106 K.
func RadiatedLinear(tempC, emissivity, seconds, heatCapacity, h float64) float64 {
	t := tempC + kelvin
	return 2 * emissivity * stefanBoltzmann * t * t * t * t * seconds / (heatCapacity * h)
}

// RollChill is the drop of mean temperature, K, from contact with both rolls:
// two half spaces of equal effusivity for the contact time (s), scaled by
// factor. diffusivity in m2/s.
func RollChill(tempC, rollC, factor, contactTime, diffusivity, h1, h2 float64) float64 {
	return 2 * factor * (tempC - rollC) * math.Sqrt(diffusivity*contactTime/math.Pi) / ((h1 + 2*h2) / 3)
}

// WorkHeat is the rise, K, when all work of deformation stays in the stock:
// plane-strain yield stress times pressure factor times strain over heat
// capacity per volume.
func WorkHeat(k, qp, strain, heatCapacity float64) float64 { return k * qp * strain / heatCapacity }

// Diffusivity of austenite used for roll contact, m2/s: 27.3/(7450 x 650),
// EN 1993-1-2 constants above 900 C.
const austeniteDiffusivity = 27.3 / (7450 * 650)

// austeniteHeat is the specific heat from 900 C, J/kgK (EN 1993-1-2 cl. 3.4.1.2).
const austeniteHeat = 650

// Sprays is a set of descaling headers the stock passes once.
type Sprays struct {
	Pairs     int     // header pairs, top and bottom; 0 = none
	H         float64 // under the jet, W/m2K, 10e3-40e3
	Footprint float64 // length one header wets, m
}

// Drop is the drop of mean temperature, K, of stock of thickness h at strip
// speed v, in the cheap form 0.85 h t (T - Tw) per face and header, within
// 10 % of the semi-infinite solution for 1.4 < H sqrt(t) < 3 kW s^0.5/m2K.
func (s Sprays) Drop(tempC, waterC, v, h float64) float64 {
	if s.Pairs == 0 {
		return 0
	}
	q := 0.85 * s.H * s.Footprint / v * (tempC - waterC)
	return 2 * float64(s.Pairs) * q / (heatPerKg(tempC) * hotMass(tempC) * h)
}

func heatPerKg(tempC float64) float64 {
	if tempC >= 900 {
		return austeniteHeat
	}
	return steel.SpecificHeat(tempC)
}

// warmed is the temperature after dh (J/kg, negative = cooled). It steps the
// enthalpy, so the transformation below 900 C is taken whole. It ends at 20 C and
// at [steel.MaxC]: searches look beyond what is rolled.
func warmed(tempC, dh float64) float64 {
	if t := tempC + dh/austeniteHeat; tempC >= 900 && t >= 900 {
		return min(t, steel.MaxC)
	}
	h := steel.Enthalpy(tempC) + dh
	if h <= 0 {
		return 20
	}
	return steel.TempFromEnthalpy(min(h, steel.MaxEnthalpy()))
}

// radiate cools stock of thickness h for some seconds. The heat lost is that
// of the closed form at austenite's specific heat; below 900 C this is short
// of the truth by a few per cent of the drop.
func radiate(tempC, emissivity, seconds, h float64) float64 {
	if seconds <= 0 || emissivity <= 0 {
		return tempC
	}
	rho := hotMass(tempC)
	return warmed(tempC, austeniteHeat*(Radiated(tempC, emissivity, seconds, rho*austeniteHeat, h)-tempC))
}

// spray is the temperature after descaling.
func (th *Thermal) spray(s *Sprays, tempC, v, h float64) float64 {
	if s.Pairs == 0 {
		return tempC
	}
	q := 0.85 * s.H * s.Footprint / v * (tempC - th.WaterC)
	return warmed(tempC, -2*float64(s.Pairs)*q/(hotMass(tempC)*h))
}

// rolled is the enthalpy a pass adds (J/kg): work less chill.
func (th *Thermal) rolled(tempC float64, g *Gap, l *Load) float64 {
	work, chill := th.passHeat(tempC, g, l)
	return work - chill
}

// passHeat is what the work of deformation gives and the rolls take, J/kg.
func (th *Thermal) passHeat(tempC float64, g *Gap, l *Load) (work, chill float64) {
	rho := hotMass(tempC)
	work = PlaneStrain(l.Stress) * l.Qp * l.Strain / rho
	return work, austeniteHeat * RollChill(tempC, th.RollC, th.ChillFactor, l.Contact/g.RollSpeed, austeniteDiffusivity, g.Entry, g.Exit)
}

// hotMass is mass per volume of hot stock, kg/m3.
func hotMass(tempC float64) float64 { return steel.HotDensity(tempC) }

// Heat is where a cross-section's heat comes from and goes to, J/kg: its
// enthalpy at the end is that at the start plus Work less all the others.
//
// Work is the pressure on the strain, the usual formula. The work the drives do
// by the torque is 1 to 22 % more, most in heavy passes: the two come from
// different simplifications of the same roll gap.
type Heat struct{ Work, Radiated, Chill, Water float64 }

// Gain is what is left in the stock, J/kg; negative = lost.
func (h Heat) Gain() float64 { return h.Work - h.Radiated - h.Chill - h.Water }

func (h *Heat) radiated(fromC, toC float64) {
	if h != nil {
		h.Radiated += steel.Enthalpy(fromC) - steel.Enthalpy(toC)
	}
}

func (h *Heat) watered(fromC, toC float64) {
	if h != nil {
		h.Water += steel.Enthalpy(fromC) - steel.Enthalpy(toC)
	}
}

func (h *Heat) passed(work, chill float64) {
	if h != nil {
		h.Work += work
		h.Chill += chill
	}
}
