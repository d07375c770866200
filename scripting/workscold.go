package scripting

import (
	"fmt"
	"math"

	"millrace/scripting/decl"
	"millrace/sim/quantity"
	"millrace/sim/works"
)

// The cold side of a works file: from cool coils to the customer. A works without
// it ends at the coil floor.

func (r *worksReader) cold(s *section) {
	if !s.t.Has("cold_side") {
		s.ask("cold_side")
		for i := range r.spec.Products {
			if p := &r.spec.Products[i]; p.Cold > 0 {
				s.t.Problem("products", p.Name+" is cold rolled, but the works has no cold side", "add cold_side = { ... }, or take cold out of the product")
				return
			}
		}
		return
	}
	k := s.sub0("cold_side")
	if k == nil {
		return
	}
	r.parts["cold side"] = k.t.Place
	c := &works.ColdSpec{}
	r.spec.Cold = c
	r.part(k, "pickle_line", "pickle line", func(s *section) { r.pickleLine(s, &c.Pickle) })
	r.part(k, "cold_mill", "cold mill", func(s *section) { r.coldMill(s, &c.Mill) })
	r.part(k, "annealing", "anneal bases", func(s *section) { r.annealing(s, &c.Anneal) })
	r.part(k, "temper_mill", "temper mill", func(s *section) { r.temperMill(s, &c.Temper) })
	r.part(k, "dispatch", "cold dispatch", func(s *section) { r.coldDispatch(s, &c.Dispatch) })
	if b := k.sub("stores"); b != nil {
		b.subBand("pickled", quantity.Mass, &c.Pickled)
		b.subBand("full hard", quantity.Mass, &c.Hard)
		b.subBand("annealed", quantity.Mass, &c.Annealed)
		b.subBand("finished", quantity.Mass, &c.Finished)
		b.end()
	}
	k.end()
}

// coldProduct reads what becomes of a product behind the pickle line.
func coldProduct(s *section, p *works.Product) {
	s.quantity0("cold", quantity.Length, &p.Cold, within{"0.1 mm", "5 mm"})
	s.bool0("annealed", &p.Annealed)
	switch {
	case p.Cold > 0 && !p.Pickled:
		s.t.Problem("cold", "strip is cold rolled only when it has been pickled", "add pickled = true")
	case p.Cold > 0 && p.Cold >= p.Thickness && p.Thickness > 0:
		v, _ := s.t.Get("cold")
		s.t.Problem("cold", written(v)+" is no thinner than the hot band", "write the thickness behind the cold mill")
	case p.Annealed && p.Cold <= 0:
		s.t.Problem("annealed", "only cold rolled strip is annealed", `add cold = "0.8 mm", or take annealed out`)
	}
}

// quantities reads a list of quantities with the limits of each.
func (s *section) quantities(key string, d quantity.Dimension, to *[]float64, limits ...within) {
	s.ask(key)
	v, there := s.t.Get(key)
	if !there {
		if !s.loose {
			s.t.Need(key)
		}
		return
	}
	if _, ok := v.AsQuantities(d); !ok {
		return
	}
	all := []decl.Value{v} // one alone is a list of one
	if v.Kind == decl.TableValue {
		all = v.Table.Items()
	}
	var list []float64
	for _, one := range all {
		x, ok := readQuantity(one, d, s.money)
		for _, l := range limits {
			ok = ok && l.check(one, d, x)
		}
		if !ok {
			return
		}
		list = append(list, x)
	}
	*to = list
}

