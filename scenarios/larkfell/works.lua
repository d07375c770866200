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
    -- A furnace is run empty, cooled, repaired and heated up, one in early and one in
    -- late summer; cranes in turn; the cold lines by the week (common practice, no source).
    { unit = "F1",          first = "2031-05-05", every = "365 d", lasts = "10 d" },
    { unit = "F2",          first = "2031-08-18", every = "365 d", lasts = "10 d" },
    { unit = "slab cranes", every = "10 d", lasts = "5 h", movable = true, earliest = "6 d" },
    { unit = "pickle line", every = "7 d",  lasts = "10 h", movable = true, earliest = "4 d" },
    { unit = "cold mill",   every = "7 d",  lasts = "10 h", movable = true, earliest = "4 d" },
    { unit = "bell cranes", every = "10 d", lasts = "4 h", movable = true, earliest = "6 d" },
    { unit = "temper mill", every = "7 d",  lasts = "8 h",  movable = true, earliest = "4 d" },
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
-- is longer than one_in_ten. "every" counts the kind's own clock: operating time of
-- the unit, the calendar, or pieces; for each caster, furnace and coiler by itself,
-- for units = { ... } once for all of them.
-- longest is when such a stop is over at the latest, whatever it was: somebody hires,
-- borrows or builds in what ends it (common practice, no source). What the law would
-- let last longer lasts so long. Rows without it have no tail worth cutting.
--
-- Counts are those of a university dissertation on the reliability of a hot strip
-- mill: stops of each system in 26,280 hours, 2007 to 2009. A system's count holds
-- all its stops; what has a row of its own here is taken off it.
-- millrace help upsets explains the kinds and lists these rows.

-- Steel and casters.
upset "late heat" {
  every = "50 heats", lasts = lognormal { median = "15 min", one_in_ten = "40 min" },
  source = "from memory",
  note = "lateness only; a cold heat goes to the reheat stand or back, as any that waits too long",
}
upset "ladle gate frozen, to be lanced" {
  kind = "slow-down", unit = "caster",
  every = "20 d", lasts = lognormal { median = "5 min", one_in_ten = "20 min" },
  slow = "60 %", downgrades = 1, told = { after = "2 min" },
  comes_back = { pace = "80 %", for_ = "10 min" },
  caution = "Oxygen lance under a full ladle: face and body shields, nobody below, no water or damp tools near the stream.",
  source = "from memory", note = "one in 10 d on the two casters",
}
upset "ladle leak" {
  kind = "sequence broken", units = { "C1", "C2" },
  every = "730 d", lasts = lognormal { median = "12 h", one_in_ten = "48 h" }, longest = "7 d",
  ruins = "the heat", told = { after = "30 min", next_word = "3 h", cause_found = "6 h" },
  caution = "Steel on the floor and a hung ladle: evacuate, keep water away, let it freeze; the crane track is checked before a lift.",
  source = "from memory", note = "both casters lose the ladle bay; a damaged crane track is in the length; longest: within a week the bay is clear and its crane track repaired or bridged",
}
upset "converter or gas-cleaning stop" {
  kind = "short stop", unit = "steel shop",
  every = "10 d", lasts = lognormal { median = "90 min", one_in_ten = "6 h" }, longest = "36 h",
  told = { after = "15 min", next_word = "1 h" },
  caution = "Carbon monoxide in ducts and hood, hot vessel: gas test, breathing sets, vessel locked against tilting.",
  source = "from memory",
  note = "one in 5 d, of which half are of the gas cleaning that both vessels share; one vessel out alone is left out; longest: the spare fan rotor is in by then",
}
upset "nozzle clogging" {
  unit = "caster",
  every = "6 d", lasts = lognormal { median = "20 min", one_in_ten = "60 min" },
  slow = "75 %", downgrades = 2, told = { after = "2 min" },
  comes_back = { pace = "90 %", for_ = "10 min" },
  source = "from memory", note = "one in 3 d on the two casters",
}
upset "sticker alarm" {
  kind = "slow-down", unit = "caster",
  every = "4 d", lasts = lognormal { median = "5 min", one_in_ten = "10 min" },
  slow = "60 %", downgrades = 1, told = { after = "2 min" },
  comes_back = { pace = "80 %", for_ = "8 min" },
  caution = "A sticker may tear in the mould: keep off the mould and the chamber below until the speed is back.",
  source = "from memory", note = "one in 2 d on the two casters",
}
upset "caster breakout" {
  unit = "caster",
  every = "180 d", lasts = lognormal { median = "10 h", one_in_ten = "48 h" }, longest = "7 d",
  told = { after = "30 min", next_word = "4 h", cause_found = "8 h" },
  source = "from memory",
  note = "longest: mould and segments are changed for spares within a week",
}
upset "sequence broken" {
  unit = "caster",
  every = "10 d", lasts = lognormal { median = "1 h", one_in_ten = "105 min" },
  told = { after = "10 min" }, comes_back = { pace = "80 %", for_ = "20 min" },
  source = "from memory", note = "one in 5 d on the two casters; drawing out and turnaround run inside the length",
}
upset "strand frozen in the machine" {
  kind = "caster breakout", unit = "caster",
  every = "180 d", lasts = lognormal { median = "12 h", one_in_ten = "36 h" }, longest = "5 d",
  told = { after = "30 min", next_word = "4 h", cause_found = "6 h" },
  caution = "Torch work on a hot strand wedged in rolls: drives locked, load held by planned lifting, steam and heat below.",
  source = "from memory", note = "one in 90 d on the two casters; longest: the segments go out with the strand in them, spares go in",
}
upset "torch-cut machine down" {
  kind = "slow-down", unit = "caster",
  every = "30 d", lasts = lognormal { median = "20 min", one_in_ten = "120 min" },
  slow = "56 %", stops_after = "25 min", told = { after = "5 min" },
  caution = "Oxygen and fuel gas at the torch, hot slab ends: gas shut off and locked, nobody on the roller table.",
  source = "from memory",
  note = "one in 15 d on the two casters; the strand creeps, then the sequence ends; odd lengths are left out",
}

