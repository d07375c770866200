package chance

import (
	"errors"
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/mathext"
)

// Fit is a law fitted to spells by maximum likelihood.
type Fit struct {
	Law Law // to draw from
	// The parameters by their usual names; those a family does not have are 0.
	// Exponential: Rate = 1/Scale. Weibull: survival exp(-(x/Scale)^Shape).
	// Gamma: Shape and Rate = 1/Scale. Lognormal: mean and standard deviation
	// of the logarithm, the latter with divisor n when no spell is open.
	Rate, Scale, Shape, MeanLog, SDLog float64
	// LogLikelihood in the unit of the data, with all constants: an open spell
	// counts with its survival.
	LogLikelihood float64
	Free          int // parameters fitted
	N, Closed     int // spells, and closed ones among them
}

// AIC is Akaike's criterion, smaller is better (H. Akaike, IEEE Transactions on
// Automatic Control 19 (1974) 716, from memory). Compare families on the same
// spells only, and look at the tail as well: with fewer than twenty spells
// nearly every family fits.
func (f Fit) AIC() float64 { return 2*float64(f.Free) - 2*f.LogLikelihood }

// FitLaw fits the family of that kind: exponential, weibull, lognormal or gamma.
func FitLaw(kind Kind, spells []Spell) (Fit, error) {
	switch kind {
	case KindExponential:
		return FitExponential(spells)
	case KindWeibull:
		return FitWeibull(spells)
	case KindLognormal:
		return FitLognormal(spells)
	case KindGamma:
		return FitGamma(spells)
	}
	return Fit{}, fmt.Errorf("a %v law cannot be fitted", kind)
}

// FitExponential: rate = closed spells / total time, open ones included (B.
// Epstein, M. Sobel, J. American Statistical Association 48 (1953) 486, from
// memory). At least one closed spell.
func FitExponential(spells []Spell) (Fit, error) {
	closed, err := checkSpells(spells)
	if err != nil {
		return Fit{}, err
	}
	if closed < 1 {
		return Fit{}, fmt.Errorf("exponential: %w", ErrSpells)
	}
	total := 0.0
	for _, s := range spells {
		total += s.Length
	}
	r := float64(closed)
	f := Fit{Rate: r / total, Scale: total / r, Free: 1, N: len(spells), Closed: closed}
	f.LogLikelihood = r*math.Log(f.Rate) - r
	f.Law, err = Exponential(f.Scale)
	return f, err
}

// FitWeibull solves sum x^k ln x / sum x^k - 1/k - mean of ln x over the closed
// spells = 0 for the shape k, sums over all spells; scale = (sum x^k / closed)^(1/k)
// (A. C. Cohen, Technometrics 7 (1965) 579, from memory). At least two different
// closed spells.
func FitWeibull(spells []Spell) (Fit, error) {
	closed, err := checkSpells(spells)
	if err != nil {
		return Fit{}, err
	}
	if !differ(spells) {
		return Fit{}, fmt.Errorf("weibull: %w", ErrSpells)
	}
	r := float64(closed)
	// Logarithms from the largest spell: every power is then at most 1.
	most, meanLog := 0.0, 0.0
	for _, s := range spells {
		most = math.Max(most, s.Length)
	}
	logs := make([]float64, len(spells))
	for i, s := range spells {
		logs[i] = math.Log(s.Length / most)
		if !s.Open {
			meanLog += logs[i]
		}
	}
	meanLog /= r
	// The left side rises with k from -Inf to -meanLog > 0.
	gap := func(k float64) (g, slope, power float64) {
		var s0, s1, s2 float64
		for _, l := range logs {
			p := math.Exp(k * l)
			s0 += p
			s1 += p * l
			s2 += p * l * l
		}
		m := s1 / s0
		return m - 1/k - meanLog, s2/s0 - m*m + 1/(k*k), s0
	}
	k, err := risingRoot(minShape, maxShape, 1, func(k float64) (float64, float64) {
		g, slope, _ := gap(k)
		return g, slope
	})
	if err != nil {
		return Fit{}, fmt.Errorf("weibull: no shape from 0.1 to 10000 fits: %w", ErrSpells)
	}
	_, _, power := gap(k)
	f := Fit{Shape: k, Scale: most * math.Pow(power/r, 1/k), Free: 2, N: len(spells), Closed: closed}
	// sum (x/scale)^k = closed at the maximum
	f.LogLikelihood = r*(math.Log(k)-k*math.Log(f.Scale)) + (k-1)*r*(meanLog+math.Log(most)) - r
	f.Law, err = Weibull(f.Shape, f.Scale)
	return f, err
}

