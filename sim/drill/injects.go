package drill

import (
	"fmt"
	"strconv"
	"strings"

	"millrace/sim/bus"
	"millrace/sim/calendar"
	"millrace/sim/chance"
	"millrace/sim/quantity"
	"millrace/sim/record"
	"millrace/sim/works"
)

// scriptID names an inject of the script.
func scriptID(i int) string { return "S" + strconv.Itoa(i+1) }

// scriptNumber is the number of a script inject that can still be given.
func (s *session) scriptNumber(id string) (int, error) {
	n, err := strconv.Atoi(strings.TrimPrefix(id, "S"))
	if err != nil || n < 1 || n > len(s.script) {
		return 0, fmt.Errorf("there is no inject %q to come", id)
	}
	if s.script[n-1].given {
		return 0, fmt.Errorf("inject %s was given already", id)
	}
	return n - 1, nil
}

// upsetOf is the upset that an inject of the catalogue makes.
func (s *session) upsetOf(x *bus.Inject) (works.UpsetSpec, error) {
	var names []string
	for i := range s.plant.Spec.Upsets {
		u := s.plant.Spec.Upsets[i]
		name := upsetName(&u)
		names = append(names, name)
		if !strings.EqualFold(name, strings.TrimSpace(x.Upset)) {
			continue
		}
		units := s.plant.UnitsMeant(u.Unit)
		pick := -1
		for _, k := range units {
			if strings.EqualFold(s.plant.Route.Units[k].Name, strings.TrimSpace(x.Unit)) {
				pick = k
			}
		}
		if pick < 0 && x.Unit == "" && len(units) > 0 {
			pick = units[0]
		}
		if pick < 0 {
			return u, fmt.Errorf("%s does not happen on %q; choose one of: %s", name, x.Unit, strings.Join(s.unitNames(units), ", "))
		}
		u.Unit = s.plant.Route.Units[pick].Name
		// What people are told follows from the works' own law, so that a word does
		// not give away how long the controller lets it last.
		if !u.Told.Given {
			bias := u.Told.Bias
			if bias <= 0 {
				bias = 1
			}
			u.Told.Given = true
			u.Told.Low, u.Told.Likely, u.Told.Bad = bias*u.Lasts.Quantile(0.1), bias*u.Lasts.Quantile(0.5), bias*u.Lasts.Quantile(0.9)
		}
		if x.Lasts != "" {
			d, err := quantity.ParsePositive(x.Lasts, quantity.Time)
			if err != nil {
				return u, err
			}
			longest := u.Lasts.Longest()
			if d > longest {
				return u, fmt.Errorf("%s lasts %s at most in this works; write that or less, or have its longest changed in the works file", name, quantity.FormatDuration(longest))
			}
			if u.Lasts, err = chance.Fixed(d); err != nil {
				return u, err
			}
			u.Lasts = u.Lasts.Cut(longest) // words and forecasts stay within it
		}
		return u, s.plant.CheckInject(&u)
	}
	hint := ""
	if n, ok := quantity.Nearest(x.Upset, names); ok {
		hint = fmt.Sprintf("; did you mean %q?", n)
	}
	return works.UpsetSpec{}, fmt.Errorf("there is no upset %q in the catalogue of the works%s", x.Upset, hint)
}

func (s *session) unitNames(units []int) (out []string) {
	for _, u := range units {
		out = append(out, s.plant.Route.Units[u].Name)
	}
	return out
}

