package chance

import (
	"errors"
	"math"
)

// Goodness is how often a sample drawn from the fitted law itself, and fitted
// again, lies at least as far from its fit as the data do: a small share speaks
// against the family.
type Goodness struct {
	Fit       Fit
	Distances Distances
	// Shares (1 + samples as far) / (1 + samples): never 0.
	ShareD, ShareA2, ShareW2 float64
	Samples                  int // samples that could be fitted
}

// Bootstrap fits the family to values (all closed) and judges the fit by samples
// from it, refitted each time, which is right for any family and any n (W. Stute,
// W. Gonzalez Manteiga, M. Presedo Quindimil, Metrika 40 (1993) 243, from
// memory). 999 samples are usual. The samples are keyed on luck, sample and
// place: the same call gives the same answer.
func Bootstrap(kind Kind, values []float64, samples int, luck Luck, p Purpose) (Goodness, error) {
	if samples < 19 {
		return Goodness{}, errors.New("a bootstrap needs at least 19 samples")
	}
	fit, err := FitLaw(kind, Spells(values...))
	if err != nil {
		return Goodness{}, err
	}
	g := Goodness{Fit: fit}
	if g.Distances, err = Distance(fit.Law, values); err != nil {
		return Goodness{}, err
	}
	x := make([]float64, len(values))
	spells := make([]Spell, len(values))
	var asFar [3]int
	for s := range samples {
		for i := range x {
			x[i] = luck.Draw(fit.Law, p, uint64(s), uint64(i))
			spells[i] = Spell{Length: x[i]}
		}
		f, err := FitLaw(kind, spells)
		if err != nil {
			continue // a sample out of the family's range is no evidence
		}
		d, err := Distance(f.Law, x)
		if err != nil {
			continue
		}
		g.Samples++
		for i, pair := range [3][2]float64{{d.D, g.Distances.D}, {d.A2, g.Distances.A2}, {d.W2, g.Distances.W2}} {
			if pair[0] >= pair[1] {
				asFar[i]++
			}
		}
	}
	if g.Samples < samples/2 {
		return Goodness{}, errors.New("most samples of the fitted law cannot be fitted again")
	}
	share := func(k int) float64 { return math.Min(1, float64(1+k)/float64(1+g.Samples)) }
	g.ShareD, g.ShareA2, g.ShareW2 = share(asFar[0]), share(asFar[1]), share(asFar[2])
	return g, nil
}
