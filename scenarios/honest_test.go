package scenarios_test

import (
	"context"
	"fmt"
	"math"
	"sort"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/combin"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/futures"
	"millrace/sim/futures/judge"
	"millrace/sim/quantity"
	"millrace/sim/record"
	"millrace/sim/works"
)

// Purposes of luck of this test alone.
const (
	luckTruth chance.Purpose = 1<<17 + iota
	luckTie
)

// moment is when something came, with a lot that decides between equals. Times
// stand on a grid of 5 minutes and many futures end in "never", so ties are common
// at both ends of a band. A lot drawn for every future, of forecast and truth
// alike, makes the order strict without favour: the chance that a truth falls
// between two ranks of the forecast is then exactly that of continuous times
// (randomised ranks). Counting all equals as inside would flatter the forecast,
// counting none would slander it.
type moment struct {
	at  calendar.Time // Never is later than everything
	lot float64
}

func (a moment) before(b moment) bool { return a.at < b.at || a.at == b.at && a.lot < b.lot }

func moments(ts []calendar.Time, seed uint64) []moment {
	out := make([]moment, len(ts))
	for f, t := range ts {
		out[f] = moment{t, chance.Luck{Seed: seed, Future: uint64(f)}.Uniform(luckTie, 0, 0)}
	}
	return out
}

// band are the two futures of the forecast between which the band lies, by rank.
func band(forecast []moment) (early, late moment, share float64) {
	s := append([]moment(nil), forecast...)
	sort.Slice(s, func(a, b int) bool { return s[a].before(s[b]) })
	n := float64(len(s))
	lo, hi := int(math.Floor(0.1*(n+1))), int(math.Ceil(0.9*(n+1)))
	return s[lo-1], s[hi-1], float64(hi-lo) / (n + 1)
}

// asked is a question, and how the truth is drawn.
type asked struct {
	name   string
	down   string
	gone   float64 // h it stands already
	back   quantity.Estimate
	yard   int64   // g
	longer float64 // the truth is drawn from the told law times this; 1 is an honest word
	swing  float64 // W, 0 for Larkfell's
}

func (a *asked) question(p *works.Plant, seed uint64, n int) *futures.Question {
	at, _ := p.StoreNamed("slab yard")
	now, _ := quantity.ParseClock("2031-11-07 22:45")
	return &futures.Question{Plant: p, Now: now, Stops: []futures.Stop{{Unit: p.UnitsNamed(a.down)[0], Since: now.Add(-a.gone * 3600), Back: a.back}},
		Levels: map[record.Place]int64{at: a.yard}, Futures: n, Seed: seed, SoldOut: true}
}

// truths plays n works in which the stop lasts as long as it really does. A length
// is drawn from the law of the words, whole stops from their beginning, and those
// that would be over by now are drawn again: the same conditional law as the
// forecast's by another way. It returns when the yard filled, the gas holder
// filled and the stop ended.
func (a *asked) truths(t testing.TB, p *works.Plant, seed uint64, n int) (out [3][]calendar.Time) {
	t.Helper()
	law, err := chance.ToldEstimate(a.back)
	if err != nil {
		t.Fatal(err)
	}
	q := a.question(p, seed, n)
	type seen struct {
		at  [3]calendar.Time
		err error
	}
	all := make([]seen, n)
	done := make(chan int)
	one := func(f int) {
		luck := chance.Luck{Seed: seed, Future: uint64(f)}
		lasts := 0.0
		for i := uint64(0); lasts <= a.gone*3600; i++ {
			lasts = a.longer * law.Quantile(luck.Uniform(luckTruth, 0, i))
		}
		script, _ := q.Script()
		script[0].Lasts = fixed(lasts)
		w := works.Begin(p, works.Start{Luck: luck, Script: script, Background: true, SoldOut: true, Levels: q.Levels})
		s := &all[f]
		s.at = [3]calendar.Time{calendar.Never, calendar.Never, calendar.Never}
		was := [2]bool{w.AtBrink(brinkYard), w.AtBrink(brinkGas)}
		for now := calendar.Time(0); now <= 96*calendar.Hour; now += 5 * calendar.Minute {
			if s.err = w.Run(now); s.err != nil {
				return
			}
			for k, b := range [2]int{brinkYard, brinkGas} {
				full := w.AtBrink(b)
				if full && !was[k] && s.at[k] == calendar.Never {
					s.at[k] = now
				}
				was[k] = was[k] && full
			}
			if s.at[2] == calendar.Never && !w.UpsetActive(0) {
				s.at[2] = now
			}
		}
	}
	for k := range 2 {
		go func() {
			for f := k; f < n; f += 2 {
				one(f)
			}
			done <- k
		}()
	}
	<-done
	<-done
	for f := range all {
		if all[f].err != nil {
			t.Fatal(all[f].err)
		}
		for k := range out {
			out[k] = append(out[k], all[f].at[k])
		}
	}
	return out
}

