package drill

import (
	"math"
	"strings"

	"millrace/sim/bus"
	"millrace/sim/calendar"
	"millrace/sim/flow"
	"millrace/sim/record"
	"millrace/sim/works"
)

// row is one line of the route and where its numbers come from.
type row struct {
	bus.Row
	stage int          // place in the route; parallel units share one
	unit  int          // unit number, -1 for a store
	at    record.Place // place whose outflow is the unit's rate, or the store; -1
	stock string       // name for works.Stock, "" for none
	full  int          // brinks, -1 for none
	dry   int
	over  int     // minutes over which rate and state are taken
	busy  float64 // share of a quiet day that the unit works
	per   float64 // kg or J in one UOM
}

// idle says whether a unit that worked for this share of a while stood, by what it
// does on a quiet day.
func (x *row) idle(run float64) bool { return run < x.busy/4 }

// Groups of rows that are judged in their own way.
const (
	furnaces    = "furnaces"
	rollingLine = "rolling line"
)

// beside is the stage of what is not on the route.
const beside = -1

// minutes over which a rate is taken: long enough that pieces do not show.
const (
	rateOver   = 10
	casterOver = 30
	shopOver   = 60
)

// layRows makes the rows of a works in the order of the route.
func layRows(p *works.Plant) []row {
	r := &p.Route
	brinks := p.Brinks()
	place := func(name string) record.Place {
		for i := range r.Places {
			if r.Places[i].Name == name {
				return record.Place(i)
			}
		}
		return record.Nowhere
	}
	var rows []row
	stage := 0
	group := ""
	store := func(name, area string) {
		x := row{stage: stage, unit: -1, at: record.Nowhere, stock: name, full: -1, dry: -1, per: 1000}
		x.Row = bus.Row{Kind: bus.RowStore, Name: name, Area: area, UOM: "t"}
		if at, ok := p.StoreNamed(name); ok && at >= 0 {
			x.at = at
			if i := &r.Places[at]; i.Amount != "t" && i.PerAmount > 0 {
				x.UOM, x.per = i.Amount, i.PerAmount/1000
			}
		}
		for b := range brinks {
			switch {
			case brinks[b].Name != name:
			case brinks[b].Full:
				x.full, x.Full = b, brinks[b].Stops
			default:
				x.dry, x.Dry = b, brinks[b].Stops
			}
		}
		rows = append(rows, x)
		stage++
	}
	unit := func(u int) {
		i := &r.Units[u]
		x := row{stage: stage, unit: u, at: place(i.Name), full: -1, dry: -1, over: rateOver, per: 1000}
		x.Row = bus.Row{Kind: bus.RowUnit, Name: i.Name, Area: i.Area, Group: group, UOM: "t/h", RateGiven: i.RateGiven}
		if p.Spec.Cold != nil && i.Name == "dispatch" {
			x.at = record.Nowhere // by slots: coils go from their stores
		}
		if x.at == record.Nowhere && i.Name != "iron supply" {
			x.UOM, x.Cap = "%", 100
		}
		switch {
		case i.Name == "steel shop":
			x.over = shopOver
		case group == "casters":
			x.over = casterOver
		}
		rows = append(rows, x)
	}
	one := func(name string) {
		for u := range r.Units {
			if r.Units[u].Name == name {
				group = ""
				unit(u)
				stage++
			}
		}
	}
	many := func(name string, us []int) {
		group = name
		for _, u := range us {
			unit(u)
		}
		stage++
	}
	one("iron supply")
	store("torpedoes", "iron")
	one("steel shop")
	one("reheat stand")
	store("ladles", "steel")
	many("casters", p.UnitsMeant("casters"))
	many("slab cranes", p.UnitsMeant("slab cranes"))
	store("slab yard", "hot")
	if p.Spec.Yard.Overflow > 0 {
		one("overflow haulage")
		store("overflow yard", "hot")
	}
	many(furnaces, p.UnitsMeant("furnaces"))
	for _, u := range p.UnitsMeant("hot mill") { // one behind the other
		group = rollingLine
		unit(u)
		stage++
	}
	many("coilers", p.UnitsMeant("coilers"))
	one("conveyor")
	if at := place("conveyor"); at != record.Nowhere {
		store("conveyor", "hot")
		rows[len(rows)-1].ID = "conveyor-coils"
	}
	store("coil yard", "hot")
	branch := stage // coils go one of two ways
	store("cool coils to pickle", "cold")
	one("pickle line")
	if p.Spec.Cold != nil {
		store("pickled coils", "cold")
		one("cold mill")
		store("hard coils", "cold")
		one("anneal bases")
		store("annealed coils", "cold")
		one("temper mill")
		store("finished coils", "dispatch")
	}
	end := stage
	stage = branch
	store("cool hot band", "dispatch")
	stage = max(stage, end)
	one("dispatch")
	stage = beside
	store("fuel gas", "works")
	rows[len(rows)-1].UOM, rows[len(rows)-1].per = "GJ", 1e9
	for i := range rows {
		x := &rows[i]
		x.I = i
		if x.ID == "" {
			x.ID = bus.Token(x.Name)
		}
	}
	return rows
}

