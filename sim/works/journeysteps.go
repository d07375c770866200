package works

import (
	"fmt"
	"math"

	"millrace/sim/quantity"
	"millrace/sim/steel"
	"millrace/sim/steel/casting"
	"millrace/sim/steel/cooling"
	"millrace/sim/steel/hotrolling"
	"millrace/sim/steel/reheating"
)

// cast is the first caster at its normal speed. Caster physics is closed form in
// a run too.
func (t *travel) cast() {
	p, pr := t.p, t.pr
	sp := &p.Spec
	s := &sp.Casters[0]
	c := &t.j.Caster
	v := math.Min(s.Normal, pr.castLimit[0])
	if s.Rate > 0 {
		v = s.Rate / (float64(s.Strands) * pr.metreMass)
	}
	root := s.MinShell / (1e-3 * s.MouldK)
	*c = JourneyCaster{
		Name: s.Name, SpeedMS: v, SpeedMMin: v * 60, WantedMS: s.Wanted, MostMS: pr.castLimit[0], HeatT: sp.Shop.Heat / 1e3,
		SolidMS: s.Supported / casting.SolidTime(sp.SlabThick, s.ShellK), MouldMS: s.MouldLength / (60 * root * root),
		MouldShellMM: casting.MouldShell(s.MouldK, s.MouldLength, v) * 1e3, LeastShellMM: s.MinShell * 1e3,
		SolidM: casting.MetallurgicalLength(sp.SlabThick, s.ShellK, v), SupportedM: s.Supported,
		MachineS: s.Supported / v, CutS: casting.SlabInterval(sp.SlabLen, v), LiquidusC: pr.liquidus,
	}
	c.MostBy = "asked for"
	switch c.MostMS {
	case c.SolidMS:
		c.MostBy = "solidification"
	case c.MouldMS:
		c.MostBy = "mould shell"
	}
	draw := float64(s.Strands) * casting.StrandRate(pr.Width, sp.SlabThick, v)
	c.CastS = casting.HeatTime(sp.Shop.Heat, draw)
	c.AboveC = sp.Shop.MinSuper + sp.Shop.PourDrop + p.ladleK*c.CastS
	c.AboveFirstC = c.AboveC + sp.Shop.FirstDrop
	rate := 0.0
	for i := range sp.Casters {
		k := &sp.Casters[i]
		w := math.Min(k.Normal, pr.castLimit[i])
		if k.Rate > 0 {
			w = k.Rate / (float64(k.Strands) * pr.metreMass)
		}
		rate += float64(k.Strands) * casting.StrandRate(pr.Width, sp.SlabThick, w)
	}
	limit := fmt.Sprintf("normal %.2f m/min; at most %.2f (%s)", v*60, c.MostMS*60, c.MostBy)
	if s.Rate > 0 {
		limit = "rate as given"
	}
	t.mark(0, pr.liquidus, t.h)
	t.mark(c.MachineS+c.CutS, sp.Yard.CutTemp, t.h)
	t.step(JourneyStep{Name: s.Name, TakesS: c.MachineS + c.CutS, OutC: sp.Yard.CutTemp, RateTH: rate * 3.6, Limit: limit, Given: s.Rate > 0})
}

// yardCells cuts half a pile; 30 cells are within 1 C of 60 in the mean.
const yardCells = 30

