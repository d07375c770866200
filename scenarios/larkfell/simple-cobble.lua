-- Claim: a simple cobble, eight minutes, is hardly felt; no plan is worth more
-- than carrying on.

scenario "Simple cobble on a quiet morning" {
  works = "larkfell", from = "2031-11-04 06:00", length = "4 d",
  demand = "sold out", background = false,
}

upset "simple cobble" {
  unit = "finishing train", at = "2031-11-04 09:15",
  ruins = "strip in the train",
  lasts = "8 min",
  told = { after = "2 min", low = "4 min", likely = "8 min", bad = "20 min" },
}

plan "carry on" {}

plan "slow the casters anyway" (function (works)
  works:await_stop("finishing train")
  works:caster("C1"):slow_to("0.70 m/min")
  works:caster("C2"):slow_to("0.70 m/min")
  works:await("2 h")
  works:caster("C1"):normal_speed()
  works:caster("C2"):normal_speed()
end)
