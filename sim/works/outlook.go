package works

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/flow"
	"millrace/sim/record"
)

// Brink is a store that can run full or dry, and what that does.
type Brink struct {
	Name  string
	Full  bool // false: dry
	Stops string
	// Under is the level, in the store's unit of account, below which it counts
	// as dry; 0: when nothing is left.
	Under float64
	place record.Place
}

// Brinks lists the ends of stores that stop a unit or cost money, in the order of
// the route.
func (p *Plant) Brinks() []Brink {
	hot, slabs := p.hotMetalLow()/1e6, p.Spec.Yard.MinStock/1e3
	out := []Brink{
		{"torpedoes", true, "iron is pooled", 0, p.p.torpedoes},
		{"torpedoes", false, "no heat is blown", hot, p.p.torpedoes},
		{"ladles", true, "no heat is tapped", 0, p.p.ladles},
		{"slab yard", true, "casters stop", 0, p.p.yard},
		{"slab yard", false, "no programme, furnaces run empty", slabs, p.p.yard},
		{"conveyor", true, "the mill stops", 0, p.p.conveyor},
		{"coil yard", true, "the conveyor, then the mill stops", 0, p.p.coilYard},
		{"cool coils to pickle", false, "pickling starves", 0, p.p.coilYard},
		{"cool hot band", false, "dispatch starves", 0, p.p.dispatch},
		{"fuel gas", true, "gas is flared", 0, record.Nowhere},
	}
	if p.Spec.Cold != nil {
		out = append(out, p.coldBrinks()...)
	}
	return out
}

// hotMetalLow is the hot metal below which no heat is begun, g.
func (p *Plant) hotMetalLow() float64 {
	return p.Spec.Iron.HotLow * p.Spec.Shop.Heat / p.Spec.Iron.Yield * grams
}

// AtBrink says whether the store of brink i is full or dry now.
func (w *Works) AtBrink(i int) bool {
	s := &w.P.Spec
	st := &w.S
	n := &st.Net
	slab := w.P.meanSlab()
	switch i {
	case 0:
		return st.Mass[w.P.p.torpedoes] >= int64(s.Iron.Torpedo.Room*grams)-1
	case 1:
		return float64(st.Mass[w.P.p.torpedoes]) < w.P.hotMetalLow()
	case 2:
		return w.ladlesFull() >= s.Shop.Ladles
	case 3:
		return n.Stores[storeYard].Free() < slab
	case 4:
		return float64(st.Mass[w.P.p.yard])/grams < s.Yard.MinStock
	case 5:
		return st.Conveyor.N >= int32(s.Conveyor.Places)-conveyorSpare
	case 6:
		return n.Stores[storeCoils].Free() < slab
	case 7:
		return st.CoolPick.N == 0 && n.Units[w.P.u.pickle].Piece < 0
	case 8:
		return st.CoolHot.N == 0 && n.Units[w.P.u.dispatch].Piece < 0
	case 9:
		return st.Gas >= s.Gas.Holder.Room*0.999
	}
	return s.Cold != nil && w.atColdBrink(i-hotBrinks)
}

// BrinkLevel returns level and room of the store of brink i, with the word for
// its amount.
func (w *Works) BrinkLevel(i int) (level, room float64, amount string) {
	s := &w.P.Spec
	t := func(g int64) float64 { return float64(g) / 1e6 }
	switch i {
	case 0, 1:
		return t(w.S.Mass[w.P.p.torpedoes]), s.Iron.Torpedo.Room / 1e3, "t"
	case 2:
		open := 0
		for c := range s.Casters {
			if w.S.Casters[c].Open >= 0 {
				open++
			}
		}
		return float64(w.ladlesFull() - open), float64(s.Shop.Ladles - open), "heats"
	case 3, 4:
		return t(w.S.Mass[w.P.p.yard]), t(w.P.usable), "t"
	case 5:
		return float64(w.S.Conveyor.N), float64(s.Conveyor.Places), "coils"
	case 6:
		return t(w.S.Mass[w.P.p.coilYard]), s.CoilYard.Room / 1e3, "t"
	case 7:
		return t(w.S.CoolPickG), s.CoilYard.Cool.Room / 1e3, "t"
	case 8:
		return t(w.S.CoolHotG), s.CoilYard.CoolHot.Room / 1e3, "t"
	case 9:
		return w.S.Gas / 1e9, s.Gas.Holder.Room / 1e9, "GJ"
	}
	if s.Cold != nil {
		return w.coldBrinkLevel(i - hotBrinks)
	}
	return 0, 0, ""
}

