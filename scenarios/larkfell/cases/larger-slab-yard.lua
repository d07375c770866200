-- More room in the slab yard: it never shortens a stop, it moves the hour in which the
-- casters must stop. What that is worth hangs on how the room is used. Kept empty it is
-- there when the mill stands. Filled on quiet days (the casters can make more than the
-- mill can roll) it is as full as before when the mill stands, and slabs lie longer and
-- are charged colder, every day. Hauliers who are bound to come when the yard is high do
-- the same for a fraction of the money; and a rule that keeps the yard lower costs nothing,
-- charges hotter slabs and leaves more room than the bay does. Prices are invented.

case "A larger slab yard" {
  works = "larkfell", from = "2031-01-06 06:00",
  years = 5, life = 10, futures = 20,
  discount = "10 %",
  demand = "sold out",
  changes = { standing_orders = { yard = { overflow_above = "24000 t" } } },
  assumptions = { { what = "trucks come to the overflow yard, as it is, when the slab yard passes 24,000 t", source = "invented" } },
}

option "carry on" {}

option "a lower yard, by rule" {
  role    = "do less",
  note    = "sequences are spaced from 9,000 t and no longer begun above 13,000 t, in place of 12,000 and 17,500 t; nothing is bought",
  changes = { standing_orders = { yard = { low = "9000 t", high = "13000 t" } } },
  pays    = { what = "nothing is bought", amount = "0 EUR", source = "invented" },
}

option "a contract for overflow trucks" {
  role = "do less",
  note    = "hauliers bound to come earlier, above 22,000 t, with more trucks, and more ground",
  pays    = { what = "ground, marking, lights", amount = "0.5 MEUR", source = "invented" },
  running = { what = "stand-by fee", amount = "180 kEUR/year", source = "invented" },
  takes   = "2 months",
  changes = {
    slab_yard       = { overflow = { room = "20000 t", rate = "800 t/h" } },
    standing_orders = { yard = { overflow_above = "22000 t" } },
  },
}

option "a third more, kept for upsets" {
  note    = "a bay of 9,000 t under the same cranes; the casters are slowed at the level of today",
  pays    = { what = "bay, runway, foundations", amount = "6 MEUR", after = "12 months", source = "trade press on slab heat boxes gives 4.5 MEUR for boxes; scaled from memory" },
  running = { what = "upkeep", amount = "60 kEUR/year", source = "invented" },
  takes   = "14 months",
  changes = {
    slab_yard       = { high = "30500 t", room = "35000 t" },
    standing_orders = { yard = { overflow_above = "33000 t" } },
  },
  safety     = { hazards = "crane runway over a stacked yard: exclusion zones and planned lifts by competent people", permits = "crane runway tested by a licensed body; hot work for the building", crew = "no more drivers, longer walks" },
  test_after = { figure = "hours the casters wait with the yard full, a year", read = "the delay log of the casters", when = "two years after the start", signs = "the head of the steel shop" },
}

option "the same, and filled" {
  role    = "bigger",
  note    = "the same bay; the casters are slowed only when that is full too",
  pays    = { what = "bay, runway, foundations", amount = "6 MEUR", after = "12 months", source = "as before" },
  running = { what = "upkeep", amount = "60 kEUR/year", source = "invented" },
  takes   = "14 months",
  changes = {
    slab_yard       = { high = "30500 t", room = "35000 t" },
    standing_orders = { yard = { high = "24000 t", overflow_above = "33000 t" } },
  },
}
