// Command plant runs the models of the anchor programs in C and Python on the
// project's own calendar and flow, with the same draws and the same ticks, and
// prints one JSON line: ns and CPU ns an operation, heap allocations an
// operation, and the checks that must equal those of the C programs.
//
//	plant hold N HOLDS
//	plant mm1-calendar N | mm1-flow N
//	plant line JOBS STATIONS ROOM [lognormal] [ring]
//	plant replications WORKERS
//
// A tick is a nanosecond here: flow never looks at what a tick means.
package main

import (
	"fmt"
	"hash/fnv"
	"math"
	"os"
	"runtime"
	"runtime/pprof"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"time"

	"millrace/sim/calendar"
	"millrace/sim/flow"
)

const second = 1e9

func main() {
	num := func(i, otherwise int) int {
		if len(os.Args) > i {
			if n, err := strconv.Atoi(os.Args[i]); err == nil {
				return n
			}
		}
		return otherwise
	}
	if f := os.Getenv("CPUPROFILE"); f != "" {
		w, err := os.Create(f)
		if err != nil {
			panic(err)
		}
		if err := pprof.StartCPUProfile(w); err != nil {
			panic(err)
		}
		defer pprof.StopCPUProfile()
	}
	switch os.Args[1] {
	case "hold":
		hold(num(2, 1000), num(3, 4_000_000))
	case "mm1-calendar":
		n := num(2, 1_000_000)
		mm1Calendar(min(n, 10_000))
		measure("mm1", "calendar", n, func() string { return mm1Calendar(n) })
	case "mm1-flow":
		n := num(2, 1_000_000)
		mm1Flow(min(n, 10_000))
		measure("mm1", "flow", n, func() string { return mm1Flow(n) })
	case "line":
		l := lineOf{jobs: num(2, 100_000), stations: num(3, 12), room: num(4, 4)}
		for _, a := range os.Args[2:] {
			l.lognormal = l.lognormal || a == "lognormal"
			l.ring = l.ring || a == "ring"
		}
		small := l
		small.jobs = min(l.jobs, 1000)
		small.run()
		name := strings.Join(append([]string{"flow"}, os.Args[min(5, len(os.Args)):]...), "-")
		measure("line", name, l.jobs, l.run)
	case "replications":
		replications(num(2, 1))
	default:
		fmt.Fprintln(os.Stderr, "hold, mm1-calendar, mm1-flow or line?")
		os.Exit(2)
	}
}

func cpu() time.Duration {
	var r syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &r); err != nil {
		panic(err)
	}
	return time.Duration(r.Utime.Nano() + r.Stime.Nano())
}

// measure prints what one run of n operations took; the garbage of the warm-up
// is collected before.
func measure(bench, name string, n int, run func() string) {
	runtime.GC()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	c, w := cpu(), time.Now()
	extra := run()
	wall, used := time.Since(w), cpu()-c
	runtime.ReadMemStats(&after)
	runtime.GC()
	var live runtime.MemStats
	runtime.ReadMemStats(&live)
	fmt.Printf("{\"bench\":%q,\"impl\":%q,\"n\":%d,\"ns\":%.3f,\"cpu\":%.3f,\"allocs\":%.6f,\"live\":%d%s}\n", bench, name, n,
		float64(wall)/float64(n), float64(used)/float64(n),
		float64(after.Mallocs-before.Mallocs)/float64(n), live.HeapAlloc, extra)
}

func hold(n, holds int) {
	const size = 1 << 14
	var tab [size]int64
	for i := range tab {
		tab[i] = int64(-math.Log((float64(i)+0.5)/size) * 1e9)
	}
	s := uint64(12345)
	inc := func() calendar.Time {
		z := splitmix(&s)
		return calendar.Time(tab[z%size] + int64(z>>48))
	}
	var c calendar.Calendar
	for range n {
		c.Book(inc(), calendar.Finish, calendar.Event{})
	}
	run := func(k int) string {
		sum := uint64(0)
		for range k {
			e, _ := c.Next(calendar.Never)
			sum += uint64(c.Now())
			c.Book(c.Now()+inc(), calendar.Finish, e)
		}
		return fmt.Sprintf(",\"check\":\"%016x\"", sum)
	}
	run(3*n + 1000)
	measure("hold", "calendar-"+strconv.Itoa(n), holds, func() string { return run(holds) })
}

