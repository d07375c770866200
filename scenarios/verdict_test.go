package scenarios_test

import (
	"context"
	"math"
	"os"
	"strings"
	"testing"

	"millrace/scenarios"
	"millrace/scripting"
	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/futures"
	"millrace/sim/works"
)

// nightly says that there is time for many futures.
func nightly() bool { return os.Getenv("MILLRACE_NIGHTLY") != "" }

func more(n, atNight int) int {
	if nightly() {
		return atNight
	}
	return n
}

// shipped makes the case that compare plays from a scenario that comes with the
// program.
func shipped(t testing.TB, name string, n int) *futures.Case {
	t.Helper()
	s, err := scripting.LoadScenario("scenarios/larkfell/"+name, scripting.DiskThen(scenarios.FS))
	if err != nil {
		t.Fatal(err)
	}
	c := &futures.Case{Scenario: s.Name, Plant: s.Works.Plant, Script: s.Script, SoldOut: s.SoldOut, Background: s.Background, Levels: s.Levels,
		Length: calendar.Dur(s.Length), MaxLength: calendar.Dur(s.Longest), Seed: s.Seed, Futures: n, Inputs: s.Inputs()}
	for i := range s.Plans {
		p := futures.Plan{Name: s.Plans[i].Name}
		if !s.Plans[i].Empty {
			p.New = s.Plans[i].Director
		}
		c.Plans = append(c.Plans, p)
	}
	return c
}

