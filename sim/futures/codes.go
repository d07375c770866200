package futures

import (
	"math"
	"slices"

	"millrace/sim/calendar"
	"millrace/sim/measure"
	"millrace/sim/record"
	"millrace/sim/works"
)

// fuelCO2 is the CO2 of a joule of fuel, kg: natural gas, 56,100 kg/TJ net (IPCC
// Guidelines for National Greenhouse Gas Inventories 2006, volume 2, table 2.2,
// from memory). Works gas is burned in the furnaces, but a joule of it that is
// saved takes the place of natural gas elsewhere.
const fuelCO2 = 56.1e-9

// codes are the numbers that works uses in its records.
var codes = measure.Codes{
	Opening: works.StepOpening, Gone: works.StepGone, Haul: works.StepHaul, Outside: works.StepOutside,
	Gas: int32(works.WordGas), Returned: int32(works.WordReturned), Speed: int32(works.WordSpeed),
	Sequence: int32(works.WordSequence), SequenceEnds: int32(works.WordSequenceEnds), Tundish: int32(works.WordTundish),
	Opened: int32(works.WordOpened), Charged: int32(works.WordCharged), Rejected: int32(works.WordRejected),
	Cobbled: int32(works.WordCobbled), Scrapped: int32(works.WordScrapped), SlabBack: int32(works.WordSlabBack),
	Downgraded: int32(works.WordDowngraded), Cool: int32(works.WordCool), Pulled: int32(works.WordPulled), Fans: int32(works.WordFans),
	PlannedOver: int32(works.WordPlannedOver), GasHolder: works.LevelGas,
	Overtime: int32(works.WorkOvertime), ForceCooling: int32(works.ForceCooling), OpenOverflow: int32(works.OpenOverflow), CloseOverflow: int32(works.CloseOverflow),
}

// sheet is what things are worth in a works.
func sheet(p *works.Plant, soldOut bool) measure.Sheet {
	s := &p.Spec
	c := &s.Costs
	kJ := func(j float64) int64 { return int64(j / 1e3) }
	grams := func(kg float64) int64 { return int64(math.Round(kg * 1000)) }
	h := &s.Gas.Holder
	out := measure.Sheet{
		Currency: s.Currency, SoldOut: soldOut, Tundish: make([]float64, len(p.Route.Units)),
		HeatReturn: c.HeatReturn, IronLost: c.IronLost, Scrap: c.Scrap, Downgrade: c.Downgrade, Stock: c.SlabStock,
		Fuel: c.Fuel, CO2: c.CO2, CO2PerJ: fuelCO2, GasBought: s.Gas.BuyCost, GasFlared: s.Gas.FlareCost,
		StandPower: s.Shop.ReheatPower, Power: c.ReheatPower, Haulage: c.Haulage, Overtime: c.Overtime, Crews: p.OvertimeCrews(), Fans: s.CoilYard.ForcedCost,
		CoolLow: grams(s.CoilYard.Cool.Low + s.CoilYard.CoolHot.Low), CoolNormal: grams(s.CoilYard.Cool.Normal + s.CoilYard.CoolHot.Normal),
		CoolHigh: grams(s.CoilYard.Cool.High + s.CoilYard.CoolHot.High),
		GasLow:   kJ(h.Low), GasNormal: kJ(h.Normal), GasHigh: kJ(h.High), GasRoom: kJ(h.Room),
	}
	if s.Yard.OverflowFee > 0 {
		out.Haulage = s.Yard.OverflowFee
	}
	if s.Cold != nil {
		out.OutsideFee = s.Cold.Pickle.OutFee
	}
	for i := range s.Products {
		out.Products = append(out.Products, measure.Worth{Margin: s.Products[i].Margin, Price: s.Products[i].Price, Share: s.Products[i].Share})
	}
	for i := range s.Casters {
		for _, u := range p.UnitsNamed(s.Casters[i].Name) {
			out.Tundish[u] = s.Casters[i].TundishCost
		}
	}
	for i := range s.Orders {
		o := &s.Orders[i]
		out.Orders = append(out.Orders, measure.Line{Product: o.Product, Mass: grams(o.Mass), Due: calendar.Dur(o.Due), Penalty: o.Penalty, Cap: o.Cap})
	}
	return out
}

// stores are the places beyond those with a band whose levels a case keeps.
func (c *Case) stores() []record.Place {
	var out []record.Place
	for i := range c.Plant.Route.Places {
		if slices.Contains(c.Stores, c.Plant.Route.Places[i].Name) {
			out = append(out, record.Place(i))
		}
	}
	return out
}

// shown says whether a series belongs into results.
func (c *Case) shown(store string) bool { return c.Stores == nil || slices.Contains(c.Stores, store) }
