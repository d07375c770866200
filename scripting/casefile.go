package scripting

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"math"
	"strings"

	"millrace/scripting/decl"
	"millrace/scripting/sandbox"
	"millrace/sim/quantity"
)

// CaseFile is a capital case as read: options on one works.
type CaseFile struct {
	Name string
	File string
	Note string

	From     quantity.Clock
	Years    int     // of operation that are played
	Life     int     // years over which the money is counted, Years or more
	Futures  int     // 0 when the file does not say
	Seed     uint64  // 1 when the file does not say
	Discount float64 // a year
	// SoldOut: everything made can be sold. Otherwise Book is what is ordered, kg of
	// dispatched coils a second, and OrdersAhead how long before it is due, s.
	SoldOut     bool
	BookShare   float64 // of what the works can make; 0 where Book is given
	Book        float64
	OrdersAhead float64
	Sources     []Assumption

	Options []Option // the first is what the others are measured against
	Bundle
}

// Assumption is a figure that the case rests on, and where it comes from.
type Assumption struct{ What, Source string }

// Option is one thing that could be done, with the works it makes.
type Option struct {
	Name string
	Role string // one of Roles
	Note string
	Line int

	Works   *Works   // the works with the option's changes
	Changes []string // as written, one a line
	Pays    []Payment
	Running []Payment // Amount is a year, from the day it works
	Takes   float64   // s from the decision until it works
	Ramp    []RampStep
	TieIns  []TieIn
	Salvage float64 // money at the end of the life

	// Safety and After are in the case's own words, or in points, each with what it is
	// about in front.
	Safety, After             string
	SafetyPoints, AfterPoints []string
	Source                    string
}

// Payment is money paid once, After s from the decision, or every year.
type Payment struct {
	What   string
	Amount float64
	After  float64
	Source string
}

// RampStep is a share of the gain that is had for a time after the start.
type RampStep struct {
	Share float64
	For   float64 // s
}

// TieIn is a stop of a unit that building the option needs.
type TieIn struct {
	Unit  string
	After float64 // s from the decision
	Lasts float64 // s
}

// Roles of options in a request.
var Roles = []string{"do nothing", "do less", "proposal", "bigger"}

// LoadCase reads a case with its works, once for every option. The error is
// decl.Problems where a file is at fault, each with file and line.
func LoadCase(file string, load Loader) (*CaseFile, error) {
	r := &caseReader{c: &CaseFile{File: file, Seed: 1, SoldOut: true}, load: load}
	source, err := r.c.Bundle.read(file, load)
	if err != nil {
		var p decl.Problems
		p.At(decl.Place{File: file}, notRead(file, err), "check the path")
		return nil, p.Err()
	}
	script, err := decl.Compile(file, source)
	if err != nil {
		var p decl.Problems
		p.Add(err)
		return nil, p.Err()
	}
	lang := decl.NewLanguage()
	for _, tag := range append(lawTags, "include") {
		lang.RegisterTag(tag)
	}
	lang.RegisterBlock("case", r.head)
	lang.RegisterBlock("option", r.option)
	state, err := lang.Read(script, sandbox.Options{})
	if state != nil {
		defer state.Close()
	}
	all := r.others
	if err != nil {
		var p decl.Problems
		if !errors.As(err, &p) {
			p.Add(err)
		}
		for _, e := range p {
			for _, l := range r.laid { // a wrong key in changes is found when it is laid over the works
				e = l.seen.explain(e, l.changes)
			}
			all.Add(e)
		}
	}
	if err := all.Err(); err != nil {
		return nil, err
	}
	var p decl.Problems
	switch {
	case !r.begun:
		p.At(decl.Place{File: file}, "there is no case in the file", `begin it with case "name" { ... }`)
	case len(r.c.Options) < 2:
		p.At(decl.Place{File: file}, "a case compares options, and there are fewer than two", `write option "do nothing" {} and option "..." { ... }`)
	}
	return r.c, p.Err()
}

// Inputs is a fingerprint of everything the case was made from.
func (c *CaseFile) Inputs() string {
	h := sha256.New()
	for i := range c.Files {
		fmt.Fprintln(h, c.Files[i].Name, c.Files[i].SHA256)
	}
	return hex.EncodeToString(h.Sum(nil))
}

