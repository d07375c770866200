package scripting

import (
	"math"

	"millrace/sim/works"
)

// What stands for the equipment of the cold side where a rate is given, as for the
// hot side (common practice, no source).

func neutralPickle(p *works.PickleSpec) {
	if p.Rate <= 0 {
		return
	}
	l := &p.Line
	l.Tanks, l.AcidPercent, l.TempC = []float64{26, 26, 26}, 10, 80
	l.MaxProcess, l.MinProcess = 4, 0
	// Entry and exit are never what limits; the looper of the entry still says how
	// long a weld may take.
	l.EntrySpeed, l.WeldTime, l.EntryLooper = 20, 60, 400
	l.ExitSpeed, l.ChangeTime, l.ExitLooper = 20, 30, 300
}

// neutralColdMill has as many stands, up to five, as leave each 14 % of the lightest
// product's reduction, for which no force formula holds much below, or more where the
// heaviest needs them. Its rolls are small and its drives strong.
func neutralColdMill(c *works.ColdMillSpec, products []works.Product) {
	if c.Rate <= 0 {
		return
	}
	m := &c.Mill
	least, most := math.Inf(1), 0.0
	for i := range products {
		if p := &products[i]; p.Cold > 0 {
			strain := math.Log(p.Thickness / p.Cold)
			least, most = math.Min(least, strain), math.Max(most, strain)
		}
	}
	n := max(1, int(math.Min(5, math.Max(math.Ceil(most/-math.Log(1-0.42)), least/-math.Log(1-0.14)))))
	m.Tensions = append(m.Tensions, 60e6)
	for i := range n {
		s := more(&m.Stands)
		s.RollRadius, s.MaxForce, s.MaxPower = 0.1, 60e6, 50e6
		s.MaxSpeed, s.Friction, s.LoadShare = 60, 0.07, 1
		if i < n-1 {
			m.Tensions = append(m.Tensions, 100e6)
		}
	}
	m.Tensions = append(m.Tensions, 60e6)
	m.Efficiency, m.MaxExit, m.Accel, m.Decel = 0.92, 20, 0.5, 0.8
	m.ThreadSpeed, m.ThreadLength, m.TailSpeed, m.TailLength = 1, 40, 2, 30
	c.Crop, c.RollCoils, c.RollChange = 0.012, 40, 600
}

// neutralAnneal gives a shop known by its rate as many bases as go round in two
// days with it.
func neutralAnneal(a *works.AnnealSpec) {
	if a.Rate <= 0 {
		return
	}
	const coil, round = 22e3, 48 * 3600 // kg, s
	a.StackCoils = 4
	a.Bases = min(80, max(4, int(math.Ceil(a.Rate*round/(4*coil)))))
	a.Bells, a.Coolers = a.Bases, a.Bases
	a.Cranes = min(8, 1+a.Bases/12)
	a.Gap = 20e-6
	a.Floor = 60 * 3600
}

func neutralTemper(t *works.TemperSpec) {
	if t.Rate <= 0 {
		return
	}
	m := &t.Mill
	m.MaxForce, m.MaxSpeed, m.Accel, m.Decel = 100e6, 15, 0.5, 0.7
	m.ChangeTime, m.EndScrap = 120, 10
	t.Elongation = 0.01
}
