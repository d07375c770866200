package pickling

import (
	"fmt"
	"math"

	"millrace/sim/steel"
)

// Line is a continuous pickle line and the state of its acid.
type Line struct {
	Tanks       []float64 // length of strip in acid, m, tank by tank
	AcidPercent float64   // HCl, % by mass, mean of the tanks
	TempC       float64   // of the acid
	Kinetics    Kinetics  // zero value = CommonKinetics
	Patience    float64   // overpickling clock over pickling time; 0 = DefaultPatience

	MaxProcess float64 // m/s
	MinProcess float64 // below it the line cannot be run, m/s

	EntrySpeed  float64 // the entry's full speed, m/s
	WeldTime    float64 // entry stop for each coil, s
	EntryLooper float64 // m of strip

	ExitSpeed  float64 // m/s
	ChangeTime float64 // exit stop for each coil: shear and coil change, s
	ExitLooper float64 // m of strip

	MinThickness, MaxThickness float64 // m; 0 = no limit
	MinWidth, MaxWidth         float64 // m; 0 = no limit
}

// Coil is a coil of hot band.
type Coil struct {
	Length, Thickness, Width float64 // m
	CoilingTempC             float64
}

// Mass is the coil's mass, kg.
func (c Coil) Mass() float64 { return steel.Density * c.Length * c.Thickness * c.Width }

// CoilResult is how a line runs a coil among its like.
type CoilResult struct {
	ProcessSpeed float64 // m/s, constant: the process does not stop for a weld
	Time         float64 // from weld to weld, s
	LimitedBy    string
	Rate         float64 // kg/s

	Need    float64 // time in acid needed, s
	InAcid  float64 // time in acid had, s
	Entry   float64 // share of the entry's time in use, 1 = no rest between welds
	Drawn   float64 // strip drawn from the entry looper by a weld, m
	Refill  float64 // time to fill it again, s
	Slow    bool    // strip slower than SlowStrip: it may need longer than the law says
	Reserve float64 // further entry stop carried just before a weld, s
}

// AcidLength is the strip in acid, m.
func (l Line) AcidLength() float64 {
	s := 0.0
	for _, t := range l.Tanks {
		s += t
	}
	return s
}

func (l *Line) kinetics() Kinetics {
	if l.Kinetics == (Kinetics{}) {
		return CommonKinetics()
	}
	return l.Kinetics
}

// AcidSpeed is the speed, m/s, that the acid alone allows strip coiled at a
// temperature, C.
func (l Line) AcidSpeed(coilingC float64) float64 {
	k := l.kinetics()
	return l.AcidLength() / (k.Time(l.AcidPercent, l.TempC) * k.CoilingFactor(coilingC))
}

// Coil is the constant speed a line can keep on a run of such coils, and what
// limits it. A coil the line cannot take gives a *[LimitError]; data that make
// no sense give another error.
//
// The speed is constant because the process must not stop while the entry
// welds: what stands in acid stains. So a looper must hold a whole weld.
func (l Line) Coil(c Coil) (CoilResult, error) {
	if err := l.Validate(); err != nil {
		return CoilResult{}, err
	}
	if !(c.Length > 0 && c.Thickness > 0 && c.Width > 0) || math.IsInf(c.Length+c.Thickness+c.Width, 0) {
		return CoilResult{}, fmt.Errorf("pickling: a coil of %g x %g x %g m", c.Length, c.Width, c.Thickness)
	}
	if !(c.CoilingTempC >= 0 && c.CoilingTempC <= 900) {
		return CoilResult{}, fmt.Errorf("pickling: coiled at %g C, want 0 to 900 C", c.CoilingTempC)
	}
	if err := l.size(c); err != nil {
		return CoilResult{}, err
	}
	k := l.kinetics()
	r := CoilResult{Need: k.Time(l.AcidPercent, l.TempC) * k.CoilingFactor(c.CoilingTempC)}
	if !(r.Need > 0 && r.Need < 1e6) {
		return CoilResult{}, fmt.Errorf("pickling: the time law asks for %g s in acid", r.Need)
	}
	r.ProcessSpeed, r.LimitedBy = l.AcidLength()/r.Need, LimitAcid
	slower := func(v float64, limit string) {
		if v < r.ProcessSpeed {
			r.ProcessSpeed, r.LimitedBy = v, limit
		}
	}
	slower(l.MaxProcess, LimitProcess)
	slower(SustainableSpeed(c.Length, l.EntrySpeed, l.WeldTime), LimitEntry)
	slower(SustainableSpeed(c.Length, l.ExitSpeed, l.ChangeTime), LimitExit)
	if l.WeldTime > 0 {
		slower(l.EntryLooper/l.WeldTime, LimitEntryLooper)
	}
	if l.ChangeTime > 0 {
		slower(l.ExitLooper/l.ChangeTime, LimitExitLooper)
	}
	v := r.ProcessSpeed
	if v < l.MinProcess {
		return CoilResult{}, &LimitError{Limit: r.LimitedBy, Value: v, Allowed: l.MinProcess, Suggest: l.suggest(r.LimitedBy, c)}
	}
	r.Time = c.Length / v
	r.Rate = c.Mass() / r.Time
	r.InAcid = l.AcidLength() / v
	r.Entry = (c.Length/l.EntrySpeed + l.WeldTime) / r.Time
	r.Drawn = Drawn(v, l.WeldTime)
	r.Refill = Recovery(v, l.WeldTime, l.EntrySpeed)
	r.Slow = v < SlowStrip
	r.Reserve = Stored{Strip: l.EntryLooper}.EntryStop(v) - l.WeldTime
	return r, nil
}

