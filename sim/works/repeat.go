package works

import "fmt"

// RepeatingBook is an order book that goes on for years: every week the mix of the
// works, so many kg a second in all, each line known ahead s before it is due. It begins
// with what becomes known on the first day: what is due before that is taken as made, else
// the works would spend its first months catching up.
// Products fall due on different days of the week, so that each day brings about as
// much as another. Lines of products that are not made for stock pay for lateness: half
// a per cent of the value a week, a twentieth at most (from memory; contracts differ).
func RepeatingBook(s *Spec, rate, years, ahead float64) []OrderLine {
	const day, year = 86400.0, 365 * 86400.0
	on, share := dueDays(s)
	var out []OrderLine
	for n := 0; float64(n)*day < years*year+ahead; n++ {
		due := float64(n+1) * day
		if due < ahead {
			continue
		}
		for i := range s.Products {
			p := &s.Products[i]
			if on[i] != n%7 {
				continue
			}
			l := OrderLine{ID: fmt.Sprintf("W%03d %s", n/7+1, p.Name), Product: i, Mass: rate * 7 * day * p.Share / share, Due: due, Known: due - ahead, Class: p.Class}
			if p.Class != "stock" {
				l.Penalty, l.Cap = 0.005, 0.05
			}
			out = append(out, l)
		}
	}
	return out
}

// dueDays gives each product a day of the week: the largest first, each to the day that
// has least.
func dueDays(s *Spec) (on []int, share float64) {
	on = make([]int, len(s.Products))
	for i := range on {
		on[i] = -1
		share += s.Products[i].Share
	}
	var load [7]float64
	for range on {
		big := -1
		for i := range on {
			if on[i] < 0 && (big < 0 || s.Products[i].Share > s.Products[big].Share) {
				big = i
			}
		}
		least := 0
		for d := range load {
			if load[d] < load[least] {
				least = d
			}
		}
		on[big] = least
		load[least] += s.Products[big].Share
	}
	return on, share
}
