-- Claim: after a breakout the other caster can take some of the heats in flight
-- and some of the lost tonnes; cutting the wind early saves pooled iron.

scenario "Breakout on C1 at noon" {
  works = "larkfell", from = "2031-11-06 06:00", length = "10 d",
  demand = "sold out", background = false,
}

upset "caster breakout" {
  unit = "C1", at = "2031-11-06 12:00",
  lasts = lognormal { median = "14 h", one_in_ten = "36 h" },
  told = { after = "30 min", low = "8 h", likely = "14 h", bad = "36 h", next_word = "4 h", cause_found = "6 h" },
}

plan "carry on" {}

plan "speed the other caster" (function (works)
  works:await_stop("C1")
  works:caster("C2"):speed_to("1.35 m/min")
  works:await_restart("C1")
  works:caster("C2"):normal_speed()
end)

plan "speed the other caster and cut the wind" (function (works)
  local stop = works:await_stop("C1")
  works:caster("C2"):speed_to("1.35 m/min")
  works:await(stop.first_word)
  works:iron():cut_wind_to("62 %")
  works:await_restart("C1")
  works:iron():as_usual()
  works:caster("C2"):normal_speed()
end)
