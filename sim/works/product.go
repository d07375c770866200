package works

import (
	"errors"
	"math"

	"millrace/sim/steel"
	"millrace/sim/steel/casting"
	"millrace/sim/steel/cooling"
	"millrace/sim/steel/hotrolling"
)

// heatCapacity of hot steel for bars that lie and radiate, J/m3K: hot density
// and the constant specific heat above 900 C of EN 1993-1-2.
const heatCapacity = 7450 * 650

func (p *Plant) product(i int) (product, error) {
	s := &p.Spec
	pr := product{Product: s.Products[i]}
	g := s.Grades[pr.Grade]
	pr.slabMass = int64(math.Round(casting.SlabMass(pr.Width, s.SlabThick, s.SlabLen) * grams))
	pr.metreMass = casting.SlabMass(pr.Width, s.SlabThick, 1)
	pr.liquidus = steel.Liquidus(g.Comp)
	pr.bar = s.Rougher.BarThin
	if pr.Thickness >= s.Rougher.ThickFrom {
		pr.bar = s.Rougher.BarThick
	}
	for c := range s.Casters {
		v, err := p.castSpeed(c)
		if err != nil {
			return pr, err
		}
		pr.castLimit[c] = v
	}
	if err := p.roughTiming(&pr, g); err != nil {
		return pr, err
	}
	if err := p.finishTiming(&pr, g); err != nil {
		return pr, err
	}
	if err := p.coilTimes(&pr); err != nil {
		return pr, err
	}
	return pr, p.coldTimes(&pr)
}

// castSpeed is the fastest the caster may go: the least of what people want,
// the solid length and the shell at mould exit.
func (p *Plant) castSpeed(c int) (float64, error) {
	s := &p.Spec.Casters[c]
	v, by, err := casting.MaxSpeed(casting.Limits{
		Thickness: p.Spec.SlabThick, K: s.ShellK, SupportedLength: s.Supported,
		KMould: s.MouldK, MouldLength: s.MouldLength, MinMouldShell: s.MinShell,
		Demand: s.Wanted,
	})
	if err != nil {
		return 0, bad(s.Name, "%v", err)
	}
	if v < s.Normal {
		return 0, bad(s.Name, "the normal speed of %.2f m/min is above the %.2f m/min that %v allows", s.Normal*60, v*60, by)
	}
	return v, nil
}

// roughTiming runs the full roughing schedule over a span of discharge
// temperatures and keeps time and exit temperature. Read between its nodes, with
// the straight-line roll pressure, it is within 1 % in time and 1 C in the bar's
// temperature of the schedule solved with Sims's roll gap for that slab; a test
// holds it there, and the bounds below.
func (p *Plant) roughTiming(pr *product, g steel.Grade) error {
	s := &p.Spec
	t := &pr.rough
	t.fromC = s.Furnaces[0].Discharge - 90
	t.stepC = 25
	t.least = math.Inf(1)
	var last error
	for k := range nTiming {
		tc := t.fromC + float64(k)*t.stepC
		r, err := hotrolling.Rough(s.Rougher.Mill, hotrolling.Slab{Width: pr.Width, Thickness: s.SlabThick, Length: s.SlabLen, TempC: tc, Grade: g}, pr.bar)
		if err != nil {
			t.seconds[k], t.outC[k] = math.NaN(), math.NaN()
			last = err
			continue
		}
		t.seconds[k], t.outC[k] = r.Time, r.MeanC
		if s.Rougher.Rate > 0 {
			t.seconds[k] = float64(pr.slabMass) / grams / s.Rougher.Rate
		}
		t.limit = r.Binds
		t.least = math.Min(t.least, tc)
	}
	if _, _, ok := t.at(s.Furnaces[0].Discharge); !ok {
		return bad("rougher", "%s cannot be rolled from %.0f C: %v", pr.Name, s.Furnaces[0].Discharge, last)
	}
	return nil
}