func compare(t testing.TB, c *futures.Case) *futures.Comparison {
	t.Helper()
	r, err := futures.Compare(context.Background(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Log(r.Verdict)
	return r
}

func cost(t testing.TB, r *futures.Comparison, plan string) float64 {
	t.Helper()
	for i := range r.Plans {
		if r.Plans[i].Name == plan {
			s := 0.0
			for _, v := range r.Plans[i].Cost {
				s += v / float64(len(r.Plans[i].Cost))
			}
			return s
		}
	}
	t.Fatalf("there is no plan %q", plan)
	return 0
}

// TestSimpleCobbleIsHardlyFelt: eight minutes are worth no plan.
func TestSimpleCobbleIsHardlyFelt(t *testing.T) {
	r := compare(t, shipped(t, "simple-cobble.lua", more(16, 100)))
	v := r.Verdict
	switch {
	case strings.HasPrefix(v, "Do nothing: carry on"), strings.HasPrefix(v, "Cannot tell"), strings.HasPrefix(v, "Either will do"):
	default:
		t.Errorf("verdict on eight minutes: %s", v)
	}
}

// TestCobbleAddsAFewSlabs: an hour after the end 3 to 5 slabs more than in the twin
// wait in the yard and on the charging tables it feeds, and no steel is poured back.
//
// By hand. Two casters of two strands cast about 590 t/h together; in 8 minutes
// 590 x 8/60 = 79 t, and 79/23.2 t = 3.4 slabs find no furnace that draws. From the
// other end: the mill leaves out 8 min of some 35 slabs an hour, 4.7 slabs, but 1.5
// pieces (the strip in the train and the bar that goes cold behind it) are lost and
// replaced from the yard: 3.2.
func TestCobbleAddsAFewSlabs(t *testing.T) {
	c := shipped(t, "simple-cobble.lua", 1)
	p := c.Plant
	end := c.Script[0].At + c.Script[0].Lasts.Quantile(0.5)
	waits := []int{placeNamed(p, "slab yard"), placeNamed(p, "F1 charging table"), placeNamed(p, "F2 charging table")}
	pouredBack := placeNamed(p, "returned")
	n := more(200, 1000)
	mean, square, yard := 0.0, 0.0, 0.0
	for f := range n {
		var w [2]*works.Works
		level := [2]float64{}
		slabs := func(g int64) float64 { return float64(g) / 1000 / p.MeanSlab() }
		for k := range w {
			s := works.Start{Luck: chance.Luck{Seed: 1, Future: uint64(f)}, SoldOut: c.SoldOut}
			if k == 1 {
				s.Script = c.Script
			}
			w[k] = works.Begin(p, s)
			if err := w[k].Run(calendar.Dur(end) + calendar.Hour); err != nil {
				t.Fatal(err)
			}
			for _, at := range waits {
				level[k] += slabs(w[k].S.Mass[at])
			}
			yard += slabs(w[k].S.Mass[waits[0]]) * float64(2*k-1) / float64(n)
			if err := w[k].Run(calendar.Dur(end) + 8*calendar.Hour); err != nil {
				t.Fatal(err)
			}
		}
		d := level[1] - level[0]
		mean += d / float64(n)
		square += d * d / float64(n)
		if a, b := w[1].S.Mass[pouredBack], w[0].S.Mass[pouredBack]; a > b {
			t.Errorf("future %d: %.1f t poured back, %.1f t without the cobble", f, float64(a)/1e6, float64(b)/1e6)
		}
	}
	half := 1.96 * math.Sqrt((square-mean*mean)/float64(n))
	t.Logf("%d futures: %.2f slabs more wait (95 %% interval %.2f to %.2f), %.2f of them in the yard; by hand 3.2 to 3.4", n, mean, mean-half, mean+half, yard)
	if mean < 3 || mean > 5 {
		t.Errorf("an hour after eight minutes %.2f slabs more wait, want 3 to 5", mean)
	}
	if half > 0.25 {
		t.Errorf("known to %.2f slabs only", half)
	}
}

// answer is a plan that acts when the train stops and when it runs again.
type answer struct {
	stop, run func(w *works.Works)
	stopped   bool
}

func (a *answer) Wants() (calendar.Time, uint32) { return calendar.Never, works.TopicStops }

func (a *answer) Ask(w *works.Works) {
	s := w.Standing(w.P.TrainUnit())
	if s == a.stopped {
		return
	}
	a.stopped = s
	if s {
		a.stop(w)
	} else {
		a.run(w)
	}
}

func carryOn() futures.Plan { return futures.Plan{Name: "carry on"} }

// slowCasters casts as slowly as the nozzles bear while the train stands.
func slowCasters() futures.Plan {
	all := func(speed func(*works.CasterSpec) float64) func(*works.Works) {
		return func(w *works.Works) {
			for c := range w.P.Spec.Casters {
				_ = w.Do(works.Order{Lever: works.SetCasterSpeed, Unit: w.P.CasterUnit(c), Value: speed(&w.P.Spec.Casters[c])})
			}
		}
	}
	return futures.Plan{Name: "slow the casters", New: func(chance.Luck) works.Director {
		return &answer{stop: all(func(c *works.CasterSpec) float64 { return c.Slowest }), run: all(func(c *works.CasterSpec) float64 { return c.Normal })}
	}}
}

// openOverflow trucks slabs to the overflow yard while the train stands.
func openOverflow() futures.Plan {
	do := func(l works.Lever) func(*works.Works) {
		return func(w *works.Works) { _ = w.Do(works.Order{Lever: l, Unit: -1}) }
	}
	return futures.Plan{Name: "open the overflow yard", New: func(chance.Luck) works.Director {
		return &answer{stop: do(works.OpenOverflow), run: do(works.CloseOverflow)}
	}}
}

// useTheRoom lets the casters cast as long as the yard has room: Larkfell's own
// orders space sequences well before it is full.
func useTheRoom(s *works.Spec) {
	s.Planned = nil
	s.Standing.YardHigh = s.Yard.Room
}

// flip is one question in two forms that differ in one thing.
type flip struct {
	name   string
	days   calendar.Time
	plans  []futures.Plan
	form   [2]string
	spec   [2]func(s *works.Spec)
	hours  [2]float64 // how long the wreck lasts; people are told the same in both forms
	sold   [2]bool
	leader [2]string
	least  float64 // money by which the leader leads the other form's leader
}

// TestVerdictsFlip: the plan that leads changes when one thing about the question
// changes, the way the trade expects. In all of them the wreck is at hour 10 and
// people hear "low 4 h, likely 8 h, bad 26 h". No background upsets: the flip is
// the question's, not luck's.
func TestVerdictsFlip(t *testing.T) {
	room := func(t float64) func(s *works.Spec) {
		return func(s *works.Spec) {
			s.Yard.Room = t * 1000
			s.Yard.High = math.Min(s.Yard.High, 0.9*s.Yard.Room)
			useTheRoom(s)
		}
	}
	// A book of 90,000 t, six and a half days of work, that is due on day 9.
	short := func(s *works.Spec) {
		useTheRoom(s)
		s.Orders = nil
		for i := range s.Products {
			s.Orders = append(s.Orders, works.OrderLine{ID: s.Products[i].Name, Product: i, Mass: 90e6 * s.Products[i].Share, Due: 9 * 86400, Penalty: 0.01, Cap: 0.05})
		}
	}
	for _, f := range []flip{
		{
			// The yard has 10,000 t of room, 17 h of casting at full speed. Four hours
			// fit in, and what is not cast in them is lost for nothing; a day does not,
			// and who did not slow pours heats back, pools iron and breaks sequences.
			name: "only the repair's length", days: 5, plans: []futures.Plan{carryOn(), slowCasters()},
			form: [2]string{"4 h", "24 h"}, hours: [2]float64{4, 24},
			spec: [2]func(*works.Spec){useTheRoom, useTheRoom}, sold: [2]bool{true, true},
			leader: [2]string{"carry on", "slow the casters"}, least: 50_000,
		},
		{
			// Twelve hours of casting are 7,000 t. A yard with 3,700 t of room is full
			// half-way, one with 44,000 t takes them all and gives them back to the mill.
			name: "only the yard's room", days: 10, plans: []futures.Plan{carryOn(), slowCasters()},
			form: [2]string{"room 60,000 t", "room 19,500 t"}, hours: [2]float64{12, 12},
			spec: [2]func(*works.Spec){room(60_000), room(19_500)}, sold: [2]bool{true, true},
			leader: [2]string{"carry on", "slow the casters"}, least: 100_000,
		},
		{
			// Who can sell every tonne trucks slabs away so that casting goes on: what
			// is not cast is never sold. Who has work for a week only misses none of it:
			// the casters stand later anyway, trucking is for nothing and slow casting
			// spares iron that would be pooled at the end of the book.
			name: "only demand", days: 10, plans: []futures.Plan{carryOn(), slowCasters(), openOverflow()},
			form: [2]string{"sold out", "book only, a short book"}, hours: [2]float64{24, 24},
			spec: [2]func(*works.Spec){short, short}, sold: [2]bool{true, false},
			leader: [2]string{"open the overflow yard", "slow the casters"}, least: 200_000,
		},
	} {
		t.Run(f.name, func(t *testing.T) {
			for k := range 2 {
				t.Run(f.form[k], func(t *testing.T) {
					r := compare(t, &futures.Case{Scenario: f.name, Plant: plantWith(t, f.spec[k]), Script: wreck(10, f.hours[k]), SoldOut: f.sold[k],
						Length: f.days * calendar.Day, MaxLength: f.days * calendar.Day, Seed: 5, Futures: more(16, 100), Plans: f.plans})
					lead := cost(t, r, f.leader[1-k]) - cost(t, r, f.leader[k])
					t.Logf("%s leads %s by %.0f EUR", f.leader[k], f.leader[1-k], lead)
					if best := r.Plans[r.Best].Name; !r.Decided || best != f.leader[k] {
						t.Errorf("decided %v, %s leads; want %s: %s", r.Decided, best, f.leader[k], r.Verdict)
					}
					if lead < f.least {
						t.Errorf("%s leads by %.0f EUR only: the test stands on a knife's edge", f.leader[k], lead)
					}
					if f.leader[k] == "carry on" && !strings.HasPrefix(r.Verdict, "Do nothing: carry on") {
						t.Errorf("the verdict does not say to do nothing: %s", r.Verdict)
					}
				})
			}
		})
	}
}

// TestCannotTell: the same two plans as in the first flip, but nobody knows whether
// the wreck lasts four hours or a day. Then the verdict is that it cannot tell, and
// that a sure word on the wreck would decide, with the length at which the plans
// change places.
func TestCannotTell(t *testing.T) {
	script := wreck(10, 0)
	law, err := chance.Lognormal(8*3600, 20*3600)
	if err != nil {
		t.Fatal(err)
	}
	script[0].Lasts = law
	r := compare(t, &futures.Case{Scenario: "wreck of unknown length", Plant: plantWith(t, useTheRoom), Script: script, SoldOut: true,
		Length: 5 * calendar.Day, MaxLength: 5 * calendar.Day, Seed: 5, Futures: 20, Plans: []futures.Plan{carryOn(), slowCasters()}, KeepResults: true})
	if r.Decided || !strings.HasPrefix(r.Verdict, "Cannot tell between") {
		t.Errorf("decided %v: %s", r.Decided, r.Verdict)
	}
	if r.Needed <= r.Futures {
		t.Errorf("%d futures were played and %d would decide", r.Futures, r.Needed)
	}
	if !strings.HasPrefix(r.Decider, "a sure word on the stand wreck") || !strings.HasSuffix(r.Decider, "carry on, above: slow the casters)") {
		t.Errorf("what would decide: %q", r.Decider)
	}
	// Both plans lead in some futures: carrying on in short wrecks, slowing in long.
	length, times := [2]float64{}, [2]float64{}
	for f := range r.Futures {
		k := 0
		if r.Plans[1].Cost[f] < r.Plans[0].Cost[f] {
			k = 1
		}
		m, ok := r.Plans[0].Results[f].Measures.Get("upset")
		if !ok {
			t.Fatal(`there is no measure "upset"`)
		}
		length[k] += m.Value
		times[k]++
	}
	if times[0] == 0 || times[1] == 0 {
		t.Fatalf("one plan wins everywhere: %v futures", times)
	}
	a, b := length[0]/times[0], length[1]/times[1]
	t.Logf("carrying on wins %.0f futures, %.1f h in the mean; slowing wins %.0f, %.1f h", times[0], a, times[1], b)
	if b < a+4 {
		t.Errorf("wrecks in which slowing wins last %.1f h in the mean, those in which it does not %.1f h", b, a)
	}
}