// fillBands gives stores room and band as people see them.
func fillBands(rows []row, w *works.Works) {
	for i := range rows {
		x := &rows[i]
		if x.stock == "" {
			continue
		}
		v, ok := w.Stock(x.stock)
		if !ok {
			continue
		}
		x.Cap, x.Low, x.Normal, x.High = v.Room/x.per, v.Low/x.per, v.Normal/x.per, v.High/x.per
		if x.Cap <= 0 {
			x.Cap = math.Max(x.High, v.Level/x.per)
		}
	}
}

// standbyBelow is the share of a quiet day below which a unit is there for need
// only: that it waits is no news.
const standbyBelow = 0.02

// findCaps plays a quiet day without luck to find the highest rate of each unit and
// how much of its time it works.
func findCaps(p *works.Plant) ([]row, error) {
	rows := layRows(p)
	w := works.Begin(p, works.Start{Fixed: true, SoldOut: true})
	fillBands(rows, w)
	m := newMeter(p, rows)
	w.Sink = m
	for t := calendar.Time(0); t <= calendar.Day; t += calendar.Minute {
		if err := w.Run(t); err != nil {
			return nil, err
		}
		m.minute(w)
		for i := range rows {
			if x := &rows[i]; x.unit >= 0 && x.UOM == "t/h" && m.n > x.over {
				x.Cap = math.Max(x.Cap, math.Ceil(m.rate(i)/10)*10)
			}
		}
	}
	for i := range rows {
		x := &rows[i]
		if x.Cap <= 0 { // a unit that a quiet day does not use
			x.Cap = 100
		}
		if x.unit < 0 {
			continue
		}
		u := &w.S.Net.Units[x.unit]
		var all calendar.Time
		for _, t := range u.Spent {
			all += t
		}
		x.busy = float64(u.Spent[flow.Running]+u.Spent[flow.Slowed]) / float64(all)
		x.Standby = x.busy < standbyBelow
	}
	return rows, nil
}

// meter takes rates and felt states from records and from the works, minute by
// minute.
type meter struct {
	rows  []row
	out   []int64 // g that left each place
	in    []int64 // g that came to each place
	rings [][]int64
	flows [][]flowed                      // by row of a store with a place, by full minute
	spent [][flow.NStates][]calendar.Time // by row
	n     int                             // minutes taken
	iron  float64                         // t/h
	last  []bus.RowState
	spans [][]bus.Span // by row: every state it was in, from the start
	of    []int        // row of each unit, -1 for none
	hard  []int        // by row: state that a unit's places put it into, -1 for none
	soft  []int        // by row: else, as it was felt at the last full minute
}

// flowed is what has come to a store and left it since the start, and what is in it, g.
type flowed struct{ in, out, level int64 }

// hardStates are the states that come and go at an instant, the first that holds
// counts, with what they are called on a page.
var hardStates = [...]struct {
	is   flow.State
	page int
}{{flow.OffShift, bus.UnitOffShift}, {flow.Maintenance, bus.UnitMaintenance}, {flow.Down, bus.UnitDown}, {flow.Changeover, bus.UnitChangeover}}

const ringLength = shopOver + 1

