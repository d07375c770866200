-- The same parts as in spare-stand-parts.lua, in a year in which only four fifths of
-- what the works can make is ordered: the tonnes a wreck loses are caught up later, and
-- what is left of the gain is fuel and scrap. Larkfell is invented, prices too.

case "Spare parts for the finishing stands, short book" {
  works = "larkfell", from = "2031-01-06 06:00",
  years = 5, life = 10, futures = 20,
  discount = "10 %",
  demand = "book only", book = "80 %", orders_ahead = "4 weeks",
}

option "carry on" {
  note = "parts are ordered when something breaks",
}

option "chocks and spindles" {
  role = "do less",
  pays    = { what = "two spindles, four chocks", amount = "1.2 MEUR", after = "6 months", source = "from memory" },
  running = { what = "store, inspection, insurance", amount = "50 kEUR/year", source = "invented" },
  takes   = "9 months",
  upsets  = { ["stand wreck"] = { lasts = lognormal { median = "12 h", one_in_ten = "32 h" } } },
}

option "a whole stand's worth" {
  pays    = { what = "parts for a stand, crane beam for the bay", amount = "3 MEUR", after = "9 months", source = "from memory" },
  running = { what = "store, inspection, insurance", amount = "140 kEUR/year", source = "invented" },
  takes   = "14 months",
  upsets  = { ["stand wreck"] = { lasts = lognormal { median = "12 h", one_in_ten = "18 h" } } },
}
