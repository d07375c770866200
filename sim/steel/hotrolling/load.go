package hotrolling

import (
	"fmt"
	"math"

	"millrace/sim/steel"
	"millrace/sim/steel/rolling"
)

// Gap is the geometry and speed of one pass.
type Gap struct {
	Entry, Exit float64 // thickness, m
	Width       float64 // m
	RollRadius  float64 // m
	RollSpeed   float64 // surface speed, m/s
}

// Load is what a pass needs.
type Load struct {
	Force      float64 // N
	Torque     float64 // both rolls, N m
	Power      float64 // at the rolls, W
	Stress     float64 // mean flow stress, Pa
	Strain     float64
	StrainRate float64 // 1/s
	Contact    float64 // m
	FlatRadius float64 // m
	Qp         float64
	Capped     bool // the flattened radius met MaxFlattening: the result is a lower bound
}

// RollPass solves one pass of a grade at a mean temperature, with the roll
// flattened by its own force. It refuses stock thinner than 0.1 mm or thicker
// than 2 m, reductions above [MaxReduction], drafts of a roll radius and more,
// widths above 20 m, roll radii outside 1 cm to 10 m, speeds outside 0.1 mm/s to
// 200 m/s, and stock outside 600 to 1350 C. Below a reduction of 0.1 the models
// are only rough. For other materials and models see package rolling.
func RollPass(g Gap, tempC float64, grade steel.Grade, fm FlowModel, pm PressureModel) (Load, error) {
	if !(g.Exit >= 1e-4 && g.Entry <= 2 && g.Entry-g.Exit >= 1e-9 && g.Entry-g.Exit < g.RollRadius && g.Width > 0 && g.Width <= 20 &&
		g.RollRadius >= 0.01 && g.RollRadius <= 10 && g.RollSpeed >= 1e-4 && g.RollSpeed <= 200) {
		return Load{}, fmt.Errorf("hotrolling: a pass needs 2 m >= entry > exit >= 0.1 mm, a draft below the roll radius, and width, roll radius and speed of a mill, got %+v", g)
	}
	if x := Reduction(g.Entry, g.Exit); x > MaxReduction {
		return Load{}, fmt.Errorf("hotrolling: a reduction of %.3g in one pass is above %g, where the laws of flow stress end", x, MaxReduction)
	}
	if !(tempC >= 600 && tempC <= 1350) {
		return Load{}, fmt.Errorf("hotrolling: stock at %.0f C is outside 600-1350 C", tempC)
	}
	if err := grade.Validate(); err != nil {
		return Load{}, fmt.Errorf("hotrolling: %w", err)
	}
	f := flowAt(fm, grade, tempC)
	return roll(&g, &f, pm), nil
}

// roll iterates force and flattened radius to agreement.
func roll(g *Gap, f *flow, pm PressureModel) Load {
	dh := g.Entry - g.Exit
	e := math.Log(g.Entry / g.Exit)
	s0 := f.atStrain(e)
	hm := 0.5 * (g.Entry + g.Exit)
	r := g.RollRadius
	var l Load
	l.Strain = e
	last, lastGap := 0.0, 0.0
	for range 12 {
		l.Contact = math.Sqrt(r * dh)
		l.StrainRate = g.RollSpeed / l.Contact * e
		l.Stress = f.atRate(s0, l.StrainRate)
		k := PlaneStrain(l.Stress)
		var torque float64
		if pm == Sims {
			sg := SolveSims(r, g.Entry, g.Exit)
			l.Qp = sg.Qp
			torque = 2 * sg.TorquePerWidth(k, g.RollRadius, r)
		} else {
			l.Qp = 0.25 * (math.Pi + l.Contact/hm)
			torque = rolling.MeanPressureLever * k * l.Contact * l.Contact * l.Qp * g.RollRadius / r
		}
		fw := k * l.Contact * l.Qp
		l.Force = fw * g.Width
		l.Torque = torque * g.Width
		l.FlatRadius = r
		next := g.RollRadius * (1 + SteelRollFlattening*fw/dh)
		l.Capped = next > MaxFlattening*g.RollRadius
		if l.Capped {
			next = MaxFlattening * g.RollRadius
		}
		gap := next - r
		if math.Abs(gap) < 2e-5*r {
			break
		}
		// Secant after the first step: the map is nearly straight.
		step := gap
		if slope := (gap - lastGap) / (r - last); last > 0 && slope < -0.1 {
			step = -gap / slope
		}
		last, lastGap = r, gap
		r = min(max(r+step, g.RollRadius), MaxFlattening*g.RollRadius)
	}
	l.Power = l.Torque * g.RollSpeed / g.RollRadius
	return l
}
