package measure

import (
	"math"
	"testing"

	"millrace/sim/record"
)

// aDay is a day of the little works, with every number worked out by hand in
// the tests below.
func aDay() []record.Event {
	tundish := move(20, c1, skull, 12, stepOther)
	tundish.Piece = -1 // no heat's: it stayed in the tundish
	return []record.Event{
		move(0, opening, torpedoes, 500, stepOpening),
		move(0, opening, yard, 2000, stepOpening),
		move(0, opening, coilYard, 4000, stepOpening),
		move(1, blast, torpedoes, 600, stepOther), // 1100 t: more than the room of 1000
		move(1, torpedoes, pooled, 100, stepOther),
		note(1, 3, caster, 1100, 0, 0), // first word on the speed: no change
		move(2, torpedoes, shop, 260, stepOther),
		move(3, shop, ladles, 250, stepOther), // tapped
		move(3, shop, scrap, 10, stepOther),   // stands for what is blown off
		move(4, ladles, c1, 250, stepOther),
		note(4, 4, caster, 1, 0, 0),
		note(4, 7, caster, 300, 0, 0),
		note(4, 3, caster, 1100, 0, 0), // the same again: no change
		move(5, c1, skull, 1, stepOther),
		move(5, c1, castCrop, 2, stepOther),
		move(5, c1, trim, 3, stepOther),
		note(5, 3, caster, 800, 0, 0), // a change
		move(6, c1, yard, 180, stepOther),
		plain(6, record.Upset, 2, 0),
		plain(6, record.Ordered, 1, 0), // overflow yard opened at 6 h
		move(7, yard, overflow, 30, stepHaul),
		move(8, overflow, yard, 30, stepHaul), // on the way back it costs nothing
		plain(9, record.Refused, 7, 3),
		plain(9.5, record.Ordered, 2, 0), // and closed at 9.5 h
		note(10, 8, furnace, 3000, 100*t, 0),
		note(10, 8, furnace, 5000, 300*t, 0),
		move(11, yard, coilers, 400, stepOther),
		move(11, yard, scale, 4, stepOther),
		move(12, coilers, cobble, 20, stepOther),
		note(12, 10, record.Nowhere, 20*t, 0, 0),
		move(12, coilers, coilYard, 380, stepOther),
		note(13, 14, record.Nowhere, 380*t, 0, 0),
		gone(14, toPickle, 0, 200),
		gone(15, hotBand, 1, 100),
		gone(15, hotBand, 0, 40),
		plain(15, record.Due, 0, 0),
		note(16, 13, caster, 30*t, 0, 0),
		note(17, 1, record.Nowhere, 900_000_000, 20_000_000, 100_000_000), // kJ
		plain(17, record.Level, 1, 0),
		plain(18, record.Over, 2, 0),
		move(19, c1, returned, 30, stepOther),
		note(19, 2, caster, 30*t, 1, 0),
		tundish,
		note(20, 5, caster, 1, 1, 0),
		note(20, 6, caster, 0, 0, 0),
		note(21, 15, furnace, 0, 0, 0), // a planned stop pulled forward, 21 to 23 h
		note(23, 16, furnace, 0, 0, 0),
		state(10, stand, running, 1, 0, 0),
		state(12, stand, starved, 0, 0, 1),
	}
}

func ordered() []record.Event {
	e := aDay()
	// by time; equal times keep their order
	for i := 1; i < len(e); i++ {
		for j := i; j > 0 && e[j].T < e[j-1].T; j-- {
			e[j], e[j-1] = e[j-1], e[j]
		}
	}
	return e
}

