package scripting

import (
	"strconv"

	"millrace/sim/quantity"
	"millrace/sim/works"
)

// The hot side of a works file: slab yard to coilers.

func (r *worksReader) yard(s *section) {
	y := &r.spec.Yard
	s.band(quantity.Mass, &y.Band)
	y.Reachable = 1
	s.share0("reachable", &y.Reachable)
	s.count("cranes", &y.Cranes, 1, 8)
	s.time("lift", &y.LiftTime, within{"1 s", "1 h"})
	s.number("digging", &y.Digging, 0, 10)
	s.mass("programme_stock", &y.MinStock)
	if y.MinStock > y.Room && y.Room > 0 {
		s.t.Problem("programme_stock", "it is more than the yard holds", "write the stock that a programme can be chosen from")
	}
	if o := s.sub0("overflow"); o != nil {
		o.mass("room", &y.Overflow)
		o.massRate("rate", &y.OverflowRat)
		o.quantity("fee", quantity.MoneyPerMass, &y.OverflowFee)
		o.end()
	}
	// Scaled steel in still air (common practice, no source).
	y.Emissivity, y.Convection = 0.8, 8
	s.number0("emissivity", &y.Emissivity, 0.1, 1)
	s.quantity0("convection", quantity.HeatTransfer, &y.Convection, within{"0 W/m2K", "100 W/m2K"})
	s.count("pile", &y.Pile, 1, 40)
	s.celsius("cut", &y.CutTemp, within{"500 C", "1200 C"})
	s.end()
}

func (r *worksReader) furnace(name string, s *section) {
	f := more(&r.spec.Furnaces)
	f.Name = name
	s.quantity0("rate", quantity.MassRate, &f.Rate, within{"1 t/h", "2000 t/h"})
	s.loose = f.Rate > 0
	// Gas and wall radiate on the slab as one grey body: 0.5 to 0.7 (assumption).
	f.Emissivity = 0.55
	neutralFurnace(f)
	s.length("hearth", &f.Length, within{"5 m", "120 m"})
	s.length("gap", &f.Gap, within{"0 mm", "2 m"})
	s.ask("zones")
	if s.t.Has("zones") {
		f.Zones = nil
		sum := 0.0
		s.list0("zones", func(z *section) {
			k := more(&f.Zones)
			z.share("share", &k.Share)
			z.celsius("gas", &k.Gas, within{"300 C", "1450 C"})
			z.end()
			sum += k.Share
		})
		if len(f.Zones) > 0 && (sum < 0.99 || sum > 1.01) {
			s.t.Problem("zones", "the shares add up to "+quantity.FormatNumber(sum*100, 0)+" %", "make them 100 %")
		}
	} else if !s.loose {
		s.t.Need("zones")
	}
	s.number0("emissivity", &f.Emissivity, 0.1, 1)
	s.celsius("discharge", &f.Discharge, within{"900 C", "1350 C"})
	s.celsius("least_discharge", &f.MinDisch, within{"800 C", "1350 C"})
	s.power("wall_loss", &f.WallLoss, within{"0 MW", "50 MW"})
	s.quantity("efficiency", quantity.Fraction, &f.Efficiency, within{"5 %", "100 %"})
	s.ask("set_backs")
	if steps, ok := s.t.Quantities("set_backs", quantity.TempDiff); ok {
		f.SetBacks = steps
		for i, x := range steps {
			if x <= 0 || i > 0 && x <= steps[i-1] {
				s.t.Problem("set_backs", "step "+strconv.Itoa(i+1)+" is not below the one before", `write rising steps below the set-point, such as { "60 C", "120 C" }`)
				break
			}
		}
	} else if !s.t.Has("set_backs") && !s.loose {
		s.t.Need("set_backs")
	}
	s.quantity("recovery", quantity.TempRate, &f.Recovery, within{"1 C/h", "500 C/h"})
	s.count("table_places", &f.TableSlabs, 1, 50)
	s.number0("scale_factor", &f.ScaleFactor, 0.1, 10) // 1: pure iron in air
	s.end()
	if f.MinDisch > f.Discharge {
		s.t.Problem("least_discharge", "it is above the discharge temperature", "")
	}
}