-- Slab yard and furnaces.
upset "slab crane out" {
  every = "7 d", lasts = lognormal { median = "2 h", one_in_ten = "8 h" }, longest = "48 h",
  told = { after = "15 min", next_word = "2 h" },
  source = "from memory", note = "one in 20 d on each of three; longest: spare hoist gear is in the works",
}
upset "furnace trip" {
  unit = "furnace",
  every = "7 d", lasts = lognormal { median = "30 min", one_in_ten = "120 min" },
  told = { after = "5 min" },
  source = "rate: dissertation's counts, split between trips and doors; lengths from memory",
  note = "312 and 355 stops of two furnaces are one in 79 h; trips in 7 d and doors in 5 d make one in 70 h",
}
upset "furnace door or extractor" {
  kind = "short stop", unit = "furnace",
  every = "5 d", lasts = lognormal { median = "20 min", one_in_ten = "60 min" },
  told = { after = "5 min" },
  caution = "Open furnace, hot slab on the arms: door and extractor locked, radiant heat, nobody in the extractor's way.",
  source = "rate: dissertation's counts, split between trips and doors; lengths from memory",
}
upset "furnace beam jam" {
  unit = "furnace",
  every = "240 d", lasts = lognormal { median = "8 h", one_in_ten = "36 h" }, longest = "5 d",
  told = { after = "30 min", next_word = "3 h", cause_found = "6 h" },
  source = "from memory", note = "one in 120 d on the two furnaces; longest: cooled, jacked and repaired with a spare cylinder by then",
}
upset "fuel gas curtailed" {
  kind = "furnace trip", units = { "F1", "F2" },
  every = "15 d", lasts = lognormal { median = "1 h", one_in_ten = "4 h" },
  told = { after = "10 min", next_word = "1 h" },
  caution = "Low gas pressure can pull air in: interlocks decide, gas test and purge before any relighting.",
  source = "from memory", note = "both furnaces fire a set-back step lower",
}
upset "skid leak or fallen refractory" {
  kind = "furnace beam jam", unit = "furnace",
  every = "1460 d", lasts = lognormal { median = "3 d", one_in_ten = "10 d" }, longest = "21 d",
  told = { after = "1 h", next_word = "8 h", cause_found = "24 h" },
  comes_back = { pace = "80 %", for_ = "3 d" },
  caution = "Water on hot hearth flashes to steam; entry only cold, gas-free and supported, by permit.",
  source = "from memory", note = "one in 2 y on the two furnaces; slabs under the fall are not ruined; longest: a zone is relined and dried in three weeks",
}

