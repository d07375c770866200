package works

import (
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/flow"
	"millrace/sim/record"
)

func law(l chance.Law, err error) chance.Law {
	if err != nil {
		panic(err)
	}
	return l
}

// testUpsets are background upsets of every kind, more frequent than a works has
// them, so that a short run meets all of them.
func testUpsets() []UpsetSpec {
	h := 3600.0
	d := 24 * h
	ln := func(m, b float64) chance.Law { return law(chance.Lognormal(m, b)) }
	told := ToldSpec{After: 600, Bias: 1, NextWord: 2 * h}
	return []UpsetSpec{
		{Kind: SimpleCobble, Unit: "finishing train", Every: 150, Lasts: ln(8*60, 16*60), Told: told, Ruins: RuinPiece},
		{Kind: BadCobble, Unit: "finishing train", Every: 900, Lasts: ln(45*60, 180*60), Told: told, Ruins: RuinPiece | RuinBehind | RuinRolls},
		{Kind: StandWreck, Unit: "finishing train", Every: 20 * d, Lasts: ln(12*h, 40*h), Told: told, Ruins: RuinPiece | RuinRolls, ComesBack: .6, BackFor: 2 * h},
		{Kind: RollChangeForced, Unit: "finishing train", Every: 6 * d, Lasts: ln(20*60, 45*60), Told: told, Downgrades: 4},
		{Kind: FurnaceTrip, Unit: "furnace", Every: 5 * d, Lasts: ln(30*60, 120*60), Told: told},
		{Kind: FurnaceJam, Unit: "furnace", Every: 20 * d, Lasts: ln(6*h, 20*h), Told: told},
		{Kind: SlabCraneOut, Unit: "slab cranes", Every: 6 * d, Lasts: ln(2*h, 8*h), Told: told},
		{Kind: CasterBreakout, Unit: "caster", Every: 15 * d, Lasts: ln(10*h, 30*h), Told: told},
		{Kind: NozzleClogging, Unit: "caster", Every: 3 * d, Lasts: ln(20*60, 60*60), Told: told, Slow: .75, Downgrades: 1},
		{Kind: CoilerDown, Unit: "coiler", Every: 5 * d, Lasts: ln(25*60, 120*60), Told: told, Ruins: RuinPiece},
		{Kind: DescalePumpLost, Unit: "descaler", Every: 10 * d, Lasts: ln(30*60, 180*60), Told: told, Slow: .7},
		{Kind: LateHeat, Unit: "steel shop", Every: 40, Lasts: ln(15*60, 40*60), Told: told},
		{Kind: ShortStop, Name: "rougher trip", Unit: "rougher", Every: 2 * d, Lasts: ln(12*60, 45*60), Told: told},
		{Kind: ShortStop, Name: "train trip", Unit: "finishing train", Every: d, Lasts: ln(10*60, 40*60), Told: told},
		{Kind: ShortStop, Name: "conveyor jam", Unit: "conveyor", Every: 8 * d, Lasts: ln(40*60, 240*60), Told: told},
		{Kind: ShortStop, Name: "shear jam", Unit: "shear", Every: 8 * d, Lasts: ln(10*60, 40*60), Told: told},
	}
}

// monkey pulls random levers: whatever people do, no tonne may be lost.
type monkey struct {
	luck chance.Luck
	next calendar.Time
	n    uint64
}

func (m *monkey) Wants() (calendar.Time, uint32) { return m.next, TopicStops | TopicHeats }

func (m *monkey) Ask(w *Works) {
	m.next = w.Now() + 37*calendar.Minute
	m.n++
	u := m.luck.Uniforms(9999, m.n, 0)
	o := Order{Lever: Lever(u[0] * float64(NLevers)), Unit: int(u[1] * float64(w.P.u.count))}
	switch o.Lever {
	case SetCasterSpeed:
		o.Unit = w.P.u.caster + int(u[1]*2)
		o.Value = (0.6 + u[2]*0.9) / 60
	case EndSequence, ReopenCaster:
		o.Unit = w.P.u.caster + int(u[1]*2)
	case ReturnHeat, DivertHeat, HoldHeat:
		o.Unit = w.P.u.caster + int(u[1]*2)
		if v := w.HeatViews(); len(v) > 0 {
			o.Heat = v[int(u[2]*float64(len(v)))].Number
		}
	case SetFurnacesBack:
		o.Value = float64(int(u[2] * 5))
		o.Unit = -1
	case ChargeRule:
		o.Value = float64(int(u[2] * 7))
	default:
		o.Value = u[2] * 1.1
		o.N = 4
	}
	_ = w.Do(o)
}

