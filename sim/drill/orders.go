package drill

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"millrace/sim/bus"
	"millrace/sim/calendar"
	"millrace/sim/quantity"
	"millrace/sim/works"
)

// lever is a lever with how its order is read.
type lever struct {
	bus.Lever
	lever works.Lever
	units []int
	read  func(p *works.Plant, text string) (float64, error)
}

// leversOf lists what people can do in a works.
func leversOf(p *works.Plant) []lever {
	var out []lever
	put := func(l works.Lever, units []int, set func(x *lever)) {
		i := works.Levers[l]
		x := lever{lever: l, units: units}
		x.Name, x.What, x.Costs = i.Name, i.What, i.Costs
		for _, u := range units {
			x.Units = append(x.Units, p.Route.Units[u].Name)
		}
		if set != nil {
			set(&x)
		}
		out = append(out, x)
	}
	casters := p.UnitsMeant("casters")
	train := []int{p.TrainUnit()}
	heat := func(x *lever) { x.Heat = true }
	share := func(_ *works.Plant, text string) (float64, error) { return quantity.ParseShare(text) }
	put(works.SetCasterSpeed, casters, func(x *lever) {
		x.Value, x.Example = "metres a minute, or normal", "0.70 m/min"
		x.read = func(p *works.Plant, text string) (float64, error) {
			if text == "normal" {
				return p.Spec.Casters[0].Normal, nil
			}
			return quantity.ParsePositive(text, quantity.Speed)
		}
	})
	put(works.EndSequence, casters, nil)
	put(works.ReopenCaster, casters, nil)
	put(works.ReturnHeat, nil, heat)
	put(works.DivertHeat, casters, heat)
	put(works.HoldHeat, nil, heat)
	put(works.SetWind, p.UnitsMeant("iron supply"), func(x *lever) {
		x.Value, x.Example = "a share of full wind, or as usual", "70 %"
		x.read = func(p *works.Plant, text string) (float64, error) {
			if text == "as usual" {
				return -1, nil
			}
			return share(p, text)
		}
	})
	if p.Spec.Yard.Overflow > 0 {
		put(works.OpenOverflow, nil, nil)
		put(works.CloseOverflow, nil, nil)
	}
	put(works.SetFurnacesBack, p.UnitsMeant("furnaces"), func(x *lever) {
		x.Value = "steps below the set-point"
		x.Units = append([]string{"all"}, x.Units...)
		for i := range len(p.Spec.Furnaces[0].SetBacks) + 1 {
			x.Choices = append(x.Choices, strconv.Itoa(i))
		}
		x.Example = "1"
		x.read = func(_ *works.Plant, text string) (float64, error) {
			n, err := quantity.ParseCount(text)
			return float64(n), err
		}
	})
	put(works.ChargeRule, nil, func(x *lever) {
		x.Value, x.Choices = "which slabs first", slices.Clone(works.Rules())
		x.Example = x.Choices[0]
		x.read = func(_ *works.Plant, text string) (float64, error) {
			for i, r := range works.Rules() {
				if strings.EqualFold(r, text) {
					return float64(i), nil
				}
			}
			return 0, fmt.Errorf("%q is no rule; choose one of: %s", text, strings.Join(works.Rules(), ", "))
		}
	})
	put(works.ChangeRolls, train, func(x *lever) { x.SendsIn = true })
	put(works.PullPlanned, append(slices.Clone(train), casters...), func(x *lever) { x.SendsIn = true })
	put(works.RestartRamp, train, func(x *lever) {
		x.Value, x.Example, x.Slabs = "pace after the stop", "70 %", true
		x.read = share
	})
	put(works.StopTapping, nil, nil)
	put(works.ResumeTapping, nil, nil)
	return out
}

// order reads an order as people write it. The error says what to write.
func (s *session) order(o *bus.Order) (works.Order, *lever, error) {
	w := works.Order{Unit: -1}
	if o == nil {
		return w, nil, fmt.Errorf("the order is missing: name a lever")
	}
	var l *lever
	var names []string
	for i := range s.levers {
		names = append(names, s.levers[i].Name)
		if strings.EqualFold(s.levers[i].Name, strings.TrimSpace(o.Lever)) {
			l = &s.levers[i]
		}
	}
	if l == nil {
		hint := ""
		if n, ok := quantity.Nearest(o.Lever, names); ok {
			hint = fmt.Sprintf("; did you mean %q?", n)
		}
		return w, nil, fmt.Errorf("there is no lever %q%s", o.Lever, hint)
	}
	w.Lever = l.lever
	unit := strings.TrimSpace(o.Unit)
	switch {
	case len(l.units) == 0:
	case len(l.units) == 1 && unit == "":
		w.Unit = l.units[0]
	case len(l.Units) > len(l.units) && (unit == "" || strings.EqualFold(unit, l.Units[0])): // all
	default:
		for k, u := range l.units {
			if strings.EqualFold(l.Units[k+len(l.Units)-len(l.units)], unit) {
				w.Unit = u
			}
		}
		if w.Unit < 0 {
			return w, l, fmt.Errorf("%s: choose one of: %s", l.Name, strings.Join(l.Units, ", "))
		}
	}
	if l.Heat {
		if o.Heat <= 0 {
			return w, l, fmt.Errorf("%s: give the number of a heat", l.Name)
		}
		w.Heat = o.Heat
	}
	if l.read != nil {
		text := strings.ToLower(strings.TrimSpace(o.Value))
		if text == "" {
			return w, l, fmt.Errorf("%s: give %s, for example %q", l.Name, l.Value, l.Example)
		}
		v, err := l.read(s.plant, text)
		if err != nil {
			return w, l, fmt.Errorf("%s: %w", l.Name, err)
		}
		w.Value = v
		if l.lever == works.SetCasterSpeed && text == "normal" {
			for c := range s.plant.Spec.Casters {
				if s.plant.CasterUnit(c) == w.Unit {
					w.Value = s.plant.Spec.Casters[c].Normal
				}
			}
		}
	}
	if l.Slabs {
		if o.Slabs < 0 || o.Slabs > 1000 {
			return w, l, fmt.Errorf("%s: %d slabs cannot be; give 0 to 1000", l.Name, o.Slabs)
		}
		w.N = o.Slabs
	}
	return w, l, nil
}

