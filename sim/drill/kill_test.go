package drill

import (
	"bufio"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"millrace/sim/bus"
	"millrace/sim/calendar"
)

// The child of the kill test is this test binary with the state folder in its
// environment.
const (
	childDir  = "MILLRACE_DRILL_CHILD"
	childPace = 120 // simulated minutes a wall second
)

func TestMain(m *testing.M) {
	if dir := os.Getenv(childDir); dir != "" {
		child(dir)
		return
	}
	os.Exit(m.Run())
}

// seen is one line that the child prints: what a page or a player got to see.
type seen struct {
	T    float64 `json:"t"`              // of an update
	Done string  `json:"done,omitempty"` // id of an order that was answered
	Sent string  `json:"sent,omitempty"` // id of an order that is about to be sent
}

// child runs a drill until it is killed, with a player who orders all the time.
func child(dir string) {
	t := &testing.T{}
	sc := wreck(t)
	b, err := bus.Open(bus.Options{StateDir: dir})
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	h, err := New(b, Config{Scenario: sc, Run: "test", Version: "test", Inputs: "test", Futures: 2, Pace: childPace, NoRecords: true})
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	defer h.Close()
	out := make(chan seen, 1000)
	d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
	// What is printed was seen before it is printed.
	if _, err := d.c.Watch(bus.ForAll, func(_ string, e *bus.Envelope) {
		var head bus.Head
		if json.Unmarshal(e.Data, &head) == nil {
			out <- seen{T: head.T}
		}
	}); err != nil {
		os.Exit(1)
	}
	go func() {
		for s := range out {
			line, _ := json.Marshal(s)
			os.Stdout.Write(append(line, '\n'))
		}
	}()
	d.must(bus.Command{ID: "resume-" + strconv.Itoa(os.Getpid()), Kind: bus.CmdResume})
	for i := 0; ; i++ {
		id := fmt.Sprintf("o-%d-%d", os.Getpid(), i)
		out <- seen{Sent: id}
		r := d.do(bus.Command{ID: id, Kind: bus.CmdOrder, Role: bus.Player, By: "p", Order: slow("C1", fmt.Sprintf("%.2f m/min", 0.7+0.01*float64(i%50)))})
		if r.OK {
			out <- seen{Done: id}
		}
		time.Sleep(15 * time.Millisecond)
	}
}

// A program that was killed comes back held; not before anything a page saw and at
// most a second of wall time after it; with the digest of an unbroken run at that
// time; no order lost, none doubled. MILLRACE_KILLS sets how often (nightly 10).
func TestKilled(t *testing.T) {
	kills := 3
	if n, err := strconv.Atoi(os.Getenv("MILLRACE_KILLS")); err == nil && n > 0 {
		kills = n
	}
	sc := wreck(t)
	rows, err := findCaps(sc.Case.Plant)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	done := map[string]bool{}
	for k := range kills {
		cmd := exec.Command(os.Args[0], "-test.run=^$")
		cmd.Env = append(os.Environ(), childDir+"="+dir)
		cmd.Stderr = os.Stderr
		pipe, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		last := -1.0
		sent := map[string]bool{}
		in := bufio.NewScanner(pipe)
		var kill <-chan time.Time
		lines := make(chan string)
		go func() {
			for in.Scan() {
				lines <- in.Text()
			}
			close(lines)
		}()
		for open := true; open; {
			select {
			case line, ok := <-lines:
				if !ok {
					open = false
					break
				}
				var s seen
				if err := json.Unmarshal([]byte(line), &s); err != nil {
					t.Logf("child: %s", line)
					break
				}
				if s.Sent == "" && s.Done == "" {
					last = max(last, s.T)
				}
				if s.Sent != "" {
					sent[s.Sent] = true
				}
				if s.Done != "" {
					done[s.Done] = true
				}
				if kill == nil && len(done) > 0 {
					kill = time.After(time.Duration(200+rand.IntN(600)) * time.Millisecond)
				}
			case <-kill:
				if err := cmd.Process.Kill(); err != nil {
					t.Fatal(err)
				}
				kill = nil
			}
		}
		_ = cmd.Wait()
		if last < 0 || len(done) == 0 {
			t.Fatal("the child did nothing")
		}

		b := openBus(t, dir)
		h := openHost(t, b, sc, nil)
		d := &desk{t, bus.Client{NC: b.Conn, Run: "test"}}
		s, snap := d.status(), d.snapshot(bus.ForAll)
		if !s.Held {
			t.Errorf("kill %d: it came back running", k)
		}
		if s.T < last || s.T > last+childPace*60 {
			t.Errorf("kill %d: pages saw %.3f s, it came back at %.3f s, a second is %d s", k, last, s.T, childPace*60)
		}
		orders := map[string]int{}
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
		inLog := 0
		for _, l := range snap.Log {
			if strings.HasPrefix(l.Text, "casting speed C1") {
				inLog++
			}
		}
		for _, a := range all {
			if a.Kind == bus.CmdOrder {
				orders[a.ID]++
			}
		}
		for id := range done {
			if orders[id] != 1 {
				t.Errorf("kill %d: order %s was answered and is there %d times", k, id, orders[id])
			}
		}
		if inLog != len(orders) {
			t.Errorf("kill %d: %d orders in the log, %d in the stream", k, inLog, len(orders))
		}
		// Whoever repeats an order, answered or not, does it once.
		for id := range sent {
			if !done[id] {
				r := d.do(bus.Command{ID: id, Kind: bus.CmdOrder, Role: bus.Player, By: "p", Order: slow("C1", "0.70 m/min")})
				if r.Repeat != (orders[id] == 1) {
					t.Errorf("kill %d: order %s is %d times in the stream and was answered %+v", k, id, orders[id], r)
				}
				if !r.Repeat { // it is an order of now
					done[id] = r.OK
				}
			}
		}
		// An unbroken run: the orders into a session that was never interrupted.
		one, err := newSession(&sc, rows)
		if err != nil {
			t.Fatal(err)
		}
		if err := one.play(all, calendar.Time(s.T*float64(calendar.Second)+0.5)); err != nil {
			t.Fatal(err)
		}
		if got := one.played.Digest(); got != s.Digest {
			t.Errorf("kill %d: digest %s, of an unbroken run %s", k, s.Digest, got)
		}
		t.Logf("kill %d: seen %.1f s, back at %.1f s (%.2f s of wall time later), %d orders", k, last, s.T, (s.T-last)/60/childPace, len(orders))
		h.Close()
		b.Close()
		for id, ok := range done {
			if !ok {
				delete(done, id)
			}
		}
	}
}
