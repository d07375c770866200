package works

import (
	"strings"

	"millrace/sim/calendar"
	"millrace/sim/flow"
	"millrace/sim/record"
)

// What a director, a player or a page may see of a running works. Nothing here
// tells how long an upset will really last.

// StopView is what people know of an upset that has begun. Times are simulated
// times; Low, Likely and Bad are told ends and hold only when Told.
type StopView struct {
	Kind             UpsetKind
	Unit             int
	Began, FirstWord calendar.Time
	Low, Likely, Bad calendar.Time
	LastWord         calendar.Time // when people last heard
	NextWord         calendar.Time // Never when no more word is promised
	Told, Over       bool
	// Name is what the works file calls it, Warning its caution; Row is its number among
	// the background upsets, -1 for one of a script. Part says that it is another unit of
	// an upset that hit several.
	Name, Warning string
	Row           int
	Part          bool
}

// Stops is how many upsets have begun or are booked in this run; they are numbered
// in that order.
func (w *Works) Stops() int { return len(w.S.Upsets) }

// Stop is what people know of upset number i; ok is false for one that has not
// begun.
func (w *Works) Stop(i int) (v StopView, ok bool) {
	if i < 0 || i >= len(w.S.Upsets) {
		return v, false
	}
	up := &w.S.Upsets[i]
	if up.Dead || !up.Active && up.event == 0 {
		return v, false
	}
	s := w.upsetSpec(up.Spec)
	v = StopView{Kind: s.Kind, Unit: int(up.Unit), Began: up.Began, FirstWord: up.FirstWord, NextWord: calendar.Never, Told: up.Told, Over: !up.Active,
		Name: s.Title(), Warning: s.Warning(), Row: -1, Part: up.Part}
	if int(up.Spec) < len(w.P.Spec.Upsets) {
		v.Row = int(up.Spec)
	}
	if up.Told {
		v.Low, v.Likely, v.Bad = up.Low, up.Likely, up.Bad
		v.LastWord = up.Heard
		if up.word != 0 {
			v.NextWord = up.Word
		}
	} else {
		v.NextWord = up.FirstWord
	}
	return v, true
}

// Standing says whether the unit stands: by an upset that stops it, by a planned
// stop, or shut.
func (w *Works) Standing(u int) bool {
	un := &w.S.Net.Units[u]
	if un.Has(flow.CauseDown) || un.Has(flow.CauseMaintenance) || un.Has(flow.CauseOffShift) {
		return true
	}
	if c := w.casterOf(u); c >= 0 {
		return w.S.Casters[c].Phase == phDown || w.S.Casters[c].Phase == phMaint
	}
	if f := u - w.P.u.furnace; f >= 0 && f < len(w.P.Spec.Furnaces) {
		return w.S.Furnaces[f].Jams > 0 || w.S.Furnaces[f].Shut
	}
	return false
}

// StateOf is the state of a unit in words.
func (w *Works) StateOf(u int) flow.State { return w.unitState(u) }

// UnitsMeant returns every unit a name means, as a plan or a report uses it: all
// cranes, all units of the hot mill.
func (p *Plant) UnitsMeant(name string) []int {
	switch strings.ToLower(name) {
	case "slab cranes", "slab crane":
		var out []int
		for i := range p.Spec.Yard.Cranes {
			out = append(out, p.u.crane+i)
		}
		return out
	case "bell cranes", "bell crane":
		var out []int
		if p.Spec.Cold != nil {
			for i := range p.Spec.Cold.Anneal.Cranes {
				out = append(out, p.u.bellCrane+i)
			}
		}
		return out
	case "hot mill":
		return []int{p.u.descaler, p.u.rougher, p.u.shear, p.u.train, p.u.runOut}
	}
	return p.UnitsNamed(name)
}

// CasterUnit is the unit number of caster c.
func (p *Plant) CasterUnit(c int) int { return p.u.caster + c }

// FurnaceUnit is the unit number of furnace f.
func (p *Plant) FurnaceUnit(f int) int { return p.u.furnace + f }

// TrainUnit is the unit number of the finishing train.
func (p *Plant) TrainUnit() int { return p.u.train }

// CasterView is what can be seen of a caster. Speeds are in m/s.
type CasterView struct {
	Phase           string
	Casting, Closed bool
	Speed, Ordered  float64
	Table, Places   int // slabs on the run-out table and what it holds
	Heats           int // heats of the present sequence that are cast or committed
}

