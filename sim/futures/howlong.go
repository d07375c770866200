package futures

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"sort"
	"strings"
	"sync"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/quantity"
	"millrace/sim/record"
	"millrace/sim/works"
)

// Question is what a manager knows by telephone when a unit has stopped.
type Question struct {
	Plant   *works.Plant
	Now     quantity.Clock
	Stops   []Stop                 // the first is the one asked about
	Levels  map[record.Place]int64 // grams; missing stores stand at their normal level
	Futures int
	Seed    uint64
	Workers int
	Horizon calendar.Time
	SoldOut bool
	// Quiet leaves background upsets out of the look-ahead.
	Quiet bool
}

// Stop is a unit that stands, since when, and what people were told of its return,
// from when it stopped.
type Stop struct {
	Unit  int
	Since quantity.Clock
	Back  quantity.Estimate
}

// When is a moment that may come, over the futures: early, likely and late are
// the times before which it comes in 10, 50 and 90 of 100 futures, "never" counted
// as later than everything.
type When struct {
	Early, Likely, Late calendar.Time // since now; Never
	Chance              float64       // share of futures in which it comes inside the horizon

	from quantity.Clock
}

// MarshalJSON gives clock times in ISO 8601, null for never, and the same in hours
// from now.
func (w When) MarshalJSON() ([]byte, error) {
	one := func(t calendar.Time) (clock, hours string) {
		if t == calendar.Never {
			return "null", "null"
		}
		return `"` + w.from.Add(t.Seconds()).ISO() + `"`, fmt.Sprintf("%.2f", t.Hours())
	}
	e, eh := one(w.Early)
	l, lh := one(w.Likely)
	b, bh := one(w.Late)
	return fmt.Appendf(nil, `{"early":%s,"likely":%s,"late":%s,"chance":%.3f,"hours":{"early":%s,"likely":%s,"late":%s}}`, e, l, b, w.Chance, eh, lh, bh), nil
}

// StoreOutlook says when a store runs full or dry.
type StoreOutlook struct {
	Name   string  `json:"name"`
	Level  float64 `json:"level"`
	Room   float64 `json:"room"`
	Unit   string  `json:"unit"`
	FullAt *When   `json:"full_at,omitempty"`
	DryAt  *When   `json:"dry_at,omitempty"`
	Stops  string  `json:"stops"`
	// Without is the share of futures in which it would come without this stop.
	Without float64 `json:"chance_without_stop"`
	Assumed bool    `json:"assumed"`
	// Already: the level that was given lies at this end now.
	Already bool `json:"already"`
	// Under is the level below which it counts as dry, 0 for the last piece.
	Under float64 `json:"dry_below,omitempty"`
	// Normal is the level that the works file calls normal: what is assumed.
	Normal float64 `json:"normal"`
	// Rates is what comes and goes while everything that stands stays down.
	Rates Rates `json:"rates"`
}

// ByTheStop says whether the stop brings this end, or brings it nearer; what would
// come anyway is not news.
func (s *StoreOutlook) ByTheStop() bool { return s.Already || s.When().Chance >= s.Without+0.05 }

// when returns the outlook's moment, whichever end it is.
func (s *StoreOutlook) When() *When {
	if s.FullAt != nil {
		return s.FullAt
	}
	return s.DryAt
}

// PouredBack is the steel that goes back to the converter before the first stop ends,
// in heats: in 10, 50 and 90 of 100 futures it is less.
type PouredBack struct {
	Low    float64 `json:"low"`
	Likely float64 `json:"likely"`
	High   float64 `json:"high"`
}

// LastMoment is the last moment of a choice that cannot be undone.
type LastMoment struct {
	Choice string         `json:"choice"`
	At     quantity.Clock `json:"-"`
	Hours  *float64       `json:"in_hours"` // since now; nil when it need not be or is too late
	Clock  string         `json:"at"`
	Why    string         `json:"why"`
	Now    bool           `json:"now"` // it is already past or due
}

// HeatOutlook is a heat in flight.
type HeatOutlook struct {
	Heat      int32          `json:"heat"`
	Caster    string         `json:"caster"`
	Stage     string         `json:"stage"`
	Above     float64        `json:"above_liquidus_k"`
	OpenBy    quantity.Clock `json:"-"`
	OpenHours *float64       `json:"open_within_hours"`
	OpenClock string         `json:"open_by"`
}