-- Hot mill.
upset "descaling pump lost" {
  every = "6 d", lasts = lognormal { median = "30 min", one_in_ten = "180 min" },
  slow = "80 %", told = { after = "5 min" },
  source = "rate: dissertation's counts of two scale breakers, 58 and 82; lengths from memory", note = "one in 16 d: a slab passes for a minute in 140 s",
}
upset "rougher stop" {
  kind = "short stop", unit = "rougher",
  every = "38 h", lasts = lognormal { median = "12 min", one_in_ten = "45 min" },
  told = { after = "5 min" },
  source = "rate: dissertation's counts, 742, less bars stuck; lengths from memory",
}
upset "bar stuck in the rougher" {
  kind = "short stop", unit = "rougher",
  every = "20 d", lasts = lognormal { median = "45 min", one_in_ten = "180 min" },
  ruins = "piece in the unit", told = { after = "10 min", next_word = "30 min" },
  comes_back = { pace = "85 %", for_ = "5 min" },
  caution = "Hot bar under load in the stand: drives and screwdown locked, cutting from the side, planned lift only.",
  source = "from memory",
}
upset "rougher spindle or main motor" {
  kind = "short stop", unit = "rougher",
  every = "1095 d", lasts = lognormal { median = "24 h", one_in_ten = "96 h" }, longest = "10 d",
  ruins = "piece in the unit", told = { after = "1 h", next_word = "4 h", cause_found = "12 h" },
  comes_back = { pace = "70 %", for_ = "12 h" },
  caution = "Heavy rotating parts and high voltage: authorised persons isolate and earth; a spindle is a non-routine lift.",
  source = "from memory",
  note = "longest: spare spindle and rotor are kept",
}
upset "shear jammed" {
  kind = "short stop", unit = "shear",
  every = "12 h", lasts = lognormal { median = "10 min", one_in_ten = "40 min" },
  ruins = "piece in the unit", told = { after = "5 min" },
  caution = "Knives move under their own weight: drum locked and blocked before a hand or a hook goes in.",
  source = "from memory", note = "one in 10 d: it cuts for 8 s in 140",
}
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
  every = "155 d", lasts = lognormal { median = "12 h", one_in_ten = "48 h" }, longest = "7 d",
  ruins = { "strip in the train", "bars behind it", "rolls" },
  told = { after = "20 min", next_word = "3 h", cause_found = "8 h" },
  comes_back = { pace = "70 %", for_ = "4 h" },
  source = "from memory", note = "one in 270 d: the train rolls six tenths of the time; longest: spare spindles and chocks are kept; else it rolls with the stand left open",
}
upset "roll change forced" {
  every = "6 d", lasts = lognormal { median = "20 min", one_in_ten = "45 min" },
  ruins = "last pieces", downgrades = 5, told = { after = "5 min" },
  source = "from memory", note = "one in 10 d",
}
upset "gauge, looper or drive trip" {
  kind = "short stop", unit = "finishing train",
  every = "50 h", lasts = lognormal { median = "10 min", one_in_ten = "60 min" },
  told = { after = "5 min" },
  -- 1,149 stops of seven stands (six here: 985) and 314 of the train in general are
  -- one in 20 calendar hours; cobbles are one in 31, bad ones and forced roll changes
  -- one in 180 together: one in 85 is left, 50 hours of rolling.
  source = "rate: dissertation's counts, 1,149 and 314, less cobbles and roll changes; lengths from memory",
}
upset "fly-up on the run-out table" {
  kind = "short stop", unit = "run-out table",
  every = "10 d", lasts = lognormal { median = "15 min", one_in_ten = "45 min" },
  ruins = "piece in the unit", told = { after = "5 min" },
  caution = "Folded strip springs open when it is cut: table drives locked, cut from outside the line, hot edges.",
  source = "from memory",
}
upset "run-out table stop" {
  kind = "short stop", unit = "run-out table",
  every = "20 d", lasts = lognormal { median = "10 min", one_in_ten = "45 min" },
  told = { after = "5 min" },
  source = "rate: dissertation's counts, 162, less fly-ups; lengths from memory",
}
upset "coiler down" {
  unit = "coiler",
  every = "75 h", lasts = lognormal { median = "25 min", one_in_ten = "120 min" },
  ruins = "strip in the train", told = { after = "5 min" },
  source = "rate: dissertation's counts, 254, 136 and 125 common; lengths from memory", note = "one in 1,700 coils; not every stop of the counts lost its coil",
}
upset "coil fallen on the conveyor" {
  kind = "short stop", unit = "conveyor",
  every = "5 d", lasts = lognormal { median = "40 min", one_in_ten = "240 min" }, longest = "24 h",
  ruins = "piece in the unit", told = { after = "10 min", next_word = "1 h" },
  caution = "A hot coil that can roll: conveyor locked, coil chocked, nobody downhill of it, planned lift.",
  source = "from memory", note = "one in 10 d: its end works half the time; longest: a spare piece of conveyor is in by then",
}
upset "coil-yard crane out" {
  kind = "slow-down", unit = "conveyor",
  every = "15 d", lasts = lognormal { median = "2 h", one_in_ten = "8 h" }, longest = "48 h",
  slow = "60 %", told = { after = "15 min", next_word = "2 h" },
  caution = "No persons under loads; a hung coil is fenced off; electrical work by authorised persons only.",
  source = "from memory", note = "one in 30 d; the conveyor is cleared more slowly; late feeding of the pickle line is left out; longest: spare hoist gear is in the works",
}

