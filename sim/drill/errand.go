package drill

import (
	"math"
	"time"

	"millrace/sim/bus"
	"millrace/sim/calendar"
)

// errand is a run to a moment, at which time is held.
type errand struct {
	to     calendar.Time
	inject bool // to the next inject of the script, whenever that now is
	fast   bool // as fast as it can
	on     bool
}

const (
	hurryStep = 2 * calendar.Hour     // played between two looks at the wall clock
	hurryFor  = 60 * time.Millisecond // of each tick: commands are heard and pages told between
)

// checkErrand says why there can be no such run, "" when there can.
func (h *Host) checkErrand(c *bus.Command) string {
	switch {
	case len(h.broken) > 0:
		return "the drill is broken and only shows what was: " + h.broken[0]
	case h.s.now() >= h.length:
		return "the scenario has been played to its end; go back to play on"
	case c.Until == bus.NextInject:
		if i, at := h.s.dueScript(); i < 0 || at > h.length {
			return "no inject of the script is to come"
		}
		return ""
	case c.Until != "":
		return "run to a time, or until \"" + bus.NextInject + "\""
	case math.IsNaN(c.To) || c.To < (h.s.now()+resolution).Seconds():
		return "run to a time that is still to come; to go back, rewind"
	case c.To > h.length.Seconds():
		return "the scenario ends before that time"
	}
	return ""
}

// errandEnd is where time is held next by an errand; Never without one.
func (h *Host) errandEnd() calendar.Time {
	switch {
	case !h.errand.on:
		return calendar.Never
	case h.errand.inject:
		_, at := h.s.dueScript() // Never when it was dropped: on to the scenario's end
		return max(at, h.s.now())
	}
	return h.errand.to
}

// hurry plays on for part of a tick as fast as it can.
func (h *Host) hurry(begun time.Time) {
	for !h.held && h.errand.fast && time.Since(begun) < hurryFor {
		end := min(h.errandEnd(), h.length)
		to := min(h.s.now()+hurryStep, end)
		if to > h.allowed {
			h.allowed = to
			if err := h.write(&bus.Action{Kind: bus.ActAllow, OK: true}); err != nil {
				return
			}
		}
		if err := h.advance(to); err != nil {
			h.fail(err)
			return
		}
		h.arrive(end)
	}
}
