package viewer

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"sort"
	"sync"
	"testing"
	"time"

	"millrace/sim/bus"
	"millrace/sim/calendar"
	"millrace/sim/quantity"
)

// pipes is a works of pipes and tanks, enough to drive a page: not a model of
// anything.
type pipes struct {
	t, down, back float64 // s
	lev           [9]float64
	cast, outside float64 // share of pace; t/h trucked away
	cost          float64
	flow          [7]float64 // iron, shop, cast, roll, pickle, dispatch, cooling
	state         [7]int
	luck          [7]float64
}

// tanks of pipes.
const (
	tTorpedo = iota
	tLadles
	tYard
	tOverflow
	tConveyor
	tCoils
	tCool
	tBand
	tGas
)

var room = [9]float64{1500, 1000, 20000, 9000, 800, 60000, 9000, 12000, 700}

// flows of pipes.
const (
	fIron = iota
	fShop
	fCast
	fRoll
	fPickle
	fDispatch
	fCool
)

func newPipes() *pipes {
	p := &pipes{down: 3600, back: 10 * 3600, cast: 1}
	p.lev = [9]float64{980, 420, 15800, 0, 260, 41000, 5200, 8300, 480}
	for i := range p.luck {
		p.luck[i] = 1
	}
	return p
}

// step plays dt seconds.
func (p *pipes) step(dt float64) {
	h := dt / 3600
	pass := func(f, from, to int, rate float64, standing int) {
		rate *= p.luck[f]
		up, dn := math.Inf(1), math.Inf(1)
		if from >= 0 {
			up = p.lev[from] / h
		}
		if to >= 0 {
			dn = (room[to] - p.lev[to]) / h
		}
		q := math.Max(0, math.Min(rate, math.Min(up, dn)))
		if standing != 0 {
			q = 0
		}
		p.flow[f] = q
		switch {
		case standing != 0:
			p.state[f] = standing
		case q > rate*.5:
			p.state[f] = bus.UnitRunning
		case dn < up:
			p.state[f] = bus.UnitBlocked
		default:
			p.state[f] = bus.UnitStarved
		}
		if from >= 0 {
			p.lev[from] -= q * h
		}
		if to >= 0 {
			p.lev[to] += q * h
		}
	}
	down := 0
	if p.t >= p.down && p.t < p.back {
		down = bus.UnitDown
	}
	pass(fDispatch, tBand, -1, 120, 0)
	pass(fPickle, tCool, -1, 430, 0)
	pass(fCool, tCoils, tCool, 430, 0)
	pass(fRoll, tYard, tConveyor, 620, down)
	pass(fCast, tLadles, tYard, 560*p.cast, 0)
	if p.t > 6*3600 && p.outside > 0 {
		q := math.Min(p.outside, p.lev[tYard]/h)
		p.lev[tYard] -= q * h
		p.lev[tOverflow] += q * h
	}
	pass(fShop, tTorpedo, tLadles, 560*p.cast, 0)
	pass(fIron, -1, tTorpedo, 560, 0)
	moved := math.Min(p.lev[tConveyor], 630*h)
	p.lev[tConveyor] -= moved
	p.lev[tCoils] = math.Min(room[tCoils], p.lev[tCoils]+moved)
	if down != 0 {
		p.lev[tGas] = math.Min(room[tGas], p.lev[tGas]+90*h)
	}
	if p.t >= p.down {
		p.cost += (math.Max(0, 560-p.flow[fRoll])*60 + math.Max(0, 560-p.flow[fCast])*90 + math.Max(0, 430-p.flow[fPickle])*45 + p.outside*9) * h
	}
	p.t += dt
}

// fakeRow says how a row of the route is read from pipes.
type fakeRow struct {
	bus.Row
	tank, flow int
	before     bool // in the rolling line before the train
	share      float64
}

