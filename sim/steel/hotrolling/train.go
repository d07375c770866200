package hotrolling

// point is a cross-section of the bar on its way through the train.
type point struct {
	entryC               float64 // before descaling
	exitC                float64
	speed                float64 // strip speed at the last stand, m/s
	sprays               float64 // 0-1
	force, torque, power [MaxStands]float64
	leaveC               [MaxStands]float64
	reach                float64 // m/s the run-out table can take at exitC; 0 = not asked
	use                  float64 // greatest use of force, torque, power
	useOf                string
	useStand             int
}

// entry is the way from the delay table to the first stand at bar speed v.
func (x *finisher) entry(tempC, v float64) float64 {
	th := &x.tr.Thermal
	t := tempC
	if x.tr.EntryDistance > 0 {
		t = radiate(t, th.Emissivity, x.tr.EntryDistance/v, x.b.Thickness)
		x.heat.radiated(tempC, t)
	}
	wet := th.spray(&x.tr.Descale, t, v, x.b.Thickness)
	x.heat.watered(t, wet)
	return wet
}

// between is the way from one stand to the next at thickness h and speed v,
// with a share of the sprays on.
func (x *finisher) between(tempC, v, h, sprays float64) float64 {
	th := &x.tr.Thermal
	t := radiate(tempC, th.Emissivity, x.tr.StandSpacing/v, h)
	x.heat.radiated(tempC, t)
	if sprays > 0 && x.tr.InterstandH > 0 {
		wet := warmed(t, -2*sprays*x.tr.InterstandH*x.tr.InterstandLen/v*(t-th.WaterC)/(hotMass(t)*h))
		x.heat.watered(t, wet)
		return wet
	}
	return t
}

// through takes a cross-section that arrives at entryC through all stands.
func (x *finisher) through(p *point, entryC, v, sprays float64) {
	tr := x.tr
	q := v * x.t.Thickness
	*p = point{entryC: entryC, speed: v, sprays: sprays}
	t := x.entry(entryC, q/x.h[0])
	for i := range x.n {
		s := &tr.Stands[i]
		f := flowAt(tr.Flow, x.b.Grade, t)
		g := Gap{Entry: x.h[i], Exit: x.h[i+1], Width: x.b.Width, RollRadius: s.RollRadius, RollSpeed: q / x.h[i+1] / (1 + x.slip[i])}
		l := roll(&g, &f, tr.Pressure)
		p.force[i], p.torque[i], p.power[i] = l.Force, l.Torque, l.Power/tr.Efficiency
		work, chill := tr.Thermal.passHeat(t, &g, &l)
		x.heat.passed(work, chill)
		t = warmed(t, work-chill)
		p.leaveC[i] = t
		p.note(l.Force/s.MaxForce, LimitForce, i)
		p.note(p.power[i]/s.MaxPower, LimitPower, i)
		if s.MaxTorque > 0 {
			p.note(l.Torque/s.MaxTorque, LimitTorque, i)
		}
		if i < x.n-1 {
			t = x.between(t, q/x.h[i+1], x.h[i+1], sprays)
		}
	}
	p.exitC = t
}

func (p *point) note(use float64, limit string, stand int) {
	if use > p.use {
		p.use, p.useOf, p.useStand = use, limit, stand+1
	}
}

// controlled takes a cross-section through with just so much spray that it
// leaves at the middle of the finishing window, or as near as can be.
func (x *finisher) controlled(p *point, entryC, v float64) {
	aim := 0.5 * (x.t.FinishTempMinC + x.t.FinishTempMaxC)
	if x.tr.InterstandH == 0 {
		x.through(p, entryC, v, 0)
		return
	}
	// Neighbouring cross-sections mostly want the same: all sprays or none.
	// Start with what the last one had.
	var lo, hi, tlo, thi float64
	hi = 1
	if x.soaked {
		if x.through(p, entryC, v, 1); p.exitC >= aim {
			return
		}
		thi = p.exitC
	}
	x.soaked = false
	if x.through(p, entryC, v, 0); p.exitC <= aim+2 {
		return
	}
	tlo = p.exitC
	if thi == 0 {
		if x.through(p, entryC, v, 1); p.exitC >= aim {
			x.soaked = true
			return
		}
		thi = p.exitC
	}
	for range 6 {
		s := lo + (hi-lo)*(tlo-aim)/(tlo-thi)
		x.through(p, entryC, v, s)
		switch d := p.exitC - aim; {
		case d > 2:
			lo, tlo = s, p.exitC
		case d < -2:
			hi, thi = s, p.exitC
		default:
			return
		}
	}
}

// verdict is how far a cross-section is outside what bounds its speed from
// above; not above zero = inside.
func (x *finisher) verdict(p *point) (over float64, limit string, stand int) {
	over, limit, stand = p.use-1, p.useOf, p.useStand
	for i := range x.n {
		s := &x.tr.Stands[i]
		if o := x.rollSpeed(i, p.speed)/s.MaxSpeed - 1; o > over {
			over, limit, stand = o, LimitSpeed, i+1
		}
	}
	if o := (p.exitC - x.t.FinishTempMaxC) / 100; o > over {
		over, limit, stand = o, LimitTooHot, 0
	}
	if x.tr.RunOut != nil {
		p.reach = x.tr.RunOut.MaxSpeed(x.t.Thickness, p.exitC, x.t.CoilTempC)
		if o := p.speed/p.reach - 1; o > over {
			over, limit, stand = o, LimitRunOut, 0
		}
	}
	return over, limit, stand
}
