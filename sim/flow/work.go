package flow

import "millrace/sim/calendar"

// Work is measured in time at pace one. A length of Never stays Never: work
// without end is never used up and never overflows.

// later returns t+d, not below zero and at most Never.
func later(t, d calendar.Time) calendar.Time {
	if t == calendar.Never || d > calendar.Never-t {
		return calendar.Never
	}
	return max(t+d, 0)
}

// atPace returns how long the work takes at the pace.
func atPace(work calendar.Time, pace float64) calendar.Time {
	if pace == 1 || work == calendar.Never {
		return work
	}
	d := float64(work) / pace
	if d >= float64(calendar.Never) {
		return calendar.Never
	}
	return calendar.Time(d)
}

// lessWork returns what remains of the work after d at the pace.
func lessWork(work, d calendar.Time, pace float64) calendar.Time {
	if work == calendar.Never {
		return work
	}
	if pace != 1 {
		done := float64(d) * pace
		if done >= float64(work) {
			return 0
		}
		d = calendar.Time(done)
	}
	return max(work-d, 0)
}