func fakeRoute() []fakeRow {
	var rows []fakeRow
	unit := func(name, area, group string, flow int, cap, share float64) *fakeRow {
		rows = append(rows, fakeRow{Row: bus.Row{I: len(rows), ID: bus.Token(name), Kind: bus.RowUnit, Name: name, Area: area, Group: group, UOM: "t/h", Cap: cap}, tank: -1, flow: flow, share: share})
		return &rows[len(rows)-1]
	}
	store := func(name, area string, tank int, full, dry string) {
		rows = append(rows, fakeRow{Row: bus.Row{I: len(rows), ID: bus.Token(name) + "-store", Kind: bus.RowStore, Name: name, Area: area, UOM: "t", Cap: room[tank], Full: full, Dry: dry}, tank: tank, flow: -1})
	}
	unit("iron supply", "iron", "", fIron, 620, 1)
	store("torpedoes", "iron", tTorpedo, "hot metal must be pooled", "no heats can be blown")
	unit("steel shop", "steel", "", fShop, 620, 1)
	store("ladles", "steel", tLadles, "no heat can be tapped", "")
	unit("C1", "steel", "casters", fCast, 320, .5)
	unit("C2", "steel", "casters", fCast, 320, .5)
	unit("slab crane 1", "hot", "slab cranes", fCast, 320, .5)
	unit("slab crane 2", "hot", "slab cranes", fCast, 320, .5)
	unit("slab crane 3", "hot", "slab cranes", fCast, 320, .5)
	store("slab yard", "hot", tYard, "casters must stop", "no programme can be built: furnaces run empty")
	store("overflow yard", "hot", tOverflow, "", "")
	for _, n := range []string{"F1", "F2", "F3"} {
		unit(n, "hot", "furnaces", fRoll, 230, 1./3).before = true
	}
	unit("descaler", "hot", "rolling line", fRoll, 680, 1).before = true
	unit("rougher", "hot", "rolling line", fRoll, 680, 1).before = true
	unit("shear", "hot", "rolling line", fRoll, 680, 1).before = true
	unit("finishing train", "hot", "rolling line", fRoll, 680, 1)
	unit("run-out table", "hot", "rolling line", fRoll, 680, 1)
	unit("coiler A", "hot", "coilers", fRoll, 340, .5)
	unit("coiler B", "hot", "coilers", fRoll, 340, .5)
	store("conveyor", "hot", tConveyor, "the mill must stop", "")
	store("coil yard", "hot", tCoils, "the conveyor and then the mill must stop", "")
	store("cool coils to pickle", "cold", tCool, "", "the pickle line starves")
	unit("pickle line", "cold", "", fPickle, 480, 1)
	store("cool hot band", "dispatch", tBand, "", "hot-band dispatch starves")
	unit("dispatch", "dispatch", "", fDispatch, 140, 1)
	store("fuel gas", "works", tGas, "gas must be flared", "")
	return rows
}

func (r *fakeRow) state(p *pipes) (v float64, s int) {
	if r.tank >= 0 {
		v = p.lev[r.tank]
		switch {
		case v > r.Cap*.998 && (r.Full != ""):
			s = bus.StoreFull
		case v < r.Cap*.002 && r.Dry != "":
			s = bus.StoreDry
		}
		return v, s
	}
	v, s = p.flow[r.flow]*r.share, p.state[r.flow]
	if r.flow == fRoll && s != bus.UnitRunning && r.Name != "finishing train" {
		if s = bus.UnitStarved; r.before {
			s = bus.UnitBlocked
		}
	}
	return v, s
}

// fakeDrill publishes pipes as a drill would: the bus is real, the works is not.
type fakeDrill struct {
	tb    testing.TB
	bus   *bus.Bus
	pubs  map[bus.Audience]*bus.Publisher
	start quantity.Clock
	rows  []fakeRow

	mu     sync.Mutex
	p      *pipes
	ep     int
	q      map[bus.Audience]uint64
	now    []bus.RowState
	spans  [][]bus.Span
	hist   [][]int
	bill   []float64
	log    []bus.LogLine
	told   []bus.Told
	heats  []bus.Heat // with a lever to hold one, where there are any
	call   *bus.Call
	f      map[bus.Audience]*bus.Forecast
	flags  bus.Flags
	pace   float64
	done   []bus.Command
	tags   map[string]int
	silent bool
	script *bus.Forecast // kept for the controller
	asked  bool          // to go on after an emergency
	left   []bus.Branch
}

// plan is the planned stop of pipes: the pickle line's, five hours from the start.
func (d *fakeDrill) plan() []bus.Planned {
	return []bus.Planned{{Unit: "pickle line", Row: d.row("pickle line"), At: 5 * 3600, Lasts: 2 * 3600, Movable: true}}
}

