-- A scenario as a manager would write it.
local function caster(strand)
  return {
    strands = strand,
    speed = "1.1 m/min",
  }
end

works "Larkfell" {
  note = [[two casters,
two furnaces]],
  casters = { C2 = caster(2), C1 = caster(1), ["C 3"] = { strands = 1 } },
  heats = { "first", "second",
    "third" },
  orders = include "orders.csv",
}

upset "stand wreck" {
  unit = "finishing train", at = "2031-11-07 22:40",
  lasts = lognormal { median = "11 h",
    one_in_ten = "26 h" },
  told = { after = "20 min", low = "4 h", likely = "8 h", bad = "26 h" },
  word = "low 4 h, likely 8 h, bad 26 h",
  comes_back = { pace = "60 %", for_ = "2 h" },
  sorry = true, repeats = 3, slabs = "120 slabs", chance = 0.25,
  repair = fixed
    "8 h",
}

plan "carry on" {}

plan "wait a while" (function (works)
  await(hours(2))
  return works
end)

plan("short form", { act = function () return "acted" end })
