package reheating_test

import (
	"math"
	"testing"

	"millrace/sim/steel"
	"millrace/sim/steel/reheating"
)

// Paidassi's data as quoted by Chen and Yuen, Oxid. Met. 59 (2003) 433 (from memory), evaluated independently; 1 h at constant temperature.
func TestScaleConstant(t *testing.T) {
	for _, c := range [...]struct{ tC, kp, micron float64 }{
		{900, 1.739e-7, 250}, {1000, 6.805e-7, 495}, {1100, 2.183e-6, 887}, {1200, 5.980e-6, 1467}, {1250, 9.418e-6, 1841}, {1300, 1.441e-5, 2278},
	} {
		kp := reheating.ScaleConstant(c.tC)
		near(t, "F15 kp, cm2/s", kp*1e4, c.kp, 1e-3*c.kp)
		near(t, "scale in an hour, um", reheating.ScaleThickness(kp*3600)*1e6, c.micron, 0.6)
	}
	hour := reheating.ScaleConstant(1250) * 3600
	near(t, "F16 scale, mm", reheating.ScaleThickness(hour)*1e3, 1.841, 0.001)
	near(t, "F16 steel, mm", reheating.SteelLoss(hour)/7850*1e3, 1.039, 0.001)
	if !math.IsNaN(reheating.ScaleConstant(-300)) || !math.IsNaN(reheating.ScaleConstant(math.NaN())) {
		t.Error("a constant below absolute zero")
	}
}

// Thermogravimetry, Materials 18 (2025) 2463: 5 K/min to 1000 C, 15 min, 5 K/min down: 401.0 um with 4.3 um spread measured. The law counted above 700 C gives 420.5 um.
func TestScaleAgainstThermogravimetry(t *testing.T) { // F14
	const dt = 0.5
	sum := reheating.ScaleConstant(1000) * 900
	for s := dt / 2; s < 3600; s += dt { // 700 to 1000 C takes an hour, twice
		sum += 2 * dt * reheating.ScaleConstant(700+s*5/60)
	}
	um := reheating.ScaleThickness(sum) * 1e6
	near(t, "scale", um, 420.5, 0.5)
	near(t, "over measurement", um/401.0, 1, 0.06)
}

// Steel lost in the reference furnace, two faces, as a share of the slab; worked by an independent finite-difference program.
func TestYieldLoss(t *testing.T) {
	for _, c := range [...]struct{ startC, hours, loss float64 }{{20, 3, 0.0100}, {500, 2.3, 0.0085}} {
		r, err := reheating.FullSolver(0.2286, c.startC, emissivity, reference.Stays(c.hours*3600), 10, 600)
		if err != nil {
			t.Fatal(err)
		}
		last := r[len(r)-1]
		loss := 2 * reheating.SteelLoss(last.Scale) / (0.2286 * steel.Density)
		near(t, "loss", loss, c.loss, 2e-4)
		if c.startC == 20 {
			near(t, "scale, mm", reheating.ScaleThickness(last.Scale)*1e3, 2.03, 0.03)
		}
		baths, err := reference.Baths(0.2286, emissivity)
		if err != nil {
			t.Fatal(err)
		}
		_, kp := reference.Walk(baths, steel.Enthalpy(c.startC), c.hours*3600)
		near(t, "scale from the baths over conduction", reheating.ScaleThickness(kp)/reheating.ScaleThickness(last.Scale), 1, 0.05)
	}
}
