package rolling_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"millrace/sim/reftable"
	"millrace/sim/steel/rolling"
)

// inputs are the named numbers of a row; words are kept beside them.
type inputs struct {
	n map[string]float64
	w map[string]string
}

func parse(t *testing.T, s string) inputs {
	t.Helper()
	in := inputs{map[string]float64{}, map[string]string{}}
	for _, f := range strings.Fields(s) {
		k, v, ok := strings.Cut(f, "=")
		if !ok {
			t.Fatalf("input %q", f)
		}
		if x, err := strconv.ParseFloat(v, 64); err == nil {
			in.n[k] = x
		} else {
			in.w[k] = v
		}
	}
	return in
}

func (in inputs) gap() rolling.Gap {
	return rolling.Gap{Entry: in.n["h1"], Exit: in.n["h2"], Width: in.n["w"], Radius: in.n["r"], Friction: in.n["mu"], Back: in.n["back"], Front: in.n["front"]}
}

func (in inputs) rolls() rolling.Rolls {
	if in.n["steel"] == 1 {
		return rolling.SteelRolls()
	}
	return rolling.Rolls{}
}

func (in inputs) law() rolling.Law {
	switch in.w["law"] {
	case "power":
		return rolling.PowerLaw{K: in.n["K"], N: in.n["n"]}
	case "shida":
		return rolling.Shida{Carbon: in.n["C"]}
	case "misaka":
		return rolling.Misaka{Carbon: in.n["C"]}
	case "lenard":
		return rolling.Lenard{Y: in.n["Y"], B: in.n["B"], N: in.n["n"]}
	case "curve":
		return rolling.Curve{Strain: []float64{0, in.n["e1"]}, Stresses: []float64{in.n["s0"], in.n["s1"]}}
	}
	return nil
}

func result(r rolling.Result, power float64) map[string]float64 {
	return map[string]float64{"force": r.Force, "torque": r.Torque, "factor": r.Factor, "neutral": r.Neutral, "slip": r.Slip, "flat": r.Flat, "lever": r.Lever, "contact": r.Contact, "power": power}
}