const fakeRun = "drill-7"

func newFakeDrill(tb testing.TB) *fakeDrill {
	tb.Helper()
	b, err := bus.Open(bus.Options{StateDir: tb.TempDir()})
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(b.Close)
	start, err := quantity.ParseClock("2031-11-07 21:40")
	if err != nil {
		tb.Fatal(err)
	}
	d := &fakeDrill{tb: tb, bus: b, start: start, rows: fakeRoute(), pace: 2, flags: bus.Flags{Exercise: true, Held: true}, f: map[bus.Audience]*bus.Forecast{}}
	d.pubs = map[bus.Audience]*bus.Publisher{}
	for _, a := range bus.Controller.Audiences() {
		if d.pubs[a], err = bus.NewPublisher(b, fakeRun, start, true); err != nil {
			tb.Fatal(err)
		}
	}
	d.reset(1)
	stop, err := bus.Serve(b, d.pubs[bus.ForAll], d)
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(stop)
	return d
}

func (d *fakeDrill) reset(ep int) {
	d.p, d.ep, d.q = newPipes(), ep, map[bus.Audience]uint64{}
	n := len(d.rows)
	d.now, d.spans, d.hist, d.bill = make([]bus.RowState, n), make([][]bus.Span, n), make([][]int, n), []float64{0}
	d.log, d.told, d.call, d.tags = nil, nil, nil, map[string]int{}
	d.p.step(1)
	for i := range d.rows {
		v, s := d.rows[i].state(d.p)
		d.now[i] = bus.RowState{I: i, V: v, S: s}
		d.spans[i] = []bus.Span{{At: 0, S: s}}
	}
}

// minute plays one minute and keeps what a snapshot needs.
func (d *fakeDrill) minute() {
	was := d.p.t
	for range 6 {
		d.p.step(10)
	}
	for i := range d.rows {
		v, s := d.rows[i].state(d.p)
		if s != d.now[i].S {
			d.now[i].Since = d.p.t
			d.spans[i] = append(d.spans[i], bus.Span{At: d.p.t, S: s})
		}
		d.now[i].V, d.now[i].S = math.Round(v*10)/10, s
		d.hist[i] = append(d.hist[i], int(math.Round(v/d.rows[i].Cap*1000)))
	}
	if int(was/3600) < int(d.p.t/3600) {
		d.bill = append(d.bill, math.Round(d.p.cost))
	}
	if was < d.p.down && d.p.t >= d.p.down {
		d.addLog(bus.LogInject, "I", "finishing train: stand wreck", "controller")
		d.call = &bus.Call{ID: "c1", Row: d.row("finishing train"), Unit: "finishing train", Cause: "stand wreck", Text: "finishing train is down", Since: d.p.down,
			Caution: "Isolate, lock, tag drives, hydraulics, water; tensioned strip and hung loads kill. Site rules, local codes, licensed practice decide.", Acked: []bus.Ack{}, Effects: []bus.Effect{}, Rate: 1}
	}
	if was < d.p.down+1200 && d.p.t >= d.p.down+1200 {
		lo, li, ba := d.p.down+4*3600, d.p.down+8*3600, d.p.down+26*3600
		d.told = append(d.told, bus.Told{N: 1, Row: d.row("finishing train"), To: "all", From: "maintenance", Text: "finishing train: told back at Sat 02:40 at best, Sat 06:40 likely, Sun 00:40 at worst", At: d.p.t, Low: &lo, Likely: &li, Bad: &ba})
		d.addLog(bus.LogInject, "I", d.told[0].Text, "controller")
	}
	if d.call != nil {
		d.call.Effects = d.call.Effects[:0]
		for i := range d.rows {
			if s := d.now[i].S; i != d.call.Row && s != 0 && d.rows[i].Kind == bus.RowUnit {
				d.call.Effects = append(d.call.Effects, bus.Effect{Row: i, Name: d.rows[i].Name, State: bus.UnitStates[s], Since: d.now[i].Since})
			}
		}
	}
}

func (d *fakeDrill) row(name string) int {
	return slices.IndexFunc(d.rows, func(r fakeRow) bool { return r.Name == name })
}