-- The cold side.
upset "weld break" {
  every = "4 d", lasts = lognormal { median = "30 min", one_in_ten = "120 min" },
  told = { after = "5 min" }, source = "from memory",
}
upset "strip break in the tanks" {
  every = "20 d", lasts = lognormal { median = "3 h", one_in_ten = "8 h" },
  ruins = "last pieces", downgrades = 1,
  told = { after = "15 min", next_word = "1 h" }, comes_back = { pace = "50 %", for_ = "1 h" },
  source = "from memory",
}
upset "acid out" {
  every = "20 d", lasts = lognormal { median = "8 h", one_in_ten = "36 h" }, longest = "4 d",
  slow = "50 %", told = { after = "30 min", next_word = "2 h" }, source = "from memory",
  note = "longest: by then acid comes and goes by road",
}
upset "acid leak or exhaust fan lost" {
  kind = "short stop", units = { "pickle line", "cold mill" },
  every = "180 d", lasts = lognormal { median = "6 h", one_in_ten = "24 h" }, longest = "4 d",
  told = { after = "30 min", next_word = "2 h" },
  caution = "Acid fume: evacuate upwind; suits, breathing sets and a permit before entry; fans proven before restart.",
  source = "from memory",
  note = "longest: a spare fan is in, or the leak is lined over, by then",
}
upset "cold-mill break" {
  every = "2.5 d", lasts = lognormal { median = "30 min", one_in_ten = "120 min" },
  ruins = "strip in the train", told = { after = "5 min" },
  comes_back = { pace = "70 %", for_ = "8 min" }, source = "from memory",
}
upset "fire in the cold mill" {
  kind = "short stop", unit = "cold mill",
  every = "730 d", lasts = lognormal { median = "1 d", one_in_ten = "10 d" }, longest = "60 d",
  ruins = "piece in the unit", told = { after = "2 h", next_word = "8 h", cause_found = "24 h" },
  comes_back = { pace = "70 %", for_ = "2 d" },
  caution = "Gas flooding kills: headcount outside first; electrical isolation and the fire service's release before entry.",
  source = "from memory",
  note = "one in ten may be a month and more; a lognormal through 1 d and 30 d has a mean of 34 d, so 10 d stands here; longest: cables, hydraulics and a stand are new in two months",
}
upset "bell crane out" {
  every = "20 d", lasts = lognormal { median = "2 h", one_in_ten = "8 h" }, longest = "48 h",
  told = { after = "10 min", next_word = "1 h" }, source = "from memory",
  note = "longest: spare hoist gear is in the works",
}
upset "base fan, seal or cover leak" {
  kind = "short stop", unit = "anneal bases",
  every = "7 d", lasts = lognormal { median = "4 h", one_in_ten = "12 h" },
  downgrades = 4, told = { after = "30 min", next_word = "2 h" },
  caution = "Hydrogen burns unseen, nitrogen suffocates: inert purge proven by analysis before a cover is lifted.",
  source = "from memory", note = "one heating base begins anew, by luck",
}
upset "protective gas lost" {
  every = "365 d", lasts = lognormal { median = "4 h", one_in_ten = "24 h" }, longest = "3 d",
  told = { after = "15 min", next_word = "1 h" }, source = "from memory",
  note = "longest: by then gas comes by road",
}
upset "break or roll mark in the temper mill" {
  kind = "short stop", unit = "temper mill",
  every = "32 h", lasts = lognormal { median = "20 min", one_in_ten = "60 min" },
  ruins = "piece in the unit", told = { after = "5 min" },
  caution = "Strip under tension and closed rolls: tension released, ends clamped, drives locked before the gap is entered.",
  source = "from memory", note = "one in 3 d",
}
upset "dispatch blocked" {
  every = "60 d", lasts = lognormal { median = "8 h", one_in_ten = "48 h" }, longest = "5 d",
  told = { after = "1 h", next_word = "4 h" }, source = "from memory",
  note = "slots that were missed are made up by higher stocks only; longest: by then coils go by hired lorries to another port or siding",
}

