package hotrolling

import (
	"fmt"
	"math"

	"millrace/sim/steel"
)

// MaxStands is the most stands of a finishing train.
const MaxStands = 9

// Stand is one stand of the train.
type Stand struct {
	RollRadius float64 // m
	MaxForce   float64 // N
	MaxTorque  float64 // both rolls, N m; 0 = not limited
	MaxPower   float64 // of the drive, W
	MaxSpeed   float64 // roll surface, m/s
	LoadShare  float64 // share of its power this stand is to carry beside the others; 0 = 1. Last stands carry less, for flatness
}

// DriveTorque is the torque, N m, both rolls together, that the stand's motor
// gives at a roll surface speed (m/s) with the train's efficiency: MaxTorque
// where there is one, and never more than the power leaves.
func (s *Stand) DriveTorque(efficiency, speed float64) float64 {
	most := s.MaxTorque
	if most == 0 {
		most = math.Inf(1)
	}
	return driveTorque(most, s.MaxPower*efficiency, s.RollRadius, s.MaxSpeed, speed)
}

// RunOut tells how fast the run-out table can take strip of a thickness (m)
// from one temperature to another; the cooling package has one.
type RunOut interface {
	MaxSpeed(thickness, fromC, toC float64) float64
}

// FinishingTrain is the train with its delay table, descaler and coilers' reach.
type FinishingTrain struct {
	Stands       []Stand
	StandSpacing float64 // m
	Efficiency   float64 // roll power over drive power, 0-1

	ThreadSpeedMax float64 // greatest strip speed at which the coiler catches the head, m/s
	ThreadDistance float64 // last stand to coiler: threaded before the mill speeds up, m
	Zoom           float64 // acceleration after the catch, m/s2
	Decel          float64 // m/s2
	TailOutSpeed   float64 // greatest strip speed as the tail leaves, m/s

	CoverFactor   float64 // share of radiation a cover or coil box on the delay table keeps in, 0-1
	MinEntryC     float64 // a bar any part of which would enter colder is not rolled; 0 = no such rule
	EntryDistance float64 // uncovered, from delay table to first stand, m
	Descale       Sprays  // before the first stand
	InterstandH   float64 // full interstand sprays, W/m2K; 0 = none
	InterstandLen float64 // wetted length between two stands, m

	Friction float64 // at the bite
	Gap      float64 // s between the tail of a bar and the next head

	RunOut   RunOut // nil = never limits
	Thermal  Thermal
	Flow     FlowModel
	Pressure PressureModel
}

// Bar is what comes from the rougher.
type Bar struct {
	Width, Thickness, Length float64 // m
	HeadC, TailC             float64 // at one instant, Wait seconds before the head enters
	Wait                     float64 // s on the delay table before the head enters
	Grade                    steel.Grade
}

// Target is the order.
type Target struct {
	Thickness                      float64 // m
	FinishTempMinC, FinishTempMaxC float64
	CoilTempC                      float64
}

// StandResult is one stand of a finished schedule. Loads are the greatest of
// head, body and tail; speeds are those of the body.
type StandResult struct {
	Entry, Exit  float64 // m
	Reduction    float64
	Force        float64 // N
	Torque       float64 // N m
	Power        float64 // of the drive, W
	RollSpeed    float64 // m/s
	StripSpeed   float64 // m/s, leaving
	ForwardSlip  float64
	HeadC, TailC float64 // leaving the stand
}

// FinishResult is a schedule.
type FinishResult struct {
	Stands      []StandResult
	StripLength float64 // m

	ThreadSpeed, TopSpeed, TailSpeed               float64 // strip speeds at the last stand, m/s
	EntrySpeed                                     float64 // of the bar at threading, m/s
	ThreadTime, ZoomTime, SteadyTime, SlowDownTime float64 // s
	RollTime                                       float64 // their sum: head out to tail out of the last stand
	Cycle                                          float64 // RollTime and the gap to the next bar

	HeadEntryC, TailEntryC float64 // before descaling
	HeadC, TopC, TailC     float64 // leaving the last stand: head, body as slowing down begins, tail
	HeadSprays, TailSprays float64 // share of the interstand sprays in use
	Energy                 float64 // drives, J
	ThreadLimit, TopLimit  string  // what holds the two speeds down
	GreatestUse            float64 // of any force, torque or power limit
	GreatestUseOf          string
	GreatestUseStand       int     // from 1
	HeadHeat               Heat    // of the head, from HeadEntryC to HeadC
	HeadShortC, TailShortC float64 // K the head and the tail lack of the least finishing temperature; 0 = none
}

