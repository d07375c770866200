package works

import "millrace/sim/chance"

// UpsetKind is a kind of upset the works understands.
type UpsetKind uint8

// The kinds of upset.
const (
	SimpleCobble UpsetKind = iota
	BadCobble
	StandWreck
	RollChangeForced
	FurnaceTrip
	FurnaceJam
	SlabCraneOut
	CasterBreakout
	NozzleClogging
	CoilerDown
	DescalePumpLost
	LateHeat
	ShortStop
	WeldBreak
	LooperExhausted
	TankBreak
	AcidOut
	ColdMillBreak
	BellCraneOut
	GasLost
	DispatchBlocked
	SlowDown
	SequenceBroken
	SupplyLost
	NUpsetKinds
)

// Clock says what wears towards an upset.
type Clock uint8

// The clocks of failure.
const (
	ByOperating Clock = iota // the unit's operating time
	ByCalendar               // the calendar
	ByUse                    // every piece draws once
)

// KindInfo describes a kind of upset.
type KindInfo struct {
	Name    string
	On      string // what sort of unit it happens to
	What    string // one line for the manager
	Caution string // shown wherever the upset is shown
	Clock   Clock
}

// Cautions are planning notes, not procedures: the sentence that ends every one
// says who decides.
const defer_ = " Site rules, local codes, licensed practice decide."

