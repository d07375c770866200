package futures

import (
	"context"
	"encoding/json"
	"testing"
	"time"

	"millrace/sim/chance"
	"millrace/sim/works"
)

func TestLook(t *testing.T) {
	c := &Case{Scenario: "look", Plant: mustBuild(t), Script: []works.UpsetSpec{wreck(16)}, SoldOut: true, Background: true, Length: 7 * day, MaxLength: 14 * day, Seed: 1, Futures: 20,
		Plans: []Plan{{Name: "carry on"}, {Name: "slow", New: func(chance.Luck) works.Director { return &slower{} }}, {Name: "nothing"}}}
	t0 := time.Now()
	r, err := Compare(context.Background(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Log(time.Since(t0))
	t.Log(r.Verdict, r.Warnings, r.Extended, r.Capped, r.Longest.Hours())
	for _, p := range r.Plans {
		b, _ := p.Measures.Get(BackToNormal)
		t.Log(p.Name, p.Cost, p.Unrecovered, b.N, b.Mean)
		for _, l := range p.CostOfUpset {
			t.Logf("   %-22s %12.0f %12.0f %12.0f", l.Name, l.Amount, l.Low, l.High)
		}
	}
	b, err := json.Marshal(r)
	t.Log(string(b)[:600], err)
}
