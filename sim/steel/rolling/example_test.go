package rolling_test

import (
	"fmt"
	"math"

	"millrace/sim/steel/rolling"
)

// Strip 300 mm wide from 25 to 22 mm on rolls of 250 mm radius at 50 a minute;
// K = 275 MPa, n = 0.15 (Groover, Fundamentals of Modern Manufacturing, ex. 18.1).
func ExamplePass_Solve() {
	p := rolling.Pass{
		Gap:   rolling.Gap{Entry: 0.025, Exit: 0.022, Width: 0.3, Radius: 0.25, Friction: 0.12},
		Law:   rolling.PowerLaw{K: 275e6, N: 0.15},
		Speed: 2 * math.Pi * 0.25 * 50 / 60,
		Model: rolling.AverageStress,
	}
	r, err := p.Solve()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("bites: %v\n%.1f MPa, %.0f kN, %.2f kN m a roll, %.0f kW\n", p.Bites(), r.Stress/1e6, r.Force/1e3, r.Torque/1e3, r.Power/1e3)
	// Output:
	// bites: true
	// 175.6 MPa, 1443 kN, 19.76 kN m a roll, 207 kW
}

// A first finishing pass: Shida's steel and Sims's roll gap with rolls that
// flatten.
func ExamplePass_Solve_hot() {
	p := rolling.Pass{
		Gap: rolling.Gap{Entry: 0.030, Exit: 0.017, Width: 1.25, Radius: 0.4},
		Law: rolling.Shida{Carbon: 0.06}, Speed: 1.5, TempC: 1000,
		PlaneStrain: true, Model: rolling.SimsModel, Rolls: rolling.SteelRolls(),
	}
	r, err := p.Solve()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f /s, %.1f MPa, %.2f MN, both rolls %.3f MN m, %.2f MW\n", r.Rate, r.Stress/1e6, r.Force/1e6, 2*r.Torque/1e6, r.Power/1e6)
	// Output: 11.7 /s, 127.8 MPa, 20.76 MN, both rolls 1.389 MN m, 5.21 MW
}

// The second of five cold stands: strip that has hardened in the first, under
// tension on both sides.
func ExamplePass_Solve_cold() {
	p := rolling.Pass{
		Gap: rolling.Gap{Entry: 1.8e-3, Exit: 1.3e-3, Width: 1.2, Radius: 0.25, Friction: 0.06, Back: 130e6, Front: 150e6},
		Law: rolling.Lenard{Y: 150e6, B: 234, N: 0.251}, Speed: 10.3,
		Before:      2 / math.Sqrt(3) * math.Log(2.5/1.8),
		PlaneStrain: true, Model: rolling.BlandFordModel, Rolls: rolling.SteelRolls(),
	}
	r, err := p.Solve()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f MN, flattened %.2f times, slip %.3f\n", r.Force/1e6, r.Flat/p.Radius, r.Slip)
	// Output: 8.34 MN, flattened 1.31 times, slip 0.043
}

// One pass by every model, 1 m wide, 150 MPa in plane strain.
func ExampleSolve() {
	g := rolling.Gap{Entry: 0.030, Exit: 0.017, Width: 1, Radius: 0.4, Friction: 0.3}
	for _, m := range rolling.Models() {
		r, err := rolling.Solve(g, 150e6, m, rolling.Rolls{})
		if err != nil {
			fmt.Println(m, err)
			continue
		}
		fmt.Printf("%-28v %6.2f MN %6.0f kN m a roll\n", m, r.Force/1e6, r.Torque/1e3)
	}
	// Output:
	// average stress                10.82 MN    390 kN m a roll
	// average stress with friction  15.80 MN    570 kN m a roll
	// sliding friction hill         17.75 MN    640 kN m a roll
	// sticking friction hill        19.11 MN    689 kN m a roll
	// mixed friction hill           17.50 MN    631 kN m a roll
	// Sims                          16.52 MN    561 kN m a roll
	// mean-pressure line            16.79 MN    581 kN m a roll
	// Shida-Awazuhara               15.70 MN    566 kN m a roll
	// Ekelund                       15.19 MN    548 kN m a roll
	// Bland-Ford                    15.94 MN    682 kN m a roll
	// Hill                          16.09 MN    603 kN m a roll
	// slab                          16.30 MN    550 kN m a roll
}

// Dieter, Mechanical Metallurgy, ex. 17-2, in inches and ksi: 30 % off a slab of
// 1.5 in on rolls of 36 in, 30 in wide, mu = 0.3, 25 ksi.
func ExampleFrictionHill() {
	l, h := rolling.ContactLength(18, 0.45), (1.5+1.05)/2
	fmt.Printf("sliding  %.0f kips\n", 25*30*l*rolling.FrictionHill(0.3, l, h))
	fmt.Printf("sticking %.0f kips\n", 25*30*l*rolling.StickingHill(l, h))
	fmt.Printf("mixed    %.0f kips\n", 25*30*l*rolling.MixedHill(0.3, l, h))
	// Output:
	// sliding  3040 kips
	// sticking 3326 kips
	// mixed    3036 kips
}

