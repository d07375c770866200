package works

import (
	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/flow"
	"millrace/sim/record"
)

// Kinds of event beside flow's own.
const (
	evWake        = flow.KindCaller + iota // give unit Unit a turn
	evTick                                 // slow, continuous stores are brought up to date
	evTap                                  // heat A is blown
	evTreated                              // heat A is ready for the caster
	evCold                                 // heat A is at the last moment it may be opened
	evReheat                               // heat A leaves the reheat stand
	evOpen                                 // caster Unit may open its next ladle
	evLiquid                               // caster Unit: ladle empty, or tundish at its least
	evCut                                  // caster Unit cuts slabs
	evTurned                               // caster Unit is ready for a new sequence
	evReady                                // furnace Unit: the slab at the door is at heat
	evStep                                 // furnace Unit: set-back A takes effect
	evReject                               // the bar on the delay table is at its limit
	evCool                                 // coil A is cool
	evRolls                                // roll change is done
	evBegin                                // upset A begins
	evWord                                 // word on upset A
	evEnd                                  // upset A ends
	evBack                                 // the slow return from upset A ends
	evPlanned                              // planned stop A begins
	evPlanEnd                              // planned stop A ends
	evHearth                               // people look at the furnaces during a stop
	evBase                                 // base A has heated, cooled or been purged
	evFloor                                // annealed coil A is cool
	evSlot                                 // a dispatch slot
	evLooper                               // the entry looper is empty
	evOverpickled                          // strip has stood in the acid too long
	evOutside                              // a coil is back from outside pickling
	evColdRolls                            // the cold mill has new rolls
	evGivesUp                              // slow-down A has lasted too long: the unit stands
	evAsk                                  // the director asked to be asked
)

// Stage says where a slab, bar or coil is.
type Stage uint8

// The stages of a piece after the heat.
const (
	stNone Stage = iota
	stTable
	stYard
	stLiftIn
	stLiftOut
	stOverflow
	stCharge
	stFurnace
	stDescaler
	stRougher
	stDelay
	stShear
	stTrain
	stCoiler
	stConveyor
	stCooling
	stCool
	stTaken
	stPickle
	stOutside
	stPickled
	stColdMill
	stHard
	stBase
	stFloor
	stReady
	stTemper
	stFinished
)

const (
	flagSecondary = 1 << iota
	flagReturned
	flagForced // a coil that fans or water cooled
)

// Piece is a slab, the bar it is rolled to, or the coil it becomes.
type Piece struct {
	H, KP  float64       // J/kg mean; m2 of scale constant
	HIn    float64       // J/kg as it was charged
	In     calendar.Time // when it was charged
	At     calendar.Time // time of H and KP; later the time it arrived where it is
	CoolAt calendar.Time // when a coil is cool
	cool   calendar.Handle
	Born   calendar.Time // cut at the caster
	Mass   int64         // g
	Name   int32
	Slot   int32 // hearth place, counted from the charge end of time
	Run    int32 // programme it was charged for
	TC     float32
	Prod   int16
	Heat   int16
	Stage  Stage
	Flag   uint8
	Zone   uint8
	On     uint8 // caster, furnace or coiler number
}

// heatStage says where a heat is.
type heatStage uint8

const (
	htNone heatStage = iota
	htBlowing
	htNoLadle // blown, no ladle free
	htTreating
	htWaiting
	htReheat
	htOpen
)

const maxHeats = 24

// Heat is a ladle of steel from the start of the blow to the close of the ladle.
type Heat struct {
	Mass   int64
	TC     float64 // C at At
	At     calendar.Time
	Ready  calendar.Time // when it is or was ready for the caster
	In     calendar.Time // when it went to the reheat stand
	Held   calendar.Time // time spent there
	cold   calendar.Handle
	event  calendar.Handle
	No     int32
	Prod   int16
	Caster int8
	Stage  heatStage
	First  bool // first of its sequence
	Hold   bool // a plan holds it at the reheat stand
}

type phase uint8

const (
	phIdle phase = iota
	phCasting
	phEmptying
	phTurn
	phDown
	phMaint
)

