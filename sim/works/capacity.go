package works

import (
	"fmt"
	"math"
	"slices"

	"millrace/sim/chance"
)

// CapacityTable is what every unit can give on the mean of the calendar, and what it
// is asked for when the works sells all that its narrowest unit lets through. It is
// arithmetic on equipment, mix, planned stops and background upsets, no simulation:
// queues, stocks that run out and the mood of a day are not in it. A test holds the
// simulated output of the narrowest unit against it.
type CapacityTable struct {
	Works    string        `json:"works"`
	Invented bool          `json:"invented"`
	Demand   string        `json:"demand"` // "sold out"
	SlabTH   float64       `json:"slabs_t_h"`
	Rows     []CapacityRow `json:"units"`
	Limits   []string      `json:"limits"` // units by use, the bottleneck first
	Charge   float64       `json:"charge_c"`
	Drawn    float64       `json:"drawn_c"`
}

// CapacityRow is one unit, or all of a kind together. Tonnes are of what the unit
// takes: hot metal, liquid steel, slabs, coils.
type CapacityRow struct {
	Unit      string         `json:"unit"`
	Of        string         `json:"tonnes_of"`
	RunningTH float64        `json:"running_t_h"`
	Planned   float64        `json:"planned_share"`   // of the calendar: maintenance, rolls, turnarounds
	Unplanned float64        `json:"unplanned_share"` // of the calendar: background upsets
	NetTH     float64        `json:"net_t_h"`
	LoadTH    float64        `json:"load_t_h"`
	Use       float64        `json:"use"`
	SetBy     string         `json:"set_by"`
	Given     bool           `json:"rate_as_given,omitempty"`
	Losses    []CapacityLoss `json:"losses,omitempty"`

	perSlab float64 // t of Of for each t of slab
}

// CapacityLoss is one cause of lost time.
type CapacityLoss struct {
	Cause   string  `json:"cause"`
	Share   float64 `json:"share"` // of the calendar
	Planned bool    `json:"planned,omitempty"`
}

// capacity is a table while it is made.
type capacity struct {
	p    *Plant
	t    CapacityTable
	slab float64 // mean of full slabs, kg
	// light is the share by which slabs are lighter than full ones, for the first of a
	// sequence has lost its crop and the last may be short.
	light float64
	line  hotLine
	// Mass after each stage for a kilogram of slab, by product.
	coil, pickled, cold []float64
}