// MeanSpeed is strip length over rolling time, m/s.
func (r FinishResult) MeanSpeed() float64 { return r.StripLength / r.RollTime }

// Validate refuses a train that is incomplete or not a number.
func (tr *FinishingTrain) Validate() error {
	if len(tr.Stands) == 0 || len(tr.Stands) > MaxStands {
		return fmt.Errorf("finishing train: %d stands, allowed 1 to %d", len(tr.Stands), MaxStands)
	}
	for i := range tr.Stands {
		s := &tr.Stands[i]
		if !(s.RollRadius > 0 && s.MaxForce > 0 && s.MaxPower > 0 && s.MaxSpeed > 0 && s.MaxTorque >= 0 && s.LoadShare >= 0) ||
			math.IsInf(s.RollRadius+s.MaxForce+s.MaxPower+s.MaxSpeed+s.LoadShare, 0) {
			return fmt.Errorf("finishing train: stand %d needs roll radius, force, power and speed above zero", i+1)
		}
	}
	for _, v := range [...]struct {
		name string
		v    float64
	}{
		{"stand spacing", tr.StandSpacing}, {"efficiency", tr.Efficiency}, {"threading speed", tr.ThreadSpeedMax}, {"zoom", tr.Zoom},
		{"deceleration", tr.Decel}, {"tail-out speed", tr.TailOutSpeed}, {"friction", tr.Friction},
	} {
		if !(v.v > 0) || math.IsInf(v.v, 0) {
			return fmt.Errorf("finishing train: %s must be above zero, got %g", v.name, v.v)
		}
	}
	if tr.Efficiency > 1 {
		return fmt.Errorf("finishing train: efficiency %g is above one", tr.Efficiency)
	}
	for _, v := range [...]struct {
		name string
		v    float64
	}{{"threading distance", tr.ThreadDistance}, {"entry distance", tr.EntryDistance}, {"gap", tr.Gap}, {"least entry temperature", tr.MinEntryC}, {"interstand heat transfer", tr.InterstandH}, {"interstand wetted length", tr.InterstandLen}} {
		if !(v.v >= 0) || math.IsInf(v.v, 0) {
			return fmt.Errorf("finishing train: %s must not be negative, got %g", v.name, v.v)
		}
	}
	if !(tr.CoverFactor >= 0 && tr.CoverFactor <= 1) {
		return fmt.Errorf("finishing train: cover factor %g is outside 0-1", tr.CoverFactor)
	}
	if err := tr.Descale.validate(); err != nil {
		return fmt.Errorf("finishing train: descaling: %w", err)
	}
	if err := tr.Thermal.validate(); err != nil {
		return fmt.Errorf("finishing train: %w", err)
	}
	return nil
}

func (b *Bar) validate() error {
	if !within(b.Width, 0.1, 10) || !within(b.Thickness, 2*MinThickness, 1) || !within(b.Length, 0.1, 5000) || !within(b.Wait, 0, 86400) {
		return fmt.Errorf("bar: %g m wide, %g m thick and %g m long, waiting %g s, is outside 0.1-10, %g-1 and 0.1-5000 m and a day", b.Width, b.Thickness, b.Length, b.Wait, 2*MinThickness)
	}
	if !(b.HeadC >= 700 && b.HeadC <= 1350 && b.TailC >= 700 && b.TailC <= 1350) {
		return fmt.Errorf("bar: head %g C or tail %g C is outside 700-1350 C", b.HeadC, b.TailC)
	}
	if err := b.Grade.Validate(); err != nil {
		return fmt.Errorf("bar: %w", err)
	}
	return nil
}

func (t *Target) validate(b *Bar) error {
	if !(t.Thickness >= MinThickness && t.Thickness <= b.Thickness-MinThickness) {
		return fmt.Errorf("target: thickness %g m must lie between %g m and less than the bar's %g m", t.Thickness, MinThickness, b.Thickness)
	}
	if !(t.FinishTempMinC >= 600 && t.FinishTempMaxC >= t.FinishTempMinC && t.FinishTempMaxC <= 1200) {
		return fmt.Errorf("target: finishing temperature %g to %g C is not an interval within 600-1200 C", t.FinishTempMinC, t.FinishTempMaxC)
	}
	if !(t.CoilTempC >= 20 && t.CoilTempC <= t.FinishTempMaxC) {
		return fmt.Errorf("target: coiling at %g C", t.CoilTempC)
	}
	return nil
}
