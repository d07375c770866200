package hotrolling

import (
	"math"

	"millrace/sim/steel"
)

// FlowModel chooses the correlation for hot flow stress.
type FlowModel uint8

// The two correlations. Both are for plain carbon steel; other steels carry a
// factor in their grade.
const (
	Shida  FlowModel = iota // Shida 1969, with the softening below the ferrite transition
	Misaka                  // Misaka and Yoshimoto 1967
)

// kgf/mm2 in Pa.
const kgfPerMM2 = 9.80665e6

// shidaTerms are the parts of Shida's law that depend on carbon and
// temperature only.
func shidaTerms(carbon, tempC float64) (stress, m, n float64) {
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

// ShidaRateExponent is the strain-rate exponent of Shida's law.
func ShidaRateExponent(carbon, tempC float64) float64 {
	_, m, _ := shidaTerms(carbon, tempC)
	return m
}

// ShidaStress is the flow stress, Pa, of plain carbon steel at strain e and
// strain rate rate (1/s): Shida, J. Japan Society for Technology of Plasticity
// 10 (1969) 610, from memory. Carbon in wt % 0.07-1.2, 700-1200 C, rate
// 0.1-100 1/s, strain up to 0.7.
func ShidaStress(carbon, tempC, e, rate float64) float64 {
	s, m, n := shidaTerms(carbon, tempC)
	x := e / 0.2
	return s * (1.3*math.Pow(x, n) - 0.3*x) * math.Pow(rate/10, m)
}

// ShidaMeanStress is Shida's flow stress averaged over a pass from zero strain
// to e, Pa. Same range as ShidaStress.
func ShidaMeanStress(carbon, tempC, e, rate float64) float64 {
	s, m, n := shidaTerms(carbon, tempC)
	x := e / 0.2
	return s * (1.3/(n+1)*math.Pow(x, n) - 0.15*x) * math.Pow(rate/10, m)
}

// MisakaMeanStress is the mean flow stress of a pass, Pa: Misaka and Yoshimoto,
// J. Japan Society for Technology of Plasticity 8 (1967) 414, from memory.
// Carbon up to 1.2 wt %, 750-1200 C, strain up to 0.5, rate 30-200 1/s.
func MisakaMeanStress(carbon, tempC, e, rate float64) float64 {
	return misakaTerm(carbon, tempC) * math.Pow(e, 0.21) * math.Pow(rate, 0.13)
}

func misakaTerm(c, tempC float64) float64 {
	return kgfPerMM2 * math.Exp(0.126-1.75*c+0.594*c*c+(2851+2968*c-1120*c*c)/(tempC+273))
}

// MeanStress is the mean flow stress of a pass, Pa, for a grade: the chosen
// correlation times the grade's factor.
func MeanStress(model FlowModel, g steel.Grade, tempC, e, rate float64) float64 {
	f := flowAt(model, g, tempC)
	return f.mean(e, rate)
}

// flow is a flow-stress law at one temperature, ready for many strains.
type flow struct {
	scale float64 // Pa, grade factor included
	m, n  float64 // exponents of rate and strain
	a, b  float64 // strain terms a x^n - b x with x = e/e0
	e0    float64
	rate0 float64
}

func flowAt(model FlowModel, g steel.Grade, tempC float64) flow {
	k := g.FlowFactor
	if model == Misaka {
		return flow{scale: k * misakaTerm(g.Comp.C, tempC), m: 0.13, n: 0.21, a: 1, e0: 1, rate0: 1}
	}
	s, m, n := shidaTerms(g.Comp.C, tempC)
	return flow{scale: k * s, m: m, n: n, a: 1.3 / (n + 1), b: 0.15, e0: 0.2, rate0: 10}
}

func (f *flow) mean(e, rate float64) float64 {
	return f.atRate(f.atStrain(e), rate)
}

// atStrain and atRate split the law so that a search over contact length need
// not evaluate the strain term again.
func (f *flow) atStrain(e float64) float64 {
	x := e / f.e0
	return f.scale * (f.a*math.Exp(f.n*math.Log(x)) - f.b*x)
}

func (f *flow) atRate(s, rate float64) float64 {
	return s * math.Exp(f.m*math.Log(rate/f.rate0))
}
