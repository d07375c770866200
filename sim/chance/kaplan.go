package chance

import (
	"fmt"
	"math"
	"sort"
)

// SurvivalStep is one line of a Kaplan-Meier table: the state just after Time.
type SurvivalStep struct {
	Time     float64
	AtRisk   int     // spells that had reached Time
	Events   int     // closed ones that ended there
	Survival float64 // share that lasts longer
	SE       float64 // by Greenwood's formula
	// Limits on the scale of the logarithm, cut at 1, and of the logarithm of
	// minus the logarithm, which stay between 0 and 1. Both are Survival itself
	// where nothing is known of the spread (Survival 1 or 0).
	LowLog, HighLog       float64
	LowLogLog, HighLogLog float64
}

// KaplanMeier estimates the share of spells that last longer than any time from
// closed and open ones (E. L. Kaplan, P. Meier, J. American Statistical
// Association 53 (1958) 457; Greenwood 1926; both from memory): one step at every
// different length, in rising order; at the same time closed spells end before
// open ones are lost from sight. level, e.g. 0.95, is that of the limits at one
// time, not of the whole curve. At least one spell.
func KaplanMeier(spells []Spell, level float64) ([]SurvivalStep, error) {
	if _, err := checkSpells(spells); err != nil {
		return nil, err
	}
	if len(spells) == 0 {
		return nil, fmt.Errorf("survival: %w", ErrSpells)
	}
	if !(level > 0 && level < 1) {
		return nil, fmt.Errorf("level must lie between 0 and 1, not %s", number(level))
	}
	z := normalQuantile(0.5 + level/2)
	s := append([]Spell(nil), spells...)
	sort.SliceStable(s, func(a, b int) bool { return s[a].Length < s[b].Length })
	var steps []SurvivalStep
	survival, greenwood := 1.0, 0.0
	for i := 0; i < len(s); {
		j, events := i, 0
		for ; j < len(s) && s[j].Length == s[i].Length; j++ {
			if !s[j].Open {
				events++
			}
		}
		n, d := float64(len(s)-i), float64(events)
		survival *= (n - d) / n
		if n > d {
			greenwood += d / (n * (n - d))
		}
		step := SurvivalStep{Time: s[i].Length, AtRisk: len(s) - i, Events: events, Survival: survival,
			SE: survival * math.Sqrt(greenwood), LowLog: survival, HighLog: survival, LowLogLog: survival, HighLogLog: survival}
		if survival > 0 && survival < 1 {
			e := math.Sqrt(greenwood)
			step.LowLog, step.HighLog = survival*math.Exp(-z*e), math.Min(1, survival*math.Exp(z*e))
			l := math.Log(survival)
			w := math.Exp(z * e / -l)
			step.LowLogLog, step.HighLogLog = math.Exp(l*w), math.Exp(l/w)
		}
		steps = append(steps, step)
		i = j
	}
	return steps, nil
}

// RestrictedMean is the area under a Kaplan-Meier curve from 0 to time `to`: the
// mean of the spells cut at `to`. NaN for a `to` that is not above zero.
func RestrictedMean(steps []SurvivalStep, to float64) float64 {
	if !(to > 0) || math.IsInf(to, 1) {
		return math.NaN()
	}
	area, from, level := 0.0, 0.0, 1.0
	for _, s := range steps {
		if s.Time >= to {
			break
		}
		area += level * (s.Time - from)
		from, level = s.Time, s.Survival
	}
	return area + level*(to-from)
}

// SurvivalQuantile is the first time at which a share p or more has ended; ok is
// false when the curve does not come down so far. Where the curve is flat at
// exactly 1-p the middle of the flat part is taken, as is usual for the median.
func SurvivalQuantile(steps []SurvivalStep, p float64) (t float64, ok bool) {
	for i, s := range steps {
		left := s.Survival - (1 - p)
		if math.Abs(left) <= 1e-12 {
			for _, later := range steps[i+1:] {
				if later.Events > 0 {
					return (s.Time + later.Time) / 2, true
				}
			}
			return s.Time, true
		}
		if left < 0 {
			return s.Time, true
		}
	}
	return 0, false
}

// LogRank compares two groups of spells: a chi-square with one degree of freedom,
// large when one lasts longer (N. Mantel, Cancer Chemotherapy Reports 50 (1966)
// 163, from memory). 0 when nothing ends while both are at risk.
func LogRank(a, b []Spell) (chi2 float64, err error) {
	for _, g := range [][]Spell{a, b} {
		if _, err := checkSpells(g); err != nil {
			return 0, err
		}
		if len(g) == 0 {
			return 0, fmt.Errorf("survival: %w", ErrSpells)
		}
	}
	type mark struct {
		Spell
		inA bool
	}
	var all []mark
	for _, s := range a {
		all = append(all, mark{s, true})
	}
	for _, s := range b {
		all = append(all, mark{s, false})
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].Length < all[j].Length })
	riskA := float64(len(a))
	excess, variance := 0.0, 0.0
	for i := 0; i < len(all); {
		n := float64(len(all) - i)
		var d, dA, gone float64
		j := i
		for ; j < len(all) && all[j].Length == all[i].Length; j++ {
			if !all[j].Open {
				d++
				if all[j].inA {
					dA++
				}
			}
			if all[j].inA {
				gone++
			}
		}
		p := riskA / n
		excess += dA - d*p
		if n > 1 {
			variance += d * p * (1 - p) * (n - d) / (n - 1)
		}
		riskA -= gone
		i = j
	}
	if variance == 0 {
		return 0, nil
	}
	return excess * excess / variance, nil
}
