package scripting

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"millrace/scripting/decl"
	"millrace/sim/chance"
	"millrace/sim/quantity"
	"millrace/sim/works"
)

// kindNames are the words for kinds of upset.
func kindNames() (out []string) {
	for i := range works.Kinds {
		out = append(out, works.Kinds[i].Name)
	}
	return out
}

// ruinWords say what an upset costs, in the order of the bits of works.Ruin.
var ruinWords = works.RuinWords[:]

// ruinPiece is the word for the strip in the train that suits any unit.
const ruinPiece = "piece in the unit"

// upsetReader decodes upsets, for a works file (background) or a scenario.
type upsetReader struct {
	spec     *works.Spec
	scripted bool
	from     quantity.Clock
	length   float64 // s, of the scenario
}

// upset decodes a background upset of a works file.
func (r *worksReader) upset(b decl.Block) {
	if r.block == nil {
		b.Problem(fmt.Sprintf("upset %q stands before the works it happens in", b.Name), "put it behind the works")
		return
	}
	b = r.overUpset(b)
	u := upsetReader{spec: &r.spec}
	if spec, ok := u.read(b); ok {
		r.spec.Upsets = append(r.spec.Upsets, spec)
	}
}

// read decodes one upset; false when it cannot be used.
func (r *upsetReader) read(b decl.Block) (works.UpsetSpec, bool) {
	s := &section{t: b.Table()}
	u := works.UpsetSpec{Name: b.Name, Scripted: r.scripted}
	ok := r.kind(s, b, &u)
	info := works.Kinds[u.Kind]
	if ok {
		ok = r.unit(s, &u, info)
	} else {
		s.ask("unit")
	}
	if r.scripted {
		s.ask("at")
		at, good := s.t.MustClock("at")
		u.At = at.Sub(r.from)
		switch {
		case !good:
			ok = false
		case u.At < 0:
			s.t.Problem("at", "that is before the scenario starts, "+r.from.String(), "write a time at or after the start")
			ok = false
		case r.length > 0 && u.At > r.length:
			s.t.Problem("at", "that is after the scenario has ended, "+r.from.Add(r.length).String(), "write a time before the end")
			ok = false
		}
		s.quantity0("has_lasted", quantity.Time, &u.Elapsed)
	} else if info.Clock == works.ByUse {
		ok = s.quantity("every", quantity.Count, &u.Every, within{"1 coil", ""}) && ok
	} else {
		ok = s.quantity("every", quantity.Time, &u.Every, within{"1 min", ""}) && ok
	}
	ok = s.law("lasts", quantity.Time, &u.Lasts) && ok
	if ok && u.Lasts.Highest() <= 0 {
		s.t.Problem("lasts", "it would be over at once", "write how long it lasts")
		ok = false
	}
	ok = r.longest(s, &u, ok)
	r.told(s, &u)
	s.ask("ruins")
	if words, good := s.t.Strings("ruins"); good {
		for _, w := range words {
			if w == "nothing" {
				continue
			}
			if w == ruinPiece {
				w = ruinWords[0]
			}
			i := slices.Index(ruinWords, w)
			if i < 0 {
				unknown(s.t, "ruins", w, "such ruin", append([]string{"nothing", ruinPiece}, ruinWords...))
				continue
			}
			u.Ruins |= 1 << i
		}
	}
	if back := s.sub0("comes_back"); back != nil {
		back.quantity("pace", quantity.Fraction, &u.ComesBack, within{"5 %", "100 %"})
		back.quantity("for", quantity.Time, &u.BackFor, within{"1 min", "7 d"})
		back.end()
	}
	if slows(u.Kind) {
		s.quantity("slow", quantity.Fraction, &u.Slow, within{"5 %", "100 %"})
		if u.Kind == works.SlowDown {
			s.quantity0("stops_after", quantity.Time, &u.StopsAfter, within{"1 min", ""})
		}
	} else if s.t.Has("slow") {
		s.ask("slow")
		s.t.Problem("slow", "a "+info.Name+" stops its unit and does not slow it", "take it out")
	}
	s.count0("downgrades", &u.Downgrades, 0, 1000)
	s.text0("source", &u.Source)
	s.text0("caution", &u.Caution)
	s.text0("note", &u.Note)
	s.end()
	return u, ok
}