// Capacity computes the capacity table.
func (p *Plant) Capacity() CapacityTable {
	c := &capacity{p: p, t: CapacityTable{Works: p.Spec.Name, Invented: p.Spec.Invented, Demand: "sold out"}, slab: float64(p.meanSlab()) / grams}
	line := c.hotLine()
	c.yields()
	steel := c.casters()
	c.iron(steel)
	c.cranes()
	c.furnaces(&line)
	c.mill(&line)
	c.conveyor()
	if p.Spec.Cold != nil {
		c.coldSide()
	} else {
		c.rates()
	}
	t := &c.t
	t.SlabTH = math.Inf(1)
	for i := range t.Rows {
		r := &t.Rows[i]
		if r.perSlab > 0 {
			t.SlabTH = math.Min(t.SlabTH, r.NetTH/r.perSlab)
		}
	}
	order := make([]int, len(t.Rows))
	for i := range t.Rows {
		r := &t.Rows[i]
		order[i] = i
		r.LoadTH = t.SlabTH * r.perSlab
		if r.NetTH > 0 {
			r.Use = r.LoadTH / r.NetTH
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch x, y := t.Rows[a].Use, t.Rows[b].Use; {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	for _, i := range order {
		t.Limits = append(t.Limits, t.Rows[i].Unit)
	}
	return *t
}

// Row is the row of a unit, nil when there is none.
func (t *CapacityTable) Row(unit string) *CapacityRow {
	for i := range t.Rows {
		if t.Rows[i].Unit == unit {
			return &t.Rows[i]
		}
	}
	return nil
}

// mix sums a quantity over the products by their share of slab mass.
func (c *capacity) mix(of func(i int, pr *product) float64) float64 {
	sum := 0.0
	for i := range c.p.products {
		if x := of(i, &c.p.products[i]); x != 0 {
			sum += c.p.products[i].Share * x
		}
	}
	return sum
}

// row adds a unit that runs at a rate (kg/s of what it takes) unless it loses time:
// shares of the calendar (cal) and hours for each hour it runs (run).
func (c *capacity) row(r CapacityRow, rate float64, cal, run []CapacityLoss) {
	left, per := 1.0, 1.0
	for _, l := range cal {
		left -= l.Share
	}
	for _, l := range run {
		per += l.Share
	}
	runs := math.Max(0, left) / per
	for _, l := range run {
		l.Share *= runs
		cal = append(cal, l)
	}
	for _, l := range cal {
		if l.Share <= 0 {
			continue
		}
		r.Losses = append(r.Losses, l)
		if l.Planned {
			r.Planned += l.Share
		} else {
			r.Unplanned += l.Share
		}
	}
	r.RunningTH = rate * 3.6
	r.NetTH = r.RunningTH * runs
	c.t.Rows = append(c.t.Rows, r)
}

// planned are the planned stops of a unit, by number, shares of the calendar.
func (c *capacity) planned(units ...int) []CapacityLoss {
	var out []CapacityLoss
	share := 0.0
	for i := range c.p.Spec.Planned {
		s := &c.p.Spec.Planned[i]
		for _, u := range c.p.UnitsNamed(s.Unit) {
			if slices.Contains(units, u) && s.Every > 0 {
				share += s.Lasts / s.Every / float64(len(units))
			}
		}
	}
	if share > 0 {
		out = append(out, CapacityLoss{"planned stops", math.Min(1, share), true})
	}
	return out
}

// upsets calls for every background upset and unit it may happen to.
func (c *capacity) upsets(each func(s *UpsetSpec, unit int)) {
	for i := range c.p.Spec.Upsets {
		s := &c.p.Spec.Upsets[i]
		if s.Every <= 0 {
			continue
		}
		units := c.p.alsoHit(s)
		if len(units) == 0 {
			units = c.p.UnitsNamed(s.Unit)
		}
		for _, u := range units {
			each(s, u)
		}
	}
}

// lost is what one upset costs a unit, s: its length, the part of it that a slower pace
// loses, and what the return loses.
func (s *UpsetSpec) lost() float64 {
	t := s.Lasts.Mean()
	if s.Kind == SlowDown {
		slow := 1 - s.slows()
		t *= slow
		if s.StopsAfter > 0 {
			t += (1 - slow) * meanOver(s.Lasts, s.StopsAfter)
		}
	}
	return t + s.returning()
}

// returning is what a slow return costs, s.
func (s *UpsetSpec) returning() float64 {
	if s.ComesBack > 0 && s.ComesBack < 1 {
		return s.BackFor * (1 - s.ComesBack)
	}
	return 0
}

// stops adds what the upsets of a unit cost it: by the calendar, or by its own hours.
func (c *capacity) stops(unit int, cal, run []CapacityLoss, lost func(s *UpsetSpec) float64) (calOut, runOut []CapacityLoss) {
	c.upsets(func(s *UpsetSpec, at int) {
		if at != unit {
			return
		}
		l := CapacityLoss{s.Title(), lost(s) / s.Every, false}
		if c.p.ClockOf(s, at) == ByCalendar {
			cal = alike(cal, l)
		} else {
			run = alike(run, l)
		}
	})
	return cal, run
}

// over is the mean of a function of a length.
func over(l chance.Law, of func(x float64) float64) float64 {
	const n = 2000
	sum := 0.0
	for k := range n {
		sum += of(l.Quantile((float64(k) + 0.5) / n))
	}
	return sum / n
}

// alike adds a loss to the one of the same cause.
func alike(to []CapacityLoss, l CapacityLoss) []CapacityLoss {
	for i := range to {
		if to[i].Cause == l.Cause {
			to[i].Share += l.Share
			return to
		}
	}
	return append(to, l)
}

// meanOver is the mean of what a length has beyond a patience, s: the integral of the
// quantile by Gauss's two points in each of many slices.
func meanOver(l chance.Law, patience float64) float64 {
	if patience <= 0 {
		return l.Mean()
	}
	const n = 4000
	sum := 0.0
	for k := range n {
		for _, g := range [2]float64{0.21132486540518713, 0.7886751345948129} {
			if x := l.Quantile((float64(k)+g)/n) - patience; x > 0 {
				sum += x / (2 * n)
			}
		}
	}
	return sum
}

// yields fills the masses after each stage.
func (c *capacity) yields() {
	p := c.p
	for i := range p.products {
		pr := &p.products[i]
		slab := float64(pr.slabMass)
		coil := 1 - c.scaleShare() - float64(pr.cropMass)/slab
		pickled, cold := 0.0, 0.0
		if k := p.Spec.Cold; k != nil && pr.Pickled {
			pickled = coil * (1 - pr.acidLoss - k.Pickle.Trim/pr.Width)
			if pr.Cold > 0 {
				cold = pickled * (1 - k.Mill.Crop)
			}
		}
		c.coil, c.pickled, c.cold = append(c.coil, coil), append(c.pickled, pickled), append(c.cold, cold)
	}
}

// iron is hot metal and the converters, for so much liquid steel a kilogram of slab.
func (c *capacity) iron(steel float64) {
	s := &c.p.Spec
	rows := c.t.Rows
	c.t.Rows = nil
	c.row(CapacityRow{
		Unit: "iron supply", Of: "hot metal", Given: true, perSlab: steel / s.Iron.Yield * s.Iron.HotLow,
		SetBy: fmt.Sprintf("rate as given; the load at the least share of hot metal, %.0f %%", s.Iron.HotLow*100),
	}, s.Iron.Rate, c.planned(c.p.u.iron), nil)
	rate, by := float64(s.Shop.Vessels)*s.Shop.Heat/s.Shop.BlowTime, fmt.Sprintf("%d vessels, %.0f min a heat", s.Shop.Vessels, s.Shop.BlowTime/60)
	if s.Shop.Rate > 0 {
		rate, by = s.Shop.Rate, "rate as given"
	}
	cal, _ := c.stops(c.p.u.shop, c.planned(c.p.u.shop), nil, (*UpsetSpec).lost)
	c.row(CapacityRow{Unit: "steel shop", Of: "liquid steel", perSlab: steel, SetBy: by, Given: s.Shop.Rate > 0}, rate, cal, nil)
	c.t.Rows = append(c.t.Rows, rows...)
}

// casters adds the casters together and returns the liquid steel for a kilogram of slab.
func (c *capacity) casters() float64 {
	p, s := c.p, &c.p.Spec
	n := len(p.cycle)
	var feed, liquid, slabs float64 // s of all casters over their cycle; kg
	seqs := 0
	var turn, emptying float64
	var units []int
	for k := range s.Casters {
		q := &s.Casters[k]
		units = append(units, p.u.caster+k)
		sequences, heats := 0, 0
		for i := range n {
			a, b := p.cycle[(i+n-1)%n], p.cycle[i]
			if heats == 0 || heats >= q.HeatsMax || math.Abs(p.products[a].Width-p.products[b].Width) > q.MaxWidth {
				sequences++
				heats = 0
			}
			heats++
		}
		speed := func(pr *product) float64 {
			if q.Rate > 0 {
				return q.Rate / (float64(q.Strands) * pr.metreMass)
			}
			return math.Min(q.Normal, pr.castLimit[k])
		}
		perSeq := q.TundishMin / float64(n) * float64(sequences) // of each heat
		for _, i := range p.cycle {
			pr := &p.products[i]
			m := s.Shop.Heat*(1-s.Shop.Skull) - perSeq
			feed += m / (float64(q.Strands) * pr.metreMass * speed(pr))
			slabs += m * (1 - q.Kerf/(s.SlabLen+q.Kerf))
		}
		mean := &p.products[p.cycle[n/2]]
		// What is left of a strand at the end is a short slab or crop, evenly likely at
		// every length.
		keep := leastSlab*s.SlabLen + q.TailCrop
		crop := q.HeadCrop + (keep*keep/2+(s.SlabLen-keep)*q.TailCrop)/s.SlabLen
		slabs -= float64(sequences) * crop * float64(q.Strands) * mean.metreMass
		short := (float64(sequences) * float64(q.Strands)) * (q.HeadCrop + (1-keep/s.SlabLen)*(s.SlabLen-keep)/2) * mean.metreMass
		c.light += short / (float64(n) * s.Shop.Heat) / float64(len(s.Casters))
		emptying += float64(sequences) * q.Supported / speed(mean)
		turn += float64(sequences) * q.Turnaround
		liquid += float64(n) * s.Shop.Heat
		seqs += sequences
	}
	run := []CapacityLoss{{"strand drawn out at the end of a sequence", emptying / feed, true}, {"turnaround", turn / feed, true}}
	// A caster that comes back waits for its first heat, which is begun only then.
	lead := s.Shop.BlowTime + s.Shop.TreatTime*s.Shop.TreatScatt.Mean()
	cal := c.planned(units...)
	for i := range s.Planned {
		x := &s.Planned[i]
		for _, u := range p.UnitsNamed(x.Unit) {
			if slices.Contains(units, u) && x.Every > 0 {
				cal[0].Share += lead / x.Every / float64(len(units))
			}
		}
	}
	// A broken sequence costs its drawing out and turnaround, or its length if that is
	// more, less the half sequence by which the next planned break is later.
	whole := (emptying + turn) / float64(seqs)
	broken := func(l chance.Law, from float64) float64 {
		return over(l, func(x float64) float64 {
			if x <= from {
				return 0
			}
			return math.Max(x-from, whole) - whole/2
		})
	}
	c.upsets(func(u *UpsetSpec, at int) {
		if at == p.u.shop && u.Kind != LateHeat && !slices.ContainsFunc(p.alsoHit(u), func(o int) bool { return slices.Contains(units, o) }) {
			// Heats in the blow and in treatment come; the next is late by what the stop has
			// beyond half the time between two heats of a caster.
			mean := &p.products[p.cycle[n/2]]
			q := &s.Casters[0]
			between := s.Shop.Heat / (float64(q.Strands) * mean.metreMass * q.Normal)
			late := over(u.Lasts, func(x float64) float64 {
				if x -= between / 2; x <= c.patience() {
					return 0
				}
				return math.Max(x-s.Standing.ArriveEarly, whole) - whole/2
			})
			cal = alike(cal, CapacityLoss{u.Title() + ", sequence lost", late / u.Every, false})
			return
		}
		if !slices.Contains(units, at) {
			return
		}
		share := 0.0
		q := &s.Casters[at-p.u.caster]
		switch u.Kind {
		case NozzleClogging, SlowDown:
			slow := 1 - math.Max(u.slows(), q.Slowest/q.Normal)
			share = u.Lasts.Mean() * slow
			if u.Kind == SlowDown && u.StopsAfter > 0 {
				share += broken(u.Lasts, u.StopsAfter) - slow*meanOver(u.Lasts, u.StopsAfter)
			}
		case CasterBreakout:
			share = u.Lasts.Mean() + lead
		default:
			share = broken(u.Lasts, 0) + lead/2 // half of them find a heat that waits
		}
		cal = alike(cal, CapacityLoss{u.Title(), (share + u.returning()) / u.Every / float64(len(units)), false})
	})
	for i := range s.Upsets {
		u := &s.Upsets[i]
		if u.Kind != LateHeat || u.Every <= 0 {
			continue
		}
		// A heat that is later than its spare time and what the tundish lasts at the
		// slowest speed ends the sequence; the next one begins to count anew.
		q := &s.Casters[0]
		b := u.Lasts.Survival(c.patience()) / u.Every
		heats := float64(n*len(s.Casters)) / float64(seqs)
		more := heats*b/(1-math.Pow(1-b, heats)) - 1 // more sequences for the same heats
		// The next sequence waits for a heat as often as not; and every late heat is cast
		// towards at the slowest speed.
		wait := b * lead / 2
		wait += (1 - q.Slowest/q.Normal) * over(u.Lasts, func(x float64) float64 {
			return math.Min(math.Max(0, x-s.Standing.ArriveEarly)+q.LadleChange, c.patience())
		}) / u.Every
		run = append(run, CapacityLoss{u.Title() + ", sequence lost", (emptying+turn)/feed*more + wait*float64(n*len(s.Casters))/feed, false})
	}
	normal := s.Casters[0].Normal
	rate, by := slabs/feed*float64(len(s.Casters)), fmt.Sprintf("normal speed, %.2f m/min; %.1f heats a sequence", normal*60, float64(n*len(s.Casters))/float64(seqs))
	given := s.Casters[0].Rate > 0
	if given {
		by = "rate as given"
	}
	c.row(CapacityRow{Unit: "casters", Of: "slabs", perSlab: 1, SetBy: by, Given: given}, rate, cal, run)
	return liquid / slabs
}

// patience is how late a heat may be before its sequence is lost, s: what it was early,
// and what the tundish lasts at the slowest speed.
func (c *capacity) patience() float64 {
	q := &c.p.Spec.Casters[0]
	mean := &c.p.products[c.p.cycle[len(c.p.cycle)/2]]
	return c.p.Spec.Standing.ArriveEarly + (q.Tundish-q.TundishMin)/(float64(q.Strands)*mean.metreMass*q.Slowest)
}

// cranes are the lifts of the slab yard.
func (c *capacity) cranes() {
	s := &c.p.Spec.Yard
	lifts := 1.5 + s.Digging // two slabs a lift from the casters; one and the digging to the furnaces
	rate := float64(s.Cranes) / (s.LiftTime * lifts) * c.slab
	var units []int
	for i := range s.Cranes {
		units = append(units, c.p.u.crane+i)
	}
	cal := c.planned(units...)
	c.upsets(func(u *UpsetSpec, at int) {
		if slices.Contains(units, at) {
			cal = alike(cal, CapacityLoss{u.Title(), u.lost() / u.Every / float64(s.Cranes), false})
		}
	})
	c.row(CapacityRow{Unit: "slab cranes", Of: "slabs", perSlab: 1, SetBy: fmt.Sprintf("%d cranes, %.0f s a lift, %.2f lifts a slab", s.Cranes, s.LiftTime, lifts)}, rate, cal, nil)
}

// conveyor is the exit of the coil conveyor.
func (c *capacity) conveyor() {
	s := &c.p.Spec.Conveyor
	coil := c.slab * c.mix(func(i int, _ *product) float64 { return c.coil[i] })
	u := c.p.u.conveyor
	cal, run := c.stops(u, c.planned(u), nil, (*UpsetSpec).lost)
	c.row(CapacityRow{Unit: "conveyor", Of: "coils", perSlab: coil / c.slab, SetBy: fmt.Sprintf("%.0f s a coil at its end", s.Cycle)}, coil/s.Cycle, cal, run)
}

// rates are pickling and dispatch of a works that ends at the coil floor.
func (c *capacity) rates() {
	d := &c.p.Spec.Demand
	swing := 1 + c.p.Spec.Standing.PickleSwing
	add := func(unit string, u int, rate, perSlab float64) {
		if rate > 0 && perSlab > 0 {
			c.row(CapacityRow{Unit: unit, Of: "coils", perSlab: perSlab, Given: true, SetBy: "rate as given, with all the swing of the standing orders"}, rate*swing, c.planned(u), nil)
		}
	}
	add("pickle line", c.p.u.pickle, d.Pickle, c.mix(func(i int, pr *product) float64 {
		if pr.Pickled {
			return c.coil[i]
		}
		return 0
	}))
	add("dispatch, hot band", c.p.u.dispatch, d.Dispatch, c.mix(func(i int, pr *product) float64 {
		if !pr.Pickled {
			return c.coil[i]
		}
		return 0
	}))
}