// segment is a length of strand of one product, per strand, from the torch back.
type segment struct {
	Length float64 // m
	Mass   int64   // g of all strands
	Prod   int16
}

const maxSegments = 8

// Caster is the state of one caster.
type Caster struct {
	T        calendar.Time // time up to which the strand is advanced
	Speed    float64       // m/s now
	Aim      float64       // m/s ordered
	Cap      float64       // factor while something slows it
	Liquid   int64         // g in tundish and open ladle
	Strand   float64       // m from meniscus to the end of what was cast, per strand
	Head     float64       // m cast since the last cut beyond the machine, per strand
	Seg      [maxSegments]segment
	Trim     int64 // g of taper to book at the next cut
	cut, liq calendar.Handle
	open     calendar.Handle
	Table    flow.List
	Until    calendar.Time // end of a turnaround or stop, where known
	SeqNo    int32
	Cuts     int32 // slabs cut so far
	Noted    int32 // speed noted last, mm/min
	Heats    int32 // heats of this caster so far
	Carry    float64
	SeqHeats int16 // heats opened or committed in the present sequence
	NSeg     int8
	Open     int8 // heat slot, -1
	Phase    phase
	Strands  int8
	Prod     int16
	LastProd int16 // of the last committed heat
	EndAfter bool  // the sequence ends when the open ladle is empty
	Stretch  bool
	Stuck    bool
	Closed   bool // no new heats are planned for it
	Maint    bool // a planned stop waits for the end of the sequence
	Holds    int8 // upsets that keep it from casting
	Broken   int8 // breakouts under repair
	First    bool // the tundish is new
}

// Furnace is the state of one furnace.
type Furnace struct {
	Row      flow.List
	Table    flow.List
	Walk     int32 // hearth place (absolute) that stands at the door
	Tail     int32 // absolute place of the slab charged last
	Open     int32 // first place that the last walk opened at the charge end
	Border   [maxZones]int32
	ready    calendar.Handle
	step     calendar.Handle
	StepAt   calendar.Time // when the step of recovery that is under way is complete
	Step     uint8         // set-back in force
	Want     uint8
	Trips    int8 // upsets that hold its gas down
	Jams     int8
	DoorWait bool
	Maint    bool          // a planned stop waits until it is empty
	Shut     bool          // and has begun
	Until    calendar.Time // end of the planned stop that has begun
	Fuel     float64       // J since the last tick
	Wall     calendar.Time
}

// job is what a crane is doing.
type job struct {
	Kind   uint8
	On     uint8
	P0, P1 int32
}

const (
	jobNone = iota
	jobUnload
	jobCharge
)

// Upset is one upset of this run.
type Upset struct {
	Began, Ends      calendar.Time // Ends is the truth
	Low, Likely, Bad calendar.Time // told ends
	Word             calendar.Time // next word
	FirstWord        calendar.Time
	Heard            calendar.Time // last word
	event, word      calendar.Handle
	Spec             int32
	No               int32 // how many of this kind on this unit before
	Unit             int16
	Active           bool
	Told             bool
	Found            bool
	Dead             bool // turned into something else
	Part             bool // of upset Main, which hits several units
	Stands           bool // a slow-down that has become a stop
	Main             int32
}

// ramp is the slow return of a unit; Pace 0 for none.
type ramp struct {
	Pace  float64
	Until calendar.Time
	No    int32
}

// life is the running life towards one background upset on one unit.
type life struct {
	Due  calendar.Time // odometer reading, or time
	Spec int32
	Unit int16
	No   int32
	h    calendar.Handle
}