// FitLognormal: with no open spell the mean and the standard deviation, divisor n,
// of the logarithms; else Newton's method in 1/sigma and mu/sigma, in which the
// likelihood of a censored normal is concave (R. J. Olsen, Econometrica 46 (1978)
// 1211, from memory). At least two different closed spells.
func FitLognormal(spells []Spell) (Fit, error) {
	closed, err := checkSpells(spells)
	if err != nil {
		return Fit{}, err
	}
	if !differ(spells) {
		return Fit{}, fmt.Errorf("lognormal: %w", ErrSpells)
	}
	n := float64(len(spells))
	var mean, rest, square, sumClosed float64
	logs := make([]float64, len(spells))
	for i, s := range spells {
		logs[i] = math.Log(s.Length)
		mean += logs[i] / n
		if !s.Open {
			sumClosed += logs[i]
		}
	}
	for _, y := range logs {
		rest += y - mean
	}
	mean += rest / n
	for _, y := range logs {
		square += (y - mean) * (y - mean)
	}
	f := Fit{MeanLog: mean, SDLog: math.Sqrt(square / n), Free: 2, N: len(spells), Closed: closed}
	if closed < len(spells) {
		f.MeanLog, f.SDLog = censoredNormal(logs, spells, f.MeanLog, f.SDLog)
	}
	f.LogLikelihood = censoredNormalLikelihood(logs, spells, 1/f.SDLog, f.MeanLog/f.SDLog) - sumClosed
	f.Law = Law{kind: KindLognormal, a: math.Exp(f.MeanLog), b: f.SDLog}
	if !finite(f.Law.a) {
		return f, refuse("lognormal", "fits with a median out of range")
	}
	return f, f.Law.Valid()
}

// logTail gives ln of the normal tail beyond z and the hazard h there: the
// derivatives of the former in z are -h and -h(h-z).
func logTail(z float64) (tail, hazard float64) {
	if z >= farTail {
		m := millsRatio(z)
		return -z*z/2 - math.Log(math.Sqrt(2*math.Pi)) + math.Log(m), 1 / m
	}
	q := normalCDF(-z)
	return math.Log(q), math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) / q
}

func censoredNormalLikelihood(y []float64, spells []Spell, theta, delta float64) float64 {
	sum := 0.0
	for i, v := range y {
		z := theta*v - delta
		if spells[i].Open {
			tail, _ := logTail(z)
			sum += tail
		} else {
			sum += math.Log(theta) - z*z/2 - math.Log(math.Sqrt(2*math.Pi))
		}
	}
	return sum
}

func censoredNormal(y []float64, spells []Spell, mean, sd float64) (mu, sigma float64) {
	theta, delta := 1/sd, mean/sd
	at := censoredNormalLikelihood(y, spells, theta, delta)
	for i := 0; i < 200; i++ {
		var gt, gd, htt, htd, hdd float64
		for j, v := range y {
			z := theta*v - delta
			first, second := -z, -1.0 // derivatives in z
			if spells[j].Open {
				_, h := logTail(z)
				first, second = -h, -h*(h-z)
			} else {
				gt += 1 / theta
				htt -= 1 / (theta * theta)
			}
			gt += first * v
			gd -= first
			htt += second * v * v
			htd -= second * v
			hdd += second
		}
		det := htt*hdd - htd*htd
		if !(det > 0) {
			break
		}
		st, sd := -(hdd*gt-htd*gd)/det, -(htt*gd-htd*gt)/det
		step := 1.0
		for step > 1e-12 {
			if t := theta + step*st; t > 0 {
				if v := censoredNormalLikelihood(y, spells, t, delta+step*sd); v >= at-1e-13*math.Abs(at) {
					at = v
					break
				}
			}
			step /= 2
		}
		if step <= 1e-12 {
			break
		}
		theta += step * st
		delta += step * sd
		if math.Abs(st) <= 1e-15*theta && math.Abs(sd) <= 1e-15*(1+math.Abs(delta)) {
			break
		}
	}
	return delta / theta, 1 / theta
}