// testColdUpsets are those of the cold side, as frequent.
func testColdUpsets() []UpsetSpec {
	h := 3600.0
	d := 24 * h
	ln := func(m, b float64) chance.Law { return law(chance.Lognormal(m, b)) }
	told := ToldSpec{After: 600, Bias: 1, NextWord: 2 * h}
	return []UpsetSpec{
		{Kind: WeldBreak, Unit: "pickle line", Every: 2 * d, Lasts: ln(20*60, 60*60), Told: told},
		{Kind: LooperExhausted, Unit: "pickle line", Every: 5 * d, Lasts: ln(10*60, 40*60), Told: told},
		{Kind: TankBreak, Unit: "pickle line", Every: 8 * d, Lasts: ln(6*h, 12*h), Told: told, Ruins: RuinPiece},
		{Kind: AcidOut, Unit: "pickle line", Every: 8 * d, Lasts: ln(8*h, 30*h), Told: told, Slow: .5},
		{Kind: ColdMillBreak, Unit: "cold mill", Every: 2 * d, Lasts: ln(50*60, 120*60), Told: told, Ruins: RuinPiece | RuinRolls},
		{Kind: BellCraneOut, Unit: "bell cranes", Every: 6 * d, Lasts: ln(4*h, 16*h), Told: told},
		{Kind: GasLost, Unit: "anneal bases", Every: 10 * d, Lasts: ln(3*h, 12*h), Told: told},
		{Kind: DispatchBlocked, Unit: "dispatch", Every: 8 * d, Lasts: ln(12*h, 40*h), Told: told},
		{Kind: SlowDown, Name: "torch down", Unit: "caster", Every: 5 * d, Lasts: ln(20*60, 120*60), Told: told, Slow: .5, StopsAfter: 20 * 60},
		{Kind: SlowDown, Name: "rougher slow", Unit: "rougher", Every: 3 * d, Lasts: ln(h, 4*h), Told: told, Slow: .7},
		{Kind: SlowDown, Name: "no computer", Unit: "rougher", With: []string{"finishing train", "pickle line"}, Every: 9 * d, Lasts: ln(h, 4*h), Told: told, Slow: .7},
		{Kind: SequenceBroken, Unit: "caster", Every: 4 * d, Lasts: ln(h, 2*h), Told: told, Ruins: RuinHeat, ComesBack: .8, BackFor: h},
		{Kind: SupplyLost, Name: "black-out", Unit: "finishing train", With: []string{"C1", "C2", "steel shop", "F1", "F2", "descaler", "rougher", "shear", "run-out table", "coiler A", "coiler B", "coiler S", "conveyor", "pickle line", "cold mill", "anneal bases", "temper mill", "dispatch", "slab cranes", "bell cranes"},
			Every: 12 * d, Lasts: ln(2*h, 8*h), Told: told, Ruins: RuinPiece | RuinBehind, ComesBack: .7, BackFor: 3 * h},
		{Kind: ShortStop, Name: "shop stop", Unit: "steel shop", Every: 5 * d, Lasts: ln(h, 4*h), Told: told},
		{Kind: ShortStop, Name: "door", Unit: "furnace", Every: 5 * d, Lasts: ln(20*60, 4*h), Told: told, ComesBack: .5, BackFor: h},
		{Kind: ShortStop, Name: "caster stop", Unit: "caster", Every: 8 * d, Lasts: ln(3*h, 8*h), Told: told},
		{Kind: ShortStop, Name: "base fault", Unit: "anneal bases", Every: 4 * d, Lasts: ln(4*h, 12*h), Told: told},
		{Kind: ShortStop, Name: "fly-up", Unit: "run-out table", Every: 4 * d, Lasts: ln(15*60, h), Told: told, Ruins: RuinPiece},
		{Kind: ShortStop, Name: "bar stuck", Unit: "rougher", Every: 4 * d, Lasts: ln(15*60, h), Told: told, Ruins: RuinPiece, ComesBack: .7, BackFor: h},
		{Kind: ShortStop, Name: "temper break", Unit: "temper mill", Every: 4 * d, Lasts: ln(15*60, h), Told: told, Ruins: RuinPiece},
		{Kind: ShortStop, Name: "leak", Unit: "pickle line", Every: 9 * d, Lasts: ln(2*h, 8*h), Told: told, Ruins: RuinPiece},
	}
}

// stopsNow says whether an upset on the unit lasts.
func stopsNow(w *Works, u int) bool {
	for i := range w.S.Upsets {
		if w.S.Upsets[i].Active && int(w.S.Upsets[i].Unit) == u {
			return true
		}
	}
	return false
}

