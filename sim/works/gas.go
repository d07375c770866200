package works

import "math"

// tickGas balances the fuel gas since the last tick: the blast furnace makes
// it, the furnaces burn it, the power house takes the rest within its swing, the
// holder levels the difference; what does not fit is flared, what is missing is
// bought.
func (w *Works) tickGas() {
	s := &w.P.Spec
	st := &w.S
	dt := (w.Now() - st.GasLast).Seconds()
	st.GasLast = w.Now()
	if dt <= 0 {
		return
	}
	burned := 0.0
	for f := range s.Furnaces {
		k := &st.Furnaces[f]
		k.Fuel += w.wallFuel(f)
		burned += k.Fuel
		k.Fuel = 0
	}
	made := s.Gas.Made * dt * st.IronRate / s.Iron.Rate
	b := s.Gas.Holder
	// The power house follows the holder: more above the normal level, less below.
	x := (st.Gas - b.Normal) / math.Max(1, math.Min(b.High-b.Normal, b.Normal-b.Low))
	take := math.Max(0, math.Min(s.Gas.PowerHouse+s.Gas.Swing, s.Gas.PowerHouse+s.Gas.Swing*x)) * dt
	st.Gas += made - burned - take
	flared, bought := 0.0, 0.0
	if st.Gas > b.Room {
		flared = st.Gas - b.Room
		st.Gas = b.Room
	}
	if st.Gas < 0 {
		bought = -st.Gas
		st.Gas = 0
	}
	st.Flared += flared
	st.Bought += bought
	// kJ: joules of a gas holder are more than a record needs.
	w.note(WordGas, -1, -1, int64(burned/1e3), int64(flared/1e3), int64(bought/1e3))
	w.emitLevel(LevelGas, int64(st.Gas/1e3))
}

// wallFuel is the fuel that covers the furnace's wall losses since it was last
// asked, J. Walls lose less when the gas is set back.
func (w *Works) wallFuel(f int) float64 {
	s := &w.P.Spec.Furnaces[f]
	k := &w.S.Furnaces[f]
	dt := (w.Now() - k.Wall).Seconds()
	k.Wall = w.Now()
	full, now := 0.0, 0.0
	for z := range s.Zones {
		full += s.Zones[z].Share * (s.Zones[z].Gas - w.P.Spec.Ambient)
		now += s.Zones[z].Share * (w.P.baths[f][z][k.Step].GasC() - w.P.Spec.Ambient)
	}
	return s.WallLoss / s.Efficiency * dt * now / full
}
