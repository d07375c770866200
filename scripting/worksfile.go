package scripting

import (
	"errors"
	"math"
	"strings"

	"millrace/scripting/decl"
	"millrace/scripting/sandbox"
	"millrace/sim/quantity"
	"millrace/sim/works"
)

// Works is a works file as read.
type Works struct {
	File string
	// Spec is the works for a run that starts at the time the file was read for:
	// due dates and the first planned stops are counted from there.
	Spec works.Spec
	// Plant is Spec with everything computed from it. It is never written and may
	// be shared by any number of runs.
	Plant *works.Plant

	layers []layer
	Bundle
}

// LoadWorks reads a works file for runs that start at from. The error is
// decl.Problems where the file is at fault, each with file and line.
func LoadWorks(file string, load Loader, from quantity.Clock) (*Works, error) {
	w := &Works{File: file}
	if err := w.load(load, from); err != nil {
		return nil, err
	}
	return w, nil
}

func (w *Works) load(load Loader, from quantity.Clock) error {
	var problems decl.Problems
	source, err := w.Bundle.read(w.File, load)
	if err != nil {
		problems.At(decl.Place{File: w.File}, notRead(w.File, err), "check the path")
		return problems.Err()
	}
	script, err := decl.Compile(w.File, source)
	if err != nil {
		return err
	}
	r := &worksReader{file: w.File, from: from, layers: w.layers, load: func(name string) ([]byte, error) { return w.Bundle.read(name, load) }}
	lang := decl.NewLanguage()
	for _, tag := range append(lawTags, "include") {
		lang.RegisterTag(tag)
	}
	lang.RegisterBlock("works", r.works)
	lang.RegisterBlock("upset", r.upset)
	_, err = lang.Read(script, sandbox.Options{})
	if err != nil {
		return err
	}
	r.unmet()
	if r.block == nil {
		problems.At(decl.Place{File: w.File}, "there is no works in the file", `write works "name" { ... }`)
		return problems.Err()
	}
	w.Spec = r.spec
	w.Plant, err = works.Build(r.spec)
	if err != nil {
		return r.locate(err)
	}
	return nil
}

// worksReader decodes a works file.
type worksReader struct {
	file   string
	from   quantity.Clock
	load   Loader
	spec   works.Spec
	block  *decl.Table
	layers []layer
	parts  map[string]decl.Place // where each part of the works is described
}

// works decodes the block of that name.
func (r *worksReader) works(b decl.Block) {
	b = r.over(b)
	t := b.Table()
	if r.block != nil {
		b.Problem("there is a works in this file already", "keep one works in a file")
		return
	}
	r.block = t
	r.parts = map[string]decl.Place{"works": t.Place}
	s := &section{t: t, money: &currency{}}
	p := &r.spec
	p.Name = b.Name
	s.bool0("invented", &p.Invented)
	s.text0("note", new(string))
	s.text("currency", &p.Currency)
	s.money.word = p.Currency
	s.celsius("ambient", &p.Ambient, within{"-40 C", "60 C"})
	r.part(s, "slabs", "slabs", r.slabs)
	s.each("grades", r.grade)
	s.ask("products")
	if _, ok := t.MustTables("products"); ok {
		s.list0("products", r.product)
		r.parts["products"] = t.At("products")
		sum := 0.0
		for i := range p.Products {
			sum += p.Products[i].Share
		}
		if math.Abs(sum-1) > 0.005 && len(p.Products) > 0 {
			t.Problem("products", "the shares add up to "+quantity.FormatNumber(sum*100, 1)+" %", "make them 100 %")
		}
	}
	r.part(s, "iron_supply", "iron supply", r.iron)
	r.part(s, "steel_shop", "steel shop", r.shop)
	s.each("casters", func(name string, s *section) { r.parts[name] = s.t.Place; r.caster(name, s) })
	r.part(s, "slab_yard", "slab yard", r.yard)
	s.each("furnaces", func(name string, s *section) { r.parts[name] = s.t.Place; r.furnace(name, s) })
	r.part(s, "rougher", "rougher", r.rougher)
	r.part(s, "finishing_train", "finishing train", r.train)
	r.part(s, "run_out_table", "run-out table", r.runOut)
	r.part(s, "coilers", "coilers", r.coilers)
	r.part(s, "conveyor", "conveyor", r.conveyor)
	r.part(s, "coil_yard", "coil yard", r.coilYard)
	r.part(s, "demand", "demand", r.demand)
	r.cold(s)
	r.part(s, "fuel_gas", "fuel gas", r.gas)
	r.part(s, "costs", "costs", r.costs)
	r.part(s, "standing_orders", "standing orders", r.standing)
	s.list0("planned_stops", r.planned)
	s.list0("calls", r.call)
	r.orders(s)
	s.end()
	r.fill()
}

func (r *worksReader) part(s *section, key, name string, read func(*section)) {
	if p := s.sub(key); p != nil {
		r.parts[name] = p.t.Place
		read(p)
	}
}

// fill completes units known by their rate, from the mean slab.
func (r *worksReader) fill() {
	p := &r.spec
	width, share := 0.0, 0.0
	for i := range p.Products {
		width += p.Products[i].Share * p.Products[i].Width
		share += p.Products[i].Share
	}
	if !(share > 0) {
		return
	}
	width /= share
	const density = 7850 // of the cold slab
	slab := width * p.SlabThick * p.SlabLen * density
	for i := range p.Casters {
		neutralSpeeds(&p.Casters[i], p.SlabThick, width)
	}
	for i := range p.Furnaces {
		neutralHearth(&p.Furnaces[i], slab, width)
	}
}

// locate turns what Build found into a problem at the part's place.
func (r *worksReader) locate(err error) error {
	var b *works.Problem
	var problems decl.Problems
	if !errors.As(err, &b) {
		problems.At(decl.Place{File: r.file}, err.Error(), "")
		return problems.Err()
	}
	place, ok := r.parts[b.Part]
	if !ok {
		place = r.parts["works"]
		for i := range r.spec.Products {
			if r.spec.Products[i].Name == b.Part {
				place = r.parts["products"]
			}
		}
	}
	if place.File == "" {
		place.File = r.file
	}
	what, do, _ := strings.Cut(b.What, "; ")
	problems.At(place, b.Part+": "+what, do)
	return problems.Err()
}

func joined(words []string) string {
	switch len(words) {
	case 0:
		return "nothing"
	case 1:
		return `"` + words[0] + `"`
	}
	return `"` + strings.Join(words[:len(words)-1], `", "`) + `" or "` + words[len(words)-1] + `"`
}
