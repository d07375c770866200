package works

import (
	"fmt"
	"math"

	"millrace/sim/chance"
	"millrace/sim/record"
	"millrace/sim/steel"
	"millrace/sim/steel/casting"
	"millrace/sim/steel/cooling"
	"millrace/sim/steel/reheating"
)

const (
	maxCasters  = 4
	maxFurnaces = 4
	maxCoilers  = 4
	maxProducts = 32
	maxZones    = 6
	maxSetBacks = 5 // set-point and up to four steps below it
	grams       = 1000.0
)

// Units of a works by number; where there are several of a kind the first.
type unitNumbers struct {
	iron, shop, caster, crane, haulage, furnace    int
	descaler, rougher, shear, train, runOut, coil  int
	conveyor, pickle, dispatch, count, reheatStand int
	outside, coldMill, bases, bellCrane, temper    int // only with a cold side
}

// Places of a works by number; where there are several of a kind the first.
type placeNumbers struct {
	blast, scrapYard, opening record.Place // sources
	torpedoes, shop, ladles   record.Place
	caster, table             record.Place
	yard, overflow            record.Place
	charge, furnace           record.Place
	descaler, rougher, delay  record.Place
	shear, train, coiler      record.Place
	conveyor, coilYard        record.Place
	pickle, dispatch          record.Place
	// the cold side, where there is one
	outside, pickled, coldMill, hard, bases, annealed, temper, finished record.Place
	// losses
	blow, skull, castCrop, trim, scale, crop, cobble, scrap, pooled, returned record.Place
	acid, sideTrim, coldEnds, temperEnds                                      record.Place // only with a cold side
	// gone
	toPickle, hotBand, coldGone record.Place
	count                       int
}

// timing is the rolling of one product: times and temperatures over the
// temperature of the stock at entry, from the full schedules at load.
type timing struct {
	fromC, stepC float64
	seconds      [nTiming]float64 // NaN where it cannot be rolled
	outC         [nTiming]float64
	limit        string
	least        float64 // C, the least entry temperature that can be rolled
}

const nTiming = 7

// at interpolates time and exit temperature for stock at tC; ok is false when
// it cannot be rolled.
func (t *timing) at(tC float64) (seconds, outC float64, ok bool) {
	if tC < t.least {
		return 0, 0, false
	}
	x := (tC - t.fromC) / t.stepC
	if x < 0 {
		x = 0
	}
	if x > nTiming-1 {
		x = nTiming - 1
	}
	i := int(x)
	if i > nTiming-2 {
		i = nTiming - 2
	}
	f := x - float64(i)
	a, b := t.seconds[i], t.seconds[i+1]
	if math.IsNaN(a) {
		return b, t.outC[i+1], true
	}
	if math.IsNaN(b) {
		return a, t.outC[i], true
	}
	return a + f*(b-a), t.outC[i] + f*(t.outC[i+1]-t.outC[i]), true
}

// product is a Product with what physics says about it.
type product struct {
	Product
	slabMass  int64   // g of a full slab
	metreMass float64 // kg per metre of strand
	liquidus  float64
	bar       float64 // m
	rough     timing
	finish    timing
	strip     float64 // m
	cropMass  int64
	// cold side: s, or shares of mass
	pickleS, acidNeed, looperS, acidLoss, millS, heatS, baseCoolS, temperS, temperLoss float64
	pickleBy, millBy                                                                   string
	forced                                                                             float64            // share of the cooling time left with fans or water
	coolTime                                                                           float64            // s until a coil may be pickled
	cooling                                                                            *cooling.CoilCurve // of a whole coil in still air
	dispTime                                                                           float64            // s until a coil may be dispatched
	heavy                                                                              bool
	castLimit                                                                          [maxCasters]float64 // m/s
	capacity                                                                           float64             // bars per second, for building programmes
}

// Plant is a works file with everything computed from it. It is never written
// after Build and may be shared by any number of runs.
type Plant struct {
	Spec  Spec
	Route record.Route
	keys  keys

	u        unitNumbers
	p        placeNumbers
	products []product
	lines    [][]int32 // of the order book, by product
	baths    [maxFurnaces][maxZones][maxSetBacks]*reheating.Bath
	zoneFrom [maxFurnaces][maxZones]int // first hearth place of the zone, counted from discharge
	hearth   [maxFurnaces]int
	pile     *cooling.SlabCurve
	heatG    int64
	usable   int64                // g of the yard within reach
	coldFeed float64              // kg/s that standing orders let the cold mill roll
	cycle    []int16              // products of heats to come, wide to narrow, in proportion
	normalS  float64              // s per slab in normal running, for the opening state
	ladleK   float64              // K/s
	discH    float64              // J/kg mean at discharge as asked
	leastH   [maxFurnaces]float64 // J/kg mean at which a slab may be drawn
}