-- The whole site.
upset "power dip or black-out" {
  kind = "supply lost",
  units = { "hot mill", "coiler", "conveyor", "steel shop", "C1", "C2", "slab cranes", "F1", "F2",
    "pickle line", "cold mill", "bell cranes", "anneal bases", "temper mill" },
  every = "90 d", lasts = lognormal { median = "90 min", one_in_ten = "8 h" }, longest = "48 h",
  ruins = { "strip in the train", "bars behind it" }, told = { after = "15 min", next_word = "1 h" },
  comes_back = { pace = "70 %", for_ = "4 h" },
  caution = "Headcount in the dark; casters on emergency water first; switching by authorised persons; fans and purges before fires.",
  source = "from memory",
  note = "longest: a second feeder or a spare transformer is switched in by then",
}
upset "cooling water lost" {
  kind = "supply lost", units = { "hot mill", "C1", "C2", "F1", "F2" },
  every = "365 d", lasts = lognormal { median = "4 h", one_in_ten = "24 h" }, longest = "3 d",
  ruins = "strip in the train", told = { after = "15 min", next_word = "1 h" },
  comes_back = { pace = "70 %", for_ = "3 h" },
  caution = "Moulds and skids without water can burst: the head tank lasts minutes; no water onto overheated parts.",
  source = "from memory",
  note = "longest: hired pumps run by then",
}
upset "set-up computer or network down" {
  kind = "slow-down", units = { "rougher", "finishing train" },
  every = "30 d", lasts = lognormal { median = "40 min", one_in_ten = "240 min" }, longest = "24 h",
  slow = "70 %", downgrades = 2, told = { after = "10 min", next_word = "1 h" },
  caution = "Automatic interlocks may be blind: easy gauges by hand, nobody near the line because a screen is dark.",
  source = "from memory", note = "rolled by hand; the preference for easy gauges is left out; longest: a spare machine is set up from the copy by then",
}
