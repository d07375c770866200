-- Is it worth having spindles, chocks and a set of rolls for a finishing stand in
-- store? They lie idle for years; what they shorten is the rare long stop. Larkfell
-- is invented, and so are the prices (orders of magnitude from memory).

case "Spare parts for the finishing stands" {
  works = "larkfell", from = "2031-01-06 06:00",
  years = 5, life = 10, futures = 20,
  discount = "10 %",
  demand = "sold out",
  assumptions = {
    { what = "half of the wrecks that last longer than a shift wait for parts", source = "invented" },
  },
}

option "carry on" {
  note = "parts are ordered when something breaks",
}

option "chocks and spindles" {
  role = "do less",
  note = "the parts that break most often",
  pays    = { what = "two spindles, four chocks", amount = "1.2 MEUR", after = "6 months", source = "from memory" },
  running = { what = "store, inspection, insurance", amount = "50 kEUR/year", source = "invented" },
  takes   = "9 months",
  upsets  = { ["stand wreck"] = { lasts = lognormal { median = "12 h", one_in_ten = "32 h" } } },
}

option "a whole stand's worth" {
  note = "chocks, spindles, a gear set and a motor armature",
  pays    = { what = "parts for a stand, crane beam for the bay", amount = "3 MEUR", after = "9 months", source = "from memory" },
  running = { what = "store, inspection, insurance", amount = "140 kEUR/year", source = "invented" },
  takes   = "14 months",
  upsets  = { ["stand wreck"] = { lasts = lognormal { median = "12 h", one_in_ten = "18 h" } } },
  safety     = { hazards = "heavy lifts beside the train: planned lifts by competent people only", permits = "lifting plan for the bay; the crane beam is tested before use", crew = "a trained stand crew on call in every shift" },
  test_after = { figure = "wrecks longer than a shift, a year", read = "the delay log of the finishing train", when = "two years after delivery", signs = "the head of the hot mill and the controller" },
}
