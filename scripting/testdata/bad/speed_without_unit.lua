-- want: speed_without_unit.lua:10: "0.7" has no unit; a speed is needed here, for example "1.1 m/min"
scenario "bad" {
  works = "larkfell", from = "2031-11-07 06:00", length = "2 d", background = false,
}
upset "stand wreck" {
  unit = "finishing train", at = "2031-11-07 07:00", lasts = "8 h",
  told = { after = "20 min", low = "4 h", likely = "8 h", bad = "26 h" },
}
plan "p" (function (works)
  works:caster("C1"):slow_to("0.7")
end)
