package hotrolling

import (
	"fmt"
	"math"

	"millrace/sim/steel"
)

// MinThickness is the thinnest stock, m, that is asked for, and the least draft
// of a mill.
const MinThickness = 2e-4

// MinRollC is the coldest stock, C, that a roughing schedule rolls anywhere.
const MinRollC = 700.0

// MaxPasses is the most passes a roughing schedule is tried with.
const MaxPasses = 15

// RoughingMill is a reversing rougher with its drive and descalers.
type RoughingMill struct {
	RollRadius float64 // m
	MaxForce   float64 // N
	MaxTorque  float64 // both rolls together, up to base speed, N m
	MaxPower   float64 // of the drive, W: above base speed the drive gives power, not torque
	Efficiency float64 // roll power over drive power, 0-1

	BaseSpeed   float64 // roll surface, m/s
	MaxSpeed    float64
	ThreadSpeed float64 // at which stock is bitten and let go
	Accel       float64 // m/s2
	Decel       float64 // m/s2

	ReversalTime float64 // s, with screw-down
	Friction     float64 // at the bite
	MinPasses    int     // 0 = no least number
	MaxPasses    int     // 0 = MaxPasses

	Approach       float64 // s from discharge to the first bite
	Primary        Sprays  // before the first pass
	PrimarySpeed   float64 // m/s through the primary headers
	Secondary      Sprays  // on forward passes, the first not counted
	SecondaryUntil int     // last pass that is sprayed; 0 = none

	Thermal  Thermal
	Flow     FlowModel
	Pressure PressureModel
}

// Slab is what comes from the furnace.
type Slab struct {
	Width, Thickness, Length float64 // m
	TempC                    float64 // mean over the section, at discharge
	Grade                    steel.Grade
}

// Pass is one pass of a roughing schedule.
type Pass struct {
	Entry, Exit float64 // m
	Length      float64 // after the pass, m
	Load                // at the greatest speed
	Speed       float64 // greatest roll surface speed, m/s
	Time        float64 // bite to exit, s
	EntryC      float64 // mid-length, as it is bitten
	ExitC       float64 // mid-length, as it leaves
	Binds       string  // the limit the draft is nearest
	Use         float64 // of that limit, 0-1
}

// RoughResult is a schedule that fits.
type RoughResult struct {
	Passes              []Pass
	Time                float64 // first bite to last exit, s
	Width               float64 // m
	Thickness           float64 // m
	Length              float64 // of the bar, m
	HeadC, TailC, MeanC float64 // when the tail leaves the last pass
	MidC                float64 // mid-length, at the same instant
	MidHeat             Heat    // of mid-length, from discharge to MidC
	Energy              float64 // drive, J
	Binds               string  // limit nearest over all passes
	Use                 float64
}

// Bar is the result as the finishing train takes it.
func (r RoughResult) Bar(g steel.Grade) Bar {
	return Bar{Width: r.Width, Thickness: r.Thickness, Length: r.Length, HeadC: r.HeadC, TailC: r.TailC, Grade: g}
}

// DriveTorque is the torque, N m, both rolls together, that the motor gives at
// a roll surface speed (m/s): all of it up to base speed, by a weakened field
// what the power leaves above it, none beyond the greatest speed.
func (m *RoughingMill) DriveTorque(speed float64) float64 {
	return driveTorque(m.MaxTorque, m.MaxPower*m.Efficiency, m.RollRadius, m.MaxSpeed, speed)
}

func driveTorque(torque, power, radius, most, speed float64) float64 {
	switch {
	case !(speed >= 0 && speed <= most):
		return 0
	case speed*torque > power*radius:
		return power * radius / speed
	}
	return torque
}

