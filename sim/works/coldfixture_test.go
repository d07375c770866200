package works

import (
	"millrace/sim/chance"

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
			Scale: pickling.CommonScale(), Trim: .02, Outside: 60 * t / h, OutFee: .07, OutBack: 72 * h, Overtime: 1.1},
		Mill:     ColdMillSpec{Mill: mill, Law: coldrolling.LowCarbon(), Crop: .012, RollCoils: 40, RollChange: 600, Scatter: law(chance.Lognormal(1, 1.08))},
		Anneal:   AnnealSpec{Bases: 72, Bells: 50, Coolers: 24, Cranes: 2, StackCoils: 4, Recipe: annealing.CommonRecipe(gas), Gas: gas, Gap: 20e-6, Handling: annealing.CommonHandling(), Floor: 60 * h},
		Temper:   TemperSpec{Mill: coldrolling.TemperMill{MaxForce: 12e6, MaxSpeed: 10, Accel: .5, Decel: .7, ChangeTime: 120, EndScrap: 10}, Elongation: .01, Overtime: 1.1},
		Dispatch: DispatchSpec{Slot: 1800, Hot: 350 * t / h, Cold: 178 * t / h, Weekend: .7, Overtime: 1.15},
		Pickled:  Band{500 * t, 1500 * t, 3500 * t, 4500 * t}, Hard: Band{1000 * t, 4000 * t, 6500 * t, 7500 * t},
		Annealed: Band{1500 * t, 4600 * t, 8000 * t, 9000 * t}, Finished: Band{5000 * t, 12000 * t, 18000 * t, 20000 * t},
	}
	s.CoilYard.ForcedH = 60
	return s
}
