package scripting

import (
	"millrace/scripting/decl"
	"millrace/sim/quantity"
	"millrace/sim/works"
)

// The iron and steel side of a works file.

func (r *worksReader) slabs(s *section) {
	s.length("thickness", &r.spec.SlabThick, within{"100 mm", "400 mm"})
	s.length("length", &r.spec.SlabLen, within{"3 m", "16 m"})
	s.end()
}

func (r *worksReader) grade(name string, s *section) {
	g := more(&r.spec.Grades)
	g.Name = name
	g.FlowFactor = 1
	// Analyses are written in per cent by mass and kept in per cent.
	for _, e := range []struct {
		key string
		to  *float64
	}{{"C", &g.Comp.C}, {"Si", &g.Comp.Si}, {"Mn", &g.Comp.Mn}, {"P", &g.Comp.P}, {"S", &g.Comp.S}} {
		share := 0.0
		s.share0(e.key, &share)
		*e.to = share * 100
	}
	s.number0("flow_factor", &g.FlowFactor, 0.5, 3) // 1: plain carbon steel
	s.end()
	if err := g.Validate(); err != nil {
		s.t.Problem("", sentence(err), "")
	}
}

func (r *worksReader) product(s *section) {
	p := more(&r.spec.Products)
	grade := ""
	s.text("name", &p.Name)
	s.text("grade", &grade)
	s.length("thickness", &p.Thickness, within{"0.8 mm", "40 mm"})
	s.length("width", &p.Width, within{"400 mm", "2500 mm"})
	s.share("share", &p.Share)
	s.celsius("finish", &p.FinishTemp, within{"700 C", "1050 C"})
	s.celsius("coil", &p.CoilTemp, within{"300 C", "800 C"})
	s.bool0("pickled", &p.Pickled)
	s.bool0("surface", &p.Surface)
	coldProduct(s, p)
	s.quantity("margin", quantity.MoneyPerMass, &p.Margin)
	s.quantity0("price", quantity.MoneyPerMass, &p.Price)
	s.text0("class", &p.Class)
	s.text0("what", new(string)) // for the reader of the file
	s.end()
	p.Grade = -1
	names := []string{}
	for i := range r.spec.Grades {
		names = append(names, r.spec.Grades[i].Name)
		if r.spec.Grades[i].Name == grade {
			p.Grade = i
		}
	}
	if p.Grade < 0 && grade != "" {
		unknown(s.t, "grade", grade, "grade", names)
	}
	for i := range len(r.spec.Products) - 1 {
		if p.Name != "" && r.spec.Products[i].Name == p.Name {
			s.t.Problem("name", "there is a product "+p.Name+" already", "give each product a name of its own")
		}
	}
}

// unknown reports a name that is not among those there are, with the nearest.
func unknown(t *decl.Table, key, got, what string, names []string) {
	do := "write one of " + joined(names)
	if near, ok := quantity.Nearest(got, names); ok {
		do = `did you mean "` + near + `"?`
	}
	t.Problem(key, `there is no `+what+` "`+got+`"`, do)
}

func (r *worksReader) iron(s *section) {
	i := &r.spec.Iron
	s.massRate("rate", &i.Rate, within{"1 t/h", "3000 t/h"})
	s.share("lowest_wind", &i.LowWind)
	s.time("lag", &i.Lag, within{"1 min", "24 h"})
	s.subBand("torpedoes", quantity.Mass, &i.Torpedo)
	if h := s.sub("hot_metal"); h != nil {
		h.share("low", &i.HotLow)
		h.share("normal", &i.HotMetal)
		h.share("high", &i.HotHigh)
		h.end()
		if !(i.HotLow <= i.HotMetal && i.HotMetal <= i.HotHigh) {
			h.t.Problem("", "low, normal and high must rise in this order", "")
		}
	}
	s.quantity("yield", quantity.Fraction, &i.Yield, within{"50 %", "100 %"})
	s.end()
}

