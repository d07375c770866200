package cashflow

import "math"

// CompoundAmount is the factor (F/P, i, n): what 1 now is worth after n periods
// at rate i. i > -1, n > 0.
func CompoundAmount(i, n float64) (float64, error) {
	return factor(i, n, func(_, _ float64) float64 { return 1 / discount(i, n) })
}

// PresentWorth is the factor (P/F, i, n): what 1 after n periods is worth now.
func PresentWorth(i, n float64) (float64, error) {
	return factor(i, n, func(_, _ float64) float64 { return discount(i, n) })
}

// SeriesPresentWorth is the factor (P/A, i, n): what 1 at the end of each of n
// periods is worth now.
func SeriesPresentWorth(i, n float64) (float64, error) {
	if i == 0 {
		return n, checkPeriods(n)
	}
	return factor(i, n, func(_, d float64) float64 { return d / i })
}

// CapitalRecovery is the factor (A/P, i, n) = i q^n/(q^n-1) with q = 1+i: the
// equal payment at the end of each of n periods that repays 1.
func CapitalRecovery(i, n float64) (float64, error) {
	if i == 0 {
		return 1 / n, checkPeriods(n)
	}
	return factor(i, n, func(_, d float64) float64 { return i / d })
}

// SeriesCompoundAmount is the factor (F/A, i, n): what 1 at the end of each of n
// periods has grown to after the last.
func SeriesCompoundAmount(i, n float64) (float64, error) {
	if i == 0 {
		return n, checkPeriods(n)
	}
	return factor(i, n, func(g, _ float64) float64 { return g / i })
}

// SinkingFund is the factor (A/F, i, n): the equal payment at the end of each of
// n periods that grows to 1.
func SinkingFund(i, n float64) (float64, error) {
	if i == 0 {
		return 1 / n, checkPeriods(n)
	}
	return factor(i, n, func(g, _ float64) float64 { return i / g })
}

// GradientPresentWorth is the factor (P/G, i, n): what 0, 1, 2, ... n-1 at the ends
// of n whole periods are worth now.
func GradientPresentWorth(i float64, n int) (float64, error) {
	if err := checkRate(i); err != nil {
		return 0, err
	}
	if err := checkPeriods(float64(n)); err != nil {
		return 0, err
	}
	// The sum itself: the closed form ((q^n-1)/i - n)/(i q^n) cancels at small i.
	var s sum
	for k := 2; k <= n; k++ {
		s.add(float64(k-1) * discount(i, float64(k)))
	}
	return checked(s.value())
}

// GradientSeries is the factor (A/G, i, n): the equal payment that is worth as much
// as 0, 1, 2, ... n-1.
func GradientSeries(i float64, n int) (float64, error) {
	g, err := GradientPresentWorth(i, n)
	if err != nil {
		return 0, err
	}
	a, err := CapitalRecovery(i, float64(n))
	if err != nil {
		return 0, err
	}
	return checked(g * a)
}

// factor hands f the growth (1+i)^n-1 and the discount 1-(1+i)^-n, both with full
// relative accuracy where i n is small.
func factor(i, n float64, f func(growth, discount float64) float64) (float64, error) {
	if err := checkRate(i); err != nil {
		return 0, err
	}
	if err := checkPeriods(n); err != nil {
		return 0, err
	}
	l := n * math.Log1p(i)
	return checked(f(math.Expm1(l), -math.Expm1(-l)))
}

// EquivalentAnnual is the equal amount at the end of every period that is worth
// as much as flows: NPV times (A/P, rate, number of periods). Compare options of
// unequal lives by it, not by NPV. Two flows or more.
func EquivalentAnnual(rate float64, flows []float64) (float64, error) {
	if err := checkFlows(flows, 2); err != nil {
		return 0, err
	}
	v, err := NPV(rate, flows)
	if err != nil {
		return 0, err
	}
	a, err := CapitalRecovery(rate, float64(len(flows)-1))
	if err != nil {
		return 0, err
	}
	return checked(v * a)
}

// EquivalentAnnualCost is the yearly cost, positive, of something that costs
// first now and annual at the end of each of n periods and is sold for salvage
// at the end.
func EquivalentAnnualCost(rate, n, first, annual, salvage float64) (float64, error) {
	for _, v := range []float64{first, annual, salvage} {
		if err := checkNumber(v); err != nil {
			return 0, err
		}
	}
	recover, err := CapitalRecovery(rate, n)
	if err != nil {
		return 0, err
	}
	sink, err := SinkingFund(rate, n)
	if err != nil {
		return 0, err
	}
	return checked(first*recover + annual - salvage*sink)
}

// Effective is the yearly rate of a nominal yearly rate that is compounded m
// times a year: (1+nominal/m)^m-1. m > 0, nominal > -m.
func Effective(nominal, m float64) (float64, error) {
	if err := checkPeriods(m); err != nil {
		return 0, err
	}
	if err := checkRate(nominal / m); err != nil {
		return 0, err
	}
	return checked(math.Expm1(m * math.Log1p(nominal/m)))
}

// EffectiveContinuous is the yearly rate of a nominal yearly rate that is compounded
// at every moment: exp(nominal)-1.
func EffectiveContinuous(nominal float64) (float64, error) {
	if err := checkNumber(nominal); err != nil {
		return 0, err
	}
	return checked(math.Expm1(nominal))
}

// NominalOfEffective is the inverse of Effective.
func NominalOfEffective(effective, m float64) (float64, error) {
	if err := checkPeriods(m); err != nil {
		return 0, err
	}
	if err := checkRate(effective); err != nil {
		return 0, err
	}
	return checked(m * math.Expm1(math.Log1p(effective)/m))
}

// Nominal is the rate in money of the day that belongs to a real rate under
// inflation: (1+real)(1+inflation)-1 (I. Fisher, The Theory of Interest, 1930,
// from memory).
func Nominal(realRate, inflation float64) (float64, error) {
	if err := checkRate(realRate); err != nil {
		return 0, err
	}
	if err := checkRate(inflation); err != nil {
		return 0, err
	}
	return checked(realRate + inflation + realRate*inflation)
}

// Real is the inverse of Nominal: (1+nominal)/(1+inflation)-1.
func Real(nominal, inflation float64) (float64, error) {
	if err := checkRate(nominal); err != nil {
		return 0, err
	}
	if err := checkRate(inflation); err != nil {
		return 0, err
	}
	return checked((nominal - inflation) / (1 + inflation))
}
