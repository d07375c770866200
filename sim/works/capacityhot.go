package works

import (
	"fmt"
	"math"
	"slices"

	"millrace/sim/steel"
	"millrace/sim/steel/reheating"
)

// hotLine is the hot mill as one line, from the furnace door to the coiler: between
// its units lies one bar at most, so a stop of any of them stops all.
type hotLine struct {
	cycle            float64 // s a slab, mean over the slabs
	rough, train, co float64 // s a slab: rougher; train with its gap; coiler with stripping
	strip            float64 // m a slab
	rougher, trains  float64 // share of the slabs that the rougher and the train pace
	kp               float64 // scale integral of a slab at the line's pace, m2
	coils            float64 // a programme
}

// meanCycle is the mean time of a slab of the product on the line at a discharge
// temperature: the slowest of rougher, train and coilers, each with its scatter.
func (c *capacity) meanCycle(pr *product, slabC, pace float64) (cycle, rough, train, coil float64, roughFirst bool) {
	s := &c.p.Spec
	// The way from the door and the sprays cool the slab inside the schedule.
	sec, barC, ok := pr.rough.at(slabC)
	if !ok {
		sec, barC, _ = pr.rough.at(math.Max(slabC, pr.rough.least))
	}
	barC = c.p.radiate(barC, s.Train.ShearTime, pr.bar, s.Train.Train.CoverFactor)
	roll, _, ok := pr.finish.at(barC)
	if !ok {
		roll, _, _ = pr.finish.at(pr.finish.least)
	}
	const n = 9
	sum := 0.0
	for a := range n {
		x := s.Rougher.Scatter.Quantile((float64(a) + 0.5) / n)
		for b := range n {
			y := s.Train.Scatter.Quantile((float64(b) + 0.5) / n)
			t := math.Max(roll*y/pace+s.Train.Train.Gap, s.Train.ShearTime)
			if k := s.Coilers.InUse; k > 0 {
				t = math.Max(t, (roll*y/pace+s.Coilers.StripOut)/float64(k))
			}
			sum += math.Max(sec*x, t)
		}
	}
	train = roll*s.Train.Scatter.Mean()/pace + s.Train.Train.Gap
	return sum / (n * n), sec * s.Rougher.Scatter.Mean(), train, roll*s.Train.Scatter.Mean() + s.Coilers.StripOut, sec > roll/pace+s.Train.Train.Gap
}

// lineAt is the line with slabs of the present discharge temperature and the train at
// a share of its pace.
func (c *capacity) lineAt(pace float64) hotLine {
	var l hotLine
	slabs := 0.0
	for i := range c.p.products {
		slabs += c.p.products[i].Share / float64(c.p.products[i].slabMass)
	}
	for i := range c.p.products {
		pr := &c.p.products[i]
		w := pr.Share / float64(pr.slabMass) / slabs
		cy, r, t, co, first := c.meanCycle(pr, c.t.Drawn, pace)
		l.cycle += w * cy
		l.rough += w * r
		l.train += w * t
		l.co += w * co
		l.strip += w * pr.strip
		if first {
			l.rougher += w
		} else {
			l.trains += w
		}
	}
	return l
}

// hotLine finds the line's pace together with the temperature at which that pace lets
// slabs leave the furnaces.
func (c *capacity) hotLine() hotLine {
	p, s := c.p, &c.p.Spec
	y := &s.Yard
	l := hotLine{cycle: p.normalS}
	places := 0.0
	for f := range s.Furnaces {
		places += float64(p.hearth[f])
	}
	for range 6 {
		age := y.Normal * grams / float64(p.meanSlab()) * l.cycle
		c.t.Charge = p.pile.Temp(age)
		h, kp := p.walkTable(0, steel.Enthalpy(c.t.Charge), places*l.cycle)
		// A slab leaves at the earliest when it has the least that the mill can roll.
		h = math.Max(h, p.leastH[0])
		c.t.Drawn = steel.TempFromEnthalpy(h)
		l = c.lineAt(1)
		l.kp = kp
	}
	l.coils = float64(s.Train.Programme)
	if km := s.Train.ProgrammeKm; km > 0 {
		l.coils = math.Min(l.coils, math.Floor(km/l.strip))
	}
	c.line = l
	return l
}

// scaleShare is the steel lost as scale, a share of the slab.
func (c *capacity) scaleShare() float64 {
	p := c.p
	return reheating.SteelLoss(c.line.kp*scaleFactor(&p.Spec.Furnaces[0])) * 2 / (p.Spec.SlabThick * steel.Density)
}

