package works

import (
	"millrace/sim/chance"
	"millrace/sim/steel"
	"millrace/sim/steel/hotrolling"
)

// Spec is what a works file says. All values are SI (m, s, kg, W, J, N, Pa;
// temperatures in C; money in the works' currency per unit, per kg where it is
// a price of steel). Band and room of stores are in kg unless said otherwise.
type Spec struct {
	Name     string
	Currency string
	Invented bool // the file says that the works does not exist

	Products []Product
	Grades   []steel.Grade

	Iron      IronSpec
	Shop      ShopSpec
	Casters   []CasterSpec
	Yard      YardSpec
	Furnaces  []FurnaceSpec
	Rougher   RougherSpec
	Train     TrainSpec
	RunOut    RunOutSpec
	Coilers   CoilerSpec
	Conveyor  ConveyorSpec
	Cold      *ColdSpec // nil: the works ends at the coil floor
	CoilYard  CoilYardSpec
	Demand    DemandSpec
	Gas       GasSpec
	Costs     CostSpec
	Standing  StandingOrders
	Upsets    []UpsetSpec // background upsets drawn at their rates
	Planned   []PlannedSpec
	Orders    []OrderLine
	Calls     []CallSpec
	Ambient   float64 // C
	SlabThick float64 // m
	SlabLen   float64 // m
}

// Band is the normal band of a store and its room.
type Band struct{ Low, Normal, High, Room float64 }

// Product is one kind of coil the works makes.
type Product struct {
	Name       string
	Grade      int     // index in Grades
	Width      float64 // m
	Thickness  float64 // m, hot band
	Share      float64 // share of slab mass ordered, sums to 1
	FinishTemp float64 // C at the last stand
	CoilTemp   float64 // C
	Pickled    bool    // goes on to pickling; otherwise dispatched as hot band
	Margin     float64 // money/kg of hot band dispatched or handed to pickling
	Price      float64 // money/kg, what a penalty for lateness is a share of
	Surface    bool    // rolled-in scale makes it secondary
	Cold       float64 // m, thickness behind the cold mill; 0: not cold rolled
	Annealed   bool    // annealed and temper rolled; otherwise sold full hard
	Class      string  // customer class
}

// IronSpec is the blast furnace and its torpedo ladles.
type IronSpec struct {
	Rate     float64 // kg/s of hot metal at full wind
	LowWind  float64 // least share of the rate
	Lag      float64 // s for the rate to follow a wind order
	Torpedo  Band    // kg of hot metal
	HotMetal float64 // share of hot metal in a heat's charge, normal
	HotLow   float64 // least and most share that the shop may charge
	HotHigh  float64
	Yield    float64 // liquid steel out of charge, share
}

// ShopSpec is the steel shop with its ladles.
type ShopSpec struct {
	Heat        float64 // kg of liquid steel tapped
	Vessels     int
	BlowTime    float64 // s tap to tap of one vessel
	TreatTime   float64 // s from tap to ready for the caster
	TreatScatt  chance.Law
	Ladles      int // fleet; ladles with steel are the store's level
	LadlesLow   int
	LadlesNorm  int
	LadlesHigh  int
	CoolRate    float64 // K/s of a full ladle at RefHeat
	RefHeat     float64 // kg
	PourDrop    float64 // K ladle to tundish
	FirstDrop   float64 // K more for the first heat on a new tundish
	MinSuper    float64 // K above liquidus in the tundish before the nozzle freezes
	AimSuper    float64 // K of spare above the need that the shop aims for
	MaxOver     float64 // K above liquidus that the shop can deliver at most
	ReheatRate  float64 // K/s gained at the reheat stand
	ReheatHold  float64 // s a heat may stay at the reheat stand
	ReheatPower float64 // W
	Skull       float64 // share of a heat left in the ladle
	Rate        float64 // kg/s when a measured rate is given, else 0
}