// lie cools the slab in its pile by conduction through the whole pile, from the
// cut until the hearth. What the cranes take is part of the age.
func (t *travel) lie(chargeC float64) error {
	p := t.p
	s := &p.Spec.Yard
	y := &t.j.Yard
	y.Pile = s.Pile
	y.Normal = math.IsNaN(chargeC)
	age := s.Normal * grams / float64(p.meanSlab()) * p.normalS
	target := math.Inf(-1)
	if !y.Normal {
		if !(chargeC >= p.Spec.Ambient+1 && chargeC <= s.CutTemp) {
			return bad("charge temperature", "%.0f C; a slab is charged between %.0f C, just above the air, and the %.0f C at which it is cut",
				chargeC, p.Spec.Ambient+1, s.CutTemp)
		}
		target = steel.Enthalpy(chargeC)
		age = p.pile.AgeAt(chargeC)
	}
	wall, err := steel.NewWall(steel.Carbon{}, float64(s.Pile)*p.Spec.SlabThick/2, yardCells, s.CutTemp)
	if err != nil {
		return bad("slab yard", "%v", err)
	}
	around := steel.Surroundings{GasC: p.Spec.Ambient, Emissivity: s.Emissivity, Convection: s.Convection}
	every := math.Max(30, age/300)
	at, h := 0.0, wall.MeanEnthalpy()
	point := func() {
		t.j.Trace = append(t.j.Trace, JourneyPoint{Step: len(t.j.Steps), AtS: t.now + at, TempC: steel.TempFromEnthalpy(h),
			SurfaceC: wall.SurfaceC(), CentreC: wall.CentreC(), ThicknessMM: t.h * 1e3})
	}
	point()
	for y.Normal && at < age || !y.Normal && h > target {
		dt := every
		if y.Normal {
			dt = math.Min(dt, age-at)
		}
		if _, err := wall.Advance(around, dt); err != nil {
			return bad("slab yard", "%v", err)
		}
		next := wall.MeanEnthalpy()
		if !y.Normal && next <= target {
			at += dt * (h - target) / (h - next)
			h = target
			point()
			break
		}
		at += dt
		h = next
		point()
		if at > 4*age+1e5 {
			return bad("slab yard", "a pile of %d never cools to %.0f C in air of %.0f C", s.Pile, chargeC, p.Spec.Ambient)
		}
	}
	y.AgeS, y.ChargeC = at, steel.TempFromEnthalpy(h)
	y.CentreC, y.FaceC = wall.CentreC(), wall.SurfaceC()
	limit := "normal stock, " + quantity.FormatMass(s.Normal)
	if !y.Normal {
		limit = "charge temperature asked for"
	}
	t.step(JourneyStep{
		Name: "slab yard", TakesS: at, OutC: y.ChargeC, Limit: limit + fmt.Sprintf("; %d cranes", s.Cranes),
		// Two slabs a lift from the casters, one and the digging to the furnaces.
		RateTH: tonnesAnHour(t.m*float64(s.Cranes), s.LiftTime*(1.5+s.Digging)),
		Table:  tableForm(p.pile.AgeAt(y.ChargeC), at, p.pile.Temp(at), y.ChargeC),
	})
	return nil
}

// walk is conduction through the slab while it goes through a furnace's zones in residence seconds.
func (p *Plant) walk(f int, chargeC, residence, every float64) ([]reheating.Reading, error) {
	s := &p.Spec.Furnaces[f]
	sum := 0.0
	for _, z := range s.Zones {
		sum += z.Share
	}
	stays := make([]reheating.Stay, len(s.Zones))
	for i, z := range s.Zones {
		stays[i] = reheating.Stay{GasC: z.Gas, Seconds: z.Share / sum * residence}
	}
	return reheating.FullSolver(p.Spec.SlabThick, chargeC, s.Emissivity, stays, 0, every)
}

// walkTable is the same by the tables that a run reads: mean enthalpy and scale integral.
func (p *Plant) walkTable(f int, h, residence float64) (float64, float64) {
	s := &p.Spec.Furnaces[f]
	sum, kp := 0.0, 0.0
	for _, z := range s.Zones {
		sum += z.Share
	}
	for i, z := range s.Zones {
		var k float64
		h, k = p.baths[f][i][0].Advance(h, z.Share/sum*residence)
		kp += k
	}
	return h, kp
}

// neededResidence is the time in which an even walk just brings a slab to the
// discharge temperature, to the second; end gives the mean enthalpy at discharge
// for a residence. NaN when a day does not do.
func (p *Plant) neededResidence(end func(residence float64) float64) float64 {
	hi := 600.0
	for !(end(hi) >= p.discH) {
		if hi *= 1.3; hi > 86400 {
			return math.NaN()
		}
	}
	lo := 0.0
	if hi > 600 {
		lo = hi / 1.3
	}
	for hi-lo > 1 {
		mid := 0.5 * (lo + hi)
		if end(mid) >= p.discH {
			hi = mid
		} else {
			lo = mid
		}
	}
	return hi
}

