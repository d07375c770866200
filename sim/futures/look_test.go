package futures

import (
	"context"
	"encoding/json"
	"millrace/sim/works"
	"os"
	"testing"
	"time"
)

func TestLook(t *testing.T) {
	c := &Case{Scenario: "look", Plant: mustBuild(t), Script: []works.UpsetSpec{wreck(16)}, SoldOut: true, Background: true, Length: 14 * day, Seed: 1}
	t0 := time.Now()
	r, err := RunOne(context.Background(), c, StandingOrders, 0)
	if err != nil {
		t.Fatal(err)
	}
	t.Log(time.Since(t0), r.Events)
	b, _ := json.MarshalIndent(r, "", " ")
	os.Stdout.Write(b)
	for _, l := range r.Upset {
		t.Logf("%-22s %14.0f", l.Name, l.Amount)
	}
	for _, m := range r.Moments {
		t.Log(m.At.Hours(), m.What)
	}
	for _, s := range r.Series {
		t.Log(s.Store, s.Amount, s.Low, s.Normal, s.High, s.Room)
		for i := 0; i < len(s.Level); i += 8 {
			t.Logf("   %d %.0f", i, s.Level[i])
		}
	}
}
