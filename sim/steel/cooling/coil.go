package cooling

import (
	"fmt"
	"math"
	"sort"

	"millrace/sim/steel"
)

// OuterDiameter is the diameter, m, of a coil of strip: length and thickness
// in m on a mandrel of diameter bore (m), fill being the share of steel in the
// winding, 0.97-1. NaN for sizes that are not above zero or a fill outside 0-1.
func OuterDiameter(length, thickness, bore, fill float64) float64 {
	if !(length >= 0 && thickness > 0 && bore >= 0 && fill > 0 && fill <= 1) {
		return math.NaN()
	}
	return math.Sqrt(bore*bore + 4*thickness*length/(math.Pi*fill))
}

// StripLength is the length, m, of a mass (kg) of strip; NaN for sizes that are
// not above zero.
func StripLength(mass, width, thickness float64) float64 {
	if !(mass >= 0 && width > 0 && thickness > 0) {
		return math.NaN()
	}
	return mass / (steel.Density * width * thickness)
}

// CoilMass is the mass, kg, of a coil; NaN for sizes that make none.
func CoilMass(od, bore, width, fill float64) float64 {
	if !(bore >= 0 && od >= bore && width > 0 && fill > 0 && fill <= 1) {
		return math.NaN()
	}
	return steel.Density * fill * width * math.Pi / 4 * (od*od - bore*bore)
}

// Coil is a coil and what it stands in.
type Coil struct {
	Width, OD, ID float64 // m
	RadialK       float64 // conductivity across the wraps, W/mK; 3-12 for hot band
	AmbientC      float64
	ForcedH       float64 // on all faces from fans or water, W/m2K; 0 = still air
}

// Mass is the coil's mass wound solid, kg.
func (c Coil) Mass() float64 { return CoilMass(c.OD, c.ID, c.Width, 1) }

// Validate refuses what is not a coil.
func (c Coil) Validate() error {
	if !(c.Width > 0.1 && c.Width < 5 && c.ID > 0.1 && c.OD > c.ID+0.05 && c.OD < 5) {
		return fmt.Errorf("coil: width %g, bore %g and outer diameter %g m do not make a coil", c.Width, c.ID, c.OD)
	}
	if !(c.RadialK >= 0.5 && c.RadialK <= 60) {
		return fmt.Errorf("coil: conductivity across the wraps %g W/mK is outside 0.5-60", c.RadialK)
	}
	if !(c.AmbientC >= -30 && c.AmbientC <= 60) {
		return fmt.Errorf("coil: ambient at %g C is outside -30 to 60 C", c.AmbientC)
	}
	if !(c.ForcedH >= 0 && c.ForcedH <= 2000) {
		return fmt.Errorf("coil: forced cooling of %g W/m2K is outside 0-2000", c.ForcedH)
	}
	return nil
}

// The faces of a coil in still air (assumption): convection and emissivity of
// the outside with both ends, and of the bore, whose walls see each other.
const (
	outsideH, outsideEmissivity = 5.0, 0.8
	boreH, boreEmissivity       = 2.0, 0.3
)

// films are the surface coefficients, W/m2K, at a surface temperature. Fans
// and sprays replace still-air convection; radiation stays, except that a
// film of water of 100 W/m2K and more hides the surface.
func (c *Coil) outside(surfaceC float64) float64 {
	return c.film(surfaceC, outsideH, outsideEmissivity)
}

func (c *Coil) bore(surfaceC float64) float64 { return c.film(surfaceC, boreH, boreEmissivity) }

func (c *Coil) film(surfaceC, h, emissivity float64) float64 {
	if c.ForcedH >= 100 {
		return c.ForcedH
	}
	if c.ForcedH > 0 {
		h = c.ForcedH
	}
	a, b := surfaceC+steel.ZeroC, c.AmbientC+steel.ZeroC
	return h + emissivity*steel.StefanBoltzmann*(a*a+b*b)*(a+b)
}

