package works

import "fmt"

// RepeatingBook is an order book that goes on for years: every week the mix of the
// works, so many kg a second in all, each line known ahead s before it is due.
// Contract lines pay for lateness as the products' class says: half a per cent of the
// value a week, a twentieth at most (from memory; contracts differ).
func RepeatingBook(s *Spec, rate, years, ahead float64) []OrderLine {
	const week, year = 7 * 86400.0, 365 * 86400.0
	share := 0.0
	for i := range s.Products {
		share += s.Products[i].Share
	}
	var out []OrderLine
	for n := 0; float64(n)*week < years*year+ahead; n++ {
		due := float64(n+1) * week
		for i := range s.Products {
			p := &s.Products[i]
			l := OrderLine{ID: fmt.Sprintf("W%03d %s", n+1, p.Name), Product: i, Mass: rate * week * p.Share / share, Due: due, Known: due - ahead, Class: p.Class}
			if l.Known < 0 {
				l.Known = 0
			}
			if p.Class != "stock" {
				l.Penalty, l.Cap = 0.005, 0.05
			}
			out = append(out, l)
		}
	}
	return out
}
