package reheating

import (
	"fmt"
	"math"
)

// Stop is a time in which the mill takes nothing.
type Stop struct {
	FromS, UntilS float64
	AfterS        float64 // how long into the stop the furnace is set back; practice 15 to 30 min (common practice, no source)
	SetBackK      float64 // by how much; practice 50 to 100 K (common practice, no source)
}

// Result is what a campaign gave.
type Result struct {
	Slabs     []Discharged
	Heat      Heat
	Seconds   float64
	FirstOutS []float64 // for each stop: seconds from its end to the first slab out, -1 if none came
	CastKg    float64   // charged
	LossKg    float64   // gone into scale
	Melted    int       // slabs whose surface passed the most it should
}

// RateKgS returns the mass discharged a second from the first discharge to the last.
func (r Result) RateKgS() float64 {
	if len(r.Slabs) < 2 {
		return 0
	}
	var kg float64
	for _, s := range r.Slabs[1:] {
		kg += s.Mass()
	}
	return kg / (r.Slabs[len(r.Slabs)-1].OutS - r.Slabs[0].OutS)
}

// YieldLoss returns the share of the steel charged that has gone into scale.
func (r Result) YieldLoss() float64 { return r.LossKg / r.CastKg }

// FuelJKg returns the fuel for each kg charged, J/kg: that of filling and emptying the furnace included.
func (r Result) FuelJKg() float64 { return r.Heat.Fuel / r.CastKg }

// Campaign sends slabs through an empty furnace in their order: one is charged as soon as there is room and at most every interval seconds, and the one at the door leaves when it is ready and no stop holds, at
// most every interval seconds. Moments are counted in steps of so many seconds (1 to 300). It fails when a slab has not become ready in two days.
func Campaign(f Furnace, form Form, slabs []Charge, interval float64, stops []Stop, step float64) (Result, error) {
	h, err := NewHearth(f, form)
	if err != nil {
		return Result{}, err
	}
	if !(step >= 1 && step <= 300) || !(interval >= 0 && interval < 86400) {
		return Result{}, fmt.Errorf("campaign: steps of %g s, an interval of %g s", step, interval)
	}
	for i, s := range stops {
		if !(s.FromS >= 0 && s.UntilS > s.FromS && s.AfterS >= 0) || math.IsInf(s.UntilS, 1) {
			return Result{}, fmt.Errorf("campaign: stop %d from %g to %g s", i+1, s.FromS, s.UntilS)
		}
	}
	r := Result{FirstOutS: make([]float64, len(stops))}
	for i := range r.FirstOutS {
		r.FirstOutS[i] = -1
	}
	lastIn, lastOut, left := math.Inf(-1), math.Inf(-1), 0.0
	next := 0
	for len(r.Slabs) < len(slabs) {
		now := h.Now()
		stopped, back := false, 0.0
		for i, s := range stops {
			if now >= s.FromS && now < s.UntilS {
				stopped = true
				if now >= s.FromS+s.AfterS {
					back = s.SetBackK
				}
			}
			if r.FirstOutS[i] < 0 && lastOut >= s.UntilS {
				r.FirstOutS[i] = lastOut - s.UntilS
			}
		}
		if back != h.back {
			if err := h.SetBack(back); err != nil {
				return r, err
			}
		}
		if !stopped && h.Ready() && now-lastOut >= interval-1e-9 {
			d, err := h.Leave()
			if err != nil {
				return r, err
			}
			r.LossKg += d.LossKg
			if d.ScaleMelted {
				r.Melted++
			}
			r.Slabs = append(r.Slabs, d)
			lastOut, left = now, now
		}
		if next < len(slabs) && now-lastIn >= interval-1e-9 {
			// The row makes room while it has not yet come to the door.
			if w := slabs[next].Width; !h.Room(w) {
				h.Walk(w + f.Gap)
			}
			if h.Room(slabs[next].Width) {
				if err := h.Charge(slabs[next]); err != nil {
					return r, err
				}
				r.CastKg += slabs[next].Mass()
				lastIn = now
				next++
			}
		} else if next == len(slabs) && now-lastIn >= interval-1e-9 {
			h.Walk(slabs[next-1].Width + f.Gap) // nothing comes behind, but the row walks on
			lastIn = now
		}
		if now-left > 2*86400 {
			return r, fmt.Errorf("campaign: slab %d is not ready after two days at the door", len(r.Slabs))
		}
		if len(r.Slabs) == len(slabs) {
			break
		}
		if err := h.Advance(step); err != nil {
			return r, err
		}
	}
	for i, s := range stops {
		if r.FirstOutS[i] < 0 && lastOut >= s.UntilS {
			r.FirstOutS[i] = lastOut - s.UntilS
		}
	}
	r.Heat, r.Seconds = h.Heat(), h.Now()
	return r, nil
}
