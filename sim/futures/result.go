package futures

import (
	"bytes"
	"encoding/json"
	"math"
	"strconv"

	"millrace/sim/calendar"
	"millrace/sim/futures/judge"
	"millrace/sim/measure"
	"millrace/sim/record"
)

// Measure is one number a run is judged by: Name, Unit ("t", "h", "GJ", "EUR",
// "-" for a count), What (one line for people) and Value.
type Measure = measure.Value

// Measures are in a fixed order, the same for every run of a case. In JSON they
// are an object: name -> {value, unit}; a value that does not exist (the mean
// temperature of no slab) is null.
type Measures []Measure

// Get returns the measure of that name; ok is false when there is none.
func (m Measures) Get(name string) (Measure, bool) {
	for i := range m {
		if m[i].Name == name {
			return m[i], true
		}
	}
	return Measure{}, false
}

// MarshalJSON writes the measures as an object in their order.
func (m Measures) MarshalJSON() ([]byte, error) {
	return object(len(m), func(i int) (string, []byte) {
		return m[i].Name, fields([]string{"value"}, []float64{m[i].Value}, m[i].Unit)
	})
}

// Line is one line of the account of a run or of an upset. Amounts are costs in
// the works' currency: positive is a loss, so the margin of what was dispatched
// is negative. The last line of an account is its total.
type Line struct {
	Name   string
	What   string
	Amount float64 // mean over the futures where many are summarised
	Low    float64 // 95 % interval of the mean, pair by pair; equal to Amount for one future
	High   float64
}

// MassBalance says where every tonne went. In = Out + InStores + the sum of
// ByCause, to Difference, which is below 1e-6 t in every run that ended without
// error.
type MassBalance struct {
	In         float64            `json:"in_t"`
	Out        float64            `json:"out_t"`
	InStores   float64            `json:"in_stores_t"` // in stores and on units at the end
	ByCause    map[string]float64 `json:"by_cause"`    // losses, and what was returned or poured back
	Difference float64            `json:"difference_t"`

	BySource map[string]float64 `json:"-"` // what In is made of
	ByStore  map[string]float64 `json:"-"` // what InStores is made of
	ByWay    map[string]float64 `json:"-"` // what Out is made of
}

// UnitHours is how long a unit was in each state; a unit with many places
// counts place-hours. States that did not occur are left out of the JSON.
type UnitHours struct {
	Unit   string
	Places int
	Hours  []float64 // by StateNames
}

// Units are in the order of the route. In JSON an object: unit -> state -> hours.
type Units []UnitHours

// MarshalJSON writes the units as an object in the order of the route.
func (u Units) MarshalJSON() ([]byte, error) {
	return object(len(u), func(i int) (string, []byte) {
		var names []string
		var hours []float64
		for s, h := range u[i].Hours {
			if h != 0 {
				names, hours = append(names, StateNames[s]), append(hours, h)
			}
		}
		return u[i].Unit, fields(names, hours, "")
	})
}

// Series is the level of one store at every full hour from the start of the
// run, in the store's own amount (t, heats, coils).
type Series struct {
	Store             string
	Amount            string
	Low, Normal, High float64 // the store's band
	Room              float64 // 0 for no limit
	Level             []float64
}

// Moment is something that a person would have written in the log.
type Moment struct {
	At   calendar.Time
	What string
}

// Result is what one plan came to in one future. encoding/json gives the
// contract of a single run: fingerprint, measures, mass_balance, units.
type Result struct {
	Fingerprint string      `json:"fingerprint"` // of inputs and records, 16 hexadecimal digits
	Measures    Measures    `json:"measures"`
	MassBalance MassBalance `json:"mass_balance"`
	Units       Units       `json:"units"`

	Plan      string        `json:"-"`
	Future    uint64        `json:"-"`
	Digest    string        `json:"-"` // of the records alone
	Events    uint64        `json:"-"` // records
	Horizon   calendar.Time `json:"-"`
	Recovered bool          `json:"-"` // the hole has gone through by the horizon
	Money     []Line        `json:"-"` // the account of the run
	Upset     []Line        `json:"-"` // the account less the twin's; nil without a scripted upset
	Series    []Series      `json:"-"`
	Moments   []Moment      `json:"-"` // stores full or dry for the first time, in time order
	Start     int64         `json:"-"` // civil time of the run's beginning (quantity.Clock)
}

// Summary is one measure over all futures of a plan.
type Summary struct {
	Name      string
	Unit      string
	What      string
	N         int     // futures in which the measure existed
	Mean      float64 // of those
	Low, High float64 // 95 % interval of the mean (t interval); the mean itself for one future
	P10, P90  float64 // quantiles over futures, type 7
	Skewed    bool    // too few futures for the interval at this skewness
}

// Summaries are in the order of Measures. In JSON an object:
// name -> {mean, low, high, p10, p90, unit}; what does not exist is null.
type Summaries []Summary