// Call says whom to call.
type Call struct {
	Who string `json:"who"`
	Say string `json:"say"`
}

// HowLong is the answer to "how long have we got, and what must be decided by when?"
type HowLong struct {
	Works    string         `json:"works"`
	Now      string         `json:"now"`
	Down     string         `json:"down"`
	Since    string         `json:"since"`
	Back     string         `json:"back"`
	Assumed  []string       `json:"assumed"`
	People   []string       `json:"people"`
	Stores   []StoreOutlook `json:"stores"`
	Moments  []LastMoment   `json:"last_moments"`
	Heats    []HeatOutlook  `json:"heats"`
	Calls    []Call         `json:"calls"`
	Cautions []string       `json:"cautions"`
	Poured   PouredBack     `json:"heats_poured_back"`
	Restart  When           `json:"restart"`
	Futures  int            `json:"futures"`
	Given    []string       `json:"rate_as_given,omitempty"`
	Horizon  float64        `json:"horizon_hours"`

	Clock quantity.Clock `json:"-"`
	Q     *Question      `json:"-"`
	Units []string       `json:"-"` // names of the units that stand
	// First holds, per brink of the plant and future, the first time it was
	// reached, Never where it was not.
	First [][]calendar.Time `json:"-"`
	Ends  []calendar.Time   `json:"-"`
}

// look is what one future showed.
type look struct {
	first []calendar.Time
	tap   calendar.Time
	end   calendar.Time
	back  float64 // heats poured back until the first stop ended
	draw  float64 // kg/s of slabs charged while the first stop lasts, at most half a day
	err   error
}

// step is how often a look-ahead checks the ends of its stores.
const step = 5 * calendar.Minute

// Script returns the stops of the question as upsets that have already lasted.
func (q *Question) Script() ([]works.UpsetSpec, error) {
	var out []works.UpsetSpec
	for i := range q.Stops {
		st := &q.Stops[i]
		name := q.Plant.Route.Units[st.Unit].Name
		if st.Since > q.Now {
			return nil, fmt.Errorf("the stop of the %s began at %s, after now (%s)", name, quantity.FormatClock(st.Since, q.Now), quantity.FormatClock(q.Now, q.Now))
		}
		law, err := chance.ToldEstimate(st.Back)
		if err != nil {
			return nil, fmt.Errorf("the estimate for the %s cannot be used: %w", name, err)
		}
		kind := q.Plant.UpsetFor(st.Unit)
		s := works.UpsetSpec{
			Kind: kind, Name: works.Kinds[kind].Name, Unit: name, Lasts: law, Scripted: true, Elapsed: float64(q.Now-st.Since) / 1e6,
			Told: works.ToldSpec{Given: true, Low: st.Back.Low, Likely: st.Back.Likely, Bad: st.Back.Bad, NextWord: 3 * 3600},
		}
		if kind == works.StandWreck {
			s.Ruins = works.RuinPiece | works.RuinRolls
		}
		out = append(out, s)
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("no unit stands: there is nothing to ask")
	}
	return out, nil
}

// AskHowLong plays the futures of a stop from now on with standing orders only and
// reads off them what fills and what runs dry.
func AskHowLong(ctx context.Context, q *Question) (*HowLong, error) {
	if q.Futures <= 0 {
		q.Futures = 200
	}
	if q.Workers <= 0 {
		q.Workers = runtime.GOMAXPROCS(0)
	}
	if q.Horizon <= 0 {
		q.Horizon = 96 * calendar.Hour
	}
	script, err := q.Script()
	if err != nil {
		return nil, err
	}
	// The same works without the stop: what would fill or run dry anyway.
	anyway := max(20, q.Futures/4)
	looks := make([]look, q.Futures+anyway)
	var wg sync.WaitGroup
	next := make(chan int)
	for range q.Workers {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for f := range next {
				if f < q.Futures {
					looks[f] = q.lookAhead(script, f)
				} else {
					looks[f] = q.lookAhead(nil, f-q.Futures)
				}
			}
		}()
	}
	for f := range looks {
		select {
		case next <- f:
			continue
		case <-ctx.Done():
		}
		break
	}
	close(next)
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	for f := range looks {
		if looks[f].err != nil {
			return nil, fmt.Errorf("future %d: %w", f, looks[f].err)
		}
	}
	rates, err := q.rates(script)
	if err != nil {
		return nil, err
	}
	return q.answer(script, rates, looks[:q.Futures], looks[q.Futures:]), nil
}

