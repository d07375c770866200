package report

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/futures"
	"millrace/sim/quantity"
	"millrace/sim/record"
)

// Everything here is made up: shapes that look like the answer to a wreck, so
// that what is written and drawn can be read and judged.

const sampleStart = "2031-11-07 06:00"

func startClock() int64 {
	c, err := quantity.ParseClock(sampleStart)
	if err != nil {
		panic(err)
	}
	return int64(c)
}

type samplePlan struct {
	name                            string
	cost, half, low, high           float64 // mean, half width, p10, p90
	best, won                       float64
	lost, heats, iron, late, cobble float64
	back                            float64 // h
	n                               int     // futures back to normal
	full, fullAfter                 float64
	yard                            float64 // peak of the mean, t
	lines                           map[string]float64
}

var samplePlans = []samplePlan{
	{"carry on", 1_314_000, 92_000, 602_000, 2_110_000, 0.011, 0.09, 6_420, 7.4, 1_130, 14.2, 3, 143, 97, 0.64, 33.1, 27_400,
		map[string]float64{"margin dispatched": 1_020_000, "heats returned": 101_000, "iron lost": 130_000, "stock at the end": -140_000, "penalties": 96_000, "scrap": 71_000, "fuel": 23_000, "CO2": 9_000, "overtime": 2_500}},
	{"slow the casters early", 921_000, 71_000, 480_000, 1_420_000, 0.93, 0.74, 5_890, 2.1, 240, 11.6, 3, 121, 100, 0.12, 41.2, 24_100,
		map[string]float64{"margin dispatched": 905_000, "heats returned": 28_400, "iron lost": 28_000, "stock at the end": -142_000, "penalties": 61_000, "scrap": 36_000, "fuel": 1_600, "CO2": 600, "overtime": 2_400}},
	{"end a sequence and pull the caster maintenance forward", 1_006_000, 84_000, 510_000, 1_580_000, 0.059, 0.17, 6_010, 3.8, 460, 12.3, 3, 128, 99, 0.21, 38.4, 25_000,
		map[string]float64{"margin dispatched": 930_000, "heats returned": 52_000, "iron lost": 54_000, "stock at the end": -141_000, "penalties": 68_000, "scrap": 41_000, "fuel": -9_000, "CO2": -3_500, "overtime": 14_500}},
}

var sampleLines = []string{"margin dispatched", "heats returned", "iron lost", "scrap", "downgraded", "fuel", "CO2", "gas bought", "gas flared",
	"reheat stand", "haulage", "tundishes", "penalties", "overtime", "stock at the end"}

var sampleStores = []struct {
	name, amount            string
	low, normal, high, room float64
	swing                   float64 // how much of the yard's excursion it sees, in its own amount a tonne
	lag                     float64 // h
}{
	{"torpedoes", "t", 400, 1500, 2600, 3200, 0.13, -2},
	{"ladles", "heats", 1, 2, 5, 9, 0.0003, -1},
	{"slab yard", "t", 7000, 15800, 21500, 26000, 1, 0},
	{"coil yard", "t", 9000, 17000, 24000, 30000, -0.85, 14},
	{"cool coils", "t", 0, 0, 0, 0, -0.6, 60},
	{"fuel gas", "GJ", 200, 500, 800, 1000, 0.02, 0},
}

func summary(name, unit string, n int, mean, half, p10, p90 float64) futures.Summary {
	return futures.Summary{Name: name, Unit: unit, N: n, Mean: mean, Low: mean - half, High: mean + half, P10: p10, P90: p90}
}

