package futures

import (
	"math"
	"strings"
	"testing"

	"millrace/sim/works"
)

// judged makes a comparison from costs by plan and future, and the hours the
// upset lasted in each future.
func judged(t *testing.T, orders []int, hours []float64, costs ...[]float64) *Comparison {
	t.Helper()
	c := &Case{Plant: &works.Plant{}, Script: []works.UpsetSpec{{Name: "stand wreck"}}, Futures: len(costs[0])}
	c.Plant.Spec.Costs.Matters = 10_000
	out := &Comparison{Futures: len(costs[0]), Currency: "EUR"}
	for i, y := range costs {
		p := PlanResult{Name: []string{"carry on", "slow early", "end sequences"}[i], Cost: y, Orders: orders[i]}
		for f := range y {
			h := 0.0
			if hours != nil {
				h = hours[f]
			}
			p.Results = append(p.Results, &Result{Measures: Measures{{Name: "upset", Value: h}},
				Upset: []Line{{Name: "margin dispatched", Amount: y[f] * 0.9}, {Name: "scrap", Amount: y[f] * 0.1}, {Name: "total", Amount: y[f]}}})
		}
		out.Plans = append(out.Plans, p)
	}
	if err := c.judge(out); err != nil {
		t.Fatal(err)
	}
	return out
}

func costs(n int, f func(i int) float64) []float64 {
	y := make([]float64, n)
	for i := range y {
		y[i] = f(i)
	}
	return y
}

// wave is a spread that averages to zero over 20 futures.
func wave(i int) float64 { return math.Sin(2 * math.Pi * float64(i) / 20) }

func TestVerdictDecided(t *testing.T) {
	out := judged(t, []int{0, 4, 9}, nil,
		costs(20, func(i int) float64 { return 820_000 + 200_000*wave(i) }),
		costs(20, func(i int) float64 { return 610_000 + 190_000*wave(i) }),
		costs(20, func(i int) float64 { return 910_000 + 210_000*wave(i) }))
	if !out.Decided || out.Best != 1 {
		t.Fatalf("decided %v, best %d: %s", out.Decided, out.Best, out.Verdict)
	}
	// The mean is exact; by hand the spread is 190,000 x sqrt(20/2/19) = 137,840, the
	// half width t(19) 2.093024 x 137,840 / sqrt(20) = 64,511.
	if want := "Slow early costs least: 610,000 EUR (95 % interval 550,000 to 670,000); 210,000 EUR less than carry on."; out.Verdict != want {
		t.Errorf("verdict: %s\nwant:    %s", out.Verdict, want)
	}
}

func TestVerdictDoNothing(t *testing.T) {
	out := judged(t, []int{0, 4}, nil,
		costs(20, func(i int) float64 { return 2_000_000 + 200_000*wave(i) }),
		costs(20, func(i int) float64 { return 2_300_000 + 190_000*wave(i) }))
	if !out.Decided || !strings.HasPrefix(out.Verdict, "Do nothing: carry on costs least: 2.00 million EUR (95 % interval 1.93 to 2.07); 300,000 EUR less than slow early") {
		t.Errorf("verdict: %s", out.Verdict)
	}
}

func TestVerdictCannotTell(t *testing.T) {
	// The one is better for short stops, the other for long ones; they change places
	// at 11 h, where 50,000 x (h - 11) is zero.
	hours := costs(21, func(i int) float64 { return float64(2 + i) }) // 2 to 22 h, mean 12
	out := judged(t, []int{0, 4}, hours,
		costs(21, func(i int) float64 { return 1_000_000 + 50_000*(hours[i]-11) }),
		costs(21, func(i int) float64 { return 1_000_000 }))
	if out.Decided || !strings.HasPrefix(out.Verdict, "Cannot tell between slow early and carry on") {
		t.Fatalf("decided %v: %s", out.Decided, out.Verdict)
	}
	if want := "a sure word on the stand wreck (below about 11.0 h: carry on, above: slow early)"; out.Decider != want && out.Decider != strings.Replace(want, "11.0", "11", 1) {
		t.Errorf("what would decide: %s", out.Decider)
	}
	if out.Needed <= 21 {
		t.Errorf("%d futures would decide", out.Needed)
	}
}

func TestVerdictEitherWillDo(t *testing.T) {
	out := judged(t, []int{0, 4}, nil,
		costs(20, func(i int) float64 { return 1_000_000 + 1000*wave(i) }),
		costs(20, func(i int) float64 { return 1_000_000 - 1000*wave(i) + 10 }))
	if out.Decided || !strings.HasPrefix(out.Verdict, "Either will do: carry on and slow early differ by less than the 10,000 EUR that matters") {
		t.Errorf("verdict: %s", out.Verdict)
	}
}

func TestVerdictSame(t *testing.T) {
	y := costs(20, func(i int) float64 { return 1_000_000 + 1000*wave(i) })
	out := judged(t, []int{0, 0}, nil, y, y)
	if out.Decided || !strings.HasPrefix(out.Verdict, "The plans are the same: carry on and slow early") {
		t.Errorf("verdict: %s", out.Verdict)
	}
	if out.Plans[0].ChanceMeanBest != out.Plans[1].ChanceMeanBest {
		t.Error("plans that are the same have different chances")
	}
}

func TestVerdictOneFutureOnePlan(t *testing.T) {
	out := judged(t, []int{0, 4}, nil, []float64{5e5}, []float64{4e5})
	if out.Decided || !strings.Contains(out.Verdict, "one future decides nothing") || out.Best != 1 {
		t.Errorf("verdict: %s", out.Verdict)
	}
	out = judged(t, []int{0}, nil, costs(20, func(i int) float64 { return 1e6 }))
	if out.Decided || !strings.HasPrefix(out.Verdict, "There is one plan, carry on: the upset costs 1.00 million EUR") {
		t.Errorf("verdict: %s", out.Verdict)
	}
}