func (r *worksReader) pickleLine(s *section, p *works.PickleSpec) {
	l := &p.Line
	s.quantity0("rate", quantity.MassRate, &p.Rate, within{"1 t/h", "3000 t/h"})
	s.loose = p.Rate > 0
	neutralPickle(p)
	s.quantities("tanks", quantity.Length, &l.Tanks, within{"1 m", "200 m"})
	acid := l.AcidPercent / 100
	s.quantity("acid", quantity.Fraction, &acid, within{"1 %", "20 %"}) // HCl by mass
	l.AcidPercent = acid * 100
	s.celsius("acid_temperature", &l.TempC, within{"50 C", "95 C"})
	s.speed("top_speed", &l.MaxProcess, within{"0.1 m/s", "20 m/s"})
	s.speed("least_speed", &l.MinProcess, within{"0 m/s", "20 m/s"})
	side := func(key string, speed, stop, looper *float64, stopKey string) {
		if e := s.sub(key); e != nil {
			e.speed("speed", speed, within{"0.1 m/s", "50 m/s"})
			e.time(stopKey, stop, within{"0 s", "30 min"})
			e.length("looper", looper, within{"1 m", "5 km"})
			e.end()
		}
	}
	side("entry", &l.EntrySpeed, &l.WeldTime, &l.EntryLooper, "weld")
	side("exit", &l.ExitSpeed, &l.ChangeTime, &l.ExitLooper, "coil_change")
	s.number0("overpickled_after", &l.Patience, 1, 1000) // times the time it must stay in acid
	if h := s.sub0("takes"); h != nil {
		h.quantity0("from_thickness", quantity.Length, &l.MinThickness, within{"0.1 mm", "40 mm"})
		h.quantity0("to_thickness", quantity.Length, &l.MaxThickness, within{"0.1 mm", "40 mm"})
		h.quantity0("from_width", quantity.Length, &l.MinWidth, within{"100 mm", "3 m"})
		h.quantity0("to_width", quantity.Length, &l.MaxWidth, within{"100 mm", "3 m"})
		h.end()
	}
	// log10 of the time in acid, s, is A + B log10(% HCl) + D/(459 + F), F the
	// temperature in degrees Fahrenheit: constants for who has fitted them.
	if h := s.sub0("acid_law"); h != nil {
		h.loose = false
		k := &l.Kinetics
		h.number("A", &k.A, -100, 100)
		h.number("B", &k.B, -10, 0)
		h.number("D", &k.D, 0, 50000)
		k.CoilingFromC, k.CoilingMost = 630, 1
		h.quantity0("hot_coiled_from", quantity.Temperature, &k.CoilingFromC, within{"300 C", "900 C"})
		h.quantity0("longer_a_kelvin", quantity.Fraction, &k.CoilingPerK, within{"0 %", "10 %"})
		h.number0("longer_at_most", &k.CoilingMost, 1, 10)
		h.end()
	}
	// Some 8 um of scale, mostly wustite, in inhibited acid (assumption).
	p.Scale.Mass, p.Scale.IronShare, p.Scale.Attack = 0.045, 0.75, 0.004
	if h := s.sub0("scale"); h != nil {
		h.loose = true
		h.quantity("a_face", quantity.MassPerArea, &p.Scale.Mass, within{"0 g/m2", "500 g/m2"})
		h.share("iron", &p.Scale.IronShare)
		h.quantity("steel_with_it", quantity.MassPerArea, &p.Scale.Attack, within{"0 g/m2", "200 g/m2"})
		h.end()
	}
	s.quantity0("trim", quantity.Length, &p.Trim, within{"0 mm", "200 mm"}) // both edges together
	if o := s.sub0("outside"); o != nil {
		o.loose = false
		o.massRate("rate", &p.Outside, within{"0 t/h", "1000 t/h"})
		o.quantity("fee", quantity.MoneyPerMass, &p.OutFee)
		p.OutBack = 7 * 86400 // a week; it may be three (from memory)
		o.quantity0("back_after", quantity.Time, &p.OutBack, within{"0 h", "60 d"})
		o.end()
	}
	p.Overtime = 1
	s.number0("overtime", &p.Overtime, 1, 1.5) // factor on the line's output
	s.end()
	if l.MinProcess > l.MaxProcess && l.MaxProcess > 0 {
		s.t.Problem("least_speed", "it is above the top speed", "")
	}
	if sum(l.Tanks) > 1000 {
		s.t.Problem("tanks", fmt.Sprintf("they hold %.0f m of strip in acid", sum(l.Tanks)), "write the length of each tank; 60 to 120 m in all is usual")
	}
}

func sum(xs []float64) float64 {
	total := 0.0
	for _, x := range xs {
		total += x
	}
	return total
}

