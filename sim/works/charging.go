package works

import "math"

// Charging rules: which slab of the programme goes first.
const (
	RuleOldest    uint8 = iota // the oldest of its product, programme in proportion to stock
	RuleHottest                // the hottest of its product
	RuleHeavy                  // heavy gauges first: most tonnes an hour
	RuleDue                    // what the order book misses most
	RuleAsTheyLie              // whatever is on top: no digging
)

// ruleNames are the words for the rules in files, levers and logs.
var ruleNames = [...]string{"oldest first", "hottest first", "heavy gauges first", "oldest order first", "as they lie"}

// Rules returns the words for the charging rules.
func Rules() []string { return ruleNames[:] }

// pickSlab chooses the slab to be charged next and counts it for the programme;
// -1 when there is none or the stock is too small to build a programme.
func (w *Works) pickSlab() int32 {
	st := &w.S
	if st.YardCount == 0 {
		return -1
	}
	if st.Easy > 0 {
		if p := w.easiest(); p >= 0 {
			st.Easy--
			return w.pickOf(p)
		}
		st.Easy = 0
	}
	for range 2 {
		if st.ProgLeft <= 0 && !w.buildProgramme() {
			return -1
		}
		if st.Warm > 0 {
			if p := w.warmUp(); p >= 0 {
				st.Warm--
				st.Prog[p]--
				st.ProgLeft--
				return w.pickOf(p)
			}
			st.Warm = 0
		}
		// Body: width only down, thicker before thinner at one width.
		best := -1
		for p := range w.P.products {
			if st.Prog[p] <= 0 || st.Yard[p].N == 0 {
				continue
			}
			if best < 0 || w.before(p, best) {
				best = p
			}
		}
		if best >= 0 {
			st.Prog[best]--
			st.ProgLeft--
			return w.pickOf(best)
		}
		st.ProgLeft = 0 // what is left of the programme has no slabs: build the next
	}
	return -1
}

func (w *Works) before(a, b int) bool { return w.P.before(a, b) }

// warmUp is the easiest product of the programme: thickest, then narrowest.
func (w *Works) warmUp() int {
	best := -1
	for p := range w.P.products {
		if w.S.Prog[p] <= 0 || w.S.Yard[p].N == 0 {
			continue
		}
		if best < 0 {
			best = p
			continue
		}
		x, y := &w.P.products[p], &w.P.products[best]
		if x.Thickness > y.Thickness || x.Thickness == y.Thickness && x.Width < y.Width {
			best = p
		}
	}
	return best
}

// easiest is the thickest product in stock, for staging after a stop.
func (w *Works) easiest() int {
	best := -1
	for p := range w.P.products {
		if w.S.Yard[p].N > 0 && (best < 0 || w.P.products[p].Thickness > w.P.products[best].Thickness) {
			best = p
		}
	}
	return best
}

func (w *Works) pickOf(p int) int32 {
	l := &w.S.Yard[p]
	i := l.Head
	if w.S.Rule == RuleHottest || w.S.Rule == RuleAsTheyLie {
		i = l.Tail
	}
	w.S.Pieces[i].Run = w.S.ProgNo
	return i
}

// buildProgramme decides how many coils of each product the next programme has.
func (w *Works) buildProgramme() bool {
	st := &w.S
	if float64(st.Mass[w.P.p.yard])/grams < w.P.Spec.Yard.MinStock {
		return false
	}
	st.ProgNo++
	st.ProgLeft = 0
	st.Warm = int32(w.P.Spec.Train.WarmUp)
	weight := [maxProducts]float64{}
	sum := 0.0
	for p := range w.P.products {
		x := float64(st.Yard[p].N)
		switch st.Rule {
		case RuleHeavy:
			// The slabs that pass the mill in the least time a tonne count four times.
			if w.P.products[p].heavy {
				x *= 4
			}
		case RuleDue:
			x *= w.backlogWeight(p)
		}
		weight[p] = x
		sum += x
	}
	if sum <= 0 {
		return false
	}
	size := float64(w.P.Spec.Train.Programme)
	if km := w.P.Spec.Train.ProgrammeKm; km > 0 {
		// Rolls wear by length too: no more coils than the strip they may roll.
		strip := 0.0
		for p := range w.P.products {
			strip += weight[p] / sum * w.P.products[p].strip
		}
		size = math.Min(size, math.Floor(km/strip))
	}
	carry := 0.0
	for p := range w.P.products {
		want := size*weight[p]/sum + carry
		n := math.Round(want)
		carry = want - n
		n = math.Min(n, float64(st.Yard[p].N))
		st.Prog[p] = int16(n)
		st.ProgLeft += int32(n)
	}
	return st.ProgLeft > 0
}
