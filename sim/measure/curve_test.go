package measure

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"millrace/sim/calendar"
	_ "millrace/sim/propseed"
	"millrace/sim/record"
	"millrace/sim/reftable"
)

// vectors are the rows of one method of testdata/method_vectors.csv, whose first
// lines cite their source.
func vectors(tb testing.TB, method string) []map[string]string {
	tb.Helper()
	var out []map[string]string
	for _, m := range reftable.Rows(tb, "method_vectors.csv") {
		if m["method"] == method {
			out = append(out, m)
		}
	}
	if len(out) == 0 {
		tb.Fatal("no rows of ", method)
	}
	return out
}

var parse = reftable.Number

// points reads "0:0 1.5:1": hours and values.
func points(tb testing.TB, s string) (p []Point) {
	tb.Helper()
	for _, w := range strings.Fields(s) {
		a, b, _ := strings.Cut(w, ":")
		p = append(p, Point{hour(parse(tb, a)), parse(tb, b)})
	}
	return p
}

func TestTimeWeightedVectors(tb *testing.T) {
	n := 0
	for _, r := range vectors(tb, "time_weighted") {
		q := Steps(points(tb, r["input"]))
		var got float64
		switch r["quantity"] {
		case "area":
			got = q.Area(0, hour(10)) / 3600
		case "mean":
			got = q.Average(0, hour(10))
		case "variance":
			got = q.Spread(0, hour(10))
		case "max":
			_, got = q.Range(0, hour(10))
		case "mean over 3..10":
			got = q.Average(hour(3), hour(10))
		case "fraction of time at 0":
			got = q.ShareOf(0, hour(10), func(v float64) bool { return v == 0 })
		default:
			tb.Fatal(r)
		}
		n++
		if w := parse(tb, r["value"]); math.Abs(got-w) > 1e-13*math.Max(1, w) {
			tb.Errorf("%s: %.15g, want %s", r["quantity"], got, r["value"])
		}
	}
	if n != 6 {
		tb.Error(n, "rows")
	}
	// A value that lasted no time has no weight.
	q := Steps{{0, 1}, {hour(1), 99}, {hour(1), 2}}
	if least, most := q.Range(0, hour(2)); least != 1 || most != 2 {
		tb.Error(least, most)
	}
	if !math.IsNaN(q.Average(hour(1), hour(1))) {
		tb.Error("mean of no time")
	}
}

func TestResilienceVectors(tb *testing.T) {
	n := 0
	for _, r := range vectors(tb, "resilience") {
		text, _, _ := strings.Cut(r["input"], " (")
		var got float64
		from, to := hour(10), hour(48)
		switch {
		case r["case"] == "linear triangle": // nothing for 8 h, then back in a line over 12 h
			got = Lines{{0, 0}, {hour(8), 0}, {hour(20), 100}}.Loss(100, 0, hour(48)) / 3600
		case r["quantity"] == "loss (percent-hours)":
			q := Steps(points(tb, text))
			got = q.Loss(100, 0, to) / 3600
			if g := q.GrossLoss(100, 0, to) / 3600; g != got {
				tb.Errorf("gross %v, net %v, though never above the reference", g, got)
			}
		case r["quantity"] == "index":
			got = Steps(points(tb, text)).Average(from, hour(38)) / 100
		case r["quantity"] == "hours":
			level := 100.0
			if strings.Contains(r["parameters"], "80 %") {
				level = 80
			}
			after, ok := Steps(points(tb, text)).Recovered(level, 0, from, to)
			if !ok {
				tb.Error("not recovered")
			}
			got = after.Hours()
		case r["quantity"] == "percent":
			got, _ = Steps(points(tb, text)).Range(0, to)
		default:
			tb.Fatal(r)
		}
		n++
		if w := parse(tb, r["value"]); math.Abs(got-w) > 1e-13*math.Max(1, w) {
			tb.Errorf("%s %s: %.15g, want %s", r["parameters"], r["quantity"], got, r["value"])
		}
	}
	if n != 6 {
		tb.Error(n, "rows")
	}
}

// Without a hold a good hour in between ends the recovery; with one it does not, and
// a hold that is not over is not kept.
func TestRecoveryHolds(tb *testing.T) {
	q := Steps(points(tb, "0:100 10:0 12:97 13:40 20:96 40:100"))
	for _, c := range []struct {
		hold, to, after float64
		ok              bool
	}{{0, 48, 2, true}, {1, 48, 2, true}, {2, 48, 10, true}, {8, 28, 10, true}, {8, 27, 0, false}, {0, 11, 0, false}} {
		after, ok := q.Recovered(95, hour(c.hold), hour(10), hour(c.to))
		if ok != c.ok || after != hour(c.after) {
			tb.Errorf("hold %v h to %v h: %v h %v", c.hold, c.to, after.Hours(), ok)
		}
	}
	over := Steps(points(tb, "0:100 1:40 3:130 5:100"))
	if net, gross := over.Loss(100, 0, hour(9))/3600, over.GrossLoss(100, 0, hour(9))/3600; net != 60 || gross != 120 {
		tb.Errorf("net %v, gross %v, by hand 120-60 and 120", net, gross)
	}
	// Making up for it later: the net loss is smaller than the gross one.
	twin, actual := Steps(points(tb, "0:0 1:10 2:20 3:30 4:40")), Steps(points(tb, "0:0 3:5 4:38"))
	if d := NetLoss(twin, actual, hour(2)); d != 20 {
		tb.Error(d)
	}
	if d := NetLoss(twin, actual, hour(5)); d != 2 {
		tb.Error(d)
	}
}