// need is the least residence in a furnace, s, that brings a slab from the charge
// temperature to what the mill can roll, with the gas a set-back step down; +Inf when
// a day does not do.
func (c *capacity) need(f, step int) float64 {
	p := c.p
	s := &p.Spec.Furnaces[f]
	sum := 0.0
	for _, z := range s.Zones {
		sum += z.Share
	}
	in := steel.Enthalpy(c.t.Charge)
	end := func(residence float64) float64 {
		h := in
		for i, z := range s.Zones {
			h, _ = p.baths[f][i][step].Advance(h, z.Share/sum*residence)
		}
		return h
	}
	lo, hi := 0.0, 600.0
	for !(end(hi) >= p.leastH[f]) {
		if lo, hi = hi, hi*1.3; hi > 86400 {
			return math.Inf(1)
		}
	}
	for hi-lo > 1 {
		if mid := 0.5 * (lo + hi); end(mid) >= p.leastH[f] {
			hi = mid
		} else {
			lo = mid
		}
	}
	return hi
}

// furnaceRate is what furnace f heats, kg/s, at a set-back step.
func (c *capacity) furnaceRate(f, step int) float64 {
	if r := c.p.Spec.Furnaces[f].Rate; r > 0 {
		return r
	}
	return float64(c.p.hearth[f]) * c.slab / c.need(f, step)
}

// trip is how long a tripped furnace is short of its gas: the trip and the way back.
func (c *capacity) trip(u *UpsetSpec, f int) float64 {
	s := &c.p.Spec.Furnaces[f]
	t := u.Lasts.Mean()
	if len(s.SetBacks) > 0 && s.Recovery > 0 {
		t += s.SetBacks[0] / s.Recovery
	}
	return t
}

func (c *capacity) furnaces(l *hotLine) {
	s := &c.p.Spec
	rate := 0.0
	given := false
	var units []int
	for f := range s.Furnaces {
		rate += c.furnaceRate(f, 0)
		given = given || s.Furnaces[f].Rate > 0
		units = append(units, c.p.u.furnace+f)
	}
	cal := c.planned(units...)
	c.upsets(func(u *UpsetSpec, at int) {
		f := at - c.p.u.furnace
		share := 0.0
		switch u.Kind {
		case FurnaceJam, ShortStop, SupplyLost:
			if f < 0 || f >= len(s.Furnaces) {
				return
			}
			share = u.Lasts.Mean() / u.Every * c.furnaceRate(f, 0) / rate
			if u.returning() > 0 {
				share += u.BackFor / u.Every * (c.furnaceRate(f, 0) - c.furnaceRate(f, 1)) / rate
			}
		case FurnaceTrip:
			if s.Furnaces[f].Rate == 0 && len(s.Furnaces[f].SetBacks) > 0 {
				share = c.trip(u, f) / u.Every * (c.furnaceRate(f, 0) - c.furnaceRate(f, 1)) / rate
			}
		default:
			return
		}
		cal = alike(cal, CapacityLoss{u.Title(), share, false})
	})
	by := fmt.Sprintf("%.2f h from %.0f C to %.0f C, the least that is drawn", c.need(0, 0)/3600, c.t.Charge, steel.TempFromEnthalpy(c.p.leastH[0]))
	if given {
		by = "rate as given"
	}
	c.row(CapacityRow{Unit: "furnaces", Of: "slabs", perSlab: 1, SetBy: by, Given: given}, rate, cal, nil)
}

