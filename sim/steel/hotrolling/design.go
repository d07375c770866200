package hotrolling

import "math"

// finisher is one search of a finishing schedule.
type finisher struct {
	tr   *FinishingTrain
	b    *Bar
	t    *Target
	n    int
	h    [MaxStands + 1]float64 // thickness before stand i; h[n] is the order's
	slip [MaxStands]float64
	flat [MaxStands]float64 // flattened radii at design

	reserve float64 // share of force and torque the design may use
	soaked  bool    // the last cross-section needed all sprays

	heat *Heat // where the way of a cross-section is accounted; nil = nowhere
}

// designMargin leaves room between the design's hard limits and the stands'.
const designMargin = 0.97

// design finds the drafts for a mass flow (strip speed v at the last stand)
// and an entry temperature: every stand carries the same multiple of its share
// of its power, unless force, torque, bite or reduction hold it to less.
func (x *finisher) design(tempC, v float64) error {
	q := v * x.t.Thickness
	want := math.Log(x.t.Thickness)
	const most = 64.0
	f := func(lam float64) float64 { return math.Log(x.drafts(tempC, q, lam, 1)) - want }
	lo, hi := 0.0, 0.5
	flo, fhi := 0.0, f(hi)
	for fhi > 0 {
		lo, flo = hi, fhi
		if hi *= 2; hi > most {
			return x.overloaded(tempC, q)
		}
		fhi = f(hi)
	}
	for lo == 0 {
		l := 0.5 * hi
		if fl := f(l); fl > 0 {
			lo, flo = l, fl
		} else if hi, fhi = l, fl; hi < 1e-4 {
			break
		}
	}
	for i := 0; i < 20 && fhi < -2e-3 && hi-lo > 1e-3*hi; i++ {
		// Secant between the ends, kept off them so that both move.
		s := min(max(flo/(flo-fhi), 0.05), 0.95)
		m := lo + (hi-lo)*s
		if fm := f(m); fm > 0 {
			lo, flo = m, fm
		} else {
			hi, fhi = m, fm
		}
	}
	x.drafts(tempC, q, hi, 1)
	x.h[x.n] = x.t.Thickness
	for i := range x.n {
		if r := Reduction(x.h[i], x.h[i+1]); !(r >= LeastReduction) {
			return &LimitError{Limit: LimitLight, Value: r, Allowed: LeastReduction, Pass: i + 1, Suggest: "a thicker bar, or a train with fewer stands"}
		}
		x.slip[i] = SolveSims(x.flat[i], x.h[i], x.h[i+1]).Slip
	}
	return nil
}

// drafts marches through the stands at a multiple lam of their power shares,
// with all other limits scaled by hard, and returns the thickness reached.
func (x *finisher) drafts(tempC, q, lam, hard float64) float64 {
	tr := x.tr
	h := x.b.Thickness
	x.h[0] = h
	t := x.entry(tempC, q/h)
	for i := range x.n {
		f := flowAt(tr.Flow, x.b.Grade, t)
		g := Gap{Entry: h, Width: x.b.Width, RollRadius: tr.Stands[i].RollRadius}
		l := x.draft(i, &g, &f, q, lam, hard)
		x.flat[i] = l.FlatRadius
		h = g.Exit
		x.h[i+1] = h
		t = warmed(t, tr.Thermal.rolled(t, &g, &l))
		if i < x.n-1 {
			t = x.between(t, q/h, h, 0)
		}
	}
	return h
}

// use is the greatest fraction of a limit one stand takes.
func (x *finisher) use(i int, g *Gap, l *Load, lam, hard float64) (u float64, limit string) {
	s := &x.tr.Stands[i]
	share := s.LoadShare
	if share == 0 {
		share = 1
	}
	u, limit = l.Power/(x.tr.Efficiency*s.MaxPower*share*lam), LimitPower
	hard = 1 / (hard * x.reserve)
	if v := l.Force / s.MaxForce * hard; v > u {
		u, limit = v, LimitForce
	}
	if s.MaxTorque > 0 {
		if v := l.Torque / s.MaxTorque * hard; v > u {
			u, limit = v, LimitTorque
		}
	}
	if v := (g.Entry - g.Exit) / MaxDraft(x.tr.Friction, s.RollRadius) * hard; v > u {
		u, limit = v, LimitBite
	}
	return u, limit
}

// draft finds the exit thickness of stand i at which its nearest limit is met.
func (x *finisher) draft(i int, g *Gap, f *flow, q, lam, hard float64) Load {
	most := MaxReduction * g.Entry
	dh := 0.4 * g.Entry
	slope, lastU, lastX := 1.0, 0.0, 0.0
	var l Load
	for k := range 10 {
		g.Exit = g.Entry - dh
		g.RollSpeed = q / g.Exit
		l = roll(g, f, x.tr.Pressure)
		u, _ := x.use(i, g, &l, lam, hard)
		if math.Abs(u-1) < 1e-3 || dh == most && u < 1 || k == 9 {
			break
		}
		if lastX > 0 && dh != lastX {
			if sl := math.Log(u/lastU) / math.Log(dh/lastX); sl > 0.3 && sl < 3 {
				slope = sl
			}
		}
		lastU, lastX = u, dh
		dh = min(dh*math.Exp(-math.Log(u)/slope), most)
	}
	return l
}

// overloaded says which stand cannot do its part whatever the speed.
func (x *finisher) overloaded(tempC, q float64) error {
	const free = 64.0
	thin := x.drafts(tempC, q, free, 1)
	e := &LimitError{Limit: LimitReduction, Value: Reduction(x.b.Thickness, x.t.Thickness), Allowed: Reduction(x.b.Thickness, thin), thinnest: thin}
	lo, hi := 1.0, 16.0
	if !(x.drafts(tempC, q, free, hi) <= x.t.Thickness) {
		return e
	}
	for hi-lo > 1e-3*hi {
		m := 0.5 * (lo + hi)
		if x.drafts(tempC, q, free, m) <= x.t.Thickness {
			hi = m
		} else {
			lo = m
		}
	}
	// At this multiple every held stand is at hi times its limit; name the
	// first that force, torque or bite holds.
	var p point
	v := q / x.t.Thickness
	for i := range x.n {
		x.slip[i] = SolveSims(x.flat[i], x.h[i], x.h[i+1]).Slip
	}
	x.through(&p, tempC, v, 0)
	worst := 0.0
	for i := range x.n {
		s := &x.tr.Stands[i]
		for _, c := range [...]struct {
			name           string
			value, allowed float64
		}{{LimitForce, p.force[i], s.MaxForce}, {LimitTorque, p.torque[i], s.MaxTorque}, {LimitBite, x.h[i] - x.h[i+1], MaxDraft(x.tr.Friction, s.RollRadius)}} {
			if c.allowed > 0 && c.value/c.allowed > worst {
				worst = c.value / c.allowed
				e.Limit, e.Allowed, e.Pass = c.name, c.allowed*x.reserve, i+1
			}
		}
	}
	if worst > 0 {
		e.Value = max(worst/x.reserve, hi) * e.Allowed
	}
	return e
}
