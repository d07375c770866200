package coldrolling

import (
	"fmt"
	"math"

	"millrace/sim/steel"
)

// MaxStands is the greatest number of stands.
const MaxStands = 8

// Reductions a stand is given. Below the least no force formula holds; above
// the greatest Hill's ends.
const (
	LeastReduction = 0.05
	MostReduction  = 0.5
)

// MostTension is the greatest tension as a share of the strip's own flow
// stress: above it welds and edges tear (common practice, no source).
const MostTension = 0.5

// Stand is one stand of a tandem mill.
type Stand struct {
	RollRadius   float64 // work roll, m
	MaxForce     float64 // N
	MaxTorque    float64 // both rolls, N m; 0 = the motor's power alone limits
	MaxPower     float64 // of the motor, W
	MaxSpeed     float64 // roll surface, m/s
	Friction     float64
	MaxReduction float64 // 0 = MostReduction
	LoadShare    float64 // of power among stands, relative to MaxPower; 0 = 1
}

// Mill is a tandem cold mill.
type Mill struct {
	Stands     []Stand
	Tensions   []float64 // stress, Pa: before the first stand, between stands, behind the last
	Efficiency float64   // rolls over motor, 0-1
	Model      Model

	MaxEntry float64 // strip speed before the first stand, m/s; 0 = no limit
	MaxExit  float64 // strip speed at the coiler, m/s; 0 = no limit

	Accel, Decel float64 // of the strip behind the last stand, m/s2
	ThreadSpeed  float64 // m/s behind the last stand
	ThreadLength float64 // strip behind the last stand rolled at it, m; 0 = the strip is joined to the one before
	TailSpeed    float64 // m/s
	TailLength   float64 // m; 0 = joined to the next
	WeldSpeed    float64 // m/s
	WeldLength   float64 // strip rolled at it for each weld, m
}

// Strip is an order for a mill.
type Strip struct {
	EntryThickness, ExitThickness, Width float64 // m
	Law                                  Law     // the zero value is LowCarbon
}

// Draft is what one stand does.
type Draft struct {
	Entry, Exit float64 // thickness, m
	Reduction   float64
	Stress      float64 // mean plane-strain yield stress, Pa
	Force       float64 // N
	Torque      float64 // both rolls, N m
	Power       float64 // at the rolls, W, at the schedule's speed
	Speed       float64 // of the strip behind the stand, m/s
	RollSpeed   float64 // m/s
	Slip        float64 // forward slip; 0 under Hill
	Flattening  float64 // flattened over real radius
	Warming     float64 // K

	// LooseForce is the force, N, when the strip loses tension on both sides
	// with the gap held; Overload says that it is above the stand's limit.
	LooseForce float64
	Overload   bool

	Use   float64 // greatest share of force, torque, power and reduction
	Binds string
}

// ScheduleResult is a found schedule.
type ScheduleResult struct {
	Stands     []Draft
	ExitSpeed  float64 // greatest, m/s
	EntrySpeed float64 // m/s, before the first stand
	Limit      string  // of the speed
	LimitStand int     // from 1; 0 = none in particular
	Power      float64 // of all motors at ExitSpeed, W
	Energy     float64 // of the motors, J/kg
	Rate       float64 // at ExitSpeed, kg/s
}

// Validate refuses data that make no mill.
func (m Mill) Validate() error {
	if len(m.Stands) == 0 || len(m.Stands) > MaxStands {
		return fmt.Errorf("coldrolling: %d stands, want 1 to %d", len(m.Stands), MaxStands)
	}
	if len(m.Tensions) != len(m.Stands)+1 {
		return fmt.Errorf("coldrolling: %d tensions for %d stands, want one more than stands", len(m.Tensions), len(m.Stands))
	}
	for i, s := range m.Tensions {
		if !(s >= 0 && s < 2e9) {
			return fmt.Errorf("coldrolling: tension %d is %g Pa", i, s)
		}
	}
	for i, s := range m.Stands {
		switch {
		case !(s.RollRadius > 0.02 && s.RollRadius < 1):
			return fmt.Errorf("coldrolling: stand %d: roll radius %g m", i+1, s.RollRadius)
		case !(s.MaxForce > 0 && s.MaxPower > 0 && s.MaxSpeed > 0 && s.MaxTorque >= 0) || math.IsInf(s.MaxForce+s.MaxPower+s.MaxSpeed+s.MaxTorque, 0):
			return fmt.Errorf("coldrolling: stand %d: force, power and speed must be above zero, got %g N, %g W, %g m/s, torque %g N m", i+1, s.MaxForce, s.MaxPower, s.MaxSpeed, s.MaxTorque)
		case !(s.Friction >= 0.01 && s.Friction <= 0.3):
			return fmt.Errorf("coldrolling: stand %d: friction %g is outside 0.01-0.3", i+1, s.Friction)
		case s.MaxReduction != 0 && !(s.MaxReduction >= LeastReduction && s.MaxReduction <= MostReduction):
			return fmt.Errorf("coldrolling: stand %d: greatest reduction %g is outside %g-%g", i+1, s.MaxReduction, LeastReduction, MostReduction)
		case !(s.LoadShare >= 0 && s.LoadShare <= 10):
			return fmt.Errorf("coldrolling: stand %d: load share %g", i+1, s.LoadShare)
		}
	}
	if !(m.Efficiency > 0 && m.Efficiency <= 1) {
		return fmt.Errorf("coldrolling: efficiency %g, want above 0, at most 1", m.Efficiency)
	}
	if !(m.MaxEntry >= 0 && m.MaxExit >= 0) || math.IsInf(m.MaxEntry+m.MaxExit, 0) {
		return fmt.Errorf("coldrolling: greatest strip speeds %g and %g m/s", m.MaxEntry, m.MaxExit)
	}
	if m.Model > Hill {
		return fmt.Errorf("coldrolling: no force model %d", m.Model)
	}
	return nil
}

// Validate refuses an order that is none.
func (s Strip) Validate() error {
	if !(s.EntryThickness <= 0.02 && s.ExitThickness >= 2e-5 && s.EntryThickness > s.ExitThickness && s.Width > 0.05 && s.Width < 4) {
		return fmt.Errorf("coldrolling: strip %g m wide from %g to %g m", s.Width, s.EntryThickness, s.ExitThickness)
	}
	return s.law().Validate()
}

func (s *Strip) law() Law {
	if s.Law == (Law{}) {
		return LowCarbon()
	}
	return s.Law
}

// Length is the length, m, of a mass (kg) of strip at a thickness (m).
func (s Strip) Length(mass, thickness float64) float64 {
	return mass / (steel.Density * s.Width * thickness)
}

func (s *Stand) share() float64 {
	if s.LoadShare == 0 {
		return 1
	}
	return s.LoadShare
}

func (s *Stand) mostReduction() float64 {
	if s.MaxReduction == 0 {
		return MostReduction
	}
	return s.MaxReduction
}