// Validate refuses a mill that is incomplete or not a number.
func (m *RoughingMill) Validate() error {
	for _, v := range [...]struct {
		name string
		v    float64
	}{
		{"roll radius", m.RollRadius}, {"greatest force", m.MaxForce}, {"greatest torque", m.MaxTorque}, {"greatest power", m.MaxPower},
		{"efficiency", m.Efficiency}, {"base speed", m.BaseSpeed}, {"greatest speed", m.MaxSpeed}, {"threading speed", m.ThreadSpeed},
		{"acceleration", m.Accel}, {"deceleration", m.Decel}, {"friction", m.Friction},
	} {
		if !(v.v > 0) || math.IsInf(v.v, 0) {
			return fmt.Errorf("roughing mill: %s must be above zero, got %g", v.name, v.v)
		}
	}
	if m.Efficiency > 1 {
		return fmt.Errorf("roughing mill: efficiency %g is above one", m.Efficiency)
	}
	if m.ThreadSpeed > m.MaxSpeed || m.BaseSpeed > m.MaxSpeed {
		return fmt.Errorf("roughing mill: threading and base speed must not exceed the greatest speed %g m/s", m.MaxSpeed)
	}
	if !(m.ReversalTime >= 0 && m.Approach >= 0) {
		return fmt.Errorf("roughing mill: times must not be negative")
	}
	if m.Primary.Pairs > 0 && !(m.PrimarySpeed > 0) {
		return fmt.Errorf("roughing mill: primary descaling needs a speed above zero")
	}
	if m.MinPasses < 0 || m.MaxPasses < 0 || m.MaxPasses > MaxPasses || m.MaxPasses > 0 && m.MinPasses > m.MaxPasses {
		return fmt.Errorf("roughing mill: passes %d to %d, allowed 0 to %d", m.MinPasses, m.MaxPasses, MaxPasses)
	}
	if err := m.Primary.validate(); err != nil {
		return fmt.Errorf("roughing mill: primary descaling: %w", err)
	}
	if err := m.Secondary.validate(); err != nil {
		return fmt.Errorf("roughing mill: secondary descaling: %w", err)
	}
	if err := m.Thermal.validate(); err != nil {
		return fmt.Errorf("roughing mill: %w", err)
	}
	return nil
}

func (s *Slab) validate() error {
	if !within(s.Width, 0.1, 10) || !within(s.Thickness, 0.01, 2) || !within(s.Length, 0.1, 200) {
		return fmt.Errorf("slab: %g m wide, %g m thick and %g m long is outside 0.1-10, 0.01-2 and 0.1-200 m", s.Width, s.Thickness, s.Length)
	}
	if !(s.TempC >= 700 && s.TempC <= 1350) {
		return fmt.Errorf("slab: %g C is outside 700-1350 C", s.TempC)
	}
	if err := s.Grade.Validate(); err != nil {
		return fmt.Errorf("slab: %w", err)
	}
	return nil
}

// Rough finds the pass schedule that brings the slab to the exit thickness in
// the least time.
//
// For each odd number of passes the drafts are those that use every pass's
// nearest limit (bite, force, torque at base speed) to one and the same
// fraction; passes are added while that shortens the whole. Passes run as fast
// as drive and force allow. Times take stock speed as roll speed (slip, 2 to
// 10 %, is left out). The error is a *LimitError where no schedule fits.
func Rough(m RoughingMill, s Slab, exitThickness float64) (RoughResult, error) {
	if err := m.Validate(); err != nil {
		return RoughResult{}, err
	}
	if err := s.validate(); err != nil {
		return RoughResult{}, err
	}
	if !(exitThickness >= MinThickness && exitThickness <= s.Thickness-MinThickness) {
		return RoughResult{}, fmt.Errorf("roughing: exit thickness %g m must lie between %g m and less than the slab's %g m", exitThickness, MinThickness, s.Thickness)
	}
	r := rougher{m: &m, s: &s, exit: exitThickness}
	most := m.MaxPasses
	if most == 0 {
		most = MaxPasses
	}
	var best, last schedule
	cold := math.Inf(-1)
	for n := max(1, m.MinPasses|1); n <= most; n += 2 {
		if !(r.march(&last, n, roughMargin, false) <= exitThickness) {
			continue
		}
		var sch schedule
		r.solve(&sch, n)
		if c := sch.coldest(); !(c >= MinRollC) {
			cold = max(cold, c)
			continue
		}
		if best.n > 0 && sch.time >= best.time {
			break
		}
		best = sch
	}
	switch {
	case best.n == 0 && !math.IsInf(cold, 0):
		return RoughResult{}, &LimitError{Limit: LimitColdBar, Value: cold, Allowed: MinRollC, Suggest: "a hotter or shorter slab, or a thicker bar"}
	case best.n == 0:
		return RoughResult{}, r.refuse(most)
	}
	return r.result(&best), nil
}

// roughMargin is the greatest fraction of a limit a schedule is set up with: the
// rest covers what the search knows only nearly (waits, speed).
const roughMargin = 0.98

// rougher is one search.
type rougher struct {
	m    *RoughingMill
	s    *Slab
	exit float64
}