// longest cuts the law of lengths where the works knows what ends such a stop at the
// latest. "none" takes the longest of a row away that is laid over.
func (r *upsetReader) longest(s *section, u *works.UpsetSpec, ok bool) bool {
	s.ask("longest")
	v, there := s.t.Get("longest")
	if !there || v.Kind == decl.TextValue && strings.TrimSpace(v.Text) == "none" {
		return ok
	}
	x := 0.0
	if !s.quantity0("longest", quantity.Time, &x, within{"1 min", "10 years"}) || !ok {
		return false
	}
	median := u.Lasts.Median()
	lasts, _ := s.t.Get("lasts")
	over := lasts.Place.File != v.Place.File && lasts.Place.File == s.t.Place.File // an option's lasts, the works file's longest
	switch {
	case x <= median && over:
		s.t.Problem("lasts", "half of the stops would exceed "+quantity.FormatDuration(median)+", but the works file lets none last longer than "+quantity.FormatDuration(x), `write longest beside it, a time or "none"`)
	case u.Lasts.Kind() == chance.KindFixed && over:
		return true // nothing to cut, and nobody who wrote so
	case u.Lasts.Kind() == chance.KindFixed:
		s.t.Problem("longest", "it always lasts "+quantity.FormatDuration(median)+", so there is nothing to cut", "take it out")
	case x <= median:
		s.t.Problem("longest", written(v)+" is not longer than "+quantity.FormatDuration(median)+", which half of the stops exceed", "write the time by which such a stop is over at the latest, or a shorter median")
	case u.Elapsed >= x:
		s.t.Problem("longest", "the stop has already lasted "+quantity.FormatDuration(u.Elapsed), "write a longer time, or a shorter has_lasted")
	default:
		u.Lasts = u.Lasts.Cut(x)
		return true
	}
	return false
}

// slows says whether the kind slows its unit while it lasts.
func slows(k works.UpsetKind) bool {
	return k == works.NozzleClogging || k == works.DescalePumpLost || k == works.AcidOut || k == works.SlowDown
}

// kind is the kind the block names, or the one that kind = "..." says.
func (r *upsetReader) kind(s *section, b decl.Block, u *works.UpsetSpec) bool {
	s.ask("kind")
	word := b.Name
	if s.t.Has("kind") {
		w, ok := s.t.String("kind")
		if !ok {
			return false
		}
		word = w
	}
	i := slices.Index(kindNames(), word)
	if i >= 0 {
		u.Kind = works.UpsetKind(i)
		return true
	}
	if s.t.Has("kind") {
		unknown(s.t, "kind", word, "kind of upset", kindNames())
		return false
	}
	do := `add kind = "...", one of ` + joined(kindNames())
	if near, ok := quantity.Nearest(word, kindNames()); ok {
		do = `did you mean "` + near + `"? A name of your own needs kind = "..." beside it`
	}
	b.Problem(`there is no kind of upset "`+word+`"`, do)
	return false
}

// unit checks that the kind can happen to the unit.
func (r *upsetReader) unit(s *section, u *works.UpsetSpec, info works.KindInfo) bool {
	s.ask("unit")
	s.ask("units")
	if s.t.Has("units") {
		return r.units(s, u, info)
	}
	if !s.t.Has("unit") {
		if info.On == "a unit" || r.scripted && slices.Contains(groupNames, info.On) {
			s.t.MustString("unit")
			return false
		}
		u.Unit = info.On
		return true
	}
	name, ok := s.t.String("unit")
	if !ok {
		return false
	}
	u.Unit = name
	return r.fits(s, "unit", name, u.Kind, info)
}

// units reads the units that an upset hits at the same time.
func (r *upsetReader) units(s *section, u *works.UpsetSpec, info works.KindInfo) bool {
	if s.t.Has("unit") {
		s.t.Problem("units", "there is a unit beside it", "write one of the two")
		return false
	}
	names, ok := s.t.Strings("units")
	if !ok {
		return false
	}
	if len(names) < 2 {
		s.t.Problem("units", "an upset of several units needs two at least", `write unit = "..." for one`)
		return false
	}
	if info.Clock == works.ByUse {
		s.t.Problem("units", "a "+info.Name+" is drawn piece by piece and cannot hit several units", "write one unit")
		return false
	}
	for i, name := range names {
		if !r.fits(s, "units", name, u.Kind, info) {
			return false
		}
		if slices.ContainsFunc(names[:i], func(o string) bool { return strings.EqualFold(o, name) }) {
			s.t.Problem("units", "the "+name+" is there twice", "take one out")
			return false
		}
	}
	u.Unit, u.With = names[0], names[1:]
	return true
}