func (r *worksReader) shop(s *section) {
	p := &r.spec.Shop
	s.quantity0("rate", quantity.MassRate, &p.Rate, within{"1 t/h", "5000 t/h"})
	s.loose = p.Rate > 0
	s.mass("heat", &p.Heat, within{"10 t", "600 t"})
	neutralShop(p)
	s.count("vessels", &p.Vessels, 1, 6)
	if p.Rate > 0 && p.Heat > 0 {
		p.BlowTime = float64(p.Vessels) * p.Heat / p.Rate
	}
	s.time("tap_to_tap", &p.BlowTime, within{"10 min", "3 h"})
	s.time("treatment", &p.TreatTime, within{"0 min", "4 h"})
	s.scatter("treatment_scatter", &p.TreatScatt)
	if l := s.sub("ladles"); l != nil {
		l.loose = false
		var b works.Band
		l.band(quantity.Count, &b)
		l.end()
		p.LadlesLow, p.LadlesNorm, p.LadlesHigh, p.Ladles = int(b.Low), int(b.Normal), int(b.High), int(b.Room)
	}
	s.quantity("ladle_cools", quantity.TempRate, &p.CoolRate, within{"0.05 C/min", "5 C/min"})
	p.RefHeat = p.Heat
	s.quantity0("measured_on", quantity.Mass, &p.RefHeat, within{"10 t", "600 t"})
	s.kelvin("pour_drop", &p.PourDrop, within{"0 C", "60 C"})
	s.kelvin("first_heat_drop", &p.FirstDrop, within{"0 C", "60 C"})
	s.kelvin("least_superheat", &p.MinSuper, within{"0 C", "40 C"})
	s.kelvin("aim_superheat", &p.AimSuper, within{"0 C", "60 C"})
	s.kelvin("most_superheat", &p.MaxOver, within{"20 C", "200 C"})
	if h := s.sub("reheat_stand"); h != nil {
		h.quantity("gain", quantity.TempRate, &p.ReheatRate, within{"0.1 C/min", "10 C/min"})
		h.time("hold", &p.ReheatHold, within{"0 min", "12 h"})
		h.power("power", &p.ReheatPower, within{"0 MW", "200 MW"})
		h.end()
	}
	s.share("skull", &p.Skull)
	s.end()
}

func (r *worksReader) caster(name string, s *section) {
	c := more(&r.spec.Casters)
	c.Name = name
	s.quantity0("rate", quantity.MassRate, &c.Rate, within{"1 t/h", "2000 t/h"})
	s.loose = c.Rate > 0
	// Constants of solidification: thickness after t minutes is the constant times
	// the root of t; 24 to 30 and 18 to 22 mm in the trade (common practice, no
	// source).
	c.ShellK, c.MouldK, c.MinShell = 27, 20, 0.011
	neutralCaster(c)
	s.count("strands", &c.Strands, 1, 8)
	s.speed("normal", &c.Normal, within{"0.1 m/min", "7 m/min"})
	s.speed("slowest", &c.Slowest, within{"0.05 m/min", "7 m/min"})
	s.speed("fastest", &c.Wanted, within{"0.1 m/min", "8 m/min"})
	if h := s.sub0("shell"); h != nil {
		k, m := c.ShellK/1000, c.MouldK/1000
		h.loose = true
		h.length("after_a_minute", &k, within{"15 mm", "40 mm"})
		h.length("after_a_minute_in_mould", &m, within{"10 mm", "30 mm"})
		h.length("least", &c.MinShell, within{"1 mm", "40 mm"})
		h.end()
		c.ShellK, c.MouldK = k*1000, m*1000
	}
	s.length("mould", &c.MouldLength, within{"0.4 m", "2 m"})
	s.length("supported", &c.Supported, within{"4 m", "80 m"})
	if h := s.sub("tundish"); h != nil {
		h.mass("mass", &c.Tundish, within{"1 t", "200 t"})
		h.mass("least", &c.TundishMin)
		h.quantity("cost", quantity.Money, &c.TundishCost)
		h.end()
		if c.TundishMin > c.Tundish*0.95 {
			h.t.Problem("least", "it is nearly as much as the tundish holds", "write 25 to 35 % of the mass")
		}
	}
	s.time("ladle_change", &c.LadleChange, within{"0 s", "15 min"})
	s.count("heats_a_tundish", &c.HeatsMax, 1, 100)
	s.time("turnaround", &c.Turnaround, within{"5 min", "12 h"})
	if h := s.sub("width_change"); h != nil {
		h.speed("rate", &c.WidthRate, within{"1 mm/min", "200 mm/min"})
		h.length("most", &c.MaxWidth, within{"0 mm", "2 m"})
		h.end()
	}
	s.length("head_crop", &c.HeadCrop, within{"0 m", "5 m"})
	s.length("tail_crop", &c.TailCrop, within{"0 m", "5 m"})
	s.length("kerf", &c.Kerf, within{"0 mm", "50 mm"})
	s.count("run_out_places", &c.TableSlabs, c.Strands, 200)
	s.end()
	if c.Slowest > c.Normal {
		s.t.Problem("slowest", "it is faster than the normal speed", "")
	}
	if c.Wanted > 0 && c.Wanted < c.Normal {
		s.t.Problem("fastest", "it is slower than the normal speed", "")
	}
}
