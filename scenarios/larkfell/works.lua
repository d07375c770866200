-- Larkfell Works. Invented: no works of this name exists, and no number here was
-- measured at one. Figures are ordinary for the trade (common practice, no source)
-- unless a comment says otherwise; overwrite them with your own.

works "Larkfell" {
  invented = true,
  currency = "EUR",
  ambient  = "25 C",

  slabs = { thickness = "230 mm", length = "10 m" },

  -- Analyses in per cent by mass; the liquidus follows from them. flow_factor 1 is
  -- plain carbon steel, micro-alloyed steel is harder to roll (assumption).
  grades = {
    mild       = { C = "0.05 %", Si = "0.02 %", Mn = "0.30 %", P = "0.010 %", S = "0.010 %", flow_factor = 1.0 },
    structural = { C = "0.15 %", Si = "0.15 %", Mn = "0.90 %", P = "0.015 %", S = "0.008 %", flow_factor = 1.05 },
    strong     = { C = "0.07 %", Si = "0.05 %", Mn = "1.20 %", P = "0.010 %", S = "0.005 %", flow_factor = 1.2 },
  },

  -- share: of the slab tonnes ordered. margin: what a tonne of hot band is worth
  -- over its cost. price: what a penalty is a share of. surface: rolled-in scale makes
  -- it secondary. cold: what the cold mill rolls it to. (Invented.)
  products = {
    { name = "P01", what = "structural",         grade = "structural", thickness = "6.0 mm",  width = "1500 mm", share = "12 %", finish = "880 C", coil = "600 C", margin = "110 EUR/t", price = "545 EUR/t", class = "contract" },
    { name = "P02", what = "heavy structural",   grade = "structural", thickness = "10.0 mm", width = "1500 mm", share = "8 %",  finish = "880 C", coil = "600 C", margin = "110 EUR/t", price = "545 EUR/t", class = "contract" },
    { name = "P03", what = "commercial",         grade = "mild",       thickness = "3.0 mm",  width = "1250 mm", share = "14 %", finish = "880 C", coil = "600 C", margin = "110 EUR/t", price = "545 EUR/t", class = "stock" },
    { name = "P04", what = "commercial wide",    grade = "mild",       thickness = "4.0 mm",  width = "1350 mm", share = "10 %", finish = "880 C", coil = "600 C", margin = "110 EUR/t", price = "545 EUR/t", class = "stock" },
    { name = "P05", what = "thin",               grade = "mild",       thickness = "2.0 mm",  width = "1100 mm", share = "7 %",  finish = "880 C", coil = "600 C", margin = "130 EUR/t", price = "575 EUR/t", class = "contract" },
    { name = "P06", what = "high strength",      grade = "strong",     thickness = "3.5 mm",  width = "1300 mm", share = "9 %",  finish = "880 C", coil = "600 C", margin = "140 EUR/t", price = "600 EUR/t", class = "contract" },
    { name = "P07", what = "tube skelp",         grade = "structural", thickness = "8.0 mm",  width = "1200 mm", share = "6 %",  finish = "880 C", coil = "600 C", margin = "110 EUR/t", price = "545 EUR/t", class = "contract" },
    { name = "P08", what = "pickled and oiled",  grade = "mild",       thickness = "2.5 mm",  width = "1250 mm", share = "6 %",  finish = "880 C", coil = "600 C", margin = "140 EUR/t", price = "600 EUR/t", class = "contract", pickled = true, surface = true },
    { name = "P09", what = "pickled wide",       grade = "mild",       thickness = "4.0 mm",  width = "1400 mm", share = "4 %",  finish = "880 C", coil = "600 C", margin = "140 EUR/t", price = "600 EUR/t", class = "contract", pickled = true, surface = true },
    { name = "P10", what = "for cold rolling",   grade = "mild",       thickness = "2.5 mm",  width = "1250 mm", share = "9 %",  finish = "880 C", coil = "600 C", margin = "150 EUR/t", price = "560 EUR/t", class = "cold mill", pickled = true, surface = true, cold = "0.8 mm", annealed = true },
    { name = "P11", what = "for deep drawing",   grade = "mild",       thickness = "3.2 mm",  width = "1400 mm", share = "8 %",  finish = "880 C", coil = "600 C", margin = "150 EUR/t", price = "560 EUR/t", class = "cold mill", pickled = true, surface = true, cold = "0.7 mm", annealed = true },
    { name = "P12", what = "for thin cold strip", grade = "mild",      thickness = "2.2 mm",  width = "1000 mm", share = "7 %",  finish = "880 C", coil = "600 C", margin = "150 EUR/t", price = "560 EUR/t", class = "cold mill", pickled = true, surface = true, cold = "0.5 mm" },
  },

  -- Hot metal waits in torpedo ladles for hours, not days. A blast furnace is
  -- slowed, never stopped.
  iron_supply = {
    rate        = "535 t/h",
    lowest_wind = "62 %",
    lag         = "1.5 h",
    torpedoes   = { low = "400 t", normal = "1500 t", high = "2600 t", room = "3200 t" },
    hot_metal   = { low = "78 %", normal = "86 %", high = "92 %" }, -- of the charge; the rest is scrap
    yield       = "92 %",
  },

  -- A full ladle of 250 t loses about half a kelvin a minute; smaller ones more
  -- (0.3 to 2 C/min in the trade, common practice, no source).
  steel_shop = {
    heat              = "250 t",
    vessels           = 2,
    tap_to_tap        = "36 min",
    treatment         = "35 min",
    treatment_scatter = lognormal { median = 1, one_in_ten = 1.12 },
    ladles            = { low = 1, normal = 2, high = 5, room = 9 },
    ladle_cools       = "0.5 C/min",
    pour_drop         = "15 C", -- ladle to tundish
    first_heat_drop   = "10 C", -- more, on a new tundish
    least_superheat   = "8 C",  -- below it the nozzle freezes
    aim_superheat     = "10 C", -- spare that the shop aims for
    most_superheat    = "95 C",
    reheat_stand      = { gain = "3.5 C/min", hold = "3 h", power = "25 MW" },
    skull             = "0.4 %",
  },

  -- Two casters of two strands. The shell grows with the root of time: its
  -- thickness after a minute is given, over the whole strand and in the mould.
  casters = {
    C1 = {
      strands = 2, normal = "1.25 m/min", slowest = "0.70 m/min", fastest = "1.40 m/min",
      shell = { after_a_minute = "27 mm", after_a_minute_in_mould = "20 mm", least = "11 mm" },
      mould = "0.8 m", supported = "28 m",
      tundish = { mass = "60 t", least = "12 t", cost = "6000 EUR" },
      ladle_change = "150 s", heats_a_tundish = 10, turnaround = "45 min",
      width_change = { rate = "30 mm/min", most = "200 mm" },
      head_crop = "0.4 m", tail_crop = "0.6 m", kerf = "12 mm",
      run_out_places = 12,
    },
    C2 = {
      strands = 2, normal = "1.25 m/min", slowest = "0.70 m/min", fastest = "1.40 m/min",
      shell = { after_a_minute = "27 mm", after_a_minute_in_mould = "20 mm", least = "11 mm" },
      mould = "0.8 m", supported = "28 m",
      tundish = { mass = "60 t", least = "12 t", cost = "6000 EUR" },
      ladle_change = "150 s", heats_a_tundish = 10, turnaround = "45 min",
      width_change = { rate = "30 mm/min", most = "200 mm" },
      head_crop = "0.4 m", tail_crop = "0.6 m", kerf = "12 mm",
      run_out_places = 12,
    },
  },

  -- Slabs are piled five high and cool for days. digging: extra lifts a slab, for
  -- the one wanted does not lie on top.
  slab_yard = {
    low = "7000 t", normal = "15800 t", high = "21500 t", room = "26000 t",
    reachable = "100 %",
    cranes = 3, lift = "180 s", digging = 0.35,
    programme_stock = "5600 t", -- less, and no programme can be chosen
    overflow = { room = "14000 t", rate = "600 t/h", fee = "5 EUR/t" },
    pile = 5, cut = "900 C", emissivity = 0.8, convection = "8 W/m2K",
  },

  -- Walking-beam furnaces. Gas temperatures run from the charging to the discharge
  -- end; they bring a cold slab to heat in 2.6 to 2.7 hours.
  furnaces = {
    F1 = {
      hearth = "42 m", gap = "50 mm",
      zones = { { share = "25 %", gas = "980 C" }, { share = "30 %", gas = "1260 C" }, { share = "25 %", gas = "1340 C" }, { share = "20 %", gas = "1300 C" } },
      emissivity = 0.55, -- of gas and walls together, 0.5 to 0.7 (assumption)
      discharge = "1240 C", least_discharge = "1200 C",
      wall_loss = "2 MW", efficiency = "58 %",
      set_backs = { "60 C", "120 C", "250 C" }, recovery = "50 C/h",
      table_places = 6,
    },
    F2 = {
      hearth = "42 m", gap = "50 mm",
      zones = { { share = "25 %", gas = "980 C" }, { share = "30 %", gas = "1260 C" }, { share = "25 %", gas = "1340 C" }, { share = "20 %", gas = "1300 C" } },
      emissivity = 0.55,
      discharge = "1240 C", least_discharge = "1200 C",
      wall_loss = "2 MW", efficiency = "58 %",
      set_backs = { "60 C", "120 C", "250 C" }, recovery = "50 C/h",
      table_places = 6,
    },
  },

  -- Descaler and reversing rougher.
  rougher = {
    roll_radius = "575 mm", force = "40 MN", torque = "2.6 MNm", power = "14 MW", efficiency = "95 %",
    base_speed = "2.0 m/s", top_speed = "2.5 m/s", thread_speed = "1.0 m/s",
    accelerates = "0.6 m/s2", slows = "0.9 m/s2",
    reversal = "9 s", friction = 0.265, passes = { least = 7, most = 7 },
    approach = "60 s", -- from the furnace door to the first bite
    primary_sprays   = { pairs = 2, cooling = "20 kW/m2K", footprint = "20 mm", speed = "1.2 m/s" },
    secondary_sprays = { pairs = 2, cooling = "20 kW/m2K", footprint = "20 mm", until_pass = 5 },
    surface = { emissivity = 0.8, rolls = "100 C", chill = 0.85, water = "25 C" },
    bar     = { thin = "34 mm", thick = "42 mm", thick_from = "6 mm" },
    scatter = lognormal { median = 1, one_in_ten = 1.06 },
  },

  -- Delay table with a cover, shear, six stands. A bar that lies loses a degree and
  -- more every second.
  finishing_train = {
    stands = {
      { roll_radius = "400 mm", force = "38 MN", power = "10 MW", speed = "5.0 m/s",  load = 1.0 },
      { roll_radius = "400 mm", force = "38 MN", power = "10 MW", speed = "8.0 m/s",  load = 1.0 },
      { roll_radius = "400 mm", force = "36 MN", power = "10 MW", speed = "11.0 m/s", load = 1.0 },
      { roll_radius = "350 mm", force = "34 MN", power = "10 MW", speed = "15.0 m/s", load = 0.95 },
      { roll_radius = "350 mm", force = "32 MN", power = "10 MW", speed = "18.5 m/s", load = 0.9 },
      { roll_radius = "350 mm", force = "30 MN", power = "8 MW",  speed = "21.0 m/s", load = 0.85 },
    },
    stand_spacing = "5.5 m", efficiency = "95 %",
    thread_speed = "9.5 m/s", thread_distance = "120 m",
    zoom = "0.08 m/s2", slows = "0.5 m/s2", tail_out_speed = "13 m/s",
    cover = "30 %", entry_distance = "8 m",
    sprays      = { pairs = 2, cooling = "20 kW/m2K", footprint = "20 mm" },
    interstand  = { cooling = "2000 W/m2K", length = "1 m" },
    friction = 0.3, surface = { emissivity = 0.8, rolls = "100 C", chill = 1.0, water = "25 C" },
    gap = "18 s",
    least_entry = "930 C", longest_wait = "180 s",
    crop = "150 mm", shear = "8 s",
    programme = 105, programme_length = "70 km", roll_change = "12 min", warm_up = 10,
    finish_band = "20 C",
    scatter = lognormal { median = 1, one_in_ten = 1.06 },
  },

  run_out_table = { banks = 22, bank_length = "4.5 m", cooling = "1300 W/m2K", water = "25 C", length = "130 m" },

  coilers = { names = { "A", "B", "S" }, in_use = 2, strip_out = "45 s" }, -- S stands by

  conveyor = { places = 36, low = 4, normal = 14, high = 26, transit = "1600 s", cycle = "80 s" },

  -- A coil must cool for days before it can be pickled. cool: coils that are, and
  -- wait for the pickle line; cool_hot_band: those that wait to be dispatched.
  coil_yard = {
    low = "30000 t", normal = "40000 t", high = "50000 t", room = "58000 t",
    cool          = { low = "1500 t", normal = "5000 t", high = "9000 t",  room = "12000 t" },
    cool_hot_band = { low = "3000 t", normal = "8000 t", high = "14000 t", room = "20000 t" },
    pickle_below = "55 C", dispatch_below = "100 C",
    bore = "762 mm", fill = "97 %", across_wraps = "6 W/mK",
    -- With the fans of the coil floor on. Some 1.5 MW of drives by the hour, and one
    -- coil in two hundred that loses its shape or rusts (both invented).
    forced_film = "60 W/m2K", forced_cost = "150 EUR/h", forced_spoils = "0.5 %",
  },

  -- From cool coils to the customer. Annealed strip takes days on a base, so bases
  -- and bells, not the mills, are what the cold side is built round.
  cold_side = {
    -- Three tanks of hydrochloric acid between loopers: while the entry welds, the
    -- strip in the acid goes on from the looper.
    pickle_line = {
      tanks = { "26 m", "26 m", "26 m" }, acid = "10 %", acid_temperature = "80 C",
      top_speed = "4 m/s", least_speed = "0.3 m/s",
      entry = { speed = "8 m/s", weld = "100 s", looper = "400 m" },
      exit  = { speed = "7 m/s", coil_change = "45 s", looper = "300 m" },
      overpickled_after = 15, -- times the time that the strip must stay in acid
      takes = { from_thickness = "1.5 mm", to_thickness = "6 mm", from_width = "700 mm", to_width = "1600 mm" },
      scale = { a_face = "45 g/m2", iron = "75 %", steel_with_it = "4 g/m2" },
      trim  = "20 mm", -- both edges together
      outside  = { rate = "60 t/h", fee = "70 EUR/t", back_after = "3 d" }, -- haulage and the queue there
      overtime = 1.1, -- the line's output with overtime over that without
    },

    -- Five stands. Tensions: before the first stand, between stands, at the coiler.
    cold_mill = {
      stands = {
        { roll_radius = "250 mm", force = "20 MN", power = "5 MW", speed = "12 m/s", friction = 0.07, most_reduction = "42 %", load = 1.0 },
        { roll_radius = "250 mm", force = "20 MN", power = "5 MW", speed = "16 m/s", friction = 0.06, most_reduction = "42 %", load = 1.0 },
        { roll_radius = "250 mm", force = "20 MN", power = "5 MW", speed = "20 m/s", friction = 0.05, most_reduction = "42 %", load = 1.0 },
        { roll_radius = "250 mm", force = "20 MN", power = "5 MW", speed = "24 m/s", friction = 0.04, most_reduction = "42 %", load = 1.0 },
        { roll_radius = "225 mm", force = "20 MN", power = "5 MW", speed = "26 m/s", friction = 0.045, most_reduction = "42 %", load = 0.6 },
      },
      tensions = { "40 MPa", "130 MPa", "150 MPa", "170 MPa", "180 MPa", "45 MPa" },
      efficiency = "92 %", top_speed = "20 m/s",
      accelerates = "0.5 m/s2", slows = "0.8 m/s2",
      thread   = { speed = "1 m/s", length = "40 m" },
      tail_out = { speed = "2 m/s", length = "30 m" },
      crop = "1.2 %", coils_a_roll_set = 40, roll_change = "10 min",
      scatter = lognormal { median = 1, one_in_ten = 1.08 },
    },

    -- Batch annealing in stacks of four under hydrogen.
    annealing = {
      bases = 71, bells = 51, coolers = 24, cranes = 3, coils_a_stack = 4,
      gas = "hydrogen", film = "40 W/m2K", between_wraps = "20 um",
      recipe = {
        start = "20 C", heat_up = "8 h", soak = "700 C", coldest_spot = "680 C",
        cooling_gas = "40 C", cooling_film = "40 W/m2K", uncover_below = "160 C",
      },
      handling = {
        load = "25 min", leak_test = "15 min", purge = "30 min", bell_on = "8 min", bell_off = "8 min",
        cooler_on = "8 min", purge_after = "30 min", cooler_off = "8 min", unload = "25 min",
      },
      floor = "60 h", -- from the cover to strip cool enough for the temper mill
    },

    temper_mill = {
      force = "12 MN", top_speed = "10 m/s", accelerates = "0.5 m/s2", slows = "0.7 m/s2",
      coil_change = "120 s", takes_below = "50 C", end_scrap = "10 m", elongation = "1 %",
      overtime = 1.1, -- more hands at the coil change
    },

    -- Trucks and wagons come by the slot; fewer at the weekend.
    dispatch = { slot = "30 min", hot_band = "350 t/h", cold = "178 t/h", weekend = "70 %", overtime = 1.15 },

    stores = {
      pickled       = { low = "500 t",  normal = "1500 t",  high = "3500 t",  room = "4500 t" },
      ["full hard"] = { low = "1000 t", normal = "4000 t",  high = "6500 t",  room = "7500 t" },
      annealed      = { low = "1500 t", normal = "4600 t",  high = "8000 t",  room = "9000 t" },
      finished      = { low = "5000 t", normal = "12000 t", high = "18000 t", room = "20000 t" },
    },
  },

  -- What is taken behind the coil floor, at most.
  demand = { sold_out = true, pickle_line = "185 t/h", dispatch = "350 t/h" },

  fuel_gas = {
    made = "390 MW", power_house = "200 MW", swing = "60 MW",
    holder = { low = "150 GJ", normal = "500 GJ", high = "900 GJ", room = "1100 GJ" },
    flared = "4 EUR/GJ", bought = "9 EUR/GJ",
  },

  -- Orders of magnitude, invented.
  costs = {
    heat_returned = "70 EUR/t", iron_pooled = "250 EUR/t", scrap = "300 EUR/t", downgrade = "100 EUR/t",
    slab_in_stock = "100 EUR/t", -- worth of a slab in the yard at the end over its cost
    fuel = "9 EUR/GJ", co2 = "80 EUR/t", reheat_power = "90 EUR/MWh",
    haulage = "5 EUR/t", overtime = "900 EUR/h",
    matters = "10000 EUR", -- a smaller difference is not worth a change of plan
  },

  -- What people do on a quiet day.
  standing_orders = {
    yard = { low = "12000 t", high = "17500 t" }, -- sequences are spaced between these
    heat_early = "10 min",
    charge = "oldest first",
    set_back_after = "30 min", set_back_deep_after = "4 h", set_forward_before = "3 h",
    cut_wind_from = "1700 t", least_wind_at = "2500 t", -- in the torpedoes
    feed_swing = "30 %",
    staging = 4,
    reheat = true, slow_when_full = true,
  },

  planned_stops = {
    { unit = "hot mill", every = "14 d", lasts = "12 h", movable = true, earliest = "8 d" },
    { unit = "C1",       every = "14 d", lasts = "12 h", movable = true, earliest = "8 d" },
    { unit = "C2",       every = "14 d", lasts = "12 h", movable = true, earliest = "8 d" },
  },

  -- Whom to call when a unit stops or a store is about to fill or run dry.
  calls = {
    { who = "safety",                    when = "always",          say = "is everybody accounted for, and is the area safe?" },
    { who = "maintenance shift leader",  when = "always",          say = "how long: at best, likely, at worst, and when do we hear more?" },
    { who = "steel-shop shift manager",  when = "slab yard",       say = "which heats are committed, and when can each sequence end?" },
    { who = "iron side",                 when = "torpedoes",       say = "how long can hot metal wait, and how far can the wind be cut?" },
    { who = "energy despatcher",         when = "hot mill", say = "the furnaces will take less gas" },
    { who = "furnace operator",          when = "hot mill", say = "when to set back, when to come forward again?" },
    { who = "slab-yard controller",      when = "slab yard",       say = "how many free places are within reach of the cranes?" },
    { who = "roll shop",                 when = "hot mill", say = "which roll sets are ready?" },
    { who = "cold mill",                 when = "coil yard",       say = "when does the hole in the coil floor reach pickling?" },
    { who = "caster leader",             when = "C1",              say = "how old is the tundish, how slow can we go?" },
    { who = "caster leader",             when = "C2",              say = "how old is the tundish, how slow can we go?" },
    { who = "furnace operator",          when = "furnace",         say = "which slabs soak, what does the other furnace take?" },
    { who = "energy despatcher",         when = "furnace",         say = "a furnace less burns gas" },
    { who = "slab-yard controller",      when = "slab cranes",     say = "casters first, then the furnaces: what is within reach?" },
    { who = "mill pulpit",               when = "coiler",          say = "which coilers are left, at what rhythm?" },
    { who = "coil-yard controller",      when = "conveyor",        say = "can coils be lifted off by crane or truck?" },
    { who = "cold mill",                 when = "pickle line",     say = "how long does the pickled stock last?" },
    { who = "sales",                     when = "dispatch",        say = "which orders are promised this week?" },
    { who = "iron side",                 when = "steel shop",      say = "how long can hot metal wait, and how far can the wind be cut?" },
  },

  orders = include "orders.csv",
}