// lookAhead plays one future.
func (q *Question) lookAhead(script []works.UpsetSpec, f int) look {
	w := works.Begin(q.Plant, works.Start{
		Luck: chance.Luck{Seed: q.Seed, Future: uint64(f)}, Script: script,
		Background: !q.Quiet, SoldOut: q.SoldOut, Levels: q.Levels,
	})
	n := len(q.Plant.Brinks())
	l := look{first: make([]calendar.Time, n), tap: calendar.Never, end: calendar.Never}
	for i := range l.first {
		l.first[i] = calendar.Never
	}
	was := w.AtBrinks(nil)
	for i, b := range q.Plant.Brinks() {
		was[i] = was[i] && !q.given(b.Name)
	}
	for t := calendar.Time(0); t <= q.Horizon; t += step {
		if err := w.Run(t); err != nil {
			l.err = err
			return l
		}
		for i := range l.first {
			if l.first[i] != calendar.Never {
				continue
			}
			// What is at its end already while stores are given counts as now; a store
			// laid out at the start by assumption must first leave its end.
			at := w.AtBrink(i)
			if at && !was[i] {
				l.first[i] = t
			}
			was[i] = was[i] && at
		}
		if l.end == calendar.Never && !w.UpsetActive(0) {
			l.end = t
		}
		if l.end == calendar.Never || l.end == t {
			l.back = w.HeatsPouredBack()
		}
		if t > 0 && t <= 12*calendar.Hour && l.end == calendar.Never {
			l.draw = float64(w.Charged()) * q.Plant.MeanSlab() / t.Seconds()
		}
		if l.tap == calendar.Never && l.end == calendar.Never && w.TapMargin() < 0 {
			l.tap = t
		}
	}
	for _, err := range w.Check() {
		l.err = err
	}
	return l
}

// quantiles of moments; never is later than everything.
func moment(ts []calendar.Time, from quantity.Clock) When {
	s := append([]calendar.Time(nil), ts...)
	sort.Slice(s, func(a, b int) bool { return s[a] < s[b] })
	n := len(s)
	at := func(p float64) calendar.Time {
		// Hyndman and Fan type 6, order statistics without interpolation: the band
		// between two of them holds its nominal share of further futures.
		i := int(math.Ceil(p*float64(n+1))) - 1
		return s[max(0, min(n-1, i))]
	}
	w := When{from: from, Early: s[max(0, min(n-1, int(math.Floor(0.1*float64(n+1)))-1))], Likely: at(0.5), Late: at(0.9)}
	hit := 0
	for _, t := range s {
		if t != calendar.Never {
			hit++
		}
	}
	w.Chance = float64(hit) / float64(n)
	return w
}

