package futures

import (
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/steel"
	"millrace/sim/steel/hotrolling"
	"millrace/sim/works"
)

// testSpec is an invented works for the tests of this package: Testfell does not
// exist.
func testSpec() works.Spec {
	law := func(l chance.Law, err error) chance.Law {
		if err != nil {
			panic(err)
		}
		return l
	}
	t := 1000.0
	h := 3600.0
	s := works.Spec{Name: "Testfell", Currency: "EUR", Invented: true, Ambient: 25, SlabThick: 0.230, SlabLen: 10}
	s.Grades = []steel.Grade{
		{Name: "mild", Comp: steel.Composition{C: .05, Si: .02, Mn: .30, P: .01, S: .01}, FlowFactor: 1},
		{Name: "structural", Comp: steel.Composition{C: .15, Si: .15, Mn: .9, P: .015, S: .008}, FlowFactor: 1.05},
		{Name: "strong", Comp: steel.Composition{C: .07, Si: .05, Mn: 1.2, P: .01, S: .005}, FlowFactor: 1.2},
	}
	add := func(name string, g int, th, w, share float64, pickled bool, margin float64) {
		s.Products = append(s.Products, works.Product{Name: name, Grade: g, Thickness: th / 1000, Width: w, Share: share / 100, FinishTemp: 880, CoilTemp: 600, Pickled: pickled, Margin: margin / 1000, Surface: pickled})
	}
	add("P01", 1, 6, 1.5, 12, false, 110)
	add("P02", 1, 10, 1.5, 8, false, 110)
	add("P03", 0, 3, 1.25, 14, false, 110)
	add("P04", 0, 4, 1.35, 10, false, 110)
	add("P05", 0, 2, 1.1, 7, false, 130)
	add("P06", 2, 3.5, 1.3, 9, false, 140)
	add("P07", 1, 8, 1.2, 6, false, 110)
	add("P08", 0, 2.5, 1.25, 6, true, 140)
	add("P09", 0, 4, 1.4, 4, true, 140)
	add("P10", 0, 2.5, 1.25, 9, true, 150)
	add("P11", 0, 3.2, 1.4, 8, true, 150)
	add("P12", 0, 2.2, 1.0, 7, true, 150)
	s.Iron = works.IronSpec{Rate: 540 * t / h, LowWind: .62, Lag: 1.5 * h, Torpedo: works.Band{Low: 400 * t, Normal: 1500 * t, High: 2600 * t, Room: 3200 * t}, HotMetal: .86, HotLow: .78, HotHigh: .92, Yield: .92}
	s.Shop = works.ShopSpec{Heat: 250 * t, Vessels: 2, BlowTime: 36 * 60, TreatTime: 35 * 60, TreatScatt: law(chance.Lognormal(1, 1.12)), Ladles: 9, LadlesLow: 2, LadlesNorm: 4, LadlesHigh: 7,
		CoolRate: .5 / 60, RefHeat: 250 * t, PourDrop: 15, FirstDrop: 10, MinSuper: 8, AimSuper: 10, MaxOver: 95, ReheatRate: 3.5 / 60, ReheatHold: 3 * h, ReheatPower: 25e6, Skull: .004}
	for _, n := range []string{"C1", "C2"} {
		s.Casters = append(s.Casters, works.CasterSpec{Name: n, Strands: 2, Normal: 1.25 / 60, Slowest: .65 / 60, Wanted: 1.4 / 60, ShellK: 27, MouldK: 20, MouldLength: .8, MinShell: .011, Supported: 28,
			Tundish: 60 * t, TundishMin: 12 * t, LadleChange: 150, HeatsMax: 10, Turnaround: 45 * 60, WidthRate: .03 / 60, MaxWidth: .2, HeadCrop: .4, TailCrop: .6, Kerf: .012, TableSlabs: 12, TundishCost: 6000})
	}
	s.Yard = works.YardSpec{Band: works.Band{Low: 7000 * t, Normal: 15800 * t, High: 21500 * t, Room: 26000 * t}, Reachable: 1, Cranes: 3, LiftTime: 180, Digging: .35, MinStock: 5600 * t, Overflow: 14000 * t, OverflowRat: 600 * t / h, OverflowFee: .005, Emissivity: .8, Convection: 8, Pile: 5, CutTemp: 900}
	for _, n := range []string{"F1", "F2"} {
		s.Furnaces = append(s.Furnaces, works.FurnaceSpec{Name: n, Length: 48, Gap: .05, Zones: []works.Zone{{Share: .25, Gas: 980}, {Share: .30, Gas: 1260}, {Share: .25, Gas: 1340}, {Share: .20, Gas: 1300}}, Emissivity: .55, Discharge: 1240, MinDisch: 1200, WallLoss: 2e6, Efficiency: .58, SetBacks: []float64{60, 120, 250}, Recovery: 50 / h, TableSlabs: 6})
	}
	th := hotrolling.CommonThermal()
	th.ChillFactor = .85
	s.Rougher = works.RougherSpec{Mill: hotrolling.RoughingMill{RollRadius: .575, MaxForce: 40e6, MaxTorque: 2.6e6, MaxPower: 14e6, Efficiency: .95, BaseSpeed: 2.0, MaxSpeed: 2.8, ThreadSpeed: 1.0, Accel: .6, Decel: .9, ReversalTime: 8, Friction: .265, MinPasses: 7, MaxPasses: 7, Approach: 60,
		Primary: hotrolling.Sprays{Pairs: 2, H: 20e3, Footprint: .02}, PrimarySpeed: 1.2, Secondary: hotrolling.Sprays{Pairs: 2, H: 20e3, Footprint: .02}, SecondaryUntil: 5, Thermal: th},
		BarThin: .034, BarThick: .042, ThickFrom: .006, Scatter: law(chance.Lognormal(1, 1.06))}
	th2 := th
	th2.ChillFactor = 1
	mk := func(r, f, p, v, sh float64) hotrolling.Stand {
		return hotrolling.Stand{RollRadius: r, MaxForce: f * 1e6, MaxPower: p * 1e6, MaxSpeed: v, LoadShare: sh}
	}
	s.Train = works.TrainSpec{Train: hotrolling.FinishingTrain{Stands: []hotrolling.Stand{mk(.4, 38, 10, 5, 1), mk(.4, 38, 10, 8, 1), mk(.4, 36, 10, 11, 1), mk(.35, 34, 10, 15, .95), mk(.35, 32, 10, 18.5, .9), mk(.35, 30, 8, 21, .85)},
		StandSpacing: 5.5, Efficiency: .95, ThreadSpeedMax: 9.5, ThreadDistance: 120, Zoom: .08, Decel: .5, TailOutSpeed: 13, CoverFactor: .3, EntryDistance: 8, Descale: hotrolling.Sprays{Pairs: 2, H: 20e3, Footprint: .02}, InterstandH: 2000, InterstandLen: 1, Friction: .3, Gap: 18, Thermal: th2},
		MinEntry: 930, MaxWait: 180, Crop: .15, ShearTime: 8, Programme: 105, RollChange: 720, WarmUp: 10, FinishBand: 20, Scatter: law(chance.Lognormal(1, 1.06))}
	s.RunOut = works.RunOutSpec{Banks: 22, BankLength: 4.5, H: 1300, Water: 25, Length: 130}
	s.Coilers = works.CoilerSpec{Names: []string{"A", "B", "S"}, StripOut: 45, InUse: 2}
	s.Conveyor = works.ConveyorSpec{Places: 36, Normal: works.Band{Low: 4, Normal: 14, High: 26}, Transit: 1600, Cycle: 80}
	s.CoilYard = works.CoilYardSpec{Band: works.Band{Low: 30000 * t, Normal: 42000 * t, High: 52000 * t, Room: 58000 * t}, Cool: works.Band{Low: 1500 * t, Normal: 5000 * t, High: 9000 * t, Room: 12000 * t}, CoolHot: works.Band{Low: 3000 * t, Normal: 8000 * t, High: 14000 * t, Room: 20000 * t}, PickleMax: 55, DispatchMax: 100, Inner: .762, Fill: .97, RadialK: 6}
	s.Demand = works.DemandSpec{SoldOut: true, Pickle: 185 * t / h, Dispatch: 345 * t / h}
	s.Gas = works.GasSpec{Made: 390e6, PowerHouse: 200e6, Swing: 60e6, Holder: works.Band{Low: 150e9, Normal: 500e9, High: 900e9, Room: 1100e9}, FlareCost: 4e-9, BuyCost: 9e-9}
	s.Costs = works.CostSpec{HeatReturn: .07, IronLost: .25, Scrap: .3, Downgrade: .1, SlabStock: .1, Fuel: 9e-9, CO2: .08, ReheatPower: 25e-9, Haulage: .005, Matters: 10000}
	s.Standing = works.StandingOrders{YardLow: 12000 * t, YardHigh: 17500 * t, StopTapping: 0, ArriveEarly: 600, SetBackAfter: 1800, DeepAfter: 4 * h, SetForward: 3 * h, WindHigh: 2800 * t, WindLow: 1600 * t, PickleSwing: .3, Staging: 4, Reheat: true, SlowWhenFull: true}
	return s
}

