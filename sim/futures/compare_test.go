package futures

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
	"millrace/sim/works"
)

func slow(chance.Luck) works.Director { return &slower{} }

func wreckCase(t testing.TB, futures int, length calendar.Time) *Case {
	return &Case{Scenario: "wreck", Plant: mustBuild(t), Script: []works.UpsetSpec{wreck(16)}, SoldOut: true, Background: true, Length: length, Seed: 7, Futures: futures,
		Plans: []Plan{{Name: "carry on"}, {Name: "slow the casters", New: slow}, {Name: "wait and see", New: func(chance.Luck) works.Director { return nil }}}}
}

func mustCompare(t *testing.T, c *Case) *Comparison {
	t.Helper()
	r, err := Compare(context.Background(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Any number of workers gives the same bytes.
func TestWorkersDoNotMatter(t *testing.T) {
	var first []byte
	var print string
	for _, n := range []int{1, 2, 8} {
		c := wreckCase(t, 6, 3*day)
		c.Workers = n
		last := 0
		r, err := Compare(context.Background(), c, func(done, total int) {
			if done != last+1 || total != 6 {
				t.Errorf("progress %d of %d after %d", done, total, last)
			}
			last = done
		})
		if err != nil {
			t.Fatal(err)
		}
		b, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first, print = b, r.Fingerprint
		}
		if string(b) != string(first) || r.Fingerprint != print {
			t.Errorf("%d workers give another answer", n)
		}
		if len(print) != 16 {
			t.Errorf("the fingerprint is %q", print)
		}
	}
	// Another seed, another input: another fingerprint.
	for _, change := range []func(*Case){func(c *Case) { c.Seed = 8 }, func(c *Case) { c.Inputs = "other" }} {
		c := wreckCase(t, 6, 3*day)
		change(c)
		if mustCompare(t, c).Fingerprint == print {
			t.Error("the fingerprint does not depend on seed or inputs")
		}
	}
}

// Plans that do nothing equal the standing orders record for record, and are the
// same in the comparison.
func TestDoingNothingIsTheSame(t *testing.T) {
	c := wreckCase(t, 10, 4*day)
	c.KeepResults = true
	r := mustCompare(t, c)
	a, b, s := &r.Plans[0], &r.Plans[2], &r.Plans[1]
	for f := range a.Cost {
		if a.Results[f].Digest != b.Results[f].Digest || a.Cost[f] != b.Cost[f] {
			t.Errorf("future %d: two plans that do nothing differ", f)
		}
		if a.Results[f].Digest == s.Results[f].Digest {
			t.Errorf("future %d: slowing the casters leaves no trace", f)
		}
	}
	if len(a.SameAs) != 1 || a.SameAs[0] != "wait and see" || len(s.SameAs) != 0 {
		t.Errorf("same as: %v and %v", a.SameAs, s.SameAs)
	}
	if a.Standing.Group != b.Standing.Group || a.Standing.Group == s.Standing.Group {
		t.Error("groups are wrong")
	}
	if math.Abs(a.ChanceMeanBest+b.ChanceMeanBest+s.ChanceMeanBest-1) > 1e-6 || math.Abs(a.ShareWon+b.ShareWon+s.ShareWon-1) > 1e-9 {
		t.Error("chances do not add up to one")
	}
	// 2 orders when the train stops and 2 when it runs again, in every future in
	// which it runs again; background stops bring more.
	if a.Orders != 0 || s.Orders < 2*len(s.Cost) {
		t.Errorf("%d and %d orders", a.Orders, s.Orders)
	}
}

// Without an upset the twin is the run itself and nothing costs anything.
func TestTwinOfAQuietRun(t *testing.T) {
	c := wreckCase(t, 3, 2*day)
	c.KeepResults = true
	// The upset comes after the end: every record is the twin's.
	c.Script[0].At = 40 * 24 * 3600
	r := mustCompare(t, c)
	for f, cost := range r.Plans[0].Cost {
		if cost != 0 || r.Plans[0].Results[f].Digest != r.Twin.Results[f].Digest {
			t.Errorf("future %d: an upset that has not come yet costs %v", f, cost)
		}
	}
	for _, l := range r.Plans[0].CostOfUpset {
		if l.Amount != 0 {
			t.Errorf("%s: %v", l.Name, l.Amount)
		}
	}
	// No script at all: no twin is needed.
	c.Script = nil
	r = mustCompare(t, c)
	if r.Decided || r.Plans[0].Cost[0] != 0 || !strings.Contains(r.Verdict, "no upset") {
		t.Errorf("verdict of a quiet scenario: %s", r.Verdict)
	}
	if r.Plans[0].Results[0].Digest != r.Twin.Results[0].Digest {
		t.Error("without an upset the twin is another run")
	}
}

// The lines of every account add up, and the cost of the upset is the plan's
// account less the twin's.
func TestMoneyAddsUp(t *testing.T) {
	c := wreckCase(t, 3, 4*day)
	c.KeepResults = true
	r := mustCompare(t, c)
	for f := range 3 {
		for p := range r.Plans {
			x, y := r.Plans[p].Results[f], r.Twin.Results[f]
			sum, n := 0.0, len(x.Money)-1
			for i := range n {
				sum += x.Upset[i].Amount
				if d := x.Money[i].Amount - y.Money[i].Amount; d != x.Upset[i].Amount {
					t.Errorf("%s: %v, against the twin %v", x.Money[i].Name, x.Upset[i].Amount, d)
				}
			}
			if x.Upset[n].Amount != r.Plans[p].Cost[f] || math.Abs(sum-x.Upset[n].Amount) > 1e-6*math.Abs(sum) {
				t.Errorf("the lines add up to %v, the total says %v, the cost %v", sum, x.Upset[n].Amount, r.Plans[p].Cost[f])
			}
			if m, ok := x.Measures.Get(CostOfUpset); !ok || m.Value != r.Plans[p].Cost[f] {
				t.Error("the measure is not the cost")
			}
			b := x.MassBalance
			lost := 0.0
			for _, v := range b.ByCause {
				lost += v
			}
			if d := b.In - b.Out - b.InStores - lost; math.Abs(d) > 1e-6 || math.Abs(b.Difference) > 1e-6 || b.In < 1e4 {
				t.Errorf("mass: %v of %v t are lost", d, b.In)
			}
			for _, u := range x.Units {
				h := 0.0
				for _, v := range u.Hours {
					h += v
				}
				if want := x.Horizon.Hours() * float64(u.Places); math.Abs(h-want) > 1e-6*want {
					t.Errorf("%s: %v of %v h", u.Unit, h, want)
				}
			}
		}
	}
}

// An upset near the end stretches the run by whole days for all plans and the
// twin, and the longest length is kept.
func TestHorizonIsCommon(t *testing.T) {
	c := wreckCase(t, 4, 2*day)
	c.KeepResults = true
	c.Script = []works.UpsetSpec{wreck(30)}
	c.MaxLength = 12 * day
	r := mustCompare(t, c)
	if r.Extended == 0 || r.Capped != 0 || r.Longest <= 2*day {
		t.Fatalf("%d futures extended, %d cut off, longest %v h", r.Extended, r.Capped, r.Longest.Hours())
	}
	for f := range 4 {
		h := r.Twin.Results[f].Horizon
		if h%day != 0 || h > r.Longest {
			t.Errorf("horizon %v h", h.Hours())
		}
		for p := range r.Plans {
			if x := r.Plans[p].Results[f]; x.Horizon != h || !x.Recovered {
				t.Errorf("plan %d, future %d: horizon %v h of %v, recovered %v", p, f, x.Horizon.Hours(), h.Hours(), x.Recovered)
			}
		}
	}
	c.MaxLength = 2 * day
	r = mustCompare(t, c)
	if r.Extended != 0 || r.Capped == 0 || r.Longest != 2*day || r.Plans[0].Unrecovered == 0 {
		t.Errorf("not to be extended: %d extended, %d cut off", r.Extended, r.Capped)
	}
	if len(r.Warnings) == 0 || !strings.Contains(r.Warnings[0], "cut off") {
		t.Errorf("warnings: %v", r.Warnings)
	}
	// A run that was stretched is the run that was long from the start.
	long := *c
	long.Length, long.MaxLength, long.Futures = 5*day, 0, 1
	one, err := RunOne(context.Background(), &long, 1, 0)
	if err != nil {
		t.Fatal(err)
	}
	p, err := c.begin(&c.Plans[1], true, 0, nil)
	if err != nil {
		t.Fatal(err)
	}
	for d := 1; d <= 5; d++ {
		if err := p.run(context.Background(), calendar.Time(d)*day); err != nil {
			t.Fatal(err)
		}
	}
	if got := p.digest.String(); got != one.Digest {
		t.Errorf("digest %s in one go, %s by days", one.Digest, got)
	}
}

// RunOne of a plan and a future is that plan's run in the comparison.
func TestRunOneIsPartOfTheComparison(t *testing.T) {
	c := wreckCase(t, 2, 3*day)
	c.KeepResults = true
	r := mustCompare(t, c)
	var log record.Memory
	c.Sink = &log
	x, err := RunOne(context.Background(), c, 1, 1)
	if err != nil {
		t.Fatal(err)
	}
	y := r.Plans[1].Results[1]
	if x.Digest != y.Digest || x.Fingerprint != y.Fingerprint || x.Upset[len(x.Upset)-1].Amount != r.Plans[1].Cost[1] {
		t.Error("the single run is another")
	}
	if uint64(len(log.Events)) != x.Events {
		t.Errorf("the log has %d records of %d", len(log.Events), x.Events)
	}
	z, err := RunOne(context.Background(), c, Twin, 1)
	if err != nil {
		t.Fatal(err)
	}
	if z.Digest != r.Twin.Results[1].Digest || z.Upset != nil {
		t.Error("the twin is another")
	}
	for _, s := range x.Series {
		if len(s.Level) != 3*24+1 {
			t.Errorf("%s has %d hours", s.Store, len(s.Level))
		}
	}
	for _, n := range []int{3, -3} {
		if _, err := RunOne(context.Background(), c, n, 0); err == nil {
			t.Errorf("plan %d is played", n)
		}
	}
}

func keys(t *testing.T, b []byte) (map[string]json.RawMessage, string) {
	t.Helper()
	var m map[string]json.RawMessage
	if err := json.Unmarshal(b, &m); err != nil {
		t.Fatalf("%v: %s", err, b)
	}
	var k []string
	for n := range m {
		k = append(k, n)
	}
	for i := range k {
		for j := i; j > 0 && k[j] < k[j-1]; j-- {
			k[j], k[j-1] = k[j-1], k[j]
		}
	}
	return m, strings.Join(k, " ")
}

// The JSON is a contract: these keys and no others.
func TestJSONContract(t *testing.T) {
	c := wreckCase(t, 2, 2*day)
	b, err := json.Marshal(mustCompare(t, c))
	if err != nil {
		t.Fatal(err)
	}
	m, k := keys(t, b)
	if k != "decided fingerprint futures plans run_folder scenario seed verdict" {
		t.Errorf("keys of a comparison: %s", k)
	}
	var plans []json.RawMessage
	if err := json.Unmarshal(m["plans"], &plans); err != nil || len(plans) != 3 {
		t.Fatalf("%v: %d plans", err, len(plans))
	}
	m, k = keys(t, plans[0])
	if k != "chance_mean_best measures name share_of_futures_won" {
		t.Errorf("keys of a plan: %s", k)
	}
	m, _ = keys(t, m["measures"])
	if _, k = keys(t, m[CostOfUpset]); k != "high low mean p10 p90 unit" {
		t.Errorf("keys of a measure: %s", k)
	}
	// Nobody opens the overflow yard, so it has no time of being full: null.
	if s := string(m["overflow yard full after"]); !strings.Contains(s, `"mean":null,"low":null`) {
		t.Errorf("a measure that does not exist: %s", s)
	}

	r, err := RunOne(context.Background(), c, 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	if b, err = json.Marshal(r); err != nil {
		t.Fatal(err)
	}
	m, k = keys(t, b)
	if k != "fingerprint mass_balance measures units" {
		t.Errorf("keys of a run: %s", k)
	}
	if _, k = keys(t, m["mass_balance"]); k != "by_cause difference_t in_stores_t in_t out_t" {
		t.Errorf("keys of the mass balance: %s", k)
	}
	x, _ := keys(t, m["measures"])
	if _, k = keys(t, x["dispatched"]); k != "unit value" {
		t.Errorf("keys of a measure of one run: %s", k)
	}
	u, _ := keys(t, m["units"])
	var hours map[string]float64
	if err := json.Unmarshal(u["finishing train"], &hours); err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for _, h := range hours {
		sum += h
	}
	if math.Abs(sum-48) > 1e-9 || hours["down"] <= 0 {
		t.Errorf("the finishing train's hours: %v", hours)
	}
}

func TestNumbersThatDoNotExist(t *testing.T) {
	b, err := json.Marshal(Summaries{{Name: `a "b"`, Unit: "t", Mean: math.NaN(), Low: 1, High: 2.5, P10: math.Inf(1)}})
	if want := `{"a \"b\"":{"mean":null,"low":1,"high":2.5,"p10":null,"p90":0,"unit":"t"}}`; err != nil || string(b) != want {
		t.Errorf("%s, want %s (%v)", b, want, err)
	}
}

type failing struct{ slower }

func (*failing) Err() error { return errors.New("plan.lua:7: no caster C9") }

func TestErrors(t *testing.T) {
	c := wreckCase(t, 4, day)
	c.Plans[1].New = func(l chance.Luck) works.Director {
		if l.Future == 2 {
			return &failing{}
		}
		return &slower{}
	}
	_, err := Compare(context.Background(), c, nil)
	if err == nil || !strings.Contains(err.Error(), "plan.lua:7") || !strings.Contains(err.Error(), "future 2") {
		t.Errorf("a plan's error: %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Compare(ctx, wreckCase(t, 2, day), nil); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	for name, change := range map[string]func(*Case){
		"no plant": func(c *Case) { c.Plant = nil }, "no length": func(c *Case) { c.Length = 0 }, "no plans": func(c *Case) { c.Plans = nil },
		"no futures": func(c *Case) { c.Futures = 0 }, "no such unit": func(c *Case) { c.Script[0].Unit = "pickle lake" }, "no such store": func(c *Case) { c.Stores = []string{"attic"} },
	} {
		c := wreckCase(t, 1, day)
		change(c)
		if _, err := Compare(context.Background(), c, nil); err == nil {
			t.Errorf("%s is played", name)
		}
	}
}

// A works whose counters disagree with its records ends in an error: the check
// runs in production.
func TestBrokenLawIsAnError(t *testing.T) {
	c := wreckCase(t, 1, day)
	p, err := c.begin(&c.Plans[0], true, 0, nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := p.run(context.Background(), 6*calendar.Hour); err != nil {
		t.Fatal(err)
	}
	p.w.S.Mass[0]++ // a gram that nobody moved
	if err := p.run(context.Background(), 7*calendar.Hour); err == nil || !strings.Contains(err.Error(), "carry on") {
		t.Errorf("a gram from nowhere: %v", err)
	}
}