type caseReader struct {
	c      *CaseFile
	load   Loader
	others decl.Problems // of the works file
	begun  bool
	file   string // of the works
	common layer
	money  currency
	laid   []layer
	roles  []roleOf // of the options read so far, good or bad
}

type roleOf struct {
	name, role string
	line       int
}

func (r *caseReader) head(b decl.Block) {
	if r.begun {
		b.Problem("there is a case in this file already", "keep one case in a file")
		return
	}
	r.begun = true
	c := r.c
	c.Name = b.Name
	s := &section{t: b.Table(), money: &r.money}
	name := ""
	s.text("works", &name)
	s.ask("from")
	from, _ := s.t.MustClock("from")
	c.From = from
	s.count("years", &c.Years, 1, 30)
	c.Life = c.Years
	s.count0("life", &c.Life, 1, 50)
	if s.t.Has("life") && c.Life < c.Years {
		s.t.Problem("life", "it is shorter than the years that are played", "write years or more")
	}
	s.count0("futures", &c.Futures, 1, 100000)
	seed := 1
	s.count0("seed", &seed, 0, 1e9-1)
	c.Seed = uint64(seed)
	s.ask("discount")
	if s.t.NeedLike("discount", `"8 %"`) {
		s.quantity0("discount", quantity.Fraction, &c.Discount, within{"0 %", "100 %"})
	}
	s.text0("note", &c.Note)
	r.demand(s)
	s.list0("assumptions", func(s *section) {
		a := more(&c.Sources)
		s.text("what", &a.What)
		s.text("source", &a.Source)
		s.end()
	})
	r.common = r.layer(s)
	s.end()
	if name != "" {
		r.file = worksFile(c.File, name)
		w := &Works{File: r.file} // what is wrong with it is told when an option is laid over it
		if w.load(r.load, c.From) == nil {
			r.money.word = w.Spec.Currency
		}
	}
}

// demand reads what can be sold.
func (r *caseReader) demand(s *section) {
	c := r.c
	word := "sold out"
	s.word0("demand", &word, "sold out", "book only")
	if v, there := s.t.Get("demand"); there && v.Text != word { // not known: what else it needs cannot be said
		s.ask("book")
		s.ask("orders_ahead")
		return
	}
	c.SoldOut = word == "sold out"
	c.OrdersAhead = 28 * 86400
	s.quantity0("orders_ahead", quantity.Time, &c.OrdersAhead, within{"1 week", "1 year"})
	s.ask("book")
	v, there := s.t.Get("book")
	switch {
	case c.SoldOut && there:
		s.t.Problem("book", "there is no book where everything can be sold", `write demand = "book only", or take it out`)
	case !c.SoldOut && !there:
		s.t.Problem("demand", `"book only" needs what is ordered`, `add book = "80 %" of what the works can make, or book = "3 Mt/year"`)
	case there:
		if x, err := quantity.Parse(v.Text, quantity.Fraction); err == nil && v.Kind == decl.TextValue {
			c.BookShare = x
			if !(within{"10 %", "100 %"}).check(v, quantity.Fraction, x) {
				return
			}
			return
		}
		s.quantity0("book", quantity.MassRate, &c.Book, within{"1 t/h", "5000 t/h"})
	}
}

// layer reads what is laid over the works file.
func (r *caseReader) layer(s *section) layer {
	l := layer{met: map[string]bool{}, seen: &seen{}}
	for _, k := range []struct {
		key string
		to  **decl.Table
	}{{"changes", &l.changes}, {"upsets", &l.upsets}} {
		s.ask(k.key)
		if t, ok := s.t.Sub(k.key); ok {
			*k.to = t
		}
	}
	r.laid = append(r.laid, l)
	return l
}

