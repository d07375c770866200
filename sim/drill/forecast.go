package drill

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"millrace/sim/bus"
	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/flow"
	"millrace/sim/futures"
	"millrace/sim/works"
)

// lookFrom is what a look-ahead starts from: copies of now.
type lookFrom struct {
	played, twin *futures.Game
	script       []comingUpset // not given yet
	after        string
	epoch        int
}

type comingUpset struct {
	spec works.UpsetSpec
	at   calendar.Time
}

// horizons are how far a look-ahead goes: to the first that reaches a trouble.
var horizons = []calendar.Time{8 * calendar.Hour, 24 * calendar.Hour, 48 * calendar.Hour, 120 * calendar.Hour}

const (
	baseCell   = 10 * calendar.Minute // states are taken so often
	brinkStep  = 5 * calendar.Minute
	pathPoints = 25
	standCells = 48
	costEvery  = 2 // base cells: 20 minutes, which divides every step between path points
)

// ahead is one future of a look-ahead under way.
type ahead struct {
	g, twin *futures.Game
	first   []calendar.Time // by brink
	was     []bool
	spent   [][]spell // by row, by base cell from the start, the first is none
	base    [][flow.NStates]calendar.Time
	held    []int32   // s that each unit was held up by the line, looked at each brinkStep
	levels  [][]int32 // by row, by base cell, the first is now
	bill    []float64 // each costEvery base cells, the first is now
}

// spell is the time since the start that a unit spent in the states that matter, s
// (of its places together).
type spell struct{ all, run, down, blocked, starved, held int32 }

// looker makes forecasts. It keeps the memory of its futures and belongs to one
// goroutine.
type looker struct {
	rows  []row
	luck  chance.Luck
	n     int
	ahead []ahead
}

func newLooker(sc *Scenario, rows []row, n int) *looker {
	// All forecasts of a drill use the same new luck: two of them differ by what
	// happened between, not by chance.
	l := &looker{rows: rows, luck: chance.Luck{Seed: sc.Case.Seed, Future: sc.Future}.Branch(1, sc.Future), n: n, ahead: make([]ahead, n)}
	return l
}

// forecast plays the futures from a copy of now. With script it knows true ends and
// what is to come.
func (l *looker) forecast(from *lookFrom, script bool) (*bus.Forecast, error) {
	w0 := from.played.Works()
	start := w0.Now()
	brinks := w0.P.Brinks()
	now := w0.AtBrinks(nil)
	for f := range l.ahead {
		x := &l.ahead[f]
		x.g, x.twin = from.played.Copy(x.g), from.twin.Copy(x.twin)
		luck := l.luck.Branch(2, uint64(f))
		x.g.Ahead(luck, script)
		x.twin.Ahead(luck, script)
		if script {
			for i := range from.script {
				if _, err := x.g.Works().Inject(from.script[i].spec, from.script[i].at); err != nil {
					return nil, err
				}
			}
		}
		x.begin(l.rows, len(brinks))
	}
	standing := false
	for i := range w0.Stops() {
		standing = standing || w0.UpsetActive(i)
	}
	horizon := calendar.Time(0)
	for _, h := range horizons {
		if h > horizons[1] && !standing && !script {
			break // on a quiet day nothing that is known comes in days
		}
		for f := range l.ahead {
			if err := l.ahead[f].run(l.rows, start, start+h); err != nil {
				return nil, err
			}
		}
		horizon = h
		if l.reached(len(brinks)) {
			break
		}
	}
	// The nearest trouble is not the only one: one horizon further shows what follows it.
	further := horizon
	for _, h := range horizons {
		if h > horizon && (h <= horizons[1] || standing || script) {
			for f := range l.ahead {
				if err := l.ahead[f].run(l.rows, start, start+h); err != nil {
					return nil, err
				}
			}
			further = h
			break
		}
	}
	out := &bus.Forecast{N: l.n, Basis: bus.BasisTold, Horizon: horizon.Seconds(), After: from.after, Cell: (horizon / standCells).Seconds(), Step: (horizon / (pathPoints - 1)).Seconds(),
		Now: []bus.Standing{}, Ends: []bus.End{}, Backs: []bus.Back{}, Stand: []bus.Stand{}, Paths: []bus.Path{}, Bill: make([][]float64, l.n)}
	if script {
		out.Basis, out.Script = bus.BasisScript, true
	}
	out.T = start.Seconds()
	for b := range brinks {
		e := bus.End{Row: -1, Name: brinks[b].Name, Full: brinks[b].Full, Stops: brinks[b].Stops, In: []float64{}, Now: now[b]}
		for i := range l.rows {
			if l.rows[i].full == b || l.rows[i].dry == b {
				e.Row = i
			}
		}
		for f := range l.ahead {
			if t := l.ahead[f].first[b]; t <= start+horizon {
				e.In = append(e.In, (t - start).Seconds())
			}
		}
		slices.Sort(e.In)
		if len(e.In) > 0 || e.Now {
			out.Ends = append(out.Ends, e)
		}
	}
	sort.SliceStable(out.Ends, func(a, b int) bool { return soon(&out.Ends[a], l.n) < soon(&out.Ends[b], l.n) })
	for i := range w0.Stops() {
		v, ok := w0.Stop(i)
		if !ok || v.Over {
			continue
		}
		k := bus.Back{Row: rowOf(l.rows, v.Unit), Stop: i, In: []float64{}}
		for f := range l.ahead {
			// What the redrawn future holds for true is no more than a draw.
			if t := l.ahead[f].g.Works().S.Upsets[i].Ends; t <= start+horizon {
				k.In = append(k.In, math.Max(0, (t-start).Seconds()))
			}
		}
		slices.Sort(k.In)
		out.Backs = append(out.Backs, k)
	}
	out.Ranked, out.RankedTo = l.ranked(w0, now, start, start+further), further.Seconds()
	l.stand(out, int(horizon/baseCell))
	l.paths(out, int(horizon/baseCell))
	return out, nil
}