// reheat walks the slab through the first furnace at the works' normal pace, or
// slower where heat needs longer.
func (t *travel) reheat() error {
	p := t.p
	charge := t.j.Yard.ChargeC
	hIn := steel.Enthalpy(charge)
	s := &p.Spec.Furnaces[0]
	r := &t.j.Furnace
	*r = JourneyFurnace{Name: s.Name, Places: p.hearth[0], ChargeC: charge, AskedC: s.Discharge}
	rate, given := 0.0, false
	for f := range p.Spec.Furnaces {
		var failed error
		need := p.neededResidence(func(x float64) float64 {
			w, err := p.walk(f, charge, x, 600)
			if err != nil {
				failed = err
				return math.Inf(1)
			}
			return w[len(w)-1].Enthalpy
		})
		if failed != nil {
			return bad(p.Spec.Furnaces[f].Name, "%v", failed)
		}
		if math.IsNaN(need) {
			return bad(p.Spec.Furnaces[f].Name, "a slab of %.0f C is not at %.0f C within a day", charge, s.Discharge)
		}
		if f == 0 {
			r.NeededS = need
		}
		if g := p.Spec.Furnaces[f].Rate; g > 0 {
			rate += g * 3.6
			given = given || f == 0
		} else {
			rate += tonnesAnHour(t.m*float64(p.hearth[f]), need)
		}
	}
	r.PaceS = float64(p.hearth[0]*len(p.Spec.Furnaces)) * p.normalS
	r.ResidenceS = math.Max(r.NeededS, r.PaceS)
	limit := fmt.Sprintf("the mill's pace; heating needs %.2f h", r.NeededS/3600)
	if r.NeededS > r.PaceS {
		limit = fmt.Sprintf("heating; the mill's pace allows %.2f h", r.PaceS/3600)
	}
	if given {
		r.ResidenceS = float64(p.hearth[0]) * t.m / s.Rate
		limit = "rate as given"
	}
	w, err := p.walk(0, charge, r.ResidenceS, 60)
	if err != nil {
		return bad(s.Name, "%v", err)
	}
	last := w[len(w)-1]
	r.ToHeatS = r.ResidenceS
	for i := range w {
		if i > 0 && w[i].Enthalpy >= p.discH {
			a, b := w[i-1], w[i]
			r.ToHeatS = a.Seconds + (p.discH-a.Enthalpy)/(b.Enthalpy-a.Enthalpy)*(b.Seconds-a.Seconds)
			break
		}
	}
	for _, x := range w {
		t.j.Trace = append(t.j.Trace, JourneyPoint{Step: len(t.j.Steps), AtS: t.now + x.Seconds, TempC: x.MeanC, SurfaceC: x.SurfaceC, CentreC: x.CentreC, ThicknessMM: t.h * 1e3})
	}
	r.MeanC, r.CentreC, r.SurfaceC = last.MeanC, last.CentreC, last.SurfaceC
	r.UnevenC = r.SurfaceC - r.CentreC
	r.ScaleMM = reheating.ScaleThickness(last.Scale) * 1e3
	loss := reheating.SteelLoss(last.Scale) * 2 * t.pr.Width * p.Spec.SlabLen
	r.LossShare = loss / t.m
	r.SteelGJT = (last.Enthalpy - hIn) / 1e6
	fuel := reheating.Fuel(t.m, hIn, last.Enthalpy, s.WallLoss/float64(p.hearth[0]), r.ResidenceS, s.Efficiency)
	r.FuelGJT = fuel / t.m / 1e6
	r.CO2KgT = reheating.CO2(fuel) / t.m * 1e3
	t.m -= loss
	var tab *TableForm
	if !given {
		need := p.neededResidence(func(x float64) float64 { h, _ := p.walkTable(0, hIn, x); return h })
		h, _ := p.walkTable(0, hIn, r.ResidenceS)
		tab = tableForm(need, r.NeededS, steel.TempFromEnthalpy(h), r.MeanC)
	}
	t.step(JourneyStep{Name: s.Name, TakesS: r.ResidenceS, OutC: r.MeanC, RateTH: rate, Limit: limit, Given: given, Table: tab})
	return nil
}

// fallInAir and fallUnderWater are the two parts of the way to the first bite.
func (t *travel) fallInAir(tC float64) float64 {
	m := &t.p.Spec.Rougher.Mill
	return tC - hotrolling.Radiated(tC, m.Thermal.Emissivity, m.Approach, steel.HotDensity(tC)*steel.SpecificHeat(tC), t.h)
}

