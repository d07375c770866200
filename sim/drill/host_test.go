package drill

import (
	"context"
	"encoding/json"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"millrace/sim/bus"
	"millrace/sim/calendar"
)

// watched is what a page was sent.
type watched struct {
	mu   sync.Mutex
	what []string
	all  []*bus.Envelope
	head []bus.Head
}

func watch(t testing.TB, d *desk, to bus.Audience) *watched {
	t.Helper()
	w := &watched{}
	stop, err := d.c.Watch(to, func(what string, e *bus.Envelope) {
		var h bus.Head
		if err := json.Unmarshal(e.Data, &h); err != nil {
			t.Error(err)
		}
		w.mu.Lock()
		w.what, w.all, w.head = append(w.what, what), append(w.all, e), append(w.head, h)
		w.mu.Unlock()
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(stop)
	return w
}

func (w *watched) texts(what string) string {
	w.mu.Lock()
	defer w.mu.Unlock()
	var b strings.Builder
	for i := range w.all {
		if what == "" || w.what[i] == what {
			b.Write(w.all[i].Data)
			b.WriteByte('\n')
		}
	}
	return b.String()
}

func TestHoldStepPace(t *testing.T) {
	b := openBus(t, t.TempDir())
	defer b.Close()
	h := openHost(t, b, wreck(t), nil)
	defer h.Close()
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	if s := d.status(); !s.Held || s.T != 0 {
		t.Fatalf("it begins held at 0; held %v at %v", s.Held, s.T)
	}
	time.Sleep(300 * time.Millisecond)
	if s := d.status(); s.T != 0 {
		t.Fatalf("time ran to %v while held", s.T)
	}
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 90.5})
	if s := d.status(); !s.Held || s.T != 90.5*60 {
		t.Fatalf("after a step: held %v at %v", s.Held, s.T)
	}
	d.must(bus.Command{Kind: bus.CmdPace, Pace: 10})
	d.must(bus.Command{Kind: bus.CmdResume})
	begun, from := time.Now(), d.status().T
	if r := d.do(bus.Command{Kind: bus.CmdStep, Minutes: 1}); r.OK || !strings.Contains(r.Why, "hold first") {
		t.Errorf("a step while running: %+v", r)
	}
	time.Sleep(1500 * time.Millisecond)
	d.must(bus.Command{Kind: bus.CmdHold})
	s := d.status()
	wall := time.Since(begun).Seconds()
	// A busy machine may fall behind the wall clock, never run ahead of it.
	if ran := (s.T - from) / 60; ran > 10*wall+1 || ran < 3 {
		t.Errorf("%v minutes ran in %v s at 10 a second", ran, wall)
	}
	if d.do(bus.Command{Kind: bus.CmdHold}).OK {
		t.Error("a second hold")
	}
	time.Sleep(250 * time.Millisecond)
	if again := d.status(); again.T != s.T || again.Digest != s.Digest {
		t.Error("time ran on after the hold")
	}
	for _, pace := range []float64{0, -1, 601, math.Inf(1)} {
		if !math.IsInf(pace, 0) && d.do(bus.Command{Kind: bus.CmdPace, Pace: pace}).OK {
			t.Errorf("a pace of %v was taken", pace)
		}
	}
	// To the end: it holds by itself and says so.
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 7 * 24 * 60})
	snap := d.snapshot(bus.ForAll)
	if snap.T != (3*calendar.Day).Seconds() || !snap.Flags.Ended || !snap.Flags.Held {
		t.Errorf("at the end: t %v, flags %+v", snap.T, snap.Flags)
	}
	if d.do(bus.Command{Kind: bus.CmdResume}).OK {
		t.Error("it went on after its end")
	}
}

