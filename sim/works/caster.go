package works

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/flow"
	"millrace/sim/record"
	"millrace/sim/steel/casting"
)

// A caster draws steel from the tundish into its strands at the casting speed;
// the ladle keeps the tundish full. What is in ladle and tundish is one amount,
// Liquid, that falls steadily; the ladle is empty when Liquid has come down to a
// full tundish, and the sequence ends when it reaches the least that a tundish
// may hold. Slabs are cut when a slab length has passed the torch.

// drawFor is the steel that the caster draws for a product at the speed ordered, g/s.
func (w *Works) drawFor(c, prod int) float64 {
	k := &w.S.Casters[c]
	return w.drawAt(c, prod, w.orderedSpeed(c), int(k.Strands))
}

func (w *Works) drawAt(c, prod int, speed float64, strands int) float64 {
	if prod < 0 {
		prod = 0
	}
	return float64(strands) * w.P.products[prod].metreMass * speed * grams
}

// drawG is what the caster draws now, g/s.
func (w *Works) drawG(c int) float64 {
	k := &w.S.Casters[c]
	if k.Phase != phCasting || k.Stuck {
		return 0
	}
	return w.drawAt(c, int(k.Prod), k.Speed, int(k.Strands))
}

// normalSpeed is the caster's normal speed, from the equipment or, where the
// works file gives a measured rate, from that.
func (w *Works) normalSpeed(c, prod int) float64 {
	s := &w.P.Spec.Casters[c]
	if s.Rate > 0 {
		return s.Rate / (float64(s.Strands) * w.P.products[prod].metreMass)
	}
	return math.Min(s.Normal, w.P.products[prod].castLimit[c])
}

// orderedSpeed is the speed people want, inside what the machine may.
func (w *Works) orderedSpeed(c int) float64 {
	k := &w.S.Casters[c]
	s := &w.P.Spec.Casters[c]
	prod := int(k.Prod)
	v := w.normalSpeed(c, prod)
	if k.Aim > 0 {
		v *= k.Aim / s.Normal
	} else if float64(w.S.Mass[w.P.p.yard])/grams < w.P.Spec.Standing.YardLow {
		v *= s.Wanted / s.Normal // the mill must not run dry
	}
	if lim := w.P.products[prod].castLimit[c]; s.Rate == 0 && v > lim {
		v = lim
	}
	return v
}

// setSpeed puts the caster on the speed that follows from orders and from what
// holds it back, and books its events anew.
func (w *Works) setSpeed(c int) {
	k := &w.S.Casters[c]
	s := &w.P.Spec.Casters[c]
	v := w.orderedSpeed(c) * k.Cap
	low := s.Slowest
	if s.Rate > 0 {
		low *= w.normalSpeed(c, int(k.Prod)) / s.Normal
	}
	if k.Stretch || w.tableTight(c) && w.P.Spec.Standing.SlowWhenFull {
		v = math.Min(v, low)
	}
	if v < low {
		v = low
	}
	if v == k.Speed {
		return
	}
	w.advanceCaster(c)
	k.Speed = v
	w.bookCaster(c)
	w.casterState(c)
	for i := range w.S.Heats {
		if w.S.Heats[i].Stage == htWaiting && int(w.S.Heats[i].Caster) == c {
			w.bookCold(i)
		}
	}
	if mm := int32(math.Round(v * 60 * 1000)); mm != k.Noted {
		k.Noted = mm
		w.note(WordSpeed, w.P.u.caster+c, -1, int64(mm), 0, 0)
	}
	w.S.Net.Wake(w.P.u.shop)
}

// tableTight says whether the run-out table has little room left.
func (w *Works) tableTight(c int) bool {
	k := &w.S.Casters[c]
	return int(k.Table.N) > w.P.Spec.Casters[c].TableSlabs-2*int(k.Strands)
}

// slowCast is the share of its normal speed below which a caster counts as slowed.
const slowCast = 0.98

// casterState derives the caster's state for the tally.
func (w *Works) casterState(c int) {
	k := &w.S.Casters[c]
	to := flow.Starved
	switch k.Phase {
	case phCasting, phEmptying:
		to = flow.Running
		if k.Speed < slowCast*w.normalSpeed(c, int(k.Prod)) {
			to = flow.Slowed
		}
		if k.Stuck {
			to = flow.Blocked
		}
	case phTurn:
		to = flow.Changeover
	case phDown:
		to = flow.Down
	case phMaint:
		to = flow.Maintenance
	}
	w.shiftOne(w.P.u.caster+c, to)
}

