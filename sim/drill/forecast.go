package drill

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"

	"millrace/sim/bus"
	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/flow"
	"millrace/sim/futures"
	"millrace/sim/quantity"
	"millrace/sim/works"
)

// lookFrom is what a look-ahead starts from: copies of now.
type lookFrom struct {
	played, twin *futures.Game
	script       []comingUpset // not given yet
	standing     []bus.Standing
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

	lost    int           // the stop that keeps slabs from being drawn, -1 for none
	charged int32         // slabs charged before now
	draw    float64       // kg/s drawn from the yard in its first 12 h while it lasts
	tap     calendar.Time // when a heat more has no room in the yard while it lasts; Never
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
	start quantity.Clock
	ahead []ahead

	// Of the last forecast:
	reaches []bus.Reach // by brink
	moments []lastMoment
}

func newLooker(sc *Scenario, rows []row, n int) *looker {
	// All forecasts of a drill use the same new luck: two of them differ by what
	// happened between, not by chance.
	l := &looker{rows: rows, luck: chance.Luck{Seed: sc.Case.Seed, Future: sc.Future}.Branch(1, sc.Future), n: n, start: sc.Start, ahead: make([]ahead, n)}
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
		if !script {
			l.spread(x.g.Works(), f)
		}
		if script {
			for i := range from.script {
				if _, err := x.g.Works().Inject(from.script[i].spec, from.script[i].at); err != nil {
					return nil, err
				}
			}
		}
		x.begin(l.rows, len(brinks))
	}
	standing, lost := false, -1
	for i := range w0.Stops() {
		if !w0.UpsetActive(i) {
			continue
		}
		standing = true
		if v, ok := w0.Stop(i); ok && lost < 0 && w0.P.StopsRolling(v.Unit) {
			lost = i
		}
	}
	for f := range l.ahead {
		l.ahead[f].lost = lost
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
		if l.reached(now) {
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
		e := bus.End{Row: brinkRow(l.rows, b), Name: brinks[b].Name, Full: brinks[b].Full, Stops: brinks[b].Stops, In: []float64{}, Now: now[b]}
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
		l.back(&k, i, v, start, start+further)
		out.Backs = append(out.Backs, k)
	}
	out.Now = append(out.Now, from.standing...)
	l.reaches = l.reachAll(now, start, start+further)
	out.Ranked, out.RankedTo = l.ranked(w0, now), further.Seconds()
	l.moments = l.lastMoments(w0, lost, start)
	out.Stood = l.stood()
	l.stand(out, int(horizon/baseCell))
	l.paths(out, int(horizon/baseCell))
	return out, nil
}

// spread puts the ends of the stops of now evenly over what people know of them: of n
// futures each has one of n equal parts of the law, which future which part is drawn. The
// middle of the futures is then the middle of the law, not a drawn one; see Latin hypercube
// sampling, McKay, Beckman and Conover, Technometrics 21 (1979) 239, from memory.
func (l *looker) spread(w *works.Works, f int) {
	for i := range w.Stops() {
		if w.UpsetActive(i) {
			part := l.parts(i)[f]
			u := l.luck.Uniform(luckWithin, uint64(i), uint64(f))
			w.RedrawEnd(i, (float64(part)+u)/float64(l.n))
		}
	}
}

// Purposes of the luck of a looker.
const (
	luckPart chance.Purpose = iota + 1
	luckWithin
)

// parts deals the parts of the law of stop i to the futures.
func (l *looker) parts(i int) []int {
	order := make([]int, l.n)
	for f := range order {
		order[f] = f
	}
	key := func(f int) float64 { return l.luck.Uniform(luckPart, uint64(i), uint64(f)) }
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(key(a), key(b)), cmp.Compare(a, b)) })
	part := make([]int, l.n)
	for k, f := range order {
		part[f] = k
	}
	return part
}

