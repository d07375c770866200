package drill

import (
	"encoding/json"
	"math"
	"slices"
	"sort"
	"time"

	"millrace/sim/bus"
	"millrace/sim/calendar"
	"millrace/sim/record"
)

// notice is what every page says of the program.
const notice = "EXERCISE. Planning and training aid only: it never controls plant and is no work permit. Isolate and lock out; local codes, site procedures and licensed practice decide."

// sayer puts records into the words of a shift log.
func sayer(s *session) func(e *record.Event) string {
	return func(e *record.Event) string { return s.plant.Say(e, s.clock) }
}

// outbox numbers what pages are sent and knows what they have.
type outbox struct {
	epoch  int
	q      map[bus.Audience]uint64
	logs   map[bus.Audience]int
	told   int
	over   int
	past   int    // full minutes that they have
	ahead  string // as it was sent
	rows   []bus.RowState
	spans  []int // by row: how many of its states they have
	sent   time.Time
	slow   time.Time
	state  [3]string // flags and pace; lists; figures of rows, as they were sent
	script string
	// Forecasts from what people were told and, for the controller, with the script; nil
	// before the first of an epoch.
	cast, scripted *bus.Forecast
	moments        []lastMoment // of the first
}

func (o *outbox) start(h *Host) {
	o.epoch = h.epoch
	o.q, o.logs = map[bus.Audience]uint64{}, map[bus.Audience]int{}
	o.have(h)
	o.cut(h, h.epoch-1, "the program came up")
}

// have takes everything said so far as sent: a snapshot holds it.
func (o *outbox) have(h *Host) {
	for _, to := range [...]bus.Audience{bus.ForAll, bus.ForStaff} {
		o.logs[to] = len(h.s.logs[to])
	}
	o.told, o.over = len(h.s.told), len(h.s.over)
	o.past = len(h.s.minutes[0])
	for i := range h.s.calls {
		h.s.calls[i].sent = h.s.calls[i].changed
	}
	o.rows = nil
	o.state, o.script, o.ahead = [3]string{}, "", ""
	o.cast, o.scripted, o.moments = nil, nil, nil
}

func (h *Host) flags() bus.Flags {
	return bus.Flags{Exercise: true, Held: h.held, Emergency: h.emerg, Ended: h.s.now() >= h.length}
}

// exercise says that the drill is off.
func (h *Host) exercise() string {
	if h.emerg {
		return bus.ExerciseOff
	}
	return ""
}

// head numbers the next message to an audience.
func (o *outbox) head(h *Host, to bus.Audience) bus.Head {
	if o.epoch != h.epoch {
		o.epoch = h.epoch
		o.q = map[bus.Audience]uint64{}
	}
	o.q[to]++
	return bus.Head{Epoch: h.epoch, Q: o.q[to], T: h.s.now().Seconds(), Flags: h.flags(), Exercise: h.exercise()}
}

func (o *outbox) post(h *Host, to bus.Audience, what, kind string, data any) {
	h.pub.Send(bus.PageSubject(h.cfg.Run, to, what), kind, "", h.s.now(), data)
}

// cut begins a new epoch on every audience.
func (o *outbox) cut(h *Host, from int, why string) {
	for _, to := range [...]bus.Audience{bus.ForAll, bus.ForStaff, bus.ForController} {
		o.post(h, to, bus.WhatCut, bus.TypeCut, &bus.Cut{Head: o.head(h, to), From: from, Branch: branchName(h.branch), Why: why})
	}
	o.have(h)
}

