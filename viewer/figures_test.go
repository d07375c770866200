package viewer

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/nats-io/nats.go"

	"millrace/sim/bus"
	"millrace/sim/calendar"
	"millrace/sim/futures"
	"millrace/sim/record"
	"millrace/sim/works"
)

// eventLog is what the records say that each place held, independent of the drill's
// own meter and snapshots: what the works was laid out with, by the records of the
// same game at its start, then every move that the bus carried.
type eventLog struct {
	plant *works.Plant
	b     *bus.Bus
	start []int64 // g by place

	mu    sync.Mutex
	moves []bus.Record
	marks int // markers that came back, see upToNow
}

// Put takes the records of the start.
func (l *eventLog) Put(events []record.Event) {
	for i := range events {
		if e := &events[i]; e.Kind == record.Move && e.T == 0 {
			l.start[e.From] -= e.Mass
			l.start[e.To] += e.Mass
		}
	}
}

func keepLog(t *testing.T, b *bus.Bus, k *futures.Case) *eventLog {
	t.Helper()
	l := &eventLog{plant: k.Plant, b: b, start: make([]int64, len(k.Plant.Route.Places))}
	g, err := k.Game(false, larkfellFuture, l)
	if err == nil {
		err = g.Run(0)
	}
	if err == nil {
		err = g.Check()
	}
	if err != nil {
		t.Fatal(err)
	}
	sub, err := b.Conn.Subscribe("millrace.larkfell.*.*.move", l.take)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = sub.Unsubscribe() })
	return l
}