func (t *travel) fallUnderWater(tC float64) float64 {
	m := &t.p.Spec.Rougher.Mill
	if m.Primary.Pairs == 0 {
		return 0
	}
	sec := cooling.ContactTime(m.Primary.Footprint, m.PrimarySpeed)
	return cooling.BulkDrop(m.Primary.Pairs, cooling.HeatTaken(m.Primary.H, sec, tC, m.Thermal.WaterC), t.h, tC)
}

// roll descales, roughs and finishes, and cools the strip on the run-out table.
func (t *travel) roll() error {
	pr, sp := t.pr, &t.p.Spec
	mill := sp.Rougher.Mill
	mill.Pressure = hotrolling.Sims
	slabC := t.j.Furnace.MeanC

	// The mill's own schedule begins at the furnace door; the descaler is shown for itself.
	d := &t.j.Descale
	d.AirC = t.fallInAir(slabC)
	d.WaterC = t.fallUnderWater(slabC - d.AirC)
	out := slabC - d.AirC - d.WaterC
	cheap := slabC - d.AirC - mill.Primary.Drop(slabC-d.AirC, mill.Thermal.WaterC, mill.PrimarySpeed, t.h)
	t.mark(0, slabC, t.h)
	t.mark(mill.Approach, out, t.h)
	t.step(JourneyStep{
		Name: "descaler", TakesS: mill.Approach, OutC: out, RateTH: tonnesAnHour(t.m, mill.Approach),
		Limit: "way from the door to the first bite", Table: tableForm(mill.Approach, mill.Approach, cheap, out),
	})

	g := sp.Grades[pr.Grade]
	r, err := hotrolling.Rough(mill, hotrolling.Slab{Width: pr.Width, Thickness: sp.SlabThick, Length: sp.SlabLen, TempC: slabC, Grade: g}, pr.bar)
	if err != nil {
		return t.stop("rougher", err)
	}
	t.roughing(&mill, &r, slabC)
	return t.finishing(&r, g)
}

func (t *travel) roughing(mill *hotrolling.RoughingMill, r *hotrolling.RoughResult, slabC float64) {
	pr := t.pr
	k := &t.p.Spec.Rougher
	at := 0.0
	for i := range r.Passes {
		x := &r.Passes[i]
		q := JourneyPass{
			ThicknessMM: x.Exit * 1e3, LengthM: x.Length, TakesS: x.Time, SpeedMS: x.Speed, InC: x.EntryC, OutC: x.ExitC, Limit: x.Binds, LimitShare: x.Use,
			ForceMN: x.Force / 1e6, ForceShare: x.Force / mill.MaxForce, TorqueMNM: x.Torque / 1e6, TorqueShare: x.Torque / mill.MaxTorque,
			PowerMW: x.Power / mill.Efficiency / 1e6, PowerShare: x.Power / mill.Efficiency / mill.MaxPower,
		}
		t.j.Passes = append(t.j.Passes, q)
		// Temperatures are those of the middle of the length, in the gap half way through the pass.
		t.mark(at+0.5*x.Time, x.EntryC, x.Entry)
		t.mark(at+0.5*x.Time, x.ExitC, x.Exit)
		at += x.Time + mill.ReversalTime
	}
	t.mark(r.Time, r.MeanC, r.Thickness)
	t.j.Rough = JourneyRough{BarMM: r.Thickness * 1e3, BarM: r.Length, HeadC: r.HeadC, TailC: r.TailC, DriveGJ: r.Energy / 1e9, KWhT: r.Energy / 3.6e6 / (t.m / 1e3)}
	t.h = r.Thickness
	sec, tabC, _ := pr.rough.at(slabC)
	takes, limit := r.Time, fmt.Sprintf("%d passes; the draft by %s", len(r.Passes), r.Binds)
	tab := tableForm(sec, r.Time, tabC, r.MeanC)
	if k.Rate > 0 {
		takes, limit, tab = float64(pr.slabMass)/grams/k.Rate, "rate as given", nil
	}
	t.step(JourneyStep{Name: "rougher", TakesS: takes, OutC: r.MeanC, RateTH: tonnesAnHour(t.m, takes), Limit: limit, Given: k.Rate > 0, Table: tab})
}