func mustBuild(t testing.TB) *works.Plant {
	t.Helper()
	p, err := works.Build(testSpec())
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// wreck is a long stop of the finishing train, 30 h after the start.
func wreck(hours float64) works.UpsetSpec {
	lasts, err := chance.Lognormal(hours*3600, hours*2*3600)
	if err != nil {
		panic(err)
	}
	return works.UpsetSpec{Kind: works.StandWreck, Name: "stand wreck", Unit: "finishing train", At: 30 * 3600, Lasts: lasts,
		Told:  works.ToldSpec{Given: true, After: 1200, Low: hours / 2 * 3600, Likely: hours * 3600, Bad: 2 * hours * 3600, NextWord: 3 * 3600},
		Ruins: works.RuinPiece | works.RuinBehind | works.RuinRolls, Scripted: true}
}

const day = calendar.Day

// slower slows both casters when the train stops and brings them back when it
// runs again.
type slower struct {
	slow bool
	err  error
}

func (*slower) Wants() (calendar.Time, uint32) { return calendar.Never, works.TopicStops }

func (s *slower) Ask(w *works.Works) {
	train := w.P.UnitsNamed("finishing train")[0]
	stopped := w.S.Net.Units[train].Has(2)
	if stopped == s.slow {
		return
	}
	s.slow = stopped
	for _, c := range []string{"C1", "C2"} {
		v := 1.25 / 60
		if stopped {
			v = 0.8 / 60
		}
		if err := w.Do(works.Order{Lever: works.SetCasterSpeed, Unit: w.P.UnitsNamed(c)[0], Value: v}); err != nil {
			s.err = err
		}
	}
}

func (s *slower) Err() error { return s.err }
