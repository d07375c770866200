package chance

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"millrace/sim/reftable"
)

var rows = reftable.Records

// The Random123 known answers for Philox4x64-10.
func TestPhiloxKnownAnswers(t *testing.T) {
	all := rows(t, "philox_known_answers.csv")
	if len(all) != 3 {
		t.Fatalf("%d rows", len(all))
	}
	for _, row := range all {
		var in [6]uint64
		words := strings.Fields(strings.NewReplacer("ctr", "", "key", "").Replace(row[1]))
		for i, w := range words {
			v, err := strconv.ParseUint(w, 16, 64)
			if err != nil {
				t.Fatal(err)
			}
			in[i] = v
		}
		a, b, c, d := philox(in[0], in[1], in[2], in[3], in[4], in[5])
		if got := fmt.Sprintf("%016x %016x %016x %016x", a, b, c, d); got != row[3] {
			t.Errorf("%s: got %s, want %s", row[1], got, row[3])
		}
	}
}

// The block of an all-zero key is the first Random123 vector, so the way a key
// is laid into counter and key words is pinned to the outside too.
func TestBitsOfZeroKey(t *testing.T) {
	if got := (Luck{}).Bits(0, 0, 0); got != 0x16554d9eca36314c {
		t.Errorf("%016x", got)
	}
}
