package futures

import (
	"math"

	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/record"
	"millrace/sim/works"
)

// Rates are what goes into a store and out of it an hour, in its unit of account, as
// long as every unit that stands stays down: the works without luck and with nothing
// else going wrong. They are means from now until the store comes to its end, or over
// a day where it does not.
type Rates struct {
	// In and Out are what comes and goes, nil for the fuel gas, of which only the
	// difference is known.
	In  *float64 `json:"in_per_hour"`
	Out *float64 `json:"out_per_hour"`
	Net float64  `json:"net_per_hour"`
	// Unspaced is what the casters would bring without a gap, SpacedFrom the level from
	// which standing orders leave gaps between sequences; of the slab yard only, else 0.
	Unspaced   float64 `json:"in_unspaced,omitempty"`
	SpacedFrom float64 `json:"spaced_from,omitempty"`
	// Hours is when the store comes to its end, negative when it does not within a day.
	Hours float64 `json:"hours_if_it_stays_down"`
}

// daily is how far the rates look.
const daily = 24 * calendar.Hour

// flows counts what enters and leaves every place, g.
type flows struct {
	q             *Question
	in            []int64
	cool, hotCool int64 // g of coils that became cool, to pickle and as hot band
}

func (f *flows) Put(events []record.Event) {
	for i := range events {
		e := &events[i]
		switch e.Kind {
		case record.Move:
			if e.To >= 0 && int(e.To) < len(f.in) && e.A != works.StepOpening {
				f.in[e.To] += e.Mass
			}
		case record.Note:
			if works.Word(e.A) == works.WordCool {
				if f.q.Plant.Spec.Products[e.Y].Pickled {
					f.cool += e.X
				} else {
					f.hotCool += e.X
				}
			}
		}
	}
}

// entered is what has come into the store of a brink so far, in its unit; NaN where
// nobody counts it.
func (f *flows) entered(store string) float64 {
	switch store {
	case "cool coils to pickle":
		return float64(f.cool) / 1e6
	case "cool hot band":
		return float64(f.hotCool) / 1e6
	case "fuel gas":
		return math.NaN()
	}
	at, ok := f.q.Plant.StoreNamed(store)
	if !ok {
		return math.NaN()
	}
	return float64(f.in[at]) / f.q.Plant.StoreInfo(at).PerAmount
}

// rates plays the works without luck, its stops lasting on, and returns what comes and
// goes by brink.
func (q *Question) rates(script []works.UpsetSpec) ([]Rates, error) {
	lasting := append([]works.UpsetSpec(nil), script...)
	for i := range lasting {
		var err error
		if lasting[i].Lasts, err = chance.Fixed(lasting[i].Elapsed + 2*daily.Seconds()); err != nil {
			return nil, err
		}
	}
	w := works.Begin(q.Plant, works.Start{Script: lasting, Levels: q.Levels, SoldOut: q.SoldOut, Fixed: true})
	f := &flows{q: q, in: make([]int64, len(q.Plant.Route.Places))}
	w.Sink = f
	brinks := q.Plant.Brinks()
	out := make([]Rates, len(brinks))
	level, entered := make([]float64, len(brinks)), make([]float64, len(brinks))
	done := make([]bool, len(brinks))
	was := make([]bool, len(brinks))
	for t := calendar.Time(0); t <= daily; t += step {
		if err := w.Run(t); err != nil {
			return nil, err
		}
		h := t.Hours()
		for i := range brinks {
			l, _, _ := w.BrinkLevel(i)
			in := f.entered(brinks[i].Name)
			r := &out[i]
			at := w.AtBrink(i)
			if t == 0 {
				level[i], entered[i] = l, in
				was[i] = at && !q.given(brinks[i].Name)
				r.Hours = -1
				if brinks[i].Name == "slab yard" && brinks[i].Full {
					r.Unspaced, r.SpacedFrom = w.CastRate(1, len(q.Plant.Spec.Casters))*3.6, q.Plant.Spec.Standing.YardHigh/1e3
				}
				if at && !was[i] {
					r.Hours, done[i] = 0, true
				}
				continue
			}
			if done[i] {
				continue
			}
			r.Net = (l - level[i]) / h
			if come := (in - entered[i]) / h; !math.IsNaN(come) {
				gone := math.Max(0, come-r.Net)
				r.In, r.Out = &come, &gone
			}
			if at && !was[i] {
				r.Hours, done[i] = h, true
			}
			was[i] = was[i] && at
		}
	}
	return out, nil
}
