-- The annealing shop is short. Is it a bell, or a crane, or a base that is missing? The
-- model has all three and says; the file only lists what could be bought. The case
-- supposes that eight of 51 bells are worn out and not replaced. Prices invented.

case "Annealing: bell, crane or base" {
  works = "larkfell", from = "2031-01-06 06:00",
  years = 5, life = 10, futures = 20,
  discount = "10 %",
  demand = "sold out",
  changes = { cold_side = { annealing = { bells = 43 } } },
}

option "carry on" {}

option "two bells" {
  role    = "do less",
  pays    = { what = "two heating bells", amount = "1.5 MEUR", after = "9 months", source = "invented" },
  running = { what = "upkeep", amount = "40 kEUR/year", source = "invented" },
  takes   = "10 months",
  changes = { cold_side = { annealing = { bells = 45 } } },
}

option "a fourth crane" {
  role    = "do less",
  pays    = { what = "bell crane", amount = "2.2 MEUR", after = "12 months", source = "invented" },
  running = { what = "upkeep", amount = "50 kEUR/year", source = "invented" },
  takes   = "13 months",
  changes = { cold_side = { annealing = { cranes = 4 } } },
  safety  = "hot bells hang from cranes: exclusion zone, nobody below",
}

option "four bases" {
  pays    = { what = "four bases with covers", amount = "4 MEUR", after = "12 months", source = "from memory, 0.8 to 1.5 MEUR a base" },
  running = { what = "upkeep, gas", amount = "80 kEUR/year", source = "invented" },
  takes   = "14 months",
  changes = { cold_side = { annealing = { bases = 75 } } },
}

option "five bells" {
  role    = "bigger",
  pays    = { what = "five heating bells", amount = "3.8 MEUR", after = "14 months", source = "invented" },
  running = { what = "upkeep", amount = "100 kEUR/year", source = "invented" },
  takes   = "15 months",
  changes = { cold_side = { annealing = { bells = 48 } } },
  test_after = { figure = "hours stacks wait for a bell, a month", read = "the log of the annealing shop", when = "a year after the start", signs = "the head of the cold mill" },
}