func TestOrdersAreDoneOnce(t *testing.T) {
	dir := t.TempDir()
	b := openBus(t, dir)
	sc := wreck(t)
	h := openHost(t, b, sc, nil)
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 600})
	order := bus.Command{ID: "one", Kind: bus.CmdOrder, Role: bus.Player, Order: &bus.Order{Lever: "open overflow"}}
	first := d.must(order)
	again := d.do(order)
	if !again.OK || !again.Repeat || again.Tag != first.Tag || again.T != first.T {
		t.Fatalf("the repeat was answered %+v, the first %+v", again, first)
	}
	digest := d.status().Digest
	// Also after the program came back.
	d.comeBack(b, h, dir, sc)
	if again := d.do(order); !again.OK || !again.Repeat || again.Tag != first.Tag {
		t.Fatalf("the repeat was answered %+v after a restart", again)
	}
	if got := d.status().Digest; got != digest {
		t.Errorf("digest %s, was %s", got, digest)
	}
	n := 0
	for _, l := range d.snapshot(bus.ForAll).Log {
		if strings.Contains(l.Text, "open overflow") {
			n++
		}
	}
	if n != 1 {
		t.Errorf("the order is %d times in the log", n)
	}
	// A second order of the same kind with another id is another order.
	order.ID = "two"
	if r := d.do(order); r.OK || r.Repeat || !strings.Contains(r.Why, "already so") {
		t.Errorf("another order: %+v", r)
	}
}