func TestAccountByHand(tb *testing.T) {
	s := testSheet()
	s.Orders = []Line{
		{Product: 0, Mass: 100 * t, Due: hour(10), Penalty: .07, Cap: 0}, // done at 15 h: 5 h late
		{Product: 1, Mass: 200 * t, Due: hour(12), Penalty: .5, Cap: .02},
		{Product: 1, Mass: 1 * t, Due: hour(30), Penalty: .5}, // not yet due
	}
	x := newTally(tb, s)
	x.Put(ordered())
	x.Settle(hour(24))
	a := x.Account()
	week := 7 * 24.0
	for _, l := range []struct {
		line int
		want float64
	}{
		{Margin, -(240e3*.10 + 100e3*.20)},         // A 200+40 t, B 100 t
		{HeatsReturned, 30e3 * .07},                //
		{IronLost, 100e3 * .25},                    //
		{Scrap, (20 + 10 + 2 + 3 + 12) * 1e3 * .3}, // cobble, scrap, crop, trim, tundish
		{Downgrade, 30e3 * .1},                     //
		{Fuel, (900 - 100) * 1e9 * 9e-9},           // 900 GJ burned, 100 of them bought
		{CO2, 900e9 * 56.1e-9 * .08},               //
		{GasBought, 100e9 * 12e-9},                 //
		{GasFlared, 20e9 * 4e-9},                   //
		{ReheatPower, 2 * 3600 * 25e6 * 30e-9},     // 10 to 12 h
		{Haulage, 30e3 * .005},                     //
		{Tundishes, 6000},                          //
		{Penalties, 100e3*.5*.07*5/week + 200e3*.8*.5*math.Min(.02/.5, (24-12)/week)}, // the second is at its cap of 2 %
		{Overtime, (3.5 + 2) * 3600 * .1},                                             // 6 to 9.5 h, 21 to 23 h
		// Coils: 4000 + 380 - 340 = 4040 t at the mix's 0.75 x 0.10 + 0.25 x 0.20.
		// Before them: torpedoes 500+600-100-260 = 740; C1 250-1-2-3-180-30-12 = 22;
		// yard 2000+180-404 = 1776.
		{Stock, -4040e3*.125 - (740+22+1776)*1e3*.1},
	} {
		close(tb, LineNames[l.line], a[l.line], l.want)
	}
	sum := 0.0
	for _, v := range a {
		sum += v
	}
	close(tb, "total", a.Total(), sum)
	var zero Account
	if d := a.Less(&a); d != zero {
		tb.Errorf("an account less itself is %v", d)
	}
}

func TestOnlyTheBookEarns(tb *testing.T) {
	s := testSheet()
	s.SoldOut = false
	s.Orders = []Line{{Product: 0, Mass: 150 * t, Due: hour(99)}, {Product: 1, Mass: 300 * t, Due: hour(99)}}
	x := newTally(tb, s)
	x.Put(ordered())
	x.Settle(hour(24))
	a := x.Account()
	// Of A 240 t left and 150 are paid; of B 100 of 300: 200 t are still wanted,
	// so no more than 200 t of the coils in stock are worth anything.
	close(tb, "margin", a[Margin], -(150e3*.10 + 100e3*.20))
	close(tb, "stock", a[Stock], -200e3*.125) // and no slab is
	// A book of 5000 t of B: 4900 t are wanted, 4040 t lie as coils, so 860 t of the
	// slabs and steel before them are worth something.
	s.Orders[1].Mass = 5000 * t
	x = newTally(tb, s)
	x.Put(ordered())
	x.Settle(hour(24))
	a = x.Account()
	close(tb, "stock of a long book", a[Stock], -4040e3*.125-860e3*.1)
}

// Overtime is paid by crew, fans by the hour, both from the order to the order that
// ends them, or to the end.
func TestCrewsAndFansByTheHour(tb *testing.T) {
	s := testSheet()
	s.Crews, s.Fans = 3, .04
	codes := testCodes
	codes.Overtime, codes.ForceCooling = 21, 16
	x, err := New(Setup{Route: route(), Codes: codes, Sheet: s, Scripted: 1})
	if err != nil {
		tb.Fatal(err)
	}
	order := func(h float64, lever int32, on int64) record.Event {
		return record.Event{T: hour(h), Kind: record.Ordered, A: lever, X: on * 1e6, Piece: -1}
	}
	x.Put([]record.Event{order(2, 21, 1), order(3, 16, 1), order(4, 16, 1), order(6, 21, 0), order(8, 16, 0), order(20, 16, 1)})
	x.Settle(hour(24))
	y := &Tally{}
	y.CopyFrom(x)
	for _, z := range []*Tally{x, y} {
		a := z.Account()
		close(tb, "overtime of three crews", a[Overtime], 4*3*3600*.1)
		close(tb, "fans", a[Fans], (5+4)*3600*.04)
		close(tb, "hours of fans", value(tb, z, "forced cooling"), 9)
	}
	s.Fans = math.NaN()
	if _, err := New(Setup{Route: route(), Codes: codes, Sheet: s}); err == nil {
		tb.Error("fans at no price are taken")
	}
}

