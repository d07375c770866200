package works

import (
	"errors"
	"fmt"
	"math"

	"millrace/sim/steel/coldrolling"
	"millrace/sim/steel/hotrolling"
	"millrace/sim/steel/pickling"
)

// Journey is one slab of a product on its way from the mould to dispatch: as hot
// band, pickled, cold rolled or annealed and temper rolled.
// Every value is in the unit that its key names. The clock begins when the head of
// the slab freezes on at the top of the mould.
//
// It is computed with the full forms of the physics, not with the tables that a
// run reads: conduction through the thickness in yard, furnace and coil, Sims's
// roll gap, both ends of the bar. Where a run uses a table, the step shows what
// the table would have said of the same stock. Three things are simpler than life
// here too: a slab enters the furnace as hot throughout as its mean; rolling takes
// the slab's nominal sizes, the scale being taken off its mass only; and between
// liquidus and cut the strand's temperature is not computed.
type Journey struct {
	Works       string  `json:"works"`
	Invented    bool    `json:"invented"`
	Product     string  `json:"product"`
	Grade       string  `json:"grade"`
	WidthMM     float64 `json:"width_mm"`
	SlabMM      float64 `json:"slab_thickness_mm"`
	SlabM       float64 `json:"slab_length_m"`
	ThicknessMM float64 `json:"thickness_mm"`
	SlabT       float64 `json:"slab_t"`
	CoilT       float64 `json:"coil_t"`    // 0 when the slab does not come so far
	TotalS      float64 `json:"total_s"`   // to the end of the last step
	ReadyFor    string  `json:"ready_for"` // dispatch; pickling where the works ends there
	Narrowest   string  `json:"narrowest"` // step with the least rate for this product alone
	NarrowestTH float64 `json:"narrowest_t_h"`
	MixLimit    string  `json:"mix_limit"` // the works' bottleneck with its whole mix, sold out
	MixTH       float64 `json:"mix_slabs_t_h"`

	Steps   []JourneyStep  `json:"steps"`
	Caster  JourneyCaster  `json:"caster"`
	Yard    JourneyYard    `json:"yard"`
	Furnace JourneyFurnace `json:"furnace"`
	Descale JourneyDescale `json:"descaling"`
	Passes  []JourneyPass  `json:"passes"`
	Rough   JourneyRough   `json:"roughing"`
	Stands  []JourneyStand `json:"stands"`
	Finish  JourneyFinish  `json:"finishing"`
	RunOut  JourneyRunOut  `json:"run_out"`
	Coil    JourneyCoil    `json:"coil"`

	Pickle     JourneyPickle      `json:"pickling"`
	ColdMill   JourneyColdMill    `json:"cold_rolling"`
	ColdStands []JourneyColdStand `json:"cold_stands,omitempty"`
	Anneal     JourneyAnneal      `json:"annealing"`
	Temper     JourneyTemper      `json:"temper_rolling"`

	FinalT float64      `json:"final_t"` // what is dispatched of the slab; 0 when it does not come so far
	Tight  JourneyTight `json:"tightest"`

	Broken *JourneyBroken `json:"broken,omitempty"`
	Trace  []JourneyPoint `json:"trace"`
}

// JourneyStep is one stretch of the way.
type JourneyStep struct {
	Name        string     `json:"step"`
	BeginsS     float64    `json:"begins_s"`
	TakesS      float64    `json:"takes_s"`
	OutC        float64    `json:"out_c"`        // mean over the section; the hottest place of a coil
	ThicknessMM float64    `json:"thickness_mm"` // as it leaves
	MassT       float64    `json:"mass_t"`       // as it leaves
	RateTH      float64    `json:"rate_t_h"`     // all units of the kind, this product alone
	Limit       string     `json:"limit"`        // what sets time or rate
	NotComputed bool       `json:"temperature_not_computed,omitempty"`
	Given       bool       `json:"rate_as_given"` // a measured rate from the works file, not physics
	Table       *TableForm `json:"table,omitempty"`
}

