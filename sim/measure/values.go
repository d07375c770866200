package measure

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/record"
)

// Value is one number a run is judged by.
type Value struct {
	Name  string
	Unit  string // "t", "h", "GJ", "-" for a count
	What  string // one line for people
	Value float64
}

// Upset returns when the first scripted upset began and the last one was over;
// began is Never when there was none, over is Never while one lasts.
func (t *Tally) Upset() (began, over calendar.Time) {
	if t.active > 0 {
		return t.firstUpset, calendar.Never
	}
	return t.firstUpset, t.lastOver
}

// Dispatched is what left the works, g, by product and way (a place with role
// Gone, in the order of the route).
func (t *Tally) Dispatched(product, way int) int64 { return t.gone[product*t.ways+way] }

// Ways is by how many ways steel can leave for customers.
func (t *Tally) Ways() int { return t.ways }

// Level is what a place holds, g.
func (t *Tally) Level(at record.Place) int64 { return t.places[at].mass }

// Events is how many records were counted.
func (t *Tally) Events() uint64 { return t.events }

// Orders is how many orders were given and how many were refused.
func (t *Tally) Orders() (given, refused int) { return int(t.ordered + t.refused), int(t.refused) }

func hoursOr(t calendar.Time) float64 {
	if t == calendar.Never {
		return math.NaN()
	}
	return t.Hours()
}

func (t *Tally) lost(at int) int64 {
	if at < 0 {
		return 0
	}
	return t.places[at].in - t.places[at].out
}

// scrapG is the steel lost as scrap: strips and bars lost in the mill, pieces
// lost otherwise, and what every end of a sequence costs (casting crop, trim and
// the steel left in tundishes). The skull of ladles, mill crop and scale go with
// every tonne made and are part of a product's margin.
func (t *Tally) scrapG() int64 {
	return t.lost(t.cobble) + t.lost(t.scrap) + t.lost(t.castCrop) + t.lost(t.trim) + t.tundishG
}

// lateness returns the number of order lines done, of lines late (done late or
// due and not done), and the days late in all, as of the last Settle.
func (t *Tally) lateness() (done, late int, days float64) {
	for i := range t.sheet.Orders {
		if t.orderDone[i] != calendar.Never {
			done++
		}
		if d := t.late(i); d > 0 {
			late++
			days += d.Seconds() / 86400
		}
	}
	return done, late, days
}

// late is how late order line i was done, or is.
func (t *Tally) late(i int) calendar.Time {
	at := t.orderDone[i]
	if at == calendar.Never {
		at = t.now
	}
	return max(0, at-t.sheet.Orders[i].Due)
}

