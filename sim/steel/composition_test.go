package steel_test

import (
	"math"
	"testing"

	"millrace/sim/steel"
)

// Slopes: Won and Thomas, Metall. Mater. Trans. A 32 (2001) 1755; P and 1536 from memory.
func TestLiquidus(t *testing.T) {
	for _, c := range [...]struct {
		id   string
		comp steel.Composition
		want float64
	}{
		{"P10", steel.Composition{C: 0.05, Si: 0.02, Mn: 0.30, P: 0.010, S: 0.010}, 1529.75},
		{"P11", steel.Composition{C: 0.10, Si: 0.10, Mn: 0.50, P: 0.015, S: 0.010}, 1524.09},
		{"P12", steel.Composition{C: 0.20, Si: 0.25, Mn: 1.20, P: 0.015, S: 0.008}, 1511.80},
		{"pure iron", steel.Composition{}, 1536},
	} {
		near(t, c.id, steel.Liquidus(c.comp), c.want, 0.01)
	}
}

func TestBadAnalysisIsRefused(t *testing.T) {
	nan := math.NaN()
	for _, c := range []steel.Composition{{C: 0.5}, {C: -0.1}, {C: nan}, {Si: nan}, {Mn: 40}, {P: 1}, {S: nan}} {
		if c.Validate() == nil {
			t.Errorf("%+v passes", c)
		}
		if got := steel.Liquidus(c); !math.IsNaN(got) {
			t.Errorf("Liquidus(%+v) = %g, want NaN", c, got)
		}
	}
	good := steel.Grade{Name: "mild", Comp: steel.Composition{C: 0.05}, FlowFactor: 1}
	if err := good.Validate(); err != nil {
		t.Error(err)
	}
	for _, g := range []steel.Grade{{Comp: good.Comp, FlowFactor: 1}, {Name: "a", FlowFactor: nan}, {Name: "a"}, {Name: "a", Comp: steel.Composition{C: 2}, FlowFactor: 1}} {
		if g.Validate() == nil {
			t.Errorf("%+v passes", g)
		}
	}
}
