package main

import (
	"fmt"
	"strings"

	"millrace/scripting"
)

// caseTables are the tables of a case file, with what stands over their keys in help.
var caseTables = [][2]string{
	{"case", `case "name" { ... }, once, at the head of the file`},
	{"option", `option "name" { ... }, two or more; the first is what the others are measured against`},
	{"pays", "pays = { ... }, or a list { { ... }, { ... } }"},
	{"running", "running = { ... } and saves = { ... }, or lists"},
	{"ramp", "ramp = { ... }, or a list"},
	{"tie_in", "tie_in = { ... }, or a list"},
	{"upset", `upsets = { ["name in the works file"] = { ... } }: any key of it, what is not said stays`},
}

// caseHelp is what a case is and what can be written in its file.
func caseHelp() string {
	w := routePage{}
	w.WriteString(`case plays the options of a capital request over the same years of the same futures and
says what each is worth against doing nothing: net present value with its interval,
rates of return, payback, what it hangs on, and what would flip the answer. It writes
the request as a page, a workbook and data into a folder of its own.

EXAMPLE, to be pasted into my-case.lua and run with: millrace case my-case.lua

`)
	for _, l := range strings.Split(strings.TrimSpace(scripting.CaseExample), "\n") {
		w.line("%s", l)
	}
	w.line("")
	w.line("KEYS OF A CASE FILE. Texts carry their unit: %q, %q, %q, %q.", "9 months", "30 %", "1.2 MEUR", "90 kEUR/year")
	for _, t := range caseTables {
		w.line("")
		for _, l := range routeWrap(t[1], routeWidth) {
			w.line("%s", l)
		}
		for _, k := range scripting.CaseKeys {
			if k.Table == t[0] {
				writeKey(&w, &k)
			}
		}
	}
	w.line("")
	for _, l := range routeWrap("Keys of a works file, for changes, are those written in it: "+shippedWorks+" has them all with a word on each. What is wrong is refused with file and line, and says what to write.", routeWidth) {
		w.line("%s", l)
	}
	return strings.TrimRight(w.String(), "\n")
}

func writeKey(w *routePage, k *scripting.CaseKey) {
	const names = 14
	name := k.Name
	if name == "for" {
		name = "for_"
	}
	text := k.Takes
	if k.Range != "" {
		text += ", " + k.Range
	}
	if k.Default == "" {
		text += "; must be there"
		if k.Table == "upset" {
			text = strings.TrimSuffix(text, "; must be there") + "; as the works file has it"
		}
	} else if k.Default == "none" {
		text += "; optional"
	} else {
		text += "; " + k.Default + " when left out"
	}
	if k.Says != "" {
		text += ". " + capitalised(k.Says)
	}
	front := fmt.Sprintf("  %-*s", names, name)
	for _, l := range routeWrap(text, routeWidth-names-2) {
		w.line("%s%s", front, l)
		front = strings.Repeat(" ", names+2)
	}
}