// answer works a row out.
func answer(t *testing.T, call string, in inputs) map[string]float64 {
	t.Helper()
	v := in.n
	one := func(name string, x float64, err error) map[string]float64 {
		if err != nil {
			t.Error(err)
		}
		return map[string]float64{name: x}
	}
	switch call {
	case "textbook":
		x := rolling.SolveTextbook(v["K"], v["n"], v["mu"], v["w"], v["r"], v["h1"], v["h2"], v["turns"])
		return map[string]float64{"max draft": x.MaxDraft, "contact": x.Contact, "strain": x.Strain, "stress": x.Stress, "force": x.Force, "torque": x.Torque, "power": x.Power}
	case "pass":
		r, err := rolling.Pass{Gap: in.gap(), Law: in.law(), Speed: v["v"], TempC: v["T"], Model: rolling.Model(v["model"]), Rolls: in.rolls()}.Solve()
		if err != nil {
			t.Error(err)
		}
		return result(r.Result, r.Power)
	case "solve":
		g, k := in.gap(), v["stress"]
		if k < 1e3 { // inches and ksi: the formulas do not care, the range does
			const inch, ksi, kip = 0.0254, 6.894757e6, 4448.2216
			g.Entry, g.Exit, g.Width, g.Radius = g.Entry*inch, g.Exit*inch, g.Width*inch, g.Radius*inch
			rolls := rolling.Rolls{Constant: v["c0"] * inch * inch / kip, MaxRatio: 3}
			r, err := rolling.Solve(g, k*ksi, rolling.Model(v["model"]), rolls)
			if err != nil {
				t.Error(err)
			}
			return map[string]float64{"force": r.Force / kip, "flat": r.Flat / inch}
		}
		r, err := rolling.Solve(g, k, rolling.Model(v["model"]), in.rolls())
		if err != nil {
			t.Error(err)
		}
		power := r.Power(v["v"], g.Radius)
		if v["turns"] > 0 {
			power = rolling.BothPower(r.Torque, v["turns"])
		}
		return result(r, power)
	case "law":
		x, err := in.law().Stress(v["e"], v["rate"], v["T"])
		return one("stress", x, err)
	case "law mean":
		x, err := in.law().Mean(v["from"], v["to"], v["rate"], v["T"])
		return one("stress", x, err)
	case "rate exponent":
		_, m, _ := rolling.ShidaTerms(v["C"], v["T"])
		return one("m", m, nil)
	case "transition":
		return one("T", rolling.ShidaTransitionC(v["C"]), nil)
	case "bite":
		return one("draft", rolling.MaxDraft(v["mu"], v["r"]), nil)
	case "bite back":
		return map[string]float64{"friction": rolling.FrictionToBite(v["draft"], v["r"]), "exact": rolling.FrictionToBiteExact(v["draft"], v["r"])}
	case "bearings":
		return one("power", rolling.BothPower(rolling.BearingTorque(v["force"], v["d"], v["mu"]), v["v"]/v["r"]/(2*math.Pi)), nil)
	case "ekelund":
		x := rolling.SolveEkelund(v["C"], v["Mn"], v["Cr"], v["T"], v["r"], v["h1"], v["h2"], v["v"], v["rolls"])
		// The same through the general model.
		rate := rolling.EkelundStrainRate(v["v"], v["r"], v["h1"], v["h2"])
		r, err := rolling.Solve(rolling.Gap{Entry: v["h1"], Exit: v["h2"], Width: 1, Radius: v["r"], Friction: rolling.EkelundFriction(v["T"], v["rolls"])},
			rolling.EkelundStress(v["C"], v["Mn"], v["Cr"], v["T"], rate), rolling.EkelundModel, rolling.Rolls{})
		if err != nil || math.Abs(r.Pressure/x.Pressure-1) > 1e-12 {
			t.Errorf("Ekelund twice: %g and %g Pa, %v", r.Pressure, x.Pressure, err)
		}
		return map[string]float64{"friction": x.Friction, "yield": x.Yield, "pressure": x.Pressure, "force": r.Force}
	case "flatten":
		c := rolling.FlatteningConstant(v["E"], v["nu"])
		return map[string]float64{"radius": rolling.Flattened(v["r"], v["fw"], v["draft"], c), "constant": c}
	case "rates":
		l := rolling.ContactLength(v["r"], v["h1"]-v["h2"])
		return map[string]float64{"mean": rolling.StrainRate(v["v"], l, v["h1"], v["h2"]), "ekelund": rolling.EkelundStrainRate(v["v"], v["r"], v["h1"], v["h2"])}
	}
	t.Fatalf("no call %q", call)
	return nil
}

// TestChecks holds every row of the table.
func TestChecks(t *testing.T) {
	rows := reftable.Records(t, "checks.csv")
	if len(rows) < 60 {
		t.Fatalf("%d rows", len(rows))
	}
	for _, row := range rows {
		if len(row) < 8 || row[6] == "" || row[7] == "" {
			t.Errorf("%v: no source", row)
			continue
		}
		got, ok := answer(t, row[1], parse(t, row[2]))[row[3]]
		want, err := strconv.ParseFloat(row[4], 64)
		tol, err2 := strconv.ParseFloat(strings.TrimSuffix(row[5], "%"), 64)
		if !ok || err != nil || err2 != nil {
			t.Fatalf("%v: %v, %v", row, err, err2)
		}
		if strings.HasSuffix(row[5], "%") {
			tol *= math.Abs(want) / 100
		}
		if !(math.Abs(got-want) <= tol) {
			t.Errorf("%s %s %s: %s is %.8g, want %.8g within %.3g", row[0], row[1], row[2], row[3], got, want, tol)
		}
	}
}