// TestNothingIsLost plays futures full of upsets with a monkey at the levers and
// checks the laws of a works every simulated day.
func TestNothingIsLost(t *testing.T) {
	t.Run("hot side", func(t *testing.T) { nothingIsLost(t, testSpec(), testUpsets()) })
	t.Run("whole route", func(t *testing.T) { nothingIsLost(t, testColdSpec(), append(testUpsets(), testColdUpsets()...)) })
}

func nothingIsLost(t *testing.T, s Spec, upsets []UpsetSpec) {
	s.Upsets = upsets
	s.Planned = []PlannedSpec{{Unit: "hot mill", First: -1, Every: 14 * 86400, Lasts: 12 * 3600, Movable: true, Earliest: 10 * 86400}, {Unit: "C1", First: -1, Every: 14 * 86400, Lasts: 12 * 3600, Movable: true, Earliest: 10 * 86400},
		{Unit: "F1", First: -1, Every: 9 * 86400, Lasts: 30 * 3600}, {Unit: "pickle line", First: -1, Every: 7 * 86400, Lasts: 10 * 3600}, {Unit: "slab cranes", First: -1, Every: 5 * 86400, Lasts: 5 * 3600}}
	p, err := Build(s)
	if err != nil {
		t.Fatal(err)
	}
	futures := uint64(24)
	if testing.Short() {
		futures = 6
	}
	kinds := map[int32]int{}
	levers := map[int32]int{}
	refused := map[int32]int{}
	for f := range futures {
		luck := chance.Luck{Seed: 7, Future: f}
		w := Begin(p, Start{Luck: luck, Background: true, SoldOut: true})
		m := &record.Memory{}
		w.Sink = m
		if f%2 == 1 {
			w.Director = &monkey{luck: luck}
		}
		coiled := 0
		for d := calendar.Time(1); d <= 20; d++ {
			ran := !w.MillStopped()
			if err := w.Run(d * calendar.Day); err != nil {
				t.Fatal(err)
			}
			// A mill that can work, with slabs to roll, does not stand for a day.
			was := coiled
			coiled = 0
			for i := range m.Events {
				if m.Events[i].Kind == record.Move && m.Events[i].To == p.p.coiler {
					coiled++
				}
			}
			if f%2 == 0 && coiled == was && ran && !w.MillStopped() && float64(w.S.Mass[p.p.yard])/grams > p.Spec.Yard.MinStock && w.S.Net.Stores[storeCoils].Free() > 4*p.meanSlab() && w.S.Furnaces[0].Jams+w.S.Furnaces[1].Jams < 2 {
				t.Errorf("seed 7 future %d: nothing is rolled on day %d", f, d)
			}
			for u := range p.Route.Units {
				if w.S.Net.Units[u].Has(flow.CauseDown) && !stopsNow(w, u) {
					t.Errorf("seed 7 future %d: on day %d the %s is down and nothing holds it", f, d, p.Route.Units[u].Name)
				}
			}
			if errs := w.Check(); len(errs) > 0 {
				t.Fatalf("seed 7 future %d day %d: %v", f, d, errs)
			}
		}
		last := calendar.Time(0)
		for _, e := range m.Events {
			if e.T < last {
				t.Fatalf("future %d: time went back from %d to %d", f, last, e.T)
			}
			last = e.T
			switch e.Kind {
			case record.Upset:
				kinds[e.A]++
			case record.Ordered:
				levers[e.A]++
			case record.Refused:
				refused[e.A]++
			}
		}
		q := &p.p
		g := func(at record.Place) float64 { return float64(w.S.Mass[at]) / 1e6 }
		if testing.Verbose() {
			t.Logf("future %2d: rolled %6.0f t, yard %6.0f, returned %5.0f, cobble %5.0f scrap %5.0f crop %5.0f skull %5.0f scale %5.0f trim %4.0f crop %5.0f pooled %6.0f", f, g(q.toPickle)+g(q.hotBand), g(q.yard), g(q.returned), g(q.cobble), g(q.scrap), g(q.castCrop), g(q.skull), g(q.scale), g(q.trim), g(q.crop), g(q.pooled))
		}
	}
	cold := s.Cold != nil
	for k := range Kinds {
		if !cold && UpsetKind(k) >= WeldBreak {
			break
		}
		if kinds[int32(k)] == 0 {
			t.Errorf("no %s happened: the test does not reach it", Kinds[k].Name)
		}
	}
	for k := range Levers {
		if !cold && Lever(k) >= ForceCooling {
			break
		}
		if levers[int32(k)] == 0 {
			t.Errorf("lever %q was never obeyed (%d times refused)", Levers[k].Name, refused[int32(k)])
		}
	}
}
