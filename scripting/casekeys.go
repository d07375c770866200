package scripting

// CaseKey is a key of a case file, for help.
type CaseKey struct {
	Table   string // the block or table it stands in: case, option, pays, ...
	Name    string
	Takes   string // what is written: "share", "time", "money", "text", ...
	Range   string // as messages say it; "" for none
	Default string // "" for one that must be there
	Says    string
	beyond  string // a value out of the range, as written in the file; for the test
}

const needed = ""

// CaseKeys are all keys of a case file, by table, in the order in which they are read
// best.
var CaseKeys = []CaseKey{
	{"case", "works", "text", "", needed, `the works: "larkfell", or a path from the folder of this file`, ""},
	{"case", "from", "date and time", "", needed, `day of the decision: "2031-01-06 06:00"`, ""},
	{"case", "years", "whole number", "1 to 30", needed, "years of operation that are played", "31"},
	{"case", "life", "whole number", "1 to 50", "as years", "years over which money is counted; later years repeat the played ones in turn", "51"},
	{"case", "futures", "whole number", "1 to 100000", "20", "how often the years are played, each with luck of its own; two at least to answer", "200000"},
	{"case", "seed", "whole number", "", "1", "number of the luck, 0 or more; the same seed gives the same answer", ""},
	{"case", "discount", "share", "0 % to 100 %", needed, "a year; the company's own rate", `"130 %"`},
	{"case", "demand", "word", "", "sold out", `"sold out": everything made can be sold; "book only": only what is ordered`, ""},
	{"case", "book", "share, or mass a time", "10 % to 100 %", "none", `with "book only", what is ordered: "80 %" of what the works can make, or "3 Mt/year"`, `"5 %"`},
	{"case", "orders_ahead", "time", "1 week to 1 year", "28 d", "how long before it is due an order is known", `"1 d"`},
	{"case", "assumptions", "list", "", "none", "what else the case rests on: { { what = ..., source = ... } }", ""},
	{"case", "changes", "table", "", "none", "as in an option, for every option: corrections of the works file", ""},
	{"case", "upsets", "table", "", "none", "as in an option, for every option", ""},
	{"case", "note", "text", "", "none", "for readers of the file", ""},

	{"option", "role", "word", "", "proposal", `"do nothing" (the first when it does not say), "do less", "proposal" (one), "bigger"`, ""},
	{"option", "note", "text", "", "none", "a sentence for the request", ""},
	{"option", "changes", "table", "", "none", "any key of the works file with another value: { slab_yard = { cranes = 4 } }; a new unit: { furnaces = { F3 = { like = \"F1\" } } }; a list, such as planned_stops, stands in place of the whole list, so write all of it", ""},
	{"option", "upsets", "table", "", "none", "upsets of the works file by name, with other values: { [\"stand wreck\"] = { every = \"90 d\" } }", ""},
	{"option", "pays", "list", "", "none", "money paid once; needed where the works or its upsets are changed", ""},
	{"option", "running", "list", "", "none", "money spent every year from the day it works", ""},
	{"option", "saves", "list", "", "none", "money saved every year that the works does not know of (a contract); what it gains in the works is computed", ""},
	{"option", "takes", "time", "0 d to 10 years", "0 d", "from the decision until it works; shorter than life", `"11 years"`},
	{"option", "ramp", "list", "", "none", "shares of the gain after that, one after the other; then all of it", ""},
	{"option", "tie_in", "list", "", "none", "stops of units that building needs; what they lose is played on the works as it is", ""},
	{"option", "salvage", "money", "0 or more", "0", "received at the end of the life", `"-1 EUR"`},
	{"option", "safety", "text, or table", "", "none", `changed hazards, permits, crew: { hazards = "...", permits = "...", crew = "..." }`, ""},
	{"option", "test_after", "text, or table", "", "none", `{ figure = "...", read = "where", when = "...", signs = "who" }`, ""},
	{"option", "source", "text", "", "none", "where changes, times and ramp come from", ""},

	{"pays", "what", "text", "", needed, "what is bought", ""},
	{"pays", "amount", "money", "0 or more", needed, `"1.2 MEUR"; in the currency of the works`, `"-1 EUR"`},
	{"pays", "after", "time", "0 d to 50 years", "0 d", "from the decision; counted at the end of that year, at most life", `"60 years"`},
	{"pays", "source", "text", "", "none", "quotation, estimate, ...", ""},

	{"running", "what", "text", "", needed, "also in saves", ""},
	{"running", "amount", "money a time", "0 or more", needed, `"140 kEUR/year"`, `"-1 EUR/year"`},
	{"running", "source", "text", "", "none", "", ""},

	{"ramp", "share", "share", "0 % to 100 %", needed, "of the full gain: 100 % is all of it, so no ramp", `"130 %"`},
	{"ramp", "for", "time", "1 d to 5 years", needed, "how long; written for_ = \"3 months\" (for is a word of the language)", `"6 years"`},

	{"tie_in", "unit", "text", "", needed, "a unit, or all of a kind: \"slab cranes\", \"hot mill\"", ""},
	{"tie_in", "after", "time", "0 d to 10 years", needed, "from the decision", `"11 years"`},
	{"tie_in", "lasts", "time", "1 h to 60 d", needed, "how long it stands", `"61 d"`},

	{"upset", "every", "time, or a count", "", needed, `once in so much of its clock on each unit: "90 d", "50 heats"; millrace help upsets tells the clocks`, ""},
	{"upset", "lasts", "law of time", "", needed, `half last longer than the median, one in ten longer than one_in_ten: lognormal { median = "12 h", one_in_ten = "18 h" }`, ""},
	{"upset", "longest", "time", "1 min to 10 years", "none", `no stop lasts longer; what would is taken as this long (a hired crane, a spare, another road ends it). Longer than the median; "none" takes that of the works file away`, `"11 years"`},
	{"upset", "slow", "share", "5 % to 100 %", needed, "pace that is left while it lasts, of upsets that slow and do not stop: 60 % is two fifths slower, 100 % is no slower at all: the upset then costs no pace", `"110 %"`},
	{"upset", "stops_after", "time", "1 min or more", "never", "of a slow-down: it becomes a stop when it lasts longer", `"1 s"`},
	{"upset", "comes_back", "table", "", "at full pace", `{ pace = "80 %", for_ = "20 min" }: pace after the restart, 5 % to 100 %, and how long, 1 min to 7 d`, ""},
	{"upset", "downgrades", "whole number", "0 to 1000", "0", "pieces that become secondary each time", "2000"},
	{"upset", "ruins", "text, or list", "", "nothing", "what is lost each time; millrace help upsets", ""},
	{"upset", "told", "table", "", "after 10 min", "what people are told and when; matters for plans only", ""},
	{"upset", "kind", "word", "", "its name", "leave it as it is", ""},
	{"upset", "unit", "text", "", needed, "leave it as it is (or units, a list)", ""},
	{"upset", "units", "list", "", "none", "several units at once", ""},
	{"upset", "caution", "text", "", "that of its kind", "", ""},
	{"upset", "note", "text", "", "none", "", ""},
	{"upset", "source", "text", "", "none", "where the figures come from", ""},
}

