package coldrolling

import (
	"errors"
	"fmt"
	"math"
)

// designer is one search for drafts.
type designer struct {
	m   *Mill
	s   *Strip
	law Law
	n   int
	h   [MaxStands + 1]float64 // thicknesses; h[0] is the hot band
}

// designMargin keeps the search inside the stands' hard limits.
const designMargin = 0.999

func (d *designer) pass(i int, h1, h2 float64) Pass {
	st := &d.m.Stands[i]
	return Pass{Entry: h1, Exit: h2, Radius: st.RollRadius, Friction: st.Friction,
		Stress: d.law.PassStress(d.s.EntryThickness, h1, h2), Back: d.m.Tensions[i], Front: d.m.Tensions[i+1]}
}

// work is the energy, J/m3 of strip, that the rolls of a pass put in.
func work(p *Pass, l *Load) float64 {
	return 2 * l.Torque / (p.Radius * (1 + l.Slip) * p.Exit)
}

// hard is the greatest share of a hard limit, the speed not being one.
func (d *designer) hard(i int, p *Pass, l *Load) (use float64, limit string) {
	st := &d.m.Stands[i]
	use, limit = l.Force*d.s.Width/st.MaxForce, LimitForce
	if v := p.Reduction() / st.mostReduction(); v > use {
		use, limit = v, LimitReduction
	}
	if st.MaxTorque > 0 {
		if v := 2 * l.Torque * d.s.Width / st.MaxTorque; v > use {
			use, limit = v, LimitTorque
		}
	}
	return use, limit
}

// draft finds the exit thickness of stand i at which it has its share lam of
// power for each m3/s of strip, or meets a hard limit times scale. A stand is
// given more than its share where its rolls would flatten too much under less:
// light drafts on thin hard strip flatten rolls most.
func (d *designer) draft(i int, h1, lam, scale float64) float64 {
	st := &d.m.Stands[i]
	lo, hi := LeastReduction, designMargin*min(st.mostReduction()*scale, 0.9)
	solve := func(r float64) (Pass, Load) {
		p := d.pass(i, h1, h1*(1-r))
		return p, p.Solve(d.m.Model)
	}
	hard := func(r float64) float64 {
		p, l := solve(r)
		u, _ := d.hard(i, &p, &l)
		return math.Log(u / (designMargin * scale))
	}
	soft := func(r float64) float64 {
		p, l := solve(r)
		return math.Log(max(work(&p, &l)/(lam*st.share()*st.MaxPower), 1e-9))
	}
	r := within(soft, lo, hi)
	if r > lo && hard(r) > 0 || r == lo && hard(lo) >= 0 {
		return h1 * (1 - within(hard, lo, r))
	}
	flat := func(r float64) float64 {
		p, l := solve(r)
		return flatAim - l.FlatRadius/p.Radius
	}
	if flat(r) < 0 {
		for x := r + 0.02; x < hi; x += 0.02 {
			if fx := flat(x); fx >= 0 {
				if hard(x) < 0 {
					r = root(flat, x-0.02, x, flat(x-0.02), fx, 1e-4)
				}
				break
			}
		}
	}
	return h1 * (1 - r)
}

// flatAim is how near to MaxFlattening a design goes.
const flatAim = 2.9

// within is the root of an increasing function, or the end of the range beyond
// which it lies.
func within(f func(float64) float64, lo, hi float64) float64 {
	flo := f(lo)
	if flo >= 0 || hi <= lo {
		return lo
	}
	fhi := f(hi)
	if fhi <= 0 {
		return hi
	}
	return root(f, lo, hi, flo, fhi, 1e-6)
}

// march goes through the stands and returns the thickness reached.
func (d *designer) march(lam, scale float64) float64 {
	d.h[0] = d.s.EntryThickness
	for i := range d.n {
		d.h[i+1] = d.draft(i, d.h[i], lam, scale)
	}
	return d.h[d.n]
}