-- What goes wrong on its own. Times between upsets and lengths are orders of
-- magnitude of the trade, recalled and not measured; put your own delay log in
-- their place. Lengths are lognormal: half are shorter than the median, one in ten
-- is longer than one_in_ten. "every" counts the kind's own clock: operating time,
-- the calendar, or pieces.

upset "simple cobble" {
  every = "700 coils", lasts = lognormal { median = "6 min", one_in_ten = "15 min" },
  ruins = "strip in the train", told = { after = "2 min" },
  source = "common practice, no source",
}
upset "bad cobble" {
  every = "7500 coils", lasts = lognormal { median = "45 min", one_in_ten = "180 min" },
  ruins = { "strip in the train", "bars behind it", "rolls" },
  told = { after = "10 min", next_word = "30 min", cause_found = "60 min" },
  source = "from memory",
}
upset "stand wreck" {
  every = "270 d", lasts = lognormal { median = "12 h", one_in_ten = "48 h" },
  ruins = { "strip in the train", "bars behind it", "rolls" },
  told = { after = "20 min", next_word = "3 h", cause_found = "8 h" },
  comes_back = { pace = "70 %", for_ = "4 h" },
  source = "from memory",
}
upset "roll change forced" {
  every = "10 d", lasts = lognormal { median = "20 min", one_in_ten = "45 min" },
  ruins = "last pieces", downgrades = 5, told = { after = "5 min" },
  source = "from memory",
}
upset "gauge, looper or drive trip" {
  kind = "short stop", unit = "finishing train",
  every = "23 h", lasts = lognormal { median = "10 min", one_in_ten = "60 min" },
  told = { after = "5 min" },
  -- stops of seven stands together, three years of one mill: a university
  -- dissertation on hot-strip-mill reliability, table for 2007 to 2009
  source = "rate: dissertation on hot-strip-mill reliability, 2007-2009; lengths from memory",
}
upset "rougher stop" {
  kind = "short stop", unit = "rougher",
  every = "35 h", lasts = lognormal { median = "12 min", one_in_ten = "45 min" },
  told = { after = "5 min" },
  source = "rate: dissertation on hot-strip-mill reliability, 2007-2009; lengths from memory",
}
upset "shear jammed" {
  kind = "short stop", unit = "shear",
  every = "10 d", lasts = lognormal { median = "10 min", one_in_ten = "40 min" },
  told = { after = "5 min" },
  source = "from memory",
}
upset "coil fallen on the conveyor" {
  kind = "short stop", unit = "conveyor",
  every = "10 d", lasts = lognormal { median = "40 min", one_in_ten = "240 min" },
  told = { after = "10 min", next_word = "1 h" },
  source = "from memory",
}
upset "coiler down" {
  unit = "coiler",
  every = "150 h", lasts = lognormal { median = "25 min", one_in_ten = "120 min" },
  ruins = "strip in the train", told = { after = "5 min" },
  source = "rate: dissertation on hot-strip-mill reliability, 2007-2009; lengths from memory",
}
upset "descaling pump lost" {
  every = "15 d", lasts = lognormal { median = "30 min", one_in_ten = "180 min" },
  slow = "80 %", told = { after = "5 min" },
  source = "from memory",
}
upset "furnace trip" {
  unit = "furnace",
  every = "7 d", lasts = lognormal { median = "30 min", one_in_ten = "120 min" },
  told = { after = "5 min" },
  source = "rate: dissertation on hot-strip-mill reliability, 2007-2009; lengths from memory",
}
upset "furnace beam jam" {
  unit = "furnace",
  every = "240 d", lasts = lognormal { median = "8 h", one_in_ten = "36 h" },
  told = { after = "30 min", next_word = "3 h", cause_found = "6 h" },
  source = "from memory",
}
upset "slab crane out" {
  every = "7 d", lasts = lognormal { median = "2 h", one_in_ten = "8 h" },
  told = { after = "15 min", next_word = "2 h" },
  source = "from memory",
}
upset "caster breakout" {
  unit = "caster",
  every = "180 d", lasts = lognormal { median = "10 h", one_in_ten = "48 h" },
  told = { after = "30 min", next_word = "4 h", cause_found = "8 h" },
  source = "from memory",
}
upset "nozzle clogging" {
  unit = "caster",
  every = "6 d", lasts = lognormal { median = "20 min", one_in_ten = "60 min" },
  slow = "75 %", downgrades = 2, told = { after = "2 min" },
  source = "from memory",
}
upset "late heat" {
  every = "50 heats", lasts = lognormal { median = "15 min", one_in_ten = "40 min" },
  source = "from memory",
}