// Numbers of works.Plant.Brinks.
const (
	brinkYard = 3
	brinkGas  = 9
)

// TestForecastsAreHonest: when the truth is drawn from what people were told, the
// band from early to late holds it in four futures of five.
//
// Two yardsticks. The exact binomial band takes the forecast's quantiles for
// those of the law. They are ranks of a sample themselves, so that the count of
// truths between two of them is more scattered: by exchangeability it follows the
// negative hypergeometric law (S. S. Wilks, Annals of Mathematical Statistics 13
// (1942) 400, from memory), whose 99 % band is the exact one and decides the test
// at any number of futures; the binomial one decides as well at 200 futures and more,
// in two stages, for it is too narrow for such counts: what falls out of it is asked
// again with fresh futures and truths, the first thrown away.
func TestForecastsAreHonest(t *testing.T) {
	n := 60
	if nightly() {
		n = 200
	}
	for i, name := range map[int]string{brinkYard: "slab yard", brinkGas: "fuel gas"} {
		if b := larkfell(t).Brinks()[i]; b.Name != name || !b.Full {
			t.Fatalf("brink %d is %q", i, b.Name)
		}
	}
	hours := func(low, likely, bad float64) quantity.Estimate {
		return quantity.Estimate{Low: low * 3600, Likely: likely * 3600, Bad: bad * 3600}
	}
	train := asked{"train, bad 26 h, yard 19,500 t", "finishing train", 1. / 12, hours(4, 8, 26), 19500e6, 1, 0}
	rougher := asked{"rougher, 2 h gone, yard 23,500 t", "rougher", 2, hours(3, 7, 30), 23500e6, 1, 0}
	// At Larkfell the holder is full after 80 min of any stop, in every future. With
	// a power house that can swing by 160 MW it depends on how long the stop lasts.
	swing := rougher
	swing.name, swing.swing = "the same, power house swings 160 MW", 160e6
	biased := train
	biased.name, biased.longer = "train, it lasts 4 times as long as told", 4
	var table strings.Builder
	fmt.Fprintf(&table, "%-46s %-10s %8s %8s %8s %7s %6s %6s  %-9s %-9s\n", "question", "moment", "early h", "likely h", "late h", "chance", "held", "share", "binomial", "exact")
	ask := func(i int, a asked, seed, block uint64) (again bool) { // forecasts and truths never share luck
		p := plantWith(t, func(s *works.Spec) {
			if a.swing > 0 {
				s.Gas.Swing = a.swing
			}
		})
		h, err := futures.AskHowLong(context.Background(), a.question(p, seed, n))
		if err != nil {
			t.Fatal(err)
		}
		truth := a.truths(t, p, block+uint64(i), n)
		for k, m := range []struct {
			name string
			ts   []calendar.Time
			when futures.When
		}{
			{"yard full", h.First[brinkYard], whenOf(t, h, "slab yard")},
			{"gas full", h.First[brinkGas], whenOf(t, h, "fuel gas")},
			{"restart", h.Ends, h.Restart},
		} {
			early, late, share := band(moments(m.ts, seed))
			if early.at != m.when.Early || late.at != m.when.Late {
				t.Errorf("%s, %s: the answer says %v to %v, its futures %v to %v", a.name, m.name, m.when.Early, m.when.Late, early.at, late.at)
			}
			held := 0
			for _, x := range moments(truth[k], block+uint64(i)) {
				if early.before(x) && x.before(late) {
					held++
				}
			}
			lo, hi, err := judge.Band(n, 0.8, 0.99)
			if err != nil {
				t.Fatal(err)
			}
			xlo, xhi := exchangeBand(n, n, int(math.Round(share*float64(n+1))), 0.99)
			fmt.Fprintf(&table, "%-46s %-10s %8s %8s %8s %6.0f%% %6d %5.1f%%  %-9s %-9s\n", a.name, m.name, hour(m.when.Early), hour(m.when.Likely), hour(m.when.Late),
				m.when.Chance*100, held, float64(held)/float64(n)*100, fmt.Sprintf("%d-%d", lo, hi), fmt.Sprintf("%d-%d", xlo, xhi))
			if a.longer != 1 {
				if m.name == "restart" && held >= xlo {
					t.Errorf("%s: %d of %d held; the test does not see a dishonest word", a.name, held, n)
				}
				continue
			}
			if m.when.Chance < 0.2 {
				t.Errorf("%s, %s: it comes in %.0f %% of the futures only; the question shows nothing", a.name, m.name, m.when.Chance*100)
			}
			if held < xlo || held > xhi {
				t.Errorf("%s, %s: the band holds %d of %d truths, exact 99 %% band %d to %d", a.name, m.name, held, n, xlo, xhi)
			}
			if n >= 200 && (held < lo || held > hi) {
				again = true
				if seed > 1 {
					t.Errorf("%s, %s: the band holds %d of %d truths, twice out of the binomial 99 %% band %d to %d", a.name, m.name, held, n, lo, hi)
				}
			}
		}
		return again
	}
	for i, a := range []asked{train, rougher, swing, biased} {
		if ask(i, a, 1, 1000) {
			ask(i, a, 2, 2000)
		}
	}
	t.Logf("%d futures forecast, %d truths, 80 %% nominal\n%s", n, n, table.String())
}