// The fluid outage: D hours without service at arrival rate l, then m: area of the
// backlog l m D^2/(2(m-l)) (any text; trapezoids by hand).
func TestFluidOutage(tb *testing.T) {
	const d, l, m = 6.0, 80.0, 100.0
	top, clear := l*d, l*d/(m-l)
	q := Lines{{0, 0}, {hour(d), top}, {hour(d + clear), 0}}
	if got, want := -q.Loss(0, 0, hour(100))/3600, l*m*d*d/(2*(m-l)); math.Abs(got-want) > 1e-9*want {
		tb.Error(got, want)
	}
	// cut in two anywhere, the parts add up
	for _, x := range []float64{1, 6, 20, 40} {
		if a, b := q.Loss(0, 0, hour(x))+q.Loss(0, hour(x), hour(100)), q.Loss(0, 0, hour(100)); math.Abs(a-b) > 1e-9*math.Abs(b) {
			tb.Error(x, a, b)
		}
	}
}

func TestBottleneckVectors(tb *testing.T) {
	read := func(input string) (spells [][]Spell, horizon calendar.Time) {
		for _, part := range strings.Split(input, "; ") {
			if h, ok := strings.CutPrefix(part, "horizon "); ok {
				return spells, hour(parse(tb, h))
			}
			var list []Spell
			for _, w := range strings.Fields(part)[1:] {
				a, b, _ := strings.Cut(w, "-")
				list = append(list, Spell{hour(parse(tb, a)), hour(parse(tb, b))})
			}
			spells = append(spells, list)
		}
		tb.Fatal(input)
		return nil, 0
	}
	n := 0
	for _, method := range []string{"active_period_average", "active_period_share", "shifting_bottleneck"} {
		for _, r := range vectors(tb, method) {
			spells, horizon := read(r["input"])
			b, err := FindBottleneck(spells, 0, horizon)
			if err != nil {
				tb.Fatal(err)
			}
			var got float64
			if r["case"] == "sequence" {
				got = float64(len(b.Turns))
			} else {
				u := b.Units[int(r["case"][1]-'1')]
				switch r["quantity"] {
				case "mean active duration":
					got = u.Mean / 3600
				case "share of time":
					got = u.Momentary
				case "sole share":
					got = u.Sole
				case "shifting share":
					got = u.Shifting
				default:
					tb.Fatal(r)
				}
			}
			n++
			if math.Abs(got-parse(tb, r["value"])) > 1e-13*math.Max(1, got) {
				tb.Errorf("%s %s %s: %.15g, want %s", method, r["case"], r["quantity"], got, r["value"])
			}
			if b.Average() != 0 || b.Longest() != 1 {
				tb.Errorf("on average %d, longest %d", b.Average(), b.Longest())
			}
		}
	}
	if n != 13 {
		tb.Error(n, "rows")
	}
	var blocked, starved []float64
	for _, r := range vectors(tb, "turning_point") {
		_, text, _ := strings.Cut(r["parameters"], "TB ")
		if tbs, tss, ok := strings.Cut(text, " TS "); ok && blocked == nil {
			for _, w := range strings.Fields(tbs) {
				blocked = append(blocked, parse(tb, w))
			}
			for _, w := range strings.Fields(tss) {
				starved = append(starved, parse(tb, w))
			}
		}
		if m, ok := strings.CutPrefix(r["case"], "machine "); ok {
			i := int(parse(tb, m)) - 1
			if math.Abs(blocked[i]-starved[i]-parse(tb, r["value"])) > 1e-12 {
				tb.Error(r)
			}
		} else if j, ok := TurningPoint(blocked, starved); !ok || float64(j+1) != parse(tb, r["value"]) {
			tb.Error(j, ok)
		}
	}
	if _, ok := TurningPoint([]float64{0.1, 0.1}, []float64{0.2}); ok {
		tb.Error("shapes")
	}
	if _, ok := TurningPoint([]float64{0, 0.2}, []float64{0.2, 0}); ok {
		tb.Error("a line without a turning point")
	}
}

