package rolling

import "math"

// kgf/mm2 in Pa.
const kgfPerMM2 = 9.80665e6

// The range that the hot laws take. They were fitted to less: see each.
const (
	HotMinC, HotMaxC       = 600.0, 1350.0
	HotMinRate, HotMaxRate = 1e-3, 1e3 // 1/s
	HotMaxCarbon           = 1.2       // wt %
	HotMaxStrain           = 0.7
)

// Shida is the flow stress of plain carbon steel by Shida, J. Japan Society for
// Technology of Plasticity 10 (1969) 610, from memory, times a factor for the
// steel (0 = 1). It softens where ferrite forms: in the 160 C below [ShidaTransitionC] colder
// steel can be softer.
//
// Fitted at 0.07-1.2 wt % carbon, 700-1200 C, 0.1-100 1/s, strains to 0.7;
// accepted in the wider range of [HotMinC] and its neighbours.
type Shida struct{ Carbon, Factor float64 }

// Stress implements [Law].
func (l Shida) Stress(e, rate, tempC float64) (float64, error) {
	f, err := hotFactor(l.Carbon, l.Factor, 0, e, rate, tempC)
	if err != nil {
		return 0, err
	}
	return f * ShidaStress(l.Carbon, tempC, e, rate), nil
}

// Mean implements [Law]. The law is of steel that enters a pass recrystallised:
// strain counts from the entry of the pass.
func (l Shida) Mean(from, to, rate, tempC float64) (float64, error) {
	f, err := hotFactor(l.Carbon, l.Factor, from, to, rate, tempC)
	if err != nil {
		return 0, err
	}
	if to-from <= 1e-9 {
		return f * ShidaStress(l.Carbon, tempC, from, rate), nil
	}
	b := to * ShidaMeanStress(l.Carbon, tempC, to, rate)
	if from > 0 {
		b -= from * ShidaMeanStress(l.Carbon, tempC, from, rate)
	}
	return f * b / (to - from), nil
}

// Misaka is the mean flow stress of a pass by Misaka and Yoshimoto, J. Japan
// Society for Technology of Plasticity 8 (1967) 414, from memory, times a factor
// for the steel (0 = 1). Stress and Mean are the same: that of a pass that ends
// at the strain. It knows no ferrite.
//
// Fitted at up to 1.2 wt % carbon, 750-1200 C, 30-200 1/s, strains to 0.5;
// accepted in the wider range of [HotMinC] and its neighbours.
type Misaka struct{ Carbon, Factor float64 }

// Stress implements [Law].
func (l Misaka) Stress(e, rate, tempC float64) (float64, error) { return l.Mean(0, e, rate, tempC) }

// Mean implements [Law]; from must be zero.
func (l Misaka) Mean(from, to, rate, tempC float64) (float64, error) {
	if from != 0 {
		return 0, refuse("Misaka's stress is that of a whole pass: strain from %g, want 0", from)
	}
	f, err := hotFactor(l.Carbon, l.Factor, from, to, rate, tempC)
	if err != nil {
		return 0, err
	}
	return f * MisakaMeanStress(l.Carbon, tempC, to, rate), nil
}

// hotFactor is the factor of a hot law, 0 with an error outside its range.
func hotFactor(carbon, factor, from, to, rate, tempC float64) (float64, error) {
	if factor == 0 {
		factor = 1
	}
	switch {
	case !within(carbon, 0, HotMaxCarbon):
		return 0, refuse("%g %% of carbon is outside 0-%g %%", carbon, HotMaxCarbon)
	case !within(factor, 0.1, 10):
		return 0, refuse("a factor of %g on the flow stress is outside 0.1-10", factor)
	case !(from >= 0 && to >= from && to <= HotMaxStrain):
		return 0, refuse("strains from %g to %g: hot laws go to %g", from, to, HotMaxStrain)
	case !within(rate, HotMinRate, HotMaxRate):
		return 0, refuse("a strain rate of %g 1/s is outside %g-%g", rate, HotMinRate, HotMaxRate)
	case !within(tempC, HotMinC, HotMaxC):
		return 0, refuse("%g C is outside %g-%g C", tempC, HotMinC, HotMaxC)
	}
	return factor, nil
}

// ShidaTerms are the parts of Shida's law that depend on carbon (wt %) and
// temperature (C) only: a stress in Pa, the exponent of strain rate and that of
// strain. Unchecked.
func ShidaTerms(carbon, tempC float64) (stress, m, n float64) {
	t := (tempC + 273) / 1000
	td := 0.95 * (carbon + 0.41) / (carbon + 0.32)
	n = 0.41 - 0.07*carbon
	if t >= td {
		stress = 0.28 * math.Exp(5/t-0.01/(carbon+0.05))
		m = (-0.019*carbon+0.126)*t + (0.075*carbon - 0.050)
		return stress * kgfPerMM2, m, n
	}
	d := t - 0.95*(carbon+0.49)/(carbon+0.42)
	g := 30*(carbon+0.9)*d*d + (carbon+0.06)/(carbon+0.09)
	stress = 0.28 * g * math.Exp(5/td-0.01/(carbon+0.05))
	m = (0.081*carbon-0.154)*t + (-0.019*carbon + 0.207) + 0.027/(carbon+0.32)
	return stress * kgfPerMM2, m, n
}

// ShidaTransitionC is the temperature below which Shida's law sees ferrite, C.
func ShidaTransitionC(carbon float64) float64 {
	return 950*(carbon+0.41)/(carbon+0.32) - 273
}

// ShidaStress is [Shida]'s stress without factor and checks.
func ShidaStress(carbon, tempC, e, rate float64) float64 {
	s, m, n := ShidaTerms(carbon, tempC)
	x := e / 0.2
	return s * (1.3*math.Pow(x, n) - 0.3*x) * math.Pow(rate/10, m)
}

// ShidaMeanStress is [Shida]'s mean over a pass from zero strain to e, without
// factor and checks.
func ShidaMeanStress(carbon, tempC, e, rate float64) float64 {
	s, m, n := ShidaTerms(carbon, tempC)
	x := e / 0.2
	return s * (1.3/(n+1)*math.Pow(x, n) - 0.15*x) * math.Pow(rate/10, m)
}

// MisakaMeanStress is [Misaka]'s stress without factor and checks.
func MisakaMeanStress(carbon, tempC, e, rate float64) float64 {
	return MisakaTerm(carbon, tempC) * math.Pow(e, 0.21) * math.Pow(rate, 0.13)
}

// MisakaTerm is the part of Misaka's law, Pa, that depends on carbon (wt %) and
// temperature (C) only. Unchecked.
func MisakaTerm(c, tempC float64) float64 {
	return kgfPerMM2 * math.Exp(0.126-1.75*c+0.594*c*c+(2851+2968*c-1120*c*c)/(tempC+273))
}
