package hotrolling

import (
	"fmt"
	"math"
	"strings"
)

// Nearest is what a mill would take instead of an order that it refuses, each
// change made alone; 0 = none found. What it names was tried and is not refused.
type Nearest struct {
	Thickness float64 // behind the mill, m
	Width     float64 // m
	TempC     float64 // of the slab at discharge, or of the bar's head as the rougher leaves it, the tail with it
}

func (n Nearest) String() string {
	var s []string
	if n.Thickness > 0 {
		s = append(s, fmt.Sprintf("%.4g mm thick", n.Thickness*1e3))
	}
	if n.Width > 0 {
		s = append(s, fmt.Sprintf("%.0f mm wide", n.Width*1e3))
	}
	if n.TempC > 0 {
		s = append(s, fmt.Sprintf("from %.0f C", n.TempC))
	}
	if len(s) == 0 {
		return ""
	}
	return "would fit: " + strings.Join(s, ", or ")
}

// out goes from a value that does not fit by steps of a ratio, at most so many,
// to one that does, halves the way back and rounds outward to a grain. 0 = none.
func out(from, ratio float64, steps, halvings int, grain float64, fits func(float64) bool) float64 {
	bad, good := from, 0.0
	for range steps {
		x := bad * ratio
		if fits(x) {
			good = x
			break
		}
		bad = x
	}
	if good == 0 {
		return 0
	}
	for range halvings {
		if m := 0.5 * (bad + good); fits(m) {
			good = m
		} else {
			bad = m
		}
	}
	round := math.Ceil
	if ratio < 1 {
		round = math.Floor
	}
	if x := round(good/grain) * grain; x != good && fits(x) {
		return x
	}
	return good
}

// nearestFinish finds what the train would take; some milliseconds.
func nearestFinish(tr *FinishingTrain, b *Bar, t *Target, limit string) Nearest {
	fits := func(b Bar, t Target) bool {
		if t.validate(&b) != nil || b.validate() != nil {
			return false
		}
		_, err := finish(tr, &b, &t)
		return err == nil
	}
	var n Nearest
	if limit != LimitTooHot {
		n.Thickness = out(t.Thickness, 1.25, 11, 3, 5e-5, func(h float64) bool {
			o := *t
			o.Thickness = h
			return h < 0.98*b.Thickness && fits(*b, o)
		})
		n.Width = out(b.Width, 0.93, 7, 2, 0.01, func(w float64) bool {
			o := *b
			o.Width = w
			return fits(o, *t)
		})
	}
	ratio := 1.02
	if limit == LimitTooHot {
		ratio = 0.98
	}
	n.TempC = out(b.HeadC, ratio, 8, 2, 5, func(c float64) bool {
		o := *b
		o.HeadC, o.TailC = c, b.TailC+c-b.HeadC
		return fits(o, *t)
	})
	return n
}