func (d *fakeDrill) addLog(what, tag, text, by string) string {
	d.tags[tag]++
	l := bus.LogLine{N: len(d.log) + 1, What: what, At: d.p.t, Row: -1, By: by, Text: text}
	if tag != "" {
		l.Tag = fmt.Sprint(tag, d.tags[tag])
	}
	d.log = append(d.log, l)
	return l.Tag
}

// play plays minutes without publishing.
func (d *fakeDrill) play(minutes int) {
	d.mu.Lock()
	defer d.mu.Unlock()
	for range minutes {
		d.minute()
	}
}

func (d *fakeDrill) head(a bus.Audience) bus.Head {
	d.q[a]++
	return bus.Head{Epoch: d.ep, Q: d.q[a], T: d.p.t, Flags: d.flags}
}

func (d *fakeDrill) publish(a bus.Audience, what, kind string, data any) {
	if d.silent {
		return
	}
	d.pubs[a].Send(bus.PageSubject(fakeRun, a, what), kind, "", calendar.Dur(d.p.t), data)
	d.pubs[a].Flush()
}

// tick plays and publishes an update.
func (d *fakeDrill) tick(minutes int) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if !d.flags.Held {
		for range minutes {
			d.minute()
		}
	}
	c := d.cost()
	u := bus.Update{Head: d.head(bus.ForAll), Pace: d.pace, Rows: append([]bus.RowState{}, d.now...), Cost: &c}
	d.publish(bus.ForAll, bus.WhatUpdate, bus.TypeUpdate, &u)
}

func (d *fakeDrill) cost() bus.Cost {
	c := bus.Cost{Currency: "EUR", SoFar: math.Round(d.p.cost), Nothing: math.Round(d.p.cost)}
	if d.p.t > d.p.down {
		c.PerHour = math.Round((560 - d.p.flow[fRoll]) * 60)
		c.Rate = c.PerHour
	}
	return c
}

// look makes a forecast from a copy of now.
func (d *fakeDrill) look(change func(*pipes)) *bus.Forecast {
	const n, hours, cell, points = 20, 24, 1200., 25
	f := &bus.Forecast{Head: bus.Head{Epoch: d.ep, T: d.p.t, Flags: d.flags}, N: n, Basis: bus.BasisTold, Horizon: hours * 3600, After: "time", Cell: cell, Step: hours * 3600. / (points - 1)}
	cells := int(hours * 3600 / cell)
	ends := map[[2]int][]float64{}
	backs := []float64{}
	stand := make([][]int, len(d.rows))
	kinds := make([][][8]int, len(d.rows))
	paths := make([][][]int, len(d.rows))
	for i := range d.rows {
		stand[i], kinds[i] = make([]int, cells), make([][8]int, cells)
	}
	for k := range n {
		luck := rand.New(rand.NewPCG(7, uint64(k)))
		p := *d.p
		for i := range p.luck {
			p.luck[i] = 1 + .025*luck.NormFloat64()
		}
		if p.t >= p.down {
			p.back = math.Max(p.t+900, p.down+8*3600*math.Exp(.35*luck.NormFloat64()))
		}
		if change != nil {
			change(&p)
		}
		first := map[[2]int]bool{}
		bill := []float64{}
		begun := p.t
		for s := 0; s <= hours*60; s++ {
			rel := p.t - begun
			for i := range d.rows {
				v, st := d.rows[i].state(&p)
				if d.rows[i].tank >= 0 {
					if st != 0 && !first[[2]int{i, st}] {
						first[[2]int{i, st}] = true
						ends[[2]int{i, st}] = append(ends[[2]int{i, st}], math.Round(rel))
					}
					if len(paths[i]) <= k {
						paths[i] = append(paths[i], nil)
					}
					if len(paths[i][k]) < points && rel >= float64(len(paths[i][k]))*f.Step-1 {
						paths[i][k] = append(paths[i][k], int(v/d.rows[i].Cap*1000))
					}
				} else if c := int(rel / cell); c < cells && st >= bus.UnitDown && s%20 == 10 {
					stand[i][c]++
					kinds[i][c][st]++
				}
			}
			if len(bill) < points && rel >= float64(len(bill))*f.Step-1 {
				bill = append(bill, math.Round(p.cost))
			}
			for range 2 {
				p.step(30)
			}
		}
		if d.p.t >= d.p.down && d.p.t < d.p.back {
			backs = append(backs, math.Round(math.Max(0, p.back-begun)))
		}
		f.Bill = append(f.Bill, bill)
	}
	for key, in := range ends {
		sort.Float64s(in)
		r := &d.rows[key[0]]
		e := bus.End{Row: key[0], Name: r.Name, Full: key[1] == bus.StoreFull, Stops: r.Dry, In: in, Now: d.now[key[0]].S == key[1]}
		if e.Full {
			e.Stops = r.Full
		}
		f.Ends = append(f.Ends, e)
	}
	sort.Slice(f.Ends, func(a, b int) bool { return f.Ends[a].In[0] < f.Ends[b].In[0] })
	if len(backs) > 0 {
		sort.Float64s(backs)
		mid := backs[len(backs)/2-1]
		f.Backs = append(f.Backs, bus.Back{Row: d.row("finishing train"), Stop: 0, In: slices.DeleteFunc(backs, func(s float64) bool { return s > f.Horizon }), Restart: bus.Reach{Likely: &mid, Share: 1}, Why: "people were told eight hours; it has lasted a while since"})
	}
	for i := range d.rows {
		if d.rows[i].tank >= 0 {
			f.Paths = append(f.Paths, bus.Path{Row: i, V: paths[i]})
			continue
		}
		s := bus.Stand{Row: i, N: stand[i]}
		for c := range cells {
			best := -1
			for st, n := range kinds[i][c] {
				if n > 0 && (best < 0 || n > kinds[i][c][best]) {
					best = st
				}
			}
			s.S = append(s.S, best)
		}
		f.Stand = append(f.Stand, s)
	}
	return f
}