// CasterSpec is one caster.
type CasterSpec struct {
	Name        string
	Strands     int
	Normal      float64 // m/s
	Slowest     float64 // m/s, nozzle freezing below
	Wanted      float64 // m/s, the fastest that people ask for; physics may allow less
	ShellK      float64 // mm/min^0.5, whole strand
	MouldK      float64 // mm/min^0.5, in the mould
	MouldLength float64 // m
	MinShell    float64 // m at mould exit
	Supported   float64 // m of supported length
	Tundish     float64 // kg working mass
	TundishMin  float64 // kg
	LadleChange float64 // s
	HeatsMax    int     // heats a tundish lasts
	Turnaround  float64 // s between sequences
	WidthRate   float64 // m/s side speed of an in-cast width change
	MaxWidth    float64 // m, largest in-cast width step; above it a new sequence
	HeadCrop    float64 // m per strand
	TailCrop    float64 // m per strand
	Kerf        float64 // m per cut
	TableSlabs  int     // places on the run-out table
	TundishCost float64 // money per new tundish
	Rate        float64 // kg/s when a measured rate is given, else 0
}

// YardSpec is the slab yard and its cranes.
type YardSpec struct {
	Band
	Reachable   float64 // share of the room that is within reach of the cranes
	Cranes      int
	LiftTime    float64 // s per lift
	Digging     float64 // extra lifts per slab charged in perfect order
	MinStock    float64 // kg needed to build a programme
	Overflow    float64 // kg of room in the overflow yard
	OverflowRat float64 // kg/s by truck
	OverflowFee float64 // money/kg of double handling
	Emissivity  float64
	Convection  float64 // W/m2K
	Pile        int     // slabs in a pile
	CutTemp     float64 // C of a slab leaving the caster
}

// FurnaceSpec is one walking-beam furnace.
type FurnaceSpec struct {
	Name       string
	Length     float64 // m of hearth
	Gap        float64 // m between slabs
	Zones      []Zone
	Emissivity float64
	// ScaleFactor multiplies the parabolic constant of scale growth; 0 is 1. Furnace
	// gas moves it by about a third either way (assumption).
	ScaleFactor float64
	Discharge   float64   // C mean that the mill asks for
	MinDisch    float64   // C least mean that may leave
	WallLoss    float64   // W
	Efficiency  float64   // available heat
	SetBacks    []float64 // K below the set-point of each set-back step
	Recovery    float64   // K/s that the gas comes back to set-point
	Rate        float64   // kg/s when a measured rate is given, else 0
	TableSlabs  int       // places on the charging table
}

// Zone is one zone of a furnace.
type Zone struct {
	Share float64 // of the hearth length
	Gas   float64 // C
}

// RougherSpec is descaler and reversing rougher.
type RougherSpec struct {
	Mill              hotrolling.RoughingMill
	BarThin, BarThick float64    // m, bar for thin and for thick products
	ThickFrom         float64    // m of product thickness from which the thick bar is rolled
	Scatter           chance.Law // factor on the time of a bar
	Rate              float64    // kg/s when a measured rate is given, else 0
}

// TrainSpec is delay table, shear and finishing train.
type TrainSpec struct {
	Train       hotrolling.FinishingTrain
	MinEntry    float64 // C mean below which a bar is rejected
	MaxWait     float64 // s a bar may wait whatever its temperature
	Crop        float64 // m cut from head and from tail of the bar
	ShearTime   float64 // s
	Programme   int     // coils between roll changes
	ProgrammeKm float64 // m of strip between roll changes
	RollChange  float64 // s
	WarmUp      int     // coils of easy gauge at the start
	FinishBand  float64 // K either side of the finishing temperature
	Scatter     chance.Law
	Rate        float64
}

// RunOutSpec is the cooling table.
type RunOutSpec struct {
	Banks      int
	BankLength float64 // m
	H          float64 // W/m2K
	Water      float64 // C
	Length     float64 // m
}

// CoilerSpec is the coilers.
type CoilerSpec struct {
	Names    []string
	StripOut float64 // s
	InUse    int     // coilers that alternate in normal running; the rest stand by
}