// rankedMost is how many troubles a ranked answer holds.
const rankedMost = 5

// ranked lists the first troubles that come up to the moment until. Times are order
// statistics of the futures without interpolation (Hyndman and Fan, Am. Stat. 50 (1996)
// 361, type 6, from memory), as howlong gives them; one that does not come is later than all.
func (l *looker) ranked(w *works.Works, now []bool, start, until calendar.Time) []bus.Trouble {
	out := []bus.Trouble{}
	brinks := w.P.Brinks()
	for b := range brinks {
		x := bus.Trouble{Row: -1, Name: brinks[b].Name, Full: brinks[b].Full, Stops: brinks[b].Stops, Now: now[b]}
		for i := range l.rows {
			if l.rows[i].full == b || l.rows[i].dry == b {
				x.Row = i
			}
		}
		var first []calendar.Time
		for f := range l.ahead {
			t := l.ahead[f].first[b]
			if t > until {
				t = calendar.Never
			} else {
				x.Runs++
			}
			first = append(first, t)
		}
		if x.Runs == 0 && !x.Now {
			continue
		}
		slices.Sort(first)
		at := func(k int) *float64 {
			t := first[max(0, min(l.n-1, k-1))]
			if t == calendar.Never {
				return nil
			}
			return seconds(t - start)
		}
		m := float64(l.n + 1)
		x.Early, x.Likely, x.Late = at(int(math.Floor(0.1*m))), at(int(math.Ceil(0.5*m))), at(int(math.Ceil(0.9*m)))
		out = append(out, x)
	}
	never := func(t *float64) float64 {
		if t == nil {
			return math.Inf(1)
		}
		return *t
	}
	slices.SortStableFunc(out, func(a, b bus.Trouble) int {
		switch {
		case a.Now != b.Now && a.Now:
			return -1
		case a.Now != b.Now:
			return 1
		}
		return cmp.Or(cmp.Compare(never(a.Likely), never(b.Likely)), cmp.Compare(never(a.Early), never(b.Early)), cmp.Compare(b.Runs, a.Runs))
	})
	return out[:min(len(out), rankedMost)]
}

// soon orders ends: the moment by which half the futures are there, with never far
// away.
func soon(e *bus.End, n int) float64 {
	switch {
	case e.Now:
		return -1
	case 2*len(e.In) >= n:
		return e.In[(n-1)/2]
	}
	return 1e9 + e.In[0] + 1e6*float64(n-len(e.In))
}

// reached says whether half the futures have come to some end of a store.
func (l *looker) reached(brinks int) bool {
	for b := range brinks {
		n := 0
		for f := range l.ahead {
			if l.ahead[f].first[b] != calendar.Never {
				n++
			}
		}
		if 2*n >= l.n {
			return true
		}
	}
	return false
}

func (x *ahead) begin(rows []row, brinks int) {
	w := x.g.Works()
	w.S.Net.Settle()
	x.first = x.first[:0]
	for range brinks {
		x.first = append(x.first, calendar.Never)
	}
	x.was = w.AtBrinks(x.was)
	if x.levels == nil {
		x.levels, x.spent, x.base, x.held = make([][]int32, len(rows)), make([][]spell, len(rows)), make([][flow.NStates]calendar.Time, len(rows)), make([]int32, len(rows))
	}
	for i := range rows {
		x.spent[i], x.levels[i], x.held[i] = x.spent[i][:0], x.levels[i][:0], 0
		if u := rows[i].unit; u >= 0 {
			x.base[i] = w.S.Net.Units[u].Spent
			x.spent[i] = append(x.spent[i], spell{})
		} else {
			x.levels[i] = append(x.levels[i], level(w, &rows[i]))
		}
	}
	x.bill = append(x.bill[:0], x.g.Cost()-x.twin.Cost())
}