// thermal reads how stock loses heat in a mill. The defaults are a scaled surface
// and cooled rolls (common practice, no source).
func thermal(s *section, emissivity, rollC, chill, waterC *float64, defaultChill float64) {
	*emissivity, *rollC, *chill, *waterC = 0.8, 100, defaultChill, 25
	if h := s.sub0("surface"); h != nil {
		h.number0("emissivity", emissivity, 0.1, 1)
		h.quantity0("rolls", quantity.Temperature, rollC, within{"20 C", "400 C"})
		h.number0("chill", chill, 0, 1.5)
		h.quantity0("water", quantity.Temperature, waterC, within{"0 C", "90 C"})
		h.end()
	}
}

func sprays(s *section, pairs *int, h, footprint *float64) {
	s.count("pairs", pairs, 0, 20)
	s.quantity("cooling", quantity.HeatTransfer, h, within{"0 kW/m2K", "60 kW/m2K"})
	s.length("footprint", footprint, within{"0 mm", "500 mm"})
}

func (r *worksReader) rougher(s *section) {
	g := &r.spec.Rougher
	m := &g.Mill
	s.quantity0("rate", quantity.MassRate, &g.Rate, within{"1 t/h", "5000 t/h"})
	s.loose = g.Rate > 0
	neutralRougher(g)
	s.length("roll_radius", &m.RollRadius, within{"100 mm", "2 m"})
	s.quantity("force", quantity.Force, &m.MaxForce, within{"1 MN", ""})
	s.quantity("torque", quantity.Torque, &m.MaxTorque, within{"0.05 MNm", ""})
	s.power("power", &m.MaxPower, within{"0.5 MW", ""})
	s.share("efficiency", &m.Efficiency)
	s.speed("base_speed", &m.BaseSpeed, within{"0.2 m/s", "20 m/s"})
	s.speed("top_speed", &m.MaxSpeed, within{"0.2 m/s", "20 m/s"})
	s.speed("thread_speed", &m.ThreadSpeed, within{"0.1 m/s", "20 m/s"})
	s.quantity("accelerates", quantity.Accel, &m.Accel, within{"0.05 m/s2", "20 m/s2"})
	s.quantity("slows", quantity.Accel, &m.Decel, within{"0.05 m/s2", "20 m/s2"})
	s.time("reversal", &m.ReversalTime, within{"0 s", "60 s"})
	s.number("friction", &m.Friction, 0.05, 1)
	if p := s.sub("passes"); p != nil {
		p.count("least", &m.MinPasses, 0, 15)
		p.count("most", &m.MaxPasses, 1, 15)
		p.end()
	}
	s.time("approach", &m.Approach, within{"5 s", "10 min"})
	if d := s.sub("primary_sprays"); d != nil {
		sprays(d, &m.Primary.Pairs, &m.Primary.H, &m.Primary.Footprint)
		d.speed("speed", &m.PrimarySpeed, within{"0.1 m/s", "10 m/s"})
		d.end()
	}
	if d := s.sub("secondary_sprays"); d != nil {
		sprays(d, &m.Secondary.Pairs, &m.Secondary.H, &m.Secondary.Footprint)
		d.count("until_pass", &m.SecondaryUntil, 0, 15)
		d.end()
	}
	thermal(s, &m.Thermal.Emissivity, &m.Thermal.RollC, &m.Thermal.ChillFactor, &m.Thermal.WaterC, 0.85)
	if b := s.sub("bar"); b != nil {
		b.length("thin", &g.BarThin, within{"15 mm", "80 mm"})
		b.length("thick", &g.BarThick, within{"15 mm", "80 mm"})
		b.length("thick_from", &g.ThickFrom, within{"1 mm", "40 mm"})
		b.end()
	}
	s.scatter("scatter", &g.Scatter)
	s.end()
}

