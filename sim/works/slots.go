package works

import (
	"math"
	"millrace/sim/quantity"

	"millrace/sim/calendar"
	"millrace/sim/flow"
	"millrace/sim/record"
)

type recordPlace = record.Place

// finishedFits says whether the finished store has room.
func (w *Works) finishedFits(g int64) bool {
	return w.S.Cold.FinishG+g <= int64(w.P.Spec.Cold.Finished.Room*grams)
}

// finish puts a coil into the finished store.
func (w *Works) finish(i int32, from record.Place) {
	pc := &w.S.Pieces[i]
	pc.Stage = stFinished
	pc.At = w.Now()
	w.move(pc.Name, from, w.P.p.finished, pc.Mass, stepCold)
	w.S.Cold.FinishG += pc.Mass
	w.S.Net.PushTail(&w.S.Cold.Finished[pc.Prod], i)
}

// slot is one dispatch slot: trucks and wagons take hot band and finished coils up
// to what the hour allows, paced by the stocks as people do.
func (w *Works) slot() {
	c := w.P.Spec.Cold
	d := &c.Dispatch
	w.S.Net.Cal.Book(w.Now()+calendar.Dur(d.Slot), calendar.Order, calendar.Event{Kind: evSlot})
	if w.S.Cold.Blocked > 0 || w.S.Net.Units[w.P.u.dispatch].Has(flow.CauseDown) {
		return
	}
	over := w.overtime(d.Overtime)
	share := w.slotShare()
	hot := d.Hot * d.Slot * share * w.paced(w.S.CoolHotG, w.P.Spec.CoilYard.CoolHot, over)
	cold := d.Cold * d.Slot * share * w.paced(w.S.Cold.FinishG, c.Finished, over)
	w.S.Cold.SlotDebtHot = math.Min(w.S.Cold.SlotDebtHot+hot, 3*hot+3e4)
	w.S.Cold.SlotDebtCold = math.Min(w.S.Cold.SlotDebtCold+cold, 3*cold+3e4)
	took := false
	for w.S.CoolHot.N > 0 {
		i := w.S.CoolHot.Head
		m := float64(w.S.Pieces[i].Mass) / grams
		if m > w.S.Cold.SlotDebtHot {
			break
		}
		w.S.Cold.SlotDebtHot -= m
		w.S.Net.Remove(&w.S.CoolHot, i)
		w.S.CoolHotG -= w.S.Pieces[i].Mass
		w.S.Net.Take(storeCoils, w.S.Pieces[i].Mass)
		w.gone(i, w.P.p.coilYard, w.P.p.hotBand)
		took = true
	}
	for {
		p := w.oldestFinished()
		if p < 0 {
			break
		}
		i := w.S.Cold.Finished[p].Head
		m := float64(w.S.Pieces[i].Mass) / grams
		if m > w.S.Cold.SlotDebtCold {
			break
		}
		w.S.Cold.SlotDebtCold -= m
		w.S.Net.Remove(&w.S.Cold.Finished[p], i)
		w.S.Cold.FinishG -= w.S.Pieces[i].Mass
		w.gone(i, w.P.p.finished, w.P.p.coldGone)
		took = true
	}
	if took {
		w.S.Net.Wake(w.P.u.conveyor)
		w.S.Net.Wake(w.P.u.pickle)
		w.S.Net.Wake(w.P.u.coldMill)
		w.S.Net.Wake(w.P.u.temper)
	}
	to := flow.Starved
	if took {
		to = flow.Running
	}
	if !w.S.Net.Units[w.P.u.dispatch].Has(flow.CauseDown) {
		w.shiftOne(w.P.u.dispatch, to)
	}
}

// slotShare is how much of the mean rate this hour of the week takes.
func (w *Works) slotShare() float64 {
	d := &w.P.Spec.Cold.Dispatch
	if d.Weekend <= 0 || d.Weekend >= 1 {
		return 1
	}
	day := quantity.Clock(w.P.Route.Start + int64(w.Now())).Weekday()
	week := (5 + 2*d.Weekend) / 7
	if day >= 5 && w.overtime(d.Overtime) == 1 {
		return d.Weekend / week
	}
	return 1 / week
}

// oldestFinished is the product whose first finished coil has waited longest, or,
// by due date, the one whose open order is due first.
func (w *Works) oldestFinished() int {
	best := -1
	at := calendar.Never
	due := math.Inf(1)
	for p := range w.P.products {
		i := w.S.Cold.Finished[p].Head
		if i < 0 {
			continue
		}
		d := math.Inf(1)
		if w.S.Cold.ByDue {
			d = w.dueFirst(p, 0)
		}
		if t := w.S.Pieces[i].At; best < 0 || d < due || d == due && t < at {
			best, at, due = p, t, d
		}
	}
	return best
}

// gone counts a coil as dispatched.
func (w *Works) gone(i int32, from, to record.Place) {
	pc := &w.S.Pieces[i]
	w.emit(record.Event{Kind: record.Move, From: from, To: to, Mass: pc.Mass, Piece: pc.Name, A: stepGone, B: int32(pc.Prod), X: int64(pc.Flag & flagSecondary)})
	w.S.Mass[from] -= pc.Mass
	w.S.Mass[to] += pc.Mass
	w.credit(int(pc.Prod), pc.Mass)
	w.freePiece(i)
}
