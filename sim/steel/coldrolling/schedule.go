package coldrolling

import (
	"fmt"
	"math"

	"millrace/sim/steel"
)

// Schedule finds the drafts for an order and the greatest speed of the mill
// with them. An order the mill cannot roll gives a *[LimitError]; data that make
// no sense give another error.
//
// It takes about a millisecond: tables by product are made at load.
func (m Mill) Schedule(s Strip) (ScheduleResult, error) {
	if err := m.Validate(); err != nil {
		return ScheduleResult{}, err
	}
	if err := s.Validate(); err != nil {
		return ScheduleResult{}, err
	}
	r, err := m.schedule(s, true)
	if e, ok := err.(*LimitError); ok {
		m.widest(s, e)
		m.thinnest(s, e)
	}
	return r, err
}

// widest completes a refusal for force or torque by the widest strip that is not
// refused, to 2 %.
func (m *Mill) widest(s Strip, e *LimitError) {
	if e.Limit != LimitForce && e.Limit != LimitTorque {
		return
	}
	order := s.Width
	fits := func(w float64) bool {
		s.Width = w
		_, err := m.schedule(s, false)
		return err == nil
	}
	for w := 0.94 * order; w > 0.4*order; w *= 0.94 {
		if !fits(w) {
			continue
		}
		lo, hi := w, w/0.94
		for range 2 {
			if x := (lo + hi) / 2; fits(x) {
				lo = x
			} else {
				hi = x
			}
		}
		if x := math.Floor(lo*100) / 100; x > 0 && fits(x) {
			lo = x
		}
		e.FitsWidth = lo
		e.Suggest += fmt.Sprintf("; %.0f mm wide fits", lo*1e3)
		return
	}
}

func (m *Mill) schedule(s Strip, explain bool) (ScheduleResult, error) {
	d := designer{m: m, s: &s, law: s.law(), n: len(m.Stands)}
	if err := d.design(explain); err != nil {
		return ScheduleResult{}, err
	}
	return d.result()
}

// thinnest completes a refusal by the thinnest exit that is not refused, to
// 2 %.
func (m *Mill) thinnest(s Strip, e *LimitError) {
	switch e.Limit {
	case LimitForce, LimitTorque, LimitReduction, LimitFlattening, LimitSkid:
	default:
		return
	}
	fits := func(h float64) bool {
		s.ExitThickness = h
		_, err := m.schedule(s, false)
		return err == nil
	}
	lo, hi := s.ExitThickness, 0.0
	for h := lo * 1.15; h < s.EntryThickness; h *= 1.15 {
		if fits(h) {
			hi = h
			break
		}
		lo = h
	}
	if hi == 0 {
		e.Suggest += "; no exit thickness fits this mill from such hot band"
		return
	}
	for range 3 {
		if h := (lo + hi) / 2; fits(h) {
			hi = h
		} else {
			lo = h
		}
	}
	e.Fits = hi
	e.Suggest += fmt.Sprintf("; %.3g mm fits", hi*1e3)
}

// result works out loads, refusals and speed for the drafts found.
func (d *designer) result() (ScheduleResult, error) {
	m, n := d.m, d.n
	r := ScheduleResult{Stands: make([]Draft, n)}
	exit := d.s.ExitThickness
	var works [MaxStands]float64
	r.ExitSpeed, r.Limit = math.Inf(1), LimitNothing
	slower := func(v float64, limit string, stand int) {
		if v < r.ExitSpeed {
			r.ExitSpeed, r.Limit, r.LimitStand = v, limit, stand
		}
	}
	for i := range n {
		p := d.pass(i, d.h[i], d.h[i+1])
		if err := d.tension(i, &p); err != nil {
			return ScheduleResult{}, err
		}
	}
	for i := range n {
		st := &m.Stands[i]
		p := d.pass(i, d.h[i], d.h[i+1])
		l := p.Solve(m.Model)
		if err := refuse(i, &p, &l, m.Model); err != nil {
			return ScheduleResult{}, err
		}
		loose := p.WithoutTension().Solve(m.Model)
		w := &r.Stands[i]
		*w = Draft{Entry: p.Entry, Exit: p.Exit, Reduction: p.Reduction(), Stress: p.Stress,
			Force: l.Force * d.s.Width, Torque: 2 * l.Torque * d.s.Width, Slip: l.Slip, Flattening: l.FlatRadius / p.Radius,
			Warming: WorkHeat(p.Stress, p.Entry, p.Exit), LooseForce: loose.Force * d.s.Width}
		w.Overload = w.LooseForce > st.MaxForce
		w.Use, w.Binds = d.hard(i, &p, &l)
		if w.Use > 1.001 {
			v, a := d.value(i, w.Binds, &p, &l)
			return ScheduleResult{}, &LimitError{Limit: w.Binds, Value: v, Allowed: a, Stand: i + 1, Suggest: "even at the least draft"}
		}
		works[i] = work(&p, &l)
		if works[i] > 0 {
			slower(st.MaxPower*m.Efficiency/(works[i]*d.s.Width*exit), LimitPower, i+1)
		}
		slower(st.MaxSpeed*(1+l.Slip)*p.Exit/exit, LimitSpeed, i+1)
	}
	if m.MaxExit > 0 {
		slower(m.MaxExit, LimitExit, 0)
	}
	if m.MaxEntry > 0 {
		slower(m.MaxEntry*d.s.EntryThickness/exit, LimitEntry, 0)
	}
	v := r.ExitSpeed
	if v < m.ThreadSpeed {
		return ScheduleResult{}, &LimitError{Limit: LimitThread, Value: m.ThreadSpeed, Allowed: v, Stand: r.LimitStand,
			Suggest: fmt.Sprintf("%s holds the mill to %.3g m/s: thread more slowly or order thicker strip", r.Limit, v)}
	}
	flow := v * exit * d.s.Width
	r.EntrySpeed = v * exit / d.s.EntryThickness
	r.Rate = steel.Density * flow
	for i := range n {
		w := &r.Stands[i]
		w.Power = works[i] * flow
		w.Speed = v * exit / w.Exit
		w.RollSpeed = w.Speed / (1 + w.Slip)
		if u := w.Power / (m.Efficiency * m.Stands[i].MaxPower); u > w.Use {
			w.Use, w.Binds = u, LimitPower
		}
		// A generator feeds back what is left of its losses.
		if w.Power > 0 {
			r.Power += w.Power / m.Efficiency
		} else {
			r.Power += w.Power * m.Efficiency
		}
	}
	r.Energy = r.Power / r.Rate
	return r, nil
}

