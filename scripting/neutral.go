package scripting

import (
	"math"

	"millrace/sim/works"
)

// Where a works file gives a measured rate in place of equipment, the rate sets
// the times. The equipment below then stands for what is not described: ordinary
// for what still decides temperatures, and too strong ever to be a limit (common
// practice, no source).

func neutralShop(s *works.ShopSpec) {
	if s.Rate <= 0 {
		return
	}
	s.Vessels = 2
	s.TreatTime = 35 * 60
	s.CoolRate = 0.5 / 60
	s.PourDrop, s.FirstDrop = 15, 10
	s.MinSuper, s.AimSuper, s.MaxOver = 8, 10, 95
	s.ReheatRate, s.ReheatHold, s.ReheatPower = 4.0/60, 2*3600, 25e6
	s.Skull = 0.006
	s.Ladles, s.LadlesLow, s.LadlesNorm, s.LadlesHigh = 9, 2, 4, 7
}

func neutralCaster(c *works.CasterSpec) {
	if c.Rate <= 0 {
		return
	}
	c.Strands = 2
	c.MouldLength = 0.8
	c.Tundish, c.TundishMin = 60e3, 18e3
	c.LadleChange = 150
	c.HeatsMax, c.Turnaround = 10, 3600
	c.WidthRate, c.MaxWidth = 0.03/60, 0.2
	c.HeadCrop, c.TailCrop, c.Kerf = 0.4, 0.6, 0.012
	c.TableSlabs = 12
}

// neutralSpeeds gives a caster known by its rate the speeds that go with it, once
// the slabs are known: only their ratios matter.
func neutralSpeeds(c *works.CasterSpec, thickness, width float64) {
	if c.Rate <= 0 || thickness <= 0 || width <= 0 {
		return
	}
	const density = 7850
	v := c.Rate / (float64(c.Strands) * thickness * width * density)
	set := func(to *float64, x float64) {
		if *to == 0 {
			*to = x
		}
	}
	set(&c.Normal, v)
	set(&c.Slowest, 0.6*c.Normal)
	set(&c.Wanted, 1.1*c.Normal)
	// Long enough, and a mould good enough, for the fastest speed: the strand is
	// solid at v (H/2K)^2, in mm and min.
	solid := c.Wanted * 60 * (thickness * 1000 / (2 * c.ShellK)) * (thickness * 1000 / (2 * c.ShellK))
	set(&c.Supported, 1.05*solid)
	if exit := c.MouldK / 1000 * math.Sqrt(c.MouldLength/(c.Wanted*60)); exit < c.MinShell {
		c.MinShell = 0.9 * exit
	}
}

func neutralFurnace(f *works.FurnaceSpec) {
	if f.Rate <= 0 {
		return
	}
	f.Gap = 0.05
	// One zone: the stay is counted from charging.
	f.Zones = []works.Zone{{Share: 1, Gas: 1250}}
	f.Discharge, f.MinDisch = 1235, 1150
	f.WallLoss, f.Efficiency = 2e6, 0.57
	f.SetBacks, f.Recovery = []float64{60, 120, 250}, 50.0/3600
	f.TableSlabs = 6
}

// neutralHearth gives a furnace known by its rate a hearth on which a slab stays
// three hours.
func neutralHearth(f *works.FurnaceSpec, slab, width float64) {
	if f.Rate > 0 && f.Length == 0 && slab > 0 {
		f.Length = min(120, max(5, f.Rate*3*3600/slab*(width+f.Gap)))
	}
}

func neutralRougher(g *works.RougherSpec) {
	if g.Rate <= 0 {
		return
	}
	m := &g.Mill
	m.RollRadius, m.Friction = 0.6, 0.4
	m.MaxForce, m.MaxTorque, m.MaxPower, m.Efficiency = 200e6, 50e6, 200e6, 0.95
	m.BaseSpeed, m.MaxSpeed, m.ThreadSpeed, m.Accel, m.Decel = 2.4, 4, 1.3, 0.9, 1.2
	m.ReversalTime, m.MinPasses, m.MaxPasses, m.Approach = 5, 5, 9, 60
	m.PrimarySpeed = 1.2
	g.BarThin, g.BarThick, g.ThickFrom = 0.034, 0.042, 0.006
}

func neutralTrain(g *works.TrainSpec) {
	if g.Rate <= 0 {
		return
	}
	m := &g.Train
	for _, v := range []float64{10, 14, 18, 22, 26, 30} {
		s := more(&m.Stands)
		s.RollRadius, s.MaxForce, s.MaxPower, s.MaxSpeed, s.LoadShare = 0.38, 200e6, 100e6, v, 1
	}
	m.StandSpacing, m.Efficiency = 5.5, 0.95
	m.ThreadSpeedMax, m.ThreadDistance = 10, 120
	m.Zoom, m.Decel, m.TailOutSpeed = 0.15, 0.5, 13
	m.InterstandH, m.InterstandLen = 3000, 1
	m.Friction, m.Gap = 0.4, 18
	g.MinEntry, g.MaxWait = 900, 180
	g.Crop, g.ShearTime = 0.15, 8
	g.Programme, g.RollChange, g.WarmUp = 100, 720, 0
	g.FinishBand = 200
}
