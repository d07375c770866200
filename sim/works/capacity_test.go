package works

import (
	"encoding/json"
	"math"
	"reflect"
	"testing"

	"millrace/sim/chance"
)

func fixed(t *testing.T, v float64) chance.Law {
	t.Helper()
	l, err := chance.Fixed(v)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// capacitySpec is the test works with one product, 2.5 x 1250 mm from a slab of
// 1.25 x 0.23 x 10 m x 7.85 t/m3 = 22.56875 t, and rates given for rougher (200 kg/s:
// 112.84 s a slab) and train (250 kg/s: 90.275 s with the gap), so that the table can
// be done by hand.
func capacitySpec(t *testing.T) Spec {
	t.Helper()
	s := testColdSpec()
	for _, p := range s.Products {
		if p.Name == "P10" {
			p.Share = 1
			s.Products = []Product{p}
			break
		}
	}
	one := fixed(t, 1)
	s.Shop.TreatScatt, s.Rougher.Scatter, s.Train.Scatter, s.Cold.Mill.Scatter = one, one, one, one
	s.Rougher.Rate, s.Train.Rate = 200, 250
	s.Furnaces[0].Rate, s.Furnaces[1].Rate = 150, 150
	day := 86400.0
	s.Planned = []PlannedSpec{{Unit: "hot mill", Every: 14 * day, Lasts: day / 2}, {Unit: "C1", Every: 14 * day, Lasts: day / 2}, {Unit: "C2", Every: 14 * day, Lasts: day / 2}}
	s.Upsets = []UpsetSpec{
		{Kind: ShortStop, Name: "trip", Unit: "finishing train", Every: 23 * 3600, Lasts: fixed(t, 1200)},
		{Kind: SlabCraneOut, Unit: "slab cranes", Every: 7 * day, Lasts: fixed(t, 6*3600)},
		{Kind: DispatchBlocked, Unit: "dispatch", Every: 60 * day, Lasts: fixed(t, 0.6*day)},
	}
	return s
}

func table(t *testing.T, s Spec) CapacityTable {
	t.Helper()
	p, err := Build(s)
	if err != nil {
		t.Fatal(err)
	}
	return p.Capacity()
}

// Casters by hand. A heat of 250 t leaves 0.4 % in the ladle, a sequence of ten leaves
// 12 t in the tundish: 247.8 t a heat are fed, at 2 x 1.25 m/min x 2.256875 t/m =
// 94.036 kg/s, in 2635.2 s. Ten heats: 26,352 s; then 28 m are drawn out at 1.25 m/min,
// 1344 s, and 45 min of turnaround, 2700 s. Slabs of ten heats: 2478 t less kerf of 12
// in 10,012 mm, less 2 strands x 2.256875 t/m x 2.782 m of crop (0.4 m of head; at the
// end a rest evenly long up to 10 m: 0.6 m of it where it is above 6.6 m, else all:
// 2.382 m) = 2462.47 t. Two casters: 672.8 t/h running. Every 14 d 12 h, and 36 + 35 min
// until the first heat: 3.924 %. Net 672.8 x 0.960764 / (1 + 0.051002 + 0.102459).
func TestCapacityCastersByHand(t *testing.T) {
	c := table(t, capacitySpec(t))
	r := c.Row("casters")
	within(t, "running, t/h", r.RunningTH, 672.80, 0.05)
	within(t, "net, t/h", r.NetTH, 672.80*0.960764/1.153461, 0.05)
	within(t, "planned", r.Planned, 0.039236+0.832940*(0.051002+0.102459), 1e-5)
	within(t, "unplanned", r.Unplanned, 0, 0)
}

// The hot mill by hand. The rougher paces: 112.84 s a slab, 720 t/h of full slabs; ten
// heats make slabs that lack 2 strands x 2.256875 t/m x (0.4 + 0.34 x 1.7) m = 4.4 t of
// 2500 t in all. 105 coils, then a roll change of 720 s: with the last strip's 8 + 90.275 s
// and less the 112.84 s that the next bar is roughed meanwhile 705.4 s, 5.954 % of
// 105 x 112.84 s. The trip, on the train's own clock: 90.275/112.84 x (1200 + 60 +
// 56.42) s every 82,800 s = 1.272 %. Planned 12 h in 14 d = 3.571 %. With a crane out,
// two lift 40 an hour, half a lift for each of 31.90 slabs cast; 24.05 / 1.35 = 17.81 slabs
// an hour are charged, 44.1 % short, for 6 h in 168. The two charging tables hold 12
// slabs; a furnace of 150 kg/s has 36 places (48 m, slabs of 1.25 m and 5 cm), which a
// slab leaves after 36 x 150.46 s at the earliest, and 72 places last 72 x 112.84 s:
// 2708 s more. With the tables 4062 s, which bridge 2.56 h at 44.1 %: 0.903 % are lost.
func TestCapacityMillByHand(t *testing.T) {
	c := table(t, capacitySpec(t))
	r := c.Row("hot mill")
	light := 2 * 2.256875 * (0.4 + 0.34*1.7) / 2500
	within(t, "running, t/h", r.RunningTH, 720*(1-light), 1e-3)
	slab := 112.84375
	less := 1 - (40-0.5*3600/slab)/1.35/(3600/slab*(1-light))
	crane := (6*3600 - (72*slab-36*22568.75/150+12*slab)/less) * less / (168 * 3600)
	within(t, "lost with a crane", crane, 0.00903, 2e-5)
	runs := (1 - 12.0/336 - crane) / (1 + 0.05954 + 0.01272)
	within(t, "net, t/h", r.NetTH, 720*(1-light)*runs, 0.05)
	within(t, "planned", r.Planned, 12.0/336+0.05954*runs, 1e-5)
	within(t, "unplanned", r.Unplanned, crane+0.01272*runs, 2e-5)
	if c.Limits[0] == "hot mill" {
		t.Error("720 t/h of mill should not be the bottleneck")
	}
}

// Three rows that need no more than a line. Shop: 2 x 250 t in 36 min. Cranes: 3 x 20
// lifts an hour over 1.85 lifts a slab; one of three out 6 h in 168. Dispatch of all but
// hot band: 178 t/h and 30 %, shut one day in a hundred.
func TestCapacitySimpleRowsByHand(t *testing.T) {
	c := table(t, capacitySpec(t))
	within(t, "shop, t/h", c.Row("steel shop").NetTH, 2*250/0.6, 1e-6)
	within(t, "cranes, t/h", c.Row("slab cranes").NetTH, 60/1.85*22.56875*(1-6.0/168/3), 0.01)
	within(t, "dispatch, t/h", c.Row("dispatch, the rest").NetTH, 178*1.3*0.99, 1e-6)
	if c.Row("dispatch, hot band") != nil {
		t.Error("there is no hot band to dispatch")
	}
}

// What must hold of any table.
func TestCapacityHolds(t *testing.T) {
	base := testColdSpec()
	base.Planned = capacitySpec(t).Planned
	base.Upsets = capacitySpec(t).Upsets
	a := table(t, base)
	if b := table(t, base); !reflect.DeepEqual(a, b) {
		t.Error("two tables of one works differ")
	}
	text, err := json.Marshal(a)
	if err != nil || len(text) == 0 {
		t.Fatal(err)
	}
	first := a.Row(a.Limits[0])
	within(t, "use of the bottleneck", first.Use, 1, 1e-12)
	last := 2.0
	for _, name := range a.Limits {
		r := a.Row(name)
		if r.Use > last || r.Use <= 0 {
			t.Errorf("%s is used %.3f, the one before %.3f", name, r.Use, last)
		}
		last = r.Use
		sum := 0.0
		for _, l := range r.Losses {
			sum += l.Share
		}
		within(t, name+": causes", sum, r.Planned+r.Unplanned, 1e-12)
		within(t, name+": net", r.NetTH, r.RunningTH*(1-r.Planned-r.Unplanned), 1e-9*r.RunningTH)
		if math.IsNaN(r.NetTH) || r.SetBy == "" || r.Of == "" {
			t.Errorf("%s: %+v", name, r)
		}
	}
	// Mass: what is cold rolled was pickled, what is annealed cold rolled.
	if p, m, n := a.Row("pickle line").LoadTH, a.Row("cold mill").LoadTH, a.Row("annealing shop").LoadTH; !(p > m && m > n) {
		t.Errorf("loads of the cold side: %.1f %.1f %.1f", p, m, n)
	}

	change := func(f func(*Spec)) CapacityTable {
		s := base
		c := *base.Cold
		s.Cold = &c
		s.Casters = append([]CasterSpec(nil), base.Casters...)
		f(&s)
		return table(t, s)
	}
	// Few bases: the bottleneck moves; half of them: half the rate.
	b := change(func(s *Spec) { s.Cold.Anneal.Bases = 40 })
	if b.Limits[0] != "annealing shop" {
		t.Errorf("with 40 bases the bottleneck is the %s", b.Limits[0])
	}
	half := change(func(s *Spec) { s.Cold.Anneal.Bases = 20 })
	within(t, "half the bases", half.Row("annealing shop").NetTH, b.Row("annealing shop").NetTH/2, 1e-9)
	// An upset more is capacity less, and only where it happens.
	b = change(func(s *Spec) {
		s.Upsets = append(append([]UpsetSpec(nil), s.Upsets...), UpsetSpec{Kind: ColdMillBreak, Unit: "cold mill", Every: 36000, Lasts: fixed(t, 3600)})
	})
	for i := range a.Rows {
		x, y := &a.Rows[i], &b.Rows[i]
		if x.Unit == "cold mill" {
			within(t, "an hour in eleven", y.NetTH/y.RunningTH*(y.RunningTH/y.NetTH-x.RunningTH/x.NetTH), 0.1*y.NetTH/y.RunningTH, 1e-9)
		} else if x.NetTH != y.NetTH {
			t.Errorf("a break of the cold mill changes the %s", x.Unit)
		}
	}
	// A works that ends at the coil floor.
	b = table(t, testSpec())
	if b.Row("cold mill") != nil || b.Row("pickle line") == nil || b.Row("dispatch, hot band") == nil {
		t.Errorf("a works without a cold side has the units %v", b.Limits)
	}
}

// The mean of what a lognormal has beyond a patience has a closed form: the partial
// expectation m exp(s2/2) N(s - z) less patience times N(-z), z = ln(patience/m)/s
// (textbook, as in Hull, Options, Futures and Other Derivatives, appendix on the
// lognormal).
func TestMeanOver(t *testing.T) {
	l, err := chance.Lognormal(1800, 7200)
	if err != nil {
		t.Fatal(err)
	}
	s := math.Log(4) / 1.2815515655446004
	n := func(x float64) float64 { return 0.5 * math.Erfc(-x/math.Sqrt2) }
	for _, k := range []float64{0, 100, 1800, 10000} {
		want := l.Mean()
		if k > 0 {
			z := math.Log(k/1800) / s
			want = 1800*math.Exp(s*s/2)*n(s-z) - k*n(-z)
		}
		within(t, "beyond", meanOver(l, k), want, 0.003*want+1e-9)
	}
}