func TestRolesAndNonsense(t *testing.T) {
	b := openBus(t, t.TempDir())
	defer b.Close()
	h := openHost(t, b, wreck(t), nil)
	defer h.Close()
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	before := d.status()
	for _, c := range []struct {
		cmd  bus.Command
		want string
	}{
		{bus.Command{Kind: bus.CmdStep, Minutes: 1, Role: bus.Player}, "a player may not"},
		{bus.Command{Kind: bus.CmdInject, Role: bus.Evaluator, Inject: &bus.Inject{What: bus.InjectMessage, Text: "x"}}, "an evaluator may not"},
		{bus.Command{Kind: bus.CmdOrder, Role: bus.Observer, Order: slow("C1", "1 m/min")}, "an observer may not"},
		{bus.Command{Kind: bus.CmdRewind, Role: bus.Player}, "a player may not"},
		{bus.Command{Kind: "dance"}, "there is no command"},
		{bus.Command{Kind: bus.CmdHold, ID: "bad id!"}, "a command needs an id"},
		{bus.Command{Kind: bus.CmdOrder}, "name a lever"},
		{bus.Command{Kind: bus.CmdOrder, Order: &bus.Order{Lever: "castng speed", Unit: "C1"}}, `did you mean "casting speed"`},
		{bus.Command{Kind: bus.CmdOrder, Order: slow("C7", "1 m/min")}, "choose one of: C1, C2"},
		{bus.Command{Kind: bus.CmdOrder, Order: slow("C1", "")}, "give metres a minute"},
		{bus.Command{Kind: bus.CmdOrder, Order: slow("C1", "1 kg")}, "a speed is needed"},
		{bus.Command{Kind: bus.CmdOrder, Order: slow("C1", "NaN")}, ""},
		{bus.Command{Kind: bus.CmdOrder, Order: &bus.Order{Lever: "return heat"}}, "give the number of a heat"},
		{bus.Command{Kind: bus.CmdOrder, Order: &bus.Order{Lever: "charge", Value: "newest"}}, "is no rule"},
		{bus.Command{Kind: bus.CmdInject, Inject: &bus.Inject{What: bus.InjectUpset, Upset: "stand wrek"}}, `did you mean "stand wreck"`},
		{bus.Command{Kind: bus.CmdInject, Inject: &bus.Inject{What: bus.InjectUpset, Upset: "furnace trip", Unit: "C1"}}, "choose one of: F1, F2"},
		{bus.Command{Kind: bus.CmdInject, Inject: &bus.Inject{What: bus.InjectUpset, Upset: "furnace trip", Lasts: "3 t"}}, "is a mass"},
		{bus.Command{Kind: bus.CmdInject, Inject: &bus.Inject{What: bus.InjectUpset, Upset: "dispatch blocked", Lasts: "6 d"}}, "lasts 5 d at most in this works"},
		{bus.Command{Kind: bus.CmdInject, Inject: &bus.Inject{What: bus.InjectTell, Stop: 9, Told: "low 1 h, likely 2 h, bad 3 h"}}, "there is no stop 9"},
		{bus.Command{Kind: bus.CmdInject, Inject: &bus.Inject{What: bus.InjectGive, ID: "S9"}}, "no inject"},
		{bus.Command{Kind: bus.CmdInject, Inject: &bus.Inject{What: "boom"}}, "no kind of inject"},
		{bus.Command{Kind: bus.CmdAck, Call: "C99"}, "no call"},
		{bus.Command{Kind: bus.CmdRewind, To: 1e9}, "a time it has played"},
		{bus.Command{Kind: bus.CmdRewind, Mark: "A7"}, "there is no A7"},
		{bus.Command{Kind: bus.CmdOrder, Epoch: 99, Order: slow("C1", "1 m/min")}, "look again"},
		{bus.Command{Kind: bus.CmdNote, Text: " "}, "the note is empty"},
	} {
		r := d.do(c.cmd)
		why := strings.Replace(r.Why, "a evaluator", "an evaluator", 1)
		why = strings.Replace(why, "a observer", "an observer", 1)
		if r.OK || !strings.Contains(why, c.want) {
			t.Errorf("%+v: answered %v %q, want %q", c.cmd, r.OK, r.Why, c.want)
		}
	}
	if after := d.status(); after.Digest != before.Digest || after.Events != before.Events {
		t.Error("a command that was refused left a trace in the works")
	}
	// The stop word is for everybody, and holds.
	d.must(bus.Command{Kind: bus.CmdResume})
	d.must(bus.Command{Kind: bus.CmdStop, Role: bus.Observer, By: "anybody"})
	if s := d.snapshot(bus.ForAll); !s.Flags.Emergency || !s.Flags.Held || s.StopWord == "" {
		t.Errorf("after the stop word: %+v", s.Flags)
	}
	if r := d.do(bus.Command{Kind: bus.CmdOrder, Order: slow("C1", "1 m/min")}); r.OK {
		t.Error("an order was taken in a real emergency")
	}
	// Until the controller resumes and confirms, messages say that the drill is off.
	if s := d.snapshot(bus.ForAll); s.Exercise != bus.ExerciseOff {
		t.Errorf("the snapshot says %q", s.Exercise)
	}
	for _, k := range []bus.Command{{Kind: bus.CmdOrder, Role: bus.Player, Order: slow("C1", "1 m/min")}, {Kind: bus.CmdStep, Minutes: 1}, {Kind: bus.CmdRewind, Mark: "start"}, {Kind: bus.CmdRunTo, To: 9e4},
		{Kind: bus.CmdInject, Inject: &bus.Inject{What: bus.InjectMessage, Text: "x"}}} {
		if r := d.do(k); r.OK || !strings.Contains(r.Why, "real emergency") {
			t.Errorf("%s in a real emergency: %+v", k.Kind, r)
		}
	}
	if f, r := try(t, d, slow("C1", "1 m/min")); f != nil || !strings.Contains(r.Why, "real emergency") {
		t.Errorf("a trial in a real emergency: %+v", r)
	}
	if r := d.do(bus.Command{Kind: bus.CmdConfirm}); r.OK || !strings.Contains(r.Why, "resume first") {
		t.Errorf("confirmed at once: %+v", r)
	}
	if r := d.do(bus.Command{Kind: bus.CmdResume}); r.OK || !r.Confirm || !d.status().Held {
		t.Errorf("resumed at once: %+v", r)
	}
	if r := d.do(bus.Command{Kind: bus.CmdConfirm, Role: bus.Player}); r.OK {
		t.Error("a player ended the emergency")
	}
	d.must(bus.Command{Kind: bus.CmdConfirm})
	if s := d.snapshot(bus.ForAll); s.Exercise != "" || s.Flags.Emergency || s.Flags.Held {
		t.Errorf("after it: %+v", s.Flags)
	}
}

