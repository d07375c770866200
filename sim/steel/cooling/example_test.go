package cooling_test

import (
	"fmt"

	"millrace/sim/steel/cooling"
)

// A slab alone and one in a pile of five, ten hours after the cut.
func ExampleNewPileCurve() {
	one, err := cooling.NewSlabCurve(0.2286, 900, 25, 0.8, 8)
	if err != nil {
		fmt.Println(err)
		return
	}
	pile, err := cooling.NewPileCurve(5, 0.2286, 900, 25, 0.8, 8)
	fmt.Printf("%.0f C alone, %.0f C in the pile, %v\n", one.Temp(36000), pile.Temp(36000), err)
	// Output: 165 C alone, 686 C in the pile, <nil>
}

// When a coil may be pickled.
func ExampleNewCoilCurve() {
	c, err := cooling.NewCoilCurve(cooling.Coil{Width: 1.25, OD: 1.782, ID: 0.762, RadialK: 6, AmbientC: 25}, 600)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("at 60 C after %.0f h\n", c.TimeTo(60)/3600)
	// Output: at 60 C after 56 h
}

// A box of two pairs over a bar of 30 mm.
func ExampleDescaler_Full() {
	d := cooling.Descaler{Pairs: 2, H: 20e3, Footprint: 0.02, Spacing: 0.5, WaterC: 25}
	p, err := d.Full(0.030, 1080, 1)
	fmt.Printf("mean falls %.1f K, surface down to %.0f C, %v\n", p.DropK, p.SurfaceC, err)
	// Output: mean falls 9.6 K, surface down to 828 C, <nil>
}
