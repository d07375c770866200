package casting

import (
	"fmt"
	"math"

	"millrace/sim/steel"
)

// Properties of steel on its way from liquid to solid.
const (
	fusion        = 272e3  // heat of fusion, J/kg (from memory)
	liquidHeat    = 825.0  // specific heat of the liquid, J/kgK (from memory)
	mushHeat      = 700.0  // between solidus and liquidus besides the fusion, J/kgK (assumption)
	austeniteHeat = 650.0  // J/kgK, EN 1993-1-2 at 1200 C, kept up to the solidus (assumption)
	strandDensity = 7400.0 // kg/m3 of hot shell, and of the mould's sizes
	stirredK      = 60.0   // W/mK of the liquid, twice the solid's for its stirring (assumption)
	slopeK        = 0.008  // W/mK per K by which austenite conducts better above 800 C (assumption: about 32 W/mK near the solidus)
)

// Freezing is a steel from the cold to the liquid, as a [steel.Material]: EN 1993-1-2 up to 1200 C, kept on to the solidus, then the heat of fusion spread evenly to the liquidus.
type Freezing struct {
	solidusC, liquidusC float64
	atSolidus, atLiquid float64 // J/kg
}

// NewFreezing returns the material of an analysis. It refuses what [steel.Composition.Validate] refuses and a solidus that does not lie below the liquidus.
func NewFreezing(c steel.Composition) (Freezing, error) {
	if err := c.Validate(); err != nil {
		return Freezing{}, err
	}
	f := Freezing{solidusC: steel.Solidus(c), liquidusC: steel.Liquidus(c)}
	if !(f.solidusC < f.liquidusC-1 && f.solidusC > 1250) {
		return Freezing{}, fmt.Errorf("freezing: a solidus of %.0f C and a liquidus of %.0f C", f.solidusC, f.liquidusC)
	}
	f.atSolidus = steel.Enthalpy(900) + austeniteHeat*(f.solidusC-900)
	f.atLiquid = f.atSolidus + fusion + mushHeat*(f.liquidusC-f.solidusC)
	return f, nil
}

// SolidusC returns the temperature at which the last of it freezes, C.
func (f Freezing) SolidusC() float64 { return f.solidusC }

// LiquidusC returns the temperature at which it begins to freeze, C.
func (f Freezing) LiquidusC() float64 { return f.liquidusC }

// Density returns that of the hot strand, kg/m3.
func (f Freezing) Density() float64 { return strandDensity }

// Enthalpy returns the heat above 20 C, J/kg, at up to 1700 C; NaN outside.
func (f Freezing) Enthalpy(tC float64) float64 {
	switch {
	case !(tC <= 1700):
		return math.NaN()
	case tC < 900:
		return steel.Enthalpy(tC)
	case tC <= f.solidusC:
		return steel.Enthalpy(900) + austeniteHeat*(tC-900)
	case tC <= f.liquidusC:
		return f.atSolidus + (f.atLiquid-f.atSolidus)*(tC-f.solidusC)/(f.liquidusC-f.solidusC)
	}
	return f.atLiquid + liquidHeat*(tC-f.liquidusC)
}

// TempFromEnthalpy inverts [Freezing.Enthalpy].
func (f Freezing) TempFromEnthalpy(h float64) float64 {
	switch at900 := steel.Enthalpy(900); {
	case !(h <= f.Enthalpy(1700)):
		return math.NaN()
	case h < at900:
		return steel.TempFromEnthalpy(h)
	case h <= f.atSolidus:
		return 900 + (h-at900)/austeniteHeat
	case h <= f.atLiquid:
		return f.solidusC + (h-f.atSolidus)*(f.liquidusC-f.solidusC)/(f.atLiquid-f.atSolidus)
	}
	return f.liquidusC + (h-f.atLiquid)/liquidHeat
}

