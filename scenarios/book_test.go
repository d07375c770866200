package scenarios_test

import (
	"math"
	"strings"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/futures"
	"millrace/sim/measure"
	"millrace/sim/works"
)

// A works with a short book that goes on as if it could sell everything pools iron while
// its casters wait for orders; planned for the book it sends out what is ordered from the
// first month on, and pools less than half of that.
func TestPlannedForAShortBook(t *testing.T) {
	const share, ahead, days = 0.8, 28 * 86400, 182
	full := larkfell(t)
	rate := 0.0 // kg/s that could be sold
	for _, r := range full.Capacity().Rows {
		if strings.HasPrefix(r.Unit, "dispatch") {
			rate += r.LoadTH / 3.6
		}
	}
	play := func(planned bool) (sent, iron float64) {
		spec := full.Spec
		if planned {
			spec.PlanForBook(full.Capacity(), share)
		}
		spec.Orders = works.RepeatingBook(&spec, share*rate, 1, ahead)
		p, err := works.Build(spec)
		if err != nil {
			t.Fatal(err)
		}
		p.Route.Start = full.Route.Start
		c := futures.Case{Scenario: "book", Plant: p, Background: true, Length: calendar.Day, Seed: 3, Stores: []string{}}
		g, err := c.Game(false, 0, nil)
		if err != nil {
			t.Fatal(err)
		}
		if err := g.Run(days * calendar.Day); err != nil {
			t.Fatal(err)
		}
		if err := g.Check(); err != nil {
			t.Fatal(err)
		}
		a := g.Account()
		return g.Dispatched(), a[measure.IronLost]
	}
	sent, iron := play(true)
	_, before := play(false)
	ordered := share * rate * days * 86.4
	t.Logf("ordered %.0f t, sent %.0f t; iron lost %.2f million, not planned %.2f million", ordered, sent, iron/1e6, before/1e6)
	if math.Abs(sent/ordered-1) > 0.05 {
		t.Errorf("%.0f t are sent, %.0f t ordered", sent, ordered)
	}
	if iron > before/2 {
		t.Errorf("iron lost %.2f million, not planned %.2f million", iron/1e6, before/1e6)
	}
	if full.Spec.Casters[0].Normal != larkfell(t).Spec.Casters[0].Normal {
		t.Error("planning for a book changed the works it was given")
	}
}