// shiftOne moves the single place of a manual unit to a state.
func (w *Works) shiftOne(u int, to flow.State) {
	un := &w.S.Net.Units[u]
	for s := flow.State(0); s < flow.NStates; s++ {
		if un.Count[s] > 0 {
			w.S.Net.Shift(u, s, to, 1)
			return
		}
	}
}

// advanceCaster brings strand and liquid up to now.
func (w *Works) advanceCaster(c int) {
	k := &w.S.Casters[c]
	dt := (w.Now() - k.T).Seconds()
	k.T = w.Now()
	if dt <= 0 || k.Stuck || k.Phase != phCasting && k.Phase != phEmptying {
		return
	}
	dx := k.Speed * dt
	k.Head += dx
	if k.Phase != phCasting {
		return
	}
	exact := w.drawAt(c, int(k.Prod), k.Speed, int(k.Strands))*dt + k.Carry
	g := int64(exact)
	k.Carry = exact - float64(g)
	if g > k.Liquid {
		g = k.Liquid
	}
	k.Liquid -= g
	w.feed(c, dx, g)
}

// feed adds cast length to the strand.
func (w *Works) feed(c int, dx float64, g int64) {
	k := &w.S.Casters[c]
	if k.NSeg > 0 && k.Seg[k.NSeg-1].Prod == k.Prod || k.NSeg == maxSegments {
		s := &k.Seg[k.NSeg-1]
		s.Length += dx
		s.Mass += g
		return
	}
	k.Seg[k.NSeg] = segment{dx, g, k.Prod}
	k.NSeg++
}

func (w *Works) liquidNow(c int) int64 {
	k := &w.S.Casters[c]
	return k.Liquid - int64(w.drawG(c)*(w.Now()-k.T).Seconds())
}

// closeAt is the liquid at which the open ladle is empty.
func (w *Works) closeAt(c int) int64 {
	s := &w.P.Spec
	return int64(s.Casters[c].Tundish*grams) + int64(s.Shop.Skull*s.Shop.Heat*grams)
}

// bookCaster books the next cut and the next turn of the liquid.
func (w *Works) bookCaster(c int) {
	k := &w.S.Casters[c]
	s := &w.P.Spec.Casters[c]
	cal := &w.S.Net.Cal
	cal.Cancel(k.cut)
	cal.Cancel(k.liq)
	k.cut, k.liq = 0, 0
	if k.Phase != phCasting && k.Phase != phEmptying || k.Stuck {
		return
	}
	u := uint16(c)
	reach := w.cutLength(c) - k.Head
	if k.Phase == phEmptying {
		if left := w.strandLeft(c); left < w.cutLength(c) {
			reach = left - k.Head // the end of the strand
		}
	}
	k.cut = cal.Book(w.Now()+calendar.Dur(math.Max(0, reach)/k.Speed), calendar.Finish, calendar.Event{Kind: evCut, Unit: u})
	if k.Phase == phCasting {
		target := int64(s.TundishMin * grams)
		if k.Open >= 0 {
			target = w.closeAt(c)
		}
		left := math.Max(0, float64(k.Liquid-target)) / w.drawG(c)
		k.liq = cal.Book(w.Now()+calendar.Dur(left), calendar.Finish, calendar.Event{Kind: evLiquid, Unit: u})
	}
}

// cutLength is slab and kerf.
func (w *Works) cutLength(c int) float64 { return w.P.Spec.SlabLen + w.P.Spec.Casters[c].Kerf }

// strandLeft is the length still in the machine and before the torch, per strand.
func (w *Works) strandLeft(c int) float64 {
	k := &w.S.Casters[c]
	l := 0.0
	for i := int8(0); i < k.NSeg; i++ {
		l += k.Seg[i].Length
	}
	return l
}

// tryCaster opens a ladle when the caster is ready for one.
func (w *Works) tryCaster(c int) {
	k := &w.S.Casters[c]
	if k.Stuck && int(k.Table.N) <= w.P.Spec.Casters[c].TableSlabs-int(k.Strands) {
		w.advanceCaster(c)
		k.Stuck = false
		w.bookCaster(c)
		w.casterState(c)
	}
	w.setSpeedIfCasting(c)
	if k.Phase == phIdle || k.Phase == phCasting && k.Open < 0 && k.open == 0 {
		w.tryOpen(c)
	}
}