// Values lists what was counted up to the last Settle, always in the same order.
// A value that does not exist (the hour a store was first full, if it never was)
// is NaN.
func (t *Tally) Values() []Value {
	var out []Value
	put := func(name, unit string, v float64, what string) { out = append(out, Value{name, unit, what, v}) }
	count := func(name string, n int64, what string) { put(name, "-", float64(n), what) }

	total := int64(0)
	byWay := make([]int64, t.ways)
	for p := range t.route.Products {
		for w := range t.ways {
			byWay[w] += t.Dispatched(p, w)
			total += t.Dispatched(p, w)
		}
	}
	put("dispatched", "t", tonnes(total), "coils that left the works, prime and secondary")
	secondary := min(total, t.secondary+t.downgraded)
	put("secondary", "t", tonnes(secondary), "sold cheaper")
	way := 0
	for i := range t.places {
		if t.places[i].role == record.Gone {
			put("dispatched: "+t.route.Places[i].Name, "t", tonnes(byWay[way]), "coils by their way out")
			way++
		}
	}
	for p, name := range t.route.Products {
		g := int64(0)
		for w := range t.ways {
			g += t.Dispatched(p, w)
		}
		put("dispatched: "+name, "t", tonnes(g), "coils by product")
	}

	count("heats tapped", t.tapped, "heats that left the vessel")
	put("steel tapped", "t", tonnes(t.tappedG), "liquid steel that left the vessel")
	count("heats cast", t.opened, "ladles opened on a caster")
	count("heats returned", t.poured, "ladles poured back, whole or in part")
	put("steel returned", "t", tonnes(t.pouredG), "liquid steel poured back")
	count("sequences", t.sequences, "sequences opened")
	count("sequences ended unplanned", t.unplanned, "sequences that ran out of steel or were broken off")
	n := int64(0)
	for _, k := range t.tundishes {
		n += int64(k)
	}
	count("tundishes", n, "tundishes used up")
	count("casting speed changes", t.speeds, "changes of casting speed")
	put("iron pooled", "t", tonnes(t.lost(t.pooled)), "hot metal that found no room")

	count("bars rejected", t.rejected, "bars too cold or too late for the train")
	count("strips cobbled", t.cobbled, "strips and bars lost in the mill")
	count("pieces scrapped", t.scrapped, "lost otherwise")
	count("slabs back", t.slabsBack, "slabs that went back to the yard")
	put("scrap", "t", tonnes(t.scrapG()), "strips, bars and strands lost, casting crop, trim, steel left in tundishes")
	put("downgraded", "t", tonnes(t.downgraded), "made to be sold cheaper")
	put("scale", "t", tonnes(t.lost(t.scale)), "steel burned to scale")

	put("fuel", "GJ", float64(t.burned)/1e6, "burned in the furnaces")
	put("gas flared", "GJ", float64(t.flared)/1e6, "works gas without a customer")
	put("gas bought", "GJ", float64(t.bought)/1e6, "gas from outside")
	put("CO2", "t", float64(t.burned)*1e3*t.sheet.CO2PerJ/1e3, "from the furnaces' fuel")
	mean, share := math.NaN(), math.NaN()
	if t.chargedG > 0 {
		mean = t.chargedHeat / float64(t.chargedG) / 10
		share = 100 * float64(t.chargedHotG) / float64(t.chargedG)
	}
	put("charge temperature", "C", mean, "mean of the slabs charged, by mass")
	put("charged above 400 C", "%", share, "share of the mass charged")
	stand := 0.0
	if t.stand >= 0 {
		h := t.Hours(t.stand)
		stand = h[running] + h[slowed]
	}
	put("reheat stand", "h", stand, "heats held at the reheat stand")
	put("hauled", "t", tonnes(t.hauled), "slabs trucked to the overflow yard")
	put("overtime", "h", t.crewTime.Hours(), "extra crews: overflow yard open, planned stops pulled forward, every line that works overtime")
	put("forced cooling", "h", t.fanTime.Hours(), "fans or water on the coil floor")

	done, late, days := t.lateness()
	count("order lines done", int64(done), "lines of the book completed")
	count("order lines late", int64(late), "lines completed late, or due and not complete")
	put("lateness", "d", days, "days late, all lines together")

	for i := range t.places {
		p := &t.places[i]
		if p.role != record.Store {
			continue
		}
		name := t.route.Places[i].Name
		amount := 1.0 / gramsPerTonne
		if q := t.route.Places[i].PerAmount; q > 0 {
			amount = 1 / q
		}
		unit := t.route.Places[i].Amount
		if unit == "" {
			unit = "t"
		}
		put("peak "+name, unit, float64(p.peak)*amount, "highest level")
		put("least "+name, unit, float64(p.least)*amount, "lowest level")
		if p.room > 0 {
			put(name+" full", "-", yes(p.firstFull), "1 if it was ever full; the mean is a chance")
			put(name+" full after", "h", hoursOr(p.firstFull), "from the start of the run, first time")
		}
		if p.low > 0 {
			put(name+" dry", "-", yes(p.firstDry), "1 if it ever ran dry; the mean is a chance")
			put(name+" dry after", "h", hoursOr(p.firstDry), "from the start of the run, first time")
		}
	}
	if t.codes.Cool > 0 {
		put("least cool coils", "t", tonnes(t.coolLeast), "lowest stock of coils cool enough to go on")
		put("cool coils dry", "-", yes(t.firstCoolDry), "1 if pickling and dispatch ever found no cool coil")
	}
	if t.sheet.GasRoom > 0 {
		put("least fuel gas", "GJ", float64(t.holderLeast)/1e6, "lowest level of the holder")
		put("peak fuel gas", "GJ", float64(t.holderPeak)/1e6, "highest level of the holder")
	}
	began, over := t.Upset()
	put("upset", "h", span(began, min(over, t.now)), "from the first scripted upset to the end of the last")
	count("upsets", t.upsets, "upsets that began, scripted or not")
	count("orders given", t.ordered+t.refused, "levers pulled by the plan")
	count("orders refused", t.refused, "levers that could not be pulled")
	put("horizon", "h", t.now.Hours(), "length of the run")
	return out
}

func yes(t calendar.Time) float64 {
	if t == calendar.Never {
		return 0
	}
	return 1
}

func span(from, to calendar.Time) float64 {
	if from == calendar.Never {
		return 0
	}
	return (to - from).Hours()
}

// Now is the time of the last record or Settle.
func (t *Tally) Now() calendar.Time { return t.now }