// mill adds the line. Upsets on operating time count the hours of their own unit, which
// are fewer than the line's; each stop of the train costs, beside its length, the way of
// the next slab to the rougher and the bar that was being roughed.
func (c *capacity) mill(l *hotLine) {
	p, s := c.p, &c.p.Spec
	k := &p.u
	line := []int{k.descaler, k.rougher, k.shear, k.train, k.runOut}
	rate := c.slab * (1 - c.light) / l.cycle
	var cal, run []CapacityLoss
	cal = append(cal, c.planned(k.train)...)
	for _, u := range line {
		if u != k.train {
			cal = append(cal, c.planned(u)...)
		}
	}
	if s.Train.RollChange > 0 && l.coils > 0 {
		// The next bar is roughed while the rolls are changed, the last one is still rolled.
		d := math.Max(0, s.Train.RollChange+s.Train.ShearTime+l.train-l.rough)
		run = append(run, CapacityLoss{"roll changes", d / (l.coils * l.cycle), true})
	}
	again := s.Rougher.Mill.Approach + l.rough/2
	shares := map[int]float64{k.descaler: s.Rougher.Mill.Approach / l.cycle, k.rougher: l.rough / l.cycle, k.shear: s.Train.ShearTime / l.cycle, k.train: l.train / l.cycle, k.runOut: 1}
	furnaces := 0.0
	for f := range s.Furnaces {
		furnaces += c.furnaceRate(f, 0)
	}
	short := func(left float64) float64 { return math.Max(0, 1-left/rate) }
	add := func(to *[]CapacityLoss, cause string, share float64) {
		*to = alike(*to, CapacityLoss{cause, share, false})
	}
	for f := range s.Furnaces {
		for _, l := range c.planned(k.furnace + f) {
			l.Cause, l.Share = "a furnace shut", l.Share*short(furnaces-c.furnaceRate(f, 0))
			cal = alike(cal, l)
		}
	}
	// One furnace carries the line for as long as its slabs have lain longer than they
	// need: they come out at twice the pace at which they went in.
	stay := c.need(0, 0)
	if r := s.Furnaces[0].Rate; r > 0 {
		stay = float64(p.hearth[0]) * c.slab / r
	}
	slack := math.Max(0, float64(p.hearth[0])*float64(len(s.Furnaces))*l.cycle-stay)
	back := func(u *UpsetSpec) float64 { // what the train's slow return loses
		if u.ComesBack > 0 && u.ComesBack < 1 {
			return u.BackFor * math.Max(0, 1-l.cycle/c.lineAt(u.ComesBack).cycle)
		}
		return 0
	}
	c.upsets(func(u *UpsetSpec, at int) {
		mean := u.Lasts.Mean()
		if all := p.alsoHit(u); len(all) > 0 {
			// It hits several units, and the line once.
			f := 0
			for f < len(all)-1 && !slices.Contains(line, all[f]) {
				f++
			}
			switch {
			case slices.Contains(line, all[f]) && at != all[f]:
			case slices.Contains(line, at) && u.Kind == SlowDown:
				add(&cal, u.Title(), u.lost()/u.Every)
			case slices.Contains(line, at):
				add(&cal, u.Title(), (mean+again+math.Max(back(u), u.returning()))/u.Every)
			case u.Kind == FurnaceTrip && at == k.furnace:
				rate, t := furnaces, 0.0
				for _, o := range all {
					if f := p.furnaceAt(o); f >= 0 && s.Furnaces[f].Rate == 0 && len(s.Furnaces[f].SetBacks) > 0 {
						rate += c.furnaceRate(f, 1) - c.furnaceRate(f, 0)
						t = math.Max(t, c.trip(u, f))
					}
				}
				add(&cal, u.Title(), t/u.Every*short(rate))
			}
			return
		}
		switch {
		case u.Kind == SlowDown && at == k.conveyor:
			// Slower than the line, the conveyor fills up.
			if slow := s.Conveyor.Cycle / u.slows(); slow > l.cycle {
				room := (float64(s.Conveyor.Places-conveyorSpare) - s.Conveyor.Transit/l.cycle) / (1/l.cycle - 1/slow)
				add(&run, u.Title()+", conveyor full", s.Conveyor.Cycle/l.cycle*meanOver(u.Lasts, room)*(1-l.cycle/slow)/u.Every)
			}
		case u.Kind == SlowDown && at == k.train:
			add(&run, u.Title(), shares[at]*(mean*math.Max(0, 1-l.cycle/c.lineAt(u.slows()).cycle)+back(u))/u.Every)
		case u.Kind == SlowDown && slices.Contains(line, at):
			own := map[int]float64{k.descaler: s.Rougher.Mill.Approach, k.rougher: l.rough, k.shear: s.Train.ShearTime}[at]
			if slow := own / u.slows(); slow > l.cycle {
				add(&run, u.Title(), shares[at]*mean*(1-l.cycle/slow)/u.Every)
			}
		case at == k.runOut:
			add(&cal, u.Title(), (mean+again)/u.Every)
		case u.Kind == DescalePumpLost:
			if slow := s.Rougher.Mill.Approach / math.Max(u.Slow, 0.01); slow > l.cycle {
				add(&run, u.Title(), shares[k.descaler]*mean/u.Every*(1-l.cycle/slow))
			}
		case Kinds[u.Kind].Clock == ByUse && at == k.train:
			add(&run, u.Title(), (mean+again)/(u.Every*l.cycle))
		case at == k.train:
			add(&run, u.Title(), shares[at]*(mean+again+back(u))/u.Every)
		case slices.Contains(line, at):
			x := mean + again
			if at == k.rougher { // the bar in it is cold after minutes and its turn is lost
				x += u.returning() + l.cycle - l.rough/2
			}
			add(&run, u.Title(), shares[at]*x/u.Every)
		case at >= k.coil && at < k.coil+len(s.Coilers.Names):
			// The others carry on; the strip that is lost took its turn of the line. The
			// coilers share the strips between them.
			add(&run, u.Title(), l.co/l.cycle/float64(len(s.Coilers.Names))*l.cycle/u.Every)
		case at == k.conveyor:
			// The line runs until the conveyor is full.
			room := (float64(s.Conveyor.Places-conveyorSpare) - s.Conveyor.Transit/l.cycle) * l.cycle
			add(&run, u.Title()+", conveyor full", s.Conveyor.Cycle/l.cycle*meanOver(u.Lasts, room)/u.Every)
		case p.furnaceAt(at) >= 0 && u.Kind != FurnaceTrip:
			f := p.furnaceAt(at)
			x := meanOver(u.Lasts, slack) * short(furnaces-c.furnaceRate(f, 0))
			if u.returning() > 0 && s.Furnaces[f].Rate == 0 && len(s.Furnaces[f].SetBacks) > 0 {
				x += u.BackFor * short(furnaces-c.furnaceRate(f, 0)+c.furnaceRate(f, 1))
			}
			add(&cal, u.Title(), x/u.Every)
		case u.Kind == FurnaceTrip:
			if f := at - k.furnace; s.Furnaces[f].Rate == 0 && len(s.Furnaces[f].SetBacks) > 0 {
				add(&cal, u.Title(), c.trip(u, f)/u.Every*short(furnaces-c.furnaceRate(f, 0)+c.furnaceRate(f, 1)))
			}
		case u.Kind == SlabCraneOut:
			// The casters come first: the furnaces are fed with what is left of the lifts. What
			// lies on the charging tables, and in the hearths beyond need, bridges a while.
			lifts := float64(s.Yard.Cranes-1) / s.Yard.LiftTime
			if less := short((lifts - 0.5/l.cycle) / (1 + s.Yard.Digging) * c.slab); less > 0 {
				stock := slack
				for f := range s.Furnaces {
					stock += float64(s.Furnaces[f].TableSlabs) * l.cycle
				}
				add(&cal, u.Title(), meanOver(u.Lasts, stock/less)*less/u.Every)
			}
		}
	})
	for _, loss := range c.coilYardFull(rate) {
		add(&cal, loss.Cause, loss.Share)
	}
	by := "rougher"
	switch {
	case l.trains > l.rougher && l.rougher > 0.005:
		by = fmt.Sprintf("finishing train on %.0f %% of the slabs", l.trains*100)
	case l.trains > l.rougher:
		by = "finishing train"
	case l.trains > 0.005:
		by = fmt.Sprintf("rougher on %.0f %% of the slabs", l.rougher*100)
	}
	given := s.Rougher.Rate > 0 || s.Train.Rate > 0
	if given {
		by += ", rate as given"
	}
	c.row(CapacityRow{Unit: "hot mill", Of: "slabs", perSlab: 1, SetBy: fmt.Sprintf("%s; %.1f s a slab", by, l.cycle), Given: given}, rate, cal, run)
}

