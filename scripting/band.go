package scripting

import (
	"millrace/sim/quantity"
	"millrace/sim/works"
)

// band reads low, normal, high and room of a store from the section. Whatever does
// not rise in this order is a problem at its own key.
func (s *section) band(d quantity.Dimension, to *works.Band) {
	room := []string{"low", "normal", "high", "room"}
	values := []*float64{&to.Low, &to.Normal, &to.High, &to.Room}
	ok := true
	for i, key := range room {
		ok = s.quantity(key, d, values[i]) && ok
	}
	if ok {
		s.rising(room, values)
	}
}

// rising reports the first level that is below the one before it, or above the
// room.
func (s *section) rising(keys []string, values []*float64) {
	last := len(keys) - 1
	shown := func(i int) string {
		if v, ok := s.t.Get(keys[i]); ok {
			return written(v)
		}
		return "nothing"
	}
	if *values[last] <= 0 {
		s.t.Problem(keys[last], shown(last)+" is no room at all", "write how much it holds")
		return
	}
	for i := range last {
		if *values[i] > *values[last] {
			s.t.Problem(keys[i], shown(i)+" is above the "+keys[last]+" of "+shown(last), "write a level that fits")
			return
		}
	}
	for i := 1; i < last; i++ {
		if *values[i] < *values[i-1] {
			s.t.Problem(keys[i], shown(i)+" is below "+keys[i-1]+" = "+shown(i-1), "low, normal, high and room must rise in this order")
			return
		}
	}
}

// subBand reads a band in a table of its own.
func (s *section) subBand(key string, d quantity.Dimension, to *works.Band) {
	if b := s.sub(key); b != nil {
		b.band(d, to)
		b.end()
	}
}
