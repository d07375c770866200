package flow_test

import (
	"errors"
	"fmt"
	"hash/fnv"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"

	"pgregory.net/rapid"
)

// playPlain plays a small net of units that have nothing but their work, every
// choice and every time a function of the seed; times are small whole numbers, so
// many things happen at once. With stops each unit has a planned one beyond the
// end, which changes nothing but that it goes the long way. It returns a
// fingerprint of all that was called and counted.
func playPlain(seed uint64, stops bool) (wrong, end string, calls int) {
	k := luck{Seed: seed}
	drawn := 0
	upTo := func(n int) int {
		drawn++
		return k.upTo(n, forStart, 0, drawn)
	}
	chance := func(percent int) bool { return upTo(99) < percent }
	p := flow.NewPlant()
	trace := fnv.New64a()
	seen := func(what string, where int, pc *flow.Piece) {
		calls++
		c := p.Count()
		fmt.Fprintln(trace, what, where, p.Now(), pc.Number, pc.Kind, pc.Came, pc.Born, pc.Works, c.Left, c.Inside, c.Events)
	}
	p.OnLeave(func(pc *flow.Piece) { seen("leaves", 0, pc) })
	nStores, nUnits := 1+upTo(4), 1+upTo(5)
	var stores []flow.StoreID
	for i := range nStores {
		s := flow.StoreSpec{Room: []int{0, 1, 2, 3, flow.Unlimited}[upTo(4)]}
		switch {
		case chance(10):
			s.Before = flow.ByPriority
		case chance(10):
			s.Patience = func(pc *flow.Piece) calendar.Time { return calendar.Time(k.upTo(9, forWork, 100+i, int(pc.Number))) }
		case chance(10) && s.Room > 0:
			s.Travel = func(pc *flow.Piece) calendar.Time { return calendar.Time(k.upTo(5, forWork, 200+i, int(pc.Number))) }
		}
		stores = append(stores, p.AddStore(s))
	}
	to := func(from int) flow.StoreID { // mostly onwards
		if from+1 < nStores && chance(70) {
			return stores[from+1]
		}
		return flow.StoreID(upTo(nStores))
	}
	p.AddSource(flow.SourceSpec{To: stores[0], Limit: upTo(1) * 50,
		Mark: func(pc *flow.Piece) { pc.Kind = int32(pc.Number % 3); pc.Priority = int32(pc.Number % 2) },
		Gap:  func(n int) calendar.Time { return calendar.Time(k.upTo(8, forGap, 1, n)) }})
	var units []flow.UnitID
	for i := range nUnits {
		from := i * nStores / nUnits
		s := flow.UnitSpec{Places: 1 + upTo(3)/3, From: stores[from], To: to(from), Limit: 100,
			Work: func(pc *flow.Piece) calendar.Time {
				seen("begins", i, pc)
				return calendar.Time(k.upTo(9, forWork, i, calls))
			}}
		if chance(20) {
			s.From = flow.Outside
		}
		if chance(20) {
			s.Route = func(pc *flow.Piece) flow.StoreID { return flow.StoreID(k.upTo(nStores, forUp, i, calls)) }
		}
		if chance(20) {
			s.Ends = func(pc *flow.Piece) { seen("ends", i, pc) }
		}
		if stops {
			s.Stops = []flow.StopSpec{{Cause: flow.CauseMaintenance, From: 1 << 40, For: 1}}
		}
		units = append(units, p.AddUnit(s))
	}
	for until := calendar.Time(7); until <= 700; until += 7 {
		err := p.Run(until)
		var stall *flow.Stall
		if errors.As(err, &stall) && stall.Circle {
			fmt.Fprintln(trace, err)
		} else if err != nil && stall == nil { // that nothing is left to happen is not true of a plant with stops
			return err.Error(), "", 0
		}
		if msg := p.Check(); msg != "" {
			return fmt.Sprintf("at %d: %s", p.Now(), msg), "", 0
		}
		for _, s := range stores {
			fmt.Fprintln(trace, p.Store(s))
		}
		for _, u := range units {
			fmt.Fprintln(trace, p.Unit(u), p.State(u, 0))
		}
		fmt.Fprintln(trace, p.Now(), p.Count(), p.Waits())
		if stall != nil && stall.Circle {
			break
		}
	}
	return "", fmt.Sprintf("%x after %d calls", trace.Sum64(), calls), calls
}

// TestPlainIsNoDifferent: the short way of plain units gives what the long one
// does, call by call.
func TestPlainIsNoDifferent(t *testing.T) {
	plants, calls := 0, 0
	rapid.Check(t, func(rt *rapid.T) {
		seed := rapid.Uint64().Draw(rt, "seed")
		wrong, short, n := playPlain(seed, false)
		if wrong != "" {
			rt.Fatal(wrong)
		}
		wrong, long, _ := playPlain(seed, true)
		if wrong != "" {
			rt.Fatal("with stops: ", wrong)
		}
		if short != long {
			rt.Fatalf("%s; with stops that never begin %s", short, long)
		}
		plants++
		calls += n
	})
	if calls < 50*plants {
		t.Errorf("%d calls in %d plants: too few to tell", calls, plants)
	}
}