// TableForm is what the table that a run reads says of the same stock, and how far
// that is from the full form (table less full). Times are: yard, age at the charge
// temperature; furnace, residence needed to the discharge temperature; rougher, first
// bite to last exit; train, rolling alone; coil yard, stripping to cool. In a run the
// head's way into the train and the tail's to the coiler lie in the gap between bars.
// A test holds the tables within 6 % and 15 C in the yard, 4 % and 8 C in the
// furnace, 1 % and 1 C in the rougher, 2 s and 6 C in the train, 2 % for coils that
// cool, are pickled, annealed or tempered, and 1 % in the cold mill.
type TableForm struct {
	TakesS   float64 `json:"takes_s"`
	FullS    float64 `json:"full_s"` // the full form of the same time
	OutC     float64 `json:"out_c"`
	FullC    float64 `json:"full_c"`
	TimeOffS float64 `json:"time_off_s"`
	TempOffC float64 `json:"temp_off_c"`
	Beyond   bool    `json:"beyond_stated,omitempty"` // further off than is stated for the step
}

// stated is how far the table of a step may be off: a share of the time, seconds,
// kelvin; what is zero is not stated.
type stated struct{ share, seconds, kelvin float64 }

// tableErrors are the bounds that TableForm tells of, by step.
var tableErrors = map[string]stated{
	"slab yard":       {share: 0.06, kelvin: 15},
	"furnace":         {share: 0.04, kelvin: 8},
	"descaler":        {kelvin: 0.5},
	"rougher":         {share: 0.01, kelvin: 1},
	"delay table":     {kelvin: 0.5},
	"finishing train": {seconds: 2, kelvin: 6},
	"coil yard":       {share: 0.02},
	"pickle line":     {share: 0.02},
	"cold mill":       {share: 0.01},
	"anneal bases":    {share: 0.02},
	"temper mill":     {share: 0.02},
}

// beyond says whether the table is further off than what is stated.
func (f *TableForm) beyond(s stated) bool {
	off := math.Abs(f.TimeOffS)
	return s.share > 0 && off > s.share*f.FullS || s.seconds > 0 && off > s.seconds || s.kelvin > 0 && math.Abs(f.TempOffC) > s.kelvin
}

func tableForm(takes, full, outC, fullC float64) *TableForm {
	return &TableForm{TakesS: takes, FullS: full, OutC: outC, FullC: fullC, TimeOffS: takes - full, TempOffC: outC - fullC}
}

// JourneyCaster is the casting of the slab.
type JourneyCaster struct {
	Name         string  `json:"name"`
	SpeedMS      float64 `json:"speed_m_s"`
	SpeedMMin    float64 `json:"speed_m_min"`
	SolidMS      float64 `json:"solidification_limit_m_s"` // the solid length would reach the last roll
	MouldMS      float64 `json:"mould_limit_m_s"`          // the shell at the mould exit would be the least
	WantedMS     float64 `json:"wanted_m_s"`               // the fastest that people ask for
	MostMS       float64 `json:"most_m_s"`                 // the least of the three
	MostBy       string  `json:"most_by"`
	MouldShellMM float64 `json:"mould_shell_mm"`
	LeastShellMM float64 `json:"least_shell_mm"`
	SolidM       float64 `json:"metallurgical_length_m"`
	SupportedM   float64 `json:"supported_length_m"`
	MachineS     float64 `json:"in_machine_s"` // mould to last roll, one section
	CutS         float64 `json:"cut_s"`        // for the length of the slab to pass the torch
	HeatT        float64 `json:"heat_t"`
	CastS        float64 `json:"ladle_cast_s"`
	LiquidusC    float64 `json:"liquidus_c"`
	AboveC       float64 `json:"ladle_above_liquidus_c"`       // when the ladle is opened, so that its last steel runs
	AboveFirstC  float64 `json:"first_ladle_above_liquidus_c"` // on a new tundish
}

// JourneyYard is the cooling of the slab in its pile.
type JourneyYard struct {
	Pile    int     `json:"slabs_in_pile"`
	AgeS    float64 `json:"age_s"` // from the cut to the hearth
	Normal  bool    `json:"normal_age"`
	ChargeC float64 `json:"charge_c"`
	CentreC float64 `json:"centre_c"` // middle and faces of the whole pile
	FaceC   float64 `json:"face_c"`
}

