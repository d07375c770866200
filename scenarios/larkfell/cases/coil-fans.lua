-- Fans over the coil floor that go on by themselves when cool coils are few. They bring
-- coils to pickling a day or two earlier; a few coils lose their shape. Prices invented.

case "Fans on the coil floor" {
  works = "larkfell", from = "2031-01-06 06:00",
  years = 5, life = 10, futures = 20,
  discount = "10 %",
  demand = "sold out",
  changes = { coil_yard = { forced_film = "6 W/m2K" } }, -- no fans yet: still air
}

option "carry on" {}

option "fans" {
  pays    = { what = "fans, ducts, drives", amount = "2 MEUR", after = "8 months", source = "from memory, 1 to 3 MEUR" },
  running = { what = "upkeep", amount = "40 kEUR/year", source = "invented" },
  takes   = "10 months",
  changes = {
    coil_yard       = { forced_film = "60 W/m2K" },
    standing_orders = { fans = { on_below = "3000 t", off_from = "5500 t" } },
  },
  safety     = { hazards = "rotating machines and draught between stacked hot coils: guard and isolate; keep people out of the rows", permits = "electrical work on the coil floor", crew = "none more; the floor crew is trained" },
  test_after = { figure = "hours the pickle line waits for cool coils, a year", read = "the delay log of the pickle line", when = "a year after the start", signs = "the head of the cold mill" },
}