func (r *worksReader) coldMill(s *section, c *works.ColdMillSpec) {
	m := &c.Mill
	s.quantity0("rate", quantity.MassRate, &c.Rate, within{"1 t/h", "3000 t/h"})
	s.loose = c.Rate > 0
	neutralColdMill(c)
	s.ask("stands")
	if s.t.Has("stands") {
		m.Stands = nil
		s.list0("stands", func(z *section) {
			k := more(&m.Stands)
			z.length("roll_radius", &k.RollRadius, within{"50 mm", "900 mm"})
			z.quantity("force", quantity.Force, &k.MaxForce, within{"0.5 MN", ""})
			z.power("power", &k.MaxPower, within{"0.1 MW", ""})
			z.speed("speed", &k.MaxSpeed, within{"0.5 m/s", "60 m/s"})
			z.number("friction", &k.Friction, 0.01, 0.3)
			z.quantity0("torque", quantity.Torque, &k.MaxTorque)
			z.quantity0("most_reduction", quantity.Fraction, &k.MaxReduction, within{"5 %", "50 %"})
			k.LoadShare = 1
			z.number0("load", &k.LoadShare, 0.1, 10)
			z.end()
		})
	} else if !s.loose {
		s.t.Need("stands")
	}
	s.quantities("tensions", quantity.Pressure, &m.Tensions, within{"0 MPa", "1000 MPa"})
	s.share("efficiency", &m.Efficiency)
	s.quantity0("top_entry_speed", quantity.Speed, &m.MaxEntry, within{"0.5 m/s", "60 m/s"})
	s.speed("top_speed", &m.MaxExit, within{"0.5 m/s", "60 m/s"})
	s.quantity("accelerates", quantity.Accel, &m.Accel, within{"0.01 m/s2", "20 m/s2"})
	s.quantity("slows", quantity.Accel, &m.Decel, within{"0.01 m/s2", "20 m/s2"})
	slow := func(key string, speed, length *float64) {
		if e := s.sub(key); e != nil {
			e.speed("speed", speed, within{"0.1 m/s", "20 m/s"})
			e.length("length", length, within{"0 m", "500 m"})
			e.end()
		}
	}
	slow("thread", &m.ThreadSpeed, &m.ThreadLength)
	slow("tail_out", &m.TailSpeed, &m.TailLength)
	// Flow stress of plain strip is K (prestrain + e)^exponent; the constants are
	// 150 MPa (1 + 234 e)^0.251, low-carbon strip.
	const yield, hardening, exponent = 150e6, 234.0, 0.251
	c.Law.K, c.Law.Prestrain, c.Law.Exponent = yield*math.Pow(hardening, exponent), 1/hardening, exponent
	if h := s.sub0("flow_stress"); h != nil {
		h.loose = false
		h.quantity("K", quantity.Pressure, &c.Law.K, within{"50 MPa", "5000 MPa"})
		h.number("prestrain", &c.Law.Prestrain, 0, 2)
		h.number("exponent", &c.Law.Exponent, 0, 1)
		h.end()
	}
	s.quantity("crop", quantity.Fraction, &c.Crop, within{"0 %", "20 %"})
	s.count("coils_a_roll_set", &c.RollCoils, 1, 1000)
	s.time("roll_change", &c.RollChange, within{"1 min", "4 h"})
	s.scatter("scatter", &c.Scatter)
	s.end()
	if n := len(m.Stands); n > 8 {
		s.t.Problem("stands", fmt.Sprintf("there are %d of them", n), "write 8 at most")
	} else if n > 0 && len(m.Tensions) > 0 && len(m.Tensions) != n+1 {
		s.t.Problem("tensions", fmt.Sprintf("there are %d for %d stands", len(m.Tensions), n), "write one before the first stand, one between each two, one behind the last")
	}
}

// gases are the words for protective gases, with what they are and what they
// conduct near 400 C, W/mK (from memory).
var gases = []struct {
	word, name   string
	conductivity float64
}{{"hydrogen", "hydrogen", 0.35}, {"nitrogen-hydrogen", "HN", 0.052}}

