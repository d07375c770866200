package drill

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"millrace/sim/bus"
	"millrace/sim/calendar"
	"millrace/sim/quantity"
	"millrace/sim/works"
)

// Config says what a host plays and where.
type Config struct {
	Scenario Scenario
	Run      string // name on the bus
	Version  string
	Inputs   string  // fingerprint of every file the scenario was made from
	Pace     float64 // simulated minutes a wall second; 0 for 1
	Go       bool    // a new drill begins running, not held
	Futures  int     // of a look-ahead; 0 for 20
	// Players are the names that a message can be sent to alone; nil takes any.
	Players []string
	// NoRecords leaves single records off the bus.
	NoRecords bool
}

const (
	// allowAhead is how far time is allowed to run before it is asked for again, wall
	// time: the most that a program that was killed comes back late.
	allowAhead = 500 * time.Millisecond
	tickEvery  = 100 * time.Millisecond
	beatEvery  = 500 * time.Millisecond // updates while nothing moves
	slowEvery  = time.Second            // cost, stops, settings, heats
	lookEvery  = 3 * time.Second        // between forecasts when nothing calls for one
	lookLeast  = 500 * time.Millisecond
	maxPace    = 600
	staleAfter = 10 // wall seconds after which what a person looked at is too old to order by
	resolution = calendar.Millisecond
)

// Host runs a drill by the wall clock. Its methods are safe for concurrent use.
type Host struct {
	cfg     Config
	b       *bus.Bus
	pub     *bus.Publisher
	actions *bus.Actions
	rows    []row

	do   chan func()
	quit chan struct{}
	done chan struct{}
	stop func()

	// What follows belongs to the loop.
	s       *session
	kept    []bus.Action
	answers map[string]*bus.Reply
	probe   *lookFrom
	epoch   int
	branch  int
	pace    float64
	held    bool
	allowed calendar.Time
	length  calendar.Time
	emerg   bool
	asked   bool   // in an emergency the controller asked to go on, and must confirm
	errand  errand // of a run_to
	left    []bus.Branch
	gone    []bus.Mark // of branches that were left
	forked  float64    // s, where the present branch began
	broken  []string
	checked calendar.Time
	last    time.Time // wall time to which simulated time was brought

	out outbox

	trial, without *lookFrom // of Try
	tries          *looker

	looks    chan *lookFrom
	looked   chan lookResult
	looking  bool
	wantLook string
	lookAt   time.Time
	lookedT  calendar.Time
	spare    *lookFrom
}

// New opens a drill on the bus: a new one, or the one that the bus's stream of the
// run holds, which comes back held. Close ends it.
func New(b *bus.Bus, cfg Config) (*Host, error) {
	if cfg.Pace <= 0 {
		cfg.Pace = 1
	}
	if cfg.Futures <= 0 {
		cfg.Futures = 20
	}
	if !(cfg.Pace <= maxPace) {
		return nil, fmt.Errorf("a pace of %g minutes a second is too fast; at most %d", cfg.Pace, maxPace)
	}
	pub, err := bus.NewPublisher(b, cfg.Run, cfg.Scenario.Start, true)
	if err != nil {
		return nil, err
	}
	h := &Host{cfg: cfg, b: b, pub: pub, do: make(chan func()), quit: make(chan struct{}), done: make(chan struct{}), stop: func() {}, answers: map[string]*bus.Reply{}, left: []bus.Branch{},
		pace: cfg.Pace, held: !cfg.Go, length: cfg.Scenario.Case.Length, looks: make(chan *lookFrom, 1), looked: make(chan lookResult, 1)}
	if h.rows, err = findCaps(cfg.Scenario.Case.Plant); err != nil {
		return nil, err
	}
	if h.actions, err = bus.OpenActions(b, pub); err != nil {
		return nil, err
	}
	all, err := h.actions.Load()
	if err != nil {
		return nil, err
	}
	if err := h.open(all); err != nil {
		return nil, err
	}
	h.out.start(h)
	if h.stop, err = bus.Serve(b, pub, h); err != nil {
		return nil, err
	}
	go h.look()
	go h.loop()
	return h, nil
}

// Close holds the drill and ends the host.
func (h *Host) Close() {
	select {
	case <-h.quit:
	default:
		close(h.quit)
	}
	<-h.done
	h.stop()
}