// finishTiming does the same for the train over the bar's mean temperature as
// its head enters. Against the schedule of the real bar, whose head and tail
// differ, with Sims's roll gap, rolling time is within 2 s and the temperature of
// the body at the last stand, which no run decides by, within 6 C.
func (p *Plant) finishTiming(pr *product, g steel.Grade) error {
	s := &p.Spec
	t := &pr.finish
	_, barC, _ := pr.rough.at(s.Furnaces[0].Discharge)
	t.stepC = 25
	t.fromC = barC + 25 - t.stepC*(nTiming-1)
	t.least = math.Inf(1)
	train := s.Train.Train
	length := s.SlabLen * s.SlabThick / pr.bar
	crop := 2 * s.Train.Crop
	pr.cropMass = int64(math.Round(casting.SlabMass(pr.Width, pr.bar, crop) * grams))
	pr.strip = (length - crop) * pr.bar / pr.Thickness
	ro, err := cooling.NewRunOut(cooling.RunOut{Banks: s.RunOut.Banks, BankLength: s.RunOut.BankLength, H: s.RunOut.H, WaterC: s.RunOut.Water})
	if err != nil {
		return bad("run-out table", "%v", err)
	}
	train.RunOut = &ro
	target := hotrolling.Target{
		Thickness: pr.Thickness, FinishTempMinC: pr.FinishTemp - s.Train.FinishBand,
		FinishTempMaxC: pr.FinishTemp + s.Train.FinishBand, CoilTempC: pr.CoilTemp,
	}
	var last error
	for k := range nTiming {
		tc := t.fromC + float64(k)*t.stepC
		r, err := hotrolling.Finish(train, hotrolling.Bar{Width: pr.Width, Thickness: pr.bar, Length: length - crop, HeadC: tc, TailC: tc, Grade: g}, target)
		if err != nil {
			t.seconds[k], t.outC[k] = math.NaN(), math.NaN()
			var le *hotrolling.LimitError
			if !errors.As(err, &le) {
				return bad("finishing train", "%s: %v", pr.Name, err)
			}
			last = err
			continue
		}
		t.seconds[k], t.outC[k] = r.RollTime, r.TopC
		if s.Train.Rate > 0 {
			t.seconds[k] = math.Max(1, float64(pr.slabMass)/grams/s.Train.Rate-train.Gap)
		}
		t.limit = r.TopLimit
		t.least = math.Min(t.least, tc)
	}
	if s.Train.MinEntry > t.least {
		t.least = s.Train.MinEntry
	}
	sec, _, ok := t.at(barC)
	if !ok {
		return bad("finishing train", "%s cannot be rolled from a bar of %.0f C: %v", pr.Name, barC, last)
	}
	rough, _, _ := pr.rough.at(s.Furnaces[0].Discharge)
	pr.capacity = 1 / math.Max(rough+s.Rougher.Mill.ReversalTime, sec+train.Gap)
	return nil
}

// coilTimes computes how long a coil cools before it may be pickled, from the
// coiling temperature of the order and the full mass of the slab less its crops.
// For a coil as it is, lighter by its scale and coiled at what whole banks leave,
// a fine grid gives a time within 2 % of it.
func (p *Plant) coilTimes(pr *product) error {
	s := &p.Spec.CoilYard
	od := cooling.OuterDiameter(pr.strip, pr.Thickness, s.Inner, s.Fill)
	c, err := cooling.NewCoilCurve(cooling.Coil{Width: pr.Width, OD: od, ID: s.Inner, RadialK: s.RadialK, AmbientC: p.Spec.Ambient}, pr.CoilTemp)
	if err != nil {
		return bad("coil yard", "%s: %v", pr.Name, err)
	}
	pr.cooling = c
	pr.coolTime = c.TimeTo(s.PickleMax)
	pr.dispTime = c.TimeTo(s.DispatchMax)
	pr.forced = 1
	if s.ForcedH > 0 {
		f, err := cooling.NewCoilCurve(cooling.Coil{Width: pr.Width, OD: od, ID: s.Inner, RadialK: s.RadialK, AmbientC: p.Spec.Ambient, ForcedH: s.ForcedH}, pr.CoilTemp)
		if err != nil {
			return bad("coil yard", "%s: %v", pr.Name, err)
		}
		pr.forced = f.TimeTo(s.PickleMax) / pr.coolTime
	}
	if math.IsInf(pr.coolTime, 1) || math.IsInf(pr.dispTime, 1) {
		return bad("coil yard", "%s never cools to %.0f C in air of %.0f C", pr.Name, s.PickleMax, p.Spec.Ambient)
	}
	return nil
}

// radiate returns the mean temperature of a bar of the thickness after lying
// for some seconds with the share of its radiation kept back.
func (p *Plant) radiate(tC, seconds, thickness, kept float64) float64 {
	e := p.Spec.Rougher.Mill.Thermal.Emissivity * (1 - kept)
	if seconds <= 0 || e <= 0 {
		return tC
	}
	return hotrolling.Radiated(tC, e, seconds, heatCapacity, thickness)
}
