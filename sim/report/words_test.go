package report

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"millrace/sim/futures"
	_ "millrace/sim/propseed"
)

func TestMoneyIsWrittenToWhatIsKnown(t *testing.T) {
	for _, c := range []struct {
		amounts, halves []float64
		v               float64
		want            string
	}{
		{[]float64{1_314_000, 921_000}, []float64{92_000, 71_000}, 1_314_000, "1.31 million EUR"},
		{[]float64{1_314_000}, []float64{450_000}, 1_314_000, "1.3 million EUR"},
		{[]float64{12_345_678}, []float64{10}, 12_345_678, "12.3 million EUR"}, // never more than three digits
		{[]float64{345_678}, []float64{4_000}, 345_678, "346 thousand EUR"},
		{[]float64{34_567}, []float64{4_000}, 34_567, "35,000 EUR"},
		{[]float64{34_567}, nil, 34_567, "34,600 EUR"},
		{[]float64{-12.4}, nil, -12.4, "-12 EUR"},
		{[]float64{0}, nil, 0, "0 EUR"},
		{[]float64{5}, nil, math.NaN(), "-"},
	} {
		if got := moneyFor("EUR", c.amounts, c.halves).text(c.v); got != c.want {
			t.Errorf("%v +- %v: %v is written %q, want %q", c.amounts, c.halves, c.v, got, c.want)
		}
	}
}

func TestAmountsAndShares(t *testing.T) {
	for v, want := range map[float64]string{0: "0", 0.04: "0", 2.34: "2.3", 9.96: "10", 412.6: "413", 1130.2: "1,130", 118_412: "118,000", -3.21: "-3.2"} {
		if got := amount(v); got != want {
			t.Errorf("amount(%v) = %q, want %q", v, got, want)
		}
	}
	for v, want := range map[float64]string{0: "0 %", 0.002: "<1 %", 0.64: "64 %", 0.997: ">99 %", 1: "100 %", math.NaN(): "-"} {
		if got := percent(v); got != want {
			t.Errorf("percent(%v) = %q, want %q", v, got, want)
		}
	}
}

// TestNoLineIsTooWide gives plans, lines and warnings any names.
func TestNoLineIsTooWide(t *testing.T) {
	name := rapid.StringMatching(`[a-zA-Z]{1,90}( [a-z]{1,30}){0,6}`)
	rapid.Check(t, func(t *rapid.T) {
		c := undecided()
		for i := range c.Plans {
			c.Plans[i].Name = name.Draw(t, "plan")
			c.Plans[i].SameAs = []string{name.Draw(t, "same")}
			scale := math.Pow(10, rapid.Float64Range(-1, 4).Draw(t, "scale"))
			for k := range c.Plans[i].CostOfUpset {
				l := &c.Plans[i].CostOfUpset[k]
				l.Amount, l.Low, l.High = l.Amount*scale, l.Low*scale, l.High*scale
			}
		}
		c.Scenario, c.Verdict, c.Decider = name.Draw(t, "scenario"), name.Draw(t, "verdict"), name.Draw(t, "decider")
		x := extra()
		x.Command = name.Draw(t, "command")
		for i, l := range strings.Split(Compare(c, x), "\n") {
			if n := utf8.RuneCountInString(l); n > wide {
				t.Fatalf("line %d has %d columns: %s", i+1, n, l)
			}
		}
	})
}

func TestOddComparisonsHaveText(t *testing.T) {
	for name, c := range odd() {
		s := Compare(c, extra())
		if strings.Contains(s, "NaN") || strings.Contains(s, "Inf") || !strings.Contains(s, planningAid[:30]) && len(c.Plans) > 0 {
			t.Errorf("%s:\n%s", name, s)
		}
	}
	if s := Run(&futures.Result{}, Extra{}); !strings.Contains(s, "MASS BALANCE") {
		t.Errorf("an empty run:\n%s", s)
	}
}

func TestRankedPutsTheLeaderFirst(t *testing.T) {
	c := sample()
	if got := ranked(c); got[0] != 1 || got[1] != 2 || got[2] != 0 {
		t.Errorf("ranked %v", got)
	}
	c.Plans[0] = c.Plans[1] // the same cost: the leader before its equal
	if got := ranked(c); got[0] != 1 || got[1] != 0 {
		t.Errorf("ranked %v", got)
	}
	if b := beside(sample()); b != 0 {
		t.Errorf("beside the leader: %d, want carry on", b)
	}
}

func TestTablesHoldEverything(t *testing.T) {
	c := sample()
	c.Plans[0].Results = []*futures.Result{sampleRun()}
	rows := map[string]int{}
	for _, tab := range Tables(c) {
		rows[tab.Name] = len(tab.Rows)
		for _, r := range tab.Rows {
			if len(r) != len(tab.Header) {
				t.Fatalf("%s: %d cells, %d heads: %q", tab.Name, len(r), len(tab.Header), r)
			}
			for _, s := range r {
				if s == "NaN" || strings.HasSuffix(s, "Inf") {
					t.Errorf("%s: %q", tab.Name, r)
				}
			}
		}
	}
	want := map[string]int{
		"measures": 4 * len(c.Plans[0].Measures), "cost": 3 * (len(sampleLines) + 1), "levels": 4 * len(sampleStores) * (14*24 + 1),
		"units": 4 * len(c.Plans[0].Units) * len(futures.StateNames), "futures": len(sampleRun().Measures),
	}
	for name, n := range want {
		if rows[name] != n {
			t.Errorf("%s has %d rows, want %d", name, rows[name], n)
		}
	}
}

func TestDayTicks(t *testing.T) {
	start := startClock() // Friday 06:00
	got := dayTicks(start, 14*24, 7)
	if got[0].hour != 18 || got[0].label != "Sat 8" || len(got) > 8 {
		t.Errorf("ticks %v", got)
	}
	got = dayTicks(start, 48, 9)
	if got[0].hour != 0 || got[0].label != "Fri 06:00" || got[3].label != "Sat 00:00" {
		t.Errorf("ticks %v", got)
	}
	for _, h := range []float64{1, 5, 24, 50, 100, 800, 8760} {
		if n := len(dayTicks(start, h, 7)); n > 14 {
			t.Errorf("%v h have %d ticks", h, n)
		}
	}
}

func TestThinKeepsTheShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		y := rapid.SliceOfN(rapid.Float64Range(0, 100), 2, 80).Draw(t, "y")
		pts := make([]point, len(y))
		for i, v := range y {
			pts[i] = point{float64(i), v}
		}
		out := thin(pts, 0.3)
		if out[0] != pts[0] || out[len(out)-1] != pts[len(pts)-1] {
			t.Fatal("an end is gone")
		}
		k := 0
		for _, p := range pts {
			for out[k+1].x < p.x {
				k++
			}
			a, b := out[k], out[k+1]
			d := math.Abs((b.x-a.x)*(a.y-p.y)-(a.x-p.x)*(b.y-a.y)) / math.Hypot(b.x-a.x, b.y-a.y)
			if d > 0.3+1e-9 {
				t.Fatalf("%v is %v off the line", p, d)
			}
		}
	})
}

// A unit with a name of its own has no article.
func TestTheUnit(t *testing.T) {
	for name, want := range map[string]string{"rougher": "the rougher", "C1": "C1", "": ""} {
		if got := theUnit(name); got != want {
			t.Errorf("%q is called %q, want %q", name, got, want)
		}
	}
}
