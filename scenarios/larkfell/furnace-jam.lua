-- Claim: one furnace alone cannot feed the mill; heavy gauges do not help, for the
-- furnace is the limit. What helps is to use the slow hours for the planned stop.

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