func (l *eventLog) take(m *nats.Msg) {
	var e bus.Envelope
	var r bus.Record
	err := json.Unmarshal(m.Data, &e)
	if err == nil {
		err = json.Unmarshal(e.Data, &r)
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	if err != nil || r.Kind != record.Move.String() {
		l.marks++
		return
	}
	l.moves = append(l.moves, r)
}

// upToNow waits until the log holds all that has happened: asking for a picture has
// the drill hand out its records, and a marker behind them comes back on the same line.
func (l *eventLog) upToNow(t *testing.T) {
	t.Helper()
	ctx, stop := context.WithTimeout(context.Background(), 10*time.Second)
	defer stop()
	c := bus.Client{NC: l.b.Conn, Run: "larkfell"}
	if _, err := c.Snapshot(ctx, bus.ForAll, 0.1); err != nil {
		t.Fatal(err)
	}
	l.mu.Lock()
	want := l.marks + 1
	l.mu.Unlock()
	if err := l.b.Conn.Publish("millrace.larkfell.test.marker.move", []byte("{}")); err != nil {
		t.Fatal(err)
	}
	for ctx.Err() == nil {
		l.mu.Lock()
		there := l.marks >= want
		l.mu.Unlock()
		if there {
			return
		}
		time.Sleep(5 * time.Millisecond)
	}
	t.Fatal("the log does not catch up")
}

// back drops what happened after the time: a rewind tells no records again.
func (l *eventLog) back(to float64) {
	l.mu.Lock()
	defer l.mu.Unlock()
	keep := l.moves[:0]
	for _, r := range l.moves {
		if r.T <= int64(calendar.Dur(to)) {
			keep = append(keep, r)
		}
	}
	l.moves = keep
}

// level is what the store held at a time, in its own amount, and its room.
func (l *eventLog) level(t *testing.T, store string, at float64) (level, room float64) {
	t.Helper()
	place, ok := l.plant.StoreNamed(store)
	if !ok || place < 0 {
		t.Fatalf("there is no store %q", store)
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	g := l.start[place]
	for _, r := range l.moves {
		if r.T > int64(calendar.Dur(at)) {
			continue
		}
		if r.From == int16(place) {
			g -= r.Mass
		}
		if r.To == int16(place) {
			g += r.Mass
		}
	}
	i, per := &l.plant.Route.Places[place], 1e6
	if i.Amount != "t" && i.PerAmount > 0 {
		per = i.PerAmount
	}
	return float64(g) / per, float64(i.Room) / per
}

// rounded is a level as the page shows it. It is rounded twice: by the drill to the
// power of ten below a two-thousandth of the room, then by the page to whole tonnes,
// tens of them in stores of 2,000 t and more. After that they must be equal.
func rounded(v, room float64) float64 {
	q := math.Pow(10, math.Min(0, math.Floor(math.Log10(room/2000))))
	v = math.Round(v/q) * q
	step := 1.0
	if room >= 2000 {
		step = 10
	}
	return math.Round(v/step) * step
}

// figure is what a row of the page shows, and the moment that it was read at the works.
type figure struct {
	Text string
	Of   float64
}

// figures reads the page at one moment: its simulated time and the rows asked for.
func (p *tab) figures(ids []string) (at float64, rows map[string]figure) {
	p.t.Helper()
	list, err := json.Marshal(ids)
	if err != nil {
		p.t.Fatal(err)
	}
	all := js[struct {
		T    float64
		Rows map[string]figure
	}](p, fmt.Sprintf(`({T: +document.querySelector('#clock').dataset.t, Rows: Object.fromEntries(%s.map(id => { const tr = document.querySelector('tr[data-id="' + id + '"]'); return [id, {Text: tr.cells[2].textContent, Of: +tr.dataset.of}] }))})`, list))
	return all.T, all.Rows
}

// TestFiguresAreThoseOfTheLog: what the page shows of five stores, hot and cold, is
// what the records say that they held at the moment the figure was read. While time
// stands, that is the moment that the page shows: after a hold, after the line was cut,
// on a page that comes late, after a rewind. While it runs, the store has since moved by
// less than a four-hundredth of its room, below which the drill waits with a new figure.
func TestFiguresAreThoseOfTheLog(t *testing.T) {
	b := newBrowser(t)
	d := larkfellWith(t, true)
	srv, s, do := d.srv, d, d.do
	log := keepLog(t, d.bus, d.k)
	stores := []string{"torpedoes", "slab yard", "coil yard", "pickled coils", "hard coils"}
	var ids []string
	for _, n := range stores {
		ids = append(ids, bus.Token(n))
	}
	digits := regexp.MustCompile(`^[0-9][0-9,]*`)
	seen := map[string]map[float64]bool{}
	looks, behind := 0, 0
	check := func(when string, p *tab, held bool) (at float64) {
		t.Helper()
		at, rows := p.figures(ids)
		log.upToNow(t)
		for i, n := range stores {
			f := rows[ids[i]]
			shown, err := strconv.ParseFloat(strings.ReplaceAll(digits.FindString(f.Text), ",", ""), 64)
			if err != nil {
				t.Fatalf("%s: %s shows %q", when, n, f.Text)
			}
			read, room := log.level(t, n, f.Of)
			if want := rounded(read, room); shown != want {
				t.Errorf("%s, t = %.3f s: the page shows %s with %g t, the records of %.3f s say %g (%.3f)", when, at, n, shown, f.Of, want, read)
			}
			now, _ := log.level(t, n, at)
			looks++
			if w := rounded(now, room); w != shown {
				behind++
				if held {
					t.Errorf("%s, t = %.3f s: the page shows %s with %g t, the records say %g (%.3f)", when, at, n, shown, w, now)
				}
			}
			if d := math.Abs(now - read); f.Of > at || d > room/400+1 {
				t.Errorf("%s: the page's %s is of %.3f s; by %.3f s it has moved by %.1f t of %g", when, n, f.Of, at, d, room)
			}
			if seen[n] == nil {
				seen[n] = map[float64]bool{}
			}
			seen[n][shown] = true
		}
		return at
	}

	do(bus.Command{Kind: bus.CmdStep, Minutes: 4 * 60})
	p := b.open(t, s.URL+playerSeat.Path(), desk)
	p.wait("the time of the step", `+document.querySelector('#clock').dataset.t === 4 * 3600`)
	check("held at the beginning", p, true)

	do(bus.Command{Kind: bus.CmdPace, Pace: 20})
	do(bus.Command{Kind: bus.CmdResume})
	last := 4 * 3600.0
	for n := range 6 {
		p.wait("time to run on", fmt.Sprintf(`+document.querySelector('#clock').dataset.t > %g`, last+300))
		last = check(fmt.Sprintf("running, look %d", n+1), p, false)
	}

	cut := func() {
		t.Helper()
		srv.hub.mu.Lock()
		for c := range srv.hub.here {
			c.conn.Close()
		}
		srv.hub.mu.Unlock()
		p.wait("the word that the line is lost", `!document.querySelector('#old').hidden`)
		p.wait("the line to come back", `document.querySelector('#old').hidden`)
	}
	cut()
	p.wait("the line to come back", fmt.Sprintf(`document.querySelector('#old').hidden && +document.querySelector('#clock').dataset.t > %g`, last))
	check("running, after the line was cut", p, false)

	do(bus.Command{Kind: bus.CmdHold})
	held := func(p *tab) {
		t.Helper()
		st, err := (&bus.Client{NC: d.bus.Conn, Run: "larkfell"}).Status(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		p.wait("the moment of the hold", fmt.Sprintf(`document.querySelector('#heldWord').textContent.includes('held') && +document.querySelector('#clock').dataset.t === %v`, st.T))
	}
	held(p)
	check("held", p, true)
	cut()
	held(p)
	check("held, after the line was cut", p, true)
	late := b.open(t, s.URL+observerSeat.Path(), desk)
	held(late)
	check("held, a page that comes late", late, true)

	do(bus.Command{Kind: bus.CmdRewind, Mark: "start"})
	log.back(0)
	do(bus.Command{Kind: bus.CmdStep, Minutes: 50})
	for _, p := range []*tab{p, late} {
		p.wait("the new branch", `document.querySelector('#clock').textContent.includes('branch B') && +document.querySelector('#clock').dataset.t === 50 * 60`)
		check("held, after a rewind", p, true)
		p.quiet()
	}
	t.Logf("%d of %d figures were behind the store's level at the moment shown", behind, looks)
	for _, n := range stores {
		if len(seen[n]) < 3 {
			t.Errorf("%s showed only %v: that proves little", n, seen[n])
		}
	}
}