// replications plays 16 lines of 50,000 jobs with some workers; its time is by
// the wall. The check is made of all results in the order of the replications.
func replications(workers int) {
	const n = 16
	var result [n]string
	next := make(chan int, n)
	for i := range n {
		next <- i
	}
	close(next)
	measure("replications", strconv.Itoa(workers), n, func() string {
		var all sync.WaitGroup
		for range workers {
			all.Go(func() {
				for i := range next {
					result[i] = lineOf{jobs: 50_000, stations: 12, room: 4, seed: uint64(i)}.run()
				}
			})
		}
		all.Wait()
		h := fnv.New64a()
		for _, r := range result {
			h.Write([]byte(r))
		}
		return fmt.Sprintf(",\"check\":\"%016x\"", h.Sum64())
	})
}

// mm1Calendar is the loop of mm1.c on the calendar alone.
func mm1Calendar(n int) string {
	const arrive, depart = 1, 2
	arr, svc := newStream(101), newStream(202)
	var c calendar.Calendar
	ring := make([]calendar.Time, 16)
	head, tail, left, served, busy := 0, 0, n, 0, false
	var sum calendar.Time
	const gap = second / 0.9
	c.Book(calendar.Time(arr.exp()*gap), calendar.Finish, calendar.Event{Kind: arrive})
	for {
		e, ok := c.Next(calendar.Never)
		if !ok {
			break
		}
		now := c.Now()
		switch e.Kind {
		case arrive:
			if tail-head == len(ring) {
				r := make([]calendar.Time, 2*len(ring))
				for i := head; i != tail; i++ {
					r[i&(len(r)-1)] = ring[i&(len(ring)-1)]
				}
				ring = r
			}
			ring[tail&(len(ring)-1)] = now
			tail++
			if !busy {
				busy = true
				c.Book(now+calendar.Time(svc.exp()*second), calendar.Finish, calendar.Event{Kind: depart})
			}
			if left--; left > 0 {
				c.Book(now+calendar.Time(arr.exp()*gap), calendar.Finish, calendar.Event{Kind: arrive})
			}
		case depart:
			sum += now - ring[head&(len(ring)-1)]
			head++
			served++
			if busy = head != tail; busy {
				c.Book(now+calendar.Time(svc.exp()*second), calendar.Finish, calendar.Event{Kind: depart})
			}
		}
	}
	return fmt.Sprintf(",\"mean\":%.9f,\"events\":%d", float64(sum)/float64(served)/second, 2*n)
}

func mm1Flow(n int) string {
	arr, svc := newStream(101), newStream(202)
	p := flow.NewPlant()
	queue := p.AddStore(flow.StoreSpec{Room: flow.Unlimited})
	p.AddSource(flow.SourceSpec{To: queue, Limit: n,
		Gap: func(int) calendar.Time { return calendar.Time(arr.exp() * (second / 0.9)) }})
	p.AddUnit(flow.UnitSpec{From: queue, Work: func(*flow.Piece) calendar.Time { return calendar.Time(svc.exp() * second) }})
	if err := p.Run(calendar.Never); err != nil {
		panic(err)
	}
	c := p.Count()
	// MeanStay takes a tick for a microsecond.
	return fmt.Sprintf(",\"mean\":%.9f,\"events\":%d", c.MeanStay*1e6/second, c.Events)
}

// lineOf is the line of line.c, with the statistics that flow keeps of every
// unit and store; ring writes a record of 32 bytes for each finished piece into
// a ring.
type lineOf struct {
	jobs, stations, room int
	lognormal, ring      bool
	seed                 uint64
}

type recorded struct {
	at    calendar.Time
	piece int64
	unit  int32
	kind  int32
	born  calendar.Time
}

func (l lineOf) run() string {
	var log [4096]recorded
	entries := 0
	p := flow.NewPlant()
	from := flow.Outside
	var units []flow.UnitID
	for i := range l.stations {
		x := newStream(1000*(l.seed+1) + uint64(i) + 1)
		s := flow.UnitSpec{From: from, Limit: l.jobs,
			Work: func(*flow.Piece) calendar.Time { return calendar.Time(x.exp() * second) }}
		if l.lognormal {
			s.Work = func(*flow.Piece) calendar.Time { return calendar.Time(x.lognormal() * second) }
		}
		if l.ring {
			s.Ends = func(pc *flow.Piece) {
				log[entries&(len(log)-1)] = recorded{p.Now(), pc.Number, int32(i), pc.Kind, pc.Born}
				entries++
			}
		}
		if i < l.stations-1 {
			s.To = p.AddStore(flow.StoreSpec{Room: l.room})
		}
		units = append(units, p.AddUnit(s))
		from = s.To
	}
	if err := p.Run(calendar.Never); err != nil {
		panic(err)
	}
	c := p.Count()
	return fmt.Sprintf(",\"mean\":%.9f,\"events\":%d,\"flow\":%.9f,\"busy\":%.4f,\"recorded\":%d",
		float64(p.Now())/second/float64(c.Left), c.Events, c.MeanStay*1e6/second, p.Unit(units[0]).Share(flow.Running), entries)
}
