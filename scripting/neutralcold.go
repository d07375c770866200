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

// neutralColdMill: a mill whose rate is given needs no stands; what it cuts off and
// how often its rolls are changed still counts.
func neutralColdMill(c *works.ColdMillSpec) {
	if c.Rate <= 0 {
		return
	}
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
