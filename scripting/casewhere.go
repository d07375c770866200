package scripting

import (
	"errors"
	"slices"
	"strings"

	"millrace/scripting/decl"
	"millrace/sim/quantity"
)

// seen is what a works file holds that changes can be laid over, for messages.
type seen struct {
	below  *decl.Table
	upsets []string      // names
	tables []*decl.Table // of the upsets
}

// upset is the table of an upset as the works file has it, nil for none.
func (s *seen) upset(name string) *decl.Table {
	for i, u := range s.upsets {
		if u == name {
			return s.tables[i]
		}
	}
	return nil
}

// keyPath is a key of a works file with all that stands above it: rougher.bar.thin.
type keyPath struct {
	path string
	last string
	over *decl.Table // it is a key of
	is   decl.Value
}

// paths are all keys of a table and of the tables in it.
func paths(t *decl.Table, above string) (out []keyPath) {
	if t == nil {
		return nil
	}
	for _, e := range t.Entries() {
		p := keyPath{above + e.Key, e.Key, t, e.Value}
		out = append(out, p)
		if e.Value.Kind == decl.TableValue && e.Value.Tag == "" {
			out = append(out, paths(e.Value.Table, p.path+".")...)
		}
	}
	return out
}

// partOf is where the equipment stands that people call by another word than the works
// file: the word, and the keys that hold it.
var partOf = map[string][]string{
	"descaler":  {"rougher.primary_sprays", "rougher.secondary_sprays", "finishing_train.sprays"},
	"descaling": {"rougher.primary_sprays", "rougher.secondary_sprays", "finishing_train.sprays"},
	"shear":     {"finishing_train"},
	"train":     {"finishing_train"},
	"mill":      {"rougher", "finishing_train"},
	"hot_mill":  {"rougher", "finishing_train"},
	"crane":     {"slab_yard", "cold_side.annealing"},
	"cranes":    {"slab_yard", "cold_side.annealing"},
	"ladle":     {"steel_shop"},
	"converter": {"steel_shop"},
	"bells":     {"cold_side.annealing"},
	"bases":     {"cold_side.annealing"},
	"looper":    {"cold_side.pickle_line.entry", "cold_side.pickle_line.exit"},
	"welder":    {"cold_side.pickle_line.entry"},
	"fans":      {"coil_yard"},
}

// explain adds to a message about an unknown key where in the works file what was meant
// stands, and which upsets have to do with it. What else it says stays as it is.
func (s *seen) explain(err error, over *decl.Table) error {
	var p *decl.Problem
	if !errors.As(err, &p) || s.below == nil || over == nil || !strings.HasPrefix(p.What, "unknown key '") || !strings.HasPrefix(p.Do, "keys here are ") {
		return err
	}
	key, _, _ := strings.Cut(strings.TrimPrefix(p.What, "unknown key '"), "'")
	words := []string{key}
	for _, k := range paths(over, "") {
		if k.last == key && k.is.Kind == decl.TableValue {
			for _, e := range k.is.Table.Entries() {
				words = append(words, e.Key)
			}
		}
	}
	if where := s.where(words); where != "" {
		out := *p
		out.Do = where + "; " + p.Do
		return &out
	}
	return err
}

// where tells where the first of the words that can be placed stands, and the upsets that
// sound like any of them.
func (s *seen) where(words []string) string {
	all := paths(s.below, "")
	var parts []string
	if at := ownKey(words[0], all); at != "" {
		return at // a key in the wrong place: how often something stops is not what is asked
	}
	for _, w := range words {
		if at := s.standsAt(w, all); at != "" {
			parts = append(parts, at)
			break
		}
	}
	var names []string
	for _, w := range words {
		stem := strings.TrimSuffix(strings.ToLower(w), "s")
		stem = stem[:min(len(stem), 6)]
		for _, u := range s.upsets {
			if len(stem) > 3 && strings.Contains(strings.ToLower(u), stem) && !slices.Contains(names, u) {
				names = append(names, u)
			}
		}
	}
	if len(names) > 0 {
		parts = append(parts, `how often and how long it stops or slows is changed by upsets = { ["`+names[0]+`"] = { ... } }`)
	}
	return strings.Join(parts, "; ")
}

// ownKey says of which tables a word is a key, "" for none.
func ownKey(word string, all []keyPath) string {
	var at []string
	for _, k := range all {
		if k.last == word && strings.Contains(k.path, ".") && len(at) < 3 {
			at = append(at, strings.TrimSuffix(k.path, "."+word))
		}
	}
	if len(at) == 0 {
		return ""
	}
	return "'" + word + "' is a key of " + strings.Join(at, " and ")
}

// standsAt says where a word stands: by its own name, by what people call it, or as the
// nearest key there is.
func (s *seen) standsAt(word string, all []keyPath) string {
	keysOf := func(k keyPath) string {
		if k.is.Kind != decl.TableValue || len(k.is.Table.Entries()) == 0 {
			return ""
		}
		var keys []string
		for _, e := range k.is.Table.Entries() {
			keys = append(keys, e.Key)
		}
		return " (" + strings.Join(keys, ", ") + ")"
	}
	if at := ownKey(word, all); at != "" {
		return at
	}
	var at []string
	for _, path := range partOf[word] {
		for _, k := range all {
			if k.path == path {
				at = append(at, path+keysOf(k))
			}
		}
	}
	if len(at) > 0 {
		return "in a works file the " + strings.ReplaceAll(word, "_", " ") + " is part of " + strings.Join(at, " and of ")
	}
	var keys []string
	for _, k := range all {
		keys = append(keys, k.last)
	}
	if near, ok := quantity.Nearest(word, keys); ok {
		for _, k := range all {
			if k.last == near && !strings.Contains(k.path, ".") {
				return "did you mean '" + near + "'?"
			}
		}
		return "did you mean '" + near + "'? " + ownKey(near, all)
	}
	return ""
}