func (r *caseReader) option(b decl.Block) {
	c := r.c
	if !r.begun {
		b.Problem(fmt.Sprintf("option %q stands before the case it belongs to", b.Name), "begin the file with case \"name\" { ... }")
		return
	}
	for i := range c.Options {
		if strings.EqualFold(strings.TrimSpace(c.Options[i].Name), strings.TrimSpace(b.Name)) {
			if c.Options[i].Name != b.Name { // the same to the letter is told by the language
				b.Problem(fmt.Sprintf("there is an option %q already, on line %d", b.Name, c.Options[i].Line), "give each option a name of its own")
			}
			return
		}
	}
	if strings.TrimSpace(b.Name) == "" {
		b.Problem("this option has an empty name", "give it a name of its own")
		return
	}
	o := Option{Name: b.Name, Line: b.Place.Line}
	s := &section{t: b.Table(), money: &r.money}
	s.text0("note", &o.Note)
	own := r.layer(s)
	first := len(c.Options) == 0
	o.Role = "proposal"
	if first {
		o.Role = "do nothing"
	}
	s.word0("role", &o.Role, Roles...)
	if v, there := s.t.Get("role"); there && v.Text != o.Role {
		o.Role = "" // not known, and told so
	}
	if o.Role == "proposal" {
		for i := range r.roles {
			if r.roles[i].role == "proposal" {
				s.t.Problem("role", fmt.Sprintf("it is a second proposal beside %q on line %d", r.roles[i].name, r.roles[i].line), `an option is the proposal when it does not say: write role = "do less" or role = "bigger"`)
				break
			}
		}
	}
	r.roles = append(r.roles, roleOf{o.Name, o.Role, o.Line})
	r.pays(s, "pays", &o.Pays, quantity.Money)
	r.pays(s, "running", &o.Running, quantity.MoneyPerTime)
	var saves []Payment
	r.pays(s, "saves", &saves, quantity.MoneyPerTime)
	for _, p := range saves {
		p.What, p.Amount = "saved: "+p.What, -p.Amount
		o.Running = append(o.Running, p)
	}
	s.quantity0("takes", quantity.Time, &o.Takes, within{"0 d", "10 years"})
	if life := float64(c.Life) * 365 * 86400; c.Life > 0 && o.Takes >= life {
		s.t.Problem("takes", "it would work only after the "+years(c.Life)+" for which money is counted", "shorten it, or write a longer life in the case")
	}
	s.list0("ramp", func(s *section) {
		k := more(&o.Ramp)
		s.quantity("share", quantity.Fraction, &k.Share, within{"0 %", "100 %"})
		s.time("for", &k.For, within{"1 d", "5 years"})
		s.end()
	})
	var units []decl.Value
	s.list0("tie_in", func(s *section) {
		k := more(&o.TieIns)
		s.text("unit", &k.Unit)
		v, _ := s.t.Get("unit")
		units = append(units, v)
		s.time("after", &k.After, within{"0 d", "10 years"})
		s.time("lasts", &k.Lasts, within{"1 h", "60 d"})
		s.end()
	})
	s.quantity0("salvage", quantity.Money, &o.Salvage)
	if v, there := s.t.Get("salvage"); there && o.Salvage < 0 {
		v.Problem(written(v)+" is negative", `write what is received for it; what is paid at the end is a payment: pays = { what = "...", amount = "...", after = "`+years(c.Life)+`" }`)
	}
	points(s, "safety", &o.Safety, &o.SafetyPoints, [][2]string{{"hazards", "changed hazards"}, {"permits", "permits"}, {"crew", "crew"}})
	points(s, "test_after", &o.After, &o.AfterPoints, [][2]string{{"figure", "the figure"}, {"read", "read in"}, {"when", "when"}, {"signs", "signed by"}})
	s.text0("source", &o.Source)
	if !first && own.changes == nil && own.upsets == nil && len(o.Running) == 0 {
		s.t.Problem("", "nothing is changed", `add changes = { ... } to the works, upsets = { ["name"] = { ... } }, or running = { ... }`)
	}
	if (own.changes != nil || own.upsets != nil) && !s.t.Has("pays") {
		s.t.Problem("", "it changes the works, and nothing is paid for it", `add pays = { { what = "...", amount = "1.2 MEUR" } }; amount = "0 EUR" when it costs nothing`)
	}
	s.end()
	if r.file == "" {
		return
	}
	w := &Works{File: r.file, layers: []layer{r.common, own}}
	w.Bundle = c.Bundle
	err := w.load(r.load, c.From)
	c.Bundle = w.Bundle
	if err != nil {
		var p decl.Problems
		switch {
		case len(w.Files) == 1:
			r.others.At(decl.Place{File: c.File}, notReadWorks(r.file, r.file, err), "write a name such as \"larkfell\", or a path from the folder of this file")
		case errors.As(err, &p):
			for _, e := range p {
				r.others.Add(e)
			}
		default:
			r.others.Add(err)
		}
		return
	}
	w.Plant.Route.Start = int64(c.From)
	if w.Spec.Currency != "" && r.money.word != "" && w.Spec.Currency != r.money.word {
		s.t.Problem("pays", "it is in "+r.money.word+", but the works counts in "+w.Spec.Currency, "write every amount in one currency")
	}
	for i, v := range units {
		if u := o.TieIns[i].Unit; u != "" && !isUnit(&w.Spec, u) {
			do := "write one of " + joined(stopNames(&w.Spec))
			if near, ok := quantity.Nearest(u, stopNames(&w.Spec)); ok {
				do = `did you mean "` + near + `"?`
			}
			v.Problem(`there is no unit "`+u+`"`, do)
		}
	}
	o.Works, o.Changes = w, own.written()
	if !first && (own.changes != nil || own.upsets != nil) && own.idle() {
		s.t.Problem("", "nothing is changed: every value is what it was", "write another value, or leave the option out")
	}
	c.Options = append(c.Options, o)
}

