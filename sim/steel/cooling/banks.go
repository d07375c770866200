package cooling

import (
	"fmt"
	"math"

	"millrace/sim/steel"
)

// Layout is a run-out table from the last stand to the coiler, bank by bank.
type Layout struct {
	RunOut
	Before, After float64 // dry table before the first bank and after the last, m
	Headers       int     // that can be shut singly within a bank, for the last trim; 0 or 1: whole banks only
	AmbientC      float64
	Emissivity    float64 // of strip in air: 0.8 (from memory)
	AirH          float64 // convection in air, W/m2K; running strip 10 to 40 (from memory)
}

// Pattern is the order in which banks are opened.
type Pattern uint8

// The patterns.
const (
	Early  Pattern = iota // from the last stand on: the usual one
	Late                  // from the coiler back: a long time hot, for coarse grain
	Spread                // every other bank first, so that the strip evens out between
)

// String names the pattern.
func (p Pattern) String() string {
	switch p {
	case Early:
		return "early"
	case Late:
		return "late"
	case Spread:
		return "spread"
	}
	return fmt.Sprintf("pattern %d", uint8(p))
}

// Strip is a piece of strip as it leaves the last stand.
type Strip struct {
	Thickness float64 // m
	Speed     float64 // m/s
	TempC     float64 // even through its thickness
}

// BankRun is one bank with the strip under it.
type BankRun struct {
	Number     int     // from 1 at the last stand
	Open       float64 // share of its headers, 0 to 1
	InC, OutC  float64 // mean of the strip before and behind it
	SurfaceOut float64 // C
}

// TableRun is a strip's way over the table.
type TableRun struct {
	Banks    []BankRun
	Open     float64 // banks open, parts counted
	CoilingC float64 // mean at the coiler
	SurfaceC float64 // at the coiler
	CentreC  float64
	Seconds  float64 // from the last stand to the coiler
}

// Validate refuses what [NewRunOut] refuses, lengths and coefficients below 0, and an ambient outside -40 to 60 C.
func (l Layout) Validate() error {
	if _, err := NewRunOut(l.RunOut); err != nil {
		return err
	}
	switch {
	case !(l.Before >= 0 && l.After >= 0) || l.Before+l.After > 1000:
		return fmt.Errorf("run-out table: %g m dry before the banks and %g m after", l.Before, l.After)
	case l.Headers < 0 || l.Headers > 100 || l.Banks > 500:
		return fmt.Errorf("run-out table: %d banks of %d headers", l.Banks, l.Headers)
	case !(l.AmbientC >= -40 && l.AmbientC <= 60):
		return fmt.Errorf("run-out table: ambient at %g C", l.AmbientC)
	case !(l.Emissivity >= 0 && l.Emissivity <= 1 && l.AirH >= 0 && l.AirH <= 1000):
		return fmt.Errorf("run-out table: emissivity %g and %g W/m2K in air", l.Emissivity, l.AirH)
	}
	return nil
}

func (l Layout) ask(s Strip, open []float64) error {
	if err := l.Validate(); err != nil {
		return err
	}
	if !(s.Thickness >= 5e-4 && s.Thickness <= 0.06 && s.Speed >= 0.1 && s.Speed <= 40) {
		return fmt.Errorf("run-out table: strip %g m thick at %g m/s", s.Thickness, s.Speed)
	}
	if !(s.TempC >= 300 && s.TempC <= tableEnd) {
		return fmt.Errorf("run-out table: strip at %g C, want 300 to %d C", s.TempC, tableEnd)
	}
	if len(open) != l.Banks {
		return fmt.Errorf("run-out table: %d banks set, %d fitted", len(open), l.Banks)
	}
	for i, o := range open {
		if !(o >= 0 && o <= 1) {
			return fmt.Errorf("run-out table: bank %d is %g open", i+1, o)
		}
	}
	return nil
}

