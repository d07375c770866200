package scripting

import (
	"millrace/sim/quantity"
	"millrace/sim/works"
)

// What lies behind the mill, what things cost, and what people do.

func (r *worksReader) coilYard(s *section) {
	c := &r.spec.CoilYard
	s.band(quantity.Mass, &c.Band)
	s.subBand("cool", quantity.Mass, &c.Cool)
	s.subBand("cool_hot_band", quantity.Mass, &c.CoolHot)
	s.celsius("pickle_below", &c.PickleMax, within{"30 C", "200 C"})
	s.celsius("dispatch_below", &c.DispatchMax, within{"30 C", "400 C"})
	s.length("bore", &c.Inner, within{"400 mm", "1 m"})
	s.quantity0("forced_film", quantity.HeatTransfer, &c.ForcedH, within{"1 W/m2K", "5000 W/m2K"}) // fans or water
	s.quantity0("forced_cost", quantity.MoneyPerTime, &c.ForcedCost)                               // while they are on
	s.quantity0("forced_spoils", quantity.Fraction, &c.ForcedSpoil, within{"0 %", "100 %"})        // of the coils cooled so
	// Wraps of hot band: 3 to 12 W/mK across them, nearly no air between (common
	// practice, no source).
	c.Fill, c.RadialK = 0.97, 6
	s.share0("fill", &c.Fill)
	s.quantity0("across_wraps", quantity.Conductivity, &c.RadialK, within{"0.5 W/mK", "60 W/mK"})
	s.end()
}

func (r *worksReader) demand(s *section) {
	d := &r.spec.Demand
	s.bool0("sold_out", &d.SoldOut)
	s.massRate("pickle_line", &d.Pickle, within{"0 t/h", "3000 t/h"})
	s.massRate("dispatch", &d.Dispatch, within{"0 t/h", "3000 t/h"})
	s.end()
}

func (r *worksReader) gas(s *section) {
	g := &r.spec.Gas
	s.power("made", &g.Made, within{"0 MW", "5 GW"})
	s.power("power_house", &g.PowerHouse, within{"0 MW", "5 GW"})
	s.power("swing", &g.Swing, within{"0 MW", "5 GW"})
	s.subBand("holder", quantity.Energy, &g.Holder)
	s.quantity("flared", quantity.MoneyPerEnergy, &g.FlareCost)
	s.quantity("bought", quantity.MoneyPerEnergy, &g.BuyCost)
	s.end()
}

func (r *worksReader) costs(s *section) {
	c := &r.spec.Costs
	for _, k := range []struct {
		key string
		d   quantity.Dimension
		to  *float64
	}{
		{"heat_returned", quantity.MoneyPerMass, &c.HeatReturn}, {"iron_pooled", quantity.MoneyPerMass, &c.IronLost},
		{"scrap", quantity.MoneyPerMass, &c.Scrap}, {"downgrade", quantity.MoneyPerMass, &c.Downgrade},
		{"slab_in_stock", quantity.MoneyPerMass, &c.SlabStock}, {"fuel", quantity.MoneyPerEnergy, &c.Fuel},
		{"co2", quantity.MoneyPerMass, &c.CO2}, {"reheat_power", quantity.MoneyPerEnergy, &c.ReheatPower},
		{"haulage", quantity.MoneyPerMass, &c.Haulage}, {"overtime", quantity.MoneyPerTime, &c.Overtime},
		{"matters", quantity.Money, &c.Matters},
	} {
		s.quantity(k.key, k.d, k.to)
	}
	s.end()
}

func (r *worksReader) standing(s *section) {
	o := &r.spec.Standing
	if y := s.sub("yard"); y != nil {
		y.mass("low", &o.YardLow)
		y.mass("high", &o.YardHigh)
		y.quantity0("stop_tapping_below", quantity.Mass, &o.StopTapping)
		y.bool0("count_committed", &o.CountCommitted)
		y.quantity0("overflow_above", quantity.Mass, &o.OverflowAbove)
		switch b := &r.spec.Yard; {
		case o.OverflowAbove == 0 || b.Room == 0:
		case b.Overflow == 0:
			y.t.Problem("overflow_above", "the slab yard has no overflow yard", "describe it: overflow = { room, rate, fee } in slab_yard")
		case o.OverflowAbove < b.High || o.OverflowAbove > b.Room:
			y.t.Problem("overflow_above", "it is not between the high level of the slab yard and its room",
				"write a level between "+quantity.Format(b.High, quantity.Mass)+" and "+quantity.Format(b.Room, quantity.Mass))
		}
		y.end()
	}
	s.time("heat_early", &o.ArriveEarly, within{"0 s", "4 h"})
	rule := works.Rules()[0]
	s.word0("charge", &rule, works.Rules()...)
	for i, w := range works.Rules() {
		if w == rule {
			o.ChargeRule = i
		}
	}
	s.time("set_back_after", &o.SetBackAfter)
	s.time("set_back_deep_after", &o.DeepAfter)
	s.time("set_forward_before", &o.SetForward)
	s.mass("cut_wind_from", &o.WindLow)
	s.mass("least_wind_at", &o.WindHigh)
	s.share("feed_swing", &o.PickleSwing)
	if f := s.sub0("fans"); f != nil {
		f.mass("on_below", &o.FansBelow)
		f.mass("off_from", &o.FansUntil)
		if o.FansUntil <= o.FansBelow && o.FansBelow > 0 {
			f.t.Problem("off_from", "it is no more than on_below", "write a larger stock: fans that go off where they go on do so every minute")
		}
		f.end()
	}
	s.count0("staging", &o.Staging, 0, 100)
	s.bool0("reheat", &o.Reheat)
	s.bool0("slow_when_full", &o.SlowWhenFull)
	s.bool0("people_place_heats", &o.KeepHeats)
	s.end()
}

func (r *worksReader) call(s *section) {
	c := more(&r.spec.Calls)
	s.text("who", &c.Who)
	s.text("when", &c.When)
	s.text("say", &c.Say)
	s.end()
}
