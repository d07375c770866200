package bus

import (
	"errors"
	"sort"
	"strings"
	"sync"
	"time"

	"github.com/nats-io/nats.go"
)

// Faults counts errors of the bus by what they are, so that they can be shown.
// It is safe for concurrent use.
type Faults struct {
	mu   sync.Mutex
	seen map[string]*Fault
	told func(what string, err error)
}

// Add counts an error.
func (f *Faults) Add(what string, err error) {
	if err == nil {
		return
	}
	key := what + ": " + firstLine(err.Error())
	f.mu.Lock()
	if f.seen == nil {
		f.seen = map[string]*Fault{}
	}
	x := f.seen[key]
	if x == nil {
		x = &Fault{What: key}
		f.seen[key] = x
	}
	x.Count++
	x.Last = time.Now().UTC().Format(time.RFC3339)
	first, told := x.Count == 1, f.told
	f.mu.Unlock()
	if first && told != nil {
		told(what, err)
	}
}

// List gives the faults by name; never nil.
func (f *Faults) List() []Fault {
	f.mu.Lock()
	defer f.mu.Unlock()
	out := make([]Fault, 0, len(f.seen))
	for _, x := range f.seen {
		out = append(out, *x)
	}
	sort.Slice(out, func(a, b int) bool { return out[a].What < out[b].What })
	return out
}

func firstLine(s string) string {
	s, _, _ = strings.Cut(s, "\n")
	return s
}

// handlers are the connection's options by which no error goes unseen.
func (f *Faults) handlers() []nats.Option {
	return []nats.Option{
		nats.ErrorHandler(func(_ *nats.Conn, sub *nats.Subscription, err error) {
			what := "bus"
			if errors.Is(err, nats.ErrSlowConsumer) && sub != nil {
				what = "slow reader of " + sub.Subject
			}
			f.Add(what, err)
		}),
		nats.DisconnectErrHandler(func(_ *nats.Conn, err error) { f.Add("bus disconnected", err) }),
		nats.ReconnectErrHandler(func(_ *nats.Conn, err error) { f.Add("bus reconnect", err) }),
	}
}