// tight refuses a tension that would tear even the finished strip, its strongest
// place.
func (d *designer) tight() error {
	most := MostTension * d.law.Stress(Strain(d.s.EntryThickness, d.s.ExitThickness))
	for i, s := range d.m.Tensions {
		if s > most {
			return &LimitError{Limit: LimitTension, Value: s, Allowed: most, Stand: max(i, 1), Suggest: fmt.Sprintf("pull with at most %.0f MPa", most/1e6)}
		}
	}
	return nil
}

// tension refuses strip that would tear before or behind a stand.
func (d *designer) tension(i int, p *Pass) error {
	for _, x := range [2]struct{ s, h float64 }{{p.Back, p.Entry}, {p.Front, p.Exit}} {
		// Hot band yields before it hardens: its own stress counts at 0.2 %.
		most := MostTension * d.law.Stress(max(Strain(d.s.EntryThickness, x.h), 0.002))
		if x.s > most {
			return &LimitError{Limit: LimitTension, Value: x.s, Allowed: most, Stand: i + 1,
				Suggest: fmt.Sprintf("pull the strip of %.3g mm with at most %.0f MPa", x.h*1e3, most/1e6)}
		}
	}
	return nil
}

// refuse finds what makes a pass no pass.
func refuse(i int, p *Pass, l *Load, m Model) error {
	switch {
	case l.Capped:
		return &LimitError{Limit: LimitFlattening, Value: uncapped(p, m), Allowed: MaxFlattening, Stand: i + 1,
			Suggest: fmt.Sprintf("these rolls hardly get below %.3g mm here; smaller rolls, better oil or more tension help", 1e3*LeastThickness(p.Radius, p.Friction, p.Stress, 0.5*(p.Back+p.Front)))}
	case l.Skids:
		return &LimitError{Limit: LimitSkid, Value: bite(p), Allowed: p.Friction, Stand: i + 1,
			Suggest: fmt.Sprintf("it needs less draft, more friction, or tensions that differ by less than %.0f MPa across the stand", math.Abs(p.Front-p.Back)/1e6)}
	case p.Reduction() < 0.98*LeastReduction:
		return &LimitError{Limit: LimitLight, Value: p.Reduction(), Allowed: LeastReduction, Stand: i + 1,
			Suggest: "leave a stand open"}
	}
	return nil
}

// uncapped is the flattening ratio the force would bring without the cap, or
// 100 where it brings no end.
func uncapped(p *Pass, m Model) float64 {
	r := p.Radius
	for range 200 {
		g := p.Hill(r)
		if m == BlandFord {
			g = p.BlandFord(r)
		}
		next := Flattened(p.Radius, g.Force, p.Entry-p.Exit)
		if next > 100*p.Radius {
			return 100
		}
		if math.Abs(next-r) < 1e-4*r {
			return next / p.Radius
		}
		r = next
	}
	return r / p.Radius
}

// bite is the friction at which a pass would just have a neutral point on the
// unloaded arc.
func bite(p *Pass) float64 {
	lo, hi := p.Friction, 1.0
	for range 40 {
		q := *p
		q.Friction = (lo + hi) / 2
		if q.BlandFord(q.Radius).Skids {
			lo = q.Friction
		} else {
			hi = q.Friction
		}
	}
	return hi
}