func (q *Question) answer(script []works.UpsetSpec, rates []Rates, looks, anyway []look) *HowLong {
	p := q.Plant
	var down, since, told []string
	for i := range q.Stops {
		st := &q.Stops[i]
		down = append(down, p.Route.Units[st.Unit].Name)
		since = append(since, st.Since.ISO())
		told = append(told, fmt.Sprintf("low %s, likely %s, bad %s after it stopped", quantity.FormatDuration(st.Back.Low), quantity.FormatDuration(st.Back.Likely), quantity.FormatDuration(st.Back.Bad)))
	}
	a := &HowLong{
		Works: p.Spec.Name, Down: strings.Join(down, ", "), Units: down, Futures: q.Futures, Horizon: q.Horizon.Hours(), Clock: q.Now, Q: q,
		Now: q.Now.ISO(), Since: strings.Join(since, ", "), Back: strings.Join(told, "; "),
	}
	kind := works.Kinds[script[0].Kind]
	a.People = []string{"Headcount first: everybody accounted for?", kind.Caution}
	for i := 1; i < len(script); i++ {
		a.People = append(a.People, works.Kinds[script[i].Kind].Caution)
	}
	a.Cautions = []string{kind.Caution, "Planning aid only: it never controls plant and is no work permit."}
	ends, back := make([]calendar.Time, len(looks)), make([]float64, len(looks))
	for f := range looks {
		ends[f], back[f] = looks[f].end, looks[f].back
	}
	sort.Float64s(back)
	rank := func(p float64) float64 {
		return back[max(0, min(len(back)-1, int(math.Ceil(p*float64(len(back)+1)))-1))]
	}
	a.Poured = PouredBack{rank(0.1), rank(0.5), rank(0.9)}
	a.Ends = ends
	a.Restart = moment(ends, q.Now)
	// Level picture without luck.
	w := works.Begin(p, works.Start{Script: script, Levels: q.Levels, SoldOut: q.SoldOut, Fixed: true})
	_ = w.Run(0)
	brinks := p.Brinks()
	seen := map[string]bool{}
	for i, b := range brinks {
		ts := make([]calendar.Time, len(looks))
		for f := range looks {
			ts[f] = looks[f].first[i]
		}
		a.First = append(a.First, ts)
		level, room, unit := w.BrinkLevel(i)
		o := StoreOutlook{Name: b.Name, Level: level, Room: room, Unit: unit, Stops: b.Stops, Assumed: !q.given(b.Name), Under: b.Under, Rates: rates[i]}
		if v, ok := w.Stock(b.Name); ok {
			o.Normal = q.inUnits(b.Name, v)
		}
		o.Already = !o.Assumed && w.AtBrink(i)
		m := moment(ts, q.Now)
		for f := range anyway {
			if anyway[f].first[i] != calendar.Never {
				o.Without += 1 / float64(len(anyway))
			}
		}
		if b.Full {
			o.FullAt = &m
		} else {
			o.DryAt = &m
		}
		a.Stores = append(a.Stores, o)
		if o.Assumed && !seen[b.Name] {
			seen[b.Name] = true
			a.Assumed = append(a.Assumed, fmt.Sprintf("%s %s %s", b.Name, quantity.FormatNumber(level, 0), unit))
		}
	}
	sort.SliceStable(a.Stores, func(x, y int) bool {
		u, v := a.Stores[x].When(), a.Stores[y].When()
		if u.Likely != v.Likely {
			return u.Likely < v.Likely
		}
		if u.Early != v.Early {
			return u.Early < v.Early
		}
		return u.Chance > v.Chance
	})
	for i := range p.Route.Units {
		if p.Route.Units[i].RateGiven {
			a.Given = append(a.Given, p.Route.Units[i].Name)
		}
	}
	a.moments(w, looks)
	a.heats(w)
	a.calls()
	return a
}

// inUnits is the normal level in the unit in which the store's level is given.
func (q *Question) inUnits(store string, v works.StockView) float64 {
	if v.Energy {
		return v.Normal / 1e9
	}
	if at, ok := q.Plant.StoreNamed(store); ok && at >= 0 {
		if i := q.Plant.StoreInfo(at); i.Amount != "GJ" && i.Amount != "t" {
			return v.Normal * 1e3 / i.PerAmount
		}
	}
	return v.Normal / 1e3
}

func (q *Question) given(store string) bool {
	at, ok := q.Plant.StoreNamed(store)
	if !ok {
		return false
	}
	_, ok = q.Levels[at]
	return ok
}

// Need says whether a cut of what goes into a store is needed and enough.
type Need uint8

// What a cut is.
const (
	Needed    Need = iota
	NotNeeded      // the store holds without
	NotEnough      // even at once it does not hold
)

// LastCut is the last moment, s from now, to cut the inflow of a store with free room
// (kg) from full to less (kg/s) so that it holds for left (s) more:
//
//	full x + less (left - x) = free
//
// full must be above 0 and above less.
func LastCut(free, full, less, left float64) (in float64, need Need) {
	x := (free - less*left) / (full - less)
	switch {
	case x >= left:
		return 0, NotNeeded
	case x <= 0:
		return 0, NotEnough
	}
	return x, Needed
}

