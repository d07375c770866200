package works

import (
	"fmt"
	"math"

	"millrace/sim/quantity"
	"millrace/sim/steel"
	"millrace/sim/steel/annealing"
	"millrace/sim/steel/coldrolling"
	"millrace/sim/steel/cooling"
	"millrace/sim/steel/pickling"
)

// JourneyPickle is the pickle line.
type JourneyPickle struct {
	NeedS       float64 `json:"acid_needed_s"`
	HadS        float64 `json:"acid_had_s"`
	SpeedMS     float64 `json:"speed_m_s"`      // of the process
	AcidMS      float64 `json:"acid_limit_m_s"` // that the acid alone would allow
	Limit       string  `json:"limit"`
	WeldDrawM   float64 `json:"weld_draws_m"` // strip taken from the entry looper by a weld
	LooperM     float64 `json:"entry_looper_m"`
	RefillS     float64 `json:"refill_s"`
	EntryUse    float64 `json:"entry_use"`      // share of the entry's time without rest
	ReserveS    float64 `json:"reserve_s"`      // further entry stop that a full looper carries after a weld
	ChangeTakeM float64 `json:"change_takes_m"` // strip put into the exit looper by a coil change
	ExitLooperM float64 `json:"exit_looper_m"`
	PatienceS   float64 `json:"may_stand_s"` // in acid, before the strip is lost
	LostT       float64 `json:"lost_t"`      // scale and steel into the acid, edges
}

// JourneyColdStand is one stand of the cold mill.
type JourneyColdStand struct {
	ThicknessMM float64 `json:"thickness_mm"` // leaving
	Reduction   float64 `json:"reduction"`
	FrontMPa    float64 `json:"front_tension_mpa"` // behind the stand
	ForceMN     float64 `json:"force_mn"`
	ForceShare  float64 `json:"force_share"`
	TorqueShare float64 `json:"torque_share,omitempty"` // where the stand has a limit
	PowerMW     float64 `json:"power_mw"`               // of the motor
	PowerShare  float64 `json:"power_share"`
	SpeedMS     float64 `json:"speed_m_s"` // strip leaving
	SpeedShare  float64 `json:"speed_share"`
	Flattening  float64 `json:"flattening"` // flattened over ground radius of the rolls
	WarmingK    float64 `json:"warming_k"`  // all work left in the strip
	LooseShare  float64 `json:"loose_force_share"`
	Limit       string  `json:"limit"`
	LimitShare  float64 `json:"limit_share"`
}

// JourneyColdMill is the cold mill as a whole.
type JourneyColdMill struct {
	EntryMM    float64 `json:"entry_mm"`
	ExitMM     float64 `json:"exit_mm"`
	WidthMM    float64 `json:"width_mm"`
	BackMPa    float64 `json:"entry_tension_mpa"`
	EntryMS    float64 `json:"entry_m_s"`
	TopMS      float64 `json:"top_m_s"`
	Limit      string  `json:"limit"` // of the speed
	LimitStand int     `json:"limit_stand,omitempty"`
	ThreadS    float64 `json:"thread_s"`
	MovingS    float64 `json:"moving_s"`
	TailS      float64 `json:"tail_s"`
	StripM     float64 `json:"strip_m"`
	OffGaugeM  float64 `json:"off_gauge_m"`
	KWhT       float64 `json:"drive_kwh_t"`
}

// JourneyAnneal is the time on a base and on the cooling floor.
type JourneyAnneal struct {
	Gas        string  `json:"gas"`
	RadialK    float64 `json:"across_wraps_w_mk"`
	OuterMM    float64 `json:"outer_diameter_mm"`
	StackCoils int     `json:"coils_a_stack"`
	StackT     float64 `json:"stack_t"`
	HeatS      float64 `json:"heat_s"` // under the bell
	CoolS      float64 `json:"cool_s"` // under the cooler
	HandlingS  float64 `json:"handling_s"`
	BaseS      float64 `json:"base_s"`
	ColdC      float64 `json:"coldest_c"` // when the bell comes off
	HotC       float64 `json:"hottest_c"`
	AimC       float64 `json:"coldest_asked_c"`
	UncoverC   float64 `json:"uncover_c"` // hottest place when the cover comes off
	FloorS     float64 `json:"floor_s"`
	FloorC     float64 `json:"floor_c"`    // hottest place at the end of the floor
	CoolEnough float64 `json:"floor_to_s"` // when the hottest place is at the temper mill's limit; 0 when not within ten times the floor's time
	TakesC     float64 `json:"takes_below_c"`
}

