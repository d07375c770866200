package hotrolling

import (
	"math"

	"millrace/sim/steel"
	"millrace/sim/steel/rolling"
)

// FlowModel chooses the correlation for hot flow stress.
type FlowModel uint8

// The two correlations. Both are for plain carbon steel; other steels carry a
// factor in their grade.
const (
	Shida  FlowModel = iota // Shida 1969, with the softening below the ferrite transition
	Misaka                  // Misaka and Yoshimoto 1967
)

// ShidaTransitionC is [rolling.ShidaTransitionC].
func ShidaTransitionC(carbon float64) float64 { return rolling.ShidaTransitionC(carbon) }

// ShidaRateExponent is the strain-rate exponent of Shida's law.
func ShidaRateExponent(carbon, tempC float64) float64 {
	_, m, _ := rolling.ShidaTerms(carbon, tempC)
	return m
}

// ShidaStress is [rolling.ShidaStress]; [rolling.Shida] checks its range.
func ShidaStress(carbon, tempC, e, rate float64) float64 {
	return rolling.ShidaStress(carbon, tempC, e, rate)
}

// ShidaMeanStress is [rolling.ShidaMeanStress].
func ShidaMeanStress(carbon, tempC, e, rate float64) float64 {
	return rolling.ShidaMeanStress(carbon, tempC, e, rate)
}

// MisakaMeanStress is [rolling.MisakaMeanStress].
func MisakaMeanStress(carbon, tempC, e, rate float64) float64 {
	return rolling.MisakaMeanStress(carbon, tempC, e, rate)
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

// coldestLaw is where the laws of flow stress are cut off, C: a search may look at
// colder stock before it is refused.
const coldestLaw = 600.0

func flowAt(model FlowModel, g steel.Grade, tempC float64) flow {
	tempC = max(tempC, coldestLaw)
	k := g.FlowFactor
	if model == Misaka {
		return flow{scale: k * rolling.MisakaTerm(g.Comp.C, tempC), m: 0.13, n: 0.21, a: 1, e0: 1, rate0: 1}
	}
	s, m, n := rolling.ShidaTerms(g.Comp.C, tempC)
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
