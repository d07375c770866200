-- Claim: one furnace alone cannot feed the mill, and choosing other slabs does not
-- change that. The lost hours may be used for what is due anyway: the planned stop
-- of one caster.

scenario "Walking beam of F1 jammed" {
  works = "larkfell", from = "2031-11-10 06:00", length = "10 d",
  demand = "sold out", background = false,
}

upset "furnace beam jam" {
  unit = "F1", at = "2031-11-10 16:30",
  lasts = lognormal { median = "12 h", one_in_ten = "36 h" },
  told = { after = "30 min", low = "5 h", likely = "12 h", bad = "36 h", next_word = "4 h", cause_found = "8 h" },
}

plan "carry on" {}

plan "heavy gauges first" (function (works)
  works:await_stop("F1")
  works:charge("heavy gauges first")
  works:await_restart("F1")
  works:charge("oldest first")
end)

plan "slow one caster" (function (works)
  local stop = works:await_stop("F1")
  works:await(stop.first_word)
  if stop.told.likely > hours(6) then
    works:caster("C2"):slow_to("70 %")
  end
  works:await_restart("F1")
  works:caster("C2"):normal_speed()
end)

plan "do the planned stop of C2 now" (function (works)
  local stop = works:await_stop("F1", "6 h")
  if works:pull_planned_stop("C2") then
    works:note("C2 is maintained while F1 stands")
  end
end)