func newMeter(p *works.Plant, rows []row) *meter {
	m := &meter{rows: rows, out: make([]int64, len(p.Route.Places)), in: make([]int64, len(p.Route.Places)), flows: make([][]flowed, len(rows)), rings: make([][]int64, len(rows)), spent: make([][flow.NStates][]calendar.Time, len(rows)), last: make([]bus.RowState, len(rows)),
		spans: make([][]bus.Span, len(rows)), of: make([]int, len(p.Route.Units)), hard: make([]int, len(rows)), soft: make([]int, len(rows))}
	for u := range m.of {
		m.of[u] = rowOf(rows, u)
	}
	for i := range rows {
		m.last[i].I, m.hard[i] = i, -1
		if rows[i].unit < 0 && rows[i].at >= 0 {
			m.flows[i] = make([]flowed, ringLength)
		}
		if rows[i].unit >= 0 {
			m.rings[i] = make([]int64, ringLength)
			for s := range m.spent[i] {
				m.spent[i][s] = make([]calendar.Time, ringLength)
			}
		}
	}
	return m
}

// Put takes the moves, and the states that units are put into with the moment at
// which it happened: that is the same however far apart the works is looked at.
func (m *meter) Put(events []record.Event) {
	for i := range events {
		switch e := &events[i]; {
		case e.Kind == record.Move:
			if e.From >= 0 && int(e.From) < len(m.out) {
				m.out[e.From] += e.Mass
			}
			if e.To >= 0 && int(e.To) < len(m.in) {
				m.in[e.To] += e.Mass
			}
		case e.Kind == record.State && e.From >= 0 && int(e.From) < len(m.of):
			r := m.of[e.From]
			if r < 0 || m.n == 0 { // before the first minute the works itself says it
				continue
			}
			m.hard[r] = -1
			for _, h := range hardStates {
				if int16(e.X>>(16*h.is)) > 0 {
					m.hard[r] = h.page
					break
				}
			}
			m.turn(r, e.T)
		}
	}
}

// turn puts a row into the state that holds from the moment t on. A state that was
// over at the moment it began was none.
func (m *meter) turn(i int, t calendar.Time) {
	s, at := m.hard[i], t.Seconds()
	if s < 0 {
		s = m.soft[i]
	}
	l, sp := &m.last[i], m.spans[i]
	n := len(sp)
	if n > 0 && l.S == s {
		return
	}
	if n > 0 && sp[n-1].At == at {
		n--
	}
	if n == 0 || sp[n-1].S != s {
		sp = append(sp[:n], bus.Span{At: at, S: s})
	} else {
		sp = sp[:n]
	}
	m.spans[i] = sp
	l.S, l.Since = s, sp[len(sp)-1].At
}

// minute takes one minute's sample. What is felt over a while, and whether a store
// stands at its end, is asked at full minutes only, so that it does not hang on when
// else somebody looked.
func (m *meter) minute(w *works.Works) {
	w.Flush()
	w.S.Net.Settle()
	m.n++
	m.iron = w.Iron().Rate * 3.6
	for i := range m.rows {
		x := &m.rows[i]
		if x.unit < 0 {
			if m.flows[i] != nil {
				m.flows[i][m.n%ringLength] = flowed{m.in[x.at], m.out[x.at], w.S.Mass[x.at]}
			}
			continue
		}
		if x.at >= 0 {
			m.rings[i][m.n%ringLength] = m.out[x.at]
		}
		for s := range m.spent[i] {
			m.spent[i][s][m.n%ringLength] = w.S.Net.Units[x.unit].Spent[s]
		}
	}
	for i := range m.rows {
		x := &m.rows[i]
		switch {
		case x.unit >= 0:
			if m.n == 1 {
				m.hard[i] = hardOf(&w.S.Net.Units[x.unit].Count)
			}
			m.soft[i] = m.felt(i, w)
		case x.full >= 0 && w.AtBrink(x.full):
			m.soft[i] = bus.StoreFull
		case x.dry >= 0 && w.AtBrink(x.dry):
			m.soft[i] = bus.StoreDry
		default:
			m.soft[i] = bus.StoreBetween
		}
		m.turn(i, w.Now())
	}
}

// hardOf is the state that a unit's places put it into, -1 for none.
func hardOf(count *[flow.NStates]int32) int {
	for _, h := range hardStates {
		if count[h.is] > 0 {
			return h.page
		}
	}
	return -1
}