// begun is the first action of this drill.
func (h *Host) begun() *bus.Begin {
	c := h.cfg.Scenario.Case
	return &bus.Begin{Run: h.cfg.Run, Scenario: c.Scenario, Inputs: h.cfg.Inputs, Version: h.cfg.Version, Seed: c.Seed, Future: h.cfg.Scenario.Future}
}

// open lays the drill out, or rebuilds it from its actions.
func (h *Host) open(all []bus.Action) error {
	s, err := newSession(&h.cfg.Scenario, h.rows)
	if err != nil {
		return err
	}
	h.s, h.epoch = s, 1
	if len(all) == 0 {
		h.listen()
		a := &bus.Action{Kind: bus.ActBegin, Begin: h.begun(), OK: true}
		return h.write(a)
	}
	want, got := *h.begun(), all[0].Begin
	switch {
	case got == nil:
		return errors.New("the stream of the run does not begin with its beginning; give another state folder or run name")
	case *got != want:
		return fmt.Errorf("the run %q is a drill of %q (seed %d, future %d) with other files or another version; give another state folder or run name to begin a new one",
			got.Run, got.Scenario, got.Seed, got.Future)
	}
	kept, until := effective(all)
	for i := range all {
		a := &all[i]
		switch a.Kind {
		case bus.CmdRewind:
			h.epoch++
			h.branch++
			h.leave(a)
		case bus.ActAgain:
			h.epoch++
		case bus.CmdPace:
			h.pace = a.Pace
		case bus.CmdStop:
			h.emerg = true
		case bus.CmdConfirm:
			h.emerg = false
		}
		if a.ID != "" {
			h.answers[a.ID] = &bus.Reply{ID: a.ID, OK: a.OK, Why: a.Why, Tag: a.Tag, Epoch: a.Epoch, T: calendar.Time(a.T).Seconds(), Events: a.Events}
		}
	}
	last := calendar.Time(0)
	for i := range kept {
		if kept[i].Kind != bus.ActAllow {
			h.kept = append(h.kept, kept[i])
			last = calendar.Time(kept[i].T)
		}
	}
	if err := s.play(h.kept, last); err != nil {
		return fmt.Errorf("the drill cannot be rebuilt: %w", err)
	}
	h.listen()
	h.allowed = until
	if err := h.advance(until); err != nil {
		return err
	}
	h.held = true
	h.epoch++
	h.allowed = h.s.now()
	return h.write(&bus.Action{Kind: bus.ActAgain, OK: true})
}

// listen lets the records of the session go to the bus.
func (h *Host) listen() {
	if !h.cfg.NoRecords {
		s := h.s
		s.extra = &bus.Records{P: h.pub, Route: &s.plant.Route, Say: sayer(s)}
	}
}

// write stamps an action, has the stream keep it, and then applies it. The action's
// outcome, OK and Why, is already known.
func (h *Host) write(a *bus.Action) error {
	a.T, a.Events, a.Epoch = int64(h.s.now()), h.s.handled(), h.epoch
	a.Until = max(int64(h.allowed), a.T)
	if err := h.actions.Append(a); err != nil {
		h.held = true
		h.b.Faults.Add("keeping actions", err)
		return err
	}
	ok, why, err := h.s.apply(a)
	if err == nil && ok != a.OK {
		err = fmt.Errorf("action %d came out otherwise than foreseen: %s", a.Seq, why)
	}
	if err != nil {
		h.held = true
		h.broken = append(h.broken, err.Error())
		return err
	}
	if a.Kind != bus.ActAllow {
		h.kept = append(h.kept, *a)
	}
	return nil
}

// advance plays on to the time, giving the script's injects when they are due.
func (h *Host) advance(to calendar.Time) error {
	to = min(to, h.length)
	for {
		i, at := h.s.dueScript()
		if i < 0 || at > to {
			return h.s.runTo(to)
		}
		if err := h.s.runTo(max(at, h.s.now())); err != nil {
			return err
		}
		a := &bus.Action{Kind: bus.ActScript, Inject: &bus.Inject{What: bus.InjectGive, ID: scriptID(i)}, Tag: h.s.nextTag('I'), OK: true}
		if err := h.s.checkInject(a.Inject); err != nil {
			return err
		}
		if err := h.write(a); err != nil {
			return err
		}
		h.wantLook = "inject"
	}
}

