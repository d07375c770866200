package scripting

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"math"
	"slices"

	"millrace/scripting/decl"
	"millrace/scripting/sandbox"
	"millrace/sim/calendar"
	"millrace/sim/quantity"
	"millrace/sim/record"
	"millrace/sim/works"
)

// Scenario is a scenario file with the works it is played in.
type Scenario struct {
	Name string
	// Public is the title that players of a drill see, "" for one that gives nothing away.
	Public string
	File   string

	Works   *Works
	From    quantity.Clock
	Length  float64 // s
	Longest float64 // s to which a run may be extended until the works is normal again
	SoldOut bool    // everything made can be sold; otherwise the order book only
	// Background lets the upsets of the works file happen beside the scripted ones.
	Background bool
	// Levels are stores that do not start at their normal level, g by place.
	Levels map[record.Place]int64

	Futures int    // 0 when the file does not say
	Seed    uint64 // 1 when the file does not say
	Script  []works.UpsetSpec
	Plans   []Plan
	Expect  Expect

	// Bundle holds every file read, the scenario's own first.
	Bundle
}

// Expect is what the writer of a scenario expects of it.
type Expect struct {
	Given bool
	Best  string // the plan that should come out best, or "cannot tell"
	Worst string // the plan that should come out worst
}

// CannotTell is the expectation that no plan is shown to be best.
const CannotTell = "cannot tell"

// LoadScenario reads a scenario with its works. The error is decl.Problems where a
// file is at fault, each with file and line.
func LoadScenario(file string, load Loader) (*Scenario, error) {
	r := &scenarioReader{sc: &Scenario{File: file, Seed: 1}, load: load}
	source, err := r.sc.Bundle.read(file, load)
	if err != nil {
		var p decl.Problems
		p.At(decl.Place{File: file}, notRead(file, err), "check the path")
		return nil, p.Err()
	}
	r.script, err = decl.Compile(file, source)
	if err != nil {
		var p decl.Problems
		p.Add(err)
		return nil, p.Err()
	}
	r.lang = language(r)
	state, err := r.lang.Read(r.script, sandbox.Options{})
	if state != nil {
		defer state.Close()
	}
	r.checkExpect()
	all := r.others
	if err != nil {
		var p decl.Problems
		if !errors.As(err, &p) {
			p.Add(err)
		}
		all = append(all, p...)
	}
	if err := all.Err(); err != nil {
		return nil, err
	}
	if !r.begun {
		var p decl.Problems
		p.At(decl.Place{File: file}, "there is no scenario in the file", `begin it with scenario "name" { ... }`)
		return nil, p.Err()
	}
	sc := r.sc
	slab := sc.Works.Plant.MeanSlab()
	for i := range sc.Plans {
		sc.Plans[i].of = &planSource{script: r.script, lang: planLanguage(slab), slab: slab}
	}
	return sc, nil
}