// share is how much of the last minutes the unit was in each state.
func (m *meter) share(i int) (out [flow.NStates]float64) {
	k := min(m.rows[i].over, m.n-1)
	if k < 1 {
		return out
	}
	sum := 0.0
	for s := range out {
		ring := m.spent[i][s]
		out[s] = float64(ring[m.n%ringLength] - ring[(m.n-k)%ringLength])
		sum += out[s]
	}
	if sum > 0 {
		for s := range out {
			out[s] /= sum
		}
	}
	return out
}

// rate is the rate of a unit, t/h, or the per cent of time at work.
func (m *meter) rate(i int) float64 {
	x := &m.rows[i]
	switch {
	case x.UOM == "%":
		s := m.share(i)
		return 100 * (s[flow.Running] + s[flow.Slowed])
	case x.at < 0:
		return m.iron
	}
	k := min(x.over, m.n-1)
	if k < 1 {
		return 0
	}
	return float64(m.rings[i][m.n%ringLength]-m.rings[i][(m.n-k)%ringLength]) / 1e6 * 60 / float64(k)
}

// felt is the state that people would say a unit is in when nothing puts it into one.
func (m *meter) felt(i int, w *works.Works) int {
	c := &w.S.Net.Units[m.rows[i].unit].Count
	s := m.share(i)
	run := s[flow.Running] + s[flow.Slowed]
	// Of the time in which nothing put it into a state: right after a turnaround or a
	// repair it has worked little, and not because it had to wait.
	if able := run + s[flow.Blocked] + s[flow.Starved]; able > 0 {
		run /= able
	}
	if heldUp(m.rows, i, w) && (m.rows[i].Group == furnaces && m.rate(i) == 0 || m.rows[i].idle(run)) {
		return bus.UnitBlocked
	}
	var sum float64
	for _, v := range s {
		sum += v
	}
	switch {
	case sum == 0: // too early to say
		if c[flow.Running]+c[flow.Slowed] > 0 {
			return bus.UnitRunning
		}
		return bus.UnitStarved
	case !m.rows[i].idle(run) || c[flow.Running]+c[flow.Slowed] > 1:
		if s[flow.Slowed] > 0.5*run {
			return bus.UnitSlowed
		}
		return bus.UnitRunning
	case s[flow.Blocked] >= s[flow.Starved]:
		return bus.UnitBlocked
	case m.rows[i].Standby:
		return bus.UnitRunning // it stands by
	}
	return bus.UnitStarved
}

// heldUp says whether a unit that does nothing, or only keeps slabs hot, is kept from
// giving on by a stop of the rolling line further down. By its own state it is starved
// (nothing is sent to a line that stands) or running (a hearth full of slabs).
func heldUp(rows []row, i int, w *works.Works) bool {
	x := &rows[i]
	switch {
	case !w.MillStopped():
		return false
	case x.Group == furnaces:
		return true
	case x.Group != rollingLine:
		return false
	}
	for k := range rows {
		if y := &rows[k]; y.Group == rollingLine && y.stage > x.stage && w.Standing(y.unit) {
			return true
		}
	}
	return false
}

// at reads every row's value now into m.last.
func (m *meter) at(w *works.Works) []bus.RowState {
	for i := range m.rows {
		x, v := &m.rows[i], 0.0
		if x.unit >= 0 {
			v = m.rate(i)
		} else {
			k, _ := w.Stock(x.stock)
			v = k.Level / x.per
		}
		m.last[i].V = round(v, x.Cap)
	}
	return m.last
}

// round keeps what can be seen: a two-thousandth of the row's height.
func round(v, top float64) float64 {
	if top <= 0 {
		return math.Round(v)
	}
	if e := math.Floor(math.Log10(top / 2000)); e < 0 {
		f := math.Pow(10, -e)
		return math.Round(v*f) / f
	}
	return math.Round(v)
}

// mille is a value in thousandths of the row's cap, never outside -999 to 9999.
func mille(v, top float64) int {
	if !(top > 0) {
		return 0
	}
	return int(math.Max(-999, math.Min(9999, math.Round(1000*v/top))))
}

// rowOf is the row of a unit, -1 for none.
func rowOf(rows []row, unit int) int {
	for i := range rows {
		if rows[i].unit == unit {
			return i
		}
	}
	return -1
}

// rowNamed is the row of that name, -1 for none.
func rowNamed(rows []row, name string) int {
	for i := range rows {
		if strings.EqualFold(rows[i].Name, name) {
			return i
		}
	}
	return -1
}