// reach says when something that has a moment in each future comes about, up to the
// moment until. Times are order statistics of the futures without interpolation (Hyndman
// and Fan, Am. Stat. 50 (1996) 361, type 6, from memory), as howlong gives them; one that
// does not come is later than all. What is there already comes at once.
func (l *looker) reach(now bool, when func(f int) calendar.Time, start, until calendar.Time) bus.Reach {
	all := make([]calendar.Time, l.n)
	runs := 0
	for f := range all {
		all[f] = calendar.Never
		if t := when(f); now {
			all[f] = start
		} else if t <= until {
			all[f] = max(t, start)
		}
		if all[f] != calendar.Never {
			runs++
		}
	}
	slices.Sort(all)
	at := func(k int) *float64 {
		t := all[max(0, min(l.n-1, k-1))]
		if t == calendar.Never {
			return nil
		}
		return seconds(t - start)
	}
	m := float64(l.n + 1)
	return bus.Reach{Soonest: at(1), Early: at(int(math.Floor(0.1 * m))), Likely: at(int(math.Ceil(0.5 * m))), Late: at(int(math.Ceil(0.9 * m))), Share: float64(runs) / float64(l.n)}
}

// goOn plays the futures of the last forecast on to a moment, for those that stop before.
func (l *looker) goOn(start, until calendar.Time) error {
	for f := range l.ahead {
		if err := l.ahead[f].run(l.rows, start, until); err != nil {
			return err
		}
	}
	return nil
}

// reachAll is reach of every brink.
func (l *looker) reachAll(now []bool, start, until calendar.Time) []bus.Reach {
	out := make([]bus.Reach, len(now))
	for b := range now {
		out[b] = l.reach(now[b], func(f int) calendar.Time { return l.ahead[f].first[b] }, start, until)
	}
	return out
}

// back says how what was told of a stop and what the futures show differ.
func (l *looker) back(k *bus.Back, i int, v works.StopView, now, until calendar.Time) {
	ends := func(f int) calendar.Time { return l.ahead[f].g.Works().S.Upsets[i].Ends }
	k.Restart = l.reach(false, ends, now, calendar.Never-1) // a draw, however far the futures are played
	k.Restart.Share = l.reach(false, ends, now, until).Share
	if !v.Told {
		return
	}
	k.Told = &bus.Word{Low: (v.Low - v.LastWord).Seconds(), Likely: (v.Likely - v.LastWord).Seconds(), Bad: (v.Bad - v.LastWord).Seconds(), From: v.LastWord.Seconds()}
	clock := func(s float64) string {
		return quantity.FormatClock(l.start.Add(s), l.start.Add(now.Seconds()))
	}
	half := "half of such stops now last until " + clock(now.Seconds()+*k.Restart.Likely)
	if gone := (now - v.LastWord).Seconds(); gone < 60 {
		k.Why = "The word is new: likely " + quantity.FormatDuration(k.Told.Likely) + ", by " + clock(v.Likely.Seconds()) + "; " + half + "."
	} else {
		k.Why = quantity.FormatDuration(gone) + " of the " + quantity.FormatDuration(k.Told.Likely) + " that were told likely have gone without a new word; " + half + "."
	}
}

const (
	// rankedMost is how many troubles a ranked answer holds.
	rankedMost = 5
	soonWithin = 3600 // s
)

// ranked lists the first troubles: what is there, what some future reaches within the
// hour, then by likely time.
func (l *looker) ranked(w *works.Works, now []bool) []bus.Trouble {
	out := []bus.Trouble{}
	brinks := w.P.Brinks()
	for b := range brinks {
		r := &l.reaches[b]
		if r.Share == 0 {
			continue
		}
		x := bus.Trouble{Row: brinkRow(l.rows, b), Name: brinks[b].Name, Full: brinks[b].Full, Stops: brinks[b].Stops, Now: now[b],
			Early: r.Early, Likely: r.Likely, Late: r.Late, Soonest: r.Soonest, Share: r.Share, Runs: int(math.Round(r.Share * float64(l.n)))}
		x.Soon = !x.Now && *x.Soonest <= soonWithin
		x.Note = l.note(w, b, &x)
		out = append(out, x)
	}
	never := func(t *float64) float64 {
		if t == nil {
			return math.Inf(1)
		}
		return *t
	}
	first := func(x *bus.Trouble) int {
		switch {
		case x.Now:
			return 0
		case x.Soon:
			return 1
		}
		return 2
	}
	slices.SortStableFunc(out, func(a, b bus.Trouble) int {
		return cmp.Or(cmp.Compare(first(&a), first(&b)), cmp.Compare(never(a.Likely), never(b.Likely)), cmp.Compare(never(a.Early), never(b.Early)), cmp.Compare(b.Runs, a.Runs))
	})
	return out[:min(len(out), rankedMost)]
}