// pays reads payments: one table or a list of them.
func (r *caseReader) pays(s *section, key string, to *[]Payment, d quantity.Dimension) {
	s.list0(key, func(s *section) {
		p := more(to)
		s.text("what", &p.What)
		if v, there := s.t.Get("amount"); !there || !onceOrYearly(v, d) {
			s.quantity("amount", d, &p.Amount)
		} else {
			s.ask("amount")
		}
		if v, there := s.t.Get("amount"); there && p.Amount < 0 {
			v.Problem(written(v)+" is negative", `write it positive: pays and running are spent, saves = { what = "...", amount = "..." } is saved every year`)
		}
		if d == quantity.Money {
			s.quantity0("after", quantity.Time, &p.After, within{"0 d", "50 years"})
			if life := r.c.Life; life > 0 && p.After > float64(life)*365*86400 {
				s.t.Problem("after", "it is paid after the "+years(life)+" for which money is counted", "write an earlier day, or a longer life in the case")
			}
		} else {
			p.Amount *= 365 * 86400 // a year
		}
		s.text0("source", &p.Source)
		s.end()
		if math.IsNaN(p.Amount) {
			p.Amount = 0
		}
	})
}

// onceOrYearly reports money paid once where money a year is asked, and the other way.
func onceOrYearly(v decl.Value, d quantity.Dimension) bool {
	if v.Kind != decl.TextValue {
		return false
	}
	if _, err := quantity.Parse(v.Text, quantity.Money); err == nil && d == quantity.MoneyPerTime {
		v.Problem(written(v)+" is paid once, and here it is so much a year", fmt.Sprintf("write %q, or put it under pays", strings.TrimSpace(v.Text)+"/year"))
		return true
	}
	if _, err := quantity.Parse(v.Text, quantity.MoneyPerTime); err == nil && d == quantity.Money {
		v.Problem(written(v)+" comes every year, and pays are paid once", `write "1.2 MEUR", or put it under running = { what = "...", amount = "..." }`)
		return true
	}
	return false
}

func years(n int) string {
	if n == 1 {
		return "1 year"
	}
	return fmt.Sprintf("%d years", n)
}

// points reads what is said about a subject: a text, or a table of what must be said,
// each key with the words put before it.
func points(s *section, key string, text *string, to *[]string, keys [][2]string) {
	v, there := s.t.Get(key)
	if !there || v.Kind != decl.TableValue {
		s.text0(key, text)
		return
	}
	if t := s.sub(key); t != nil {
		for _, k := range keys {
			said := ""
			t.text(k[0], &said)
			*to = append(*to, k[1]+": "+said)
		}
		t.end()
	}
}
