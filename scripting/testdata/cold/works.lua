-- An invented works with a cold side that says all a cold side can say.
works "Coldfell" {
  invented = true, currency = "EUR", ambient = "20 C",
  slabs  = { thickness = "230 mm", length = "10 m" },
  grades = { mild = { C = "0.06 %", Mn = "0.3 %" } },
  products = {
    { name = "A", grade = "mild", thickness = "3 mm", width = "1250 mm", share = "60 %", finish = "880 C", coil = "600 C", margin = "110 EUR/t" },
    { name = "B", grade = "mild", thickness = "6 mm", width = "1500 mm", share = "20 %", finish = "870 C", coil = "620 C", margin = "120 EUR/t", pickled = true },
    { name = "C", grade = "mild", thickness = "2.5 mm", width = "1250 mm", share = "12 %", finish = "880 C", coil = "600 C", margin = "150 EUR/t", pickled = true, cold = "0.8 mm", annealed = true },
    { name = "D", grade = "mild", thickness = "2.2 mm", width = "1000 mm", share = "8 %", finish = "880 C", coil = "600 C", margin = "150 EUR/t", pickled = true, cold = "0.5 mm" },
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
    pickle_below = "55 C", dispatch_below = "90 C", bore = "762 mm", forced_film = "60 W/m2K", forced_cost = "150 EUR/h", forced_spoils = "0.5 %",
  },
  cold_side = {
    pickle_line = {
      tanks = { "26 m", "26 m", "26 m" }, acid = "10 %", acid_temperature = "80 C",
      top_speed = "4 m/s", least_speed = "0.3 m/s",
      entry = { speed = "8 m/s", weld = "100 s", looper = "400 m" },
      exit  = { speed = "7 m/s", coil_change = "45 s", looper = "300 m" },
      overpickled_after = 15, -- times the time that the strip must stay in acid
      takes = { from_thickness = "1.5 mm", to_thickness = "6 mm", from_width = "700 mm", to_width = "1600 mm" },
      scale = { a_face = "45 g/m2", iron = "75 %", steel_with_it = "4 g/m2" },
      acid_law = { A = -4.6, B = -0.7, D = 4200, hot_coiled_from = "640 C", longer_a_kelvin = "0.5 %", longer_at_most = 1.5 },
      trim  = "20 mm", -- both edges together
      outside  = { rate = "60 t/h", fee = "70 EUR/t", back_after = "3 d" }, -- haulage and the queue there
      overtime = 1.1, -- the line's output with overtime over that without
    },
    cold_mill = {
      stands = {
        { roll_radius = "250 mm", force = "20 MN", power = "5 MW", speed = "12 m/s", torque = "0.4 MNm", friction = 0.07, most_reduction = "42 %", load = 1.0 },
        { roll_radius = "250 mm", force = "20 MN", power = "5 MW", speed = "16 m/s", friction = 0.06, most_reduction = "42 %", load = 1.0 },
        { roll_radius = "250 mm", force = "20 MN", power = "5 MW", speed = "20 m/s", friction = 0.05, most_reduction = "42 %", load = 1.0 },
        { roll_radius = "250 mm", force = "20 MN", power = "5 MW", speed = "24 m/s", friction = 0.04, most_reduction = "42 %", load = 1.0 },
        { roll_radius = "250 mm", force = "20 MN", power = "5 MW", speed = "26 m/s", friction = 0.05, most_reduction = "42 %", load = 0.6 },
      },
      tensions = { "40 MPa", "130 MPa", "150 MPa", "170 MPa", "180 MPa", "45 MPa" },
      efficiency = "92 %", top_speed = "20 m/s", top_entry_speed = "8 m/s",
      flow_stress = { K = "590 MPa", prestrain = 0.0043, exponent = 0.25 },
      accelerates = "0.5 m/s2", slows = "0.8 m/s2",
      thread   = { speed = "1 m/s", length = "40 m" },
      tail_out = { speed = "2 m/s", length = "30 m" },
      crop = "1.2 %", coils_a_roll_set = 40, roll_change = "10 min",
      scatter = lognormal { median = 1, one_in_ten = 1.08 },
    },
    annealing = {
      bases = 40, bells = 28, coolers = 14, cranes = 2, coils_a_stack = 4,
      gas = "nitrogen-hydrogen", film = "45 W/m2K", gas_conducts = "0.06 W/mK", between_wraps = "20 um",
      recipe = {
        start = "20 C", heat_up = "8 h", soak = "700 C", coldest_spot = "680 C",
        cooling_gas = "40 C", cooling_film = "50 W/m2K", uncover_below = "160 C",
      },
      handling = {
        load = "25 min", leak_test = "15 min", purge = "30 min", bell_on = "8 min", bell_off = "8 min",
        cooler_on = "8 min", purge_after = "30 min", cooler_off = "8 min", unload = "25 min",
      },
      floor = "60 h", -- from the cover to strip cool enough for the temper mill
    },
    temper_mill = {
      force = "12 MN", top_speed = "10 m/s", accelerates = "0.5 m/s2", slows = "0.7 m/s2",
      force_a_metre = "4.2 MN", coil_change = "120 s", takes_below = "50 C", end_scrap = "10 m", elongation = "1 %", overtime = 1.1,
    },
    dispatch = { slot = "30 min", hot_band = "350 t/h", cold = "178 t/h", weekend = "70 %", overtime = 1.15 },
    stores = {
      pickled       = { low = "500 t",  normal = "1500 t",  high = "3500 t",  room = "4500 t" },
      ["full hard"] = { low = "1000 t", normal = "4000 t",  high = "6500 t",  room = "7500 t" },
      annealed      = { low = "1500 t", normal = "4600 t",  high = "8000 t",  room = "9000 t" },
      finished      = { low = "5000 t", normal = "12000 t", high = "18000 t", room = "20000 t" },
    },
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