func (l Layout) wet() steel.Surroundings {
	return steel.Surroundings{GasC: l.WaterC, Convection: l.H}
}

func (l Layout) dry() steel.Surroundings {
	return steel.Surroundings{GasC: l.AmbientC, Emissivity: l.Emissivity, Convection: l.AirH}
}

// stage is what a strip is followed with: conduction or the parabolic profile.
type stage interface {
	run(s steel.Surroundings, seconds float64) error
	state() steel.PlateState
}

// follow takes a strip over the table; each bank is wet over its open share from its upstream end.
func (l Layout) follow(s Strip, open []float64, st stage) (TableRun, error) {
	r := TableRun{Seconds: (l.Before + l.After + float64(l.Banks)*l.BankLength) / s.Speed}
	if err := st.run(l.dry(), l.Before/s.Speed); err != nil {
		return r, err
	}
	for i, o := range open {
		b := BankRun{Number: i + 1, Open: o, InC: st.state().MeanC}
		if err := st.run(l.wet(), o*l.BankLength/s.Speed); err != nil {
			return r, err
		}
		if err := st.run(l.dry(), (1-o)*l.BankLength/s.Speed); err != nil {
			return r, err
		}
		b.OutC, b.SurfaceOut = st.state().MeanC, st.state().SurfaceC
		r.Open += o
		r.Banks = append(r.Banks, b)
	}
	if err := st.run(l.dry(), l.After/s.Speed); err != nil {
		return r, err
	}
	end := st.state()
	r.CoilingC, r.SurfaceC, r.CentreC = end.MeanC, end.SurfaceC, end.CentreC
	return r, nil
}

// conducted is the full form: eight cells in half the thickness.
type conducted struct{ w *steel.Wall }

func (c conducted) run(s steel.Surroundings, seconds float64) error {
	if seconds <= 0 {
		return nil
	}
	_, err := c.w.Advance(s, seconds)
	return err
}

func (c conducted) state() steel.PlateState {
	return steel.PlateState{MeanC: c.w.MeanC(), SurfaceC: c.w.SurfaceC(), CentreC: c.w.CentreC()}
}

// parabolic is the plate model, stepped by Runge and Kutta.
type parabolic struct {
	half, h float64
	last    steel.PlateState
}

func (p *parabolic) run(s steel.Surroundings, seconds float64) error {
	if seconds <= 0 {
		return nil
	}
	plate := steel.Plate{HalfThickness: p.half, Around: s}
	if s.Emissivity == 0 && s.Convection == 0 {
		p.last = steel.PlateState{MeanC: steel.TempFromEnthalpy(p.h), SurfaceC: steel.TempFromEnthalpy(p.h), CentreC: steel.TempFromEnthalpy(p.h)}
		return nil
	}
	n := math.Ceil(seconds / min(0.05, 20*p.half)) // steps short against the time in which thin strip cools
	for range int(n) {
		p.h = rungeKutta(plate, p.h, seconds/n)
	}
	p.last = plate.State(p.h)
	if math.IsNaN(p.last.MeanC) {
		return fmt.Errorf("run-out table: the strip left the range of the properties")
	}
	return nil
}

func (p *parabolic) state() steel.PlateState { return p.last }

// Cool takes strip over the table with each bank open by a share of its headers, by conduction through its thickness: the full form.
//
// It fails for a layout [Layout.Validate] refuses, strip outside 0.5 to 60 mm, 0.1 to 40 m/s and 300 to 1300 C, and shares outside 0 to 1. One coefficient holds for all water, so an answer below
// [LeastCoilingC] means little.
func (l Layout) Cool(s Strip, open []float64) (TableRun, error) {
	if err := l.ask(s, open); err != nil {
		return TableRun{}, err
	}
	w, err := steel.NewWall(steel.Carbon{}, s.Thickness/2, 8, s.TempC)
	if err != nil {
		return TableRun{}, err
	}
	return l.follow(s, open, conducted{w})
}

