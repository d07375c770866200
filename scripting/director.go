package scripting

import (
	"strings"

	lua "github.com/yuin/gopher-lua"

	"millrace/scripting/sandbox"
	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/quantity"
	"millrace/sim/works"
)

// Director carries a plan out in one run. It implements works.Director.
type Director struct {
	plan  *Plan
	luck  chance.Luck
	drawn uint64

	state *sandbox.State
	task  *sandbox.Task
	metas map[*class]*lua.LTable
	funcs map[*word]*lua.LFunction

	w       *works.Works // only while it is asked
	now     calendar.Time
	wait    wait
	begun   bool
	ended   bool
	looking bool // a condition is being asked
	err     error
	notes   []Note

	given map[int]bool // upsets that await_stop has handed out
	from  int          // upsets before this one are over or handed out
}

// Note is what a plan wrote down.
type Note struct {
	At   calendar.Time
	Text string
}

// waitFor is what a plan waits for.
type waitFor uint8

const (
	forTime waitFor = iota
	forStop
	forRestart
	forWord
	forCondition
)

// wait is what a plan waits for. Until is its time, or the longest it waits.
type wait struct {
	what  waitFor
	until calendar.Time
	units []int
	least calendar.Time // told likely length that a stop must have
	stop  int
	heard calendar.Time // last word when the wait began
	first bool
	fn    *lua.LFunction
}

const (
	// lookEvery is how often a condition is asked while nothing happens.
	lookEvery = calendar.Minute
	// restEvery is how often a unit is looked at that may come back without word.
	restEvery = 5 * calendar.Minute
	// mostTurns is how often a plan may go on within one instant.
	mostTurns = 1000
)

// after is the next whole multiple of a step after now, so that plans look at the
// same moments whatever else happens between.
func after(now, step calendar.Time) calendar.Time { return (now/step + 1) * step }

func newDirector(p *Plan, luck chance.Luck) *Director {
	return &Director{plan: p, luck: luck, metas: map[*class]*lua.LTable{}, funcs: map[*word]*lua.LFunction{}, given: map[int]bool{}}
}

// Err is the error that ended the plan, nil when there was none. It names file and
// line.
func (d *Director) Err() error { return d.err }

// Ended says whether the plan has nothing more to do.
func (d *Director) Ended() bool { return d.ended }

// Notes are what the plan wrote down so far.
func (d *Director) Notes() []Note { return d.notes }

// Wants implements works.Director.
func (d *Director) Wants() (calendar.Time, uint32) {
	switch {
	case d.ended:
		return calendar.Never, 0
	case !d.begun:
		return 0, works.TopicTime
	}
	at := d.wait.until
	sooner := func(t calendar.Time) {
		if t < at {
			at = t
		}
	}
	switch d.wait.what {
	case forStop:
		return at, works.TopicTime | works.TopicStops | works.TopicWords
	case forRestart:
		sooner(after(d.now, restEvery))
		return at, works.TopicTime | works.TopicStops
	case forWord:
		return at, works.TopicTime | works.TopicWords | works.TopicStops
	case forCondition:
		sooner(after(d.now, lookEvery))
		return at, works.TopicTime | works.TopicStops | works.TopicWords | works.TopicHeats
	}
	return at, works.TopicTime
}

// Ask implements works.Director: the plan goes on as far as it can.
func (d *Director) Ask(w *works.Works) {
	if d.ended {
		return
	}
	d.w, d.now = w, w.Now()
	defer func() { d.w = nil }()
	var answer []lua.LValue
	if !d.begun {
		d.begun = true
		if err := d.start(); err != nil {
			d.fail(err)
			return
		}
	} else {
		var met bool
		if answer, met = d.met(); !met {
			return
		}
	}
	for range mostTurns {
		if d.ended {
			return
		}
		_, done, err := d.task.Resume(answer...)
		if err != nil {
			d.fail(err)
			return
		}
		if done {
			d.end()
			return
		}
		var met bool
		if answer, met = d.met(); !met {
			return
		}
	}
	d.fail(&sandbox.Error{File: d.plan.of.script.File(), Line: d.plan.Line,
		Msg:  `plan "` + d.plan.Name + `" goes on and on without time passing`,
		Hint: "is it waiting in a loop for something that is already so?"})
}

