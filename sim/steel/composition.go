package steel

import (
	"fmt"
	"math"
)

// Composition is a chemical analysis in per cent by mass.
type Composition struct{ C, Si, Mn, P, S float64 }

// Validate refuses an analysis that is not a number, negative, or outside the plain carbon steels [Liquidus] is good for: C below 0.5, Si and Mn up to 3, P and S up to 0.2 per cent.
func (c Composition) Validate() error {
	for _, e := range [...]struct {
		name     string
		got, max float64
	}{{"C", c.C, 0.5}, {"Si", c.Si, 3}, {"Mn", c.Mn, 3}, {"P", c.P, 0.2}, {"S", c.S, 0.2}} {
		if !(e.got >= 0 && e.got <= e.max) {
			return fmt.Errorf("composition: %s is %g %%, want 0 to %g %%", e.name, e.got, e.max)
		}
	}
	if c.C == 0.5 {
		return fmt.Errorf("composition: C is 0.5 %%, want less")
	}
	return nil
}

// Liquidus returns the temperature in C at which the steel begins to freeze; NaN for an analysis that [Composition.Validate] refuses.
//
// The slopes of C, Si, Mn and S are those of Won and Thomas, Metall. Mater. Trans. A 32 (2001) 1755; the slope of P and the 1536 C of pure iron are from memory. Take 3 C as its uncertainty
// (assumption; equations of this kind miss thermal analysis by 2.1 C with 1.6 C spread, Metall. Mater. Trans. B 52 (2021) 2821).
func Liquidus(c Composition) float64 {
	if c.Validate() != nil {
		return math.NaN()
	}
	return 1536 - 78*c.C - 7.6*c.Si - 4.9*c.Mn - 34.4*c.P - 38*c.S
}

// Grade is a steel as the works orders it.
type Grade struct {
	Name string
	Comp Composition
	// FlowFactor multiplies the hot flow stress of plain carbon steel of the same carbon: 1 for plain carbon, 1.1 to 1.4 for micro-alloyed steel (assumption).
	FlowFactor float64
}

// Validate refuses a grade without a name, with a bad analysis, or with a flow factor outside 0.5 to 3.
func (g Grade) Validate() error {
	if g.Name == "" {
		return fmt.Errorf("grade: it has no name")
	}
	if err := g.Comp.Validate(); err != nil {
		return fmt.Errorf("grade %s: %w", g.Name, err)
	}
	if !(g.FlowFactor >= 0.5 && g.FlowFactor <= 3) {
		return fmt.Errorf("grade %s: flow factor is %g, want 0.5 to 3", g.Name, g.FlowFactor)
	}
	return nil
}
