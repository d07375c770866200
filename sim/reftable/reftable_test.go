package reftable_test

import (
	"fmt"
	"math"
	"reflect"
	"testing"

	"millrace/sim/reftable"
)

func TestATableIsRead(t *testing.T) {
	if got := reftable.Rows(t, "good.csv"); !reflect.DeepEqual(got, []map[string]string{{"x": "1", "y": "2.5"}, {"x": "-3"}}) {
		t.Fatal(got)
	}
	if got := reftable.Numbers(t, "good.csv"); !reflect.DeepEqual(got, [][]float64{{1, 2.5}, {-3}}) {
		t.Fatal(got)
	}
	for _, name := range []string{"missing.csv", "empty.csv", "wide.csv"} {
		if _, err := reftable.Named(name); err == nil {
			t.Errorf("%s was read", name)
		}
	}
}

// complaints counts what is reported.
type complaints struct{ said []string }

func (c *complaints) Helper()                      {}
func (c *complaints) Errorf(f string, args ...any) { c.said = append(c.said, fmt.Sprintf(f, args...)) }

func TestWhatIsNotNearIsReported(t *testing.T) {
	var c complaints
	reftable.Near(&c, "inside", 1.1, 1, 0.11)
	reftable.NearRel(&c, "inside", 110, 100, 0.1)
	reftable.NearRel(&c, "nothing", 0, 0, 0)
	if len(c.said) != 0 {
		t.Fatal(c.said)
	}
	reftable.Near(&c, "outside", 1.2, 1, 0.11)
	reftable.Near(&c, "none", math.NaN(), 1, 10)
	reftable.NearRel(&c, "outside", 111, 100, 0.1)
	reftable.NearRel(&c, "something of nothing", 1e-9, 0, 0.5)
	if len(c.said) != 4 {
		t.Fatal(c.said)
	}
}
