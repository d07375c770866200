package works

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// tickEvery is how often continuous stores (iron, gas) are brought up to date
// and the people in charge of them look at the level.
const tickEvery = 10 * calendar.Minute

func (w *Works) tick() {
	w.tickIron()
	w.tickGas()
	for c := range w.P.Spec.Casters {
		w.setSpeedIfCasting(c) // the yard may have become low, or not be so any more
	}
	w.S.Net.Wake(w.P.u.shop)
	w.S.Net.Cal.Book(w.Now()+tickEvery, calendar.Sample, calendar.Event{Kind: evTick})
}

// tickIron makes hot metal at the present rate since the last tick. The rate
// follows the wind with the furnace's lag (first order).
func (w *Works) tickIron() {
	s := &w.P.Spec.Iron
	st := &w.S
	dt := (w.Now() - st.IronLast).Seconds()
	st.IronLast = w.Now()
	if dt <= 0 {
		return
	}
	aim := s.Rate * st.Wind
	st.IronRate = aim + (st.IronRate-aim)*math.Exp(-dt/math.Max(1, s.Lag))
	exact := st.IronRate*dt*grams + st.IronCarry
	g := int64(exact)
	st.IronCarry = exact - float64(g)
	q := &w.P.p
	over := max(0, min(g, st.Mass[q.torpedoes]+g-int64(s.Torpedo.Room*grams)))
	w.move(-1, q.blast, q.torpedoes, g-over, stepIron)
	if over > 0 {
		w.move(-1, q.blast, q.pooled, over, stepPooled)
	}
	if st.WindAuto {
		w.standingWind()
	}
}

// standingWind cuts the wind as the torpedoes fill above their normal level and
// gives full wind again as they empty.
func (w *Works) standingWind() {
	s := &w.P.Spec.Iron
	o := &w.P.Spec.Standing
	level := float64(w.S.Mass[w.P.p.torpedoes]) / grams
	wind := 1.0
	if level > o.WindLow {
		wind = 1 - (1-s.LowWind)*(level-o.WindLow)/math.Max(1, o.WindHigh-o.WindLow)
	}
	w.setWind(math.Max(s.LowWind, math.Min(1, wind)))
}

func (w *Works) setWind(share float64) {
	w.S.Wind = share
	u := w.P.u.iron
	from := flow.Running
	if w.S.Net.Units[u].Count[flow.Slowed] > 0 {
		from = flow.Slowed
	}
	to := flow.Running
	if share < 0.9 {
		to = flow.Slowed
	}
	w.S.Net.Shift(u, from, to, 1)
}

// hotMetal is the share of hot metal charged to the next heat: more when the
// torpedoes are full, less when they run dry, inside what the shop can do.
func (w *Works) hotMetal() float64 {
	s := &w.P.Spec.Iron
	level := float64(w.S.Mass[w.P.p.torpedoes]) / grams
	b := s.Torpedo
	x := s.HotMetal
	if level > b.Normal {
		x += (s.HotHigh - s.HotMetal) * math.Min(1, (level-b.Normal)/(b.High-b.Normal))
	} else {
		x -= (s.HotMetal - s.HotLow) * math.Min(1, (b.Normal-level)/math.Max(1, b.Normal-b.Low))
	}
	return x
}

// charge is the mass of hot metal and scrap that makes one heat.
func (w *Works) charge() int64 {
	return int64(math.Round(float64(w.P.heatG) / w.P.Spec.Iron.Yield))
}