// JourneyFurnace is the reheating.
type JourneyFurnace struct {
	Name       string  `json:"name"`
	Places     int     `json:"places"`
	ResidenceS float64 `json:"residence_s"`
	PaceS      float64 `json:"residence_at_normal_pace_s"`
	NeededS    float64 `json:"residence_needed_s"` // walked evenly, to just reach the discharge temperature
	ToHeatS    float64 `json:"to_heat_s"`          // on this walk, until the mean is at discharge temperature
	ChargeC    float64 `json:"charge_c"`
	AskedC     float64 `json:"discharge_asked_c"`
	MeanC      float64 `json:"mean_c"`
	CentreC    float64 `json:"centre_c"`
	SurfaceC   float64 `json:"surface_c"`
	UnevenC    float64 `json:"surface_above_centre_c"`
	ScaleMM    float64 `json:"scale_mm"` // on each face
	LossShare  float64 `json:"yield_loss_share"`
	SteelGJT   float64 `json:"into_steel_gj_t"`
	FuelGJT    float64 `json:"fuel_gj_t"`
	CO2KgT     float64 `json:"co2_kg_t"`
}

// JourneyDescale is the way from the furnace to the first bite.
type JourneyDescale struct {
	AirC   float64 `json:"fall_in_air_c"`
	WaterC float64 `json:"fall_under_water_c"` // all headers, conduction into a half space
}

// JourneyPass is one roughing pass.
type JourneyPass struct {
	ThicknessMM float64 `json:"thickness_mm"` // after the pass
	LengthM     float64 `json:"length_m"`
	TakesS      float64 `json:"takes_s"`
	ForceMN     float64 `json:"force_mn"`
	ForceShare  float64 `json:"force_share"`
	TorqueMNM   float64 `json:"torque_mn_m"`
	TorqueShare float64 `json:"torque_share"` // of the torque up to base speed
	PowerMW     float64 `json:"power_mw"`     // of the drive
	PowerShare  float64 `json:"power_share"`
	SpeedMS     float64 `json:"speed_m_s"`
	InC         float64 `json:"in_c"` // middle of the length
	OutC        float64 `json:"out_c"`
	Limit       string  `json:"limit"` // what the draft is nearest to
	LimitShare  float64 `json:"limit_share"`
}

// JourneyRough is the roughing as a whole.
type JourneyRough struct {
	BarMM   float64 `json:"bar_mm"`
	BarM    float64 `json:"bar_m"`
	HeadC   float64 `json:"head_c"`
	TailC   float64 `json:"tail_c"`
	DriveGJ float64 `json:"drive_gj"`
	KWhT    float64 `json:"drive_kwh_t"`
}

// JourneyStand is one finishing stand; loads are the greatest of head, body and tail.
type JourneyStand struct {
	ThicknessMM float64 `json:"thickness_mm"` // leaving
	ForceMN     float64 `json:"force_mn"`
	ForceShare  float64 `json:"force_share"`
	TorqueShare float64 `json:"torque_share,omitempty"` // where the stand has a limit
	PowerMW     float64 `json:"power_mw"`
	PowerShare  float64 `json:"power_share"`
	SpeedMS     float64 `json:"speed_m_s"` // rolls, body
	SpeedShare  float64 `json:"speed_share"`
	BiteShare   float64 `json:"bite_share"`
	HeadC       float64 `json:"head_c"`
	TailC       float64 `json:"tail_c"`
	Limit       string  `json:"limit"` // the greatest of the shares
	LimitShare  float64 `json:"limit_share"`
}

// JourneyFinish is the finishing as a whole.
type JourneyFinish struct {
	EntryHeadC  float64 `json:"entry_head_c"`
	EntryTailC  float64 `json:"entry_tail_c"`
	ThreadInS   float64 `json:"thread_in_s"` // head from the delay table to the last stand
	RollS       float64 `json:"roll_s"`      // head out to tail out of the last stand
	ThreadMS    float64 `json:"thread_m_s"`
	TopMS       float64 `json:"top_m_s"`
	TailMS      float64 `json:"tail_m_s"`
	ThreadLimit string  `json:"thread_limit"`
	TopLimit    string  `json:"top_limit"`
	HeadC       float64 `json:"head_c"`
	BodyC       float64 `json:"body_c"`
	TailC       float64 `json:"tail_c"`
	AskedLowC   float64 `json:"asked_low_c"`
	AskedHighC  float64 `json:"asked_high_c"`
	StripM      float64 `json:"strip_m"`
	KWhT        float64 `json:"drive_kwh_t"`
}

