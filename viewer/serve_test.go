package viewer

import (
	"net/http/httptest"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"millrace/sim/bus"
)

// seats of the tests.
var (
	controllerSeat = Seat{"ctl", bus.Controller, "controller"}
	playerSeat     = Seat{"play", bus.Player, "ops manager"}
	evaluatorSeat  = Seat{"eva", bus.Evaluator, "evaluator"}
	observerSeat   = Seat{"", bus.Observer, "observer"}
)

// refusals collects what the server refused.
type refusals struct {
	mu   sync.Mutex
	list []string
}

func (r *refusals) add(s Seat, kind, why string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.list = append(r.list, string(s.Role)+" "+kind+": "+why)
}

func (r *refusals) all() []string {
	r.mu.Lock()
	defer r.mu.Unlock()
	return append([]string{}, r.list...)
}

// serve puts pages over a fake drill; what the server refuses is collected.
func serve(tb testing.TB, d *fakeDrill) (*httptest.Server, *refusals, *server) {
	tb.Helper()
	r := &refusals{}
	s, srv := serveDrill(tb, Options{Conn: d.bus.Conn, Run: fakeRun, Seats: []Seat{controllerSeat, playerSeat, evaluatorSeat, observerSeat}, Refused: r.add})
	return s, r, srv
}

// serveDrill puts pages over any drill until the test ends.
func serveDrill(tb testing.TB, o Options) (*httptest.Server, *server) {
	tb.Helper()
	over := &atomic.Bool{}
	o.Fault = func(err error) {
		if !over.Load() {
			tb.Log(err)
		}
	}
	h, err := New(o)
	if err != nil {
		tb.Fatal(err)
	}
	s := httptest.NewServer(h)
	tb.Cleanup(func() {
		over.Store(true)
		_ = h.(*server).Close()
		s.Close()
	})
	return s, h.(*server)
}

// fourHoursIn is a browser and pages over a fake drill that goes on, four hours after it
// began, with a forecast.
func fourHoursIn(t *testing.T) (*browser, *fakeDrill, *httptest.Server) {
	t.Helper()
	b, d := newBrowser(t), newFakeDrill(t)
	d.play(240)
	d.forecast()
	s, _, _ := serve(t, d)
	d.run(time.Second)
	return b, d, s
}