// Kinds lists the kinds of upset in order of UpsetKind. Names are the trade's
// (common practice, no source).
var Kinds = [NUpsetKinds]KindInfo{
	{"simple cobble", "finishing train", "the strip misses the next stand and is cut out within minutes; one strip is lost",
		"Hot strip whips and holds tension: stop, isolate drives and loopers, prove it first." + defer_, ByUse},
	{"bad cobble", "finishing train", "the strip wraps or folds through stands; the strip and the bars behind it are lost, rolls are changed",
		"Hot, tensioned strip between stands: isolate and lock every drive, release stored energy, planned lift only." + defer_, ByUse},
	{"stand wreck", "finishing train", "roll, chock, spindle or looper is broken; the bars in the train are lost, hours to days",
		"Isolate, lock, tag drives, hydraulics, water; tensioned strip and hung loads kill; removal is a non-routine lift." + defer_, ByOperating},
	{"roll change forced", "finishing train", "a spalled or marked roll comes out before its time; the last coils are downgraded",
		"Rolls and carriages move under stored energy: isolate and lock first; keep clear of carriage and crane." + defer_, ByOperating},
	{"furnace trip", "furnace", "burners, fan or a zone trips; the furnace loses temperature and its pace",
		"Fuel gas and carbon monoxide: gas test, purge before relighting, follow the burner interlocks." + defer_, ByCalendar},
	{"furnace beam jam", "furnace", "the walking beam stands; nothing goes in or out, the hearth soaks and scales",
		"Hot furnace, moving beam, gas: isolate and lock the beam hydraulics, test for gas, no entry below hot slabs." + defer_, ByCalendar},
	{"slab crane out", "slab cranes", "one slab crane stands; unloading, charging and digging share the rest",
		"No persons under loads; exclusion zone for a hung load; electrical work by authorised persons only." + defer_, ByCalendar},
	{"caster breakout", "caster", "liquid steel breaks through the shell; the strand is lost, slabs and steel with it",
		"Liquid steel and water explode: evacuate the casting floor and the chamber, no water on the spill." + defer_, ByCalendar},
	{"nozzle clogging", "caster", "the nozzle closes; the caster slows until it is changed, a slab or two are downgraded",
		"Liquid steel above persons: casting floor clearances and face protection; dry tools only." + defer_, ByCalendar},
	{"coiler down", "coiler", "a miss-threaded or jammed coiler; the coil is lost, the others carry on",
		"Hot strip under tension round a mandrel: isolate and lock, release tension before you cut." + defer_, ByOperating},
	{"descaling pump lost", "descaler", "too little water on the slab; surface products are downgraded and the descaler runs slower",
		"Water at 150 to 250 bar: prove zero energy before hands go near a header." + defer_, ByOperating},
	{"late heat", "steel shop", "a heat comes late from treatment",
		"Ladles of liquid steel are moved and heated: no persons below, dry tools, keep the hurry out of the ladle bay." + defer_, ByUse},
	{"short stop", "a unit", "a trip that is reset in minutes; nothing is lost",
		"Isolate, lock, tag and prove before anybody enters; restart needs a headcount: somebody may be in the machine." + defer_, ByOperating},
	{"weld break", "pickle line", "a weld breaks or the welder stands; the acid runs on from the entry looper while it lasts",
		"Strip under tension, looper cars, acid fume: release tension, lock the looper, no entry below strip." + defer_, ByOperating},
	{"looper exhausted", "pickle line", "the entry looper is empty; the strip stands in acid and is lost after minutes",
		"Acid and hydrogen in the tanks: fans proven, covers shut, neutral plan ready, no hands near moving strip." + defer_, ByOperating},
	{"strip break in the tanks", "pickle line", "the strip breaks in the tanks; acid is dropped and the line rethreaded",
		"Hydrochloric acid and fume: drop the acid, prove exhaust and analysis, suits and eyewash; permit to enter." + defer_, ByOperating},
	{"acid out", "pickle line", "regeneration is off or no fresh acid comes; the line slows",
		"Acid lines and regeneration: isolate, drain and prove before a flange is opened." + defer_, ByCalendar},
	{"cold-mill break", "cold mill", "the strip breaks in the tandem mill; rolls are marked and changed",
		"Tensioned strip, rolls, emulsion: stop, isolate, release tension; gas flooding evacuates people first." + defer_, ByOperating},
	{"bell crane out", "bell cranes", "a crane of the annealing shop stands; bells and coolers wait",
		"Hot bells hang from cranes: exclusion zone, nobody below, planned lift by competent people." + defer_, ByCalendar},
	{"protective gas lost", "anneal bases", "hydrogen or nitrogen fails; heating stops under an inert purge, nothing is started",
		"Hydrogen burns unseen, nitrogen suffocates: no base is opened before the purge is proven by analysis." + defer_, ByCalendar},
	{"dispatch blocked", "dispatch", "rail, road or port is shut; the finished store fills",
		"Vehicles and cranes: nobody between wagons, wheels blocked, loads secured." + defer_, ByCalendar},
	{"slow-down", "a unit", "the unit goes on at a lower pace; where it says so, it stands when that has lasted too long",
		"A unit that creeps is not safe to enter: isolate, lock, tag and prove first; guards stay shut." + defer_, ByOperating},
	{"sequence broken", "caster", "steel stops; the ladle is poured back, the strands are drawn out, the caster is turned round",
		"Liquid steel, and water near it: keep clear of tundish and strand until released; dry tools only." + defer_, ByCalendar},
	{"supply lost", "a unit", "power, water or air fails: the units stand at once and come back in stages",
		"Dark plant, hot metal, stored energy, stopped fans: headcount, emergency water first, nobody restarts unasked." + defer_, ByCalendar},
}

// Ruin says which pieces an upset costs.
type Ruin uint8

// What is ruined, as bits.
const (
	RuinPiece  Ruin = 1 << iota // the piece in the unit
	RuinBehind                  // bars between furnace and train
	RuinRolls                   // rolls must be changed before rolling goes on
	RuinLast                    // the last pieces made are downgraded
	RuinHeat                    // the heat in the open ladle
)

// ToldSpec is what people are told about an upset, and when.
type ToldSpec struct {
	Given            bool // Low, Likely, Bad are given; otherwise they follow the truth's law and Bias
	After            float64
	Low, Likely, Bad float64 // s from the start of the stop
	Bias             float64 // told likely over true median, 1 = honest
	NextWord         float64 // s between words, 0 = no more
	CauseFound       float64 // s after which the word is sharp, 0 = never
}