// JourneyRunOut is the water cooling of the body of the strip.
type JourneyRunOut struct {
	Banks       int     `json:"banks"`
	Fitted      int     `json:"banks_fitted"`
	WaterOnlyC  float64 `json:"water_only_c"` // what the water alone would leave
	CoilC       float64 `json:"coiling_c"`    // with the air on the dry part of the table
	AskedC      float64 `json:"asked_c"`
	MostMS      float64 `json:"most_m_s"` // strip speed that all banks can take
	TailTravelS float64 `json:"tail_travel_s"`
}

// JourneyCoil is the coil and its cooling.
type JourneyCoil struct {
	MassT    float64 `json:"mass_t"`
	OuterMM  float64 `json:"outer_diameter_mm"`
	BoreMM   float64 `json:"bore_mm"`
	CoolS    float64 `json:"cool_s"` // from stripping
	AimC     float64 `json:"aim_c"`
	MassLost float64 `json:"lost_t"` // scale and crops
}

// JourneyBroken says where the way ends, by how much a limit is broken and what would fit.
type JourneyBroken struct {
	Step      string  `json:"step"`
	Limit     string  `json:"limit"`
	At        int     `json:"pass_or_stand,omitempty"`
	ValueSI   float64 `json:"value_si"`
	AllowedSI float64 `json:"allowed_si"`
	OverShare float64 `json:"over_share"` // value over allowed, less one
	Suggest   string  `json:"would_fit"`
	Text      string  `json:"text"`
}

// JourneyTight is the limit of which the greatest share is used, among the loads of
// rolling passes and stands.
type JourneyTight struct {
	Step  string  `json:"step"`
	At    int     `json:"pass_or_stand,omitempty"`
	Limit string  `json:"limit"`
	Share float64 `json:"share"`
}

func (j *Journey) tightest() JourneyTight {
	var b JourneyTight
	see := func(step string, at int, limit string, used float64) {
		if used > b.Share {
			b = JourneyTight{step, at, limit, used}
		}
	}
	for i := range j.Passes {
		see("rougher", i+1, j.Passes[i].Limit, j.Passes[i].LimitShare)
	}
	for i := range j.Stands {
		see("finishing train", i+1, j.Stands[i].Limit, j.Stands[i].LimitShare)
	}
	for i := range j.ColdStands {
		see("cold mill", i+1, j.ColdStands[i].Limit, j.ColdStands[i].LimitShare)
	}
	see("temper mill", 0, coldrolling.LimitForce, j.Temper.ForceShare)
	return b
}

// JourneyPoint is one point of the curves of temperature and thickness.
type JourneyPoint struct {
	Step        int     `json:"step"` // index in Steps
	AtS         float64 `json:"at_s"`
	TempC       float64 `json:"temp_c"`
	SurfaceC    float64 `json:"surface_c,omitempty"`
	CentreC     float64 `json:"centre_c,omitempty"`
	ThicknessMM float64 `json:"thickness_mm"`
}

// travel is one journey while it is made.
type travel struct {
	p   *Plant
	pr  *product
	j   *Journey
	now float64 // s
	m   float64 // kg
	h   float64 // m

	bare bool // there are no tables to compare with
}

// ProductNumber is the index of the product of that name.
func (p *Plant) ProductNumber(name string) (int, bool) {
	for i := range p.products {
		if p.products[i].Name == name {
			return i, true
		}
	}
	return 0, false
}

// Journey follows one slab of a product, given by number, through the works.
// The slab is charged with a mean of chargeC (C, from one kelvin above the air to
// the temperature at the cut); NaN stands for what the yard's normal age leaves.
//
// Where the stock breaks a limit the journey up to there is returned with an
// error that wraps the [hotrolling.LimitError] and names the step.
func (p *Plant) Journey(product int, chargeC float64) (Journey, error) {
	return p.journey(product, chargeC, true)
}