// schedule is one trial.
type schedule struct {
	n       int
	pass    [MaxPasses]Pass
	h, time float64
	lead    float64 // temperature of the end that leaves last-but-one, C
	mid     float64
	trail   float64
	energy  float64
	heat    Heat // of mid-length, on the final march
}

// coldest is the coldest stock of a final march, C.
func (sch *schedule) coldest() float64 {
	c := min(sch.lead, sch.mid, sch.trail)
	for i := range sch.n {
		if p := &sch.pass[i]; p.Exit > 0 {
			c = min(c, p.EntryC)
		}
	}
	return c
}

// solve finds the fraction of the limits at which n passes end at the exit
// thickness; the caller has seen that the whole limits suffice. The end of the
// bracket that is kept rolls a little too thin, so that the last pass, set to
// the exit thickness, stays inside.
func (r *rougher) solve(sch *schedule, n int) {
	want := math.Log(r.exit)
	lo, hi := 0.0, roughMargin
	flo, fhi := math.Log(r.s.Thickness)-want, math.Log(r.march(sch, n, hi, false))-want
	side := 0
	for range 30 {
		if fhi > -1e-3 {
			break
		}
		x := lo + (hi-lo)*flo/(flo-fhi)
		f := math.Log(r.march(sch, n, x, false)) - want
		if f > 0 {
			lo, flo = x, f
			if side == 1 {
				fhi /= 2
				if fhi > -1e-3 { // the halving must not end the search
					fhi = -1.0001e-3
				}
			}
			side = 1
		} else {
			hi, fhi = x, f
			if side == -1 {
				flo /= 2
			}
			side = -1
		}
		if hi-lo < 1e-4 {
			break
		}
	}
	r.march(sch, n, hi, true)
}

// march rolls n passes at the given fraction of the limits and returns the
// thickness reached. The final march sets the last pass to the exit thickness
// and follows both ends.
func (r *rougher) march(sch *schedule, n int, fraction float64, final bool) float64 {
	m, s := r.m, r.s
	th := &m.Thermal
	*sch = schedule{n: n}
	var heat *Heat
	if final {
		heat = &sch.heat
	}
	h, length := s.Thickness, s.Length
	dry := radiate(s.TempC, th.Emissivity, m.Approach, h)
	heat.radiated(s.TempC, dry)
	t := th.spray(&m.Primary, dry, m.PrimarySpeed, h)
	heat.watered(dry, t)
	lead, mid, trail := t, t, t
	g := Gap{Width: s.Width, RollRadius: m.RollRadius}
	dh, half := 0.0, 2.0
	for i := range n {
		p := &sch.pass[i]
		if i > 0 && i%2 == 0 && i+1 <= m.SecondaryUntil {
			lead = th.spray(&m.Secondary, lead, m.ThreadSpeed, h)
			wet := th.spray(&m.Secondary, mid, m.ThreadSpeed, h)
			heat.watered(mid, wet)
			mid = wet
			trail = th.spray(&m.Secondary, trail, m.ThreadSpeed, h)
		}
		// The pass before tells how long mid-length will wait for the bite; the
		// bar is longer now.
		f := flowAt(m.Flow, s.Grade, radiate(mid, th.Emissivity, 1.5*half, h))
		g.Entry = h
		dh = r.draft(&g, &f, fraction, dh)
		if final && i == n-1 {
			dh = h - r.exit
		}
		g.Exit = h - dh
		r.drive(p, &g, &f, length*h/g.Exit)
		length *= h / g.Exit

		half = 0.5 * p.Time
		p.EntryC = radiate(mid, th.Emissivity, half, h)
		if c := min(p.EntryC, lead, trail); final && !(c >= MinRollC) { // nothing beyond has a meaning
			if math.IsNaN(c) {
				c = coldestLaw
			}
			sch.lead, sch.mid, sch.trail = c, c, c
			return h
		}
		g.RollSpeed = p.Speed
		work, chill := th.passHeat(p.EntryC, &g, &p.Load)
		gain := work - chill
		p.ExitC = warmed(p.EntryC, gain)
		wait := 0.0
		if i < n-1 {
			wait = m.ReversalTime
		}
		heat.radiated(mid, p.EntryC)
		mid = radiate(p.ExitC, th.Emissivity, half+wait, g.Exit)
		if final {
			heat.passed(work, chill)
			heat.radiated(p.ExitC, mid)
			l := radiate(warmed(lead, gain), th.Emissivity, p.Time+wait, g.Exit)
			tr := radiate(warmed(radiate(trail, th.Emissivity, p.Time, h), gain), th.Emissivity, wait, g.Exit)
			lead, trail = tr, l // the end that left last is bitten first
			p.Entry, p.Exit, p.Length = h, g.Exit, length
			sch.energy += p.Power / m.Efficiency / p.Speed * length
		}
		h = g.Exit
		sch.time += p.Time + wait
	}
	// The last pass swapped the ends although nothing follows it.
	sch.lead, sch.mid, sch.trail = trail, mid, lead
	sch.h = h
	return h
}

