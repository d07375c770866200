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

// KeyLog is told every draw of luck by its key: equal keys must give equal values
// under every plan.
type KeyLog func(p chance.Purpose, entity, index uint64, value float64)

// AgeLog is told every upset as it begins: which of the works' upsets, on which unit,
// its number on that unit from 0, and the unit's operating time by then.
type AgeLog func(spec int, unit string, no int32, age calendar.Time)

// uniform is one draw in (0, 1): the only way to luck in this package. In a picture
// without luck every draw is one half.
func (w *Works) uniform(p chance.Purpose, entity, index uint64) float64 {
	if w.quiet {
		return 0.5
	}
	u := w.S.Luck.Uniform(p, entity, index)
	if w.Keys != nil {
		w.Keys(p, entity, index, u)
	}
	return u
}

// drawLaw is one draw from a law.
func (w *Works) drawLaw(l chance.Law, p chance.Purpose, entity, index uint64) float64 {
	return l.Quantile(w.uniform(p, entity, index))
}

// happens is one draw that comes true with the probability.
func (w *Works) happens(probability float64, p chance.Purpose, entity, index uint64) bool {
	return w.uniform(p, entity, index) < probability
}

// age of a piece since it was cut.
func (w *Works) age(pc *Piece) calendar.Time { return w.Now() - pc.Born }