// copyCall is the call as it is now.
func (d *fakeDrill) copyCall() bus.Call {
	c := *d.call
	c.Acked, c.Effects = slices.Clone(c.Acked), slices.Clone(c.Effects)
	return c
}

// commands are those carried out so far.
func (d *fakeDrill) commands() []bus.Command {
	d.mu.Lock()
	defer d.mu.Unlock()
	return slices.Clone(d.done)
}

// goOn lets time run.
func (d *fakeDrill) goOn() {
	d.mu.Lock()
	d.flags.Held = false
	d.mu.Unlock()
}

// forecast makes and publishes one.
func (d *fakeDrill) forecast() {
	d.mu.Lock()
	defer d.mu.Unlock()
	f := d.look(nil)
	f.Head = d.head(bus.ForAll)
	d.f[bus.ForAll] = f
	d.publish(bus.ForAll, bus.WhatForecast, bus.TypeForecast, f)
	if d.call != nil {
		c := d.copyCall()
		c.Head = d.head(bus.ForAll)
		d.publish(bus.ForAll, bus.WhatCall, bus.TypeCall, &c)
	}
}

// rewind begins a new epoch at the start.
func (d *fakeDrill) rewind() {
	d.mu.Lock()
	defer d.mu.Unlock()
	from := d.ep
	d.reset(from + 1)
	d.flags.Held = true
	for _, a := range bus.Controller.Audiences() {
		d.publish(a, bus.WhatCut, bus.TypeCut, &bus.Cut{Head: d.head(a), From: from, Branch: "B", Why: "the controller went back to the start"})
	}
}

// run ticks twenty times a second until the test ends.
func (d *fakeDrill) run(forecastEvery time.Duration) {
	stop := make(chan struct{})
	done := make(chan struct{})
	d.tb.Cleanup(func() { close(stop); <-done })
	go func() {
		defer close(done)
		tick, look := time.NewTicker(50*time.Millisecond), time.NewTicker(forecastEvery)
		defer tick.Stop()
		defer look.Stop()
		for {
			select {
			case <-tick.C:
				d.tick(1)
			case <-look.C:
				d.forecast()
			case <-stop:
				return
			}
		}
	}()
}