func (w *Works) setSpeedIfCasting(c int) {
	if p := w.S.Casters[c].Phase; p == phCasting || p == phEmptying {
		w.setSpeed(c)
	}
}

// tryOpen opens the next ladle if there is one that may be opened.
func (w *Works) tryOpen(c int) {
	k := &w.S.Casters[c]
	if k.Phase != phIdle && k.Phase != phCasting || k.Open >= 0 || k.open != 0 || k.EndAfter && k.Phase == phCasting {
		return
	}
	if k.Phase == phIdle && k.Maint && w.mayMaintain(c) {
		w.startCasterMaintenance(c)
		return
	}
	i := w.nextHeat(c)
	if i < 0 {
		return
	}
	h := &w.S.Heats[i]
	if h.Stage == htReheat && w.ladleC(h) >= w.P.products[h.Prod].liquidus+w.needOver(h) {
		w.reheated(i) // the caster is ready: nothing is held for longer
	}
	if h.Stage != htWaiting {
		return
	}
	if w.openBy(h) < w.Now() {
		return // its own last moment has come and decides
	}
	w.openLadle(c, i)
}

// openLadle starts a heat into the tundish.
func (w *Works) openLadle(c, i int) {
	k := &w.S.Casters[c]
	s := &w.P.Spec.Casters[c]
	h := &w.S.Heats[i]
	cal := &w.S.Net.Cal
	cal.Cancel(h.cold)
	h.cold = 0
	w.advanceCaster(c)
	if k.Phase == phIdle {
		k.Phase = phCasting
		k.SeqNo++
		k.NSeg, k.Carry, k.Trim = 0, 0, 0
		k.Head = -s.Supported // the head must travel through the machine first
		k.Strands = int8(s.Strands)
		k.EndAfter = false
		k.Prod = h.Prod
		w.note(WordSequence, w.P.u.caster+c, h.No, int64(k.SeqNo), 0, 0)
	} else if h.Prod != k.Prod {
		was, now := w.P.products[k.Prod].Width, w.P.products[h.Prod].Width
		if was != now {
			t := casting.WidthChange(now-was, s.WidthRate, k.Speed)
			k.Trim += int64(math.Round(t.Trim(w.P.Spec.SlabThick) * float64(k.Strands) * grams))
		}
		k.Prod = h.Prod
	}
	k.T = w.Now()
	k.Stretch = false
	h.TC = w.ladleC(h)
	h.At = w.Now()
	h.Stage = htOpen
	k.Open = int8(i)
	k.Liquid += h.Mass
	w.move(h.No, w.P.p.ladles, w.P.p.caster+record.Place(c), h.Mass, stepOpen)
	w.note(WordOpened, w.P.u.caster+c, h.No, int64((h.TC-w.P.products[h.Prod].liquidus)*10), 0, 0)
	k.Speed = -1 // a new width draws another rate: book anew in any case
	w.setSpeed(c)
	w.S.Dirty |= TopicHeats
	w.S.Net.Wake(w.P.u.shop)
}

// liquidEvent: the open ladle is empty, or the tundish is at its least.
func (w *Works) liquidEvent(c int) {
	k := &w.S.Casters[c]
	if k.Phase != phCasting {
		return
	}
	w.advanceCaster(c)
	if k.Open >= 0 {
		w.closeLadle(c)
		return
	}
	w.endFeed(c)
}

func (w *Works) closeLadle(c int) {
	k := &w.S.Casters[c]
	s := &w.P.Spec
	h := &w.S.Heats[k.Open]
	skull := int64(s.Shop.Skull * s.Shop.Heat * grams)
	k.Liquid -= skull
	w.move(h.No, w.P.p.caster+record.Place(c), w.P.p.skull, skull, stepSkull)
	*h = Heat{}
	k.Open = -1
	if !k.EndAfter && w.nextHeat(c) < 0 && w.newSequence(c) {
		k.EndAfter = true // the tundish has done its heats and no new sequence is wanted yet
	}
	if k.EndAfter {
		// The next of the queue belongs to the next sequence.
		if j := w.nextHeat(c); j < 0 || w.S.Heats[j].First {
			w.bookCaster(c)
			w.S.Net.Wake(w.P.u.shop)
			return
		}
		k.EndAfter = false
	}
	change := calendar.Dur(s.Casters[c].LadleChange)
	k.open = w.S.Net.Cal.Book(w.Now()+change, calendar.Finish, calendar.Event{Kind: evOpen, Unit: uint16(c)})
	w.bookCaster(c)
	// A heat that comes later than the tundish lasts is stretched for.
	if j := w.nextHeat(c); j < 0 || w.S.Heats[j].Stage != htWaiting {
		late := calendar.Never
		if j >= 0 && w.S.Heats[j].Stage == htTreating {
			late = w.S.Heats[j].Ready
		}
		left := float64(k.Liquid-int64(s.Casters[c].TundishMin*grams)) / w.drawG(c)
		if late == calendar.Never || late > w.Now()+calendar.Dur(left) {
			k.Stretch = true
			w.setSpeed(c)
		}
	}
	w.S.Net.Wake(w.P.u.shop)
}

