package judge

import "testing"

func benchPlans(k, n int) [][]float64 {
	y := make([][]float64, k)
	l := newLuck(99, 1)
	for i := range y {
		y[i] = make([]float64, n)
	}
	for r := range n {
		common := l.normal()
		for i := range y {
			y[i][r] = common + 0.1*l.normal() + 0.01*float64(i)
		}
	}
	return y
}

func BenchmarkBestOf20(b *testing.B) {
	y := benchPlans(20, 100)
	for b.Loop() {
		if _, err := Best(y, Options{Level: 0.95, Delta: 0.01}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkChanceOf20(b *testing.B) {
	y := benchPlans(20, 100)
	for b.Loop() {
		if _, err := ChanceMeanBest(y, SmallerBetter); err != nil {
			b.Fatal(err)
		}
	}
}
