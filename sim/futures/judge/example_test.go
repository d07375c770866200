package judge_test

import (
	"fmt"

	"millrace/sim/futures/judge"
)

// Lost tonnes of two plans in the same eight futures: common luck makes a small
// difference plain.
func ExamplePaired() {
	carryOn := []float64{812, 640, 1105, 930, 700, 1210, 560, 880}
	slow := []float64{770, 615, 1050, 905, 655, 1140, 540, 850}
	p, _ := judge.Paired(carryOn, slow, 0.95)
	u, _ := judge.Unpaired(carryOn, slow, 0.95)
	fmt.Printf("%.1f -/+ %.1f t; apart it would be -/+ %.0f t\n", p.Difference.Mean, p.Difference.Half, u.Half)
	// Output: -39.0 -/+ 14.5 t; apart it would be -/+ 234 t
}

func ExampleBest() {
	y := [][]float64{
		{812, 640, 1105, 930, 700, 1210, 560, 880, 915, 760},
		{770, 615, 1050, 905, 655, 1140, 540, 850, 880, 728},
		{801, 655, 1090, 950, 690, 1195, 570, 875, 930, 745},
	}
	c, _ := judge.Best(y, judge.Options{Sense: judge.SmallerBetter, Level: 0.95})
	won, _ := judge.ShareWon(y, judge.SmallerBetter)
	mean, _ := judge.ChanceMeanBest(y, judge.SmallerBetter)
	fmt.Printf("leading %v, decided %v; best in %.0f %% of futures, its mean is best with chance %.3f\n", c.Leading, c.Decided, 100*won[1], mean[1])
	// Output: leading [1], decided true; best in 100 % of futures, its mean is best with chance 1.000
}

func ExampleQuantileInterval() {
	var hours []float64
	for i := range 40 {
		hours = append(hours, float64(10+i*i%37))
	}
	r, ok, _ := judge.QuantileInterval(hours, 0.9, 0.95)
	fmt.Printf("P90 %.1f h, from %v to %v h (ranks %d and %d, coverage %.3f) %v\n", r.Estimate, r.Low, r.High, r.LowRank, r.HighRank, r.Coverage, ok)
	_, ok, _ = judge.QuantileInterval(hours[:30], 0.9, 0.95)
	fmt.Println("of 30 futures:", ok)
	// Output:
	// P90 43.1 h, from 38 to 46 h (ranks 32 and 40, coverage 0.970) true
	// of 30 futures: false
}

// Futures may finish in any order; the rule reads them by their numbers.
func ExampleStopping() {
	s, _ := judge.NewStopping(judge.StopRule{Level: 0.95, Relative: 0.05, Least: 10, Most: 200})
	for _, future := range []int{3, 1, 0, 2, 7, 6, 5, 4, 9, 8, 11, 10} {
		_ = s.Take(future, 100+float64(future*7%5))
	}
	fmt.Println(s.Done())
	// Output: true 10 true
}

func ExampleScreenPlans() {
	y := [][]float64{
		{412.5, 398.2, 431.7, 405.9, 420.3, 388.8, 415.6, 402.4, 425.1, 409},
		{420.1, 401, 440.2, 409.3, 431.8, 392.5, 421.9, 405, 436.4, 414.2},
		{405.2, 391.3, 425, 398.7, 413.8, 380.2, 409.9, 396.1, 417.5, 402.8},
	}
	s, _ := judge.ScreenPlans(y, 10, 5, 0.05, judge.LargerBetter)
	fmt.Println("left", s.Left, "finished", s.Finished)
	// Output: left [1] finished true
}