func (p samplePlan) result(hours int) futures.PlanResult {
	r := futures.PlanResult{Name: p.name, ChanceMeanBest: p.best, ShareWon: p.won, Orders: 0, Unrecovered: 100 - p.n}
	r.Measures = futures.Summaries{
		summary("dispatched", "t", 100, 118_400-p.lost, 310, 116_000-p.lost, 120_400-p.lost),
		summary("heats returned", "-", 100, p.heats, p.heats*0.1, p.heats*0.4, p.heats*1.8),
		summary("strips cobbled", "-", 100, p.cobble, 0.2, 2, 5),
		summary("bars rejected", "-", 100, p.cobble+1.1, 0.3, 2, 7),
		summary("pieces scrapped", "-", 100, 0.4, 0.1, 0, 1),
		summary("iron pooled", "t", 100, p.iron, p.iron*0.15, 0, p.iron*2.2),
		summary("order lines late", "-", 100, p.late, 1, p.late*0.7, p.late*1.4),
		summary("slab yard full", "-", 100, p.full, 0.05, 0, 1),
		summary("slab yard full after", "h", int(100*p.full), p.fullAfter, 2, p.fullAfter-5, p.fullAfter+9),
		summary("slab yard dry", "-", 100, 0, 0, 0, 0),
		summary("cool coils dry", "-", 100, p.full/2, 0.05, 0, 1),
		summary("back to normal", "h", p.n, p.back, 6, p.back*0.6, p.back*1.5),
		summary(futures.CostOfUpset, "EUR", 100, p.cost, p.half, p.low, p.high),
	}
	total := 0.0
	for _, n := range sampleLines {
		v := p.lines[n]
		total += v
		r.CostOfUpset = append(r.CostOfUpset, futures.Line{Name: n, What: "what " + n + " is", Amount: v, Low: v - math.Abs(v)*0.12, High: v + math.Abs(v)*0.12})
	}
	r.CostOfUpset = append(r.CostOfUpset, futures.Line{Name: "total", Amount: total, Low: total - p.half, High: total + p.half})
	rise := p.yard - 15_800
	for _, s := range sampleStores {
		normal := s.normal
		if s.name == "cool coils" {
			normal = 12_000
		}
		b := futures.Band{Store: s.name, Amount: s.amount, Low: s.low, Normal: s.normal, High: s.high, Room: s.room}
		for h := range hours + 1 {
			x := (float64(h) - 16.7 - s.lag)
			e := 0.0
			if x > 0 {
				e = rise * x / 18 * math.Exp(1-x/18)
				if x > 18 {
					e = rise * math.Exp(-(x-18)/90)
				}
			}
			wave := 0.03 * normal * math.Sin(float64(h)/5.1)
			v := normal + e*s.swing + wave
			spread := 0.04*normal + 0.45*math.Abs(e*s.swing)
			top := math.Inf(1)
			if s.room > 0 {
				top = s.room
			}
			b.Mean = append(b.Mean, min(max(v, 0), top))
			b.P10 = append(b.P10, max(0, v-spread))
			b.P90 = append(b.P90, min(top, max(0, v+spread)))
		}
		r.Bands = append(r.Bands, b)
	}
	for _, u := range []struct {
		name   string
		places int
		share  [8]float64 // off shift, maintenance, down, changeover, blocked, starved, running, slowed
	}{
		{"iron supply", 1, [8]float64{0, 0, 0, 0, 0, 0, 0.9, 0.1}},
		{"steel shop", 1, [8]float64{0, 0, 0.01, 0, 0.11, 0.02, 0.86, 0}},
		{"C1", 1, [8]float64{0, 0.03, 0.01, 0.06, 0.02, 0.01, 0.80, 0.07}},
		{"C2", 1, [8]float64{0, 0, 0.01, 0.07, 0.02, 0.03, 0.77, 0.10}},
		{"slab cranes", 3, [8]float64{0, 0, 0.02, 0, 0, 0.3, 0.68, 0}},
		{"F1", 38, [8]float64{0, 0, 0.01, 0, 0.12, 0.05, 0.80, 0.02}},
		{"F2", 38, [8]float64{0, 0, 0.01, 0, 0.12, 0.05, 0.80, 0.02}},
		{"rougher", 1, [8]float64{0, 0.03, 0.01, 0, 0.05, 0.25, 0.66, 0}},
		{"finishing train", 1, [8]float64{0, 0.03, 0.05, 0.04, 0.01, 0.25, 0.6, 0.02}},
		{"coilers", 2, [8]float64{0, 0.03, 0.01, 0.01, 0, 0.45, 0.5, 0}},
		{"dispatch", 1, [8]float64{0.3, 0, 0, 0, 0, 0.04, 0.66, 0}},
	} {
		h := futures.UnitHours{Unit: u.name, Places: u.places, Hours: make([]float64, 8)}
		for s, f := range u.share {
			if p.name == "carry on" && s == 4 {
				f *= 1.4
			}
			h.Hours[s] = f * float64(hours*u.places)
		}
		r.Units = append(r.Units, h)
	}
	for i := range 100 {
		r.Cost = append(r.Cost, p.low+(p.high-p.low)*float64(i)/99)
	}
	return r
}