// use is the greatest fraction of a limit the pass takes at base speed, and
// its name.
func (r *rougher) use(g *Gap, f *flow) (float64, string) {
	m := r.m
	g.RollSpeed = m.BaseSpeed
	l := roll(g, f, m.Pressure)
	dh := g.Entry - g.Exit
	u, name := dh/MaxDraft(m.Friction, m.RollRadius), LimitBite
	if x := l.Force / m.MaxForce; x > u {
		u, name = x, LimitForce
	}
	if x := l.Torque / m.MaxTorque; x > u {
		u, name = x, LimitTorque
	}
	// A drive too weak for its torque at base speed is slowed, at most to threading speed.
	v := min(m.ThreadSpeed, m.BaseSpeed)
	if x := l.Torque * v / m.RollRadius / m.Efficiency / m.MaxPower; x > u {
		u, name = x, LimitPower
	}
	return u, name
}

// draft is the draft that takes the given fraction of the nearest limit,
// found by the secant rule on logarithms; guess 0 = none.
func (r *rougher) draft(g *Gap, f *flow, fraction, guess float64) float64 {
	m := r.m
	most := MaxReduction * g.Entry
	x := min(fraction*MaxDraft(m.Friction, m.RollRadius), most)
	if guess > 0 {
		x = min(guess, x)
	}
	slope, lastU, lastX := 0.8, 0.0, 0.0
	for range 8 {
		g.Exit = g.Entry - x
		u, _ := r.use(g, f)
		if math.Abs(u-fraction) < 2e-4*fraction {
			return x
		}
		if lastX > 0 && x != lastX {
			if sl := math.Log(u/lastU) / math.Log(x/lastX); sl > 0.2 && sl < 2 {
				slope = sl
			}
		}
		lastU, lastX = u, x
		next := min(x*math.Exp(math.Log(fraction/u)/slope), most)
		if next == x {
			return x
		}
		x = next
	}
	return x
}

// drive sets the pass's speed, time and load at that speed.
func (r *rougher) drive(p *Pass, g *Gap, f *flow, length float64) {
	m := r.m
	g.RollSpeed = m.BaseSpeed
	l := roll(g, f, m.Pressure)
	v := m.MaxSpeed
	// Force and torque rise with speed to the power m of the flow-stress law.
	// The margin covers the flattening of the roll.
	const margin = 0.995
	if x := margin * m.MaxPower * m.Efficiency * m.RollRadius / (l.Torque * m.BaseSpeed); x < math.Pow(v/m.BaseSpeed, 1+f.m) {
		v = m.BaseSpeed * math.Pow(x, 1/(1+f.m))
	}
	if x := m.MaxForce / l.Force; x > 1 && x < math.Pow(v/m.BaseSpeed, f.m) {
		v = max(m.BaseSpeed, margin*m.BaseSpeed*math.Pow(x, 1/f.m))
	}
	run := Trapezoid(length, m.ThreadSpeed, m.ThreadSpeed, v, m.Accel, m.Decel)
	p.Speed, p.Time = run.Top, run.Time()
	g.RollSpeed = run.Top
	p.Load = roll(g, f, m.Pressure)
}

