package hotrolling_test

import (
	"errors"
	"fmt"

	"millrace/sim/steel"
	"millrace/sim/steel/hotrolling"
)

// A pass of a rougher by the full and by the cheap form.
func ExampleRollPass() {
	g := hotrolling.Gap{Entry: 0.085, Exit: 0.058, Width: 1.25, RollRadius: 0.55, RollSpeed: 3.5}
	s := steel.Grade{Name: "plain", Comp: steel.Composition{C: 0.06}, FlowFactor: 1}
	for _, m := range []hotrolling.PressureModel{hotrolling.Sims, hotrolling.MeanPressure} {
		l, err := hotrolling.RollPass(g, 1100, s, hotrolling.Shida, m)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.1f MN, %.2f MN m, %.1f MW\n", l.Force/1e6, l.Torque/1e6, l.Power/1e6)
	}
	// Output:
	// 18.4 MN, 2.14 MN m, 13.6 MW
	// 19.0 MN, 2.21 MN m, 14.1 MW
}

// A schedule is found, not given; one that breaks a limit says which, by how
// much, and what would fit.
func ExampleRough() {
	s := hotrolling.Slab{Width: 1.5, Thickness: 0.23, Length: 10, TempC: 1235, Grade: steel.Grade{Name: "plain", Comp: steel.Composition{C: 0.12}, FlowFactor: 1}}
	m := rougher()
	r, err := hotrolling.Rough(m, s, 0.036)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d passes, %.0f s, bar of %.1f m at %.0f C\n", len(r.Passes), r.Time, r.Length, r.MeanC)
	m.MaxTorque = 1.1e6
	var l *hotrolling.LimitError
	if _, err = hotrolling.Rough(m, s, 0.036); errors.As(err, &l) {
		fmt.Println(l)
	}
	// Output:
	// 7 passes, 95 s, bar of 63.9 m at 1113 C
	// cannot be rolled: torque in pass 1 is 1.218 MN m, allowed 1.078 MN m; the thinnest bar from this slab is 44.8 mm in 9 passes; would fit: 44.9 mm thick, or 1320 mm wide, or from 1300 C
}