// Thick stock by Ekelund: 228.6 to 195 mm at 1180 C and 2 m/s on steel rolls.
func ExampleSolveEkelund() {
	x := rolling.SolveEkelund(0.06, 0.3, 0, 1180, 0.55, 0.2286, 0.195, 2, 1)
	fmt.Printf("mu %.2f, %.1f MPa, %.2f MN/m\n", x.Friction, x.Pressure/1e6, x.Pressure*rolling.ContactLength(0.55, 0.0336)/1e6)
	// Output: mu 0.46, 43.9 MPa, 5.97 MN/m
}

// Sims's factors alone, for a flattened radius of 0.4 m.
func ExampleSolveSims() {
	s := rolling.SolveSims(0.4, 0.030, 0.017)
	fmt.Printf("Qp %.4f, neutral angle %.5f rad, slip %.4f\n", s.Qp, s.NeutralAngle, s.Slip)
	// Output: Qp 1.5270, neutral angle 0.06678 rad, slip 0.1049
}

func ExampleMaxDraft() {
	fmt.Printf("%.1f mm, and back mu %.2f\n", 1e3*rolling.MaxDraft(0.12, 0.25), rolling.FrictionToBite(0.0036, 0.25))
	// Output: 3.6 mm, and back mu 0.12
}

func ExampleFlattened() {
	fmt.Printf("%.2f mm\n", 1e3*rolling.Flattened(0.4, 20e6, 0.013, rolling.FlatteningConstant(210e9, 0.3)))
	// Output: 413.58 mm
}

func ExampleLeastThickness() {
	fmt.Printf("%.3f mm\n", 1e3*rolling.LeastThickness(0.25, 0.03, 700e6, 0, 210e9))
	// Output: 0.179 mm
}

// Power at the rolls and in their bearings (Ghosh and Mallik, Manufacturing
// Science, ex. 3.3).
func ExampleBearingTorque() {
	g := rolling.Gap{Entry: 6e-3, Exit: 4.8e-3, Width: 0.15, Radius: 0.2, Friction: 0.1}
	r, err := rolling.Solve(g, 750e6, rolling.BlandFordModel, rolling.Rolls{})
	if err != nil {
		fmt.Println(err)
		return
	}
	turns := 0.5 / 0.2 / (2 * math.Pi)
	fmt.Printf("%.1f kW and %.1f kW\n", rolling.BothPower(r.Torque, turns)/1e3, rolling.BothPower(rolling.BearingTorque(r.Force, 0.15, 0.005), turns)/1e3)
	// Output: 77.5 kW and 3.6 kW
}

// Every law at a strain of 0.3, 10 1/s and 1000 C, and its mean from none to it.
func ExampleLaw() {
	for _, l := range []rolling.Law{
		rolling.Constant(200e6),
		rolling.PowerLaw{K: 530e6, N: 0.26},
		rolling.Ludwik{Y: 120e6, K: 300e6, N: 0.4},
		rolling.Swift{K: 530e6, E0: 0.01, N: 0.26},
		rolling.Lenard{Y: 150e6, B: 234, N: 0.251},
		rolling.RatePower{C: 100e6, M: 0.12},
		rolling.Curve{Strain: []float64{0, 0.2, 0.5}, Stresses: []float64{80e6, 250e6, 330e6}},
		rolling.Shida{Carbon: 0.1},
		rolling.Misaka{Carbon: 0.1},
	} {
		s, err := l.Stress(0.3, 10, 1000)
		m, err2 := l.Mean(0, 0.3, 10, 1000)
		if err != nil || err2 != nil {
			fmt.Println(err, err2)
			continue
		}
		fmt.Printf("%-17T %5.1f %5.1f MPa\n", l, s/1e6, m/1e6)
	}
	_, err := rolling.Shida{Carbon: 0.1}.Stress(0.3, 10, 1500)
	fmt.Println(err)
	// Output:
	// rolling.Constant  200.0 200.0 MPa
	// rolling.PowerLaw  387.5 307.6 MPa
	// rolling.Ludwik    305.3 252.4 MPa
	// rolling.Swift     390.9 316.3 MPa
	// rolling.Lenard    437.6 353.1 MPa
	// rolling.RatePower 131.8 131.8 MPa
	// rolling.Curve     276.7 197.8 MPa
	// rolling.Shida     141.0 113.0 MPa
	// rolling.Misaka    115.6 115.6 MPa
	// rolling: 1500 C is outside 600-1350 C
}
