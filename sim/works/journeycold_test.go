package works

import (
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"millrace/sim/steel/coldrolling"
	"millrace/sim/steel/pickling"
)

func coldPlant(t *testing.T) *Plant {
	t.Helper()
	p, err := Build(testColdSpec())
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// The pickle line by hand: 78 m of tanks, 20 s at 10 % and 80 C (the calibration the
// kinetics state), a weld of 100 s, a coil change of 45 s, 15 pickling times to stand.
func TestJourneyPickleByHand(t *testing.T) {
	j := travelled(t, coldPlant(t), "P10", math.NaN())
	k := j.Pickle
	if j.RunOut.CoilC > 630 {
		t.Fatalf("coiled at %.0f C: hotter than the scale that the plain law knows", j.RunOut.CoilC)
	}
	within(t, "needed, s", k.NeedS, 20, 0.05)
	within(t, "speed, m/s", k.SpeedMS, 78/k.NeedS, 1e-6)
	within(t, "had, s", k.HadS, k.NeedS, 1e-6)
	within(t, "drawn by a weld, m", k.WeldDrawM, 100*k.SpeedMS, 1e-6)
	within(t, "put away by a coil change, m", k.ChangeTakeM, 45*k.SpeedMS, 1e-6)
	within(t, "refill, s", k.RefillS, k.WeldDrawM/(8-k.SpeedMS), 1e-6)
	within(t, "may stand, s", k.PatienceS, 15*k.NeedS, 1e-6)
	within(t, "time, s", stepNamed(t, &j, "pickle line").TakesS, j.Finish.StripM/k.SpeedMS, 1e-6)
	s := pickling.CommonScale()
	within(t, "lost, t", k.LostT, 2*j.Finish.StripM*1.25*(s.Mass+s.Attack)/1e3+j.CoilT*0.02/1.25, 1e-9)
}

// The motion of the cold mill by hand: 40 m at 1 m/s, 0.5 m/s2 to 20 m/s, 0.8 m/s2 down
// to 2 m/s, 30 m of tail; and of the temper mill: 0.5 up, 0.7 down, 10 m/s, 120 s.
func TestJourneyColdMotionByHand(t *testing.T) {
	j := travelled(t, coldPlant(t), "P10", math.NaN())
	k := j.ColdMill
	v := k.TopMS
	within(t, "strip, m", k.StripM, j.Finish.StripM*2.5/0.8, 1e-6)
	up, down := (v*v-1)/(2*0.5), (v*v-4)/(2*0.8)
	rolling := (v-1)/0.5 + (v-2)/0.8 + (k.StripM-70-up-down)/v
	within(t, "thread, s", k.ThreadS, 40, 1e-9)
	within(t, "rolling, s", k.MovingS, rolling, 1e-6)
	within(t, "tail, s", k.TailS, 15, 1e-9)
	within(t, "cold mill, s", stepNamed(t, &j, "cold mill").TakesS, 55+rolling, 1e-6)
	within(t, "mass flow", k.EntryMS*k.EntryMM, k.TopMS*k.ExitMM, 1e-6)
	h := k.EntryMM
	for i, s := range j.ColdStands {
		within(t, "mass flow through the stands", s.SpeedMS*s.ThicknessMM, k.TopMS*k.ExitMM, 1e-6)
		within(t, "reduction", s.Reduction, 1-s.ThicknessMM/h, 1e-9)
		within(t, "force share", s.ForceShare, s.ForceMN/20, 1e-9)
		within(t, "power share", s.PowerShare, s.PowerMW/5, 1e-9)
		if s.ThicknessMM >= h || s.LimitShare > 1.0001 || s.Flattening < 1 || s.LooseShare < s.ForceShare {
			t.Errorf("stand %d: %+v", i+1, s)
		}
		h = s.ThicknessMM
	}
	m := j.Temper
	long := k.StripM * (1 - 0.012) * 1.01
	within(t, "temper mill, s", stepNamed(t, &j, "temper mill").TakesS, 120+20+10/0.7+(long-100-100/1.4)/10, 1e-6)
	within(t, "behind the temper mill, mm", m.ThicknessMM, 0.8/1.01, 1e-9)
	within(t, "force share", m.ForceShare, 4*1.23/12, 1e-9) // 4 kN/mm at 1 %
}

// The base by hand: what is done on it, in order; steel in series with gas and
// radiation across the wraps (Incropera, Fundamentals of Heat and Mass Transfer,
// composite wall and parallel plates), gas 0.35 W/mK, gap 20 um, emissivity 0.4, 400 C.
func TestJourneyAnnealByHand(t *testing.T) {
	j := travelled(t, coldPlant(t), "P10", math.NaN())
	k := j.Anneal
	gap := 0.35/20e-6 + 4*5.670374e-8*math.Pow(673.15, 3)/(2/0.4-1)
	within(t, "across the wraps, W/mK", k.RadialK, 820e-6/(800e-6/40+1/gap), 0.02)
	within(t, "handling, s", k.HandlingS, 60*(25+15+30+8+8+8+30+8+25), 1e-9)
	within(t, "on the base, s", k.BaseS, k.HandlingS+k.HeatS+k.CoolS, 1e-9)
	within(t, "coldest spot, C", k.ColdC, 680, 0.05)
	within(t, "uncovered, C", k.UncoverC, 160, 0.2)
	if k.HotC <= k.ColdC || k.HotC > 700 {
		t.Errorf("hottest place %.1f C", k.HotC)
	}
	within(t, "stack, t", k.StackT, 4*stepNamed(t, &j, "cold mill").MassT, 1e-9)
	// The steel gives what it took: between uncovering and the floor's end it only cools.
	if !(k.FloorC < k.UncoverC && k.FloorC > 25) {
		t.Errorf("floor ends at %.1f C", k.FloorC)
	}
	if (k.CoolEnough <= k.FloorS) != (k.FloorC <= k.TakesC) {
		t.Errorf("%.0f C after %.0f s, cool enough after %.0f s", k.FloorC, k.FloorS, k.CoolEnough)
	}
}

// Every product takes the stages it is ordered with; mass and clock have no holes;
// what a run reads is within what is stated for it.
func TestJourneyColdSide(t *testing.T) {
	p := coldPlant(t)
	for i := range p.products {
		pr := &p.products[i]
		j, err := p.Journey(i, math.NaN())
		if err != nil {
			t.Errorf("%s: %v", pr.Name, err)
			continue
		}
		has := func(step string) bool {
			return slices.ContainsFunc(j.Steps, func(s JourneyStep) bool { return s.Name == step })
		}
		if has("pickle line") != pr.Pickled || has("cold mill") != (pr.Cold > 0) || has("anneal bases") != pr.Annealed || has("temper mill") != pr.Annealed || j.ReadyFor != "dispatch" {
			t.Errorf("%s takes other stages than ordered", pr.Name)
		}
		left := j.CoilT - j.Pickle.LostT
		if pr.Cold > 0 {
			left *= 1 - 0.012
		}
		within(t, "mass, t", j.FinalT, left-j.Temper.LostT, 1e-9)
		at := 0.0
		for _, s := range j.Steps {
			within(t, "clock, s", s.BeginsS, at, 1e-6)
			at += s.TakesS
			if s.Table != nil && s.Table.Beyond {
				t.Errorf("%s %s: beyond what is stated: %+v", pr.Name, s.Name, *s.Table)
			}
		}
		within(t, "total, s", j.TotalS, at, 1e-6)
		for k := 1; k < len(j.Trace); k++ {
			if a, b := j.Trace[k-1], j.Trace[k]; b.AtS < a.AtS-1e-6 || b.Step < a.Step || b.ThicknessMM > a.ThicknessMM+1e-9 {
				t.Errorf("%s: the curve goes back at point %d of step %d", pr.Name, k, b.Step)
			}
		}
		text, err := json.Marshal(j)
		if err != nil {
			t.Fatal(err)
		}
		var back Journey
		if err := json.Unmarshal(text, &back); err != nil || !reflect.DeepEqual(j, back) {
			t.Errorf("%s: JSON does not give the journey back: %v", pr.Name, err)
		}
	}
}

// A table that is off is said to be.
func TestTableBeyondIsSaid(t *testing.T) {
	p := coldPlant(t)
	i, _ := p.ProductNumber("P10")
	p.products[i].heatS *= 1.1
	j := travelled(t, p, "P10", math.NaN())
	for _, s := range j.Steps {
		if s.Table != nil && s.Table.Beyond != (s.Name == "anneal bases") {
			t.Errorf("%s: %+v", s.Name, *s.Table)
		}
	}
}

// What the cold side cannot do is named with how far and what would fit.
func TestJourneyBrokenCold(t *testing.T) {
	p := coldPlant(t)
	broken := func(name string, change func(*ColdSpec)) *JourneyBroken {
		t.Helper()
		q := *p
		c := *p.Spec.Cold
		c.Mill.Mill.Stands = slices.Clone(c.Mill.Mill.Stands)
		change(&c)
		q.Spec.Cold = &c
		i, _ := q.ProductNumber(name)
		j, err := q.Journey(i, math.NaN())
		if err == nil || j.Broken == nil || j.FinalT != 0 {
			t.Fatalf("nothing is broken: %v", err)
		}
		if !strings.HasPrefix(err.Error(), j.Broken.Step+": ") {
			t.Errorf("the step is not named: %v", err)
		}
		return j.Broken
	}
	b := broken("P12", func(c *ColdSpec) {
		for i := range c.Mill.Mill.Stands {
			c.Mill.Mill.Stands[i].MaxForce = 5e6
		}
	})
	if b.Step != "cold mill" || b.Limit == "" || b.Suggest == "" || !(b.OverShare > 0) {
		t.Errorf("weak cold mill: %+v", b)
	}
	b = broken("P09", func(c *ColdSpec) { c.Pickle.Line.MaxThickness = 0.0035 })
	if b.Step != "pickle line" || b.Limit != pickling.LimitThickness || math.Abs(b.OverShare-(4/3.5-1)) > 1e-9 {
		t.Errorf("thick strip in the acid: %+v", b)
	}
	b = broken("P10", func(c *ColdSpec) { c.Temper.Elongation = 0.045 })
	if b.Step != "temper mill" || b.Limit != coldrolling.LimitElongation {
		t.Errorf("4.5 %% of elongation: %+v", b)
	}
	var le *coldrolling.LimitError
	if _, err := p.Journey(len(p.products), 0); errors.As(err, &le) {
		t.Error("a product that is none broke a limit")
	}
}

// Other sizes than the order's: the same product where they are the order's, and what
// forbids them where they cannot be made.
func TestJourneyChanged(t *testing.T) {
	p := coldPlant(t)
	i, _ := p.ProductNumber("P10")
	a, err := p.Journey(i, math.NaN())
	if err != nil {
		t.Fatal(err)
	}
	b, err := p.JourneyChanged(i, math.NaN(), Change{Thickness: 0.0025, Width: 1.25, Cold: 0.0008})
	if err != nil || !reflect.DeepEqual(a, b) {
		t.Errorf("its own sizes make another journey: %v", err)
	}
	b, err = p.JourneyChanged(i, math.NaN(), Change{Thickness: 0.003, Width: 1.4, Cold: 0.001})
	if err != nil || b.ThicknessMM != 3 || b.WidthMM != 1400 || b.ColdMill.ExitMM != 1 {
		t.Errorf("3 x 1400 to 1 mm: %+v %v", b.Broken, err)
	}
	within(t, "slab, t", b.SlabT, 10*0.23*1.4*7.85, 1e-5)
	if p.products[i].Width != 1.25 || p.Spec.Products[i].Width != 1.25 {
		t.Error("the works was changed")
	}
	b, err = p.JourneyChanged(i, math.NaN(), Change{Cold: 0.0002})
	var le *coldrolling.LimitError
	if !errors.As(err, &le) || b.Broken.Step != "cold mill" || !(le.Fits > 0.0002) {
		t.Fatalf("2.5 to 0.2 mm: %v", err)
	}
	// What is said to fit does.
	if _, err := p.JourneyChanged(i, math.NaN(), Change{Cold: le.Fits * 1.001}); err != nil {
		t.Errorf("%.3f mm is said to fit: %v", le.Fits*1e3, err)
	}
	for _, c := range []Change{{Thickness: 0.3}, {Thickness: -1}, {Width: 0.1}, {Width: math.NaN()}, {Cold: 0.003}, {Cold: 1e-6}, {Thickness: 0.0007}} {
		if _, err := p.JourneyChanged(i, math.NaN(), c); err == nil {
			t.Errorf("%+v was taken", c)
		}
	}
	hot, _ := p.ProductNumber("P01")
	if _, err := p.JourneyChanged(hot, math.NaN(), Change{Cold: 0.001}); err == nil {
		t.Error("hot band was cold rolled")
	}
}
