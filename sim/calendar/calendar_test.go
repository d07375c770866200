package calendar

import (
	"math"
	"sort"
	"testing"

	"pgregory.net/rapid"

	_ "millrace/sim/propseed"
)

// TestAgainstSortedSlice holds the heap against the plainest structure that
// can be right, with cancellations and bookings while events are handled.
func TestAgainstSortedSlice(t *testing.T) {
	type item struct {
		t     Time
		class Class
		seq   int
		h     Handle
		id    int32
	}
	rapid.Check(t, func(rt *rapid.T) {
		var c Calendar
		var ref []item
		seq := 0
		last, free := item{}, false // taken last; its place is still its own
		book := func() {
			if c.Now() > Never-100 {
				return
			}
			it := item{
				t:     c.Now() + Time(rapid.Int64Range(0, 20).Draw(rt, "dt")),
				class: Class(rapid.IntRange(0, 5).Draw(rt, "class")),
				seq:   seq, id: int32(seq),
			}
			it.h = c.Book(it.t, it.class, Event{A: it.id})
			seq++
			ref = append(ref, it)
			free = false
		}
		again := func() {
			delay := rapid.SampledFrom([]Time{0, 1, 5, 20, -1, -Never, Never, Never - c.Now(), Never - c.Now() - 1}).Draw(rt, "delay")
			it := item{t: c.Now() + max(delay, 0), class: Class(rapid.IntRange(0, 5).Draw(rt, "class")), seq: seq, id: last.id}
			var ok bool
			it.h, ok = c.Again(delay, it.class)
			booked := free && it.t >= 0 && it.t != Never
			if ok != free || (it.h != 0) != booked {
				rt.Fatalf("the place is free: %v, Again at %d by %d gave %d, %v", free, c.Now(), delay, it.h, ok)
			}
			if booked {
				seq++
				ref = append(ref, it)
				free = false
			}
		}
		for i := 0; i < 200; i++ {
			switch rapid.IntRange(0, 4).Draw(rt, "op") {
			case 0, 1:
				book()
			case 2:
				if len(ref) > 0 {
					k := rapid.IntRange(0, len(ref)-1).Draw(rt, "which")
					if !c.Cancel(ref[k].h) || c.Cancel(ref[k].h) {
						rt.Fatal("a pending event must be cancelled once")
					}
					ref = append(ref[:k], ref[k+1:]...)
				}
			case 3:
				sort.Slice(ref, func(i, j int) bool {
					a, b := ref[i], ref[j]
					if a.t != b.t {
						return a.t < b.t
					}
					if a.class != b.class {
						return a.class < b.class
					}
					return a.seq < b.seq
				})
				e, ok := c.Next(Never - 1)
				if ok != (len(ref) > 0) {
					rt.Fatalf("event there: %v, expected %v", ok, len(ref) > 0)
				}
				if ok {
					if e.A != ref[0].id || c.Now() != ref[0].t {
						rt.Fatalf("got event %d at %d, want %d at %d", e.A, c.Now(), ref[0].id, ref[0].t)
					}
					last, free = ref[0], true
					ref = ref[1:]
				} else {
					return
				}
			case 4:
				again()
			}
			if msg := c.Check(); msg != "" {
				rt.Fatal(msg)
			}
			if c.Len() != len(ref) {
				rt.Fatalf("length %d, want %d", c.Len(), len(ref))
			}
		}
	})
}

func TestFromSeconds(t *testing.T) {
	for _, bad := range []float64{math.NaN(), -1e-9, math.Inf(-1)} {
		if _, err := FromSeconds(bad); err == nil {
			t.Errorf("%v was taken as a length of time", bad)
		}
	}
	if got, _ := FromSeconds(1.2344999); got != 1234*Millisecond {
		t.Errorf("1.2344999 s became %d us", got)
	}
	if got, _ := FromSeconds(math.Inf(1)); got != Never {
		t.Errorf("infinity became %d", got)
	}
}

func TestCopyGoesItsOwnWay(t *testing.T) {
	var a, b Calendar
	for i := range 50 {
		a.Book(Time(i%7), Finish, Event{A: int32(i)})
	}
	a.Next(Never - 1)
	b.CopyFrom(&a)
	for {
		x, ok := a.Next(Never - 1)
		y, ok2 := b.Next(Never - 1)
		if x != y || ok != ok2 {
			t.Fatalf("copy took %v, original %v", y, x)
		}
		if !ok {
			break
		}
	}
}

// TestNeverIsNoTime asks an empty calendar for an event without a limit.
func TestNeverIsNoTime(t *testing.T) {
	var c Calendar
	if _, ok := c.Next(Never); ok || c.Now() != 0 {
		t.Fatalf("an empty calendar gave an event or moved the clock to %d", c.Now())
	}
	c.Book(7, Finish, Event{})
	if h := c.Book(Never, Finish, Event{}); h != 0 || c.Pending(h) || c.Cancel(h) {
		t.Fatal("an event that never comes was booked")
	}
	if _, ok := c.Next(Never); !ok || c.Now() != 7 {
		t.Fatalf("the event at 7 was not taken, clock %d", c.Now())
	}
	if _, ok := c.Next(Never); ok || c.Now() != 7 {
		t.Fatalf("the clock left the last event for %d", c.Now())
	}
	if _, ok := c.Next(9); ok || c.Now() != 9 {
		t.Fatalf("the clock should stand at the limit 9, not %d", c.Now())
	}
}

// TestNoAllocation: once the tree has grown, booking, taking and cancelling
// allocate nothing.
func TestNoAllocation(t *testing.T) {
	var c Calendar
	x := steps(1)
	for range 100 {
		c.Book(x.next(), Finish, Event{})
	}
	if a := testing.AllocsPerRun(10, func() {
		for range 1000 {
			e, _ := c.Next(Never)
			h := c.Book(c.Now()+x.next(), Finish, e)
			c.Book(c.Now()+x.next(), Fail, e)
			c.Cancel(h)
			c.Next(Never)
			c.Again(x.next(), Finish)
		}
	}); a != 0 {
		t.Errorf("%v allocations in 1,000 events", a)
	}
}

// TestTooMany books one event more than a calendar holds.
func TestTooMany(t *testing.T) {
	var c Calendar
	for range MaxPending {
		if c.Book(5, Finish, Event{}) == 0 {
			t.Fatal("an event was refused")
		}
	}
	if h := c.Book(1, Finish, Event{}); h != 0 || c.Check() == "" || c.Len() != MaxPending {
		t.Errorf("handle %d, check %q, %d pending", h, c.Check(), c.Len())
	}
	if _, ok := c.Next(Never); !ok || c.Now() != 5 {
		t.Errorf("next at %d", c.Now())
	}
	if c.Book(9, Finish, Event{}) == 0 {
		t.Error("there is room again, and an event was refused")
	}
}