var phaseNames = [...]string{"starved", "casting", "running out", "turnaround", "down", "maintenance"}

// Caster is what can be seen of caster c.
func (w *Works) Caster(c int) CasterView {
	k := &w.S.Casters[c]
	v := CasterView{Phase: phaseNames[k.Phase], Casting: k.Phase == phCasting, Closed: k.Closed, Ordered: w.orderedSpeed(c),
		Table: int(k.Table.N), Places: w.P.Spec.Casters[c].TableSlabs, Heats: int(k.SeqHeats)}
	if (k.Phase == phCasting || k.Phase == phEmptying) && !k.Stuck {
		v.Speed = k.Speed
	}
	return v
}

// StockView is a store as people see it: in kg, in J where Energy is set. Low,
// Normal and High are its normal band.
type StockView struct {
	Level, Room, Free float64
	Low, Normal, High float64
	Energy            bool
}

// StockNames are the names that Stock knows.
func (p *Plant) StockNames() []string {
	var out []string
	for i := range p.Route.Places {
		if p.Route.Places[i].Role == record.Store {
			out = append(out, p.Route.Places[i].Name)
		}
	}
	return append(out, "cool coils to pickle", "cool hot band", "fuel gas")
}

// Stock is the store of that name.
func (w *Works) Stock(name string) (v StockView, ok bool) {
	s := &w.P.Spec
	band := func(b Band, level float64) StockView {
		return StockView{Level: level, Room: b.Room, Free: b.Room - level, Low: b.Low, Normal: b.Normal, High: b.High}
	}
	switch name {
	case "cool coils to pickle":
		return band(s.CoilYard.Cool, float64(w.S.CoolPickG)/grams), true
	case "cool hot band":
		return band(s.CoilYard.CoolHot, float64(w.S.CoolHotG)/grams), true
	case "fuel gas":
		v = band(s.Gas.Holder, w.S.Gas)
		v.Energy = true
		return v, true
	}
	at, ok := w.P.StoreNamed(name)
	if !ok {
		return v, false
	}
	i := &w.P.Route.Places[at]
	g := func(x int64) float64 { return float64(x) / grams }
	v = StockView{Level: g(w.S.Mass[at]), Room: g(i.Room), Low: g(i.Low), Normal: g(i.Normal), High: g(i.High)}
	v.Free = v.Room - v.Level
	switch at { // what is under way to a store has its room already
	case w.P.p.yard:
		v.Free = g(w.S.Net.Stores[storeYard].Free())
	case w.P.p.coilYard:
		v.Free = g(w.S.Net.Stores[storeCoils].Free())
	}
	return v, true
}

// IronView is what can be seen of the iron side.
type IronView struct {
	Wind float64 // share ordered
	Rate float64 // kg/s of hot metal now
	Auto bool    // standing orders act on the wind
}

// Iron is what can be seen of the iron side.
func (w *Works) Iron() IronView { return IronView{w.S.Wind, w.S.IronRate, w.S.WindAuto} }

// FurnaceView is what can be seen of a furnace.
type FurnaceView struct {
	Slabs, Places int
	Step, Wanted  int     // set-back steps, 0 is the set-point
	Below         float64 // K below the set-point
	Waiting       bool    // a slab at heat waits to be drawn
}

// Furnace is what can be seen of furnace f.
func (w *Works) Furnace(f int) FurnaceView {
	k := &w.S.Furnaces[f]
	v := FurnaceView{Slabs: int(k.Row.N), Places: w.P.hearth[f], Step: int(k.Step), Wanted: int(k.Want), Waiting: k.DoorWait}
	if k.Step > 0 {
		v.Below = w.P.Spec.Furnaces[f].SetBacks[k.Step-1]
	}
	return v
}

// OverflowOpen says whether slabs are being trucked to the overflow yard.
func (w *Works) OverflowOpen() bool { return w.S.OverOpen }

// TappingStopped says whether a plan has stopped tapping.
func (w *Works) TappingStopped() bool { return w.S.TapHold }

// Operated is the operating time of unit u up to now, s: the clock that its upsets go
// by; 0 for a unit that keeps none.
func (w *Works) Operated(u int) float64 { return w.S.Net.Reading(u).Seconds() }