// Get returns the summary of that name; ok is false when there is none.
func (m Summaries) Get(name string) (Summary, bool) {
	for i := range m {
		if m[i].Name == name {
			return m[i], true
		}
	}
	return Summary{}, false
}

// MarshalJSON writes the summaries as an object in their order.
func (m Summaries) MarshalJSON() ([]byte, error) {
	names := []string{"mean", "low", "high", "p10", "p90"}
	return object(len(m), func(i int) (string, []byte) {
		s := &m[i]
		return s.Name, fields(names, []float64{s.Mean, s.Low, s.High, s.P10, s.P90}, s.Unit)
	})
}

// Band is the level of one store over all futures of a plan, at every full hour
// up to the shortest horizon of them.
type Band struct {
	Store             string
	Amount            string
	Low, Normal, High float64 // the store's normal band
	Room              float64
	Mean, P10, P90    []float64
}

// PlanResult is one plan over all futures.
type PlanResult struct {
	Name           string    `json:"name"`
	Measures       Summaries `json:"measures"`
	ChanceMeanBest float64   `json:"chance_mean_best"`     // that its mean cost is the least of all; plans that are the same share it
	ShareWon       float64   `json:"share_of_futures_won"` // futures in which it cost least; ties share

	// CostOfUpset is the account of the upset by line: the plan's account less
	// the twin's, mean over the futures. The last line is the total.
	CostOfUpset []Line         `json:"-"`
	Cost        []float64      `json:"-"` // the total, by future
	Standing    judge.Standing `json:"-"`
	SameAs      []string       `json:"-"` // plans whose records are equal to this one's in every future
	Bands       []Band         `json:"-"`
	Units       Units          `json:"-"` // mean hours
	Orders      int            `json:"-"` // orders given, over all futures
	Refused     int            `json:"-"` // orders refused
	Unrecovered int            `json:"-"` // futures in which the hole had not gone through at the horizon
	Results     []*Result      `json:"-"` // by future, without Series; nil where not asked for
}

// Comparison is the answer of Compare. encoding/json gives its contract:
// scenario, futures, seed, fingerprint, plans, verdict, decided, run_folder.
type Comparison struct {
	Scenario    string       `json:"scenario"`
	Futures     int          `json:"futures"`
	Seed        uint64       `json:"seed"`
	Fingerprint string       `json:"fingerprint"` // of inputs and all records, the same for any number of workers
	Plans       []PlanResult `json:"plans"`       // in the order given
	Verdict     string       `json:"verdict"`
	Decided     bool         `json:"decided"`
	RunFolder   string       `json:"run_folder"` // set by whoever writes it

	Works    string           `json:"-"`
	Currency string           `json:"-"`
	Twin     PlanResult       `json:"-"` // the works without the scripted upset; its costs are zero
	Judged   judge.Comparison `json:"-"` // zero for fewer than two plans or futures
	Best     int              `json:"-"` // index in Plans of the leader
	Delta    float64          `json:"-"` // the difference that matters, money
	Needed   int              `json:"-"` // futures that would decide, a guess; 0 when decided or nothing is to decide
	Decider  string           `json:"-"` // the one thing that would decide, in words; "" when decided
	Length   calendar.Time    `json:"-"` // the fixed length
	Longest  calendar.Time    `json:"-"` // the longest horizon taken
	Extended int              `json:"-"` // futures run beyond the fixed length
	Capped   int              `json:"-"` // futures cut off before the hole had gone through
	Warnings []string         `json:"-"` // for people: skewed costs, poor pairing, futures cut off
	Start    int64            `json:"-"` // civil time of the runs' beginning (quantity.Clock)
	Route    *record.Route    `json:"-"`
}

// object writes a JSON object with its keys in the given order.
func object(n int, at func(i int) (string, []byte)) ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i := range n {
		name, value := at(i)
		key, err := json.Marshal(name)
		if err != nil {
			return nil, err
		}
		if i > 0 {
			b.WriteByte(',')
		}
		b.Write(key)
		b.WriteByte(':')
		b.Write(value)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// fields writes numbers by name, null where one does not exist, and the unit
// when it is not "".
func fields(names []string, values []float64, unit string) []byte {
	b := []byte{'{'}
	for i, v := range values {
		if i > 0 {
			b = append(b, ',')
		}
		b = strconv.AppendQuote(b, names[i])
		b = append(b, ':')
		if math.IsNaN(v) || math.IsInf(v, 0) {
			b = append(b, "null"...)
			continue
		}
		n, _ := json.Marshal(v)
		b = append(b, n...)
	}
	if unit != "" {
		if len(values) > 0 {
			b = append(b, ',')
		}
		b = append(b, `"unit":`...)
		u, _ := json.Marshal(unit)
		b = append(b, u...)
	}
	return append(b, '}')
}