// State is a works at one moment. It holds values and slices of values only.
type State struct {
	Net      flow.Net
	Luck     chance.Luck
	Mass     []int64 // g by place
	Pieces   []Piece
	Heats    [maxHeats]Heat
	Casters  [maxCasters]Caster
	Furnaces [maxFurnaces]Furnace

	// slab yard
	Yard      [maxProducts]flow.List
	YardCount int32
	Overflow  flow.List
	OverOpen  bool
	Jobs      [8]job
	ChargeSeq int32

	// programme being charged and rolled
	Prog      [maxProducts]int16
	ProgNo    int32 // programme that slabs are charged for
	ProgLeft  int32
	Warm      int32
	TrainProg int32 // programme the rolls in the train were put in for
	Since     int32 // coils since the last roll change
	Rule      uint8 // charging rule
	Easy      int32 // easy slabs to be charged first

	// mill
	Delay     flow.List
	reject    calendar.Handle
	pacer     calendar.Handle
	rollsEnd  calendar.Time
	MillStop  calendar.Time // start of the present stop, Never when running
	Planned   []plannedState
	draining  int16 // 1 + the planned stop the rolling line is rolled empty for
	Pull      bool
	StagePace float64

	// behind the mill
	Conveyor            flow.List
	CoolPick            flow.List
	CoolHot             flow.List
	Cooling             int64 // g of coils that are still too hot
	CoolPickG, CoolHotG int64 // g of cool coils by way out
	convey              calendar.Handle

	// iron, gas
	IronRate  float64
	Wind      float64
	WindAuto  bool
	IronLast  calendar.Time
	IronCarry float64
	Gas       float64
	GasLast   calendar.Time
	Flared    float64
	Bought    float64
	HeatNeed  float64

	TapHold   bool
	Committed bool // tap rule counts committed steel
	shopWake  calendar.Handle
	Vessels   int8
	StandFree bool

	Cold coldState

	Upsets []Upset
	Lives  []life
	Orders []int64 // g made of each line
	OrdDon []bool
	// OrdFirst is, by product, how many of its lines at the head are complete.
	OrdFirst []int32

	hearth     calendar.Handle
	HearthAuto bool
	WeakWater  int8
	Risky      int32 // coils that are still likelier to cobble
	BackNo     int32
	Ramps      [flow.MaxUnits]ramp // by unit
	CycleFrom  int32
	InWorks    [maxProducts]int64 // g of each product between heat and delivery

	asked   calendar.Handle
	NEvents uint64
	Dirty   uint32
	Lost    int64
}

type plannedState struct {
	At     calendar.Time
	Ends   calendar.Time
	h      calendar.Handle
	Unit   int16
	Spec   int16
	Done   bool
	Active bool
	Due    bool // the rolling line is being rolled empty for it
	Pulled bool
	Moved  int16
}

// Works is a plant at one moment of one future.
type Works struct {
	P    *Plant
	S    State
	Sink record.Sink
	// Director is the plan; nil means standing orders only.
	Director Director
	// Keys, if set, is told every draw of luck.
	Keys KeyLog
	// Ages, if set, is told every upset as it begins.
	Ages AgeLog
	// Script is what the scenario makes happen; never written during a run.
	Script []UpsetSpec
	// Background lets background upsets happen; SoldOut says that everything made
	// can be sold.
	Background, SoldOut bool

	out        []record.Event
	quiet      bool
	wanted     bool
	err        error // the director's
	wantAt     calendar.Time
	wantTopics uint32
}

// CopyFrom makes w an independent copy of o's plant and state, reusing w's
// memory. Sink and Director are not copied.
func (w *Works) CopyFrom(o *Works) {
	a := w.S
	w.P = o.P
	w.Script, w.Background, w.SoldOut, w.quiet = o.Script, o.Background, o.SoldOut, o.quiet
	w.wanted = false
	w.S = o.S
	w.S.Net = a.Net
	w.S.Net.CopyFrom(&o.S.Net)
	w.S.Mass = append(a.Mass[:0], o.S.Mass...)
	w.S.Pieces = append(a.Pieces[:0], o.S.Pieces...)
	w.S.Planned = append(a.Planned[:0], o.S.Planned...)
	w.S.Upsets = append(a.Upsets[:0], o.S.Upsets...)
	w.S.Lives = append(a.Lives[:0], o.S.Lives...)
	w.S.Orders = append(a.Orders[:0], o.S.Orders...)
	w.S.OrdDon = append(a.OrdDon[:0], o.S.OrdDon...)
	w.S.OrdFirst = append(a.OrdFirst[:0], o.S.OrdFirst...)
	w.out = w.out[:0]
}