// sample is a decided comparison of three plans over 14 days.
func sample() *futures.Comparison {
	const hours = 14 * 24
	c := &futures.Comparison{
		Scenario: "Wreck in finishing stand 4, Friday night", Works: "Larkfell", Currency: "EUR", Futures: 100, Seed: 7,
		Fingerprint: "5bd2c81f07aa93e4", Decided: true, Best: 1, Delta: 13_140,
		Verdict: "\"slow the casters early\" is the best plan: it costs 393,000 EUR less than \"carry on\" and 85,000 EUR less than the next.",
		Length:  14 * calendar.Day, Longest: 19 * calendar.Day, Extended: 12, Capped: 1,
		Warnings: []string{"the cost of carry on is skewed; 100 futures are few for its interval"},
		Start:    startClock(), RunFolder: "runs/2031-11-07-wreck",
		Route: &record.Route{Units: []record.UnitInfo{{Name: "C1"}, {Name: "pickle line", RateGiven: true}, {Name: "dispatch", RateGiven: true}}},
	}
	for _, p := range samplePlans {
		c.Plans = append(c.Plans, p.result(hours))
	}
	c.Plans[2].Orders, c.Plans[2].Refused = 400, 12
	twin := samplePlan{name: "twin", yard: 15_800, n: 100, late: 3.1, cobble: 1.2}
	c.Twin = twin.result(hours)
	return c
}

// undecided is the same works with two plans that are the same and a third that
// cannot be told from them.
func undecided() *futures.Comparison {
	c := sample()
	p := samplePlans[0]
	p.name = "wait for the first word"
	c.Plans[2] = p.result(14 * 24)
	c.Plans[0].SameAs, c.Plans[2].SameAs = []string{p.name}, []string{"carry on"}
	c.Decided, c.Needed = false, 2_300
	c.Verdict = "Cannot tell: \"slow the casters early\" leads, but the others are not out."
	c.Decider = "whether the stop lasts longer than 14 h: in those futures slowing early wins, in the others it loses"
	return c
}

func extra() Extra {
	return Extra{
		Command: "millrace compare scenarios/larkfell/wreck.lua --futures 100 --seed 7", Version: "0.1.0",
		Files: []File{
			{Name: "larkfell/works.lua", SHA256: "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08"},
			{Name: "larkfell/orders.csv", SHA256: "60303ae22b998861bce3b28f33eec1be758a213c86c93c076dbe9f558c11c752"},
			{Name: "wreck.lua", SHA256: "fd61a03af4f77d870fc21e05e7e80678095c92d808cfb3b5c279ee04c74aca13"},
		},
		Assumptions: []string{"demand is sold out: every coil finds a customer", "stores start at their normal level", "Larkfell is an invented works"},
		Cautions:    []string{"Stand wreck: Headcount first. Isolate, lock and tag all drives, hydraulics and water; tensioned strip and suspended loads kill; removal is a non-routine lift."},
		LeftOut:     []string{"people: fatigue, shortage and shift handover", "weather and its effect on yard and dispatch", "quality beyond scale, temperature and downgrading"},
		Marks:       []Mark{{At: 16.67, Label: "wreck"}},
	}
}