func level(w *works.Works, x *row) int32 {
	v, _ := w.Stock(x.stock)
	return int32(mille(v.Level/x.per, x.Cap))
}

// run plays on to the time from where it is, which is a whole number of base cells
// after the start.
func (x *ahead) run(rows []row, start, until calendar.Time) error {
	w := x.g.Works()
	for t := w.Now() + brinkStep; t <= until; t += brinkStep {
		if err := x.g.Run(t); err != nil {
			return err
		}
		for b := range x.first {
			if x.first[b] != calendar.Never {
				continue
			}
			at := w.AtBrink(b)
			if at && !x.was[b] {
				x.first[b] = t
			}
			x.was[b] = x.was[b] && at
		}
		for i := range rows {
			if rows[i].unit >= 0 && heldUp(rows, i, w) {
				x.held[i] += int32(brinkStep / calendar.Second)
			}
		}
		if (t-start)%baseCell != 0 {
			continue
		}
		w.S.Net.Settle()
		for i := range rows {
			u := rows[i].unit
			if u < 0 {
				x.levels[i] = append(x.levels[i], level(w, &rows[i]))
				continue
			}
			p := spellOf(&w.S.Net.Units[u].Spent, &x.base[i])
			p.held = x.held[i]
			x.spent[i] = append(x.spent[i], p)
		}
		if n := int((t - start) / baseCell); n%costEvery == 0 {
			if err := x.twin.Run(t); err != nil {
				return err
			}
			x.bill = append(x.bill, x.g.Cost()-x.twin.Cost())
		}
	}
	return nil
}

func spellOf(now, base *[flow.NStates]calendar.Time) (p spell) {
	sec := func(s flow.State) int32 { return int32((now[s] - base[s]) / calendar.Second) }
	for s := range flow.NStates {
		p.all += sec(s)
	}
	p.run = sec(flow.Running) + sec(flow.Slowed)
	p.down, p.blocked, p.starved = sec(flow.Down), sec(flow.Blocked), sec(flow.Starved)
	return p
}

// stood is the state in which a unit stood between two moments, a while in s apart, -1
// when it did not.
func (x *row) stood(a, b spell, while int32) int {
	all := b.all - a.all
	if all <= 0 || x.Standby {
		return -1
	}
	down, blocked, starved := b.down-a.down, b.blocked-a.blocked, b.starved-a.starved
	switch {
	case 2*down > all:
		return bus.UnitDown
	case 2*(b.held-a.held) > while:
		return bus.UnitBlocked
	case !x.idle(float64(b.run-a.run)/float64(all)) || 2*(down+blocked+starved) <= all:
		return -1
	case down >= max(blocked, starved):
		return bus.UnitDown
	case blocked >= starved:
		return bus.UnitBlocked
	}
	return bus.UnitStarved
}

// stand counts the futures in which each unit stands, cell by cell. A unit whose rhythm
// is longer than a cell is judged by its own while up to the cell's end.
func (l *looker) stand(out *bus.Forecast, cells int) {
	wide := cells / standCells // base cells in one
	for i := range l.rows {
		x := &l.rows[i]
		if x.unit < 0 {
			continue
		}
		k := bus.Stand{Row: i, N: make([]int, standCells), S: make([]int, standCells)}
		ever := false
		back := max(wide, int(calendar.Time(x.over)*calendar.Minute/baseCell))
		for c := range standCells {
			var count [8]int
			end := (c + 1) * wide
			for f := range l.ahead {
				p := l.ahead[f].spent[i]
				from := max(0, end-back)
				if s := x.stood(p[from], p[end], int32(end-from)*int32(baseCell/calendar.Second)); s >= 0 {
					count[s]++
					k.N[c]++
				}
			}
			k.S[c] = -1
			for s := range count {
				if count[s] > 0 && (k.S[c] < 0 || count[s] > count[k.S[c]]) {
					k.S[c] = s
				}
			}
			ever = ever || k.N[c] > 0
		}
		if ever {
			out.Stand = append(out.Stand, k)
		}
	}
}

// paths picks the points of levels and bills.
func (l *looker) paths(out *bus.Forecast, cells int) {
	every := cells / (pathPoints - 1)
	for i := range l.rows {
		if l.rows[i].unit >= 0 {
			continue
		}
		p := bus.Path{Row: i, V: make([][]int, l.n)}
		for f := range l.ahead {
			for k := range pathPoints {
				p.V[f] = append(p.V[f], int(l.ahead[f].levels[i][k*every]))
			}
		}
		out.Paths = append(out.Paths, p)
	}
	for f := range l.ahead {
		for k := range pathPoints {
			out.Bill[f] = append(out.Bill[f], whole(l.ahead[f].bill[k*every/costEvery]))
		}
	}
}