// TapMargin is the room that would be left in the slab yard, in grams, when all
// committed steel and one heat more have been cast and nothing is withdrawn: when
// it turns negative the last heat that fits has been tapped.
func (w *Works) TapMargin() int64 {
	yield := 1 - w.P.Spec.Shop.Skull
	return w.S.Net.Stores[storeYard].Free() - int64(w.committed()*grams*yield) - int64(float64(w.P.heatG)*yield)
}

// HeatsPouredBack is the steel that went back to the converter so far, in heats.
func (w *Works) HeatsPouredBack() float64 {
	return float64(w.S.Mass[w.P.p.returned]) / float64(w.P.heatG)
}

// MillStopped says whether the rolling line stands.
func (w *Works) MillStopped() bool { return w.S.MillStop != calendar.Never }

// CastRate is the mean rate at which the casters put slabs into the yard, kg/s:
// speed is a share of normal, casters how many of them cast. Turnarounds count.
func (w *Works) CastRate(speed float64, casters int) float64 {
	s := &w.P.Spec
	sum := 0.0
	for c := range s.Casters {
		if c >= casters {
			break
		}
		k := &s.Casters[c]
		v, metre := 0.0, 0.0
		for i := range w.P.products {
			v += w.P.products[i].Share * w.normalSpeed(c, i)
			metre += w.P.products[i].Share * w.P.products[i].metreMass
		}
		v *= speed
		q := float64(k.Strands) * metre * v
		seq := float64(k.HeatsMax) * s.Shop.Heat * (1 - s.Shop.Skull)
		cast := seq / q
		turn := k.Turnaround + k.Supported/v
		sum += (seq - k.TundishMin) / (cast + turn)
	}
	return sum
}

// SlowestShare is the slowest casting speed as a share of normal.
func (p *Plant) SlowestShare() float64 {
	x := 0.0
	for c := range p.Spec.Casters {
		x = math.Max(x, p.Spec.Casters[c].Slowest/p.Spec.Casters[c].Normal)
	}
	return x
}

// HeatView is what can be known of a heat in flight.
type HeatView struct {
	Number  int32
	Caster  string
	Stage   string
	AboveK  float64 // K above liquidus now
	OpenBy  calendar.Time
	Product string
}

// HeatViews lists the heats that are tapped, in order of number. OpenBy is Never
// for a heat whose ladle is open or that is still in treatment.
func (w *Works) HeatViews() []HeatView {
	var out []HeatView
	for c := range w.P.Spec.Casters {
		for i := range w.S.Heats {
			h := &w.S.Heats[i]
			if int(h.Caster) != c {
				continue
			}
			v := HeatView{Number: h.No, Caster: w.P.Spec.Casters[c].Name, Product: w.P.Spec.Products[h.Prod].Name, OpenBy: calendar.Never}
			liq := w.P.products[h.Prod].liquidus
			switch h.Stage {
			case htTreating:
				v.Stage = "in treatment"
				v.AboveK = math.Min(w.needOver(h)+w.P.Spec.Shop.AimSuper, w.P.Spec.Shop.MaxOver)
				// Treated as planned it may then wait for its spare.
				v.OpenBy = h.Ready + calendar.Dur(w.P.Spec.Shop.AimSuper/w.P.ladleK)
			case htWaiting:
				v.Stage = "waiting"
				v.AboveK = w.ladleC(h) - liq
				v.OpenBy = w.openBy(h)
			case htReheat:
				v.Stage = "at the reheat stand"
				v.AboveK = w.ladleC(h) - liq
				v.OpenBy = w.openBy(h)
			case htOpen:
				v.Stage = "open"
				tc := h.TC
				if tc == 0 {
					tc = liq + w.needOver(h) + w.P.Spec.Shop.AimSuper
					v.AboveK = tc - liq
				} else {
					v.AboveK = tc - w.P.ladleK*(w.Now()-h.At).Seconds() - liq
				}
			default:
				continue
			}
			out = append(out, v)
		}
	}
	for i := range out { // few: insertion sort by number
		for j := i; j > 0 && out[j].Number < out[j-1].Number; j-- {
			out[j], out[j-1] = out[j-1], out[j]
		}
	}
	return out
}

