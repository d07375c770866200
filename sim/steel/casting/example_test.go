package casting_test

import (
	"fmt"

	"millrace/sim/steel"
	"millrace/sim/steel/casting"
)

// What limits a wide slab of a structural grade.
func ExampleMaxSpeed() {
	g, _ := steel.GradeNamed("martin")
	grade, err := casting.GradeSpeed(g.Comp, 0.230, 1.83, 25)
	if err != nil {
		fmt.Println(err)
		return
	}
	v, by, err := casting.MaxSpeed(casting.Limits{Thickness: 0.230, K: 27, SupportedLength: 30, KMould: 20, MouldLength: 0.8, MinMouldShell: 0.012, Grade: grade})
	fmt.Printf("%.2f m/min by %v, %.0f t/h, breakout margin %.0f %%, %v\n", v*60, by, casting.StrandRate(1.83, 0.230, v)*3.6, 100*casting.BreakoutMargin(20, 0.8, v, 0.012), err)
	// Output: 1.15 m/min by grade, 229 t/h, breakout margin 39 %, <nil>
}

// The strand solved from the meniscus to the cut.
func ExampleSolidify() {
	g, _ := steel.GradeNamed("dunnock")
	s, err := casting.Solidify(casting.UsualMachine(0.230), g.Comp, steel.Liquidus(g.Comp)+25, 1.0/60)
	if err != nil {
		fmt.Println(err)
		return
	}
	cut := s.Points[len(s.Points)-1]
	fmt.Printf("mould exit %.1f mm, solid at %.1f m (K %.1f), cut at a mean of %.0f C\n", s.MouldShell*1e3, s.SolidM, s.SolidK, cut.MeanC)
	// Output: mould exit 16.5 mm, solid at 18.5 m (K 26.8), cut at a mean of 1018 C
}