func (l *Line) size(c Coil) error {
	for _, x := range []struct {
		limit       string
		v, lo, hi   float64
		short, long string
	}{
		{LimitThickness, c.Thickness, l.MinThickness, l.MaxThickness, "order a thicker hot band", "send it as hot band"},
		{LimitWidth, c.Width, l.MinWidth, l.MaxWidth, "order a wider hot band", "slit it or send it as hot band"},
	} {
		if x.v < x.lo {
			return &LimitError{Limit: x.limit, Value: x.v, Allowed: x.lo, Suggest: x.short}
		}
		if x.hi > 0 && x.v > x.hi {
			return &LimitError{Limit: x.limit, Value: x.v, Allowed: x.hi, Suggest: x.long}
		}
	}
	return nil
}

// suggest says what would bring the line to its least speed.
func (l *Line) suggest(limit string, c Coil) string {
	v := l.MinProcess
	switch limit {
	case LimitAcid:
		k := l.kinetics()
		f := k.CoilingFactor(c.CoilingTempC)
		for t := l.TempC; t <= MaxTempC; t++ {
			if l.AcidLength()/(f*k.Time(l.AcidPercent, t)) >= v {
				return fmt.Sprintf("acid at %.0f C would do", t)
			}
		}
		for p := l.AcidPercent; p <= MaxAcid; p += 0.5 {
			if l.AcidLength()/(f*k.Time(p, l.TempC)) >= v {
				return fmt.Sprintf("acid of %.1f %% would do", p)
			}
		}
		return "strengthen and heat the acid"
	case LimitEntry:
		if t := c.Length * (1/v - 1/l.EntrySpeed); t > 0 {
			return fmt.Sprintf("a weld of %.0f s would do", math.Floor(t))
		}
	case LimitExit:
		if t := c.Length * (1/v - 1/l.ExitSpeed); t > 0 {
			return fmt.Sprintf("a coil change of %.0f s would do", math.Floor(t))
		}
	case LimitEntryLooper:
		return fmt.Sprintf("a looper of %.0f m or a weld of %.0f s would do", math.Ceil(v*l.WeldTime), math.Floor(l.EntryLooper/v))
	case LimitExitLooper:
		return fmt.Sprintf("a looper of %.0f m or a coil change of %.0f s would do", math.Ceil(v*l.ChangeTime), math.Floor(l.ExitLooper/v))
	}
	return "lower the least process speed"
}

// Validate refuses a line that cannot be one, and acid outside the range of
// the time law.
func (l Line) Validate() error {
	if len(l.Tanks) == 0 {
		return fmt.Errorf("pickling: a line without tanks")
	}
	for i, t := range l.Tanks {
		if !(t > 0 && t <= 200) {
			return fmt.Errorf("pickling: tank %d is %g m long, want 0 to 200 m", i+1, t)
		}
	}
	if err := l.kinetics().Validate(); err != nil {
		return err
	}
	if !(l.AcidPercent >= MinAcid && l.AcidPercent <= MaxAcid && l.TempC >= MinTempC && l.TempC <= MaxTempC) {
		return fmt.Errorf("pickling: acid of %g %% at %g C is outside %g-%g %% and %g-%g C", l.AcidPercent, l.TempC, MinAcid, MaxAcid, MinTempC, MaxTempC)
	}
	if !(l.Patience >= 0 && l.Patience <= 1000) {
		return fmt.Errorf("pickling: overpickling after %g pickling times", l.Patience)
	}
	for _, x := range []struct {
		name string
		v    float64
	}{{"greatest process speed", l.MaxProcess}, {"entry speed", l.EntrySpeed}, {"exit speed", l.ExitSpeed}} {
		if !(x.v > 0 && x.v <= 50) {
			return fmt.Errorf("pickling: %s is %g m/s, want above 0, at most 50", x.name, x.v)
		}
	}
	if !(l.MinProcess >= 0 && l.MinProcess <= l.MaxProcess) {
		return fmt.Errorf("pickling: least process speed %g m/s is outside 0 to %g", l.MinProcess, l.MaxProcess)
	}
	for _, x := range []struct {
		name string
		v    float64
	}{{"weld time", l.WeldTime}, {"coil change", l.ChangeTime}, {"entry looper", l.EntryLooper}, {"exit looper", l.ExitLooper},
		{"least thickness", l.MinThickness}, {"greatest thickness", l.MaxThickness}, {"least width", l.MinWidth}, {"greatest width", l.MaxWidth}} {
		if !(x.v >= 0 && x.v <= 1e5) {
			return fmt.Errorf("pickling: %s is %g, want 0 or more", x.name, x.v)
		}
	}
	if l.WeldTime > 0 && l.EntryLooper == 0 || l.ChangeTime > 0 && l.ExitLooper == 0 {
		return fmt.Errorf("pickling: the entry and the exit stop for a coil only with a looper to carry it")
	}
	return nil
}
