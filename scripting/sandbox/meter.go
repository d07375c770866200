package sandbox

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"runtime/metrics"
	"time"
)

// meter counts instructions. It is handed to the interpreter as its context:
// the interpreter asks Done once before each instruction, so counting there
// is exact and the same on every machine.
type meter struct {
	state   *State
	left    int64 // instructions still allowed
	next    int64 // ask the slow path when left falls below this
	limit   int64
	why     error // why the script was stopped, nil while it may run
	started time.Time
	sample  [1]metrics.Sample
}

const watchEvery = 1024

var spent = func() <-chan struct{} { c := make(chan struct{}); close(c); return c }()

// Done implements context.Context: nil while there is budget, a closed
// channel after.
func (m *meter) Done() <-chan struct{} {
	m.left--
	if m.left >= m.next {
		return nil
	}
	return m.slow()
}

func (m *meter) slow() <-chan struct{} {
	if m.why == nil && m.left < 0 && m.state.still > 0 {
		m.why = fmt.Errorf("used more than %d steps; is there a loop without an end?", m.limit)
	}
	if m.why == nil && m.left < 0 {
		m.why = fmt.Errorf("plan used more than %d steps between two waits; is there a loop without a wait?", m.limit)
	}
	if m.why == nil {
		m.watch()
	}
	if m.why != nil {
		m.next = math.MaxInt64
		return spent
	}
	m.next = max(m.left-watchEvery, 0)
	return nil
}

// Err implements context.Context.
func (m *meter) Err() error { return m.why }

// Deadline implements context.Context; there is none.
func (m *meter) Deadline() (time.Time, bool) { return time.Time{}, false }

// Value implements context.Context; there are none.
func (m *meter) Value(any) any { return nil }

// refill starts a new stretch between two waits.
func (m *meter) refill() {
	m.limit = m.state.limits.Steps
	m.left = m.limit
	m.next = max(m.left-watchEvery, 0)
	m.why = nil
	m.started = time.Now()
}

// used is what the current stretch has taken so far.
func (m *meter) used() int64 { return m.limit - max(m.left, 0) }

// charge takes steps for work done inside one library call. The script is
// stopped at its next instruction when that was too much.
func (m *meter) charge(steps int) { m.left -= int64(steps) }

// out reports that the budget is gone.
func (m *meter) out() bool { return m.why != nil || m.left < 0 }

// watch looks at memory and wall time.
func (m *meter) watch() {
	if time.Since(m.started) > m.state.limits.Wall {
		m.why = fmt.Errorf("the script ran longer than %v without a wait", m.state.limits.Wall)
		return
	}
	if m.grown() <= m.state.limits.Heap {
		return
	}
	runtime.GC()
	if m.grown() > m.state.limits.Heap {
		m.why = errors.New("the script's data take too much memory; keep fewer values in tables")
	}
}

func (m *meter) grown() uint64 {
	now := m.heap()
	if now < m.state.heapAtStart {
		return 0
	}
	return now - m.state.heapAtStart
}

func (m *meter) heap() uint64 {
	m.sample[0].Name = "/memory/classes/heap/objects:bytes"
	metrics.Read(m.sample[:])
	if m.sample[0].Value.Kind() != metrics.KindUint64 {
		return 0
	}
	return m.sample[0].Value.Uint64()
}