func TestRewindAndBranch(t *testing.T) {
	b := openBus(t, t.TempDir())
	defer b.Close()
	h := openHost(t, b, wreck(t), nil)
	defer h.Close()
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	w := watch(t, d, bus.ForAll)
	step := func(m float64) { d.must(bus.Command{Kind: bus.CmdStep, Minutes: m}) }
	step(16*60 + 50)
	step(60)
	plain := d.status().Digest
	d.must(bus.Command{Kind: bus.CmdOrder, Order: slow("C1", "0.70 m/min")})
	step(300)
	withOrder := d.status()
	costA := d.snapshot(bus.ForStaff).Cost.SoFar
	r := d.must(bus.Command{Kind: bus.CmdRewind, Mark: "A1"})
	s := d.status()
	if s.Epoch != 2 || r.Epoch != 2 || !s.Held || s.Digest != plain {
		t.Fatalf("epoch %d, held %v, digest %s, want 2, held, %s", s.Epoch, s.Held, s.Digest, plain)
	}
	if got := d.snapshot(bus.ForStaff); got.Clock.Branch != "B" || slices.ContainsFunc(got.Marks, func(m bus.Mark) bool { return m.Tag == "A1" && !m.Gone }) {
		t.Errorf("branch %s, marks %v", got.Clock.Branch, got.Marks)
	} else if !slices.ContainsFunc(got.Marks, func(m bus.Mark) bool { return m.Tag == "A1" && m.Gone && m.Branch == "A" }) {
		t.Errorf("the mark of branch A is gone from the list: %v", got.Marks)
	} else if x := got.Branches; len(x) != 1 || x[0].Name != "A" || x[0].At != withOrder.T || x[0].CostSoFar != costA || len(x[0].Orders) != 1 || x[0].Orders[0].Tag != "A1" || !strings.Contains(x[0].Orders[0].Text, "0.70 m/min") {
		t.Errorf("branches %+v, cost of A %v", x, costA)
	}
	if d.do(bus.Command{Kind: bus.CmdRewind, Mark: "A1"}).OK {
		t.Error("gone back to a mark of another branch")
	}
	if x := d.snapshot(bus.ForAll); len(x.Branches) > 0 {
		t.Errorf("players see what became of another branch: %+v", x.Branches)
	}
	step(300)
	other := d.status()
	if other.T != withOrder.T || other.Digest == withOrder.Digest {
		t.Error("the branch without the order is the branch with it")
	}
	// Back once more and the same order: the same run as branch A.
	d.must(bus.Command{Kind: bus.CmdRewind, To: r.T})
	d.must(bus.Command{Kind: bus.CmdOrder, Order: slow("C1", "0.70 m/min")})
	step(300)
	if c := d.status(); c.Digest != withOrder.Digest {
		t.Errorf("the same order in branch C gave %s, in A %s", c.Digest, withOrder.Digest)
	}
	// Before the wreck: the script gives it again by itself.
	d.must(bus.Command{Kind: bus.CmdRewind, Mark: "start"})
	if c := d.snapshot(bus.ForStaff); c.T != 0 || c.ToCome[0].Given || len(c.Stops) > 0 {
		t.Errorf("at the start: %v", c.ToCome)
	}
	step(16*60 + 110)
	if c := d.status(); c.Digest != plain {
		t.Errorf("played again %s, want %s", c.Digest, plain)
	}
	// Numbers rise by one within an epoch, and an epoch begins with a cut.
	w.mu.Lock()
	defer w.mu.Unlock()
	for i := 1; i < len(w.head); i++ {
		a, b := w.head[i-1], w.head[i]
		switch {
		case b.Epoch == a.Epoch && b.Q == a.Q+1:
		case b.Epoch == a.Epoch+1 && b.Q == 1 && w.what[i] == bus.WhatCut:
		default:
			t.Fatalf("%s number %d of epoch %d follows %d of %d", w.what[i], b.Q, b.Epoch, a.Q, a.Epoch)
		}
		if !b.Flags.Exercise {
			t.Fatalf("%s without EXERCISE", w.what[i])
		}
	}
	if len(w.head) < 20 {
		t.Errorf("only %d messages", len(w.head))
	}
}