// ToldOf returns what people were told of the end of the unit's stop.
func (w *Works) ToldOf(u int) (low, likely, badly calendar.Time, ok bool) {
	for i := range w.S.Upsets {
		up := &w.S.Upsets[i]
		if up.Active && int(up.Unit) == u && up.Told {
			return up.Low, up.Likely, up.Bad, true
		}
	}
	return 0, 0, 0, false
}

// UpsetFor is the kind of upset that takes a unit down when nothing more is
// known than that it is down.
func (p *Plant) UpsetFor(u int) UpsetKind {
	k := &p.u
	switch {
	case u == k.train:
		return StandWreck
	case u >= k.caster && u < k.caster+len(p.Spec.Casters):
		return CasterBreakout
	case u >= k.crane && u < k.crane+p.Spec.Yard.Cranes:
		return SlabCraneOut
	case u >= k.furnace && u < k.furnace+len(p.Spec.Furnaces):
		return FurnaceJam
	case u >= k.coil && u < k.coil+len(p.Spec.Coilers.Names):
		return CoilerDown
	}
	return ShortStop
}

// CanStop says whether the unit can be taken down by an upset.
func (p *Plant) CanStop(u int) bool { return u != p.u.iron && u != p.u.reheatStand }

// States returns the hours of unit u by state up to now.
func (w *Works) States(u int) [flow.NStates]float64 {
	w.S.Net.Settle()
	var out [flow.NStates]float64
	for s := range out {
		out[s] = w.S.Net.Units[u].Spent[s].Hours()
	}
	return out
}

// MeanSlab is the mean mass of a slab of the mix, kg.
func (p *Plant) MeanSlab() float64 { return float64(p.meanSlab()) / grams }

// Usable is the room of the slab yard within reach, kg.
func (p *Plant) Usable() float64 { return float64(p.usable) / grams }

// AtBrinks fills out with AtBrink of every brink.
func (w *Works) AtBrinks(out []bool) []bool {
	out = out[:0]
	for i := range w.P.Brinks() {
		out = append(out, w.AtBrink(i))
	}
	return out
}

// UpsetActive says whether upset number i of this run still lasts.
func (w *Works) UpsetActive(i int) bool { return i < len(w.S.Upsets) && w.S.Upsets[i].Active }

// StopsRolling says whether a stop of the unit stops the mill and so the
// withdrawal of slabs.
func (p *Plant) StopsRolling(u int) bool {
	k := &p.u
	return u == k.descaler || u == k.rougher || u == k.shear || u == k.train || u == k.runOut
}

// ProductView is what physics says about one product.
type ProductView struct {
	Name        string  `json:"name"`
	ThicknessMM float64 `json:"thickness_mm"`
	WidthM      float64 `json:"width_m"`
	SlabT       float64 `json:"slab_t"`
	RoughS      float64 `json:"rough_s"`
	RoughLimit  string  `json:"rough_held_by"`
	RollS       float64 `json:"roll_s"`
	RollLimit   string  `json:"roll_held_by"`
	RatePerHour float64 `json:"t_per_hour"` // through rougher and train, without stops
	CoolH       float64 `json:"cool_h"`     // until it may be pickled or dispatched
}

// ProductViews lists the products with their times at the normal discharge
// temperature.
func (p *Plant) ProductViews() []ProductView {
	var out []ProductView
	for i := range p.products {
		pr := &p.products[i]
		rough, bar, _ := pr.rough.at(p.Spec.Furnaces[0].Discharge)
		roll, _, _ := pr.finish.at(bar)
		cool := pr.dispTime
		if pr.Pickled {
			cool = pr.coolTime
		}
		out = append(out, ProductView{pr.Name, pr.Thickness * 1000, pr.Width, float64(pr.slabMass) / 1e6, rough, pr.rough.limit, roll, pr.finish.limit,
			float64(pr.slabMass) / 1e6 * 3600 / math.Max(rough, roll+p.Spec.Train.Train.Gap), cool / 3600}) // as a run has it: the next slab bites when the last is out
	}
	return out
}

// Charged is how many slabs have been lifted towards the furnaces in this run.
func (w *Works) Charged() int32 { return w.S.ChargeSeq }

// YardFree is the room left in the slab yard, kg.
func (w *Works) YardFree() float64 { return float64(w.S.Net.Stores[storeYard].Free()) / grams }