// coilYardFull is what the line loses, shares of the calendar, when a stop behind the
// coil floor lasts longer than the floor has room: hot band while dispatch is shut,
// coils to pickle while the pickle line stands or, once the pickled store is full, the
// cold mill. rate is the line's, kg/s of slabs.
func (c *capacity) coilYardFull(rate float64) (out []CapacityLoss) {
	p, s := c.p, &c.p.Spec
	hot := rate * c.mix(func(i int, pr *product) float64 {
		if !pr.Pickled {
			return c.coil[i]
		}
		return 0
	})
	toPickle := rate*c.mix(func(i int, _ *product) float64 { return c.coil[i] }) - hot
	room := s.CoilYard.Band.Room - s.CoilYard.Band.Normal
	c.upsets(func(u *UpsetSpec, at int) {
		flow, bridge := 0.0, 0.0
		switch {
		case slices.Contains(p.alsoHit(u), p.u.train):
		case at == p.u.dispatch && u.Kind != SlowDown:
			flow = hot
		case s.Cold == nil:
		case at == p.u.pickle && (u.Kind == TankBreak || u.Kind == ShortStop || u.Kind == SupplyLost):
			flow = toPickle
		case at == p.u.coldMill && u.Kind != SlowDown && !slices.Contains(p.alsoHit(u), p.u.pickle):
			flow = toPickle
			if cold := rate * c.mix(func(i int, pr *product) float64 {
				if pr.Cold > 0 {
					return c.pickled[i]
				}
				return 0
			}); cold > 0 {
				bridge = (s.Cold.Pickled.Room - s.Cold.Pickled.Normal) / cold
			}
		}
		if flow > 0 {
			out = alike(out, CapacityLoss{u.Title() + ", coil yard full", meanOver(u.Lasts, bridge+room/flow) / u.Every, false})
		}
	})
	return out
}