// A snapshot and the messages behind its number give what a later snapshot says.
func TestUpdatesFollowTheSnapshot(t *testing.T) {
	b := openBus(t, t.TempDir())
	defer b.Close()
	h := openHost(t, b, wreck(t), func(c *Config) { c.Pace, c.Go = 60, true })
	defer h.Close()
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	w := watch(t, d, bus.ForAll)
	first := d.snapshot(bus.ForAll)
	time.Sleep(time.Second)
	d.must(bus.Command{Kind: bus.CmdHold})
	last := d.snapshot(bus.ForAll)
	if last.Q <= first.Q+5 {
		t.Fatalf("only %d messages in a second", last.Q-first.Q)
	}
	waitFor(t, func() bool {
		w.mu.Lock()
		defer w.mu.Unlock()
		return len(w.head) > 0 && w.head[len(w.head)-1].Q >= last.Q
	})
	rows := slices.Clone(first.Rows)
	logs := len(first.Log)
	w.mu.Lock()
	defer w.mu.Unlock()
	for i, hd := range w.head {
		if hd.Q <= first.Q || hd.Q > last.Q {
			continue
		}
		switch w.what[i] {
		case bus.WhatUpdate:
			var u bus.Update
			if err := json.Unmarshal(w.all[i].Data, &u); err != nil {
				t.Fatal(err)
			}
			for _, r := range u.Rows {
				rows[r.I] = r
			}
		case bus.WhatLog:
			logs++
		}
	}
	for i := range rows {
		if top := last.Route[i].Cap; rows[i].S != last.Rows[i].S || math.Abs(rows[i].V-last.Rows[i].V) > top/400 {
			t.Errorf("%s: followed %+v, snapshot %+v", last.Route[i].Name, rows[i], last.Rows[i])
		}
	}
	if logs != len(last.Log) {
		t.Errorf("%d lines followed, %d in the snapshot", logs, len(last.Log))
	}
	// The packed history unpacks to what was a minute ago at most: a ladle may have gone.
	for i := range last.Route {
		if n := len(last.History.V[i]); n != int((last.T-last.History.From)/60)+1 {
			t.Fatalf("%d minutes of history from %v to %v", n, last.History.From, last.T)
		}
		v := 0
		for _, dv := range last.History.V[i] {
			v += dv
		}
		if got := float64(v) / 1000 * last.Route[i].Cap; math.Abs(got-last.Rows[i].V) > max(last.Route[i].Cap*0.06, 1.01) && last.Route[i].Kind == bus.RowStore {
			t.Errorf("%s: history ends at %v, it is %v", last.Route[i].Name, got, last.Rows[i].V)
		}
	}
}