-- The cold side.
upset "weld break" {
  every = "4 d", lasts = lognormal { median = "30 min", one_in_ten = "120 min" },
  told = { after = "5 min" }, source = "from memory",
}
upset "strip break in the tanks" {
  every = "20 d", lasts = lognormal { median = "3 h", one_in_ten = "8 h" },
  ruins = "last pieces", downgrades = 1,
  told = { after = "15 min", next_word = "1 h" }, source = "from memory",
}
upset "acid out" {
  every = "20 d", lasts = lognormal { median = "8 h", one_in_ten = "36 h" },
  slow = "50 %", told = { after = "30 min", next_word = "2 h" }, source = "from memory",
}
upset "cold-mill break" {
  every = "2.5 d", lasts = lognormal { median = "30 min", one_in_ten = "120 min" },
  ruins = "strip in the train", told = { after = "5 min" }, source = "from memory",
}
upset "bell crane out" {
  every = "20 d", lasts = lognormal { median = "2 h", one_in_ten = "8 h" },
  told = { after = "10 min", next_word = "1 h" }, source = "from memory",
}
upset "protective gas lost" {
  every = "365 d", lasts = lognormal { median = "4 h", one_in_ten = "24 h" },
  told = { after = "15 min", next_word = "1 h" }, source = "from memory",
}
upset "dispatch blocked" {
  every = "60 d", lasts = lognormal { median = "8 h", one_in_ten = "48 h" },
  told = { after = "1 h", next_word = "4 h" }, source = "from memory",
}
