package scenarios_test

import (
	"context"
	"testing"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/futures"
	"millrace/sim/works"
)

// inMoney plays days of a works with a lever pulled at its start and without, over a
// few futures, and returns measures by name, mean of both.
func inMoney(t *testing.T, p *works.Plant, script []works.UpsetSpec, days float64, lever works.Lever, names ...string) (without, with []float64) {
	t.Helper()
	c := &futures.Case{Scenario: "lever", Plant: p, Script: script, SoldOut: true, Length: calendar.Dur(days * 86400), Seed: 22, Futures: 1,
		Plans: []futures.Plan{{Name: "carry on"}, {Name: "lever", New: func(chance.Luck) works.Director {
			return plan(1.0, order(works.Order{Lever: lever, Unit: -1, Value: 1}))()
		}}}}
	const n = 3
	sum := [2][]float64{make([]float64, len(names)), make([]float64, len(names))}
	for f := range uint64(n) {
		for k := range sum {
			r, err := futures.RunOne(context.Background(), c, k, f)
			if err != nil {
				t.Fatal(err)
			}
			for i, name := range names {
				found := false
				for _, m := range r.Measures {
					if m.Name == name {
						sum[k][i] += m.Value / n
						found = true
					}
				}
				if !found {
					t.Fatalf("there is no measure %q", name)
				}
			}
		}
	}
	return sum[0], sum[1]
}

// book is the works with an order book of its own.
func book(t *testing.T, lines ...works.OrderLine) *works.Plant {
	return plantWith(t, func(s *works.Spec) { s.Orders = lines })
}

// line is an order of so many tonnes, due on a day, with a penalty in shares a week.
func line(t *testing.T, p *works.Plant, product string, tonnes, day, penalty float64) works.OrderLine {
	t.Helper()
	for i := range p.Spec.Products {
		if p.Spec.Products[i].Name == product {
			return works.OrderLine{ID: product, Product: i, Mass: tonnes * 1e3, Due: day * 86400, Class: "contract", Penalty: penalty}
		}
	}
	t.Fatalf("there is no product %s", product)
	return works.OrderLine{}
}

// Shipping by due date pays where what is due first would wait in the row; it costs
// where an early order without a penalty goes before a dear one; it does nothing where
// nobody ordered cold strip.
func TestByDueDate(t *testing.T) {
	p := plantWith(t, nil)
	for _, c := range []struct {
		name  string
		p     *works.Plant
		holds func(without, with float64) bool
	}{
		{"pays", book(t, line(t, p, "P12", 2200, 0.5, 0.07), line(t, p, "P10", 2500, 6, 0.07), line(t, p, "P11", 2500, 6, 0.07)),
			func(without, with float64) bool { return without > 0 && with < 0.8*without }},
		{"costs", book(t, line(t, p, "P10", 2500, 0.3, 0), line(t, p, "P12", 300, 0.4, 0.07)),
			func(without, with float64) bool { return with > 1.2*without && with > 100 }},
		{"nothing", book(t, line(t, p, "P01", 3000, 0.2, 0.07), line(t, p, "P03", 3000, 0.4, 0.07)),
			func(without, with float64) bool { return without > 0 && with == without }},
	} {
		a, b := inMoney(t, c.p, nil, 7, works.ByDueDate, "money: penalties", "lateness")
		t.Logf("%s: penalties %.0f, by due date %.0f; lateness %.2f and %.2f d", c.name, a[0], b[0], a[1], b[1])
		if !c.holds(a[0], b[0]) {
			t.Errorf("%s: penalties %.0f without, %.0f by due date", c.name, a[0], b[0])
		}
	}
}

// Fans that run while there is no hole cost their power and the coils they spoil, and
// win nothing; in a hole they win more coils.
func TestForcedCoolingCosts(t *testing.T) {
	names := []string{"money: forced cooling", "forced cooling", "money: downgraded", "money: total", "least cool coils"}
	p := plantWith(t, nil)
	a, b := inMoney(t, p, nil, 7, works.ForceCooling, names...)
	t.Logf("without %.0f\nwith %.0f", a, b)
	hours := 7*24 - 1.0
	if a[0] != 0 || a[1] != 0 || b[1] != hours || b[0] < 150*hours-1 || b[0] > 150*hours+1 {
		t.Errorf("fans on for %g h cost %.0f, without the order %.0f", b[1], b[0], a[0])
	}
	if b[2] <= a[2] {
		t.Errorf("coils sold cheaper cost %.0f, without fans %.0f", b[2], a[2])
	}
	if b[3] <= a[3] {
		t.Errorf("with nothing to win the fans win: total %.0f, without %.0f", b[3], a[3])
	}
	if b[4] <= a[4] {
		t.Errorf("least stock of cool coils %.0f t, without fans %.0f t", b[4], a[4])
	}
}
