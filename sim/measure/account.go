package measure

import (
	"millrace/sim/calendar"
	"millrace/sim/record"
)

// The lines of an account.
const (
	Margin = iota
	HeatsReturned
	IronLost
	Scrap
	Downgrade
	Fuel
	CO2
	GasBought
	GasFlared
	ReheatPower
	Haulage
	Tundishes
	Penalties
	Overtime
	Fans
	Stock
	NLines
)

// LineNames name the lines of an account, LineWhats say what is in them.
var (
	LineNames = [NLines]string{
		"margin dispatched", "heats returned", "iron lost", "scrap", "downgraded", "fuel", "CO2", "gas bought", "gas flared",
		"reheat stand", "haulage", "tundishes", "penalties", "overtime", "forced cooling", "stock at the end",
	}
	LineWhats = [NLines]string{
		"coils that left, by product; beyond the order book only where demand is sold out",
		"liquid steel poured back",
		"hot metal that found no room",
		"strips, bars and strands lost, casting crop, trim and steel left in tundishes",
		"coils sold as secondary",
		"works gas burned in the furnaces, without what was bought",
		"of the furnaces' fuel",
		"gas from outside",
		"works gas without a customer",
		"power of the reheat stand",
		"slabs to the overflow yard and back; coils pickled outside",
		"new tundishes",
		"order lines late, pro rata by the week, up to their cap",
		"extra crews: overflow yard open, planned stops pulled forward, every line that works overtime",
		"fans and water on the coil floor, by the hour",
		"coils at the margin of the mix; slabs, bars, steel and iron at the price of stock; both only as far as the book still asks, unless all can be sold",
	}
)

// Account is money by line, costs positive: what earns is negative.
type Account [NLines]float64

// Total adds the lines up.
func (a *Account) Total() float64 {
	s := 0.0
	for _, v := range a {
		s += v
	}
	return s
}

// Less returns a - b, line by line.
func (a *Account) Less(b *Account) (d Account) {
	for i := range a {
		d[i] = a[i] - b[i]
	}
	return d
}

const week = 7 * calendar.Day

// Account values what was counted up to the last Settle.
func (t *Tally) Account() Account {
	s := &t.sheet
	var a Account
	const kg = 1000.0 // grams
	const kJ = 1000.0

	// What is dispatched earns its margin; a coil in stock will earn that of the
	// mix, as long as somebody wants it.
	wanted := make([]int64, len(s.Products))
	for i := range s.Orders {
		wanted[s.Orders[i].Product] += s.Orders[i].Mass
	}
	open := int64(0)
	for p := range s.Products {
		g := int64(0)
		for w := range t.ways {
			g += t.Dispatched(p, w)
		}
		if !s.SoldOut {
			open += max(0, wanted[p]-g)
			g = min(g, wanted[p])
		}
		a[Margin] -= float64(g) / kg * s.Products[p].Margin
	}
	coils, rest := t.stock()
	if !s.SoldOut {
		// What nobody has ordered is worth no more than it cost: the book is filled with
		// coils first, then with what is still to be rolled.
		coils = min(coils, open)
		rest = min(rest, open-coils)
	}
	mean := 0.0
	for p := range s.Products {
		mean += s.Products[p].Share * s.Products[p].Margin
	}
	a[Stock] = -float64(coils)/kg*mean - float64(rest)/kg*s.Stock

	a[HeatsReturned] = float64(t.pouredG) / kg * s.HeatReturn
	a[IronLost] = float64(t.lost(t.pooled)) / kg * s.IronLost
	a[Scrap] = float64(t.scrapG()) / kg * s.Scrap
	a[Downgrade] = float64(t.downgraded+t.secondary) / kg * s.Downgrade
	burned, bought := float64(t.burned)*kJ, float64(t.bought)*kJ
	a[Fuel] = max(0, burned-bought) * s.Fuel
	a[CO2] = burned * s.CO2PerJ * s.CO2
	a[GasBought] = bought * s.GasBought
	a[GasFlared] = float64(t.flared) * kJ * s.GasFlared
	if t.stand >= 0 {
		u := &t.units[t.stand]
		a[ReheatPower] = (u.spent[running] + u.spent[slowed]).Seconds() * s.StandPower * s.Power
	}
	a[Haulage] = float64(t.hauled)/kg*s.Haulage + float64(t.outside)/kg*s.OutsideFee
	for u, price := range s.Tundish {
		a[Tundishes] += float64(t.tundishes[u]) * price
	}
	for i := range s.Orders {
		o := &s.Orders[i]
		share := o.Penalty * float64(t.late(i)) / float64(week)
		if o.Cap > 0 {
			share = min(share, o.Cap)
		}
		a[Penalties] += share * float64(o.Mass) / kg * s.Products[o.Product].Price
	}
	a[Overtime] = t.crewTime.Seconds() * s.Overtime
	a[Fans] = t.fanTime.Seconds() * s.Fans
	return a
}

// stock is the mass in the works, g: coils, and everything before them. Coils
// lie in the coil yard and beside the route behind the coilers.
func (t *Tally) stock() (coils, rest int64) {
	behind := false
	for i := range t.places {
		p := &t.places[i]
		if p.role != record.Store && p.role != record.OnUnit {
			continue
		}
		if t.route.Places[i].Name == "coilers" {
			behind = true
		}
		if behind {
			coils += p.mass
		} else {
			rest += p.mass
		}
	}
	return coils, rest
}
