package flow_test

import (
	"millrace/sim/calendar"
	"millrace/sim/flow"
)

const (
	kindArrive = flow.KindCaller + iota
	kindRestore
)

// queue is one store without limit before one or more units, built on a Net.
// Customers come one by one; each unit may fail by operating time.
type queue struct {
	net    flow.Net
	wait   flow.List
	store  int
	luck   luck
	gap    law
	work   law
	up     law // nil: the units do not fail
	repair law

	came     []calendar.Time // by slot, -1 for those who were there at the start
	coming   int             // customers who have come
	started  int             // customers whose work has begun
	failures []int           // by unit

	// Counted since the last reset.
	begin, last calendar.Time
	number      int64
	area        float64 // hours
	waits       int
	waited      calendar.Time
	waitUpTo    [8]int // by half hours: waits not longer
	spent       [][flow.NStates]calendar.Time
}

func newQueue(l luck, servers int, gap, work law) *queue {
	q := &queue{luck: l, wait: flow.Empty, gap: gap, work: work}
	q.store = q.net.AddStore(1 << 60)
	for range servers {
		q.net.Link(q.store, q.net.AddUnit(), false)
	}
	q.failures = make([]int, servers)
	q.spent = make([][flow.NStates]calendar.Time, servers)
	return q
}

// singleServer has mean work one hour when work has.
func singleServer(l luck, lambda float64, work law) *queue {
	return newQueue(l, 1, exponential(1/lambda), work)
}

// failing makes the units fail by operating time.
func (q *queue) failing(up, repair law) *queue {
	q.up, q.repair = up, repair
	for u := range q.net.Units {
		q.net.SetFailAt(u, hours(up(q.luck.uniform(forUp, u, 0))))
	}
	return q
}

// join adds a customer at the end of the queue.
func (q *queue) join(came calendar.Time) {
	p := q.net.NewPiece()
	for int(p) >= len(q.came) {
		q.came = append(q.came, 0)
	}
	q.came[p] = came
	q.net.PushTail(&q.wait, p)
	q.net.Put(q.store, 1)
	q.number++
}

func (q *queue) bookArrival() {
	d := hours(q.gap(q.luck.uniform(forGap, 0, q.coming)))
	q.coming++
	q.net.Cal.Book(q.net.Now()+d, calendar.Finish, calendar.Event{Kind: kindArrive})
}

// try lets a unit give away its customer and take the next.
func (q *queue) try(u int) {
	n := &q.net
	if n.Units[u].Finished() {
		n.FreePiece(n.Release(u))
		q.number--
	}
	if !n.Units[u].Idle() || q.wait.N == 0 {
		return
	}
	p := n.PopHead(&q.wait)
	n.Take(q.store, 1)
	n.Start(u, p, hours(q.work(q.luck.uniform(forWork, 0, q.started))))
	q.started++
	if q.came[p] >= 0 {
		w := n.Now() - q.came[p]
		q.waits++
		q.waited += w
		for i := range q.waitUpTo {
			if w <= calendar.Time(i)*calendar.Hour/2 {
				q.waitUpTo[i]++
			}
		}
	}
}

// run plays all events up to until.
func (q *queue) run(until calendar.Time) {
	n := &q.net
	for {
		for u, ok := n.Ready(); ok; u, ok = n.Ready() {
			q.try(u)
		}
		e, ok := n.Next(until)
		q.area += float64(q.number) * (n.Now() - q.last).Hours()
		q.last = n.Now()
		if !ok {
			return
		}
		switch e.Kind {
		case kindArrive:
			q.join(n.Now())
			q.bookArrival()
		case flow.KindFail:
			u := int(e.Unit)
			d := hours(q.repair(q.luck.uniform(forRepair, u, q.failures[u])))
			q.failures[u]++
			n.Cal.Book(n.Now()+d, calendar.Restore, calendar.Event{Kind: kindRestore, Unit: e.Unit})
		case kindRestore:
			u := int(e.Unit)
			n.SetFailAt(u, n.Units[u].Odometer+hours(q.up(q.luck.uniform(forUp, u, q.failures[u]))))
			n.Clear(u, flow.CauseDown)
		}
	}
}

func (q *queue) reset() {
	q.net.Settle()
	q.begin, q.last = q.net.Now(), q.net.Now()
	q.area, q.waits, q.waited = 0, 0, 0
	q.waitUpTo = [8]int{}
	for u := range q.spent {
		q.spent[u] = q.net.Units[u].Spent
	}
}

// play starts the queue, forgets what happened before warm and counts to end.
func (q *queue) play(warm, end calendar.Time) {
	q.bookArrival()
	q.run(warm)
	q.reset()
	q.run(end)
	q.net.Settle()
}

func (q *queue) meanNumber() float64 { return q.area / (q.net.Now() - q.begin).Hours() }
func (q *queue) meanWait() float64   { return q.waited.Hours() / float64(q.waits) }

// share is the part of the time that all units together were in a state.
func (q *queue) share(s flow.State) float64 {
	var d calendar.Time
	for u := range q.spent {
		d += q.net.Units[u].Spent[s] - q.spent[u][s]
	}
	return d.Hours() / (q.net.Now() - q.begin).Hours()
}