// Inputs is a fingerprint of everything the scenario was made from.
func (sc *Scenario) Inputs() string {
	h := sha256.New()
	for i := range sc.Files {
		fmt.Fprintln(h, sc.Files[i].Name, sc.Files[i].SHA256)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// Plan is the plan of that name, nil when there is none.
func (sc *Scenario) Plan(name string) *Plan {
	for i := range sc.Plans {
		if sc.Plans[i].Name == name {
			return &sc.Plans[i]
		}
	}
	return nil
}

// Start is what a run of the scenario begins with, but for its luck.
func (sc *Scenario) Start() works.Start {
	return works.Start{Script: sc.Script, Background: sc.Background, SoldOut: sc.SoldOut, Levels: sc.Levels}
}

// language is the language of scenario files.
func language(r *scenarioReader) *decl.Language {
	l := decl.NewLanguage()
	for _, tag := range lawTags {
		l.RegisterTag(tag)
	}
	l.RegisterBlock("scenario", r.scenario)
	l.RegisterBlock("upset", r.upset)
	l.RegisterBlock("plan", r.plan)
	addAmounts(l, 0)
	return l
}

// planLanguage is the same language for taking a plan's function again; slab is the
// mean slab, kg.
func planLanguage(slab float64) *decl.Language {
	l := decl.NewLanguage()
	for _, tag := range lawTags {
		l.RegisterTag(tag)
	}
	for _, kind := range []string{"scenario", "upset", "plan"} {
		l.RegisterBlock(kind, func(decl.Block) {})
	}
	addAmounts(l, slab)
	return l
}

// scenarioReader decodes a scenario file.
type scenarioReader struct {
	sc     *Scenario
	load   Loader
	script *decl.Script
	lang   *decl.Language
	others decl.Problems // of the works file
	begun  bool
	expect *decl.Table
}

func (r *scenarioReader) scenario(b decl.Block) {
	if r.begun {
		b.Problem("there is a scenario in this file already", "keep one scenario in a file")
		return
	}
	r.begun = true
	sc := r.sc
	sc.Name = b.Name
	s := &section{t: b.Table()}
	name := ""
	s.text("works", &name)
	s.ask("from")
	from, okFrom := s.t.MustClock("from")
	sc.From = from
	s.time("length", &sc.Length, within{"1 h", "2 years"})
	sc.Longest = math.Max(sc.Length, 28*86400)
	s.quantity0("longest", quantity.Time, &sc.Longest, within{"1 h", "2 years"})
	if sc.Longest < sc.Length {
		s.t.Problem("longest", "it is shorter than length", "")
	}
	demand := "sold out"
	s.word0("demand", &demand, "sold out", "book only")
	sc.SoldOut = demand == "sold out"
	sc.Background = true
	s.bool0("background", &sc.Background)
	s.count0("futures", &sc.Futures, 1, 100000)
	seed := 1
	s.count0("seed", &seed, 0, 1e9-1)
	sc.Seed = uint64(seed)
	s.text0("note", new(string))
	s.text0("public", &sc.Public)
	if e := s.sub0("expect"); e != nil {
		sc.Expect.Given = true
		e.text0("best", &sc.Expect.Best)
		e.text0("worst", &sc.Expect.Worst)
		e.end()
		r.expect = e.t
	}
	levels := s.sub0("levels")
	s.end()
	if name == "" || !okFrom {
		return
	}
	w := &Works{File: worksFile(r.sc.File, name)}
	w.Bundle = sc.Bundle
	err := w.load(r.load, from)
	sc.Bundle = w.Bundle
	if err != nil {
		var p decl.Problems
		switch {
		case len(w.Files) == 1: // only the scenario itself could be read
			s.t.Problem("works", notReadWorks(name, w.File, err), "write a name such as \"larkfell\", or a path from the folder of this file")
		case errors.As(err, &p):
			r.others = append(r.others, p...)
		default:
			r.others.Add(err)
		}
		return
	}
	w.Plant.Route.Start = int64(from)
	sc.Works = w
	if levels != nil {
		r.levels(levels)
	}
}

func notReadWorks(name, file string, err error) string {
	var p decl.Problems
	var one *decl.Problem
	if errors.As(err, &p) && len(p) > 0 && errors.As(p[0], &one) {
		return one.What
	}
	return fmt.Sprintf("works %q (%s) could not be read", name, file)
}

// checkExpect refuses expectations of plans that are not there.
func (r *scenarioReader) checkExpect() {
	if r.expect == nil {
		return
	}
	names := []string{CannotTell}
	for i := range r.sc.Plans {
		names = append(names, r.sc.Plans[i].Name)
	}
	for _, k := range []struct{ key, name string }{{"best", r.sc.Expect.Best}, {"worst", r.sc.Expect.Worst}} {
		if k.name == "" || slices.Contains(names, k.name) {
			continue
		}
		do := "write one of " + joined(names)
		if near, ok := quantity.Nearest(k.name, names); ok {
			do = `did you mean "` + near + `"?`
		}
		r.others.At(r.expect.At(k.key), k.key+`: there is no plan "`+k.name+`"`, do)
	}
}

// levels reads the stores that do not start at their normal level.
func (r *scenarioReader) levels(s *section) {
	p := r.sc.Works.Plant
	r.sc.Levels = map[record.Place]int64{}
	for _, e := range s.t.Entries() {
		at, ok := p.StoreNamed(e.Key)
		if !ok || !p.CanSet(at) {
			var names []string
			for _, s := range p.Settable() {
				names = append(names, p.StoreInfo(s).Name)
			}
			unknown(s.t, e.Key, e.Key, "store", names)
			continue
		}
		info := p.StoreInfo(at)
		x := 0.0
		if info.Amount == "GJ" {
			j, ok := e.Value.AsQuantity(quantity.Energy)
			if !ok {
				continue
			}
			x = j / 1000
		} else if info.Amount == "t" {
			kg, ok := e.Value.AsQuantity(quantity.Mass)
			if !ok {
				continue
			}
			x = kg * 1000
		} else {
			n, ok := e.Value.AsCount()
			if !ok {
				continue
			}
			x = float64(n) * info.PerAmount
		}
		if info.Room > 0 && x > float64(info.Room) {
			room := quantity.FormatNumber(float64(info.Room)/1e6, 0) + " t"
			if info.Amount != "t" {
				room = quantity.FormatNumber(float64(info.Room)/info.PerAmount, 0) + " " + info.Amount
			}
			e.Value.Problem(written(e.Value)+" is more than the "+e.Key+" holds, "+room, "write a level that fits")
			continue
		}
		r.sc.Levels[at] = int64(math.Round(x))
	}
}

func (r *scenarioReader) upset(b decl.Block) {
	if !r.begun {
		b.Problem(fmt.Sprintf("upset %q stands before the scenario it belongs to", b.Name), "begin the file with scenario \"name\" { ... }")
		return
	}
	if r.sc.Works == nil {
		return // the works could not be read, and that was said
	}
	u := upsetReader{spec: &r.sc.Works.Spec, scripted: true, from: r.sc.From, length: r.sc.Length}
	if spec, ok := u.read(b); ok {
		r.sc.Script = append(r.sc.Script, spec)
	}
}

func (r *scenarioReader) plan(b decl.Block) {
	p := Plan{Name: b.Name, index: len(r.sc.Plans), Line: b.Place.Line}
	switch v := b.Value; {
	case v.Kind == decl.TableValue && v.Tag == "":
		v.Table.Known() // there is nothing to write in it
		p.Empty = true
	case v.Kind == decl.FuncValue && v.Tag == "":
	default:
		b.Problem(fmt.Sprintf("plan %q is neither a function nor {}, which is standing orders alone", b.Name), `write plan "name" (function (works) ... end)`)
		return
	}
	r.sc.Plans = append(r.sc.Plans, p)
}

// Time gives a length of the scenario as simulated time.
func (sc *Scenario) Time(seconds float64) calendar.Time { return calendar.Dur(seconds) }
