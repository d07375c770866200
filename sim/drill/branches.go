package drill

import (
	"slices"

	"millrace/sim/bus"
	"millrace/sim/calendar"
)

// leaving is what a rewind to the session s leaves behind: the branch as it stands, and
// those of its marks that s does not have.
func (h *Host) leaving(s *session) (*bus.Branch, []bus.Mark) {
	old := h.s
	b := &bus.Branch{Name: branchName(h.branch), From: h.forked, At: old.now().Seconds(), CostSoFar: old.costNow().SoFar, CostLine: round0(old.costs), Orders: []bus.BranchOrder{}}
	for _, l := range old.logs[bus.ForAll] {
		if l.What == bus.LogAction {
			b.Orders = append(b.Orders, bus.BranchOrder{Tag: l.Tag, At: l.At, By: l.By, Text: l.Text})
		}
	}
	var gone []bus.Mark
	for _, m := range old.marks {
		if !slices.ContainsFunc(s.marks, func(k bus.Mark) bool { return k.Seq == m.Seq }) {
			m.Branch, m.Gone = b.Name, true
			gone = append(gone, m)
		}
	}
	return b, gone
}

// leave takes note of what a rewind left. It is kept in the rewind's action, so that it is
// known again when the program comes back.
func (h *Host) leave(a *bus.Action) {
	if a.Left != nil {
		h.left = append(h.left, *a.Left)
	}
	h.gone = append(h.gone, a.Marks...)
	h.forked = calendar.Time(a.To).Seconds()
}

// marks are the points to go back to, then those of other branches, which cannot be
// reached.
func (h *Host) marks() []bus.Mark {
	return append(slices.Clone(h.s.marks), h.gone...)
}