// JourneyTemper is the temper mill.
type JourneyTemper struct {
	Elongation  float64 `json:"elongation"`
	ThicknessMM float64 `json:"thickness_mm"`
	ForceMN     float64 `json:"force_mn"`
	ForceShare  float64 `json:"force_share"`
	TopMS       float64 `json:"top_m_s"`
	RollS       float64 `json:"roll_s"`
	ChangeS     float64 `json:"change_s"`
	LostT       float64 `json:"lost_t"`
}

// cold takes a pickled product on from the coil floor to dispatch.
func (t *travel) cold() error {
	c := t.p.Spec.Cold
	if c == nil || !t.pr.Pickled {
		return nil
	}
	t.j.ReadyFor = "dispatch"
	if err := t.pickle(c); err != nil || t.pr.Cold <= 0 {
		return err
	}
	if err := t.coldRoll(c); err != nil || !t.pr.Annealed {
		return err
	}
	if err := t.anneal(c); err != nil {
		return err
	}
	return t.temper(c)
}

// pickle is the coil among its like on the pickle line. The law is closed form in a
// run too; here it is asked for the temperature at which the coil was coiled, there
// for the order's.
func (t *travel) pickle(c *ColdSpec) error {
	pr := t.pr
	line := c.Pickle.Line
	k := &t.j.Pickle
	strip := t.j.Finish.StripM
	r, err := line.Coil(pickling.Coil{Length: strip, Thickness: pr.Thickness, Width: pr.Width, CoilingTempC: t.j.RunOut.CoilC})
	if err != nil {
		return t.stop("pickle line", err)
	}
	*k = JourneyPickle{
		NeedS: r.Need, HadS: r.InAcid, SpeedMS: r.ProcessSpeed, AcidMS: line.AcidSpeed(t.j.RunOut.CoilC), Limit: r.LimitedBy, WeldDrawM: r.Drawn, LooperM: line.EntryLooper,
		RefillS: finite(r.Refill), EntryUse: r.Entry, ReserveS: finite(r.Reserve), ChangeTakeM: pickling.Drawn(r.ProcessSpeed, line.ChangeTime), ExitLooperM: line.ExitLooper, PatienceS: line.StopInAcid(0).Clock,
	}
	lost := c.Pickle.Scale.Loss(strip, pr.Width) + t.m*c.Pickle.Trim/pr.Width
	k.LostT = lost / 1e3
	takes, limit, given := r.Time, fmt.Sprintf("%.2f m/s by %s; acid alone %.2f", r.ProcessSpeed, r.LimitedBy, k.AcidMS), false
	tab := tableForm(pr.pickleS, takes, line.TempC, line.TempC)
	if c.Pickle.Rate > 0 {
		takes, limit, given, tab = t.m/c.Pickle.Rate, "rate as given", true, nil
	}
	m := t.m
	t.mark(0, t.j.Coil.AimC, t.h)
	// In acid the strip takes the temperature of the bath within seconds; it is not
	// followed through rinse and drier.
	t.mark(0.5*takes, line.TempC, t.h)
	t.mark(takes, line.TempC, t.h)
	t.m -= lost
	t.step(JourneyStep{Name: "pickle line", TakesS: takes, OutC: line.TempC, RateTH: tonnesAnHour(m, takes), Limit: limit, Given: given, Table: tab})
	return nil
}