// endFeed ends the sequence: what the tundish cannot give stays in it, the
// strands are drawn out.
func (w *Works) endFeed(c int) {
	k := &w.S.Casters[c]
	planned := k.EndAfter
	w.S.Net.Cal.Cancel(k.open)
	k.open = 0
	if k.Liquid > 0 {
		w.move(-1, w.P.p.caster+record.Place(c), w.P.p.skull, k.Liquid, stepSkull)
		k.Liquid = 0
	}
	k.Phase = phEmptying
	k.Stretch = false
	k.EndAfter = false
	k.SeqHeats = 0
	why := int64(0)
	if !planned {
		why = 1
	}
	w.note(WordSequenceEnds, w.P.u.caster+c, -1, int64(k.SeqNo), why, 0)
	w.note(WordTundish, w.P.u.caster+c, -1, 0, 0, 0)
	if j := w.nextHeat(c); j >= 0 {
		w.S.Heats[j].First = true
	}
	for i := range w.S.Heats {
		if h := &w.S.Heats[i]; int(h.Caster) == c && h.Stage != htNone && h.Stage != htOpen {
			k.SeqHeats++
		}
	}
	w.setSpeed(c)
	w.bookCaster(c)
	w.casterState(c)
	w.S.Dirty |= TopicHeats
	w.S.Net.Wake(w.P.u.shop)
}

// turnedAt estimates when the caster may open a new sequence.
func (w *Works) turnedAt(c int) calendar.Time {
	k := &w.S.Casters[c]
	left := math.Max(0, w.strandLeft(c)-k.Head)
	return w.Now() + calendar.Dur(left/math.Max(k.Speed, 1e-3)+w.P.Spec.Casters[c].Turnaround)
}

// cut takes a slab off every strand, or ends the drawing out.
func (w *Works) cut(c int) {
	k := &w.S.Casters[c]
	s := &w.P.Spec.Casters[c]
	if k.Phase != phCasting && k.Phase != phEmptying {
		return
	}
	w.advanceCaster(c)
	l := w.cutLength(c)
	if k.Phase == phEmptying && w.strandLeft(c) < l {
		w.strandOut(c)
		return
	}
	if int(k.Table.N)+int(k.Strands) > s.TableSlabs {
		w.tableFull(c)
		return
	}
	g, prod := w.take(c, l)
	k.Head -= l
	from := w.P.p.caster + record.Place(c)
	kerf := int64(math.Round(w.P.products[prod].metreMass * s.Kerf * float64(k.Strands) * grams))
	if kerf > 0 && kerf < g {
		w.move(-1, from, w.P.p.castCrop, kerf, stepCut)
		g -= kerf
	}
	if k.Trim > 0 && k.Trim < g {
		w.move(-1, from, w.P.p.trim, k.Trim, stepCut)
		g -= k.Trim
		k.Trim = 0
	}
	head := int64(0)
	if k.SeqHeadDue(s.HeadCrop) {
		head = int64(math.Round(w.P.products[prod].metreMass * s.HeadCrop * float64(k.Strands) * grams))
		w.move(-1, from, w.P.p.castCrop, head, stepCut)
		g -= head
		k.First = false
	}
	w.birth(c, g, prod)
	w.setSpeed(c)
	w.bookCaster(c)
}

