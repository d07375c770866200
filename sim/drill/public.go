package drill

import (
	"strconv"
	"strings"
	"time"

	"millrace/sim/bus"
)

// What players may see: nothing by which they could tell what is to come.

// publicRun stands for the run's name, which is often that of the scenario's file.
const publicRun = "drill"

// public is the title that players and observers see.
func (sc *Scenario) public() string {
	if sc.Public != "" {
		return sc.Public
	}
	y, m, d := sc.Start.Date()
	return "Drill, " + time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC).Format("Monday 2 January 2006")
}

// toldTo lists the audiences that a word goes to: all, staff, or one player and staff.
func toldTo(t *bus.Told) []bus.Audience {
	switch strings.ToLower(strings.TrimSpace(t.To)) {
	case "", "all", "everybody", "player", "players":
		return []bus.Audience{bus.ForAll}
	case "staff", "controller", "evaluator", "evaluators":
		return []bus.Audience{bus.ForStaff}
	}
	return []bus.Audience{bus.ForStaff, bus.ForPlayer(t.To)}
}

// checkTo says why a message cannot go to whom it is for, "" when it can.
func (h *Host) checkTo(x *bus.Inject) string {
	to := toldTo(&bus.Told{To: x.To})
	if x.What != bus.InjectMessage || len(to) < 2 || h.cfg.Players == nil {
		return ""
	}
	for _, p := range h.cfg.Players {
		if bus.ForPlayer(p) == to[1] {
			return ""
		}
	}
	return "there is no player " + strconv.Quote(x.To) + "; write all, staff, or one of: " + strings.Join(h.cfg.Players, ", ")
}
