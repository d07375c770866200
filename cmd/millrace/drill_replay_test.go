package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"millrace/sim/bus"
)

// browser is a page at the program's own line: it keeps what a page keeps.
type browser struct {
	t     *testing.T
	conn  *websocket.Conn
	ep    int
	q     uint64
	at    float64
	held  bool
	rows  []bus.RowState
	spans [][]bus.Span
	route []bus.Row
	snaps int
}

func openBrowser(t *testing.T, link string) *browser {
	t.Helper()
	url := strings.Replace(link, "http://", "ws://", 1) + "line"
	conn, r, err := websocket.DefaultDialer.Dial(url, nil)
	if err != nil {
		t.Fatal(url, r, err)
	}
	t.Cleanup(func() { _ = conn.Close() })
	b := &browser{t: t, conn: conn}
	b.until("a picture", func() bool { return b.snaps > 0 })
	return b
}

// until reads on until something is so.
func (b *browser) until(what string, so func() bool) {
	b.t.Helper()
	if err := b.conn.SetReadDeadline(time.Now().Add(60 * time.Second)); err != nil {
		b.t.Fatal(err)
	}
	for !so() {
		var m struct {
			K  string          `json:"k"`
			A  bus.Audience    `json:"a"`
			Ep int             `json:"ep"`
			Q  uint64          `json:"q"`
			OK *bool           `json:"ok"`
			W  string          `json:"why"`
			D  json.RawMessage `json:"d"`
		}
		if err := b.conn.ReadJSON(&m); err != nil {
			b.t.Fatalf("waiting for %s: %v", what, err)
		}
		switch m.K {
		case "snap":
			var s bus.Snapshot
			if err := json.Unmarshal(m.D, &s); err != nil {
				b.t.Fatal(err)
			}
			b.snaps++
			b.ep, b.q, b.at, b.held = m.Ep, m.Q, s.T, s.Flags.Held
			b.rows, b.spans, b.route = s.Rows, s.Spans, s.Route
		case "ack":
			if m.OK != nil && !*m.OK {
				b.t.Fatalf("refused: %s", m.W)
			}
		case "update":
			var u bus.Update
			if err := json.Unmarshal(m.D, &u); err != nil {
				b.t.Fatal(err)
			}
			if b.snaps == 0 || u.Epoch != b.ep || m.A != bus.ForAll {
				break
			}
			b.q, b.at, b.held = m.Q, u.T, u.Flags.Held
			for _, r := range u.Rows {
				if b.rows[r.I].S != r.S {
					b.spans[r.I] = append(b.spans[r.I], bus.Span{At: r.Since, S: r.S})
				}
				b.rows[r.I] = r
			}
		}
	}
}

func (b *browser) do(id string, c bus.Command) {
	b.t.Helper()
	if err := b.conn.WriteJSON(map[string]any{"k": "do", "id": id, "ep": b.ep, "q": b.q, "cmd": &c}); err != nil {
		b.t.Fatal(err)
	}
}

// same holds the pages' figures of one instant against each other.
func (b *browser) same(what string, o *browser) {
	b.t.Helper()
	if b.at != o.at {
		b.t.Fatalf("%s: it stands at %v s, stood at %v s", what, b.at, o.at)
	}
	for i := range o.rows {
		if b.rows[i] != o.rows[i] {
			b.t.Errorf("%s: %s is %+v, was %+v", what, o.route[i].Name, b.rows[i], o.rows[i])
		}
		if !slices.Equal(b.spans[i], o.spans[i]) {
			b.t.Errorf("%s: %s has the states %v, had %v", what, o.route[i].Name, b.spans[i], o.spans[i])
		}
	}
}

// A page that watched a wreck in the running program, one that joined late, one after
// the program was killed and came back from its folder, and one after going back to the
// same moment: every level, rate, state and since is the same.
func TestDrillLiveAndReplay(t *testing.T) {
	program := filepath.Join(t.TempDir(), "millrace")
	if out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	state := filepath.Join(t.TempDir(), "replay")
	d := startDrill(t, program, state, "--pace", "233")
	live := openBrowser(t, d.links["controller"])
	live.until("the wreck and an hour", func() bool { return live.at > 17.7*3600 })
	live.do("hold-1", bus.Command{Kind: bus.CmdHold})
	live.until("the hold", func() bool { return live.held })
	// News that was under way while the hold was carried out.
	last := time.Now()
	live.until("a quiet while", func() bool { return time.Since(last) > 1500*time.Millisecond })
	down := 0
	for i, r := range live.rows {
		if live.route[i].Kind == bus.RowUnit && r.S == bus.UnitDown {
			down++
			t.Logf("%s is down since %v s, for %.2f min", live.route[i].Name, r.Since, (live.at-r.Since)/60)
		}
	}
	if down == 0 {
		t.Error("nothing is down")
	}
	openBrowser(t, d.links["observer"]).same("joined late", live)
	if err := d.cmd.Process.Signal(os.Kill); err != nil {
		t.Fatal(err)
	}
	_ = d.cmd.Wait()
	d = startDrill(t, program, state)
	back := openBrowser(t, d.links["controller"])
	back.same("killed and come back", live)
	snaps := back.snaps
	back.do("back-1", bus.Command{Kind: bus.CmdRewind, To: live.at})
	back.until("the picture after going back", func() bool { return back.snaps > snaps })
	back.same("gone back", live)
}