func (h *Host) loop() {
	defer close(h.done)
	tick := time.NewTicker(tickEvery)
	defer tick.Stop()
	h.last = time.Now()
	h.wantLook = "time"
	for {
		select {
		case <-h.quit:
			if !h.held {
				h.allowed = h.s.now()
				_ = h.write(&bus.Action{Kind: bus.CmdHold, By: "the program", OK: true})
				h.out.send(h, true)
			}
			return
		case f := <-h.do:
			h.move()
			f()
		case r := <-h.looked:
			h.lookDone(r)
		case <-tick.C:
			h.move()
			h.out.send(h, false)
			h.startLook()
		}
	}
}

// move brings simulated time to where the wall clock says it is.
func (h *Host) move() {
	now := time.Now()
	d := min(now.Sub(h.last), 250*time.Millisecond) // a machine that slept does not leap
	h.last = now
	if h.held {
		return
	}
	if h.errand.fast {
		h.hurry(now)
		return
	}
	to := h.s.now() + h.simulated(d)
	to -= to % resolution
	to = min(to, h.length, h.errandEnd())
	if to > h.allowed {
		h.allowed = min(to+h.simulated(allowAhead-tickEvery), h.length, h.errandEnd())
		if err := h.write(&bus.Action{Kind: bus.ActAllow, OK: true}); err != nil {
			return
		}
	}
	end := h.errandEnd() // before the inject that it waits for is given
	if err := h.advance(to); err != nil {
		h.fail(err)
		return
	}
	h.arrive(end)
}

// arrive looks after the works once time was moved, and holds at the end of the scenario
// or of an errand.
func (h *Host) arrive(end calendar.Time) {
	if h.s.now()-h.checked >= calendar.Hour {
		h.checkLaws()
	}
	if h.s.now() >= min(h.length, end) {
		h.allowed = h.s.now()
		h.held, h.errand = true, errand{}
		_ = h.write(&bus.Action{Kind: bus.CmdHold, By: "the program", OK: true})
		h.lookHeld()
		h.out.send(h, true)
	}
}

// lookHeld wants a forecast for the moment at which time was held: people now read
// figures beside it.
func (h *Host) lookHeld() {
	if h.wantLook == "" && h.lookedT != h.s.now() {
		h.wantLook = "hold"
	}
}

// simulated is how much time passes in a length of wall time.
func (h *Host) simulated(d time.Duration) calendar.Time {
	return calendar.Time(math.Round(d.Seconds() * h.pace * float64(calendar.Minute)))
}

func (h *Host) fail(err error) {
	h.held = true
	h.broken = append(h.broken, err.Error())
	h.b.Faults.Add("the drill", err)
}

// checkLaws holds the drill when a law of the works is broken.
func (h *Host) checkLaws() {
	h.checked = h.s.now()
	if err := h.s.played.Check(); err != nil {
		h.fail(err)
	}
}

// Command implements bus.Host.
func (h *Host) Command(c *bus.Command) *bus.Reply {
	var r *bus.Reply
	if !h.inLoop(func() { r = h.command(c) }) {
		return &bus.Reply{ID: c.ID, Why: "the drill is being closed"}
	}
	return r
}

// Snapshot implements bus.Host.
func (h *Host) Snapshot(to bus.Audience, q *bus.SnapshotRequest) *bus.Snapshot {
	s := &bus.Snapshot{}
	h.inLoop(func() { s = h.out.snapshot(h, to, q) })
	return s
}