// ConveyorSpec is the coil conveyor.
type ConveyorSpec struct {
	Places  int
	Normal  Band    // pieces
	Transit float64 // s
	Cycle   float64 // s per coil at the exit
}

// CoilYardSpec is the coil floor.
type CoilYardSpec struct {
	Band
	Cool        Band    // cool coils waiting for pickling
	CoolHot     Band    // cool hot-band coils waiting for dispatch
	PickleMax   float64 // C at which a coil may be pickled
	DispatchMax float64 // C at which a coil may be dispatched
	Inner       float64 // m bore
	Fill        float64
	RadialK     float64 // W/mK
	ForcedH     float64 // W/m2K on all faces with fans or water; 0: there are none
	ForcedCost  float64 // money/s while they are on
	ForcedSpoil float64 // share of the coils cooled so that are sold cheaper for shape or rust
}

// DemandSpec is what is taken behind the coil floor, as rates.
type DemandSpec struct {
	SoldOut  bool
	Pickle   float64 // kg/s that the pickle line takes at most
	Dispatch float64 // kg/s of hot band at most
}

// GasSpec is the fuel gas store.
type GasSpec struct {
	Made       float64 // W of gas that the blast furnace gives at full wind
	PowerHouse float64 // W that the power house takes in normal running
	Swing      float64 // W more that it can take
	Holder     Band    // J
	FlareCost  float64 // money/J of gas flared
	BuyCost    float64 // money/J of gas bought
}

// CostSpec is what things cost. Prices of steel are money/kg.
type CostSpec struct {
	HeatReturn, IronLost, Scrap, Downgrade float64
	SlabStock                              float64 // money/kg of a slab in stock at the end
	Fuel                                   float64 // money/J
	CO2                                    float64 // money/kg
	ReheatPower                            float64 // money/J
	Haulage                                float64 // money/kg
	Overtime                               float64 // money/s while levers that need it act
	Matters                                float64 // money: the difference that matters
}

// StandingOrders is what people do on a quiet day.
type StandingOrders struct {
	YardLow, YardHigh float64 // kg: casters go their fastest below the first, sequences are spaced above the second
	StopTapping       float64 // kg of free room in the yard below which no heat is begun
	// OverflowAbove is the level of the yard above which slabs are trucked to the overflow
	// yard without being asked, kg; 0: only when somebody opens it.
	OverflowAbove float64
	ArriveEarly   float64 // s that a heat is at the caster before it is needed
	ChargeRule    int     // ChargeOldest, ChargeHottest, ...
	SetBackAfter  float64 // s of mill stop
	DeepAfter     float64 // s of mill stop until the deepest set-back
	SetForward    float64 // s before the told likely restart that furnaces are brought back
	WindHigh      float64 // kg in the torpedoes above which the wind is cut
	WindLow       float64 // kg below which full wind is restored
	PickleSwing   float64 // share by which the pickle feed follows the cool stock
	// Fans go on when less than FansBelow kg of cool coils wait for the pickle line,
	// and off again at FansUntil; 0: only when somebody orders it.
	FansBelow, FansUntil float64
	Staging              int // easy slabs after a bad stop
	Reheat               bool
	CountCommitted       bool // the tap rule counts steel that is already committed
	KeepHeats            bool // heats of a caster that stops are left for people to place
	SlowWhenFull         bool
}

// PlannedSpec is a planned stop.
type PlannedSpec struct {
	Unit     string
	First    float64 // s after the start of the scenario, drawn in the period when negative
	Every    float64 // s
	Lasts    float64 // s
	Movable  bool
	Earliest float64 // s that it may be pulled forward at most
}

// OrderLine is one line of the order book.
type OrderLine struct {
	ID      string
	Product int
	Mass    float64 // kg
	Due     float64 // s after the start of the scenario
	Known   float64 // s after the start from which it may be made; 0: from the start
	Class   string
	Penalty float64 // share of value per week late
	Cap     float64 // share of value at most
}

// CallSpec says who is to be called about what.
type CallSpec struct {
	Who  string
	When string // unit, store or "always"
	Say  string
}
