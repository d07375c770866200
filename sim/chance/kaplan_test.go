package chance

import (
	"math"
	"strconv"
	"testing"
)

// Every row and the figures of the header.
func TestKaplanMeierTable(t *testing.T) {
	data := sets(t)["6MP_censored"]
	steps, err := KaplanMeier(data, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	table := rows(t, "kaplan_meier.csv")
	if len(table) != len(steps) || len(steps) != 16 {
		t.Fatalf("%d steps, %d rows", len(steps), len(table))
	}
	for i, r := range table {
		v := make([]float64, len(r))
		for j := range r {
			v[j], _ = strconv.ParseFloat(r[j], 64)
		}
		s := steps[i]
		if s.Time != v[0] || s.AtRisk != int(v[1]) || s.Events != int(v[2]) {
			t.Errorf("%v: %+v", r, s)
		}
		for j, got := range []float64{s.Survival, s.SE, s.LowLog, s.HighLog, s.LowLogLog, s.HighLogLog} {
			if !close(got, v[3+j], 1e-13) {
				t.Errorf("time %v column %d: %.15g, want %.15g", s.Time, 3+j, got, v[3+j])
			}
		}
		if r[9] != "" && math.Abs(s.Survival-v[9]) > 0.0005001 {
			t.Errorf("time %v: %v, published %v", s.Time, s.Survival, v[9])
		}
	}
	if m := RestrictedMean(steps, 35); !close(m, 23.2873949579832, 1e-13) {
		t.Error(m)
	}
	// The header prints ...5106443, one digit off: by hand 6 + 6/7 + 3 S(7) + 3 S(10) +
	// 3 S(13) + 4 S(16) with the table's S.
	if m := RestrictedMean(steps, 20); !close(m, 16.1165266106443, 1e-13) {
		t.Error(m)
	}
	if m, ok := SurvivalQuantile(steps, 0.5); !ok || m != 23 {
		t.Error(m, ok)
	}
	if m, ok := SurvivalQuantile(steps, 0.9); ok {
		t.Error(m)
	}
	control := Spells(1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23)
	chi2, err := LogRank(data, control)
	if err != nil || !close(chi2, 16.7929409892165, 1e-13) {
		t.Error(chi2, err)
	}
	if back, _ := LogRank(control, data); !close(back, chi2, 1e-12) {
		t.Error("the order of the groups matters", back)
	}
}

// With nothing open the curve is one minus the empirical distribution and the
// restricted mean over all of it the mean.
func TestKaplanMeierClosed(t *testing.T) {
	steps, err := KaplanMeier(Spells(4, 1, 3, 2), 0.9)
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range steps {
		if !close(s.Survival, 1-float64(i+1)/4, 1e-15) && s.Survival > 1e-15 {
			t.Error(s)
		}
		// Greenwood's is then the binomial standard error.
		if p := s.Survival; p > 0 && !close(s.SE, math.Sqrt(p*(1-p)/4), 1e-13) {
			t.Error(s)
		}
	}
	if m := RestrictedMean(steps, 10); !close(m, 2.5, 1e-15) {
		t.Error(m)
	}
	if m, ok := SurvivalQuantile(steps, 0.5); !ok || m != 2.5 {
		t.Error(m, ok)
	}
	for _, bad := range []func() error{
		func() error { _, err := KaplanMeier(nil, 0.9); return err },
		func() error { _, err := KaplanMeier(Spells(1), 1); return err },
		func() error { _, err := KaplanMeier(Spells(math.NaN()), 0.9); return err },
		func() error { _, err := LogRank(nil, Spells(1)); return err },
		func() error { _, err := LogRank(Spells(1), Spells(-1)); return err },
	} {
		if bad() == nil {
			t.Error("taken")
		}
	}
	if !math.IsNaN(RestrictedMean(steps, 0)) || !math.IsNaN(RestrictedMean(steps, math.Inf(1))) {
		t.Error("restricted to nothing")
	}
}
