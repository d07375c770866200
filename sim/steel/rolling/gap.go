package rolling

import "math"

// Gap is one roll gap.
type Gap struct {
	Entry, Exit float64 // thickness, m
	Width       float64 // m
	Radius      float64 // of the unloaded rolls, m
	Friction    float64 // Coulomb's coefficient, 0-1; models of sticking friction ignore it
	Back, Front float64 // tension stress of the strip before and behind, Pa; only BlandFord, Slab and Hill know it
}

// Draft is entry less exit thickness, m.
func (g Gap) Draft() float64 { return g.Entry - g.Exit }

// MeanThickness is half the sum of entry and exit thickness, m.
func (g Gap) MeanThickness() float64 { return 0.5 * (g.Entry + g.Exit) }

// Bites says whether rolls of this friction draw the stock in by themselves.
func (g Gap) Bites() bool { return g.Draft() <= MaxDraft(g.Friction, g.Radius) }

// Validate refuses what is no roll gap: Entry > Exit > 0, a draft below the roll
// radius, Width and Radius above zero, Friction 0 to 1, tensions of 0 to 10 GPa.
func (g Gap) Validate() error {
	switch {
	case !(g.Exit > 1e-6 && g.Entry > g.Exit && g.Entry <= 10 && g.Draft() >= 1e-9):
		return refuse("a pass from %g to %g m, want 10 m >= entry > exit > 1 um", g.Entry, g.Exit)
	case !(g.Radius >= 1e-4 && g.Radius <= 100 && g.Draft() < g.Radius):
		return refuse("rolls of %g m radius for a draft of %g m: the radius must be greater, at most 100 m", g.Radius, g.Draft())
	case !(g.Width > 0 && g.Width <= 100):
		return refuse("a width of %g m is outside 0-100 m", g.Width)
	case !within(g.Friction, 0, 1):
		return refuse("a friction coefficient of %g is outside 0-1", g.Friction)
	case !(within(g.Back, 0, 1e10) && within(g.Front, 0, 1e10)):
		return refuse("tensions of %g and %g Pa", g.Back, g.Front)
	}
	return nil
}

// Rolls is how rolls give way. The zero value is rigid.
type Rolls struct {
	Constant float64 // Hitchcock's, m2/N
	MaxRatio float64 // of flattened to real radius, where the iteration stops; 0 = 3
}

// SteelRolls flatten by Hitchcock's formula up to three times their radius.
func SteelRolls() Rolls { return Rolls{Constant: SteelFlattening, MaxRatio: 3} }

// Result is a solved roll gap.
type Result struct {
	Force    float64 // N
	Torque   float64 // of one roll, N m
	Pressure float64 // mean over the arc, Pa
	Factor   float64 // of the pressure on the yield stress
	Contact  float64 // length of the arc, m
	Flat     float64 // radius of the arc, m
	Lever    float64 // Torque = Lever Force Contact (roll radius)/Flat
	Neutral  float64 // neutral angle, rad; 0 where the model has none
	Slip     float64 // forward slip; 0 where the model has none

	// Capped says that the rolls met their greatest flattening: the force is a
	// lower bound. Skids says that no neutral point lies in the arc.
	Capped, Skids bool
}

// Power is the power of both rolls, W, at a roll surface speed (m/s) of rolls of
// a real radius (m).
func (r Result) Power(speed, radius float64) float64 { return 2 * r.Torque * speed / radius }

// flatten iterates an arc radius and the force it brings to agreement. at solves
// the arc of a radius and returns the force per width.
func (rolls Rolls) flatten(radius, draft float64, at func(flat float64) (float64, error)) (capped bool, err error) {
	if !(rolls.Constant >= 0 && rolls.Constant < 1e-6 && (rolls.MaxRatio == 0 || within(rolls.MaxRatio, 1, 1000))) {
		return false, refuse("rolls with a flattening of %g m2/N up to %g times their radius", rolls.Constant, rolls.MaxRatio)
	}
	if rolls.Constant == 0 {
		_, err := at(radius)
		return false, err
	}
	most := 3 * radius
	if rolls.MaxRatio > 0 {
		most = rolls.MaxRatio * radius
	}
	// Secant between bounds: the map is nearly straight until it is nearly without
	// an end.
	r, last, lastGap, lo, hi := radius, 0.0, 0.0, radius, most
	for range 60 {
		fw, err := at(r)
		if err != nil {
			return false, err
		}
		next := Flattened(radius, fw, draft, rolls.Constant)
		capped = next > most
		gap := min(next, most) - r
		if math.Abs(gap) < 1e-9*r {
			break
		}
		if gap > 0 {
			lo = r
		} else {
			hi = r
		}
		step := gap
		if slope := (gap - lastGap) / (r - last); last > 0 && slope < 0 {
			step = -gap / slope
		}
		last, lastGap = r, gap
		if r += step; !(r > lo && r < hi) {
			r = 0.5 * (lo + hi)
			if capped && lo == last {
				r = most // the force is beyond the bound from here on
			}
		}
	}
	return capped, nil
}