func (t *travel) finishing(r *hotrolling.RoughResult, g steel.Grade) error {
	p, pr, sp := t.p, t.pr, &t.p.Spec
	s := &sp.Train
	train := s.Train
	train.Pressure = hotrolling.Sims
	ro, err := cooling.NewRunOut(cooling.RunOut{Banks: sp.RunOut.Banks, BankLength: sp.RunOut.BankLength, H: sp.RunOut.H, WaterC: sp.RunOut.Water})
	if err != nil {
		return bad("run-out table", "%v", err)
	}
	train.RunOut = &ro
	bar := r.Bar(g)
	bar.Length -= 2 * s.Crop
	bar.Wait = s.ShearTime
	lie := func(tC float64) float64 {
		e := train.Thermal.Emissivity * (1 - train.CoverFactor)
		if e <= 0 || bar.Wait <= 0 {
			return tC
		}
		return hotrolling.Radiated(tC, e, bar.Wait, steel.HotDensity(tC)*steel.SpecificHeat(tC), bar.Thickness)
	}
	barC := lie(r.MeanC)
	t.mark(0, r.MeanC, t.h)
	t.mark(bar.Wait, barC, t.h)
	t.m -= float64(pr.cropMass) / grams
	kept := "no cover"
	if train.CoverFactor > 0 {
		kept = fmt.Sprintf("cover keeps %.0f %% of the heat in", train.CoverFactor*100)
	}
	t.step(JourneyStep{Name: "delay table", TakesS: bar.Wait, OutC: barC, Limit: "cropping; " + kept,
		Table: tableForm(bar.Wait, bar.Wait, p.radiate(r.MeanC, bar.Wait, pr.bar, train.CoverFactor), barC)})
	if barC < s.MinEntry {
		return t.stop("finishing train", &hotrolling.LimitError{Limit: hotrolling.LimitColdBar, Value: barC, Allowed: s.MinEntry, Suggest: "a hotter slab, a thicker bar or a cover on the delay table"})
	}
	target := hotrolling.Target{Thickness: pr.Thickness, FinishTempMinC: pr.FinishTemp - s.FinishBand, FinishTempMaxC: pr.FinishTemp + s.FinishBand, CoilTempC: pr.CoilTemp}
	f, err := hotrolling.Finish(train, bar, target)
	if f.Stands == nil && err != nil {
		return t.stop("finishing train", err)
	}
	t.stands(&train, &f, pr)
	j := &t.j.Finish
	*j = JourneyFinish{
		EntryHeadC: f.HeadEntryC, EntryTailC: f.TailEntryC, RollS: f.RollTime, ThreadMS: f.ThreadSpeed, TopMS: f.TopSpeed, TailMS: f.TailSpeed,
		ThreadLimit: f.ThreadLimit, TopLimit: f.TopLimit, HeadC: f.HeadC, BodyC: f.TopC, TailC: f.TailC,
		AskedLowC: target.FinishTempMinC, AskedHighC: target.FinishTempMaxC, StripM: f.StripLength, KWhT: f.Energy / 3.6e6 / (t.m / 1e3),
	}
	j.ThreadInS = train.EntryDistance / f.EntrySpeed
	t.mark(0, f.HeadEntryC, t.h)
	at := j.ThreadInS
	for i := range f.Stands {
		x := &f.Stands[i]
		t.mark(at, x.HeadC, x.Exit)
		if i < len(f.Stands)-1 {
			at += train.StandSpacing / (f.ThreadSpeed * pr.Thickness / x.Exit)
		}
	}
	j.ThreadInS = at
	if err != nil {
		return t.stop("finishing train", err)
	}
	t.mark(at+f.RollTime, f.TopC, pr.Thickness)
	sec, tabC, _ := pr.finish.at(barC)
	tab := tableForm(sec, f.RollTime, tabC, f.TopC)
	takes, limit := at+f.RollTime, fmt.Sprintf("%.1f m/s by %s, threading %.1f by %s", f.TopSpeed, f.TopLimit, f.ThreadSpeed, f.ThreadLimit)
	cycle := f.Cycle
	if s.Rate > 0 {
		cycle = float64(pr.slabMass) / grams / s.Rate
		takes, limit, tab = math.Max(1, cycle-train.Gap), "rate as given", nil
	}
	t.h = pr.Thickness
	t.step(JourneyStep{Name: "finishing train", TakesS: takes, OutC: f.TopC, RateTH: tonnesAnHour(t.m, cycle), Limit: limit, Given: s.Rate > 0, Table: tab})
	return t.runOut(&ro, &f)
}