func TestValuesByHand(tb *testing.T) {
	s := testSheet()
	s.Orders = []Line{{Product: 0, Mass: 100 * t, Due: hour(10)}, {Product: 1, Mass: 200 * t, Due: hour(12)}, {Product: 1, Mass: 1 * t, Due: hour(30)}}
	x := newTally(tb, s)
	x.Put(ordered())
	x.Settle(hour(24))
	for _, v := range []struct {
		name string
		want float64
	}{
		{"dispatched", 340}, {"dispatched: to pickling", 200}, {"dispatched: hot band dispatched", 140}, {"dispatched: A", 240}, {"dispatched: B", 100},
		{"secondary", 30}, {"heats tapped", 1}, {"steel tapped", 250}, {"heats cast", 1}, {"heats returned", 1}, {"steel returned", 30},
		{"sequences", 1}, {"sequences ended unplanned", 1}, {"tundishes", 1}, {"casting speed changes", 1}, {"iron pooled", 100},
		{"strips cobbled", 1}, {"bars rejected", 0}, {"scrap", 47}, {"scale", 4}, {"fuel", 900}, {"gas flared", 20}, {"gas bought", 100},
		{"CO2", 900 * 56.1 / 1000}, {"charge temperature", (300.0*100 + 500*300) / 400}, {"charged above 400 C", 75}, {"reheat stand", 2},
		{"hauled", 30}, {"overtime", 5.5}, {"order lines done", 1}, {"order lines late", 2}, {"lateness", (5.0 + 12) / 24},
		{"peak slab yard", 2180}, {"least slab yard", 1776}, {"peak torpedoes", 1100}, {"torpedoes full", 1}, {"torpedoes full after", 1},
		{"slab yard full", 0}, {"slab yard full after", math.NaN()}, {"peak ladles", 1}, {"upset", 12}, {"upsets", 1},
		{"orders given", 3}, {"orders refused", 1}, {"horizon", 24},
	} {
		close(tb, v.name, value(tb, x, v.name), v.want)
	}
	// Cool coils: none at the start, 380 at 13 h, then 340 leave: the lowest is
	// the start's 0.
	close(tb, "least cool coils", value(tb, x, "least cool coils"), 0)
}

func TestNamesAreUnique(tb *testing.T) {
	x := newTally(tb, testSheet())
	seen := map[string]bool{}
	for _, v := range x.Values() {
		if seen[v.Name] || v.Name == "" || v.What == "" || v.Unit == "" {
			tb.Errorf("value %+v has no name, unit or meaning of its own", v)
		}
		seen[v.Name] = true
	}
}

func TestBalanceByHand(tb *testing.T) {
	x := newTally(tb, testSheet())
	x.Put(ordered())
	b := x.Balance()
	// In: opening 6500, blown 600. Out 340. Lost: pooled 100, scrap 10, skull 13,
	// crop 2, trim 3, scale 4, cobble 20, returned 30. In the works: 740 torpedoes,
	// 22 C1, 1776 yard, 4040 coils.
	close(tb, "in", b.In, 7100)
	close(tb, "out", b.Out, 340)
	close(tb, "lost", b.Lost, 182)
	close(tb, "in the works", b.InWorks, 6578)
	if b.Difference != 0 {
		tb.Errorf("the balance does not close: %g t", b.Difference)
	}
	mass := make([]int64, nPlaces)
	for i := range mass {
		mass[i] = x.Level(record.Place(i))
	}
	if err := x.CheckMass(mass); err != nil {
		tb.Error(err)
	}
	mass[yard]++
	if x.CheckMass(mass) == nil {
		tb.Error("a gram more in the yard than moved there is not found")
	}
}
