package scripting

import (
	"fmt"
	"strings"
)

// Annotations is a Lua file for editors that understand LuaLS annotations: it
// makes the words of plans known, with what each does. It is made from the same
// tables the plans run on and is never run itself.
func Annotations() string {
	var b strings.Builder
	b.WriteString("---@meta\n-- Words of scenarios and plans, for the editor. Nothing here is run.\n\n")
	for _, f := range []struct{ name, arg, note string }{
		{"works", "table", "the works itself: works \"name\" { ... }"},
		{"scenario", "table", "scenario \"name\" { works = ..., from = ..., length = ... }"},
		{"upset", "table", "upset \"kind\" { unit = ..., at = ..., lasts = ..., told = { ... } }"},
		{"plan", "table|fun(works: millrace.Works)", "plan \"name\" (function (works) ... end), or {} for standing orders alone"},
	} {
		fmt.Fprintf(&b, "---%s\n---@param name string\n---@return fun(value: %s)\nfunction %s(name) end\n\n", f.note, f.arg, f.name)
	}
	for _, tag := range append(append([]string{}, lawTags...), "include") {
		fmt.Fprintf(&b, "---@param value table|string\nfunction %s(value) end\n\n", tag)
	}
	for _, f := range []struct{ name, note string }{
		{"hours", "a number of hours: hours(6), hours(\"90 min\")"},
		{"tonnes", "a number of tonnes: tonnes(500), tonnes(\"3 kt\")"},
		{"slabs", "tonnes of so many mean slabs: slabs(120)"},
	} {
		fmt.Fprintf(&b, "---%s\n---@return number\nfunction %s(amount) end\n\n", f.note, f.name)
	}
	for _, c := range classes {
		name := className(c)
		fmt.Fprintf(&b, "---%s\n---@class millrace.%s\n", c.name, name)
		for _, word := range c.order {
			if w := c.words[word]; w.get != nil {
				fmt.Fprintf(&b, "---@field %s %s %s\n", word, fieldKind(word), w.note)
			}
		}
		fmt.Fprintf(&b, "local %s = {}\n\n", name)
		for _, word := range c.order {
			w := c.words[word]
			if w.get != nil {
				continue
			}
			fmt.Fprintf(&b, "---%s\n", w.note)
			if w.lever {
				b.WriteString("---@return boolean done\n---@return string? why not\n")
			} else if kind := methodKinds[word]; kind != "" {
				fmt.Fprintf(&b, "---@return %s\n", kind)
			}
			fmt.Fprintf(&b, "function %s:%s(...) end\n\n", name, word)
		}
	}
	return b.String()
}

// classes are all kinds of handle, the one a plan is given first.
var classes = []*class{worksClass, stopClass, tokenClass, storeClass, unitClass, casterClass, heatClass, ironClass, overflowClass, furnacesClass, furnaceClass,
	coilYardClass, pickleLineClass, coldMillClass, annealClass, temperMillClass, dispatchClass, overtimeClass}

// fieldKinds are the kinds of fields that are not numbers.
var fieldKinds = map[string]string{
	"name": "string", "unit": "string", "kind": "string", "state": "string", "phase": "string", "stage": "string", "caster": "string",
	"over": "boolean", "heard": "boolean", "stands": "boolean", "casting": "boolean", "closed": "boolean", "is_open": "boolean", "waiting": "boolean",
	"forced": "boolean", "in_acid": "boolean", "sends_outside": "boolean", "gas": "boolean", "skipped": "boolean", "blocked": "boolean", "due_first": "boolean", "worked": "boolean", "product": "string",
	"told": "{ low: number, likely: number, bad: number }", "first_word": "millrace.WordOnAStop", "next_word": "millrace.WordOnAStop",
}

func fieldKind(word string) string {
	if k, ok := fieldKinds[word]; ok {
		return k
	}
	return "number"
}

// methodKinds are what methods give that are no levers.
var methodKinds = map[string]string{
	"await": "boolean", "await_until": "boolean", "await_stop": "millrace.Stop", "await_restart": "millrace.Works|false",
	"now": "number", "clock": "string", "store": "millrace.Store", "unit": "millrace.Unit", "caster": "millrace.Caster", "furnace": "millrace.Furnace",
	"furnaces": "millrace.Furnaces", "heats": "millrace.Heat[]", "iron": "millrace.IronSide", "overflow": "millrace.OverflowYard",
	"coil_yard": "millrace.CoilYard", "pickle_line": "millrace.PickleLine", "cold_mill": "millrace.ColdMill", "annealing": "millrace.AnnealingShop", "cool_within": "number", "temper_mill": "millrace.TemperMill", "dispatch": "millrace.Dispatch", "overtime": "millrace.Overtime",
}

// className is the name of a class for editors: "the overflow yard" is OverflowYard.
func className(c *class) string {
	words := strings.Fields(c.name)
	out := ""
	for _, w := range words[1:] { // without the article
		out += strings.ToUpper(w[:1]) + w[1:]
	}
	return out
}
