package coldrolling

import (
	"millrace/sim/reftable"
)

var near, nearRel, table = reftable.Near, reftable.NearRel, reftable.Numbers

// mill is an invented but ordinary tandem mill (common practice, no source).
func mill() Mill {
	m := Mill{Efficiency: 0.92, Accel: 0.5, Decel: 0.5, ThreadSpeed: 1, ThreadLength: 30, TailSpeed: 2, TailLength: 20, WeldSpeed: 6, WeldLength: 60, MaxExit: 20}
	for i := range 5 {
		m.Stands = append(m.Stands, Stand{RollRadius: 0.25, MaxForce: 18e6, MaxPower: 5e6,
			MaxSpeed: []float64{12, 16, 20, 24, 26}[i], Friction: []float64{.07, .06, .05, .04, .05}[i], MaxReduction: 0.42})
	}
	m.Stands[4].LoadShare = 1.4
	m.Tensions = []float64{40e6, 130e6, 150e6, 170e6, 180e6, 45e6}
	return m
}

// tinMill is a mill for the thinnest strip: small smooth rolls, the best of
// oils, strong tension (invented).
func tinMill() Mill {
	m := mill()
	for i := range m.Stands {
		m.Stands[i].RollRadius = 0.21
		m.Stands[i].Friction = []float64{.05, .04, .03, .025, .02}[i]
		m.Stands[i].MaxReduction = 0.5
	}
	m.Tensions = []float64{40e6, 140e6, 190e6, 220e6, 240e6, 80e6}
	return m
}

func strip(entry, exit, width float64) Strip {
	return Strip{EntryThickness: entry / 1e3, ExitThickness: exit / 1e3, Width: width}
}