// CaseExample is a short case that can be pasted and runs.
const CaseExample = `case "Another crane in the slab yard" {
  works = "larkfell", from = "2031-01-06 06:00",
  years = 3, life = 10, futures = 20, discount = "9 %",
  demand = "sold out",                -- or: demand = "book only", book = "80 %"
}
option "carry on" {}
option "better upkeep" {
  role    = "do less",
  pays    = { what = "tools", amount = "20 kEUR", source = "catalogue" },
  running = { what = "a fitter for the cranes", amount = "60 kEUR/year", source = "payroll" },
  upsets  = { ["slab crane out"] = { every = "10 d" } },
}
option "fourth crane" {
  pays    = { { what = "crane, runway", amount = "6 MEUR", after = "10 months", source = "quotation" },
              { what = "foundations",   amount = "800 kEUR", source = "estimate" } },
  running = { what = "upkeep", amount = "90 kEUR/year", source = "estimate" },
  takes   = "12 months", ramp = { share = "50 %", for_ = "2 months" },
  tie_in  = { unit = "slab cranes", after = "11 months", lasts = "8 h" },
  changes = { slab_yard = { cranes = 4 } },
  salvage = "500 kEUR", source = "project file",
  safety  = { hazards = "lifts over a second row", permits = "crane test by a licensed body", crew = "one driver a shift more" },
  test_after = { figure = "hours furnaces wait for slabs", read = "delay log", when = "a year after the start", signs = "head of the hot mill" },
}
`
