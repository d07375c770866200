package capital

import (
	"reflect"
	"testing"
)

// Two flips to one option hard by what is assumed are one: the lead is nothing.
func TestFlipsHardByTheAssumedAreOne(t *testing.T) {
	to := func(name string, f float64) Flip { return Flip{Factor: f, Text: times(f), Becomes: name, Found: true} }
	one := []Flip{{Factor: 1, Text: "the least change either way", Becomes: "B", Found: true}}
	for _, c := range []struct{ found, want []Flip }{
		{nil, nil},
		{[]Flip{to("B", 0.99)}, []Flip{to("B", 0.99)}},
		{[]Flip{to("B", 0.99), to("B", 1.02)}, one},
		{[]Flip{to("B", 0.99), to("C", 1.02)}, []Flip{to("B", 0.99), to("C", 1.02)}},
		{[]Flip{to("B", 0.9), to("B", 1.02)}, []Flip{to("B", 0.9), to("B", 1.02)}},
	} {
		if got := eitherWay(c.found, 1); !reflect.DeepEqual(got, c.want) {
			t.Errorf("%+v became %+v, not %+v", c.found, got, c.want)
		}
	}
}