// FitGamma: with no open spell ln a - psi(a) = ln(mean) - mean of ln x, scale =
// mean / a (N. L. Johnson, S. Kotz, N. Balakrishnan, Continuous Univariate
// Distributions vol. 1, ch. 17, from memory); else the two likelihood equations,
// that of the scale inside that of the shape. At least two different closed
// spells.
func FitGamma(spells []Spell) (Fit, error) {
	closed, err := checkSpells(spells)
	if err != nil {
		return Fit{}, err
	}
	if !differ(spells) {
		return Fit{}, fmt.Errorf("gamma: %w", ErrSpells)
	}
	total, logs := 0.0, 0.0
	for _, s := range spells {
		total += s.Length
		if !s.Open {
			logs += math.Log(s.Length)
		}
	}
	f := Fit{Free: 2, N: len(spells), Closed: closed}
	mean := total / float64(f.N)
	if closed == f.N {
		s := 0.0 // ln of the mean minus the mean of ln
		for _, x := range spells {
			s -= math.Log(x.Length/mean) / float64(f.N)
		}
		f.Shape, err = risingRoot(minShape, maxShape, 0.5/s, func(a float64) (float64, float64) {
			return s - math.Log(a) + mathext.Digamma(a), trigamma(a) - 1/a
		})
		f.Scale = mean / f.Shape
	} else {
		f.Shape, f.Scale, err = censoredGamma(spells, closed, logs, mean)
	}
	if err != nil {
		return Fit{}, fmt.Errorf("gamma: no shape from 0.1 to 10000 fits (alike spells are for the lognormal): %w", ErrSpells)
	}
	f.Rate = 1 / f.Scale
	lg, _ := math.Lgamma(f.Shape)
	r := float64(closed)
	f.LogLikelihood = (f.Shape-1)*logs - r*(lg+f.Shape*math.Log(f.Scale))
	for _, s := range spells {
		if s.Open {
			f.LogLikelihood += logGammaTail(f.Shape, s.Length/f.Scale)
		} else {
			f.LogLikelihood -= s.Length / f.Scale
		}
	}
	f.Law, err = Gamma(f.Shape, f.Scale)
	return f, err
}

// censoredGamma solves the likelihood equation of the shape, with the best scale
// at each shape; in the logarithm of the shape.
func censoredGamma(spells []Spell, closed int, logs, mean float64) (shape, scale float64, err error) {
	scale = mean
	left := func(u float64) float64 {
		a := math.Exp(u)
		scale = gammaScale(spells, closed, a, scale)
		g := float64(closed)*(math.Log(scale)+mathext.Digamma(a)) - logs
		for _, s := range spells {
			if s.Open {
				g -= logGammaTailSlope(a, s.Length/scale)
			}
		}
		return g
	}
	// It rises with the shape; walk to a change of sign from shape 1.
	step := math.Ln2
	lo, flo := 0.0, left(0)
	if flo > 0 {
		step = -step
	}
	hi, fhi := lo+step, left(lo+step)
	for (fhi > 0) == (flo > 0) {
		if hi < math.Log(minShape) || hi > math.Log(maxShape) {
			return 0, 0, ErrSpells
		}
		lo, flo = hi, fhi
		hi += step
		fhi = left(hi)
	}
	if hi < lo {
		lo, flo, hi, fhi = hi, fhi, lo, flo
	}
	shape = math.Exp(rootBetween(lo, flo, hi, fhi, 1e-13, left))
	return shape, gammaScale(spells, closed, shape, scale), nil
}