func (d *Director) start() error {
	o := sandbox.Options{
		Print: func(line string) { d.notes = append(d.notes, Note{d.now, line}) },
		Luck: func() float64 {
			d.drawn++
			return d.luck.Uniform(planLuck, uint64(d.plan.index), d.drawn)
		},
	}
	state, fn, err := d.plan.recall(o)
	if err != nil {
		return err
	}
	d.state = state
	d.task = state.Start(fn, d.handle(state.L(), handle{c: worksClass}))
	return nil
}

func (d *Director) fail(err error) {
	d.err = err
	d.end()
}

func (d *Director) end() {
	d.ended = true
	if d.state != nil {
		d.state.Close()
	}
	d.task, d.metas, d.funcs = nil, nil, nil
}

// met says whether what the plan waits for has come, and what the wait gives.
func (d *Director) met() ([]lua.LValue, bool) {
	if d.ended {
		return nil, false
	}
	k := &d.wait
	late := k.until != calendar.Never && d.now >= k.until
	l := d.state.L()
	yes, no := []lua.LValue{lua.LTrue}, []lua.LValue{lua.LFalse}
	switch k.what {
	case forTime:
		return yes, late
	case forStop:
		if i := d.findStop(); i >= 0 {
			d.given[i] = true
			return []lua.LValue{d.handle(l, handle{c: stopClass, n: i})}, true
		}
	case forRestart:
		if !d.stands(k.units) {
			return []lua.LValue{d.handle(l, handle{c: worksClass})}, true
		}
	case forWord:
		v, ok := d.w.Stop(k.stop)
		switch {
		case ok && v.Told && (k.first || v.LastWord > k.heard):
			return yes, true
		case !ok || v.Over:
			return no, true
		}
	case forCondition:
		d.looking = true
		out, err := d.state.Call(k.fn)
		d.looking = false
		if err != nil {
			d.fail(err)
			return nil, false
		}
		if len(out) > 0 && lua.LVAsBool(out[0]) {
			return yes, true
		}
	}
	return no, late
}

// findStop is the first upset on the awaited units that the plan has not been
// handed yet, -1 for none.
func (d *Director) findStop() int {
	n := d.w.Stops()
	scripted := len(d.w.Script) // booked from the start, begun or not
	for d.from = max(d.from, scripted); d.from < n; d.from++ {
		if v, ok := d.w.Stop(d.from); ok && !v.Over && !d.given[d.from] {
			break
		}
	}
	for i := range n {
		if i >= scripted && i < d.from || d.given[i] {
			continue
		}
		v, ok := d.w.Stop(i)
		if !ok || v.Over {
			continue
		}
		for _, u := range d.wait.units {
			if u != v.Unit {
				continue
			}
			if d.wait.least > 0 && (!v.Told || v.Likely-v.Began < d.wait.least) {
				break
			}
			return i
		}
	}
	return -1
}

// stands says whether any of the units stands, or has an upset that lasts.
func (d *Director) stands(units []int) bool {
	for _, u := range units {
		if d.w.Standing(u) {
			return true
		}
	}
	for i := range d.w.Stops() {
		v, ok := d.w.Stop(i)
		if !ok || v.Over {
			continue
		}
		for _, u := range units {
			if u == v.Unit {
				return true
			}
		}
	}
	return false
}

// clock is what the clock shows at a simulated time.
func (d *Director) clock(t calendar.Time) quantity.Clock {
	return quantity.Clock(d.w.P.Route.Start + int64(t))
}

// timeArg reads a length of time: a number of hours, or "2 h", or "for at most 2 h".
func timeArg(l *lua.LState, i int) calendar.Time {
	switch v := l.Get(i + 1).(type) {
	case lua.LNumber:
		if !(v >= 0 && v < 1e7) {
			l.RaiseError("%v is no length of time in hours", v)
		}
		return calendar.Dur(float64(v) * 3600)
	case lua.LString:
		text := strings.TrimPrefix(strings.TrimPrefix(string(v), "for "), "at most ")
		x, err := quantity.Parse(text, quantity.Time)
		if err != nil {
			l.RaiseError("%s", sentence(err))
		}
		return calendar.Dur(x)
	}
	l.RaiseError(`a length of time is needed here, for example "2 h"`)
	return 0
}

// limitArg is an optional longest wait, as a time.
func (d *Director) limitArg(l *lua.LState, i int) calendar.Time {
	if l.Get(i+1) == lua.LNil {
		return calendar.Never
	}
	return d.now + timeArg(l, i)
}
