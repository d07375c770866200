package works

import (
	"math"
	"testing"
)

func TestJourneyLook(t *testing.T) {
	p := mustBuild(t)
	for i := range p.products {
		j, err := p.Journey(i, math.NaN())
		if err != nil {
			t.Error(err)
		}
		for _, s := range j.Steps {
			if s.Table != nil {
				t.Logf("%s %-16s at %8.0f takes %8.0f out %6.1f rate %5.0f | table %8.1f full %8.1f off %7.2f s (%.2f%%) %6.2f C  %s", j.Product, s.Name, s.BeginsS, s.TakesS, s.OutC, s.RateTH, s.Table.TakesS, s.Table.FullS, s.Table.TimeOffS, 100*s.Table.TimeOffS/s.Table.FullS, s.Table.TempOffC, s.Limit)
			} else {
				t.Logf("%s %-16s at %8.0f takes %8.0f out %6.1f rate %5.0f  %s", j.Product, s.Name, s.BeginsS, s.TakesS, s.OutC, s.RateTH, s.Limit)
			}
		}
		t.Logf("%+v %+v %+v %+v %+v", j.Furnace, j.Rough, j.Finish, j.RunOut, j.Coil)
	}
}
