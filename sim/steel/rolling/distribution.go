package rolling

import "math"

// SimsPressure is Sims's pressure over plane-strain yield stress at an angle phi
// (rad, 0 at the exit) of an arc of radius r (m) between thicknesses h1 > h2 (m):
// the lesser of the branches behind and before the neutral point. Unchecked.
func SimsPressure(r, h1, h2, phi float64) float64 {
	s := math.Sqrt(r / h2)
	h := h2 + r*phi*phi
	out := math.Pi/4*math.Log(h/h2) + math.Pi/4 + s*math.Atan(s*phi)
	in := math.Pi/4*math.Log(h/h1) + math.Pi/4 + s*math.Atan(s*math.Sqrt((h1-h2)/r)) - s*math.Atan(s*phi)
	return min(out, in)
}

// Pressure is Bland and Ford's pressure, Pa, at an angle phi (rad, 0 at the exit)
// of the arc: with H = 2 s atan(s phi), s = sqrt(R'/h2), the lesser of k (1 - sf/k)
// (h/h2) e^(mu H) behind the neutral point and k (1 - sb/k) (h/h1) e^(mu (H1 - H))
// before it. Unchecked.
func (a *Arc) Pressure(phi float64) float64 {
	s := math.Sqrt(a.Flat / a.Exit)
	h := a.Exit + a.Flat*phi*phi
	all := 2 * s * math.Atan(s*math.Sqrt((a.Entry-a.Exit)/a.Flat))
	x := 2 * s * math.Atan(s*phi)
	out := (a.Stress - a.Front) * h / a.Exit * math.Exp(a.Friction*x)
	in := (a.Stress - a.Back) * h / a.Entry * math.Exp(a.Friction*(all-x))
	return min(out, in)
}

// LeastPasses is the least number of passes of equal draft that bring stock from
// a thickness (m) to another when every draft must be bitten at friction mu by
// rolls of a radius (m).
func LeastPasses(from, to, mu, radius float64) (int, error) {
	most := MaxDraft(mu, radius)
	if !(to > 0 && from >= to && from < 1e3 && most > 0 && mu <= 1 && radius <= 100) {
		return 0, refuse("passes from %g to %g m at friction %g on rolls of %g m", from, to, mu, radius)
	}
	n := math.Ceil((from-to)/most - 1e-9)
	if n > 1e6 {
		return 0, refuse("more than a million passes from %g to %g m", from, to)
	}
	return int(n), nil
}