// Command answers as a drill would.
func (d *fakeDrill) Command(c *bus.Command) *bus.Reply {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.done = append(d.done, *c)
	r := &bus.Reply{ID: c.ID, OK: true, Epoch: d.ep, T: d.p.t}
	line := func(what, tag, text string) {
		r.Tag = d.addLog(what, tag, text, c.By)
		l := d.log[len(d.log)-1]
		l.Head = d.head(bus.ForAll)
		d.publish(bus.ForAll, bus.WhatLog, bus.TypeLog, &l)
	}
	switch c.Kind {
	case bus.CmdHold:
		d.flags.Held = true
		line(bus.LogDrill, "", "held")
	case bus.CmdResume:
		if d.flags.Emergency {
			d.asked = true
			return &bus.Reply{ID: c.ID, Why: "give confirm as well", Confirm: true}
		}
		d.flags.Held = false
		line(bus.LogDrill, "", "goes on")
	case bus.CmdConfirm:
		if !d.asked {
			return &bus.Reply{ID: c.ID, Why: "give resume first"}
		}
		d.flags.Held, d.flags.Emergency, d.asked = false, false, false
		line(bus.LogDrill, "", "goes on")
	case bus.CmdRunTo:
	case bus.CmdStop:
		d.flags.Held, d.flags.Emergency = true, true
		line(bus.LogDrill, "", "REAL EMERGENCY: the drill is stopped")
	case bus.CmdPace:
		d.pace = c.Pace
	case bus.CmdAck:
		d.call.Acked = append(d.call.Acked, bus.Ack{By: c.By, Role: c.Role, At: d.p.t})
		k := d.copyCall()
		k.Head = d.head(bus.ForAll)
		d.publish(bus.ForAll, bus.WhatCall, bus.TypeCall, &k)
	case bus.CmdOrder:
		if c.Order.Lever == "change rolls" && !slices.ContainsFunc(d.call.Acked, func(a bus.Ack) bool { return a.By == c.By }) {
			return &bus.Reply{ID: c.ID, Why: "read and acknowledge the caution first", Caution: d.call.Caution, Call: d.call.ID}
		}
		if err := pull(d.p, c.Order); err != nil {
			return &bus.Reply{ID: c.ID, Why: err.Error()}
		}
		line(bus.LogAction, "A", c.Order.Lever+" "+c.Order.Value)
	case bus.CmdNote:
		line(bus.LogNote, "N", c.Text)
	}
	return r
}

func pull(p *pipes, o *bus.Order) error {
	switch o.Lever {
	case "casting speed":
		p.cast = .5
	case "open overflow":
		p.outside = 260
	case "change rolls", "set furnaces back", "pull planned stop":
	default:
		return fmt.Errorf("there is no lever %q", o.Lever)
	}
	return nil
}

// Try looks ahead with an order.
func (d *fakeDrill) Try(c *bus.Command) (*bus.Forecast, *bus.Reply) {
	d.mu.Lock()
	defer d.mu.Unlock()
	p := *d.p
	if err := pull(&p, c.Order); err != nil {
		return nil, &bus.Reply{ID: c.ID, Why: err.Error()}
	}
	f := d.look(func(p *pipes) { _ = pull(p, c.Order) })
	if c.Order.Lever == "open overflow" { // as a drill says it; of others the page compares by itself
		before, after, same, by := 3*3600., 9*3600., 1800., d.p.t+5400
		f.Moves = []bus.Move{{Row: d.row("fuel gas"), What: "fuel gas full", Before: bus.Reach{Likely: &same, Share: 1}, After: bus.Reach{Likely: &same, Share: 1}},
			{Row: d.row("slab yard"), What: "slab yard full", Before: bus.Reach{Likely: &before, Share: 1}, After: bus.Reach{Likely: &after, Share: .9}}}
		f.DecideBy, f.DecideByWhy = &by, "the yard is full by then"
	}
	return f, nil
}