// checkInject says why an inject cannot be given now, nil when it can.
func (s *session) checkInject(x *bus.Inject) error {
	if x == nil {
		return fmt.Errorf("the inject is missing: say what")
	}
	switch x.What {
	case bus.InjectGive, bus.InjectDrop:
		_, err := s.scriptNumber(x.ID)
		return err
	case bus.InjectLater:
		if _, err := s.scriptNumber(x.ID); err != nil {
			return err
		}
		_, err := quantity.ParsePositive(x.Lasts, quantity.Time)
		return err
	case bus.InjectUpset:
		u, err := s.upsetOf(x)
		if err != nil {
			return err
		}
		w := s.played.Works()
		for i := range w.Stops() {
			if v, ok := w.Stop(i); ok && !v.Over && v.Kind == u.Kind && s.plant.Route.Units[v.Unit].Name == u.Unit {
				return fmt.Errorf("%s: %s lasts already", u.Unit, works.Kinds[u.Kind].Name)
			}
		}
		return nil
	case bus.InjectTell:
		if v, ok := s.played.Works().Stop(x.Stop); !ok || v.Over {
			return fmt.Errorf("there is no stop %d that lasts", x.Stop)
		}
		_, err := quantity.ParseEstimate(x.Told)
		return err
	case bus.InjectMessage:
		if strings.TrimSpace(x.Text) == "" || len(x.Text) > 2000 {
			return fmt.Errorf("the message is empty, or longer than 2000 letters")
		}
		return nil
	}
	return fmt.Errorf("%q is no kind of inject; write upset, tell, message, give, later or drop", x.What)
}

// inject carries an inject out; why is set when it could not be.
func (s *session) inject(a *bus.Action) (why string, err error) {
	x := a.Inject
	if err := s.checkInject(x); err != nil {
		return err.Error(), nil
	}
	give := func(spec works.UpsetSpec) error {
		n, err := s.played.Works().Inject(spec, s.now())
		if err != nil {
			return err
		}
		m, err := s.nothing.Works().Inject(spec, s.now())
		if err != nil {
			return err
		}
		s.given = append(s.given, given{n, m})
		s.mark('I', a, fmt.Sprintf("%s, %s", spec.Unit, works.Kinds[spec.Kind].Name), bus.LogInject, s.rowOfName(spec.Unit), bus.ForStaff)
		return nil
	}
	switch x.What {
	case bus.InjectGive:
		i, _ := s.scriptNumber(x.ID)
		s.script[i].given, s.script[i].at = true, s.now()
		return "", give(s.sc.Case.Script[i])
	case bus.InjectLater:
		i, _ := s.scriptNumber(x.ID)
		d, _ := quantity.ParsePositive(x.Lasts, quantity.Time)
		s.script[i].at = max(s.script[i].at, s.now()) + calendar.Dur(d)
		s.script[i].byHand = false
		s.line(bus.ForStaff, bus.LogLine{What: bus.LogDrill, Row: -1, By: a.By, Text: "inject " + x.ID + " later, at " + s.clock(s.script[i].at)})
	case bus.InjectDrop:
		i, _ := s.scriptNumber(x.ID)
		s.script[i].byHand = true
		s.line(bus.ForStaff, bus.LogLine{What: bus.LogDrill, Row: -1, By: a.By, Text: "inject " + x.ID + " only by hand"})
	case bus.InjectUpset:
		u, _ := s.upsetOf(x)
		return "", give(u)
	case bus.InjectTell:
		e, _ := quantity.ParseEstimate(x.Told)
		s.mark('I', a, fmt.Sprintf("word on stop %d: %s", x.Stop, e), bus.LogInject, -1, bus.ForStaff)
		if err := s.played.Works().Tell(x.Stop, e.Low, e.Likely, e.Bad); err != nil {
			return "", err
		}
		for _, g := range s.given {
			if g.played == x.Stop && s.nothing.Works().UpsetActive(g.nothing) {
				return "", s.nothing.Works().Tell(g.nothing, e.Low, e.Likely, e.Bad)
			}
		}
	case bus.InjectMessage:
		to, from := x.To, x.From
		if to == "" {
			to = "all"
		}
		s.told = append(s.told, bus.Told{N: len(s.told) + 1, Stop: -1, Row: -1, To: to, From: from, Text: x.Text, At: s.now().Seconds(), Clock: s.iso(s.now())})
		s.mark('I', a, "message to "+to+": "+x.Text, bus.LogInject, -1, bus.ForStaff)
	}
	return "", nil
}

