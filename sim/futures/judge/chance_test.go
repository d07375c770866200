package judge

import (
	"math"
	"slices"
	"testing"
)

func TestChanceOfTwo(t *testing.T) {
	y := plansABCD(t)[:2]
	p := must[[]float64](t)(ChanceMeanBest(y, LargerBetter))
	near(t, "P(B over A)", p[1], vector(t, "prob_best_paired", "B over A", "P"), 1e-9)
	nearAbs(t, "sum", p[0]+p[1], 1, 1e-15)
	q := must[[]float64](t)(ChanceMeanBest(y, SmallerBetter))
	nearAbs(t, "other sense", q[0], p[1], 1e-15)
}

// Columns of equal variance without correlation make the differences from any
// plan equicorrelated at 1/2, so a leader ahead by g sqrt(2/n) is best with
// chance P exactly, for Dunnett's g with n-1 degrees of freedom.
func TestChanceAgainstDunnettTable(t *testing.T) {
	worst, seen := 0.0, 0
	for _, r := range table(t, "quantile_dunnett_mcb.csv") {
		nu := number(t, r["nu"])
		if r["p"] != "0.95" || nu > 100 || whole(t, r["m"]) < 2 || r["m"] == "9" && nu == 10 {
			continue // ten cosines need more than eleven futures
		}
		seen++
		n, k := int(nu)+1, whole(t, r["m"])+1
		y := cosines(k, n)
		lead := k / 2
		for i := range y[lead] {
			y[lead][i] -= number(t, r["one_sided"]) * math.Sqrt(2/float64(n))
		}
		p := must[[]float64](t)(ChanceMeanBest(y, SmallerBetter))
		worst = math.Max(worst, math.Abs(p[lead]-number(t, r["p"])))
	}
	if seen != 23 {
		t.Errorf("checked %d rows", seen)
	}
	if worst > 1e-3 {
		t.Errorf("worst error %g", worst)
	}
}

// Equal sample means: the chance is that of an orthant, 1/4 + asin(r)/(2 pi) for
// three plans, 1/8 + sum asin(r)/(4 pi) for four, r the correlations of the
// differences from the plan (Sheppard 1899, from memory; true of every elliptical
// law).
func TestChanceAgainstSheppard(t *testing.T) {
	y := plansABCD(t)
	for i := range y {
		m := average(y[i])
		for r := range y[i] {
			y[i][r] -= m
		}
	}
	diff := func(a, b []float64) []float64 {
		d := make([]float64, len(a))
		for r := range d {
			d[r] = a[r] - b[r]
		}
		return d
	}
	for k := 3; k <= 4; k++ {
		p := must[[]float64](t)(ChanceMeanBest(y[:k], SmallerBetter))
		var total float64
		for i := range k {
			var d [][]float64
			for j := range k {
				if j != i {
					d = append(d, diff(y[j], y[i]))
				}
			}
			var sum float64
			for a := range d {
				for b := range a {
					sum += math.Asin(must[Pair](t)(Paired(d[a], d[b], 0.95)).Correlation)
				}
			}
			want := 0.25 + sum/(2*math.Pi)
			if k == 4 {
				want = 0.125 + sum/(4*math.Pi)
			}
			nearAbs(t, "orthant", p[i], want, 1e-3)
			total += p[i]
		}
		nearAbs(t, "sum", total, 1, 1e-12)
	}
}

func TestChanceDegenerate(t *testing.T) {
	y := plansABCD(t)
	base := must[[]float64](t)(ChanceMeanBest(y, LargerBetter))
	twice := must[[]float64](t)(ChanceMeanBest([][]float64{y[0], y[1], y[2], y[3], y[1]}, LargerBetter))
	for i, want := range []float64{base[0], base[1] / 2, base[2], base[3], base[1] / 2} {
		nearAbs(t, "shared chance", twice[i], want, 1e-15)
	}
	if p := must[[]float64](t)(ChanceMeanBest([][]float64{y[0], y[0], y[0]}, LargerBetter)); math.Abs(p[0]-1.0/3) > 1e-15 || p[0] != p[2] {
		t.Errorf("three equal plans %v", p)
	}
	// A plan that is another one plus a constant leaves no spread between them.
	worse := slices.Clone(y[1])
	for r := range worse {
		worse[r] -= 0.25
	}
	p := must[[]float64](t)(ChanceMeanBest([][]float64{y[0], y[1], worse}, LargerBetter))
	nearAbs(t, "shifted copy", p[2], 0, 0)
	near(t, "its original", p[1], vector(t, "prob_best_paired", "B over A", "P"), 1e-4)
	// A plan half way between two others: covariance of rank one.
	mid := make([]float64, len(y[0]))
	for r := range mid {
		mid[r] = (y[0][r] + y[1][r]) / 2
	}
	p = must[[]float64](t)(ChanceMeanBest([][]float64{y[0], mid, y[1]}, LargerBetter))
	nearAbs(t, "half way", p[1], 0, 1e-3)
	near(t, "ends", p[2], vector(t, "prob_best_paired", "B over A", "P"), 1e-4)
	// Two plans a constant apart.
	p = must[[]float64](t)(ChanceMeanBest([][]float64{{1, 2, 3}, {2, 3, 4}}, SmallerBetter))
	if p[0] != 1 || p[1] != 0 {
		t.Errorf("constant apart: %v", p)
	}
	// More plans than futures.
	few := make([][]float64, 6)
	for i := range few {
		few[i] = []float64{float64(i * i % 5), float64(i * 3 % 7), float64(i)}
	}
	var sum float64
	for _, v := range must[[]float64](t)(ChanceMeanBest(few, SmallerBetter)) {
		sum += v
	}
	nearAbs(t, "sum with few futures", sum, 1, 1e-12)
}

func TestShareWon(t *testing.T) {
	y := [][]float64{{1, 5, 3, 2}, {2, 4, 3, 2}, {3, 6, 3, 1}}
	for _, c := range []struct {
		sense Sense
		want  []float64
	}{
		// Future 2 is a tie of three; in future 3 the first two tie upwards.
		{SmallerBetter, []float64{(1 + 1.0/3) / 4, (1 + 1.0/3) / 4, (1 + 1.0/3) / 4}},
		{LargerBetter, []float64{(1.0/3 + 0.5) / 4, (1.0/3 + 0.5) / 4, (2 + 1.0/3) / 4}},
	} {
		got := must[[]float64](t)(ShareWon(y, c.sense))
		for i := range got {
			nearAbs(t, "share", got[i], c.want[i], 1e-15)
		}
	}
}