// UpsetSpec is an upset that will happen (scripted) or may happen (background).
type UpsetSpec struct {
	Kind  UpsetKind
	Name  string
	Unit  string
	With  []string // other units that it hits at the same time and for as long
	At    float64  // s after the start, scripted only
	Every float64  // s of the kind's clock between upsets, or pieces a upset by use; background only
	// Lasts is how long it lasts, s. Where a works knows what ends such a stop at the
	// latest (a hired crane, another road), the law is cut there: see chance.Law.Cut.
	Lasts chance.Law
	Told  ToldSpec
	Ruins Ruin
	// ComesBack is the pace after the stop, for BackFor seconds.
	ComesBack, BackFor float64
	Slow               float64 // pace or speed while it lasts, for kinds that slow
	StopsAfter         float64 // s after which a slow-down becomes a stop, 0 = never
	Downgrades         int     // pieces downgraded
	Elapsed            float64 // s it has already lasted when the run starts (howlong)
	Scripted           bool
	Source, Note       string
	// Caution, when given, stands for the kind's: a short stop of a shear is another
	// danger than one of a conveyor.
	Caution string
}

// Title is what the upset is called.
func (s *UpsetSpec) Title() string {
	if s.Name != "" {
		return s.Name
	}
	return Kinds[s.Kind].Name
}

// Warning is the caution that is shown with the upset.
func (s *UpsetSpec) Warning() string {
	if s.Caution != "" {
		return s.Caution + defer_
	}
	return Kinds[s.Kind].Caution
}

// slows is the pace that the upset leaves while it lasts, 1 for one that does not slow.
func (s *UpsetSpec) slows() float64 {
	switch s.Kind {
	case NozzleClogging, DescalePumpLost, AcidOut, SlowDown:
		if s.Slow > 0 {
			return s.Slow
		}
		return 0.5 // one that is thrown in may not say
	}
	return 1
}

// kindRuins says in words what a kind costs beside time; the upset's own ruins and
// downgraded pieces come on top.
var kindRuins = [NUpsetKinds]string{
	SimpleCobble: "the strip in the train", BadCobble: "the strip, the bars behind it, rolls", StandWreck: "the strip, as written bars and rolls",
	RollChangeForced: "the last coils, downgraded", FurnaceTrip: "heat and pace", FurnaceJam: "steel as scale; nothing comes out",
	SlabCraneOut: "lifts", CasterBreakout: "what is in strands and tundish; the ladle is poured back", NozzleClogging: "casting speed; slabs downgraded",
	CoilerDown: "the coil being wound", DescalePumpLost: "surface products, downgraded", LateHeat: "casting speed, at worst the sequence",
	ShortStop: "as written; a caster its sequence, a base its heating so far", WeldBreak: "nothing while the looper lasts", LooperExhausted: "the strip in the acid after minutes",
	TankBreak: "200 m of strip", AcidOut: "pace", ColdMillBreak: "a twenty-fifth of the coil, rolls", BellCraneOut: "lifts",
	GasLost: "the heating hours; every base is purged again", DispatchBlocked: "slots",
	SlowDown: "pace", SequenceBroken: "what is left in the tundish, crops; the ladle is poured back, or as written lost",
	SupplyLost: "as written; the casters' sequences",
}

// Ruins says in words what the kind costs beside time.
func (k UpsetKind) Ruins() string { return kindRuins[k] }

// String is how people call the clock.
func (c Clock) String() string {
	switch c {
	case ByCalendar:
		return "calendar"
	case ByUse:
		return "pieces"
	}
	return "operating"
}

// RuinWords are the words for what an upset costs, in the order of the bits of Ruin.
var RuinWords = [...]string{"strip in the train", "bars behind it", "rolls", "last pieces", "the heat"}