func (s *session) rowOfName(unit string) int {
	if us := s.plant.UnitsMeant(unit); len(us) > 0 {
		return rowOf(s.rows, us[0])
	}
	return -1
}

// hear takes one record of the works into the log and the words, as people learn
// of it.
func (s *session) hear(e *record.Event) {
	say := func(to bus.Audience, text string) {
		r := -1
		if e.Kind != record.Due && e.From >= 0 {
			r = rowOf(s.rows, int(e.From))
		}
		s.lineAt(to, bus.LogLine{What: bus.LogWorks, Row: r, Text: text}, e.T)
	}
	unit := func() string {
		if e.From >= 0 && int(e.From) < len(s.plant.Route.Units) {
			return s.plant.Route.Units[e.From].Name
		}
		return "works"
	}
	switch e.Kind {
	case record.Move, record.State, record.Level, record.Ordered, record.Refused:
		return
	case record.Upset:
		if e.B < 0 { // late heats are known when they are late
			say(bus.ForAll, s.plant.Say(e, s.clock))
			return
		}
		say(bus.ForAll, unit()+": trouble, "+notYet)
		say(bus.ForStaff, s.plant.Say(e, s.clock))
	case record.Told:
		if !s.kinds[int(e.B)] {
			s.kinds[int(e.B)] = true
			say(bus.ForAll, unit()+": it is a "+works.Kinds[e.A].Name)
		}
		text := s.plant.Say(e, s.clock)
		say(bus.ForAll, text)
		low, likely, badly := calendar.Time(e.X).Seconds(), calendar.Time(e.Y).Seconds(), calendar.Time(e.Z).Seconds()
		s.told = append(s.told, bus.Told{N: len(s.told) + 1, Stop: int(e.B), Row: rowOf(s.rows, int(e.From)), To: "all", From: "maintenance", Text: text,
			At: e.T.Seconds(), Clock: s.iso(e.T), Low: &low, Likely: &likely, Bad: &badly})
	case record.Over:
		s.ended[int(e.B)] = e.T
		for i := range s.told {
			if t := &s.told[i]; t.Stop == int(e.B) && !t.Over {
				t.Over = true
				s.over = append(s.over, i)
			}
		}
		if s.kinds[int(e.B)] {
			say(bus.ForAll, s.plant.Say(e, s.clock))
		} else {
			say(bus.ForAll, unit()+": the trouble is over")
			say(bus.ForStaff, s.plant.Say(e, s.clock))
		}
	default:
		if text := s.plant.Say(e, s.clock); text != "" {
			say(bus.ForAll, text)
		}
	}
}

// upsetName is how an upset of the works file is called.
func upsetName(u *works.UpsetSpec) string {
	if u.Name != "" {
		return u.Name
	}
	return works.Kinds[u.Kind].Name
}

// catalogue lists what a controller can make happen.
func (s *session) catalogue() []bus.Upset {
	out := []bus.Upset{}
	for i := range s.plant.Spec.Upsets {
		u := &s.plant.Spec.Upsets[i]
		if s.plant.CheckInject(u) != nil {
			continue
		}
		k := works.Kinds[u.Kind]
		out = append(out, bus.Upset{Name: upsetName(u), What: k.What, Caution: u.Warning(), Units: s.unitNames(s.plant.UnitsMeant(u.Unit)), Median: u.Lasts.Median()})
	}
	return out
}

// toCome lists the injects of the script.
func (s *session) toCome() []bus.ToCome {
	out := []bus.ToCome{}
	for i := range s.script {
		u := &s.sc.Case.Script[i]
		out = append(out, bus.ToCome{ID: scriptID(i), At: s.script[i].at.Seconds(), Unit: u.Unit, Row: s.rowOfName(u.Unit), Kind: works.Kinds[u.Kind].Name,
			What: works.Kinds[u.Kind].What, Held: s.script[i].byHand, Given: s.script[i].given})
	}
	return out
}