// CoolCheap is [Layout.Cool] by the parabolic profile of [steel.Plate]: some ten times faster, and within 1 C of it at the coiler up to 12 mm, within 4 C up to 25 mm (tested with 880 to 600 C).
func (l Layout) CoolCheap(s Strip, open []float64) (TableRun, error) {
	if err := l.ask(s, open); err != nil {
		return TableRun{}, err
	}
	return l.follow(s, open, l.cheap(s))
}

func (l Layout) cheap(s Strip) *parabolic {
	return &parabolic{half: s.Thickness / 2, h: steel.Enthalpy(s.TempC), last: steel.PlateState{MeanC: s.TempC, SurfaceC: s.TempC, CentreC: s.TempC}}
}

// order is the order in which a pattern opens banks.
func (l Layout) order(p Pattern) []int {
	var out []int
	switch p {
	case Late:
		for i := l.Banks - 1; i >= 0; i-- {
			out = append(out, i)
		}
	case Spread:
		for i := 0; i < l.Banks; i += 2 {
			out = append(out, i)
		}
		for i := 1; i < l.Banks; i += 2 {
			out = append(out, i)
		}
	default:
		for i := range l.Banks {
			out = append(out, i)
		}
	}
	return out
}

// ForTarget finds which banks must be open, in the order of a pattern, for strip to be coiled nearest to a mean of targetC, and follows it in the full form.
//
// Whole banks first, then single headers of the next if the layout has them: the answer is within half a header's cooling of the target. It fails when all banks do not do or none is too many, by more than
// that half, for a target below [LeastCoilingC], and as [Layout.Cool].
func (l Layout) ForTarget(s Strip, targetC float64, p Pattern) (TableRun, error) {
	open := make([]float64, max(l.Banks, 0))
	if err := l.ask(s, open); err != nil {
		return TableRun{}, err
	}
	if p > Spread {
		return TableRun{}, fmt.Errorf("run-out table: %v is none", p)
	}
	if !(targetC >= LeastCoilingC && targetC < s.TempC) {
		return TableRun{}, fmt.Errorf("run-out table: from %.0f to %.0f C; coiling is between %d C, where this model ends, and the strip's own temperature", s.TempC, targetC, LeastCoilingC)
	}
	headers := max(l.Headers, 1)
	order := l.order(p)
	set := func(n int) []float64 {
		clear(open)
		for i := 0; i < n; i++ {
			open[order[i/headers]] += 1 / float64(headers)
		}
		for i := range open {
			open[i] = min(open[i], 1)
		}
		return open
	}
	ask := func(n int) (TableRun, error) { return l.Cool(s, set(n)) }
	// More water is colder: bisect over the headers for the first that is at or below the target.
	lo, hi := 0, l.Banks*headers
	most, err := ask(hi)
	if err != nil {
		return TableRun{}, err
	}
	none, err := ask(0)
	if err != nil {
		return TableRun{}, err
	}
	one := (none.CoilingC - most.CoilingC) / float64(hi)
	switch {
	case most.CoilingC > targetC+one/2:
		return most, fmt.Errorf("run-out table: with all %d banks open the strip is coiled at %.0f C, not %.0f C: run slower, at about %.1f m/s", l.Banks, most.CoilingC, targetC, s.Speed*(s.TempC-most.CoilingC)/(s.TempC-targetC))
	case none.CoilingC < targetC-one/2:
		return none, fmt.Errorf("run-out table: with no water the strip is coiled at %.0f C, below %.0f C: run faster or finish hotter", none.CoilingC, targetC)
	}
	above, below := none, most
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		r, err := ask(mid)
		if err != nil {
			return TableRun{}, err
		}
		if r.CoilingC > targetC {
			lo, above = mid, r
		} else {
			hi, below = mid, r
		}
	}
	if math.Abs(above.CoilingC-targetC) < math.Abs(below.CoilingC-targetC) {
		return above, nil
	}
	return below, nil
}
