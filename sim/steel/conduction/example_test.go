package conduction_test

import (
	"fmt"

	"millrace/sim/steel/conduction"
)

// A pipe wall insulated outside meets hot oil (Incropera et al., Ex. 5.4).
func ExampleBody() {
	wall := conduction.Body{Shape: conduction.PlaneWall, Solid: conduction.SolidOf(63.9, 7832, 434), Size: 0.040, Film: 500, StartC: -20, FluidC: 60}
	outer, err := wall.Temp(0, 480)
	if err != nil {
		fmt.Println(err)
		return
	}
	heat, _ := wall.Heat(480)
	fmt.Printf("Bi %.3f, Fo %.2f: insulated face %.1f C, %.2f MJ/m2\n", wall.Biot(), wall.Fourier(480), outer, heat/1e6)
	// Output: Bi 0.313, Fo 5.64: insulated face 43.0 C, 8.68 MJ/m2
}

// How long an egg must boil until its middle is at 70 C (Cengel, Ex. 4-3).
func ExampleBody_TimeTo() {
	egg := conduction.Body{Shape: conduction.Sphere, Solid: conduction.Solid{Conductivity: 0.627, Diffusivity: 0.151e-6}, Size: 0.025, Film: 1200, StartC: 5, FluidC: 95}
	s, err := egg.TimeTo(0, 70)
	fmt.Printf("%.1f min %v\n", s/60, err)
	// Output: 14.4 min <nil>
}

// A long shaft cools in air: the one-term constants and the whole series (Cengel, Ex. 4-5).
func ExampleTheta() {
	zeta, c := conduction.OneTerm(conduction.LongCylinder, 0.537)
	fmt.Printf("zeta %.3f, C %.3f, centre %.3f\n", zeta, c, conduction.Theta(conduction.LongCylinder, 0.537, 1.07, 0))
	// Output: zeta 0.971, C 1.122, centre 0.409
}

// A wall that takes in a constant flux: once settled, surface and centre keep q L/2k apart.
func ExampleWallFlux() {
	s := conduction.SolidOf(27.3, 7850, 650)
	surface, _ := conduction.WallFlux(s, 0.1143, 1000, 60e3, 0.1143, 3600)
	centre, _ := conduction.WallFlux(s, 0.1143, 1000, 60e3, 0, 3600)
	fmt.Printf("%.1f K apart\n", surface-centre)
	// Output: 125.6 K apart
}

// How deep a water main must lie so as not to freeze in 60 days of frost (Incropera et al., ch. 5).
func ExampleSolid_FixedSurfaceDepth() {
	soil := conduction.SolidOf(0.52, 2050, 1840)
	d, err := soil.FixedSurfaceDepth(20, -15, 0, 60*86400)
	fmt.Printf("%.2f m %v\n", d, err)
	// Output: 0.68 m <nil>
}

// A hot surface under a water jet for a fiftieth of a second.
func ExampleSolid_Convection() {
	s := conduction.Solid{Conductivity: 27.3, Diffusivity: 5.64e-6}
	surface, _ := s.Convection(1200, 25, 20e3, 0, 0.02)
	heat, _ := s.ConvectionHeat(1200, 25, 20e3, 0.02)
	fmt.Printf("surface falls %.1f K, gives %.1f kJ/m2\n", 1200-surface, -heat/1e3)
	// Output: surface falls 266.4 K, gives 395.4 kJ/m2
}

// A thermocouple bead between gas and hotter walls (Incropera et al., Ex. 5.2).
func ExampleLumped() {
	bead := conduction.Lumped{Film: 400, FluidC: 200, Emissivity: 0.9, WallC: 400}
	bead.Capacity, bead.Area = conduction.SphereBody(7.06e-4, 8500, 400)
	steady, _ := bead.SteadyC()
	s, _ := bead.TimeTo(25, steady-1)
	fmt.Printf("reads %.1f C, within 1 K after %.2f s\n", steady, s)
	// Output: reads 218.7 C, within 1 K after 4.99 s
}

// Two bodies touch: a hot plate and a cooler one of the same steel.
func ExampleContactC() {
	s := conduction.SolidOf(45, 7850, 480)
	c, err := conduction.ContactC(s, 900, s, 100)
	fmt.Printf("%.0f C %v\n", c, err)
	// Output: 500 C <nil>
}

// Soil under a day's swing of 10 K: 0.1 m down.
func ExampleSolid_Periodic() {
	soil := conduction.SolidOf(0.52, 2050, 1840)
	noon, _ := soil.Periodic(15, 10, 86400, 0, 21600)
	below, _ := soil.Periodic(15, 10, 86400, 0.1, 21600)
	fmt.Printf("%.1f C, %.1f C\n", noon, below)
	// Output: 25.0 C, 14.9 C
}

// A short brass cylinder cools in air: cut from a plane wall of its length and a long cylinder of its radius, it has the product of their shares (Cengel, Ex. 4-7, which reads 63 C off the charts).
func ExampleTheta_shortCylinder() {
	brass := conduction.Solid{Conductivity: 110, Diffusivity: 33.9e-6}
	wall := conduction.Body{Shape: conduction.PlaneWall, Solid: brass, Size: 0.06, Film: 60}
	round := conduction.Body{Shape: conduction.LongCylinder, Solid: brass, Size: 0.05, Film: 60}
	centre := conduction.Theta(wall.Shape, wall.Biot(), wall.Fourier(900), 0) * conduction.Theta(round.Shape, round.Biot(), round.Fourier(900), 0)
	fmt.Printf("%.1f C\n", 25+(120-25)*centre)
	// Output: 62.7 C
}

// The heat a long shaft gives off, and the share of all it has (Cengel, Ex. 4-5).
func ExampleBody_Heat() {
	shaft := conduction.Body{Shape: conduction.LongCylinder, Solid: conduction.SolidOf(14.9, 7900, 477), Size: 0.10, Film: 80, StartC: 600, FluidC: 200}
	q, err := shaft.Heat(2700)
	fmt.Printf("%.1f MJ/m, %.0f %% of all, %v\n", -q/1e6, 100*q/shaft.MostHeat(), err)
	// Output: 30.1 MJ/m, 64 % of all, <nil>
}
