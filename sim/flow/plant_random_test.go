package flow_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/flow"

	"pgregory.net/rapid"
)

// randomPlant declares a small plant with whatever flow has, every choice and
// every time a function of the seed. Times are small whole numbers, so many
// things happen at once.
func randomPlant(seed uint64) *flow.Plant {
	k := luck{Seed: seed}
	drawn := 0
	upTo := func(n int) int {
		drawn++
		return k.upTo(n, forStart, 0, drawn)
	}
	chance := func(percent int) bool { return upTo(99) < percent }
	p := flow.NewPlant()
	nStores, nUnits := 1+upTo(4), 1+upTo(5)
	place := func() flow.StoreID { return flow.StoreID(upTo(nStores)) }
	inner := func() flow.StoreID { return flow.StoreID(1 + upTo(nStores-1)) }
	span := func(what, max int) func(n int) calendar.Time {
		return func(n int) calendar.Time { return calendar.Time(k.upTo(max, forGap, what, n)) }
	}
	calls := 0
	ofPiece := func(what, max int) func(*flow.Piece) calendar.Time {
		return func(pc *flow.Piece) calendar.Time {
			calls++
			return calendar.Time(k.upTo(max, forWork, what, int(pc.Number)*31+calls))
		}
	}
	mark := func(pc *flow.Piece) {
		pc.Kind = int32(k.upTo(2, forUp, 1, int(pc.Number)))
		pc.Priority = int32(k.upTo(2, forUp, 2, int(pc.Number)))
	}
	var shared []flow.SharedID
	for i := range upTo(2) {
		shared = append(shared, p.AddShared(flow.SharedSpec{Name: fmt.Sprint("crane ", i), Count: 1 + upTo(1), Preempts: chance(50)}))
	}
	need := func() (n flow.Need) {
		if len(shared) > 0 && chance(40) {
			n = flow.Need{Shared: shared[upTo(len(shared)-1)], Priority: int32(upTo(2)), UntilGone: chance(40), ByPiece: chance(30)}
		}
		return n
	}
	ordered, belts := make([]bool, nStores+1), make([]bool, nStores+1)
	for i := range nStores {
		s := flow.StoreSpec{Room: upTo(4)}
		switch {
		case chance(30):
			s.Before = flow.ByPriority
			ordered[i+1] = true
		case chance(20):
			s.Before = flow.LastIn
			ordered[i+1] = true
		case chance(30):
			s.Room++
			belts[i+1] = true
			s.Travel = ofPiece(100+i, 9)
		}
		if s.Travel == nil && chance(30) {
			s.Patience, s.GivesUp = ofPiece(200+i, 20), place()
			if s.GivesUp == flow.StoreID(i+1) {
				s.GivesUp = flow.Outside
			}
		}
		if chance(20) {
			s.Room += 6
		}
		p.AddStore(s)
	}
	for i := range 1 + upTo(1) {
		p.AddSource(flow.SourceSpec{To: inner(), Mark: mark, Limit: upTo(1) * (1 + upTo(40)),
			Gap: func(n int) calendar.Time { return 1 + span(300+i, 12)(n) }, Group: func(n int) int { return 1 + k.upTo(2, forGap, 400+i, n) }})
	}
	for i := range nUnits {
		s := flow.UnitSpec{Places: 1 + upTo(2)/2, Work: ofPiece(500+i, 10), To: place(), Mark: mark, Limit: 50, Needs: need(), Scrap: flow.Outside}
		if chance(85) {
			s.From = inner()
			if more := inner(); chance(30) && more != s.From {
				s.Also = []flow.StoreID{more}
			}
		}
		if chance(30) {
			s.Route = func(pc *flow.Piece) flow.StoreID {
				return flow.StoreID(k.upTo(nStores, forUp, 600+i, int(pc.Number)*7+int(pc.Works)))
			}
		}
		if chance(30) {
			s.Setup = func(from, to int32) calendar.Time { return calendar.Time(from+to) % 4 }
			if fitter := need(); fitter.Shared != s.Needs.Shared {
				s.SetupNeeds = fitter
			}
		}
		switch {
		case s.From != flow.Outside && ordered[s.From] && (len(s.Also) == 0 || ordered[s.Also[0]]) && chance(60):
			s.Preempts, s.Displaced = true, flow.Fate(upTo(2))
		case chance(20):
			s.Batch = 1 + upTo(2)
			s.BatchMin = upTo(s.Batch)
		}
		if s.Batch > 1 && chance(50) {
			s.BatchWork = func(first *flow.Piece, n int) calendar.Time { return s.Work(first) + calendar.Time(n) }
		}
		if from := s.From; !s.Preempts && !(from != flow.Outside && belts[from]) && len(s.Also) == 0 && chance(20) {
			s.Picks = func(set int32, a, b *flow.Piece) bool { return a.Kind == set && b.Kind != set }
		}
		if s.From != flow.Outside && s.Batch < 2 && !s.Preempts && seed%3 == 0 && k.upTo(99, forStart, 1, i) < 35 {
			s.Also = nil
			for range 1 + upTo(1) {
				s.Parts = append(s.Parts, inner())
			}
		}
		if more := need(); more.Shared != 0 && more.Shared != s.SetupNeeds.Shared && chance(50) {
			s.MoreNeeds = []flow.Need{more}
			if more.Shared == s.Needs.Shared {
				s.MoreNeeds[0] = s.Needs
			}
		}
		for j := range upTo(2) {
			crew := need()
			crew.ByPiece = false
			s.Fails = append(s.Fails, flow.FailSpec{
				Clock: flow.Clock(upTo(1)), Piece: flow.Fate(upTo(2)), Crew: crew,
				Up:     func(place, n int) calendar.Time { return 1 + calendar.Time(k.upTo(30, forUp, 700+10*i+j, n*8+place)) },
				Repair: func(place, n int) calendar.Time { return calendar.Time(k.upTo(12, forRepair, 10*i+j, n*8+place)) },
			})
		}
		if chance(25) {
			s.Stops = append(s.Stops, flow.StopSpec{Cause: flow.CauseOffShift, From: calendar.Time(upTo(9)), For: 1 + calendar.Time(upTo(9)), Every: 20, FinishFirst: chance(50)})
		}
		if chance(25) {
			s.Stops = append(s.Stops, flow.StopSpec{Cause: flow.CauseMaintenance, From: calendar.Time(upTo(40)), For: 1 + calendar.Time(upTo(9)), FinishFirst: chance(50)})
		}
		p.AddUnit(s)
	}
	return p
}

