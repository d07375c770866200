package measure

import (
	"math"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/record"
)

// Places of the little works of these tests.
const (
	blast record.Place = iota
	opening
	torpedoes
	shop
	ladles
	c1
	yard
	overflow
	coilers
	coilYard
	cobble
	scrap
	skull
	castCrop
	trim
	scale
	pooled
	returned
	toPickle
	hotBand
	nPlaces
)

// Units.
const (
	caster = iota
	furnace
	stand
)

// Codes.
const (
	stepOther int32 = iota
	stepOpening
	stepGone
	stepHaul
)

const t = 1_000_000 // g

func route() *record.Route {
	r := &record.Route{Products: []string{"A", "B"}, Places: make([]record.PlaceInfo, nPlaces)}
	put := func(at record.Place, name string, role record.Role) {
		r.Places[at] = record.PlaceInfo{Name: name, Role: role, Amount: "t", PerAmount: t}
	}
	put(blast, "blast furnace", record.Source)
	put(opening, "opening stock", record.Source)
	put(torpedoes, "torpedoes", record.Store)
	put(shop, "steel shop", record.OnUnit)
	put(ladles, "ladles", record.Store)
	put(c1, "C1", record.OnUnit)
	put(yard, "slab yard", record.Store)
	put(overflow, "overflow yard", record.Store)
	put(coilers, "coilers", record.OnUnit)
	put(coilYard, "coil yard", record.Store)
	for at, name := range []string{"cobble", "scrap", "skull", "casting crop", "trim", "scale", "iron pooled"} {
		put(cobble+record.Place(at), name, record.Loss)
	}
	put(returned, "returned", record.Returns)
	put(toPickle, "to pickling", record.Gone)
	put(hotBand, "hot band dispatched", record.Gone)
	band := func(at record.Place, low, high, room int64) {
		q := &r.Places[at]
		q.Low, q.Normal, q.High, q.Room = low*t, (low+high)/2*t, high*t, room*t
	}
	band(torpedoes, 100, 800, 1000)
	band(yard, 1000, 3000, 4000)
	band(coilYard, 2000, 6000, 7000)
	r.Places[ladles].Amount, r.Places[ladles].PerAmount = "heats", 250*t
	r.Units = []record.UnitInfo{{Name: "C1", Places: 1}, {Name: "F1", Places: 4}, {Name: "reheat stand", Places: 1}}
	return r
}

var testCodes = Codes{Opening: stepOpening, Gone: stepGone, Haul: stepHaul, Outside: -1, Overtime: -1, ForceCooling: -1, Gas: 1, Returned: 2, Speed: 3, Sequence: 4, SequenceEnds: 5,
	Tundish: 6, Opened: 7, Charged: 8, Rejected: 9, Cobbled: 10, Scrapped: 11, SlabBack: 12, Downgraded: 13, Cool: 14, Pulled: 15, PlannedOver: 16,
	GasHolder: 1, OpenOverflow: 1, CloseOverflow: 2}

func testSheet() Sheet {
	return Sheet{Currency: "EUR", SoldOut: true,
		Products: []Worth{{Margin: .10, Price: .5, Share: .75}, {Margin: .20, Price: .8, Share: .25}},
		Tundish:  []float64{6000}, HeatReturn: .07, IronLost: .25, Scrap: .3, Downgrade: .1, Stock: .1, Fuel: 9e-9, CO2: .08, CO2PerJ: 56.1e-9,
		GasBought: 12e-9, GasFlared: 4e-9, StandPower: 25e6, Power: 30e-9, Haulage: .005, Overtime: .1,
		GasLow: 1, GasNormal: 500, GasHigh: 900, GasRoom: 1000}
}

func newTally(tb testing.TB, s Sheet) *Tally {
	tb.Helper()
	x, err := New(Setup{Route: route(), Codes: testCodes, Sheet: s, Scripted: 1})
	if err != nil {
		tb.Fatal(err)
	}
	return x
}

func hour(h float64) calendar.Time { return calendar.Time(h * float64(calendar.Hour)) }

func move(h float64, from, to record.Place, tonnes float64, step int32) record.Event {
	return record.Event{T: hour(h), Kind: record.Move, From: from, To: to, Mass: int64(math.Round(tonnes * t)), A: step, Piece: 1}
}

func gone(h float64, to record.Place, product int32, tonnes float64) record.Event {
	e := move(h, coilYard, to, tonnes, stepGone)
	e.B = product
	return e
}

func note(h float64, what int32, on record.Place, x, y, z int64) record.Event {
	return record.Event{T: hour(h), Kind: record.Note, A: what, From: on, To: record.Nowhere, Piece: -1, X: x, Y: y, Z: z}
}

// state is a unit in state a; a furnace has four places of which some run, are down
// or starved, and the rest are in a, or blocked where a is one of these.
func state(h float64, unit record.Place, a, run, dn, st int) record.Event {
	var count [NStates]int
	if unit == furnace {
		count[running], count[down], count[starved] = run, dn, st
		rest := 4 - run - dn - st
		switch a {
		case offShift, maintenance, changeover:
			count[a] += rest
		default:
			count[blocked] += rest
		}
	} else {
		if a < NStates {
			count[a] = 1
		}
	}
	e := record.Event{T: hour(h), Kind: record.State, From: unit, A: int32(a), B: int32(run)}
	for s := range 4 {
		e.X |= int64(count[s]) << (16 * s)
		e.Y |= int64(count[s+4]) << (16 * s)
	}
	return e
}

func plain(h float64, k record.Kind, a, b int32) record.Event {
	return record.Event{T: hour(h), Kind: k, A: a, B: b, From: record.Nowhere, To: record.Nowhere}
}

func value(tb testing.TB, x *Tally, name string) float64 {
	tb.Helper()
	for _, v := range x.Values() {
		if v.Name == name {
			return v.Value
		}
	}
	tb.Fatalf("there is no value %q", name)
	return 0
}

func close(tb testing.TB, what string, got, want float64) {
	tb.Helper()
	if math.IsNaN(got) != math.IsNaN(want) || math.Abs(got-want) > 1e-9*math.Max(1, math.Abs(want)) {
		tb.Errorf("%s is %v, by hand %v", what, got, want)
	}
}
