package cashflow

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestLedgerByHand(t *testing.T) {
	lines, total, err := Ledger([]float64{0.005, 2.675, -1.005, 0, -0.004}, 2)
	if err != nil || !slices.Equal(lines, []string{"0.01", "2.68", "-1.01", "0.00", "0.00"}) || total != "1.68" {
		t.Error(lines, total, err)
	}
	// A third three times is 0.99 in two decimals, and so is the total.
	lines, total, _ = Ledger([]float64{1. / 3, 1. / 3, 1. / 3}, 2)
	if total != "0.99" || lines[0] != "0.33" {
		t.Error(lines, total)
	}
	if lines, total, _ = Ledger([]float64{-0.4, 12345678.5}, 0); lines[0] != "0" || lines[1] != "12345679" || total != "12345679" {
		t.Error(lines, total)
	}
	if lines, total, err = Ledger(nil, 2); len(lines) != 0 || total != "0.00" || err != nil {
		t.Error(lines, total, err)
	}
	for _, bad := range []float64{math.NaN(), math.Inf(1), 1e13} {
		if _, _, err := Ledger([]float64{bad}, 2); err == nil {
			t.Error(bad, "taken")
		}
	}
	if _, _, err := Ledger(nil, 7); err == nil {
		t.Error("seven decimals taken")
	}
}

// The total is the sum of the lines in exact decimal arithmetic, and no line is more
// than half a unit off.
func TestLedgerAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		amounts := rapid.SliceOfN(rapid.Float64Range(-1e9, 1e9), 0, 30).Draw(t, "amounts")
		decimals := rapid.IntRange(0, 6).Draw(t, "decimals")
		lines, total, err := Ledger(amounts, decimals)
		if err != nil {
			t.Fatal(err)
		}
		sum := new(big.Rat)
		for k, l := range lines {
			v, ok := new(big.Rat).SetString(l)
			if !ok {
				t.Fatal(l)
			}
			sum.Add(sum, v)
			if f, _ := v.Float64(); math.Abs(f-amounts[k]) > 0.5*math.Pow10(-decimals)+4e-16*math.Abs(amounts[k])+1e-20 {
				t.Fatal(l, amounts[k])
			}
		}
		if s := sum.FloatString(decimals); s != total && s != "-"+total {
			t.Fatal(s, total)
		}
	})
}

func ExampleLedger() {
	lines, total, _ := Ledger([]float64{1234.565, -77.2, 0.3349}, 2)
	fmt.Println(lines, total)
	// Output: [1234.57 -77.20 0.33] 1157.70
}
