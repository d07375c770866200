-- Claim: after a wreck in the finishing train, acting on the first word costs less
-- than waiting for the yard to fill, and a planned stop pulled into the stop gives
-- lost hours back. How long it really lasts is drawn anew in every future; the
-- plans know only what people are told.

scenario "Wreck in finishing stand 4, Friday night" {
  works = "larkfell", from = "2031-11-07 06:00", length = "14 d", futures = 200,
  demand = "sold out", background = true,
}

upset "stand wreck" {
  unit = "finishing train", at = "2031-11-07 22:40",
  ruins = { "strip in the train", "bars behind it", "rolls" },
  lasts = lognormal { median = "11 h", one_in_ten = "26 h" }, -- the truth
  told = { after = "20 min", low = "4 h", likely = "8 h", bad = "26 h", next_word = "3 h", cause_found = "9 h" },
  comes_back = { pace = "60 %", for_ = "2 h" },
}

-- Standing orders alone: the furnaces are set back and brought forward by what is
-- told, sequences are spaced by the level of the yard.
plan "carry on" {}

plan "slow the casters early" (function (works)
  local stop = works:await_stop("finishing train", "4 h")
  works:caster("C1"):slow_to("0.70 m/min")
  works:caster("C2"):slow_to("0.70 m/min")
  works:await_restart("finishing train")
  works:caster("C1"):normal_speed()
  works:caster("C2"):normal_speed()
end)

plan "slow, and end one sequence when the word is bad" (function (works)
  local stop = works:await_stop("finishing train", "4 h")
  works:caster("C1"):slow_to("0.70 m/min")
  works:caster("C2"):slow_to("0.70 m/min")
  works:await(function ()
    return stop.over or stop.remaining_likely > hours(8) or works:store("slab yard").free < slabs(150)
  end)
  if not stop.over then
    works:caster("C2"):end_sequence()
    works:await_restart("finishing train")
    works:caster("C2"):reopen()
  end
  works:caster("C1"):normal_speed()
  works:caster("C2"):normal_speed()
end)

plan "pull the planned stop into it" (function (works)
  local stop = works:await_stop("finishing train", "4 h")
  works:pull_planned_stop("hot mill")
  works:change_rolls()
  works:restart_ramp { pace = "70 %", slabs = 6 }
  works:charge("heavy gauges first")
  works:await_restart("hot mill")
  -- Heavy gauges bring back tonnes; after two days the order book counts again.
  works:await("48 h")
  works:charge("oldest first")
end)