func (r *worksReader) train(s *section) {
	g := &r.spec.Train
	m := &g.Train
	s.quantity0("rate", quantity.MassRate, &g.Rate, within{"1 t/h", "5000 t/h"})
	s.loose = g.Rate > 0
	neutralTrain(g)
	s.ask("stands")
	if s.t.Has("stands") {
		m.Stands = nil
		s.list0("stands", func(z *section) {
			k := more(&m.Stands)
			z.length("roll_radius", &k.RollRadius, within{"100 mm", "1 m"})
			z.quantity("force", quantity.Force, &k.MaxForce, within{"1 MN", ""})
			z.power("power", &k.MaxPower, within{"0.5 MW", ""})
			z.speed("speed", &k.MaxSpeed, within{"0.5 m/s", "40 m/s"})
			z.quantity0("torque", quantity.Torque, &k.MaxTorque)
			k.LoadShare = 1
			z.number0("load", &k.LoadShare, 0.1, 2)
			z.end()
		})
	} else if !s.loose {
		s.t.Need("stands")
	}
	s.length("stand_spacing", &m.StandSpacing, within{"2 m", "12 m"})
	s.share("efficiency", &m.Efficiency)
	s.speed("thread_speed", &m.ThreadSpeedMax, within{"1 m/s", "20 m/s"})
	s.length("thread_distance", &m.ThreadDistance, within{"10 m", "400 m"})
	s.quantity("zoom", quantity.Accel, &m.Zoom, within{"0 m/s2", "2 m/s2"})
	s.quantity("slows", quantity.Accel, &m.Decel, within{"0.01 m/s2", "5 m/s2"})
	s.speed("tail_out_speed", &m.TailOutSpeed, within{"1 m/s", "30 m/s"})
	s.share0("cover", &m.CoverFactor)
	s.length("entry_distance", &m.EntryDistance, within{"0 m", "100 m"})
	if d := s.sub("sprays"); d != nil {
		sprays(d, &m.Descale.Pairs, &m.Descale.H, &m.Descale.Footprint)
		d.end()
	}
	if d := s.sub0("interstand"); d != nil {
		d.quantity("cooling", quantity.HeatTransfer, &m.InterstandH, within{"0 W/m2K", "20000 W/m2K"})
		d.length("length", &m.InterstandLen, within{"0 m", "6 m"})
		d.end()
	}
	s.number("friction", &m.Friction, 0.05, 1)
	thermal(s, &m.Thermal.Emissivity, &m.Thermal.RollC, &m.Thermal.ChillFactor, &m.Thermal.WaterC, 1)
	s.time("gap", &m.Gap, within{"0 s", "10 min"})
	s.celsius("least_entry", &g.MinEntry, within{"700 C", "1150 C"})
	s.time("longest_wait", &g.MaxWait, within{"5 s", "1 h"})
	s.length("crop", &g.Crop, within{"0 mm", "2 m"})
	s.time("shear", &g.ShearTime, within{"0 s", "5 min"})
	s.count("programme", &g.Programme, 1, 1000)
	s.quantity0("programme_length", quantity.Length, &g.ProgrammeKm, within{"1 km", "1000 km"})
	s.time("roll_change", &g.RollChange, within{"1 min", "4 h"})
	s.count("warm_up", &g.WarmUp, 0, 100)
	s.kelvin("finish_band", &g.FinishBand, within{"1 C", "200 C"})
	s.scatter("scatter", &g.Scatter)
	s.end()
}

func (r *worksReader) runOut(s *section) {
	o := &r.spec.RunOut
	s.count("banks", &o.Banks, 1, 200)
	s.length("bank_length", &o.BankLength, within{"0.5 m", "30 m"})
	s.quantity("cooling", quantity.HeatTransfer, &o.H, within{"100 W/m2K", "10000 W/m2K"})
	s.celsius("water", &o.Water, within{"0 C", "60 C"})
	s.length("length", &o.Length, within{"20 m", "400 m"})
	s.end()
}

func (r *worksReader) coilers(s *section) {
	c := &r.spec.Coilers
	s.ask("names")
	if names, ok := s.t.Strings("names"); ok {
		c.Names = names
	} else if !s.t.Has("names") {
		s.t.Need("names")
	}
	s.time("strip_out", &c.StripOut, within{"1 s", "10 min"})
	s.count("in_use", &c.InUse, 1, max(1, len(c.Names)))
	s.end()
}

func (r *worksReader) conveyor(s *section) {
	c := &r.spec.Conveyor
	s.count("places", &c.Places, 1, 1000)
	c.Normal = works.Band{Room: float64(c.Places)}
	for _, k := range []struct {
		key string
		to  *float64
	}{{"low", &c.Normal.Low}, {"normal", &c.Normal.Normal}, {"high", &c.Normal.High}} {
		s.quantity(k.key, quantity.Count, k.to)
	}
	s.rising([]string{"low", "normal", "high", "places"}, []*float64{&c.Normal.Low, &c.Normal.Normal, &c.Normal.High, &c.Normal.Room})
	s.time("transit", &c.Transit, within{"1 min", "5 h"})
	s.time("cycle", &c.Cycle, within{"1 s", "1 h"})
	s.end()
}
