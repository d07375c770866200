package works

import (
	"millrace/sim/calendar"
	"millrace/sim/chance"
)

// newPiece puts a piece into a free slot.
func (w *Works) newPiece(p Piece) int32 {
	i := w.S.Net.NewPiece()
	for int(i) >= len(w.S.Pieces) {
		w.S.Pieces = append(w.S.Pieces, Piece{})
	}
	w.S.Pieces[i] = p
	return i
}

// freePiece gives the slot back when the piece is gone.
func (w *Works) freePiece(i int32) {
	w.S.InWorks[w.S.Pieces[i].Prod] -= w.S.Pieces[i].Mass
	w.S.Pieces[i] = Piece{}
	w.S.Net.FreePiece(i)
}

func (w *Works) luckLaw(l chance.Law, p chance.Purpose, entity, index uint64) float64 {
	if w.quiet {
		return l.Median()
	}
	return w.S.Luck.Draw(l, p, entity, index)
}

// uniform is one draw in (0, 1); one half in a picture without luck.
func (w *Works) uniform(p chance.Purpose, entity, index uint64) float64 {
	if w.quiet {
		return 0.5
	}
	return w.S.Luck.Uniform(p, entity, index)
}

// age of a piece since it was cut.
func (w *Works) age(pc *Piece) calendar.Time { return w.Now() - pc.Born }