// moments works out the last moments of the choices that cannot be undone.
func (a *HowLong) moments(w *works.Works, looks []look) {
	q := a.Q
	st := &q.Stops[0]
	draw := 0.0
	for f := range looks {
		draw += looks[f].draw / float64(len(looks))
	}
	tap := make([]calendar.Time, len(looks))
	for f := range looks {
		tap[f] = looks[f].tap
	}
	last := moment(tap, q.Now)
	// The tap is decided on the early side: the heat after it has no room if the
	// stop lasts.
	a.add("last tap", last.Early, last.Early == calendar.Never, lastTapWhy(last))
	// Room in the yard now; what the casters put there until the bad end, committed
	// steel included, less what the furnaces still draw, must fit.
	free := w.YardFree()
	gone := float64(q.Now-st.Since) / 1e6
	law, _ := chance.ToldEstimate(st.Back)
	left := law.Residual(0.9, gone)
	n := len(q.Plant.Spec.Casters)
	full := w.CastRate(1, n) - draw
	slow := w.CastRate(q.Plant.SlowestShare(), n) - draw
	one := w.CastRate(q.Plant.SlowestShare(), n-1) - draw
	if full <= 0 {
		return // the furnaces draw all that is cast: the yard does not fill
	}
	switch x, need := LastCut(free, full, slow, left); {
	case need == NotNeeded:
		a.add("slow the casters by", calendar.Never, true, "the yard holds to the bad end as it is")
	case need == NotEnough:
		a.add("slow the casters by", 0, false, fmt.Sprintf("buys time; slowest from now the yard is full in %.0f h: do more", free/slow/3600))
	default:
		a.add("slow the casters by", calendar.Dur(x), false, "the yard then holds to the bad end, both at their slowest")
	}
	y, need := LastCut(free, full, one, left)
	who := "a sequence"
	switch {
	case n < 2:
	case need == NotNeeded:
		a.add("end "+who+" by", calendar.Never, true, "the yard holds to the bad end without")
	case need == NotEnough:
		a.add("end "+who+" by", 0, false, "not enough alone: overflow, or end both")
	default:
		a.add("end "+who+" by", calendar.Dur(y), false, "the yard then holds to the bad end, the other at its slowest")
	}
}

func lastTapWhy(last When) string {
	if last.Early == calendar.Never {
		return fmt.Sprintf("the yard has room for every heat (%.0f %%)", 100-last.Chance*100)
	}
	return fmt.Sprintf("no room in the yard for later ones (%.0f %%)", last.Chance*100)
}

func (a *HowLong) add(choice string, in calendar.Time, needless bool, why string) {
	m := LastMoment{Choice: choice, Why: why}
	switch {
	case needless:
		m.Clock = "not needed"
	default:
		h := in.Hours()
		m.Hours = &h
		m.At = a.Clock.Add(in.Seconds())
		m.Clock = m.At.ISO()
		m.Now = in <= 0
	}
	a.Moments = append(a.Moments, m)
}

func (a *HowLong) heats(w *works.Works) {
	for _, h := range w.HeatViews() {
		o := HeatOutlook{Heat: h.Number, Caster: h.Caster, Stage: h.Stage, Above: math.Round(h.AboveK)}
		if h.OpenBy != calendar.Never {
			x := h.OpenBy.Hours()
			o.OpenHours = &x
			o.OpenBy = a.Clock.Add(h.OpenBy.Seconds())
			o.OpenClock = o.OpenBy.ISO()
		}
		a.Heats = append(a.Heats, o)
	}
}

// stands says whether a unit that the words mean is one of those that stand.
func (a *HowLong) stands(when string) bool {
	for _, u := range a.Q.Plant.UnitsMeant(when) {
		for i := range a.Q.Stops {
			if a.Q.Stops[i].Unit == u {
				return true
			}
		}
	}
	return false
}

// calls lists whom to call: those who are always called, those of the unit that
// is down, then those of the stores that come to their end in likely order.
func (a *HowLong) calls() {
	done := map[string]bool{}
	put := func(means func(when string) bool) {
		for _, c := range a.Q.Plant.Spec.Calls {
			if means(c.When) && !done[c.Who] {
				done[c.Who] = true
				a.Calls = append(a.Calls, Call{c.Who, c.Say})
			}
		}
	}
	is := func(word string) func(string) bool { return func(when string) bool { return when == word } }
	put(is("always"))
	put(func(when string) bool { return a.stands(when) })
	for i := range a.Stores {
		if a.Stores[i].When().Chance >= 0.1 && a.Stores[i].ByTheStop() {
			put(is(a.Stores[i].Name))
		}
	}
}
