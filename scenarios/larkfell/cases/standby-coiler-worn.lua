-- The same request as standby-coiler.lua on a works without a standby, whose coilers stop
-- ten times as often: now it is worth its money. Larkfell is invented, and so is this
-- state of it. Prices are invented (order of magnitude from memory).

case "A standby coiler where there is none" {
  works = "larkfell", from = "2031-01-06 06:00",
  years = 5, life = 10, futures = 20,
  discount = "10 %",
  demand = "sold out",
  changes = { coilers = { names = { "A", "B" }, strip_out = "75 s" } },
  upsets  = { ["coiler down"] = { every = "15 h" } },
  assumptions = {
    { what = "a coil is stripped out in 75 s: the conveyor is late to take it", source = "invented" },
    { what = "ten times the coiler stops of the works file, no standby", source = "from memory" },
  },
}

option "carry on" {}

option "spare parts for coilers" {
  role = "do less",
  note    = "mandrel and wrapper rolls ready to be changed: the long stops get shorter",
  pays    = { what = "mandrel, wrapper rolls", amount = "0.9 MEUR", after = "6 months", source = "invented" },
  running = { what = "store, inspection", amount = "30 kEUR/year", source = "invented" },
  takes   = "8 months",
  upsets  = { ["coiler down"] = { lasts = lognormal { median = "25 min", one_in_ten = "100 min" } } },
}

option "a third coiler" {
  note     = "a standby behind the two there are",
  pays     = { what = "coiler, strip-out, foundations", amount = "12 MEUR", after = "18 months", source = "from memory, 10 to 25 MEUR" },
  running  = { what = "maintenance", amount = "300 kEUR/year", source = "invented" },
  takes    = "20 months",
  tie_in   = { unit = "hot mill", after = "19 months", lasts = "24 h" },
  ramp     = { share = "50 %", for_ = "3 months" },
  changes  = { coilers = { names = { "A", "B", "S" } } },
  safety     = { hazards = "hot strip under tension round a mandrel; work beside a running mill: isolate, lock, and separate the areas", permits = "hot work and lifts beside the run-out table", crew = "none more" },
  test_after = { figure = "minutes the mill waits for a coiler, a month", read = "the delay log of the hot mill", when = "a year after the start", signs = "the head of the hot mill" },
}
