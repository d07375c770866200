package drill

import (
	"strings"
	"testing"
	"time"

	"millrace/sim/bus"
	"millrace/sim/calendar"
)

// The stream alone rebuilds the drill: same digest, same log, same calls, whatever
// was done in it. And a session into which the actions are fed without any host
// agrees.
func TestRebuildFromTheStream(t *testing.T) {
	sc := wreck(t)
	dir := t.TempDir()
	b := openBus(t, dir)
	h := openHost(t, b, sc, nil)
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	step := func(minutes float64) { d.must(bus.Command{Kind: bus.CmdStep, Minutes: minutes}) }
	step(16*60 + 45) // the wreck is at 22:40
	d.must(bus.Command{Kind: bus.CmdOrder, Role: bus.Player, By: "steel", Order: slow("C1", "0.70 m/min")})
	if r := d.do(bus.Command{Kind: bus.CmdOrder, Role: bus.Player, By: "steel", Order: slow("C2", "9 m/min")}); r.OK || !strings.Contains(r.Why, "faster than") {
		t.Fatalf("an order that the works refuses: %+v", r)
	}
	step(30)
	d.must(bus.Command{Kind: bus.CmdInject, Inject: &bus.Inject{What: bus.InjectUpset, Upset: "slab crane out", Lasts: "3 h"}})
	d.must(bus.Command{Kind: bus.CmdInject, Inject: &bus.Inject{What: bus.InjectMessage, To: "ops manager", From: "sales", Text: "400 t thin are short"}})
	step(61.5)
	snap := d.snapshot(bus.ForController)
	stop := -1
	for _, s := range snap.Stops {
		if s.Unit == "finishing train" {
			stop = s.N
		}
	}
	d.must(bus.Command{Kind: bus.CmdInject, Inject: &bus.Inject{What: bus.InjectTell, Stop: stop, Told: "low 6 h, likely 12 h, bad 30 h"}})
	d.must(bus.Command{Kind: bus.CmdNote, Role: bus.Evaluator, Text: "casters slowed at once"})
	d.must(bus.Command{Kind: bus.CmdPace, Pace: 200})
	d.must(bus.Command{Kind: bus.CmdResume})
	time.Sleep(700 * time.Millisecond)
	d.must(bus.Command{Kind: bus.CmdOrder, Order: &bus.Order{Lever: "open overflow"}, As: "yard"})
	d.must(bus.Command{Kind: bus.CmdHold})
	was, live := d.status(), d.snapshot(bus.ForController)
	if was.T < 19*3600 {
		t.Fatalf("only %v s were played", was.T)
	}

	b, _ = d.comeBack(b, h, dir, sc)
	is, again := d.status(), d.snapshot(bus.ForController)
	if is.Digest != was.Digest || is.T != was.T || is.Events != was.Events {
		t.Errorf("rebuilt: %s at %v s after %d, was %s at %v s after %d", is.Digest, is.T, is.Events, was.Digest, was.T, was.Events)
	}
	if !is.Held || is.Epoch != was.Epoch+1 {
		t.Errorf("it came back held %v in epoch %d (was %d)", is.Held, is.Epoch, was.Epoch)
	}
	if a, b := len(live.Log), len(again.Log); b != a+1 { // "the program came back"
		t.Errorf("%d lines of log, were %d", b, a)
	}
	for i := range live.Log {
		x, y := live.Log[i], again.Log[i]
		x.Head, y.Head = bus.Head{}, bus.Head{}
		if x != y {
			t.Errorf("line %d: %+v, was %+v", i, y, x)
		}
	}
	for i := range live.Rows {
		if x, y := live.Rows[i], again.Rows[i]; live.Route[i].Kind == bus.RowStore && x.V != y.V {
			t.Errorf("%s: level %v, was %v", live.Route[i].Name, y.V, x.V)
		}
	}
	if again.Cost.SoFar != live.Cost.SoFar || len(again.Calls) != len(live.Calls) || len(again.Told) != len(live.Told) {
		t.Errorf("cost %v, %d calls, %d words; were %v, %d, %d", again.Cost.SoFar, len(again.Calls), len(again.Told), live.Cost.SoFar, len(live.Calls), len(live.Told))
	}

	// Without any host: the actions into a session.
	pub, err := bus.NewPublisher(b, "test", sc.Start, true)
	if err != nil {
		t.Fatal(err)
	}
	stream, err := bus.OpenActions(b, pub)
	if err != nil {
		t.Fatal(err)
	}
	all, err := stream.Load()
	if err != nil {
		t.Fatal(err)
	}
	rows, err := findCaps(sc.Case.Plant)
	if err != nil {
		t.Fatal(err)
	}
	s, err := newSession(&sc, rows)
	if err != nil {
		t.Fatal(err)
	}
	kept, until := effective(all)
	if err := s.play(kept, until); err != nil {
		t.Fatal(err)
	}
	if got := s.played.Digest(); got != was.Digest {
		t.Errorf("fed by hand %s, was %s", got, was.Digest)
	}
	// One order less is another run, so the digest tells.
	s, _ = newSession(&sc, rows)
	fewer := []bus.Action{}
	for _, a := range kept {
		if a.Kind == bus.CmdOrder && a.OK {
			continue
		}
		a.Events = 0
		fewer = append(fewer, a)
	}
	for i := range fewer { // without their stamps, which would refuse
		if fewer[i].Kind == bus.ActAllow {
			continue
		}
		if err := s.runTo(calendar.Time(fewer[i].T)); err != nil {
			t.Fatal(err)
		}
		if _, _, err := s.apply(&fewer[i]); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.runTo(until); err != nil {
		t.Fatal(err)
	}
	if s.played.Digest() == was.Digest {
		t.Error("the orders changed nothing in the digest")
	}
}

// A stamp that does not fit refuses the rebuild.
func TestRebuildRefusesAnotherRun(t *testing.T) {
	sc := wreck(t)
	rows, err := findCaps(sc.Case.Plant)
	if err != nil {
		t.Fatal(err)
	}
	order := bus.Action{Seq: 2, Kind: bus.CmdOrder, T: int64(calendar.Hour), Events: 12345, Order: slow("C1", "0.70 m/min"), OK: true, By: "x"}
	s, err := newSession(&sc, rows)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.play([]bus.Action{order}, 2*calendar.Hour); err == nil || !strings.Contains(err.Error(), "not the one it was recorded with") {
		t.Errorf("error %v", err)
	}
}

// How a drill is cut into steps does not change it.
func TestStepsDoNotMatter(t *testing.T) {
	sc := wreck(t)
	rows, err := findCaps(sc.Case.Plant)
	if err != nil {
		t.Fatal(err)
	}
	const until = 30 * calendar.Hour
	digest := func(step calendar.Time) string {
		s, err := newSession(&sc, rows)
		if err != nil {
			t.Fatal(err)
		}
		h := &Host{s: s}
		for at := calendar.Time(0); at < until; at += step {
			i, due := s.dueScript()
			if i >= 0 && due <= at {
				if err := s.runTo(due); err != nil {
					t.Fatal(err)
				}
				a := &bus.Action{Kind: bus.ActScript, T: int64(due), Inject: &bus.Inject{What: bus.InjectGive, ID: scriptID(i)}}
				if ok, why, err := h.s.apply(a); err != nil || !ok {
					t.Fatal(why, err)
				}
			}
			if err := s.runTo(at); err != nil {
				t.Fatal(err)
			}
		}
		if err := s.runTo(until); err != nil {
			t.Fatal(err)
		}
		if err := s.played.Check(); err != nil {
			t.Error(err)
		}
		return s.played.Digest()
	}
	want := digest(5 * calendar.Hour)
	for _, step := range []calendar.Time{calendar.Hour, 7 * calendar.Minute, 13*calendar.Second + 777*calendar.Millisecond} {
		if got := digest(step); got != want {
			t.Errorf("in steps of %v: %s, want %s", step.Seconds(), got, want)
		}
	}
}
