package steel_test

import (
	"fmt"

	"millrace/sim/steel"
)

func ExampleLiquidus() {
	g, _ := steel.GradeNamed("dunnock")
	fmt.Printf("%s (%s): %.0f to %.0f C, ferrite below %.0f C\n", g.Name, g.Use, steel.Liquidus(g.Comp), steel.Solidus(g.Comp), steel.FerriteStart(g.Comp, 0.003))
	// Output: dunnock (commercial strip): 1529 to 1505 C, ferrite below 866 C
}

// Half a slab of 228.6 mm in gas at 1250 C for an hour, and the one-number model beside it.
func ExampleWall() {
	around := steel.Surroundings{GasC: 1250, Emissivity: 0.55}
	w, err := steel.NewWall(steel.Carbon{}, 0.1143, 10, 20)
	if err != nil {
		fmt.Println(err)
		return
	}
	heat, err := w.Advance(around, 3600)
	if err != nil {
		fmt.Println(err)
		return
	}
	p := steel.Plate{HalfThickness: 0.1143, Around: around}
	s := p.State(w.MeanEnthalpy())
	fmt.Printf("%.0f MJ/m2: mean %.0f, surface %.0f, centre %.0f C; parabola: surface %.0f, centre %.0f C\n", heat/1e6, w.MeanC(), w.SurfaceC(), w.CentreC(), s.SurfaceC, s.CentreC)
	// Output: 492 MJ/m2: mean 784, surface 956, centre 726 C; parabola: surface 926, centre 714 C
}
