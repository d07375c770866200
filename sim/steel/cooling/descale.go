package cooling

import (
	"fmt"
	"math"

	"millrace/sim/steel"
	"millrace/sim/steel/conduction"
)

const waterDensity = 1000.0 // kg/m3

// JetVelocity is the speed, m/s, of water leaving a nozzle at a pressure (Pa).
func JetVelocity(pressure float64) float64 { return math.Sqrt(2 * pressure / waterDensity) }

// JetForce is the momentum force, N, of a jet: flow in m3/s, pressure in Pa.
func JetForce(flow, pressure float64) float64 {
	return flow * math.Sqrt(2*waterDensity*pressure)
}

// ImpactPressure is the mean pressure, Pa, a jet puts on its footprint (m2).
func ImpactPressure(flow, pressure, footprint float64) float64 {
	return JetForce(flow, pressure) / footprint
}

// ContactTime is the time, s, a point of stock at some speed (m/s) spends
// under a footprint of some length (m) along the stock.
func ContactTime(footprint, speed float64) float64 { return footprint / speed }

// hot steel under a jet: austenite, EN 1993-1-2 cl. 3.4.1, density at 1200 C.
const (
	austeniteK           = 27.3                        // W/mK
	austeniteDiffusivity = austeniteK / (7445.0 * 650) // m2/s
)

// austenite is that steel as a semi-infinite solid.
var austenite = conduction.Solid{Conductivity: austeniteK, Diffusivity: austeniteDiffusivity}

// SurfaceDrop is the fall of the surface, K, of a half space of hot steel
// after t seconds under a film of h W/m2K and water at waterC (exact). NaN for
// a film or time below 0 and temperatures that are none.
func SurfaceDrop(h, t, tempC, waterC float64) float64 {
	c, err := austenite.Convection(tempC, waterC, h, 0, t)
	if err != nil {
		return math.NaN()
	}
	return tempC - c
}

// HeatTaken is the heat, J/m2 of one face, taken in that time (exact). NaN as
// [SurfaceDrop].
func HeatTaken(h, t, tempC, waterC float64) float64 {
	q, err := austenite.ConvectionHeat(tempC, waterC, h, t)
	if err != nil {
		return math.NaN()
	}
	return -q
}

// HeatTakenCheap is 0.85 h t (T - Tw): within 10 % of HeatTaken for
// 1.4 < h sqrt(t) < 3 kW s^0.5/m2K.
func HeatTakenCheap(h, t, tempC, waterC float64) float64 { return 0.85 * h * t * (tempC - waterC) }

// BulkDrop is the fall of the mean temperature, K, of stock of a thickness (m)
// at tempC when pairs of headers each take heat (J/m2) from both faces. Each
// pair finds the surface fresh: with [HeatTaken] two pairs half a metre apart at
// 1 m/s come out up to 5 % above conduction ([Descaler.Full]). NaN when the
// stock would leave the range of the properties.
func BulkDrop(pairs int, heat, thickness, tempC float64) float64 {
	h := steel.Enthalpy(tempC) - 2*float64(pairs)*heat/(steel.HotDensity(tempC)*thickness)
	return tempC - steel.TempFromEnthalpy(h)
}

// Descaler is a box of header pairs, as [Descaler.Full] sees it.
type Descaler struct {
	Pairs     int
	H         float64 // under the jets, W/m2K
	Footprint float64 // of a jet along the stock, m
	Spacing   float64 // from pair to pair, m
	WaterC    float64
}

// Pass is stock that has gone through a descaler.
type Pass struct {
	DropK    float64 // of the mean
	SurfaceC float64 // lowest, at the end of a jet
	HeatJ    float64 // J/m2 of one face, all pairs
	Seconds  float64
}

// Full takes a point of stock, of a thickness (m) and even at tempC, through
// the box at a speed (m/s): conduction to the depth the cold goes, jets and the
// recovery between them (radiation is left out). It is the full form of
// [HeatTaken] and [BulkDrop].
//
// It fails for a thickness outside 2 to 600 mm, a speed outside 0.05 to 20 m/s,
// stock outside 700 to 1400 C, or a box that makes no sense.
func (d Descaler) Full(thickness, tempC, speed float64) (Pass, error) {
	switch {
	case d.Pairs < 1 || d.Pairs > 20 || !(d.Footprint > 0 && d.Footprint <= d.Spacing && d.Spacing <= 20) || !(d.H > 0 && d.H <= 1e6) || !(d.WaterC >= 0 && d.WaterC <= 100):
		return Pass{}, fmt.Errorf("descaler: %d pairs, %g W/m2K over %g m every %g m, water at %g C", d.Pairs, d.H, d.Footprint, d.Spacing, d.WaterC)
	case !(thickness >= 2e-3 && thickness <= 0.6) || !(speed >= 0.05 && speed <= 20) || !(tempC >= 700 && tempC <= 1400):
		return Pass{}, fmt.Errorf("descaler: stock %g m thick at %g C and %g m/s", thickness, tempC, speed)
	}
	all := (float64(d.Pairs-1)*d.Spacing + d.Footprint) / speed
	// The cold goes no deeper than six diffusion lengths; cells are a sixth of the length of one jet.
	depth := min(thickness/2, 6*math.Sqrt(austeniteDiffusivity*all))
	jet := d.Footprint / speed
	cells := int(math.Ceil(depth / (math.Sqrt(austeniteDiffusivity*jet) / 6)))
	w, err := steel.NewWall(steel.Carbon{}, depth, min(max(cells, 4), 1000), tempC)
	if err != nil {
		return Pass{}, err
	}
	p := Pass{SurfaceC: tempC, Seconds: all}
	for i := range d.Pairs {
		if i > 0 {
			if _, err := w.Advance(steel.Surroundings{GasC: d.WaterC}, (d.Spacing-d.Footprint)/speed); err != nil {
				return Pass{}, err
			}
		}
		q, err := w.Advance(steel.Surroundings{GasC: d.WaterC, Convection: d.H}, jet)
		if err != nil {
			return Pass{}, err
		}
		p.HeatJ -= q
		p.SurfaceC = min(p.SurfaceC, w.SurfaceC())
	}
	p.DropK = BulkDrop(1, p.HeatJ, thickness, tempC)
	return p, nil
}
