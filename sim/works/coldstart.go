package works

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/flow"
	"millrace/sim/record"
)

// openCold lays out the cold side: stores at their level, stacks on the bases in
// every stage of their cycle.
func (w *Works) openCold(s *Start) {
	p := w.P
	c := p.Spec.Cold
	cs := &w.S.Cold
	cs.BellsFree, cs.CoolersFree = int16(c.Anneal.Bells), int16(c.Anneal.Coolers)
	share := func(ok func(prod int) bool) func(int) float64 {
		return func(i int) float64 {
			if !ok(i) {
				return 0
			}
			return p.products[i].Share / float64(p.products[i].slabMass)
		}
	}
	// What lies in a store has come one after the other, over the time in which rate,
	// kg/s, brings as much.
	fill := func(at record.Place, normal, rate float64, ok func(int) bool, put func(i int32)) {
		want := s.startLevel(at, int64(normal*grams))
		var m mixer
		sum := 0.0
		for i := range p.products {
			sum += share(ok)(i)
		}
		if sum == 0 {
			return
		}
		over := math.Min(10*86400, float64(want)/grams/math.Max(rate, 0.1))
		for g := int64(0); ; {
			prod := m.next(p, func(i int) float64 { return share(ok)(i) / sum })
			pr := &p.products[prod]
			mass := int64(float64(pr.slabMass-pr.cropMass) * (1 - pr.acidLoss - c.Pickle.Trim/pr.Width))
			if g += mass; prod < 0 || g > want {
				return
			}
			i := w.openPiece(Piece{Prod: int16(prod), Mass: mass, Born: -14 * calendar.Day, At: -calendar.Dur(over * (1 - float64(g)/float64(max(1, want))))}, at)
			put(i)
		}
	}
	cold := func(i int) bool { return p.products[i].Cold > 0 && p.products[i].Pickled }
	annealed := func(i int) bool { return p.way(i) == WayAnnealed }
	fill(p.p.pickled, c.Pickled.Normal, p.coldFeed, cold, func(i int32) {
		pc := &w.S.Pieces[i]
		pc.Stage = stPickled
		cs.PickledG += pc.Mass
		w.S.Net.PushTail(&cs.Pickled[pc.Prod], i)
	})
	fill(p.p.hard, c.Hard.Normal, p.coldFeed, annealed, func(i int32) {
		pc := &w.S.Pieces[i]
		pc.Stage = stHard
		cs.HardG += pc.Mass
		w.S.Net.PushTail(&cs.Hard[pc.Prod], i)
	})
	n := 0.0
	fill(p.p.annealed, c.Annealed.Normal, c.Annealed.Normal/math.Max(1, c.Anneal.Floor), annealed, func(i int32) {
		// Coils come off the bases one after another; the oldest are cool.
		pc := &w.S.Pieces[i]
		pc.Stage = stFloor
		cs.AnnealG += pc.Mass
		w.S.Net.PushTail(&cs.Floor, i)
		n++
	})
	k := 0.0
	for i := cs.Floor.Head; i >= 0; i = w.S.Net.After(i) {
		k++
		w.S.Net.Cal.Book(calendar.Dur(c.Anneal.Floor*k/math.Max(1, n)), calendar.Finish, calendar.Event{Kind: evFloor, A: i})
	}
	fill(p.p.finished, c.Finished.Normal, c.Dispatch.Cold, func(i int) bool { return p.products[i].Pickled }, func(i int32) {
		pc := &w.S.Pieces[i]
		pc.Stage = stFinished
		cs.FinishG += pc.Mass
		w.S.Net.PushTail(&cs.Finished[pc.Prod], i)
	})
	w.openBases(annealed)
	w.S.Net.Cal.Book(calendar.Dur(c.Dispatch.Slot), calendar.Order, calendar.Event{Kind: evSlot})
}

// openBases puts stacks on the bases, spread over their cycle as far as bells and
// coolers reach.
func (w *Works) openBases(ok func(int) bool) {
	p := w.P
	a := &p.Spec.Cold.Anneal
	cs := &w.S.Cold
	any := false
	for i := range p.products {
		any = any || ok(i)
	}
	if !any {
		return
	}
	var m mixer
	sum := 0.0
	for i := range p.products {
		if ok(i) {
			sum += p.products[i].Share
		}
	}
	for b := range a.Bases {
		k := &cs.Bases[b]
		k.Prod = -1
		prod := m.next(p, func(i int) float64 {
			if !ok(i) {
				return 0
			}
			return p.products[i].Share / sum
		})
		pr := &p.products[prod]
		cool := pr.baseCoolS + a.Handling.PostPurge
		t := (float64(b) + w.uniform(luckStart, 5, uint64(b))) / float64(a.Bases) * (pr.heatS + cool) * 1.02
		stage, left := bsHeating, pr.heatS-t
		switch {
		case t >= pr.heatS+cool:
			continue // free
		case t >= pr.heatS:
			stage, left = bsCooling, pr.heatS+cool-t
			if cs.CoolersFree == 0 {
				continue
			}
			cs.CoolersFree--
		default:
			if cs.BellsFree == 0 {
				continue
			}
			cs.BellsFree--
		}
		k.Prod = int16(prod)
		for range a.StackCoils {
			mass := int64(float64(pr.slabMass-pr.cropMass) * (1 - pr.acidLoss - p.Spec.Cold.Pickle.Trim/pr.Width - p.Spec.Cold.Mill.Crop))
			i := w.openPiece(Piece{Prod: int16(prod), Mass: mass, Born: -6 * calendar.Day, Stage: stBase}, p.p.bases)
			k.Coils[k.N] = i
			k.N++
		}
		k.Stage = stage
		k.At = calendar.Dur(left) - calendar.Dur(pr.heatS)
		if stage == bsCooling {
			k.At = 0
		}
		k.h = w.S.Net.Cal.Book(calendar.Dur(left), calendar.Finish, calendar.Event{Kind: evBase, A: int32(b)})
		w.S.Net.Shift(p.u.bases, flow.Starved, flow.Running, 1)
	}
}