// fits checks that the kind can happen to the unit.
func (r *upsetReader) fits(s *section, key, name string, kind works.UpsetKind, info works.KindInfo) bool {
	if !isUnit(r.spec, name) {
		unknown(s.t, key, name, "unit", stopNames(r.spec))
		return false
	}
	if info.On == "a unit" {
		switch low := strings.ToLower(name); {
		case low == "iron supply":
			s.t.Problem(key, "a blast furnace is slowed by its wind and never stopped", "write another unit")
			return false
		case kind == works.SlowDown && (low == "furnace" || low == "steel shop" || low == "run-out table" || low == "anneal bases" || low == "dispatch" ||
			slices.ContainsFunc(r.spec.Furnaces, func(f works.FurnaceSpec) bool { return strings.EqualFold(f.Name, name) })):
			s.t.Problem(key, "the "+name+" has no pace that could be lowered", `a furnace slows by its gas: kind = "furnace trip"; other units stand: kind = "short stop"`)
			return false
		}
		return true
	}
	on := r.onUnits(info)
	if !slices.ContainsFunc(on, func(n string) bool { return strings.EqualFold(n, name) }) {
		var fits []string
		for _, k := range works.Kinds {
			if k.On == "a unit" || slices.ContainsFunc(r.onUnits(k), func(n string) bool { return strings.EqualFold(n, name) }) {
				fits = append(fits, k.Name)
			}
		}
		s.t.Problem(key, "a "+info.Name+" cannot happen to the "+name, "kinds that can: "+strings.Join(fits, ", ")+"; a "+info.Name+" happens to "+joined(on))
		return false
	}
	return true
}

// onUnits are the units that a kind can happen to.
func (r *upsetReader) onUnits(info works.KindInfo) []string {
	on := []string{info.On}
	switch info.On {
	case "caster":
		on = nil
		for i := range r.spec.Casters {
			on = append(on, r.spec.Casters[i].Name)
		}
	case "furnace":
		on = nil
		for i := range r.spec.Furnaces {
			on = append(on, r.spec.Furnaces[i].Name)
		}
	case "coiler":
		on = nil
		for _, n := range r.spec.Coilers.Names {
			on = append(on, "coiler "+n)
		}
	}
	if !r.scripted {
		on = append(on, info.On)
	}
	return on
}

// told reads what people are told of an upset. A background upset without it is
// told of honestly when ten minutes have gone.
func (r *upsetReader) told(s *section, u *works.UpsetSpec) {
	t := &u.Told
	t.After, t.Bias = 600, 1
	h := s.sub0("told")
	if h == nil {
		return
	}
	h.quantity("after", quantity.Time, &t.After)
	h.quantity0("next_word", quantity.Time, &t.NextWord, within{"1 min", ""})
	h.quantity0("cause_found", quantity.Time, &t.CauseFound)
	h.number0("bias", &t.Bias, 0.05, 20)
	for _, k := range []string{"low", "likely", "bad"} {
		h.ask(k)
	}
	if h.t.Has("low") || h.t.Has("likely") || h.t.Has("bad") {
		v, _ := s.t.Get("told")
		if e, ok := v.AsEstimate(); ok {
			t.Given = true
			t.Low, t.Likely, t.Bad = e.Low, e.Likely, e.Bad
			if longest := u.Lasts.Longest(); t.Bad > longest {
				h.t.Problem("bad", "it is longer than the longest, "+quantity.FormatDuration(longest), "write a shorter time, or a longer longest")
			}
		}
		if h.t.Has("bias") {
			h.t.Problem("bias", "it is not needed where low, likely and bad are given", "take out one or the other")
		}
	}
	h.end()
	if math.IsNaN(t.Bias) {
		t.Bias = 1
	}
}