// Nothing that is for everybody names the cause before people heard it, or what is to
// come.
func TestPagesDoNotKnow(t *testing.T) {
	b := openBus(t, t.TempDir())
	defer b.Close()
	h := openHost(t, b, wreck(t), func(c *Config) { c.Futures = 3 })
	defer h.Close()
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	page, staff := watch(t, d, bus.ForAll), watch(t, d, bus.ForStaff)
	look := func() string {
		s := d.snapshot(bus.ForAll)
		if len(s.ToCome)+len(s.Marks)+len(s.Catalogue) > 0 {
			t.Error("the page knows what is to come")
		}
		x, _ := json.Marshal(s)
		return string(x) + page.texts("")
	}
	step := func(m float64) { d.must(bus.Command{Kind: bus.CmdStep, Minutes: m}) }
	step(16 * 60)
	if strings.Contains(look(), "stand wreck") {
		t.Error("the page knows of the wreck before it")
	}
	step(50) // 22:50, ten minutes after it and ten before the first word
	waitFor(t, func() bool { f := d.snapshot(bus.ForAll).Forecast; return f != nil && f.T == 16*3600+50*60 })
	s := d.snapshot(bus.ForAll)
	if len(s.Calls) == 0 || s.Calls[len(s.Calls)-1].Cause != notYet || s.Calls[len(s.Calls)-1].Caution == "" {
		t.Errorf("calls %+v", s.Calls)
	}
	if x := look(); strings.Contains(x, "stand wreck") {
		t.Error("the page knows the cause before the first word")
	}
	if f := s.Forecast; f.Basis != bus.BasisTold {
		t.Errorf("the page's forecast is made from the %s", f.Basis)
	}
	known := d.snapshot(bus.ForController)
	if c := known.Calls[len(known.Calls)-1]; c.Cause != "stand wreck" || !strings.Contains(c.Caution, "tensioned") {
		t.Errorf("the controller's call %+v", c)
	}
	if !strings.Contains(staff.texts(bus.WhatCall), "stand wreck") || !strings.Contains(staff.texts(bus.WhatLog), "stand wreck") {
		t.Error("staff were not told the cause")
	}
	if f := known.ScriptForecast; f == nil || f.Basis != bus.BasisScript || !f.Script {
		t.Errorf("the controller's forecast with the script is %+v", f)
	}
	if f := s.ScriptForecast; f != nil {
		t.Error("the page has the forecast with the script")
	}
	step(15) // the first word
	if !strings.Contains(look(), "it is a stand wreck") {
		t.Error("people were not told what it is")
	}
	if got := d.snapshot(bus.ForAll).Told; len(got) == 0 || got[len(got)-1].Likely == nil {
		t.Errorf("told %+v", got)
	}
}

// People are sent in only by who has read the caution.
func TestCautionComesFirst(t *testing.T) {
	b := openBus(t, t.TempDir())
	defer b.Close()
	h := openHost(t, b, wreck(t), nil)
	defer h.Close()
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 17*60 + 30})
	order := bus.Command{Kind: bus.CmdOrder, Role: bus.Player, By: "mill", Order: &bus.Order{Lever: "change rolls"}}
	r := d.do(order)
	if r.OK || r.Call == "" || !strings.Contains(r.Caution, "lock") {
		t.Fatalf("without the caution: %+v", r)
	}
	d.must(bus.Command{Kind: bus.CmdAck, Role: bus.Player, By: "somebody else", Call: r.Call})
	if d.do(order).OK {
		t.Error("another's acknowledgement counted")
	}
	d.must(bus.Command{Kind: bus.CmdAck, Role: bus.Player, By: "mill", Call: r.Call})
	d.must(order)
	for _, c := range d.snapshot(bus.ForAll).Calls {
		if c.ID == r.Call && len(c.Acked) != 2 {
			t.Errorf("acknowledged by %v", c.Acked)
		}
	}
}

// One cause, one call: what it holds up is folded beneath it.
func TestOneCallForOneCause(t *testing.T) {
	sc := wreck(t)
	c := *sc.Case
	c.Background = false
	sc.Case = &c
	b := openBus(t, t.TempDir())
	defer b.Close()
	h := openHost(t, b, sc, nil)
	defer h.Close()
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 18*60 + 30})
	s := d.snapshot(bus.ForAll)
	if len(s.Calls) != 1 {
		t.Fatalf("%d calls", len(s.Calls))
	}
	got := map[string]string{}
	for _, e := range s.Calls[0].Effects {
		got[e.Name] = e.State
	}
	for name, state := range map[string]string{"F1": "blocked", "F2": "blocked", "rougher": "blocked", "coiler A": "starved"} {
		if got[name] != state {
			t.Errorf("%s is %q beneath the call, want %s (%v)", name, got[name], state, got)
		}
	}
	if got["finishing train"] != "" {
		t.Error("the cause is an effect of itself")
	}
}

