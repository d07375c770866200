package hotrolling

import (
	"fmt"
	"math"
)

// Finish finds the drafts and speeds of a bar through the finishing train.
//
// Drafts are balanced by the stands' shares of power for the middle of the bar,
// inside force, torque and bite for its cold end. The head is threaded as fast as coiler,
// stands, run-out table and finishing temperature allow; then the mill speeds
// up as long as body and tail stay inside, and slows down for the tail.
// Interstand sprays hold the middle of the finishing window where the strip
// would be hotter. The tail waits on the delay table while the bar is drawn in.
//
// The error is a *LimitError where the bar cannot be rolled. Two of them come
// with a complete result, since force and power would allow the bar: a head or
// tail that leaves too cold (LimitTooCold), and one that enters colder than
// the works' rule (LimitColdBar), unless it is below 600 C, where no law of flow
// stress holds. A refusal takes some milliseconds more than a
// schedule, to find the nearest order that fits.
func Finish(tr FinishingTrain, b Bar, t Target) (FinishResult, error) {
	if err := tr.Validate(); err != nil {
		return FinishResult{}, err
	}
	if err := b.validate(); err != nil {
		return FinishResult{}, err
	}
	if err := t.validate(&b); err != nil {
		return FinishResult{}, err
	}
	r, err := finish(&tr, &b, &t)
	if e, ok := err.(*LimitError); ok {
		e.train = true
		e.Nearest = nearestFinish(&tr, &b, &t, e.Limit)
		e.also(e.Nearest.String())
		if e.Suggest == "" {
			e.also(fmt.Sprintf("every stand at its limit makes %.3g mm of this bar", e.thinnest*1e3))
		}
	}
	return r, err
}

// finish is Finish without looking for what would fit.
func finish(tr *FinishingTrain, b *Bar, t *Target) (FinishResult, error) {
	x := finisher{tr: tr, b: b, t: t, n: len(tr.Stands)}
	length := b.Length * b.Thickness / t.Thickness
	if c := min(x.arrives(0, 0), x.arrives(1, 0)); c < coldestLaw {
		return FinishResult{}, &LimitError{Limit: LimitColdBar, Value: c, Allowed: max(coldestLaw, tr.MinEntryC), Suggest: "a shorter wait"}
	}

	thread, threadLimit := tr.ThreadSpeedMax, LimitThread
	for range 2 {
		design := thread
		// Balanced for the middle of the bar; its cold end is harder by the
		// ratio of flow stresses, and must stay inside force and torque.
		tailTime := length / (1.2 * design)
		mid, cold := x.arrives(0.5, 0.5*tailTime), min(x.arrives(0, 0), x.arrives(1, tailTime))
		a, b := flowAt(tr.Flow, b.Grade, mid), flowAt(tr.Flow, b.Grade, cold)
		x.reserve = min(a.scale/b.scale, 1) * designMargin
		if err := x.design(mid, design); err != nil {
			return FinishResult{}, err
		}
		var err error
		if thread, threadLimit, err = x.threading(); err != nil {
			return FinishResult{}, err
		}
		if thread > 0.7*design { // drafts made for another speed are made again, once
			break
		}
	}
	s := session{thread: thread, length: length}
	topLimit, err := x.running(&s)
	if err != nil {
		return FinishResult{}, err
	}
	return x.finish(&s, threadLimit, topLimit)
}

// arrives is the temperature at the end of the delay table of the point at
// fraction part of the bar, some seconds after the head left the table.
func (x *finisher) arrives(part, seconds float64) float64 {
	t := x.b.HeadC + part*(x.b.TailC-x.b.HeadC)
	th := &x.tr.Thermal
	return radiate(t, th.Emissivity*(1-x.tr.CoverFactor), x.b.Wait+seconds, x.b.Thickness)
}

// threading finds the greatest speed for the head.
func (x *finisher) threading() (float64, string, error) {
	head := x.arrives(0, 0)
	var p point
	over := func(v float64) (float64, string, int) {
		x.controlled(&p, head, v)
		return x.verdict(&p)
	}
	v, limit, bad := fastest(x.tr.ThreadSpeedMax, over)
	if v == 0 {
		over(bad.v)
		return 0, "", x.refuse(&p, bad)
	}
	if limit == "" {
		limit = LimitThread
	}
	return v, limit, nil
}

// session is the motion of one bar.
type session struct {
	thread, length        float64
	threadTime            float64
	run                   Run
	out                   float64 // speed as the tail leaves
	head, peak, top, tail point
}