// send tells pages what is new; now sends the slow things too.
func (o *outbox) send(h *Host, now bool) {
	s := h.s
	for _, to := range [...]bus.Audience{bus.ForAll, bus.ForStaff} {
		for _, l := range s.logs[to][o.logs[to]:] {
			l.Head = o.head(h, to)
			o.post(h, to, bus.WhatLog, bus.TypeLog, &l)
		}
		o.logs[to] = len(s.logs[to])
	}
	for _, t := range s.told[o.told:] {
		for _, to := range toldTo(&t) {
			t.Head = o.head(h, to)
			o.post(h, to, bus.WhatTold, bus.TypeTold, &t)
		}
		if t.Stop >= 0 {
			h.wantLook = "word"
		}
	}
	o.told = len(s.told)
	for _, i := range s.over[o.over:] {
		t := s.told[i]
		t.Head = o.head(h, bus.ForAll)
		o.post(h, bus.ForAll, bus.WhatTold, bus.TypeTold, &t)
	}
	o.over = len(s.over)
	for i := range s.calls {
		c := &s.calls[i]
		if c.sent == c.changed {
			continue
		}
		c.sent = c.changed
		page, staff := c.page, c.staff
		page.Rate = s.callRate()
		staff.Rate = page.Rate
		page.Head = o.head(h, bus.ForAll)
		o.post(h, bus.ForAll, bus.WhatCall, bus.TypeCall, &page)
		staff.Head = o.head(h, bus.ForStaff)
		o.post(h, bus.ForStaff, bus.WhatCall, bus.TypeCall, &staff)
	}
	flags, _ := json.Marshal([]any{h.flags(), h.pace})
	wall := time.Now()
	exact := now || h.held || wall.Sub(o.slow) >= slowEvery
	u := &bus.Update{Pace: h.pace, Rows: o.changed(s, exact)}
	if n := len(s.minutes[0]); n > o.past {
		past := s.minutesFrom(max(o.past, n-mostPast*60))
		o.past, u.Past = n, &past
	}
	lists := false
	if now || wall.Sub(o.slow) >= slowEvery {
		o.slow = wall
		lists = o.lists(h, u)
		ahead := o.aheadNow(h)
		if text, _ := json.Marshal(&ahead); string(text) != o.ahead {
			o.ahead, u.Ahead, lists = string(text), &ahead, true
		}
	}
	if len(u.Rows) > 0 || lists || u.Past != nil || string(flags) != o.state[0] || !h.held || wall.Sub(o.sent) >= beatEvery {
		o.sent, o.state[0] = wall, string(flags)
		u.Head = o.head(h, bus.ForAll)
		o.post(h, bus.ForAll, bus.WhatUpdate, bus.TypeUpdate, u)
	}
}

// aheadNow is how the forecast that everybody has stands to now.
func (o *outbox) aheadNow(h *Host) bus.Ahead {
	a := bus.Ahead{Coming: h.wantLook != "" || h.looking && h.lookedT == h.s.now()}
	if f := o.cast; f != nil {
		t := f.T
		a.Made, a.Old = &t, t != h.s.now().Seconds()
	}
	return a
}

// lists adds cost, stops, settings and heats when they have changed, and tells staff
// theirs.
func (o *outbox) lists(h *Host, u *bus.Update) bool {
	s := h.s
	cost, stops, settings, heats := s.costNow(), s.stops(false), s.settings(o.moments), s.heats()
	planned := s.planned()
	staff, coming, marks := s.stops(true), s.toCome(), h.marks()
	text, _ := json.Marshal([]any{cost, stops, settings, heats, planned})
	changed := string(text) != o.state[1]
	if changed {
		o.state[1] = string(text)
		u.Cost, u.Stops, u.Settings, u.Heats, u.Planned = &cost, &stops, &settings, &heats, &planned
	}
	waits, flows, temps := s.waits(), s.meter.flowsNow(), s.temps()
	if text, _ = json.Marshal([]any{waits, flows, temps}); string(text) != o.state[2] {
		o.state[2], changed = string(text), true
		u.Waits, u.Flows, u.Temps = &waits, &flows, &temps
	}
	text, _ = json.Marshal([]any{staff, coming, marks, h.left})
	if string(text) != o.script {
		o.script = string(text)
		o.post(h, bus.ForStaff, bus.WhatUpdate, bus.TypeUpdate, &bus.Update{Head: o.head(h, bus.ForStaff), Pace: h.pace, Rows: []bus.RowState{}, Stops: &staff, ToCome: &coming, Marks: &marks, Branches: &h.left})
	}
	return changed
}

