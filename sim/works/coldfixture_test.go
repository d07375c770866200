package works

import (
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
	"millrace/sim/steel/annealing"
	"millrace/sim/steel/coldrolling"
	"millrace/sim/steel/pickling"
)

// testColdSpec is the test works with a cold side.
func testColdSpec() Spec {
	s := testSpec()
	t, h := 1000.0, 3600.0
	cold := map[string]float64{"P10": .8, "P11": .7, "P12": .5}
	for i := range s.Products {
		p := &s.Products[i]
		p.Cold = cold[p.Name] / 1000
		p.Annealed = p.Name == "P10" || p.Name == "P11"
	}
	mill := coldrolling.Mill{Tensions: []float64{40e6, 130e6, 150e6, 170e6, 180e6, 45e6}, Efficiency: .92, MaxExit: 20, Accel: .5, Decel: .8, ThreadSpeed: 1, ThreadLength: 40, TailSpeed: 2, TailLength: 30}
	for i := range 5 {
		mill.Stands = append(mill.Stands, coldrolling.Stand{RollRadius: .25, MaxForce: 20e6, MaxPower: 5e6, MaxSpeed: []float64{12, 16, 20, 24, 26}[i], Friction: []float64{.07, .06, .05, .04, .05}[i], MaxReduction: .42, LoadShare: []float64{1, 1, 1, 1, .6}[i]})
	}
	gas := annealing.Hydrogen()
	s.Cold = &ColdSpec{
		Pickle: PickleSpec{Line: pickling.Line{Tanks: []float64{26, 26, 26}, AcidPercent: 10, TempC: 80, MaxProcess: 4, MinProcess: .3, EntrySpeed: 8, WeldTime: 100, EntryLooper: 400, ExitSpeed: 7, ChangeTime: 45, ExitLooper: 300},
			Scale: pickling.CommonScale(), Trim: .02, Outside: 60 * t / h, OutFee: .07, Overtime: 1.1},
		Mill:     ColdMillSpec{Mill: mill, Law: coldrolling.LowCarbon(), Crop: .012, RollCoils: 40, RollChange: 600, Scatter: law(chance.Lognormal(1, 1.08))},
		Anneal:   AnnealSpec{Bases: 72, Bells: 50, Coolers: 24, Cranes: 2, StackCoils: 4, Recipe: annealing.CommonRecipe(gas), Gas: gas, Gap: 20e-6, Handling: annealing.CommonHandling(), Floor: 60 * h},
		Temper:   TemperSpec{Mill: coldrolling.TemperMill{MaxForce: 12e6, MaxSpeed: 10, Accel: .5, Decel: .7, ChangeTime: 120, EndScrap: 10}, Elongation: .01},
		Dispatch: DispatchSpec{Slot: 1800, Hot: 350 * t / h, Cold: 178 * t / h, Weekend: .7},
		Pickled:  Band{500 * t, 1500 * t, 3500 * t, 4500 * t}, Hard: Band{1000 * t, 4000 * t, 6500 * t, 7500 * t},
		Annealed: Band{1500 * t, 4600 * t, 8000 * t, 9000 * t}, Finished: Band{5000 * t, 12000 * t, 18000 * t, 20000 * t},
	}
	s.CoilYard.ForcedH = 60
	return s
}

func TestColdLook(t *testing.T) {
	p, err := Build(testColdSpec())
	if err != nil {
		t.Fatal(err)
	}
	for i := range p.products {
		pr := &p.products[i]
		if pr.Pickled {
			t.Logf("%s way %d pickle %.0f s (%s, need %.0f s, looper %.0f s) %.0f t/h, mill %.0f s (%s) %.0f t/h, heat %.1f h cool %.1f h temper %.0f s, forced %.2f of %.0f h", pr.Name, p.way(i), pr.pickleS, pr.pickleBy, pr.acidNeed, pr.looperS, float64(pr.slabMass)/1e6/pr.pickleS*3600, pr.millS, pr.millBy, float64(pr.slabMass)/1e6/pr.millS*3600, pr.heatS/3600, pr.baseCoolS/3600, pr.temperS, pr.forced, pr.coolTime/3600)
		}
	}
	w := Begin(p, Start{Luck: chance.Luck{Seed: 1}, SoldOut: true})
	w.Sink = record.Discard
	for d := 0; d <= 60; d += 3 {
		if err := w.Run(calendar.Time(d) * calendar.Day); err != nil {
			t.Fatal(err)
		}
		c := &w.S.Cold
		st := map[baseStage]int{}
		for b := range 72 {
			st[c.Bases[b].Stage]++
		}
		m := func(at record.Place) float64 { return float64(w.S.Mass[at]) / 1e6 }
		t.Logf("day %2d yard %6.0f coil %6.0f coolP %5.0f coolH %5.0f pickled %5.0f hard %5.0f bases %5.0f anneal %5.0f fin %6.0f gone hot %7.0f cold %7.0f free %d bells %d coolers %d stages %v", d, m(p.p.yard), m(p.p.coilYard), float64(w.S.CoolPickG)/1e6, float64(w.S.CoolHotG)/1e6,
			float64(c.PickledG)/1e6, float64(c.HardG)/1e6, m(p.p.bases), float64(c.AnnealG)/1e6, float64(c.FinishG)/1e6, m(p.p.hotBand), m(p.p.coldGone), st[bsFree], c.BellsFree, c.CoolersFree, st)
		for _, e := range w.Check() {
			t.Error(e)
		}
	}
	for u := range p.Route.Units {
		if s := w.States(u); u >= p.u.pickle {
			t.Logf("%-18s %.0f", p.Route.Units[u].Name, s)
		}
	}
}
