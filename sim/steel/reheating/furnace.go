package reheating

import (
	"fmt"

	"millrace/sim/steel"
)

// scaleMelts is the surface temperature, C, a slab is kept below: wustite melts at about 1370 C (from memory), and slag on the hearth starts some 50 K earlier (common practice, no source).
const scaleMelts = 1320.0

// Furnace is a walking-beam furnace in which slabs lie across one behind the other.
type Furnace struct {
	Length     float64   // from charge door to discharge door, m
	Gap        float64   // between slabs, m
	Zones      Programme // shares of the length and set points
	Emissivity float64   // effective, of gas and walls on both faces
	WallPower  float64   // W through walls, hearth and roof at the set points
	Efficiency float64   // available heat: what does not leave with the flue, see [Fuel]
	GasRate    float64   // K/s by which the gas follows a new set point; 0: at once
	MostC      float64   // surface no slab should pass; 0 stands for 1320 C
}

// Validate refuses what [Programme.Validate] refuses, sizes, losses and rates below 0, and an efficiency or emissivity outside 0 to 1.
func (f Furnace) Validate() error {
	if err := f.Zones.Validate(); err != nil {
		return err
	}
	switch {
	case !(f.Length > 0 && f.Length <= 200 && f.Gap >= 0 && f.Gap < f.Length):
		return fmt.Errorf("furnace: %g m long with gaps of %g m", f.Length, f.Gap)
	case !(f.Emissivity > 0 && f.Emissivity <= 1):
		return fmt.Errorf("furnace: effective emissivity is %g, want above 0 and up to 1", f.Emissivity)
	case !(f.WallPower >= 0 && f.WallPower <= 1e9):
		return fmt.Errorf("furnace: %g W through its walls", f.WallPower)
	case !(f.Efficiency > 0 && f.Efficiency <= 1):
		return fmt.Errorf("furnace: efficiency is %g, want above 0 and up to 1", f.Efficiency)
	case !(f.GasRate >= 0 && f.GasRate <= 100):
		return fmt.Errorf("furnace: the gas follows at %g K/s", f.GasRate)
	case !(f.MostC >= 0 && f.MostC <= steel.MaxC):
		return fmt.Errorf("furnace: a surface of %g C at most", f.MostC)
	}
	return nil
}

// Charge is a slab for the furnace.
type Charge struct {
	Thickness float64 // m
	Width     float64 // along the furnace, m
	Length    float64 // across it, m
	ChargeC   float64 // even temperature at the charge door
	TargetC   float64 // mean it must have to leave
	SpreadK   float64 // most its surface may be above its centre when it leaves; 0: no matter
}

// Mass returns the slab's mass, kg.
func (c Charge) Mass() float64 { return steel.Density * c.Thickness * c.Width * c.Length }

// Validate refuses sizes no slab has and temperatures outside the range of [steel].
func (c Charge) Validate() error {
	switch {
	case !(c.Thickness >= 0.02 && c.Thickness <= 0.6 && c.Width >= 0.1 && c.Width <= 5 && c.Length >= 0.5 && c.Length <= 20):
		return fmt.Errorf("charge: a slab of %g x %g x %g m", c.Thickness, c.Width, c.Length)
	case !steel.InRange(c.ChargeC) || !steel.InRange(c.TargetC):
		return fmt.Errorf("charge: from %g to %g C", c.ChargeC, c.TargetC)
	case !(c.SpreadK >= 0):
		return fmt.Errorf("charge: a spread of %g K", c.SpreadK)
	}
	return nil
}

// Form is how a [Hearth] reckons its slabs.
type Form uint8

// The two forms.
const (
	Conducted Form = iota // conduction through half the thickness in ten cells
	Tabled                // the parabolic profile of [Bath], as the event loop has it
)

// Inside is a slab in the furnace.
type Inside struct {
	Charge
	Number                    int     // counted from 0 in the order of charging
	ToDoor                    float64 // from its leading edge to the discharge door, m
	Zone                      int
	InS                       float64 // when it was charged, s
	ReadyS                    float64 // since when it could leave, s; -1: not yet
	MeanC, SurfaceC, CentreC  float64
	Enthalpy, ChargedEnthalpy float64 // mean, J/kg
	Scale                     float64 // integral of ScaleConstant, m2
	HottestC                  float64 // highest surface so far
	wall                      *steel.Wall
	mass                      float64
}

// ready says whether it may leave.
func (s *Inside) ready() bool {
	return s.MeanC >= s.TargetC && (s.SpreadK == 0 || s.SurfaceC-s.CentreC <= s.SpreadK)
}

// LossKg returns the steel gone into scale on both broad faces so far, kg.
func (s *Inside) LossKg() float64 { return 2 * SteelLoss(s.Scale) * s.Width * s.Length }

// Discharged is a slab that has left.
type Discharged struct {
	Inside
	OutS        float64
	ResidenceS  float64
	HeldS       float64 // how long it was ready and could not leave: the slower before it, or a stop
	LossKg      float64 // steel gone into scale
	ScaleMelted bool    // its surface passed the most it should
}

// Heat is where the furnace's heat has gone, J. Fuel times efficiency is Steel + Wall + Surplus, to rounding.
type Heat struct {
	Fuel    float64 // net calorific value
	Steel   float64 // into slabs, those still inside included
	Wall    float64
	Surplus float64 // given back by slabs hotter than the gas beyond what the walls took: blown off
}

// CO2Kg returns the carbon dioxide of that fuel as natural gas, kg.
func (h Heat) CO2Kg() float64 { return CO2(h.Fuel) }