// changed are the rows that pages have otherwise. A row that went through several
// states comes once for each, in order. While time runs a value waits until it has
// moved by a four-hundredth of the row, at most slowEvery; exact sends every one that
// is not as it was: what stands on a page is then what a snapshot says.
func (o *outbox) changed(s *session, exact bool) []bus.RowState {
	out := []bus.RowState{}
	m := s.meter
	if o.rows == nil {
		o.rows, o.spans = append(o.rows, m.last...), make([]int, len(m.last))
		for i := range o.spans {
			o.spans[i] = len(m.spans[i])
		}
		return append(out, o.rows...)
	}
	for i := range m.last {
		n, l := &m.last[i], &o.rows[i]
		sp := m.spans[i]
		for k := o.spans[i]; k < len(sp)-1; k++ {
			out = append(out, bus.RowState{I: i, V: n.V, S: sp[k].S, Since: sp[k].At})
		}
		o.spans[i] = len(sp)
		if n.S != l.S || n.Since != l.Since || exact && n.V != l.V || math.Abs(n.V-l.V) >= s.rows[i].Cap/400 {
			*l = *n
			out = append(out, *n)
		}
	}
	return out
}

// clip copies the outer slice, and lets nothing grow into the inner ones.
func clip(spans [][]bus.Span) [][]bus.Span {
	out := make([][]bus.Span, len(spans))
	for i := range spans {
		out[i] = slices.Clone(spans[i])
	}
	return out
}

// snapshot is the whole picture for an audience.
func (o *outbox) snapshot(h *Host, to bus.Audience, q *bus.SnapshotRequest) *bus.Snapshot {
	s := h.s
	c := h.cfg.Scenario.Case
	o.send(h, false) // what it holds is then behind its numbers
	if o.epoch != h.epoch {
		o.epoch, o.q = h.epoch, map[bus.Audience]uint64{}
	}
	staff := to == bus.ForStaff || to == bus.ForController
	out := &bus.Snapshot{
		Head: bus.Head{Epoch: h.epoch, Q: o.q[to], T: s.now().Seconds(), Flags: h.flags(), Exercise: h.exercise()}, Qs: map[bus.Audience]uint64{bus.ForAll: o.q[bus.ForAll]},
		Run: h.cfg.Run, Works: s.plant.Spec.Name, Invented: s.plant.Spec.Invented, Scenario: c.Scenario, Notice: notice, StopWord: bus.StopWord,
		Clock: bus.Clock{Start: h.cfg.Scenario.Start.ISO(), Length: h.length.Seconds(), Pace: h.pace, Held: h.held, Branch: branchName(h.branch)},
		Rows:  append([]bus.RowState{}, s.meter.last...), Route: []bus.Row{}, Spans: clip(s.meter.spans), Cost: s.costNow(), CostLine: round0(s.costs), NothingLine: round0(s.nothin),
		Stops: s.stops(staff), Calls: s.callsFor(staff), Log: []bus.LogLine{}, Told: []bus.Told{}, Marks: []bus.Mark{}, ToCome: []bus.ToCome{},
		Levers: s.leversNow(), Catalogue: []bus.Upset{}, Settings: s.settings(o.moments), Heats: s.heats(), Planned: s.planned(), Branches: []bus.Branch{}, Waits: s.waits(), Flows: s.meter.flowsNow(), Temps: s.temps(), Digest: s.played.Digest(), Events: s.played.Events(),
	}
	for i := range s.rows {
		out.Route = append(out.Route, s.rows[i].Row)
	}
	for i := range s.told {
		if t := s.told[i]; !t.Over && slices.ContainsFunc(toldTo(&t), func(a bus.Audience) bool { return a == to || a == bus.ForAll || staff && a == bus.ForStaff }) {
			out.Told = append(out.Told, t)
		}
	}
	out.Ahead = o.aheadNow(h)
	out.History = s.history(q.Hours)
	out.Log = append(out.Log, s.logs[bus.ForAll]...)
	if staff {
		out.Qs[bus.ForStaff] = o.q[bus.ForStaff]
		out.Log = append(out.Log, s.logs[bus.ForStaff]...)
		sort.SliceStable(out.Log, func(a, b int) bool { return out.Log[a].At < out.Log[b].At })
		out.Marks, out.ToCome = append(out.Marks, h.marks()...), s.toCome()
		out.Branches = append(out.Branches, h.left...)
	} else {
		out.Scenario, out.Run = h.cfg.Scenario.public(), publicRun
		if to != bus.ForAll { // one player
			out.Qs[to] = o.q[to]
		}
	}
	out.Forecast = shown(o.cast, s.now())
	if to == bus.ForController {
		out.Qs[to] = o.q[to]
		out.Catalogue = s.catalogue()
		out.ScriptForecast = shown(o.scripted, s.now())
	}
	return out
}

