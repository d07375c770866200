package rolling_test

import (
	"fmt"
	"math"
	"testing"

	"millrace/sim/steel/rolling"
)

// The pressures along the arc integrate to the force of the model.
func TestPressureAlongArc(t *testing.T) {
	const r, h1, h2, k, n = 0.4, 0.030, 0.017, 150e6, 100000
	bite := math.Sqrt((h1 - h2) / r)
	sum := 0.0
	for i := range n {
		sum += rolling.SimsPressure(r, h1, h2, bite*(float64(i)+0.5)/n)
	}
	if g := rolling.SolveSims(r, h1, h2); math.Abs(sum/n/g.Qp-1) > 1e-5 {
		t.Errorf("Sims: %g, integrated %g", g.Qp, sum/n)
	}
	a := rolling.Arc{Entry: 2.5e-3, Exit: 1.8e-3, Radius: .25, Flat: .25, Friction: .06, Stress: 550e6, Back: 100e6, Front: 80e6}
	bite = math.Sqrt(0.7e-3 / .25)
	sum = 0
	for i := range n {
		sum += a.Pressure(bite * (float64(i) + 0.5) / n)
	}
	if g := a.BlandFord(); math.Abs(a.Flat*bite*sum/n/g.Force-1) > 1e-5 {
		t.Errorf("Bland and Ford: %g, integrated %g", g.Force, a.Flat*bite*sum/n)
	}
	if p, q := a.Pressure(0), a.Pressure(bite); math.Abs(p-470e6) > 1 || math.Abs(q-450e6) > 1 {
		t.Errorf("ends at %g and %g Pa", p, q)
	}
}

// 45 to 20 mm on rolls of 300 mm radius at mu = 0.15: 6.75 mm a pass (a textbook
// exercise of the kind of Groover's).
func ExampleLeastPasses() {
	n, err := rolling.LeastPasses(0.045, 0.020, 0.15, 0.3)
	fmt.Println(n, err)
	_, err = rolling.LeastPasses(0.045, 0.020, 0, 0.3)
	fmt.Println(err)
	// Output:
	// 4 <nil>
	// rolling: passes from 0.045 to 0.02 m at friction 0 on rolls of 0.3 m
}

// The pressures Bland and Ford, and textbooks after them, tabulate along the arc
// (Ghosh and Mallik, Manufacturing Science, ex. 3.3).
func ExampleArc_Pressure() {
	a := rolling.Arc{Entry: 6e-3, Exit: 4.8e-3, Radius: 0.2, Flat: 0.2, Friction: 0.1, Stress: 750e6}
	g := a.BlandFord()
	for _, x := range []float64{0, g.Neutral, g.Bite} {
		fmt.Printf("%.4f rad %.3f kN/mm2\n", x, a.Pressure(x)/1e9)
	}
	// Output:
	// 0.0000 rad 0.750 kN/mm2
	// 0.0227 rad 0.924 kN/mm2
	// 0.0775 rad 0.750 kN/mm2
}
