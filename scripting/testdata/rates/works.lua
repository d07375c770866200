-- An invented works known only by what was measured: rates, rooms and stops.
works "Ratefell" {
  invented = true, currency = "EUR", ambient = "20 C",
  slabs  = { thickness = "230 mm", length = "10 m" },
  grades = { mild = { C = "0.06 %", Mn = "0.3 %" } },
  products = {
    { name = "A", grade = "mild", thickness = "3 mm", width = "1250 mm", share = "60 %", finish = "880 C", coil = "600 C", margin = "110 EUR/t" },
    { name = "B", grade = "mild", thickness = "6 mm", width = "1500 mm", share = "40 %", finish = "870 C", coil = "620 C", margin = "120 EUR/t", pickled = true },
  },
  iron_supply = {
    rate = "440 t/h", lowest_wind = "60 %", lag = "1 h",
    torpedoes = { low = "400 t", normal = "1500 t", high = "2600 t", room = "3200 t" },
    hot_metal = { low = "78 %", normal = "86 %", high = "92 %" }, yield = "92 %",
  },
  steel_shop = { rate = "620 t/h", heat = "250 t" },
  casters  = { C1 = { rate = "300 t/h" }, C2 = { rate = "280 t/h" } },
  slab_yard = {
    low = "7000 t", normal = "15000 t", high = "21000 t", room = "26000 t",
    cranes = 3, lift = "180 s", digging = 0.3, programme_stock = "5000 t", pile = 5, cut = "900 C",
  },
  furnaces = { F1 = { rate = "350 t/h" }, F2 = { rate = "350 t/h" } },
  rougher = { rate = "800 t/h" },
  finishing_train = { rate = "700 t/h" },
  run_out_table = { banks = 22, bank_length = "4.5 m", cooling = "1300 W/m2K", water = "25 C", length = "130 m" },
  coilers = { names = { "A", "B" }, in_use = 2, strip_out = "45 s" },
  conveyor = { places = 36, low = 4, normal = 14, high = 26, transit = "25 min", cycle = "80 s" },
  coil_yard = {
    low = "20000 t", normal = "39000 t", high = "50000 t", room = "56000 t",
    cool = { low = "1500 t", normal = "5000 t", high = "9000 t", room = "14000 t" },
    cool_hot_band = { low = "3000 t", normal = "8000 t", high = "14000 t", room = "20000 t" },
    pickle_below = "55 C", dispatch_below = "90 C", bore = "762 mm",
  },
  demand = { sold_out = true, pickle_line = "230 t/h", dispatch = "330 t/h" },
  fuel_gas = {
    made = "380 MW", power_house = "180 MW", swing = "60 MW",
    holder = { low = "150 GJ", normal = "500 GJ", high = "900 GJ", room = "1100 GJ" },
    flared = "4 EUR/GJ", bought = "9 EUR/GJ",
  },
  costs = {
    heat_returned = "70 EUR/t", iron_pooled = "250 EUR/t", scrap = "300 EUR/t", downgrade = "100 EUR/t",
    slab_in_stock = "100 EUR/t", fuel = "9 EUR/GJ", co2 = "80 EUR/t", reheat_power = "90 EUR/MWh",
    haulage = "5 EUR/t", overtime = "900 EUR/h", matters = "10000 EUR",
  },
  standing_orders = {
    yard = { low = "12000 t", high = "17500 t" }, heat_early = "10 min",
    set_back_after = "30 min", set_back_deep_after = "4 h", set_forward_before = "3 h",
    cut_wind_from = "1600 t", least_wind_at = "2800 t", feed_swing = "30 %", reheat = true, slow_when_full = true,
  },
}