func hour(t calendar.Time) string {
	if t == calendar.Never {
		return "never"
	}
	return fmt.Sprintf("%.1f", t.Hours())
}

func whenOf(t testing.TB, h *futures.HowLong, store string) futures.When {
	t.Helper()
	for i := range h.Stores {
		if s := &h.Stores[i]; s.Name == store && s.FullAt != nil {
			return *s.FullAt
		}
	}
	t.Fatalf("no answer about %s", store)
	return futures.When{}
}

// exchangeBand gives the counts that the number of m new values between two ranks
// of n old ones, `apart` ranks apart, leaves on either side with a chance of at
// most (1-level)/2: of the n+m values in order, the gap of `apart` steps holds k
// of the new ones with chance C(k+apart-1, k) C(m-k+n-apart, m-k) / C(n+m, m).
func exchangeBand(n, m, apart int, level float64) (lo, hi int) {
	all := combin.LogGeneralizedBinomial(float64(n+m), float64(m))
	at := func(k int) float64 {
		return math.Exp(combin.LogGeneralizedBinomial(float64(k+apart-1), float64(k)) +
			combin.LogGeneralizedBinomial(float64(m-k+n-apart), float64(m-k)) - all)
	}
	tail := (1 - level) / 2
	below := 0.0
	for lo = 0; lo < m && below+at(lo) <= tail; lo++ {
		below += at(lo)
	}
	above := 0.0
	for hi = m; hi > 0 && above+at(hi) <= tail; hi-- {
		above += at(hi)
	}
	return lo, hi
}

// TestExchangeBand: chances add up to one, and a forecast of very many futures
// leaves the binomial band.
func TestExchangeBand(t *testing.T) {
	// One old value, one step: a new value is below it in half of the cases.
	if lo, hi := exchangeBand(1, 1, 1, 0.5); lo != 0 || hi != 1 {
		t.Errorf("%d to %d", lo, hi)
	}
	lo, hi, _ := judge.Band(200, 0.8, 0.99)
	if a, b := exchangeBand(999_999, 200, 800_000, 0.99); a != lo || b != hi {
		t.Errorf("%d to %d, binomial %d to %d", a, b, lo, hi)
	}
	if a, b := exchangeBand(200, 200, 161, 0.99); a >= lo || b <= hi {
		t.Errorf("%d to %d is not wider than %d to %d", a, b, lo, hi)
	}
}