// Try implements bus.Host: a look-ahead, by what people were told, as if the order had
// been given now. It does not hold up the drill.
func (h *Host) Try(c *bus.Command) (f *bus.Forecast, r *bus.Reply) {
	r = &bus.Reply{ID: c.ID, Why: "the drill is being closed"}
	var from *lookFrom
	var o works.Order
	h.inLoop(func() {
		r.Epoch, r.T, r.Events, r.Why = h.epoch, h.s.now().Seconds(), h.s.handled(), ""
		switch {
		case !slices.Contains(may[bus.CmdOrder], c.Role):
			r.Why = "only players and the controller try orders"
			return
		case c.Epoch != h.epoch:
			r.Why = lookAgain
			return
		case len(h.broken) > 0:
			r.Why = "the drill is broken and only shows what was: " + h.broken[0]
			return
		}
		if h.emerg {
			r.Why = emergencyOn
			return
		}
		var err error
		if o, _, err = h.s.order(c.Order); err != nil {
			r.Why = err.Error()
			return
		}
		h.without = h.s.copyForLook(h.without)
		h.without.script, h.without.after, h.without.epoch = h.without.script[:0], "try", h.epoch
		h.trial = h.s.copyForLook(h.trial)
		h.trial.script, h.trial.after, h.trial.epoch = h.trial.script[:0], "try", h.epoch
		if err := h.trial.played.Works().Do(o); err != nil {
			r.Why = err.Error()
			return
		}
		from = h.trial
	})
	if from == nil {
		return nil, r
	}
	// The bus asks one thing at a time, so trial and tries are ours until we answer.
	if h.tries == nil {
		h.tries = newLooker(&h.cfg.Scenario, h.rows, h.cfg.Futures)
	}
	before, err := h.tries.forecast(h.without, false)
	if err != nil {
		r.Why = err.Error()
		return nil, r
	}
	was, moments := h.tries.reaches, h.tries.moments
	to := calendar.Dur(before.RankedTo)
	w := from.played.Works()
	if f, err = h.tries.forecast(from, false); err == nil {
		err = h.tries.goOn(w.Now(), w.Now()+to)
	}
	if err != nil {
		r.Why = err.Error()
		return nil, r
	}
	f.Moves = moves(h.rows, w.P, was, h.tries.reachAll(w.AtBrinks(nil), w.Now(), w.Now()+to))
	f.DecideBy, f.DecideByWhy = decideBy(h.without.played.Works(), moments, o)
	f.Epoch, f.Flags.Exercise = r.Epoch, true
	return f, r
}

const emergencyOn = "a real emergency was called: the drill is off until the controller resumes and confirms it"

const lookAgain = "the drill went back, or the program came back, since you looked; look again"

// Status implements bus.Host.
func (h *Host) Status() *bus.Status {
	st := &bus.Status{Run: h.cfg.Run, Faults: h.b.Faults.List(), Broken: []string{}}
	h.inLoop(func() {
		c := h.cfg.Scenario.Case
		st.Scenario, st.Works, st.Version = c.Scenario, c.Plant.Spec.Name, h.cfg.Version
		st.Epoch, st.T, st.Held, st.Ready = h.epoch, h.s.now().Seconds(), h.held, true
		st.Events, st.Digest = h.s.played.Events(), h.s.played.Digest()
		st.Broken = append(st.Broken, h.broken...)
	})
	return st
}

func (h *Host) inLoop(f func()) bool {
	ran := make(chan struct{})
	select {
	case h.do <- func() { f(); close(ran) }:
		<-ran
		return true
	case <-h.done:
		return false
	}
}

// may says which roles may give a command.
var may = map[string][]bus.Role{
	bus.CmdHold: {bus.Controller}, bus.CmdResume: {bus.Controller}, bus.CmdPace: {bus.Controller}, bus.CmdStep: {bus.Controller},
	bus.CmdOrder: {bus.Player, bus.Controller}, bus.CmdInject: {bus.Controller}, bus.CmdRewind: {bus.Controller},
	bus.CmdConfirm: {bus.Controller}, bus.CmdRunTo: {bus.Controller},
	bus.CmdAck:  {bus.Player, bus.Controller, bus.Evaluator},
	bus.CmdNote: {bus.Evaluator, bus.Controller}, bus.CmdStop: bus.Roles, bus.CmdAskHold: {bus.Player},
}