// SpecificHeat returns the slope of [Freezing.Enthalpy], J/kgK.
func (f Freezing) SpecificHeat(tC float64) float64 {
	switch {
	case tC < 900:
		return steel.SpecificHeat(tC)
	case tC <= f.solidusC:
		return austeniteHeat
	case tC <= f.liquidusC:
		return (f.atLiquid - f.atSolidus) / (f.liquidusC - f.solidusC)
	}
	return liquidHeat
}

// Conductivity returns W/mK; between solidus and liquidus it runs from the solid's to the stirred liquid's.
func (f Freezing) Conductivity(tC float64) float64 {
	solid := func(tC float64) float64 { return 27.3 + slopeK*(tC-800) }
	switch {
	case tC < 800:
		return steel.Conductivity(tC)
	case tC <= f.solidusC:
		return solid(tC)
	case tC <= f.liquidusC:
		k := solid(f.solidusC)
		return k + (stirredK-k)*(tC-f.solidusC)/(f.liquidusC-f.solidusC)
	}
	return stirredK
}

// MouldFlux returns the heat a mould takes from the strand, W/m2, t seconds below the meniscus: 2.68 - 0.335 sqrt(t) MW/m2 (Savage and Pritchard 1954, from memory), and not below 0.4 MW/m2, where that law
// has left its range.
func MouldFlux(t float64) float64 {
	if !(t >= 0) {
		return math.NaN()
	}
	return max(2.68e6-0.335e6*math.Sqrt(t), 0.4e6)
}

// Sprays is a stretch of strand under water below the mould.
type Sprays struct {
	EndM float64 // distance of its end below the meniscus, m
	Film float64 // of the water, W/m2K; radiation comes on top
}

// Machine is a caster as [Solidify] sees it.
type Machine struct {
	Thickness   float64 // of the mould, m
	MouldLength float64 // meniscus to mould exit, m
	Sprays      []Sprays
	Cells       int     // in half the thickness; 0 stands for 40
	WaterC      float64 // and of the air
	Emissivity  float64 // 0.8 (from memory)
	LengthM     float64 // meniscus to the cut, m
}

// UsualMachine returns a machine for a thickness (m) with a mould of 0.8 m, 30 m to the cut and sprays that fall off along the strand from 600 to 150 W/m2K, which is their usual range (from memory); the
// steps are set so that a slab of 230 mm freezes by a constant of 27 mm/min^0.5.
func UsualMachine(thickness float64) Machine {
	return Machine{Thickness: thickness, MouldLength: 0.8, LengthM: 30, WaterC: 30, Emissivity: 0.8,
		Sprays: []Sprays{{1.2, 600}, {4, 400}, {10, 260}, {20, 180}, {30, 120}}}
}

// StrandPoint is the strand at one distance below the meniscus.
type StrandPoint struct {
	Z, Seconds float64 // m, s
	Shell      float64 // down to the solidus, m
	SurfaceC   float64
	CentreC    float64
	MeanC      float64 // the temperature it would even out to
	K          float64 // shell over the root of time, mm/min^0.5
}

// Strand is what [Solidify] found.
type Strand struct {
	Points     []StrandPoint
	MouldShell float64 // at the mould exit, m
	SolidM     float64 // metallurgical length, m; +Inf if the strand is cut with a liquid core
	SolidK     float64 // constant of the square-root law that gives the same length, mm/min^0.5
}