// Snapshot is the whole picture.
func (d *fakeDrill) Snapshot(to bus.Audience, q *bus.SnapshotRequest) *bus.Snapshot {
	d.mu.Lock()
	defer d.mu.Unlock()
	s := &bus.Snapshot{Head: bus.Head{Epoch: d.ep, Q: d.q[to], T: d.p.t, Flags: d.flags}, Qs: maps.Clone(d.q), Run: fakeRun, Works: "pipes and tanks", Invented: true, Scenario: "Wreck in finishing stand 4",
		Notice: "Planning and training aid. It never controls plant and is no permit to work.", StopWord: bus.StopWord,
		Clock: bus.Clock{Start: bus.ClockISO(d.start, 0), Length: 14 * 86400, Pace: d.pace, Held: d.flags.Held, Branch: "A"},
		Rows:  append([]bus.RowState{}, d.now...), Cost: d.cost(), CostLine: append([]float64{}, d.bill...), NothingLine: d.bill,
		Log: append([]bus.LogLine{}, d.log...), Told: append([]bus.Told{}, d.told...), Spans: make([][]bus.Span, len(d.rows)),
		Levers: []bus.Lever{
			{Name: "casting speed", What: "cast slower or faster", Costs: "slow casting makes colder steel and its next heat waits", Units: []string{"C1", "C2"}, Value: "speed", Example: "0.70 m/min"},
			{Name: "open overflow", What: "truck slabs to the overflow yard", Costs: "double handling"},
			{Name: "change rolls", What: "change the work rolls while the mill stands", Costs: "rolls leave before they are worn", SendsIn: true},
			{Name: "set furnaces back", What: "lower the furnaces below their set-point", Costs: "they must come back to heat", Units: []string{"all", "F1", "F2"}, Value: "steps below the set-point", Choices: []string{"0", "1", "2", "3"}},
			{Name: "pull planned stop", What: "do the planned stop now", Costs: "crews and spares must be ready", Units: []string{"pickle line", "C1"}},
		},
		Settings: []bus.Setting{{Name: "wind", Now: "100 %", AsUsual: true}, {Name: "F1", Unit: "F1", Lever: "set furnaces back", Now: "set back, step 2", Value: "2"}, {Name: "F2", Unit: "F2", Lever: "set furnaces back", Now: "at set-point", AsUsual: true, Value: "0"}},
		Planned:  d.plan(), Forecast: d.f[bus.ForAll], Digest: "0000000000000000"}
	if len(d.heats) > 0 {
		s.Heats = d.heats
		s.Levers = append(s.Levers, bus.Lever{Name: "hold heat", What: "hold a heat at the reheat stand", Costs: "power", Heat: true}, bus.Lever{Name: "divert heat", What: "give a heat to another caster", Costs: "its plan is broken", Heat: true, Units: []string{"C1", "C2"}})
	}
	if to == bus.ForController {
		s.ScriptForecast = d.script
		s.Catalogue = []bus.Upset{{Name: "slab crane out", What: "one slab crane stands", Caution: "No persons under loads.", Units: []string{"slab cranes"}, Median: 7200}}
	}
	if to == bus.ForStaff || to == bus.ForController {
		s.Branches = d.left
		s.ToCome = []bus.ToCome{{ID: "S2", At: 9 * 3600, Unit: "slab crane 2", Row: 7, Kind: "slab crane out", What: "slab crane 2 stops"}}
		s.Marks = []bus.Mark{{Tag: "start", Text: "the start"}}
	}
	if d.call != nil {
		s.Calls = []bus.Call{d.copyCall()}
		b := d.p.down
		s.Stops = []bus.Stop{{Row: d.call.Row, Unit: "finishing train", Kind: "stand wreck", Caution: d.call.Caution, Began: b}}
	}
	s.History.Step = 60
	n := min(len(d.hist[0]), int(q.Hours*60))
	s.History.From = float64(len(d.hist[0])-n+1) * 60
	for i := range d.rows {
		s.Route = append(s.Route, d.rows[i].Row)
		s.Spans[i] = append([]bus.Span{}, d.spans[i]...)
		h := d.hist[i][len(d.hist[i])-n:]
		var v []int
		for k := range h {
			if k == 0 {
				v = append(v, h[0])
			} else {
				v = append(v, h[k]-h[k-1])
			}
		}
		s.History.V = append(s.History.V, v)
		var hour []int
		last := 0
		for k := 0; k < len(d.hist[i]); k += 60 {
			hour = append(hour, d.hist[i][k]-last)
			last = d.hist[i][k]
		}
		s.History.Hour = append(s.History.Hour, hour)
	}
	return s
}

// Status is not asked here.
func (d *fakeDrill) Status() *bus.Status { return &bus.Status{Run: fakeRun, Ready: true} }