// coldRoll rolls the coil in the tandem mill.
func (t *travel) coldRoll(c *ColdSpec) error {
	pr := t.pr
	width := pr.Width - c.Pickle.Trim
	law := c.Mill.Law
	if f := t.p.Spec.Grades[pr.Grade].FlowFactor; f > 0 {
		law.K *= f
	}
	mill := c.Mill.Mill
	mill.Model = coldrolling.BlandFord
	s, err := mill.Schedule(coldrolling.Strip{EntryThickness: pr.Thickness, ExitThickness: pr.Cold, Width: width, Law: law})
	if err != nil {
		return t.stop("cold mill", err)
	}
	strip := t.j.Finish.StripM * pr.Thickness / pr.Cold
	ct, err := mill.CoilTime(strip, s.ExitSpeed, 0)
	if err != nil {
		return t.stop("cold mill", err)
	}
	k := &t.j.ColdMill
	*k = JourneyColdMill{
		EntryMM: pr.Thickness * 1e3, ExitMM: pr.Cold * 1e3, WidthMM: width * 1e3, BackMPa: mill.Tensions[0] / 1e6, EntryMS: s.EntrySpeed, TopMS: ct.Top,
		Limit: s.Limit, LimitStand: s.LimitStand, ThreadS: ct.Thread, MovingS: ct.Moving, TailS: ct.Tail, StripM: strip, OffGaugeM: ct.OffGauge, KWhT: s.Energy / 3600,
	}
	if ct.Top < s.ExitSpeed*(1-1e-9) {
		k.Limit, k.LimitStand = "strip length", 0
	}
	// Loads at the speed that is reached.
	at := ct.Top / s.ExitSpeed
	takes := ct.Total()
	// Where the strip's temperature goes under the emulsion is not computed: a
	// straight line from the acid to the air.
	from, to := c.Pickle.Line.TempC, t.p.Spec.Ambient
	t.mark(0, from, pr.Thickness)
	for i := range s.Stands {
		d, st := &s.Stands[i], &mill.Stands[i]
		q := JourneyColdStand{
			ThicknessMM: d.Exit * 1e3, Reduction: d.Reduction, FrontMPa: mill.Tensions[i+1] / 1e6, ForceMN: d.Force / 1e6, ForceShare: d.Force / st.MaxForce,
			PowerMW: d.Power * at / mill.Efficiency / 1e6, SpeedMS: d.Speed * at, SpeedShare: d.RollSpeed * at / st.MaxSpeed,
			Flattening: d.Flattening, WarmingK: d.Warming, LooseShare: d.LooseForce / st.MaxForce,
		}
		q.PowerShare = q.PowerMW * 1e6 / st.MaxPower
		most := st.MaxReduction
		if most <= 0 {
			most = coldrolling.MostReduction
		}
		if st.MaxTorque > 0 {
			q.TorqueShare = d.Torque / st.MaxTorque
		}
		q.Limit, q.LimitShare = nearest(share{coldrolling.LimitForce, q.ForceShare}, share{coldrolling.LimitTorque, q.TorqueShare}, share{coldrolling.LimitPower, q.PowerShare},
			share{coldrolling.LimitSpeed, q.SpeedShare}, share{coldrolling.LimitReduction, d.Reduction / most}, share{coldrolling.LimitFlattening, d.Flattening / coldrolling.MaxFlattening})
		t.j.ColdStands = append(t.j.ColdStands, q)
		// Stands are a few metres apart: all of it in one place of the drawing.
		t.mark(0.5*takes, 0.5*(from+to), d.Entry)
		t.mark(0.5*takes, 0.5*(from+to), d.Exit)
	}
	t.mark(takes, to, pr.Cold)
	t.h = pr.Cold
	limit := fmt.Sprintf("%.1f m/s by %s", k.TopMS, k.Limit)
	if k.LimitStand > 0 {
		limit += fmt.Sprintf(", stand %d", k.LimitStand)
	}
	full, given := takes, false
	tab := tableForm(pr.millS, full, to, to)
	if c.Mill.Rate > 0 {
		takes, limit, given, tab = t.m/c.Mill.Rate, "rate as given", true, nil
	}
	cycle := takes
	if c.Mill.RollCoils > 0 {
		cycle += c.Mill.RollChange / float64(c.Mill.RollCoils)
	}
	m := t.m
	t.m -= t.m * c.Mill.Crop
	t.step(JourneyStep{Name: "cold mill", TakesS: takes, OutC: to, NotComputed: true, RateTH: tonnesAnHour(m, cycle), Limit: limit, Given: given, Table: tab})
	return nil
}

// Cells of a coil on a base for the full form; a run's times come from
// annealing.CoilTimes, whose grid is about half as fine each way.
const annealRadial, annealAxial = 24, 14

// airAcross is the conductivity of air between wraps near 100 C, W/mK (from memory).
const airAcross = 0.03

