package cooling

import (
	"math"

	"millrace/sim/steel"
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

// SurfaceDrop is the fall of the surface, K, of a half space of hot steel
// after t seconds under a film of h W/m2K and water at waterC (exact).
func SurfaceDrop(h, t, tempC, waterC float64) float64 {
	b := h * math.Sqrt(austeniteDiffusivity*t) / austeniteK
	return (tempC - waterC) * (1 - scaledErfc(b))
}

// HeatTaken is the heat, J/m2 of one face, taken in that time (exact).
func HeatTaken(h, t, tempC, waterC float64) float64 {
	b := h * math.Sqrt(austeniteDiffusivity*t) / austeniteK
	return (tempC - waterC) * austeniteK * austeniteK / (austeniteDiffusivity * h) * (scaledErfc(b) - 1 + 2*b/math.Sqrt(math.Pi))
}

// HeatTakenCheap is 0.85 h t (T - Tw): within 10 % of HeatTaken for
// 1.4 < h sqrt(t) < 3 kW s^0.5/m2K.
func HeatTakenCheap(h, t, tempC, waterC float64) float64 { return 0.85 * h * t * (tempC - waterC) }

// BulkDrop is the fall of the mean temperature, K, of stock of a thickness (m)
// at tempC when pairs of headers each take heat (J/m2) from both faces.
func BulkDrop(pairs int, heat, thickness, tempC float64) float64 {
	h := steel.Enthalpy(tempC) - 2*float64(pairs)*heat/(steel.HotDensity(tempC)*thickness)
	return tempC - steel.TempFromEnthalpy(h)
}

// scaledErfc is exp(x^2) erfc(x) for 0 <= x < 25.
func scaledErfc(x float64) float64 { return math.Exp(x*x) * math.Erfc(x) }