// move sets the motion for a limit on the running speed, and the
// cross-sections that bound it: the head, the body when the speed is reached, when it is
// given up, and the tail.
func (x *finisher) move(s *session, limit float64) {
	thread := min(s.thread, limit)
	if thread != s.head.speed { // the head is threaded slower for the body's sake
		x.controlled(&s.head, x.arrives(0, 0), thread)
	}
	first := min(x.tr.ThreadDistance, s.length)
	s.threadTime = first / thread
	s.out = min(x.tr.TailOutSpeed, limit)
	rest := s.length - first
	s.run = Run{Top: thread}
	if rest > 0 {
		s.run = Trapezoid(rest, thread, s.out, limit, x.tr.Zoom, x.tr.Decel)
	}
	if s.run.SlowDown == 0 {
		s.out = s.run.Top
	} else {
		s.out = s.run.Top - x.tr.Decel*s.run.SlowDown
	}
	at := s.threadTime + s.run.SpeedUp
	x.controlled(&s.peak, x.arrives((first+s.run.SpeedUpLength)/s.length, at), s.run.Top)
	s.top = s.peak
	if s.run.Steady > 0 {
		x.controlled(&s.top, x.arrives(1-s.run.SlowDownLen/s.length, at+s.run.Steady), s.run.Top)
	}
	x.controlled(&s.tail, x.arrives(1, s.threadTime+s.run.Time()), s.out)
}

// running finds the greatest running speed.
func (x *finisher) running(s *session) (string, error) {
	most := math.Inf(1)
	for i := range x.n {
		most = min(most, x.tr.Stands[i].MaxSpeed*(1+x.slip[i])*x.h[i+1]/x.t.Thickness)
	}
	most *= 1 - 1e-9
	var worst point
	over := func(v float64) (float64, string, int) {
		x.move(s, v)
		over, limit, stand := x.verdict(&s.peak)
		worst = s.peak
		if s.head.speed < s.thread {
			if o, l, st := x.verdict(&s.head); o > over {
				over, limit, stand, worst = o, l, st, s.head
			}
		}
		if o, l, st := x.verdict(&s.top); o > over {
			over, limit, stand, worst = o, l, st, s.top
		}
		if o, l, st := x.verdict(&s.tail); o > over {
			over, limit, stand, worst = o, l, st, s.tail
		}
		return over, limit, stand
	}
	v, limit, bad := fastest(most, over)
	if v == 0 {
		over(bad.v)
		return "", x.refuse(&worst, bad)
	}
	x.move(s, v)
	switch {
	case s.run.Top < 0.999*v:
		limit = LimitZoom
	case limit == "":
		limit = LimitSpeed
	}
	return limit, nil
}

// verdictAt remembers why a speed was refused.
type verdictAt struct {
	limit string
	stand int
	v     float64
}

// fastest is the greatest speed up to most that is not over its limits, within
// 0.2 %, and what holds it there ("" = most itself). It comes down from most in
// steps, since a bar may be too cold to roll slowly as well as too heavy to
// roll fast. Zero = none above 3 % of most; bad tells why the best one failed.
func fastest(most float64, over func(v float64) (float64, string, int)) (v float64, limit string, bad verdictAt) {
	hi := most
	ohi, limit, stand := over(hi)
	if ohi <= 0 {
		return hi, "", bad
	}
	least := ohi
	bad = verdictAt{limit, stand, hi}
	lo, olo := 0.0, 0.0
	for {
		// Power grows a little faster than speed; step by that guess, within bounds.
		next := hi * min(max(1/(1+ohi), 0.6), 0.97)
		if next < 0.03*most {
			return 0, "", bad
		}
		o, l, st := over(next)
		if o <= 0 {
			lo, olo = next, o
			break
		}
		if o < least {
			least, bad = o, verdictAt{l, st, next}
		}
		hi, ohi, limit = next, o, l
	}
	for i := 0; i < 12 && hi-lo > 2e-3*hi && olo < -1e-3; i++ {
		m := lo + (hi-lo)*min(max(olo/(olo-ohi), 0.1), 0.9)
		if o, l, _ := over(m); o > 0 {
			hi, ohi, limit = m, o, l
		} else {
			lo, olo = m, o
		}
	}
	return lo, limit, bad
}

