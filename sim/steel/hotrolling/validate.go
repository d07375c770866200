package hotrolling

import (
	"fmt"
	"math"
)

func within(x, lo, hi float64) bool { return x >= lo && x <= hi }

func (s *Sprays) validate() error {
	if s.Pairs == 0 {
		return nil
	}
	if !(s.Pairs > 0 && s.H > 0 && s.Footprint > 0) || math.IsInf(s.H+s.Footprint, 0) {
		return fmt.Errorf("pairs, heat transfer and footprint must be above zero, got %+v", *s)
	}
	return nil
}

func (th *Thermal) validate() error {
	if !(th.Emissivity >= 0 && th.Emissivity <= 1) {
		return fmt.Errorf("emissivity %g is outside 0-1", th.Emissivity)
	}
	if !(th.ChillFactor >= 0 && th.ChillFactor <= 2) {
		return fmt.Errorf("roll chill factor %g is outside 0-2", th.ChillFactor)
	}
	if !(th.RollC >= 0 && th.RollC <= 400) || !(th.WaterC >= 0 && th.WaterC <= 100) {
		return fmt.Errorf("rolls at %g C or water at %g C: outside 0-400 and 0-100 C", th.RollC, th.WaterC)
	}
	return nil
}
