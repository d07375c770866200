package coldrolling

import (
	"fmt"
	"math"

	"millrace/sim/steel"
)

// MaxElongation is the greatest elongation a temper mill is asked for. Beyond
// it the strip is being reduced and its formability is lost (common practice,
// no source; 0.5 to 1.5 % is usual).
const MaxElongation = 0.04

// DefaultForcePerWidth is the roll force over width, N/m, at 1 % of
// elongation: common practice, no source, says 2 to 6 kN/mm. No formula for
// roll force holds below 3 % of reduction.
const DefaultForcePerWidth = 4e6

// TemperMill is a skin-pass stand.
type TemperMill struct {
	MaxForce      float64 // N
	MaxSpeed      float64 // strip behind the stand, m/s
	Accel, Decel  float64 // m/s2; 0 = at once
	ForcePerWidth float64 // N/m at 1 % elongation; 0 = DefaultForcePerWidth
	ChangeTime    float64 // between coils, s
	MaxEntryC     float64 // hotter strip ages and marks; 0 = 50 C
	EndScrap      float64 // off gauge at each end, m
}

// TemperStrip is an annealed coil to be tempered.
type TemperStrip struct {
	Thickness, Width, Length float64 // m, before
	Elongation               float64
	TempC                    float64
}

// TemperResult is what a temper mill makes of a coil.
type TemperResult struct {
	Thickness, Length float64 // m, behind the stand
	Force             float64 // N
	Top               float64 // m/s
	Rolling           float64 // s
	Time              float64 // with the coil change, s
	Rate              float64 // kg/s of strip charged, over Time
	Scrap             float64 // kg
}

// Coil tempers a coil. Force grows with the root of elongation (assumption).
// What cannot be tempered gives a *[LimitError].
func (m TemperMill) Coil(s TemperStrip) (TemperResult, error) {
	if err := m.Validate(); err != nil {
		return TemperResult{}, err
	}
	if !(s.Thickness > 0 && s.Thickness < 0.02 && s.Width > 0 && s.Width < 4 && s.Length > 0 && s.Length < 1e6) {
		return TemperResult{}, fmt.Errorf("coldrolling: strip to temper of %g x %g x %g m", s.Thickness, s.Width, s.Length)
	}
	if !(s.Elongation > 0 && s.Elongation < 1) || !(s.TempC > -50 && s.TempC < 1000) {
		return TemperResult{}, fmt.Errorf("coldrolling: elongation of %g at %g C", s.Elongation, s.TempC)
	}
	if s.Elongation > MaxElongation {
		return TemperResult{}, &LimitError{Limit: LimitElongation, Value: s.Elongation, Allowed: MaxElongation, Suggest: "roll it thinner in the cold mill"}
	}
	if most := m.maxEntryC(); s.TempC > most {
		return TemperResult{}, &LimitError{Limit: LimitHot, Value: s.TempC, Allowed: most, Suggest: "let it cool"}
	}
	r := TemperResult{Length: s.Length * (1 + s.Elongation), Thickness: s.Thickness / (1 + s.Elongation)}
	fw := m.ForcePerWidth
	if fw == 0 {
		fw = DefaultForcePerWidth
	}
	r.Force = fw * s.Width * math.Sqrt(s.Elongation/0.01)
	if r.Force > m.MaxForce {
		x := m.MaxForce / (fw * s.Width)
		return TemperResult{}, &LimitError{Limit: LimitForce, Value: r.Force, Allowed: m.MaxForce, Suggest: fmt.Sprintf("%.2g %% of elongation fits", math.Floor(x*x*100)/100)}
	}
	if m.Accel > 0 {
		r.Rolling, r.Top = run(r.Length, 0, 0, m.MaxSpeed, m.Accel, m.Decel)
	} else {
		r.Rolling, r.Top = r.Length/m.MaxSpeed, m.MaxSpeed
	}
	r.Time = r.Rolling + m.ChangeTime
	mass := steel.Density * s.Thickness * s.Width * s.Length
	r.Rate = mass / r.Time
	r.Scrap = min(2*m.EndScrap/r.Length, 1) * mass
	return r, nil
}

func (m *TemperMill) maxEntryC() float64 {
	if m.MaxEntryC == 0 {
		return 50
	}
	return m.MaxEntryC
}

// Validate refuses data that make no temper mill.
func (m TemperMill) Validate() error {
	switch {
	case !(m.MaxForce > 0 && m.MaxSpeed > 0 && m.MaxSpeed < 100) || math.IsInf(m.MaxForce, 0):
		return fmt.Errorf("coldrolling: temper mill of %g N and %g m/s", m.MaxForce, m.MaxSpeed)
	case !(m.Accel >= 0 && m.Decel >= 0) || (m.Accel > 0) != (m.Decel > 0) || math.IsInf(m.Accel+m.Decel, 0):
		return fmt.Errorf("coldrolling: temper mill: acceleration %g and deceleration %g m/s2, want both above zero or both zero", m.Accel, m.Decel)
	case !(m.ForcePerWidth >= 0 && m.ForcePerWidth < 1e9 && m.ChangeTime >= 0 && m.ChangeTime < 1e6 && m.EndScrap >= 0 && m.EndScrap < 1e5):
		return fmt.Errorf("coldrolling: temper mill: force %g N/m, change %g s, end scrap %g m", m.ForcePerWidth, m.ChangeTime, m.EndScrap)
	case !(m.MaxEntryC >= 0 && m.MaxEntryC <= 300):
		return fmt.Errorf("coldrolling: temper mill: strip of up to %g C", m.MaxEntryC)
	}
	return nil
}