// anneal heats and cools the coil on a base, and lets it lie on the cooling floor.
func (t *travel) anneal(c *ColdSpec) error {
	pr, a := t.pr, &c.Anneal
	width := t.j.ColdMill.WidthMM / 1e3
	k := &t.j.Anneal
	rk, err := annealing.RadialConductivity(annealing.Wrap{Strip: pr.Cold, Gap: a.Gap}, a.Gas)
	if err != nil {
		return t.stop("anneal bases", err)
	}
	// The coil as it is, its ends cropped.
	length := t.j.ColdMill.StripM * (1 - c.Mill.Crop)
	od := cooling.OuterDiameter(length, pr.Cold, coldBore, t.p.Spec.CoilYard.Fill)
	f, err := annealing.NewCoilField(annealing.Coil{Width: width, OD: od, ID: coldBore, RadialK: rk}, a.Recipe.StartC, annealRadial, annealAxial)
	if err != nil {
		return t.stop("anneal bases", err)
	}
	r, h := a.Recipe, a.Handling
	if r.CoolFilm <= 0 {
		r.CoolFilm = r.Film
	}
	*k = JourneyAnneal{Gas: a.Gas.Name, RadialK: rk, OuterMM: od * 1e3, StackCoils: a.StackCoils, StackT: float64(a.StackCoils) * t.m / 1e3, AimC: r.ColdC, FloorS: a.Floor}
	before := h.Load + h.LeakTest + h.Purge + h.BellOn
	base := t.now
	point := func(at float64) {
		cold, hot := f.Extremes()
		t.j.Trace = append(t.j.Trace, JourneyPoint{Step: len(t.j.Steps), AtS: base + at, TempC: steel.TempFromEnthalpy(f.MeanEnthalpy()), SurfaceC: hot, CentreC: cold, ThicknessMM: t.h * 1e3})
	}
	// advance steps the field until done says how far into the step it was.
	advance := func(from, film float64, gas func(at float64) float64, done func() bool, most float64) (float64, bool) {
		dt := math.Min(30, f.StableStep(film))
		at, next := 0.0, 0.0
		for !done() {
			if at >= next {
				point(from + at)
				next += 1800
			}
			if at > most {
				return at, false
			}
			f.Step(dt, gas(at), film)
			at += dt
		}
		return at, true
	}
	point(0)
	heat, ok := advance(before, r.Film, func(at float64) float64 {
		if at < r.RampTime {
			return r.StartC + (r.GasC-r.StartC)*at/r.RampTime
		}
		return r.GasC
	}, func() bool { cold, _ := f.Extremes(); return cold >= r.ColdC }, 30*86400)
	if !ok {
		return t.stop("anneal bases", fmt.Errorf("the coldest spot of a coil of %.2f m is not at %.0f C in 30 days in gas of %.0f C; ask for less or make the coil smaller", od, r.ColdC, r.GasC))
	}
	k.HeatS = heat
	k.ColdC, k.HotC = f.Extremes()
	point(before + heat)
	// Between bell and cooler a run stops the clock of the steel for the crane.
	from := before + heat + h.BellOff + h.CoolerOn
	cool, ok := advance(from, r.CoolFilm, func(float64) float64 { return r.CoolGasC }, func() bool { _, hot := f.Extremes(); return hot <= r.OffC }, 30*86400)
	if !ok {
		return t.stop("anneal bases", fmt.Errorf("the coil is not at %.0f C in 30 days in gas of %.0f C", r.OffC, r.CoolGasC))
	}
	k.CoolS = cool
	_, k.UncoverC = f.Extremes()
	point(from + cool)
	k.HandlingS = before + h.BellOff + h.CoolerOn + h.PostPurge + h.CoolerOff + h.Unload
	k.BaseS = k.HandlingS + heat + cool
	point(k.BaseS)
	// The shop with this product alone.
	cycle := annealing.Cycle{Prepare: before, Heat: heat, Change: h.BellOff + h.CoolerOn, Cool: cool, Finish: h.PostPurge + h.CoolerOff + h.Unload, Mass: k.StackT * 1e3}
	shop, by, err := annealing.Fleet{Bases: float64(a.Bases), Bells: float64(a.Bells), Coolers: float64(a.Coolers)}.Rate(cycle, h)
	if err != nil {
		return t.stop("anneal bases", err)
	}
	tab := tableForm(pr.heatS+pr.baseCoolS, heat+cool, k.UncoverC, k.UncoverC)
	takes, limit, given := k.BaseS, fmt.Sprintf("cold spot %.0f C after %s; the shop by its %s", r.ColdC, quantity.FormatDuration(heat), by), false
	if a.Rate > 0 {
		shop, limit, given, tab = a.Rate, "rate as given", true, nil
		takes = float64(a.Bases*a.StackCoils) * t.m / a.Rate
	}
	meanC := steel.TempFromEnthalpy(f.MeanEnthalpy())
	t.step(JourneyStep{Name: "anneal bases", TakesS: takes, OutC: k.UncoverC, RateTH: shop * 3.6, Limit: limit, Given: given, Table: tab})
	return t.floor(c, meanC, od, width)
}