// Given now, later, and only by hand.
func TestScriptCanBeMoved(t *testing.T) {
	b := openBus(t, t.TempDir())
	defer b.Close()
	h := openHost(t, b, wreck(t), nil)
	defer h.Close()
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	inject := func(x bus.Inject) { d.must(bus.Command{Kind: bus.CmdInject, Inject: &x}) }
	down := func() bool {
		return slices.ContainsFunc(d.snapshot(bus.ForAll).Stops, func(s bus.Stop) bool { return s.Unit == "finishing train" })
	}
	step := func(m float64) { d.must(bus.Command{Kind: bus.CmdStep, Minutes: m}) }
	at := d.snapshot(bus.ForStaff).ToCome[0].At
	inject(bus.Inject{What: bus.InjectLater, ID: "S1", Lasts: "30 min"})
	if got := d.snapshot(bus.ForStaff).ToCome[0].At; got != at+1800 {
		t.Errorf("moved from %v to %v", at, got)
	}
	step(16*60 + 60)
	if down() {
		t.Error("it came at its old time")
	}
	inject(bus.Inject{What: bus.InjectDrop, ID: "S1"})
	step(60)
	if down() {
		t.Error("it came by itself after it was dropped")
	}
	inject(bus.Inject{What: bus.InjectGive, ID: "S1"})
	if !down() {
		t.Error("it did not come when it was given")
	}
	if r := d.do(bus.Command{Kind: bus.CmdInject, Inject: &bus.Inject{What: bus.InjectGive, ID: "S1"}}); r.OK {
		t.Error("it was given twice")
	}
}

// try asks what an order would do.
func try(t testing.TB, d *desk, o *bus.Order) (*bus.Forecast, *bus.Reply) {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	defer cancel()
	f, r, err := d.c.Try(ctx, &bus.Command{ID: "try", Kind: bus.CmdTry, By: "tester", Role: bus.Player, Epoch: d.status().Epoch, Order: o})
	if err != nil {
		t.Fatal(err)
	}
	return f, r
}

// A trial says what the order would do and does nothing; the forecast after the order
// is the same.
func TestTry(t *testing.T) {
	b := openBus(t, t.TempDir())
	defer b.Close()
	h := openHost(t, b, wreck(t), func(c *Config) { c.Futures = 3 })
	defer h.Close()
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	d.must(bus.Command{Kind: bus.CmdStep, Minutes: 18 * 60})
	before := d.status()
	order := slow("C1", "0.70 m/min")
	f, _ := try(t, d, order)
	if f == nil || f.After != "try" || f.Basis != bus.BasisTold {
		t.Fatalf("forecast %+v", f)
	}
	if s := d.status(); s.Digest != before.Digest || s.Events != before.Events {
		t.Error("a trial changed the drill")
	}
	if f, r := try(t, d, slow("C1", "0.01 m/min")); f != nil || !strings.Contains(r.Why, "freeze") {
		t.Errorf("a trial that must be refused: %+v", r)
	}
	d.must(bus.Command{Kind: bus.CmdOrder, Order: order})
	var g *bus.Forecast
	waitFor(t, func() bool { g = d.snapshot(bus.ForAll).Forecast; return g != nil && g.After == "order" })
	if len(f.Moves) == 0 {
		t.Error("a trial that says nothing of any trouble")
	}
	g.Head, f.Head, g.After, f.After = bus.Head{}, bus.Head{}, "", ""
	f.Moves, f.DecideBy, f.DecideByWhy = nil, nil, ""
	if jsonOf(f) != jsonOf(g) {
		t.Error("the trial's forecast is not that after the order")
	}
}