// Solidify follows a slice through the middle of the broad face from the meniscus to the cut: conduction with the heat of fusion through half the thickness, the mould's flux, then sprays and
// radiation. It is the full form of [Shell], [MouldShell] and [MetallurgicalLength].
//
// TundishC is the temperature of the steel in the mould, speed in m/s. Against the exact solution of a freezing half space the shell of 40 cells is within 2 %. With [UsualMachine] and 25 K of superheat the
// cheap form, the square-root law with one constant of 27 for the strand and of 20 in the mould, is within 15 % of the metallurgical length and gives a shell at the mould exit 1 to 16 % too thick, over
// 150 to 305 mm and 0.4 to 1.6 m/min; the constant that fits the length runs from 25 to 28.5.
//
// It fails for a size, speed or water temperature that makes no sense and for steel that is poured below its liquidus or above 1690 C.
func Solidify(m Machine, c steel.Composition, tundishC, speed float64) (Strand, error) {
	f, err := NewFreezing(c)
	if err != nil {
		return Strand{}, err
	}
	if !(m.Thickness >= 0.03 && m.Thickness <= 0.6) || !(m.MouldLength > 0 && m.MouldLength <= 1.5 && m.MouldLength < m.LengthM && m.LengthM <= 100) {
		return Strand{}, fmt.Errorf("strand: %g m thick in a mould of %g m, cut after %g m", m.Thickness, m.MouldLength, m.LengthM)
	}
	if !(speed >= 0.1/60 && speed <= 10.0/60) {
		return Strand{}, fmt.Errorf("strand: %g m/s is not a casting speed, want 0.1 to 10 m/min", speed)
	}
	if !(tundishC >= f.liquidusC && tundishC <= 1690) {
		return Strand{}, fmt.Errorf("strand: steel at %g C, want its liquidus of %.0f C to 1690 C", tundishC, f.liquidusC)
	}
	if !(m.WaterC >= 0 && m.WaterC <= 100) {
		return Strand{}, fmt.Errorf("strand: water at %g C", m.WaterC)
	}
	for i, s := range m.Sprays {
		if !(s.EndM > m.MouldLength) || i > 0 && !(s.EndM > m.Sprays[i-1].EndM) {
			return Strand{}, fmt.Errorf("strand: sprays %d end at %g m, want beyond the mould and the sprays before", i+1, s.EndM)
		}
	}
	cells := m.Cells
	if cells == 0 {
		cells = 40
	}
	w, err := steel.NewWall(f, m.Thickness/2, cells, tundishC)
	if err != nil {
		return Strand{}, err
	}
	out := Strand{SolidM: math.Inf(1)}
	const perMetre = 20
	steps := int(math.Ceil(m.LengthM * perMetre))
	dz := m.LengthM / float64(steps)
	last, zone := StrandPoint{}, 0
	for i := range steps {
		z := (float64(i) + 0.5) * dz
		around := steel.Surroundings{GasC: m.WaterC, Emissivity: m.Emissivity}
		if z < m.MouldLength {
			around = steel.Surroundings{GasC: m.WaterC, Flux: -MouldFlux(z / speed)}
		} else {
			for zone < len(m.Sprays) && m.Sprays[zone].EndM < z {
				zone++
			}
			if zone < len(m.Sprays) {
				around.Convection = m.Sprays[zone].Film
			}
		}
		if _, err := w.Advance(around, dz/speed); err != nil {
			return Strand{}, fmt.Errorf("strand, %.2f m below the meniscus: %w", z, err)
		}
		if !(w.SurfaceC() >= m.WaterC-1) {
			return Strand{}, fmt.Errorf("strand, %.2f m below the meniscus: the mould would take more heat than the strand has; cast faster", z)
		}
		p := StrandPoint{Z: float64(i+1) * dz, Seconds: float64(i+1) * dz / speed, Shell: w.DepthTo(f.solidusC), SurfaceC: w.SurfaceC(), CentreC: min(w.CentreC(), tundishC), MeanC: w.MeanC()}
		if p.SurfaceC > f.solidusC {
			p.Shell = 0
		}
		p.K = p.Shell * 1e3 / math.Sqrt(p.Seconds/60)
		if p.Z >= m.MouldLength && last.Z < m.MouldLength {
			out.MouldShell = last.Shell + (p.Shell-last.Shell)*(m.MouldLength-last.Z)/(p.Z-last.Z)
		}
		if math.IsInf(out.SolidM, 1) && p.CentreC <= f.solidusC {
			out.SolidM = p.Z
			if last.CentreC > p.CentreC {
				out.SolidM = last.Z + (p.Z-last.Z)*(last.CentreC-f.solidusC)/(last.CentreC-p.CentreC)
			}
			out.SolidK = m.Thickness / 2 * 1e3 / math.Sqrt(out.SolidM/speed/60)
		}
		out.Points = append(out.Points, p)
		last = p
	}
	return out, nil
}