// note explains a trouble whose futures fall into two kinds: those that get there while a
// stop of now still lasts, and those that get there at a later occasion.
func (l *looker) note(w *works.Works, b int, x *bus.Trouble) string {
	if x.Now {
		return ""
	}
	during, unit, told := 0, -1, false
	for f := range l.ahead {
		for i := range w.Stops() {
			v, ok := w.Stop(i)
			if !ok || v.Over || l.ahead[f].first[b] > l.ahead[f].g.Works().S.Upsets[i].Ends {
				continue
			}
			during, unit, told = during+1, v.Unit, v.Told
			break
		}
	}
	if during == 0 || 10*(x.Runs-during) < x.Runs {
		return ""
	}
	text := fmt.Sprintf("In %d of %d runs while %s stands, in %d at a later occasion", during, l.n, w.P.Route.Units[unit].Name, x.Runs-during)
	if !told {
		text += "; nothing is told yet, so runs take how long stops of this unit last as a rule"
	}
	return text + "."
}

// brinkRow is the row of a brink, -1 for none.
func brinkRow(rows []row, b int) int {
	for i := range rows {
		if rows[i].full == b || rows[i].dry == b {
			return i
		}
	}
	return -1
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

// reached says whether half the futures have come to some end of a store. An end at
// which a store is already is no longer ahead: it may be left and met again in minutes,
// and what comes next must not hide behind it.
func (l *looker) reached(now []bool) bool {
	for b := range now {
		if now[b] {
			continue
		}
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
	x.charged, x.draw, x.tap = w.Charged(), 0, calendar.Never
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
		if x.lost >= 0 && w.UpsetActive(x.lost) {
			if t-start <= 12*calendar.Hour {
				x.draw = float64(w.Charged()-x.charged) * w.P.MeanSlab() / (t - start).Seconds()
			}
			if x.tap == calendar.Never && w.TapMargin() < 0 {
				x.tap = t
			}
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

// stoodWithin is how far ahead units that stand are counted.
const stoodWithin = 8 * calendar.Hour

// stood counts the units that stand at some moment of the next hours, future by future.
func (l *looker) stood() bus.Stood {
	out := bus.Stood{Within: stoodWithin.Seconds(), Rows: []bus.StoodRow{}}
	count := make([]int, l.n)
	for i := range l.rows {
		x := &l.rows[i]
		if x.unit < 0 {
			continue
		}
		// A unit whose rhythm is longer than a cell is judged by its own while.
		wide := max(1, int(calendar.Time(x.over)*calendar.Minute/baseCell))
		runs := 0
		for f := range l.ahead {
			p := l.ahead[f].spent[i]
			for end := 1; end < len(p) && end <= int(stoodWithin/baseCell); end++ {
				from := max(0, end-wide)
				if x.stood(p[from], p[end], int32(end-from)*int32(baseCell/calendar.Second)) >= 0 {
					runs++
					count[f]++
					break
				}
			}
		}
		if runs > 0 {
			out.Rows = append(out.Rows, bus.StoodRow{Row: i, Share: float64(runs) / float64(l.n)})
		}
	}
	slices.SortStableFunc(out.Rows, func(a, b bus.StoodRow) int { return cmp.Compare(b.Share, a.Share) })
	slices.Sort(count)
	at := func(p float64) int { return count[max(0, min(l.n-1, int(math.Ceil(p*float64(l.n+1)))-1))] }
	out.Low, out.Units, out.High = count[max(0, int(math.Floor(0.1*float64(l.n+1)))-1)], at(0.5), at(0.9)
	return out
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