// gammaScale solves the likelihood equation of the scale b at a given shape:
// sum of closed x / b + sum over open of t h(t) = closed shape, t = c/b, with h the
// hazard of scale 1. The left side falls as b rises.
func gammaScale(spells []Spell, closed int, shape, start float64) float64 {
	left := func(b float64) float64 {
		sum := 0.0
		for _, s := range spells {
			t := s.Length / b
			if s.Open {
				sum += t * gammaHazard(shape, t)
			} else {
				sum += t
			}
		}
		return sum - float64(closed)*shape
	}
	lo := start
	flo := left(lo)
	for flo < 0 {
		lo /= 2
		flo = left(lo)
	}
	hi := lo * 1.25
	fhi := left(hi)
	for fhi > 0 {
		lo, flo = hi, fhi
		hi *= 1.25
		fhi = left(hi)
	}
	return rootBetween(lo, flo, hi, fhi, 1e-15*lo, left)
}

// gammaHazard is density over survival at t for scale 1.
func gammaHazard(shape, t float64) float64 {
	if t > shape+1 {
		return 1 / (t * gammaFraction(shape, t))
	}
	lg, _ := math.Lgamma(shape)
	return math.Exp((shape-1)*math.Log(t)-t-lg) / mathext.GammaIncRegComp(shape, t)
}

// logGammaTail is ln of the survival at t for scale 1.
func logGammaTail(shape, t float64) float64 {
	if t > shape+1 {
		lg, _ := math.Lgamma(shape)
		return shape*math.Log(t) - t - lg + math.Log(gammaFraction(shape, t))
	}
	return math.Log(mathext.GammaIncRegComp(shape, t))
}

// logGammaTailSlope is its derivative in the shape, by the five-point formula
// (Abramowitz & Stegun 25.3.6): truncation and rounding are both near 1e-12 of it.
func logGammaTailSlope(shape, t float64) float64 {
	h := 5e-4 * shape
	f := func(k float64) float64 { return logGammaTail(shape+k*h, t) }
	return (f(-2) - 8*f(-1) + 8*f(1) - f(2)) / (12 * h)
}

// trigamma by recurrence and its asymptotic series, Abramowitz & Stegun 6.4.6,
// 6.4.12.
func trigamma(x float64) float64 {
	sum := 0.0
	for ; x < 10; x++ {
		sum += 1 / (x * x)
	}
	y := 1 / (x * x)
	return sum + 1/x + y/2 + y/x*(1./6-y*(1./30-y*(1./42-y/30)))
}

// Fits are the fits of every family that can be fitted, the best AIC first. Near
// equals deserve both to be tried: what they say about the tail differs.
func Fits(spells []Spell) ([]Fit, error) {
	if _, err := checkSpells(spells); err != nil {
		return nil, err
	}
	var out []Fit
	for _, k := range []Kind{KindExponential, KindWeibull, KindLognormal, KindGamma} {
		if f, err := FitLaw(k, spells); err == nil {
			out = append(out, f)
		}
	}
	if len(out) == 0 {
		return nil, ErrSpells
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].AIC() < out[b].AIC() })
	return out, nil
}

// Judged is the law to hold against the very values it was fitted to (Distance),
// with the case of critical values that goes with it (CriticalA2, CriticalD): the
// fit's, but for the lognormal with divisor n-1 under its standard deviation. All
// spells must be closed. A gamma law has no such values: Bootstrap judges it.
func (f Fit) Judged() (Law, Case, error) {
	if f.Closed != f.N {
		return Law{}, Known, errors.New("critical values are for closed spells only")
	}
	switch f.Law.Kind() {
	case KindExponential:
		return f.Law, FittedExponential, nil
	case KindWeibull:
		return f.Law, FittedWeibull, nil
	case KindLognormal:
		l := f.Law
		l.b *= math.Sqrt(float64(f.N) / float64(f.N-1))
		return l, FittedLognormal, nil
	}
	return Law{}, Known, fmt.Errorf("no critical values for a fitted %v law: use Bootstrap", f.Law.Kind())
}