// journey is Journey, with what a run's tables say or without.
func (p *Plant) journey(product int, chargeC float64, tables bool) (Journey, error) {
	if product < 0 || product >= len(p.products) {
		return Journey{}, fmt.Errorf("journey: product %d, the works has 0 to %d", product, len(p.products)-1)
	}
	s := &p.Spec
	pr := &p.products[product]
	j := Journey{
		Works: s.Name, Invented: s.Invented, Product: pr.Name, Grade: s.Grades[pr.Grade].Name, WidthMM: pr.Width * 1e3,
		SlabMM: s.SlabThick * 1e3, SlabM: s.SlabLen, ThicknessMM: pr.Thickness * 1e3, SlabT: float64(pr.slabMass) / 1e6, ReadyFor: "dispatch",
	}
	if pr.Pickled {
		j.ReadyFor = "pickling"
	}
	t := travel{p: p, pr: pr, j: &j, bare: !tables, m: float64(pr.slabMass) / grams, h: s.SlabThick}
	t.cast()
	err := t.lie(chargeC)
	if err == nil {
		err = t.reheat()
	}
	if err == nil {
		err = t.roll()
	}
	if err == nil {
		err = t.coolCoil()
	}
	if err == nil {
		err = t.cold()
	}
	if err == nil {
		j.FinalT = t.m / 1e3
	}
	j.TotalS = t.now
	j.Tight = j.tightest()
	mix := p.Capacity()
	j.MixLimit, j.MixTH = mix.Limits[0], mix.SlabTH
	for i := range j.Steps {
		if r := j.Steps[i].RateTH; r > 0 && (j.NarrowestTH == 0 || r < j.NarrowestTH) {
			j.Narrowest, j.NarrowestTH = j.Steps[i].Name, r
		}
	}
	// Curves of a step that was not finished have no place to be drawn.
	for n := len(j.Trace); n > 0 && j.Trace[n-1].Step >= len(j.Steps); n-- {
		j.Trace = j.Trace[:n-1]
	}
	return j, err
}

// step ends a stretch of the way.
func (t *travel) step(st JourneyStep) {
	st.BeginsS = t.now
	st.ThicknessMM = t.h * 1e3
	st.MassT = t.m / 1e3
	if t.bare {
		st.Table = nil
	}
	if st.Table != nil {
		name := st.Name
		if name == t.j.Furnace.Name {
			name = "furnace"
		}
		st.Table.Beyond = st.Table.beyond(tableErrors[name])
	}
	t.now += st.TakesS
	t.j.Steps = append(t.j.Steps, st)
}

// mark puts a point of the present step, some seconds after its beginning, on the curves.
func (t *travel) mark(after, tempC, h float64) {
	t.j.Trace = append(t.j.Trace, JourneyPoint{Step: len(t.j.Steps), AtS: t.now + after, TempC: tempC, ThicknessMM: h * 1e3})
}

// stop ends the journey where a limit is broken.
func (t *travel) stop(step string, err error) error {
	b := &JourneyBroken{Step: step, Text: err.Error()}
	var hot *hotrolling.LimitError
	var acid *pickling.LimitError
	var cold *coldrolling.LimitError
	switch {
	case errors.As(err, &hot):
		b.Limit, b.At, b.ValueSI, b.AllowedSI, b.Suggest = hot.Limit, hot.Pass, finite(hot.Value), finite(hot.Allowed), hot.Suggest
	case errors.As(err, &acid):
		b.Limit, b.ValueSI, b.AllowedSI, b.Suggest = acid.Limit, finite(acid.Value), finite(acid.Allowed), acid.Suggest
	case errors.As(err, &cold):
		b.Limit, b.At, b.ValueSI, b.AllowedSI, b.Suggest = cold.Limit, cold.Stand, finite(cold.Value), finite(cold.Allowed), cold.Suggest
	}
	if b.AllowedSI != 0 {
		b.OverShare = b.ValueSI/b.AllowedSI - 1
	}
	t.j.Broken = b
	return fmt.Errorf("%s: %w", step, err)
}

// tonnesAnHour is the rate at which pieces of a mass (kg) pass one every so many seconds.
func tonnesAnHour(kg, seconds float64) float64 {
	if !(seconds > 0) || math.IsInf(seconds, 0) {
		return 0
	}
	return kg / seconds * 3.6
}

// finite is v, or 0 for what JSON cannot say.
func finite(v float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	return v
}