func (t *travel) stands(train *hotrolling.FinishingTrain, f *hotrolling.FinishResult, pr *product) {
	for i := range f.Stands {
		x, st := &f.Stands[i], &train.Stands[i]
		q := JourneyStand{
			ThicknessMM: x.Exit * 1e3, ForceMN: x.Force / 1e6, ForceShare: x.Force / st.MaxForce, PowerMW: x.Power / 1e6, PowerShare: x.Power / st.MaxPower,
			SpeedMS: x.RollSpeed, SpeedShare: x.RollSpeed / st.MaxSpeed, BiteShare: (x.Entry - x.Exit) / hotrolling.MaxDraft(train.Friction, st.RollRadius),
			HeadC: x.HeadC, TailC: x.TailC,
		}
		if st.MaxTorque > 0 {
			q.TorqueShare = x.Torque / st.MaxTorque
		}
		for _, l := range [...]struct {
			name  string
			share float64
		}{{hotrolling.LimitForce, q.ForceShare}, {hotrolling.LimitTorque, q.TorqueShare}, {hotrolling.LimitPower, q.PowerShare}, {hotrolling.LimitSpeed, q.SpeedShare}, {hotrolling.LimitBite, q.BiteShare}} {
			if l.share > q.LimitShare {
				q.Limit, q.LimitShare = l.name, l.share
			}
		}
		t.j.Stands = append(t.j.Stands, q)
	}
}

// alongTable is the temperature of strip of a thickness (m) that runs down the
// table at a speed (m/s) with the first so many banks on and air behind them.
func (p *Plant) alongTable(thickness, speed, fromC float64, banks int) float64 {
	s := &p.Spec.RunOut
	e := p.Spec.Train.Train.Thermal.Emissivity
	wet := float64(banks) * s.BankLength
	h := steel.Enthalpy(fromC)
	// Midpoint steps; strip is even through its thickness.
	run := func(length float64, flux func(tC float64) float64) {
		n := math.Max(1, math.Ceil(length/0.25))
		dt := length / n / speed
		for range int(n) {
			k := 2 * dt / (steel.Density * thickness)
			mid := h - 0.5*k*flux(steel.TempFromEnthalpy(h))
			h -= k * flux(steel.TempFromEnthalpy(mid))
		}
	}
	if wet > 0 {
		run(wet, func(tC float64) float64 { return s.H * (tC - s.Water) })
	}
	if dry := s.Length - wet; dry > 0 {
		air := steel.Surroundings{GasC: p.Spec.Ambient, Emissivity: e}
		run(dry, func(tC float64) float64 { return -air.Into(tC) })
	}
	return steel.TempFromEnthalpy(h)
}

// runOut puts on the banks that bring the body nearest to the coiling temperature.
func (t *travel) runOut(ro *cooling.RunOut, f *hotrolling.FinishResult) error {
	p, pr := t.p, t.pr
	s := &p.Spec.RunOut
	r := &t.j.RunOut
	*r = JourneyRunOut{Fitted: s.Banks, AskedC: pr.CoilTemp, MostMS: ro.MaxSpeed(pr.Thickness, f.TopC, pr.CoilTemp), TailTravelS: s.Length / f.TailSpeed}
	for n := 0; n <= s.Banks; n++ {
		c := p.alongTable(pr.Thickness, f.TopSpeed, f.TopC, n)
		if n > 0 && math.Abs(c-pr.CoilTemp) >= math.Abs(r.CoilC-pr.CoilTemp) {
			break
		}
		r.Banks, r.CoilC = n, c
	}
	r.WaterOnlyC = ro.CoilingTemp(pr.Thickness, f.TopSpeed, f.TopC, r.Banks)
	t.mark(0, f.TopC, t.h)
	t.mark(r.TailTravelS, r.CoilC, t.h)
	most := tonnesAnHour(pr.Width*pr.Thickness*steel.Density*r.MostMS, 1)
	limit := fmt.Sprintf("%d of %d banks; all could take %.1f m/s", r.Banks, r.Fitted, r.MostMS)
	if math.IsInf(r.MostMS, 0) {
		r.MostMS, most, limit = 0, 0, "no water needed"
	}
	t.step(JourneyStep{Name: "run-out table", TakesS: r.TailTravelS, OutC: r.CoilC, RateTH: most,
		Limit: limit,
		Table: tableForm(0, r.TailTravelS, pr.CoilTemp, r.CoilC)})
	return nil
}