// Whatever the spells: the momentary shares are the time in which anybody was
// active, the sequence covers just that time, and no share passes 1.
func TestBottleneckShares(tb *testing.T) {
	rapid.Check(tb, func(tb *rapid.T) {
		var spells [][]Spell
		for range rapid.IntRange(1, 5).Draw(tb, "units") {
			var list []Spell
			at := 0
			for range rapid.IntRange(0, 8).Draw(tb, "spells") {
				at += rapid.IntRange(0, 6).Draw(tb, "gap")
				end := at + rapid.IntRange(1, 12).Draw(tb, "length")
				list = append(list, Spell{hour(float64(at)), hour(float64(end))})
				at = end
			}
			spells = append(spells, list)
		}
		const horizon = 60
		active := 0.0
		for h := range horizon {
			any := false
			for _, list := range spells {
				for _, s := range list {
					any = any || s.From <= hour(float64(h)) && s.To >= hour(float64(h+1))
				}
			}
			if any {
				active += 1. / horizon
			}
		}
		b, err := FindBottleneck(spells, 0, hour(horizon))
		if err != nil {
			tb.Fatal(err)
		}
		momentary, sole := 0.0, 0.0
		for _, u := range b.Units {
			momentary += u.Momentary
			sole += u.Sole
			if u.Sole+u.Shifting > 1+1e-12 {
				tb.Fatal(u)
			}
		}
		covered := 0.0
		for h := range horizon {
			for _, t := range b.Turns {
				if t.From <= hour(float64(h)) && t.To >= hour(float64(h+1)) {
					covered += 1. / horizon
					break
				}
			}
		}
		if math.Abs(momentary-active) > 1e-9 || math.Abs(covered-active) > 1e-9 || sole > active+1e-9 {
			tb.Fatalf("momentary %v, covered %v, sole %v of %v active: %+v", momentary, covered, sole, active, b)
		}
	})
	for _, bad := range [][][]Spell{{{{hour(2), hour(1)}}}, {{{hour(2), hour(3)}, {hour(1), hour(4)}}}} {
		if _, err := FindBottleneck(bad, 0, hour(9)); err == nil {
			tb.Error("taken", bad)
		}
	}
	if _, err := FindBottleneck(nil, hour(1), hour(1)); err == nil {
		tb.Error("no time taken")
	}
	if b, err := FindBottleneck([][]Spell{nil}, 0, hour(1)); err != nil || b.Average() != -1 || b.Longest() != -1 {
		tb.Error(b, err)
	}
}

// From records: what is starved, blocked or off shift is not active, and a unit of
// many places is while enough of them are.
func TestActivityFromRecords(tb *testing.T) {
	r := route()
	a, err := NewActivity(r, ActiveRule{Places: 0.75, Slowed: true})
	if err != nil {
		tb.Fatal(err)
	}
	one := func(h float64, s int) { a.Put([]record.Event{state(h, caster, s, 0, 0, 0)}) }
	one(0, running)
	one(2, down)
	one(5, running)
	one(6, starved)
	one(8, changeover)
	one(9, blocked)
	one(10, offShift)
	one(12, maintenance)
	one(13, slowed)
	four := func(h float64, run, dn, st int) { a.Put([]record.Event{state(h, furnace, running, run, dn, st)}) }
	four(0, 1, 0, 3)
	four(3, 3, 0, 1)
	four(4, 2, 1, 1)
	four(7, 2, 0, 2)
	got := a.Spells(hour(20))
	want := [][]Spell{{{0, hour(6)}, {hour(8), hour(9)}, {hour(12), hour(20)}}, {{hour(3), hour(7)}}, nil}
	for u := range want {
		if !slices.Equal(got[u], want[u]) {
			tb.Errorf("unit %d: %v", u, got[u])
		}
	}
	b, err := a.Find(0, hour(20))
	if err != nil || b.Average() != caster || b.Units[caster].Spells != 3 || b.Units[caster].Mean != 5*3600 {
		tb.Errorf("%+v %v", b, err)
	}
	// A wait of an hour joined, slowed not counted, the furnace left out.
	c, err := NewActivity(r, ActiveRule{Places: 1, Join: hour(1.5), Leave: func(u int) bool { return u == furnace }})
	if err != nil {
		tb.Fatal(err)
	}
	for _, e := range []record.Event{state(0, caster, running, 0, 0, 0), state(2, caster, starved, 0, 0, 0), state(3, caster, running, 0, 0, 0),
		state(5, caster, slowed, 0, 0, 0), state(8, caster, down, 0, 0, 0), state(0, furnace, running, 4, 0, 0)} {
		c.Put([]record.Event{e})
	}
	if s := c.Spells(hour(9)); !slices.Equal(s[caster], []Spell{{0, hour(5)}, {hour(8), hour(9)}}) || len(s[furnace]) != 0 {
		tb.Error(s)
	}
	if _, err := NewActivity(nil, ActiveRule{Places: 0.9}); err == nil {
		tb.Error("no route taken")
	}
	if _, err := NewActivity(r, ActiveRule{}); err == nil {
		tb.Error("no share taken")
	}
}