func (r *rougher) result(sch *schedule) RoughResult {
	m := r.m
	res := RoughResult{
		Passes: append([]Pass(nil), sch.pass[:sch.n]...), Time: sch.time, Width: r.s.Width, Thickness: r.exit,
		HeadC: sch.lead, TailC: sch.trail, MeanC: (sch.lead + 4*sch.mid + sch.trail) / 6, Energy: sch.energy,
		MidC: sch.mid, MidHeat: sch.heat,
	}
	for i := range res.Passes {
		p := &res.Passes[i]
		p.Use, p.Binds = (p.Entry-p.Exit)/MaxDraft(m.Friction, m.RollRadius), LimitBite
		if x := p.Force / m.MaxForce; x > p.Use {
			p.Use, p.Binds = x, LimitForce
		}
		f := flowAt(m.Flow, r.s.Grade, p.EntryC)
		g := Gap{Entry: p.Entry, Exit: p.Exit, Width: r.s.Width, RollRadius: m.RollRadius}
		if x, name := r.use(&g, &f); x > p.Use {
			p.Use, p.Binds = x, name
		}
		if p.Use > res.Use {
			res.Use, res.Binds = p.Use, p.Binds
		}
		res.Length = p.Length
	}
	return res
}

// refuse says what the stock would need: the multiple of every limit at which
// the greatest number of passes would do, and the thinnest bar that fits.
func (r *rougher) refuse(most int) error {
	n := most
	if n%2 == 0 {
		n--
	}
	if n < 1 {
		n = 1
	}
	var sch schedule
	thinnest, passes := math.Inf(1), n
	for k := max(1, r.m.MinPasses|1); k <= n; k += 2 {
		if h := r.march(&sch, k, roughMargin, false); h < thinnest {
			thinnest, passes = h, k
		}
	}
	e := &LimitError{Limit: LimitReduction, Value: Reduction(r.s.Thickness, r.exit), Allowed: Reduction(r.s.Thickness, thinnest),
		Suggest: fmt.Sprintf("the thinnest bar from this slab is %.1f mm in %d passes", thinnest*1e3, passes)}
	thick := rougher{m: r.m, s: r.s, exit: math.Ceil(thinnest*1e4) / 1e4}
	if thick.exit <= r.s.Thickness-MinThickness && thick.fits(n) {
		e.Nearest.Thickness = thick.exit
	}
	e.Nearest.TempC, _ = r.warmEnough(n)
	e.Nearest.Width = out(r.s.Width, 0.93, 7, 3, 0.01, func(w float64) bool {
		s := *r.s
		s.Width = w
		narrow := rougher{m: r.m, s: &s, exit: r.exit}
		return narrow.fits(n)
	})
	defer func() { e.also(e.Nearest.String()) }()
	lo, hi := roughMargin, 8.0
	if !(r.march(&sch, passes, hi, false) <= r.exit) {
		return e
	}
	for hi-lo > 1e-3*hi {
		x := 0.5 * (lo + hi)
		if r.march(&sch, passes, x, false) <= r.exit {
			hi = x
		} else {
			lo = x
		}
	}
	r.march(&sch, passes, hi, true)
	// The pass with the greatest use is the one to name.
	worst := 0.0
	for i, p := range sch.pass[:passes] {
		f := flowAt(r.m.Flow, r.s.Grade, p.EntryC)
		g := Gap{Entry: p.Entry, Exit: p.Exit, Width: r.s.Width, RollRadius: r.m.RollRadius}
		u, name := r.use(&g, &f)
		if u > worst {
			worst = u
			e.Limit, e.Pass = name, i+1
			switch name {
			case LimitBite:
				e.Allowed = MaxDraft(r.m.Friction, r.m.RollRadius)
			case LimitForce:
				e.Allowed = r.m.MaxForce
			case LimitTorque:
				e.Allowed = r.m.MaxTorque
			case LimitPower:
				e.Allowed = r.m.MaxPower
			}
		}
	}
	e.Value = max(worst, hi) * e.Allowed
	e.Allowed *= roughMargin
	return e
}

// fits says whether some number of passes up to n reaches the exit thickness.
func (r *rougher) fits(n int) bool {
	var sch schedule
	for k := max(1, r.m.MinPasses|1); k <= n; k += 2 {
		if r.march(&sch, k, roughMargin, false) <= r.exit {
			if r.solve(&sch, k); sch.coldest() >= MinRollC {
				return true
			}
		}
	}
	return false
}

// warmEnough is the discharge temperature at which the schedule would fit,
// if there is one up to 1300 C.
func (r *rougher) warmEnough(n int) (float64, bool) {
	s := *r.s
	hot := rougher{m: r.m, s: &s, exit: r.exit}
	for s.TempC = math.Ceil(s.TempC/10)*10 + 10; s.TempC <= 1300; s.TempC += 10 {
		if hot.fits(n) {
			return s.TempC, true
		}
	}
	return 0, false
}