// LumpedTime is the time, s, a coil takes from one temperature to another when
// it has no resistance inside. The hottest place of a real coil takes 1.2 to
// 1.6 times as long in still air and several times as long under water.
func LumpedTime(c Coil, startC, toC float64) (float64, error) {
	if err := c.Validate(); err != nil {
		return 0, err
	}
	if !(startC <= 1200 && toC <= startC && toC > c.AmbientC) {
		return 0, fmt.Errorf("coil: no cooling from %g to %g C in %g C", startC, toC, c.AmbientC)
	}
	outer := math.Pi*c.OD*c.Width + math.Pi/2*(c.OD*c.OD-c.ID*c.ID)
	inner := math.Pi * c.ID * c.Width
	mass := c.Mass()
	// Simpson's rule over equal steps of ln(T - Ta): the integrand is smooth
	// there except at the transformation, where steps are small in enthalpy.
	const n = 2000
	ratio := math.Pow((toC-c.AmbientC)/(startC-c.AmbientC), 1.0/n)
	t, x := 0.0, startC-c.AmbientC
	for range n {
		y := x * ratio
		mid := c.AmbientC + 0.5*(x+y)
		dh := steel.Enthalpy(c.AmbientC+x) - steel.Enthalpy(c.AmbientC+y)
		t += mass * dh / ((c.outside(mid)*outer + c.bore(mid)*inner) * (mid - c.AmbientC))
		x = y
	}
	return t, nil
}

// CoilCurve is the temperature of the hottest place of a coil as a function of
// its age since coiling: the place that decides when it may be pickled.
//
// It is the record of a coarse [CoilField] made once; against a fine one the
// time to a temperature is within 2 %. A curve is never written after it is
// made and may be shared.
type CoilCurve struct {
	t       []float64 // C at equal steps of age
	step    float64   // s
	ambient float64
	rate    float64 // 1/s, beyond the record
}

// Grid of a curve's field and how near to ambient its record ends, K.
const (
	curveRadial, curveAxial = 10, 6
	curveEndK               = 8
)

// NewCoilCurve returns the curve of a coil that is startC throughout when it
// is coiled, at most 900 C. It takes some milliseconds: make it at load.
func NewCoilCurve(c Coil, startC float64) (*CoilCurve, error) {
	f, err := NewCoilField(c, startC, curveRadial, curveAxial)
	if err != nil {
		return nil, err
	}
	cc := &CoilCurve{step: f.step, ambient: c.AmbientC}
	cc.t = append(cc.t, startC)
	for f.MaxC() > c.AmbientC+curveEndK {
		f.Step()
		cc.t = append(cc.t, f.MaxC())
	}
	n := len(cc.t)
	if n < 3 {
		return nil, fmt.Errorf("coil: %g C is no hotter than its surroundings at %g C", startC, c.AmbientC)
	}
	back := min(n-1, 50)
	cc.rate = math.Log((cc.t[n-1-back]-c.AmbientC)/(cc.t[n-1]-c.AmbientC)) / (float64(back) * cc.step)
	return cc, nil
}

// Temp is the temperature, C, of the hottest place at an age in s; a negative
// age counts as zero, NaN gives NaN.
func (c *CoilCurve) Temp(age float64) float64 {
	if math.IsNaN(age) {
		return age
	}
	x := max(age, 0) / c.step
	last := len(c.t) - 1
	if x >= float64(last) {
		return c.ambient + (c.t[last]-c.ambient)*math.Exp(-c.rate*(age-float64(last)*c.step))
	}
	i := int(x)
	return c.t[i] + (x-float64(i))*(c.t[i+1]-c.t[i])
}

// TimeTo is the age, s, at which the hottest place is down to a temperature:
// zero if it starts there, infinite at ambient and below, NaN for NaN.
func (c *CoilCurve) TimeTo(tempC float64) float64 {
	if math.IsNaN(tempC) {
		return tempC
	}
	last := len(c.t) - 1
	if !(tempC > c.ambient) {
		return math.Inf(1)
	}
	if tempC <= c.t[last] {
		return float64(last)*c.step + math.Log((c.t[last]-c.ambient)/(tempC-c.ambient))/c.rate
	}
	i := sort.Search(len(c.t), func(i int) bool { return c.t[i] <= tempC })
	if i == 0 {
		return 0
	}
	return c.step * (float64(i) - (tempC-c.t[i])/(c.t[i-1]-c.t[i]))
}
