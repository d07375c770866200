package hotrolling_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"millrace/sim/reftable"
	"millrace/sim/steel"
	hr "millrace/sim/steel/hotrolling"
)

// TestChecks holds every row of testdata/checks.csv.
func TestChecks(t *testing.T) {
	const rc = 7450 * 650
	passTime, passTemp, passBar := sevenPasses(t)
	answer := func(call string, v map[string]float64) map[string]float64 {
		switch call {
		case "trapezoid":
			r := hr.Trapezoid(v["length"], v["in"], v["out"], v["limit"], v["up"], v["down"])
			return map[string]float64{"time": r.Time(), "top": r.Top}
		case "seven passes":
			return map[string]float64{"time": passTime, "temp": passTemp, "bar": passBar}
		case "radiation":
			return map[string]float64{"drop": v["T"] - hr.Radiated(v["T"], v["eps"], v["s"], rc, v["h"])}
		case "chill":
			return map[string]float64{"drop": hr.RollChill(v["T"], v["rolls"], 1, v["t"], 27.3/rc, v["h1"], v["h2"])}
		case "work":
			return map[string]float64{"rise": hr.WorkHeat(v["k"], v["qp"], v["e"], rc)}
		case "coil":
			return map[string]float64{"length": v["mass"] / (steel.Density * v["width"] * v["h"])}
		case "speed":
			return map[string]float64{"speed": hr.SpeedAt(v["h"], v["v"], v["hx"])}
		}
		return nil
	}
	rows := reftable.Records(t, "checks.csv")
	if len(rows) < 10 {
		t.Fatalf("%d rows", len(rows))
	}
	for _, row := range rows {
		in := map[string]float64{}
		for _, x := range strings.Fields(row[2]) {
			k, s, _ := strings.Cut(x, "=")
			in[k] = reftable.Number(t, s)
		}
		got, ok := answer(row[1], in)[row[3]]
		want, err := strconv.ParseFloat(row[4], 64)
		tol, err2 := strconv.ParseFloat(strings.TrimSuffix(row[5], "%"), 64)
		if !ok || err != nil || err2 != nil || row[6] == "" || row[7] == "" {
			t.Fatalf("%v: %v, %v", row, err, err2)
		}
		if strings.HasSuffix(row[5], "%") {
			tol *= math.Abs(want) / 100
		}
		if !(math.Abs(got-want) <= tol) {
			t.Errorf("%v: %.8g", row, got)
		}
	}
}
