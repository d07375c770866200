package works

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

// What may be seen of the cold side. A works that ends at the coil floor shows zeros.

// CoilYardView is what can be seen of the coil floor, kg.
type CoilYardView struct {
	Cooling float64       // coils that are too hot to go on
	Cool    float64       // that may go on, to pickling and as hot band
	Next    calendar.Time // when the next of them is cool, Never without one
	Forced  bool          // fans or water are on
}

// CoilYard is what can be seen of the coil floor.
func (w *Works) CoilYard() CoilYardView {
	v := CoilYardView{Cooling: float64(w.S.Cooling) / grams, Cool: float64(w.S.CoolPickG+w.S.CoolHotG) / grams, Next: calendar.Never, Forced: w.S.Cold.Forced}
	for i := range w.S.Pieces {
		if pc := &w.S.Pieces[i]; pc.Stage == stCooling && pc.CoolAt < v.Next {
			v.Next = pc.CoolAt
		}
	}
	return v
}

// CoolWithin is what of the coils that cool now may be pickled before the time d has
// gone by, kg, as they cool now.
func (w *Works) CoolWithin(d calendar.Time) float64 {
	g := int64(0)
	for i := range w.S.Pieces {
		if pc := &w.S.Pieces[i]; pc.Stage == stCooling && w.P.products[pc.Prod].Pickled && pc.CoolAt-w.Now() <= d {
			g += pc.Mass
		}
	}
	return float64(g) / grams
}

// PickleView is what can be seen of the pickle line.
type PickleView struct {
	Speed   float64 // share of the usual process speed that is ordered
	Acid    float64 // share of that which the acid allows, 1 with fresh acid
	Looper  float64 // s of strip that the entry looper holds, or still holds while the entry stands
	InAcid  bool    // the strip stands in the acid
	Outside bool    // coils are being sent outside
	Away    float64 // kg outside
}

// PickleLine is what can be seen of the pickle line.
func (w *Works) PickleLine() PickleView {
	c := &w.S.Cold
	u := &w.S.Net.Units[w.P.u.pickle]
	v := PickleView{Speed: c.Pace, Acid: 1, InAcid: c.LooperDown, Outside: c.Outside, Away: float64(c.AwayG) / grams}
	if w.otherActive(AcidOut) {
		v.Acid = u.Pace
	}
	if c.looper != 0 {
		v.Looper = (c.LooperAt - w.Now()).Seconds()
	} else if u.Piece >= 0 && !c.LooperDown {
		v.Looper = w.P.products[w.S.Pieces[u.Piece].Prod].looperS
	}
	return v
}

// ColdMillView is what can be seen of the tandem mill.
type ColdMillView struct {
	Product string // rolled last, "" for none yet
	Coils   int    // since the rolls were changed
	RollSet int    // coils that a set of rolls lasts
}

// ColdMill is what can be seen of the tandem mill.
func (w *Works) ColdMill() (v ColdMillView) {
	if c := w.P.Spec.Cold; c != nil {
		v.Coils, v.RollSet = int(w.S.Cold.MillSince), c.Mill.RollCoils
		if p := w.S.Cold.MillProd; p >= 0 {
			v.Product = w.P.products[p].Name
		}
	}
	return v
}

// AnnealView is what can be seen of the annealing shop. Bases are empty, under a bell,
// under a cooler, or wait: for a bell, a cooler, a crane or room on the cooling floor.
type AnnealView struct {
	Bases, Empty, Heating, Cooling, Waiting int
	Bells, BellsFree                        int
	Coolers, CoolersFree                    int
	Gas                                     bool // there is protective gas
}

// Annealing is what can be seen of the annealing shop.
func (w *Works) Annealing() (v AnnealView) {
	c := w.P.Spec.Cold
	if c == nil {
		return v
	}
	s := &w.S.Cold
	v = AnnealView{Bases: c.Anneal.Bases, Bells: c.Anneal.Bells, Coolers: c.Anneal.Coolers,
		BellsFree: int(s.BellsFree), CoolersFree: int(s.CoolersFree), Gas: s.GasOut == 0}
	for b := range c.Anneal.Bases {
		switch k := s.Bases[b].Stage; {
		case k == bsFree:
			v.Empty++
		case k == bsHeating:
			v.Heating++
		case k == bsCooling:
			v.Cooling++
		case baseState(k) == flow.Blocked:
			v.Waiting++
		}
	}
	return v
}

// TemperView is what can be seen of the temper mill, kg.
type TemperView struct {
	Ready   float64 // annealed coils that are cool enough for it
	OnFloor float64 // annealed coils that are not
	Skipped bool    // coils are sold untempered
}

// TemperMill is what can be seen of the temper mill.
func (w *Works) TemperMill() TemperView {
	v := TemperView{Skipped: w.S.Cold.SkipTemper}
	ready := int64(0)
	for i, n := w.S.Cold.Ready.Head, w.S.Cold.Ready.N; n > 0; n-- {
		ready += w.S.Pieces[i].Mass
		i = w.S.Net.After(i)
	}
	v.Ready = float64(ready) / grams
	v.OnFloor = float64(w.S.Cold.AnnealG-ready) / grams
	return v
}

// DispatchView is what can be seen of dispatch.
type DispatchView struct {
	Blocked   bool
	ByDueDate bool
	Late      float64 // kg of the order book that are due and have not left
}

// Dispatch is what can be seen of dispatch.
func (w *Works) Dispatch() DispatchView {
	v := DispatchView{Blocked: w.S.Cold.Blocked > 0, ByDueDate: w.S.Cold.ByDue}
	now := w.Now().Seconds()
	for p := range w.P.Spec.Products {
		w.open(p, func(i int32, o *OrderLine) bool {
			if o.Due < now {
				v.Late += o.Mass - float64(w.S.Orders[i])/grams
			}
			return true
		})
	}
	return v
}

// OnOvertime says whether overtime is worked on the cold side.
func (w *Works) OnOvertime() bool { return w.S.Cold.Overtime }

// Oldest is how long the coil that has lain longest in a store of cool or cold coils
// has lain there, s; 0 for an empty store and for any other.
func (w *Works) Oldest(store string) float64 {
	s := &w.S
	c := &s.Cold
	first := calendar.Never
	head := func(l *flow.List, at func(*Piece) calendar.Time) {
		if l.N > 0 {
			first = min(first, at(&s.Pieces[l.Head]))
		}
	}
	came := func(pc *Piece) calendar.Time { return pc.At }
	cool := func(pc *Piece) calendar.Time { return pc.CoolAt }
	all := func(ls *[maxProducts]flow.List) {
		for p := range w.P.products {
			head(&ls[p], came)
		}
	}
	switch store {
	case "cool coils to pickle":
		head(&s.CoolPick, cool)
	case "cool hot band":
		head(&s.CoolHot, cool)
	case "pickled coils":
		all(&c.Pickled)
	case "hard coils":
		all(&c.Hard)
	case "annealed coils":
		head(&c.Ready, came)
		head(&c.Floor, came)
	case "finished coils":
		all(&c.Finished)
	}
	if first == calendar.Never {
		return 0
	}
	return math.Max(0, (w.Now() - first).Seconds())
}