// floor cools the coil in still air until the temper mill may have it.
func (t *travel) floor(c *ColdSpec, meanC, od, width float64) error {
	pr, k := t.pr, &t.j.Anneal
	k.TakesC = c.Temper.Mill.MaxEntryC
	if k.TakesC <= 0 {
		k.TakesC = 50
	}
	air, err := annealing.RadialConductivity(annealing.Wrap{Strip: pr.Cold, Gap: c.Anneal.Gap, TempC: 100}, annealing.Atmosphere{Name: "air", Conductivity: airAcross, Film: 10})
	if err != nil {
		return t.stop("cooling floor", err)
	}
	// Even throughout at its mean: within a cover it was cooled from all faces alike.
	f, err := cooling.NewCoilField(cooling.Coil{Width: width, OD: od, ID: coldBore, RadialK: air, AmbientC: t.p.Spec.Ambient}, meanC, coilRadial, coilAxial)
	if err != nil {
		return t.stop("cooling floor", err)
	}
	wait := c.Anneal.Floor
	mark := func(at float64) { t.mark(at, f.MaxC(), t.h) }
	mark(0)
	at, next := 0.0, 0.0
	out := f.MaxC()
	for at < 10*wait && (at < wait || f.MaxC() > k.TakesC) {
		if at >= next && at < wait {
			mark(at)
			next += math.Max(600, wait/60)
		}
		was := f.MaxC()
		dt := f.Step()
		if now := f.MaxC(); was > k.TakesC && now <= k.TakesC {
			k.CoolEnough = at + dt*(was-k.TakesC)/(was-now)
		}
		if at < wait {
			out = f.MaxC()
		}
		at += dt
	}
	if meanC <= k.TakesC {
		k.CoolEnough = 0
	}
	k.FloorC = out
	t.mark(wait, out, t.h)
	limit := fmt.Sprintf("as given; below %.0f C after %s", k.TakesC, quantity.FormatDuration(k.CoolEnough))
	if k.CoolEnough > wait {
		limit = fmt.Sprintf("as given; too short: below %.0f C only after %s", k.TakesC, quantity.FormatDuration(k.CoolEnough))
	}
	t.step(JourneyStep{Name: "cooling floor", TakesS: wait, OutC: out, Limit: limit})
	return nil
}

// temper rolls the coil by a per cent or so.
func (t *travel) temper(c *ColdSpec) error {
	pr := t.pr
	width := t.j.ColdMill.WidthMM / 1e3
	m := &c.Temper.Mill
	length := t.j.ColdMill.StripM * (1 - c.Mill.Crop)
	// The floor gives time enough or its step says so; what is left of the heat does
	// not change the rolling.
	r, err := m.Coil(coldrolling.TemperStrip{Thickness: pr.Cold, Width: width, Length: length, Elongation: c.Temper.Elongation, TempC: math.Min(t.j.Anneal.FloorC, t.j.Anneal.TakesC)})
	if err != nil {
		return t.stop("temper mill", err)
	}
	k := &t.j.Temper
	*k = JourneyTemper{Elongation: c.Temper.Elongation, ThicknessMM: r.Thickness * 1e3, ForceMN: r.Force / 1e6, ForceShare: r.Force / m.MaxForce, TopMS: r.Top, RollS: r.Rolling, ChangeS: m.ChangeTime, LostT: r.Scrap / 1e3}
	takes, limit, given := r.Time, fmt.Sprintf("%.1f m/s; coil change %.0f s", r.Top, m.ChangeTime), false
	tab := tableForm(pr.temperS, takes, t.j.Anneal.FloorC, t.j.Anneal.FloorC)
	if c.Temper.Rate > 0 {
		takes, limit, given, tab = t.m/c.Temper.Rate, "rate as given", true, nil
	}
	mass := t.m
	t.mark(0, t.j.Anneal.FloorC, t.h)
	t.mark(0.5*takes, t.j.Anneal.FloorC, t.h)
	t.mark(0.5*takes, t.j.Anneal.FloorC, r.Thickness)
	t.mark(takes, t.j.Anneal.FloorC, r.Thickness)
	t.h = r.Thickness
	t.m -= r.Scrap
	t.step(JourneyStep{Name: "temper mill", TakesS: takes, OutC: t.j.Anneal.FloorC, RateTH: tonnesAnHour(mass, takes), Limit: limit, Given: given, Table: tab})
	return nil
}

// share is how much of a limit is used.
type share struct {
	limit string
	used  float64
}

// nearest is the limit of which the greatest share is used.
func nearest(shares ...share) (string, float64) {
	best := share{}
	for _, s := range shares {
		if s.used > best.used {
			best = s
		}
	}
	return best.limit, best.used
}