// playRandom plays the plant of the seed in short steps. It returns what is
// wrong, whether it ran, and a fingerprint of how it ended.
func playRandom(seed uint64) (wrong string, ran bool, end string) {
	p := randomPlant(seed)
	before := calendar.Time(0)
	p.OnLeave(func(pc *flow.Piece) {
		if pc.Born > p.Now() || pc.Came > p.Now() || pc.Came < pc.Born {
			wrong = fmt.Sprintf("piece %d was born at %d and came at %d, now it is %d", pc.Number, pc.Born, pc.Came, p.Now())
		}
	})
	for until := calendar.Time(0); until <= 600; until += 7 {
		err := p.Run(until)
		var stall *flow.Stall
		switch {
		case errors.As(err, &stall):
			end = err.Error()
			if len(stall.Waits) == 0 {
				return "a stall that names nobody", true, end
			}
		case err == flow.ErrTimeStands:
			end = err.Error()
		case err != nil:
			return "", false, err.Error() // declared wrongly, and refused
		case p.Now() != until:
			return fmt.Sprintf("asked to play until %d it stopped at %d without a word", until, p.Now()), true, ""
		}
		if p.Now() < before {
			return fmt.Sprintf("time went back from %d to %d", before, p.Now()), true, end
		}
		before = p.Now()
		if wrong != "" {
			return wrong, true, end
		}
		if msg := p.Check(); msg != "" {
			return fmt.Sprintf("at %d: %s", p.Now(), msg), true, end
		}
		if err != nil {
			break
		}
	}
	return "", true, fmt.Sprint(end, p.Now(), p.Count())
}

// replay fails with the seed that plays the plant again.
func replay(fatalf func(string, ...any), seed uint64) (ran bool, end string) {
	wrong, ran, end := playRandom(seed)
	if wrong != "" {
		fatalf("seed %d: %s (%s)\nplay it again with: go test ./sim/flow -run TestRandomPlants -seed %d", seed, wrong, end, seed)
	}
	if _, _, again := playRandom(seed); again != end {
		fatalf("seed %d ends once as %s and once as %s", seed, end, again)
	}
	return ran, end
}

// TestRandomPlants loses no piece, never goes back in time and never stops
// without saying why.
func TestRandomPlants(t *testing.T) {
	if *onlySeed != 0 {
		replay(t.Fatalf, *onlySeed)
		return
	}
	for _, seed := range []uint64{31240} { // found something once
		replay(t.Fatalf, seed)
	}
	n := 3000
	if nightly {
		n = 100000
	}
	ran, stalled := 0, 0
	for seed := range uint64(n) {
		ok, end := replay(t.Fatalf, seed+1)
		if ok {
			ran++
		}
		if ok && strings.HasPrefix(end, "flow: ") {
			stalled++
		}
	}
	if ran < n/3 || stalled < n/100 || stalled > n*9/10 {
		t.Errorf("of %d plants %d were declared well and %d stalled: too few of a kind to tell", n, ran, stalled)
	}
}

// TestRandomPlantsShrink draws the seeds with rapid.
func TestRandomPlantsShrink(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) { replay(rt.Fatalf, rapid.Uint64().Draw(rt, "seed")) })
}

// FuzzPlant is the same for the fuzzer of Go.
func FuzzPlant(f *testing.F) {
	for seed := range uint64(20) {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, seed uint64) { replay(t.Fatalf, seed) })
}