// Cells of the coil for the full form, over radius and half the width.
const coilRadial, coilAxial = 20, 12

// coolCoil winds, strips and cools the coil.
func (t *travel) coolCoil() error {
	pr, sp := t.pr, &t.p.Spec
	s := &sp.CoilYard
	c := &t.j.Coil
	startC := t.j.RunOut.CoilC
	strip := cooling.StripLength(t.m, pr.Width, pr.Thickness)
	od := cooling.OuterDiameter(strip, pr.Thickness, s.Inner, s.Fill)
	*c = JourneyCoil{MassT: t.m / 1e3, OuterMM: od * 1e3, BoreMM: s.Inner * 1e3, AimC: s.DispatchMax, MassLost: t.j.SlabT - t.m/1e3}
	t.j.CoilT = c.MassT
	tableS := pr.dispTime
	if pr.Pickled {
		c.AimC, tableS = s.PickleMax, pr.coolTime
	}
	f, err := cooling.NewCoilField(cooling.Coil{Width: pr.Width, OD: od, ID: s.Inner, RadialK: s.RadialK, AmbientC: sp.Ambient}, startC, coilRadial, coilAxial)
	if err != nil {
		return bad("coil yard", "%v", err)
	}
	type reading struct{ at, tC float64 }
	var curve []reading
	at, hot := 0.0, startC
	for next := 0.0; hot > c.AimC; {
		if at >= next {
			curve = append(curve, reading{at, hot})
			next += 1200
		}
		dt := f.Step()
		was := hot
		hot = f.MaxC()
		if hot <= c.AimC {
			dt *= (was - c.AimC) / (was - hot)
			hot = c.AimC
		}
		at += dt
		if at > 60*86400 {
			return bad("coil yard", "%s does not cool to %.0f C in 60 days in air of %.0f C", pr.Name, c.AimC, sp.Ambient)
		}
	}
	curve = append(curve, reading{at, hot})
	c.CoolS = at
	// The coil has cooled since it was stripped; the curve is read back for the steps.
	tempAt := func(x float64) float64 {
		for i := 1; i < len(curve); i++ {
			if a, b := curve[i-1], curve[i]; x <= b.at {
				return a.tC + (x-a.at)/(b.at-a.at)*(b.tC-a.tC)
			}
		}
		return hot
	}
	on := &sp.Coilers
	t.mark(0, startC, t.h)
	t.mark(on.StripOut, startC, t.h)
	wind := t.j.Finish.RollS + on.StripOut
	t.step(JourneyStep{Name: "coiler", TakesS: on.StripOut, OutC: startC, RateTH: tonnesAnHour(t.m*float64(on.InUse), wind), Limit: fmt.Sprintf("stripping; %d coilers in turn", on.InUse)})
	way := sp.Conveyor.Transit + sp.Conveyor.Cycle
	put := func(from, to float64) {
		t.mark(0, tempAt(from), t.h)
		for _, x := range curve {
			if x.at > from && x.at < to {
				t.mark(x.at-from, x.tC, t.h)
			}
		}
		t.mark(to-from, tempAt(to), t.h)
	}
	put(0, way)
	t.step(JourneyStep{Name: "conveyor", TakesS: way, OutC: tempAt(way), RateTH: tonnesAnHour(t.m, sp.Conveyor.Cycle), Limit: "way; rate by the cycle at its end"})
	rest := math.Max(0, at-way)
	put(way, way+rest)
	t.step(JourneyStep{Name: "coil yard", TakesS: rest, OutC: tempAt(way + rest), RateTH: tonnesAnHour(s.Room, at),
		Limit: fmt.Sprintf("cooling to %.0f C for %s; room for %s", c.AimC, t.j.ReadyFor, quantity.FormatMass(s.Room)),
		Table: tableForm(tableS, at, tempAt(at), c.AimC)})
	return nil
}
