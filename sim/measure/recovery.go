package measure

import (
	"math"

	"millrace/sim/calendar"
)

// shift is how long a works must have been normal to be called so.
const shift = 8 * calendar.Hour

// near is the share of a band's width within which a store counts as being where
// it would have been without the upset.
const near = 0.1

// Recovery says when the hole that an upset tore had gone through a works: the
// moment from which, up to the last Settle, every store is normal. A store is
// normal when the mean of its level over the shift of 8 h that ends with the
// hour is inside its band, or as near to that of the twin (the same future
// without the upset) as a tenth of the band's width: what stands outside its
// band anyway is not the upset's doing.
//
// Stores that turn over in less than a shift at their highest level are left
// out: a hole cannot hide in them, and they leave their bands every day.
//
// ok is false when the moment is less than a shift ago or an upset is not over.
// Both tallies have been settled at the same moment.
func Recovery(t, twin *Tally) (at calendar.Time, ok bool) {
	if t.active > 0 {
		return t.now, false
	}
	at = t.lastOver
	for i := range t.series {
		s, w := &t.series[i], &twin.series[i]
		low, high, out := twin.turnover(s.place())
		if s.at == coolCoils {
			low, high = t.sheet.CoolLow, t.sheet.CoolHigh
		}
		if high <= low || out <= 0 || float64(high)/out < float64(shift) {
			continue
		}
		n := min(len(s.level), len(w.level))
		if bad := lastOutside(s.level[:n], w.level[:n], float64(low), float64(high)); bad >= 0 {
			at = max(at, min(t.now, calendar.Time(bad+1)*calendar.Hour))
		}
	}
	return at, t.now-at >= shift
}

// place is the number of the place whose flow a series follows, -1 for none.
func (s *store) place() int { return int(s.at) }

// turnover is a place's band and what leaves it, g per microsecond.
func (t *Tally) turnover(at int) (low, high int64, out float64) {
	if at == int(coolCoils) {
		at = t.coils
	}
	if at < 0 || t.now <= 0 {
		return 0, 0, 0
	}
	p := &t.places[at]
	if !p.banded && at != t.coils {
		return 0, 0, 0
	}
	return p.low, p.high, float64(p.out) / float64(t.now)
}

// lastOutside is the last hour at which the shift mean is not normal, -1 for
// none.
func lastOutside(level, twin []int64, low, high float64) int {
	const w = int(shift / calendar.Hour)
	for h := len(level) - 1; h >= 0; h-- {
		a, b := 0.0, 0.0
		from := max(0, h-w+1)
		for k := from; k <= h; k++ {
			a += float64(level[k])
			b += float64(twin[k])
		}
		n := float64(h - from + 1)
		a, b = a/n, b/n
		if (a < low || a > high) && math.Abs(a-b) > near*(high-low) {
			return h
		}
	}
	return -1
}