// Problem is an error in a works that names the part concerned.
type Problem struct{ Part, What string }

// Error returns part and fault.
func (p *Problem) Error() string { return p.Part + ": " + p.What }

func bad(part, format string, a ...any) error {
	return &Problem{part, fmt.Sprintf(format, a...)}
}

// Build computes a plant from a works file's content. The error names the part
// that cannot work and what would.
func Build(s Spec) (*Plant, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	p := &Plant{Spec: s}
	p.number()
	p.heatG = int64(math.Round(s.Shop.Heat * grams))
	p.usable = int64(s.Yard.Room * s.Yard.Reachable * grams)
	p.ladleK = casting.LadleCoolingRate(s.Shop.Heat, s.Shop.CoolRate, s.Shop.RefHeat)
	var err error
	p.pile, err = cooling.NewPileCurve(s.Yard.Pile, s.SlabThick, s.Yard.CutTemp, s.Ambient, s.Yard.Emissivity, s.Yard.Convection)
	if err != nil {
		return nil, bad("slab yard", "%v", err)
	}
	for i := range s.Products {
		pr, err := p.product(i)
		if err != nil {
			return nil, err
		}
		p.products = append(p.products, pr)
	}
	for f := range s.Furnaces {
		if err := p.buildFurnace(f); err != nil {
			return nil, err
		}
	}
	p.lines = make([][]int32, len(s.Products))
	for i := range s.Orders {
		o := &s.Orders[i]
		if o.Product < 0 || o.Product >= len(s.Products) {
			return nil, bad("orders", "line %q is for product number %d; there are %d", o.ID, o.Product, len(s.Products))
		}
		p.lines[o.Product] = append(p.lines[o.Product], int32(i))
	}
	p.normalS = p.pace()
	p.buildCycle()
	p.coldRates()
	p.route()
	p.nameLuck()
	return p, nil
}

// buildFurnace fills the furnace's tables: one bath a zone and set-back step.
func (p *Plant) buildFurnace(f int) error {
	s := &p.Spec.Furnaces[f]
	mean := 0.0
	for i := range p.products {
		mean += p.products[i].Share * p.products[i].Width
	}
	p.hearth[f] = reheating.Places(s.Length, mean, s.Gap)
	if p.hearth[f] < len(s.Zones)+1 {
		return bad(s.Name, "the hearth of %.1f m holds only %d slabs; give a longer hearth", s.Length, p.hearth[f])
	}
	p.discH = steel.Enthalpy(s.Discharge)
	// A slab may leave when it has the least mean that the mill can roll; at the normal
	// pace it is hotter.
	p.leastH[f] = p.discH
	if s.MinDisch > 0 {
		p.leastH[f] = steel.Enthalpy(math.Min(s.Discharge, s.MinDisch))
	}
	// Zones are listed from charge to discharge; places count from discharge.
	from := float64(p.hearth[f])
	for z := range s.Zones {
		from -= s.Zones[z].Share * float64(p.hearth[f])
		p.zoneFrom[f][z] = int(math.Round(from))
		for b := 0; b <= len(s.SetBacks); b++ {
			gas := s.Zones[z].Gas
			if b > 0 {
				gas -= s.SetBacks[b-1]
			}
			bath, err := reheating.NewBath(p.Spec.SlabThick, gas, s.Emissivity)
			if err != nil {
				return bad(s.Name, "zone %d: %v", z+1, err)
			}
			p.baths[f][z][b] = bath
		}
	}
	p.zoneFrom[f][len(s.Zones)-1] = 0
	last := p.baths[f][len(s.Zones)-1][0]
	if math.IsInf(last.TimeTo(steel.Enthalpy(s.Discharge-50), steel.Enthalpy(s.Discharge)), 1) {
		return bad(s.Name, "gas of %.0f C in the last zone never brings a slab to %.0f C; raise the zone or lower the discharge temperature",
			s.Zones[len(s.Zones)-1].Gas, s.Discharge)
	}
	return nil
}

// pace is the mean time between slabs in normal running, from the slowest of
// rougher and train over the mix; the opening state is laid out at this pace.
func (p *Plant) pace() float64 {
	t, share := 0.0, 0.0
	for i := range p.products {
		pr := &p.products[i]
		n := pr.Share / float64(pr.slabMass)
		t += n / pr.capacity
		share += n
	}
	if s := &p.Spec.Train; s.Programme > 0 {
		return t/share + s.RollChange/float64(s.Programme)
	}
	return t / share
}

// Purposes of luck.
const (
	luckStart chance.Purpose = 1 + iota
	luckTreat
	luckRough
	luckTrain
	luckDig
	luckLife
	luckRepair
	luckUse
	luckCaster
	luckWord
	luckScript // draws that scripts ask for
	luckPlanned
	luckTruth
	luckPickle
	luckColdMill
	luckForced
	luckBase
)