// design finds the drafts: every stand does the same multiple of its share of
// power, unless force, torque or reduction hold it to less.
func (d *designer) design(explain bool) error {
	if err := d.tight(); err != nil {
		return err
	}
	want := math.Log(d.s.ExitThickness)
	f := func(x float64) float64 { return want - math.Log(d.march(math.Exp(x), 1)) }
	// lam is W/m3/s over W: the inverse of a flow.
	hi := math.Log(1e4)
	fhi := f(hi)
	if fhi < 0 {
		if !explain {
			return errOverloaded
		}
		return d.overloaded()
	}
	lo := math.Log(1e-3)
	flo := f(lo)
	if flo >= 0 {
		return d.light()
	}
	root(f, lo, hi, flo, fhi, 1e-6)
	// The last march may have been on either side: all stands take up the
	// difference, a few parts in a million, in proportion.
	k := math.Log(d.s.EntryThickness/d.s.ExitThickness) / math.Log(d.h[0]/d.h[d.n])
	for i := 1; i < d.n; i++ {
		d.h[i] = d.h[0] * math.Pow(d.h[i]/d.h[0], k)
	}
	d.h[d.n] = d.s.ExitThickness
	return nil
}

// light refuses an order that the least drafts of all stands overshoot.
func (d *designer) light() error {
	r := 1 - math.Pow(d.s.ExitThickness/d.s.EntryThickness, 1/float64(d.n))
	least := 1 - math.Pow(d.h[d.n]/d.h[0], 1/float64(d.n))
	return &LimitError{Limit: LimitLight, Value: r, Allowed: least, Suggest: fmt.Sprintf("leave stands open, or take %.3g mm", d.h[d.n]*1e3)}
}

// errOverloaded is overloaded without its reasons.
var errOverloaded = errors.New("coldrolling: overloaded")

// overloaded tells which limit forbids the order, and by how much.
func (d *designer) overloaded() error {
	fits := d.march(1e4, 1)
	want := math.Log(d.s.ExitThickness)
	f := func(s float64) float64 { return want - math.Log(d.march(1e4, s)) }
	lo, hi := 1.0, 1.0
	flo, fhi := math.Log(d.s.ExitThickness/fits), -1.0
	for hi < 64 && fhi < 0 {
		hi *= 1.3
		fhi = f(hi)
	}
	scale := hi
	if fhi > 0 {
		scale = root(f, lo, hi, flo, fhi, 1e-4)
	}
	d.march(1e4, scale)
	e := &LimitError{Limit: LimitReduction, Suggest: fmt.Sprintf("with every stand at its limit %.3g mm is reached", fits*1e3)}
	worst := 0.0
	for i := range d.n {
		p := d.pass(i, d.h[i], d.h[i+1])
		l := p.Solve(d.m.Model)
		u, limit := d.hard(i, &p, &l)
		// A stand at its reduction is no news while another is at its force.
		if limit != LimitReduction {
			u *= 1.01
		}
		if u > worst {
			worst = u
			e.Limit, e.Stand = limit, i+1
			e.Value, e.Allowed = d.value(i, limit, &p, &l)
			e.Value = max(e.Value/designMargin, e.Allowed*(1+1e-6))
		}
	}
	return e
}

func (d *designer) value(i int, limit string, p *Pass, l *Load) (value, allowed float64) {
	st := &d.m.Stands[i]
	switch limit {
	case LimitForce:
		return l.Force * d.s.Width, st.MaxForce
	case LimitTorque:
		return 2 * l.Torque * d.s.Width, st.MaxTorque
	}
	return p.Reduction(), st.mostReduction()
}

// root finds where f, increasing, crosses zero between lo and hi, by false
// position with the stale end's value halved. It ends on the last point tried.
func root(f func(float64) float64, lo, hi, flo, fhi, tol float64) float64 {
	side := 0
	x := hi
	for range 60 {
		x = (lo*fhi - hi*flo) / (fhi - flo)
		fx := f(x)
		if math.Abs(fx) < tol || hi-lo < 0.1*tol {
			return x
		}
		if fx > 0 {
			hi, fhi = x, fx
			if side == 1 {
				flo /= 2
			}
			side = 1
		} else {
			lo, flo = x, fx
			if side == -1 {
				fhi /= 2
			}
			side = -1
		}
	}
	return x
}