// refuse turns a cross-section that fits at no speed into an error.
func (x *finisher) refuse(p *point, bad verdictAt) error {
	e := &LimitError{Limit: bad.limit, Pass: bad.stand}
	i := max(bad.stand-1, 0)
	st := &x.tr.Stands[i]
	switch bad.limit {
	case LimitForce:
		e.Value, e.Allowed = p.force[i], st.MaxForce
		e.Suggest = "a hotter or thinner bar, or a thicker strip"
	case LimitPower:
		e.Value, e.Allowed = p.power[i], st.MaxPower
		e.Suggest = "a hotter or thinner bar, or a thicker strip"
	case LimitTorque:
		e.Value, e.Allowed = p.torque[i], st.MaxTorque
		e.Suggest = "a hotter or thinner bar, or a thicker strip"
	case LimitTooHot:
		e.Value, e.Allowed = p.exitC, x.t.FinishTempMaxC
		e.Suggest = fmt.Sprintf("let the bar wait until it enters about %.0f C colder", 1.5*(p.exitC-x.t.FinishTempMaxC))
	case LimitRunOut:
		e.Value, e.Allowed = p.speed, p.reach
		e.Suggest = "more banks, or a higher coiling temperature"
	case LimitSpeed:
		e.Value, e.Allowed = x.rollSpeed(i, p.speed), st.MaxSpeed
		e.Suggest = "a thicker strip or a lower speed"
	}
	return e
}

// rollSpeed is the roll surface speed of stand i when strip leaves the last at v.
func (x *finisher) rollSpeed(i int, v float64) float64 {
	return SpeedAt(x.h[i+1], v, x.t.Thickness) / (1 + x.slip[i])
}

// finish fills the result.
func (x *finisher) finish(s *session, threadLimit, topLimit string) (FinishResult, error) {
	thread := s.head.speed
	if thread < s.thread {
		threadLimit = topLimit
	}
	head := &s.head
	r := FinishResult{
		Stands: make([]StandResult, x.n), StripLength: s.length,
		ThreadSpeed: thread, TopSpeed: s.run.Top, TailSpeed: s.out, EntrySpeed: thread * x.t.Thickness / x.h[0],
		ThreadTime: s.threadTime, ZoomTime: s.run.SpeedUp, SteadyTime: s.run.Steady, SlowDownTime: s.run.SlowDown,
		RollTime:   s.threadTime + s.run.Time(),
		HeadEntryC: head.entryC, TailEntryC: s.tail.entryC,
		HeadC: head.exitC, TopC: s.top.exitC, TailC: s.tail.exitC,
		HeadSprays: head.sprays, TailSprays: s.tail.sprays,
		ThreadLimit: threadLimit, TopLimit: topLimit,
	}
	r.Cycle = r.RollTime + x.tr.Gap
	points := [...]*point{head, &s.peak, &s.top, &s.tail}
	for _, p := range points {
		if p.use > r.GreatestUse {
			r.GreatestUse, r.GreatestUseOf, r.GreatestUseStand = p.use, p.useOf, p.useStand
		}
	}
	work := 0.0
	for i := range r.Stands {
		st := &r.Stands[i]
		*st = StandResult{Entry: x.h[i], Exit: x.h[i+1], Reduction: Reduction(x.h[i], x.h[i+1]), ForwardSlip: x.slip[i],
			StripSpeed: SpeedAt(x.h[i+1], s.run.Top, x.t.Thickness), HeadC: head.leaveC[i], TailC: s.tail.leaveC[i]}
		st.RollSpeed = x.rollSpeed(i, s.run.Top)
		for _, p := range points {
			st.Force = max(st.Force, p.force[i])
			st.Torque = max(st.Torque, p.torque[i])
			st.Power = max(st.Power, p.power[i])
			work += p.power[i] / p.speed
		}
	}
	r.Energy = work / float64(len(points)) * s.length
	again := *head
	x.heat = &r.HeadHeat
	x.through(&again, head.entryC, head.speed, head.sprays)
	x.heat = nil
	r.HeadShortC = max(x.t.FinishTempMinC-r.HeadC, 0)
	r.TailShortC = max(x.t.FinishTempMinC-r.TailC, 0)
	if c := min(r.HeadEntryC, r.TailEntryC); c < x.tr.MinEntryC {
		return r, &LimitError{Limit: LimitColdBar, Value: c, Allowed: x.tr.MinEntryC,
			Suggest: "a shorter wait, a cover on the delay table or a hotter slab"}
	}
	short, at, where := r.HeadShortC, r.HeadC, "head"
	if r.TailShortC > short {
		short, at, where = r.TailShortC, r.TailC, "tail"
	}
	if short <= 0 {
		return r, nil
	}
	// How much of a warmer entry is left at the exit.
	var warm point
	base, v := head.entryC, thread
	if where == "tail" {
		base, v = s.tail.entryC, s.out
	}
	x.through(&warm, min(base+50, 1340), v, 0)
	more := short / max((warm.exitC-at)/50, 0.1)
	return r, &LimitError{Limit: LimitTooCold, Value: at, Allowed: x.t.FinishTempMinC,
		Suggest: fmt.Sprintf("the %s must arrive about %.0f C warmer: a thicker bar, a cover on the delay table or a shorter wait", where, more)}
}