func sampleRun() *futures.Result {
	h := make([]float64, 8)
	h[2], h[4], h[5], h[6] = 11.27, 4, 88.03, 232.7
	f := make([]float64, 8)
	f[4], f[6] = 1520.4, 11_247.6
	return &futures.Result{
		Fingerprint: "5bd2c81f07aa93e4", Plan: "carry on", Future: 12, Horizon: 14 * calendar.Day, Start: startClock(), Recovered: true,
		Measures: futures.Measures{
			{Name: "dispatched", Unit: "t", What: "coils that left the works, prime and secondary", Value: 112_034.4},
			{Name: "secondary", Unit: "t", What: "sold cheaper", Value: 310.25},
			{Name: "heats returned", Unit: "-", What: "ladles poured back, whole or in part", Value: 7},
			{Name: "iron pooled", Unit: "t", What: "hot metal that found no room", Value: 1130.2},
			{Name: "strips cobbled", Unit: "-", What: "strips and bars lost in the mill", Value: 3},
			{Name: "charge temperature", Unit: "C", What: "mean of the slabs charged, by mass", Value: 231.44},
			{Name: "charged above 400 C", Unit: "%", What: "share of the mass charged", Value: 18.26},
			{Name: "fuel", Unit: "GJ", What: "burned in the furnaces", Value: 161_034.2},
			{Name: "order lines late", Unit: "-", What: "lines completed late, or due and not complete", Value: 14},
			{Name: "peak slab yard", Unit: "t", What: "highest level", Value: 26_000},
			{Name: "least slab yard", Unit: "t", What: "lowest level", Value: 11_204.5},
			{Name: "slab yard full", Unit: "-", What: "1 if it was ever full; the mean is a chance", Value: 1},
			{Name: "slab yard full after", Unit: "h", What: "from the start of the run, first time", Value: 33.4},
			{Name: "slab yard dry", Unit: "-", What: "1 if it ever ran dry; the mean is a chance", Value: 0},
			{Name: "slab yard dry after", Unit: "h", What: "from the start of the run, first time", Value: math.NaN()},
			{Name: "back to normal", Unit: "h", What: "from the first scripted upset until every store stays inside its band", Value: math.NaN()},
			{Name: "something new", Unit: "kg", What: "a measure that no theme knows", Value: 12.34},
			{Name: "money: scrap", Unit: "EUR", What: "cost", Value: 71_000},
			{Name: "cost of the upset", Unit: "EUR", What: "what the run cost beyond the same future without the scripted upset", Value: 1_214_204.6},
		},
		MassBalance: futures.MassBalance{In: 150_000, Out: 112_034.4, InStores: 34_000.123, ByCause: map[string]float64{"scale": 965.477, "mill scrap": 2_000, "returned": 1_000},
			BySource: map[string]float64{"iron": 120_000, "opening stock": 30_000}, ByStore: map[string]float64{"slab yard": 20_000, "coil yard": 14_000.123}, ByWay: map[string]float64{"by rail": 112_034.4}},
		Units:   futures.Units{{Unit: "finishing train", Places: 1, Hours: h}, {Unit: "F1", Places: 38, Hours: f}},
		Money:   []futures.Line{{Name: "margin dispatched", Amount: -13_440_128}, {Name: "heats returned", Amount: 101_000}, {Name: "haulage"}, {Name: "total", Amount: -13_339_128}},
		Upset:   []futures.Line{{Name: "margin dispatched", Amount: 1_113_204.6}, {Name: "heats returned", Amount: 101_000}, {Name: "total", Amount: 1_214_204.6}},
		Series:  []futures.Series{{Store: "slab yard", Amount: "t", Low: 7000, Normal: 15_800, High: 21_500, Room: 26_000}},
		Moments: []futures.Moment{{At: calendar.Time(33.4 * float64(calendar.Hour)), What: "slab yard full"}},
	}
}