// sayOrder is an order in words.
func (s *session) sayOrder(l *lever, o *bus.Order) string {
	text := l.Name
	if o.Unit != "" {
		text += " " + o.Unit
	}
	if l.Heat {
		text += fmt.Sprintf(" %d", o.Heat)
	}
	if l.read != nil {
		text += ": " + strings.TrimSpace(o.Value)
	}
	if l.Slabs && o.Slabs > 0 {
		text += fmt.Sprintf(", %d slabs", o.Slabs)
	}
	return text
}

// settings says what is ordered now, lever by lever.
func (s *session) settings(moments []lastMoment) []bus.Setting {
	w := s.played.Works()
	out := []bus.Setting{}
	put := func(x bus.Setting, lever works.Lever) {
		x.Lever = works.Levers[lever].Name
		for _, m := range moments {
			// A last moment for all casters is one for each.
			if m.lever == lever {
				x.DecideBy, x.DecideByWhy = seconds(m.at), m.why
			}
		}
		out = append(out, x)
	}
	for c := range s.plant.Spec.Casters {
		v := w.Caster(c)
		k := &s.plant.Spec.Casters[c]
		x := bus.Setting{Name: k.Name, Unit: k.Name, Now: v.Phase, AsUsual: !v.Closed, Value: "normal"}
		if v.Speed > 0 {
			x.Now += fmt.Sprintf(" at %.2f m/min", v.Speed*60)
		}
		if v.Closed {
			x.Now += ", closed for new heats"
		}
		if aim := w.S.Casters[c].Aim; aim > 0 && math.Abs(aim-k.Normal) > 1e-9 {
			x.Value, x.AsUsual = fmt.Sprintf("%.2f m/min", aim*60), false
		}
		put(x, works.SetCasterSpeed)
	}
	put(bus.Setting{Name: "sequences", Now: "as planned", AsUsual: true}, works.EndSequence)
	i := w.Iron()
	x := bus.Setting{Name: "wind", Unit: "iron supply", Now: quantity.FormatShare(i.Wind), AsUsual: i.Auto, Value: quantity.FormatShare(i.Wind)}
	if i.Auto {
		x.Now += ", as usual"
		x.Value = "as usual"
	}
	put(x, works.SetWind)
	if s.plant.Spec.Yard.Overflow > 0 {
		if w.OverflowOpen() {
			put(bus.Setting{Name: "overflow yard", Now: "open"}, works.CloseOverflow)
		} else {
			put(bus.Setting{Name: "overflow yard", Now: "closed", AsUsual: true}, works.OpenOverflow)
		}
	}
	for f := range s.plant.Spec.Furnaces {
		v := w.Furnace(f)
		name := s.plant.Spec.Furnaces[f].Name
		x := bus.Setting{Name: name, Unit: name, Now: "at set-point", AsUsual: v.Wanted == 0, Value: strconv.Itoa(v.Wanted)}
		if v.Wanted > 0 {
			x.Now = fmt.Sprintf("set back, step %d", v.Wanted)
		}
		put(x, works.SetFurnacesBack)
	}
	rule := works.Rules()[w.S.Rule]
	put(bus.Setting{Name: "charging", Now: rule, AsUsual: w.S.Rule == 0, Value: rule}, works.ChargeRule)
	if w.TappingStopped() {
		put(bus.Setting{Name: "tapping", Now: "stopped"}, works.ResumeTapping)
	} else {
		put(bus.Setting{Name: "tapping", Now: "as usual", AsUsual: true}, works.StopTapping)
	}
	if w.S.StagePace > 0 {
		pace := quantity.FormatShare(w.S.StagePace)
		put(bus.Setting{Name: "restart", Now: pace, Value: pace}, works.RestartRamp)
	}
	for _, p := range s.planned() {
		if p.Movable && !p.Now {
			at := p.At
			put(bus.Setting{Name: "planned stop of " + p.Unit, Unit: p.Unit, Now: "due " + s.clock(calendar.Dur(at)), AsUsual: true, Due: &at}, works.PullPlanned)
		}
	}
	return out
}

// heats lists the heats in flight.
func (s *session) heats() []bus.Heat {
	out := []bus.Heat{}
	for _, h := range s.played.Works().HeatViews() {
		out = append(out, bus.Heat{Number: h.Number, Caster: h.Caster, Stage: h.Stage, AboveK: math.Round(h.AboveK*10) / 10, OpenBy: seconds(h.OpenBy)})
	}
	return out
}