func (r *worksReader) annealing(s *section, a *works.AnnealSpec) {
	s.quantity0("rate", quantity.MassRate, &a.Rate, within{"1 t/h", "1000 t/h"})
	s.loose = a.Rate > 0
	neutralAnneal(a)
	s.count("bases", &a.Bases, 1, 80)
	s.count("bells", &a.Bells, 1, 80)
	s.count("coolers", &a.Coolers, 1, 80)
	s.count("cranes", &a.Cranes, 1, 8)
	s.count("coils_a_stack", &a.StackCoils, 1, 5)
	gas := gases[0].word
	words := []string{}
	for _, g := range gases {
		words = append(words, g.word)
	}
	if missing, report := s.lacks("gas"); !missing {
		s.word0("gas", &gas, words...)
	} else if report {
		s.t.MustEnum("gas", words...)
	}
	for _, g := range gases {
		if g.word == gas {
			a.Gas.Name, a.Gas.Conductivity = g.name, g.conductivity
		}
	}
	a.Gas.Film = 40 // under a circulating fan (assumption)
	s.quantity0("film", quantity.HeatTransfer, &a.Gas.Film, within{"1 W/m2K", "1000 W/m2K"})
	s.quantity0("gas_conducts", quantity.Conductivity, &a.Gas.Conductivity, within{"0.01 W/mK", "1 W/mK"})
	s.length("between_wraps", &a.Gap, within{"1 um", "1 mm"})
	// 8 h to 700 C, the coldest spot to 680 C, uncovered at 160 C (assumption;
	// strip uncovered hotter oxidises: common practice, no source).
	c := &a.Recipe
	c.StartC, c.GasC, c.RampTime, c.ColdC, c.Film, c.CoolGasC, c.OffC = 20, 700, 8*3600, 680, a.Gas.Film, 40, 160
	if h := s.sub("recipe"); h != nil {
		h.quantity0("start", quantity.Temperature, &c.StartC, within{"0 C", "100 C"})
		h.celsius("soak", &c.GasC, within{"400 C", "900 C"})
		h.time("heat_up", &c.RampTime, within{"0 h", "100 h"})
		h.celsius("coldest_spot", &c.ColdC, within{"400 C", "890 C"})
		h.celsius("cooling_gas", &c.CoolGasC, within{"0 C", "150 C"})
		h.quantity0("cooling_film", quantity.HeatTransfer, &c.CoolFilm, within{"1 W/m2K", "1000 W/m2K"})
		h.celsius("uncover_below", &c.OffC, within{"50 C", "300 C"})
		h.end()
		switch {
		case c.GasC-c.ColdC < 1:
			h.t.Problem("coldest_spot", "it is never as hot as the gas", "write 10 to 30 C less than soak")
		case c.OffC < c.CoolGasC+1:
			h.t.Problem("uncover_below", "it is never as cool as the cooling gas", "write well above cooling_gas")
		}
	}
	t := &a.Handling
	const minute = 60
	t.Load, t.LeakTest, t.Purge, t.BellOn, t.BellOff = 25*minute, 15*minute, 30*minute, 8*minute, 8*minute
	t.CoolerOn, t.PostPurge, t.CoolerOff, t.Unload = 8*minute, 30*minute, 8*minute, 25*minute
	if h := s.sub0("handling"); h != nil {
		h.loose = true
		for _, k := range []struct {
			key string
			to  *float64
		}{
			{"load", &t.Load}, {"leak_test", &t.LeakTest}, {"purge", &t.Purge}, {"bell_on", &t.BellOn}, {"bell_off", &t.BellOff},
			{"cooler_on", &t.CoolerOn}, {"purge_after", &t.PostPurge}, {"cooler_off", &t.CoolerOff}, {"unload", &t.Unload},
		} {
			h.time(k.key, k.to, within{"0 min", "12 h"})
		}
		h.end()
	}
	s.time("floor", &a.Floor, within{"0 h", "30 d"})
	s.end()
}

func (r *worksReader) temperMill(s *section, t *works.TemperSpec) {
	m := &t.Mill
	s.quantity0("rate", quantity.MassRate, &t.Rate, within{"1 t/h", "3000 t/h"})
	s.loose = t.Rate > 0
	neutralTemper(t)
	s.quantity("force", quantity.Force, &m.MaxForce, within{"0.5 MN", ""})
	s.speed("top_speed", &m.MaxSpeed, within{"0.5 m/s", "50 m/s"})
	s.quantity("accelerates", quantity.Accel, &m.Accel, within{"0.01 m/s2", "20 m/s2"})
	s.quantity("slows", quantity.Accel, &m.Decel, within{"0.01 m/s2", "20 m/s2"})
	// A force over width, given as that of a metre of width, for 1 % of elongation.
	s.quantity0("force_a_metre", quantity.Force, &m.ForcePerWidth, within{"0.1 MN", "100 MN"})
	s.time("coil_change", &m.ChangeTime, within{"0 s", "30 min"})
	s.quantity0("takes_below", quantity.Temperature, &m.MaxEntryC, within{"35 C", "300 C"})
	s.length("end_scrap", &m.EndScrap, within{"0 m", "200 m"})
	s.quantity("elongation", quantity.Fraction, &t.Elongation, within{"0.1 %", "4 %"})
	t.Overtime = 1
	s.number0("overtime", &t.Overtime, 1, 1.5) // factor on the mill's output
	s.end()
}

func (r *worksReader) coldDispatch(s *section, d *works.DispatchSpec) {
	s.time("slot", &d.Slot, within{"1 min", "24 h"})
	s.massRate("hot_band", &d.Hot, within{"0 t/h", "3000 t/h"})
	s.massRate("cold", &d.Cold, within{"0 t/h", "3000 t/h"})
	d.Weekend = 1
	s.share0("weekend", &d.Weekend)
	d.Overtime = 1
	s.number0("overtime", &d.Overtime, 1, 1.5) // factor on what a slot takes; weekends are weekdays then
	s.end()
}