func goodID(id string) bool {
	return id != "" && len(id) <= 64 && strings.Trim(id, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-") == ""
}

// command judges a command and, when nothing speaks against it, carries it out.
func (h *Host) command(c *bus.Command) *bus.Reply {
	r := &bus.Reply{ID: c.ID, Epoch: h.epoch, T: h.s.now().Seconds(), Events: h.s.handled()}
	no := func(format string, a ...any) *bus.Reply {
		r.Why = fmt.Sprintf(format, a...)
		return r
	}
	if !goodID(c.ID) {
		return no("a command needs an id of 1 to 64 letters, digits and dashes")
	}
	if was := h.answers[c.ID]; was != nil {
		again := *was
		again.Repeat = true
		return &again
	}
	roles, known := may[c.Kind]
	if !known {
		return no("there is no command %q", c.Kind)
	}
	if !slices.Contains(roles, c.Role) {
		return no("a %s may not do this (%s)", c.Role, c.Kind)
	}
	if strings.TrimSpace(c.By) == "" || len(c.By) > 100 || len(c.As) > 100 {
		return no("say who you are, in up to 100 letters")
	}
	looks := c.Kind == bus.CmdOrder || c.Kind == bus.CmdInject || c.Kind == bus.CmdRewind || c.Kind == bus.CmdStep
	if looks && c.Epoch != h.epoch {
		return no(lookAgain)
	}
	if looks && len(h.broken) > 0 {
		return no("the drill is broken and only shows what was: %s", h.broken[0])
	}
	if c.Kind == bus.CmdOrder && c.T > 0 && !h.held && h.s.now().Seconds()-c.T > staleAfter*h.pace*60 {
		return no("what you looked at is older than %d seconds; look again", staleAfter)
	}
	if h.emerg {
		switch c.Kind {
		case bus.CmdOrder, bus.CmdInject, bus.CmdAck, bus.CmdAskHold, bus.CmdStep, bus.CmdRunTo, bus.CmdRewind, bus.CmdPace:
			return no(emergencyOn)
		case bus.CmdResume:
			if len(h.broken) == 0 && h.s.now() < h.length {
				h.asked, r.Confirm = true, true
				return no("a real emergency was called; give confirm as well to say that it is over and that the drill goes on")
			}
		}
	}
	a := &bus.Action{Kind: c.Kind, ID: c.ID, By: c.By, Role: c.Role, As: c.As, OK: true}
	was := h.allowed
	switch c.Kind {
	case bus.CmdHold, bus.CmdStop:
		if c.Kind == bus.CmdHold && h.held {
			return no("time stands already")
		}
		h.allowed = h.s.now()
	case bus.CmdConfirm:
		switch {
		case !h.emerg:
			return no("there is nothing to confirm")
		case !h.asked:
			return no("give resume first, then confirm")
		}
	case bus.CmdRunTo:
		if why := h.checkErrand(c); why != "" {
			return no("%s", why)
		}
		a.Target, a.Fast = c.Until, c.Fast
		if a.Target == "" {
			to := calendar.Dur(c.To)
			a.To = int64(to - to%resolution)
		}
	case bus.CmdResume:
		switch {
		case len(h.broken) > 0:
			return no("the drill is broken and only shows what was: %s", h.broken[0])
		case h.s.now() >= h.length:
			return no("the scenario has been played to its end; go back to play on")
		case !h.held:
			return no("time runs already")
		}
	case bus.CmdPace:
		if !(c.Pace > 0 && c.Pace <= maxPace) {
			return no("the pace is above 0 and at most %d simulated minutes a second", maxPace)
		}
		a.Pace = c.Pace
		h.allowed = h.s.now()
	case bus.CmdStep:
		if !h.held {
			return no("hold first, then step")
		}
		if !(c.Minutes > 0 && c.Minutes <= 7*24*60) {
			return no("a step is above 0 and at most 10080 minutes")
		}
		to := h.s.now() + calendar.Dur(c.Minutes*60)
		h.allowed = min(to-to%resolution, h.length)
		if h.allowed <= h.s.now() {
			return no("the scenario has been played to its end; go back to play on")
		}
	case bus.CmdOrder:
		if why, call := h.foresee(a, c); why != "" {
			if call != nil {
				r.Call, r.Caution = call.page.ID, call.page.Caution
			}
			return no("%s", why)
		}
	case bus.CmdInject:
		if err := h.s.checkInject(c.Inject); err != nil {
			return no("%v", err)
		}
		if why := h.checkTo(c.Inject); why != "" {
			return no("%s", why)
		}
		x := *c.Inject
		a.Inject = &x
		if x.What != bus.InjectLater && x.What != bus.InjectDrop {
			a.Tag = h.s.nextTag('I')
		}
	case bus.CmdAck:
		if !slices.ContainsFunc(h.s.calls, func(k call) bool { return k.page.ID == c.Call }) {
			return no("there is no call %q", c.Call)
		}
		a.Call = c.Call
	case bus.CmdNote:
		if a.Text = strings.TrimSpace(c.Text); a.Text == "" || len(a.Text) > 2000 {
			return no("the note is empty, or longer than 2000 letters")
		}
		a.Tag = h.s.nextTag('N')
	case bus.CmdRewind:
		return h.rewind(c, a, r)
	}
	if err := h.write(a); err != nil {
		h.allowed = was
		return no("%v", err)
	}
	switch c.Kind {
	case bus.CmdHold:
		h.held, h.errand = true, errand{}
		h.checkLaws()
		h.lookHeld()
	case bus.CmdStop:
		h.held, h.emerg, h.asked, h.errand = true, true, false, errand{}
		h.lookHeld()
	case bus.CmdConfirm:
		h.held, h.emerg, h.asked = false, false, false
	case bus.CmdResume:
		h.held = false
	case bus.CmdRunTo:
		h.held, h.errand = false, errand{to: calendar.Time(a.To), inject: a.Target != "", fast: a.Fast, on: true}
	case bus.CmdPace:
		h.pace = a.Pace
	case bus.CmdStep:
		if err := h.advance(h.allowed); err != nil {
			h.fail(err)
		}
		h.checkLaws()
		h.wantLook = "time"
	case bus.CmdOrder:
		h.wantLook = "order"
	case bus.CmdInject:
		h.wantLook = "inject"
	}
	r.OK, r.Why, r.Tag = a.OK, a.Why, a.Tag
	h.answers[c.ID] = r
	h.out.send(h, true)
	h.startLook()
	return r
}

// foresee finds out on a copy what will become of an order, so that its outcome can
// be written with it. why says that it cannot be an order at all, or that call's
// caution comes first.
func (h *Host) foresee(a *bus.Action, c *bus.Command) (why string, first *call) {
	o, l, err := h.s.order(c.Order)
	if err != nil {
		return err.Error(), nil
	}
	who := c.By
	if l.SendsIn {
		units := h.s.plant.UnitsMeant("hot mill")
		if o.Unit >= 0 && o.Unit != h.s.plant.TrainUnit() {
			units = []int{o.Unit}
		}
		if k := h.s.unread(units, who); k != nil {
			return "read and acknowledge the caution first: people are sent in", k
		}
	}
	x := *c.Order
	a.Order, a.Tag = &x, h.s.nextTag('A')
	h.probe = h.s.copyForLook(h.probe)
	if err := h.probe.played.Works().Do(o); err != nil {
		a.OK, a.Why = false, err.Error()
	}
	return "", nil
}

// rewind goes back to a mark or a time and begins a new branch there.
func (h *Host) rewind(c *bus.Command, a *bus.Action, r *bus.Reply) *bus.Reply {
	no := func(format string, x ...any) *bus.Reply {
		r.Why = fmt.Sprintf(format, x...)
		return r
	}
	to, seq := c.To, uint64(0)
	if c.Mark != "" {
		i := slices.IndexFunc(h.s.marks, func(m bus.Mark) bool { return m.Tag == c.Mark })
		if i < 0 {
			return no("there is no %s to go back to", c.Mark)
		}
		to, seq = h.s.marks[i].At, h.s.marks[i].Seq
	}
	if math.IsNaN(to) || to < 0 || to > h.s.now().Seconds() {
		return no("the drill can only go back to a time it has played")
	}
	t := calendar.Dur(to)
	a.To, a.ToSeq = int64(t), seq
	kept := []bus.Action{}
	for _, k := range h.kept {
		if !undoes(a, &k) {
			kept = append(kept, k)
		}
	}
	s, err := newSession(&h.cfg.Scenario, h.rows)
	if err == nil {
		err = s.play(kept, t)
	}
	if err != nil {
		return no("the drill cannot go back: %v", err)
	}
	before := *h
	a.Left, a.Marks = h.leaving(s)
	h.s, h.kept = s, kept
	h.epoch, h.branch = h.epoch+1, h.branch+1
	h.allowed, h.held, h.broken, h.checked, h.errand = t, true, nil, t, errand{}
	a.Branch, a.Notes = branchName(h.branch), before.s.notesLost(s)
	if err := h.write(a); err != nil {
		h.s, h.kept, h.epoch, h.branch, h.allowed, h.broken = before.s, before.kept, before.epoch, before.branch, before.allowed, before.broken
		return no("%v", err)
	}
	h.leave(a)
	h.listen()
	h.out.cut(h, before.epoch, c.By+" went back to "+s.clock(t))
	h.wantLook = "rewind"
	r.OK, r.Epoch, r.T, r.Events = true, h.epoch, t.Seconds(), s.handled()
	h.answers[c.ID] = r
	h.out.send(h, true)
	h.startLook()
	return r
}

// branchName names branches A, B ... Z, A2 ...
func branchName(n int) string {
	name := string(rune('A' + n%26))
	if n >= 26 {
		name += quantity.FormatNumber(float64(n/26+1), 0)
	}
	return name
}
