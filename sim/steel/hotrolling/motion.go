package hotrolling

import "math"

// Run is the motion of a length of stock: speed up from In to a top speed,
// hold it, slow down to Out.
type Run struct {
	Top                        float64 // speed reached, m/s
	SpeedUp, Steady, SlowDown  float64 // s
	SpeedUpLength, SlowDownLen float64 // m
}

// Time is the length of the run in seconds.
func (r Run) Time() float64 { return r.SpeedUp + r.Steady + r.SlowDown }

// Trapezoid runs length (m) from speed in to speed out (m/s) under a speed
// limit with acceleration up and deceleration down (m/s2). Where the length is
// too short for the limit the run peaks below it; where it is too short even
// to reach out from in, it never holds a steady speed and ends on the way.
func Trapezoid(length, in, out, limit, up, down float64) Run {
	in, out = min(in, limit), min(out, limit)
	v := limit
	if (v*v-in*in)/(2*up)+(v*v-out*out)/(2*down) > length {
		v = math.Sqrt((length + in*in/(2*up) + out*out/(2*down)) / (1/(2*up) + 1/(2*down)))
		switch {
		case v < out: // speeding up the whole way
			v = math.Sqrt(in*in + 2*up*length)
			return Run{Top: v, SpeedUp: (v - in) / up, SpeedUpLength: length}
		case v < in: // slowing down the whole way
			end := math.Sqrt(max(in*in-2*down*length, 0))
			return Run{Top: in, SlowDown: (in - end) / down, SlowDownLen: length}
		}
	}
	r := Run{Top: v, SpeedUp: (v - in) / up, SlowDown: (v - out) / down,
		SpeedUpLength: (v*v - in*in) / (2 * up), SlowDownLen: (v*v - out*out) / (2 * down)}
	r.Steady = max(length-r.SpeedUpLength-r.SlowDownLen, 0) / v
	return r
}
