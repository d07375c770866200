package coldrolling

import (
	"fmt"
	"math"
)

// CoilTime is the motion of one coil through a mill, seconds.
type CoilTime struct {
	Thread   float64 // at threading speed
	Moving   float64 // speeding up, steady, slowing down
	Welds    float64 // at weld speed
	Tail     float64 // at tail-out speed
	Top      float64 // speed reached, m/s
	OffGauge float64 // strip rolled at thread and tail speed, m
}

// Total is the time from the head's entry to the tail's leaving, s. Handling
// between coils comes on top.
func (c CoilTime) Total() float64 { return c.Thread + c.Moving + c.Welds + c.Tail }

// CoilTime runs a coil of a length (m, behind the last stand) at a top speed
// (m/s), with welds spread evenly over its length, each taken at weld speed. A
// strip that is joined (no thread or tail length) begins or ends at top speed.
func (m Mill) CoilTime(length, top float64, welds int) (CoilTime, error) {
	if !(length > 0 && top > 0 && welds >= 0 && welds <= 100) || math.IsInf(length+top, 0) {
		return CoilTime{}, fmt.Errorf("coldrolling: a coil of %g m at %g m/s with %d welds", length, top, welds)
	}
	if !(m.Accel > 0 && m.Decel > 0) || math.IsInf(m.Accel+m.Decel, 0) {
		return CoilTime{}, fmt.Errorf("coldrolling: acceleration %g and deceleration %g m/s2 must be above zero", m.Accel, m.Decel)
	}
	for _, x := range [3]struct {
		what          string
		speed, length float64
		used          bool
	}{{"threading", m.ThreadSpeed, m.ThreadLength, m.ThreadLength > 0}, {"tail", m.TailSpeed, m.TailLength, m.TailLength > 0}, {"weld", m.WeldSpeed, m.WeldLength, welds > 0}} {
		if !(x.length >= 0) || x.used && !(x.speed > 0) || math.IsInf(x.length+x.speed, 0) || math.IsNaN(x.speed) {
			return CoilTime{}, fmt.Errorf("coldrolling: %s of %g m at %g m/s", x.what, x.length, x.speed)
		}
	}
	var c CoilTime
	in, out, weld := top, top, min(m.WeldSpeed, top)
	left := length
	if m.ThreadLength > 0 {
		in = min(m.ThreadSpeed, top)
		d := min(m.ThreadLength, left)
		c.Thread, left = d/in, left-d
		c.OffGauge += d
	}
	if m.TailLength > 0 {
		out = min(m.TailSpeed, top)
		d := min(m.TailLength, left)
		c.Tail, left = d/out, left-d
		c.OffGauge += d
	}
	if welds > 0 {
		d := min(float64(welds)*m.WeldLength, left)
		c.Welds, left = d/weld, left-d
	}
	span := left / float64(welds+1)
	for i := range welds + 1 {
		a, b := weld, weld
		if i == 0 {
			a = in
		}
		if i == welds {
			b = out
		}
		t, v := run(span, a, b, top, m.Accel, m.Decel)
		c.Moving += t
		c.Top = max(c.Top, v)
	}
	return c, nil
}

// run is the time over a length from speed a to speed b under a limit, and the
// greatest speed. Where the length is too short to change from a to b the time
// is that of the steady change over it, which needs a stronger drive: it only
// happens to coils of a few turns.
func run(length, a, b, limit, up, down float64) (t, top float64) {
	if length <= 0 {
		return 0, max(a, b)
	}
	v := math.Sqrt((length + a*a/(2*up) + b*b/(2*down)) / (1/(2*up) + 1/(2*down)))
	if v < max(a, b) {
		return 2 * length / (a + b), max(a, b)
	}
	v = min(v, limit)
	rest := length - (v*v-a*a)/(2*up) - (v*v-b*b)/(2*down)
	return (v-a)/up + (v-b)/down + max(rest, 0)/v, v
}