// birth lays the slabs just cut, one a strand, on the run-out table.
func (w *Works) birth(c int, g int64, prod int) {
	k := &w.S.Casters[c]
	from := w.P.p.caster + record.Place(c)
	each := g / int64(k.Strands)
	for i := int8(0); i < k.Strands; i++ {
		m := each
		if i == k.Strands-1 {
			m = g - each*int64(k.Strands-1)
		}
		k.Cuts++
		p := w.newPiece(Piece{Mass: m, Prod: int16(prod), Born: w.Now(), At: w.Now(), Stage: stTable, On: uint8(c), Name: int32(c+1)*10000000 + k.Cuts})
		w.S.InWorks[prod] += m
		w.S.Net.PushTail(&k.Table, p)
		w.move(w.S.Pieces[p].Name, from, w.P.p.table+record.Place(c), m, stepCut)
	}
	w.wakeCranes()
}

// SeqHeadDue says whether the next slab carries the head crop of its sequence.
func (k *Caster) SeqHeadDue(crop float64) bool { return k.First && crop > 0 }

// take removes a length per strand from the front of the strand and returns its
// mass and the product most of it was cast for.
func (w *Works) take(c int, l float64) (int64, int) {
	k := &w.S.Casters[c]
	g := int64(0)
	prod, most := int(k.Prod), 0.0
	for l > 1e-9 && k.NSeg > 0 {
		s := &k.Seg[0]
		if s.Length <= l+1e-9 {
			g += s.Mass
			if s.Length > most {
				prod, most = int(s.Prod), s.Length
			}
			l -= s.Length
			copy(k.Seg[:], k.Seg[1:k.NSeg])
			k.NSeg--
			continue
		}
		m := int64(float64(s.Mass) * l / s.Length)
		g += m
		s.Mass -= m
		if l > most {
			prod, most = int(s.Prod), l
		}
		s.Length -= l
		l = 0
	}
	return g, prod
}

// tableFull: the run-out table has no place for the next slabs. While steel is
// fed the sequence ends now; the ladle's steel is returned.
func (w *Works) tableFull(c int) {
	k := &w.S.Casters[c]
	if k.Phase == phCasting {
		w.abortSequence(c, ReasonTableFull)
	}
	k.Stuck = true
	w.bookCaster(c)
	w.casterState(c)
}

// abortSequence ends feeding at once: what is in the open ladle goes back.
func (w *Works) abortSequence(c int, why Reason) {
	k := &w.S.Casters[c]
	if k.Open >= 0 {
		h := &w.S.Heats[k.Open]
		back := k.Liquid - int64(w.P.Spec.Casters[c].Tundish*grams)
		if back > 0 {
			k.Liquid -= back
			w.move(h.No, w.P.p.caster+record.Place(c), w.P.p.returned, back, stepReturn)
			w.note(WordReturned, w.P.u.caster+c, h.No, back, int64(why), 0)
		}
		*h = Heat{}
		k.Open = -1
	}
	w.endFeed(c)
}

// tailSlabs makes short slabs of the end of the strand where enough is left after
// the tail crop.
func (w *Works) tailSlabs(c int) {
	k := &w.S.Casters[c]
	s := &w.P.Spec.Casters[c]
	l := w.strandLeft(c) - s.TailCrop
	if l < leastSlab*w.P.Spec.SlabLen || int(k.Table.N)+int(k.Strands) > s.TableSlabs {
		return
	}
	g, prod := w.take(c, l)
	w.birth(c, g, prod)
}

// leastSlab is the shortest slab worth keeping, as a share of the usual length
// (common practice, no source).
const leastSlab = 0.6

// strandOut: the strands have left the machine; the caster is turned round.
func (w *Works) strandOut(c int) {
	k := &w.S.Casters[c]
	from := w.P.p.caster + record.Place(c)
	w.tailSlabs(c)
	rest := int64(0)
	for i := int8(0); i < k.NSeg; i++ {
		rest += k.Seg[i].Mass
	}
	k.NSeg = 0
	k.Head = 0
	if rest > 0 {
		w.move(-1, from, w.P.p.castCrop, rest, stepCut)
	}
	k.Trim = 0
	k.Phase = phTurn
	k.First = true
	k.Until = w.Now() + calendar.Dur(w.P.Spec.Casters[c].Turnaround)
	w.S.Net.Cal.Book(k.Until, calendar.Restore, calendar.Event{Kind: evTurned, Unit: uint16(c)})
	w.casterState(c)
	w.S.Net.Wake(w.P.u.shop)
}

// turned: the caster is ready for a new sequence.
func (w *Works) turned(c int) {
	k := &w.S.Casters[c]
	if k.Phase != phTurn || k.Until > w.Now() {
		return
	}
	w.ready(c)
	w.S.Net.Wake(w.P.u.caster + c)
	w.S.Net.Wake(w.P.u.shop)
}