// shown is a forecast that says whether it is old.
func shown(f *bus.Forecast, now calendar.Time) *bus.Forecast {
	if f == nil {
		return nil
	}
	g := *f
	g.Old = g.T != now.Seconds()
	return &g
}

func round0(v []float64) []float64 {
	out := make([]float64, len(v))
	for i := range v {
		out[i] = whole(v[i])
	}
	return out
}

// history packs the last hours by the minute, and all of it by the hour.
func (s *session) history(hours float64) bus.History {
	if !(hours > 0) {
		hours = 4
	}
	h := s.minutesFrom(max(0, len(s.minutes[0])-int(math.Min(hours, mostPast)*60)))
	for i := range s.rows {
		h.Hour = append(h.Hour, differences(s.hours[i]))
	}
	return h
}

// mostPast is how much of the past is sent by the minute, h.
const mostPast = 48

// minutesFrom packs the full minutes from number from on.
func (s *session) minutesFrom(from int) bus.History {
	h := bus.History{Step: 60, From: float64(from) * 60, V: make([][]int, len(s.rows)), Hour: [][]int{}}
	for i := range s.rows {
		h.V[i] = differences(s.minutes[i][from:])
	}
	return h
}

func differences(v []int32) []int {
	out := make([]int, len(v))
	last := int32(0)
	for i := range v {
		out[i] = int(v[i] - last)
		last = v[i]
	}
	return out
}

// lookResult is a pair of forecasts.
type lookResult struct {
	from         *lookFrom
	told, script *bus.Forecast
	moments      []lastMoment
	err          error
	took         time.Duration
}

// startLook begins a look-ahead when something calls for one and none is under way.
func (h *Host) startLook() {
	if h.looking || len(h.broken) > 0 {
		return
	}
	if h.wantLook == "" && (time.Now().Before(h.lookAt) || h.s.now()-h.lookedT < calendar.Minute) {
		return
	}
	from := h.s.copyForLook(h.spare)
	h.spare = nil
	from.after, from.epoch = h.wantLook, h.epoch
	if from.after == "" {
		from.after = "time"
	}
	from.script = from.script[:0]
	for i := range h.s.script {
		if x := &h.s.script[i]; !x.given && !x.byHand {
			from.script = append(from.script, comingUpset{h.cfg.Scenario.Case.Script[i], x.at})
		}
	}
	h.wantLook, h.looking, h.lookedT = "", true, h.s.now()
	h.looks <- from
}

// look makes forecasts beside the loop.
func (h *Host) look() {
	l := newLooker(&h.cfg.Scenario, h.rows, h.cfg.Futures)
	for {
		select {
		case <-h.done:
			return
		case from := <-h.looks:
			begun := time.Now()
			r := lookResult{from: from}
			if r.told, r.err = l.forecast(from, false); r.err == nil {
				r.moments = l.moments
				r.script, r.err = l.forecast(from, true)
			}
			r.took = time.Since(begun)
			h.looked <- r
		}
	}
}

// lookDone publishes forecasts unless the past they belong to is gone.
func (h *Host) lookDone(r lookResult) {
	h.looking = false
	h.spare = r.from
	// A forecast is no older than half an hour of the drill, as far as a third of a
	// processor allows.
	every := time.Duration(30 / h.pace * float64(time.Second))
	h.lookAt = time.Now().Add(max(lookLeast, min(every, lookEvery), 2*r.took))
	if r.err != nil {
		h.b.Faults.Add("look-ahead", r.err)
		return
	}
	if r.from.epoch != h.epoch {
		return
	}
	h.out.cast, h.out.scripted, h.out.moments = r.told, r.script, r.moments
	send := func(to bus.Audience, f *bus.Forecast) {
		t := f.T
		f.Head = h.out.head(h, to)
		f.T = t // the moment it was made from
		f.Old = t != h.s.now().Seconds()
		h.out.post(h, to, bus.WhatForecast, bus.TypeForecast, f)
	}
	send(bus.ForAll, r.told)
	send(bus.ForController, r.script)
	h.startLook()
}

var _ bus.Host = (*Host)(nil)
