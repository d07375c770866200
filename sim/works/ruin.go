package works

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/flow"
	"millrace/sim/record"
)

// loseStrip takes the strip out of the train as a cobble; a strip whose tail has
// already left is a good coil.
func (w *Works) loseStrip() {
	n := &w.S.Net
	k := &w.P.u
	p := n.Units[k.train].Piece
	if p < 0 {
		return
	}
	pc := &w.S.Pieces[p]
	if n.Units[k.train].Finished() || n.Left(k.train) <= calendar.Dur(w.P.Spec.Train.Train.Gap) {
		n.Release(k.train)
		w.move(pc.Name, w.P.p.train, w.P.p.coiler, pc.Mass, stepCoil)
		pc.Stage = stCoiler
		n.Wake(k.coil + int(pc.On))
	} else {
		n.Release(k.train)
		n.Release(k.coil + int(pc.On))
		w.scrapPiece(p, w.P.p.train, w.P.p.cobble, WordCobbled)
	}
	w.stripOff()
}

// loseBars scraps the bars between rougher and train.
func (w *Works) loseBars() {
	n := &w.S.Net
	k := &w.P.u
	if p := n.Units[k.shear].Piece; p >= 0 {
		n.Release(k.shear)
		w.scrapPiece(p, w.P.p.shear, w.P.p.cobble, WordCobbled)
	}
	for w.S.Delay.N > 0 {
		p := n.PopHead(&w.S.Delay)
		w.scrapPiece(p, w.P.p.delay, w.P.p.cobble, WordCobbled)
	}
	w.bookReject()
}

// loseCoiler: the coil being wound is lost with its strip; one being stripped is
// cut off and kept.
func (w *Works) loseCoiler(u int) {
	n := &w.S.Net
	p := n.Units[u].Piece
	if p < 0 {
		return
	}
	if n.Units[w.P.u.train].Piece == p {
		w.loseStrip()
	}
}

// downgrade counts the last pieces made as secondary.
func (w *Works) downgrade(pieces, on int) {
	if pieces <= 0 {
		return
	}
	mean := 0.0
	for i := range w.P.products {
		mean += w.P.products[i].Share * float64(w.P.products[i].slabMass)
	}
	w.note(WordDowngraded, on, -1, int64(math.Round(mean))*int64(pieces), 0, 0)
}

// jam stops the furnace's beam.
func (w *Works) jam(f int) {
	k := &w.S.Furnaces[f]
	k.Jams++
	if k.Jams > 1 {
		return
	}
	w.S.Net.Cal.Cancel(k.ready)
	k.ready = 0
	u := w.P.u.furnace + f
	un := &w.S.Net.Units[u]
	for _, s := range [...]flow.State{flow.Running, flow.Blocked, flow.Starved} {
		w.S.Net.Shift(u, s, flow.Down, un.Count[s])
	}
	k.DoorWait = false
	w.wakeCranes()
}

func (w *Works) unjam(f int) {
	k := &w.S.Furnaces[f]
	if k.Jams--; k.Jams > 0 {
		return
	}
	u := w.P.u.furnace + f
	un := &w.S.Net.Units[u]
	w.S.Net.Shift(u, flow.Down, flow.Running, k.Row.N)
	w.S.Net.Shift(u, flow.Down, flow.Starved, un.Count[flow.Down])
	w.bookDoor(f)
	w.S.Net.Wake(u)
	w.wakeCranes()
}

// breakout loses the strands: what is in them is cut up, the tundish is lost, the
// ladle goes back.
func (w *Works) breakout(c int) {
	k := &w.S.Casters[c]
	n := &w.S.Net
	k.Broken++
	w.advanceCaster(c)
	n.Cal.Cancel(k.cut)
	n.Cal.Cancel(k.liq)
	n.Cal.Cancel(k.open)
	k.cut, k.liq, k.open = 0, 0, 0
	from := w.P.p.caster + record.Place(c)
	if k.Open >= 0 {
		h := &w.S.Heats[k.Open]
		back := k.Liquid - int64(w.P.Spec.Casters[c].Tundish*grams)
		if back > 0 {
			k.Liquid -= back
			w.move(h.No, from, w.P.p.returned, back, stepReturn)
			w.note(WordReturned, w.P.u.caster+c, h.No, back, int64(ReasonCasterDown), 0)
		}
		*h = Heat{}
		k.Open = -1
	}
	lost := k.Liquid
	for i := int8(0); i < k.NSeg; i++ {
		lost += k.Seg[i].Mass
	}
	if lost > 0 {
		w.move(-1, from, w.P.p.scrap, lost, stepLost)
		w.note(WordScrapped, w.P.u.caster+c, -1, lost, 0, 0)
	}
	k.Liquid, k.NSeg, k.Trim, k.Head = 0, 0, 0, 0
	k.Stuck, k.Stretch, k.EndAfter = false, false, false
	k.SeqHeats = 0
	k.Phase = phDown
	w.note(WordTundish, w.P.u.caster+c, -1, 0, 0, 0)
	w.casterState(c)
	if j := w.nextHeat(c); j >= 0 {
		w.S.Heats[j].First = true
	}
	w.placeHeats(c)
	w.S.Dirty |= TopicHeats
	n.Wake(w.P.u.shop)
}

// casterBack: the caster is repaired and is turned round for a new sequence.
func (w *Works) casterBack(c int) {
	k := &w.S.Casters[c]
	if k.Broken--; k.Broken > 0 || k.Phase != phDown {
		return
	}
	k.Phase = phTurn
	k.First = true
	k.Until = w.Now() + calendar.Dur(w.P.Spec.Casters[c].Turnaround)
	w.S.Net.Cal.Book(k.Until, calendar.Restore, calendar.Event{Kind: evTurned, Unit: uint16(c)})
	w.casterState(c)
	w.S.Net.Wake(w.P.u.shop)
}
