package measure

import (
	"fmt"
	"math"

	"millrace/sim/calendar"
)

// Sheet is what things are worth: money in the works' currency, per kg, J, s or
// piece.
type Sheet struct {
	Currency string
	Products []Worth
	Tundish  []float64 // a new tundish, by unit number (0 where it is no caster)
	Orders   []Line
	// SoldOut: everything dispatched earns its margin. Otherwise a product earns
	// it only up to what the order book asks for.
	SoldOut bool

	HeatReturn float64 // per kg of steel poured back
	IronLost   float64 // per kg of iron pooled
	Scrap      float64 // per kg of steel lost as scrap
	Downgrade  float64 // per kg sold as secondary
	Stock      float64 // per kg of iron, steel, slabs and bars in the works
	Fuel       float64 // per J of works gas burned
	CO2        float64 // per kg
	CO2PerJ    float64 // kg of CO2 per J of fuel burned
	GasBought  float64 // per J
	GasFlared  float64 // per J
	StandPower float64 // W of the reheat stand
	Power      float64 // per J of the reheat stand
	Haulage    float64 // per kg taken to the overflow yard, way back included
	OutsideFee float64 // per kg pickled outside, haulage included
	Overtime   float64 // per s that an extra crew is at work
	Crews      int     // extra crews while overtime is worked; below 1: one
	Fans       float64 // per s of forced cooling of coils

	// CoolLow to CoolHigh are the band of the stock of cool coils, g.
	CoolLow, CoolNormal, CoolHigh int64
	// GasLow to GasRoom are the band and room of the fuel gas holder, kJ.
	GasLow, GasNormal, GasHigh, GasRoom int64
}

// Worth is one product.
type Worth struct {
	Margin float64 // per kg dispatched
	Price  float64 // per kg, what penalties are a share of
	Share  float64 // of the mix, by mass; sums to 1
}

// Line is one line of the order book.
type Line struct {
	Product int
	Mass    int64 // g
	Due     calendar.Time
	Penalty float64 // share of the value per week late
	Cap     float64 // share of the value at most; 0 for no cap
}

func (s *Sheet) check(units int) error {
	for _, v := range []struct {
		name string
		v    float64
	}{
		{"heat return", s.HeatReturn}, {"iron lost", s.IronLost}, {"scrap", s.Scrap}, {"downgrade", s.Downgrade}, {"stock", s.Stock},
		{"fuel", s.Fuel}, {"CO2", s.CO2}, {"CO2 per J", s.CO2PerJ}, {"gas bought", s.GasBought}, {"gas flared", s.GasFlared},
		{"stand power", s.StandPower}, {"power", s.Power}, {"haulage", s.Haulage}, {"overtime", s.Overtime}, {"outside pickling", s.OutsideFee}, {"forced cooling", s.Fans},
	} {
		if math.IsNaN(v.v) || math.IsInf(v.v, 0) {
			return fmt.Errorf("measure: the price of %s is not a number", v.name)
		}
	}
	for i, w := range s.Products {
		if math.IsNaN(w.Margin+w.Price+w.Share) || math.IsInf(w.Margin+w.Price+w.Share, 0) {
			return fmt.Errorf("measure: what product %d is worth is not a number", i)
		}
	}
	for i, o := range s.Orders {
		if o.Product < 0 || o.Product >= len(s.Products) {
			return fmt.Errorf("measure: order line %d is for product %d; there are %d", i, o.Product, len(s.Products))
		}
		if o.Mass < 0 || math.IsNaN(o.Penalty+o.Cap) {
			return fmt.Errorf("measure: order line %d has no mass or penalty that could be", i)
		}
	}
	if len(s.Tundish) > units {
		return fmt.Errorf("measure: %d prices of tundishes for %d units", len(s.Tundish), units)
	}
	return nil
}
